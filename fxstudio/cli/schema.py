"""`fxstudio schema`: files for editors."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cli.given.endings import check_folder
from fxstudio.cli.given.files import check_files
from fxstudio.cli.given.options import Replace
from fxstudio.cli.shown import console
from fxstudio.cli.shown.written import make_folder, write_text
from fxstudio.export.schema import MODELS, schema_text


def schema(
    into: Annotated[Path, typer.Option(help="Folder to write to; made if it is not there.")] = Path(
        "schemas"
    ),
    replace: Replace = False,
) -> None:
    """Write JSON Schema files, with which an editor completes and checks your TOML files.

    The help of your editor says how to join a schema to a file. A schema checks each field alone;
    `fxstudio check` also checks that the fields fit together.

    Examples:
        fxstudio schema --into .schemas

    Try it in a new folder:
        fxstudio schema
    """
    check_folder("--into", into)
    paths = {kind: into / f"{kind}.schema.json" for kind in MODELS}
    check_files([], [("--into", path) for path in paths.values()], replace)
    make_folder(into)
    for kind, path in paths.items():
        write_text(path, schema_text(kind))
        console.label(path, f": for {kind} files")
