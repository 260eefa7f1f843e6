"""Design, preview and write lighting effects for model locomotives.

What the commands do can be scripted, too: `import fxstudio as fx`. An effect becomes light with
`fx.simulate`, a film with `fx.film` and a verdict on its flashes with `fx.judge`; on a decoder it
becomes values with `fx.compile` and a list of writes with `fx.plan`, and `fx.decode` leads back.
A name is loaded when it is first used, so that the import itself takes no time.
"""

from importlib import import_module as _import_module

__version__ = "0.1.0"
__docformat__ = "numpy"

_LIBRARY = {
    "load_effect": "fxstudio.effect.files",
    "load_decoder": "fxstudio.decoder.leaflet.files",
    "read_values": "fxstudio.decoder.values.lists",
    "simulate": "fxstudio.light.simulation",
    "film": "fxstudio.film.making",
    "judge": "fxstudio.film.making:judge_film",
    "compile": "fxstudio.decoder.values.compile:compile_effect",
    "decode": "fxstudio.decoder.values.decode",
    "plan": "fxstudio.decoder.writing.plan",
    "Effect": "fxstudio.effect.model",
    "Drive": "fxstudio.effect.drive",
    "Brightness": "fxstudio.light.simulation",
    "Shot": "fxstudio.film.take",
    "FilmReport": "fxstudio.film.making",
    "Verdict": "fxstudio.flashes.verdict",
    "Leaflet": "fxstudio.decoder.leaflet.model",
    "CvAddress": "fxstudio.dcc.cv",
    "Compiled": "fxstudio.decoder.values.compile",
    "Decoded": "fxstudio.decoder.values.decode",
    "Plan": "fxstudio.decoder.writing.steps",
    "FxError": "fxstudio.errors",
}
"""Name to the module that has it, and its name there if that is another. The types of all stand
in `__init__.pyi`."""


def __getattr__(name: str) -> object:
    """What `name` stands for, loaded now and kept; asking what there is, `__all__`, loads all."""
    if name == "__all__":
        found: object = [each for each in _LIBRARY if globals().get(each) or __getattr__(each)]
    elif name in _LIBRARY:
        module, _, other = _LIBRARY[name].partition(":")
        found = getattr(_import_module(module), other or name)
    else:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return globals().setdefault(name, found)


def __dir__() -> list[str]:
    return sorted({*globals(), *_LIBRARY})
