"""The left side: the picture, the drive below it, and a lane for each lamp."""

from __future__ import annotations

import time
from collections.abc import Callable

from fxstudio.editing.studio import Studio
from fxstudio.editing.traces import SPAN_S, Traces
from fxstudio.window.toolkit.controls.buttons import Button, Choice, Switch
from fxstudio.window.toolkit.controls.slider import Slider
from fxstudio.window.toolkit.frames import Panel
from fxstudio.window.toolkit.layout import Column, Flow, Row
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Look
from fxstudio.window.toolkit.widget import Live, Text
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
        moment = studio.playback.time_s, time.perf_counter(), studio.calm
        seen, count = WISH, ""
        if studio.compiled:
            seen, count = "What the decoder will do", f", {studio.compromise_count}"
        calm = ", calm view" if studio.calm else ""
        shown = [Shown(seen + calm + count, studio.seen_projector.frame(*moment))]
        if studio.beside:
            shown.append(Shown(WISH + calm, studio.wish_projector.frame(*moment)))
        return shown

    def picture(self, look: Look, room: int) -> Part:
        """The picture, or two, as high as there is room for."""
        highest = max(room, look.px(LEAST_PICTURE))
        return Picture(look, self.frames, 2 if self.studio.beside else 1, highest)

    def below(self, look: Look) -> Part:
        """What stands below the picture."""
        return Column([self._drive(look), self._lanes(look)], look.gap)

    def _drive(self, look: Look) -> Part:
        studio, playback = self.studio, self.studio.playback
        state = playback.state
        keys = [
            Switch(
                look,
                f"key {key}",
                f"Key {key}",
                key in state.keys,
                lambda key=key: studio.drive(keys=playback.state.keys ^ {key}),
                help=f"Function key {key} of the locomotive.",
            )
            for key in sorted({*studio.effect.keys, *studio.seen.keys}, key=lambda k: int(k[1:]))
        ]
        own = studio.effect.drive is not None and Switch(
            look,
            "own drive",
            "Its own drive",
            playback.own is not None,
            lambda: studio.play_own(playback.own is None),
            help="Play the drive in the effect's file; using a control below takes over.",
        )
        first = [
            Button(
                look,
                "pause",
                "Play" if playback.paused else "Pause",
                lambda: studio.pause(not playback.paused),
                help="Let the time stand still, or go on.",
            ),
            Live(look, "time", lambda: f"at {playback.time_s:.1f} s", 80, "panel"),
            Choice(
                look,
                "travel",
                TRAVELS,
                state.travel,
                lambda travel: studio.drive(travel=travel),
                help="Direction of travel. A stopped locomotive keeps the direction it last had.",
            ),
            Row(
                [
                    Text(look, "Speed", "quiet"),
                    Slider(
                        look,
                        "speed",
                        state.speed_kmh if not state.stopped else 0.0,
                        0.0,
                        FASTEST_KMH,
                        lambda kmh, _: studio.drive(speed_kmh=kmh, stopped=kmh == 0),
                        lambda kmh: f"{kmh:.0f} km/h",
                        step=1.0,
                        help="Speed of the full-size locomotive; it sets the pace of a beat.",
                    ),
                ],
                look.gap,
                [0, 1],
            ),
        ]
        second = [
            *keys,
            own or None,
            Switch(
                look,
                "calm",
                "Calm view",
                studio.calm,
                self.turn_off_calm if studio.calm else lambda: studio.set_calm(True),
                help="Softens the picture to less than three flashes a second; lanes and values "
                "keep the truth.",
            ),
        ]
        return Panel(Column([Flow(first, look.gap), Flow(second, look.gap)], look.gap), look.pad)

    def _lanes(self, look: Look) -> Part:
        studio = self.studio
        title = f"Brightness of each lamp over the last {SPAN_S:g} seconds, from dark to full"
        if studio.beside:
            title += "; the thin line is your wish"
        lanes = [
            Lane(
                look, name, lamp, name == studio.selected, self.traces,
                lambda name=name: studio.select(name),
                lambda name=name: self.adjust(name),
            )
            for name, lamp in studio.effect.lamps.items()
        ]  # fmt: skip
        return Column([Text(look, title, "quiet", "small"), *lanes], look.px(6))
