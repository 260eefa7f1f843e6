"""Decoder descriptions: the shipped ones are sound, and each mistake is told once and clearly."""

from __future__ import annotations

import copy
import tomllib

import pytest
from earlier_files import EARLIER_FILES
from pydantic import BaseModel

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.description.fields import EffectCode
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.leaflet.files import find_description, read_earlier
from fxstudio.documents.reading import parse
from fxstudio.effect.patterns import KINDS
from fxstudio.errors import InputError, ReadError, counted

SHIPPED = {name: read_earlier(path) for name, path in EARLIER_FILES.items()}
GLIM = tomllib.loads(EARLIER_FILES["withybank_glim"].read_text("utf-8"))
CARROW = tomllib.loads(EARLIER_FILES["carrow_lantern"].read_text("utf-8"))
TOLLEY = tomllib.loads(EARLIER_FILES["tolley_hearth"].read_text("utf-8"))


def test_three_styles_of_coding_ship():
    glim, carrow, tolley = (
        SHIPPED[name] for name in ("withybank_glim", "carrow_lantern", "tolley_hearth")
    )
    assert len({field.bits_of(0).address for field in glim.fields.values()}) == 1
    assert carrow.forward.bits_of(0).address == carrow.forward.bits_of(5).address == CvAddress(137)
    pages = {field.bits_of(9).address.page for field in tolley.fields.values()}
    assert pages == {(40, 9)}
    assert {len(d.outputs) for d in SHIPPED.values()} == {4, 6, 10}
    assert {d.function_map for d in SHIPPED.values()} == {"s-9.2.2", "none"}


def test_the_shipped_decoders_differ_in_what_they_can_do():
    styles = {
        name: {row.pattern.style for row in d.effect.codes if row.pattern.kind == "flicker"}
        for name, d in SHIPPED.items()
    }
    assert styles == {
        "withybank_glim": {"hold"},
        "carrow_lantern": {"smooth"},
        "tolley_hearth": {"hold", "smooth"},
    }
    has = {row.pattern.kind for d in SHIPPED.values() for row in d.effect.codes}
    assert has == set(KINDS)


def test_works_values_are_composed_from_all_fields():
    glim = SHIPPED["withybank_glim"]
    # Effect 0, travel 3 from bit 3, level 7 from bit 5.
    assert glim.works[CvAddress(143)] == 0 + 8 * 3 + 32 * 7
    # The standard's own value stays for outputs the decoder lacks: F3 switches output 5.
    assert [glim.works[CvAddress(n)] for n in range(33, 38)] == [1, 2, 4, 8, 16]


def test_bits_run_on_into_the_next_cv():
    data = copy.deepcopy(CARROW)
    data["forward"] |= {"cv": 60, "bit": 5}
    forward = parse(Description, data).forward
    assert [(forward.bits_of(i).address.number, forward.bits_of(i).bit) for i in (0, 2, 3, 5)] == [
        (60, 5),
        (60, 7),
        (61, 0),
        (61, 2),
    ]


def test_cvs_and_works_may_be_listed_output_by_output():
    data = copy.deepcopy(CARROW)
    data["level"] |= {"cv": [121, 125, 129, 130, 140, 141], "works": [100, 100, 50, 50, 0, 100]}
    del data["level"]["cv_step"]
    level = parse(Description, data).level
    assert (level.bits_of(1).address.number, level.works_code(2)) == (125, 50)


def test_rate_curves_may_fall():
    carrow = SHIPPED["carrow_lantern"].rate
    assert carrow.hz(5) > carrow.hz(200)
    assert carrow.nearest(1.0) == 100
    assert carrow.nearest(25.0) == carrow.lowest
    # 15 Hz and 12.5 Hz: a ratio of 1.093 and of 1.098, though 12.5 is nearer by difference.
    assert (carrow.nearest(13.72), carrow.hz(7), carrow.hz(8)) == (7, 15.0, 12.5)


def test_an_unknown_name_is_told_what_there_is(tmp_path):
    with pytest.raises(ReadError) as caught:
        find_description("withybank_glum")
    assert "there is no decoder description of this name" in str(caught.value)
    assert "did you mean 'withybank_glim'?" in str(caught.value)
    own = tmp_path / "my_own.toml"
    own.write_text("")
    assert find_description(str(own)) == own


def put(data, path, value):
    """A copy of `data` with `value` at `path`; None removes it."""
    data = copy.deepcopy(data)
    here = data
    *way, last = path
    for part in way:
        here = here[part]
    if value is None:
        del here[last]
    else:
        here[last] = value
    return data


STEADY = {"kind": "steady"}
# (description, where, what is put there, field named, problem, allowed)
MISTAKES = [
    (GLIM, ["title"], None, "title", "is missing", "text"),
    (GLIM, ["tilte"], "x", "tilte", "is not a known field", "title, note"),
    (
        GLIM,
        ["function_map"],
        "own",
        "function_map",
        "is not one of the choices",
        '"s-9.2.2", "none"',
    ),
    (
        GLIM,
        ["outputs", 1, "number"],
        1,
        "outputs.1.number",
        "comes after output 1",
        "each output once, in order of their numbers",
    ),
    (GLIM, ["outputs", 0, "current_ma"], 0, "outputs.0.current_ma", "is too small", "above 0"),
    (GLIM, ["outputs", 2, "key"], "F99", "outputs.2.key", "is not a function key", "F0 to F28"),
    (
        GLIM,
        ["outputs", 2, "key"],
        "F4",
        "outputs.2.key",
        "the function map cannot give output 3 this key",
        "F0, F1, F2, F3",
    ),
    (
        GLIM,
        ["outputs", 2, "key"],
        "always",
        "outputs.2.key",
        "the function map cannot give output 3 this key",
        "F0, F1, F2, F3",
    ),
    (
        GLIM,
        ["outputs", 2, "travel"],
        "forward",
        "outputs.2.travel",
        "the function map cannot tell directions apart for F1",
        '"both", or the key F0',
    ),
    (GLIM, ["pwm", "levels"], 1, "pwm.levels", "is too small", "from 2"),
    (
        GLIM,
        ["effect", "cv"],
        "141",
        "effect.cv",
        "is neither a whole number nor a list of them",
        "a whole number, or a list with one for each output",
    ),
    (
        GLIM,
        ["effect", "cv"],
        [141, 142],
        "effect.cv",
        "has 2 entries for 4 outputs",
        "a list with one for each output",
    ),
    (
        GLIM,
        ["effect", "cv"],
        [150, 151, 152, 153],
        "effect.cv_step",
        "has no use where cv is a list",
        "leave it out",
    ),
    (GLIM, ["effect", "cv"], 1025, "effect.cv.0", "is too large", "from 1 to 1024"),
    (
        GLIM,
        ["effect", "cv"],
        5,
        "effect.cv",
        "output 1: CV5 is not in a range left to makers",
        "47 to 64, 112 to 256, 513 to 879",
    ),
    (
        GLIM,
        ["effect", "cv"],
        7,
        "effect.cv",
        "output 1: CV7 holds the maker's version number and cannot be written",
        "47 to 64",
    ),
    (GLIM, ["effect", "cv"], 34, "effect.cv", "output 1: CV34 is a CV of the function map", "47"),
    (
        GLIM,
        ["effect", "cv"],
        62,
        "effect.cv",
        "output 4: CV65 is not in a range left to makers",
        "47 to 64",
    ),
    (
        GLIM,
        ["effect", "cv"],
        255,
        "effect.cv",
        "output 3: CV257 needs a page: CV31 and CV32 select it",
        "257 to 512 with a page",
    ),
    (GLIM, ["effect", "page"], [40, 0], "effect.cv", "output 1: CV141 has no pages", "47 to 64"),
    (
        TOLLEY,
        ["effect", "page"],
        [15, 0],
        "effect.page",
        "output 1: CV31 = 15, CV32 = 0 is no page for makers",
        "CV31 from 16 to 255",
    ),
    (
        TOLLEY,
        ["effect", "page"],
        [40, 250],
        "effect.page",
        "output 7: CV31 = 40, CV32 = 256 is no page for makers",
        "CV32 from 0 to 255",
    ),
    (
        GLIM,
        ["effect", "bit"],
        6,
        "effect.bits",
        "output 1: goes past bit 7: 3 bits from bit 6",
        "bits that all lie in one CV",
    ),
    (
        GLIM,
        ["travel", "bit"],
        2,
        "travel.cv",
        "the effect of output 1 and the travel of output 1 both use bit 2 of CV141",
        "bit_step",
    ),
    (
        GLIM,
        ["level", "cv_step"],
        0,
        "level.cv",
        "one level for several outputs cannot be described: CV141 bits 5 to 7 would serve outputs "
        "1, 2, 3 and 4 at once",
        "cv_step",
    ),
    (
        CARROW,
        ["level", "cv_step"],
        0,
        "level.cv",
        "one level for several outputs cannot be described: CV121 would serve outputs 1, 2, 3, 4, "
        "5 and 6 at once",
        "If the manual says that one code serves them all",
    ),
    (
        CARROW,
        ["keep"],
        [{"what": "motor", "cv": 137, "bit": 5, "bits": 2}],
        "keep.0.bit",
        "CV137 bits 5 to 6 is in use by an output, or kept already",
        "bits that nothing else uses",
    ),
    (
        CARROW,
        ["keep"],
        [{"what": "motor", "cv": 60, "bits": 2}],
        "keep.0.cv",
        "is no CV in which an output keeps anything",
        "CV131, CV132",
    ),
    (
        CARROW,
        ["keep"],
        [{"what": "motor", "cv": 137, "bit": 7, "bits": 2}],
        "keep.0.bits",
        "goes past bit 7: 2 bits from bit 7",
        "all lie in one CV",
    ),
    (
        CARROW,
        ["keep"],
        [{"what": "motor", "cv": 137, "bit": 7, "bits": 1, "works": 2}],
        "keep.0.works",
        "does not fit its bits",
        "0 to 1, as it has 1 bits",
    ),
    (
        GLIM,
        ["rate", "cv"],
        142,
        "effect.cv",
        "the shared rate and the effect of output 2 both use bit 0 of CV142",
        "cv_step",
    ),
    (GLIM, ["effect", "codes"], [], "effect.codes", "is empty", "a list"),
    (
        GLIM,
        ["effect", "codes", 4, "code"],
        8,
        "effect.codes.4.code",
        "does not fit its bits",
        "0 to 7, as it has 3 bits",
    ),
    (
        GLIM,
        ["effect", "codes", 1, "code"],
        0,
        "effect.codes.1.code",
        "stands twice",
        "each code once",
    ),
    (
        GLIM,
        ["effect", "codes", 0, "pattern"],
        {"kind": "glow"},
        "effect.codes.0.pattern.kind",
        "is of an unknown kind",
        "'steady', 'flicker'",
    ),
    (
        GLIM,
        ["effect", "codes", 1, "pattern", "lowest"],
        1.5,
        "effect.codes.1.pattern.lowest",
        "is too large",
        "from 0 to 1",
    ),
    (
        GLIM,
        ["effect", "codes", 0, "pattern"],
        {"kind": "filament"},
        "effect.codes",
        "has no steady light",
        "at least",
    ),
    (GLIM, ["effect", "works"], 4, "effect.works", "is not one of its codes", "0, 1, 2, 3, 5"),
    (GLIM, ["effect", "works"], [0, 0, 0, 6], "effect.works", "is not one of its codes", "0, 1"),
    (
        GLIM,
        ["travel", "codes", 1, "travel"],
        "ahead",
        "travel.codes.1.travel",
        "is not one of the choices",
        '"forward", "reverse", "both", "none"',
    ),
    (
        GLIM,
        ["level", "shares"],
        [0.1] * 9,
        "level.shares",
        "has codes that do not fit its bits",
        "0 to 7, as it has 3 bits",
    ),
    (GLIM, ["level", "full"], 7, "level.shares", "stands beside full", "one of full, shares"),
    (CARROW, ["forward", "bits"], 2, "forward.bits", "is too large", "from 1 to 1"),
    (GLIM, ["rate", "works"], 201, "rate.works", "is outside the rate curve", "0 to 200"),
    (
        GLIM,
        ["rate", "curve", 1, "value"],
        0,
        "rate.curve",
        "is not in order of its values",
        "points with rising values",
    ),
    (
        GLIM,
        ["rate", "curve", 1, "hz"],
        20.0,
        "rate.curve",
        "turns back or stands still",
        "only rise or only fall",
    ),
    (
        GLIM,
        ["rate", "curve", 1, "hz"],
        0.5,
        "rate.curve",
        "turns back or stands still",
        "only rise or only fall",
    ),
    (GLIM, ["rate", "curve", 2, "hz"], 30.0, "rate.curve.2.hz", "is too large", "from 0.2 to 25"),
    (
        GLIM,
        ["rate", "curve", 2, "value"],
        256,
        "rate.curve.2.value",
        "is too large",
        "from 0 to 255",
    ),
]


@pytest.mark.parametrize(
    ("data", "path", "value", "field", "problem", "allowed"),
    MISTAKES,
    ids=[f"{row[3]}-{row[4][:30]}" for row in MISTAKES],
)
def test_a_mistake_is_told_once_by_field(data, path, value, field, problem, allowed):
    with pytest.raises(InputError) as caught:
        parse(Description, put(data, path, value), "my_decoder.toml")
    error = caught.value
    assert error.more == ()
    assert (error.field, error.problem) == (field, problem)
    assert allowed in error.allowed
    assert str(error).startswith(f"my_decoder.toml, field '{counted(field)}': {problem}")


def models_in(annotation: object) -> set[type[BaseModel]]:
    """The models that an annotation is made of, and those inside them."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        parts = [info.annotation for info in annotation.model_fields.values()]
        return {annotation}.union(*map(models_in, parts))
    return set().union(*map(models_in, getattr(annotation, "__args__", ())))


def test_every_field_says_what_it_means():
    models = models_in(Description)
    assert EffectCode in models
    for model in models:
        for name, info in model.model_fields.items():
            assert info.description or name == "kind", f"{model.__name__}.{name}"
