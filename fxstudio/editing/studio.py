"""All that the window shows and a person can do, without pygame.

Panels read the studio and call it; the page is built anew whenever `shown` is no more the same.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from fxstudio.decoder.values.shared_rate import shared_rate
from fxstudio.editing import edits
from fxstudio.editing.decoder import ChosenDecoder
from fxstudio.editing.document import Document, file_stem
from fxstudio.editing.filming.folders import OpenedFolder
from fxstudio.editing.filming.wishes import FilmWishes, size_trial
from fxstudio.editing.jobs import Film, Job, still_job
from fxstudio.editing.message import StatusMessage
from fxstudio.editing.paths import free_path
from fxstudio.editing.playback import Playback
from fxstudio.editing.projector import Artist, Projector
from fxstudio.effect.advice import Advice, advise
from fxstudio.effect.model import Effect, Lamp
from fxstudio.errors import FxError, InputError
from fxstudio.film.making import FlashError


class Studio:
    """The state of the window."""

    def __init__(self) -> None:
        self.document = Document()
        self.playback = Playback(self.document.effect)
        self.artist = Artist()
        self.seen_projector = Projector(self.artist)
        self.wish_projector = Projector(self.artist)
        self.decoder = ChosenDecoder()
        self.beside = False
        self.calm = True
        self.caution_read = False
        self.text_percent = 100
        self.fps = 30
        self.message = StatusMessage("")
        self.job: Job | None = None
        self.wishes = FilmWishes()
        self.trial: Job | None = None
        self.opened: OpenedFolder | None = None
        self.selected = next(iter(self.document.effect.lamps))
        self.viewed_s = 0.0
        self.refresh()

    # What is shown ------------------------------------------------------------------------

    @property
    def shown(self) -> tuple[object, ...]:
        """All that the page shows, but for what moves by itself."""
        document, playback = self.document, self.playback
        throttle = playback.throttle
        return (
            *(document.effect, document.path, document.unsaved),
            *(document.can_undo, document.can_redo),
            *(document.broken, document.outside, document.gone),
            *(self.selected, self.beside, self.calm, self.text_percent, self.fps),
            *self.decoder.shown,
            *(self.message, self.job, playback.own, playback.paused),
            self.trial is not None and self.trial.done,
            *(throttle.travel, throttle.keys, round(throttle.speed_kmh)),
        )

    @property
    def effect(self) -> Effect:
        """The effect as the person wishes it."""
        return self.document.effect

    @property
    def seen(self) -> Effect:
        """The effect as it will be seen: what the decoder makes of it."""
        compiled = self.decoder.compiled
        return compiled.seen if compiled else self.effect

    @property
    def lamp(self) -> Lamp:
        """The lamp that is selected."""
        return self.effect.lamps[self.selected]

    @property
    def advice(self) -> list[Advice]:
        """Hints about the effect."""
        return advise(self.effect)

    def refresh(self) -> None:
        """Work out all that follows from the effect, the decoder and the drive."""
        if self.selected not in self.effect.lamps:
            self.selected = next(iter(self.effect.lamps))
        self.decoder.take(self.effect)
        self.load()

    def load(self) -> None:
        """Give the projectors what they show."""
        self.seen_projector.load(self.seen, self.playback.drive)
        self.wish_projector.load(self.effect, self.playback.drive)

    def tick(self, seconds: float) -> None:
        """Let time pass; `viewed_s` is that of the viewer, who sees time stand still as well."""
        self.viewed_s += seconds
        self.playback.advance(seconds)
        self.load()
        if self.job is not None and self.job.done:
            job, self.job = self.job, None
            if isinstance(job.error, FlashError) and job.refused:
                job.refused(job.error)
            elif job.error is not None:
                self.complain(job.message)
            else:
                self.say(job.message, stays=True, folder=None if job.stopped else job.folder)
        if self.opened is not None and self.opened.done:
            opened, self.opened = self.opened, None
            self.attempt(opened.check)

    @property
    def busy(self) -> bool:
        """Whether something is done beside the window."""
        trying = self.trial is not None and not self.trial.done
        return self.job is not None or trying

    def try_size(self, wanted: Film | None) -> None:
        """Find out in the background how large a film will be; None: that of none."""
        if self.trial is not None:
            self.trial.stop()
        self.trial = size_trial(wanted) if wanted else None

    def open_folder(self, folder: Path) -> None:
        """Show a folder in what the system has for that."""

        def ask() -> None:
            self.opened = OpenedFolder(folder)

        self.attempt(ask)

    def play_own(self, on: bool) -> None:
        """Play the effect's own drive, or let the person drive."""
        self.playback.play_own(self.effect.drive if on else None)

    def pause(self, on: bool) -> None:
        """Let the time stand still."""
        self.playback.paused = on

    # Messages -----------------------------------------------------------------------------

    def say(self, text: str, stays: bool = False, folder: Path | None = None) -> None:
        """Show a message: for a few seconds, or until the person closes it."""
        self.message = StatusMessage(text, stays=stays, folder=folder)

    def complain(self, error: FxError | str) -> None:
        """Show an error."""
        text = error.in_words() if isinstance(error, FxError) else error
        self.message = StatusMessage(text, is_error=True, stays=True)

    def attempt(self, action: Callable[[], object]) -> bool:
        """Do something that may be refused; whether it was done. A refusal is shown."""
        try:
            action()
        except FxError as error:
            self.complain(error)
            return False
        return True

    # Editing ------------------------------------------------------------------------------

    def take(self, effect: Effect, gesture: str | None = None) -> None:
        """Take an edited effect."""
        if self.message.is_error:
            self.say("")
        drive_changed = effect.drive != self.effect.drive
        self.document.edit(effect, gesture)
        if drive_changed and self.playback.own is not None:
            self.playback.play_own(effect.drive)
        self.refresh()

    def set(self, path: edits.Path, value: object, gesture: str | None = None) -> None:
        """Set one field of the effect."""
        self.attempt(lambda: self.take(edits.set_field(self.effect, path, value), gesture))

    def set_lamp(self, field: str, value: object, gesture: str | None = None) -> None:
        """Set one field of the selected lamp; `pattern.level` reaches into its pattern."""
        self.set(("lamps", self.selected, *field.split(".")), value, gesture)

    def edit(self, change: Callable[..., Effect], *arguments: object) -> None:
        """Change the effect by one of `edits`."""
        self.attempt(lambda: self.take(change(self.effect, *arguments)))

    def rename(self, new: str) -> None:
        """Give the selected lamp another name."""

        def change() -> None:
            effect = edits.rename_lamp(self.effect, self.selected, new)
            self.selected = new.strip() if effect != self.effect else self.selected
            self.take(effect)

        self.attempt(change)

    def add_lamp(self) -> None:
        """Add a lamp and select it."""

        def change() -> None:
            effect, name = edits.add_lamp(self.effect, self.decoder.leaflet)
            self.selected = name
            self.take(effect)

        self.attempt(change)

    def select(self, lamp: str) -> None:
        """Select a lamp; what is changed then is a step of its own."""
        self.document.settle()
        if lamp in self.effect.lamps:
            self.selected = lamp

    def undo(self) -> None:
        """Take the last step back."""
        self._step(self.document.undo)

    def redo(self) -> None:
        """Do the step again that was taken back."""
        self._step(self.document.redo)

    def _step(self, move: Callable[[], None]) -> None:
        drive, output = self.effect.drive, self.lamp.output
        move()
        lamps = self.effect.lamps
        if self.selected not in lamps:  # it had another name
            same = (name for name, lamp in lamps.items() if lamp.output == output)
            self.selected = next(same, self.selected)
        if self.effect.drive != drive and self.playback.own is not None:
            self.playback.play_own(self.effect.drive)
        self.refresh()

    # Files --------------------------------------------------------------------------------

    @property
    def folder(self) -> Path:
        """Where files are put: beside the effect's own file if it is the person's."""
        path = self.document.path
        return path.resolve().parent if path and not self.document.is_shipped else Path.cwd()

    @property
    def stem(self) -> str:
        """A file name without ending: that of the file, or made from the title."""
        path = self.document.path
        return path.stem if path else file_stem(self.effect.title)

    def new(self) -> None:
        """Begin a new effect."""
        self.document.start_new()
        self.begin()
        self.say("A new effect: a steady bed and flames above it.")

    def open(self, path: Path) -> None:
        """Open a file; raises ReadError or InputError and then keeps the old one."""
        self.document.open(path)
        self.begin()
        self.say(f"{self.document.name} is open.")

    def begin(self) -> None:
        """Show the document's effect from its beginning."""
        self.playback.start(self.effect)
        self.selected = next(iter(self.effect.lamps))
        self.refresh()

    def save(self, path: Path | None = None) -> None:
        """Save to a file, or to the effect's own; raises WriteError."""
        self.document.save(path)
        self.say(f"{self.document.name} is saved.")

    def look_at_file(self) -> None:
        """Take in what another program did to the file."""
        document = self.document
        before = document.broken, document.outside, document.effect
        drive = document.effect.drive
        said = document.look_at_file()
        if said or before != (document.broken, document.outside, document.effect):
            if document.effect.drive != drive and self.playback.own is not None:
                self.playback.play_own(document.effect.drive)
            if said:
                self.say(said)
            self.refresh()

    def take_outside(self) -> None:
        """Take what another program wrote instead of the unsaved changes."""
        self.document.take_outside()
        self.refresh()

    def keep_mine(self) -> None:
        """Keep the unsaved changes."""
        self.document.keep_mine()
        self.refresh()

    def take_still(self) -> None:
        """Write what the picture shows now as a PNG beside the effect's file, under a free name."""
        light = self.seen_projector.light(self.playback.time_s, self.calm).copy()
        path = free_path(self.folder, f"{self.stem}_still", ".png")
        phase = self.seen_projector.phase(self.playback.time_s)
        self.job = still_job(self.seen, light, phase, path)

    # Decoder ------------------------------------------------------------------------------

    def choose_decoder(self, name: str) -> bool:
        """Like `use_decoder`; whether it could be had. A refusal is shown."""
        return self.attempt(lambda: self.use_decoder(name))

    def use_decoder(self, name: str) -> None:
        """Show what this decoder, by name or path, will do; an empty name: none.

        Raises ReadError or InputError.
        """
        self.decoder.choose(name)
        self.beside = self.beside and self.decoder.leaflet is not None
        self.refresh()

    def show_beside(self, on: bool) -> None:
        """Show the wish beside what the decoder will do."""
        self.beside = on

    def set_rate_value(self, value: float, gesture: str | None = None) -> None:
        """Set the shared rate by the decoder's own value."""
        leaflet = self.decoder.leaflet
        shared = shared_rate(leaflet) if leaflet else None
        if shared is not None:
            self.set(("rate_hz",), float(f"{shared.at(value):.6g}"), gesture)

    # Calm view ----------------------------------------------------------------------------

    def set_calm(self, calm: bool) -> None:
        """Turn the calm view on or off; off only once the caution has been read."""
        if not calm and not self.caution_read:
            raise InputError("the caution about flashing light has not been read yet")
        self.calm = calm
