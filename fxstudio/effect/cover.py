"""The fewest terms that say a truth table: two-level minimisation of a logic function.

Source: the method of Quine and McCluskey, from memory; the cover is sought by branch and bound.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import NamedTuple

Cost = tuple[int, ...]


class Term(NamedTuple):
    """Some variables, each a bit, that have to have a value.

    asked : the bits of the variables that it asks for
    ones : those of them that have to be 1
    """

    asked: int
    ones: int

    def holds(self, row: int) -> bool:
        """Whether it does in a row of the table, the number that its variables make."""
        return row & self.asked == self.ones


def prime_terms(rows: Collection[int], variables: int) -> list[Term]:
    """All terms that hold in no other than `rows` and of which no part could be left out."""
    terms = {Term((1 << variables) - 1, row) for row in rows}
    primes: list[Term] = []
    while terms:
        shorter: set[Term] = set()
        merged: set[Term] = set()
        for term in terms:
            for bit in (1 << at for at in range(variables) if term.asked >> at & 1):
                if Term(term.asked, term.ones ^ bit) in terms:
                    merged.add(term)
                    shorter.add(Term(term.asked & ~bit, term.ones & ~bit))
        primes += terms - merged
        terms = shorter
    return sorted(primes)


def fewest_terms(
    rows: Collection[int], variables: int, cost: Callable[[Term], Cost]
) -> tuple[Term, ...]:
    """The fewest terms of which one at least holds in each of `rows`, and none in another.

    Of several such sets the one of the least `cost`, added up, and then the first. In the order
    of their costs.
    """
    primes = sorted(prime_terms(rows, variables), key=lambda term: (cost(term), term))
    costs = [(1, *cost(term)) for term in primes]
    masks = [sum(1 << row for row in rows if term.holds(row)) for term in primes]
    holding = {
        1 << row: [n for n, mask in enumerate(masks) if mask >> row & 1] for row in set(rows)
    }
    best: tuple[Cost, tuple[int, ...]] | None = None

    def search(left: int, spent: Cost, chosen: tuple[int, ...]) -> None:
        nonlocal best
        if not left:
            if best is None or (spent, chosen) < best:
                best = spent, chosen
            return
        apart = _apart(left, holding, masks)
        if best is not None and spent[0] + len(apart) > best[0][0]:
            return
        for number in sorted(holding[apart[0]], key=lambda n: -(masks[n] & left).bit_count()):
            search(left & ~masks[number], _sum(spent, costs[number]), (*chosen, number))

    everything = sum(holding)
    search(everything, (0,) * (len(costs[0]) if costs else 1), ())
    assert best is not None  # all rows are covered by the primes
    return tuple(primes[number] for number in sorted(best[1]))


def _apart(left: int, holding: dict[int, list[int]], masks: list[int]) -> list[int]:
    """Rows of which no two share a term, so that each needs its own; the hardest first."""
    rows = sorted((row for row in holding if row & left), key=lambda row: len(holding[row]))
    found: list[int] = []
    taken = 0
    for row in rows:
        if not row & taken:
            found.append(row)
            for number in holding[row]:
                taken |= masks[number]
    return found


def _sum(one: Cost, other: Cost) -> Cost:
    return tuple(a + b for a, b in zip(one, other, strict=True))
