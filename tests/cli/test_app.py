"""The command line as people use it: what it prints, what it writes, how it ends."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from fxstudio.cli.commands import BY_NAME, COMMANDS
from fxstudio.effect.files import shipped

ROOT = Path(__file__).parents[2]
EFFECTS = ROOT / "effects"
SMALL = ("--size", "96x64", "--fps", "5")


def test_help_teaches_every_command(run):
    code, out, _ = run("--help")
    assert code == 0
    assert [heading for heading in COMMANDS if heading not in out] == []
    found = re.findall(r"^  ([a-z]+) {2,}[A-Z]", out, re.MULTILINE)
    assert found == list(BY_NAME)  # every command, each once, in the order of the table
    assert "Exit codes" in out
    assert "Examples" in run("film", "--help")[1]


@pytest.mark.parametrize("row", BY_NAME.values(), ids=lambda row: row.name)
def test_a_command_says_of_itself_what_the_table_says_of_it(run, row):
    code, out, _ = run(row.name, "--help")
    assert code == 0
    _, _, after_usage = " ".join(out.split()).partition(f"{row.name} ")
    assert f" {row.line} " in after_usage


def test_a_module_of_a_command_is_imported_when_it_is_called():
    code = """
import sys, typer, fxstudio.cli
from fxstudio.cli.app import app
def commands(): return sorted(set(sys.modules) & modules)
from fxstudio.cli.commands import BY_NAME
modules = {f"fxstudio.cli.{row.where.split(':')[0]}" for row in BY_NAME.values()}
for words in (["--help"], ["wires"]):
    app(words, standalone_mode=False)
    print("imported", *commands())
"""
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT
    )
    told = re.findall("(?m)^imported *(.*)", done.stdout)
    assert told == ["", "fxstudio.cli.bench.wires"]


def test_film_writes_a_looping_gif_and_says_so(run):
    code, out, _ = run("film", "banked_fire", *SMALL)
    assert code == 0
    assert "photosensitive" in out
    with Image.open("banked_fire.gif") as gif:
        pictures = f"30 frames, {gif.n_frames} pictures in the file"
        assert f"banked_fire.gif: {pictures}, 6 s, 96 x 64" in out
        shown_ms = 0
        for number in range(gif.n_frames):  # pictures that are alike are one
            gif.seek(number)
            shown_ms += gif.info["duration"]
        assert (shown_ms, gif.info["loop"]) == (6000, 0)


def test_film_by_the_options(run):
    options = ("--travel", "reverse", "--keys", "none", "--seconds", "2", *SMALL)
    code, out, _ = run("film", "chimney_first", "-o", "dark.gif", *options)
    assert code == 0
    assert "dark.gif: 10 frames, 1 picture in the file, 2 s" in out
    with Image.open("dark.gif") as gif:  # no key is on: one picture stands for the whole time
        assert (gif.n_frames, gif.info["duration"]) == (1, 2000)


@pytest.mark.parametrize(
    ("options", "shows"),
    [
        (("--travel", "reverse", "--keys", "F2 F1"), "reverse, 0 km/h, keys F1, F2 on"),
        (("--speed", 20, "--keys", "F1"), "forward, 20 km/h, key F1 on"),
        (("--travel", "stopped", "--keys", "none"), "stopped, no key on"),
    ],
)
def test_film_says_what_it_shows_and_so_does_its_comment(run, options, shows):
    _, out, _ = run("film", "chimney_first", "-o", "a.gif", "--seconds", 1, *options, *SMALL)
    assert f"  shows: {shows}\n" in out
    with Image.open("a.gif") as gif:
        assert f"Shows: {shows}" in gif.info["comment"].decode()


def test_film_says_what_a_drive_changes(run, tmp_path):
    steps = "steps = [{ speed_kmh = 4, keys = ['F1'] }, { at_s = 0.5, travel = 'reverse' }]"
    _, out, _ = run("film", driven_fire(tmp_path, steps), *SMALL)
    assert "shows: at 0 s 4 km/h, key F1 on; at 0.5 s reverse\n" in out


def test_film_with_a_decoder_shows_what_it_does_and_writes_the_values(run):
    code, out, _ = run("film", "banked_fire", "--decoder", first_decoder(), *SMALL)
    assert code == 0
    table = Path("banked_fire.values.txt").read_text("utf-8")
    assert table.startswith("Banked for the night")
    assert "binary" in table
    assert "banked_fire.values.txt" in out


def test_film_says_what_it_rounded_to_loop(run):
    _, out, _ = run("film", "banked_fire", "--seconds", "1.1", *SMALL)
    assert "to loop" not in out  # a smooth flicker needs no rounding
    _, out, _ = run("film", "ticking_fire", "--seconds", "1.1", *SMALL)
    assert "to loop without a seam, flames: flicker rate: 6 Hz asked, 6.364 Hz used" in out


def test_figures_say_what_was_rounded_as_film_does(run, tmp_path):
    fire = tmp_path / "fire.toml"
    text = shipped()["ticking_fire"].read_text("utf-8")
    fire.write_text(re.sub(r"(?m)^rate_hz = .*", "rate_hz = 0.588", text), "utf-8")
    rounded = "to loop without a seam, flames: flicker rate: 0.588 Hz asked, 0.6667 Hz used"
    assert rounded in run("film", fire, *SMALL)[1]
    assert rounded in run("figures", fire)[1]


def test_keys_that_switch_nothing_are_told(run, tmp_path):
    _, out, _ = run("film", "banked_fire", "--keys", "F7,F1", "--seconds", 1, *SMALL)
    assert "hint no lamp is on F7; keys that switch lamps: F1, F2" in out
    fire = driven_fire(tmp_path, "steps = [{ keys = ['F1', 'F2', 'F5'] }]")
    code, out, _ = run("check", fire, "--size", "120x80")
    assert code == 0
    assert "hint no lamp is on F5" in out


def test_keys_are_written_as_people_write_them(run):
    for name, keys in (("a", "F1,F2"), ("b", " f1, F2 "), ("c", "none")):
        run("film", "banked_fire", "-o", f"{name}.gif", "--keys", keys, "--seconds", 1, *SMALL)
    a, b, c = (Path(f"{name}.gif").read_bytes() for name in "abc")
    assert a == b != c


def test_same_seed_same_file(run):
    for name, seed in (("a", 1), ("b", 1), ("c", 2)):
        run("film", "banked_fire", "-o", f"{name}.gif", "--seed", seed, "--seconds", 1, *SMALL)
    a, b, c = (Path(f"{name}.gif").read_bytes() for name in "abc")
    assert a == b != c


def test_values_shows_the_table(run):
    code, out, _ = run("values", "banked_fire", "--decoder", first_decoder())
    assert code == 0
    for heading in ("CV", "decimal", "binary", "delivered", "meaning"):
        assert heading in out
    assert "programming track" in out


def test_list_shows_all_there_is(run):
    code, out, _ = run("list")
    assert code == 0
    for word in (*shipped(), first_decoder(), "flicker", "scene cab", "flames"):
        assert word in out


def test_check_tells_good_hints_and_bad(run, tmp_path):
    code, out, _ = run("check", "banked_fire", "twin_flicker", "--size", "120x80")
    assert code == 0
    assert "banked_fire: a usable effect" in out
    assert "hint bed and flames: flicker at the one shared rate" in out
    wrong = tmp_path / "wrong.toml"
    wrong.write_text('title = "x"\n[lamps]\n')
    code, out, err = run("check", wrong, "banked_fire", "--size", "120x80")
    assert code == 2
    assert "banked_fire: a usable effect" in out
    assert "field 'lamps': is empty" in err


def test_check_says_that_a_long_drive_was_not_looked_at(run, tmp_path):
    fire = driven_fire(tmp_path, "length_s = 600\nsteps = [{ keys = ['F1'] }]")
    code, out, _ = run("check", fire)
    assert code == 0
    assert "flashes not looked for: the film is too large" in out


def test_check_knows_decoders_and_drives(run, tmp_path):
    drive = tmp_path / "shuttle.toml"
    drive.write_text('steps = [{ travel = "reverse" }]\n')
    from fxstudio.decoder.description.files import shipped as decoders

    code, out, _ = run("check", drive, *decoders(), *decoders().values())
    assert code == 0
    assert "a usable drive" in out
    assert out.count("a usable decoder description") == 2 * len(decoders())


def test_demo(run):
    code, out, _ = run("demo")
    assert code == 0
    assert Path("fxstudio-demo/banked_fire.gif").stat().st_size > 10_000
    assert "binary" in out


WRONG = {
    "no effect": (["film"], "no effect to film"),
    "unknown effect": (["film", "nosuch"], "there is no effect of this name"),
    "unknown decoder": (["values", "banked_fire", "-d", "nosuch"], "there is no decoder"),
    "no decoder": (["values", "banked_fire"], "which decoder?"),
    "size": (["film", "banked_fire", "--size", "big"], "is not a picture size"),
    "fps": (["film", "banked_fire", "--fps", "60"], "this frame rate cannot be kept in a GIF"),
    "key": (["film", "banked_fire", "--keys", "F29"], "'--keys': is not a function key"),
    "keys with a space": (["film", "banked_fire", "--keys", "F1", "f2"], "--keys F1,F2 or --keys"),
    "travel": (["film", "banked_fire", "--travel", "up"], "'--travel': is not one of"),
    "seconds": (["film", "banked_fire", "--seconds", "0"], "'--seconds': is too small"),
    "speed": (["film", "banked_fire", "--speed", "-1"], "'--speed': is too small"),
    "moving while standing": (
        ["film", "banked_fire", "--travel", "stopped", "--speed", "10"],
        "'--speed': a stopped locomotive has no speed",
    ),
    "one of several": (["film", "banked_fire", "nosuch", "--into", "out"], "there is no effect"),
    "two of one name": (
        ["film", "banked_fire", EFFECTS / "banked_fire.toml", "--into", "out"],
        "would be written twice",
    ),
    "check": (["check", "nosuch"], "there is no file of this name"),
    "many into one": (["film", "--all", "-o", "x.gif"], "one file cannot take several films"),
    "no folder": (["film", "banked_fire", "-o", "no/such/x.gif"], "cannot be written"),
    "a film over an effect": (["film", "banked_fire", "-o", "mine.toml"], "must end in .gif"),
    "a map over an effect": (
        ["check", "banked_fire", "--flash-map", "mine.toml"],
        "must end in .png",
    ),
    "drive and option": (
        ["film", "banked_fire", "--drive", "d.toml", "--speed", "3"],
        "a drive file already says this",
    ),
}


@pytest.mark.parametrize("case", WRONG)
def test_wrong_calls_end_with_2_one_message_and_nothing_written(refused, case):
    arguments, problem = WRONG[case]
    refused(*arguments, problem=problem)


def test_an_output_folder_that_is_a_file(run, tmp_path):
    (tmp_path / "taken").write_text("mine")
    code, _, err = run("film", "banked_fire", "--into", "taken/here", *SMALL)
    assert code == 2
    assert "cannot be made" in err
    assert (tmp_path / "taken").read_text() == "mine"


def test_runs_as_a_module_and_tells_its_version():
    done = subprocess.run(
        [sys.executable, "-m", "fxstudio", "--version"],
        capture_output=True, text=True, check=True, cwd=ROOT, env=os.environ,
    )  # fmt: skip
    assert done.stdout.startswith("fxstudio 0.")


def test_an_interrupted_film_ends_in_words_and_leaves_nothing(run, monkeypatch, tmp_path):
    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("fxstudio.scenes.render.Renderer.frame", interrupted)
    code, _, err = run("film", "banked_fire", *SMALL)
    assert code == 130
    assert err.strip() == "interrupted; no file is left half-written"
    assert list(tmp_path.iterdir()) == []


def test_a_terminal_that_knows_few_letters():
    words = "packets write --address 3 --cv 49 --value 15 --bits"
    done = subprocess.run(
        [sys.executable, "-m", "fxstudio", *words.split()],
        capture_output=True, cwd=ROOT, env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )  # fmt: skip
    assert done.returncode == 0
    assert b" bits, " in done.stdout


def test_help_loads_no_heavy_library():
    code = (
        "import sys, fxstudio.cli; "
        "print(sorted({'numpy', 'pydantic', 'pygame', 'imageio', 'PIL'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT
    )
    assert done.stdout.strip() == "[]"


def driven_fire(folder: Path, drive: str) -> Path:
    """The banked fire with a drive of its own."""
    path = folder / "fire.toml"
    text = (EFFECTS / "banked_fire.toml").read_text("utf-8")
    path.write_text(f"{text}\n[drive]\n{drive}\n", "utf-8")
    return path


def first_decoder() -> str:
    from fxstudio.decoder.description.files import shipped as decoders

    return next(iter(decoders()))
