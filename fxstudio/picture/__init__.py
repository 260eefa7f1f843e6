"""Pictures: scenes drawn with numpy and lit by the lamps."""
