"""Cables, starting current and the dip of voltage at start."""
