"""`fxstudio describe renew` as people use it."""

from __future__ import annotations

from pathlib import Path

import pytest
from earlier_files import EARLIER_FILES

from fxstudio.decoder.leaflet.files import load_decoder, shipped


@pytest.mark.parametrize("name", EARLIER_FILES)
def test_the_new_file_says_the_same_and_the_old_one_stays(run, name):
    text = EARLIER_FILES[name].read_text("utf-8")
    Path("old.toml").write_text(text, "utf-8")
    code, out, _ = run("describe", "renew", "old.toml", "-o", "new.toml", columns=400)
    assert code == 0
    assert "It says the same: compared were all values as delivered" in out
    assert load_decoder("new.toml").delivered == load_decoder("old.toml").delivered
    assert Path("old.toml").read_text("utf-8") == text


def test_a_file_that_is_there_is_replaced_only_when_asked(run):
    Path("renewed.toml").write_text("mine")
    code, _, err = run("describe", "renew", "withybank_glim")
    assert code == 2
    assert "is there already" in err
    assert Path("renewed.toml").read_text() == "mine"
    assert run("describe", "renew", EARLIER_FILES["withybank_glim"], "--replace")[0] == 0
    assert "[[cells]]" in Path("renewed.toml").read_text("utf-8")


def test_the_old_file_is_never_written_over(run):
    Path("old.toml").write_bytes(EARLIER_FILES["withybank_glim"].read_bytes())
    code, _, err = run("describe", "renew", "old.toml", "-o", "old.toml", "--replace")
    assert code == 2
    assert "names the same file as DECODER" in err


def test_a_file_of_the_new_form_is_told_as_such(run):
    Path("new.toml").write_bytes(shipped()["withybank_glim"].read_bytes())
    code, out, _ = run("describe", "renew", "new.toml")
    assert code == 0
    assert "is in a leaflet's words already; nothing was written" in " ".join(out.split())
    assert not Path("renewed.toml").exists()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('title = "Fern Gate"\nfunction_map = "none"\n', "field 'outputs': is missing"),
        ('title = "x"\nrate_hz = 4.0\n[lamps.bed]\n', "effect"),
        ("title =", "is not valid TOML"),
    ],
)
def test_a_file_that_is_none_is_told_with_its_fields(run, text, told):
    Path("old.toml").write_text(text)
    code, _, err = run("describe", "renew", "old.toml")
    assert code == 2
    assert told in err
    assert not Path("renewed.toml").exists()


def test_it_tells_of_effects_with_one_name(run):
    text = EARLIER_FILES["withybank_glim"].read_text("utf-8").replace('"flame"', '"ember"')
    Path("old.toml").write_text(text, "utf-8")
    out = " ".join(run("describe", "renew", "old.toml")[1].split())
    assert "ember was the name of several effects: now ember (1) and ember (2)." in out
