"""Decoders: what they can do, the values that make them do it, and what will be seen."""
