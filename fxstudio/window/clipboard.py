"""The clipboard, by whichever functions this pygame has."""

from __future__ import annotations

import pygame


def copy(text: str) -> bool:
    """Put text on the clipboard; whether that could be done."""
    try:
        if hasattr(pygame.scrap, "put_text"):
            pygame.scrap.put_text(text)
        else:
            pygame.scrap.init()
            pygame.scrap.put(pygame.SCRAP_TEXT, text.encode())
    except (pygame.error, NotImplementedError):
        return False
    return True


def paste() -> str:
    """The text on the clipboard; empty if there is none or it cannot be had."""
    try:
        if hasattr(pygame.scrap, "get_text"):
            return pygame.scrap.get_text()
        pygame.scrap.init()
        held = pygame.scrap.get(pygame.SCRAP_TEXT)
    except (pygame.error, NotImplementedError):
        return ""
    return (held or b"").decode("utf-8", "replace").rstrip("\0")
