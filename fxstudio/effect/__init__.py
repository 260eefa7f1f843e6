"""What an effect is: its model, its patterns, its files and the drive that shows it."""
