"""The scene of an effect, drawn or photographed: where it is found, and its file."""
