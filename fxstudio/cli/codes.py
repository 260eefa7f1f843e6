"""Exit codes."""

from __future__ import annotations

DONE, FAULT, BAD_INPUT, INTERRUPTED = 0, 1, 2, 130
