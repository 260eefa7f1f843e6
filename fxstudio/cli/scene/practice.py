"""`fxstudio scene practice`."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from fxstudio.cli.scene.options import PracticeOptions
from fxstudio.cli.shown import console
from fxstudio.scenes.catalogue import draw_scene, find_scene
from fxstudio.scenes.photograph.practice import EDGE_PX, HANDS, practice_photograph
from fxstudio.whole_files import new_folder

SIZE = (800 + 2 * EDGE_PX, 600 + 2 * EDGE_PX)
ROOM = 6.0
"""How many times as bright the room is as that of the drawn cab."""

LAMPS = {"bed": (1.0, 0.32, 0.03), "flames": (1.0, 0.5, 0.1)}
"""Lamps that are lit one by one, and their linear sRGB; a choice of looks."""


def practice_pictures(asked: PracticeOptions) -> None:
    """Do what `PracticeOptions` asks for."""
    scene = draw_scene(find_scene("cab"), *SIZE)
    room = ROOM * scene.ambient
    pictures = {"off": room}
    for name, colour in LAMPS.items():
        pictures[name] = room + scene.light[name] * np.array(colour, np.float32)[:, None, None]
    with new_folder(Path(asked.folder)) as passing:
        for (name, light), hand in zip(pictures.items(), HANDS, strict=True):
            (passing / f"{name}.jpg").write_bytes(practice_photograph(light, hand))
    lamps = " ".join(f"--lamp {name}={asked.folder}/{name}.jpg" for name in LAMPS)
    console.label(asked.folder, f": photographs to practise with: {', '.join(pictures)}")
    console.say(f"Next: fxstudio scene new my_engine --dark {asked.folder}/off.jpg {lamps}", "dim")
