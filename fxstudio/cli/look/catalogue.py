"""`fxstudio list`: all there is to use."""

from __future__ import annotations

from fxstudio.cli.given.decoders import decoders
from fxstudio.cli.look.options import ListOptions
from fxstudio.cli.shown import console
from fxstudio.effect.files import read_effect, shipped_effects
from fxstudio.effect.patterns import KINDS, Pattern
from fxstudio.scenes.catalogue import SCENES


def list_all(_: ListOptions) -> None:
    """Show all there is."""
    console.show_rows(
        "effects",
        (
            (name, (e := read_effect(path)).title, e.note)
            for name, path in shipped_effects().items()
        ),
    )
    console.show_rows("decoders", ((name, d.title, d.note) for name, d in decoders().items()))
    rows = (
        (kind, (row.__doc__ or "").splitlines()[0], ", ".join(set_by(row)))
        for kind, row in KINDS.items()
    )
    console.show_rows("patterns", rows)
    for name, scene in SCENES.items():
        console.show_rows(
            f"scene {name}", ((place, "", text) for place, text in scene.places.items())
        )


def set_by(pattern: type[Pattern]) -> list[str]:
    """The fields of a pattern that a person sets."""
    return sorted(name for name in pattern.model_fields if name != "kind")
