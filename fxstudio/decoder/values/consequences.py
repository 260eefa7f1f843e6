"""What follows from the values for an effect for outputs that nobody named."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fxstudio.decoder.leaflet.evaluator import Held, does, output_words, unread
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.errors import InputError


def changes_of_others(
    leaflet: Leaflet, before: Held, after: Held, named: Mapping[int, str]
) -> Iterator[str]:
    """What outputs do otherwise that the effect does not name, in words."""
    for number, output in leaflet.output.items():
        if number in named:
            continue
        try:
            was, now = (does(leaflet, number, held) for held in (before, after))
            if unread(leaflet, number, before):
                continue
        except InputError:
            continue  # what it does now is not known, so no change can be told
        if not (was.ever_lit and was.level) and not (now.ever_lit and now.level):
            continue
        old, new = (output_words(output, it) for it in (was, now))
        if old != new:
            yield f"{new}, and not, as before, {old.partition(': ')[2]}."
