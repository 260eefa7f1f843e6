"""`fxstudio plan` as people use it."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
from decoders import DECODERS

from fxstudio.cautions import CAUTIONS

HELD = "cv,value,note\n1,3,address\n3,5,motor\n143,154,\n144,250,\n149,78,\n35,12,\n36,0,\n"


@pytest.fixture
def held(tmp_path):
    """A list of values read from a locomotive."""
    path = tmp_path / "held.csv"
    path.write_text(HELD)
    return path


def squeezed(text: str) -> str:
    """Text without the frames and line breaks of a table."""
    return " ".join(re.sub("[│┃╇┏┓┗┛━─┡┩┳]", " ", text).split())


def test_plan_shows_writes_restore_list_and_cautions(run):
    code, out, _ = run("plan", "banked_fire", "--decoder", "withybank_glim")
    assert code == 0
    assert "write in this order" in out
    assert "10011000" in out
    assert "0x98" in out
    assert "Restore list" in out
    for step in ("before writing", "writing on the main", "after writing"):
        for caution in CAUTIONS[step]:
            assert caution in squeezed(out)
    assert "No present values were given" in out
    assert "compromise flames: flicker style" in out


def test_plan_starts_from_what_the_decoder_holds(run, held):
    code, out, _ = run(
        "plan",
        "banked_fire",
        "-d",
        "withybank_glim",
        "--present",
        held,
        "--extra",
        "3=20:starts more gently",
        "-o",
        "plan.txt",
    )
    assert code == 0
    text = Path("plan.txt").read_text()
    writes, restore = text.split("Restore list")
    found = [re.findall(r"\[ \] +\d+\.  (CV\d+ = \d+) ", part) for part in (writes, restore)]
    assert found == [
        ["CV3 = 20", "CV36 = 8", "CV35 = 4", "CV143 = 152"],
        ["CV3 = 5", "CV35 = 12", "CV36 = 0", "CV143 = 154"],
    ]
    assert "why:   starts more gently" in writes
    assert "why:   undo: starts more gently" in restore
    assert "plan.txt: the plan, to print and tick off" in out


def test_a_narrow_terminal_gets_one_write_below_the_other(run, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    code, out, _ = run("plan", "banked_fire", "-d", "tolley_hearth")
    assert code == 0
    assert "[ ]  1.  CV31 = 40   00101000   0x28   was ?" in out
    assert "┃" not in out


def filled_in(path: Path, held: dict[tuple[int, ...], int]) -> None:
    """What a person does: reads each CV of the list and writes what it holds into its row."""
    rows = list(csv.DictReader(path.read_text().splitlines()))
    for row in rows:
        cv = tuple(int(row[name]) for name in ("cv", "cv31", "cv32") if row[name])
        row["value"] = held[cv]
    with path.open("w", newline="") as file:
        table = csv.DictWriter(file, rows[0])
        table.writeheader()
        table.writerows(rows)


@pytest.mark.parametrize("decoder", ["withybank_glim", "carrow_lantern", "tolley_hearth"])
def test_the_list_to_read_holds_all_that_a_plan_needs(run, tmp_path, decoder):
    call = ("plan", "firehole_door", "-d", decoder, "--extra", "1=55:number")
    code, out, _ = run(*call, "--to-read", "today.csv")
    assert code == 0
    assert "CVs to read; fill in the column 'value'" in out
    path = tmp_path / "today.csv"
    rows = path.read_text().splitlines()
    assert rows[0] == "cv,value,cv31,cv32,note"
    assert (rows[1:3] == [f"{n},,,,read it before you select a page" for n in (31, 32)]) == (
        decoder == "tolley_hearth"
    )
    code, _, err = run(*call, "--present", "today.csv")
    assert code == 2
    assert err.count("error") == 1
    assert "value': is empty" in err
    assert "fill in what the decoder holds there" in err
    works = {(cv.number, *(cv.page or ())): v for cv, v in DECODERS[decoder].delivered.items()}
    filled_in(path, {**works, (1,): 3, (19,): 0, (29,): 38, (31,): 0, (32,): 0})
    code, out, _ = run(*call, "--present", "today.csv", "-o", "plan.txt")
    assert code == 0
    for unsure in ("taken as delivered", "as delivered: read", "Not known", "No present values"):
        assert unsure not in out
    assert "as delivered" not in (tmp_path / "plan.txt").read_text()
    assert run(*call, "--to-read", "today.csv")[0] == 2  # what was filled in is not replaced


def test_plan_of_what_is_there_already(run, tmp_path):
    run("plan", "banked_fire", "-d", "carrow_lantern")
    (tmp_path / "there.csv").write_text("cv;value\n123;35\n134;12\n")
    code, out, _ = run("plan", "banked_fire", "-d", "carrow_lantern", "--present", "there.csv")
    assert code == 0
    assert "Nothing needs to be written" in out
    assert "Restore" not in out


def test_the_list_of_what_it_holds_afterwards_serves_the_next_plan(run, held):
    options = ("plan", "banked_fire", "-d", "tolley_hearth", "--present")
    code, out, _ = run(*options, held, "--after", "now.csv")
    assert code == 0
    assert "now.csv: what the decoder holds once all of it is written" in out
    text = Path("now.csv").read_text()
    assert "260,3,40,3," in text
    assert "31,40,,,\n32,3,,," in text
    assert "1,3,,," in text  # read and not written
    code, out, _ = run(*options, "now.csv")
    assert "Nothing needs to be written" in out


def test_the_restore_list_as_a_file_of_its_own(run):
    code, out, _ = run("plan", "banked_fire", "-d", "withybank_glim", "--restore", "back.txt")
    assert code == 0
    assert "back.txt: the restore list, to keep with the model" in out
    text = Path("back.txt").read_text()
    assert re.findall(r"CV\d+ = \d+", text) == ["CV143 = 248", "CV144 = 248", "CV149 = 40"]


def test_plan_tells_what_must_be_as_delivered(run):
    code, out, _ = run("plan", "end_lamps", "-d", "withybank_glim")
    assert code == 0
    assert "Nothing needs to be written if the decoder is as delivered." in out
    assert "read them too, and go on only if they hold this:\n  CV33 = 1, CV34 = 2" in out


def test_signs_that_are_no_letters_stay_out_of_a_note(run, held):
    code, out, _ = run(
        "plan",
        "banked_fire",
        "-d",
        "withybank_glim",
        "--present",
        held,
        "-o",
        "plan.txt",
        "--extra",
        "3=20:slow\x1b[31m\nstart\udcff [b]",
    )
    assert code == 0
    assert "why:   slow [31m start [b]\n" in Path("plan.txt").read_text()
    assert "\x1b" not in out


def test_an_extra_cv_on_a_page(run, tmp_path):
    (tmp_path / "held.toml").write_text("values = [{ cv = 300, page = [50, 1], value = 8 }]")
    code, out, _ = run(
        "plan",
        "banked_fire",
        "-d",
        "tolley_hearth",
        "--present",
        "held.toml",
        "--extra",
        "300/50/1=9:louder",
    )
    assert code == 0
    assert "CV300 (CV31 = 50, CV32 = 1)" in squeezed(out)


PLAN = ["plan", "banked_fire", "-d", "withybank_glim"]


READ = ["-d", "withybank_glim"]


WRONG = {
    "no decoder": (["plan", "banked_fire"], "which decoder?"),
    "read without decoder": (["read", "ok.csv"], "which decoder?"),
    "no list": ([*PLAN, "--present", "none.csv"], "none.csv: there is no such file"),
    "a CV twice": (["read", "twice.csv", *READ], "CV143 stands twice"),
    "a comma for a point": ([*PLAN, "--present", "comma.csv"], "has 3 entries under 2 columns"),
    "a value of 256": (["read", "large.csv", *READ], "field 'line 2, value': is too large"),
    "CV 0": ([*PLAN, "--extra", "0=1:x"], "there is no such CV"),
    "CV 1025": ([*PLAN, "--extra", "1025=1:x"], "there is no such CV"),
    "extra of 256": ([*PLAN, "--extra", "3=256:x"], "is not what a CV can hold"),
    "extra with a comma": ([*PLAN, "--extra", "3=1,5:x"], "is not a CV, its value and a note"),
    "extra without a value": ([*PLAN, "--extra", "3"], "is not a CV, its value and a note"),
    "reset": ([*PLAN, "--extra", "8=8:reset"], "CV8"),
    "unknown present value": ([*PLAN, "--extra", "3=5:x"], "so it could not be restored"),
    "the effect's own CV": ([*PLAN, "--extra", "143=5:x"], "is set by the effect already"),
    "a code without meaning": (["read", "code.csv", *READ], "is no value of Withybank Glim 4"),
    "not replaced": (["read", "ok.csv", *READ, "--save", "mine.toml"], "is there already"),
    "list of another kind": ([*PLAN, "--after", "now.txt"], "must end in .toml or .csv"),
    "to read, not csv": ([*PLAN, "--to-read", "now.toml"], "must end in .csv"),
    "to read and plan": (
        [*PLAN, "--to-read", "now.csv", "-o", "plan.txt"],
        "comes before a plan",
    ),
    "no folder": ([*PLAN, "-o", "no/such/plan.txt"], "cannot be written"),
    "no folder for one of two": (
        [*PLAN, "--after", "now.csv", "-o", "no/such/plan.txt"],
        "cannot be written",
    ),
    "no folder for the other": (
        [*PLAN, "-o", "plan.txt", "--after", "no/such/now.csv"],
        "cannot be written",
    ),
    "no file name": ([*PLAN, "-o", "/"], "must end in .txt"),
    "one name for two": ([*PLAN, "-o", "a.txt", "--restore", "./a.txt"], "names the same file"),
    "over the effect": (
        ["plan", "mine.toml", *READ, "--after", "mine.toml"],
        "same file as EFFECT",
    ),
    "over the present values": (
        [*PLAN, "--present", "ok.csv", "--after", "ok.csv"],
        "names the same file as --present",
    ),
}


LISTS = {
    "ok.csv": "cv,value\n143,248\n",
    "twice.csv": "cv,value\n143,1\n143,1\n",
    "comma.csv": "cv,value\n143,1,5\n",
    "large.csv": "cv,value\n143,256\n",
    "code.csv": "cv,value\n143,252\n",
    "mine.toml": """title = "Bed"
[lamps.bed]
output = 3
key = "F1"
colour = { temperature_k = 1900 }
pattern = { kind = "steady" }
""",
}


@pytest.mark.parametrize("case", WRONG)
def test_wrong_calls_end_with_2_one_message_and_nothing_written(refused, tmp_path, case):
    for name, text in LISTS.items():
        (tmp_path / name).write_text(text)
    arguments, problem = WRONG[case]
    refused(*arguments, problem=problem)


def test_a_full_disk_leaves_all_files_of_a_plan_as_they_were(run, tmp_path):
    """The last file is too large for what is left; the ones before it are not written either."""
    resource = pytest.importorskip("resource")
    plan = ("plan", "banked_fire", "-d", "withybank_glim")
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (700, hard))
    try:
        code, _, err = run(*plan, "--after", "after.csv", "--restore", "back.txt", "-o", "plan.txt")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert code == 2
    assert "cannot be written" in err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "command", [("plan",), ("sheet", "--no-film", "-o", "s.html")], ids=lambda c: c[0]
)
def test_a_lamp_that_would_be_dark_is_refused_until_it_is_accepted(run, tmp_path, command):
    (tmp_path / "front.toml").write_text(
        'title = "Front"\nscene = "front"\n[lamps.headlamp]\noutput = 1\ncolour = "#ffffff"\n'
        'pattern = { kind = "steady" }\nplace = "head_left"\n'
    )
    call = (command[0], "front.toml", "-d", "carrow_lantern", *command[1:])
    code, _, err = run(*call)
    assert code == 2
    assert "both directions asked, forward only will be seen" in err
    assert "or accept it with --accept-dark" in err
    assert not (tmp_path / "s.html").exists()
    assert run(*call, "--accept-dark")[0] == 0
