"""Files of a person as checked models, and what the models say of their fields."""
