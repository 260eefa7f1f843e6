"""Two looks in one film, side by side."""
