"""Draws the figures of a report as SVG: the one package that imports matplotlib."""
