"""The clipboard, by whichever functions this pygame has."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import pygame

T = TypeVar("T")


KINDS = (pygame.SCRAP_TEXT, "text/plain;charset=utf-8", "UTF8_STRING")
"""Kinds of text, tried in turn: under X11 pygame refuses to put the first, and other programs
offer the last.
"""


def copy(text: str) -> bool:
    """Put text on the clipboard; whether that could be done."""
    if _can("put_text"):
        return _try(lambda: pygame.scrap.put_text(text) or True, False)
    return any(_try(lambda kind=kind: _put(kind, text), False) for kind in KINDS)


def paste() -> str:
    """The text on the clipboard; empty if there is none or it cannot be had."""
    if _can("get_text"):
        return _try(pygame.scrap.get_text, "")
    found = (_try(lambda kind=kind: _get(kind), "") for kind in KINDS)
    return next((text for text in found if text), "")


def _can(name: str) -> bool:
    return _try(lambda: hasattr(pygame.scrap, name), False)


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
