"""The window: design a look by hand and see it live.

From the bottom up: `document`, `edits`, `playback`, `calm_view`, `projector` and `studio` hold what
the person works on and know nothing of pygame; `theme`, `layout`, `widget` and the widgets draw
and take events; panels and dialogs put widgets together; `page` lays them out and `app` runs.
"""

import os
import warnings

os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
os.environ.setdefault("SDL_VIDEO_X11_WMCLASS", "fxstudio")

with warnings.catch_warnings():
    # Some versions warn at import about how they look for their own data files.
    warnings.simplefilter("ignore")
    import pygame  # noqa: F401
