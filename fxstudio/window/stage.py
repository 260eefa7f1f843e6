"""The left side: the picture, the drive below it, and a lane for each lamp."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from fxstudio.editing.studio import Studio
from fxstudio.editing.traces import SPAN_S, Traces
from fxstudio.window.toolkit.controls.buttons import Button, Choice, Switch
from fxstudio.window.toolkit.controls.slider import Slider
from fxstudio.window.toolkit.frames import Panel
from fxstudio.window.toolkit.layout import Column, Flow, Row
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Theme
from fxstudio.window.toolkit.widget import Live, Text, Widget
from fxstudio.window.views import Lane, Picture, Shown

TRAVELS = {"reverse": "Reverse", "stopped": "Stopped", "forward": "Forward"}

FASTEST_KMH = 120.0
"""End of the speed slider; a drive in a file may be faster."""

WISH = "What you wish"
"""Caption of what the effect would look like with a perfect decoder."""

LEAST_PICTURE = 230
"""Height the picture keeps, in pixels at 100 %."""


class Stage:
    """Builds the left side from the studio.

    adjust : goes to the controls of a lamp
    """

    def __init__(
        self, studio: Studio, turn_off_calm: Callable[[], object], adjust: Callable[[str], object]
    ) -> None:
        self.studio = studio
        self.traces = Traces(studio)
        self.turn_off_calm, self.adjust = turn_off_calm, adjust

    def frames(self) -> list[Shown]:
        """The pictures at this moment."""
        studio = self.studio
        moment = studio.playback.time_s, studio.viewed_s, studio.calm
        seen, count = WISH, ""
        if studio.decoder.compiled:
            seen, count = "What the decoder will do", f", {studio.decoder.compromise_count}"
        calm = ", calm view" if studio.calm else ""
        shown = [Shown(seen + calm + count, studio.seen_projector.frame(*moment))]
        if studio.beside:
            shown.append(Shown(WISH + calm, studio.wish_projector.frame(*moment)))
        return shown

    def picture(self, look: Theme, room: int) -> Part:
        """The picture, or two, as high as there is room for."""
        highest = max(room, look.px(LEAST_PICTURE))
        return Picture(look, self.frames, 2 if self.studio.beside else 1, highest)

    def below(self, look: Theme) -> Part:
        """What stands below the picture."""
        return Column([self._drive(look), self._lanes(look)], look.gap)

    def _drive(self, look: Theme) -> Part:
        first = [self._pause(look), self._time(look), self._travel(look), self._speed(look)]
        second = [*self._keys(look), self._own_drive(look), self._calm(look)]
        return Panel(Column([Flow(first, look.gap), Flow(second, look.gap)], look.gap), look.pad)

    def _pause(self, look: Theme) -> Widget:
        paused = self.studio.playback.paused
        return Button(
            look,
            "pause",
            "Play" if paused else "Pause",
            lambda: self.studio.pause(not paused),
            help="Let the time stand still, or go on.",
        )

    def _time(self, look: Theme) -> Widget:
        return Live(look, "time", lambda: f"at {self.studio.playback.time_s:.1f} s", 80, "panel")

    def _travel(self, look: Theme) -> Widget:
        playback = self.studio.playback
        return Choice(
            look,
            "travel",
            TRAVELS,
            playback.throttle.travel,
            playback.turn,
            "Direction of travel. A stopped locomotive keeps the direction it last had.",
        )

    def _speed(self, look: Theme) -> Part:
        playback = self.studio.playback
        throttle = playback.throttle
        slider = Slider(
            look,
            "speed",
            throttle.speed_kmh if not throttle.stopped else 0.0,
            0.0,
            FASTEST_KMH,
            lambda kmh, _: playback.run(kmh),
            lambda kmh: f"{kmh:.0f} km/h",
            step=1.0,
            help="Speed of the full-size locomotive; it sets the pace of a beat.",
        )
        return Row([Text(look, "Speed", "quiet"), slider], look.gap, [0, 1])

    def _keys(self, look: Theme) -> list[Widget]:
        """The function keys that the effect uses, or what the decoder makes of it."""
        studio, playback = self.studio, self.studio.playback
        used = sorted({*studio.effect.keys, *studio.seen.keys}, key=lambda key: int(key[1:]))
        return [
            Switch(
                look,
                f"key {key}",
                f"Key {key}",
                key in playback.throttle.keys,
                partial(playback.switch, key),
                help=f"Function key {key} of the locomotive.",
            )
            for key in used
        ]

    def _own_drive(self, look: Theme) -> Widget | None:
        studio, on = self.studio, self.studio.playback.own is not None
        if studio.effect.drive is None:
            return None
        return Switch(
            look,
            "own drive",
            "Its own drive",
            on,
            lambda: studio.play_own(not on),
            help="Play the drive in the effect's file; using a control below takes over.",
        )

    def _calm(self, look: Theme) -> Widget:
        studio = self.studio
        return Switch(
            look,
            "calm",
            "Calm view",
            studio.calm,
            self.turn_off_calm if studio.calm else lambda: studio.set_calm(True),
            help="Softens the picture to less than three flashes a second; lanes and values "
            "keep the truth.",
        )

    def _lanes(self, look: Theme) -> Part:
        studio = self.studio
        title = f"Brightness of each lamp over the last {SPAN_S:g} seconds, from dark to full"
        if studio.beside:
            title += "; the thin line is your wish"
        lanes = [
            Lane(
                look,
                name,
                lamp,
                name == studio.selected,
                self.traces,
                partial(studio.select, name),
                partial(self.adjust, name),
            )
            for name, lamp in studio.effect.lamps.items()
        ]
        return Column([Text(look, title, "quiet", "small"), *lanes], look.px(6))
