"""How much of a film is kept, in plain steps."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Quality:
    """How much is kept of a film.

    join_cost : squared error, in steps of the even space squared times pixels, that one run of
        like pixels less is worth
    change_cost : the same for one run that does not change from a frame to the next
    follows : correlation that the planned light has at least with the true light
    colours : how many colours the film has at most, up to 255
    lossy : 0 to 100, for formats that keep true colours: 100 loses nothing that is seen
    """

    join_cost: float
    change_cost: float
    follows: float
    colours: int
    lossy: int


DRAFT = Quality(8.0, 60.0, 0.97, 127, 60)
GOOD = Quality(2.5, 18.0, 0.985, 255, 80)
BEST = Quality(1.0, 8.0, 0.995, 255, 92)

QUALITIES = MappingProxyType({"draft": DRAFT, "good": GOOD, "best": BEST})
