"""A description of the earlier form written anew in a leaflet's words, with its comments."""
