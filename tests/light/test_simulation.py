"""The simulation: gating, time, seed and loop."""

from __future__ import annotations

import numpy as np
import pytest

from fxstudio.documents.reading import parse
from fxstudio.effect.drive import Drive, constant_drive
from fxstudio.effect.files import read_effect, shipped_effects
from fxstudio.effect.model import Effect
from fxstudio.light.simulation import Simulation, simulate

FRAMES = np.arange(150) / 25


def effect(**lamps):
    """An effect with lamps on outputs 1, 2 ... from keyword tables."""
    common = {"key": "F1", "place": "bed", "colour": "#ff8000", "pattern": {"kind": "steady"}}
    tables = {
        name: common | {"output": n} | table
        for n, (name, table) in enumerate(lamps.items(), start=1)
    }
    return parse(Effect, {"title": "t", "lamps": tables})


SHUTTLE = parse(
    Drive,
    {
        "length_s": 8.0,
        "steps": [
            {"at_s": 0.0, "travel": "forward", "speed_kmh": 20.0, "keys": ["F1"]},
            {"at_s": 2.0, "travel": "stopped"},
            {"at_s": 4.0, "travel": "reverse", "speed_kmh": 10.0, "over_s": 1.0},
            {"at_s": 6.0, "travel": "stopped", "keys": []},
        ],
    },
)


def test_travel_gates_and_standing_keeps_the_direction():
    # Common practice: outputs follow the direction bit of the last speed packet.
    both = effect(f={"travel": "forward"}, r={"travel": "reverse"}, b={})
    light = simulate(both, SHUTTLE, [1.0, 3.0, 5.0, 7.0], seed=1).light
    assert light.tolist() == [[1, 0, 1], [1, 0, 1], [0, 1, 1], [0, 0, 0]]


def test_keys_gate():
    two = effect(a={"key": "F1"}, b={"key": "F2"}, c={"key": "always"})
    light = simulate(two, constant_drive(keys=("F2",)), [0.5], seed=1).light
    assert light.tolist() == [[0, 1, 1]]


def test_drive_speed_ramps():
    trace = SHUTTLE.at([1.0, 2.5, 4.5, 5.5, 7.0, 9.0])
    np.testing.assert_allclose(trace.speed_kmh, [20, 0, 5, 10, 0, 20])


def test_a_drive_begins_as_it_ended():
    late = parse(Drive, {"steps": [{"at_s": 2.0, "travel": "reverse", "keys": ["F3"]}]})
    trace = late.at([0.0, 3.0])
    assert trace.forward.tolist() == [False, False]
    assert trace.keys[:, 3].tolist() == [True, True]


def test_same_seed_same_bytes_and_another_seed_another_flicker():
    fire = read_effect(shipped_effects()["banked_fire"])
    one, two, other = (simulate(fire, fire.shown_by, FRAMES, seed) for seed in (1, 1, 2))
    assert one.light.tobytes() == two.light.tobytes()
    assert one.light.dtype == np.float32
    assert not np.array_equal(one.light, other.light)


def test_editing_one_lamp_leaves_the_others_as_they_are():
    flicker = {"pattern": {"kind": "flicker"}}
    before = effect(bed={}, flames=flicker)
    after = effect(bed={"pattern": {"kind": "flicker", "style": "hold"}}, flames=flicker)
    drive = constant_drive(keys=("F1",))
    np.testing.assert_array_equal(
        simulate(before, drive, FRAMES, 1).light[:, 1],
        simulate(after, drive, FRAMES, 1).light[:, 1],
    )


def test_times_wrap_and_lie_between_grid_points():
    fire = read_effect(shipped_effects()["banked_fire"])
    simulation = Simulation(fire, fire.shown_by, 1)
    np.testing.assert_array_equal(simulation.at([0.04]).light, simulation.at([6.04]).light)
    grid = simulation.loop.light
    between = simulation.at([0.5 / 600]).light[0]
    np.testing.assert_allclose(between, (grid[0] + grid[1]) / 2, atol=1e-6)


def test_two_lamps_that_hold_change_at_the_same_moments():
    flicker = {"pattern": {"kind": "flicker", "style": "hold"}}
    light = simulate(effect(a=flicker, b=flicker), constant_drive(keys=("F1",)), FRAMES, 1).light
    jumps = np.diff(light, axis=0) != 0
    np.testing.assert_array_equal(jumps[:, 0], jumps[:, 1])
    assert not np.array_equal(light[:, 0], light[:, 1])


@pytest.mark.parametrize("name", shipped_effects())
def test_shipped_effects_light_every_lamp_and_loop_without_a_seam(name):
    shown = read_effect(shipped_effects()[name])
    loop = Simulation(shown, shown.shown_by, 1).loop
    assert (loop.light.max(axis=0) > 0.2).all()
    steps = np.abs(np.diff(loop.light, axis=0)).max(axis=0)
    seam = np.abs(loop.light[0] - loop.light[-1])
    gates = loop.lit[0] != loop.lit[-1]
    assert (seam <= steps + 1e-6)[~gates].all()
