"""From what a person types, in the words of a leaflet, to the fields of a description."""
