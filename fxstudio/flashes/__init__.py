"""Verdicts on flashing pictures, whoever made them."""
