"""What a CV's value says, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.description.model import Description
from fxstudio.units import hz


def meaning(
    address: CvAddress, value: int, description: Description, names: Mapping[int, str]
) -> str:
    """All that `value` says in the CV at `address`, in words for a person.

    `names` gives the name of the lamp on an output; outputs without one go by their number.
    """
    if address == description.rate.address:
        return f"shared rate {hz(description.rate.hz(value))}"
    for row in description.map_rows:
        if row.cv == address.number and address.page is None:
            lit = [
                _named(output.number, names)
                for output in description.outputs
                if row.reaches(output.number) and row.bits_of(output.number).get(value)
            ]
            return f"{row.name} switches {_listed(lit) or 'nothing'}"
    said = list(_said(address, value, description))
    outputs = dict.fromkeys(output for output, _ in said)
    if len(outputs) == 1:
        return f"{_named(said[0][0], names)}: {', '.join(words for _, words in said)}"
    return "; ".join(
        f"{words}: {_listed(_named(output, names) for output, said_ in said if said_ == words)}"
        for words in dict.fromkeys(words for _, words in said)
    )


def _said(address: CvAddress, value: int, description: Description) -> Iterator[tuple[int, str]]:
    for field in description.fields.values():
        for index, output in enumerate(description.outputs):
            bits = field.bits_of(index)
            if bits.address == address:
                yield output.number, field.words(bits.get(value))


def subject(output: int, name: str | None) -> str:
    """`bed (output 3)`; an output without a lamp, or named after itself, is only `output 3`."""
    number = f"output {output}"
    return number if name in (None, number) else f"{name} ({number})"


def _named(output: int, names: Mapping[int, str]) -> str:
    return subject(output, names.get(output))


def _listed(words: Iterator[str] | list[str]) -> str:
    return ", ".join(words)
