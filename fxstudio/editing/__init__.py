"""All that the window shows and can do, without a screen."""
