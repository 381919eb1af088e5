"""Draws the plots of a report as SVG, in the one package that imports matplotlib."""

from wellsolar.reports.charts.draw import draw

__all__ = ["draw"]
