"""Descriptions of the earlier form, one field for each property: the shipped ones as they were."""

from __future__ import annotations

from pathlib import Path

EARLIER_FILES = {
    path.stem: path for path in sorted((Path(__file__).parent / "decoder/earlier_files").glob("*"))
}
