"""Design, preview and write lighting effects for model locomotives."""

__version__ = "0.1.0"
