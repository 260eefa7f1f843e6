"""Where effects live and how they are found and read."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from fxstudio.documents.reading import DRIVE, EFFECT, near_file, read_model
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.errors import WrongFileError, near


def shipped_folder() -> Path:
    """The folder of the shipped effects: in the package, or beside it in a checkout."""
    package = Path(str(files("fxstudio")))
    inside = package / "effects"
    return inside if inside.is_dir() else package.parent / "effects"


def shipped_effects() -> dict[str, Path]:
    """Names and paths of the shipped effects, in order of their names."""
    return {path.stem: path for path in sorted(shipped_folder().glob("*.toml"))}


def find(name: str, among: dict[str, Path], what: str, example: str) -> Path:
    """The path of a shipped thing by its name, or of any other by its path.

    Where there is none, a file with a name near to it comes to mind first.
    """
    if name in among:
        return among[name]
    path = Path(name)
    if path.exists():
        return path
    is_file = path.suffix == ".toml"
    guess = near_file(path) or near(path.stem if is_file else name, among)
    raise WrongFileError(
        "there is no such file" if is_file else f"there is no {what} of this name",
        file=name,
        allowed=f"{', '.join(among)}, or a path such as {example}",
        remedy=f"did you mean '{guess}'?" if guess else "`fxstudio list` shows them all",
        wanted=what,
    )


def read_effect(path: Path) -> Effect:
    """The effect in a file; raises ReadError or InputError."""
    return read_model(Effect, path, EFFECT)


def load_effect(name: str | Path) -> Effect:
    """A shipped effect by its name, or any other by the path of its file; see `Effect.source`.

    Raises ReadError for a file that cannot be read, and InputError for one that is no effect,
    both with all that is wrong in it.
    """
    return read_effect(find_effect(str(name)))


def find_effect(name: str) -> Path:
    """Path of a shipped effect by name, or of any other by its path."""
    return find(name, shipped_effects(), EFFECT, "my_fire.toml")


def read_drive(path: Path) -> Drive:
    """The drive in a file; raises ReadError or InputError."""
    return read_model(Drive, path, DRIVE)
