"""The interview: whoever answers from a manual gets a description that passes every check."""

from __future__ import annotations

import contextlib
import copy
import io
import itertools
import random
import tomllib
from pathlib import Path

import pytest
from decoders import DECODERS
from typed import HEARTHLIGHT as ANSWERS

from fxstudio.decoder.description.fields import EffectField
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.description.tables import Output
from fxstudio.decoder.interview.answers import (
    as_typed,
    is_yes,
    number_in,
    pair,
    several,
    value_of,
    whole,
)
from fxstudio.decoder.interview.describe import DONE, Interview, to_text
from fxstudio.decoder.interview.questions import SECTIONS
from fxstudio.decoder.interview.stand_ins import misfit
from fxstudio.decoder.leaflet.files import shipped
from fxstudio.documents.reading import parse
from fxstudio.effect.patterns import KINDS
from fxstudio.errors import InputError


class Owner:
    """Someone who answers from a description as if it were the manual.

    `slips` are typed before the right answer to every question, one after the other.
    """

    def __init__(self, manual: dict, slips: tuple[str, ...] = ()) -> None:
        self.manual, self.slips = manual, slips
        self.sections = iter(SECTIONS)
        self.section = None
        self.row = 0
        self.typed: list[tuple[str, str, str, str]] = []
        self.pending: list[str] = []
        self.complaints: list[str] = []
        self.headings: list[str] = []

    def tell(self, title: str, text: str) -> None:
        self.headings.append(title)
        self.section = next(s for s in self.sections if s.title == title)
        self.row = -1

    def ask(self, question: str, allowed: str, default: str) -> str:
        assert allowed
        if self.pending:
            return self.pending.pop(0)
        answer = self._answer(question, default)
        self.pending = [*self.slips[1:], answer] if self.slips else []
        self.typed.append((question, allowed, default, answer))
        return self.slips[0] if self.slips else answer

    def complain(self, error) -> None:
        self.complaints.append(str(error))

    def _answer(self, words: str, default: str) -> str:
        offered = next((s for s in SECTIONS if s.offer == words), None)
        if offered:
            first = offered.questions[0].field
            table = self.manual.get(offered.where, ())
            table = table[0] if isinstance(table, list) else table
            return "yes" if first in table else "no"
        question = next(q for q in self.section.questions if q.words == words)
        table = self.manual
        for part in filter(None, self.section.where.split(".")):
            table = table[part]
        if self.section.rows is not None:
            if question is self.section.questions[0]:
                self.row += 1
            if self.row == len(table):
                return ""
            table = table[self.row]
        *way, field = question.field.split(".")
        for part in way:
            table = table.get(part, {})
        if field == "function_map":
            return "yes" if table[field] == "s-9.2.2" else "no"
        if field not in table:
            return ""
        value = table[field]
        return ", ".join(map(str, value)) if isinstance(value, list) else str(value)

    def describe(self) -> dict:
        return Interview(self.ask, self.tell, self.complain).run()


MANUALS = {name: tomllib.loads(path.read_text("utf-8")) for name, path in shipped().items()}


@pytest.mark.parametrize("name", MANUALS)
def test_answers_from_a_manual_give_its_description(name):
    owner = Owner(MANUALS[name])
    data = owner.describe()
    assert owner.complaints == []
    assert parse(Description, data) == DECODERS[name]


def test_a_code_that_never_lights_and_bits_of_something_else_can_be_said():
    manual = copy.deepcopy(MANUALS["withybank_glim"])
    manual["effect"]["codes"] += [{"code": 7, "name": "none", "pattern": {"kind": "dark"}}]
    manual["level"] |= {"bits": 2, "shares": [0.1, 0.3, 0.6, 1.0], "works": 3}
    manual["keep"] = [
        {"what": "motor", "cv": cv, "bit": 7, "bits": 1, "works": 1} for cv in (142, 144)
    ]
    owner = Owner(manual)
    data = owner.describe()
    assert owner.complaints == []
    described = parse(Description, tomllib.loads(to_text(data)))
    assert described == parse(Description, manual)
    assert described.effect.meanings[7].is_dark
    assert [row.kept_bits.bit for row in described.keep] == [7, 7]
    assert any("dark - no light" in allowed for _, allowed, *_ in owner.typed)


@pytest.mark.parametrize("name", MANUALS)
def test_the_file_passes_check_and_explains_every_field(name, tmp_path):
    text = to_text(Owner(MANUALS[name]).describe())
    assert parse(Description, tomllib.loads(text)) == DECODERS[name]
    lines = text.splitlines()
    assert lines[0].startswith(f"# {MANUALS[name]['title']}: described with")
    assert max(len(line) for line in lines if line.startswith("#")) <= 90
    for line in ("levels =", "wire =", "cv =", "works =", "curve ="):
        first = next(i for i, text in enumerate(lines) if text.startswith(line))
        assert lines[first - 1].startswith("# ")


@pytest.mark.parametrize("seed", range(3))
def test_slips_are_told_at_once_and_asked_again(seed):
    slips = tuple(random.Random(seed).sample(["1,5 x", "-3 m", "soon!", "0x10 y"], 3))
    manual = MANUALS["withybank_glim"]
    owner = Owner({**manual, "title": "Glim"}, slips)
    # Free text takes anything, so only what is not free text is asked again.
    data = owner.describe()
    assert owner.complaints
    assert data["rate"] == manual["rate"]
    assert data["effect"]["cv"] == manual["effect"]["cv"]


def listed(answers: list[str]):
    """An interview with these answers, ended when they are used up."""
    told: list[str] = []
    asked: list[tuple[str, str]] = []
    left = iter(answers)

    def ask(words: str, allowed: str, default: str) -> str:
        asked.append((words, default))
        return next(left)

    with pytest.raises(StopIteration):
        Interview(ask, lambda *_: None, lambda error: told.append(str(error))).run()
    return told, asked


OUTPUT = ["1", "white", "F0", "both", "100"]


def test_a_row_that_does_not_fit_is_asked_again_and_the_others_stay():
    told, asked = listed(["Glim", "", "no", "", *OUTPUT, "1", "2", "yellow", "F0", "both", "100"])
    assert len(told) == 1
    assert "comes after 1" in told[0]
    assert asked[-1] == ("Number of the output: 1 front light, 2 rear light, 3 onwards.", DONE)


def test_a_key_that_the_map_cannot_give_is_told_after_the_row():
    told, _ = listed(["Glim", "", "yes", "", "1", "white", "F9", "both", "100"])
    assert "the function map cannot give output 1 this key" in told[0]


TO_RATE = ["Glim", "", "no", "", *OUTPUT, "", "64", "8", "yes"]


def test_a_curve_that_turns_back_is_told_at_its_point():
    told, _ = listed([*TO_RATE, "149", "0", "1", "100", "5", "200", "2", "200", "9", ""])
    assert len(told) == 1
    assert "turns back or stands still" in told[0]


def test_a_cv_that_is_not_a_makers_is_told_at_once_and_is_no_default():
    told, asked = listed([*TO_RATE, "7", "17", "149"])
    assert "CV7 holds the maker's version number and cannot be written" in told[0]
    assert "CV17 is not in a range left to makers" in told[1]
    assert "allowed: 47 to 64, 112 to 256, 513 to 879" in told[1]
    cv = "Which CV holds the shared rate?"
    assert asked[-4:-1] == [(cv, "")] * 3


def test_an_answer_that_does_not_fit_those_before_is_told_at_once():
    """Each of these used to come up a few questions later."""
    two = ["Glim", "", "no", "", *OUTPUT, "2", "yellow", "F0", "both", "", "", "64", "8", "yes"]
    told, _ = listed([*two, "149", "0", "4", "1", "4.01", "", "0", "121, 122, 123"])
    assert "has 3 entries for 2 outputs" in told[0]
    told, _ = listed([*TO_EFFECT, "141", "4", "6", "0", "0", "16", "1", "on", "", "1"])
    assert "goes past bit 7: 4 bits from bit 6" in told[0]
    assert "allowed: a whole number from 0 to 4" in told[0]
    assert "does not fit its bits" in told[1]
    assert "allowed: a whole number from 0 to 15" in told[1]
    assert "stands in the table already" in told[2]
    told, _ = listed([*TO_RATE, "300", "5, 1", "149", "8", "0", "1"])
    assert "CV31 = 5, CV32 = 1 is no page for makers" in told[0]
    told, _ = listed([*TO_RATE, "149", "5", "1", "4"])
    assert "comes after 5" in told[0]


def test_enter_ends_no_list_that_is_too_short_and_it_says_how_many_are_needed():
    hints: dict[str, list[str]] = {}
    told: list[str] = []
    left = iter([*TO_RATE, "149", "", "0", "1", "", "9", "9"])

    def ask(words: str, allowed: str, default: str) -> str:
        hints.setdefault(words, []).append(allowed.partition("\n")[0].partition("; ")[2])
        return next(left)

    with pytest.raises(StopIteration):
        Interview(ask, lambda *_: None, lambda error: told.append(str(error))).run()
    more = ["2 more needed"] * 2 + ["1 more needed"] * 2 + ["Enter when there are no more"]
    assert hints["A value of the CV, the smallest first."] == more
    assert [text.splitlines()[0] for text in told] == ["needs an answer"] * 2
    assert all("back to be asked the question before" in text for text in told)
    assert not any("needed" in text for text in told)  # only what an answer may be


def test_what_is_as_delivered_is_one_code_or_one_for_each_output():
    told, _ = listed([*TO_EFFECT, "141", "4", "0", "0", "0", "on", "", "", "0, 0", "16", "0"])
    assert "has 2 entries for 1 output\n" in told[0]
    assert "does not fit its bits" in told[1]


TO_EFFECT = [*TO_RATE, "149", "0", "1", "200", "9", "", "50"]


def test_overlapping_bits_are_told_at_once():
    told, asked = listed([*TO_EFFECT, "149", "8", "141", "8"])
    assert "the shared rate and the effect of output 1 both use bit 0 of CV149" in told[0]
    assert asked[-3] == ("Which CV holds the effect code of the first output?", "")  # no way round


def test_a_table_of_codes_without_a_steady_light_goes_on():
    told, asked = listed(
        [*TO_EFFECT, "141", "8", "1", "fire", "flicker", "0.5", "hold", "", "0", "on", "steady"]
    )
    assert "has no steady light" in told[0]
    assert asked[-1][1] == DONE


def test_a_rate_as_delivered_outside_its_curve():
    told, _ = listed([*TO_RATE, "149", "5", "1", "200", "9", "", "201", "50"])
    assert "is outside the rate curve" in told[0]


def test_a_page_is_asked_for_only_where_there_are_pages():
    _, asked = listed([*TO_RATE, "300", "40, 1", "0", "1"])
    assert any("CV31 and CV32" in words for words, _ in asked)
    _, asked = listed([*TO_RATE, "149", "0", "1"])
    assert not any("CV31 and CV32" in words for words, _ in asked)


def test_every_question_is_asked_of_some_decoder_and_ends_with_a_mark():
    asked = set()
    for manual in MANUALS.values():
        owner = Owner(manual)
        owner.describe()
        asked |= {words for words, *_ in owner.typed}
    for section in SECTIONS:
        for text in filter(None, [section.offer, *(q.words for q in section.questions)]):
            assert text[-1] in ".?"
    assert len(asked) > 40


@pytest.mark.parametrize(
    ("text", "model", "field", "reader", "value"),
    [
        ("12", Output, "number", whole, 12),
        ("141", EffectField, "cv", several, 141),
        ("141; 143 145", EffectField, "cv", several, [141, 143, 145]),
        ("40, 0", EffectField, "page", pair, [40, 0]),
        ("white", Output, "wire", as_typed, "white"),
    ],
)
def test_answers_become_values(text, model, field, reader, value):
    assert value_of(text, model, field, reader) == value


@pytest.mark.parametrize(
    ("text", "model", "field", "reader", "problem", "allowed"),
    [
        ("0", Output, "number", whole, "is too small", "a whole number from 1 to 32"),
        ("33", Output, "number", whole, "is too large", "from 1 to 32"),
        ("1.5", Output, "number", whole, "cannot be understood", "a whole number"),
        ("1025", EffectField, "cv", several, "is too large", "1 to 1024"),
        ("40", EffectField, "page", pair, "cannot be understood", "two whole numbers"),
        ("40, 256", EffectField, "page", pair, "is too large", "from 0 to 255"),
        ("up", Output, "travel", as_typed, "is not one of the choices", "forward, reverse, both"),
        ("F29", Output, "key", as_typed, "is not a function key", "F0 to F28, or always"),
    ],
)
def test_answers_that_a_field_does_not_allow(text, model, field, reader, problem, allowed):
    with pytest.raises(InputError) as caught:
        value_of(text, model, field, reader)
    assert caught.value.problem == problem
    assert allowed in caught.value.allowed
    assert caught.value.remedy == "type it again"


def test_yes_and_no():
    assert [is_yes(text) for text in ("yes", "Y", "no", " n ")] == [True, True, False, False]
    with pytest.raises(InputError, match="is neither yes nor no"):
        is_yes("perhaps")


def test_nothing_answered_yet_fits():
    assert misfit({}) is None


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [("100", "mA", 100), ("100 mA", "mA", 100), ("5ms", "ms", 5), ("2.5 hz", "Hz", 2.5)],
)
def test_a_number_may_have_its_unit_behind_it(text, unit, value):
    assert number_in(unit).read(text) == value


@pytest.mark.parametrize("text", ["0.1 A", "100 mAh", "100 ma A", "mA", "1,5 mA"])
def test_another_unit_is_refused(text):
    with pytest.raises(ValueError, match="a number in mA, with a point and no comma"):
        number_in("mA").read(text)


def test_every_kind_of_pattern_is_explained_where_it_is_asked_for():
    section = next(s for s in SECTIONS if s.where == "effect.codes")
    by_field = {question.field: question for question in section.questions}
    said = by_field["pattern.kind"].limit.hint({}, {})
    for kind, row in KINDS.items():
        assert f"{kind} - " in said
        for name in row.model_fields.keys() - {"kind", "level", "highest"}:
            assert by_field[f"pattern.{name}"].words.endswith((".", "?"))
            assert "?" in by_field[f"pattern.{name}"].words
    assert by_field["pattern.style"].default == "hold"


FIXED = {**MANUALS["withybank_glim"], "rate": {"fixed_hz": 5.0}}


def test_a_decoder_without_a_cv_for_the_rate_has_a_fixed_one():
    owner = Owner(FIXED)
    data = owner.describe()
    assert owner.complaints == []
    assert data["rate"] == {"fixed_hz": 5.0}
    assert not any("as delivered" in title for title in owner.headings if "rate" in title)
    assert tomllib.loads(to_text(data))["rate"] == {"fixed_hz": 5.0}


def typed(monkeypatch, answers):
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{text}\n" for text in answers)))


def test_the_command_asks_and_writes_a_file_that_passes_check(run, monkeypatch):
    typed(monkeypatch, ANSWERS)
    code, out, err = run("describe", "new", "-o", "hearthlight.toml")
    assert code == 0
    assert "What is the decoder called?" in out
    assert err.count("error") == 1
    assert "given:   1,5" in err
    code, out, _ = run("check", "hearthlight.toml")
    assert code == 0
    assert "hearthlight.toml: a usable decoder description" in out
    assert run("values", "ticking_fire", "-d", "hearthlight.toml")[0] == 2  # no output 3
    made = tomllib.loads(Path("hearthlight.toml").read_text())
    assert made["rate"]["curve"] == [{"value": 0, "hz": 0.5}, {"value": 250, "hz": 12.0}]


def test_an_interview_that_is_broken_off_goes_on(run, monkeypatch, tmp_path):
    """Whatever has been answered, wrong answers among them, the file in the end is the same."""
    typed(monkeypatch, ANSWERS)
    run("describe", "new", "-o", "whole.toml")
    kept = tmp_path / "parts.unfinished.toml"
    for first in range(0, len(ANSWERS), 7):
        typed(monkeypatch, ANSWERS[first : first + 7])
        code, out, err = run("describe", "new", "-o", "parts.toml")
        last = first + 7 >= len(ANSWERS)
        assert code == (0 if last else 130)
        assert ("What is the decoder called?" in out) == (first == 0)
        assert (f"parts.unfinished.toml: goes on after its {first} answers" in out) == (first > 0)
        assert err.count("error") == ("1,5" in ANSWERS[first : first + 7])
        assert kept.exists() != last
    assert (tmp_path / "parts.toml").read_text() == (tmp_path / "whole.toml").read_text()


@pytest.mark.parametrize("at", [1, 5, 6, 10, 14, 16, 22, 25, 30, 40])
def test_back_asks_the_question_before_once_more(run, monkeypatch, tmp_path, at):
    """Back, and the answer to the question before again: the file in the end is the same."""
    typed(monkeypatch, ANSWERS)
    run("describe", "new", "-o", "whole.toml")
    before = ANSWERS[at - 1] if ANSWERS[at - 1] != "1,5" else ANSWERS[at - 2]
    typed(monkeypatch, [*ANSWERS[:at], "back", before, *ANSWERS[at:]])
    code, _, _ = run("describe", "new", "-o", "again.toml")
    assert code == 0
    assert (tmp_path / "again.toml").read_text() == (tmp_path / "whole.toml").read_text()
    assert list(tmp_path.glob("*unfinished*")) == []


def test_back_may_be_typed_again_and_again(run, monkeypatch, tmp_path):
    typed(monkeypatch, ["Glim", "", "no", "back", "Back", "back", "BACK", "Hearth", "", "no"])
    code, out, err = run("describe", "new")
    assert code == 130
    assert err.count("this is the first question") == 1
    assert out.count("What is the decoder called?") == 3  # the last time after its complaint
    kept = tomllib.loads((tmp_path / "my_decoder.unfinished.toml").read_text())
    assert [row["answer"] for row in kept["answers"]] == ["Hearth", "", "no"]


def test_an_answer_taken_back_does_not_come_again_in_the_next_sitting(run, monkeypatch, tmp_path):
    kept = tmp_path / "my_decoder.unfinished.toml"
    typed(monkeypatch, ["My glim", "", "back"])
    _, out, _ = run("describe", "new")
    assert "my_decoder.unfinished.toml: interrupted; all answers are kept" in out
    assert [row["answer"] for row in tomllib.loads(kept.read_text())["answers"]] == ["My glim"]
    typed(monkeypatch, ["back"])
    _, out, _ = run("describe", "new")
    assert "interrupted; no file was written" in out
    assert list(tmp_path.iterdir()) == []


def test_an_interview_that_is_broken_off_at_once_leaves_no_file(run, monkeypatch, tmp_path):
    typed(monkeypatch, [])
    code, out, _ = run("describe", "new")
    assert code == 130
    assert "interrupted; no file was written" in out
    assert list(tmp_path.iterdir()) == []


def test_the_section_one_goes_on_in_is_told_again(run, monkeypatch):
    typed(monkeypatch, ANSWERS[:6])
    _, before, _ = run("describe", "new")
    typed(monkeypatch, [])
    _, out, _ = run("describe", "new")
    first, second, *_ = (section.title for section in SECTIONS)
    assert first in before
    assert second in before
    assert first not in out
    assert second in out


def test_answers_may_be_changed_and_what_depends_on_them_is_asked(run, monkeypatch, tmp_path):
    typed(monkeypatch, ANSWERS[:20])
    run("describe", "new")
    kept = tmp_path / "my_decoder.unfinished.toml"
    data = tomllib.loads(kept.read_text())
    assert len(data["answers"]) == 20
    kept.write_text(kept.read_text().replace(ANSWERS[0], "Another name"))
    typed(monkeypatch, ANSWERS[20:])
    assert run("describe", "new")[0] == 0
    assert tomllib.loads((tmp_path / "my_decoder.toml").read_text())["title"] == "Another name"


def test_a_file_of_answers_that_cannot_be_read_is_told_and_left_alone(run, tmp_path):
    kept = tmp_path / "my_decoder.unfinished.toml"
    kept.write_text("answers = 5")
    code, _, err = run("describe", "new")
    assert code == 2
    assert "my_decoder.unfinished.toml, field 'answers'" in err
    assert kept.read_text() == "answers = 5"


def test_bytes_that_are_no_letters_do_no_harm(run, monkeypatch, tmp_path):
    typed(monkeypatch, ["Glim \udcff"])
    assert run("describe", "new")[0] == 130
    kept = tomllib.loads((tmp_path / "my_decoder.unfinished.toml").read_text())
    assert kept["answers"][0]["answer"] == "Glim ?"


def test_a_folder_that_is_not_there_is_told_at_the_first_answer(run, monkeypatch):
    typed(monkeypatch, ANSWERS)
    code, _, err = run("describe", "new", "-o", "no/such/decoder.toml")
    assert code == 2
    assert "make the folder first" in err


def test_a_file_that_is_there_is_not_replaced(run, tmp_path):
    (tmp_path / "mine.toml").write_text("mine")
    code, out, err = run("describe", "new", "-o", "mine.toml")
    assert code == 2
    assert "is there already" in err
    assert "What is the decoder called?" not in out
    assert (tmp_path / "mine.toml").read_text() == "mine"


def random_answers(seed: int):
    """What somebody might type, right or wrong, in any order."""
    rng = random.Random(seed)
    some = ["", "", "", "", "no", "no", "yes", "steady", "flicker", "flash", "1", "2", "0", "3"]
    some += ["121", "131", "141", "149", "300", "40, 1", "8", "4", "1, 2", "both", "forward"]
    some += ["F0", "F1", "50", "255", "0.5", "0, 0.5, 1", "4.01", "100", "Glim", "back there"]
    while True:
        yield rng.choice(some)


def test_random_interviews_come_to_their_end_and_no_answer_is_refused_too_late(monkeypatch):
    """Each goes to its end, or to a question that is still asked after a great many answers."""
    too_late = []

    def last_check(model, data):
        try:
            return parse(model, data)
        except InputError as error:
            too_late.append(str(error))
            raise

    monkeypatch.setattr("fxstudio.decoder.interview.describe.parse", last_check)
    ended = 0
    for seed in range(16):
        left = itertools.islice(random_answers(seed), 600)
        with contextlib.suppress(StopIteration):
            data = Interview(lambda *_, left=left: next(left), lambda *_: None, id).run()
            parse(Description, tomllib.loads(to_text(data)))
            ended += 1
    assert too_late == []
    assert ended >= 10


CODES_1_AND_2 = [*TO_EFFECT, "141", "", "1", "on", "", "2", "out", "", ""]


def test_codes_that_do_not_begin_at_0_come_to_an_end():
    told, asked = listed([*CODES_1_AND_2, "", "0", "9"])
    assert asked[-1] == ("Which effect code does each output have as delivered?", "")
    assert [text.splitlines()[0] for text in told] == [
        "needs an answer",
        *["is not in the table of codes"] * 2,
    ]
    left = iter([*CODES_1_AND_2, "2", *["no"] * 5])
    data = Interview(lambda *_: next(left), lambda *_: None, lambda _: None).run()
    assert parse(Description, data).effect.works == (2,)


def test_what_only_shows_in_the_end_is_asked_again_from_there(monkeypatch):
    """Nobody gets stuck, even if a check along the way should miss something."""
    monkeypatch.setattr("fxstudio.decoder.interview.describe.misfit", lambda *_, **__: None)
    wrong = [*TO_EFFECT, "149", *CODES_1_AND_2[len(TO_EFFECT) + 1 :], "2", *["no"] * 5]
    left = iter([*wrong, "141", *wrong[len(TO_EFFECT) + 1 :]])
    told, asked = [], []

    def ask(words: str, *_: str) -> str:
        asked.append(words)
        return next(left)

    data = Interview(ask, lambda *_: None, told.append).run()
    assert [error.field for error in told] == ["effect.cv"]
    assert asked.count("Which CV holds the effect code of the first output?") == 2
    assert asked.count("What is the decoder called?") == 1
    assert parse(Description, data).effect.cv == (141,)


def asks_for_numbers(question) -> bool:
    for typed in ("7", "7, 7"):
        with contextlib.suppress(ValueError):
            return not isinstance(question.read.read(typed), str)
    return False


@pytest.mark.parametrize(
    "question",
    [q for section in SECTIONS for q in section.questions if asks_for_numbers(q)],
    ids=lambda question: question.words,
)
def test_every_question_for_a_number_says_what_to_do_if_the_manual_does_not(question):
    assert question.if_not_given.endswith(".")


def test_what_to_do_is_said_with_the_question_and_not_in_a_complaint():
    owner = Owner(MANUALS["withybank_glim"], slips=("nonsense",))
    owner.describe()
    (shown,) = {row[1] for row in owner.typed if row[0].startswith("How many mA may it")}
    assert "\n   If the manual does not say: divide the total by the number of outputs" in shown
    assert not any("manual does not say" in each for each in owner.complaints)
