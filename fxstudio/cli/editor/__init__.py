"""For your editor: files with which it completes and checks."""
