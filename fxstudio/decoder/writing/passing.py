"""What lamps pass through while CVs are written one after the other."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.writing.look import Lamps, OutputLight, moments_of, with_values

MOST_WEIGHED = 5
"""CVs of one lamp for which all orders are weighed beforehand; with more nothing is foreseen."""

Left = frozenset[CvAddress]


class Passing:
    """The looks between `before` and `after`, where the CVs of `changes` are written in any order.

    A lamp glares when, in some state of keys, direction and motion, it is brighter or darker than
    both before and after all the writes, or when nobody can tell.
    """

    def __init__(
        self, lamps: Lamps, before: Mapping[CvAddress, int], changes: Mapping[CvAddress, int | None]
    ) -> None:
        self._lamps, self._changes = lamps, changes
        self._own = {
            name: {cv: before[cv] for cv in lamps.concerned(name) if cv in before}
            for name in lamps.names
        }
        concerned = {name: lamps.concerned(name) & changes.keys() for name in lamps.names}
        self._concerned = {name: cvs for name, cvs in concerned.items() if len(cvs) > 1}
        self._bad: dict[tuple[str, Left], bool] = {}
        self._least: dict[tuple[str, Left], int] = {}
        self._ends = {
            name: (self._look(name, cvs), self._look(name, frozenset()))
            for name, cvs in self._concerned.items()
        }

    def glares(self, cv: CvAddress, left: Left) -> list[str]:
        """Lamps that glare once `cv` is written, while the CVs in `left` are not."""
        return [
            name
            for name, cvs in self._concerned.items()
            if cv in cvs and self._is_bad(name, left & cvs)
        ]

    def tied(self, cv: CvAddress, among: Collection[CvAddress]) -> frozenset[CvAddress]:
        """`cv` and all others that lamps tie to it, lamp by lamp."""
        found, grown = frozenset[CvAddress](), frozenset([cv])
        while grown != found:
            found = grown
            for cvs in self._concerned.values():
                if cvs & found:
                    grown |= cvs & frozenset(among)
        return found

    def least(self, left: Left) -> int:
        """How often the lamps must glare at least until all in `left` is written."""
        return sum(self._least_of(name, left & cvs) for name, cvs in self._concerned.items())

    def _least_of(self, name: str, left: Left) -> int:
        if len(left) < 2 or len(left) > MOST_WEIGHED:
            return 0
        if (name, left) not in self._least:
            self._least[name, left] = min(
                self._is_bad(name, left - {cv}) + self._least_of(name, left - {cv}) for cv in left
            )
        return self._least[name, left]

    def _is_bad(self, name: str, left: Left) -> bool:
        if (name, left) not in self._bad:
            self._bad[name, left] = _glares(self._look(name, left), *self._ends[name])
        return self._bad[name, left]

    def _look(self, name: str, left: Left) -> OutputLight | None:
        written = {cv: self._changes[cv] for cv in self._concerned[name] - left}
        return self._lamps.lights(name, with_values(self._own[name], written))


def _glares(now: OutputLight | None, before: OutputLight | None, after: OutputLight | None) -> bool:
    if before is None or after is None:
        return False  # nothing to compare with
    if now is None:
        return True
    for moment in moments_of(now.keys | before.keys | after.keys):
        here, was, will = (lights.at(moment) for lights in (now, before, after))
        if here[0] < min(was[0], will[0]) or here[1] > max(was[1], will[1]):
            return True
    return False
