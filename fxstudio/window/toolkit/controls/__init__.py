"""Controls: what a person presses, drags and types in."""
