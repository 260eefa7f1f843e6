"""The command line: the only place that prints and sets exit codes.

Exit codes: 0 done, 1 a fault in fxstudio itself, 2 something in the call or a file cannot be
used, 130 interrupted. No file is ever left half-written.
"""

from __future__ import annotations

import io
import os
import sys

from fxstudio.cli.app import app
from fxstudio.cli.codes import BAD_INPUT, FAULT
from fxstudio.cli.commands import loaded
from fxstudio.errors import FxError

# Frames are small matrix products: a second thread would burn a core for nothing.
for name in ("OPENBLAS", "OMP", "MKL", "VECLIB"):
    os.environ.setdefault(f"{name}_NUM_THREADS", "1")


def main() -> None:
    """Run the command line; no traceback reaches a user for anything a user can mend."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a terminal may not know every letter
            stream.reconfigure(errors="replace")
    try:
        app()
    except FxError as error:
        loaded("shown.console:complain")(error)
        sys.exit(BAD_INPUT)
    except Exception as error:
        if os.environ.get("FXSTUDIO_TRACEBACK"):
            raise
        loaded("shown.console:fault")(error)
        sys.exit(FAULT)
