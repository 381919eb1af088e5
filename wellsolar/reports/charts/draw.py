"""A plot as the text of an SVG, the same bytes for the same plot."""

from __future__ import annotations

import io
import re
import warnings
from html import escape
from typing import Any

import matplotlib
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure

from wellsolar.reports.charts import curves, diagram, house, matrix, style
from wellsolar.reports.figures.plots import (
    BarPanel,
    CurvePanel,
    DiagramPanel,
    MatrixPanel,
    Panel,
    Plot,
)
from wellsolar.reports.plain import plain
from wellsolar.units import System

SETTINGS: Any = {
    "svg.fonttype": "none",
    "svg.hashsalt": "wellsolar",
    "text.parse_math": False,
    "axes.formatter.use_mathtext": False,
    "axes.unicode_minus": True,
    "font.family": ["DejaVu Sans"],
    "font.size": style.SMALL,
    "axes.titlesize": style.USUAL,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.titley": 1.0,  # else all numbers of an axis are measured, lest one is in its way
    "axes.edgecolor": style.INK,
    "axes.labelcolor": style.INK,
    "axes.linewidth": 0.8,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.axisbelow": True,
    "grid.color": style.FAINT,
    "grid.linewidth": 0.6,
    "text.color": style.INK,
    "xtick.color": style.INK,
    "ytick.color": style.INK,
    "hatch.linewidth": 0.7,
    "legend.frameon": False,
    "legend.borderaxespad": 0.0,
    "legend.handlelength": 2.2,
}

GAP = 10.0
"""Between two panels [pt]."""


def draw(plot: Plot, system: System) -> str:
    """A plot as SVG, to stand inside a page.

    Returns:
        an `svg` element with title and description; its ids begin with the plot's key
    """
    with matplotlib.rc_context(SETTINGS), warnings.catch_warnings():
        # Letters that the measuring font lacks are the reader's browser's to draw.
        warnings.simplefilter("ignore")
        heights = [_height(panel, system) for panel in plot.panels]
        whole = sum(heights) + GAP * (len(heights) - 1)
        figure = Figure(figsize=(style.WIDTH / 72, whole / 72), dpi=72)
        FigureCanvasSVG(figure)
        top = whole
        for panel, height in zip(plot.panels, heights, strict=True):
            _draw(figure, panel, system, (top - height, height, whole))
            top -= height + GAP
        stream = io.StringIO()
        nothing = dict.fromkeys(("Date", "Creator", "Format", "Type"))
        figure.savefig(stream, format="svg", metadata=nothing)
    return _inline(stream.getvalue(), plot, system)


def _height(panel: Panel, system: System) -> float:
    if isinstance(panel, CurvePanel):
        return curves.curve_height(panel, system)
    if isinstance(panel, MatrixPanel):
        return matrix.matrix_height(panel, system)
    if isinstance(panel, DiagramPanel):
        return diagram.diagram_height(panel, system)
    return curves.bar_height(panel) if isinstance(panel, BarPanel) else house.HEIGHT


def _draw(figure: Figure, panel: Panel, system: System, place: tuple[float, float, float]) -> None:
    if isinstance(panel, CurvePanel):
        curves.draw_curves(figure, panel, system, place)
    elif isinstance(panel, BarPanel):
        curves.draw_bars(figure, panel, system, place)
    elif isinstance(panel, MatrixPanel):
        matrix.draw_matrix(figure, panel, system, place)
    elif isinstance(panel, DiagramPanel):
        diagram.draw_diagram(figure, panel, system, place)
    else:
        house.draw_well(figure, panel, system, place)


DOTTED = re.compile(
    r'(patternUnits="userSpaceOnUse" x="0" y="0") width="[\d.]+" height="[\d.]+">\n'
    r'(<rect x="0" y="0") width="[\d.]+" height="[\d.]+"( fill="[^"]+"/>)\n'
    r'<path d="(M [^"]*C [^"]*)" (style="[^"]*"/>)'
)
"""A hatch of dots as it is drawn: a tile with every dot as a path of curves."""


def _two_dots(hatch: re.Match[str]) -> str:
    """The same hatch by the two dots that repeat in it: with all of them it weighs more than the
    rest of its figure, on paper more than the rest of the report."""
    begun, ground, fill, path, style = hatch.groups()
    dots = [re.findall(r"-?[\d.]+(?:e-?\d+)?", dot) for dot in path.split("M")[1:]]
    tops = sorted({float(dot[1]) for dot in dots})
    row = sorted(float(dot[0]) for dot in dots if float(dot[1]) == tops[0])
    wide, high = row[1] - row[0], 2.0 * (tops[1] - tops[0])
    heights = [float(number) for number in dots[0][1::2]]
    radius = (max(heights) - min(heights)) / 2.0
    # Every second row stands half a step aside; none is cut by the tile's edge.
    both = ((0.25 * wide, 0.25 * high), (0.75 * wide, 0.75 * high))
    drawn = "\n".join(f'<circle cx="{x:g}" cy="{y:g}" r="{radius:g}" {style}' for x, y in both)
    size = f'width="{wide:g}" height="{high:g}"'
    return f"{begun} {size}>\n{ground} {size}{fill}\n{drawn}"


def _inline(svg: str, plot: Plot, system: System) -> str:
    """The drawing alone, without what only a file of its own needs."""
    size = re.search(r'viewBox="([^"]+)"', svg)
    assert size is not None
    inner = svg[svg.index(">", svg.index("<svg")) + 1 : svg.rindex("</svg>")]
    inner = re.sub(r"<metadata>.*?</metadata>|<!--.*?-->", "", inner, flags=re.S)
    inner = re.sub(r"<defs>\s*<style.*?</style>\s*</defs>", "", inner, flags=re.S)
    inner = re.sub(r'(<g) id="[xy]?tick[^"]*"', r'\1 class="tick"', inner)
    inner = re.sub(r'(<g) id="[^"]*"', r"\1", inner)
    inner = re.sub(r'\bid="', f'id="{plot.key}-', inner)
    inner = re.sub(r'href="#', f'href="#{plot.key}-', inner)
    inner = re.sub(r"url\(#", f"url(#{plot.key}-", inner)
    inner = inner.replace("xlink:href", "href")
    inner = re.sub(r"(font: (?:\d+ )?[\d.]+px) [^;\"]*", r"\1 Arial, sans-serif", inner)
    inner = re.sub(r"\s*\n\s*", "\n", inner)
    inner = DOTTED.sub(_two_dots, inner)
    title, desc = f"{plot.key}-title", f"{plot.key}-desc"
    sentences_read = " ".join(sentence.text(system) for sentence in plot.description)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{size.group(1)}" role="img" '
        f'aria-labelledby="{title} {desc}" style="stroke-linejoin:round;stroke-linecap:butt">'
        f'<title id="{title}">{escape(plain(plot.title))}</title>'
        f'<desc id="{desc}">{escape(plain(sentences_read))}</desc>{inner}</svg>'
    )
