"""No other values serve an effect better: small decoders with all their values tried."""

from __future__ import annotations

from itertools import combinations, product

from decoder.search.judge import Judge
from decoder.search.small_decoders import MOST_VALUES, cases
from hypothesis import given, settings

from fxstudio.decoder.values.compile import compile_effect

UNSEEN = 0.0105
"""What nobody sees of one look, with what is rounded."""


def check_no_better(judge, mine, rivals):
    """A rival lit by keys that nobody asked for is none, nor one with codes of unknown meaning."""
    verdict, shows = judge(mine), judge.seen(mine)
    slack = UNSEEN * (len(judge.numbers) + len(judge.leaflet.output))
    for rival in rivals:
        if judge.guesses(rival):
            continue
        other = judge(rival)
        if rounded(other) < rounded(verdict):
            assert judge.brings_in(rival, mine), (verdict, other, mine, rival)
        if rounded(other) == rounded(verdict):
            as_lit = (other.missing, other.wrong) <= (verdict.missing, verdict.wrong)
            worse = as_lit and verdict.lost > other.lost + slack
            assert not worse or judge.brings_in(rival, mine), (verdict, other, mine, rival)
            if not verdict.out and judge.seen(rival) == shows:
                assert judge.writes(mine) <= judge.writes(rival), (mine, rival)


def rounded(verdict):
    """What goes above all measures; where a lamp stays dark, how many do."""
    return [round(each, 9) for each in verdict[: 1 if verdict.out else 3]]


def all_values(judge):
    """All values that change only parts which concern the lamps."""
    each = []
    for cv, cell in judge.leaflet.cells.items():
        fixed = [at for at, part in enumerate(cell.parts) if not judge.may_change(part)]
        now = cell.table[judge.before[cv]]
        codes = cell.table.items()
        each.append([value for value, row in codes if all(row[at] == now[at] for at in fixed)])
    for values in product(*each):
        yield dict(zip(judge.leaflet.cells, values, strict=True))


@settings(max_examples=100, deadline=None, derandomize=True)
@given(cases(most=MOST_VALUES))
def test_of_all_values_none_is_better(case):
    leaflet, asked, held = case
    found = compile_effect(asked, leaflet, held)
    judge = Judge(leaflet, asked, held)
    mine = judge.before | dict(found.target)
    check_no_better(judge, mine, all_values(judge))


def changed_codes(judge, values, count):
    """The values with up to `count` codes of their parts changed."""
    parts = [(cell, at) for cell, at, part in judge.leaflet.parts() if judge.may_change(part)]
    for chosen in combinations(parts, count):
        codes = {cell.cv: list(cell.codes(values[cell.cv])) for cell, _ in chosen}
        for given_codes in product(*(cell.parts[at].codes for cell, at in chosen)):
            for (cell, at), code in zip(chosen, given_codes, strict=True):
                codes[cell.cv][at] = code
            if all(cell.allows(codes[cell.cv]) for cell, _ in chosen):
                yield values | {cell.cv: cell.value(codes[cell.cv]) for cell, _ in chosen}


@settings(max_examples=60, deadline=None, derandomize=True)
@given(cases())
def test_no_change_of_one_or_two_codes_is_better(case):
    leaflet, asked, held = case
    found = compile_effect(asked, leaflet, held)
    judge = Judge(leaflet, asked, held)
    mine = judge.before | dict(found.target)
    for count in (1, 2):
        check_no_better(judge, mine, changed_codes(judge, mine, count))
