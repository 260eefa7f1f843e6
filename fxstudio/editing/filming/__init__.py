"""A film of what the window shows: what a person chooses, how large it will be, where it lies."""
