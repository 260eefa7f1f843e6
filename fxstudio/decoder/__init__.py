"""One decoder, from its leaflet: what it can do, what it must hold, how it is written."""
