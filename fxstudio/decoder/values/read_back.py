"""A list of values read from a decoder: what of it the description explains, and what not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fxstudio.dcc.cv import PAGE_CVS, CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.decode import Decoded, decode
from fxstudio.effect.model import Effect

MOST_NAMED = 8
"""More CVs than this are counted and not named."""


@dataclass(frozen=True)
class ReadBack:
    """What a list of values says.

    known : the values in CVs of the description
    decoded : what they make the decoder show
    aside : CVs of the list that the description does not have; those that select a page, which
        every list may hold, are not told
    missing : CVs of the description that are not in the list, and taken as delivered
    silent : those of which nobody knows what they hold, as that is not printed either
    """

    known: Mapping[CvAddress, int]
    decoded: Decoded
    aside: tuple[CvAddress, ...]
    missing: tuple[CvAddress, ...]
    silent: Mapping[CvAddress, int]

    @property
    def notes(self) -> Iterator[str]:
        """What was left aside and what was taken for granted."""
        if self.aside:
            yield f"not in the description, left aside: {', '.join(map(str, self.aside))}"
        if self.missing:
            few = len(self.missing) <= MOST_NAMED
            named = ", ".join(map(str, self.missing)) if few else f"{len(self.missing)} CVs"
            yield f"not in the list, taken as delivered: {named}"
        if self.silent:
            told = ", ".join(f"{cv} = {value}" for cv, value in self.silent.items())
            yield (
                "not in the list, and not known as delivered: read these too. Until then it is "
                f"only supposed that {told}"
            )


def read_back(
    held: Mapping[CvAddress, int], leaflet: Leaflet, like: Effect | None = None
) -> ReadBack:
    """What a list of values says to `leaflet`; raises InputError as `decode` does."""
    known = {cv: value for cv, value in held.items() if cv in leaflet.cells}
    return ReadBack(
        known,
        decode(known, leaflet, like),
        tuple(cv for cv in held if cv not in known and cv.number not in PAGE_CVS),
        tuple(cv for cv in leaflet.delivered if cv not in held),
        {
            cv: cell.supposed
            for cv, cell in leaflet.cells.items()
            if cell.delivered is None and cv not in held
        },
    )
