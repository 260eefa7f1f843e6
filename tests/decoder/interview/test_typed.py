"""What people type, in the words of leaflets, and what it is taken for."""

from __future__ import annotations

import pytest

from fxstudio.decoder.interview.typed.basics import (
    currents_in_ma,
    delivered_keys,
    dimming_of,
    output_names,
    sum_shares,
)
from fxstudio.decoder.interview.typed.codes import meaning_of
from fxstudio.decoder.interview.typed.effects import effect_row
from fxstudio.decoder.interview.typed.figures import (
    changes_a_second,
    share_of_light,
    time_in_s,
)
from fxstudio.decoder.interview.typed.places import (
    cv_places,
    delivered_values,
    rows_of_places,
    whom_served,
)
from fxstudio.decoder.interview.typed.terms import formula_of, part_row, term_of
from fxstudio.decoder.interview.typed.values import Context
from fxstudio.errors import InputError

NAMES = ("white", "green", "violet")


@pytest.mark.parametrize(
    ("text", "time_s"),
    [
        ("25 ms", 0.025),
        ("eighths of a second", 0.125),
        ("an eighth of a second", 0.125),
        ("half a second", 0.5),
        ("two tenths of a second", 0.2),
        ("1/8 s", 0.125),
        ("about 2 seconds", 2),
    ],
)
def test_times(text, time_s):
    assert time_in_s(text) == pytest.approx(time_s)


@pytest.mark.parametrize(
    ("text", "rate_hz"),
    [
        ("5 a second", 5),
        ("about five changes a second", 5),
        ("half changes a second", 0.5),
        ("one change in two seconds", 0.5),
        ("once a second", 1),
        ("one change every 250 ms", 4),
        ("30 a minute", 0.5),
        ("0.5 Hz", 0.5),
    ],
)
def test_rates(text, rate_hz):
    assert changes_a_second(text) == pytest.approx(rate_hz)


@pytest.mark.parametrize("text", ["half a second", "eighths of a second", "5", "soon", ""])
def test_what_is_no_rate(text):
    with pytest.raises(InputError):
        changes_a_second(text)


@pytest.mark.parametrize(
    ("text", "share"),
    [("40 %", 0.4), ("down to a fifth", 0.2), ("three quarters", 0.75), ("full", 1), ("0.3", 0.3)],
)
def test_shares(text, share):
    assert share_of_light(text) == pytest.approx(share)


@pytest.mark.parametrize(
    ("says", "text", "row"),
    [
        ("effect", "0 = off 1 = on 2 = fire", {"codes": {"0": "dark", "1": "steady", "2": "fire"}}),
        ("effect", "0 - off, 1 - on", {"codes": {"0": "dark", "1": "steady"}}),
        ("effect", "0 off, 4 to 5 glow, 6 reserved",
         {"codes": {"0": "dark", "4": "glow", "5": "glow"}}),
        ("effect", "0 both glow, 1 only green glows",
         {"codes": {"0": "glow", "1": {"green": "glow"}}}),
        ("effect", "1 for steady, 12 for fire in reverse",
         {"codes": {"1": "steady", "12": {"effect": "fire", "travel": "reverse"}}}),
        ("effect", "0 steady; 1 fire, level half, 4 a second",
         {"codes": {"0": "steady", "1": {"effect": "fire", "level": 0.5, "rate_hz": 4.0}}}),
        ("directions", "0 both, 5 forward only, 10 reverse only. Other values must not be used.",
         None),
        ("directions", "0 both, 5 forward only, 10 reverse only, other values must not be used",
         {"codes": {"0": "both", "5": "forward", "10": "reverse"}}),
        ("level", "from 0 (dark) to 63 (full)", {"even": {"to": 63}}),
        ("level", "dark 0 to full 63", {"even": {"to": 63}}),
        ("level", "255 dark to 0 full", {"even": {"to": 255, "first": 1.0, "last": 0.0}}),
        ("level", "0 to 100 in percent", {"even": {"from": 0, "to": 100, "first": 0, "last": 1}}),
        ("level", "not known", {"unknown": {"from": 0, "to": 255}}),
        ("lowest", "0 down to dark, 1 to a quarter", {"codes": {"0": 0.0, "1": 0.25}}),
        ("rate", "0 slowest to 9 fastest", {"unknown": {"from": 0, "to": 9, "rising": True}}),
        ("rate", "a higher value is slower", {"unknown": {"from": 0, "to": 255, "rising": False}}),
        ("rate", "1 to 255, units of 25 ms", {"each_s": 0.025, "from": 1, "to": 255}),
        ("rate", "0 to 31 in half changes a second",
         {"each_hz": 0.5, "from": 1, "to": 31, "codes": {"0": "unknown"}}),
        ("rate", "0 = 1 a second to 7 = about ten, each step the same ratio",
         {"ratio": {"to": 7, "first": 1.0, "last": 10.0}}),
        ("rate", "0 = 2 s to 9 = 0.2 s",
         {"even": {"to": 9, "first": 2.0, "last": 0.2}, "in_s": True}),
        ("rate", "0 0.5, 50 five a second, straight between", {"points": [[0, 0.5], [50, 5.0]]}),
        ("rate", "(value + 1) x 20 ms", {"each_s": 0.02, "plus": 0.02}),
        ("period", "20 to 120 in flashes a minute",
         {"each_hz": pytest.approx(1 / 60), "from": 20, "to": 120}),
        ("time on", "guess: tenths of a second", {"each_s": 0.1, "known": "guess"}),
        ("key", "1 to 12 F1 to F12, 0 no key",
         {"keys": {"from": 1, "to": 12, "first": "F1"}, "codes": {"0": "never"}}),
        ("lights", "0 none, 1 green, 2 green and violet",
         {"codes": {"0": [], "1": ["green"], "2": ["green", "violet"]}}),
        ("when", "0 always, 3 standing", {"codes": {"0": "always", "3": "standing"}}),
    ],
)  # fmt: skip
def test_what_codes_mean(says, text, row):
    context = Context((says,), NAMES, ("steady", "dark"))
    if row is None:
        with pytest.raises(InputError):
            meaning_of(text, context)
    else:
        assert meaning_of(text, context) == row


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Value = effect + 5 x direction", [("effect", 1), ("directions", 5)]),
        ("depth x 8 + speed", [("lowest", 8), ("rate", 1)]),
        ("speed + 8 x depth, for all that flicker", [("rate", 1), ("lowest", 8)]),
        ("the tens are the effect, the ones are the brightness", [("effect", 10), ("level", 1)]),
        ("bits 0 to 2 effect, bit 3 inverted", [("effect", 1), ("inverted", 8)]),
    ],
)
def test_sums(text, parts):
    formula = formula_of(text, NAMES, ("fire",))
    assert [(*each.says, each.times) for each in formula.addends] == parts
    assert all(not each.effects for each in formula.addends)


def test_offsets_and_largest_values():
    formula = formula_of("8 + effect, no value above 200", NAMES, ())
    assert (formula.offset, formula.highest) == (8, 200)


@pytest.mark.parametrize(
    ("text", "row"),
    [
        ("rate of fire", {"says": "rate", "of_effect": "fire"}),
        ("time on and time off for blink", {"says": ["time on", "time off"], "of_effect": "blink"}),
        ("brightness while key F6 is on", {"says": "level", "while": "F6"}),
        ("level for green", {"says": "level", "of": "green"}),
        ("level of the second", {"says": "level", "of": "violet"}),
        ("other: motor", {"says": "other", "what": "motor"}),
    ],
)
def test_what_a_number_says(text, row):
    assert part_row(term_of(text, NAMES, ("fire", "blink"), 2), ("green", "violet")) == row


@pytest.mark.parametrize(
    ("cvs", "whom", "rows"),
    [
        ("CV 140 to CV 142, one for each output", "one for each", [{"cv": 140, "each": 1}]),
        ("257, 265 and so on", "each", [{"cv": 257, "each": 8}]),
        ("257 and 8 further for each output", "each", [{"cv": 257, "each": 8}]),
        ("140, 143, 144", "each", [{"cv": {"white": 140, "green": 143, "violet": 144}}]),
        ("125 and 126", "white together, green and violet together",
         [{"cv": 125, "of": ["white"]}, {"cv": 126, "of": ["green", "violet"]}]),
        ("125", "green and violet", [{"cv": 125, "of": ["green", "violet"]}]),
        ("141", "for all" , None),
        ("141", "every output", [{"cv": 141}]),
        ("35, 36", "F1, F2 forward", [{"cv": {"F1": 35, "F2 forward": 36}}]),
        ("300; CV 31 = 16 and CV 32 = 4 first", "all", [{"cv": 300, "page": {"31": 16, "32": 4}}]),
        ("120; write CV 15 = 3 before, CV 15 = 0 after; resets 130 to 132", "all",
         [{"cv": 120, "before": {"15": 3}, "after": {"15": 0}, "resets": [130, 131, 132]}]),
    ],
)  # fmt: skip
def test_where_numbers_are_kept_and_whom_they_serve(cvs, whom, rows):
    places = cv_places(cvs)
    if rows is None:
        with pytest.raises(InputError):
            whom_served(whom, places, NAMES)
    else:
        assert rows_of_places(places, whom_served(whom, places, NAMES), NAMES) == rows


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("6", [6, 6, 6]),
        ("all 0", [0, 0, 0]),
        ("6, 11, 1", [6, 11, 1]),
        ("CV 114 = 6, CV 115 to 116 = 1", [6, 1, 1]),
        ("white 6, others 1", [6, 1, 1]),
        ("not printed", [None] * 3),
        ("6, not known, 1", [6, None, 1]),
        ("white 6, others not known", [6, None, None]),
    ],
)
def test_values_as_delivered(text, values):
    cells = list(zip((114, 115, 116), NAMES, strict=True))
    assert delivered_values(text, cells) == values


@pytest.mark.parametrize(
    ("text", "keys"),
    [
        ("F0 forward, F0 (reverse), F1", [("F0", "forward"), ("F0", "reverse"), ("F1", "both")]),
        ("all on F1", [("F1", "both")] * 3),
        (
            "white F0, green on F1, violet always",
            [("F0", "both"), ("F1", "both"), ("always", "both")],
        ),
        ("F0 for white, F1 for green and violet", [("F0", "both"), ("F1", "both"), ("F1", "both")]),
    ],
)
def test_keys_as_delivered(text, keys):
    assert list(delivered_keys(text, NAMES).keys) == keys


@pytest.mark.parametrize(
    ("text", "each", "together", "groups"),
    [
        ("100 mA each, 250 mA for all together", (100, 100, 100), 250, ()),
        ("100 mA per output, 250 mA in total", (100, 100, 100), 250, ()),
        ("white 100, others 50", (100, 50, 50), None, ()),
        ("100, 80, not known", (100, 80, None), None, ()),
        ("150 mA for green and violet together", (None,) * 3, None, ((("green", "violet"), 150),)),
        ("green and violet together 150", (None,) * 3, None, ((("green", "violet"), 150),)),
    ],
)
def test_currents(text, each, together, groups):
    found = currents_in_ma(text, NAMES)
    assert (found.each, found.together, found.groups) == (each, together, groups)


@pytest.mark.parametrize(
    ("text", "row"),
    [
        ("flicker", {"kind": "flicker"}),
        ("random flicker between a fifth and full, jumps",
         {"kind": "flicker", "lowest": 0.2, "highest": 1.0, "style": "hold"}),
        ("flicker, gentle random changes, 4 a second, guess",
         {"kind": "flicker", "style": "smooth", "rate_hz": 4.0, "known": "guess"}),
        ("strobe, once a second", {"kind": "flash", "period_s": 1.0}),
        ("exhaust beat, four a turn of the wheel", {"kind": "beat", "beats_per_turn": 4}),
        ("filament, up in 0.3 s, dies away in half a second",
         {"kind": "filament", "rise_s": 0.3, "fall_s": 0.5}),
        ("not known", {"kind": "unknown"}),
        ("steady", {"kind": "steady"}),
        ("steady at 30 %", {"kind": "steady", "level": 0.3}),
    ],
)  # fmt: skip
def test_effects(text, row):
    assert effect_row(text) == row


def test_outputs_shares_and_dimming():
    assert output_names("aux 1 to 3") == ("aux 1", "aux 2", "aux 3")
    assert output_names("eight outputs") == tuple("12345678")
    assert sum_shares("white = 1, green = 4", NAMES) == {
        "white": 1,
        "green": 4,
    }
    assert dimming_of("64 levels, 125 Hz") == {"levels": 64, "refresh_ms": 8}
