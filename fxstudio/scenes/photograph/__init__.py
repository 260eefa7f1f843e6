"""Scenes from photographs: one picture with all lamps off, one for each lamp, taken apart."""
