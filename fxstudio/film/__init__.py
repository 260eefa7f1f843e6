"""An effect made into frames, judged for flashes, and written as a file."""
