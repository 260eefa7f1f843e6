"""Maps of light as files, without loss, and as large as a film wants them.

TIFF with 16 bits a colour by tifffile, for Pillow has no colour picture of more than 8 bits; every
picture program opens them and shows them as they are seen, for they have the curve of sRGB.
"""

from __future__ import annotations

from pathlib import Path
from typing import BinaryIO, Final

import numpy as np
import tifffile
from PIL import Image

from fxstudio.arrays import Floats
from fxstudio.colour import srgb_decode, srgb_encode
from fxstudio.errors import InputError, ReadError

MOST_WIDE_PX, MOST_HIGH_PX = 1600, 1200
"""Pixels of a map at most, along its longer and its shorter side."""

WHITE = 65535
REMEDY: Final = "make the scene again with `fxstudio scene new`"


def write_map(file: BinaryIO, light: Floats, full: float) -> None:
    """Write linear light [3, h, w] of at most `full`; light below 0 is written as none."""
    codes = np.rint(WHITE * srgb_encode(light / full)).astype(np.uint16)
    tifffile.imwrite(
        file,
        np.ascontiguousarray(codes.transpose(1, 2, 0)),
        photometric="rgb",
        compression="zlib",
        predictor=True,
        metadata=None,
        software=False,
    )


def map_size(file: Path) -> tuple[int, int]:
    """Width and height of a map, of which nothing is unpacked.

    Raises ReadError for a file that cannot be read, InputError for one that is no map of light.
    """
    with _opened(file) as pages:
        return _size(pages, file)


def read_map(file: Path, full: float) -> Floats:
    """Linear light [3, h, w] of a map whose brightest code is `full`; raises as `map_size` does."""
    with _opened(file) as pages:
        _size(pages, file)
        try:
            codes = pages.pages[0].asarray()
        except Exception as error:  # a damaged file makes tifffile fail in any of many ways
            raise ReadError("is a damaged map of light", file, remedy=REMEDY) from error
    light = full * srgb_decode(codes.transpose(2, 0, 1) / WHITE)
    return light.astype(np.float32)


def _opened(file: Path) -> tifffile.TiffFile:
    try:
        return tifffile.TiffFile(file)
    except FileNotFoundError as error:
        raise ReadError("there is no such file", file, remedy=REMEDY) from error
    except Exception as error:  # as above
        raise ReadError("is not a TIFF file that can be read", file, remedy=REMEDY) from error


def _size(pages: tifffile.TiffFile, file: Path) -> tuple[int, int]:
    try:
        shape, kind = pages.pages[0].shape, pages.pages[0].dtype
    except Exception as error:  # as above
        raise ReadError("is a damaged map of light", file, remedy=REMEDY) from error
    fits = len(shape) == 3 and shape[2] == 3 and kind == np.uint16
    if not fits or max(shape[:2]) > MOST_WIDE_PX or min(shape[:2]) > MOST_HIGH_PX:
        raise InputError("is not a map of light", file).allowing(
            f"red, green and blue in 16 bits each, at most {MOST_WIDE_PX} x {MOST_HIGH_PX} pixels",
            remedy=REMEDY,
        )
    return shape[1], shape[0]


def fitted(light: Floats, width: int, height: int) -> Floats:
    """All of a map [3, h, w] as large as `width` x `height` can hold it, dark at what is left."""
    rows, columns = light.shape[1:]
    by = min(width / columns, height / rows)
    size = min(width, max(1, round(columns * by))), min(height, max(1, round(rows * by)))
    left, top = (width - size[0]) // 2, (height - size[1]) // 2
    whole = np.zeros((3, height, width), np.float32)
    # Box where it shrinks, for the mean of the light is what a smaller picture shows.
    how = Image.Resampling.BOX if by < 0.5 else Image.Resampling.BILINEAR
    for plane, target in zip(light, whole, strict=True):
        scaled = Image.fromarray(plane).resize(size, how)
        target[top : top + size[1], left : left + size[0]] = np.asarray(scaled)
    return whole
