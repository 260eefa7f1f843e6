"""The bench sheet: what stands on it, that it is sound HTML, and how it prints."""

from __future__ import annotations

import re
import shutil
import subprocess
from base64 import b64decode
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import html5lib
import pytest
from decoders import CARROW, FLICKER, GLIM, TOLLEY, effect, said_as, said_of
from PIL import Image
from sources import truth

from fxstudio.cautions import CAUTIONS
from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.files import load_decoder
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.writing.extras import Extra
from fxstudio.decoder.writing.plan import plan
from fxstudio.documents.reading import parse
from fxstudio.effect.drive import Drive
from fxstudio.effect.files import read_effect, shipped_effects
from fxstudio.effect.led import led_kind
from fxstudio.effect.model import Colour
from fxstudio.electrics.resistor import LED_COLOURS
from fxstudio.export import bench_sheet as making
from fxstudio.export.bench_sheet import TOO_LONG, TOO_MANY_FLASHES, bench_sheet, moments, stills
from fxstudio.export.wiring import Solder, wiring
from fxstudio.film.making import FlashError
from fxstudio.film.take import Shot, TooLargeError
from fxstudio.light.truth_table import proving_steps, truth_table

pytestmark = pytest.mark.usefixtures("small_stills")  # but for what `printed` keeps

FIREHOLE = read_effect(shipped_effects()["firehole_door"])


def sheet(look=FIREHOLE, decoder=TOLLEY, **options):
    """A sheet without its film, and its tree; a mistake in the HTML raises."""
    html = bench_sheet(look, decoder, **{"with_film": False, **options})
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    return html, parser.parse(html)


@pytest.fixture(scope="module")
def printed():
    return sheet()


def words(node) -> str:
    return " ".join("".join(node.itertext()).split())


def rows(tree, name: str) -> list[list[str]]:
    return [[words(cell) for cell in row] for row in by_id(tree, name).findall(".//tbody/tr")]


def by_id(tree, name: str):
    (found,) = (node for node in tree.iter() if node.get("id") == name)
    return found


def sources(tree) -> list[str]:
    return [v for node in tree.iter() for k, v in node.attrib.items() if k in ("src", "srcset")]


def test_it_is_one_file_that_asks_for_nothing(printed):
    html, tree = printed
    assert html.lstrip().startswith("<!DOCTYPE html>")
    tags = {node.tag for node in tree.iter()}
    assert not tags & {"script", "link", "iframe", "object", "a"}
    assert all(address.startswith("data:image/png;base64,") for address in sources(tree))
    text = re.sub(r"data:[a-z/]+;base64,[A-Za-z0-9+/=]+", "", html)
    for outside in ("http", "//", "url(", "@import"):
        assert outside not in text
    assert not any(name.startswith("on") for node in tree.iter() for name in node.attrib)


def test_the_same_sheet_twice_is_the_same_bytes():
    assert sheet()[0] == sheet()[0]


NASTY = '<script>alert("1")</script>&amp;\'"'


def test_markup_in_any_name_stays_text():
    data = said_of(TOLLEY)
    data["title"] = NASTY
    data["outputs"][2]["wire"] = NASTY[:40]
    data["effect"]["codes"][0]["name"] = NASTY
    look = effect(**{NASTY[:40]: {"output": 3, "key": "F1", "place": "bed"}})
    look = look.model_copy(update={"title": NASTY, "note": NASTY, "locomotive": NASTY})
    extra = Extra(CvAddress(3), 20, NASTY)
    decoder = said_as(data)
    html, tree = sheet(look, decoder, present={CvAddress(3): 5}, extra=[extra])
    assert "<script" not in html
    assert "script" not in {node.tag for node in tree.iter()}
    assert words(tree.find(".//h1")) == NASTY
    assert NASTY in rows(tree, "write-list")[0][-1]
    assert NASTY[:40] in rows(tree, "test-list")[1][4]


@pytest.mark.parametrize("decoder", [GLIM, CARROW, TOLLEY], ids=lambda d: d.title)
def test_every_write_and_the_whole_way_back_are_on_it(decoder):
    _, tree = sheet(decoder=decoder)
    made = plan(compile_effect(FIREHOLE, decoder), None, decoder)
    assert made.steps
    for name, steps in (("write-list", made.steps), ("restore-list", made.restore)):
        found = rows(tree, name)
        assert len(found) == len(steps)
        for number, (row, step) in enumerate(zip(found, steps, strict=True), start=1):
            page = step.cv.page
            where = f"CV{step.cv.number}"
            if page:
                where += f" CV31 = {page[0]}, CV32 = {page[1]}"
            was = "?" if step.before is None else str(step.before)
            assert row[1:4] == [str(number), where, str(step.value)]
            assert row[4] == f"{step.value:08b}0x{step.value:02X}"
            assert row[5] == was
            assert row[-1] == f"{step.why}{step.seen}"
    boxes = [node for node in tree.iter("input") if node.get("type") == "checkbox"]
    labels = {box.get("aria-label") for box in boxes}
    assert len(labels) >= len(made.steps)
    assert all(labels)


def test_present_values_count_and_what_is_there_already_is_told():
    present = {CvAddress(35): 12, CvAddress(36): 0}  # the keys as the effect wants them
    _, tree = sheet(decoder=GLIM, present=present)
    cvs = [row[2] for row in rows(tree, "write-list")]
    assert "CV35" not in cvs
    assert "CV143" in cvs
    assert "Already as needed: CV35 = 12, CV36 = 0." in words(tree)
    assert "Needed as delivered" not in words(tree)


def test_the_way_back_has_a_blank_for_each_value_that_nobody_read():
    _, tree = sheet(decoder=GLIM)
    words_ = words(by_id(tree, "restore"))
    assert "Where no present value was given, this is the value as delivered" in words_
    assert "you read" in words_
    blanks = [
        cell for cell in by_id(tree, "restore-list").iter("td") if cell.get("class") == "read"
    ]
    assert len(blanks) == len(rows(tree, "restore-list"))
    _, tree = sheet(decoder=GLIM, present=GLIM.delivered)
    assert "as delivered" not in words(by_id(tree, "restore"))
    assert "you read" not in words(by_id(tree, "restore"))


def test_what_must_be_as_delivered_is_to_be_read_and_ticked():
    """A CV that is not written because nobody read it may hold something else."""
    bed = effect(bed={"output": 3, "key": "F1"})
    _, tree = sheet(bed, TOLLEY)
    lines = [words(item) for item in by_id(tree, "to-read")]
    assert lines[0] == "CV35 = 4"
    assert "no other key lights these lamps, by CV33, CV34, CV36" in words(tree)
    assert "with CV31 = 40, CV32 = 2: CV260 = 1, CV261 = 0, CV264 = 255" in lines
    assert all(item.find("input") is not None for item in by_id(tree, "to-read"))
    assert "Nothing needs to be written if the decoder is as delivered." in words(tree)
    assert "is taken to be as delivered" in words(tree)


def test_pages_that_may_be_parted_say_which_locomotive_they_are_for(printed):
    _, tree = printed
    for part in ("writing", "restore"):
        said = words(by_id(tree, part))
        assert said.startswith(f"{FIREHOLE.title}, {FIREHOLE.locomotive}, on {TOLLEY.title}")


def test_no_line_ends_between_a_number_and_its_unit(printed):
    html, _ = printed
    assert "100\N{NO-BREAK SPACE}%" in html
    assert "100 %" not in html
    assert "4 Hz" not in html


def test_with_nothing_to_write_there_is_no_list():
    compiled = compile_effect(FIREHOLE, GLIM)
    html, tree = sheet(decoder=GLIM, present=compiled.by_cv)
    assert "Nothing needs to be written" in html
    assert [node for node in tree.iter() if node.get("id") in ("write-list", "restore")] == []


def test_cautions_stand_where_the_danger_is(printed):
    html, tree = printed
    places = {
        "look": ("looking",),
        "wiring": ("wiring",),
        "writing": ("before writing", "writing on the main"),
        "test": ("after writing",),
        "restore": ("restoring", "writing on the main"),
    }
    assert {step for steps in places.values() for step in steps} == set(CAUTIONS)
    for place, steps in places.items():
        said = [words(item) for item in by_id(tree, place).findall(".//ul[@class='cautions']/li")]
        assert said == [text for step in steps for text in CAUTIONS[step]]
        if place in ("wiring", "writing", "test", "restore"):  # ahead of the table they belong to
            part = ElementTree.tostring(by_id(tree, place), "unicode")
            assert part.index(said[-1]) < part.index("<table")
    assert "maker's manual" in html


def test_truth_table_and_test_steps_are_those_of_what_will_be_seen(printed):
    _, tree = printed
    seen = compile_effect(FIREHOLE, TOLLEY).seen
    expected = [
        [state.travel, state.keys_text, *("lit" if name in lit else "dark" for name in seen.lamps)]
        for state, lit in truth_table(seen).rows()
    ]
    assert rows(tree, "truth") == expected
    steps = list(proving_steps(seen).rows())
    found = rows(tree, "test-list")
    assert [(row[2], row[3], row[4]) for row in found] == [
        (state.travel, state.keys_text, ", ".join(lit) or "none") for state, lit in steps
    ]
    for row, (_, lit) in zip(found, steps, strict=True):
        assert row[5] == (", ".join(name for name in seen.lamps if name not in lit) or "none")


def test_many_lamps_stand_in_several_tables():
    many = effect(**{f"lamp {n}": {"output": n, "key": "F0", "place": "bed"} for n in range(1, 11)})
    _, tree = sheet(many)
    heads = [
        [words(cell) for cell in row][2:] for row in by_id(tree, "truth").findall(".//thead/tr")
    ]
    assert [len(head) for head in heads] == [8, 2]
    assert [name for head in heads for name in head] == list(many.lamps)


def test_compromises_are_told():
    _, tree = sheet(decoder=GLIM)
    found = [words(item) for item in by_id(tree, "compromises").iter("li")]
    assert found == [str(entry) for entry in compile_effect(FIREHOLE, GLIM).compromises]


# -- wires and resistors --------------------------------------------------------------------


def test_wires_and_contacts_are_those_of_the_standards():
    every = {
        name: {"output": n, "key": "F0"}
        for n, name in enumerate(("front", "rear", "three", "four"), 1)
    }
    found = {row.lamp: row for row in wiring(effect(**every), GLIM).rows}
    colours = {row["output"]: row["colour"] for row in truth("wires.csv")}
    pins = {
        (row["plug"], colour): str(contact)
        for row in truth("plugs.csv")
        for contact, colour in enumerate(row["contacts"].split(), 1)
    }
    for lamp, output in (("front", "1"), ("rear", "2"), ("three", "3"), ("four", "4")):
        row = found[lamp]
        assert (row.output, row.wire) == (output, colours[output])
        assert row.contacts == tuple(
            pins.get((plug, row.wire), "none") for plug in ("nem651", "nem652")
        )
    assert found["all"].wire == "blue"
    assert found["all"].contacts == ("none", pins["nem652", "blue"])


def test_a_wire_without_a_colour_is_told_as_the_description_does(printed):
    _, tree = printed
    table = rows(tree, "wiring")
    assert [row[3] for row in table] == ["green", "violet", "terminal 5", "terminal 6", "blue"]
    drawn = [node for node in by_id(tree, "wiring").iter() if node.tag.endswith("}rect")]
    # Drawn, not a background: backgrounds are not printed. The last is the resistor's symbol.
    assert len(drawn) == 3 + 1


def test_resistors_by_hand():
    # R = (V - forward voltage) / I, next E12 value up (IEC 60063); 15 V and at most 22 V (S-9.1).
    amber = effect(bed={"output": 3, "key": "F1", "colour": {"wavelength_nm": 605}})
    (row, _) = wiring(amber, GLIM).rows
    assert row.led == "orange, 605 nm"
    assert row.resistor == "2.7 kilohm"  # (15 - 2.1) / 5 mA = 2.58 kilohm
    assert row.current == "4.8 of 100 mA"  # 12.9 V / 2.7 kilohm
    assert row.rating == "500 mW or more"  # twice 19.9^2 / 2700 = 293 mW
    red = Solder("n", 10.0, "E24", {"bed": "red"})
    (row, _) = wiring(amber, GLIM, red).rows
    assert row.resistor == "1.1 kilohm"  # (12 - 1.95) / 10 mA = 1005 ohm
    much = Solder("ho", 15.0, "E24", {"bed": "red"})
    (row, _) = wiring(amber, GLIM, much).rows
    assert row.rating == "1 W or more"  # (15 - 1.95) / 15 mA: 910 ohm; twice 20.05^2 / 910 = 884 mW


def test_too_much_current_is_minded():
    minds = wiring(FIREHOLE, TOLLEY, Solder(current_ma=250.0)).minds
    assert any("may switch only" in text for text in minds)
    _, tree = sheet(solder=Solder(current_ma=250.0))
    assert all(text in words(by_id(tree, "wiring")) for text in minds)


@pytest.mark.parametrize(
    ("colour", "kind"),
    [
        ({"wavelength_nm": 630}, "red"),
        ({"wavelength_nm": 605}, "orange"),
        ({"wavelength_nm": 595}, "amber"),
        ({"wavelength_nm": 588}, "yellow"),
        ({"wavelength_nm": 525}, "modern-green"),
        ({"wavelength_nm": 380}, "blue"),
        ({"temperature_k": 2700}, "white"),
        ({"temperature_k": 1900}, "amber"),
        ({"temperature_k": 1200}, "orange"),
        ("#ff0000", "red"),
        ("#00ff00", "modern-green"),
        ("#0000ff", "blue"),
        ("#ffffff", "white"),
        ("#ff8000", "amber"),
        ("#ffbf00", "yellow"),
    ],
)
def test_the_kind_of_led_for_a_colour(colour, kind):
    """Common practice, no source."""
    assert kind in LED_COLOURS
    assert led_kind(parse(Colour, {"hex": colour} if isinstance(colour, str) else colour)) == kind


# -- pictures ------------------------------------------------------------------------------


def pictures(tree) -> list[Image.Image]:
    return [Image.open(BytesIO(b64decode(text.split(",", 1)[1]))) for text in sources(tree)]


def test_the_strip_shows_the_effect_under_way(printed):
    _, tree = printed
    assert [picture.size for picture in pictures(tree)] == [(288, 192)] * 4
    captions = [words(node) for node in by_id(tree, "look").iter("figcaption")]
    assert captions == [
        "1 s: forward, F1, F4",
        "2.75 s: forward, F1, F3, F4",
        "4.25 s: forward, F1, F3, F4",
        "6.5 s: forward, F1, F4",
    ]


def test_a_still_is_the_moment_it_says():
    steps = [
        {"at_s": 0.0, "travel": "forward", "keys": ["F1"]},
        {"at_s": 2.0, "travel": "reverse"},
    ]
    turning = parse(Drive, {"length_s": 4.0, "steps": steps})
    shown = read_effect(shipped_effects()["bunker_first"]).model_copy(update={"drive": turning})
    dark, lit = stills(shown)[1:3]
    assert dark.caption == "1.5 s: standing, forward, F1"
    assert lit.caption == "2.5 s: standing, reverse, F1"
    means = [sum(Image.open(BytesIO(still.png)).convert("L").tobytes()) for still in (dark, lit)]
    assert means[0] < 0.9 * means[1]


@pytest.mark.parametrize(
    ("starts", "length_s", "times"),
    [
        ([0], 4, [0.5, 1.5, 2.5, 3.5]),
        ([0, 2], 8, [1, 2.75, 4.25, 6.5]),
        ([1], 4, [0.5, 1.375, 2.125, 3.25]),
        (range(8), 8, [0.5, 1.5, 2.5, 3.5, 4.5, 5.5]),
    ],
)
def test_moments_lie_inside_the_parts_of_a_drive(starts, length_s, times):
    steps = [{"at_s": float(start), "travel": "forward"} for start in starts]
    assert moments(parse(Drive, {"length_s": float(length_s), "steps": steps})) == times


def test_the_film_is_for_the_screen_only(monkeypatch):
    monkeypatch.setattr(making, "FILM", Shot(96, 64, 5.0))
    html, tree = sheet(effect(bed={"output": 3, "key": "F1"}), GLIM, with_film=True)
    (figure,) = (n for n in tree.iter("figure") if "screen-only" in n.get("class", ""))
    (source,) = (node.get("src") for node in figure.iter("img"))
    assert source.startswith("data:image/gif;base64,R0lGODlh")  # GIF89a
    assert re.search(r"@media print \{[^@]*\.screen-only \{ display: none; \}", html, re.DOTALL)
    still = figure.find(".//source")  # for people who asked their browser for less motion
    assert still.get("media") == "(prefers-reduced-motion: reduce)"
    assert still.get("srcset").startswith("data:image/png;base64,")


@pytest.mark.parametrize(
    ("error", "told"), [(FlashError, TOO_MANY_FLASHES), (TooLargeError, TOO_LONG)]
)
def test_a_film_that_cannot_be_is_left_out_and_told(monkeypatch, error, told):
    def refuse(*_, **__):
        raise error("it cannot be")

    monkeypatch.setattr(making, "film", refuse)
    html, tree = sheet(with_film=True)
    assert "image/gif" not in html
    assert told in words(by_id(tree, "look"))


# -- on paper ------------------------------------------------------------------------------

PAPER = {"A4": (595, 842), "Letter": (612, 792)}
HEADLESS = (
    "--headless --no-sandbox --disable-gpu --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync --no-pdf-header-footer"
)


@pytest.mark.skipif(
    not (shutil.which("chromium") and shutil.which("pdftotext")),
    reason="needs Debian's chromium and poppler-utils to print",
)
@pytest.mark.parametrize("paper", PAPER)
def test_it_prints_whole(tmp_path, paper):
    """Every row is on the paper, inside its margins, in order."""
    lamp = {"place": "bed", "pattern": FLICKER}
    named = f"{'Unbroken' * 3} and long name"
    look = effect(
        **{f"{named} {n}": {"output": n, "key": f"F{n - 1}", **lamp} for n in range(1, 10)}
    )
    html = bench_sheet(look, TOLLEY, with_film=False)
    page, pdf = tmp_path / "sheet.html", tmp_path / "sheet.pdf"
    page.write_text(html.replace("@page {", f"@page {{ size: {paper};", 1), "utf-8")
    folder, out = f"--user-data-dir={tmp_path / 'profile'}", f"--print-to-pdf={pdf}"
    command = ["chromium", *HEADLESS.split(), folder, out, page.as_uri()]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    boxes = subprocess.run(
        ["pdftotext", "-bbox", pdf, "-"], check=True, capture_output=True, text=True
    ).stdout
    pages = re.findall(r'<page width="([\d.]+)" height="([\d.]+)">', boxes)
    assert {(round(float(w)), round(float(h))) for w, h in pages} == {PAPER[paper]}
    edges = [
        [float(edge) for edge in found]
        for found in re.findall(r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([\d.]+)"', boxes)
    ]
    assert min(edge[0] for edge in edges) > 28  # 10 mm; the margin is 12
    assert max(edge[2] for edge in edges) < PAPER[paper][0] - 28
    text = subprocess.run(
        ["pdftotext", "-layout", pdf, "-"], check=True, capture_output=True, text=True
    ).stdout
    made = plan(compile_effect(look, TOLLEY), None, TOLLEY)
    codes = re.findall(r"\b[01]{8}\b", text)
    assert codes == [step.binary for step in (*made.steps, *made.restore)]
    for caution in CAUTIONS["writing on the main"]:
        assert caution in " ".join(text.split())


# -- the command ---------------------------------------------------------------------------


def test_sheet_on_the_command_line(run, tmp_path):
    options = ("--decoder", "withybank_glim", "--no-film", "--led", "flames=yellow")
    code, out, _ = run("sheet", "banked_fire", *options)
    assert code == 0
    html = (tmp_path / "banked_fire.sheet.html").read_text("utf-8")
    assert "banked_fire.sheet.html: bench sheet" in out
    assert "resistors and soldering irons get hot" in out
    assert "yellow, 590\N{NO-BREAK SPACE}nm" in html
    (tmp_path / "now.csv").write_text("cv,value\n3,5\n")
    options += ("--present", "now.csv", "--extra", "3=20:gentler", "-o", "mine.html")
    code, _, _ = run("sheet", "banked_fire", *options)
    assert code == 0
    assert "gentler" in (tmp_path / "mine.html").read_text("utf-8")


WRONG = {
    "no decoder": ([], "which decoder?"),
    "led": (["-d", "withybank_glim", "--led", "x=red"], "is not a lamp of the effect"),
    "current": (["-d", "withybank_glim", "--current", "0"], "error field 'current': is out of"),
    "extra": (["-d", "withybank_glim", "--extra", "3=5:x"], "error field 'CV3': what it holds now"),
    "present": (["-d", "withybank_glim", "--present", "no.csv"], "there is no such file"),
    "folder": (["-d", "withybank_glim", "--no-film", "-o", "no/x.html"], "cannot be written"),
}


@pytest.mark.parametrize("case", WRONG)
def test_wrong_calls_write_nothing(refused, case):
    arguments, problem = WRONG[case]
    refused("sheet", "banked_fire", *arguments, problem=problem)


MARSH = load_decoder(
    Path(__file__).parents[1] / "decoder" / "leaflet" / "files" / "marsh_hollow.toml"
)


def test_what_is_not_known_has_a_blank_to_fill_in():
    _, tree = sheet(effect(4.0, fire={"output": 3, "key": "F1", "pattern": FLICKER}), MARSH)
    found = {row[1]: row for row in rows(tree, "to-fill-in")}
    assert found["how fast"][:3] == ["fire", "how fast", "drawn at 4 a second"]
    assert found["how fast"][3].startswith("count its changes in ten seconds")
    assert {row[4] for row in found.values()} == {""}


def test_nothing_is_to_be_filled_in_where_all_is_known(printed):
    assert "to-fill-in" not in {node.get("id") for node in printed[1].iter()}


@pytest.mark.parametrize("decoder", [GLIM, CARROW, TOLLEY, MARSH], ids=lambda d: d.title)
def test_its_last_page_is_the_description_in_words(decoder):
    fire = {"output": 2, "key": "F0", "travel": "reverse", "pattern": FLICKER}
    _, tree = sheet(effect(fire=fire), decoder)
    last = by_id(tree, "leaflet")
    told = words(last)
    assert last is tree.findall(".//section")[-1]
    outputs = [[words(cell) for cell in row] for row in last.find("table").findall(".//tbody/tr")]
    assert [row[:2] for row in outputs] == [[each.title, each.wire] for each in decoder.outputs]
    own = [cell for cell in decoder.cells.values() if not cell.standard]
    assert [f"CV{cell.cv.number}" for cell in own if f"CV{cell.cv.number}" not in told] == []


def test_a_wire_with_its_use_beside_its_colour_is_the_wire_of_that_colour():
    fire = effect(fire={"output": 3, "key": "F1", "pattern": FLICKER})
    plain, named = (wiring(fire, decoder).rows[0] for decoder in (GLIM, MARSH))
    assert (plain.wire, named.wire) == ("green", "green, aux 1")
    assert (named.swatch, named.contacts) == (plain.swatch, plain.contacts)
    assert named.swatch
