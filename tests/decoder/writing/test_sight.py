"""What a step says is seen, against a decoder model of the tests' own."""

from __future__ import annotations

import re

import pytest
from decoders import GLIM, TOLLEY
from hypothesis import given, settings
from hypothesis import strategies as st
from own_decoder import UnknownError, light, shown
from strategies import any_values, decoders, legal_values

from fxstudio.dcc.addressing import WAITS
from fxstudio.dcc.cv import CvAddress
from fxstudio.dcc.write_rules import check_list, notes
from fxstudio.decoder.writing.sight import NO_CHANGE, Sight
from fxstudio.effect.lamp import MOST_KEYS
from fxstudio.errors import InputError


@st.composite
def walks(draw):
    """A decoder, what it holds, and some CVs written one after the other."""
    decoder = draw(decoders)
    held = draw(legal_values(decoder))
    aims = draw(st.one_of(legal_values(decoder), any_values(decoder)))
    chosen = draw(st.lists(st.sampled_from(list(aims)), min_size=1, max_size=10))
    return decoder, held, [(cv, aims[cv]) for cv in chosen]


def is_true(statement: str, decoder, held) -> bool:
    """Whether `output 3 stays dark: why` or `output 3 is switched by any of F1, F2` holds."""
    _, number, verb, *rest = statement.split()
    lit = light(decoder, int(number), held)
    if verb == "stays":
        return not lit
    keys = {word.strip(",;") for word in rest if word.startswith("F")}
    if "ways" in rest:
        return len({key for key, _ in lit}) > MOST_KEYS
    return verb == "is" and keys <= {key for key, _ in lit}


@settings(max_examples=60, deadline=None)
@given(walks())
def test_each_step_says_what_is_so(walk):
    decoder, held, writes = walk
    sight = Sight(decoder, held)
    numbers = [output.number for output in decoder.outputs]
    for cv, value in writes:
        before = shown(decoder, numbers, held)
        held = {**held, cv: value}
        now = shown(decoder, numbers, held)
        said = sight.write(cv, value)
        changed = [n for n in numbers if now[n] != before[n] and now[n] is not None]
        if None not in now.values():
            assert (said == NO_CHANGE) == (not changed)
        for part in said.split("; "):
            try:
                if part.startswith("no longer: "):
                    assert not is_true(part.removeprefix("no longer: "), decoder, held)
                elif " stays dark" in part or " is switched by" in part:
                    assert is_true(part, decoder, held)
                elif part.startswith("output ") and "cannot be foretold" not in part:
                    number = int(part.split()[1].strip(":"))
                    assert (part.endswith(": dark")) == (now[number] == {})
            except UnknownError:
                assert "foretold" in part


def test_a_lamp_that_stays_dark_for_another_reason_is_not_said_to_shine():
    level, key = CvAddress(264, (40, 2)), CvAddress(35)
    sight = Sight(TOLLEY, {**TOLLEY.delivered, level: 0, key: 0})
    assert sight.write(key, 4) == NO_CHANGE
    assert sight.write(level, 255) == "output 3: steady at 100 %, on F1, both directions"


def test_only_the_lamp_that_is_not_understood_cannot_be_foretold():
    sight = Sight(GLIM, {**GLIM.delivered, CvAddress(144): 252})
    assert sight.write(CvAddress(143), 152) == "output 3: brightness 34.9 % instead of 100 %"
    assert sight.write(CvAddress(144), 253).startswith("output 4: flash every 1 s")


def test_keys_are_told_in_their_order():
    keys = [cell for cell in TOLLEY.concerned[4] if cell.standard][2:5]
    held = {**TOLLEY.delivered, **{cell.cv: 8 for cell in keys}}
    said = Sight(TOLLEY, held).write(CvAddress(261, (40, 3)), 1)
    assert re.findall(r"on (F\d+), forward only", said) == [f"F{n}" for n in (1, 2, 3)]


def test_when_half_a_long_address_counts_is_said_in_one_way():
    """NMRA S-9.2.1 (2012), C: the two are a pair; read in a public retyped copy."""
    fact = "CV17 counts once CV18 is written"
    assert WAITS.endswith(fact)
    assert any(fact in note for note in notes([(17, 192)], "main"))
    with pytest.raises(InputError) as caught:
        check_list([(18, 1), (17, 192)])
    assert fact in caught.value.remedy
