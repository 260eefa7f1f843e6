"""A look in one file for others: what goes in, and how one from others is opened safely."""
