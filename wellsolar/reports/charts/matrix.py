"""Draws a matrix: in each cell a number, a word, and cups filled as far as a demand is met."""

from __future__ import annotations

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Polygon, Rectangle

from wellsolar.reports.charts import style
from wellsolar.reports.figures.plots import MatrixCell, MatrixColumn, MatrixPanel
from wellsolar.units import System, digits

NAMES = 88.0
"""Width of the rows' names [pt]."""

HEAD, ROW, KEY = 46.0, 28.0, 44.0
"""Heights [pt]: of the columns' names, of a row, of what tells how to read it."""

LINE = style.SMALL + 2.5
"""From a line of text to the next [pt]."""

CUP, FOOT, TALL, APART = 4.4, 3.2, 14.0, 1.0
"""A cup [pt]: width at its rim and at its foot, height, and how far from the next."""

LEAST_COLUMN, GAPS, MOST_SPARE = 50.0, 7.0, 40.0
"""Widths of columns [pt]: at least, between and beside what stands in a cell, to give away."""

BOLD = 0.66
"""Mean width of a letter of the columns' names over its size, on the wide side."""

DIGIT = 1.1
"""Width of a digit over that of a letter."""

TINT = "#f4f6f8"


def matrix_height(panel: MatrixPanel, system: System) -> float:
    """Height of a matrix [pt]."""
    return _head(panel, system) + ROW * len(panel.rows) + KEY


def _head(panel: MatrixPanel, system: System) -> float:
    """Height of the columns' names [pt]: that of two lines, or more where a column is narrow."""
    widths = _widths(panel, system)
    named = [_name(column, width) for column, width in zip(panel.columns, widths, strict=True)]
    return HEAD + LINE * max(0, max(name.count("\n") for name in named) - 1)


def _name(column: MatrixColumn, width: float) -> str:
    """A column's name on lines of its width [pt]."""
    return style.folded(column.label, (width - 4.0) / (BOLD * style.SMALL), 3)


def draw_matrix(
    figure: Figure, panel: MatrixPanel, system: System, place: tuple[float, float, float]
) -> None:
    """Draw a matrix into its place of a figure.

    Parameters:
        place: foot and height of the panel, and the height of the whole figure [pt]
    """
    height = place[1]
    axes = style.blank_axes(figure, place, height)
    top = height - _head(panel, system)
    widths = _widths(panel, system)
    axes.text(2.0, top + 4.0, "failed", va="bottom", fontsize=style.SMALL, fontweight="bold")
    for number, name in enumerate(panel.rows):
        _row(axes, name, top - ROW * number, shaded=number % 2 == 0)
    for number, column in enumerate(panel.columns):
        left = NAMES + sum(widths[:number])
        _column(axes, column, system, (left, widths[number], top))
    axes.plot((0.0, style.WIDTH), (top, top), color=style.INK, linewidth=1.0)
    _key(axes, panel)


def _widths(panel: MatrixPanel, system: System) -> list[float]:
    """Widths of the columns [pt]: what each asks for, and an equal part of what is left."""
    asked = []
    for column in panel.columns:
        texts = [line for cell in column.cells for line in _said(column, cell, system)]
        widest = max(style.width_of(text, style.SMALL) * DIGIT for text in texts)
        asked.append(max(LEAST_COLUMN, GAPS + (CUP + APART) * len(column.cups) + widest))
    spare = (style.WIDTH - NAMES - sum(asked)) / len(asked)
    return [height + min(spare, MOST_SPARE) for height in asked]


def _said(column: MatrixColumn, cell: MatrixCell, system: System) -> list[str]:
    """The lines of a cell."""
    if cell.value is None:
        return ["-", *filter(None, [cell.word])]
    decimals = column.kind.us[0].decimals
    number = style.scale_of(column.kind, system).of(cell.value)
    shown = digits(number, decimals, figures=column.kind.figures)
    return [shown, *filter(None, [cell.word])]


def _row(axes: Axes, name: str, top: float, *, shaded: bool) -> None:
    if shaded:
        axes.add_artist(Rectangle((0.0, top - ROW), style.WIDTH, ROW, facecolor=TINT, linewidth=0))
    axes.plot((0.0, style.WIDTH), (top - ROW, top - ROW), color=style.FAINT, linewidth=0.6)
    axes.text(2.0, top - ROW / 2, style.folded(name, (NAMES - 8.0) / (0.56 * style.SMALL), 2),
              va="center", fontsize=style.SMALL, linespacing=1.05)  # fmt: skip


def _column(
    axes: Axes, column: MatrixColumn, system: System, place: tuple[float, float, float]
) -> None:
    """A column: its name and unit, then its cells from the top."""
    left, width, top = place
    scale = style.scale_of(column.kind, system)
    axes.text(left + 2.0, top + 4.0 + LINE, _name(column, width), va="bottom",
              fontsize=style.SMALL, linespacing=1.05, fontweight="bold")  # fmt: skip
    axes.text(left + 2.0, top + 4.0, scale.unit, va="bottom", fontsize=style.SMALL)
    for number, cell in enumerate(column.cells):
        middle = top - ROW * (number + 0.5)
        cups = _cups(axes, cell, left + 2.0, middle - TALL / 2)
        cell_words = "\n".join(_said(column, cell, system))
        axes.text(left + 2.0 + cups + 2.0, middle, cell_words, va="center", fontsize=style.SMALL,
                  linespacing=1.05)  # fmt: skip


def _cups(axes: Axes, cell: MatrixCell, left: float, foot: float) -> float:
    """Cups side by side, each filled as far as its demand is met; the width that they take."""
    colour = style.COLOURS[0] if len(cell.shares) > 1 else style.COLOURS[1]
    known = [(number, share) for number, share in enumerate(cell.shares) if share is not None]
    for number, share in known:
        x = left + (CUP + APART) * number
        slant = (CUP - FOOT) / 2.0
        rim, base = (x, x + CUP), (x + slant, x + slant + FOOT)
        if share > 0.0:
            out = slant * share
            water = ((base[0], foot), (base[0] - out, foot + TALL * share),
                     (base[1] + out, foot + TALL * share), (base[1], foot))  # fmt: skip
            axes.add_artist(Polygon(water, facecolor=colour, linewidth=0))
        axes.plot((rim[0], *base, rim[1]), (foot + TALL, foot, foot, foot + TALL), color=colour,
                  linewidth=0.8, solid_capstyle="round")  # fmt: skip
    return (CUP + APART) * (known[-1][0] + 1) if known else 0.0


def _key(axes: Axes, panel: MatrixPanel) -> None:
    """How to read a cell, below the matrix."""
    foot = KEY - 30.0
    full = _cups(axes, MatrixCell(None, "", (1.0, 1.0, 0.4)), 2.0, foot)
    axes.text(2.0 + full + 6.0, foot + 10.0, style.folded(panel.told, 66, 2), va="center",
              fontsize=style.SMALL, linespacing=1.1)  # fmt: skip
