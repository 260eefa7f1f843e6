"""Boxes that give one or two parts a place: grounds, scrolling, and the sides of the window."""

from __future__ import annotations

from collections.abc import Iterator

from pygame import Rect

from fxstudio.window.toolkit.parts import Box, Part
from fxstudio.window.toolkit.widget import Ground


class Panel(Box):
    """One part on a ground of its own, with a margin."""

    def __init__(self, part: Part, pad: int, ground: str = "panel") -> None:
        super().__init__([part])
        self.pad, self.ground, self.clip = pad, ground, Rect(0, 0, 0, 0)

    def width(self) -> int:
        """The part and its margin."""
        return self.parts[0].width() + 2 * self.pad

    def height(self, width: int) -> int:
        """The part and its margin."""
        return self.parts[0].height(width - 2 * self.pad) + 2 * self.pad

    def lay_out(self, rect: Rect, clip: Rect) -> None:
        """The part inside the margin."""
        self.rect, self.clip = rect, clip
        self.parts[0].lay_out(rect.inflate(-2 * self.pad, -2 * self.pad), clip)

    def grounds(self) -> Iterator[Ground]:
        """Its own, then those of the part."""
        yield self.rect, self.clip, self.ground
        yield from self.parts[0].grounds()


class Scroll(Box):
    """Shows as much of one part as fits, from `offset` pixels down."""

    def __init__(self, key: str, part: Part, bar: int) -> None:
        super().__init__([part])
        self.key, self.bar = key, bar
        self.offset = self.content = 0

    def width(self) -> int:
        """The part and the bar."""
        return self.parts[0].width() + self.bar

    def height(self, width: int) -> int:
        """That of the whole part."""
        return self.parts[0].height(width - self.bar)

    def lay_out(self, rect: Rect, clip: Rect) -> None:
        """The part, moved up by the offset."""
        self.rect = rect
        self.content = self.height(rect.width)
        self.offset = max(0, min(self.offset, self.content - rect.height))
        inside = Rect(rect.left, rect.top - self.offset, rect.width - self.bar, self.content)
        self.parts[0].lay_out(inside, rect.clip(clip))

    def scroll(self, pixels: int) -> bool:
        """Move; whether anything moved."""
        before = self.offset
        self.offset = max(0, min(self.offset + pixels, self.content - self.rect.height))
        if self.offset != before:
            self.lay_out(self.rect, self.rect)
        return self.offset != before

    def reveal(self, rect: Rect) -> bool:
        """Scroll so far that `rect` is seen; whether anything moved."""
        margin = self.bar
        if rect.top < self.rect.top + margin:
            return self.scroll(rect.top - self.rect.top - margin)
        if rect.bottom > self.rect.bottom - margin:
            room = rect.top - self.rect.top - margin
            return self.scroll(min(room, rect.bottom - self.rect.bottom + margin))
        return False

    def thumb(self) -> Rect | None:
        """The moving part of the scroll bar; None if all is seen."""
        if self.content <= self.rect.height:
            return None
        height = max(self.bar, self.rect.height * self.rect.height // self.content)
        room = self.rect.height - height
        top = self.rect.top + room * self.offset // max(1, self.content - self.rect.height)
        return Rect(self.rect.right - self.bar * 3 // 4, top, self.bar // 2, height)


def scrolls(part: Part | None) -> Iterator[Scroll]:
    """The scrolling boxes in a part, the outer ones first."""
    if isinstance(part, Scroll):
        yield part
    if isinstance(part, Box):
        for inner in part.parts:
            yield from scrolls(inner)


class Dock(Box):
    """A part at the top, one at the bottom, and one that takes all room between them."""

    def __init__(self, top: Part, middle: Part, bottom: Part) -> None:
        super().__init__([top, middle, bottom])

    def width(self) -> int:
        """That of the widest part."""
        return max(part.width() for part in self.parts)

    def height(self, width: int) -> int:
        """All parts."""
        return sum(part.height(width) for part in self.parts)

    def lay_out(self, rect: Rect, clip: Rect) -> None:
        """Top and bottom as high as they need to be."""
        self.rect = rect
        top, middle, bottom = self.parts
        above, below = top.height(rect.width), bottom.height(rect.width)
        top.lay_out(Rect(rect.left, rect.top, rect.width, above), clip)
        room = max(0, rect.height - above - below)
        middle.lay_out(Rect(rect.left, rect.top + above, rect.width, room), clip)
        bottom.lay_out(Rect(rect.left, rect.bottom - below, rect.width, below), clip)


class Split(Box):
    """Two parts side by side, both as high as the whole; the left one is `own` pixels wide."""

    def __init__(self, left: Part, right: Part, own: int) -> None:
        super().__init__([left, right])
        self.own = own

    def width(self) -> int:
        """Both."""
        return sum(part.width() for part in self.parts)

    def height(self, width: int) -> int:
        """That of the higher one."""
        return max(self.parts[0].height(self.own), self.parts[1].height(width - self.own))

    def lay_out(self, rect: Rect, clip: Rect) -> None:
        """Each its width."""
        self.rect, own = rect, self.own
        self.parts[0].lay_out(Rect(rect.left, rect.top, own, rect.height), clip)
        self.parts[1].lay_out(Rect(rect.left + own, rect.top, rect.width - own, rect.height), clip)


class Either(Box):
    """One of two ways to lay out the same widgets: the first one from `least` pixels width on."""

    def __init__(self, wide: Part, narrow: Part, least: int) -> None:
        super().__init__([wide])
        self.wide, self.narrow, self.least = wide, narrow, least

    def width(self) -> int:
        """That of the wide way."""
        return self.wide.width()

    def _at(self, width: int) -> Part:
        return self.wide if width >= self.least else self.narrow

    def height(self, width: int) -> int:
        """That of the way it has at this width."""
        return self._at(width).height(width)

    def lay_out(self, rect: Rect, clip: Rect) -> None:
        """In the way that fits."""
        self.rect = rect
        self.parts = [self._at(rect.width)]
        self.parts[0].lay_out(rect, clip)


class Sized(Box):
    """One part that would like to have a given width."""

    def __init__(self, part: Part, width: int) -> None:
        super().__init__([part])
        self._width = width

    def width(self) -> int:
        """As given."""
        return self._width

    def height(self, width: int) -> int:
        """That of the part."""
        return self.parts[0].height(width)

    def lay_out(self, rect: Rect, clip: Rect) -> None:
        """All of it to the part, whatever height it would need."""
        self.rect = rect
        self.parts[0].lay_out(rect, clip)


def above(part: Part, anchor: Rect | None, size: tuple[int, int], margin: int) -> Rect:
    """Where a part that lies on top of the page goes in a window of `size`.

    In the middle, or below `anchor`, and above it where there is no room.
    """
    width, height = size
    own = min(part.width(), width - 2 * margin)
    if anchor is not None:
        own = max(own, min(anchor.width, width - 2 * margin))
    rect = Rect(0, 0, own, min(part.height(own), height - 2 * margin))
    if anchor is None:
        rect.center = width // 2, height // 2
    else:
        rect.topleft = anchor.left, anchor.bottom + 2
        if rect.bottom > height - margin:
            rect.bottom = max(anchor.top - 2, rect.height + margin)
    return rect.clamp(Rect(margin, margin, width - 2 * margin, height - 2 * margin))
