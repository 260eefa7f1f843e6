"""A description printed back as a leaflet, in plain words, to hold against the paper."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

from fxstudio.decoder.leaflet.cells import Cell, CellPart
from fxstudio.decoder.leaflet.evaluator import runs_text
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import PROPERTIES, UNKNOWN, Unknown, is_silent
from fxstudio.documents.models import field_facts
from fxstudio.effect.keys import KEYS, key_words
from fxstudio.effect.patterns import Pattern, Steady
from fxstudio.units import percent

MOST_ROWS: Final = 16
"""A table of more codes than this shows the ends and some between."""


MOST_KEYS: Final = 4
"""Of more keys than these that can light an output, the first and the last are told."""


NOT_PRINTED: Final = "not printed"


class Silence(NamedTuple):
    """One thing that a leaflet may leave out.

    what : it, as a question that could be asked: `how fast`
    find : how a person finds it out: `count its changes in ten seconds`
    """

    what: str
    find: str


COMPARE: Final = "compare it with films"
CLIP: Final = "take a clip of it and count its pictures"

SILENCES: Final[Mapping[str, Silence]] = {
    "effect": Silence("what its light does", f"look at it, or {COMPARE}"),
    "key": Silence("which key lights it", "try all keys, one after the other"),
    "rate_hz": Silence("how fast", f"count its changes in ten seconds, or {COMPARE}"),
    "level": Silence("how bright", COMPARE),
    "highest": Silence("how bright at most", COMPARE),
    "lowest": Silence("how dark at least", COMPARE),
    "style": Silence("whether it jumps or drifts", COMPARE),
    "period_s": Silence("how long from one flash to the next", "count its flashes in a minute"),
    "on_share": Silence("for what share of that it is bright", CLIP),
    "on_s": Silence("how long it is bright", CLIP),
    "off_s": Silence("how long it is dark", CLIP),
    "rise_s": Silence("how long it takes to come up", CLIP),
    "fall_s": Silence("how long it takes to die away", CLIP),
}
"""By the name of the property or of the pattern's field; others are compared with films."""


def silence_of(name: str, pattern: type[Pattern]) -> Silence:
    """What is not known of a light, by its name in `says.PROPERTIES` or in the pattern."""
    facts = field_facts(pattern)
    words = facts[name].words if name in facts else PROPERTIES[name].words
    return SILENCES.get(name) or Silence(words, COMPARE)


OUTPUT_HEADINGS: Final = (
    ("output", "left"),
    ("wire", "left"),
    ("key", "left"),
    ("at most", "right"),
)
"""Title and side of each column of `output_lines`."""


@dataclass(frozen=True)
class Paragraph:
    """What a leaflet says of one number that the decoder keeps.

    heading : which CVs, and of whom
    sum : how the value is made up; empty if it is one code
    tables : of each part its title, and rows of codes and what they say
    mind : what has to be minded in writing it: a lock, what it resets, the largest value
    delivered : values as delivered
    examples : worked values: the value, its sum, and what it says
    """

    heading: str
    sum: str
    tables: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    mind: tuple[str, ...]
    delivered: str
    examples: tuple[tuple[int, str, str], ...]


PLACES: Final = (
    *("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"),
    *(f"{number}th" for number in range(9, 17)),
)


def paragraphs(leaflet: Leaflet) -> Iterator[Paragraph]:
    """Cells that say the same of different outputs, together; the standard's map left out."""
    alike: dict[object, list[Cell]] = {}
    for cell in leaflet.cells.values():
        if not cell.standard:
            alike.setdefault(_shape(cell), []).append(cell)
    for cells in alike.values():
        yield _paragraph(cells)


def _shape(cell: Cell) -> object:
    """What a cell says and what has to be minded in writing it, without of whom."""
    parts = (
        (part.times, _heading(part, True), tuple((code, part.words(code)) for code in part.codes))
        for part in cell.parts
    )
    return cell.offset, tuple(_mind(cell)), tuple(parts)


def not_known(leaflet: Leaflet) -> tuple[str, ...]:
    """What the leaflet leaves out, a sentence each, with how it can be found."""
    told: dict[str, list[str]] = {}
    silent = [str(cell.cv) for cell in leaflet.cells.values() if cell.delivered is None]
    if silent:
        told["the value as delivered. Read it and note it down before you write it."] = silent
    for cell, _, part in leaflet.parts():
        for name in _silent(part):
            title = part.title.rpartition(" of ")[0] or part.title
            told.setdefault(_ask(title, name, Steady), []).append(str(cell.cv))
        if part.known == "guess":
            for name in sorted(part.names):
                told.setdefault(_ask(f"{part.title}, a guess", name, Steady), []).append(
                    str(cell.cv)
                )
    said = {name for _, _, part in leaflet.parts() for name in part.names}
    if said & {"on_s", "off_s"}:
        said |= {"on_share"}
    for output in leaflet.outputs:
        if output.key == UNKNOWN and any(s.key for s in leaflet.lit_by[output.number]):
            told.setdefault(_ask(output.title, "key", Steady), [])
    for look in leaflet.looks.values():
        open_ = sorted(look.unknown - said)
        if look.flickers and look.rate_hz is None and "rate_hz" not in said:
            open_.append("rate_hz")
        if look.silent and look.name not in (UNKNOWN, *leaflet.told_elsewhere):
            open_ = ["effect"]
        for name in open_:
            told.setdefault(_ask(look.name, name, look.pattern), [])
    return tuple(f"{_in(cvs)}{words}" for words, cvs in told.items())


def _ask(of: str, name: str, pattern: type[Pattern]) -> str:
    """`random flicker: how fast. Count its changes in ten seconds.`"""
    said = silence_of(name, pattern)
    return f"{of}: {said.what}. {said.find[0].upper()}{said.find[1:]}."


def _in(cvs: Sequence[str]) -> str:
    """`CV141, `; of many the first and the last."""
    told = list(dict.fromkeys(cvs))
    if len(told) > MOST_KEYS:
        return f"{told[0]} to {told[-1]}, "
    return "".join(f"{cv}, " for cv in told)


def _silent(part: CellPart) -> tuple[str, ...]:
    """The properties that some of its codes leave open."""
    values = (each for said in part.codes.values() for each in said)
    return tuple(dict.fromkeys(each.name for each in values if is_silent(each.value)))


def output_lines(leaflet: Leaflet) -> Iterator[tuple[str, str, str, str]]:
    """Of each output its name, wire and keys, and what it may carry."""
    for output in leaflet.outputs:
        switches = leaflet.lit_by[output.number]
        keys = dict.fromkeys(
            "set by a CV"
            if switch.key is None
            else NOT_PRINTED
            if switch.key == UNKNOWN
            else key_words(switch.key)
            for switch in switches
        )
        limit = f"{output.limit_ma:g} mA" if output.limit_ma else "not printed"
        told = ", ".join(keys) or "none"
        if len(keys) > MOST_KEYS:
            told = f"{next(iter(keys))} to {list(keys)[-1]}"
        yield output.title, output.wire, told, limit


def limit_lines(leaflet: Leaflet) -> Iterator[str]:
    """What its outputs may carry together, a sentence each."""
    if leaflet.limit_ma is not None:
        yield f"All outputs together: at most {leaflet.limit_ma:g} mA."
    for group in leaflet.limits:
        yield f"{' and '.join(group.of)} together: at most {group.limit_ma:g} mA."


def last_lines(leaflet: Leaflet) -> Iterator[str]:
    """The map of the standard and what is written only on demand, a sentence each."""
    if leaflet.keys != "fixed":
        yield "Which key lights what: CV33 to CV46, as in NMRA S-9.2.2."
    for look in leaflet.looks.values():
        if look.known != "leaflet":
            sure = "" if look.within is None else f", right to {percent(look.within)} up or down"
            yield f"Of {look.name} the figures are not printed: {look.known}{sure}."
    for row in leaflet.also:
        yield f"Only when you ask for it, {row.name}: CV{row.cv} = {row.value}, {row.why}."


def _paragraph(cells: Sequence[Cell]) -> Paragraph:
    first = cells[0]
    pages = {cell.cv.page for cell in cells}
    numbers = ", ".join(_named(cell, cells, len(pages) == 1) for cell in cells[:MOST_ROWS])
    if len(pages) == 1 and first.cv.page:
        cv31, cv32 = first.cv.page
        numbers = f"{numbers}, with CV31 = {cv31} and CV32 = {cv32}"
    parts = [part for part in first.parts if not part.others and not part.in_sum]
    titles: dict[tuple[tuple[str, str], ...], list[str]] = {}
    for part in parts:
        titles.setdefault(tuple(_rows(part)), []).append(_heading_in(first, part, len(cells) > 1))
    tables = tuple((", ".join(each), rows) for rows, each in titles.items())
    told = [NOT_PRINTED if c.delivered is None else str(c.delivered) for c in cells]
    delivered = told[0] if len(set(told)) == 1 else ", ".join(told)
    examples = tuple(_examples(first)) if len(first.parts) > 1 else ()
    return Paragraph(
        numbers, _sum(first, len(cells) > 1), tables, tuple(_mind(first)), delivered, examples
    )


def _named(cell: Cell, cells: Sequence[Cell], one_page: bool) -> str:
    """`CV114`, or with others of its kind `CV114 (white (output 1))`."""
    cv = f"CV{cell.cv.number}" if one_page else str(cell.cv)
    subjects = dict.fromkeys(
        part.title.rpartition(" of ")[2].partition(" lights: ")[0]
        for part in cell.parts
        if not part.others
    )
    few = 1 <= len(subjects) <= MOST_KEYS
    return cv if len(cells) == 1 or not few else f"{cv} for {' and '.join(subjects)}"


def _heading(part: CellPart, family: bool) -> str:
    """Its title; without of whom, where it stands for several alike."""
    if not family:
        return part.title
    whose, lights, output = part.title.partition(" lights: ")
    if part.in_sum and whose and lights:
        return f"lights: {output}"
    return part.title.rpartition(" of ")[0] or part.title


def _heading_in(cell: Cell, part: CellPart, family: bool) -> str:
    """Its heading, with its place among those of the cell that would be called the same."""
    title = _heading(part, family)
    same = [each for each in cell.parts if not each.in_sum and _heading(each, family) == title]
    if len(same) < 2:
        return title
    return f"{title} of the {PLACES[same.index(part)]}"


def _sum(cell: Cell, family: bool) -> str:
    if len(cell.parts) == 1 and cell.parts[0].times == 1 and not cell.offset:
        return ""
    told = [str(cell.offset)] if cell.offset else []
    added: dict[str, list[str]] = {}
    for part in cell.parts:
        if part.in_sum:
            says, _, of = _heading(part, family).partition(": ")
            added.setdefault(says, []).append(f"{part.times} for {of}")
        else:
            title = _heading_in(cell, part, family)
            told.append(title if part.times == 1 else f"{part.times} x {title}")
    told += [f"a sum for {says} ({', '.join(each)})" for says, each in added.items()]
    return "value = " + " + ".join(told)


def _rows(part: CellPart) -> Iterator[tuple[str, str]]:
    """Codes and what they say, runs that say the same as one row, some of many."""
    runs: list[tuple[list[int], str]] = []
    ends: list[int] = []  # where another thing begins to be said
    keys = _key_runs(part)
    for code in part.codes:
        words = keys.get(code) or part.words(code)
        if runs and runs[-1][1] == words:
            runs[-1][0].append(code)
            continue
        if not runs or _kind(part, code) != _kind(part, runs[-1][0][0]):
            ends.append(len(runs))
        runs.append(([code], words))
    if len(runs) > MOST_ROWS:
        runs = [runs[at] for at in _some_rows(ends, len(runs))]
    for codes, words in runs:
        yield runs_text(codes), words


def _key_runs(part: CellPart) -> dict[int, str]:
    """What runs of codes say that are the numbers of keys in order, by code."""
    runs: list[list[tuple[int, int]]] = []
    for code, said in part.codes.items():
        keys = [KEYS.index(str(e.value)) for e in said if e.name == "key" and e.value in KEYS]
        if len(said) != 1 or len(keys) != 1:
            continue
        if runs and (code - 1, keys[0] - 1) == runs[-1][-1]:
            runs[-1].append((code, keys[0]))
        else:
            runs.append([(code, keys[0])])
    found: dict[int, str] = {}
    for run in (run for run in runs if len(run) > MOST_KEYS):
        (first, key), (_, last) = run[0], run[-1]
        shift = key - first
        number = f"code {'+' if shift > 0 else '-'} {abs(shift)}" if shift else "the code"
        words = f"on {KEYS[key]} to {KEYS[last]}: the number of the key is {number}"
        found |= dict.fromkeys((code for code, _ in run), words)
    return found


def _kind(part: CellPart, code: int) -> object:
    """What a code says without its figures."""
    said = part.codes[code]
    return [(e.name, None if isinstance(e.value, float | Unknown) else e.value) for e in said]


def _some_rows(starts: Sequence[int], count: int) -> Iterator[int]:
    """Of each run of rows its ends, and some rows between them."""
    for start, end in zip(starts, [*starts[1:], count], strict=True):
        most = min(end - start, MOST_ROWS // 2)
        step = (end - 1 - start) / max(1, most - 1)
        yield from (start + round(step * at) for at in range(most))


def _mind(cell: Cell) -> Iterator[str]:
    """A lock, what is reset and the largest value, a sentence each."""
    for words, writes in (("Before it", cell.lock.before), ("After it", cell.lock.after)):
        if writes:
            told = ", ".join(f"{cv} = {value}" for cv, value in writes)
            yield f"{words} write {told}."
    if cell.resets:
        yield f"Writing it puts {', '.join(map(str, cell.resets))} back to delivered."
    for part in cell.parts:
        if part.known != "leaflet":
            sure = "" if part.within is None else f", right to {percent(part.within)} up or down"
            yield f"Of {part.title} the figures are not printed: {part.known}{sure}."
    if cell.highest is not None:
        yield f"No value above {cell.highest}."


def _examples(cell: Cell) -> Iterator[tuple[int, str, str]]:
    """The delivered value and some others, with their sums in words."""
    values = sorted(cell.table)
    some = (cell.supposed, values[len(values) // 2], values[-1])
    for value in dict.fromkeys(some):
        words = ", ".join(_in_example(cell, value))
        yield value, cell.sum_words(cell.table[value]), words or "nothing"


def _in_example(cell: Cell, value: int) -> Iterator[str]:
    for part, code in cell.words(value):
        if not part.in_sum:
            yield f"{part.title}: {part.words(code)}" if len(cell.parts) > 3 else part.words(code)
        elif code:
            yield part.title
