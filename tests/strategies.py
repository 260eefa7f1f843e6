"""Effects, decoders and their values for property tests."""

from __future__ import annotations

import copy
from functools import cache

from decoders import DECODERS, TOLLEY, UNGATED, effect, said_as, said_of
from hypothesis import strategies as st

from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.effect.keys import ALWAYS, KEYS

levels = st.floats(0, 1)
ranges = st.tuples(levels, levels).map(sorted).map(lambda r: {"lowest": r[0], "highest": r[1]})
patterns = st.one_of(
    st.builds(lambda v: {"kind": "steady", "level": v}, levels),
    st.builds(
        lambda r, style: {"kind": "flicker", "style": style, **r},
        ranges,
        st.sampled_from(["hold", "smooth"]),
    ),
    st.builds(
        lambda r, p, on, start: {
            "kind": "flash",
            **r,
            "period_s": p,
            "on_share": on,
            "start_share": start,
        },
        ranges,
        st.floats(0.1, 60),
        st.floats(0.01, 0.99),
        st.floats(0, 0.99),
    ),
    st.builds(
        lambda r, w, n: {"kind": "beat", **r, "wheel_m": w, "beats_per_turn": n},
        ranges,
        st.floats(0.3, 3),
        st.integers(1, 12),
    ),
    st.builds(
        lambda v, a, b: {"kind": "filament", "level": v, "rise_s": a, "fall_s": b},
        levels,
        st.floats(0, 30),
        st.floats(0, 30),
    ),
)
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


@cache
def two_blocks() -> Leaflet:
    """A decoder that keeps travel and level under another CV31 than the effect code."""
    data = said_of(TOLLEY)
    for name in ("travel", "level"):
        data[name] = copy.deepcopy(data[name]) | {"page": [41, 0]}
    data["outputs"] = data["outputs"][:3]
    return said_as(data)


decoders = st.sampled_from([*DECODERS.values(), UNGATED, two_blocks()])
bytes_ = st.integers(0, 255)
pages = st.tuples(bytes_, bytes_)


def any_values(decoder: Leaflet):
    """Any bytes in every CV that a description knows, whether they mean something or not."""
    return st.fixed_dictionaries(dict.fromkeys(decoder.cells, bytes_))


def legal_values(decoder: Leaflet):
    """A value with a meaning in every CV."""
    return st.fixed_dictionaries(
        {cv: st.sampled_from(sorted(cell.table)) for cv, cell in decoder.cells.items()}
    )
