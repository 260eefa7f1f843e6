"""Where effects live and how they are found and read."""

from __future__ import annotations

import difflib
from importlib.resources import files
from pathlib import Path

from fxstudio.documents import read_model
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.errors import ReadError


def shipped_folder() -> Path:
    """The folder of the shipped effects: in the package, or beside it in a checkout."""
    package = Path(str(files("fxstudio")))
    inside = package / "effects"
    return inside if inside.is_dir() else package.parent / "effects"


def shipped() -> dict[str, Path]:
    """Names and paths of the shipped effects, in order of their names."""
    return {path.stem: path for path in sorted(shipped_folder().glob("*.toml"))}


def find(name: str, among: dict[str, Path], what: str, example: str) -> Path:
    """The path of a shipped thing by its name, or of any other by its path."""
    if name in among:
        return among[name]
    path = Path(name)
    if path.suffix == ".toml" or path.exists():
        return path
    close = difflib.get_close_matches(name, among, n=1)
    raise ReadError(
        f"there is no {what} of this name",
        file=name,
        allowed=f"{', '.join(among)}, or a path such as {example}",
        remedy=f"did you mean '{close[0]}'?" if close else "`fxstudio list` shows them all",
    )


def read_effect(path: Path) -> Effect:
    """The effect in a file; raises ReadError or InputError."""
    return read_model(Effect, path)


def load_effect(name: str) -> Effect:
    """A shipped effect by its name, or any other by the path of its file; see `Effect.source`."""
    return read_effect(find_effect(name))


def find_effect(name: str) -> Path:
    """Path of a shipped effect by name, or of any other by its path."""
    return find(name, shipped(), "effect", "my_fire.toml")


def read_drive(path: Path) -> Drive:
    """The drive in a file; raises ReadError or InputError."""
    return read_model(Drive, path)
