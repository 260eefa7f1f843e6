from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.files import load_decoder
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import Compiled
from fxstudio.decoder.values.compile import compile_effect as compile  # noqa: A004  (a script says fx.compile)
from fxstudio.decoder.values.decode import Decoded, decode
from fxstudio.decoder.values.lists import read_values
from fxstudio.decoder.writing.plan import plan
from fxstudio.decoder.writing.steps import Plan
from fxstudio.effect.drive import Drive
from fxstudio.effect.files import load_effect
from fxstudio.effect.model import Effect
from fxstudio.errors import FxError
from fxstudio.film.making import FilmReport, film
from fxstudio.film.making import judge_film as judge
from fxstudio.film.take import Shot
from fxstudio.flashes.verdict import Verdict
from fxstudio.light.simulation import Brightness, simulate

__version__: str
__all__ = [
    "Brightness",
    "Compiled",
    "CvAddress",
    "Decoded",
    "Drive",
    "Effect",
    "FilmReport",
    "FxError",
    "Leaflet",
    "Plan",
    "Shot",
    "Verdict",
    "compile",
    "decode",
    "film",
    "judge",
    "load_decoder",
    "load_effect",
    "plan",
    "read_values",
    "simulate",
]
