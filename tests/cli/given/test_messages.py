"""What the command line says when files or names are given wrongly."""

from __future__ import annotations

import pytest

from fxstudio.decoder.leaflet.files import shipped as decoders
from fxstudio.effect.files import shipped_effects as effects

DRIVE = 'length_s = 1\nsteps = [{ travel = "forward", keys = ["F0"] }]\n'


@pytest.fixture
def folder(tmp_path):
    """An effect, a description, a list, a drive and answers, by plain names."""
    texts = {
        "fire.toml": effects()["banked_fire"].read_text("utf-8"),
        "glim.toml": decoders()["withybank_glim"].read_text("utf-8"),
        "now.csv": "cv,value\n112,5\n",
        "now.toml": "values = [{ cv = 112, value = 5 }]\n",
        "drive.toml": DRIVE,
        "kept.unfinished.toml": 'answers = [{ at = "title", question = "Who?", answer = "me" }]\n',
    }
    for name, text in texts.items():
        (tmp_path / name).write_text(text, "utf-8")
    return tmp_path


EXCHANGED = [
    ("values glim.toml -d fire.toml", "values fire.toml -d glim.toml"),
    ("values glim.toml --decoder=fire.toml", "values fire.toml --decoder=glim.toml"),
    ("values withybank_glim -d banked_fire", "values banked_fire -d withybank_glim"),
    (
        "film --fps 5 glim.toml -d fire.toml -o x.gif",
        "film --fps 5 fire.toml -d glim.toml -o x.gif",
    ),
    ("plan glim.toml -d fire.toml", "plan fire.toml -d glim.toml"),
    (
        "plan now.csv -d glim.toml --present fire.toml",
        "plan fire.toml -d glim.toml --present now.csv",
    ),
    (
        "plan now.toml -d fire.toml --present glim.toml",
        "plan fire.toml -d glim.toml --present now.toml",
    ),
    ("sheet glim.toml -d fire.toml -o x.html", "sheet fire.toml -d glim.toml -o x.html"),
    ("read glim.toml -d now.csv", "read now.csv -d glim.toml"),
    ("suit glim.toml fire.toml", "suit fire.toml glim.toml"),
    (
        "move glim.toml --from fire.toml --to withybank_glim",
        "move fire.toml --from glim.toml --to withybank_glim",
    ),
    ("truth glim.toml -d fire.toml", "truth fire.toml -d glim.toml"),
    ("show glim.toml -d fire.toml", "show fire.toml -d glim.toml"),
    ("film drive.toml --drive fire.toml", "film fire.toml --drive drive.toml"),
]


@pytest.mark.parametrize(("typed", "meant"), EXCHANGED)
def test_exchanged_files_get_the_command_that_was_meant(refused, folder, typed, meant):
    refused(
        *typed.split(),
        problem=f"look exchanged; you probably meant:\n           fxstudio {meant}\n",
    )


STRAY = {
    "values now.csv -d glim.toml": "now.csv: is a list of values, where an effect is expected",
    "values now.toml -d glim.toml": "now.toml: is a list of values, where an effect is expected",
    "camera fire.toml": "fire.toml: is an effect, where a decoder description is expected",
    "plan fire.toml -d glim.toml --present drive.toml": "is a drive, where a list of values",
    "film fire.toml --drive kept.unfinished.toml": "is a list of answers, where a drive",
    "read fire.toml -d glim.toml": "is an effect, where a list of values is expected",
    # Nothing is put in a place where it does not belong either.
    "read glim.toml -d fire.toml": "do:      give a decoder description here",
}


@pytest.mark.parametrize("typed", STRAY)
def test_a_file_of_another_kind_is_called_what_it_is(refused, folder, typed):
    refused(*typed.split(), problem=STRAY[typed])


def test_check_knows_every_kind_of_file(run, folder):
    names = sorted(path.name for path in folder.iterdir())
    code, out, _ = run("check", *names, "--size", "120x80")
    assert code == 0
    for kind in ("effect", "decoder description", "drive", "list of answers"):
        assert f": a usable {kind}\n" in out
    assert out.count("a usable list of values") == 2


MEANT = {
    "values fire -d glim.toml": "fire.toml",
    "values fier.toml -d glim.toml": "fire.toml",
    "values fire.toml -d gilm": "glim.toml",
    "values baned_fire -d glim.toml": "banked_fire",
    "values banked_fire.toml -d glim.toml": "banked_fire",
    "check witybank_glim": "withybank_glim",
    "plan fire.toml -d glim.toml --present nwo.csv": "now.csv",
    "film fire.toml --travel foward": "forward",
    "resistor --colour ambre": "amber",
    "resistor --colour red --size larg": "large",
    "sheet fire.toml -d glim.toml --led fire=rde": "red",
}


@pytest.mark.parametrize("typed", MEANT)
def test_the_near_name_is_suggested(run, folder, typed):
    words = MEANT[typed]
    if "--led" in typed:  # a lamp of this effect
        typed = typed.replace("fire=", "bed=")
    code, _, err = run(*typed.split())
    assert code == 2
    assert f"id you mean '{words}'?" in err


@pytest.mark.parametrize("name", ["zzz", "zzz.toml", "zzz.**", "zzz.[a"])
def test_no_name_is_suggested_that_is_not_near(run, folder, name):
    assert "did you mean" not in run("values", name, "-d", "glim.toml")[2]


WRONG_IN_FILE = {
    'kind = "steady"': ('kind = "stedy"', "steady"),
    'kind = "flicker"': ('kind = "flciker"', "flicker"),
    'scene = "cab"': ('scene = "cba"', "cab"),
    'place = "bed"': ('place = "bde"', "bed"),
    'key = "F1"': ('key = "f1"', "F1"),
    'style = "smooth"': ('style = "smoth"', "smooth"),
    'travel = "both"': ('travel = "bothe"', "both"),
}
LONG = """
title = "Long"
scene = "cab"
[lamps.ash]
output = 3
key = "F1"
travel = "both"
place = "bed"
colour = "#ff8000"
pattern = { kind = "steady" }
[lamps.flames]
output = 4
colour = "#ff8000"
pattern = { kind = "flicker", style = "smooth" }
"""


@pytest.mark.parametrize("right", WRONG_IN_FILE)
def test_the_near_word_is_suggested_in_a_file(run, tmp_path, right):
    wrong, meant = WRONG_IN_FILE[right]
    (tmp_path / "long.toml").write_text(LONG.replace(right, wrong))
    code, _, err = run("check", "long.toml")
    assert code == 2
    assert f"did you mean '{meant}'?" in err


@pytest.mark.parametrize("keys", ["F1 F2", "F1,F2", "f1, f2", "F1;F2"])
def test_keys_are_typed_with_spaces_or_commas(run, keys):
    film = ("film", "banked_fire", "--size", "64x64", "--fps", 2, "--seconds", 1, "--keys", keys)
    code, _, err = run(*film, "-o", "x.gif")
    assert (code, err) == (0, "")
    assert (
        run("packets", "keys", keys, "--address", 3)[1]
        == (run("packets", "keys", "F1,F2", "--address", 3)[1])
    )


ENDINGS = {
    "film banked_fire -o x.jpg": ".gif or .webp or .avif or .png or .mp4",
    "plan banked_fire -d withybank_glim -o x.pdf": ".txt",
    "plan banked_fire -d withybank_glim -o x.txt --restore x.doc": ".txt",
    "plan banked_fire -d withybank_glim --after x.txt": ".toml or .csv",
    "plan banked_fire -d withybank_glim --to-read x.toml": ".csv",
    "sheet banked_fire -d withybank_glim -o x.pdf": ".html or .htm",
    "read now.csv -d withybank_glim --film x.doc": ".gif or .webp or .avif or .png or .mp4",
    "read now.csv -d withybank_glim --save x.csv": ".toml",
    "check banked_fire --flash-map x.jpg": ".png",
    "figures banked_fire --plot x.xls": ".png or .svg or .pdf",
    "calm twin_flicker -o x.gif": ".toml",
    "describe new -o x.txt": ".toml",
}


@pytest.mark.parametrize("typed", ENDINGS)
def test_a_wrong_ending_is_answered_with_those_that_can_be_written(refused, folder, typed):
    refused(*typed.split(), problem=f"the name must end in {ENDINGS[typed]}\n")


@pytest.mark.parametrize("command", ["schema", "demo", "film banked_fire"])
@pytest.mark.parametrize("name", ["x.json", "fire.toml", "x.gif"])
def test_a_folder_to_write_to_is_no_file(refused, folder, command, name):
    refused(*command.split(), "--into", name, problem="where a folder is expected")
