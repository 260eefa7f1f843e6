"""Values that are none of the manual's, and bits that it gives to something else."""

from __future__ import annotations

import pytest
from decoders import GLIM, effect
from fxstudio.decoder.values.explain import explains
from own_decoder import UnknownError, light

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.decode import decode
from fxstudio.decoder.writing.plan import plan
from fxstudio.documents.reading import parse
from fxstudio.errors import InputError

BED = CvAddress(143)


def coded(*keep: dict) -> Description:
    """CV143 of output 3 holds 0 to 20 and no more: effect 0 to 4, and 8 x travel 0 to 2."""
    data = GLIM.model_dump(exclude_unset=True, exclude={"level"})
    data["effect"] |= {
        "codes": [
            {"code": n, "name": f"n{n}", "pattern": {"kind": kind}}
            for n, kind in enumerate(("dark", "steady", "flicker", "flash", "filament"))
        ],
        "works": 1,
    }
    data["travel"] |= {
        "codes": [
            {"code": 0, "travel": "both"},
            {"code": 1, "travel": "forward"},
            {"code": 2, "travel": "reverse"},
        ],
        "works": 0,
    }
    return parse(Description, data | {"keep": list(keep)})


MOTOR = {"what": "start of the motor", "cv": 143, "bit": 6, "bits": 2, "works": 1}
FLAMES = effect(x={"output": 3, "key": "F1", "pattern": {"kind": "flicker", "lowest": 0.0}})


@pytest.mark.parametrize(
    ("decoder", "held", "written"),
    [
        (coded(), 200, 2),
        (coded(), 0b00100010, 2),
        (coded(), 0b00011010, 2),
        (coded(MOTOR), 0b11000001, 0b11000010),
        (coded(MOTOR), 0b11100001, 0b11000010),
    ],
    ids=["200", "a bit too many", "a travel code too many", "motor kept", "motor kept, one not"],
)
def test_only_bits_that_are_named_are_kept(decoder, held, written):
    made = plan(compile_effect(FLAMES, decoder), {**decoder.works, BED: held}, decoder)
    assert [step.value for step in made.steps if step.cv == BED] == [written]
    back = next(step for step in made.restore if step.cv == BED)
    assert back.value == held
    motor = 0b11000000 if decoder.keep else 0  # the bits of another stay as they were found
    works = decoder.works[BED] & ~motor | held & motor
    unexplained = f"back: a value that the description does not explain; write {works} instead"
    assert back.why.startswith(unexplained) == (not explains(decoder, BED, held))


def test_a_value_with_the_right_code_and_another_bit_is_written_too():
    decoder = coded()
    made = plan(compile_effect(FLAMES, decoder), {**decoder.works, BED: 0b01000010}, decoder)
    assert [step.value for step in made.steps if step.cv == BED] == [2]


@pytest.mark.parametrize("keep", [(), (MOTOR,)], ids=["none named", "two named"])
@pytest.mark.parametrize("value", range(256))
def test_what_is_explained_is_read_and_nothing_else(keep, value):
    decoder, known = coded(*keep), True
    held = {**decoder.works, BED: value}
    try:
        light(decoder, 3, held)
    except UnknownError:
        known = False
    assert explains(decoder, BED, value) == known
    if known:
        decode(held, decoder, FLAMES)
    else:
        with pytest.raises(InputError, match=r"is no value of|means nothing to"):
            decode(held, decoder, FLAMES)


def test_bits_of_something_else_are_as_delivered_if_nobody_read_them():
    decoder = coded(MOTOR)
    assert decoder.works[BED] == 0b01000001
    assert compile_effect(FLAMES, decoder).by_cv[BED] == 0b01000010


def test_codes_of_other_outputs_in_the_cv_stay():
    data = GLIM.model_dump(exclude_unset=True, exclude={"level", "travel"})
    data["effect"] |= {"cv": 141, "cv_step": 0, "bits": 2, "bit_step": 2}
    data["effect"]["codes"] = data["effect"]["codes"][:3]
    decoder = parse(Description, data)
    held = {**decoder.works, CvAddress(141): 0b11_00_10_01}  # output 4 holds 3: no code
    made = plan(compile_effect(FLAMES, decoder), held, decoder)
    assert [step.value for step in made.steps if step.cv.number == 141] == [0b00_10_10_01]


@pytest.mark.parametrize(
    ("value", "told"),
    [
        (0b00100010, "what bit 5 means"),
        (0b01100010, "what bits 5 and 6 mean"),
        (0b11100010, "what bits 5, 6 and 7 mean"),
    ],
)
def test_bits_of_which_nothing_is_said_are_named(value, told):
    with pytest.raises(InputError, match=told):
        decode({BED: value}, coded(), FLAMES)
