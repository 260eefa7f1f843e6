"""The choices for a film: one table, read by the command line and by the window's film sheet.

The help of the command and the rows of the sheet are made from it. A row whose `given` is not empty
is handed to `making.film` under that name by the window, without more.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from fxstudio.errors import InputError
from fxstudio.film.quality import QUALITIES, Quality

FORMAT_NAMES = MappingProxyType(
    {
        ".gif": "GIF",
        ".webp": "WebP",
        ".avif": "AVIF",
        ".png": "PNG",
        ".mp4": "MP4",
    }
)
"""What films are called, by the ending of the name."""
PICTURES = "/"
"""The ending of a name that asks for a folder of pictures."""

SIZES = MappingProxyType(
    {
        "small": (360, 240),
        "medium": (480, 320),
        "post": (600, 400),
        "square": (480, 480),
        "tall": (480, 600),
    }
)
"""Words for picture sizes, in pixels; a choice for what is posted where."""
LEAST_SIDE, MOST_SIDE = 64, 1920
"""A picture's width and height in pixels."""
SIZE_HELP = "Width x height in pixels, or " + ", ".join(
    f"{word} ({width}x{height})" for word, (width, height) in SIZES.items()
)
UNITS = MappingProxyType({"": 1, "b": 1, "kb": 1000, "mb": 1_000_000})

CAPTIONS = ("none", "plain", "full")

LENGTHS_S = 0.5, 60.0
"""How long a film may be, where its drive has no length of its own."""

ON, OFF, ANY, NONE = "on", "off", "any", "none"


def picture_size(text: str, name: str = "--size") -> tuple[int, int]:
    """Width and height of `480x320`, or of one of the words of `SIZES`.

    Raises InputError that calls the field `name`, as do the other readers here.
    """
    if text.strip().lower() in SIZES:
        return SIZES[text.strip().lower()]
    parts = text.lower().replace("×", "x").split("x")
    try:
        width, height = (int(part) for part in parts)
    except ValueError:
        width = height = 0
    if not all(LEAST_SIDE <= side <= MOST_SIDE for side in (width, height)):
        raise InputError("is not a picture size", field=name, given=text).allowing(
            f"width x height in pixels, each {LEAST_SIDE} to {MOST_SIDE}, "
            f"or one of {', '.join(SIZES)}",
            remedy="write it like 480x320",
        )
    return width, height


def file_size(text: str, name: str = "--max-size") -> int:
    """Bytes of `2MB`, `800 kB` or `150000`."""
    found = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*([a-z]*)\s*", text.lower())
    if found is None or found[2] not in UNITS or not float(found[1]):
        raise InputError("is no size of a file", field=name, given=text).allowing(
            "a number above 0 with kB or MB", remedy="write it like 2MB or 800kB"
        )
    return int(float(found[1]) * UNITS[found[2]])


def quality_called(text: str, name: str = "--quality") -> Quality:
    """The quality of that name."""
    if text.lower() not in QUALITIES:
        raise InputError("is no quality", field=name, given=text).allowing(
            ", ".join(QUALITIES), remedy="leave it out for good"
        )
    return QUALITIES[text.lower()]


def caption_called(text: str, name: str = "--caption") -> str:
    """Which of `CAPTIONS` is asked for."""
    if text.lower() not in CAPTIONS:
        raise InputError("is no caption", field=name, given=text).allowing(
            ", ".join(CAPTIONS), remedy="leave it out for none, or with --tour for full"
        )
    return text.lower()


def _number(text: str, name: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise InputError("is no number", field=name, given=text).advising(
            "write it with digits, and a point for decimals, like 2.5"
        ) from None


def _rate(text: str, name: str) -> float:
    from fxstudio.film.timing import check_rate  # numbers take longer to load than all help

    fps = _number(text, name)
    check_rate(fps, name)
    return fps


def _length(text: str, name: str) -> float:
    length_s = _number(text, name)
    if not LENGTHS_S[0] <= length_s <= LENGTHS_S[1]:
        raise InputError("is no length for a film", field=name, given=text).allowing(
            f"{LENGTHS_S[0]:g} to {LENGTHS_S[1]:g} s", remedy="take a few seconds: the film loops"
        )
    return length_s


def _is_on(text: str, name: str) -> bool:
    return text == ON


def _as_it_is(text: str, name: str) -> str:
    return text


def _largest(text: str, name: str) -> int | None:
    return None if text == ANY else file_size(text, name)


@dataclass(frozen=True)
class FilmChoice:
    """One thing to choose about a film.

    help : what it is for, as the command line says it
    words : what can be chosen, each with what the window calls it
    usual : the word that holds where nothing is chosen
    label : what the window calls it; empty: by its name
    read : the value of a word, or of what was typed, and the name to call it in an InputError
    typed : an example of what can be typed instead of a word; empty: nothing can
    usual_with : the usual word where another choice is not at its usual one, by its name
    given : under which name the value is handed to `making.film`, if it has no other way there
    """

    help: str
    words: Mapping[str, str]
    usual: str
    label: str = ""
    read: Callable[[str, str], object] = _as_it_is
    typed: str = ""
    usual_with: Mapping[str, str] = field(default_factory=dict)
    given: str = ""


def switch(text: str, label: str = "", given: str = "", usual: str = OFF) -> FilmChoice:
    """Something that a film has or has not."""
    return FilmChoice(text, {OFF: OFF, ON: ON}, usual, label, _is_on, given=given)


FILM_CHOICES: Mapping[str, FilmChoice] = MappingProxyType(
    {
        "format": FilmChoice(
            "What kind of film it is; PNG is animated, and pictures are a folder of PNG files.",
            {**FORMAT_NAMES, PICTURES: "pictures"},
            usual=".gif",
        ),
        "size": FilmChoice(
            f"{SIZE_HELP}.",
            {word: f"{word}, {width} x {height}" for word, (width, height) in SIZES.items()},
            usual="medium",
            read=picture_size,
            typed="720x480",
        ),
        "quality": FilmChoice(
            "How much is kept: draft, good (the usual one) or best.",
            {name: name for name in QUALITIES},
            usual="good",
            read=quality_called,
            usual_with={"max_size": "best"},
        ),
        "tour": FilmChoice(
            "Show in at most 20 s, with words, what each lamp, key and travel does.",
            {OFF: "what the window plays", ON: "a tour of all it can do"},
            usual=OFF,
            label="shows",
            read=_is_on,
        ),
        "seconds": FilmChoice(
            "Length of the loop in seconds.",
            {length: f"{length} s" for length in ("3", "6", "12")},
            usual="6",
            label="length",
            read=_length,
            typed="8",
        ),
        "caption": FilmChoice(
            "What stands under the picture: none, plain (travel, speed and keys) or full "
            "(title, decoder and what is not known, too). Full with a tour, else none.",
            {name: name for name in CAPTIONS},
            usual="none",
            read=caption_called,
            usual_with={"tour": "full"},
        ),
        "lanes": switch(
            "Show under the picture the light of each lamp over time, with a line at the present.",
            "light in lanes",
            given="lanes",
        ),
        "still": switch(
            "Let wheels and rods stand still, however fast the engine runs: a smaller file.",
            "wheels stand still",
            given="still",
        ),
        "fps": FilmChoice(
            "Frames a second; above 0, at most 50.",
            {rate: rate for rate in ("20", "25", "50")},
            usual="25",
            label="frames a second",
            read=_rate,
            typed="30",
        ),
        "max_size": FilmChoice(
            "The best film that fits, such as 2MB. Gives up quality first, then colours, "
            "frames a second and size.",
            {ANY: ANY, "1MB": "1 MB", "2MB": "2 MB", "8MB": "8 MB"},
            usual=ANY,
            label="largest file",
            read=_largest,
            typed="500kB",
        ),
        "poster": FilmChoice(
            "Also write the brightest frame as a picture, .png or .jpg.",
            {NONE: NONE, ".png": "PNG", ".jpg": "JPEG"},
            usual=NONE,
            label="poster picture",
        ),
    }
)
"""By name, in the order of the window; an option of the command has the same name with dashes."""


def usual(name: str, chosen: Mapping[str, str]) -> str:
    """The word that holds for a choice where `chosen`, by name, says nothing of it."""
    row = FILM_CHOICES[name]
    for other, word in row.usual_with.items():
        if chosen.get(other, FILM_CHOICES[other].usual) != FILM_CHOICES[other].usual:
            return word
    return row.usual
