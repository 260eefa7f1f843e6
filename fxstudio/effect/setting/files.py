"""The scene of an effect: a drawn one by its name, or a photographed one by its folder.

A photographed scene is a folder with `scene.toml` and maps of light. All that it names lies in
that folder.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache, partial
from itertools import takewhile
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final, NamedTuple

import tomlkit

from fxstudio.arrays import Floats
from fxstudio.documents.reading import SCENE, parse, read_model, read_text
from fxstudio.effect.setting.model import LampMap, SceneFile
from fxstudio.errors import FxError, InputError, naming
from fxstudio.scenes.catalogue import SCENES, Maps, SceneRow, find_scene
from fxstudio.scenes.photograph.maps import fitted, map_size, read_map, write_map
from fxstudio.scenes.photograph.painting import as_if_white, painted
from fxstudio.whole_files import new_folder

SCENE_FILE: Final = "scene.toml"
"""The file that makes a folder a scene."""
DARK_MAP: Final = "dark.tif"


def setting_of(scene: str, source: Path | None = None) -> SceneRow:
    """The scene that an effect in the file `source` calls `scene`: a name, or a folder beside it.

    The same row as before as long as its files are as they were. Raises InputError if there is
    none, or if it cannot be used.
    """
    file = (source.parent if source else Path()) / scene / SCENE_FILE
    if scene in SCENES or not file.is_file():
        return find_scene(scene)
    try:
        return read_scene(file, scene)
    except FxError as error:
        lines = str(error).split("\n")
        raise InputError(
            f"is a scene that cannot be used: {lines[0]}", field="scene", given=scene
        ).allowing(error.allowed, error.remedy) from error


def read_scene(file: Path, name: str | None = None) -> SceneRow:
    """The photographed scene in a file; raises ReadError or InputError naming what is wrong."""
    held = read_model(SceneFile, file, SCENE)
    with naming(file):
        maps = _files_of(held, file.parent)
    sizes = {label: map_size(path) for label, path in maps.items()}
    for label, size in sizes.items():
        if size != sizes[""]:
            raise InputError(
                "has another size than the map of the dark scene",
                maps[label],
                given="{} x {} pixels".format(*size),
            ).allowing("{} x {} pixels".format(*sizes[""]), remedy="make the scene again")
    stamps = tuple(
        (path.stat().st_mtime_ns, path.stat().st_size) for path in [file, *maps.values()]
    )
    return _row(name or file.parent.name, file.resolve(), stamps)


def scene_files(scene: str, source: Path | None = None) -> tuple[Path, ...]:
    """The files of the photographed scene that an effect in the file `source` calls `scene`.

    `scene.toml` comes first; there are none for a drawn scene. Raises as `read_scene` does.
    """
    file = (source.parent if source else Path()) / scene / SCENE_FILE
    if scene in SCENES or not file.is_file():
        return ()
    return (
        file,
        *dict.fromkeys(_files_of(read_model(SceneFile, file, SCENE), file.parent).values()),
    )


def scene_size(file: Path) -> tuple[int, int]:
    """Width and height in pixels of the maps of a scene; raises as `read_scene` does."""
    held = read_model(SceneFile, file, SCENE)
    return map_size(_files_of(held, file.parent)[""])


def scene_notes(file: Path) -> list[str]:
    """The comments at the top of a scene's file, which say how it was made."""
    lines = takewhile(lambda line: line.startswith("#"), read_text(file).splitlines())
    return [line.lstrip("# ") for line in lines]


def _files_of(held: SceneFile, folder: Path) -> dict[str, Path]:
    """The map of each lamp, and at "" that of the dark scene; none may lie outside `folder`."""
    named = {"": held.dark.map} | {name: lamp.map for name, lamp in held.light.items() if lamp.map}
    for label, name in named.items():
        if not (folder / name).resolve().is_relative_to(folder.resolve()):
            raise InputError(
                "leads out of the scene's folder",
                field=f"light.{label}.map" if label else "dark.map",
                given=name,
            ).allowing("a file in this folder", remedy="put the map into the folder itself")
    return {label: folder / name for label, name in named.items()}


@lru_cache(maxsize=16)
def _row(name: str, file: Path, stamps: tuple[tuple[int, int], ...]) -> SceneRow:
    """The row of a scene whose files are as `stamps` say; the same call gives the same object."""
    held = read_model(SceneFile, file, SCENE)
    maps = _files_of(held, file.parent)
    return SceneRow(
        name,
        held.title,
        "A photographed scene",
        MappingProxyType({name: _words(lamp) for name, lamp in held.light.items()}),
        partial(_draw, held, maps),
        frozenset(name for name, lamp in held.light.items() if lamp.map and not lamp.recolour),
        frozenset(name for name, lamp in held.light.items() if not lamp.map),
    )


def _words(lamp: LampMap) -> str:
    if lamp.at is not None:
        return "painted: no photograph shows this lamp"
    return "from a photograph, in the effect's colour" if lamp.recolour else "from a photograph"


def _draw(held: SceneFile, maps: Mapping[str, Path], width: int, height: int) -> Maps:
    """Light with all lamps dark and of each lamp, in a size: see `SceneRow.draw`."""
    dark = read_map(maps[""], held.dark.full)
    light: dict[str, Floats] = {}
    for name, lamp in held.light.items():
        if lamp.at is not None:
            whole = painted(dark, lamp.at, lamp.reach, lamp.shape)
        else:
            whole = read_map(maps[name], lamp.full / lamp.lit_at) * held.exposure
            whole = as_if_white(whole) if lamp.recolour else whole
        light[name] = fitted(whole, width, height)
    return fitted(dark * (held.ambient * held.exposure), width, height), light


class Lit(NamedTuple):
    """One lamp of a scene to be written.

    light : what it adds [3, h, w], as photographed; None where it is painted
    facts : further fields of its `LampMap`
    """

    light: Floats | None
    facts: Mapping[str, object]


def write_scene(
    folder: Path, title: str, dark: Floats, lamps: Mapping[str, Lit], notes: Iterable[str] = ()
) -> None:
    """Write a new folder with a scene, whole or not at all.

    Parameters
    ----------
    dark : linear light [3, h, w] with all lamps dark
    lamps : the lamps by name
    notes : how it was made, a comment each

    Raises InputError for facts that no scene can have, and WriteError.
    """
    stems = _stems(lamps)
    planes = {DARK_MAP: dark}
    tables: dict[str, dict[str, object]] = {}
    for name, lit in lamps.items():
        tables[name] = dict(lit.facts)
        if lit.light is not None:
            planes[stems[name]] = lit.light
            tables[name] |= {"map": stems[name]}
    full = {stem: _full(plane) for stem, plane in planes.items()}
    for table in tables.values():
        if "map" in table:
            table["full"] = full[str(table["map"])]
    held = {"title": title, "dark": {"map": DARK_MAP, "full": full[DARK_MAP]}, "light": tables}
    parse(SceneFile, held)
    with new_folder(folder) as passing:
        for stem, light in planes.items():
            with open(passing / stem, "xb") as file:
                write_map(file, light, full[stem])
        (passing / SCENE_FILE).write_text(_text(held, notes), "utf-8")


def _full(light: Floats) -> float:
    """What the brightest code of a map stands for: a little above its brightest light."""
    return float(f"{max(float(light.max()), 1e-4) * 1.001:.5g}")


def _stems(lamps: Iterable[str]) -> dict[str, str]:
    """A file name for each lamp, which any disk can hold and no other lamp has."""
    found: dict[str, str] = {}
    for number, name in enumerate(lamps, 1):
        plain = re.sub(r"[^a-z0-9]+", "_", name.casefold()).strip("_") or "lamp"
        stem = f"light_{plain}.tif"
        found[name] = stem if stem not in found.values() else f"light_{plain}_{number}.tif"
    return found


def _text(tables: Mapping[str, Any], notes: Iterable[str]) -> str:
    document = tomlkit.document()
    for note in notes:
        document.add(tomlkit.comment(" ".join(note.split())))
    for name, value in tables.items():
        document.add(name, tomlkit.item(value))
    return tomlkit.dumps(document)
