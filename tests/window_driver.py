"""Works the window as a person does: posts events and lets time pass."""

from __future__ import annotations

import os

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

from pathlib import Path

import numpy as np
import pygame

from fxstudio.editing.studio import Studio
from fxstudio.effect.files import find_effect
from fxstudio.window.app import App
from fxstudio.window.toolkit.widget import Widget

FRAME_S = 1 / 30

FIRE = """# Heron's fire, wired last winter.
title = "Heron's fire"
locomotive = "Heron, Sallow Valley Railway"
rate_hz = 4.0  # by eye

[lamps.bed]  # green wire
output = 3
key = "F1"
colour = { wavelength_nm = 605 }
pattern = { kind = "steady", level = 0.35 }  # not too bright

[lamps.flames]  # the overlay
output = 4
key = "F2"
colour = { temperature_k = 1900 }
pattern = { kind = "flicker", style = "smooth", lowest = 0.2, highest = 1.0 }
"""
"""An effect as a person writes it."""


def write_fire(folder: Path, text: str = FIRE) -> Path:
    """An effect file of one's own."""
    path = folder / "heron.toml"
    path.write_text(text, "utf-8")
    return path


def save_outside(path: Path, text: str) -> None:
    """As another program saves: the clock may not have moved on since."""
    later_ns = path.stat().st_mtime_ns + 10**9
    path.write_text(text, "utf-8")
    os.utime(path, ns=(later_ns, later_ns))


class Driver:
    """A window and the hands on it."""

    def __init__(self, effect: str | Path | None = None, size=(1280, 820), percent=100):
        self.studio = Studio()
        if effect is not None:
            self.studio.document.open(find_effect(str(effect)))
            self.studio.begin()
        self.studio.text_percent = percent
        self.app = App(self.studio, size)
        self.page = self.app.page
        self.frame()

    def frame(self, seconds: float = FRAME_S) -> None:
        self.app.step(pygame.event.get(), seconds)

    def let_pass(self, seconds: float) -> None:
        for _ in range(round(seconds / FRAME_S)):
            self.frame()

    def widget(self, key: str) -> Widget:
        return self.page.find(key)

    def key(self, key: int, mod: int = 0, text: str = "") -> None:
        pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=key, mod=mod, unicode=text))
        pygame.event.post(pygame.event.Event(pygame.KEYUP, key=key, mod=mod))
        self.frame(0)

    def ctrl(self, key: int) -> None:
        self.key(key, pygame.KMOD_CTRL)

    def type(self, text: str) -> None:
        """Letter by letter."""
        for letter in text:
            pygame.event.post(pygame.event.Event(pygame.TEXTINPUT, text=letter))
        self.frame(0)

    def type_over(self, text: str) -> None:
        """In the place of all that stands there, at once as an input method does."""
        self.ctrl(pygame.K_a)
        self.key(pygame.K_DELETE)
        pygame.event.post(pygame.event.Event(pygame.TEXTINPUT, text=text))
        self.frame(0)

    def mouse(self, kind: int, place, **more) -> None:
        pygame.event.post(pygame.event.Event(kind, pos=tuple(place), **more))
        self.frame(0)

    def click_at(self, place) -> None:
        self.mouse(pygame.MOUSEBUTTONDOWN, place, button=1)
        self.mouse(pygame.MOUSEBUTTONUP, place, button=1)

    def click(self, key: str) -> None:
        self.reveal(key)
        self.click_at(self.widget(key).rect.center)

    def click_option(self, key: str, option: str) -> None:
        """A cell of a choice."""
        self.reveal(key)
        cell = dict(self.widget(key).cells)[option]
        self.click_at(cell.center)

    def reveal(self, key: str) -> None:
        """Scroll until a widget is seen, as a person would with the wheel."""
        widget = self.widget(key)
        for scroll in self.page.scrolls():
            if widget in list(scroll.leaves()):
                scroll.reveal(widget.rect)
        self.frame(0)
        widget = self.widget(key)
        assert widget.clip.contains(widget.rect), f"{key} cannot be seen whole"

    def tab_to(self, key: str, shift: bool = False) -> None:
        """Press Tab until a widget has the focus."""
        for _ in range(200):
            if self.focus == key:
                return
            self.key(pygame.K_TAB, pygame.KMOD_SHIFT if shift else 0)
        raise AssertionError(f"Tab never comes to {key}")

    @property
    def focus(self) -> str:
        focused = self.page.focused
        return focused.key if focused else ""

    def words(self, lamp: str) -> str:
        """What the lamp's lane says."""
        return self.app.stage.traces.words(lamp)

    def light(self, lamp: str) -> np.ndarray:
        """The lamp's trace as its lane draws it."""
        return self.app.stage.traces.of(lamp).light

    def texts(self) -> str:
        """All words on the page."""
        found = []
        for leaf in self.page.all_leaves():
            for name in ("text", "title", "draft"):
                value = getattr(leaf, name, "")
                if isinstance(value, str):
                    found.append(value)
            found += getattr(leaf, "texts", ())
        return "\n".join(found)

    def back(self) -> None:
        """Close all that lies on top of the page."""
        while self.page.sheets:
            self.page.close()
        self.frame(0)

    def close(self) -> None:
        if self.studio.job is not None:
            self.studio.job.stop()
            self.studio.job.wait(10)
        pygame.display.quit()
