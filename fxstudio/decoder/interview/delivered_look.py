"""An effect as a decoder shows it that is described so far, with its values as delivered."""

from __future__ import annotations

from fxstudio.decoder.leaflet.evaluator import does, output_words_now, unread
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.documents.reading import changed
from fxstudio.effect.model import Effect


def delivered_look(effect: Effect, leaflet: Leaflet) -> Effect:
    """`effect` with the light of each lamp that of its output, as it is delivered.

    What is not known is drawn as it is wished; lamps on outputs that the decoder lacks stay, and
    so do those that depend on a value that is not printed.
    """
    lamps = {
        name: changed(lamp, pattern=does(leaflet, lamp.output, {}, lamp.pattern).pattern)
        if lamp.output in leaflet.output and not unread(leaflet, lamp.output, {})
        else lamp
        for name, lamp in effect.lamps.items()
    }
    return changed(effect, lamps=lamps)


def draws_what_is_not_known(effect: Effect, leaflet: Leaflet) -> bool:
    """Whether a lamp of `effect` then has something that the leaflet does not print."""
    own = [lamp for lamp in effect.lamps.values() if lamp.output in leaflet.output]
    return any(
        unread(leaflet, lamp.output, {}) or does(leaflet, lamp.output, {}, lamp.pattern).unknown
        for lamp in own
    )


def delivered_words(leaflet: Leaflet) -> tuple[str, ...]:
    """What each output does as delivered, a sentence each."""
    return tuple(f"{output_words_now(leaflet, output, {})}." for output in leaflet.outputs)
