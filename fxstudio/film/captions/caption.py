"""The caption of a film: what is seen, in which travel and by which keys."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from fxstudio.arrays import Bytes
from fxstudio.effect.drive import DriveTrace, Moment
from fxstudio.effect.keys import sorted_keys
from fxstudio.film.captions.strip import InkSheet, Strip, em_of, font_of, ink_colours, shortened

PLAIN_EFFECT = "plain effect"
"""What is seen where no decoder is asked."""

ROW, KEY_HEIGHT = 1.65, 1.4
"""Heights of a row and a keycap in ems."""
FORWARD, REVERSE = "▶", "◀"


@dataclass(frozen=True)
class Caption:
    """What a caption says.

    title : of the effect; empty for a caption of travel, speed and keys alone
    seen_on : `plain effect`, or on which decoder it is seen
    unknown : what is not known of it, so that it is drawn as wished
    words : what is shown from which moment on, in s: moments and words
    """

    title: str = ""
    seen_on: str = ""
    unknown: tuple[str, ...] = ()
    words: tuple[tuple[float, str], ...] = ()

    def words_at(self, time_s: float) -> str:
        """What is shown at a moment; empty if nothing was said."""
        return next((words for at_s, words in reversed(self.words) if at_s <= time_s), "")


def caption_strip(caption: Caption, width: int, trace: DriveTrace, times_s: ArrayLike) -> Strip:
    """The caption of a film `width` pixels wide, whose frames show `trace` at `times_s`."""
    em = em_of(width)
    rows = bool(caption.title) + 1 + bool(caption.words) + bool(caption.unknown)
    rows += _apart(caption, em, width)
    height = round(em * (ROW * rows + 0.5))

    times = np.asarray(times_s, float).tolist()

    @lru_cache(maxsize=64)
    def drawn(moment: Moment, speed_kmh: int, words: str) -> Bytes:
        return _drawn(caption, (width, height), em, (moment, speed_kmh, words))

    def numbers(frame: int) -> Bytes:
        speed = round(float(trace.speed_kmh[frame]))
        return drawn(trace.moment(frame), speed, caption.words_at(times[frame]))

    return Strip(ink_colours(), height, numbers)


def _apart(caption: Caption, em: int, width: int) -> bool:
    """Whether the title leaves no room beside it for what it is seen on."""
    if not (caption.title and caption.seen_on):
        return bool(caption.seen_on)
    font = font_of(em)
    return font.getlength(caption.title) + font.getlength(caption.seen_on) > width - 3 * em


def _drawn(
    caption: Caption, size: tuple[int, int], em: int, state: tuple[Moment, int, str]
) -> Bytes:
    (width, _), (moment, speed, words) = size, state
    sheet = InkSheet(*size, em)
    font, side, middle = sheet.font, em / 2, em * (ROW / 2 + 0.25)
    room = width - 2 * side
    apart = _apart(caption, em, width)
    if caption.title:
        sheet.text(side, middle, shortened(caption.title, font, room), "text")
        if caption.seen_on and not apart:
            sheet.text(
                width - side - font.getlength(caption.seen_on), middle, caption.seen_on, "quiet"
            )
        middle += em * ROW
    if caption.seen_on and apart:
        sheet.text(side, middle, shortened(caption.seen_on, font, room), "quiet")
        middle += em * ROW
    if caption.words:
        sheet.text(side, middle, shortened(words, font, room), "text")
        middle += em * ROW
    _drive_row(sheet, em, middle, moment, speed)
    middle += em * ROW
    if caption.unknown:
        told = (
            unknown_words(caption.unknown, count) for count in range(len(caption.unknown), 0, -1)
        )
        text = next((words for words in told if font.getlength(words) <= room), None)
        few = text or shortened(unknown_words(caption.unknown, 0), font, room)
        sheet.text(side, middle, few, "warning")
    return sheet.numbers


def unknown_words(unknown: Sequence[str], count: int) -> str:
    """What is not known: the first `count` by name, and how many more."""
    more = len(unknown) - count
    named = [*unknown[:count], *([f"{more} {'more' if count else 'things'}"] if more else [])]
    return f"not known: {'; '.join(named)}"


def _drive_row(sheet: InkSheet, em: int, middle: float, moment: Moment, speed: int) -> None:
    """Travel with an arrow, speed, and the keys that are on."""
    font, x, right = sheet.font, em / 2, sheet.numbers.shape[1] - em / 2
    sheet.text(x, middle, FORWARD if moment.forward else REVERSE, "chosen")
    x += 1.2 * em
    pace = f"{speed} km/h" if moment.moving else "standing"
    text = f"{moment.travel}, {pace}"
    sheet.text(x, middle, text, "text")
    x += font.getlength(text) + em
    keys = sorted_keys(moment.keys)
    if not keys:
        sheet.text(x, middle, "no key on", "quiet")
    for at, key in enumerate(keys):
        wide = font.getlength(key) + 0.7 * em
        more = f"+{len(keys) - at}"
        left_over = 0 if at + 1 == len(keys) else font.getlength(more) + 0.4 * em
        if x + wide + left_over > right:
            sheet.text(x, middle, more, "text")
            return
        sheet.box(x, middle, wide, KEY_HEIGHT * em, "chosen")
        sheet.text(x + 0.35 * em, middle, key, "on_chosen")
        x += wide + 0.4 * em
