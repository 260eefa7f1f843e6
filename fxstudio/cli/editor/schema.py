"""`fxstudio schema`: files for editors."""

from __future__ import annotations

from fxstudio.cli.editor.options import SchemaOptions
from fxstudio.cli.given.endings import check_folder
from fxstudio.cli.given.files import check_files
from fxstudio.cli.shown import console
from fxstudio.cli.shown.written import make_folder, write_text
from fxstudio.export.schema import MODELS, schema_text


def schema(asked: SchemaOptions) -> None:
    """Do what `SchemaOptions` asks for."""
    check_folder("--into", asked.into)
    paths = {kind: asked.into / f"{kind}.schema.json" for kind in MODELS}
    check_files([], [("--into", path) for path in paths.values()], asked.replace)
    make_folder(asked.into)
    for kind, path in paths.items():
        write_text(path, schema_text(kind))
        console.label(path, f": for {kind} files")
