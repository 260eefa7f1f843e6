"""The light of each lamp over one loop, in lanes under the picture, and a line at the present."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fxstudio.arrays import Bytes, Floats
from fxstudio.colour import hex_to_rgb, luminance, srgb8
from fxstudio.effect.lamp import Lamp
from fxstudio.film.captions.strip import InkSheet, Strip, font_of, ink_colours, shortened, small_em
from fxstudio.light.simulation import Simulation
from fxstudio.style import COLOURS, rgb8

LEAST_CONTRAST = 3.0
"""Of a lamp's colour on its field. Source: WCAG 2.2, success criterion 1.4.11, from memory."""
FILLED = 0.4
"""How far the area under a line is from the field to the colour of the lamp."""

LOW, HIGH = 1.5, 2.7
"""Least and largest height of a lane in ems."""
LINES = 1.35
"""Height of a line of letters to the letters."""
MOST_OF_FILM = 0.26
"""Share of the height of a film that lanes take, unless they are then too low."""
NAMES, BESIDE_EMS = 0.32, 18.0
"""Share of the width for names, if the lanes are so wide; in narrower ones names stand above."""
SAMPLES = 8
"""Looks at the light for each column of pixels."""


class Lanes:
    """A lane for each lamp of a simulation; the whole is `width` x `height` pixels.

    The colours are those of inks, then field, rule and present, then two for each lamp.
    """

    def __init__(self, simulation: Simulation, width: int, film_height: int, em: int) -> None:
        self._simulation, self.width, self._em = simulation, width, em
        self._lamps: dict[str, Lamp] = dict(simulation.effect.lamps)
        self._above = width < BESIDE_EMS * em
        each = film_height * MOST_OF_FILM / len(self._lamps)
        least, most = (LOW + 1, HIGH + 1) if self._above else (LOW, HIGH)
        self._each = round(min(max(each, least * em), most * em))
        self.height = self._each * len(self._lamps) + em // 2
        left = em // 2 if self._above else round(width * NAMES)
        self._columns = np.arange(left, width - em // 2)

    @property
    def colours(self) -> Bytes:
        """All colours [k, 3]."""
        field = np.array(rgb8("field"), float)
        rows = [field, *(np.array(rgb8(name), float) for name in ("rule", "text"))]
        for lamp in self._lamps.values():
            line = lane_colour(lamp.colour.rgb)
            rows += [field + FILLED * (line - field), line]
        lanes = np.rint(np.stack(rows)).astype(np.uint8)
        return np.concatenate([ink_colours(), lanes])

    def strip(self, times_s: ArrayLike) -> Strip:
        """The lanes of a film whose frames show the moments `times_s` of the loop."""
        share = np.asarray(times_s, float) / self._simulation.drive.length_s
        at = self._columns[0] + np.rint(share * (len(self._columns) - 1)).astype(int)
        wide, first = max(2, self._em // 8), len(ink_colours())
        edge = self._em // 4

        def numbers(frame: int) -> Bytes:
            shown = self._still.copy()
            left = min(at[frame], self._columns[-1] + 1 - wide)
            shown[edge : self.height - edge, left : left + wide] = first + 2
            return shown

        return Strip(self.colours, self.height, numbers)

    @cached_property
    def _still(self) -> Bytes:
        """All but the present, [height, width]."""
        sheet = InkSheet(self.width, self.height, self._em)
        light, first = self._light, len(ink_colours())
        for number, (name, lamp) in enumerate(self._lamps.items()):
            top = self._em // 4 + number * self._each
            self._write(sheet, top, name, lamp)
            above = round(1.3 * self._em) if self._above else 0
            rows = slice(top + above + 1, top + self._each - 1)
            drawn = self._drawn(rows.stop - rows.start, number, light[number])
            sheet.numbers[rows, self._columns[0] : self._columns[-1] + 1] = first + drawn
        return sheet.numbers

    @cached_property
    def _light(self) -> Floats:
        """Light [lamps, columns, `SAMPLES`] over the loop."""
        count = len(self._columns)
        share = (np.arange(count * SAMPLES) + 0.5) / (count * SAMPLES)
        light = self._simulation.at(share * self._simulation.drive.length_s).light
        return light.T.reshape(-1, count, SAMPLES)

    def _write(self, sheet: InkSheet, top: int, name: str, lamp: Lamp) -> None:
        """The name of a lamp, and what it does where there is room."""
        em, side = self._em, self._em // 2
        room = (self.width - side if self._above else self._columns[0]) - 1.5 * side
        middle = top + (0.65 * em if self._above else self._each / 2)
        if not self._above and self._each >= LINES * (em + small_em(em)):
            small, pattern = font_of(small_em(em)), lamp.pattern
            all_of_it = pattern.summary()
            told = all_of_it if small.getlength(all_of_it) <= room else pattern.course
            sheet.text(side, middle + 0.62 * em, shortened(told, small, room), "quiet", small)
            middle -= 0.5 * em
        sheet.text(side, middle, shortened(name, sheet.font, room), "text")

    def _drawn(self, rows: int, number: int, light: Floats) -> Bytes:
        """One lane [rows, columns]: 0 field, 1 rule, and above 2 the lamp's two colours."""
        before = np.concatenate([light[:1, 0], light[:-1, -1]])
        low, high = (np.minimum(light.min(axis=1), before), np.maximum(light.max(axis=1), before))
        thick = max(2, self._em // 8)
        top = np.rint((rows - thick) * (1 - np.clip(high, 0, 1)))
        foot = np.rint((rows - thick) * (1 - np.clip(low, 0, 1))) + thick
        row = np.arange(rows)[:, None]
        under = np.where(row >= foot, 3 + 2 * number, self._seconds)
        return np.where((row >= top) & (row < foot), 4 + 2 * number, under).astype(np.uint8)

    @cached_property
    def _seconds(self) -> NDArray[np.bool_]:
        """The columns in which a second begins, or more of them if those would be too close."""
        count, length_s = len(self._columns), self._simulation.drive.length_s
        step_s = next(s for s in (1, 2, 5, 10, 30, 60, 600) if count * s / length_s >= self._em)
        whole = np.floor(np.arange(count) / count * length_s / step_s)
        return np.append(False, np.diff(whole) > 0)


def lane_colour(rgb: ArrayLike) -> NDArray[np.floating]:
    """The colour 0..255 [3] of a lamp's light, linear sRGB, lighter if it could not be seen."""
    light = np.asarray(rgb, float)
    wanted = LEAST_CONTRAST * (float(luminance(hex_to_rgb(COLOURS["field"]))) + 0.05) - 0.05
    has = float(luminance(light))
    white = max(0.0, (wanted - has) / (1 - has)) if has < 1 else 0.0
    return srgb8(light + white * (1 - light)).astype(float)
