"""Descriptions of either form, read as cells."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from fxstudio.decoder.description.files import find_description, is_of_cells, read_description
from fxstudio.decoder.leaflet.earlier import renewed
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.documents.reading import CELLS, read_model


def shipped_leaflets() -> dict[str, Path]:
    """Names and paths of the shipped descriptions in a leaflet's words, in order of their names."""
    folder = Path(str(files("fxstudio"))) / "decoder" / "leaflet" / "builtin"
    return {path.stem: path for path in sorted(folder.glob("*.toml"))}


def load_leaflet(name: str | Path) -> Leaflet:
    """A shipped decoder by its name, or any other by the path of the file that describes it.

    A file of the earlier form, one field for each property, is read as well. Raises ReadError for
    a file that cannot be read, and InputError for one that is no description.
    """
    path = find_description(str(name))
    if is_of_cells(path):
        return read_model(Leaflet, path, CELLS)
    return renewed(read_description(path))
