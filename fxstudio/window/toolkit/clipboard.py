"""The clipboard, by whichever functions this pygame has."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TypeVar

import pygame

T = TypeVar("T")


KINDS = (pygame.SCRAP_TEXT, "text/plain;charset=utf-8", "UTF8_STRING")
"""Kinds of text, tried in turn: under X11 pygame refuses to put the first, and other programs
offer the last.
"""


def copy(text: str) -> bool:
    """Put text on the clipboard; whether that could be done."""
    if put_text := _function("put_text"):
        return _try(lambda: bool(put_text(text)) or True, False)
    return any(_try(partial(_put, kind, text), False) for kind in KINDS)


def paste() -> str:
    """The text on the clipboard; empty if there is none or it cannot be had."""
    if get_text := _function("get_text"):
        return _try(lambda: str(get_text()), "")
    found = (_try(partial(_get, kind), "") for kind in KINDS)
    return next((text for text in found if text), "")


def _function(name: str) -> Callable[..., object] | None:
    return _try(lambda: getattr(pygame.scrap, name, None), None)


def _put(kind: str, text: str) -> bool:
    pygame.scrap.init()
    pygame.scrap.put(kind, text.encode())
    return True


def _get(kind: str) -> str:
    pygame.scrap.init()
    return (pygame.scrap.get(kind) or b"").decode("utf-8", "replace").rstrip("\0")


def _try(action: Callable[[], T], otherwise: T) -> T:
    try:
        return action()
    # Where pygame was built without a clipboard, whatever one asks of its stand-in raises this.
    except (pygame.error, NotImplementedError):
        return otherwise
