"""`fxstudio scene new`."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from fxstudio.arrays import Floats
from fxstudio.cli.scene.options import NewOptions
from fxstudio.cli.shown import console
from fxstudio.documents.reading import parse
from fxstudio.effect.colour import Colour
from fxstudio.effect.setting.files import SCENE_FILE, Lit, write_scene
from fxstudio.errors import FxError, InputError
from fxstudio.scenes.photograph.apart import Apart, Provenance, take_apart
from fxstudio.scenes.photograph.reading import Framing, Photograph, read_photograph
from fxstudio.units import percent
from fxstudio.whole_files import check_can_write, check_new

PAINT = "paint"
"""What stands in place of a photograph where a lamp is painted."""

BY = {
    "exif": "exposure by EXIF",
    "pictures": "exposure from the parts that it does not light",
    "assumed": "exposure assumed",
}


def new_scene(asked: NewOptions) -> None:
    """Do what `NewOptions` asks for."""
    folder = Path(asked.folder)
    check_new(folder)
    check_can_write(folder / SCENE_FILE if folder.is_dir() else folder)
    lamps = _by_lamp("--lamp", asked.lamp)
    facts = _facts(asked, lamps)
    colours = {
        name: _colour(name, text) for name, text in _of_lamps("--colour", asked.colour, lamps)
    }
    framing = Framing(_turn(asked.turn), _crop(asked.crop))
    with console.progress("reading the photographs") as progress:
        dark = read_photograph(Path(asked.dark), framing)
        read: dict[str, Photograph] = {}
        for file in {file for file in lamps.values() if file != PAINT}:
            read[file] = read_photograph(Path(file), framing)
        taken = {name: read[file] for name, file in lamps.items() if file != PAINT}
        apart = take_apart(dark, taken, colours, progress)
    lit = {name: Lit(apart.light.get(name), facts[name]) for name in lamps}
    told = {name: found_words(apart.found[name], dark) for name in taken}
    notes = [f"{name}: {'; '.join(lines)}." for name, lines in told.items()]
    write_scene(folder, asked.title or folder.name, apart.dark, lit, notes)
    _show(folder, apart, told, [name for name in lamps if lamps[name] == PAINT])


def found_words(found: Provenance, dark: Photograph) -> list[str]:
    """What was found of a lamp's photograph, a phrase each."""
    height, width = dark.light.shape[1:]
    gain = ", ".join(f"{channel:.3g}" for channel in found.gain)
    words = [f"{BY[found.by]}, {gain} times that of the dark picture in red, green, blue"]
    if found.by == "pictures":
        words[0] += (
            f" ({percent(found.fit.share)} of the parts agree to {percent(found.fit.within)})"
        )
    if found.move.likeness is not None:
        right, down = found.move.at_middle(width, height)
        words.append(
            f"moved by {right:.1f} px right, {down:.1f} px down and turned by "
            f"{found.move.turn_deg:.2f} degrees, undone"
        )
    return [*words, *found.notes]


def _show(
    folder: Path, apart: Apart, told: Mapping[str, list[str]], painted: Sequence[str]
) -> None:
    rows, columns = apart.dark.shape[1:]
    console.label(folder, f": a scene of {columns} x {rows} pixels")
    for name, lines in told.items():
        console.label(f"  {name}", f": {lines[0]}")
        for line in lines[1:]:
            is_note = line in apart.found[name].notes
            console.label("    note" if is_note else "   ", f" {line}", "yellow" if is_note else "")
    for name in painted:
        console.label(f"  {name}", ": painted, no photograph shows it")
    console.caution("eyes")
    console.say(
        f'Next: fxstudio scene show {folder} -o look.png; in an effect: scene = "{folder.name}"',
        "dim",
    )


def _by_lamp(option: str, given: Sequence[str] | None) -> dict[str, str]:
    """`NAME=VALUE` of each lamp; raises InputError for other words, or a lamp named twice."""
    found: dict[str, str] = {}
    for text in given or ():
        name, equals, value = (part.strip() for part in text.partition("="))
        if not (name and equals and value):
            raise InputError("does not say which lamp", field=option, given=text).allowing(
                "NAME=VALUE", remedy=f"write it like {option} bed=..."
            )
        if name in found:
            raise InputError(
                f"the lamp '{name}' is named twice", field=option, given=text
            ).advising("give each lamp a name of its own")
        found[name] = value
    return found


def _of_lamps(
    option: str, given: Sequence[str] | None, lamps: Mapping[str, str]
) -> list[tuple[str, str]]:
    """Name and value for lamps that there are."""
    found = _by_lamp(option, given)
    for name in found:
        _known(option, name, lamps)
    return list(found.items())


def _known(option: str, name: str, lamps: Mapping[str, str]) -> None:
    if name not in lamps:
        raise InputError(
            "there is no lamp of this name", field=option, given=name, choices=lamps
        ).advising("name one that --lamp names")


def _facts(asked: NewOptions, lamps: Mapping[str, str]) -> dict[str, dict[str, Any]]:
    """What is said of each lamp besides its photograph, as fields of a scene file."""
    facts: dict[str, dict[str, Any]] = {name: {} for name in lamps}
    for name, text in _of_lamps("--lit-at", asked.lit_at, lamps):
        facts[name]["lit_at"] = _number("--lit-at", text)
        if not 0 < facts[name]["lit_at"] <= 1:
            raise _no_number("--lit-at", text, "a number above 0 to 1")
    for name in asked.recolour or ():
        _known("--recolour", name, lamps)
        facts[name]["recolour"] = True
    for name, text in _of_lamps("--at", asked.at, lamps):
        facts[name]["at"] = _numbers("--at", text, 2)
    for name, text in _of_lamps("--reach", asked.reach, lamps):
        facts[name]["reach"] = _number("--reach", text)
    for name, text in _of_lamps("--shape", asked.shape, lamps):
        facts[name]["shape"] = text
    for name, file in lamps.items():
        is_painted = file == PAINT
        if is_painted != ("at" in facts[name]):
            raise InputError(
                f"the lamp '{name}' "
                + ("is painted, and nobody knows where" if is_painted else "has a photograph"),
                field="--at",
            ).advising(
                f"give --at {name}=0.5,0.5 or a photograph"
                if is_painted
                else f"leave out --at {name}, or give --lamp {name}={PAINT}"
            )
    return facts


def _number(option: str, text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise _no_number(option, text, "a number; decimals have a point") from None


def _numbers(option: str, text: str, count: int) -> list[float]:
    """So many shares from 0 to 1 with commas between them."""
    try:
        found = [float(part) for part in text.split(",")]
    except ValueError:
        found = []
    if len(found) != count or not all(0 <= part <= 1 for part in found):
        raise _no_number(option, text, f"{count} numbers from 0 to 1 with commas between them")
    return found


def _no_number(option: str, text: str, allowed: str) -> InputError:
    return InputError("cannot be used", field=option, given=text).allowing(
        allowed, remedy="correct it; `fxstudio scene new --help` shows an example"
    )


def _crop(text: str | None) -> tuple[float, float, float, float]:
    if text is None:
        return Framing().crop
    left, top, right, bottom = _numbers("--crop", text, 4)
    if not (left < right and top < bottom):
        raise _no_number("--crop", text, "left before right and top before bottom")
    return left, top, right, bottom


def _turn(degrees: int) -> int:
    if degrees not in (0, 90, 180, 270):
        raise _no_number("--turn", str(degrees), "0, 90, 180 or 270")
    return degrees


UNITS = {"nm": "wavelength_nm", "k": "temperature_k"}


def _colour(name: str, text: str) -> Floats:
    """Linear sRGB [3] of `605nm`, `1900K` or `#ff8000`."""
    found = re.fullmatch(r"(\d+(?:\.\d+)?)\s*(nm|k)", text.lower())
    data = {UNITS[found[2]]: float(found[1])} if found else {"hex": text}
    try:
        return parse(Colour, data).rgb
    except FxError as error:
        raise InputError(
            f"the colour of '{name}' is no colour", field="--colour", given=text
        ).allowing("605nm, 1900K or #ff8000", remedy="see the data sheet of the LED") from error
