"""Lists of CV values as files: what is read, what is written, and what is refused."""

from __future__ import annotations

import csv
import tomllib

import pytest
from decoders import TOLLEY
from hypothesis import given, settings
from hypothesis import strategies as st

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.values.lists import check_values, read_values, values_text
from fxstudio.errors import InputError, ReadError

BED, PAGED = CvAddress(143), CvAddress(260, (40, 2))


@pytest.fixture
def file(tmp_path):
    """A file of values with a text in it."""

    def make(text, name="held.csv"):
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return make


READ = {
    "plain": ("cv,value\n143,152\n", "held.csv"),
    "any case, spaces, empty lines": ("\n CV , Value \n\n 143 , 152 \n , \n", "held.csv"),
    "semicolons": ("cv;value\r\n143;152\r\n", "held.csv"),
    "tabs": ("cv\tvalue\n143\t152\n", "held.CSV"),
    "byte order mark": (b"\xef\xbb\xbfcv,value\n143,152\n", "held.csv"),
    "notes with commas": ('note,cv,value\n"bed, orange",143,152\n', "held.csv"),
    "empty pages": ("cv,value,cv31,cv32\n143,152,,\n", "held.csv"),
    "toml": ("values = [{ cv = 143, value = 152 }]\n", "held.toml"),
    "toml tables": (
        'title = "Heron"\n[[values]]\ncv = 143\nvalue = 152\nnote = "bed"\n',
        "held.toml",
    ),
}


@pytest.mark.parametrize("case", READ)
def test_lists_are_read(file, case):
    assert read_values(file(*READ[case])) == {BED: 152}


def test_one_cv_on_several_pages(file):
    text = "cv,value,cv31,cv32\n260,3,40,2\n260,4,40,3\n"
    assert read_values(file(text)) == {PAGED: 3, CvAddress(260, (40, 3)): 4}
    text = "values = [{ cv = 260, page = [40, 2], value = 3 }]"
    assert read_values(file(text, "held.toml")) == {PAGED: 3}


@st.composite
def any_list(draw):
    paged = st.builds(
        CvAddress, st.integers(257, 512), st.tuples(st.integers(0, 255), st.integers(0, 255))
    )
    plain = st.integers(1, 1024).filter(lambda n: not 257 <= n <= 512).map(CvAddress)
    return draw(st.dictionaries(plain | paged, st.integers(0, 255), min_size=1, max_size=8))


@settings(max_examples=50, deadline=None)
@given(values=any_list(), kind=st.sampled_from([".csv", ".toml"]), note=st.text(max_size=30))
def test_what_is_written_is_read_again(tmp_path_factory, values, kind, note):
    path = tmp_path_factory.mktemp("lists") / f"list{kind}"
    notes = {next(iter(values)): note.replace("\r", " ").replace("\n", " ").replace("\0", "")}
    path.write_bytes(values_text(values, kind, notes).encode())
    assert read_values(path) == values


def test_other_readers_understand_the_files():
    """The standard library's readers of CSV and TOML 1.0."""
    values, notes = {PAGED: 3, BED: 152}, {BED: 'bed, "orange"'}
    rows = list(csv.DictReader(values_text(values, ".csv", notes).splitlines()))
    assert rows == [
        {"cv": "143", "value": "152", "cv31": "", "cv32": "", "note": 'bed, "orange"'},
        {"cv": "260", "value": "3", "cv31": "40", "cv32": "2", "note": ""},
    ]
    assert tomllib.loads(values_text(values, ".toml", notes)) == {
        "values": [
            {"cv": 143, "value": 152, "note": 'bed, "orange"'},
            {"cv": 260, "page": [40, 2], "value": 3},
        ]
    }


# (name, text, field, problem, allowed)
REFUSED = [
    (
        "a.csv",
        "cv,value\n143,256\n",
        "line 2, value",
        "is too large",
        "a whole number from 0 to 255",
    ),
    ("a.csv", "cv,value\n0,1\n", "line 2, cv", "is too small", "a whole number from 1 to 1024"),
    ("a.csv", "cv,value\n1025,1\n", "line 2, cv", "is too large", "from 1 to 1024"),
    ("a.csv", f"cv,value\n143,{'9' * 5000}\n", "line 2, value", "is too large", "from 0 to 255"),
    ("a.csv", "cv,value\n143,-1\n", "line 2, value", "is not a whole number", "from 0 to 255"),
    ("a.csv", "cv,value\n143,1.5\n", "line 2, value", "is not a whole number", "from 0 to 255"),
    ("a.csv", 'cv,value\n143,"1,5"\n', "line 2, value", "is not a whole number", "from 0 to 255"),
    ("a.csv", "cv;value\n143;1,5\n", "line 2, value", "is not a whole number", "from 0 to 255"),
    ("a.csv", "cv,value\n143,1,5\n", "line 2", "has 3 entries under 2 columns", "without a comma"),
    ("a.csv", "cv,value\n143,x\n", "line 2, value", "is not a whole number", "from 0 to 255"),
    ("a.csv", "cv,value\n143,\u0665\n", "line 2, value", "is not a whole number", "0 to 255"),
    ("a.csv", "cv,value\n143,\n", "line 2, value", "is empty", "from 0 to 255"),
    ("a.csv", "cv,value\n143\n", "line 2, value", "is empty", "from 0 to 255"),
    ("a.csv", "cv,value\n143,\n5,1\n\n6,\n", "lines 2, 5, value", "is empty", "from 0 to 255"),
    (
        "a.csv",
        "cv,value\n143,1\n5,1\n143,2\n",
        "line 4",
        "CV143 stands twice: here and in line 2",
        "each CV once",
    ),
    (
        "a.csv",
        "cv,value,cv31,cv32\n260,1,40,2\n260,1,40,2\n",
        "line 3",
        "CV260 (CV31 = 40, CV32 = 2) stands twice: here and in line 2",
        "each CV once",
    ),
    (
        "a.csv",
        "cv,value\n260,1\n",
        "line 2, CV260",
        "needs a page, as all CVs from 257 to 512 do",
        "CV31 and CV32",
    ),
    ("a.csv", "cv,value,cv31,cv32\n260,1,40,\n", "line 2", "a page needs both cv31 and cv32", None),
    ("a.csv", "cv,value,cv31,cv32\n143,1,40,0\n", "line 2, CV143", "has no pages", None),
    ("a.csv", "cv,value,cv31,cv32\n260,1,40,256\n", "line 2, page.1", "is too large", "0 to 255"),
    ("a.csv", "cv,valeu\n143,1\n", "line 1", "the column 'valeu' is not known", "cv, value"),
    ("a.csv", "cv,value,cv\n143,1,2\n", "line 1", "the column 'cv' stands twice", "cv, value"),
    ("a.csv", "cv\n143\n", "line 1", "the column 'value' is missing", "cv, value"),
    (
        "a.csv",
        "cv,value,cv31\n143,1,2\n",
        "line 1",
        "a page needs both columns, cv31 and cv32",
        "cv, value",
    ),
    ("a.csv", "143,1\n", "line 1", "the column '143' is not known", "cv, value"),
    ("a.csv", "", "line 1", "the column 'cv' is missing", "cv, value"),
    ("a.csv", "cv,value\n", None, "holds no values", None),
    (
        "a.toml",
        "values = [{ cv = 143, value = 256 }]",
        "values.0.value",
        "is too large",
        "from 0 to 255",
    ),
    (
        "a.toml",
        "values = [{ cv = 143, value = 1.5 }]",
        "values.0.value",
        "has the wrong type",
        "a whole number",
    ),
    ("a.toml", "values = [{ cv = 0, value = 1 }]", "values.0.cv", "is too small", "1 to 1024"),
    ("a.toml", "values = [{ cv = 1025, value = 1 }]", "values.0.cv", "is too large", "1 to 1024"),
    (
        "a.toml",
        "values = [{ cv = 5, value = 1 }, { cv = 5, value = 1 }]",
        "values.1",
        "CV5 stands twice: here and in values.0",
        "each CV once",
    ),
    ("a.toml", "values = [{ cv = 5, vaule = 1 }]", "values.0.value", "is missing", "0 to 255"),
    ("a.toml", "values = []", "values", "is empty", "a list"),
]


@pytest.mark.parametrize(
    ("name", "text", "field", "problem", "allowed"), REFUSED, ids=[repr(r[1])[:40] for r in REFUSED]
)
def test_a_wrong_list_is_refused_by_its_place(file, name, text, field, problem, allowed):
    path = file(text, name)
    with pytest.raises(InputError) as caught:
        read_values(path)
    error = caught.value
    assert (error.file, error.field, error.problem) == (path, field, problem)
    assert error.remedy
    assert allowed is None or allowed in error.allowed


def test_all_that_is_wrong_is_told_at_once(file):
    with pytest.raises(InputError) as caught:
        read_values(file("cv,value\n143,256\n0,1\n5,1.5\n"))
    told = [caught.value, *caught.value.more]
    assert [each.field for each in told] == ["line 2, value", "line 3, cv", "line 4, value"]


NO_LIST = {
    "open quote": ('"cv,value\n', "a.csv", "is not valid CSV"),
    "no text": (b"\xff\xfe\x00", "a.csv", "is not text in UTF-8"),
    "not TOML": ("values = [", "a.toml", "is not valid TOML"),
    "another ending": ("cv,value\n1,3\n", "a.txt", "is neither .toml nor .csv"),
}


@pytest.mark.parametrize("case", NO_LIST)
def test_what_is_no_list_at_all(file, case):
    text, name, problem = NO_LIST[case]
    with pytest.raises(ReadError) as caught:
        read_values(file(text, name))
    assert problem in caught.value.problem
    assert caught.value.remedy


def test_a_missing_file(tmp_path):
    for name in ("none.csv", "none.toml"):
        with pytest.raises(ReadError, match="there is no such file"):
            read_values(tmp_path / name)


def test_works_values_of_a_paged_decoder_survive_both_files(file):
    for kind in (".csv", ".toml"):
        assert (
            read_values(file(values_text(TOLLEY.delivered, kind), f"w{kind}")) == TOLLEY.delivered
        )


@pytest.mark.parametrize("value", [256, -1, 1.0, True, "5"])
def test_only_bytes_are_values(value):
    with pytest.raises(InputError, match="is not what a CV can hold"):
        check_values({BED: value})
