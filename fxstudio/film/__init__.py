"""Films: one loop of an effect as frames, as what a viewer sees, and as a file.

A script calls this room itself, `fxstudio.film(effect, path)`: see `making.film`. The folder and
the function have one name, and whichever is loaded first would else hide the other.
"""

import sys
from types import ModuleType
from typing import Any

__all__ = ["making", "take"]


class _Room(ModuleType):
    def __call__(self, *arguments: Any, **options: Any) -> object:
        from fxstudio.film.making import film

        return film(*arguments, **options)


sys.modules[__name__].__class__ = _Room
