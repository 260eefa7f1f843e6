"""A description written anew says the same, in fewer lines and with every comment."""

from __future__ import annotations

import copy
import tomllib
from collections import Counter

import pytest
from earlier_files import EARLIER_FILES
from hypothesis import given, settings
from hypothesis import strategies as st

from fxstudio.decoder.description.model import Description
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.renewal.renew import proved, renewal_of
from fxstudio.documents.reading import parse
from fxstudio.errors import InputError

TEXTS = {name: path.read_text("utf-8") for name, path in EARLIER_FILES.items()}


def read(text: str) -> Description:
    return parse(Description, tomllib.loads(text))


def outputs(*more: dict) -> list[dict]:
    return [
        {"number": n, "key": f"F{n}", "current_ma": 50} | each for n, each in enumerate(more, 1)
    ]


CODES = [
    {"code": 0, "name": "on", "pattern": {"kind": "steady"}},
    {"code": 1, "name": "glow", "pattern": {"kind": "flicker", "style": "hold", "lowest": 0.5}},
    {"code": 3, "name": "glow", "pattern": {"kind": "flicker", "style": "smooth"}},
    {"code": 2, "name": "glow (1)", "pattern": {"kind": "dark"}},
]
PLAIN = {
    "title": "Fern Gate",
    "function_map": "none",
    "outputs": outputs({}, {}, {}),
    "pwm": {"levels": 100, "refresh_ms": 5.0},
    "rate": {"fixed_hz": 4.0},
    "effect": {"cv": 120, "cv_step": 1, "works": 0, "codes": CODES},
}
LEVEL = {"cv": 130, "cv_step": 1, "bits": 4, "works": 15}
MASK = {"cv": 140, "bit_step": 1, "works": 1}
FORMS = {
    "a fixed rate, two effects of one name, one that is dark": {},
    "one output": {"outputs": outputs({})},
    "outputs with gaps in their numbers": {"outputs": outputs({}, {"number": 4}, {"number": 7})},
    "CVs in a list": {"effect": PLAIN["effect"] | {"cv": [125, 120, 128], "cv_step": 0}},
    "delivered in a list": {"effect": PLAIN["effect"] | {"works": [0, 1, 3]}},
    "bits of which nothing is said": {"level": LEVEL},
    "bits that are kept": {
        "level": LEVEL,
        "keep": [{"what": "motor", "cv": 131, "bit": 4, "bits": 3, "works": 5}],
    },
    "a mask whose bits make it shine": {"forward": MASK},
    "a mask whose bits make it dark": {"reverse": MASK | {"on": 0}},
    "a bit in a CV of its own": {"forward": MASK | {"cv_step": 1, "bit_step": 0}},
    "two masks in one CV": {"forward": MASK, "reverse": MASK | {"bit": 4, "on": 0}},
    "a mask that goes on in the next CV": {"forward": MASK | {"bit": 6}},
    "pages by CV31": {"level": LEVEL | {"cv": 300, "page": [40, 250], "page_step": 1}},
    "pages and CVs at once": {"level": LEVEL | {"cv": 300, "page": [40, 2], "page_step": 2}},
    "steps in a list of shares": {"level": LEVEL | {"shares": [0.1, 0.4, 1.0], "works": 2}},
    "how dark it gets": {"lowest": LEVEL | {"full": 9, "works": 3}},
    "a rate of its CV": {
        "rate": {"cv": 150, "works": 9, "curve": [{"value": 3, "hz": 9.0}, {"value": 9, "hz": 2}]}
    },
    "a long name": {
        "effect": PLAIN["effect"] | {"codes": [CODES[0], CODES[1] | {"name": "g" * 60}]}
    },
}


@pytest.mark.parametrize("change", FORMS.values(), ids=FORMS)
def test_every_form_says_the_same(change):
    earlier = parse(Description, copy.deepcopy(PLAIN | change))
    new = renewal_of("", earlier)
    leaflet = parse(Leaflet, tomllib.loads(new.text))
    assert leaflet.delivered == earlier.works
    assert proved(earlier, new.text) > 300
    assert not new.comments


def test_what_does_not_say_the_same_is_refused():
    earlier = parse(Description, PLAIN)
    text = renewal_of("", earlier).text.replace("lowest = 0.5", "lowest = 0.4")
    with pytest.raises(InputError, match="what output 1 does with CV120 = 1 would be another"):
        proved(earlier, text)


@pytest.mark.parametrize("name", TEXTS)
def test_shipped_ones_become_shorter(name):
    new = renewal_of(TEXTS[name], read(TEXTS[name]))
    assert len(new.text.splitlines()) < 0.75 * len(TEXTS[name].splitlines())
    assert new.cvs == len(read(TEXTS[name]).unnamed) - 14 * (name != "carrow_lantern")
    assert new.rows == {"carrow_lantern": 5, "tolley_hearth": 5, "withybank_glim": 2}[name]


def test_effects_of_one_name_get_names_of_their_own():
    new = renewal_of("", parse(Description, PLAIN))
    assert new.names == {"glow": ("glow (1)*", "glow (3)")}


@settings(max_examples=30, deadline=None)
@given(st.sampled_from(sorted(TEXTS)), st.sets(st.integers(0, 140)), st.booleans())
def test_every_comment_is_kept(name, lines, beside):
    """Comments put anywhere: on lines of their own, or at the ends of lines."""
    old = []
    for at, line in enumerate(TEXTS[name].splitlines()):
        mark = f"# mark {at}"
        if at not in lines:
            old.append(line)
        elif beside and "#" not in line:
            old.append(f"{line} {mark}")
        else:
            old += [mark, line]
    text = "\n".join(old)
    new = renewal_of(text, read(text)).text
    told = Counter(line.strip() for line in new.splitlines() if line.strip().startswith("#"))
    wanted = Counter("#" + line.partition("#")[2] for line in old if "#" in line)
    wanted.subtract(told)
    assert not +wanted


def test_a_comment_stands_by_the_row_that_it_belongs_to():
    old = TEXTS["withybank_glim"].replace("bit = 3\n", "bit = 3  # the fourth bit\n")
    old = old.replace("number = 2\n", "number = 2  # at the rear\n") + "\n# the end\n"
    lines = renewal_of(old, read(old)).text.splitlines()
    assert lines[-1] == "# the end"
    for comment, row in (
        ("# at the rear", "2 = {"),
        ("    # the fourth bit", '    { says = "directions"'),
        ("# seconds at a few values if the manual does not say.", "[[cells]]"),
    ):
        assert lines[lines.index(comment) + 1].startswith(row)
