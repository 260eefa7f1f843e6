"""Patterns: how bright one lamp is over time.

A pattern is one frozen class with a `wave` method and one row in `PATTERNS`; the file
format, the help, the checks, the interview and the window's controls follow from its fields.
`wave` fills a whole loop at once and is periodic over it by construction, so a film has no seam.
"""

from __future__ import annotations

from fxstudio.effect.patterns.beat import Beat
from fxstudio.effect.patterns.flash import Flash
from fxstudio.effect.patterns.flicker import Flicker
from fxstudio.effect.patterns.pattern import Level, Pattern, Ranged, toward
from fxstudio.effect.patterns.steady import Filament, Steady
from fxstudio.effect.patterns.timeline import Fitted, Timeline

PATTERNS: tuple[type[Pattern], ...] = (Steady, Flicker, Flash, Beat, Filament)
"""All patterns, in the order in which help lists them. A new one is added here."""

KINDS: dict[str, type[Pattern]] = {row.model_fields["kind"].default: row for row in PATTERNS}

__all__ = [
    "KINDS",
    "PATTERNS",
    "Beat",
    "Filament",
    "Fitted",
    "Flash",
    "Flicker",
    "Level",
    "Pattern",
    "Ranged",
    "Steady",
    "Timeline",
    "toward",
]
