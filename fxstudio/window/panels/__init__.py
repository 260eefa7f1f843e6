"""What is set at the right side of the window: the effect, a lamp, the decoder."""
