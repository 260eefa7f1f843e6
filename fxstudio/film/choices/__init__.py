"""What a film can be asked to be, in the same words for the command line and the window."""
