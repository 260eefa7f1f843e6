"""`fxstudio describe new`: the interview in the terminal."""

from __future__ import annotations

import io
import tomllib
from pathlib import Path

import pytest
from decoder.interview.answering import answered, answers_in

ROOK = answers_in("rook_lane")


def typed(monkeypatch, answers):
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{text}\n" for text in answers)))


def test_the_command_asks_and_writes_a_file_that_passes_check(run, monkeypatch):
    typed(monkeypatch, [*ROOK[:7], "120 and a half", *ROOK[7:]])
    code, out, err = run("describe", "new", "-o", "rook.toml")
    assert code == 0
    assert "What is the decoder called?" in out
    assert err.count("error") == 1
    assert "So 2 on CV 120 means: green: steady; violet: flicker." in out
    assert Path("rook.toml").read_text("utf-8") == answered(ROOK).text()
    assert not Path("rook.unfinished.toml").exists()
    assert run("check", "rook.toml")[0] == 0
    code, out, _ = run("explain", "rook.toml")
    assert code == 0
    assert "Nothing else can be set." in out


def test_list_shows_the_answers_and_back_changes_one_of_them(run, monkeypatch):
    typed(monkeypatch, [*ROOK[:8], "list", "back 5", "80 mA each", *ROOK[8:]])
    code, out, err = run("describe", "new")
    assert (code, err) == (0, "")
    assert "  5  How many mA may they switch?  50 mA each" in out
    assert tomllib.loads(Path("my_decoder.toml").read_text())["outputs"]["green"]["limit_ma"] == 80


@pytest.mark.parametrize("at", [1, 4, 8, 12, 16])
def test_an_interview_that_is_broken_off_goes_on(run, monkeypatch, at):
    typed(monkeypatch, ROOK[:at])
    code, out, _ = run("describe", "new")
    assert code == 130
    assert "my_decoder.unfinished.toml: interrupted; all answers are kept" in out
    typed(monkeypatch, ROOK[at:])
    code, out, _ = run("describe", "new")
    assert code == 0
    assert f"goes on after its {at} answers" in out
    assert Path("my_decoder.toml").read_text("utf-8") == answered(ROOK).text()
    assert not Path("my_decoder.unfinished.toml").exists()


def test_an_answer_taken_back_does_not_come_again_in_the_next_sitting(run, monkeypatch):
    typed(monkeypatch, ["My glim", "2", "back"])
    run("describe", "new")
    kept = tomllib.loads(Path("my_decoder.unfinished.toml").read_text())
    assert [row["answer"] for row in kept["answers"]] == ["My glim"]
    typed(monkeypatch, ["back"])
    _, out, _ = run("describe", "new")
    assert "interrupted; no file was written" in out
    assert list(Path().iterdir()) == []


def test_answers_may_be_changed_in_their_file(run, monkeypatch):
    typed(monkeypatch, ROOK[:12])
    run("describe", "new")
    kept = Path("my_decoder.unfinished.toml")
    kept.write_text(kept.read_text().replace(ROOK[0], "Another name"))
    assert run("check", str(kept))[0] == 0
    typed(monkeypatch, ROOK[12:])
    assert run("describe", "new")[0] == 0
    assert tomllib.loads(Path("my_decoder.toml").read_text())["title"] == "Another name"


def test_a_file_of_answers_that_cannot_be_read_is_told_and_left_alone(run):
    kept = Path("my_decoder.unfinished.toml")
    kept.write_text("answers = 5")
    code, _, err = run("describe", "new")
    assert code == 2
    assert "my_decoder.unfinished.toml, field 'answers'" in err
    assert kept.read_text() == "answers = 5"


def test_bytes_that_are_no_letters_do_no_harm(run, monkeypatch):
    typed(monkeypatch, ["Glim \udcff"])
    assert run("describe", "new")[0] == 130
    kept = tomllib.loads(Path("my_decoder.unfinished.toml").read_text())
    assert kept["answers"][0]["answer"] == "Glim ?"


def test_a_folder_that_is_not_there_is_told_at_the_first_answer(run, monkeypatch):
    typed(monkeypatch, ROOK)
    code, _, err = run("describe", "new", "-o", "no/such/decoder.toml")
    assert code == 2
    assert "no/such" in err


def test_a_file_that_is_there_is_not_replaced_without_a_word(run, monkeypatch):
    typed(monkeypatch, ROOK)
    Path("my_decoder.toml").write_text("mine")
    code, _, err = run("describe", "new")
    assert code == 2
    assert "--replace" in err
    assert Path("my_decoder.toml").read_text() == "mine"
