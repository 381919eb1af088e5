"""The sun and the sky: geometry, clear sky, clearness, a year of hours."""
