"""A new kind of pattern is one class and one row: all rooms find it then."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

HOUSE = Path(__file__).parents[2]

PULSE = '''"""Light that swells and sinks."""

from typing import Annotated, ClassVar, Literal, Self

import numpy as np
from pydantic import Field

from fxstudio.documents.models import Asked
from fxstudio.documents.reading import changed
from fxstudio.effect.patterns.pattern import SECONDS, Ranged, toward
from fxstudio.effect.patterns.timeline import Timeline, Wave


class Pulse(Ranged):
    """Swells and sinks evenly, as if it breathed."""

    kind: Literal["pulse"] = "pulse"
    called: ClassVar[str] = "breathing lamp"
    period_s: Annotated[
        float,
        Field(ge=0.1, le=30, json_schema_extra=SECONDS),
        Asked("How many seconds is it from swell to swell?", "time ten swells."),
    ] = Field(2.0, title="time from swell to swell", description="Seconds of one swell.")

    @property
    def course(self) -> str:
        return "even swells"

    def changes_hz(self, rate_hz: float, speed_kmh: float) -> float:
        return 1 / self.period_s

    def slower(self, share: float) -> Self:
        return changed(self, period_s=toward(self.period_s, 30.0, share))

    def wave(self, timeline: Timeline) -> Wave:
        cycles, fitted = timeline.whole_cycles("swells a second", 1 / self.period_s)
        phase = 2 * np.pi * timeline.times_s * cycles / timeline.loop_s
        return Wave(self.between(0.5 - 0.5 * np.cos(phase)), fitted)

    def summary(self) -> str:
        return f"swells every {self.period_s:.3g} s, {self.range_text()}"
'''

EFFECT = """title = "Breath"
scene = "cab"
[lamps.bed]
place = "door"
output = 3
key = "F1"
colour = "#ffffff"
pattern = { kind = "pulse", period_s = 0.2, lowest = 0.0 }
[drive]
length_s = 2.0
[[drive.steps]]
keys = ["F1"]
"""

PROBE = """
import json, sys
from pathlib import Path
from window_driver import Driver
from decoders import GLIM, said_as, said_of
from fxstudio.decoder.interview.questions import SECTIONS
from fxstudio.decoder.move import suit
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.documents.reading import changed
from fxstudio.effect.files import read_effect
from fxstudio.effect.writing import to_text
from fxstudio.errors import InputError
from fxstudio.export.schema import schema_of
from fxstudio.film.calmer import calm
from fxstudio.film.take import Shot
from fxstudio.flashes.fields import Viewing

path = Path(sys.argv[1])
effect = read_effect(path)
pulse = effect.lamps["bed"].pattern
manual = said_of(GLIM)
manual["effect"]["codes"] = manual["effect"]["codes"][:2]
manual["effect"]["codes"][1]["pattern"] = {"kind": "pulse", "period_s": 3.0}
breathing = compile_effect(effect, said_as(manual))
questions = [q for s in SECTIONS for q in s.questions]
asked = [q.words for q in questions if q.field == "pattern.period_s"]
try:
    changed(pulse, period_s=99.0)
except InputError as error:
    refused = str(error)
driver = Driver(path)
kinds = driver.widget("pattern.kind").options
window = [type(driver.widget("pattern.period_s")).__name__, driver.texts(), str(kinds)]
found = calm(effect, shot=Shot(96, 64, 20.0, viewing=Viewing(field_px=(45, 34))))
print(json.dumps({
    "file": to_text(effect),
    "error": refused,
    "schema": schema_of("effect")["$defs"]["Pulse"]["properties"]["period_s"]["description"],
    "interview": asked,
    "kinds": next(q for q in questions if q.field == "pattern.kind").limit.hint({}, {}),
    "window": window,
    "compromises": list(map(str, breathing.compromises)),
    "stand-in": list(map(str, compile_effect(effect, GLIM).compromises)),
    "suit": [row.likeness.lamps[0].words() for _, row in suit(effect, {"glim": GLIM})],
    "calm": found.changes,
}))
"""


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    """A copy of the package with the module and its row; runs Python in it."""
    folder = tmp_path_factory.mktemp("house")
    for name in ("fxstudio", "effects"):
        shutil.copytree(HOUSE / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    room = folder / "fxstudio" / "effect" / "patterns"
    (room / "pulse.py").write_text(PULSE, "utf-8")
    table = (room / "__init__.py").read_text("utf-8")
    above, row = "PATTERNS: tuple[type[Pattern], ...] = (", "Steady, "
    assert above + row in table
    load = "from fxstudio.effect.patterns.pulse import Pulse\n"
    table = table.replace(above + row, load + above + "Pulse, " + row)
    (room / "__init__.py").write_text(table, "utf-8")
    (folder / "breath.toml").write_text(EFFECT, "utf-8")
    paths = os.pathsep.join([str(folder), str(HOUSE / "tests")])
    surroundings = {**os.environ, "PYTHONPATH": paths, "COLUMNS": "140"}
    surroundings |= {"SDL_VIDEODRIVER": "dummy", "SDL_AUDIODRIVER": "dummy"}

    def run(*arguments: str) -> str:
        call = [sys.executable, *arguments]
        done = subprocess.run(call, cwd=folder, env=surroundings, text=True, capture_output=True)
        assert done.returncode == 0, done.stderr
        return done.stdout

    return run


@pytest.fixture(scope="module")
def found(house):
    return json.loads(house("-c", PROBE, "breath.toml").splitlines()[-1])


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ("file", 'kind = "pulse"'),
        ("error", "allowed: a number from 0.1 to 30"),
        ("schema", "Seconds of one swell."),
        ("interview", "How many seconds is it from swell to swell?"),
        ("interview", "How many seconds is it from one flash to the next?"),
        ("kinds", "pulse - swells and sinks evenly, as if it breathed"),
        ("window", "Slider"),
        ("window", "Time from swell to swell"),
        ("window", "Breathing lamp"),
        ("compromises", "bed: time from swell to swell: 0.2 s asked, 3 s will be seen"),
        ("stand-in", "swells every 0.2 s, 0 % to 100 % asked, hold flicker"),
        ("suit", "hold flicker instead of even swells"),
        ("calm", "bed: period_s 0.2 to"),
    ],
)
def test_it_is_found_in_every_room(found, place, words):
    said = found[place]
    assert words in (said if isinstance(said, str) else json.dumps(said, ensure_ascii=False))


def test_it_is_listed_on_the_command_line(house):
    out = " ".join(house("-m", "fxstudio", "list").split())
    assert "pulse Swells and sinks evenly, as if it breathed." in out
    assert "period_s" in out
