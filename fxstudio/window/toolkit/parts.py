"""What the page is made of: parts that can be laid out, and boxes that hold others.

A part says how wide it would like to be and how high it is at a width, and is then given its
area. Widgets are such parts, and so are boxes, which share their area among the parts in them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Protocol

from pygame import Rect

from fxstudio.window.toolkit.widget import Ground, Widget


class Part(Protocol):
    """Anything that can be laid out."""

    def width(self) -> int:
        """Width it would like, in pixels."""

    def height(self, width: int) -> int:
        """Height it needs at `width`, in pixels."""

    def lay_out(self, rect: Rect, clip: Rect) -> None:
        """Take this area; only what lies inside `clip` is seen."""

    def leaves(self) -> Iterator[Widget]:
        """The widgets in it, in the order of Tab."""

    def grounds(self) -> Iterator[Ground]:
        """Grounds to fill below the widgets."""


class Box:
    """Base of the boxes: parts that hold others. None among the parts is left out."""

    def __init__(self, parts: Sequence[Part | None], gap: int = 0) -> None:
        self.parts = [part for part in parts if part is not None]
        self.gap = gap
        self.rect = Rect(0, 0, 0, 0)

    def leaves(self) -> Iterator[Widget]:
        """All widgets in order."""
        for part in self.parts:
            yield from part.leaves()

    def grounds(self) -> Iterator[Ground]:
        """Grounds of all parts."""
        for part in self.parts:
            yield from part.grounds()
