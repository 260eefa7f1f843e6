"""Photographs taken apart: what is seen with all lamps dark, and what each lamp adds.

Everything is in linear light and on one scale, that of the picture with the shortest exposure, so
that white stays the brightest that a picture can hold.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import NamedTuple

import numpy as np

from fxstudio.arrays import Bools, Floats
from fxstudio.errors import InputError
from fxstudio.progress import Progress
from fxstudio.units import percent

from ..drawn.shapes import shrunk
from .alignment import STILL, Move, find_move, laid
from .gains import Fit, fit_gain
from .noise import calmed, noise_of, quiet
from .reading import Photograph
from .smoothing import smooth
from .splitting import split

STILL_PX = 0.25
"""A move by less than this at every corner is none: a picture that is not laid anew stays sharp."""

DARKER_BY = ((0.0, ""), (0.001, "a third"), (0.05, "a half"), (0.2, "three quarters"))
"""Share of a lamp's light that is clipped, and by how much darker to take it; a choice."""

AROUND_PX = 9
"""How far around a clipped highlight is looked for the light that a lamp adds there."""

COARSE_PX = 4
"""Pixels across a part in which it is looked whether a lamp takes light away."""

LEAST_ADDED = 1e-4
"""Mean light that a lamp adds at least, or its picture shows nothing of it."""


@dataclass(frozen=True, eq=False)
class Provenance:
    """What was found of one lamp's photograph.

    gain : [3] sensitivity against the dark picture
    by : how the gain is known: "exif", "pictures" or "assumed"
    fit : what the pictures say of it
    move : how it lies on the dark picture
    clipped : share of the lamp's light in pixels that could not hold it
    notes : all that a person should know of it, in sentences
    """

    gain: Floats
    by: str
    fit: Fit
    move: Move
    clipped: float
    notes: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Apart:
    """A scene taken apart.

    dark : linear light [3, h, w] with all lamps dark
    light : of each lamp what it adds [3, h, w], as it was photographed
    found : of each lamp how that was found
    margins : pixels cut off at left, top, right and bottom, which not every picture shows
    """

    dark: Floats
    light: Mapping[str, Floats]
    found: Mapping[str, Provenance]
    margins: tuple[int, int, int, int]


def take_apart(
    dark: Photograph,
    lamps: Mapping[str, Photograph],
    colours: Mapping[str, Floats] | None = None,
    progress: Progress | None = None,
) -> Apart:
    """Take a scene apart.

    Parameters
    ----------
    dark : all lamps off
    lamps : the photograph of each lamp; two of known colours may share one
    colours : linear sRGB [3] of lamps that share a photograph
    progress : told how far it is

    Raises InputError naming the photographs that do not fit.
    """
    pictures = _pictures(dark, lamps, colours or {})
    found: dict[str, Provenance] = {}
    taken: dict[str, _Taken] = {}
    noise = noise_of(dark.light)
    for number, (digest, picture) in enumerate(pictures.items()):
        found[digest], taken[digest] = _one(dark, picture, noise)
        if progress:
            progress.step(number + 1, len(pictures))
    # Divided by the largest, the picture of the shortest exposure stays as it is.
    scale = min([1.0, *(float(each.gain[1]) for each in found.values())])
    margins = _margins(dark, found)
    left, top, right, low = margins
    rows, columns = dark.light.shape[1:]
    part = np.s_[:, top : rows - low, left : columns - right]
    light: dict[str, Floats] = {}
    for name, picture in lamps.items():
        together = [other for other in lamps if lamps[other].digest == picture.digest]
        whole = taken[picture.digest].added[part] * scale
        if len(together) == 2:
            assert colours is not None  # `_pictures` saw to it
            shares = split(whole, *(colours[other] for other in together))
            light[name] = shares[together.index(name)]
        else:
            light[name] = whole
    mean = _mean_dark(dark, noise, found, taken)
    seen = np.maximum(mean, 0)[part] * np.float32(scale)
    return Apart(seen, light, {n: found[p.digest] for n, p in lamps.items()}, margins)


def _pictures(
    dark: Photograph, lamps: Mapping[str, Photograph], colours: Mapping[str, Floats]
) -> dict[str, Photograph]:
    """The photographs of lamps, each once; refuses those that cannot go together."""
    width, height = dark.taken_px
    for picture in lamps.values():
        if picture.taken_px != dark.taken_px:
            raise InputError(
                f"has another size than {dark.file}",
                picture.file,
                given="{} x {} pixels".format(*picture.taken_px),
            ).allowing(f"{width} x {height} pixels", remedy="take both with the same camera")
        if picture.digest == dark.digest:
            raise InputError(f"is the same picture as {dark.file}", picture.file).advising(
                "give the photograph that was taken with the lamp lit"
            )
    for one, other in combinations(lamps, 2):
        if lamps[one].digest != lamps[other].digest:
            continue
        sharing = [name for name in lamps if lamps[name].digest == lamps[one].digest]
        if len(sharing) > 2 or not all(name in colours for name in sharing):
            raise InputError(
                f"is the picture of {' and '.join(sharing)}", lamps[other].file
            ).allowing(
                "a picture of each lamp alone, or one of two lamps with the colour of each",
                remedy=f"say the colours, like --colour {one}=605nm --colour {other}=1900K",
            )
    return {picture.digest: picture for picture in lamps.values()}


class _Taken(NamedTuple):
    """One photograph on the scale of the dark one.

    added : what it shows more than that [3, h, w]
    light : what it shows [3, h, w]
    unlit : [h, w] where the lamp adds nothing
    """

    added: Floats
    light: Floats
    unlit: Bools


def _one(dark: Photograph, picture: Photograph, noise: Floats) -> tuple[Provenance, _Taken]:
    """What one photograph shows, and how that was found."""
    move = find_move(dark, picture)
    rows, columns = dark.light.shape[1:]
    if max(move.margins(columns, rows)) <= 1 and _farthest(move, columns, rows) < STILL_PX:
        move = Move(STILL.matrix, move.likeness) if move.likeness is not None else STILL
        light, clipped = picture.light, picture.clipped
    else:
        light = laid(picture.light, move)
        clipped = laid(picture.clipped.astype(np.float32), move) > 0.01
    told = picture.exposure.times(dark.exposure) if picture.exposure and dark.exposure else None
    fit = fit_gain(dark.light, light, ~(clipped | dark.clipped), told)
    gain, by, notes = _gain(fit, told)
    per_colour = gain.astype(np.float32)[:, None, None]
    scaled = light / per_colour
    noise_there = np.hypot(noise, noise_of(light) / per_colour)
    added = quiet(scaled - dark.light, noise_there, dark.light)
    added = _no_more_than_around(added, dark.clipped)
    _check_brighter(dark, picture, added, scaled, noise_there, clipped | dark.clipped)
    lost = float(added[:, clipped].sum() / added.sum())
    unlit = (added.max(axis=0) == 0) & ~clipped
    if move is STILL:
        notes.append("too dark to see whether the camera moved; taken as it lies")
    notes += _clipped_words(lost, clipped)
    return Provenance(gain, by, fit, move, lost, tuple(notes)), _Taken(added, scaled, unlit)


def _no_more_than_around(added: Floats, unknown: Bools) -> Floats:
    """What a lamp adds, where the dark picture is clipped no more than it adds around that.

    A highlight of the room would else be taken for light of the lamp by the picture that is not
    clipped there.
    """
    if not unknown.any():
        return added
    unknown = smooth(unknown.astype(np.float32), 1) > 0  # its edge too, as compression leaves it
    known = (~unknown).astype(np.float32)
    around = smooth(added * known, AROUND_PX) / np.maximum(smooth(known, AROUND_PX), 1e-3)
    return np.where(unknown, np.minimum(added, around), added)


def _mean_dark(
    dark: Photograph,
    noise: Floats,
    found: Mapping[str, Provenance],
    taken: Mapping[str, _Taken],
) -> Floats:
    """The dark scene [3, h, w] with less noise: the mean of all that show it without a lamp.

    A picture of twice the exposure counts twice; the edge of what a lamp lights is a soft one.
    """
    total, weight = dark.light.copy(), np.ones(dark.light.shape[1:], np.float32)
    for digest, each in taken.items():
        share = np.minimum(each.unlit, smooth(each.unlit.astype(np.float32), 2) ** 2)
        share *= np.float32(found[digest].gain.mean())
        total += share * each.light
        weight += share
    return calmed(total / weight, noise / np.sqrt(weight))


def _farthest(move: Move, width: int, height: int) -> float:
    """Pixels that the corner moves by that moves most."""
    right, low = width - 1, height - 1
    corners = np.array([[0, 0, 1], [right, 0, 1], [0, low, 1], [right, low, 1]]).T
    return float(np.linalg.norm(move.matrix @ corners - corners[:2], axis=0).max())


def _gain(fit: Fit, told: float | None) -> tuple[Floats, str, list[str]]:
    """The gain [3] of a picture over the dark one, how it is known, and what to say of it."""
    if told is not None:
        # The camera knows its exposure, and the pictures know its white balance.
        if fit.sure:
            return told * fit.gain / fit.gain[1], "exif", []
        words = (
            f"too few parts are {told:.3g} times as bright as in the dark picture, as its EXIF "
            "says that unlit ones are: the white balance is taken for the same"
        )
        return told * np.ones(3), "exif", [words]
    if fit.sure:
        return fit.gain, "pictures", []
    words = "no EXIF, and too little is left unlit: the exposure is taken for that of the dark one"
    return np.ones(3), "assumed", [words]


def _check_brighter(
    dark: Photograph,
    picture: Photograph,
    added: Floats,
    scaled: Floats,
    noise: Floats,
    unknown: Bools,
) -> None:
    """Refuse a lamp that adds no light, or takes some away; coarsely, for it is about areas."""
    by = COARSE_PX
    known = shrunk((~unknown).astype(np.float32), by) > 0.99
    before, after = shrunk(dark.light, by), shrunk(scaled, by)
    taken = quiet(before - after, shrunk(noise, by), before)[:, known].sum() * by**2
    if taken > max(added.sum(), LEAST_ADDED * added.size):
        raise InputError(
            f"is darker than {dark.file}, which shall show all lamps off", picture.file
        ).advising("look whether the two pictures are swapped")
    if added.mean() < LEAST_ADDED:
        raise InputError(f"shows no light that {dark.file} does not show", picture.file).advising(
            "take it again with the lamp lit and the room darker"
        )


def _clipped_words(lost: float, clipped: Bools) -> list[str]:
    darker = [words for least, words in DARKER_BY if lost >= least][-1]
    if not darker:
        return []
    return [
        f"clipped in {percent(lost)} of its light ({percent(float(clipped.mean()))} of the "
        f"picture): take it darker by {darker}"
    ]


def _margins(dark: Photograph, found: Mapping[str, Provenance]) -> tuple[int, int, int, int]:
    """Pixels at each side that not all pictures show."""
    rows, columns = dark.light.shape[1:]
    each = [(0, 0, 0, 0), *(one.move.margins(columns, rows) for one in found.values())]
    left, top, right, low = (max(sides) for sides in zip(*each, strict=True))
    return left, top, right, low
