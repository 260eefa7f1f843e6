"""The values for an effect, and every compromise in words."""

from __future__ import annotations

import pytest
from decoders import (
    CARROW,
    FLICKER,
    GLIM,
    STEADY,
    TOLLEY,
    UNGATED,
    effect,
    l_star,
    said_as,
    said_of,
)

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.errors import InputError


def written(compiled) -> dict[str, int]:
    return {str(row.cv): row.value for row in compiled.values}


def test_only_the_cvs_concerned_are_written():
    compiled = compile_effect(effect(bed={"output": 3, "key": "F1"}), GLIM)
    assert written(compiled) == {"CV35": 4, "CV143": 248}
    assert compiled.changes == {}


def test_a_key_moves_an_output_and_leaves_the_others_on_its_cvs():
    compiled = compile_effect(effect(flames={"output": 4, "key": "F1"}), GLIM)
    # F1 keeps output 3 (4) and gets output 4 (8); F2 loses it.
    assert written(compiled) == {"CV35": 12, "CV36": 0, "CV144": 248}
    assert compiled.compromises == ()


@pytest.mark.parametrize(
    ("travel", "cvs"),
    [("forward", {"CV33": 9}), ("reverse", {"CV34": 10}), ("both", {"CV33": 9, "CV34": 10})],
)
def test_f0_has_a_cv_for_each_direction(travel, cvs):
    compiled = compile_effect(effect(x={"output": 4, "key": "F0", "travel": travel}), GLIM)
    mapped = {cv: value for cv, value in written(compiled).items() if len(cv) == 4}
    assert mapped == {**cvs, "CV36": 0}
    assert compiled.seen.lamps["x"].travel == travel


def test_a_front_light_in_reverse_takes_the_forward_bit_away():
    """Its own directions stay: F0 lights it in reverse only."""
    compiled = compile_effect(effect(x={"output": 1, "travel": "reverse"}), GLIM)
    assert written(compiled) == {"CV33": 0, "CV34": 3, "CV141": 0 + 8 * 3 + 32 * 7}


def test_masks_share_their_cv():
    lamps = {
        "bed": {"output": 3, "key": "F1", "travel": "forward"},
        "flames": {"output": 4, "key": "F2", "travel": "reverse"},
    }
    compiled = compile_effect(effect(**lamps), CARROW)
    assert {cv: value for cv, value in written(compiled).items() if cv in ("CV137", "CV138")} == {
        "CV137": 0b110111,
        "CV138": 0b111011,
    }
    assert compiled.compromises == ()


def test_pages_follow_the_output_and_stand_together():
    lamps = {"a": {"output": 9, "key": "F7"}, "b": {"output": 10, "key": "F8", "pattern": FLICKER}}
    compiled = compile_effect(effect(4.0, **lamps), TOLLEY)
    assert [(row.cv.page, row.cv.number, row.value) for row in compiled.values] == [
        (None, 41, 32),
        (None, 42, 64),
        ((40, 8), 260, 1),
        ((40, 8), 261, 0),
        ((40, 8), 264, 255),
        ((40, 9), 260, 4),
        ((40, 9), 261, 0),
        ((40, 9), 264, 255),
        ((40, 9), 265, 0),
        ((40, 100), 270, 60),
    ]


def test_values_say_what_they_mean():
    lamps = {
        "bed": {"output": 3, "key": "F1", "pattern": {"kind": "steady", "level": 0.349}},
        "flames": {"output": 4, "key": "F1", "pattern": FLICKER},
    }
    rows = {str(row.cv): row for row in compile_effect(effect(**lamps), GLIM).values}
    assert {cv: row.meaning for cv, row in rows.items()} == {
        "CV35": "F1 switches bed (output 3), flames (output 4)",
        "CV36": "F2 switches nothing",
        "CV143": "bed (output 3): steady, both directions, level 35 %",
        "CV144": "flames (output 4): gutter, both directions, level 100 %",
        "CV149": "shared rate 5 Hz",
    }
    assert rows["CV143"].binary == "10011000"
    assert rows["CV143"].delivered == 248


def test_a_mask_says_which_outputs_it_lets_shine():
    bed = {"output": 3, "key": "F1", "travel": "forward"}
    rows = {str(row.cv): row for row in compile_effect(effect(bed=bed), CARROW).values}
    assert rows["CV138"].meaning == "bed (output 3): forward only"


def smooth(**fields: float) -> dict:
    return {"kind": "flicker", "style": "smooth", "lowest": 0.1, "highest": 1.0, **fields}


HOLD_02 = {**FLICKER, "lowest": 0.206}
FLASH = {"kind": "flash", "period_s": 1.5, "lowest": 0.0}
RESISTOR = ", or dim it by its resistor"
# decoder, lamp, what, asked, seen, remedy
COMPROMISES = [
    (
        GLIM,
        {"output": 4, "key": "F2", "pattern": {**HOLD_02, "style": "smooth"}},
        "flicker style",
        "smooth",
        "hold",
        'set style = "hold" in the effect, the nearest it can do',
    ),
    (
        GLIM,
        {"output": 4, "key": "F2", "pattern": {**FLICKER, "lowest": 0.3}},
        "lowest brightness",
        "30 %",
        "20.6 %",
        "set lowest = 0.206 in the effect, the nearest it can do",
    ),
    (
        GLIM,
        {"output": 4, "key": "F2", "pattern": {**FLICKER, "highest": 0.9}},
        "highest brightness",
        "90 %",
        "100 %",
        "set highest = 1 in the effect, the nearest it can do",
    ),
    (
        GLIM,
        {"output": 4, "key": "F2", "pattern": {**FLICKER, "highest": 0.86}},
        "highest brightness",
        "86 %",
        "74.6 %",
        "set highest = 0.746 in the effect, the nearest it can do",
    ),
    (
        GLIM,
        {"output": 3, "key": "F1", "pattern": {"kind": "steady", "level": 0.4}},
        "brightness",
        "40 %",
        "34.9 %",
        "set level = 0.349 in the effect, the nearest it can do",
    ),
    (
        GLIM,
        {"output": 3, "key": "F1", "pattern": FLASH},
        "time from flash to flash",
        "1.5 s",
        "1 s",
        "set period_s = 1 in the effect, the nearest it can do",
    ),
    (
        GLIM,
        {"output": 3, "key": "F1", "pattern": {"kind": "filament"}},
        "pattern",
        "steady at 100 %, up and down slowly",
        "steady at 100 %",
        'set pattern = { kind = "steady", level = 1 } in the effect, '
        "Withybank Glim 4 has no filament; it has steady, flicker, flash",
    ),
    (
        CARROW,
        {"output": 4, "key": "F2", "pattern": {"kind": "beat", "lowest": 0.1}},
        "pattern",
        "exhaust beat, 10 % to 100 %",
        "smooth flicker, 32.5 % to 92.9 %",
        'set pattern = { kind = "flicker", lowest = 0.325, highest = 0.929, style = "smooth" } in '
        "the effect, Carrow Lantern 6 has no beat; it has steady, flicker, flash, filament",
    ),
    (
        GLIM,
        {"output": 3, "key": "F13"},
        "key",
        "F13",
        "F1",
        'set key = "F1" in the effect, one of the keys that reach output 3: F0, F1, F2, F3',
    ),
    (
        GLIM,
        {"output": 3, "key": "F4"},
        "key",
        "F4",
        "F1",
        'set key = "F1" in the effect, one of the keys that reach output 3: F0, F1, F2, F3',
    ),
    (
        TOLLEY,
        {"output": 9, "key": "F0"},
        "key",
        "F0",
        "F7",
        'set key = "F7" in the effect, one of the keys that reach output 9: '
        "F4, F5, F6, F7, F8, F9, F10, F11, F12",
    ),
    (
        GLIM,
        {"output": 3, "key": "always"},
        "key",
        "lit without a key",
        "F1",
        'set key = "F1" in the effect, '
        "this decoder needs a key for every output: leave that key on",
    ),
    (
        CARROW,
        {"output": 3, "key": "F2"},
        "key",
        "F2",
        "F1",
        'set key = "F1" in the effect, the keys of this decoder are fixed',
    ),
    (
        CARROW,
        {"output": 6, "key": "F2"},
        "key",
        "F2",
        "lit without a key",
        'set key = "always" in the effect, the keys of this decoder are fixed',
    ),
    (
        CARROW,
        {"output": 1, "key": "F0"},
        "travel",
        "both directions",
        "forward only",
        'set travel = "forward" in the effect, or use another output',
    ),
    (
        CARROW,
        {"output": 1, "key": "F0", "travel": "reverse"},
        "travel",
        "reverse only",
        "forward only",
        'set travel = "forward" in the effect, or use another output',
    ),
]


@pytest.mark.parametrize(
    ("decoder", "lamp", "what", "asked", "seen", "remedy"),
    COMPROMISES,
    ids=[f"{row[0].title.split()[0]}-{row[2]}-{row[3]}" for row in COMPROMISES],
)
def test_a_compromise_in_words(decoder, lamp, what, asked, seen, remedy):
    (found,) = compile_effect(effect(x=lamp), decoder).compromises
    assert (found.lamp, found.what, found.asked, found.seen) == ("x", what, asked, seen)
    assert found.remedy.partition(RESISTOR)[0] == remedy
    told = str(found).partition(RESISTOR)[0]
    assert told == f"x: {what}: {asked} asked, {seen} will be seen; {remedy}"


def steady_only() -> Leaflet:
    """Tolley Hearth 10 without any pattern but a steady light."""
    data = said_of(TOLLEY)
    data["effect"] |= {"codes": [{"code": 1, "name": "on", "pattern": STEADY}], "works": 1}
    return said_as(data)


@pytest.mark.parametrize(
    ("pattern", "shares"),
    [
        ({"kind": "flash", "on_share": 0.1}, {1.0: 0.1, 0.0: 0.9}),
        (
            {"kind": "flash", "on_share": 0.25, "lowest": 0.2, "highest": 0.6},
            {0.6: 0.25, 0.2: 0.75},
        ),
        (
            {"kind": "flicker", "style": "hold", "lowest": 0.2, "highest": 0.8},
            {0.2 + 0.6 * (n + 0.5) / 100: 0.01 for n in range(100)},
        ),
        ({"kind": "filament", "level": 0.7}, {0.7: 1.0}),
    ],
    ids=["short flash", "weak flash", "even spread", "filament"],
)
def test_a_steady_stand_in_is_as_light_in_the_mean(pattern, shares):
    """Mean lightness L* over the shares of time; steps of the decoder are up to 1.4 L* there."""
    lamp = {"output": 3, "key": "F1", "pattern": pattern}
    seen = compile_effect(effect(x=lamp), steady_only()).seen.lamps["x"].pattern
    mean = sum(l_star(light) * share for light, share in shares.items())
    assert seen.kind == "steady"
    assert l_star(seen.level) == pytest.approx(mean, abs=0.75)


def test_a_lamp_on_an_output_the_decoder_lacks_is_left_out():
    compiled = compile_effect(effect(a={"output": 3, "key": "F1"}, b={"output": 9}), GLIM)
    assert list(compiled.seen.lamps) == ["a"]
    (found,) = compiled.compromises
    assert str(found) == (
        "b: output: output 9 asked, nothing will be seen; "
        "set output = 1 in the effect, Withybank Glim 4 has outputs 1, 2, 3, 4"
    )


def test_without_any_lamp_on_an_output_there_is_nothing_to_write():
    with pytest.raises(InputError, match="no lamp of the effect is on an output of") as caught:
        compile_effect(effect(b={"output": 9}), GLIM)
    assert caught.value.allowed == "outputs 1, 2, 3, 4"


@pytest.mark.parametrize(
    ("rate_hz", "value", "seen"), [(20.0, 200, "16 Hz"), (0.3, 0, "0.5 Hz"), (5.0, 100, None)]
)
def test_a_rate_out_of_reach_is_told(rate_hz, value, seen):
    compiled = compile_effect(
        effect(rate_hz, x={"output": 4, "key": "F2", "pattern": FLICKER}), GLIM
    )
    assert compiled.by_cv[CvAddress(149)] == value
    assert [str(found) for found in compiled.compromises] == (
        [
            f"shared rate: {rate_hz:g} Hz asked, {seen} will be seen; set rate_hz = "
            f"{seen.split()[0]} in the effect, the nearest it can do between 0.5 Hz and 16 Hz"
        ]
        if seen
        else []
    )


def test_a_rate_rounded_by_more_than_a_hundredth_is_told():
    lamp = {"output": 4, "key": "F2", "pattern": smooth()}
    (found,) = compile_effect(effect(7.0, x=lamp), CARROW).compromises
    assert (found.asked, found.seen) == ("7 Hz", "6.77 Hz")


def test_travel_that_no_field_gates():
    (found,) = compile_effect(
        effect(x={"output": 4, "key": "F2", "travel": "reverse"}), UNGATED
    ).compromises
    assert str(found) == (
        "x: travel: reverse only asked, both directions will be seen; "
        'set key = "F0" in the effect, the key that can tell the directions apart on this output'
    )
    on_f0 = effect(x={"output": 4, "key": "F0", "travel": "reverse"})
    assert compile_effect(on_f0, UNGATED).compromises == ()


def test_two_levels_of_dimming_leave_dark_and_full():
    data = said_of(GLIM) | {"pwm": {"levels": 2, "refresh_ms": 8.0}}
    bed = {"output": 3, "key": "F1", "pattern": {"kind": "steady", "level": 0.6}}
    (found,) = compile_effect(effect(bed=bed), said_as(data)).compromises
    assert (found.asked, found.seen) == ("60 %", "100 %")
    bed["pattern"]["level"] = 0.9
    compiled = compile_effect(effect(bed=bed), said_as(data))
    # Levels 6 and 7 both come out full: the one as delivered stays.
    assert written(compiled) == {"CV35": 4, "CV143": 248}


@pytest.mark.parametrize(("level", "told"), [(0.361, False), (0.363, True)])
def test_a_brightness_is_told_from_one_l_star_on(level, told):
    bed = {"output": 3, "key": "F1", "pattern": {"kind": "steady", "level": level}}
    compiled = compile_effect(effect(bed=bed), GLIM)
    assert compiled.seen.lamps["bed"].pattern.level == pytest.approx(22 / 63)
    assert (l_star(level) - l_star(22 / 63) > 1) == told == bool(compiled.compromises)


@pytest.mark.parametrize("decoder", [TOLLEY, CARROW], ids=lambda decoder: decoder.title)
def test_a_steady_light_stays_steady_where_the_decoder_has_a_level_as_near(decoder):
    """No flicker is chosen for a difference in brightness that nobody sees."""
    for hundredths in range(4, 101, 3):
        level = hundredths / 100
        lamp = {"output": 4, "key": "F2", "pattern": {"kind": "steady", "level": level}}
        seen = compile_effect(effect(x=lamp), decoder).seen.lamps["x"].pattern
        assert seen.kind == "steady", level


@pytest.mark.parametrize(("start", "code"), [(0.0, 21), (0.5, 22)])
def test_where_a_flash_begins_tells_two_codes_apart(start, code):
    blink = {"kind": "flash", "lowest": 0.0, "period_s": 1.2, "on_share": 0.5, "start_share": start}
    compiled = compile_effect(effect(x={"output": 3, "key": "F1", "pattern": blink}), CARROW)
    assert compiled.by_cv[CvAddress(133)] == code
    assert compiled.compromises == ()


def test_a_flicker_that_stands_still_is_a_steady_light():
    still = {"kind": "flicker", "lowest": 0.6, "highest": 0.6}
    compiled = compile_effect(effect(x={"output": 3, "key": "F1", "pattern": still}), TOLLEY)
    assert compiled.compromises == ()
    assert compiled.seen.lamps["x"].pattern.brightest == pytest.approx(0.6, abs=0.004)
