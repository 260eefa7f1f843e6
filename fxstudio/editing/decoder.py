"""The decoder that a person has chosen, and what it makes of the effect. Knows no pygame."""

from __future__ import annotations

from functools import cache

from fxstudio.decoder.leaflet.files import find_description, read_description, shipped
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import Compiled, compile_effect
from fxstudio.decoder.values.compromise import Compromise
from fxstudio.decoder.values.unknowns import NotKnown, not_known_of, said_of_film
from fxstudio.effect.model import Effect
from fxstudio.errors import FxError

NO_DECODER = ""


@cache
def decoder_titles() -> dict[str, str]:
    """Names of the shipped descriptions and their titles."""
    return {name: read_description(path).title for name, path in shipped().items()}


class ChosenDecoder:
    """A decoder by its name or path, or none.

    compiled : what to write so that it does the effect; None without a decoder, or if it cannot
    error : why it cannot
    """

    def __init__(self) -> None:
        self.name = NO_DECODER
        self.leaflet: Leaflet | None = None
        self.compiled: Compiled | None = None
        self.error: FxError | None = None
        self._accepted: tuple[Compromise, ...] = ()

    def choose(self, name: str) -> None:
        """Take the decoder of this name or path; an empty name: none.

        Raises ReadError or InputError and then keeps the old one.
        """
        self.leaflet = read_description(find_description(name)) if name else None
        self.name = name

    def take(self, effect: Effect) -> None:
        """Work out what it makes of `effect`."""
        self.compiled, self.error = None, None
        if self.leaflet is not None:
            try:
                self.compiled = compile_effect(effect, self.leaflet)
            except FxError as error:
                self.error = error

    @property
    def shown(self) -> tuple[object, ...]:
        """All that the page shows of it."""
        return self.name, self.leaflet, self.compiled, self.error, self.grave

    @property
    def compromises(self) -> tuple[Compromise, ...]:
        """What it cannot do as wished."""
        return self.compiled.compromises if self.compiled else ()

    @property
    def compromise_count(self) -> str:
        """How many compromises it makes, in words."""
        count = len(self.compromises)
        return f"{count or 'no'} compromise{'' if count == 1 else 's'}"

    @property
    def count(self) -> str:
        """How many compromises it makes, and how many things are not known, in words."""
        unknown = len(self.unknown)
        return self.compromise_count + (f", {unknown} not known" if unknown else "")

    @property
    def unknown(self) -> tuple[NotKnown, ...]:
        """What its description does not say of the lamps."""
        return not_known_of(self.compiled.shown) if self.compiled else ()

    @property
    def seen_on(self) -> str:
        """On which decoder the effect is seen: `on Tolley Hearth`; empty if on none."""
        return f"on {self.compiled.leaflet.title}" if self.compiled else ""

    @property
    def missing(self) -> tuple[str, ...]:
        """What its description does not say of the lamps, in the few words of a caption."""
        return tuple(f"{each.lamp}: {each.what}" for each in self.unknown)

    @property
    def said_of_film(self) -> tuple[str, ...]:
        """What a film of what it will do has to say of itself."""
        return said_of_film(self.compiled.shown) if self.compiled else ()

    @property
    def grave(self) -> tuple[Compromise, ...]:
        """The grave compromises that nobody has accepted; the values are shown once they are."""
        return tuple(row for row in self.compromises if row.grave and row not in self._accepted)

    def accept_grave(self) -> None:
        """Accept the compromises that are grave now."""
        self._accepted += self.grave
