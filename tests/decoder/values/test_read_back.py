"""From values to an effect and back to values.

`compile(decode(v)) == v` on the described bits of an output that shines, on one key, as long as
no other codes look the same there. It cannot hold

- for an output that is dark because no key switches it or its travel permits no direction: its
  codes say nothing that is seen;
- for codes with one meaning: two levels that the PWM rounds to one brightness, a travel code
  that permits what the key's direction forbids anyway, a darkest level on a steady light;
- for the shared rate while nothing flickers.

In all but the first, what is seen is the same, which is tested as well. In the first it is the
same wherever the decoder has a level of 0.
"""

from __future__ import annotations

from collections import defaultdict

import pytest
from decoders import CARROW, DECODERS, EARLIER, GLIM, TOLLEY, effect
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import decoders, legal_values

from fxstudio.dcc.function_map import rows_for
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.decode import decode, decode_values

OUTPUT = 3


def values_of_one_output(decoder, output=OUTPUT, **chosen):
    """All legal codes of one output, each as values; `chosen` keeps some fields to a few codes."""
    decoder = EARLIER[id(decoder)]
    index = decoder.index[output]
    found = [{}]
    for name, field in decoder.fields.items():
        bits = field.bits_of(index)
        codes = chosen.get(name, sorted(field.meanings))
        found = [
            held
            | {bits.address: bits.put(held.get(bits.address, decoder.works[bits.address]), code)}
            for held in found
            for code in codes
        ]
    return found


def stands_still(pattern) -> bool:
    """Whether it moves between two equal brightnesses."""
    return getattr(pattern, "lowest", None) == pattern.brightest


CASES = {
    "all codes of the bit fields": (GLIM, {}),
    "all effects and levels of the table": (CARROW, {"forward": [1], "reverse": [1]}),
    "all gates of the table": (CARROW, {"level": [0, 1, 50, 99, 100]}),
    # At these levels every darkest level is a PWM level of its own.
    "pages in bright light": (TOLLEY, {"level": [128, 255], "lowest": [0, 1, 100, 199, 200]}),
}


@pytest.mark.parametrize("case", CASES)
def test_every_code_comes_back_or_one_that_looks_the_same(case):
    decoder, chosen = CASES[case]
    lamp = effect(x={"output": OUTPUT, "key": "F1"})
    looks = defaultdict(list)
    for held in values_of_one_output(decoder, **chosen):
        seen = decode_values(held, decoder, lamp)
        looks[seen.model_dump_json()].append((held, seen))
    alone = 0
    for alike in looks.values():
        seen = alike[0][1]
        compiled = compile_effect(seen, decoder)
        if seen.lamps["x"].pattern.is_dark:  # by travel or by level, whichever is nearer
            assert compiled.compromises == ()
            assert compiled.seen.lamps["x"].pattern.is_dark
            continue
        assert compiled.compromises == ()
        if stands_still(seen.lamps["x"].pattern):  # the steady light looks the same
            assert compiled.seen.lamps["x"].pattern.brightest == seen.lamps["x"].pattern.brightest
            continue
        assert compiled.seen == seen
        if len(alike) == 1 and not seen.lamps["x"].pattern.is_dark:
            held = alike[0][0]
            assert {cv: compiled.by_cv.get(cv, decoder.delivered[cv]) for cv in held} == held
            alone += 1
    assert alone > len(looks) // 4


@pytest.mark.parametrize("decoder", DECODERS.values(), ids=DECODERS)
def test_every_value_of_the_shared_rate_comes_back(decoder):
    rate = EARLIER[id(decoder)].rate
    flicker = {"kind": "flicker"}
    flames = effect(x={"output": 4, "key": "F2", "pattern": flicker})
    lit = compile_effect(flames, decoder).by_cv
    for value in range(rate.lowest, rate.highest + 1):
        seen = decode_values({**lit, rate.address: value}, decoder, flames)
        assert compile_effect(seen, decoder).by_cv[rate.address] == value


@pytest.mark.parametrize("decoder", [GLIM, TOLLEY], ids=["glim", "tolley"])
def test_every_single_key_of_every_output_comes_back(decoder):
    for output in decoder.outputs:
        map_rows = EARLIER[id(decoder)].map_rows
        reached = [row for row in map_rows if row.reaches(output.number)]
        keys = dict.fromkeys((row.key, row.travel) for row in reached)
        for key, travel in keys:
            held = {}
            for row in reached:
                bits = row.bits_of(output.number)
                before = held.get(bits.address, decoder.delivered[bits.address])
                lit = row in rows_for(map_rows, output.number, key, travel)
                held[bits.address] = bits.put(before, int(lit))
            lamp = effect(x={"output": output.number, "key": "F12"})
            seen = decode_values(held, decoder, lamp)
            assert (seen.lamps["x"].key, seen.lamps["x"].travel) == (key, travel)
            compiled = compile_effect(seen, decoder)
            assert compiled.seen == seen
            writes = sum(value != decoder.delivered[cv] for cv, value in held.items())
            assert len(compiled.changes) <= writes


@st.composite
def held_by_a_decoder(draw):
    decoder = draw(decoders)
    return decoder, draw(legal_values(decoder))


@settings(max_examples=60, deadline=None)
@given(held_by_a_decoder())
def test_all_legal_values_show_the_same_light_when_written_again(held):
    decoder, values = held
    decoded = decode(values, decoder)
    dark = {name for name, lamp in decoded.effect.lamps.items() if lamp.pattern.is_dark}
    compiled = compile_effect(decoded.effect, decoder)
    assert {entry.lamp for entry in compiled.compromises} <= dark
    for name, lamp in decoded.effect.lamps.items():
        if stands_still(lamp.pattern):
            assert compiled.seen.lamps[name].pattern.brightest == lamp.pattern.brightest
        elif name not in dark:
            assert compiled.seen.lamps[name] == lamp
        elif (level := EARLIER[id(decoder)].level) and 0 in level.meanings.values():
            assert compiled.seen.lamps[name].pattern.is_dark
    if decoded.effect.flickering():
        assert compiled.seen.rate_hz == decoded.effect.rate_hz


def test_each_of_several_keys_comes_back():
    lamp = effect(x={"output": OUTPUT, "key": "F1"})
    three = {row.bits_of(OUTPUT).address: 255 for row in EARLIER[id(GLIM)].map_rows[2:5]}
    decoded = decode(three, GLIM, lamp)
    assert {way.key for way in decoded.effect.lamps["x"].ways} == {"F1", "F2", "F3"}
    assert compile_effect(decoded.effect, GLIM).seen == decoded.effect
