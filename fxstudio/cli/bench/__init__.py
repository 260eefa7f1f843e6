"""At the bench: the commands for who solders, writes and tests."""
