"""`fxstudio camera`: dimmed light before a camera."""

from __future__ import annotations

from fxstudio.cli.harmless.options import CameraOptions
from fxstudio.cli.shown import console
from fxstudio.decoder.description.files import find_description, read_description
from fxstudio.errors import InputError
from fxstudio.light.carrier import CAMERA_FPS, Carrier, carrier_risk, seen, shutter_text

CAMERA = (("frames/s", "right"), ("shutter", "right"), ("what is seen", "left"))


def camera(asked: CameraOptions) -> None:
    """Do what `CameraOptions` asks for."""
    described = read_description(find_description(asked.decoder))
    carrier = Carrier.of(described.pwm.refresh_ms, described.pwm.levels)
    shutter_s = _shutter_s(asked.shutter) if asked.shutter else None
    rows = [seen(carrier, fps, shutter_s) for fps in CAMERA_FPS if _fits(shutter_s, fps)]
    console.say(
        f"{described.title} dims with {carrier.rate_hz:.4g} pulses a second, "
        f"{carrier.levels} levels."
    )
    console.show_table(
        "On film", CAMERA, ((f"{row.fps:g}", shutter_text(row.shutter_s), str(row)) for row in rows)
    )
    console.say(
        f"For people: {carrier_risk(carrier.rate_hz)} (limits of IEEE 1789-2015 for the pulses "
        "alone, as remembered; see the standard).",
        "dim",
    )


def _fits(shutter_s: float | None, fps: float) -> bool:
    return shutter_s is None or shutter_s <= 1 / fps + 1e-9


def _shutter_s(text: str) -> float:
    """Seconds of `1/50` or `0.02`."""
    over, slash, under = text.partition("/")
    try:
        shutter_s = float(over) / float(under) if slash else float(over)
    except (ValueError, ZeroDivisionError):
        shutter_s = 0.0
    if not 1e-5 <= shutter_s <= 1 / 24 + 1e-9:
        raise InputError("is no exposure time of a film", field="--shutter", given=text).allowing(
            "1/24 s or shorter, down to 1/100000", remedy="write it like 1/50"
        )
    return shutter_s
