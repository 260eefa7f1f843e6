"""The panels of the effect as a whole and of the selected lamp."""

from __future__ import annotations

from collections.abc import Callable

from fxstudio.colour import rgb_to_hex, srgb8
from fxstudio.editing import edits
from fxstudio.editing.colours import NAMED, TYPED, name_of, read_colour
from fxstudio.editing.studio import Studio
from fxstudio.effect.gate import DIRECTED_WORDS
from fxstudio.effect.keys import ALWAYS, KEYS
from fxstudio.effect.model import Colour, Effect, Lamp
from fxstudio.effect.patterns import KINDS
from fxstudio.models import field_facts
from fxstudio.scenes.catalogue import SCENES
from fxstudio.units import hz
from fxstudio.window.toolkit.buttons import Button, Choice
from fxstudio.window.toolkit.entry import Entry
from fxstudio.window.toolkit.form import capitalised, heading, labelled, pattern_controls
from fxstudio.window.toolkit.frames import Panel
from fxstudio.window.toolkit.hues import Hues
from fxstudio.window.toolkit.layout import Column, Flow, Part
from fxstudio.window.toolkit.lists import Picker
from fxstudio.window.toolkit.slider import Slider
from fxstudio.window.toolkit.theme import Look, Rgb
from fxstudio.window.toolkit.widget import Text, Widget

OpenList = Callable[[Picker], object]

WAYS = {"wavelength_nm": "Wavelength", "temperature_k": "Temperature", "hex": "By hand"}
"""The ways to give a colour, with their names in the window."""

COLOUR_UNITS = {"wavelength_nm": "nm", "temperature_k": "K"}


def help_of(model: type[Effect | Lamp], name: str) -> str:
    """What a field of a model is for."""
    return model.model_fields[name].description or ""


def effect_panel(look: Look, studio: Studio, open_list: OpenList) -> Part:
    """Title, locomotive, scene, and the shared rate."""
    effect = studio.effect

    def entry(name: str) -> Widget:
        return Entry(
            look,
            f"effect.{name}",
            getattr(effect, name),
            lambda text: studio.set((name,), text),
            help=help_of(Effect, name),
            longest=field_facts(Effect)[name].longest,
        )

    scenes = {name: row.title for name, row in SCENES.items()}
    scene = Picker(
        look,
        "scene",
        scenes,
        effect.scene,
        lambda name: studio.edit(edits.set_scene, name),
        open_list,
        f"{SCENES[effect.scene].help}.",
    )
    rows = [
        heading(look, "Effect"),
        *(labelled(look, name, entry(name)) for name in ("title", "locomotive", "note")),
        labelled(look, "scene", scene),
        *_rate(look, studio),
    ]
    return Panel(Column(rows, look.gap), look.pad)


def _rate(look: Look, studio: Studio) -> list[Part]:
    """The shared rate in Hz and, with a decoder, as the value it holds."""
    effect = studio.effect
    facts = field_facts(Effect)["rate_hz"]
    slider = Slider(
        look, "rate", effect.rate_hz, facts.lowest, facts.highest,
        lambda rate, gesture: studio.set(("rate_hz",), rate, gesture),
        hz, wide=True, help=facts.help, widest="00.00 Hz",
    )  # fmt: skip
    rows = [labelled(look, "shared flicker rate", slider)]
    rate = studio.description and studio.description.rate
    if rate and rate.fixed_hz is not None:
        told = f"{studio.description.title} always flickers at {hz(rate.fixed_hz)}."
        rows.append(Text(look, told, "quiet"))
    elif rate:
        value = Slider(
            look, "rate value", rate.nearest(effect.rate_hz), rate.lowest, rate.highest,
            studio.set_rate_value, lambda v: f"{v:.0f}  ({hz(rate.hz(round(v)))})", step=1,
            help=f"The same rate as {studio.description.title} holds it, in {rate.place}.",
            widest="000  (00.00 Hz)",
        )  # fmt: skip
        rows.append(labelled(look, f"as the decoder's {rate.place}", value))
    if not effect.flickering():
        rows.append(Text(look, "No lamp flickers now, so the rate changes nothing.", "quiet"))
    return rows


def lamp_panel(look: Look, studio: Studio, open_list: OpenList) -> Part:
    """Everything about the selected lamp."""
    effect, lamp, name = studio.effect, studio.lamp, studio.selected
    lamps = Choice(
        look, "lamp", {each: each for each in effect.lamps}, name, studio.select,
        "The lamp whose settings stand below.",
    )  # fmt: skip
    places = {place: place for place in SCENES[effect.scene].places}
    place = effect.place(name)
    rows = [
        heading(look, "Lamp"),
        lamps,
        labelled(
            look, "name",
            Entry(look, "lamp name", name, studio.rename, help="What the lamp is called.",
                  longest=field_facts(Effect)["lamps"].longest),
        ),
        labelled(
            look, "pattern",
            Choice(look, "pattern",
                   {kind: capitalised(row.called or kind) for kind, row in KINDS.items()},
                   lamp.pattern.kind, lambda kind: studio.edit(edits.set_pattern, name, kind),
                   (type(lamp.pattern).__doc__ or "").splitlines()[0]),
        ),
        *pattern_controls(
            look, lamp.pattern,
            lambda field, value, gesture: studio.set_lamp(f"pattern.{field}", value, gesture),
        ),
        *_colour(look, studio, lamp.colour, open_list),
        labelled(
            look, "place in the scene",
            Picker(look, "place", places, place,
                   lambda new: studio.set_lamp("place", None if new == name else new), open_list,
                   f"{capitalised(SCENES[effect.scene].places[place])}."),
        ),
        labelled(
            look, "decoder output",
            Picker(look, "output", _outputs(effect, name), str(lamp.output),
                   lambda number: studio.edit(edits.move_to_output, name, int(number)), open_list,
                   help_of(Lamp, "output")),
        ),
        labelled(
            look, "function key",
            Picker(look, "key", {key: capitalised(key) for key in (ALWAYS, *KEYS)}, lamp.key,
                   lambda key: studio.set_lamp("key", key), open_list, help_of(Lamp, "key")),
        ),
        labelled(
            look, "shines",
            Choice(look, "gate",
                   {travel: capitalised(words) for travel, words in DIRECTED_WORDS.items()},
                   lamp.travel, lambda travel: studio.set_lamp("travel", travel),
                   help_of(Lamp, "travel")),
        ),
        Flow(
            [
                Button(look, "add lamp", "Add a lamp", studio.add_lamp,
                       help="Add a lamp on the next free output."),
                Button(look, "remove lamp", f"Remove {look.cut(name, look.px(120))}",
                       lambda: studio.edit(edits.remove_lamp, name),
                       usable=len(effect.lamps) > 1, help="Take this lamp out of the effect."),
            ],
            look.gap,
        ),
    ]  # fmt: skip
    return Panel(Column(rows, look.gap), look.pad)


def _outputs(effect: Effect, name: str) -> dict[str, str]:
    """Outputs to choose from, each with the lamp that is on it."""
    owners = {lamp.output: other for other, lamp in effect.lamps.items()}
    return {
        str(number): f"{number}, changes places with {owners[number]}"
        if owners.get(number, name) != name
        else str(number)
        for number in field_facts(Lamp)["output"].whole_numbers
    }


def _colour(look: Look, studio: Studio, colour: Colour, open_list: OpenList) -> list[Part]:
    """The colour by name, by number or by hand, and as it is typed."""
    lamp = studio.selected
    (way,) = colour.model_fields_set
    value = getattr(colour, way)
    meanwhile = {"wavelength_nm": 605.0, "temperature_k": 1900.0, "hex": rgb_to_hex(colour.rgb)}

    def choose(new: float | str, gesture: str | None = None) -> None:
        studio.set(("lamps", lamp, "colour"), {way: new}, gesture)

    def take(text: str) -> None:
        studio.edit(lambda effect: edits.set_colour(effect, lamp, *read_colour(text)))

    name = name_of(colour)
    own = {} if name in NAMED else {name: colour}
    colours = own | {each: Colour(**{how: number}) for each, (how, number) in NAMED.items()}
    names = Picker(
        look, "colour name", {each: capitalised(each) for each in colours}, name, take, open_list,
        "The colour by the name that LEDs are sold under.",
        patches={each: patch_of(one) for each, one in colours.items()},
    )  # fmt: skip
    ways = Choice(
        look, "colour way", WAYS, way,
        lambda new: studio.edit(edits.set_colour, lamp, new, meanwhile[new]),
        "How the exact colour is given: see the LED's data sheet, or choose by eye.",
    )  # fmt: skip
    if way in COLOUR_UNITS:
        facts = field_facts(Colour)[way]
        exact: Widget = Slider(
            look, f"colour {way}", value, facts.lowest, facts.highest, choose,
            lambda v: f"{v:.0f} {COLOUR_UNITS[way]}", step=1 if way == "wavelength_nm" else 10,
            wide=way == "temperature_k", help=facts.help,
        )  # fmt: skip
    else:
        exact = Hues(
            look, "colour hex", value, choose,
            "Drag, or use the arrow keys: the hue from side to side, paler towards the top.",
        )  # fmt: skip
    typed = Entry(look, "colour typed", str(colour), take, help=f"Type {TYPED}.", longest=30)
    return [
        labelled(look, "colour", names),
        labelled(look, "exact colour", ways),
        labelled(look, "", exact),
        labelled(look, "or type it", typed),
    ]


def patch_of(colour: Colour) -> Rgb:
    """A colour as the screen shows it."""
    red, green, blue = map(int, srgb8(colour.rgb))
    return red, green, blue
