"""`fxstudio calm`: a calmer effect as a file."""

from __future__ import annotations

from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.harmless.calming import calmer
from fxstudio.cli.harmless.options import CalmOptions
from fxstudio.cli.shown import console
from fxstudio.cli.shown.film import caution_flashes, show_judged, show_verdict
from fxstudio.cli.shown.written import write_text
from fxstudio.documents.reading import read_text
from fxstudio.effect.files import find_effect, read_effect
from fxstudio.effect.writing import moved_to, to_text
from fxstudio.film.choices.table import picture_size
from fxstudio.film.take import Shot


def calm(asked: CalmOptions) -> None:
    """Do what `CalmOptions` asks for."""
    check_ending("calm", "--output", asked.output)
    source = find_effect(asked.effect)
    check_files([("EFFECT", source)], [("--output", asked.output)], asked.replace)
    wanted = read_effect(source)
    calmed = calmer(wanted, None, Shot(*picture_size(asked.size), seed=asked.seed))
    if calmed.changes:
        write_text(asked.output, to_text(moved_to(calmed.effect, asked.output), read_text(source)))
        console.label(asked.output, ": the calmer effect")
    else:
        console.say("It passes as it is; nothing was written.")
    show_judged(calmed.effect)
    show_verdict(calmed.verdict)
    caution_flashes()
