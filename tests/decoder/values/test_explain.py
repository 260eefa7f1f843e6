"""Values that are none of the manual's, and bits that it gives to something else."""

from __future__ import annotations

import pytest
from decoders import GLIM, effect, said_as, said_of
from own_decoder import UnknownError, light

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.decode import decode
from fxstudio.decoder.writing.plan import plan
from fxstudio.errors import InputError

BED = CvAddress(143)


def coded(*keep: dict) -> Leaflet:
    """CV143 of output 3 holds 0 to 20 and no more: effect 0 to 4, and 8 x travel 0 to 2."""
    data = said_of(GLIM)
    del data["level"]
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
    return said_as(data | {"keep": list(keep)})


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
    made = plan(compile_effect(FLAMES, decoder), {**decoder.delivered, BED: held}, decoder)
    assert [step.value for step in made.steps if step.cv == BED] == [written]
    back = next(step for step in made.restore if step.cv == BED)
    assert back.value == held
    motor = (
        0b11000000 if any(part.others for part in decoder.cells[BED].parts) else 0
    )  # the bits of another stay as they were found
    works = decoder.delivered[BED] & ~motor | held & motor
    unexplained = f"back: a value that the leaflet does not allow; write {works} instead"
    assert back.why.startswith(unexplained) == (held not in decoder.cells[BED].table)


def test_a_value_with_the_right_code_and_another_bit_is_written_too():
    decoder = coded()
    made = plan(compile_effect(FLAMES, decoder), {**decoder.delivered, BED: 0b01000010}, decoder)
    assert [step.value for step in made.steps if step.cv == BED] == [2]


@pytest.mark.parametrize("keep", [(), (MOTOR,)], ids=["none named", "two named"])
@pytest.mark.parametrize("value", range(256))
def test_what_is_explained_is_read_and_nothing_else(keep, value):
    decoder, known = coded(*keep), True
    held = {**decoder.delivered, BED: value}
    try:
        light(decoder, 3, held)
    except UnknownError:
        known = False
    assert (value in decoder.cells[BED].table) == known
    if known:
        decode(held, decoder, FLAMES)
    else:
        with pytest.raises(InputError, match="is no value of"):
            decode(held, decoder, FLAMES)


def test_bits_of_something_else_are_as_delivered_if_nobody_read_them():
    decoder = coded(MOTOR)
    assert decoder.delivered[BED] == 0b01000001
    assert compile_effect(FLAMES, decoder).by_cv[BED] == 0b01000010


def test_codes_of_other_outputs_in_the_cv_stay():
    data = said_of(GLIM)
    del data["level"], data["travel"]
    data["effect"] |= {"cv": 141, "cv_step": 0, "bits": 2, "bit_step": 2}
    data["effect"]["codes"] = data["effect"]["codes"][:3]
    decoder = said_as(data)
    held = {**decoder.delivered, CvAddress(141): 0b11_00_10_01}  # output 4 holds 3: no code
    assert decoder.cells[CvAddress(141)].mended(0b11_00_10_01) == 0b00_00_10_01
    made = plan(compile_effect(FLAMES, decoder), held, decoder)
    assert [step.value for step in made.steps if step.cv.number == 141] == [0b00_10_10_01]
