"""`fxstudio scene show`."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from fxstudio.arrays import Bytes
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.scene.options import LookOptions
from fxstudio.cli.shown import console
from fxstudio.effect.setting.files import SCENE_FILE, read_scene, scene_notes, scene_size
from fxstudio.film.png import png_bytes
from fxstudio.scenes.catalogue import SceneRow, draw_scene
from fxstudio.scenes.render import Renderer
from fxstudio.whole_files import replacing

MOST_WIDE_PX = 480
"""Width of one picture among the others."""

GAP_PX = 8


def show_scene(asked: LookOptions) -> None:
    """Do what `LookOptions` asks for."""
    file = Path(asked.scene)
    file = file if file.suffix == ".toml" else file / SCENE_FILE
    output = Path(asked.output) if asked.output else None
    check_ending("scene show", "--output", output)
    row = read_scene(file)
    check_files([("SCENE", file)], [("--output", output)], asked.replace)
    width, height = scene_size(file)
    console.label(row.title, f": a scene of {width} x {height} pixels")
    console.show_rows("lamps", ((name, text) for name, text in row.places.items()))
    for note in scene_notes(file):
        console.say(f"  {note}", "dim")
    if output is not None:
        by = min(1.0, MOST_WIDE_PX / width)
        picture = contact_picture(row, round(width * by), round(height * by))
        with replacing(output) as target:
            target.write(png_bytes(picture))
        order = ", ".join(["all lamps off", *row.places, "all of them"])
        console.label(output, f": row by row {order}")


def contact_picture(row: SceneRow, width: int, height: int) -> Bytes:
    """The dark scene, each lamp alone at full brightness, and all of them, side by side."""
    places = list(row.places)
    renderer = Renderer(draw_scene(row, width, height), places, np.ones((len(places), 3)))
    states = np.vstack([np.zeros(len(places)), np.eye(len(places)), np.ones(len(places))])
    across = int(np.ceil(np.sqrt(len(states))))
    down = -(-len(states) // across)
    whole = np.full((down * (height + GAP_PX), across * (width + GAP_PX), 3), 40, np.uint8)
    for number, frame in enumerate(renderer.frames(states)):
        y, x = (number // across) * (height + GAP_PX), (number % across) * (width + GAP_PX)
        whole[y : y + height, x : x + width] = frame
    return whole
