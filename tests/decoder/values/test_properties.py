"""What holds for all effects on all decoders."""

from __future__ import annotations

import pytest
from decoders import DECODERS, EARLIER, UNGATED, effect, l_star
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import effects

from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.compromise import ASSUMED_LEAST_SEEN, ASSUMED_RATIO_TOLERANCE
from fxstudio.decoder.values.decode import decode, decode_values
from fxstudio.effect.patterns import KINDS

decoders = st.sampled_from([*DECODERS.values(), UNGATED])


@settings(max_examples=150, deadline=None)
@given(effects, decoders)
def test_what_is_seen_compiles_to_the_same_values_without_compromise(asked, decoder):
    first = compile_effect(asked, decoder)
    again = compile_effect(first.seen, decoder, first.by_cv)
    assert again.changes == {}
    assert again.seen == first.seen
    assert again.compromises == ()
    assert decode_values(first.by_cv, decoder, asked) == first.seen


@settings(max_examples=150, deadline=None)
@given(effects, decoders)
def test_whatever_differs_is_told(asked, decoder):
    """Read without the comparison in the project: a lamp without a compromise is as asked."""
    compiled = compile_effect(asked, decoder)
    told = {found.lamp for found in compiled.compromises}
    for name in asked.lamps.keys() - told:
        wish = asked.lamps[name].model_dump()
        seen = compiled.seen.lamps[name].model_dump()
        if seen["pattern"].get("highest", seen["pattern"].get("level")) == 0:
            assert wish["pattern"].get("highest", wish["pattern"].get("level")) == 0
            continue
        for field, value in wish.pop("pattern").items():
            has = seen["pattern"][field]
            if field in ("level", "lowest", "highest"):
                assert (has == 0) == (value == 0)
                assert l_star(has) == pytest.approx(l_star(value), abs=ASSUMED_LEAST_SEEN * 1.001)
            elif isinstance(value, str):
                assert has == value
            else:
                assert has == pytest.approx(value, rel=ASSUMED_RATIO_TOLERANCE * 1.02, abs=0.00501)
        del seen["pattern"]
        assert wish == seen
    if None not in told and {*compiled.seen.flickering()} & {*asked.flickering()}:
        assert compiled.seen.rate_hz == pytest.approx(asked.rate_hz, rel=0.011)


@settings(max_examples=150, deadline=None)
@given(effects, decoders, st.data())
def test_bits_that_are_not_the_effects_change_nothing_of_it(asked, decoder, data):
    compiled = compile_effect(asked, decoder)
    value = data.draw(st.sampled_from(compiled.values))
    cell, mine = decoder.cells[value.cv], {lamp.output for lamp in compiled.seen.lamps.values()}
    mine |= {each.name for number in mine for each in decoder.lit_by[number]}
    codes = list(cell.codes(value.value))
    foreign = [at for at, part in enumerate(cell.parts) if is_foreign(part, mine, decoder)]
    for at in foreign:
        codes[at] = data.draw(st.sampled_from(sorted(cell.parts[at].codes)))
    changed = {**compiled.by_cv, value.cv: cell.value(codes)}
    assert decode(changed, decoder, asked) == decode(compiled.by_cv, decoder, asked)
    assert value.shared or not foreign


def is_foreign(part, mine, decoder) -> bool:
    """Whether a part says nothing of some outputs, nor of what lights them."""
    if part.names == {"lights"}:
        return not mine & {each.value for said in part.codes.values() for each in said}
    return not part.who & mine


EVERY_CODE = [
    (decoder, row, travel)
    for decoder in DECODERS.values()
    for row in EARLIER[id(decoder)].effect.codes
    for travel in ("forward", "reverse", "both")
]


@pytest.mark.parametrize(
    ("decoder", "row", "travel"),
    EVERY_CODE,
    ids=[f"{d.title.split()[0]}-{row.name}-{travel}" for d, row, travel in EVERY_CODE],
)
def test_every_code_can_be_reached_and_read_back(decoder, row, travel):
    earlier = EARLIER[id(decoder)]
    bits = earlier.effect.bits_of(earlier.index[4])
    lamp = {"output": 4, "key": "F2"}
    as_written = bits.put(earlier.works[bits.address], row.code)
    seen = decode_values({bits.address: as_written}, decoder, effect(x=lamp)).lamps["x"]
    assert seen.pattern.kind == row.pattern.kind
    asked = effect(4.0, x={**lamp, "travel": travel, "pattern": seen.pattern.model_dump()})
    compiled = compile_effect(asked, decoder)
    assert bits.get(compiled.by_cv[bits.address]) == row.code
    assert compiled.compromises == ()
    assert compiled.seen.lamps["x"].travel == travel


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_pattern_compiles_on_every_decoder(kind):
    for decoder in DECODERS.values():
        seen = compile_effect(
            effect(x={"output": 4, "key": "F2", "pattern": {"kind": kind}}), decoder
        ).seen
        kinds = {row.pattern.kind for row in EARLIER[id(decoder)].effect.codes}
        assert seen.lamps["x"].pattern.kind in kinds
