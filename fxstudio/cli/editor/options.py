"""What may be given to the commands for your editor, and their help."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cli.given.options import Replace


@dataclass(frozen=True)
class SchemaOptions:
    """Write JSON Schema files, with which an editor completes and checks your TOML files.

    The help of your editor says how to join a schema to a file. A schema checks each field alone;
    `fxstudio check` also checks that the fields fit together.

    Examples:
        fxstudio schema --into .schemas

    Try it in a new folder:
        fxstudio schema
    """

    into: Annotated[Path, typer.Option(help="Folder to write to; made if it is not there.")] = Path(
        "schemas"
    )
    replace: Replace = False
