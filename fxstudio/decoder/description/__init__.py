"""The file that says in a leaflet's figures what a decoder can do."""
