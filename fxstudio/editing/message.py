"""What the window tells in passing, or until it is closed."""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from pathlib import Path

PASSING_S = 8.0
"""How long a passing message is shown."""


@dataclass(frozen=True)
class StatusMessage:
    """A text, an error or not, that passes or stays until it is closed.

    folder : where what it tells of lies
    """

    text: str
    is_error: bool = False
    stays: bool = False
    folder: Path | None = None
    since_s: float = field(default_factory=time.monotonic)

    @property
    def standing(self) -> str:
        """Its text if it stays, with a word in front if it is an error; else empty."""
        if not self.stays:
            return ""
        return f"Error: {self.text}" if self.is_error else self.text

    @property
    def passing(self) -> str:
        """Its text if it passes and has not yet; else empty."""
        recent = time.monotonic() - self.since_s < PASSING_S
        return self.text if recent and not self.stays else ""
