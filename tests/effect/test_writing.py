"""Writing an effect back: nothing lost, nothing rewritten that did not change."""

from __future__ import annotations

import tomllib

import pytest

from fxstudio.documents.reading import changed, parse
from fxstudio.effect.drive import Step
from fxstudio.effect.files import read_effect, shipped_effects
from fxstudio.effect.model import Colour, Effect
from fxstudio.effect.patterns import Flicker, Steady
from fxstudio.effect.writing import to_text


@pytest.mark.parametrize("name", shipped_effects())
def test_an_unchanged_effect_leaves_its_file_unchanged(name):
    text = shipped_effects()[name].read_text("utf-8")
    assert to_text(read_effect(shipped_effects()[name]), text) == text


@pytest.mark.parametrize("name", shipped_effects())
def test_a_new_file_holds_the_same_effect(name):
    effect = read_effect(shipped_effects()[name])
    assert parse(Effect, tomllib.loads(to_text(effect))) == effect


FILE = """\
# Heron's fire
title = "Fire"   # short
rate_hz = 4.0

# orange
[lamps.bed]
output = 3
colour = { wavelength_nm = 605 }  # from the data sheet
pattern = { kind = "steady", level = 0.35 }

[lamps.flames]  # on the violet wire
output = 4
colour = "#ffb000"
pattern = { kind = "flicker", style = "hold" }
"""


def with_flames(**fields):
    """The effect of FILE, its lamp 'flames' with other fields, as text."""
    effect = parse(Effect, tomllib.loads(FILE))
    flames = changed(effect.lamps["flames"], **fields)
    return to_text(changed(effect, lamps={**effect.lamps, "flames": flames}), FILE)


def test_one_change_changes_one_line():
    text = with_flames(pattern=Flicker(style="smooth"))
    assert text == FILE.replace('style = "hold"', 'style = "smooth"')


def test_new_fields_are_added_and_another_kind_replaces_the_pattern():
    text = with_flames(travel="reverse", pattern=Steady(level=0.1 + 0.2))
    assert 'travel = "reverse"' in text
    assert 'pattern = {kind = "steady", level = 0.3}' in text
    assert "# on the violet wire" in text
    assert "# from the data sheet" in text


def test_colours_change_their_way_of_saying():
    assert "temperature_k = 1900" in with_flames(colour=Colour(temperature_k=1900.0))
    assert 'colour = "#112233"' in with_flames(colour=Colour(hex="#112233"))


def test_lamps_come_and_go():
    effect = parse(Effect, tomllib.loads(FILE))
    spare = changed(effect.lamps["flames"], output=5)
    text = to_text(changed(effect, lamps={"bed": effect.lamps["bed"], "door": spare}), FILE)
    again = parse(Effect, tomllib.loads(text))
    assert list(again.lamps) == ["bed", "door"]
    assert again.lamps["door"] == spare
    assert text.startswith("# Heron's fire\n")


LAID_OUT = """\
title = "Under way"
rate_hz = 3.14159265  # counted

[lamps.bed]
output = 3
colour = { hex = "#ff8000" }
pattern.kind = "flash"  # on the bench
pattern.period_s = 2.0  # slow

[drive]
length_s = 9.5

[[drive.steps]]
at_s = 0  # away
travel = "forward"
keys = [
    "F0",  # lamps
    "F2",  # fire
]

[[drive.steps]]  # at the signal
at_s = 3.3333333333
travel = "stopped"
"""
"""Dotted keys, tables in a list, long numbers and comments wherever TOML allows them."""


def test_any_layout_is_kept():
    assert to_text(parse(Effect, tomllib.loads(LAID_OUT)), LAID_OUT) == LAID_OUT


def test_in_any_layout_one_change_changes_one_line():
    effect = parse(Effect, tomllib.loads(LAID_OUT))
    bed = effect.lamps["bed"]
    bed = changed(bed, pattern=changed(bed.pattern, period_s=1.5))
    text = to_text(changed(effect, lamps={"bed": bed}), LAID_OUT)
    assert text == LAID_OUT.replace("period_s = 2.0", "period_s = 1.5")
    first, second = effect.drive.steps
    second = changed(second, at_s=4.0)
    drive = changed(effect.drive, steps=(first, second))
    text = to_text(changed(effect, drive=drive), LAID_OUT)
    assert text == LAID_OUT.replace("3.3333333333", "4.0")
    first = changed(first, keys=("F0",))
    drive = changed(effect.drive, steps=(first,))
    again = to_text(changed(effect, drive=drive), LAID_OUT)
    assert parse(Effect, tomllib.loads(again)).drive == drive
    assert "# lamps" in again
    assert "at the signal" not in again


def test_another_kind_replaces_dotted_keys():
    effect = parse(Effect, tomllib.loads(LAID_OUT))
    bed = changed(effect.lamps["bed"], pattern=Steady(level=0.5))
    effect = changed(effect, lamps={"bed": bed})
    assert parse(Effect, tomllib.loads(to_text(effect, LAID_OUT))) == effect


def with_lamps(effect, lamps):
    return changed(effect, lamps=lamps)


def test_a_renamed_lamp_keeps_its_place_and_its_comments():
    effect = parse(Effect, tomllib.loads(FILE))
    lamps = {"gauge": effect.lamps["bed"], "flames": effect.lamps["flames"]}
    text = to_text(with_lamps(effect, lamps), FILE)
    assert text == FILE.replace("[lamps.bed]", "[lamps.gauge]")


def test_a_step_can_be_added_to_a_list_of_tables():
    effect = parse(Effect, tomllib.loads(LAID_OUT))
    steps = (*effect.drive.steps, Step(at_s=5.0, travel="reverse"))
    effect = changed(effect, drive=changed(effect.drive, steps=steps))
    text = to_text(effect, LAID_OUT)
    assert parse(Effect, tomllib.loads(text)) == effect
    assert text.startswith(LAID_OUT.rstrip())


DOTTED = """\
title = "Dotted"
lamps.bed.output = 3
lamps.bed.colour.wavelength_nm = 605
lamps.bed.pattern.kind = "steady"
"""

INTERRUPTED = """\
title = "Interrupted"
[drive]
length_s = 9.0
[[drive.steps]]
at_s = 0.0
keys = ["F1"]
[lamps.bed]
output = 3
colour = "#ff8000"
pattern = { kind = "steady" }
[[drive.steps]]
at_s = 2.0
travel = "reverse"
[[drive.steps]]
at_s = 4.0
travel = "forward"
"""


@pytest.mark.parametrize("text", [FILE, LAID_OUT, DOTTED, INTERRUPTED])
def test_whatever_the_layout_what_is_written_reads_back_the_same(text):
    effect = parse(Effect, tomllib.loads(text))
    bed = effect.lamps["bed"]
    door = changed(bed, output=6, pattern=Flicker())
    changes = [
        with_lamps(effect, {**effect.lamps, "door": door}),
        with_lamps(effect, {"gauge": bed, "door": door}),
        with_lamps(effect, {"bed": door}),
    ]
    if effect.drive:
        for steps in (effect.drive.steps[:-1], effect.drive.steps[::-1][:1]):
            drive = changed(effect.drive, steps=steps)
            changes.append(changed(effect, drive=drive))
        changes.append(changed(effect, drive=None))
    for other in changes:
        again = parse(Effect, tomllib.loads(to_text(other, text)))
        assert to_text(again) == to_text(other)  # numbers that are new have six digits


def test_a_text_that_is_no_toml_is_written_anew():
    effect = parse(Effect, tomllib.loads(FILE))
    assert to_text(effect, "title = ") == to_text(effect)
