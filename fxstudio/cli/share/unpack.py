"""`fxstudio unpack`: open a pack that came from others."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from fxstudio.cli.given.endings import check_folder
from fxstudio.cli.share.options import UnpackOptions
from fxstudio.cli.shown import console
from fxstudio.cli.shown.film import caution_flashes, show_verdict
from fxstudio.decoder.leaflet.files import read_description
from fxstudio.documents.reading import DESCRIPTION, DRIVE, EARLIER, EFFECT, SCENE, file_kind
from fxstudio.effect.files import read_drive, read_effect
from fxstudio.effect.setting.files import read_scene
from fxstudio.errors import FxError
from fxstudio.film.formats import FORMATS, NoVideoError
from fxstudio.flashes.verdict import Verdict
from fxstudio.sharing.films import judged
from fxstudio.sharing.unpacking import unpack as unpacked
from fxstudio.whole_files import new_folder

READERS: Mapping[str, Callable[[Path], object]] = {
    EFFECT: read_effect,
    DRIVE: read_drive,
    DESCRIPTION: read_description,
    EARLIER: read_description,
    SCENE: read_scene,
}
"""Kind of a file in `documents` to what reads and checks one."""


def unpack(asked: UnpackOptions) -> None:
    """Do what `UnpackOptions` asks for."""
    folder = asked.into or asked.pack.with_suffix("")
    check_folder("--into", folder)
    with new_folder(folder) as passing:
        paths = unpacked(asked.pack, passing)
        kinds = {path: _checked(asked.pack, path.relative_to(passing), path) for path in paths}
        verdicts = {path: _verdict(path) for path in paths if path.suffix.lower() in FORMATS}
    console.label(folder, f": {len(paths)} files, each looked at")
    effects = []
    for path, kind in kinds.items():
        name = path.relative_to(passing)
        console.say(f"  {name}{f': {kind}' if kind else ''}")
        if path in verdicts:
            _show(verdicts[path])
        if kind == EFFECT:
            effects.append(name)
    for name in effects:
        console.say(f"See it: fxstudio show {folder / name}")
    caution_flashes()


def _checked(pack: Path, name: Path, path: Path) -> str | None:
    """What kind of file came out of a pack; raises FxError, naming the pack, for a faulty one."""
    if path.suffix.lower() != ".toml":
        return None
    try:
        kind = file_kind(path)
        if reader := READERS.get(kind or ""):
            reader(path)
    except FxError as error:
        for each in (error, *error.more):
            each.file = f"{pack}, {name.as_posix()} in it"
        raise
    return kind


def _verdict(path: Path) -> Verdict | str | None:
    """How a film flashes, or why that is not known; None for a still picture."""
    try:
        return judged(path)
    except NoVideoError:
        return "not judged for flashes, for what reads it is not installed"
    except FxError as error:
        return error.problem


def _show(verdict: Verdict | str | None) -> None:
    if isinstance(verdict, str):
        console.label("  mind", f" {verdict}", "yellow")
    elif verdict:
        show_verdict(verdict)
