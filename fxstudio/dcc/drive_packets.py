"""The packets that run a drive: speed, direction and function keys as a hand-set sends them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, NamedTuple

import numpy as np

from fxstudio.arrays import Floats
from fxstudio.dcc.instructions import SPEED_126, SPEED_SCALES
from fxstudio.dcc.packets import Address, Message, functions, groups_of, speed
from fxstudio.effect.drive import Drive
from fxstudio.effect.keys import KEYS
from fxstudio.errors import InputError

ASSUMED_TOP_SPEED_KMH: Final = 100.0
"""Full-size speed at the highest step, where nothing better is known."""

ASSUMED_EVERY_S: Final = 0.5
"""Time between two speed packets while a speed changes, as a hand turns the knob."""


class Timed(NamedTuple):
    """A message and when it is sent, in s from the beginning of the drive."""

    at_s: float
    message: Message


def too_fast(drive: Drive, top_speed_kmh: float) -> str | None:
    """What is lost of a drive that is faster than the highest step, in words; None if nothing."""
    fastest = max(step.speed_kmh or 0.0 for step in drive.steps)
    if fastest <= top_speed_kmh:
        return None
    return (
        f"The drive reaches {fastest:g} km/h; above {top_speed_kmh:g} km/h the locomotive stays at "
        "its highest step. Give its real top speed."
    )


def drive_messages(
    drive: Drive,
    address: Address,
    keys: Iterable[str] = (),
    *,
    speed_format: str = SPEED_126,
    top_speed_kmh: float = ASSUMED_TOP_SPEED_KMH,
    every_s: float = ASSUMED_EVERY_S,
) -> list[Timed]:
    """What is sent over one loop of `drive`: all at the beginning, then what changes.

    keys : function keys whose groups are sent at the beginning even if they stay off
    top_speed_kmh : full-size speed at the highest step; faster is sent as the highest step
    every_s : time between speed packets while the speed changes

    Raises InputError for numbers that cannot be.
    """
    _check("top speed", top_speed_kmh, 1, 500)
    _check("every", every_s, 0.05, 60)
    times = _times(drive, every_s)
    trace = drive.at(times)
    scale = SPEED_SCALES[speed_format]
    steps = np.clip(np.round(trace.speed_kmh / top_speed_kmh * scale.steps), 1, scale.steps)
    steps = np.where(trace.speed_kmh > 0, steps, 0).astype(int)
    on_at = [[key for key, on in zip(KEYS, row, strict=True) if on] for row in trace.keys]
    used = [key for key in KEYS if any(key in on for on in on_at)]
    groups = groups_of(dict.fromkeys([*keys, *used]))

    sent: dict[str, Message] = {}
    messages = []
    for at, time_s in enumerate(times):
        now = [
            speed(address, int(steps[at]), bool(trace.forward[at]), speed_format),
            *functions(address, on_at[at], groups),
        ]
        changed = [message for message in now if sent.get(message.name) != message]
        sent |= {message.name: message for message in changed}
        messages += [Timed(float(time_s), message) for message in changed]
    return messages


def _check(name: str, number: float, lowest: float, highest: float) -> None:
    if not lowest <= number <= highest:
        raise InputError("cannot be used", field=name, given=number).allowing(
            f"a number from {lowest} to {highest}", remedy="choose another number"
        )


def _times(drive: Drive, every_s: float) -> Floats:
    """When something may be sent, in s: every so often, and where a step begins or ends."""
    starts = [step.at_s for step in drive.steps]
    ends = [step.at_s + step.over_s for step in drive.steps]
    times = np.unique(np.round([*np.arange(0, drive.length_s, every_s), *starts, *ends], 6))
    return times[times < drive.length_s]
