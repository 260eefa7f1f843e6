"""Where decoder descriptions live and how they are found and read."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from fxstudio.decoder.description.model import Description
from fxstudio.documents import DESCRIPTION, read_model
from fxstudio.effect.files import find


def shipped() -> dict[str, Path]:
    """Names and paths of the shipped descriptions, in order of their names."""
    folder = Path(str(files("fxstudio"))) / "decoder" / "builtin"
    return {path.stem: path for path in sorted(folder.glob("*.toml"))}


def find_description(name: str) -> Path:
    """Path of a shipped description by name, or of any other by its path."""
    return find(name, shipped(), DESCRIPTION, "my_decoder.toml")


def read_description(path: Path) -> Description:
    """The description in a file; raises ReadError or InputError."""
    return read_model(Description, path, DESCRIPTION)
