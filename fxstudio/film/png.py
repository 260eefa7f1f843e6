"""One frame as a picture of its own."""

from __future__ import annotations

import imageio.v3 as imageio
import numpy as np
from numpy.typing import NDArray


def png_bytes(frame: NDArray[np.uint8]) -> bytes:
    """The PNG file of a picture, uint8 [h, w, 3] in sRGB."""
    return imageio.imwrite("<bytes>", frame, extension=".png", optimize=True)


def jpeg_bytes(frame: NDArray[np.uint8]) -> bytes:
    """The JPEG file of a picture, uint8 [h, w, 3] in sRGB."""
    return imageio.imwrite("<bytes>", frame, extension=".jpg", quality=90)
