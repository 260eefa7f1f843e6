"""Comments are found wherever they stand, and with what they are said of."""

from __future__ import annotations

import pytest

from fxstudio.decoder.renewal.comments import comments_in

TEXT = """\
# head
# more of it

# of the title
title = "no # comment \\" # here"  # beside it

# of the first output
[[outputs]]   # on the header
number = 1 # a number
# of the wire
wire = '# none'
[[outputs]]
# in the second
number = 2
note = \"\"\"
# none
\"\"\"

[effect] # on effect
codes = [
    # of the first row
    { code = 0, name = "a" }, # beside the first
    { code = 1, name = "b" }, # beside the second
    # before the end
]
[[effect.rows]]
x = 1 # of a row
[rate]
"quoted name".works = 1 # quoted
curve = [[1, 2], # first point
    [3, 4]] # second point
# last
"""


def test_every_comment_has_its_place():
    assert [tuple(each) for each in comments_in(TEXT)] == [
        (("title",), ("# head", "# more of it", "", "# of the title")),
        (("title",), ("# beside it",)),
        (("outputs", 0), ("# of the first output",)),
        (("outputs", 0), ("# on the header",)),
        (("outputs", 0, "number"), ("# a number",)),
        (("outputs", 0, "wire"), ("# of the wire",)),
        (("outputs", 1, "number"), ("# in the second",)),
        (("effect",), ("# on effect",)),
        (("effect", "codes", 0), ("# of the first row",)),
        (("effect", "codes", 0), ("# beside the first",)),
        (("effect", "codes", 1), ("# beside the second",)),
        (("effect", "codes", 2), ("# before the end",)),
        (("effect", "rows", 0, "x"), ("# of a row",)),
        (("rate", "quoted name", "works"), ("# quoted",)),
        (("rate", "curve"), ("# first point",)),
        (("rate", "curve", 1), ("# second point",)),
        (None, ("# last",)),
    ]


@pytest.mark.parametrize("text", ["", "a = 1", "a = '#'\n", 'a = """#\n"""', "\n\n"])
def test_there_may_be_none(text):
    assert list(comments_in(text)) == []


def test_one_comment_alone_and_other_ends_of_lines():
    assert [tuple(each) for each in comments_in("a = 1\r\n# b\r\n\r\n")] == [(None, ("# b", ""))]
