"""`import fxstudio as fx`: what a script or a notebook uses."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import html5lib
import numpy as np
import pytest
from PIL import Image

import fxstudio as fx

PACKAGE = Path(fx.__file__).parent
TITLE = 'Fire & <b onclick="x">smoke</b>'
FIRE = f"""
title = '{TITLE}'
[lamps."<script>fire</script>"]
output = 3
place = "flames"
colour = "#ff8000"
pattern = {{ kind = "flicker", lowest = 0.5, highest = 0.6 }}
"""
SMALL = {"width": 96, "height": 64, "fps": 5}


@pytest.fixture
def fire(tmp_path):
    (tmp_path / "fire.toml").write_text(FIRE)
    return fx.load_effect(tmp_path / "fire.toml")


def html(text):
    """Parsed as a browser does; raises what is no valid HTML."""
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    return parser.parseFragment(text)


def test_the_import_loads_nothing_else():
    code = "import sys, fxstudio; print(sorted({*sys.modules} & {'numpy', 'pydantic', 'typer'}))"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.strip() == "[]"


def test_types_are_told_for_every_name():
    stub = ast.parse((PACKAGE / "__init__.pyi").read_text("utf-8"))
    told = {
        alias.asname or alias.name: f"{node.module}.{alias.name}"
        for node in stub.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    assert sorted(told) == sorted(fx.__all__)
    for name, where in told.items():
        thing = getattr(fx, name)
        if name != "film":  # a room and a function in one
            assert f"{thing.__module__}.{thing.__name__}" == where
        assert thing.__doc__
    assert (PACKAGE / "py.typed").is_file()


def test_a_name_that_is_not_there_is_an_attribute_error():
    with pytest.raises(AttributeError, match="no attribute 'load_efect'"):
        fx.load_efect  # noqa: B018
    assert "load_effect" in dir(fx)


@pytest.mark.parametrize("first", ["fx.film", "import fxstudio.film.take as take"])
def test_film_can_be_called_whatever_was_loaded_first(first):
    code = f"import fxstudio as fx; {first}; import fxstudio.film.take; assert callable(fx.film)"
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)


def test_light_without_more_than_an_effect():
    effect = fx.load_effect("banked_fire")
    light = fx.simulate(effect)
    assert light.light.shape == (len(light.times_s), len(effect.lamps))
    some = fx.simulate(effect, times_s=light.times_s[::100])
    assert np.array_equal(some.light, light.light[::100])


def test_an_effect_in_a_notebook(fire):
    table = html(fire._repr_html_())
    assert table.find(".//caption").text == TITLE
    cells = [cell.text for cell in table.iter("td")]
    assert cells[:2] == ["<script>fire</script>", "3"]
    assert "#ff8000" in cells


def test_a_film_in_a_notebook(fire, tmp_path):
    path = tmp_path / 'a"b&.gif'
    report = fx.film(fire, str(path), shot=fx.Shot(**SMALL))
    with Image.open(path) as gif:
        assert gif.size == (96, 64)
    figure = html(report._repr_html_())
    assert str(path) in figure.find(".//figcaption").text
    assert figure.find(".//img").get("src").startswith("data:image/gif;base64,R0lGOD")
    path.unlink()
    assert html(report._repr_html_()).find("p").text == f"{path}: {report.verdict.summary}"


def test_the_whole_way_and_back():
    effect, decoder = fx.load_effect("banked_fire"), fx.load_decoder("withybank_glim")
    compiled = fx.compile(effect, decoder)
    plan = fx.plan(compiled, None, decoder)
    held = {**decoder.delivered, **{step.cv: step.value for step in plan.steps}}
    assert fx.decode(held, decoder, effect).effect == compiled.seen
    assert fx.judge(compiled.seen, shot=fx.Shot(**SMALL)).passes


def test_what_a_script_can_catch():
    with pytest.raises(fx.FxError, match="there is no effect of this name"):
        fx.load_effect("no_such_fire")
