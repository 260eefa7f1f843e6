"""Effect files: what is accepted, and what each wrong one is told."""

from __future__ import annotations

import copy
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fxstudio.documents.reading import parse
from fxstudio.effect.advice import advise
from fxstudio.effect.drive import Drive
from fxstudio.effect.files import find_effect, read_effect, shipped_effects
from fxstudio.effect.model import Effect
from fxstudio.effect.writing import to_text
from fxstudio.errors import FxError, InputError, ReadError, counted
from fxstudio.scenes.catalogue import find_scene

SHORT = """
title = "Short"
[lamps.bed]
output = 3
colour = "#ff8000"
pattern = { kind = "steady" }
"""


def test_a_short_file_has_useful_defaults():
    effect = parse(Effect, tomllib.loads(SHORT))
    bed = effect.lamps["bed"]
    assert (effect.scene, effect.rate_hz, bed.key, bed.travel) == ("cab", 4.0, "F0", "both")
    assert bed.pattern.level == 1.0
    assert effect.shown_by.steps[0].keys == ("F0",)


@pytest.mark.parametrize("name", shipped_effects())
def test_shipped_effects_are_usable(name):
    effect = read_effect(find_effect(name))
    assert effect.note
    assert "Sallow Valley" in effect.locomotive


def test_at_least_eight_effects_ship_and_only_the_marked_one_is_warned_of():
    assert len(shipped_effects()) >= 8
    warned = {name for name, path in shipped_effects().items() if advise(read_effect(path))}
    assert warned == {"twin_flicker"}


def test_two_flickers_at_one_rate_are_advised_against():
    # Common practice, no source: keep one of the two steady.
    (advice,) = advise(read_effect(find_effect("twin_flicker")))
    assert str(advice) == (
        "bed and flames: flicker at the one shared rate and look like a lamp with a loose wire; "
        "let one of them stay steady"
    )


BAD = {
    "unknown key": ("colr = 3", "field 'colr': is not a known field", "remove it or correct"),
    "near miss": ("titel = 'x'", "field 'titel': is not a known field", "did you mean 'title'?"),
    "rate too high": ("rate_hz = 99", "field 'rate_hz': is too large", "a number from 0.2 to 25"),
    "rate too low": ("rate_hz = 0", "field 'rate_hz': is too small", "a number from 0.2 to 25"),
    "rate not a number": ("rate_hz = '4'", "field 'rate_hz': has the wrong type", "a number"),
    "rate infinite": ("rate_hz = inf", "field 'rate_hz': is not a finite number", "a number"),
    "title of a wrong type": ("title = 4", "field 'title': has the wrong type", 'text in "quotes"'),
}


@pytest.mark.parametrize("case", BAD)
def test_wrong_top_fields(case, tmp_path):
    line, problem, help_text = BAD[case]
    file = tmp_path / "wrong.toml"
    own = "" if line.startswith("title ") else 'title = "x"\n'
    file.write_text(f"{own}{line}\n" + SHORT.split("\n", 2)[2])
    with pytest.raises(InputError) as caught:
        read_effect(file)
    text = str(caught.value)
    assert text.startswith(f"{file}, {problem}")
    assert help_text in text


BAD_LAMPS = {
    "key beyond F28": (
        {"key": "F29"},
        "lamps.a.key",
        "is not a function key",
        'F0 to F28, or "always"',
    ),
    "travel": (
        {"travel": "up"},
        "lamps.a.travel",
        "is not one of the choices",
        '"forward", "reverse", "both"',
    ),
    "kind": (
        {"pattern": {"kind": "stedy"}},
        "lamps.a.pattern.kind",
        "is of an unknown kind",
        "'steady', 'flicker'",
    ),
    "no kind": (
        {"pattern": {}},
        "lamps.a.pattern.kind",
        "does not say its kind",
        "'steady', 'flicker'",
    ),
    "level": (
        {"pattern": {"kind": "steady", "level": 1.5}},
        "lamps.a.pattern.level",
        "is too large",
        "a number from 0 to 1",
    ),
    "order": (
        {"pattern": {"kind": "flicker", "lowest": 0.9, "highest": 0.1}},
        "lamps.a.pattern",
        "lowest is 0.9 and highest is 0.1",
        "swap them",
    ),
    "spaces": ({"colour": "#12 34 "}, "lamps.a.colour.hex", "is not a colour", '"#rrggbb"'),
    "hex": ({"colour": "#ff80zz"}, "lamps.a.colour.hex", "is not a colour", '"#rrggbb"'),
    "two colours": (
        {"colour": {"hex": "#ff8000", "wavelength_nm": 600}},
        "lamps.a.colour",
        "needs exactly one way",
        "one of hex, wavelength_nm, temperature_k",
    ),
    "wavelength": (
        {"colour": {"wavelength_nm": 900}},
        "lamps.a.colour.wavelength_nm",
        "is too large",
        "a number from 380 to 780",
    ),
    "output": ({"output": 0}, "lamps.a.output", "is too small", "a whole number from 1 to 32"),
    "output true": (
        {"output": True},
        "lamps.a.output",
        "has the wrong type",
        "a whole number from 1 to 32",
    ),
    "pattern field": (
        {"pattern": {"kind": "steady", "levle": 1.0}},
        "lamps.a.pattern.levle",
        "is not a known field",
        "did you mean 'level'?",
    ),
}


@pytest.mark.parametrize("case", BAD_LAMPS)
def test_wrong_lamp_fields(case):
    change, field, problem, help_text = BAD_LAMPS[case]
    lamp = {"output": 3, "colour": "#ff8000", "pattern": {"kind": "steady"}} | change
    with pytest.raises(InputError) as caught:
        parse(Effect, {"title": "x", "lamps": {"a": lamp}}, "e.toml")
    text = str(caught.value)
    assert text.startswith(f"e.toml, field '{field}': {problem}")
    assert help_text in text
    assert caught.value.more == ()


def test_two_lamps_on_one_output():
    tables = tomllib.loads(SHORT)
    tables["lamps"]["flames"] = copy.deepcopy(tables["lamps"]["bed"])
    with pytest.raises(InputError, match="lamps 'bed' and 'flames' are both on output 3"):
        parse(Effect, tables)


def test_an_unknown_scene_is_told_as_the_catalogue_says_it():
    with pytest.raises(InputError) as caught:
        parse(Effect, tomllib.loads(SHORT) | {"scene": "kitchen"})
    with pytest.raises(InputError) as in_catalogue:
        find_scene("kitchen")
    assert str(caught.value) == str(in_catalogue.value)


def test_every_lamp_without_a_place_in_the_scene_is_told():
    tables = tomllib.loads(SHORT)
    bed = tables["lamps"]["bed"]
    tables["lamps"] |= {"bed": bed | {"place": "roof"}, "{x.y}": bed | {"output": 4}}
    with pytest.raises(InputError) as caught:
        parse(Effect, tables, "e.toml")
    assert str(caught.value).split("\n") == [
        "e.toml, field 'lamps.bed.place': the scene 'cab' has no place 'roof'",
        "  given:   roof",
        "  allowed: bed, flames, door, gauge",
        "  do:      give the lamp one of these places, or choose another scene",
        "e.toml, field 'lamps.{x.y}.place': the scene 'cab' has no place '{x.y}'",
        "  allowed: bed, flames, door, gauge",
        "  do:      give the lamp one of these places, or choose another scene",
    ]


def test_an_effect_knows_its_scene_and_the_file_it_was_read_from(tmp_path):
    file = tmp_path / "short.toml"
    file.write_text(SHORT)
    effect, same = read_effect(file), parse(Effect, tomllib.loads(SHORT))
    assert (effect.source, same.source) == (file, None)
    assert effect.setting is find_scene("cab")
    assert effect == same  # where it lies is no part of what it says
    assert to_text(effect) == to_text(same)
    assert effect.model_copy(update={"title": "Other"}).source == file


def test_every_wrong_field_is_told_at_once():
    with pytest.raises(InputError) as caught:
        parse(Effect, {"title": "", "rate_hz": 0, "lamps": {}})
    assert {error.field for error in (caught.value, *caught.value.more)} == {
        "title",
        "rate_hz",
        "lamps",
    }


@pytest.mark.parametrize(
    ("content", "problem"),
    [
        (b"title = ", "is not valid TOML"),
        (b"\xff\xfe\x00", "is not text in UTF-8"),
        (b"[" * 50_000, "is not valid TOML"),
        (b"rate_hz = " + b"9" * 5000, "is not valid TOML"),
        (b"#" * 1_000_001, "is too large"),
    ],
)
def test_unreadable_files(tmp_path, content, problem):
    file = tmp_path / "x.toml"
    file.write_bytes(content)
    with pytest.raises(ReadError, match=problem):
        read_effect(file)


def test_missing_file_folder_and_name(tmp_path):
    with pytest.raises(ReadError, match="there is no such file"):
        read_effect(tmp_path / "no.toml")
    with pytest.raises(ReadError, match="cannot be read"):
        read_effect(tmp_path)
    with pytest.raises(ReadError, match="did you mean 'banked_fire'"):
        find_effect("banked_fires")


def test_a_byte_order_mark_is_no_error(tmp_path):
    file = tmp_path / "x.toml"
    file.write_bytes(b"\xef\xbb\xbf" + SHORT.encode())
    assert read_effect(file).title == "Short"


BAD_DRIVES = {
    "not after the one before it": [{"at_s": 1.0}, {"at_s": 1.0}],
    "after the end at 6.0 s": [{"at_s": 7.0}],
    "make its over_s shorter": [{"at_s": 5.0, "speed_kmh": 5.0, "over_s": 2.0}],
    "a stopped locomotive has no speed": [{"travel": "stopped", "speed_kmh": 5.0}],
}


@pytest.mark.parametrize("problem", BAD_DRIVES)
def test_wrong_drives(problem):
    with pytest.raises(InputError, match=problem):
        parse(Drive, {"length_s": 6.0, "steps": BAD_DRIVES[problem]})
    with pytest.raises(InputError, match="is empty"):
        parse(Drive, {"steps": []})
    with pytest.raises(InputError, match="whole hundredths"):
        parse(Drive, {"length_s": 1.2345, "steps": [{}]})


anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=6,
)


@settings(max_examples=300, deadline=None)
@given(data=st.data())
def test_no_file_can_raise_anything_but_a_clear_error(data):
    """Put anything anywhere into a good file: it is accepted or refused in words."""
    tables = tomllib.loads(shipped_effects()["chimney_first"].read_text("utf-8"))
    here = tables
    while True:
        key = data.draw(st.sampled_from(sorted(map(str, here))) | st.text(max_size=8))
        inner = here.get(key) if isinstance(here, dict) else None
        if isinstance(inner, dict) and inner and data.draw(st.booleans()):
            here = inner
            continue
        here[key] = data.draw(anything)
        break
    try:
        parse(Effect, tables, "any.toml")
    except FxError as error:
        assert error.problem
        assert len(str(error)) < 5000


def test_entries_are_counted_from_one():
    assert counted("outputs.2.key") == "outputs, entry 3, key"
    assert counted("steps.0.keys.1") == "steps, entry 1, keys, entry 2"
    assert counted("lamps.3.output") == "lamps.3.output"  # a lamp's name, not a place in a list


@pytest.mark.parametrize(
    ("line", "tip"),
    [
        ("key = F2", 'line 2: put text in "quotes"'),
        ("title = “Fire”", 'line 2: put straight quotes "'),
        ("level = 0,35", "line 2: no comma in numbers: 0.35, 1900"),
        ("temperature_k = 1,900", "line 2: no comma in numbers: 0.35, 1900"),
        ("level = .35", "line 2: write a 0 before the point"),
        ("rate_hz: 4", "line 2: write = in place of the colon"),
        ("rate_hz = 5", "line 2: this name is there already"),
        ("[lamps.bed]\n[lamps.bed]", "line 3: this name is there already"),
        ('title = "Heron’s fire', 'line 2: put a quote " at the end'),
        ("[lamps.fire bed]", "line 2: leave spaces out of names"),
        ("level", "write one `field = value` a line"),
    ],
)
def test_common_slips_are_told_by_line(tmp_path, line, tip):
    path = tmp_path / "fire.toml"
    path.write_text(f"rate_hz = 4\n{line}", "utf-8")
    with pytest.raises(ReadError) as caught:
        read_effect(path)
    assert caught.value.remedy.startswith(tip)
