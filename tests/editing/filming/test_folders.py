"""Opening the folder of a film in what the system has for that."""

from __future__ import annotations

import sys
import time

import pytest

from fxstudio.editing.filming import folders
from fxstudio.editing.filming.folders import NoFolderViewError, OpenedFolder

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="Windows has a call for it")


@pytest.fixture
def opener(tmp_path, monkeypatch):
    """Makes a program that opens folders, the only one there is."""
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(sys, "platform", "linux")

    def make(does, name=folders.OTHER_OPENER):
        program = tmp_path / name
        program.write_text(f'#!/bin/sh\necho "$1" > "{tmp_path}/asked"\n{does}\n')
        program.chmod(0o755)

    return make


def answered(opened):
    for _ in range(500):
        if opened.done:
            return True
        time.sleep(0.01)
    return False


@pytest.mark.parametrize(
    ("platform", "program"), [("linux", folders.OTHER_OPENER), *folders.OPENERS.items()]
)
def test_the_system_is_asked_for_that_folder(opener, tmp_path, monkeypatch, platform, program):
    opener("exit 0", program)
    monkeypatch.setattr(sys, "platform", platform)
    opened = OpenedFolder(tmp_path / "my films")
    assert answered(opened)
    opened.check()
    assert (tmp_path / "asked").read_text() == f"{tmp_path / 'my films'}\n"


def test_nothing_waits_for_it(opener, tmp_path):
    opener("exec /bin/sleep 1")
    before_s = time.monotonic()
    opened = OpenedFolder(tmp_path)
    opened.check()
    assert time.monotonic() - before_s < 0.8
    assert not opened.done
    assert answered(opened)


def test_that_it_could_not_is_told(opener, tmp_path):
    opener("exit 3")
    opened = OpenedFolder(tmp_path)
    assert answered(opened)
    with pytest.raises(NoFolderViewError, match="no program for folders"):
        opened.check()


def test_a_system_without_one_is_told_where_to_go(tmp_path, monkeypatch):
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(NoFolderViewError, match="not installed") as told:
        OpenedFolder(tmp_path)
    assert str(tmp_path) in told.value.remedy
