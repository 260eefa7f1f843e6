"""What the options of `fxstudio film` say of travel, speed and keys."""

from __future__ import annotations

from pathlib import Path

from fxstudio.cli.given.options import key_list
from fxstudio.documents.reading import parse
from fxstudio.effect.drive import DEFAULT_LENGTH_S, Drive
from fxstudio.effect.files import read_drive
from fxstudio.effect.model import Effect
from fxstudio.errors import InputError
from fxstudio.film.captions.tour import Tour, tour

OPTIONS = {"travel": "--travel", "speed_kmh": "--speed", "keys": "--keys", "length_s": "--seconds"}
"""Field of a drive to the option that sets it."""


class Script:
    """What the options say of travel, speed and keys: a file, a state all along, or nothing."""

    def __init__(
        self,
        file: Path | None,
        travel: str,
        speed: float | None,
        keys: str | None,
        seconds: float | None,
        tours: bool = False,
    ) -> None:
        on = None if keys is None else tuple(key_list(keys))
        told = {"travel": travel or None, "speed_kmh": speed, "keys": on, "length_s": seconds}
        self.told = {name: value for name, value in told.items() if value is not None}
        given = [OPTIONS[name] for name in self.told]
        if file and given:
            raise InputError("a drive file already says this", field=given[0]).advising(
                f"leave out --drive, or {' and '.join(given)}"
            )
        if travel == "stopped" and speed:
            raise InputError(
                "a stopped locomotive has no speed", field="--speed", given=speed
            ).advising("leave out --speed, or --travel stopped")
        if tours and (file or given):
            raise InputError("makes a drive of its own", field="--tour").advising(
                f"leave out --tour, or {' and '.join(['--drive'] if file else given)}"
            )
        self.file = read_drive(file) if file else None
        self.tours = tours

    def shown_for(self, effect: Effect) -> Tour:
        """The drive to show `effect` by, with words if it is a tour."""
        return tour(effect) if self.tours else Tour(self.drive_for(effect), ())

    def drive_for(self, effect: Effect) -> Drive:
        """The drive to show `effect` by, its own if no option says anything."""
        if self.file or not self.told:
            return self.file or effect.shown_by
        step = {"travel": "forward", "keys": effect.own_keys, **self.told}
        length = step.pop("length_s", DEFAULT_LENGTH_S)
        try:
            return parse(Drive, {"length_s": length, "steps": (step,)})
        except InputError as error:
            for each in (error, *error.more):
                names = (each.field or "").split(".")
                each.field = next((OPTIONS[n] for n in names if n in OPTIONS), each.field)
            raise
