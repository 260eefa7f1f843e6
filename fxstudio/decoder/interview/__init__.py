"""Questions that lead from a leaflet on paper to a description."""
