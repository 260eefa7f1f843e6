"""Flash analysis of a looping picture, after WCAG 2.x success criterion 2.3.1.

What is analysed is what a viewer of the file sees: colour numbers after quantisation, played
round and round. One picture point in three by three is followed, 0.09 degrees, finer than the
0.1 degrees below which WCAG exempts a balanced pattern.

Two counts are made for each rule, and the larger one decides:

* in place: how often the same points flash within one second, where together they cover more
  than a quarter of some 10 degree field; they need not flash in step;
* wide: how many changes of more than a quarter of some field, all in one direction and within
  a sixth of a second, follow each other within one second, wherever in the picture each is.

The second count finds flashes that wander. Both lean to the careful side. This is a check of
one file on one assumed screen, not a medical or a legal judgement.
"""

from __future__ import annotations

from bisect import bisect
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .count import MOST_FLASHES, SECOND_CS, Box, Count, Viewing
from .rules import RULES, Rule
from .steps import Steps, courses, follow

Indices = NDArray[np.unsignedinteger]

SCREEN_PX = 1920
"""Longer side of a screen that a picture is shown on the whole of. Common practice."""

ENLARGEMENTS = (1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0, 24.0)
"""How many times larger a picture is tried, until it fills a screen."""


@dataclass(frozen=True)
class Finding:
    """What one rule found.

    rule : the rule
    flashes : most flashes within one second over more than a quarter of a field
    at_s : start of that second, in s from the start of the loop; None if nothing flashes
    box : x, y, width and height in pixels of what flashes there; None if nothing flashes
    area : share of a 10 degree field that flashes there
    quick_area : largest share of a field whose points flash more than three times in some
        second, be it more than a quarter or not
    """

    rule: Rule
    flashes: int = 0
    at_s: float | None = None
    box: Box | None = None
    area: float = 0.0
    quick_area: float = 0.0

    @property
    def passes(self) -> bool:
        """Whether the rule is kept."""
        return self.flashes <= MOST_FLASHES

    def __str__(self) -> str:
        if not self.passes:
            x, y, width, height = self.box
            return (
                f"{self.rule.name}: TOO MANY, {self.flashes} in the second from "
                f"{self.at_s:.2f} s, where {MOST_FLASHES} are allowed; in the picture at "
                f"x {x} to {x + width}, y {y} to {y + height}, {self.area:.0%} of a field of view"
            )
        if self.quick_area:
            return (
                f"{self.rule.name}: passes; more than {MOST_FLASHES} a second only on "
                f"{self.quick_area:.1%} of a field of view, where 25% are allowed"
            )
        most = f"at most {self.flashes} in a second" if self.flashes else "none of enough area"
        return f"{self.rule.name}: passes; {most}"


@dataclass(frozen=True, eq=False)
class Verdict:
    """All findings for one looping picture.

    most : uint8 [h, w], most flashes within one second at each followed point, by any rule
    """

    findings: tuple[Finding, ...]
    viewing: Viewing
    most: NDArray[np.uint8] = field(repr=False)
    shape_px: tuple[int, int]
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
        return max(1.0, SCREEN_PX / max(self.shape_px))

    @cached_property
    def safe_enlargement(self) -> float | None:
        """How many times larger the picture still passes, None if it fails as it is.

        `whole_screen`, or one of `ENLARGEMENTS` below it, or 1.
        """
        if not self.passes:
            return None
        if self._passes_enlarged(self.whole_screen):
            return self.whole_screen
        # What fails at one size fails at all larger ones, where more of a field flashes.
        factors = [1.0, *(factor for factor in ENLARGEMENTS if factor < self.whole_screen)]
        return factors[bisect(factors, False, 1, key=lambda f: not self._passes_enlarged(f)) - 1]

    def _passes_enlarged(self, factor: float) -> bool:
        return factor == 1 or self._loop.passes(self.viewing.enlarged(factor))

    @property
    def summary(self) -> str:
        """The verdict in one line."""
        if not self.passes:
            return f"flashes too much: {'; '.join(str(finding) for finding in self.failures)}"
        parts = ["passes WCAG 2.3.1, general and red flashes"]
        quick = max(finding.quick_area for finding in self.findings)
        if quick:
            parts.append(
                f"more than {MOST_FLASHES} a second on {quick:.1%} of a field of view, "
                "where 25% are allowed"
            )
        if self.safe_enlargement == self.whole_screen:
            parts.append("also on a whole screen")
        elif self.safe_enlargement > 1:
            parts.append(f"also {self.safe_enlargement:g} times as large, but not larger")
        else:
            parts.append("but not shown larger")
        return "; ".join(parts)

    def __str__(self) -> str:
        return "\n".join(map(str, self.findings))


def judge(
    shown: Indices,
    colours: NDArray[np.uint8],
    delays_cs: ArrayLike,
    viewing: Viewing | None = None,
) -> Verdict:
    """Flash verdict on a film: colour numbers [n, h, w] of its frames, as they are shown.

    The rest is as in `analyse`, which gets one point in `viewing.every_px` each way.
    """
    viewing = viewing or Viewing()
    every = viewing.every_px
    points = shown[:, every // 2 :: every, every // 2 :: every]
    return analyse(points, colours, delays_cs, viewing, shown.shape[1:])


def analyse(
    points: Indices,
    colours: ArrayLike,
    delays_cs: ArrayLike,
    viewing: Viewing | None = None,
    shape_px: tuple[int, int] | None = None,
) -> Verdict:
    """Flash verdict on a loop.

    Parameters
    ----------
    points : colour numbers [n, h, w] of the points followed, `viewing.every_px` apart
    colours : sRGB 0..255 [k, 3] of the numbers
    delays_cs : [n], how long each frame stands, in whole 1/100 s
    viewing : how the picture is assumed to be seen
    shape_px : height and width of the whole picture
    """
    viewing = viewing or Viewing()
    count, *grid = points.shape
    every = viewing.every_px
    shape_px = shape_px or (grid[0] * every, grid[1] * every)
    rounds, times_cs = _played(np.asarray(delays_cs))
    different, course = courses(points.reshape(count, -1))
    followed = (follow(different, rule.rises(np.asarray(colours)), rounds) for rule in RULES)
    loop = _Loop(
        tuple(steps.of_points(course) for steps in followed),
        times_cs,
        int(np.sum(delays_cs)),
        tuple(grid),
        shape_px,
    )
    findings, most = loop.judged(viewing)
    return Verdict(findings, viewing, most.reshape(grid), shape_px, loop)


@dataclass(frozen=True, eq=False)
class _Loop:
    """The changes of a picture by each rule, from which flashes are counted.

    steps : one for each of `RULES`
    times_cs : [frames played], when each is shown
    loop_cs : length of the loop
    grid : rows and columns of the followed points
    """

    steps: tuple[Steps, ...]
    times_cs: NDArray[np.integer]
    loop_cs: int
    grid: tuple[int, int]
    shape_px: tuple[int, int]

    def judged(self, viewing: Viewing) -> tuple[tuple[Finding, ...], NDArray[np.uint8]]:
        """What each rule finds, and most flashes in one second of each followed point."""
        most = np.zeros(self.grid[0] * self.grid[1], np.uint8)
        findings = []
        for rule, steps in zip(RULES, self.steps, strict=True):
            count = Count(steps, self.times_cs, self.grid, viewing)
            findings.append(_finding(rule, count, self.loop_cs, self.shape_px))
            np.maximum(most, steps.at_points(count.most), out=most)
        return tuple(findings), most

    def passes(self, viewing: Viewing) -> bool:
        """Whether every rule is kept."""
        counts = (Count(steps, self.times_cs, self.grid, viewing) for steps in self.steps)
        return all(count.flashes <= MOST_FLASHES for count in counts)


def _played(delays_cs: NDArray[np.integer]) -> tuple[int, NDArray[np.integer]]:
    """How often the loop is played to judge it, and the time in 1/100 s of each frame then.

    Once to settle what came before the first frame, then as often as one second needs.
    """
    rounds = 1 + max(1, -(-SECOND_CS // int(delays_cs.sum())))
    delays = np.tile(delays_cs, rounds)
    return rounds, np.cumsum(delays) - delays


def _finding(rule: Rule, found: Count, loop_cs: int, shape_px: tuple[int, int]) -> Finding:
    """The counts of one rule in pixels and seconds of the picture."""
    quick_area = found.share_of(found.quick)
    if found.spot.box is None:
        return Finding(rule, quick_area=quick_area)
    x, y, width, height = found.spot.box
    box = x, y, min(width, shape_px[1] - x), min(height, shape_px[0] - y)
    start_s = (found.end_cs - SECOND_CS) % loop_cs / 100
    return Finding(rule, found.flashes, start_s, box, found.share_of(found.spot), quick_area)
