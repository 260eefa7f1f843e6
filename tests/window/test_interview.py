"""The interview in the window: the same questions, with what they mean beside them."""

from __future__ import annotations

import io

import pygame
import pytest
from decoder.interview.answering import answered, answers_in
from window_driver import Driver

ROOK = answers_in("rook_lane")


@pytest.fixture
def driver(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    found = Driver("banked_fire")
    found.app.actions.describe_decoder()
    found.frame(0)
    yield found
    found.close()


def answer(driver: Driver, *texts: str) -> None:
    for text in texts:
        driver.type(text)
        driver.key(pygame.K_RETURN)


def sheet(driver: Driver):
    return driver.page.sheets[-1]


def test_it_is_opened_from_the_list_of_decoders(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    driver = Driver("banked_fire")
    driver.click("decoder")
    driver.key(pygame.K_END)
    driver.key(pygame.K_UP)
    driver.key(pygame.K_RETURN)
    assert "Describe a decoder from its leaflet" in driver.texts()
    driver.close()


def test_answers_and_a_name_give_the_file(driver, tmp_path):
    assert driver.focus == "interview answer"
    answer(driver, *ROOK)
    driver.click("interview save")
    driver.key(pygame.K_RETURN)
    assert (tmp_path / "my_decoder.toml").read_text("utf-8") == answered(ROOK).text()
    assert [path.name for path in tmp_path.iterdir()] == ["my_decoder.toml"]
    assert driver.page.sheets == []
    assert driver.studio.decoder.leaflet.title == "Rook Lane 2"  # what is described is chosen


def test_worked_examples_and_what_outputs_do_stand_beside_the_question(driver):
    answer(driver, *ROOK[:12])
    texts = driver.texts()
    assert "So 2 on CV 120 means: green: steady; violet: flicker." in texts
    assert "violet (output 2): flicker, 5 changes a second, on F1." in texts
    assert "Rook Lane 2" not in texts  # it is in the list


def test_a_complaint_stands_below_what_was_typed(driver):
    answer(driver, ROOK[0], ROOK[1], "red")
    assert "are 1 for 2 outputs" in driver.texts()
    assert driver.widget("interview answer").draft == "red"
    driver.type_over("same")
    driver.key(pygame.K_RETURN)
    assert "are 1 for 2 outputs" not in driver.texts()


def test_buttons_take_the_likely_answer_and_that_it_is_not_known(driver):
    answer(driver, *ROOK[:6])
    driver.click("interview default")
    assert sheet(driver).interview.so_far()[-1].answer == "120"
    answer(driver, "all", "one", "level")
    driver.click("interview not known")
    assert sheet(driver).interview.so_far()[-1].answer == "not known"
    driver.click("interview back")
    assert sheet(driver).interview.question.at == "line 1: codes"


def test_an_answer_in_the_list_is_asked_once_more_and_the_others_stay(driver):
    answer(driver, *ROOK)
    driver.tab_to("interview answers")
    driver.key(pygame.K_HOME)
    driver.key(pygame.K_RETURN)
    assert sheet(driver).interview.question.at == "title"
    answer(driver, "Rook Lane 3")
    assert sheet(driver).interview.question is None


def test_going_on_later_keeps_the_answers_for_the_terminal_too(driver, run, monkeypatch):
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    answer(driver, *ROOK[:7])
    driver.click("interview close")
    assert driver.page.sheets == []
    code, out, _ = run("describe", "new")
    assert code == 130
    assert "goes on after its 7 answers" in out
    driver.app.actions.describe_decoder()
    assert len(sheet(driver).interview.so_far()) == 7


def test_answers_that_cannot_be_read_are_told_and_left_alone(driver, tmp_path):
    driver.click("interview close")
    kept = tmp_path / "my_decoder.unfinished.toml"
    kept.write_text("answers = 5")
    driver.app.actions.describe_decoder()
    assert driver.page.sheets == []
    assert "my_decoder.unfinished.toml" in driver.studio.message.text
    assert kept.read_text() == "answers = 5"


def test_pasted_lines_stay_apart(driver, monkeypatch):
    monkeypatch.setattr("fxstudio.window.toolkit.controls.entry.paste", lambda: "Glim\nthe 2nd")
    driver.ctrl(pygame.K_v)
    assert driver.widget("interview answer").draft == "Glim the 2nd"
