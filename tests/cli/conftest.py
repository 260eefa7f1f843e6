"""Files that the tests of several commands read."""

from __future__ import annotations

from pathlib import Path

import pytest

from fxstudio.effect.files import shipped_effects

STROBE = """\
# a door lamp gone wild
title = "Strobe"

[lamps.door]
output = 5
key = "F3"
colour = { temperature_k = 2100 }
pattern = { kind = "flash", period_s = 0.2 } # far too quick

[lamps.bed]
output = 3
key = "F3"
colour = { wavelength_nm = 605 }
pattern = { kind = "flash", period_s = 0.2 }

[drive]
length_s = 0.4
steps = [{ at_s = 0.0, keys = ["F3"] }]
"""


@pytest.fixture
def strobe(run):
    """Writes the file after `run` has moved to an empty folder."""
    Path("strobe.toml").write_text(STROBE, "utf-8")


@pytest.fixture
def driven_fire(tmp_path):
    """Write the banked fire with a drive of its own, in a file of that name."""

    def write(drive: str) -> Path:
        path = tmp_path / "fire.toml"
        text = shipped_effects()["banked_fire"].read_text("utf-8")
        path.write_text(f"{text}\n[drive]\n{drive}\n", "utf-8")
        return path

    return write
