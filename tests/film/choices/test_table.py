"""One table of what can be chosen for a film, for the command line and the window."""

from __future__ import annotations

from dataclasses import fields

import pytest

from fxstudio.cli.look.options import FilmOptions
from fxstudio.errors import InputError
from fxstudio.film.choices.table import FILM_CHOICES, FORMAT_NAMES, usual
from fxstudio.film.formats import FORMATS

TYPED = {"size": ("64x1920", "63x64"), "seconds": ("0.5", "nan"), "fps": ("50", "51"),
         "max_size": ("2 MB", "0kB")}  # fmt: skip
"""Text that is just accepted, and text that is not."""


def test_each_choice_is_an_option_of_the_command():
    options = {field.name for field in fields(FilmOptions)} | {"format"}
    assert set(FILM_CHOICES) <= options


def test_all_formats_have_a_name():
    assert FORMAT_NAMES.keys() == FORMATS.keys()


@pytest.mark.parametrize("name", FILM_CHOICES)
def test_each_word_can_be_read(name):
    row = FILM_CHOICES[name]
    assert row.usual in row.words
    for word in {*row.words, *row.usual_with.values(), *([row.typed] if row.typed else [])}:
        row.read(word, name)


@pytest.mark.parametrize(("name", "texts"), TYPED.items())
def test_what_is_typed_is_read_or_refused_by_its_name(name, texts):
    good, bad = texts
    FILM_CHOICES[name].read(good, name)
    with pytest.raises(InputError) as refused:
        FILM_CHOICES[name].read(bad, name)
    assert refused.value.field == name


def test_one_choice_may_make_another_usual():
    assert usual("caption", {}) == "none"
    assert usual("caption", {"tour": "on"}) == "full"
    assert usual("quality", {"max_size": "any"}) == "good"
    assert usual("quality", {"max_size": "2MB"}) == "best"
