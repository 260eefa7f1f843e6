"""The document behind the window: files, undo, and nothing lost."""

from __future__ import annotations

import errno
import os

import pytest
from window_driver import FIRE, save_outside, write_fire

from fxstudio.editing import edits
from fxstudio.editing.document import Document
from fxstudio.effect.files import find_effect, read_effect
from fxstudio.errors import InputError, ReadError, WriteError


@pytest.fixture
def path(tmp_path):
    return write_fire(tmp_path)


@pytest.fixture
def document(path):
    document = Document()
    document.open(path)
    return document


def level(document, value, gesture=None):
    path = ("lamps", "bed", "pattern", "level")
    document.edit(edits.set_field(document.effect, path, value), gesture)


def test_a_new_document_is_usable_and_has_nothing_to_lose():
    document = Document()
    assert document.path is None
    assert not document.unsaved
    assert not document.can_undo
    assert not document.can_redo


def test_saving_changes_one_value_and_keeps_every_comment(document, path):
    level(document, 0.5)
    assert document.unsaved
    document.save()
    assert not document.unsaved
    assert path.read_text() == FIRE.replace("level = 0.35", "level = 0.5")


def test_line_ends_stay_as_they_are(path):
    text = FIRE.replace("\n", "\r\n").encode()
    path.write_bytes(text)
    document = Document()
    document.open(path)
    level(document, 0.5)
    document.save()
    assert path.read_bytes() == text.replace(b"level = 0.35", b"level = 0.5")
    assert document.look_at_file() is None


def test_saving_under_another_name_keeps_the_first_file(document, path, tmp_path):
    level(document, 0.5)
    other = tmp_path / "other.toml"
    document.save(other)
    assert path.read_text() == FIRE
    assert "# green wire" in other.read_text()
    assert document.path == other
    assert read_effect(other) == document.effect


def test_undo_and_redo_walk_through_the_edits(document):
    states = [document.effect]
    for value in (0.4, 0.5, 0.6):
        level(document, value)
        states.append(document.effect)
    for state in reversed(states[:-1]):
        document.undo()
        assert document.effect == state
    assert not document.unsaved
    document.undo()
    assert document.effect == states[0]
    for state in states[1:]:
        document.redo()
        assert document.effect == state
    document.redo()
    assert document.effect == states[-1]


def test_a_new_edit_forgets_what_was_undone(document):
    level(document, 0.4)
    document.undo()
    level(document, 0.9)
    assert not document.can_redo


def test_a_drag_is_one_step(document):
    first = document.effect
    for value in (0.4, 0.5, 0.6):
        level(document, value, gesture="level 1")
    level(document, 0.7, gesture="level 2")
    document.undo()
    assert document.effect.lamps["bed"].pattern.level == 0.6
    document.undo()
    assert document.effect == first


def test_a_drag_that_is_settled_does_not_swallow_the_next(document):
    level(document, 0.4, gesture="keys")
    document.settle()
    level(document, 0.5, gesture="keys")
    document.undo()
    assert document.effect.lamps["bed"].pattern.level == 0.4


def test_an_edit_that_changes_nothing_is_no_step(document):
    level(document, 0.35)
    assert not document.can_undo


def test_undo_back_to_what_is_saved_leaves_nothing_unsaved(document):
    level(document, 0.5)
    document.save()
    level(document, 0.6)
    document.undo()
    assert not document.unsaved
    document.undo()
    assert document.unsaved


@pytest.mark.parametrize(
    ("text", "error"),
    [("title = ", ReadError), (FIRE.replace("3", "99", 1), InputError), (None, ReadError)],
)
def test_a_file_that_cannot_be_opened_leaves_the_open_one(document, tmp_path, text, error):
    bad = tmp_path / "bad.toml"
    if text is not None:
        bad.write_text(text)
    level(document, 0.5)
    before = document.effect, document.path
    with pytest.raises(error, match=r"bad\.toml"):
        document.open(bad)
    assert (document.effect, document.path) == before
    assert document.unsaved


def test_an_effect_that_cannot_be_drawn_is_not_opened(document, tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text(FIRE.replace("lamps.flames", "lamps.sparks"))
    with pytest.raises(InputError, match="has no place 'sparks'"):
        document.open(bad)


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EACCES, errno.EROFS])
def test_a_save_that_fails_loses_neither_file_nor_edits(document, path, monkeypatch, code):
    level(document, 0.5)

    def fail(_):
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(WriteError, match="cannot be written"):
        document.save()
    monkeypatch.undo()
    assert path.read_text() == FIRE
    assert document.unsaved
    assert document.effect.lamps["bed"].pattern.level == 0.5
    assert list(path.parent.iterdir()) == [path]
    document.save()
    assert "level = 0.5" in path.read_text()


def test_saving_where_there_is_no_folder_is_refused(document, tmp_path):
    with pytest.raises(WriteError, match="make the folder first"):
        document.save(tmp_path / "none" / "fire.toml")
    assert document.path.name == "heron.toml"


def test_a_file_changed_elsewhere_is_read_again_and_can_be_undone(document, path):
    assert document.look_at_file() is None
    first = document.effect
    save_outside(path, FIRE.replace("0.35", "0.8"))
    assert "read again" in document.look_at_file()
    assert document.effect.lamps["bed"].pattern.level == 0.8
    assert not document.unsaved
    document.undo()
    assert document.effect == first


def test_comments_written_elsewhere_are_kept(document, path):
    save_outside(path, FIRE.replace("by eye", "measured"))
    document.look_at_file()
    level(document, 0.5)
    document.save()
    assert "# measured" in path.read_text()


def test_a_file_that_breaks_keeps_the_last_good_effect(document, path):
    good = document.effect
    save_outside(path, FIRE.replace("0.35", "35"))
    assert document.look_at_file() is None
    assert document.effect == good
    assert "pattern.level" in str(document.broken)
    save_outside(path, FIRE.replace("0.35", "0.36"))
    assert document.look_at_file()
    assert document.broken is None
    assert document.effect.lamps["bed"].pattern.level == 0.36


def test_unsaved_edits_are_not_overwritten_by_another_program(document, path):
    level(document, 0.5)
    mine = document.effect
    save_outside(path, FIRE.replace("0.35", "0.8"))
    document.look_at_file()
    assert document.effect == mine
    document.take_outside()
    assert document.effect.lamps["bed"].pattern.level == 0.8
    assert not document.unsaved
    document.undo()
    assert document.effect == mine


def test_unsaved_edits_can_win_over_another_program(document, path):
    level(document, 0.5)
    save_outside(path, FIRE.replace("0.35", "0.8").replace("by eye", "measured"))
    document.look_at_file()
    document.keep_mine()
    assert document.outside is None
    assert document.unsaved
    document.save()
    assert "level = 0.5" in path.read_text()
    assert "# measured" in path.read_text()


def test_its_own_saving_is_no_change_from_elsewhere(document):
    level(document, 0.5)
    document.save()
    assert document.look_at_file() is None
    assert document.outside is None


def test_a_file_that_vanishes_is_told_and_written_again(document, path):
    path.unlink()
    assert "is gone" in document.look_at_file()
    assert document.gone
    assert document.unsaved
    level(document, 0.5)
    document.save()
    assert not document.gone
    assert not document.unsaved
    assert "level = 0.5" in path.read_text()


@pytest.mark.parametrize("value", [0.35, 0.5])
def test_a_file_that_comes_back_as_it_was_leaves_the_edits_unsaved(document, path, value):
    path.unlink()
    document.look_at_file()
    level(document, value)
    path.write_text(FIRE, "utf-8")
    assert "again" in document.look_at_file()
    assert not document.gone
    assert document.outside is None
    assert document.unsaved == (value != 0.35)


def test_a_file_that_comes_back_otherwise_waits_beside_the_effect(document, path):
    path.unlink()
    document.look_at_file()
    mine = document.effect
    path.write_text(FIRE.replace("0.35", "0.8"), "utf-8")
    document.look_at_file()
    assert document.effect == mine
    assert document.outside.lamps["bed"].pattern.level == 0.8


@pytest.mark.parametrize("name", ["banked_fire.toml", "a_new_name.toml"])
def test_nothing_is_written_among_shipped_effects(document, tmp_path, monkeypatch, name):
    folder = tmp_path / "effects"
    folder.mkdir()
    (folder / "banked_fire.toml").write_text("theirs")
    monkeypatch.setattr("fxstudio.editing.document.shipped_folder", lambda: folder)
    with pytest.raises(WriteError, match="comes with fxstudio"):
        document.save(tmp_path / "effects" / ".." / "effects" / name)
    assert [path.read_text() for path in folder.iterdir()] == ["theirs"]
    assert document.path.name == "heron.toml"


def test_effects_that_come_with_it_are_known_as_such(document):
    assert not document.is_shipped
    document.open(find_effect("banked_fire"))
    assert document.is_shipped
