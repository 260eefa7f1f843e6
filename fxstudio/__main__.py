"""`python -m fxstudio` is the command `fxstudio`."""

from fxstudio.cli import main

main()
