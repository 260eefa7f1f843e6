"""`fxstudio scene`: the group of its commands."""

from __future__ import annotations

import typer

from fxstudio.cli.commands import add, deferred
from fxstudio.cli.scene import options

scene = typer.Typer(
    no_args_is_help=True,
    rich_markup_mode="rich",
    add_completion=False,
    help="""Make a scene of your own locomotive from photographs.

    Light adds up: from one photograph with all lamps off and one of each lamp alone follows how
    every effect looks on your model. An effect names the folder: scene = "my_engine".""",
)
for what, name, where in (
    (options.NewOptions, "new", "new:new_scene"),
    (options.LookOptions, "show", "shown:show_scene"),
    (options.PracticeOptions, "practice", "practice:practice_pictures"),
):
    add(scene, deferred(what, f"scene.{where}"), name)
