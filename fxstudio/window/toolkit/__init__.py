"""Widgets, their layout and their theme. Nothing here knows what an effect is."""
