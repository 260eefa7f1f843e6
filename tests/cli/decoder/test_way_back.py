"""A chain of plans leads back to the values that were there first."""

from __future__ import annotations

import os
import re

import pytest

from fxstudio.decoder.leaflet.files import shipped
from fxstudio.decoder.values.lists import read_values

pytestmark = pytest.mark.usefixtures("small_stills")

FIRST = "cv,value\n3,5\n35,4\n36,8\n143,248\n144,248\n149,40\n"
PLAN = ("plan", "-d", "withybank_glim")
DAY = r"\d{4}-\d\d-\d\d"


@pytest.fixture
def chain(run, tmp_path):
    """Two plans, one after the other; each keeps its restore list and the list after."""
    (tmp_path / "first.csv").write_text(FIRST)
    one = ("--present", "first.csv", "--restore", "one.txt", "--after", "now1.csv")
    two = ("--present", "now1.csv", "--restore", "two.txt", "--after", "now2.toml")
    assert run(*PLAN, "banked_fire", *one, "--extra", "3=20:gently")[0] == 0
    assert run(*PLAN, "chimney_first", *two)[0] == 0
    return tmp_path


def writes(text: str) -> dict[str, int]:
    return {cv: int(value) for cv, value in re.findall(r"\[ \] +\d+\.  (CV\d+) = (\d+) ", text)}


def test_a_restore_list_names_the_one_that_leads_further_back(chain):
    one, two = (" ".join((chain / name).read_text().split()) for name in ("one.txt", "two.txt"))
    assert re.search(f"Made on {DAY}", one)
    assert "an earlier plan" not in one
    assert re.search(f"that plan, one.txt of {DAY}, leads further back", two)
    assert "CV143 = 248, CV144 = 248, CV149 = 40." in one


def test_following_the_chain_leads_to_the_first_values(chain):
    held = {str(cv): value for cv, value in read_values(chain / "now2.toml").items()}
    for name in ("two.txt", "one.txt"):
        held |= writes((chain / name).read_text())
    assert held == {str(cv): value for cv, value in read_values(chain / "first.csv").items()}


def test_the_sheet_names_the_earlier_restore_list_too(run, chain):
    words = ("sheet", "banked_fire", "-d", "withybank_glim", "--no-film", "-o", "s.html")
    assert run(*words, "--present", "now2.toml")[0] == 0
    assert re.search(f"two.txt of {DAY}", (chain / "s.html").read_text())
    assert run(*words, "--present", "now2.toml", "--replace")[0] == 0
    assert run(*words, "--present", "first.csv", "--replace")[0] == 2


def test_a_plan_without_writes_passes_the_chain_on(run, chain):
    words = (*PLAN, "chimney_first", "--present", "now2.toml", "--after", "same.csv")
    assert run(*words)[0] == 0
    assert "two.txt of" in (chain / "same.csv").read_text()


def test_back_to_an_earlier_list_in_one_plan(run, chain):
    code, _, _ = run(
        *PLAN,
        "--back-to",
        "first.csv",
        "--present",
        "now2.toml",
        "-o",
        "plan.txt",
        "--after",
        "now3.csv",
    )
    assert code == 0
    assert read_values(chain / "now3.csv") == read_values(chain / "first.csv")
    there, back = (chain / "plan.txt").read_text().split("Restore list: ")
    now = {str(cv): value for cv, value in read_values(chain / "now2.toml").items()}
    assert now | writes(there) == {str(c): v for c, v in read_values(chain / "first.csv").items()}
    assert now | writes(back) == now


def test_what_the_earlier_list_leaves_out_is_set_as_delivered(run, chain):
    (chain / "short.csv").write_text("cv,value\n143,200\n")
    code, out, _ = run(
        *PLAN, "--back-to", "short.csv", "--present", "now2.toml", "--after", "now3.csv"
    )
    assert code == 0
    assert "Not in the list to go back to, so set as delivered: CV35, CV36, CV144, CV149." in out
    held = {str(cv): value for cv, value in read_values(chain / "now3.csv").items()}
    assert (held["CV143"], held["CV144"], held["CV3"]) == (200, 248, 20)  # nobody knows CV3


def test_a_page_and_read_only_cvs_of_an_earlier_list_are_not_written(run, tmp_path):
    same = "7,12,,\n8,99,,\n31,0,,\n32,255,,\n"
    (tmp_path / "first.csv").write_text(f"cv,value,cv31,cv32\n{same}260,1,40,3\n")
    (tmp_path / "now.csv").write_text(
        f"cv,value,cv31,cv32\n{same.replace('0,,', '40,,').replace('255', '3')}260,3,40,3\n"
    )
    call = ("plan", "-d", "tolley_hearth", "--present", "now.csv", "-o", "plan.txt")
    assert run(*call, "--back-to", "first.csv")[0] == 0
    assert writes((tmp_path / "plan.txt").read_text().split("Restore list")[0]) == {}
    assert "CV260 (CV31 = 40, CV32 = 3) = 1 " in (tmp_path / "plan.txt").read_text()


@pytest.mark.parametrize(
    ("words", "problem"),
    [
        (["--back-to", "first.csv"], "needs to know what the decoder holds now"),
        (["banked_fire", "--back-to", "first.csv"], "already says what the decoder shall hold"),
        ([], "which effect?"),
        (["--back-to", "gone.csv", "--present", "now2.toml"], "there is no such file"),
        (
            ["--back-to", "now1.csv", "--present", "now2.toml", "--to-read", "x.csv"],
            "comes before",
        ),
    ],
)
def test_wrong_ways_back_are_refused(refused, chain, words, problem):
    refused(*PLAN, *words, problem=problem)


@pytest.mark.parametrize("option", ["--restore", "-o"])
def test_a_restore_list_gives_way_only_to_one_from_the_same_present_values(run, chain, option):
    kept = (*PLAN, "banked_fire", option, "one.txt")
    before = (chain / "one.txt").read_text()
    for present in (("--present", "first.csv"), ()):
        code, _, err = run(*kept, *present)
        assert (code, "one.txt: is there already" in err) == (2, True)
    for present in (("--present", "now2.toml"), ()):
        code, _, err = run(*kept, *present, "--replace")
        assert (code, "it is never replaced" in err) == (2, True)
    assert (chain / "one.txt").read_text() == before
    assert run(*kept, "--present", "first.csv", "--replace")[0] == 0
    assert (chain / "one.txt").read_text() != before  # without the extra CV


def test_no_other_file_takes_the_place_of_a_restore_list(refused, chain):
    (chain / "one.txt").rename(chain / "one.csv")
    call = ("banked_fire", "--present", "first.csv", "--after", "one.csv", "--replace")
    refused(*PLAN, *call, problem="it is never replaced")
    (chain / "old.gif").write_text("Restore list: back to what it held before\n")
    refused("film", "banked_fire", "-o", "old.gif", "--replace", problem="it is never replaced")


def test_names_that_break_over_lines_are_the_same_present_values(run, tmp_path):
    text = shipped()["withybank_glim"].read_text("utf-8")
    title = "A-decoder-of-a-very-long-name-that-is-broken-at-its-hyphens-where-a-line-ends"
    text = re.sub('^title = ".*"', f'title = "{title}"', text, count=1, flags=re.MULTILINE)
    (tmp_path / "long.toml").write_text(text)
    call = ("plan", "banked_fire", "-d", "long.toml", "--restore", "back.txt")
    assert run(*call)[0] == 0
    assert run(*call, "--replace")[0] == 0


def test_a_name_that_no_text_can_hold(run, chain):
    name = os.fsdecode(b"back\xff.txt")
    words = ("--present", "now2.toml", "--restore", name, "--after", "now3.csv")
    assert run(*PLAN, "banked_fire", *words)[0] == 0
    assert "back?.txt of 2" in (chain / "now3.csv").read_text()


def test_a_restore_list_on_paper_is_no_list_of_values(refused, chain):
    back = ("--back-to", "one.txt", "--present", "now1.csv")
    refused(*PLAN, *back, problem="is a restore list on paper, not a list of values")


def test_what_nobody_read_is_not_said_to_be_set_back(run, tmp_path):
    """The pages that a plan selects, where the selected one was not known before."""
    files = ("--restore", "back.txt", "--after", "now.csv")
    assert run("plan", "banked_fire", "-d", "tolley_hearth", *files)[0] == 0
    pages = [row for row in (tmp_path / "now.csv").read_text().splitlines() if row.startswith("3")]
    assert [row.split(",")[0] for row in pages] == ["31", "32"]
    assert all(row.endswith(",") for row in pages)
