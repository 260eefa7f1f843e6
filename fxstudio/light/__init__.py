"""Brightness over time: simulated, tabled, compared and put in figures."""
