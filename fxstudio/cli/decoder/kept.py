"""The files that a plan is kept in."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from fxstudio.cli.decoder.goal import Goal, printable
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import Compiled
from fxstudio.decoder.values.lists import list_kind, set_back_by, values_text
from fxstudio.decoder.values.unknowns import not_known_of
from fxstudio.decoder.writing.steps import Plan
from fxstudio.export.plan_table import plan_text, restore_text


class Kept(NamedTuple):
    """Files to write: the plan, its restore list, and what the decoder holds afterwards."""

    output: Path | None
    restore: Path | None
    after: Path | None

    def options(self) -> dict[str, Path | None]:
        """The files by the options that name them."""
        return {f"--{name}": path for name, path in self._asdict().items()}

    def texts(self, goal: Goal, leaflet: Leaflet, made: Plan) -> dict[Path, tuple[str, str]]:
        """What to write into each file that is wished, and what to say of it."""
        texts = {}
        wanted = goal.wanted if isinstance(goal.wanted, Compiled) else None
        compromises = wanted.compromises if wanted else ()
        unknown = not_known_of(wanted.shown) if wanted else ()
        follows = wanted.consequences if wanted else ()
        if self.output:
            text = plan_text(goal.title, leaflet.title, made, compromises, unknown, follows)
            texts[self.output] = text, "the plan, to print and tick off"
        if self.restore:
            text = restore_text(goal.title, leaflet.title, made)
            texts[self.restore] = text, "the restore list, to keep with the model"
        if self.after:
            text = after_text(made, list_kind(self.after), self.restore or self.output)
            texts[self.after] = text, "what the decoder holds once all of it is written"
        return texts


def after_text(made: Plan, kind: str, undone_by: Path | None) -> str:
    """What the decoder holds after the steps, as far as it is known, and what undoes them."""
    written = {step.cv: step.value for step in made.steps if step.value is not None}
    values = {**(made.present or {}), **written}
    if not made.steps:
        restore_list = made.earlier
    else:
        restore_list = f"{printable(undone_by.name)} of {made.day}" if undone_by else ""
    unread = {step.cv for step in made.steps if step.before is None}
    noted = [cv for cv in written or values if cv not in unread]
    notes = {cv: set_back_by(restore_list) for cv in noted} if restore_list else {}
    return values_text(values, kind, notes)
