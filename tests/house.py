"""The house: which rooms there are and what stands on what, as one table.

Imports go down only, between rooms and inside them; `test_layers.py` holds the package to it.
`python tests/house.py` writes the table into DEVELOPERS.md, with what each room says of itself.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

PACKAGE = Path(__file__).parents[1] / "fxstudio"
PAGE = PACKAGE.parent / "DEVELOPERS.md"
BEGIN, END = "<!-- rooms: written by tests/house.py -->", "<!-- end of rooms -->"

ROOMS = {
    "fxstudio": (
        "arrays cautions colour errors progress units"
        " < documents electrics on_disk scenes style whole_files < effect flashes < dcc light"
        " < decoder film < editing export sharing < window < cli < __main__"
    ),
    "fxstudio/cli": (
        "codes commands given shown < app decoder editor harmless packets scene < bench look"
        " < share"
    ),
    "fxstudio/cli/bench": "options < currents resistor sheet truth wires",
    "fxstudio/cli/decoder": "asked options < describe explain goal read renew values "
    "< kept move < plan",
    "fxstudio/cli/editor": "options < schema",
    "fxstudio/cli/given": "decoders endings files options < exchanged",
    "fxstudio/cli/harmless": "calming options < camera check figures < calm",
    "fxstudio/cli/look": "beside jobs options script < catalogue film show < demo",
    "fxstudio/cli/packets": "options shown < cvs running",
    "fxstudio/cli/scene": "options < group new practice shown",
    "fxstudio/cli/share": "options < pack unpack",
    "fxstudio/cli/shown": "console written < decoder film",
    "fxstudio/dcc": (
        "cv framing < addressing function_map instructions < write_rules < packets"
        " < drive_packets sequences"
    ),
    "fxstudio/decoder": "description < leaflet < search < values < interview move renewal writing",
    "fxstudio/decoder/description": "fields < tables < checks < model",
    "fxstudio/decoder/interview": (
        "delivered_look notebook typed worked < likely questions < draft < text walk < interview"
    ),
    "fxstudio/decoder/interview/typed": "figures < terms < basics places values < codes < effects",
    "fxstudio/decoder/leaflet": (
        "says < cells rows < checks meanings < layout looks < model < earlier evaluator"
        " < files paper"
    ),
    "fxstudio/decoder/renewal": "alike comments < folding written < renew",
    "fxstudio/decoder/search": (
        "choices least_sum shared < costs rules < gate_costs look_costs while_costs < lamp_costs"
        " < best"
    ),
    "fxstudio/decoder/values": (
        "by_resistor consequences lists meaning seen shared_rate < compromise decode"
        " < read_back unknowns < compile"
    ),
    "fxstudio/decoder/writing": (
        "currents extras look steps < locks passing sight < order < notes < plan"
    ),
    "fxstudio/documents": "models < reading",
    "fxstudio/editing": (
        "calm_view colours decoder jobs message paths playback < document edits filming projector"
        " < studio < traces"
    ),
    "fxstudio/editing/filming": "folders < wishes",
    "fxstudio/effect": (
        "colour cover keys setting < drive patterns < dims gate < lamp led < model"
        " < advice files writing"
    ),
    "fxstudio/effect/setting": "model < files",
    "fxstudio/effect/patterns": "motion signals timeline < pattern < beat flash flicker steady",
    "fxstudio/electrics": "load resistor wiring",
    "fxstudio/export": "plan_table plot schema table wiring < sheet < bench_sheet",
    "fxstudio/film": (
        "captions png quality rolling timing < take < halves indexed < gif screening seen < formats"
        " < choices fitting < making < calmer"
    ),
    "fxstudio/film/captions": "strip tour < caption lanes",
    "fxstudio/film/choices": "captioned estimate table",
    "fxstudio/film/halves": "beside",
    "fxstudio/film/indexed": "palette < reduction < holding < quantise",
    "fxstudio/flashes": "rules steps < fields < count < verdict < map",
    "fxstudio/light": "carrier figures likeness simulation truth_table < brightnesses",
    "fxstudio/sharing": "films limits < packing unpacking",
    "fxstudio/scenes": "drawn < photograph < catalogue < render",
    "fxstudio/scenes/drawn": (
        "shapes < fire surface < fittings land moving < ashpan cab front saloon side"
    ),
    "fxstudio/scenes/photograph": (
        "gains maps painting smoothing splitting < noise reading < alignment practice < apart"
    ),
    "fxstudio/window": "toolkit < views < sheets < actions stage < panels shortcuts < bars < app",
    "fxstudio/window/panels": "decoder fields < effect < colour < lamp",
    "fxstudio/window/sheets": "files film interview questions",
    "fxstudio/window/toolkit": (
        "clipboard theme < widget < controls parts < frames layout < form painting < page"
    ),
    "fxstudio/window/toolkit/controls": "buttons entry hues lists notes slider",
}
"""Of each room its modules and folders from the ground up: `<` leads to the next floor.

Those of one floor do not know each other. A module knows what stands on a lower floor of its own
room, and rooms on lower floors of the house.
"""


def floors(room: str) -> dict[str, int]:
    """The floor of each module and folder of a room, by name."""
    return {
        name: level
        for level, names in enumerate(ROOMS[room].split(" < "))
        for name in names.split()
    }


def modules() -> list[Path]:
    """All modules of the package."""
    return sorted(PACKAGE.rglob("*.py"))


def dotted(path: Path) -> str:
    """`fxstudio.film.take` for the file of that module."""
    name = ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts)
    return name.removesuffix(".__init__")


def imported(path: Path) -> Iterator[str]:
    """Dotted names of all that a module imports, wherever in it; relative ones made whole."""
    parents = path.relative_to(PACKAGE.parent).with_suffix("").parts
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = parents[: len(parents) - node.level] if node.level else ()
            stem = ".".join([*base, *([node.module] if node.module else [])])
            yield from (f"{stem}.{alias.name}" for alias in node.names)


def page() -> str:
    """The table as it stands in DEVELOPERS.md."""
    rows = ["| room | what it is for | what stands on what |", "| --- | --- | --- |"]
    for room, stands in ROOMS.items():
        told = ast.get_docstring(ast.parse((PACKAGE.parent / room / "__init__.py").read_text()))
        what = (told or "").split("\n\n")[0].replace("\n", " ")
        rows.append(f"| `{room}/` | {what} | `{stands}` |")
    return "\n".join(rows)


def written(text: str) -> str:
    """DEVELOPERS.md with the table of today in its place."""
    before, _, rest = text.partition(BEGIN)
    return f"{before}{BEGIN}\n{page()}\n{END}{rest.partition(END)[2]}"


if __name__ == "__main__":
    PAGE.write_text(written(PAGE.read_text("utf-8")), "utf-8")
