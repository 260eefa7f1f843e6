"""Moving a look to another decoder, and which decoder suits an effect best."""

from __future__ import annotations

import pytest
from decoders import (
    CARROW,
    DECODERS,
    FLICKER,
    GLIM,
    STEADY,
    TOLLEY,
    effect,
    said_as,
    said_of,
)
from sources import truth

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.move import FREE_OUTPUT, NO_OUTPUT, SAME_NUMBER, SAME_WIRE, move, rewire, suit
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.decode import Decoded, decode_values
from fxstudio.decoder.values.read_back import read_back
from fxstudio.effect.files import read_effect, shipped_effects

FIRE = effect(
    4.0,
    bed={"output": 3, "key": "F1", "pattern": {"kind": "steady", "level": 0.35}},
    flames={"output": 4, "key": "F2", "pattern": FLICKER},
)


def changed(decoder: Leaflet, **wires: str) -> Leaflet:
    """The decoder with wires of other colours on its outputs: `o3="violet"`."""
    data = said_of(decoder)
    for output in data["outputs"]:
        output["wire"] = wires.get(f"o{output['number']}", output["wire"])
    return said_as(data)


def wires_of(decoder: Leaflet) -> dict[int, str]:
    return {output.number: output.wire for output in decoder.outputs}


def goes(rewired) -> dict[str, tuple[int | None, str]]:
    return {row.lamp: (row.target and row.target.number, row.how) for row in rewired}


@pytest.mark.parametrize("decoder", DECODERS.values(), ids=DECODERS)
def test_the_shipped_decoders_have_the_wires_of_the_standards(decoder):
    colours = {row["colour"]: row["output"] for row in truth("wires.csv") if row["output"]}
    for output in decoder.outputs:
        if output.wire in colours:
            assert str(output.number) == colours[output.wire]


def test_lamps_stay_on_wires_of_one_colour_whatever_their_number():
    target = changed(TOLLEY, o3="violet", o4="green")
    assert goes(rewire(FIRE, target, wires_of(GLIM))) == {
        "bed": (4, SAME_WIRE),
        "flames": (3, SAME_WIRE),
    }
    moved = move(FIRE, GLIM, target)
    assert {n: lamp.output for n, lamp in moved.compiled.seen.lamps.items()} == {
        "bed": 4,
        "flames": 3,
    }
    assert moved.lost < 0.01


def test_pads_are_not_wires_and_go_by_number():
    lamps = effect(a={"output": 5, "key": "F3"}, b={"output": 6, "key": "F4"})
    target = changed(TOLLEY, o5="pad B", o6="pad A")
    assert goes(rewire(lamps, target, wires_of(CARROW))) == {
        "a": (5, SAME_NUMBER),
        "b": (6, SAME_NUMBER),
    }


def test_what_is_left_goes_to_a_free_output_that_its_key_reaches():
    lamps = effect(far={"output": 9, "key": "F3"}, bed={"output": 3, "key": "F1"})
    assert goes(rewire(lamps, CARROW, wires_of(TOLLEY))) == {
        "far": (5, FREE_OUTPUT),  # its key is F3 for good
        "bed": (3, SAME_WIRE),
    }


def test_more_lamps_than_outputs():
    lamps = effect(**{f"l{n}": {"output": n, "key": "F5"} for n in range(1, 7)})
    moved = move(lamps, TOLLEY, GLIM)
    assert goes(moved.rewired)["l6"] == (None, NO_OUTPUT)
    lost = {lamp.name: lamp for lamp in moved.likeness.lamps}
    assert lost["l6"].words() == ("stays dark",)
    assert lost["l6"].lost == pytest.approx(1.0)


def test_a_key_that_cannot_be_had_gives_way_to_one_that_is_free():
    """The map of S-9.2.2 gives outputs 1 and 2 only keys up to F3; F1 and F2 are in use."""
    lamps = effect(
        first={"output": 1, "key": "F9"},
        second={"output": 2, "key": "F8"},
        bed={"output": 3, "key": "F1"},
        flames={"output": 4, "key": "F2"},
    )
    ((_, moved),) = suit(lamps, {"glim": GLIM})
    keys = {name: lamp.key for name, lamp in moved.compiled.seen.lamps.items()}
    assert keys == {"first": "F0", "second": "F3", "bed": "F1", "flames": "F2"}
    told = {(row.lamp, row.asked, row.seen) for row in moved.compiled.compromises}
    assert told == {("first", "F9", "F0"), ("second", "F8", "F3")}
    assert all("keys that reach" in row.remedy for row in moved.compiled.compromises)


def test_with_no_key_free_the_one_as_delivered_is_taken():
    others = {f"l{n}": {"output": n, "key": f"F{n - 2}"} for n in range(2, 6)}  # F0 to F3
    ((_, moved),) = suit(effect(l1={"output": 1, "key": "F9"}, **others), {"tolley": TOLLEY})
    assert moved.compiled.seen.lamps["l1"].key == "F0"


def test_a_fixed_key_is_told():
    ((_, moved),) = suit(effect(x={"output": 6, "key": "F4"}), {"carrow": CARROW})
    (told,) = moved.compiled.compromises
    assert (told.what, told.asked, told.seen) == ("key", "F4", "lit without a key")


@pytest.mark.parametrize("name", shipped_effects())
@pytest.mark.parametrize("decoder", DECODERS)
def test_a_move_to_the_same_decoder_loses_nothing(name, decoder):
    description = DECODERS[decoder]
    look = read_effect(shipped_effects()[name])
    moved = move(look, description, description)
    assert moved.lost == 0
    assert moved.compiled.compromises == ()
    assert moved.compiled.by_cv == compile_effect(moved.asked, description).by_cv


def test_what_the_first_decoder_shows_is_moved_not_what_was_wished():
    wish = effect(4.0, flames={"output": 4, "key": "F2", "pattern": {**FLICKER, "style": "smooth"}})
    moved = move(wish, GLIM, TOLLEY)  # the first one holds levels, the second one can do both
    assert moved.asked.lamps["flames"].pattern.style == "hold"
    assert moved.compiled.seen.lamps["flames"].pattern.style == "hold"


def test_values_read_back_are_what_is_moved():
    # Output 4 with code 1, "ember", in both directions, at level 5, which is 50 %.
    held = read_back({CvAddress(144): 1 + 8 * 3 + 32 * 5}, GLIM, FIRE)
    moved = move(FIRE, GLIM, TOLLEY, held.decoded)
    assert moved.asked.lamps["flames"].pattern.highest == pytest.approx(0.508, abs=0.001)
    seen = decode_values(moved.compiled.by_cv, TOLLEY, moved.compiled.seen).lamps["flames"].pattern
    assert (seen.highest, seen.lowest) == (
        pytest.approx(0.508, abs=0.01),
        pytest.approx(0.254, abs=0.01),
    )


def test_a_lamp_that_the_first_decoder_lacks_is_told():
    moved = move(effect(a={"output": 3, "key": "F1"}, b={"output": 9}), GLIM, TOLLEY)
    assert moved.notes == (
        "b is on output 9, which Withybank Glim 4 lacks: there is nothing to move",
    )
    assert [row.lamp for row in moved.rewired] == ["a"]


def test_several_keys_of_an_output_are_told():
    values = {CvAddress(35): 4 + 8}  # F1 switches output 4 as well, beside F2
    moved = move(FIRE, GLIM, TOLLEY, read_back(values, GLIM, FIRE).decoded)
    flames = moved.asked.lamps["flames"]
    assert flames.gate.words() == "on F1, both directions, or on F2, both directions"


def test_the_decoder_that_loses_least_is_first():
    ranked = suit(read_effect(shipped_effects()["firehole_door"]), DECODERS)
    lost = [moved.lost for _, moved in ranked]
    assert lost == sorted(lost)
    assert ranked[0][0] == "tolley_hearth"  # the only one with filaments, smooth fire and free keys


def test_fewer_compromises_do_not_win_over_less_loss():
    """Ranking is by what is seen: one lamp that is lost outweighs several small differences."""
    lamps = {f"l{n}": {"output": n, "key": f"F{n - 1}", "pattern": STEADY} for n in range(1, 5)}
    shares = [0.03, 0.08, 0.15, 0.25, 0.35, 0.5, 0.75, 0.95]
    rough = said_as(said_of(GLIM) | {"level": {**said_of(GLIM)["level"], "shares": shares}})
    short = said_as(said_of(GLIM) | {"outputs": said_of(GLIM)["outputs"][:3]})
    ranked = suit(effect(**lamps), {"short": short, "rough": rough})
    compromises = {name: len(moved.compiled.compromises) for name, moved in ranked}
    assert compromises["rough"] > compromises["short"]
    assert [name for name, _ in ranked] == ["rough", "short"]


def test_move_on_the_command_line(run, tmp_path):
    code, out, _ = run("move", "firehole_door", "--from", "tolley_hearth", "--to", "withybank_glim")
    assert code == 0
    for text in (
        "output 5, terminal 5",
        "an output that is free",
        "│ 143 │",
        "lost: ",
        "on F0, ",
    ):
        assert text in out
    assert "programming track" in out
    present = tmp_path / "read_back.csv"
    present.write_text("cv,value\n144,185\n")
    code, out, _ = run(
        "move",
        "banked_fire",
        "--from",
        "withybank_glim",
        "--to",
        "tolley_hearth",
        "--present",
        present,
    )
    assert code == 0
    assert "down to 50 % of its brightest" in out


def test_a_move_takes_the_list_that_a_plan_leaves(run, tmp_path):
    """What is read from a locomotive holds more than the look, and so does what a plan writes."""
    (tmp_path / "held.csv").write_text("cv,value\n1,3\n29,6\n31,0\n32,0\n")
    plan = ("plan", "banked_fire", "-d", "tolley_hearth", "--present", "held.csv")
    assert run(*plan, "--after", "now.csv")[0] == 0
    assert "\n31,0,,,\n" in (tmp_path / "now.csv").read_text()  # the page of before
    code, out, err = run(
        "move",
        "banked_fire",
        "--from",
        "tolley_hearth",
        "--to",
        "withybank_glim",
        "--present",
        "now.csv",
    )
    assert (code, err) == (0, "")
    assert "note not in the description, left aside: CV1, CV29\n" in out


def test_suit_on_the_command_line(run, tmp_path):
    mine = tmp_path / "mine.toml"
    from fxstudio.decoder.leaflet.files import shipped as decoder_files

    mine.write_bytes(decoder_files()["tolley_hearth"].read_bytes())
    code, out, _ = run("suit", "banked_fire", mine.name)
    assert code == 0
    assert [name for name in DECODERS if name not in out] == []
    assert "mine.toml" in out
    assert out.index("tolley_hearth") < out.index("withybank_glim")


WRONG = {
    "no such decoder": (
        ["move", "banked_fire", "--from", "nosuch", "--to", "tolley_hearth"],
        "there is no decoder",
    ),
    "no such file": (["suit", "banked_fire", "nosuch.toml"], "there is no such file"),
    "a value that no code has": (
        [
            "move",
            "banked_fire",
            "--from",
            "withybank_glim",
            "--to",
            "tolley_hearth",
            "--present",
            "bad.csv",
        ],
        "is no value of Withybank Glim 4",
    ),
}


@pytest.mark.parametrize("case", WRONG)
def test_wrong_calls_end_with_2_and_one_message(refused, tmp_path, case):
    (tmp_path / "bad.csv").write_text("cv,value\n144,7\n")
    arguments, problem = WRONG[case]
    refused(*arguments, problem=problem)


def test_a_lamp_lit_while_its_key_is_off_may_go_to_an_output_that_needs_no_key():
    data = said_of(CARROW)
    for output in data["outputs"]:
        output["key"] = "always"
    tail = effect(tail={"output": 3, "key": "F9", "while_off": True})
    moved = move(tail, GLIM, said_as(data), shown=Decoded(tail))
    assert moved.compiled.seen.lamps["tail"].key == "always"
    assert {row.seen for row in moved.compiled.compromises} == {"lit without a key"}
