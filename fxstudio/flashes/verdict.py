"""Flash analysis of a looping picture, after WCAG 2.x success criterion 2.3.1.

What is analysed is every pixel that a viewer of the file sees: colour numbers after
quantisation, played round and round.

Two counts are made for each rule, and the larger one decides:

* in place: how often the same pixels flash within one second, where together they cover more
  than a quarter of some 10 degree field; they need not flash in step;
* wide: how many changes of more than a quarter of some field, all in one direction and within
  a sixth of a second, follow each other within one second, wherever in the picture each is.

The second count finds flashes that wander. Both lean to the careful side. This is a check of
one file on one assumed screen, not a medical or a legal judgement.

Three choices are stricter than the text of WCAG, see `STRICTER`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fxstudio.arrays import Bytes

from .count import MOST_FLASHES, SECOND_CS, Count, Most
from .fields import Box, Viewing
from .rules import RULES, Rule
from .steps import Rows, Steps, courses, follow, perhaps

Indices = NDArray[np.unsignedinteger]

SCREEN_PX = 1920
"""Longer side of a screen that a picture is shown on the whole of. Common practice."""

STRICTER = (
    "this is stricter than the text of WCAG: fine patterns with squares below 0.1 degrees are not "
    "excepted, a quarter of the field is 21,824 pixels and not 87,296, and every saturated red "
    "beside black counts, however dark"
)
"""Where more is judged than WCAG 2.x asks for. "Understanding SC 2.3.1" excepts fine balanced
patterns, and names 87 296 CSS pixels, the whole field, as the area that may flash."""

ENLARGEMENTS = (1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0, 24.0)
"""How many times larger a picture is tried, until it fills a screen."""


@dataclass(frozen=True)
class Finding:
    """What one rule found.

    rule : the rule
    viewing : how the picture is assumed to be seen
    flashes : most flashes within one second over more than a quarter of a field
    at_s : start of that second, in s from the start of the loop; None if nothing flashes
    box : x, y, width and height in pixels of what flashes there; None if nothing flashes
    area_px : how many pixels of a 10 degree field flash there
    quick_px : most pixels of a field that flash more than three times in some second, be it
        more than a quarter or not
    """

    rule: Rule
    viewing: Viewing
    flashes: int = 0
    at_s: float | None = None
    box: Box | None = None
    area_px: int = 0
    quick_px: int = 0

    @property
    def area(self) -> float:
        """`area_px` as a share of the field."""
        return self.area_px / self.viewing.area_px

    @property
    def quick_area(self) -> float:
        """`quick_px` as a share of the field."""
        return self.quick_px / self.viewing.area_px

    @property
    def passes(self) -> bool:
        """Whether the rule is kept."""
        return self.flashes <= MOST_FLASHES

    def __str__(self) -> str:
        if self.box and not self.passes:
            x, y, width, height = self.box
            return (
                f"{self.rule.name}: TOO MANY, {self.flashes} in the second from "
                f"{self.at_s:.2f} s, where {MOST_FLASHES} are allowed; in the picture at "
                f"x {x} to {x + width}, y {y} to {y + height}, on "
                f"{_share(self.area_px, self.viewing)}"
            )
        if self.quick_px:
            return (
                f"{self.rule.name}: passes; more than {MOST_FLASHES} a second only on "
                f"{_share(self.quick_px, self.viewing)}"
            )
        most = f"at most {self.flashes} in a second" if self.flashes else "none of enough area"
        return f"{self.rule.name}: passes; {most}"


@dataclass(frozen=True, eq=False)
class Verdict:
    """All findings for one looping picture.

    most : uint8 [h, w], most flashes within one second at each pixel, by any rule
    """

    findings: tuple[Finding, ...]
    viewing: Viewing
    most: Bytes = field(repr=False)
    _loop: _Loop = field(repr=False)

    @property
    def passes(self) -> bool:
        """Whether every rule is kept."""
        return all(finding.passes for finding in self.findings)

    @property
    def failures(self) -> tuple[Finding, ...]:
        """The findings that break a rule."""
        return tuple(finding for finding in self.findings if not finding.passes)

    @property
    def whole_screen(self) -> float:
        """How many times larger the picture fills a screen of `SCREEN_PX`; at least 1."""
        longer: int = max(self.most.shape)
        return max(1.0, SCREEN_PX / longer)

    @cached_property
    def safe_enlargement(self) -> float | None:
        """How many times larger the picture still passes, None if it fails as it is.

        `whole_screen`, or one of `ENLARGEMENTS` below it, or 1; it passes at all sizes up to that.
        """
        if not self.passes:
            return None
        end = self.whole_screen
        factors = sorted({1.0, *(factor for factor in ENLARGEMENTS if factor < end), end})
        return self._largest_safe(factors)

    def _largest_safe(self, factors: list[float]) -> float:
        """The largest of some sizes, of which the first is safe, so that all up to it are."""
        near, far = self.viewing.enlarged(factors[0]), self.viewing.enlarged(factors[-1])
        if len(factors) == 1 or self._loop.passes(near.up_to(far)):
            return factors[-1]
        if len(factors) == 2:
            return factors[0]
        middle = len(factors) // 2
        safe = self._largest_safe(factors[: middle + 1])
        return self._largest_safe(factors[middle:]) if safe == factors[middle] else safe

    @property
    def summary(self) -> str:
        """The verdict in one line."""
        if not self.passes:
            return f"flashes too much: {'; '.join(str(finding) for finding in self.failures)}"
        parts = ["passes WCAG 2.3.1, general and red flashes"]
        quick = max(finding.quick_px for finding in self.findings)
        if quick:
            parts.append(f"more than {MOST_FLASHES} a second on {_share(quick, self.viewing)}")
        if self.safe_enlargement == self.whole_screen:
            parts.append("also on a whole screen")
        elif self.safe_enlargement and self.safe_enlargement > 1:
            parts.append(f"also {self.safe_enlargement:g} times as large, but not larger")
        else:
            parts.append("but not shown larger")
        return "; ".join(parts)

    def __str__(self) -> str:
        return "\n".join(map(str, self.findings))


def judge(
    shown: Iterable[Indices],
    colours: ArrayLike,
    delays_cs: ArrayLike,
    viewing: Viewing | None = None,
) -> Verdict:
    """Flash verdict on a looping picture.

    Parameters
    ----------
    shown : colour numbers [h, w] of frame after frame, as they are shown; a whole array, or what
        can be gone through again and again
    colours : sRGB 0..255 [k, 3] of the numbers
    delays_cs : [n], how long each frame stands, in whole 1/100 s
    viewing : how the picture is assumed to be seen
    """
    viewing = viewing or Viewing()
    height, width = next(iter(shown)).shape
    rounds, times_cs = _played(np.asarray(delays_cs))
    rises = [rule.rises(np.asarray(colours)) for rule in RULES]
    may = perhaps(Rows(shown), rises)
    different, course = courses(Rows(shown, may))
    followed = (follow(different, rise, rounds) for rise in rises)
    steps = tuple(steps.of_pixels(course, may) for steps in followed)
    loop = _Loop(steps, times_cs, int(np.sum(delays_cs)), (height, width))
    findings, most = loop.judged(viewing)
    return Verdict(findings, viewing, most, loop)


def _share(pixels: int, viewing: Viewing) -> str:
    """An area in words, to the pixel, beside what is allowed."""
    return (
        f"{pixels / viewing.area_px:.2%} of a field of view ({pixels:,} of its "
        f"{viewing.area_px:,.0f} pixels), where {viewing.share:.0%} are allowed"
    )


@dataclass(frozen=True, eq=False)
class _Loop:
    """The changes of a picture by each rule, from which flashes are counted.

    steps : one for each of `RULES`
    times_cs : [frames played], when each is shown
    loop_cs : length of the loop
    shape_px : height and width of the picture
    """

    steps: tuple[Steps, ...]
    times_cs: NDArray[np.integer]
    loop_cs: int
    shape_px: tuple[int, int]

    def judged(self, viewing: Viewing) -> tuple[tuple[Finding, ...], Bytes]:
        """What each rule finds, and most flashes in one second of each pixel, [h, w]."""
        most = np.zeros(self.shape_px, np.uint8)
        findings = []
        for rule, steps in zip(RULES, self.steps, strict=True):
            found = Count(steps, self.times_cs, self.shape_px, viewing).most()
            findings.append(_finding(rule, viewing, found, self.loop_cs))
            np.maximum(most, steps.at_pixels(found.each).reshape(self.shape_px), out=most)
        return tuple(findings), most

    def passes(self, viewing: Viewing) -> bool:
        """Whether every rule is kept."""
        return not any(
            Count(steps, self.times_cs, self.shape_px, viewing).too_many() for steps in self.steps
        )


def _played(delays_cs: NDArray[np.integer]) -> tuple[int, NDArray[np.integer]]:
    """How often the loop is played to judge it, and the time in 1/100 s of each frame then.

    Once to settle what came before the first frame, then as often as one second needs.
    """
    rounds = 1 + max(1, -(-SECOND_CS // int(delays_cs.sum())))
    delays = np.tile(delays_cs, rounds)
    return rounds, np.cumsum(delays) - delays


def _finding(rule: Rule, viewing: Viewing, found: Most, loop_cs: int) -> Finding:
    """The counts of one rule, in seconds of the loop."""
    if found.spot.box is None:
        return Finding(rule, viewing, quick_px=found.quick.pixels)
    return Finding(
        rule,
        viewing,
        found.flashes,
        (found.end_cs - SECOND_CS) % loop_cs / 100,
        found.spot.box,
        found.spot.pixels,
        found.quick.pixels,
    )
