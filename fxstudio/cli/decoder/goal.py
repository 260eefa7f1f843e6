"""What a plan leads to."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import NamedTuple

from fxstudio.cli.decoder.asked import Asked
from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.values.compile import Compiled, compile_effect
from fxstudio.decoder.values.lists import read_values
from fxstudio.decoder.writing.plan import held_before
from fxstudio.documents.reading import read_text
from fxstudio.effect.files import read_effect
from fxstudio.effect.model import Effect
from fxstudio.errors import InputError, naming
from fxstudio.export.plan_table import holds_restore_list


class Goal(NamedTuple):
    """What a plan leads to.

    wanted : the values for `effect`, or those of an earlier list
    missing : the CVs that the list leaves out, which are set as delivered
    """

    title: str
    wanted: Compiled | Mapping[CvAddress, int]
    effect: Effect | None = None
    missing: tuple[CvAddress, ...] = ()


def goal_reader(effect: Path | None, back_to: Path | None) -> Callable[[Asked], Goal]:
    """What reads the goal from the one file that is given; raises InputError for none and two."""
    if effect and back_to:
        raise InputError(
            "already says what the decoder shall hold", field="--back-to", given=str(back_to)
        ).advising("leave out the effect, or --back-to")
    if effect:
        return partial(effect_goal, effect)
    if back_to:
        return partial(list_goal, back_to)
    raise InputError("which effect?", field="EFFECT").allowing(
        "a name or a path, or --back-to FILE", remedy="`fxstudio list` shows the shipped effects"
    )


def effect_goal(source: Path, asked: Asked) -> Goal:
    """The values that make the decoder do an effect."""
    effect = read_effect(source)
    with naming(source):
        return Goal(effect.title, compile_effect(effect, asked.leaflet, asked.held), effect)


def list_goal(path: Path, asked: Asked) -> Goal:
    """The values of an earlier list, which are to be held again."""
    held = asked.held
    if held is None:
        raise InputError(
            "needs to know what the decoder holds now", field="--back-to", given=str(path)
        ).advising("add --present FILE: the list that --after wrote last, or one that was read")
    if path.suffix.lower() not in (".csv", ".toml") and holds_restore_list(read_text(path)):
        raise InputError(
            "is a restore list on paper, not a list of values", field="--back-to", given=str(path)
        ).advising("give the list of present values that it was made from")
    earlier = read_values(path)
    values = held_before(earlier, held, asked.leaflet)
    missing = (cv for cv, value in values.items() if cv not in earlier and value != held[cv])
    return Goal(f"Back to {printable(path.name)}", values, missing=tuple(missing))


def printable(name: str) -> str:
    """The name of a file without what no text can hold."""
    return "".join(letter if letter.isprintable() else "?" for letter in name)
