"""Random scenes photographed and taken apart again, held against the light that they were made of.

CIEDE2000 is by colour-science (CIE 142-2001), on pictures as the renderer's tone curve shows them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import colour
import numpy as np
from scenes.photograph.camera import SRGB, Camera, photographed, random_model

from fxstudio.scenes.photograph.apart import take_apart
from fxstudio.scenes.photograph.reading import read_photograph
from fxstudio.scenes.render import tone_curve

STATES = ({}, {"bed": 1.0}, {"flames": 1.0}, {"bed": 0.6, "flames": 0.8})


@dataclass(frozen=True)
class Result:
    """One case: mean CIEDE2000 over the states, worst error of a lamp's scale as a share, worst
    error of registration at a corner in pixels.
    """

    delta_e: float
    scale: float
    registration_px: float


def random_camera(rng: np.random.Generator, exif: bool, still: bool = False) -> Camera:
    """A camera in the hand: exposure over a factor of 3, noise, blur, JPEG, moves."""
    moves = not still and rng.random() < 0.7
    return Camera(
        seconds=1 / 30 * 2 ** rng.uniform(-1.2, 0.3),
        iso=int(rng.choice([100, 200])),
        white=tuple(np.exp(rng.uniform(-0.15, 0.15, 3) * [1, 0, 1])),
        shift=tuple(rng.uniform(-0.02, 0.02, 2) * moves),
        turn=rng.uniform(-1.8, 1.8) * moves,
        noise=rng.uniform(0.0005, 0.003),
        photons=rng.uniform(1000, 8000),
        blur_px=rng.uniform(0.3, 0.8),
        p3=bool(rng.random() < 0.4),
        quality=int(rng.integers(85, 98)),
        exif=exif,
    )


def case(folder: Path, seed: int, exif: bool) -> Result:
    """Photograph the random scene `seed` by hand, take it apart and hold it against the truth."""
    rng = np.random.default_rng(seed)
    model = random_model(rng)
    cameras = {name: random_camera(rng, exif, name == "off") for name in ("off", "bed", "flames")}
    paths = photographed(folder, model, cameras, seed)
    taken = {name: read_photograph(path) for name, path in paths.items()}
    off = cameras.pop("off")
    apart = take_apart(taken["off"], {name: taken[name] for name in cameras})
    gains = {n: c.gain / off.gain * np.divide(c.white, off.white) for n, c in cameras.items()}
    scale = max(abs(apart.found[n].gain / gains[n] - 1).max() for n in cameras)
    moves = [apart.found[name].move.matrix for name in cameras]
    wrong = [misplaced(m, c, model.size) for m, c in zip(moves, cameras.values(), strict=True)]
    shortest = min(1.0, *(float(found.gain[1]) for found in apart.found.values()))
    white = shortest * off.gain * np.array(off.white)[:, None, None]
    (width, height), (left, top, right, low) = model.size, apart.margins
    differ = []
    for state in STATES:
        truth = (
            white * model.seen(model.state(**state))[:, top : height - low, left : width - right]
        )
        rebuilt = apart.dark + sum(b * apart.light[name] for name, b in state.items())
        differ.append(colour.delta_E(lab(truth), lab(rebuilt), method="CIE 2000").mean())
    return Result(float(np.mean(differ)), float(scale), max(wrong))


def lab(light: np.ndarray) -> np.ndarray:
    """CIE Lab [h, w, 3] of linear light [3, h, w] as a frame shows it."""
    largest = np.maximum(light.max(axis=0), 1e-6)
    shown = np.moveaxis(light * tone_curve(largest) / largest, 0, -1)
    return colour.XYZ_to_Lab(shown @ SRGB.matrix_RGB_to_XYZ.T, SRGB.whitepoint)


def misplaced(matrix: np.ndarray, camera: Camera, size: tuple[int, int]) -> float:
    """How many pixels beside the true place a corner is laid at worst."""
    width, height = size
    corners = np.array([[0, 0], [width - 1, 0], [0, height - 1], [width - 1, height - 1]], float)
    middle = (np.array([width, height]) - 1) / 2
    angle = np.deg2rad(camera.turn)
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    true = (corners - middle - np.array(camera.shift) * width) @ turn + middle
    found = corners @ matrix[:, :2].T + matrix[:, 2]
    return float(np.linalg.norm(found - true, axis=1).max())


def still(**fields: object) -> Camera:
    """A camera on a tripod, with a little noise."""
    return replace(Camera(noise=0.0008, photons=8000, blur_px=0.4), **fields)
