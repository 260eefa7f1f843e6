"""A walk: all that is called on the way to a result, in the order in which it is first called.

`python tests/walk.py film` goes from an effect to a GIF, `python tests/walk.py values` from an
effect to a restore list. A reader who goes along them sees how straight the way is.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable
from itertools import groupby, pairwise
from pathlib import Path
from tempfile import TemporaryDirectory
from types import CodeType, FrameType
from typing import NamedTuple

from house import PACKAGE, dotted, floors

from fxstudio import compile as compile_effect
from fxstudio import load_decoder, load_effect, plan
from fxstudio.export.plan_table import restore_text
from fxstudio.film.making import film
from fxstudio.film.take import Shot


class Call(NamedTuple):
    """A function and its file, as `film/take.py` and `Take.frame`."""

    file: str
    name: str


class Walk:
    """What `run` calls in the package.

    calls : each function and how often it was called, in the order of the first calls
    upward : pairs of caller and called where the called stands on a higher floor
    """

    def __init__(self, run: Callable[[], object]) -> None:
        self.calls: Counter[Call] = Counter()
        self.upward: set[tuple[Call, Call]] = set()
        sys.setprofile(self._note)
        try:
            run()
        finally:
            sys.setprofile(None)

    def _note(self, frame: FrameType, event: str, _: object) -> None:
        here, caller = _call(frame.f_code), frame.f_back
        if event != "call" or here is None:
            return
        self.calls[here] += 1
        before = _call(caller.f_code) if caller else None
        if before and goes_up(before.file, here.file) and not _is_method(before.name, frame):
            self.upward.add((before, here))

    @property
    def files(self) -> list[str]:
        """The files in order of the first call in each."""
        return list(dict.fromkeys(call.file for call in self.calls))

    @property
    def changes(self) -> int:
        """How often the file changes from one first call to the next."""
        return sum(one.file != other.file for one, other in pairwise(self.calls))

    def __str__(self) -> str:
        groups = groupby(self.calls, key=lambda call: call.file)
        lines = [f"{file}: {', '.join(call.name for call in calls)}" for file, calls in groups]
        return "\n".join(
            [f"{len(self.files)} files, {self.changes} changes of file", *lines]
            + [f"UP: {one} calls {other}" for one, other in sorted(self.upward)]
        )


def _call(code: CodeType) -> Call | None:
    """The function of the package that a code is; None for others, and for parts of functions."""
    path = Path(code.co_filename)
    if code.co_name.startswith("<") or PACKAGE not in path.parents:
        return None
    return Call(path.relative_to(PACKAGE).as_posix(), code.co_qualname.replace("<locals>.", ""))


def goes_up(caller: str, called: str) -> bool:
    """Whether of two files the one that is called stands on the higher floor."""
    names = [dotted(PACKAGE / file).split(".") for file in (caller, called)]
    parted = next((at for at, (a, b) in enumerate(zip(*names, strict=False)) if a != b), None)
    if parted is None:
        return False
    floor = floors("/".join(names[0][:parted]))
    return floor[names[0][parted]] < floor[names[1][parted]]


def _is_method(caller: str, frame: FrameType) -> bool:
    """Whether what is called is a method that the class of the caller has too."""
    bases = type(frame.f_locals.get("self")).__mro__
    return any(
        caller.startswith(f"{b.__name__}.") and hasattr(b, frame.f_code.co_name) for b in bases
    )


def to_film() -> None:
    """From the file of an effect to a GIF."""
    with TemporaryDirectory() as folder:
        film(load_effect("banked_fire"), Path(folder) / "fire.gif", shot=Shot(120, 80))


def to_values() -> None:
    """From an effect to the list that restores a decoder."""
    decoder = load_decoder("withybank_glim")
    writes = plan(compile_effect(load_effect("banked_fire"), decoder), None, decoder)
    restore_text("Fire", decoder.title, writes)


WAYS = {"film": to_film, "values": to_values}

if __name__ == "__main__":
    sys.stdout.write(f"{Walk(WAYS[sys.argv[1]])}\n")
