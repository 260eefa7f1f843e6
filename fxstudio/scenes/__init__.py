"""Places where lamps shine: drawn in linear light, one map for each lamp."""
