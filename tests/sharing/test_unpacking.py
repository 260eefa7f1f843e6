"""Packs that came from others: what is refused, whoever made them."""

from __future__ import annotations

import io
import stat
import struct
import zipfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fxstudio.errors import FxError
from fxstudio.sharing.limits import MOST_BYTES_A_FILE, MOST_FILES, fault_of_name
from fxstudio.sharing.packing import pack_bytes
from fxstudio.sharing.unpacking import unpack

HARMLESS = {"fire.toml": b"title = 'x'", "engine/bed.png": b"picture", "README.txt": b"read me"}


@pytest.fixture
def taken(tmp_path):
    """Unpack these bytes: what is in the folder then, by name."""

    def take(data: bytes) -> dict[str, bytes]:
        pack, folder = tmp_path / "pack.zip", tmp_path / "into"
        pack.write_bytes(data)
        folder.mkdir(exist_ok=True)
        unpack(pack, folder)
        files = (path for path in folder.rglob("*") if path.is_file())
        return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}

    return take


def zipped(*entries: tuple[zipfile.ZipInfo | str, bytes]) -> bytes:
    """A ZIP file with these entries, whatever they are called."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in entries:
            archive.writestr(name, data)
    return out.getvalue()


def test_what_was_packed_comes_out(taken):
    assert taken(pack_bytes(HARMLESS)) == HARMLESS


def test_the_same_files_make_the_same_pack():
    assert pack_bytes(HARMLESS) == pack_bytes(dict(HARMLESS))


NAMES = {
    "leads out of": ("../fire.toml", "a/../../fire.toml", "./fire.toml", "a//fire.toml"),
    "no path inside": ("/etc/fire.toml", "C:/fire.toml", "a\\fire.toml", "fi\tre.toml"),
    "deeper": ("a/b/c/fire.toml",),
    "letters": ("x" * 101 + ".toml",),
    "begins or ends": (".fire.toml", "fire.toml.", " fire.toml", ".git/fire.toml", "a /fire.toml"),
    "device": ("nul.toml", "COM1.txt", "aux/fire.toml"),
    "kind": ("fire.exe", "fire.py", "fire", "fire.toml.sh", "page.html"),
}


@pytest.mark.parametrize(("why", "name"), [(w, n) for w, names in NAMES.items() for n in names])
def test_names_that_are_refused(taken, tmp_path, why, name):
    assert why in fault_of_name(name)
    with pytest.raises(FxError, match="pack"):
        taken(zipped(("good.toml", b""), (name, b"")))
    assert [path.name for path in tmp_path.rglob("*") if path.is_file()] == ["pack.zip"]


@pytest.mark.parametrize("name", ["fire.toml", "engine/bed.png", "a/b/Feuer ü (2).TIF"])
def test_names_that_are_taken(name):
    assert fault_of_name(name) is None


@pytest.mark.parametrize("kind", [stat.S_IFLNK, stat.S_IFIFO, stat.S_IFCHR, stat.S_IFSOCK])
def test_links_and_devices_are_refused(taken, kind):
    entry = zipfile.ZipInfo("fire.toml")
    entry.external_attr = (kind | 0o777) << 16
    with pytest.raises(FxError, match="a link or a device"):
        taken(zipped((entry, b"/etc/passwd")))


@pytest.mark.parametrize(
    "names",
    [
        ("fire.toml", "FIRE.toml"),
        ("fire.toml", "fire.toml/bed.png"),
        ("ü.toml", "u\u0308.toml"),
    ],
    ids=["capitals", "file and folder", "composed"],
)
def test_two_files_of_one_name_are_refused(taken, names):
    with pytest.raises(FxError, match="two files of one name"):
        taken(zipped(*((name, b"") for name in names)))


def test_too_many_files(taken):
    with pytest.raises(FxError, match=f"holds {MOST_FILES + 1} files"):
        taken(zipped(*((f"{number}.txt", b"") for number in range(MOST_FILES + 1))))
    with pytest.raises(FxError, match="holds 0 files"):
        taken(zipped())


def test_a_bomb_is_refused_by_what_it_would_become(taken, tmp_path):
    bomb = zipped(("fire.txt", bytes(MOST_BYTES_A_FILE + 1)))
    assert len(bomb) < 100_000
    with pytest.raises(FxError, match="too large"):
        taken(bomb)
    half = bytes(MOST_BYTES_A_FILE)
    with pytest.raises(FxError, match="holds too much"):
        taken(zipped(*((f"{number}.txt", half) for number in range(5))))
    assert not any((tmp_path / "into").iterdir())


def test_a_bomb_that_lies_about_its_size_is_refused(taken):
    data = bytearray(zipped(("fire.txt", bytes(1_000_000))))
    table = data.rindex(b"PK\x01\x02")
    # The size of what comes out. Source: PKWARE APPNOTE 4.3.12, from memory.
    data[table + 24 : table + 28] = struct.pack("<I", 10)
    with pytest.raises(FxError):
        taken(bytes(data))


def test_a_table_of_very_many_files_is_not_read(taken):
    name = "x" * 1000
    many = zipped(*((f"{name}{number}", b"") for number in range(1100)))
    with pytest.raises(FxError, match="table of files is too large"):
        taken(many)


def test_a_password_is_refused(taken):
    data = bytearray(zipped(("fire.txt", b"secret")))
    table = data.rindex(b"PK\x01\x02")
    data[table + 8] |= 1  # the flag of encryption, in table and entry
    data[6] |= 1
    with pytest.raises(FxError, match="password"):
        taken(bytes(data))


@settings(max_examples=150)
@given(st.data())
def test_a_damaged_pack_is_told_or_comes_out_as_it_was(tmp_path_factory, data):
    whole = pack_bytes(HARMLESS)
    damaged = bytearray(whole)
    for _ in range(data.draw(st.integers(1, 4))):
        damaged[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    folder = tmp_path_factory.mktemp("pack")
    pack = folder / "pack.zip"
    pack.write_bytes(damaged[: data.draw(st.integers(0, len(whole)))])
    into = folder / "into"
    into.mkdir()
    try:
        paths = unpack(pack, into)
    except FxError as error:
        assert str(error)
    else:  # dates, rights and letters of names are not guarded by a checksum
        assert {path.read_bytes() for path in paths} <= set(HARMLESS.values())
    assert all(Path(path).is_relative_to(into) for path in folder.rglob("*") if path != pack)
