"""`fxstudio truth`."""

from __future__ import annotations

from fxstudio.cli.given.decoders import compile_for
from fxstudio.cli.given.options import DecoderName, EffectName
from fxstudio.cli.shown import console
from fxstudio.cli.shown.decoder import show_compromises
from fxstudio.effect.files import load_effect
from fxstudio.errors import naming
from fxstudio.light.truth_table import STANDING, TruthTable, proving_steps, truth_table


def truth(effect: EffectName, decoder: DecoderName = None) -> None:
    """Show which lamps are lit by which key and travel, and the fewest steps that prove it.

    For each step, set the direction and the keys, look at the lamps and tick the step off. After
    the last step you have seen every lamp lit and dark, by its key and by its direction.
    Where a lamp minds several keys, every row of the table is a step.

    Examples:
        fxstudio truth my_fire.toml --decoder my_decoder.toml

    Try it in a new folder:
        fxstudio truth chimney_first
    """
    wanted = load_effect(effect)
    with naming(wanted.source):
        compiled = compile_for(wanted, decoder) if decoder else None
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
