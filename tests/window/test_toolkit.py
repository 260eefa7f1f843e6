"""The window's toolkit stands on nothing of this program but its colours and its letters."""

from __future__ import annotations

import pytest
from house import PACKAGE, imported

TOOLKIT = PACKAGE / "window" / "toolkit"


@pytest.mark.parametrize("path", sorted(TOOLKIT.rglob("*.py")), ids=lambda path: path.stem)
def test_the_toolkit_knows_no_effect(path):
    own = {name for name in imported(path) if name.startswith("fxstudio.")}
    allowed = ("fxstudio.window.toolkit.", "fxstudio.colour.", "fxstudio.style")
    assert not {name for name in own if not name.startswith(allowed)}
