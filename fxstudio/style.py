"""The tool's own look, which the window and the captions of films share: colours and font."""

from __future__ import annotations

from importlib.resources import files

from fxstudio.colour import hex_to_rgb, luminance

COLOURS: dict[str, str] = {
    "page": "#11161c",
    "panel": "#1a212a",
    "field": "#0b0f13",
    "button": "#28323e",
    "pressed": "#35424f",
    "text": "#f0ebdf",
    "quiet": "#b6bec7",
    "edge": "#7f8c99",
    "rule": "#2c3641",
    "chosen": "#e6b65c",
    "on_chosen": "#191307",
    "focus": "#8fd0ff",
    "warning": "#ffb499",
    "trace": "#f3cf8a",
    "fill": "#6a5327",
    "wish": "#8fd0ff",
}
"""All colours, each as sRGB."""

FONT = "data/font/DejaVuSans.ttf"
"""The font, beside its licence. pygame's own is bold only, and loses the dots of its letters."""


def font_file() -> str:
    """The path of the font's file."""
    return str(files("fxstudio").joinpath(FONT))


def rgb8(name: str) -> tuple[int, int, int]:
    """A colour of the table as sRGB 0..255."""
    red, green, blue = bytes.fromhex(COLOURS[name].removeprefix("#"))
    return red, green, blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio 1..21 of two colours of the table. Source: WCAG 2.2, contrast ratio."""
    lighter, darker = sorted(
        (float(luminance(hex_to_rgb(COLOURS[name]))) for name in (one, other)), reverse=True
    )
    return (lighter + 0.05) / (darker + 0.05)
