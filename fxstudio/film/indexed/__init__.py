"""A film in few colours: which, where pixels are alike, and when they change."""
