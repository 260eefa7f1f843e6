"""The writes in their order, what is seen after each, and the way back."""
