"""A decoder in the words and figures of its leaflet: cells, parts and meanings."""
