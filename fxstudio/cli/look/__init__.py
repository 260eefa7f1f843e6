"""See the look: the commands that show an effect."""
