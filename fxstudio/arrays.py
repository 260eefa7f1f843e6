"""The kinds of arrays that go from module to module; each docstring gives the shapes."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.floating]
"""Quantities: light, times, shares."""

Bools = NDArray[np.bool_]
"""Whether something holds, one by one."""

Bytes = NDArray[np.uint8]
"""Pictures in sRGB, or numbers of colours."""
