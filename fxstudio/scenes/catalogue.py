"""The catalogue of scenes: their places, where lamps shine, and how each is drawn.

An effect is checked against it when it is made (`find_scene`, `no_place`), and only what it found
is drawn. Each scene is drawn once for a picture size; a frame is then only a weighted sum of its
maps (see `render`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache, partial
from types import MappingProxyType

from fxstudio.arrays import Floats

from ..errors import InputError
from .drawn.ashpan import draw_ashpan
from .drawn.cab import draw_cab
from .drawn.front import draw_front
from .drawn.moving import Moving
from .drawn.saloon import draw_saloon
from .drawn.side import draw_side, move_side

SMALLEST_PX, LARGEST_PX = 16, 4096

Maps = tuple[Floats, dict[str, Floats]]


@dataclass(frozen=True, eq=False)
class Scene:
    """A scene in one size, drawn or photographed.

    Parameters
    ----------
    name : what an effect calls it
    ambient : linear light [3, h, w] with all lamps dark
    light : for each place, linear light [3, h, w] that a white lamp (1, 1, 1) there adds at
        full brightness; a lamp's colour multiplies the channels
    own_colour : places whose light has the colour of a photographed lamp already
    move : draws what moves in it while the engine runs; None: nothing does
    """

    name: str
    ambient: Floats
    light: Mapping[str, Floats]
    own_colour: frozenset[str] = frozenset()
    move: Callable[[], Moving] | None = None

    @cached_property
    def moving(self) -> Moving | None:
        """What moves in it, drawn when it is first asked for."""
        return self.move() if self.move else None


@dataclass(frozen=True, eq=False)
class SceneRow:
    """One scene people can choose: its name in an effect file, a title, one line of help, what
    each of its places is, how it is drawn in a width and height of pixels, which places have
    light of a colour of its own, which are painted onto a photograph, and how what moves in it
    is drawn, if anything does.
    """

    name: str
    title: str
    help: str
    places: Mapping[str, str]
    draw: Callable[[int, int], Maps]
    own_colour: frozenset[str] = frozenset()
    painted: frozenset[str] = frozenset()
    move: Callable[[int, int], Moving] | None = None


_ROWS = (
    SceneRow(
        "cab",
        "Cab with its firehole",
        "A steam locomotive's cab as the crew sees it, the firehole door open",
        {
            "bed": "the glowing bed of coals, and a little light on the rim and footplate",
            "flames": "the tongues of flame above the bed, and their light in the cab",
            "door": "light pouring out of the open firehole onto footplate and cab sides",
            "gauge": "the small lamp over the pressure gauge",
        },
        draw_cab,
    ),
    SceneRow(
        "front",
        "Front end at night",
        "A steam locomotive's smokebox and buffer beam, seen from the track",
        {
            "head_left": "the head lamp over the left buffer, as seen in the picture",
            "head_right": "the head lamp over the right buffer, as seen in the picture",
            "head_top": "the head lamp on the smokebox, below the chimney",
            "tail": "the tail lamp in the middle of the beam",
        },
        draw_front,
    ),
    SceneRow(
        "ashpan",
        "Ash pan between the wheels",
        "Driving wheels, firebox bottom and ash pan from beside the track at dusk",
        {
            "ashpan": "glow below the grate, on ballast, sleepers and wheels",
            "bed": "the fire itself, seen through the damper slots",
        },
        draw_ashpan,
    ),
    SceneRow(
        "side",
        "The whole engine from beside the line",
        "A small tank engine at night, with its fire, ash pan and lamps all in one picture",
        {
            "bed": "the glowing bed in the firehole, seen through the cab's doorway",
            "flames": "the flames above it, their light in the cab and on the steam",
            "ashpan": "glow below the grate, on ballast, rail and wheels",
            "damper": "the fire itself, seen through the damper slots of the ash pan",
            "cab_lamp": "the small lamp under the cab roof",
            "hand_lamp": "a worker's lamp that hangs from the running plate, above the wheels",
            "head": "the head lamp, to the right, and its beam along the line",
            "tail": "the tail lamp, to the left",
        },
        draw_side,
        move=move_side,
    ),
    SceneRow(
        "saloon",
        "Saloon carriage at dusk",
        "The side of a carriage, its saloon seen through three windows",
        {
            "lamp_left": "the lamp under the ceiling of the left bay, and its light on the ground",
            "lamp_middle": "the lamp under the ceiling of the middle bay",
            "lamp_right": "the lamp under the ceiling of the right bay",
            "tables": "the small shaded lamps on all three tables",
        },
        draw_saloon,
    ),
)

SCENES: Mapping[str, SceneRow] = MappingProxyType({row.name: row for row in _ROWS})


def find_scene(name: str) -> SceneRow:
    """The scene that an effect calls `name`; raises InputError if there is none."""
    if name not in SCENES:
        raise InputError("is not a scene", field="scene", given=name, choices=SCENES).advising(
            "choose one of these, or the folder of a photographed scene beside the file"
        )
    return SCENES[name]


def no_place(scene: str, places: Iterable[str], wanted: str) -> InputError:
    """What to say of a lamp at `wanted`, which is none of the `places` of a scene."""
    return InputError(
        f"the scene '{scene}' has no place '{wanted}'", given=wanted, choices=places
    ).advising("give the lamp one of these places, or choose another scene")


@lru_cache(maxsize=4)
def draw_scene(row: SceneRow, width: int, height: int) -> Scene:
    """A scene in `width` x `height` pixels; the same call gives the same object.

    Raises InputError for a size outside 16..4096 pixels, and ReadError where a file of a
    photographed scene has gone.
    """
    for field, size in (("width", width), ("height", height)):
        if not SMALLEST_PX <= size <= LARGEST_PX:
            raise InputError("the picture cannot have this size", field=field, given=size).allowing(
                f"{SMALLEST_PX} to {LARGEST_PX} pixels",
                remedy="choose a size within these limits, such as 480 x 320",
            )
    ambient, light = row.draw(width, height)
    for planes in (ambient, *light.values()):
        planes.setflags(write=False)
    move = partial(row.move, width, height) if row.move else None
    return Scene(row.name, ambient, MappingProxyType(light), row.own_colour, move)
