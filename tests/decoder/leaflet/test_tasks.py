"""The tasks that stand under six invented leaflets: the answers were worked out by hand.

Each leaflet is taken from a file in `files` and from the answers of an interview. Each task starts
from the delivered values, but for those it gives.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from decoder.interview.answering import answered, answers_in
from decoders import effect

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.files import load_decoder
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import Unknown
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.decode import decode
from fxstudio.decoder.writing.plan import plan
from fxstudio.decoder.writing.steps import Plan
from fxstudio.effect.model import Effect
from fxstudio.errors import InputError
from fxstudio.light.likeness import compare

HERE = Path(__file__).parent
PAGE = {"tarn_end": (16, 4)}


SOURCES: dict[str, Callable[[str], Leaflet]] = {
    "file": cache(lambda name: load_decoder(HERE / "files" / f"{name}.toml")),
    "interview": cache(lambda name: answered(answers_in(name)).leaflet),
}


@pytest.fixture(params=SOURCES)
def leaflet(request) -> Callable[[str], Leaflet]:
    """A leaflet by its name, from each source."""
    return SOURCES[request.param]


def at(name: str, values: dict[int, int]) -> dict[CvAddress, int]:
    return {CvAddress(cv, PAGE.get(name)): value for cv, value in values.items()}


def glow(output: int, key: str, level: float = 1.0, **conditions: Any) -> Effect:
    """One steady lamp."""
    pattern = {"kind": "steady", "level": level}
    return effect(4.0, lamp={"output": output, "key": key, "pattern": pattern} | conditions)


def moving_light(output: int, key: str, pattern: dict[str, Any], **conditions: Any) -> Effect:
    return effect(4.0, lamp={"output": output, "key": key, "pattern": pattern} | conditions)


def fire(bed: tuple[int, str], flames: tuple[int, str], lowest: float = 0.2, **of_flames) -> Effect:
    """Bed at 40 %, and flames that flicker up to full light at 4 changes a second."""
    glowing = {"kind": "steady", "level": 0.4}
    flicker = {"kind": "flicker", "style": "hold", "lowest": lowest, "highest": 1.0}
    return effect(
        4.0,
        bed={"output": bed[0], "key": bed[1], "pattern": glowing},
        flames={"output": flames[0], "key": flames[1], "pattern": flicker} | of_flames,
    )


def flash(period_s: float, on_share: float) -> dict[str, Any]:
    return {"kind": "flash", "period_s": period_s, "on_share": on_share, "lowest": 0.0}


@dataclass(frozen=True)
class Task:
    """What is asked and what comes out.

    writes : the values to write, all others stay; a list where any of them will do
    told : what is a compromise, as lamp and property; None for the shared rate
    unknown : what cannot be told of each lamp
    """

    decoder: str
    asked: Effect
    writes: dict[int, int | list[int]]
    told: set[tuple[str | None, str]] = field(default_factory=set)
    unknown: dict[str, set[str]] = field(default_factory=dict)
    held: dict[int, int] = field(default_factory=dict)


BED_BRIGHT = {("bed", "brightness")}
NOT_PRINTED = {"flames": {"lowest", "style", "rate_hz"}}
NO_DEPTH = {"flames": {"lowest", "style"}}
FIRE = fire((3, "F1"), (4, "F2"))

TASKS = {
    "marsh: the fire on what stands there": Task(
        "marsh_hollow",
        FIRE,
        {117: 2, 126: [*range(25, 64)]},
        BED_BRIGHT,
        NOT_PRINTED,
        {116: 1, 117: 3, 118: 1, 126: 20, 141: 120},
    ),
    "marsh: the fire": Task("marsh_hollow", FIRE, {117: 2}, BED_BRIGHT, NOT_PRINTED),
    "marsh: brown in reverse": Task("marsh_hollow", glow(5, "F3", travel="reverse"), {118: 11}),
    "marsh: white in both directions": Task("marsh_hollow", glow(1, "F0"), {114: 1}),
    "marsh: a flash every 2 s": Task(
        "marsh_hollow",
        moving_light(5, "F3", flash(2.0, 0.1)),
        {118: 3, 142: 10, 143: 20},
        unknown={"lamp": {"lowest"}},
    ),
    "marsh: the fire over a value that is none": Task(
        "marsh_hollow", FIRE, {117: 2}, BED_BRIGHT, NOT_PRINTED, {117: 200}
    ),
    **{
        f"marsh: a lamp at {level:.0%}": Task("marsh_hollow", glow(3, "F1", level), {126: value})
        for level, value in ((0.3, 19), (0.4, 25), (0.45, 28), (0.5, [31, 32]))
    },
    "penny: the fire on one key": Task(
        "penny_cross",
        fire((3, "F1"), (4, "F1"), travel="forward"),
        {162: 96, 163: 242, 152: 12, 154: 0, 155: 0, 164: 10},
    ),
    "penny: a marker that a key puts out": Task(
        "penny_cross", glow(1, "F3", while_off=True), {160: 248, 156: 1, 157: 1, 150: 0}
    ),
    "tarn: the fire": Task("tarn_end", FIRE, {274: 102, 275: 102, 281: 2}, unknown=NO_DEPTH),
    "tarn: a glow while moving": Task("tarn_end", glow(5, "F3", motion="moving"), {295: 4}),
    "tarn: a lamp that comes up": Task(
        "tarn_end",
        moving_light(6, "F4", {"kind": "filament", "level": 1.0, "rise_s": 0.3, "fall_s": 0.5}),
        {300: 30, 301: 50},
    ),
    "rook: the fire": Task(
        "rook_lane",
        fire((1, "F1"), (2, "F2")),
        {120: 2},
        BED_BRIGHT | {("flames", "key"), (None, "shared rate")},
        NO_DEPTH,
    ),
    "sallow: the fire": Task(
        "sallow_mill",
        fire((3, "F1"), (4, "F2"), 0.25),
        {121: 8, 127: 246, 130: 12},
        {(None, "shared rate")},
        {"flames": {"style"}},
    ),
    "heron: the fire": Task(
        "heron_weir",
        fire((3, "F1"), (4, "F2"), travel="forward"),
        {142: 4, 143: 129, 145: 39},
        BED_BRIGHT,
        NO_DEPTH,
    ),
}


@pytest.mark.parametrize("name", TASKS)
def test_the_values_of_a_task(name, leaflet):
    task = TASKS[name]
    found = compile_effect(task.asked, leaflet(task.decoder), at(task.decoder, task.held))
    writes = {cv.number: value for cv, value in found.changes.items()}
    assert writes.keys() == task.writes.keys()
    for cv, value in task.writes.items():
        assert writes[cv] in (value if isinstance(value, list) else [value])
    assert {(row.lamp, row.what) for row in found.compromises} == task.told
    assert {lamp: {*rows} for lamp, rows in found.shown.unknown.items()} == task.unknown


@pytest.mark.parametrize(("level", "value"), [(0.3, 0.302), (0.4, 0.397), (0.45, 0.444)])
def test_a_lamp_at_a_level_stays_steady_at_the_nearest(level, value, leaflet):
    seen = compile_effect(glow(3, "F1", level), leaflet("marsh_hollow")).seen.lamps["lamp"].pattern
    assert seen.kind == "steady"
    assert seen.level == pytest.approx(value, abs=0.001)


def test_what_may_be_written_for_the_fire_of_marsh_hollow_loses_no_more_than_its_ends(leaflet):
    read = leaflet("marsh_hollow")
    found = compile_effect(FIRE, read, at("marsh_hollow", {117: 2, 126: 20}))

    def lost(value: int) -> float:
        seen = decode(found.target | at("marsh_hollow", {126: value}), read, FIRE).effect
        return compare(FIRE, seen).lost

    assert compare(FIRE, found.seen).lost <= min(lost(25), lost(63)) + 1e-4


def test_the_speed_of_tarn_end_is_right_as_delivered_and_no_key_makes_the_bed_brighter(leaflet):
    found = compile_effect(FIRE, leaflet("tarn_end"))
    assert found.shown.effect.rate_of("flames") == 4
    assert found.seen.lamps["bed"].dim == {}


def test_the_glow_while_moving_is_dark_while_standing(leaflet):
    found = compile_effect(glow(5, "F3", motion="moving"), leaflet("tarn_end"))
    way = found.seen.lamps["lamp"].way
    assert (way.key, way.motion, way.travel) == ("F3", "moving", "both")


def test_the_speed_that_is_not_known_is_left_and_told(leaflet):
    found = compile_effect(FIRE, leaflet("marsh_hollow"), at("marsh_hollow", {141: 120}))
    assert found.target[CvAddress(141)] == 120
    assert found.shown.unknown["flames"]["rate_hz"] == Unknown(120, rising=True)
    assert found.seen.rate_hz == 4


def test_an_output_that_never_lights_is_no_error(leaflet):
    decoded = decode(at("marsh_hollow", {117: 0}), leaflet("marsh_hollow"))
    assert decoded.effect.lamps["output 4"].pattern.is_dark
    assert not any("output 4" in note for note in decoded.notes)


def test_a_value_that_is_none_is_refused_when_it_is_read(leaflet):
    with pytest.raises(InputError, match=r"is no value of Marsh Hollow 5"):
        decode(at("marsh_hollow", {117: 200}), leaflet("marsh_hollow"))


def test_the_largest_and_the_smallest_rate_of_penny_cross(leaflet):
    slow, fast = leaflet("penny_cross").rates(3)
    assert (slow, fast) == (pytest.approx(0.157, abs=0.0005), pytest.approx(40))
    rates = [
        next(said.value for said in leaflet("penny_cross").cells[CvAddress(164)].statements(value))
        for value in range(1, 256)
    ]
    assert rates == sorted(rates, reverse=True)


def test_a_full_strobe_in_reverse_only_cannot_be_and_is_told(leaflet):
    found = compile_effect(
        moving_light(4, "F2", flash(1.0, 0.5), travel="reverse"), leaflet("heron_weir")
    )
    assert found.target[CvAddress(143)] <= 255
    assert ("lamp", "pattern") in {(row.lamp, row.what) for row in found.compromises}
    assert found.seen.lamps["lamp"].travel == "reverse"


def test_a_full_fire_in_reverse_only_can(leaflet):
    flicker = {"kind": "flicker", "style": "hold", "lowest": 0.2, "highest": 1.0}
    found = compile_effect(moving_light(4, "F2", flicker, travel="reverse"), leaflet("heron_weir"))
    assert found.target[CvAddress(143)] == 229
    assert found.compromises == ()


def planned(task: Task, read: Leaflet, present: dict[int, int] | None = None) -> Plan:
    """The plan of a task, with what CV31 and CV32 hold if it says so."""
    held = at(task.decoder, task.held) | {CvAddress(cv): v for cv, v in (present or {}).items()}
    return plan(compile_effect(task.asked, read, at(task.decoder, task.held)), held or None, read)


PAGE_BEFORE = {31: 0, 32: 0}


@pytest.mark.parametrize("name", [name for name in TASKS if name.startswith("tarn")])
def test_the_page_of_tarn_end_is_written_first_and_set_back_last(name, leaflet):
    made = planned(TASKS[name], leaflet("tarn_end"), PAGE_BEFORE)
    for steps in (made.steps, made.restore):
        written = [(step.cv.number, step.value) for step in steps]
        assert written[:2] == [(31, 16), (32, 4)]
        assert {cv for cv, _ in written[2:-2]} == TASKS[name].writes.keys()
        assert written[-2:] == [(31, 0), (32, 0)]


@pytest.mark.parametrize("name", TASKS)
def test_the_plan_writes_the_values_of_a_task_and_its_way_back_what_stood_there(name, leaflet):
    task, read = TASKS[name], leaflet(TASKS[name].decoder)
    made = planned(task, read)
    written = {step.cv: step.value for step in made.steps if step.cv in read.cells}
    assert written == compile_effect(task.asked, read, at(task.decoder, task.held)).changes
    before = {**read.delivered, **at(task.decoder, task.held)}
    undone = {step.cv: step.value for step in made.restore if step.cv in read.cells}
    assert undone == {cv: before[cv] for cv in written}


def test_a_value_that_is_none_is_told_and_its_way_back_has_a_warning(leaflet):
    made = planned(TASKS["marsh: the fire over a value that is none"], leaflet("marsh_hollow"))
    (note,) = (note for note in made.notes if note.startswith("CV117 holds 200"))
    assert "is no value of Marsh Hollow 5 (0 to 14)" in note
    assert "2 is written in its place, and nothing of it is kept" in note
    assert "1 instead has it as delivered" in note
    (back,) = (step for step in made.restore if step.cv == CvAddress(117))
    assert back.value == 200
    assert "a value that the leaflet does not allow; write 1 instead" in back.why


def test_the_group_of_marsh_hollow_is_told_with_both_ends_and_the_resistor_with_its_heat(leaflet):
    task = TASKS["marsh: the fire on what stands there"]
    found = compile_effect(task.asked, leaflet("marsh_hollow"), at(task.decoder, task.held))
    told = " ".join(found.consequences)
    assert "25 would be best for bed, 63 would be best for flames" in told
    assert "brown (output 5): steady at" in told
    (row,) = found.compromises
    # 40 % of 5 mA, an LED of 2.1 V at 15 V: 6,450 ohm; E24 has 6.2 and 6.8 kilohm.
    # At 22 V: (22 - 2.1) squared / 6,800 = 58 mW.
    assert re.search(r"6\.8 kilohm gives about 40.% of the light.*58 mW of heat at 22.V", row.why)


def test_f0_then_lights_nothing_forward_is_told(leaflet):
    made = planned(TASKS["penny: a marker that a key puts out"], leaflet("penny_cross"))
    (step,) = (step for step in made.steps if step.cv == CvAddress(150))
    assert step.why == "F0 forward switches nothing"


def test_three_lamps_of_marsh_hollow_are_more_than_it_carries(leaflet):
    rows = {f"l{n}": {"output": 2 + n, "key": f"F{n}", "current_ma": 100.0} for n in (1, 2, 3)}
    with pytest.raises(InputError, match=r"300 mA .* 250 mA"):
        plan(
            compile_effect(effect(4.0, **rows), leaflet("marsh_hollow")),
            None,
            leaflet("marsh_hollow"),
        )
