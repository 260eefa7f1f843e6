"""Films that came from others, judged for flashes before anybody looks at them."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from fxstudio.errors import FxError, InputError
from fxstudio.film.formats import format_of
from fxstudio.film.seen import Decoded, watched
from fxstudio.film.take import TooLargeError
from fxstudio.flashes.verdict import Verdict, judge

MOST_JUDGED: Final = 500_000_000
"""Pixels of all pictures of a film of others together; more would take minutes."""
UNSAID_CS: Final = 10
"""How long a picture stands that does not say so, in 1/100 s. Common practice of browsers."""


def judged(path: Path) -> Verdict | None:
    """The flash verdict on a film file, whoever made it; None for a still picture.

    Raises InputError for a file that is no whole film, or a larger one than a film of ours can be,
    and NoVideoError for a kind that needs the extra `video` where that is not installed.
    """
    kind = format_of(path)
    try:
        with open(path, "rb") as file:

            def pictures() -> Decoded:
                for picture, delay_cs in kind.decode(file):
                    yield picture, delay_cs or UNSAID_CS

            pixels = count = 0
            for picture, _ in pictures():
                count, pixels = count + 1, pixels + picture.shape[0] * picture.shape[1]
                if pixels > MOST_JUDGED:
                    raise TooLargeError("is too large to be judged for flashes", path)
            if count < 2:
                return None
            viewed = watched(pictures)
            return judge(viewed.numbers, viewed.colours, viewed.delays_cs)
    except FxError as error:
        error.file = error.file or path
        raise
    except Exception as error:  # what decodes pictures raises whatever it likes
        raise InputError("is no whole film", path) from error
