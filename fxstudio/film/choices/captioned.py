"""The words of a choice become a caption."""

from __future__ import annotations

from fxstudio.film.captions.caption import Caption


def caption_of(word: str, whole: Caption) -> Caption | None:
    """What stands under the picture for one of `CAPTIONS`; `whole` is all there is to say."""
    if word == "none":
        return None
    return whole if word == "full" else Caption(words=whole.words)
