"""Planes smoothed by OpenCV, twenty times as quick as by sums in numpy on a large photograph."""

from __future__ import annotations

from types import ModuleType

import numpy as np

from fxstudio.arrays import Floats
from fxstudio.errors import InputError


def library() -> ModuleType:
    """OpenCV; raises InputError where it is not installed."""
    try:
        import cv2
    except ImportError as error:
        raise InputError("taking photographs apart needs OpenCV").advising(
            'install it with: pip install "fxstudio[photo]"'
        ) from error
    return cv2


def smooth(planes: Floats, radius: int) -> Floats:
    """Planes [..., h, w] smeared by about `radius` pixels: three running means each way."""
    cv2 = library()
    size = (2 * radius + 1, 2 * radius + 1)
    flat = planes.reshape(-1, *planes.shape[-2:]).astype(np.float32)
    for plane in flat:
        for _ in range(3):
            cv2.blur(plane, size, dst=plane, borderType=cv2.BORDER_REPLICATE)
    return flat.reshape(planes.shape)
