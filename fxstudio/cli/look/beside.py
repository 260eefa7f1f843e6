"""What --beside names: the second look of a film."""

from __future__ import annotations

from pathlib import Path

from fxstudio.decoder.values.compile import Compiled, compile_effect
from fxstudio.decoder.values.lists import read_values
from fxstudio.decoder.values.read_back import read_back
from fxstudio.documents.reading import VALUES, file_kind
from fxstudio.effect.files import find_effect, read_effect
from fxstudio.effect.model import Effect
from fxstudio.errors import InputError, naming
from fxstudio.film.halves.beside import Halves

WISH = "wish"
"""What stands for the effect as it is wished, beside what a decoder does."""


def halves_of(beside: str, effect: Effect, compiled: Compiled | None) -> Halves:
    """`effect`, or what a decoder does of it, and what --beside names, with their headings.

    Raises InputError or ReadError for what cannot stand beside it.
    """
    path = Path(beside)
    if beside == WISH:
        on = _needed(compiled, beside)
        return Halves(on.seen, effect, (f"on {on.leaflet.title}", "as wished"))
    if path.is_file() and file_kind(path) == VALUES:
        on = _needed(compiled, beside)
        values = read_values(path)
        with naming(path):
            before = read_back(values, on.leaflet, effect).decoded.effect
        return Halves(before, on.seen, ("before", "after"))
    other = read_effect(path if path.is_file() else find_effect(beside))
    if compiled is None:
        return Halves(effect, other, (effect.title, other.title))
    with naming(other.source):
        seen = compile_effect(other, compiled.leaflet).seen
    return Halves(compiled.seen, seen, (effect.title, other.title))


def source_of(beside: str | None) -> Path | None:
    """The file that --beside names; None for no file."""
    if beside is None or beside == WISH:
        return None
    path = Path(beside)
    return path if path.is_file() else find_effect(beside)


def _needed(compiled: Compiled | None, beside: str) -> Compiled:
    if compiled is None:
        raise InputError("is for what a decoder does", field="--beside", given=beside).advising(
            "add --decoder NAME, or give --beside another effect"
        )
    return compiled
