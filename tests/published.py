"""What a viewer is shown of a GIF, read by Pillow."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from PIL import Image


class Published(NamedTuple):
    """Pictures [n, h, w, 3] in sRGB, how long each stands [n] in 1/100 s, the file's own notes.

    One picture may stand for several like frames.
    """

    pictures: NDArray[np.uint8]
    delays_cs: NDArray[np.integer]
    info: dict[str, Any]

    @property
    def comment(self) -> str:
        """Its comment."""
        return self.info.get("comment", b"").decode()

    def at(self, times_s: ArrayLike) -> NDArray[np.uint8]:
        """The pictures [..., h, w, 3] shown at these times [...] in s."""
        ends = self.delays_cs.cumsum()
        return self.pictures[ends.searchsorted(100 * np.asarray(times_s) + 1e-6, side="right")]


def read_gif(path: Path) -> Published:
    """Read a whole GIF."""
    with Image.open(path) as image:
        pictures, delays, info = [], [], dict(image.info)
        for number in range(image.n_frames):
            image.seek(number)
            pictures.append(np.asarray(image.convert("RGB")))
            delays.append(image.info["duration"] // 10)
        return Published(np.stack(pictures), np.array(delays), info)
