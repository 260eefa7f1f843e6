"""What the window says of a file that it cannot use: in words, with no names of fields."""

from __future__ import annotations

import re

import pytest

from fxstudio.editing.studio import Studio

FIRE = """title = "Bed"
[lamps.bed]
output = 3
key = "F1"
colour = { temperature_k = 1900 }
pattern = { kind = "flicker", lowest = 0.2 }
[drive]
steps = [{ keys = ["F1"] }, { at_s = 1.0, speed_kmh = 10.0 }]
"""
TOLD = [
    ("1900 }", "90000 }", "lamps, bed, colour: the colour temperature is too large"),
    ("lowest = 0.2", "lowest = 2.0", "lamps, bed, pattern: the lowest brightness is too large"),
    ("lowest = 0.2", "lowest = 2.0", "given:   2.0\n  allowed: a number from 0 to 1\n"),
    ("lowest = 0.2", 'lowest = "2"', "lamps, bed, pattern: the lowest brightness has the wrong"),
    ("output = 3\n", "", "lamps, bed: the output is missing"),
    ("output = 3", "output = 3\nrate_hz = 99", "the own rate is too large"),
    ("output = 3", "output = 3\nwhile_off = 1", "the shining while its key is off has the wrong"),
    ("at_s = 1.0", "at_s = 900.0", "drive, steps, entry 2: the moment is too large"),
    ("= 10.0", "= 900.0", "drive, steps, entry 2: the speed is too large"),
    ("output", "outptu", "lamps, bed: 'outptu' is not a known field"),
    ("temperature_k = 1900", 'hex = "red"', "lamps, bed, colour: this is not a colour"),
    ('"F1"\nc', '"X"\nc', "lamps, bed, key: this is not a function key"),
    ('kind = "flicker", ', "", "lamps, bed: the pattern does not say its kind"),
    ("steps", "length_s = 0.255\nsteps", "drive: the length must be whole hundredths"),
]


def told_of(text):
    """What is wrong and where, in the file's own folder; what is allowed may name fields."""
    return re.sub(r"\S*/|\n  (allowed|do):.*", "", text)


@pytest.mark.parametrize(("old", "new", "told"), TOLD)
def test_a_file_that_cannot_be_used_is_told_in_words(tmp_path, old, new, told):
    path = tmp_path / "fire.toml"
    path.write_text(FIRE, "utf-8")
    studio = Studio()
    studio.open(path)
    path.write_text(FIRE.replace(old, new), "utf-8")
    studio.attempt(lambda: studio.open(path))
    studio.look_at_file()
    for text in (studio.message.text, studio.document.broken.in_words()):
        assert told in text
        assert not re.search(r"field '|lamps\.|[a-z]_[a-z]", told_of(text))


def test_a_lamp_may_have_a_dot_in_its_name(tmp_path):
    path = tmp_path / "fire.toml"
    path.write_text(FIRE.replace("lamps.bed", 'lamps."a.1"').replace("= 3", "= 99"), "utf-8")
    studio = Studio()
    studio.attempt(lambda: studio.open(path))
    assert f"{path}, lamps, a.1: the output is too large" in studio.message.text
