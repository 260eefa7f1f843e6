"""Where decoder descriptions live and how they are found and read."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from fxstudio.decoder.description.model import Description
from fxstudio.decoder.leaflet.earlier import renewed
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.documents.reading import DESCRIPTION, EARLIER, kind_of, read_model, read_toml
from fxstudio.effect.files import find


def shipped() -> dict[str, Path]:
    """Names and paths of the shipped descriptions, in order of their names."""
    folder = Path(str(files("fxstudio"))) / "decoder" / "builtin"
    return {path.stem: path for path in sorted(folder.glob("*.toml"))}


def find_description(name: str) -> Path:
    """Path of a shipped description by name, or of any other by its path."""
    return find(name, shipped(), DESCRIPTION, "my_decoder.toml")


def load_decoder(name: str | Path) -> Leaflet:
    """A shipped decoder by its name, or any other by the path of the file that describes it.

    A file of the earlier form, one field for each property, is read as well. Raises ReadError for
    a file that cannot be read, and InputError for one that is no description, both with all that
    is wrong in it.
    """
    return read_description(find_description(str(name)))


def read_description(path: Path) -> Leaflet:
    """The description in a file of either form; raises ReadError or InputError."""
    if is_earlier(path):
        return renewed(read_earlier(path))
    return read_model(Leaflet, path, DESCRIPTION)


def read_earlier(path: Path) -> Description:
    """The description in a file of the earlier form; raises ReadError or InputError."""
    return read_model(Description, path, EARLIER)


def is_earlier(path: Path) -> bool:
    """Whether a file has a field for each property, and not a decoder's cells.

    Raises ReadError for a file that cannot be read.
    """
    return path.suffix.lower() != ".csv" and kind_of(read_toml(path)) == EARLIER
