"""Take the files out of a pack that came from others, safely: all of them or none."""

from __future__ import annotations

import re
import stat
import unicodedata
import zlib
from collections.abc import Iterator
from io import SEEK_END, FileIO
from pathlib import Path
from typing import Final
from zipfile import BadZipFile, ZipFile, ZipInfo

from fxstudio.documents.reading import near_file
from fxstudio.errors import InputError, ReadError
from fxstudio.sharing.limits import (
    ENDINGS,
    IN_WORDS,
    MOST_BYTES,
    MOST_BYTES_A_FILE,
    MOST_FILES,
    fault_of_name,
)

AT_ONCE: Final = 1 << 20
"""Bytes read at once, the pack's table of files too: a larger table is that of no pack of ours."""
ENCRYPTED: Final = 0x1
"""The flag of an entry with a password. Source: PKWARE APPNOTE 4.4.4, from memory."""
NO_PACK: Final = "ask for it once more; it may have been damaged on its way"


class _Guarded(FileIO):
    """A file that is not read far at once, however much its own table promises."""

    def read(self, size: int | None = -1, /) -> bytes:
        wanted = AT_ONCE + 1 if size is None or size < 0 else size
        if wanted > AT_ONCE + 1:
            raise BadZipFile("its table of files is too large")
        return super().read(wanted)


def unpack(pack: Path, folder: Path) -> tuple[Path, ...]:
    """Write the files of a pack into `folder`, which is there and empty; their paths.

    Every name, the number of files, the kind and the size of each are looked at before the first
    is written, and the bytes are counted as they come. Raises ReadError for a file that is no
    whole pack, and InputError for one with anything that a pack may not hold.
    """
    with _opened(pack) as file:
        if file.seek(0, SEEK_END) > MOST_BYTES:
            raise _refusal(pack, "is too large", IN_WORDS)
        try:
            with ZipFile(file) as archive:
                entries = _checked(pack, archive.infolist())
                return tuple(_written(pack, archive, entries, folder))
        except (BadZipFile, zlib.error, EOFError, NotImplementedError, ValueError) as error:
            raise ReadError(f"is no whole pack: {error}", pack, remedy=NO_PACK) from error


def _opened(pack: Path) -> _Guarded:
    try:
        return _Guarded(pack)
    except OSError as error:
        guess = near_file(pack)
        raise ReadError(f"cannot be read ({error.strerror or error})", pack).advising(
            f"did you mean '{guess}'?" if guess else "check the path"
        ) from error


def _refusal(pack: Path, problem: str, allowed: str, entry: str | None = None) -> InputError:
    return InputError(problem, pack, given=entry).allowing(
        allowed, remedy="do not trust it; ask its sender for one made by `fxstudio pack`"
    )


def _checked(pack: Path, entries: list[ZipInfo]) -> list[ZipInfo]:
    """The files among the entries, once all of them may be taken out."""
    files = [entry for entry in entries if not entry.is_dir()]
    if not files or len(entries) > MOST_FILES:
        raise _refusal(pack, f"holds {len(entries)} files", IN_WORDS)
    for entry in files:
        name = entry.orig_filename  # zipfile would cut and mend it
        kind = stat.S_IFMT(entry.external_attr >> 16)
        if kind not in (0, stat.S_IFREG):
            raise _refusal(pack, "holds a link or a device", "ordinary files", name)
        if fault := fault_of_name(name):
            allowed = f"plain names, with one of the endings {', '.join(sorted(ENDINGS))}"
            raise _refusal(pack, f"holds a file that {fault}", allowed, name)
        if entry.flag_bits & ENCRYPTED:
            raise _refusal(pack, "holds a file with a password", "files without", name)
        if entry.file_size > MOST_BYTES_A_FILE:
            raise _refusal(pack, "holds a file that is too large", IN_WORDS, name)
    if twice := _first_twice([entry.orig_filename for entry in files]):
        raise _refusal(pack, "holds two files of one name", "a name for each", twice)
    if sum(entry.file_size for entry in files) > MOST_BYTES:
        raise _refusal(pack, "holds too much", IN_WORDS)
    return files


def _first_twice(names: list[str]) -> str | None:
    """The first name that is the name, or the folder, of another file on some disk."""
    plain = [unicodedata.normalize("NFC", name).casefold() for name in names]
    folders = {name[: at.start()] for name in plain for at in re.finditer("/", name)}
    for at, name in enumerate(plain):
        if name in plain[:at] or name in folders:
            return names[at]
    return None


def _written(pack: Path, archive: ZipFile, entries: list[ZipInfo], folder: Path) -> Iterator[Path]:
    for entry in entries:
        path = folder.joinpath(*entry.orig_filename.split("/"))
        path.parent.mkdir(parents=True, exist_ok=True)
        left = entry.file_size
        with archive.open(entry) as packed, open(path, "xb") as file:
            while data := packed.read(AT_ONCE):
                left -= len(data)
                if left < 0:
                    raise _refusal(pack, "holds more than it says", IN_WORDS, entry.orig_filename)
                file.write(data)
        yield path
