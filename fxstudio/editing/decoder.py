"""The decoder that a person has chosen, and what it makes of the effect. Knows no pygame."""

from __future__ import annotations

from functools import cache

from fxstudio.decoder.description.files import find_description, read_description, shipped
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.values.compile import Compiled, compile_effect
from fxstudio.decoder.values.compromise import Compromise
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
        self.description: Description | None = None
        self.compiled: Compiled | None = None
        self.error: FxError | None = None
        self._accepted: tuple[Compromise, ...] = ()

    def choose(self, name: str) -> None:
        """Take the decoder of this name or path; an empty name: none.

        Raises ReadError or InputError and then keeps the old one.
        """
        self.description = read_description(find_description(name)) if name else None
        self.name = name

    def take(self, effect: Effect) -> None:
        """Work out what it makes of `effect`."""
        self.compiled, self.error = None, None
        if self.description is not None:
            try:
                self.compiled = compile_effect(effect, self.description)
            except FxError as error:
                self.error = error

    @property
    def shown(self) -> tuple[object, ...]:
        """All that the page shows of it."""
        return self.name, self.description, self.compiled, self.error, self.grave

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
    def grave(self) -> tuple[Compromise, ...]:
        """The grave compromises that nobody has accepted; the values are shown once they are."""
        return tuple(row for row in self.compromises if row.grave and row not in self._accepted)

    def accept_grave(self) -> None:
        """Accept the compromises that are grave now."""
        self._accepted += self.grave
