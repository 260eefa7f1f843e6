"""`fxstudio pack`: a look in one file."""

from __future__ import annotations

from pathlib import Path

from fxstudio.cli.given.decoders import description_file
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.look.film import full_caption
from fxstudio.cli.share.options import PackOptions
from fxstudio.cli.shown import console
from fxstudio.cli.shown.film import caution_flashes, show_verdict
from fxstudio.cli.shown.written import write_bytes
from fxstudio.decoder.leaflet.files import read_description
from fxstudio.decoder.values.compile import Compiled, compile_effect
from fxstudio.decoder.values.unknowns import said_of_film
from fxstudio.documents.reading import read_text
from fxstudio.effect.files import find_effect, read_effect
from fxstudio.effect.model import Effect
from fxstudio.errors import naming
from fxstudio.export.table import table_text
from fxstudio.film import making
from fxstudio.film.choices.table import picture_size
from fxstudio.film.formats import FORMATS
from fxstudio.film.making import FlashError
from fxstudio.film.take import Shot, Take
from fxstudio.flashes.verdict import Verdict
from fxstudio.on_disk import passing_file
from fxstudio.sharing.packing import ABOUT, about, look_files, names_apart, pack_bytes


def pack(asked: PackOptions) -> None:
    """Do what `PackOptions` asks for."""
    source = find_effect(asked.effect)
    target = asked.output or Path(f"{source.stem}.zip")
    description = description_file(asked.decoder) if asked.decoder else None
    check_ending("pack", "--output", target)
    check_files(
        [("EFFECT", source), ("--decoder", description)], [("--output", target)], asked.replace
    )
    effect = read_effect(source)
    compiled = None
    if description:
        names_apart(source, description)
        with naming(source):
            compiled = compile_effect(effect, read_description(description))
    shot = Shot(*picture_size(asked.size))
    film, verdict = _filmed(source, effect, compiled, shot)
    decoder = description.name if description else None
    film_name = f"{source.stem}.gif"
    files = {
        ABOUT: about(effect, source.name, decoder, film_name).encode(),
        **look_files(effect, source),
        film_name: film,
    }
    if description and compiled:
        files[description.name] = read_text(description).encode()
        files[f"{source.stem}.values.txt"] = table_text(effect.title, compiled).encode()
    data = pack_bytes(files)
    write_bytes(target, data)
    console.label(target, f": {len(files)} files, {len(data) / 1e6:.2f} MB")
    for name, what in files.items():
        console.say(f"  {name}, {_size(len(what))}")
    show_verdict(verdict)
    console.say("It is opened with `fxstudio unpack`, or as any ZIP file.")
    caution_flashes()


def _size(count: int) -> str:
    return f"{count / 1e6:.2f} MB" if count >= 100_000 else f"{max(count / 1e3, 0.1):.1f} kB"


def _filmed(
    source: Path, effect: Effect, compiled: Compiled | None, shot: Shot
) -> tuple[bytes, Verdict]:
    """The film of what will be seen, and its verdict; raises FlashError if it flashes too much."""
    seen = compiled.seen if compiled else effect
    take = Take(
        seen,
        effect.shown_by,
        shot,
        said=said_of_film(compiled.shown) if compiled else (),
        caption=full_caption(effect, compiled),
    )
    try:
        bar = console.progress(f"filming {source.stem}")
        with naming(source), bar as progress, passing_file() as file:
            verdict = making.pack(take, FORMATS[".gif"], file, progress).verdict
            file.seek(0)
            return file.read(), verdict
    except FlashError as error:
        error.remedy = (
            "nobody should be sent a film that can harm: write a calm effect with "
            "`fxstudio calm`, and pack that"
        )
        raise
