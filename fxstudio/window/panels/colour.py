"""The colour of the selected lamp: by name, by number or by hand, and as it is typed."""

from __future__ import annotations

from fxstudio.colour import rgb_to_hex, srgb8
from fxstudio.documents.models import field_facts
from fxstudio.editing import edits
from fxstudio.editing.colours import NAMED, TYPED, name_of, read_colour, way_of
from fxstudio.editing.studio import Studio
from fxstudio.effect.model import Colour
from fxstudio.window.panels.effect import OpenList
from fxstudio.window.panels.fields import help_of, slider_ends
from fxstudio.window.toolkit.controls.buttons import Choice
from fxstudio.window.toolkit.controls.entry import Entry
from fxstudio.window.toolkit.controls.hues import Hues
from fxstudio.window.toolkit.controls.lists import Picker
from fxstudio.window.toolkit.controls.slider import Slider
from fxstudio.window.toolkit.form import capitalised, labelled
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Rgb, Theme
from fxstudio.window.toolkit.widget import Widget

WAYS = {"wavelength_nm": "Wavelength", "temperature_k": "Temperature", "hex": "By hand"}
"""The ways to give a colour, with their names in the window."""

UNITS = {"wavelength_nm": "nm", "temperature_k": "K"}
STEPS = {"wavelength_nm": 1, "temperature_k": 10}


def colour_controls(look: Theme, studio: Studio, open_list: OpenList) -> list[Part]:
    """Four ways to the same colour, from the quickest to the most exact."""
    return [
        labelled(look, "colour", _names(look, studio, open_list)),
        labelled(look, "exact colour", _ways(look, studio)),
        labelled(look, "", _exact(look, studio)),
        labelled(look, "or type it", _typed(look, studio)),
    ]


def _take(studio: Studio, text: str) -> None:
    """Set the colour to what was typed, or to a name."""
    lamp = studio.selected
    studio.edit(lambda effect: edits.set_colour(effect, lamp, *read_colour(text)))


def _names(look: Theme, studio: Studio, open_list: OpenList) -> Widget:
    name = name_of(studio.lamp.colour)
    own = {} if name in NAMED else {name: studio.lamp.colour}
    colours = own | {each: Colour.model_validate(dict([way])) for each, way in NAMED.items()}
    return Picker(
        look,
        "colour name",
        {each: capitalised(each) for each in colours},
        name,
        lambda text: _take(studio, text),
        open_list,
        "The colour by the name that LEDs are sold under.",
        patches={each: patch_of(one) for each, one in colours.items()},
    )


def _ways(look: Theme, studio: Studio) -> Widget:
    colour, lamp = studio.lamp.colour, studio.selected
    meanwhile: dict[str, float | str] = {
        "wavelength_nm": 605.0,
        "temperature_k": 1900.0,
        "hex": rgb_to_hex(colour.rgb),
    }
    return Choice(
        look,
        "colour way",
        WAYS,
        way_of(colour),
        lambda way: studio.edit(edits.set_colour, lamp, way, meanwhile[way]),
        "How the exact colour is given: see the LED's data sheet, or choose by eye.",
    )


def _exact(look: Theme, studio: Studio) -> Widget:
    """A slider for a number, or a field of all hues."""
    colour, lamp = studio.lamp.colour, studio.selected
    way = way_of(colour)
    key = f"colour.{way}"

    def choose(new: float | str, gesture: str) -> None:
        studio.set(("lamps", lamp, "colour"), {way: new}, gesture)

    if way == "hex":
        return Hues(
            look,
            key,
            str(colour),
            choose,
            "Drag, or use the arrow keys: the hue from side to side, paler towards the top.",
        )
    low, high = slider_ends(field_facts(Colour)[way])
    return Slider(
        look,
        key,
        getattr(colour, way),
        low,
        high,
        choose,
        lambda value: f"{value:.0f} {UNITS[way]}",
        step=STEPS[way],
        wide=way == "temperature_k",
        help=help_of(Colour, way),
    )


def _typed(look: Theme, studio: Studio) -> Widget:
    return Entry(
        look,
        "colour typed",
        str(studio.lamp.colour),
        lambda text: _take(studio, text),
        help=f"Type {TYPED}.",
        longest=30,
    )


def patch_of(colour: Colour) -> Rgb:
    """A colour as the screen shows it."""
    red, green, blue = map(int, srgb8(colour.rgb))
    return red, green, blue
