"""Put an effect and all that belongs to it into one file."""

from __future__ import annotations

from collections.abc import Mapping
from io import BytesIO
from pathlib import Path
from typing import Final
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import tomlkit

from fxstudio import __version__
from fxstudio.cautions import IN_SHORT
from fxstudio.documents.reading import read_text
from fxstudio.effect.model import Effect
from fxstudio.effect.setting.files import scene_files
from fxstudio.errors import InputError
from fxstudio.sharing.limits import (
    IN_WORDS,
    MOST_BYTES,
    MOST_BYTES_A_FILE,
    MOST_FILES,
    fault_of_name,
)

ABOUT: Final = "README.txt"
FIRST_DAY: Final = (1980, 1, 1, 0, 0, 0)
"""The earliest date of a ZIP file. The same files always make the same pack."""
READABLE: Final = 0o100644
"""An ordinary file that everybody may read, as Unix counts kinds and rights of files."""


def pack_bytes(files: Mapping[str, bytes]) -> bytes:
    """A ZIP file with `files`, by their names in it.

    Raises InputError for more than another fxstudio would take out of it.
    """
    sizes = [len(data) for data in files.values()]
    if len(files) > MOST_FILES or max(sizes) > MOST_BYTES_A_FILE or sum(sizes) > MOST_BYTES:
        raise InputError(
            "is too much for one pack",
            given=f"{len(files)} files, {sum(sizes) / 1e6:.0f} MB in all, "
            f"{max(sizes) / 1e6:.0f} MB the largest",
        ).allowing(IN_WORDS, remedy="make the photographs or the film smaller")
    packed = BytesIO()
    with ZipFile(packed, "w", ZIP_DEFLATED) as archive:
        for name, data in files.items():
            entry = ZipInfo(name, FIRST_DAY)
            entry.external_attr = READABLE << 16
            entry.create_system = 3  # Unix, whose rights these are
            archive.writestr(entry, data, ZIP_DEFLATED)
    return packed.getvalue()


def look_files(effect: Effect, file: Path) -> dict[str, bytes]:
    """The file of an effect, and its photographed scene in a folder beside it, by their names.

    Wherever the scene lies, the effect in the pack finds it there. Raises InputError for a name
    that not every system can hold, and ReadError.
    """
    text, scene = read_text(file), scene_files(effect.scene, file)
    files: dict[str, bytes] = {}
    if scene:
        folder = scene[0].parent.resolve().name
        files = {f"{folder}/{path.name}": path.read_bytes() for path in scene}
        document = tomlkit.parse(text)
        document["scene"] = f"./{folder}"
        text = tomlkit.dumps(document)
    files = {file.name: text.encode(), **files}
    for name in files:
        if fault := fault_of_name(name):
            raise InputError(f"cannot be packed: it {fault}", name).advising("give it another name")
    return files


def about(effect: Effect, file: str, decoder: str | None, film: str) -> str:
    """What a person reads who opens the pack without fxstudio."""
    on = f" --decoder {decoder}" if decoder else ""
    told = [
        effect.title,
        *([f"For: {effect.locomotive}"] if effect.locomotive else []),
        *([effect.note] if effect.note else []),
        f"Look at {film} in any browser.\n{IN_SHORT['looking']}",
        f"With fxstudio: `fxstudio unpack PACK.zip`, then in the new folder\n"
        f"  fxstudio show {file}{on}\n" + (f"  fxstudio plan {file}{on}" if on else ""),
        *(
            [f"The values for this decoder come from its description.\n{IN_SHORT['writing']}"]
            if decoder
            else []
        ),
        f"Made by fxstudio {__version__}.",
    ]
    return "\n\n".join(part.rstrip() for part in told) + "\n"


def names_apart(*paths: Path) -> None:
    """Raise InputError if two files would have the same name in a pack."""
    names: dict[str, Path] = {}
    for path in paths:
        if other := names.get(path.name.casefold()):
            raise InputError(
                f"has the same name as {other}", path, remedy="give one of them another name"
            )
        names[path.name.casefold()] = path
