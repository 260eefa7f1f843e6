"""The locomotive as the person drives it, or its own drive. Knows nothing of pygame."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fxstudio.effect.drive import Drive, Moment, Step, Travel
from fxstudio.effect.keys import sorted_keys
from fxstudio.effect.model import Effect

LIVE_LOOP_S = 12.0
"""Loop of the random patterns while the person drives."""

REMEMBERED_S = 9.0
"""Changes as far back as this are still played, so that fades that began then go on."""

APART_S = 0.01
"""Two steps of a drive are at least this far apart."""


START_KMH = 20.0
"""Speed at which a locomotive sets off that had none."""


@dataclass(frozen=True)
class Throttle:
    """What a person sets to drive: direction, speed and keys.

    forward : the direction last set; it stays while standing
    stopped : whether it stands, whatever `speed_kmh` says
    speed_kmh : speed of the full-size locomotive when it runs
    keys : function keys that are on
    """

    forward: bool = True
    stopped: bool = False
    speed_kmh: float = START_KMH
    keys: frozenset[str] = frozenset()

    @property
    def travel(self) -> Travel:
        """forward, stopped or reverse."""
        return "stopped" if self.stopped else "forward" if self.forward else "reverse"

    def step(self, at_s: float) -> Step:
        """The same as a step of a drive."""
        return Step(
            at_s=at_s,
            travel="forward" if self.forward else "reverse",
            speed_kmh=0.0 if self.stopped else self.speed_kmh,
            over_s=0.0,
            keys=sorted_keys(self.keys),
        )

    @property
    def moment(self) -> Moment:
        """The same as gates see it."""
        return Moment(self.keys, self.forward, not self.stopped and self.speed_kmh > 0)


class Playback:
    """Time, and the drive that is played.

    While the person drives, each change becomes a step at the present time. Older steps are
    forgotten once their fades are over, so that the loop goes on from the present state.
    """

    def __init__(self, effect: Effect) -> None:
        self.time_s = 0.0
        self.paused = False
        self.start(effect)

    def start(self, effect: Effect) -> None:
        """Begin with the effect's own drive if it has one, else standing with all own keys on."""
        self.time_s = 0.0
        self.own = effect.drive
        self._live([(-REMEMBERED_S, Throttle(stopped=True, keys=frozenset(effect.own_keys)))])

    def _live(self, changes: list[tuple[float, Throttle]]) -> None:
        self._changes = changes
        self._drive = _drive(changes)
        self._good_until_s = _good_until(changes)

    @property
    def drive(self) -> Drive:
        """The drive that is played now."""
        return self.own or self._drive

    @property
    def throttle(self) -> Throttle:
        """What the locomotive does now."""
        if self.own is None:
            past = [set_to for at_s, set_to in self._changes if at_s <= self.time_s]
            return past[-1] if past else self._changes[0][1]
        trace = self.own.at([self.time_s])
        now, speed = trace.moment(0), float(trace.speed_kmh[0])
        return Throttle(now.forward, stopped=not now.moving, speed_kmh=speed, keys=now.keys)

    def to_film(self, seconds: float) -> Drive:
        """The drive to film: its own, or the present state for some seconds."""
        return self.own or Drive(length_s=seconds, steps=(self.throttle.step(0.0),))

    def advance(self, seconds: float) -> None:
        """Let time pass, unless paused."""
        if not self.paused:
            self.jump(seconds)

    def jump(self, seconds: float) -> None:
        """Move in time, back as well, paused or not."""
        self.time_s = max(0.0, self.time_s + seconds)
        if self.own is None and self.time_s >= self._good_until_s:
            self._live(self._recent())

    def play_own(self, drive: Drive | None) -> None:
        """Play a drive from its beginning; None: the person drives, from the present state."""
        if drive is None:
            self._set(self.throttle)
        else:
            self.own, self.time_s = drive, 0.0

    def turn(self, travel: str) -> None:
        """The person sets the direction of travel, or stops."""
        now = self.throttle
        if travel == "stopped":
            self._set(replace(now, stopped=True))
        else:
            speed_kmh = now.speed_kmh or START_KMH
            forward = travel == "forward"
            self._set(replace(now, stopped=False, forward=forward, speed_kmh=speed_kmh))

    def run(self, speed_kmh: float) -> None:
        """The person sets the speed."""
        self._set(replace(self.throttle, speed_kmh=speed_kmh, stopped=speed_kmh == 0))

    def switch(self, key: str) -> None:
        """Turn a function key on or off."""
        self._set(replace(self.throttle, keys=self.throttle.keys ^ {key}))

    def _set(self, throttle: Throttle) -> None:
        if self.own is not None:
            before = self.throttle
            self.own = None
            self._changes = [(self.time_s - REMEMBERED_S, before)]
        changes = [entry for entry in self._recent() if entry[0] < self.time_s - APART_S]
        self._live([*changes, (self.time_s, throttle)])

    def _recent(self) -> list[tuple[float, Throttle]]:
        """The changes that still matter; the first is the state that was in force before."""
        since = self.time_s - REMEMBERED_S
        old = [entry for entry in self._changes if entry[0] <= since]
        new = [entry for entry in self._changes if since < entry[0] <= self.time_s]
        if old:
            new.insert(0, (since, old[-1][1]))
        if len({set_to for _, set_to in new}) == 1:
            return [(new[0][0], new[0][1])]
        return new or [(self.time_s, self._changes[0][1])]


def _drive(changes: list[tuple[float, Throttle]]) -> Drive:
    """One loop in which the changes happen where they did.

    Times wrap round the loop; the first change counts from the earliest time on.
    """
    if len(changes) == 1:
        return Drive(length_s=LIVE_LOOP_S, steps=(changes[0][1].step(0.0),))
    steps = {at_s % LIVE_LOOP_S: throttle for at_s, throttle in changes}
    return Drive(
        length_s=LIVE_LOOP_S, steps=tuple(steps[at_s].step(at_s) for at_s in sorted(steps))
    )


def _good_until(changes: list[tuple[float, Throttle]]) -> float:
    """When the loop would come round to the first change again."""
    if len(changes) == 1:
        return float("inf")
    return changes[0][0] + LIVE_LOOP_S - 2 * APART_S
