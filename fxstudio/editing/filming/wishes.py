"""What a person wants a film to be, and the film that this makes. Knows nothing of pygame."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from fxstudio.editing.decoder import ChosenDecoder
from fxstudio.editing.jobs import Film, Job, in_bytes
from fxstudio.editing.paths import free_path, there, typed_path
from fxstudio.editing.playback import Playback
from fxstudio.effect.model import Effect
from fxstudio.errors import InputError, InWords
from fxstudio.film.captions.caption import PLAIN_EFFECT, Caption
from fxstudio.film.captions.tour import Tour, tour
from fxstudio.film.choices.captioned import caption_of
from fxstudio.film.choices.estimate import estimated_bytes
from fxstudio.film.choices.table import FILM_CHOICES, FORMAT_NAMES, NONE, PICTURES, usual
from fxstudio.film.formats import FORMATS, format_of
from fxstudio.film.take import Shot
from fxstudio.progress import Progress

NO_VIDEO = 'MP4 can be chosen once what packs it is installed: pip install "fxstudio[video]"'


class FilmWishes:
    """What is chosen for a film, by the names of `FILM_CHOICES`; it holds for the next one, too.

    chosen : words, or what was typed instead
    named : the name that was typed; empty: one that is free
    """

    def __init__(self) -> None:
        self.chosen: dict[str, str] = {}
        self.named = ""
        self._toured: tuple[Effect, Tour] | None = None

    def word(self, name: str) -> str:
        """What is chosen or typed, or the usual word."""
        return self.chosen.get(name, usual(name, self.chosen))

    def choose(self, name: str, word: str) -> None:
        """Choose a word, or what is typed instead."""
        self.chosen[name] = word
        if name == "format":
            self.named = ended(self.named, word)

    def value(self, name: str) -> Any:
        """What the word means; raises InputError that calls it as the window does."""
        row, word = FILM_CHOICES[name], self.word(name)
        label = row.label or name
        if word in row.words and word not in self.words(name):
            raise InputError(NO_VIDEO)
        try:
            return row.read(word, label)
        except InputError as error:
            error.words = InWords((), label, given=word, allowed=error.allowed)
            raise

    @staticmethod
    def words(name: str) -> dict[str, str]:
        """The words that can be chosen here, each with what it is called."""
        words = FILM_CHOICES[name].words
        return {word: text for word, text in words.items() if _usable(name, word)}

    def problem(self, name: str) -> str:
        """Why what is typed cannot be; empty if it can."""
        try:
            self.value(name)
        except InputError as error:
            return error.in_words()
        return ""

    def names(self, playback: Playback) -> list[str]:
        """The choices that there are: some leave no other choice."""
        left_out = set()
        if playback.own is not None or self.value("tour"):
            left_out.add("seconds")
        if self.pictures:
            left_out |= {"quality", "max_size"}
        return [name for name in FILM_CHOICES if name not in left_out]

    # Where to -------------------------------------------------------------------------------

    @property
    def pictures(self) -> bool:
        """Whether a folder of pictures is wanted."""
        return self.word("format") == PICTURES

    def call(self, name: str) -> None:
        """Give it a name; the ending of a film chooses the format."""
        self.named = name
        ending = Path(name).suffix.lower()
        if ending in FORMAT_NAMES:
            self.chosen["format"] = ending

    def name(self, folder: Path, stem: str) -> str:
        """The name that was given, or a free one."""
        if self.named:
            return self.named
        ending = self.word("format")
        if self.pictures:
            return free_path(folder, f"{stem}_pictures", "").name
        return free_path(folder, stem, ending).name

    def path(self, folder: Path, name: str) -> Path | None:
        """Where it goes; None if that is no name."""
        return typed_path(folder, name, "" if self.pictures else self.word("format"))

    def poster_path(self, path: Path) -> Path | None:
        """Where the poster picture of a film goes, if one is wanted."""
        ending = self.word("poster")
        return None if ending == NONE else path.with_name(f"{path.stem}_poster{ending}")

    def replaced(self, path: Path) -> list[Path]:
        """Files that are there already and will be replaced."""
        written = [None if self.pictures else path, self.poster_path(path)]
        return [each for each in written if each is not None and there(each)]

    # The film -------------------------------------------------------------------------------

    def film(self, effect: Effect, decoder: ChosenDecoder, playback: Playback, path: Path) -> Film:
        """The film that is wanted of an effect; raises InputError for what cannot be."""
        self.value("format")
        seen = decoder.compiled.seen if decoder.compiled else effect
        toured = self.toured(seen) if self.value("tour") else None
        drive = toured.drive if toured else playback.to_film(self.value("seconds"))
        words = toured.words if toured else ()
        width, height = self.value("size")
        caption = Caption(effect.title, decoder.seen_on or PLAIN_EFFECT, decoder.missing, words)
        most = None if self.pictures else self.value("max_size")
        return Film(
            seen,
            path,
            drive,
            Shot(width, height, self.value("fps"), quality=self.value("quality")),
            said=decoder.said_of_film,
            caption=caption_of(self.word("caption"), caption),
            most_bytes=most,
            pictures=self.pictures,
            poster=self.poster_path(path),
            left_out=toured.left_out if toured else 0,
            more={row.given: self.value(n) for n, row in FILM_CHOICES.items() if row.given},
        )

    def toured(self, seen: Effect) -> Tour:
        """The tour of what is seen."""
        if self._toured is None or self._toured[0] is not seen:
            self._toured = seen, tour(seen)
        return self._toured[1]


def ended(name: str, ending: str) -> str:
    """A name with the ending of a film of that format in the place of another such ending."""
    suffix = Path(name).suffix
    stem = name.removesuffix(suffix) if suffix.lower() in FORMAT_NAMES else name
    return stem if ending == PICTURES else stem and stem + ending


def _usable(name: str, word: str) -> bool:
    return name != "format" or word not in FORMATS or FORMATS[word].usable


def size_trial(wanted: Film) -> Job:
    """Find out in the background about how large a film will be; it says so in words."""

    def work(progress: Progress) -> str:
        take = wanted.take
        kind = None if wanted.pictures else format_of(wanted.path)
        size = estimated_bytes(take, kind, progress)
        about = f"about {in_bytes(size, 2)}"
        if wanted.most_bytes is None or size <= wanted.most_bytes:
            return f"The film will have {about}."
        most = in_bytes(wanted.most_bytes)
        return f"The film would have {about}; quality is given up until it has at most {most}."

    return Job("Trying out the size", work)
