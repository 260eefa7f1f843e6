"""What holds for all effects on all decoders."""

from __future__ import annotations

import pytest
from decoders import DECODERS, UNGATED, effect
from hypothesis import given, settings
from hypothesis import strategies as st

from fxstudio.decoder.compile import compile_effect
from fxstudio.decoder.compromise import ASSUMED_LIGHT_TOLERANCE, ASSUMED_RATIO_TOLERANCE
from fxstudio.decoder.decode import decode, decode_values
from fxstudio.effect.keys import ALWAYS, KEYS
from fxstudio.effect.patterns import KINDS

levels = st.floats(0, 1)
ranges = st.tuples(levels, levels).map(sorted).map(lambda r: {"lowest": r[0], "highest": r[1]})
patterns = st.one_of(
    st.builds(lambda v: {"kind": "steady", "level": v}, levels),
    st.builds(
        lambda r, style: {"kind": "flicker", "style": style, **r},
        ranges, st.sampled_from(["hold", "smooth"]),
    ),
    st.builds(
        lambda r, p, on, start: {
            "kind": "flash", **r, "period_s": p, "on_share": on, "start_share": start,
        },
        ranges, st.floats(0.1, 60), st.floats(0.01, 0.99), st.floats(0, 0.99),
    ),
    st.builds(
        lambda r, w, n: {"kind": "beat", **r, "wheel_m": w, "beats_per_turn": n},
        ranges, st.floats(0.3, 3), st.integers(1, 12),
    ),
    st.builds(
        lambda v, a, b: {"kind": "filament", "level": v, "rise_s": a, "fall_s": b},
        levels, st.floats(0, 30), st.floats(0, 30),
    ),
)  # fmt: skip
lamps = st.fixed_dictionaries(
    {
        "output": st.integers(1, 11),
        "key": st.sampled_from([*KEYS[:14], ALWAYS]),
        "travel": st.sampled_from(["forward", "reverse", "both"]),
        "pattern": patterns,
    }
)
effects = st.builds(
    lambda rate_hz, rows: effect(rate_hz, **{f"lamp {i}": row for i, row in enumerate(rows)}),
    st.floats(0.2, 25),
    st.lists(lamps, min_size=1, max_size=4, unique_by=lambda row: row["output"]).filter(
        lambda rows: any(row["output"] <= 4 for row in rows)
    ),
)
decoders = st.sampled_from([*DECODERS.values(), UNGATED])


@settings(max_examples=150, deadline=None)
@given(effects, decoders)
def test_what_is_seen_compiles_to_the_same_values_without_compromise(asked, decoder):
    first = compile_effect(asked, decoder)
    again = compile_effect(first.seen, decoder)
    assert again.by_cv == first.by_cv
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
        for field, value in wish.pop("pattern").items():
            tolerance = {
                "rel": ASSUMED_RATIO_TOLERANCE * 1.02, "abs": ASSUMED_LIGHT_TOLERANCE * 1.001,
            }  # fmt: skip
            has = seen["pattern"][field]
            assert has == (value if isinstance(value, str) else pytest.approx(value, **tolerance))
        del seen["pattern"]
        assert wish == seen
    if None not in told and compiled.seen.flickering():
        assert compiled.seen.rate_hz == pytest.approx(asked.rate_hz, rel=0.011)


@settings(max_examples=150, deadline=None)
@given(effects, decoders, st.data())
def test_bits_that_are_not_the_effects_change_nothing_of_it(asked, decoder, data):
    compiled = compile_effect(asked, decoder)
    value = data.draw(st.sampled_from(compiled.values))
    others = data.draw(st.integers(0, 255)) & ~value.mask
    changed = {**compiled.by_cv, value.cv: value.value ^ others}
    assert decode(changed, decoder, asked) == decode(compiled.by_cv, decoder, asked)
    assert value.shared == (value.mask != 255)


EVERY_CODE = [
    (decoder, row, travel)
    for decoder in DECODERS.values()
    for row in decoder.effect.codes
    for travel in ("forward", "reverse", "both")
]


@pytest.mark.parametrize(
    ("decoder", "row", "travel"),
    EVERY_CODE,
    ids=[f"{d.title.split()[0]}-{row.name}-{travel}" for d, row, travel in EVERY_CODE],
)
def test_every_code_can_be_reached_and_read_back(decoder, row, travel):
    place = decoder.effect.place(decoder.index[4])
    lamp = {"output": 4, "key": "F2"}
    as_written = place.put(decoder.works[place.address], row.code)
    seen = decode_values({place.address: as_written}, decoder, effect(x=lamp)).lamps["x"]
    assert seen.pattern.kind == row.pattern.kind
    asked = effect(4.0, x={**lamp, "travel": travel, "pattern": seen.pattern.model_dump()})
    compiled = compile_effect(asked, decoder)
    assert place.get(compiled.by_cv[place.address]) == row.code
    assert compiled.compromises == ()
    assert compiled.seen.lamps["x"].travel == travel


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_pattern_compiles_on_every_decoder(kind):
    for decoder in DECODERS.values():
        seen = compile_effect(
            effect(x={"output": 4, "key": "F2", "pattern": {"kind": kind}}), decoder
        ).seen
        assert seen.lamps["x"].pattern.kind in {row.pattern.kind for row in decoder.effect.codes}
