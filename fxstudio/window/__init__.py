"""The window: design a look by hand and see it live.

From the bottom up: `toolkit/` draws and takes events and knows no effect; `views` are the picture
and the lanes; `sheets/` lie on top until they are answered; `actions` are what can be done with
the window as a whole, and `shortcuts` the keys for them; `bars`, `panels/` and `stage` put widgets
together; `app` lays them out and runs. What is shown and changed is in `fxstudio.editing`.
"""

import os
import warnings

os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
os.environ.setdefault("SDL_VIDEO_X11_WMCLASS", "fxstudio")

with warnings.catch_warnings():
    # Some versions warn at import about how they look for their own data files.
    warnings.simplefilter("ignore")
    import pygame  # noqa: F401
