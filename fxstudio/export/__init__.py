"""Results for other programs: films and sheets."""
