"""Rows and columns: where everything stands, from a few rules.

A part of the window says how wide it would like to be and how high it is at a width, and is
then given its rectangle. Boxes are such parts made of others.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Protocol

from pygame import Rect

if TYPE_CHECKING:
    from fxstudio.window.toolkit.frames import Scroll
    from fxstudio.window.toolkit.widget import Widget


class Part(Protocol):
    """Anything that can be laid out."""

    def width(self) -> int:
        """Width it would like, in pixels."""

    def height(self, width: int) -> int:
        """Height it needs at `width`, in pixels."""

    def place(self, rect: Rect, clip: Rect) -> None:
        """Take this rectangle; only what lies inside `clip` is seen."""

    def leaves(self) -> Iterator[Widget]:
        """The widgets in it, in the order of Tab."""

    def grounds(self) -> Iterator[tuple[Rect, Rect, str]]:
        """Grounds to fill below the widgets: rectangle, clip, colour."""


class Box:
    """Base of the boxes: parts that hold others."""

    def __init__(self, parts: Sequence[Part], gap: int = 0) -> None:
        self.parts = [part for part in parts if part is not None]
        self.gap = gap
        self.rect = Rect(0, 0, 0, 0)

    def leaves(self) -> Iterator[Widget]:
        """All widgets in order."""
        for part in self.parts:
            yield from part.leaves()

    def grounds(self) -> Iterator[tuple[Rect, Rect, str]]:
        """Grounds of all parts."""
        for part in self.parts:
            yield from part.grounds()

    def scrolls(self) -> Iterator[Scroll]:
        """Scrolling boxes in it, the outer ones first."""
        for part in self.parts:
            if isinstance(part, Box):
                yield from part.scrolls()


class Column(Box):
    """One below the other, each as wide as the column."""

    def width(self) -> int:
        """That of the widest part."""
        return max((part.width() for part in self.parts), default=0)

    def height(self, width: int) -> int:
        """All parts and the gaps between them."""
        heights = [part.height(width) for part in self.parts]
        return sum(heights) + self.gap * max(0, len(heights) - 1)

    def place(self, rect: Rect, clip: Rect) -> None:
        """Give each part its height."""
        self.rect, top = rect, rect.top
        for part in self.parts:
            height = part.height(rect.width)
            part.place(Rect(rect.left, top, rect.width, height), clip)
            top += height + self.gap


class Row(Box):
    """Side by side. A part of weight 0 has the width it likes; the others share the rest."""

    def __init__(
        self, parts: Sequence[Part], gap: int = 0, weights: Sequence[float] | None = None
    ) -> None:
        kept = [index for index, part in enumerate(parts) if part is not None]
        super().__init__(parts, gap)
        self.weights = [weights[index] if weights else 1.0 for index in kept]

    def width(self) -> int:
        """All parts and the gaps between them."""
        return sum(part.width() for part in self.parts) + self.gap * (len(self.parts) - 1)

    def widths(self, width: int) -> list[int]:
        """How `width` is shared."""
        fixed = [
            0 if weight else min(part.width(), width)
            for part, weight in zip(self.parts, self.weights, strict=True)
        ]
        rest = max(0, width - sum(fixed) - self.gap * (len(self.parts) - 1))
        total = sum(self.weights) or 1
        return [
            own or int(rest * weight / total)
            for own, weight in zip(fixed, self.weights, strict=True)
        ]

    def height(self, width: int) -> int:
        """That of the highest part."""
        return max(
            (part.height(own) for part, own in zip(self.parts, self.widths(width), strict=True)),
            default=0,
        )

    def place(self, rect: Rect, clip: Rect) -> None:
        """Give each part its width; all stand in the middle of the row's height."""
        self.rect, left = rect, rect.left
        for part, own in zip(self.parts, self.widths(rect.width), strict=True):
            height = part.height(own)
            part.place(Rect(left, rect.top + (rect.height - height) // 2, own, height), clip)
            left += own + self.gap


class Flow(Box):
    """Side by side like words, beginning a new line where the width ends."""

    def lines(self, width: int) -> list[list[tuple[Part, int]]]:
        """Parts with their widths, line by line."""
        lines: list[list[tuple[Part, int]]] = [[]]
        left = 0
        for part in self.parts:
            own = min(part.width(), width)
            if lines[-1] and left + own > width:
                lines.append([])
                left = 0
            lines[-1].append((part, own))
            left += own + self.gap
        return lines

    def width(self) -> int:
        """All on one line."""
        return sum(part.width() for part in self.parts) + self.gap * max(0, len(self.parts) - 1)

    def height(self, width: int) -> int:
        """All lines and the gaps between them."""
        lines = [line for line in self.lines(width) if line]
        heights = [max(part.height(own) for part, own in line) for line in lines]
        return sum(heights) + self.gap * max(0, len(lines) - 1)

    def place(self, rect: Rect, clip: Rect) -> None:
        """Line by line."""
        self.rect, top = rect, rect.top
        for line in self.lines(rect.width):
            if not line:
                continue
            height, left = max(part.height(own) for part, own in line), rect.left
            for part, own in line:
                high = part.height(own)
                part.place(Rect(left, top + (height - high) // 2, own, high), clip)
                left += own + self.gap
            top += height + self.gap


class Space:
    """Empty room."""

    def __init__(self, width: int = 0, height: int = 0) -> None:
        self._size = width, height

    def width(self) -> int:
        """As given."""
        return self._size[0]

    def height(self, width: int) -> int:
        """As given."""
        return self._size[1]

    def place(self, rect: Rect, clip: Rect) -> None:
        """Nothing to do."""

    def leaves(self) -> Iterator[Widget]:
        """None."""
        return iter(())

    def grounds(self) -> Iterator[tuple[Rect, Rect, str]]:
        """None."""
        return iter(())
