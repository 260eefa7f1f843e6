"""From an effect to the numbers a decoder keeps, and from the numbers to what it does."""
