"""Not drawn yet."""

from . import cab

draw = cab.draw
