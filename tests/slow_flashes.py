"""Flash analysis written as plainly as the rules read: one point, one pair, one field at a time.

It shares nothing with the package but the choices the package documents: how far black is, how
near in time changes count as one, and that a window of one second holds both its ends. It is
slow, and only for checking the fast one.
"""

from __future__ import annotations

import math
from functools import cache

MOST = 3
TOGETHER_CS = 17


def linear(code):
    """Linear light of an 8-bit sRGB code, with the knee printed in WCAG."""
    v = code / 255
    return v / 12.92 if v <= 0.03928 else ((v + 0.055) / 1.055) ** 2.4


def relative_luminance(colour):
    """L = 0.2126 R + 0.7152 G + 0.0722 B."""
    r, g, b = map(linear, colour)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def is_saturated_red(colour):
    """R / (R + G + B) >= 0.8; black has no such ratio."""
    r, g, b = map(linear, colour)
    return r + g + b > 0 and r >= 0.8 * (r + g + b)


def uv(colour):
    """CIE 1976 u'v', None for black."""
    r, g, b = map(linear, colour)
    if r + g + b == 0:
        return None
    x = 0.4124564 * r + 0.3575761 * g + 0.1804375 * b
    y = 0.2126729 * r + 0.7151522 * g + 0.0721750 * b
    z = 0.0193339 * r + 0.1191920 * g + 0.9503041 * b
    return 4 * x / (x + 15 * y + 3 * z), 9 * y / (x + 15 * y + 3 * z)


def general_rise(a, b):
    """Brighter by a tenth of white, the darker below 0.8."""
    return relative_luminance(b) - relative_luminance(a) >= 0.1 and relative_luminance(a) < 0.8


def red_rise_20(a, b):
    """(R - G - B) x 320 up by more than 20, either saturated."""

    def value(colour):
        r, g, b = map(linear, colour)
        return max(0.0, (r - g - b) * 320)

    return value(b) - value(a) > 20 and (is_saturated_red(a) or is_saturated_red(b))


def red_rise_22(a, b):
    """To a saturated red from a colour more than 0.2 away, or from black."""
    if not is_saturated_red(b):
        return False
    if uv(a) is None:
        return True
    (u1, v1), (u2, v2) = uv(a), uv(b)
    return ((u1 - u2) ** 2 + (v1 - v2) ** 2) ** 0.5 > 0.2


RULES = (general_rise, red_rise_20, red_rise_22)


def changes(colours, rise):
    """Frames at which one point changes, and which way: [(frame, +1 or -1), ...]."""
    found = []
    since = 0  # the frame of the change before
    for k, now in enumerate(colours):
        before = colours[since:k]
        up = any(rise(old, now) for old in before)
        down = any(rise(now, old) for old in before)
        last = found[-1][1] if found else 0
        if up and last != 1:
            found.append((k, 1))
            since = k
        elif down and last != -1:
            found.append((k, -1))
            since = k
    return found


def judge(frames, delays_cs, field):
    """(flashes, quick pixels) for each rule.

    frames : [n][row][column] of (r, g, b); delays_cs : [n]; field : width, height in pixels
    """
    length = sum(delays_cs)
    rounds = 2
    while (rounds - 1) * length < 100:
        rounds += 1
    film = frames * rounds
    times, t = [], 0
    for delay in list(delays_cs) * rounds:
        times.append(t)
        t += delay
    rows, columns = len(frames[0]), len(frames[0][0])
    return [_judge_rule(film, times, rows, columns, field, rise) for rise in RULES]


def _judge_rule(film, times, rows, columns, field, rise):
    known_rise = cache(rise)
    points = [(y, x) for y in range(rows) for x in range(columns)]
    taken = {(y, x): tuple(frame[y][x] for frame in film) for y, x in points}
    moves = {course: changes(course, known_rise) for course in set(taken.values())}
    width, height = min(math.ceil(field[0]), columns), min(math.ceil(field[1]), rows)
    fields = [
        [taken[y, x] for y in range(top, top + height) for x in range(left, left + width)]
        for top in range(rows - height + 1)
        for left in range(columns - width + 1)
    ]
    limit = field[0] * field[1] / 4

    @cache
    def most_in_a_field(courses):
        return max(sum(course in courses for course in inside) for inside in fields)

    flashes, quick = 0, 0
    for end in times:  # the same points, in step or not
        counts = {
            course: sum(end - 100 <= times[k] <= end for k, _ in moved) // 2
            for course, moved in moves.items()
        }
        often = frozenset(course for course in moves if counts[course] > MOST)
        quick = max(quick, most_in_a_field(often))
        for number in range(flashes + 1, max(counts.values()) + 1):
            if most_in_a_field(frozenset(c for c in moves if counts[c] >= number)) > limit:
                flashes = number

    wide, last = [], 0  # wide changes, wherever each is
    used = {1: -1, -1: -1}
    busy = {frame for moved in moves.values() for frame, _ in moved}
    for k, now in enumerate(times):
        if k not in busy:
            continue
        for direction in (-last or 1, last or -1):
            fresh = set()
            for course, moved in moves.items():
                done = [(times[frame], way) for frame, way in moved if frame <= k]
                if not done or done[-1][1] != direction:
                    continue
                if done[-1][0] >= now - TOGETHER_CS and done[-1][0] > used[direction]:
                    fresh.add(course)
            if most_in_a_field(frozenset(fresh)) > limit:
                used[direction] = now
                if direction != last:
                    wide.append(now)
                    last = direction
    for end in wide:
        flashes = max(flashes, sum(end - 100 <= when <= end for when in wide) // 2)
    return flashes, quick
