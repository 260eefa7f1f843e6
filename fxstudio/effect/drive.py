"""A drive: a short script of travel, speed and keys that shows an effect under way."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Literal

import numpy as np
from numpy.typing import ArrayLike
from pydantic import AfterValidator, Field, model_validator
from pydantic_core import PydanticCustomError

from fxstudio.arrays import Bools, Floats
from fxstudio.documents.models import FileModel
from fxstudio.effect.keys import KEYS, Key, key_order, keys_text

Travel = Literal["forward", "reverse", "stopped"]

DEFAULT_LENGTH_S = 6.0

DEFAULT_SPEED_KMH = 20.0
"""Of a drive that has to move; slow, for the eye to follow."""


@dataclass(frozen=True)
class Moment:
    """What a locomotive does at one moment.

    keys : function keys that are on
    forward : the direction last set; it stays while standing
    moving : whether it moves
    """

    keys: frozenset[str] = frozenset()
    forward: bool = True
    moving: bool = False

    @property
    def travel(self) -> Literal["forward", "reverse"]:
        """The direction last set."""
        return "forward" if self.forward else "reverse"

    @property
    def keys_text(self) -> str:
        """`F1, F2`, or `no key`."""
        return keys_text(self.keys)

    def __str__(self) -> str:
        return f"{self.travel}, {self.keys_text}"


@dataclass(frozen=True)
class DriveTrace:
    """The state of a drive at n times.

    forward : bool [n], the direction last set; stays as it was while stopped
    speed_kmh : [n], speed of the full-size locomotive in km/h
    keys : bool [n, 29], function keys F0..F28
    """

    forward: Bools
    speed_kmh: Floats
    keys: Bools

    def moment(self, row: int) -> Moment:
        """The state at one of the times."""
        on = frozenset(key for key, each in zip(KEYS, self.keys[row], strict=True) if each)
        return Moment(on, bool(self.forward[row]), bool(self.speed_kmh[row] > 0))


class Step(FileModel):
    """What changes at one moment of a drive; what is not named stays as it was."""

    at_s: Annotated[float, Field(ge=0, le=600)] = Field(
        default=0.0,
        title="moment",
        json_schema_extra={"unit": "s"},
        description="When the step happens, in seconds from the beginning.",
    )
    travel: Travel | None = Field(
        None, description="forward, reverse, or stopped: standing, the last direction kept."
    )
    speed_kmh: Annotated[float, Field(ge=0, le=250)] | None = Field(
        None,
        title="speed",
        json_schema_extra={"unit": "km/h"},
        description="Speed of the full-size locomotive in km/h.",
    )
    over_s: Annotated[float, Field(ge=0, le=600)] = Field(
        default=0.0,
        title="time to the new speed",
        json_schema_extra={"unit": "s"},
        description="Seconds taken to reach the new speed.",
    )
    keys: Annotated[tuple[Key, ...], Field(strict=False)] | None = Field(
        None, description='Keys that are on from now, such as ["F0", "F2"].'
    )

    def __str__(self) -> str:
        """What changes, in words: `forward, 30 km/h, keys F0, F2 on`."""
        parts: list[str] = [self.travel] if self.travel else []
        if self.speed_kmh is not None:
            over = f" after {self.over_s:g} s" if self.over_s else ""
            parts.append(f"{self.speed_kmh:g} km/h{over}")
        if self.keys is not None:
            keys = ", ".join(sorted(self.keys, key=key_order))
            parts.append(f"key{'s' * (len(self.keys) > 1)} {keys} on" if keys else "no key on")
        return ", ".join(parts) or "no change"

    @model_validator(mode="after")
    def _stands(self) -> Step:
        if self.travel == "stopped" and self.speed_kmh:
            raise PydanticCustomError(
                "standing", "a stopped locomotive has no speed: leave speed_kmh out"
            )
        return self


def _whole_hundredths(length_s: float) -> float:
    # A GIF counts time in hundredths; a loop of any other length would have a seam.
    if abs(100 * length_s - round(100 * length_s)) > 1e-6:
        raise PydanticCustomError("hundredths", "must be whole hundredths of a second")
    return length_s


class Drive(FileModel):
    """Travel, speed and keys over one loop; the end of the loop leads into its beginning."""

    length_s: Annotated[float, Field(ge=0.2, le=600), AfterValidator(_whole_hundredths)] = Field(
        DEFAULT_LENGTH_S,
        title="length",
        json_schema_extra={"unit": "s"},
        description="Length of the loop in seconds.",
    )
    steps: Annotated[tuple[Step, ...], Field(strict=False, min_length=1)] = Field(
        ..., description="What happens when, in order of time."
    )

    @model_validator(mode="after")
    def _in_order(self) -> Drive:
        times = [step.at_s for step in self.steps]
        for number, (earlier, later) in enumerate(pairwise(times), start=2):
            if later <= earlier:
                raise PydanticCustomError(
                    "order",
                    f"step {number} is at {later} s, not after the one before it at {earlier} s",
                )
        if times[-1] >= self.length_s:
            raise PydanticCustomError(
                "order", f"the last step is at {times[-1]} s, after the end at {self.length_s} s"
            )
        ends = [*times[1:], self.length_s]
        for step, end in zip(self.steps, ends, strict=True):
            if step.at_s + step.over_s > end:
                raise PydanticCustomError(
                    "order",
                    f"the step at {step.at_s} s is still changing speed at {end} s; "
                    "make its over_s shorter",
                )
        return self

    def __str__(self) -> str:
        """Travel, speed and keys, in words; of each later step only what it changes."""
        first = self.steps[0]
        if len(self.steps) == 1:
            speed = None if first.travel == "stopped" else first.speed_kmh or 0.0
            said = Step(travel=first.travel or "forward", speed_kmh=speed, keys=first.keys or ())
            return str(said)
        return "; ".join(f"at {step.at_s:g} s {step}" for step in self.steps)

    def at(self, times_s: ArrayLike) -> DriveTrace:
        """State at `times_s` [n] in s; times beyond the loop wrap round.

        Before its first step a drive is in the state of its last one, so that it loops.
        """
        times = np.asarray(times_s, dtype=float) % self.length_s
        starts = np.array([step.at_s for step in self.steps])
        # -1 is the time before the first step: numpy's last row, the state at the loop's end.
        row = np.searchsorted(starts, times, side="right") - 1

        forward, speed, keys = True, 0.0, frozenset[str]()
        for _ in range(2):  # the second pass starts from what the first one ended with
            states, ramp_s, ramp_kmh = [], [], []
            for step in self.steps:
                if step.travel in ("forward", "reverse"):
                    forward = step.travel == "forward"
                if step.keys is not None:
                    keys = frozenset(step.keys)
                states.append((forward, [key in keys for key in KEYS]))
                target = 0.0 if step.travel == "stopped" else step.speed_kmh
                if target is not None:
                    ramp_s += [step.at_s, step.at_s + step.over_s]
                    ramp_kmh += [speed, target]
                    speed = target
        return DriveTrace(
            forward=np.array([state[0] for state in states])[row],
            speed_kmh=_speed(times, ramp_s, ramp_kmh, speed),
            keys=np.array([state[1] for state in states])[row],
        )


def _speed(times: Floats, ramp_s: list[float], ramp_kmh: list[float], last: float) -> Floats:
    """Speed [n] along the ramps; the last speed before the first ramp and after the last."""
    if not ramp_s:
        return np.full(len(times), last)
    speed: Floats = np.interp(times, ramp_s, ramp_kmh, left=ramp_kmh[0], right=last)
    return speed


def constant_drive(
    travel: Travel = "forward",
    speed_kmh: float = 0.0,
    keys: tuple[str, ...] = (),
    length_s: float = DEFAULT_LENGTH_S,
) -> Drive:
    """A drive in which nothing changes."""
    speed = None if travel == "stopped" else speed_kmh
    return Drive(length_s=length_s, steps=(Step(travel=travel, speed_kmh=speed, keys=keys),))
