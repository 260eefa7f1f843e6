"""The window on a real X server, with a real mouse and keyboard; skipped without these tools."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
import tomllib
from contextlib import contextmanager

import pytest
from window_driver import Driver, write_fire

TOOLS = ("Xvfb", "xdotool")
MISSING = [tool for tool in TOOLS if shutil.which(tool) is None]

pytestmark = pytest.mark.skipif(
    bool(MISSING), reason=f"needs {' and '.join(MISSING)}, from the packages xvfb and xdotool"
)


@pytest.fixture
def display():
    """A screen that nobody sees."""
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", "1400x920x24", "-noreset"],
        pass_fds=[write],
        stderr=subprocess.DEVNULL,
    )
    os.close(write)
    with os.fdopen(read) as answer:
        number = answer.readline().strip()
    environment = {**os.environ, "DISPLAY": f":{number}"}
    assert until(
        lambda: (
            subprocess.run(
                ["xdotool", "getdisplaygeometry"], env=environment, capture_output=True, check=False
            ).returncode
            == 0
        )
    ), "the screen does not answer"
    yield f":{number}"
    server.terminate()
    server.wait(10)


@contextmanager
def showing(display, *arguments):
    """`fxstudio show` on that screen, and a function that calls xdotool."""
    environment = {**os.environ, "DISPLAY": display, "SDL_VIDEODRIVER": "x11"}
    window = subprocess.Popen(
        [sys.executable, "-m", "fxstudio", "show", *arguments], env=environment
    )

    def tool(*words, check=True):
        return subprocess.run(
            ["xdotool", *map(str, words)],
            env=environment,
            check=check,
            capture_output=True,
            text=True,
            timeout=30,
        ).stdout

    try:
        look = ("search", "--onlyvisible", "--class", "fxstudio")
        assert until(lambda: window.poll() is not None or tool(*look, check=False), 30)
        assert window.poll() is None, "the window did not open"
        time.sleep(1.0)
        yield window, tool, tool(*look).split()[-1]
    finally:
        if window.poll() is None:
            window.terminate()
        window.wait(20)


def until(what, seconds=15.0):
    """Wait until something is so; whether it is."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if what():
            return True
        time.sleep(0.1)
    return False


def test_a_task_with_real_clicks_and_keys(display, tmp_path):
    """Flames in reverse only, a new title, saved, undone, closed with a question."""
    path = write_fire(tmp_path)
    # The same window without a screen says where its controls are.
    plan = Driver(path)

    def click(place):
        tool("mousemove", "--window", name, *place, "sleep", "0.2", "click", "1", "sleep", "0.3")
        plan.click_at(place)

    def saved():
        return tomllib.loads(path.read_text())

    with showing(display, str(path)) as (window, tool, name):
        click(plan.widget("lane flames").rect.center)
        plan.reveal("lamp.travel")
        gate = plan.widget("lamp.travel")
        assert gate.rect.bottom < plan.page.size[1]
        # Scroll to it with the keyboard, as `reveal` did in the plan.
        for _ in range(60):
            tool("key", "Tab")
            plan.key(9)
            if plan.focus == "lamp.travel":
                break
        tool("sleep", "0.5")
        cell = dict(plan.widget("lamp.travel").cells)["reverse"]
        click(cell.center)
        tool("key", "ctrl+s")
        assert until(lambda: saved()["lamps"]["flames"].get("travel") == "reverse")
        assert "# not too bright" in path.read_text()

        for _ in range(60):
            tool("key", "shift+Tab")
            plan.key(9, 1)
            if plan.focus == "effect.title":
                break
        tool("key", "End")
        tool("type", ", at night")
        tool("key", "Return", "ctrl+s")
        assert until(lambda: saved()["title"] == "Heron's fire, at night")

        tool("key", "ctrl+z", "ctrl+q")
        time.sleep(0.7)
        assert window.poll() is None, "it asks before it closes"
        tool("key", "Return")
        assert until(lambda: window.poll() is not None)
        assert window.returncode == 0
    plan.close()
    assert saved()["title"] == "Heron's fire"
    assert saved()["lamps"]["flames"]["travel"] == "reverse"


def test_a_name_is_typed_over_and_enter_saves(display, tmp_path):
    path = write_fire(tmp_path)
    with showing(display, str(path)) as (window, tool, _):
        tool("key", "ctrl+shift+s", "ctrl+a")
        tool("type", "owl")
        tool("key", "Return", "ctrl+l", "Return", "Right", "ctrl+s")
        assert until((tmp_path / "owl.toml").is_file)
        saved = tmp_path / "owl.toml"
        assert until(
            lambda: tomllib.loads(saved.read_text())["lamps"]["bed"]["pattern"]["level"] == 0.36
        )
        assert window.poll() is None
    assert tomllib.loads(path.read_text())["lamps"]["bed"]["pattern"]["level"] == 0.35


def test_the_window_is_resized_by_its_user(display, tmp_path):
    path = write_fire(tmp_path)
    with showing(display, str(path)) as (window, tool, name):
        for width, height in ((520, 640), (1380, 900), (900, 420)):
            tool("windowsize", name, width, height)
            time.sleep(0.4)
            assert window.poll() is None
        tool("key", "ctrl+q")
        assert until(lambda: window.poll() is not None)
        assert window.returncode == 0


HOLD = """
from fxstudio.window import app
from fxstudio.window.toolkit import clipboard
import pygame, time
app.open_window((200, 200))
pygame.event.get()
assert clipboard.copy("CV 29 = 6, 4 Hz, für später")
print("held", flush=True)
end = time.monotonic() + 30
while time.monotonic() < end:
    pygame.event.get()
    time.sleep(0.02)
"""

READ = """
from fxstudio.window import app
from fxstudio.window.toolkit import clipboard
import pygame
app.open_window((200, 200))
pygame.event.get()
print(ascii(clipboard.paste()))
"""


def test_copied_text_reaches_another_program(display):
    environment = {**os.environ, "DISPLAY": display, "SDL_VIDEODRIVER": "x11"}
    holder = subprocess.Popen(
        [sys.executable, "-c", HOLD], env=environment, stdout=subprocess.PIPE, text=True
    )
    try:
        assert holder.stdout.readline() == "held\n"
        reader = subprocess.run(
            [sys.executable, "-c", READ],
            env=environment,
            capture_output=True,
            text=True,
            timeout=30,
            check=True,
        )
    finally:
        holder.kill()
        holder.communicate(timeout=10)
    assert reader.stdout.strip() == ascii("CV 29 = 6, 4 Hz, für später")
