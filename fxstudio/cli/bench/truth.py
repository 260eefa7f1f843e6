"""`fxstudio truth`."""

from __future__ import annotations

from fxstudio.cli.bench.options import TruthOptions
from fxstudio.cli.given.decoders import compile_for
from fxstudio.cli.shown import console
from fxstudio.cli.shown.decoder import show_compromises
from fxstudio.effect.files import load_effect
from fxstudio.errors import naming
from fxstudio.light.truth_table import STANDING, TruthTable, proving_steps, truth_table


def truth(asked: TruthOptions) -> None:
    """Do what `TruthOptions` asks for."""
    wanted = load_effect(asked.effect)
    with naming(wanted.source):
        compiled = compile_for(wanted, asked.decoder) if asked.decoder else None
    seen = compiled.seen if compiled else wanted
    console.show_table(f"{seen.title}: lit or not", *_columns(truth_table(seen)))
    console.show_table("steps to tick at the layout", *_columns(proving_steps(seen), ticked=True))
    console.say(STANDING)
    if compiled:
        show_compromises(compiled)


def _columns(
    table: TruthTable, ticked: bool = False
) -> tuple[list[tuple[str, str]], list[tuple[str, ...]]]:
    """Headings and rows of text: a column for each lamp."""
    headings = [("travel", "left"), ("keys on", "left"), *((name, "left") for name in table.lamps)]
    rows = []
    for row, state in enumerate(table.states):
        tick = [f"[ ] {row + 1}"] if ticked else []
        rows.append((*tick, table.travel(state), state.keys_text, *table.words(row)))
    return [*([("step", "right")] if ticked else []), *headings], rows
