"""Wires, LEDs and resistors: pure functions and tables."""
