"""What a person types in the interview for an invented decoder."""

from __future__ import annotations

HEARTHLIGHT = [
    "Hearthlight 2", "", "no", "", "1", "pad A", "F1", "both", "40", "2", "", "F2", "both", "", "",
    "", "", "yes", "131", "0", "0.5", "250", "12", "", "40", "121", "1,5", "", "", "0", "on", "",
    "1", "fire", "flicker", "", "", "", "0", "no", "no", "no", "yes", "125", "", "", "100",
    "100", "no",
]  # fmt: skip
"""One of the answers is a decimal comma, which is refused and asked for again."""
