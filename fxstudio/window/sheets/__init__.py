"""What lies on top of the page until it is answered."""
