"""Keep it harmless: the commands that tell how light flashes and flickers, and calm it."""
