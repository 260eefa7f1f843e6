"""What to tell a person at each step where something can be harmed or lost.

All of it is common practice and defers to the decoder maker's manual, local codes and
licensed practice.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

CAUTIONS: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "before writing": (
            "Read the present values and write them down before you change any.",
            "The decoder maker's manual comes first: if it says otherwise, follow it.",
            "Write on a programming track wherever the decoder and the command station can.",
        ),
        "writing on the main": (
            "Only this locomotive may have this address: a write reaches every one that has it.",
            "Let it stand still, with room to move: a lurch at each write is normal.",
            "Write one CV at a time, look, and tick it off.",
        ),
        "after writing": (
            "Try every key in both directions at a low speed before you let it run.",
            "If anything is wrong, stop and write the restore list.",
        ),
        "restoring": (
            "The list leads back from these writes: if others were made since, read the CVs first.",
        ),
        "wiring": (
            "Disconnect the track power before you touch a wire.",
            "Every LED needs its series resistor; resistors and soldering irons get hot.",
            "Follow local codes and licensed practice.",
        ),
        "looking": (
            "Flickering light can harm photosensitive people: warn those who look on, and stop "
            "if anyone feels unwell.",
        ),
    }
)
"""Step to cautions, in the order in which a person comes to them."""

WRITING: Final = ("before writing", "writing on the main")
"""The steps to tell ahead of any write."""


IN_SHORT: Final[Mapping[str, str]] = MappingProxyType(
    {
        "writing": "Note the present values before you change any, use the programming track "
        "where you can, and follow the decoder maker's manual.",
        "eyes": "Bright LEDs close to the eye can harm it: look at them on the screen of the "
        "camera, and follow the LED maker's data sheet.",
        "looking": "Flickering pictures can harm photosensitive people: warn viewers before you "
        "show one.",
    }
)
"""One line each, for where the whole list would hide the answer."""


def for_steps(*steps: str) -> tuple[str, ...]:
    """The cautions of these steps, in order."""
    return tuple(text for step in steps for text in CAUTIONS[step])
