"""The command `fxstudio show`, as a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest


def show(*arguments, **environment):
    return subprocess.run(
        [sys.executable, "-m", "fxstudio", "show", *arguments],
        capture_output=True,
        text=True,
        timeout=60,
        env={**os.environ, **environment},
        check=False,
    )


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="asks for an X11 display")
@pytest.mark.parametrize("driver", ["x11", ""], ids=["asked for", "whatever there is"])
def test_without_a_display_it_says_what_to_do(driver):
    done = show("banked_fire", SDL_VIDEODRIVER=driver, DISPLAY="", WAYLAND_DISPLAY="")
    assert done.returncode == 2
    assert "no window can be opened" in done.stderr
    assert "fxstudio film" in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["no_such_fire"], "there is no effect of this name"),
        (["no_such_fire.toml"], "there is no such file"),
        (["banked_fire", "--decoder", "nobody"], "there is no decoder description of this name"),
    ],
)
def test_what_cannot_be_opened_is_told_before_a_window_opens(
    refused, monkeypatch, arguments, words
):
    monkeypatch.setattr("fxstudio.window.app.App", None)
    refused("show", *arguments, problem=words)


def test_the_window_opens_no_sound_and_shows_no_greeting():
    """Only the display and the fonts are started; nothing but messages is printed."""
    code = (
        "import fxstudio.window, pygame; "
        "from fxstudio.window.app import App; from fxstudio.editing.studio import Studio; "
        "app = App(Studio()); app.step([], 0.03); "
        "assert pygame.display.get_init() and pygame.font.get_init(); "
        "assert not (pygame.mixer.get_init() or pygame.joystick.get_init())"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        timeout=60,
        env={**os.environ, "SDL_VIDEODRIVER": "dummy"},
        check=False,
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
