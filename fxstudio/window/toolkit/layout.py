"""Rows and columns: where everything stands, from a few rules."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pygame import Rect

from fxstudio.window.toolkit.parts import Box, Part
from fxstudio.window.toolkit.widget import Ground, Widget


class Column(Box):
    """One below the other, each as wide as the column."""

    def width(self) -> int:
        """That of the widest part."""
        return max((part.width() for part in self.parts), default=0)

    def height(self, width: int) -> int:
        """All parts and the gaps between them."""
        heights = [part.height(width) for part in self.parts]
        return sum(heights) + self.gap * max(0, len(heights) - 1)

    def lay_out(self, rect: Rect, clip: Rect) -> None:
        """Give each part its height."""
        self.rect, top = rect, rect.top
        for part in self.parts:
            height = part.height(rect.width)
            part.lay_out(Rect(rect.left, top, rect.width, height), clip)
            top += height + self.gap


class Row(Box):
    """Side by side. A part of weight 0 has the width it likes; the others share the rest."""

    def __init__(
        self, parts: Sequence[Part | None], gap: int = 0, weights: Sequence[float] | None = None
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

    def lay_out(self, rect: Rect, clip: Rect) -> None:
        """Give each part its width; all stand in the middle of the row's height."""
        self.rect, left = rect, rect.left
        for part, own in zip(self.parts, self.widths(rect.width), strict=True):
            height = part.height(own)
            part.lay_out(Rect(left, rect.top + (rect.height - height) // 2, own, height), clip)
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

    def lay_out(self, rect: Rect, clip: Rect) -> None:
        """Line by line."""
        self.rect, top = rect, rect.top
        for line in self.lines(rect.width):
            if not line:
                continue
            height, left = max(part.height(own) for part, own in line), rect.left
            for part, own in line:
                high = part.height(own)
                part.lay_out(Rect(left, top + (height - high) // 2, own, high), clip)
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

    def lay_out(self, rect: Rect, clip: Rect) -> None:
        """Nothing to do."""

    def leaves(self) -> Iterator[Widget]:
        """None."""
        return iter(())

    def grounds(self) -> Iterator[Ground]:
        """None."""
        return iter(())
