"""Make a bench sheet: everything worked out, drawn and filled into one HTML file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.unknowns import not_known_of
from fxstudio.decoder.writing.extras import Extra
from fxstudio.decoder.writing.plan import plan
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.export.sheet import BenchSheet, Still, sheet_html
from fxstudio.export.wiring import Solder, wiring
from fxstudio.film.making import FlashError, film
from fxstudio.film.png import png_bytes
from fxstudio.film.take import Shot, TooLargeError, renderer_for
from fxstudio.light.simulation import Simulation
from fxstudio.light.truth_table import proving_steps, truth_table
from fxstudio.progress import Progress
from fxstudio.units import seconds

STILLS, MOST_STILLS = 4, 6
STILL_SIZE = 288, 192
FILM = Shot(width=360, height=240, fps=20.0)
TOO_MANY_FLASHES = (
    "There is no film here, as it would flash more than is safe to show. The lamps will do so too."
)
TOO_LONG = "There is no film here, as the drive is too long for one."


def bench_sheet(
    effect: Effect,
    leaflet: Leaflet,
    present: Mapping[CvAddress, int] | None = None,
    extra: Sequence[Extra] = (),
    solder: Solder | None = None,
    with_film: bool = True,
    progress: Progress | None = None,
    day: date | None = None,
    earlier: str = "",
    accept_dark: bool = False,
) -> str:
    """The bench sheet for `effect` on a decoder, as HTML.

    Parameters
    ----------
    effect, leaflet : what is wanted, and the decoder
    present, extra : what the decoder holds, and other CVs to write; see `plan`
    solder : track voltage, current and resistors
    with_film : whether the GIF is in it, for the screen
    progress : goes along while it is filmed
    day, earlier : what the restore list says of itself; see `Plan`
    accept_dark : make it even if a compromise is grave; see `plan`

    Raises InputError for anything that cannot be used. A film that flashes too much is left out,
    and the sheet says so.
    """
    compiled = compile_effect(effect, leaflet, present)
    made = plan(compiled, present, leaflet, extra, accept_dark)
    made = replace(made, day=day, earlier=earlier)
    seen = compiled.seen
    soldered = wiring(effect, leaflet, solder, seen)
    shown, said = _film(seen, progress) if with_film else (None, "")
    return sheet_html(
        BenchSheet(
            effect=effect,
            plan=made,
            compromises=compiled.compromises,
            consequences=compiled.consequences,
            truth=truth_table(seen),
            steps=proving_steps(seen),
            wiring=soldered,
            unknown=not_known_of(compiled.shown),
            leaflet=leaflet,
            strip=stills(seen),
            film=shown,
            no_film=said,
        )
    )


def stills(effect: Effect, seed: int = 1) -> tuple[Still, ...]:
    """A few pictures of an effect under way, at least one for each part of a short drive."""
    drive = effect.shown_by
    times = moments(drive)
    renderer = renderer_for(effect, *STILL_SIZE)
    frames = renderer.frames(Simulation(effect, drive, seed).at(times).light)
    trace = drive.at(times)
    return tuple(
        Still(
            png_bytes(frame),
            f"{seconds(time)}: "
            + ("" if trace.speed_kmh[row] else "standing, ")
            + str(trace.moment(row)),
        )
        for row, (time, frame) in enumerate(zip(times, frames, strict=True))
    )


def moments(drive: Drive) -> list[float]:
    """Times in s, in order, in the middle of the parts of a drive; long parts are halved."""
    edges = [step.at_s for step in drive.steps]
    parts = [*zip(edges, [*edges[1:], drive.length_s], strict=True)]
    if edges[0] > 0:
        parts.insert(0, (0.0, edges[0]))
    while len(parts) < STILLS:
        longest = max(parts, key=lambda part: part[1] - part[0])
        at, middle = parts.index(longest), sum(longest) / 2
        parts[at : at + 1] = [(longest[0], middle), (middle, longest[1])]
    kept = sorted(parts, key=lambda part: part[0] - part[1])[:MOST_STILLS]
    return [sum(part) / 2 for part in sorted(kept)]


def _film(effect: Effect, progress: Progress | None) -> tuple[bytes | None, str]:
    """The GIF, or why there is none: a film that flashes too much is left out."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "film.gif"
        try:
            film(effect, path, shot=FILM, progress=progress)
        except FlashError:
            return None, TOO_MANY_FLASHES
        except TooLargeError:
            return None, TOO_LONG
        return path.read_bytes(), ""
