"""Resistors, currents and wires against standards and worked examples."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sources import truth

from fxstudio.electrics.load import add_up
from fxstudio.electrics.resistor import (
    E24,
    LED_COLOURS,
    MARGIN,
    RATINGS_MW,
    SERIES,
    TRACK_VOLTAGES,
    next_value_up,
    ohms,
    series_resistor,
    warnings,
)
from fxstudio.electrics.wiring import (
    COMMON_COLOUR,
    CONNECTORS,
    WIRE_BY_COLOUR,
    WIRES,
    not_carried,
    wire_of_output,
)
from fxstudio.errors import InputError

RESISTORS = truth("led_resistors.csv")


# -- resistors --------------------------------------------------------------------------------


@pytest.mark.parametrize("row", truth("iec_60063.csv"), ids=lambda r: r["series"])
def test_series_of_iec_60063(row):
    assert SERIES[row["series"]] == tuple(map(int, row["values"].split()))


def test_e24_is_not_the_rounded_geometric_series():
    # IEC 60063 keeps eight older values: 27, 30, 33, 36, 39, 43, 47, 82.
    differs = [v for at, v in enumerate(E24) if v != round(10 * 10 ** (at / 24))]
    assert differs == [27, 30, 33, 36, 39, 43, 47, 82]


@pytest.mark.parametrize("row", RESISTORS, ids=lambda r: f"{r['supply_v']}V-{r['forward_v']}")
def test_worked_resistors(row):
    def column(name: str) -> float:
        return float(row[name])

    chain = tuple(map(float, row["forward_v"].split()))
    e12 = series_resistor(column("supply_v"), chain, column("current_ma"))
    e24 = series_resistor(column("supply_v"), chain, column("current_ma"), series="E24")
    assert e12.exact_ohm == pytest.approx(column("exact_ohm"))
    assert (e12.ohm, e24.ohm) == (column("e12_ohm"), column("e24_ohm"))
    supply = column("supply_v")
    assert e12.current_ma(supply) == pytest.approx(column("e12_current_ma"), abs=5e-4)
    assert e12.power_mw(supply) == pytest.approx(column("e12_power_mw"), abs=5e-3)


def test_rating_is_for_the_highest_voltage():
    # 231.48 mW at 27 V, the worked row, needs half a watt with a margin of two (common practice).
    hot = series_resistor(15, (2.0,), 13 / 2.7, highest_v=27)
    assert hot.ohm == 2700
    assert hot.power_mw(27) == pytest.approx(231.48, abs=5e-3)
    assert hot.rating_mw == 500
    assert series_resistor(15, (2.0,), 13 / 2.7).rating_mw == 250  # 125.2 mW with the margin
    # Twice 250 mW is just what a resistor of 500 mW is for.
    assert series_resistor(7, (2.0,), 50).power_mw(7) == pytest.approx(250)
    assert series_resistor(7, (2.0,), 50).rating_mw == 500


def test_a_value_that_fits_exactly_is_taken():
    # (5 - 2.8) V / 10 mA is 220 ohm, which binary fractions miss by a hair.
    assert (5 - 2.8) / 10 * 1000 > 220
    assert series_resistor(5, (2.8,), 10).ohm == 220


@given(st.floats(0.01, 9.9e7), st.sampled_from(["E12", "E24"]))
def test_next_value_is_the_smallest_that_is_not_below(ohm, series):
    found = next_value_up(ohm, series)
    assert found >= ohm * (1 - 1e-8)
    values = sorted(v * 10.0**decade for decade in range(-4, 9) for v in SERIES[series])
    below = max(v for v in values if v < found * (1 - 1e-6))
    assert below < ohm
    assert next_value_up(found, series) == pytest.approx(found, rel=1e-8)


@given(
    st.floats(5, 30),
    st.lists(st.sampled_from(sorted(LED_COLOURS)), min_size=1, max_size=3),
    st.floats(0.5, 30),
)
def test_no_led_gets_more_than_wished(supply, colours, current):
    chain = tuple(LED_COLOURS[name].typical_v for name in colours)
    if supply <= sum(chain):
        with pytest.raises(InputError, match="too low to light"):
            series_resistor(supply, chain, current)
        return
    found = series_resistor(supply, chain, current, highest_v=40)
    assert found.current_ma(supply) <= current * (1 + 1e-6)
    # Kirchhoff: what the resistor and the LEDs keep adds up to the supply.
    kept = found.current_ma(supply) / 1000 * found.ohm
    assert kept + found.forward_v == pytest.approx(supply)
    if found.rating_mw is None:
        assert MARGIN * found.power_mw(40) > max(RATINGS_MW)
    else:
        assert found.rating_mw >= MARGIN * found.power_mw(40) * (1 - 1e-8)


@pytest.mark.parametrize("row", truth("s_9_1_voltages.csv"), ids=lambda r: r["size"])
def test_track_voltages_of_s_9_1(row):
    volts = TRACK_VOLTAGES[row["size"]]
    assert volts[1:] == tuple(float(row[n]) for n in ("lowest", "normal", "highest", "withstand"))


# From memory, common practice: no source was read.
@pytest.mark.parametrize(
    ("colour", "low", "high"),
    [("red", 1.8, 2.1), ("amber", 2.0, 2.2), ("yellow", 2.0, 2.2), ("green", 2.0, 2.4)]
    + [(colour, 2.8, 3.4) for colour in ("modern-green", "blue", "white")],
)
def test_forward_voltages_of_common_practice(colour, low, high):
    assert LED_COLOURS[colour] == (low, high)
    assert LED_COLOURS[colour].typical_v == pytest.approx((low + high) / 2)


def test_warnings_say_what_to_mind():
    quiet = series_resistor(15, (2.0,), 5, highest_v=22, lowest_v=8.5)
    assert warnings(quiet) == []
    too_many = series_resistor(15, (3.1,) * 3, 20, highest_v=22, lowest_v=8.5)
    strong, dark = warnings(too_many)
    assert strong.startswith("At 22 V the LED gets 38.5 mA, more than 20 mA")
    assert dark.startswith("At 8.5 V the LEDs are dark")
    assert "No usual resistor" in warnings(series_resistor(60, (2.0,), 1000))[-1]


@pytest.mark.parametrize(
    ("arguments", "field"),
    [
        ((0, (2.0,), 5), "supply"),
        ((math.nan, (2.0,), 5), "supply"),
        ((61, (2.0,), 5), "supply"),
        ((2.0, (2.0,), 5), "supply"),
        ((12, (), 5), "forward"),
        ((12, (0.0,), 5), "forward"),
        ((12, (2.0,), 0), "current"),
        ((12, (2.0,), -5), "current"),
        ((12, (2.0,), math.inf), "current"),
    ],
)
def test_resistors_that_cannot_be(arguments, field):
    with pytest.raises(InputError) as caught:
        series_resistor(*arguments)
    assert caught.value.field == field
    assert caught.value.allowed


@pytest.mark.parametrize("ohm", [0, -1, math.nan, math.inf])
def test_resistances_that_cannot_be(ohm):
    with pytest.raises(InputError, match="is not a resistance"):
        next_value_up(ohm)


def test_resistances_in_words():
    said = "4.7 ohm, 470 ohm, 2.7 kilohm, 1 megohm"
    assert ", ".join(ohms(r) for r in (4.7, 470, 2700, 1e6)) == said


# -- currents ---------------------------------------------------------------------------------


def test_currents_add_up_for_outputs_and_decoder():
    loads = add_up({4: [10.0], 3: [60.0, 50.0]}, {3: 100.0, 4: 100.0}, 115.0)
    assert [(load.output, load.current_ma, load.is_over) for load in loads.outputs] == [
        (3, 110.0, True),
        (4, 10.0, False),
    ]
    assert loads.current_ma == 120.0
    over_output, over_all = loads.warnings()
    assert over_output.startswith("Output 3 carries 110 mA but may switch only 100 mA")
    assert over_all.startswith("Outputs 3, 4 together carry 120 mA but the decoder gives only 115")


def test_a_limit_just_reached_is_kept():
    loads = add_up({1: [50.0, 50.0]}, 100.0, 100.0)
    assert loads.warnings() == []
    assert add_up({1: [50.0, 50.1]}).warnings() == []


@pytest.mark.parametrize("current", [0.0, -1.0, math.nan, math.inf])
def test_currents_that_cannot_be(current):
    with pytest.raises(InputError, match=r"output 3.*is not a current"):
        add_up({3: [current]})
    with pytest.raises(InputError, match=r"limit.*is not a current"):
        add_up({3: [5.0]}, decoder_limit_ma=current)


# -- wires and plugs --------------------------------------------------------------------------


def test_wires_of_the_standards():
    rows = truth("wires.csv")
    assert [row["colour"] for row in rows] == [wire.colour for wire in WIRES]
    for row in rows:
        wire = WIRE_BY_COLOUR[row["colour"]]
        assert row["word"] in wire.use
        assert wire.output == (int(row["output"]) if row["output"] else None)
        if wire.output:
            assert wire_of_output(wire.output) is wire
    assert wire_of_output(5) is None
    assert "positive" in WIRE_BY_COLOUR[COMMON_COLOUR].use


@pytest.mark.parametrize("row", truth("plugs.csv"), ids=lambda r: r["plug"])
def test_plugs_of_the_standards(row):
    plug = CONNECTORS[row["plug"]]
    assert plug.pins == tuple(row["contacts"].split())
    ratings = (plug.pitch_mm, plug.current_a, plug.peak_a)
    assert ratings == tuple(float(row[name]) for name in ("pitch_mm", "current_a", "peak_a"))


def test_a_plug_the_wrong_way_round():
    # NEM 652 (2017), footnote 2: contacts 1-5, 2-6, 3-7 and 4-8 change places, so that a used
    # contact 3 meets the common.
    plug = CONNECTORS["nem652"]
    meets = dict(zip(plug.pins, plug.pins[4:] + plug.pins[:4], strict=True))
    assert meets[plug.pins[3 - 1]] == COMMON_COLOUR
    assert "a used contact 3 needs a diode" in plug.note


def test_outputs_that_a_plug_does_not_carry():
    # NEM 652 carries front and rear light, and one more on contact 3 if it is used; NEM 651 two.
    small, large = CONNECTORS["nem651"], CONNECTORS["nem652"]
    assert (small.outputs(), large.outputs()) == ((1, 2), (1, 2, 3))
    assert large.outputs(with_optional=False) == (1, 2)
    assert not_carried(large, [1, 2]) == []
    maybe, never = not_carried(large, [4, 3, 1])
    assert "output 3 only on a contact that" in maybe
    assert "no contact for output 4" in never
    assert len(not_carried(small, [3, 4])) == 2
