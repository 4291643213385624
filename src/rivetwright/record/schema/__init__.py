"""Steps of the store's schema, run from code."""
