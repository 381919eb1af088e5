"""Draws panels of curves and of bars."""

from __future__ import annotations

from itertools import accumulate, pairwise

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FixedFormatter, FixedLocator, MaxNLocator, MultipleLocator

from wellsolar.reports.charts import style
from wellsolar.reports.figures.plots import Axis, BarPanel, CurvePanel, text_of
from wellsolar.results.entries import MONTHS
from wellsolar.units import System

Place = tuple[float, float, float]
"""Foot and height of a panel, and the height of the whole figure [pt]."""

LEFT, RIGHT, NAMES = 54.0, 12.0, 108.0
"""Margins [pt]: beside the axis' numbers, at the free side, and where levels are named there."""

TITLE, BOX, FOOT, ROW = 20.0, 148.0, 36.0, 14.5
"""Heights [pt]: of a title, of the plot itself, of numbers and name below it, of a line of the
key."""

LYING, NAMED = 26.0, 21
"""Height of a lying bar with its name [pt], and letters of a line of it."""

MONTH_LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
"""Days of the months of a common year."""

NAME_LETTERS = 18
"""Letters of a line of a name in the margin."""


def curve_height(panel: CurvePanel, system: System) -> float:
    """Height of a panel of curves [pt]."""
    labels = _key_labels(panel, system)
    return TITLE + BOX + FOOT + ROW * _rows(labels) + 4.0


def bar_height(panel: BarPanel) -> float:
    """Height of a panel of bars [pt]."""
    rows = _rows([bars.label for bars in panel.series])
    if panel.stacked:
        return LYING * len(panel.categories) + FOOT + ROW * rows + 12.0
    return TITLE + 0.62 * BOX + FOOT - 14.0 + ROW * rows


def draw_curves(figure: Figure, panel: CurvePanel, system: System, place: Place) -> None:
    """Draw a panel of curves into its place of a figure."""
    names = bool(panel.guides)
    right = NAMES if names else RIGHT
    axes = _axes(figure, place, TITLE, BOX, LEFT, right)
    axes.set_title(text_of(panel.title, system))
    x, y = (style.scale_of(axis.kind, system, axis.time) for axis in (panel.x, panel.y))
    for line in panel.lines:
        axes.plot(
            x.all(line.x),
            y.all(line.y),
            color=style.look_of(line.look).colour,
            linestyle=style.look_of(line.look).dash,
            linewidth=1.8,
            label=style.short(text_of(line.label, system), 56) if line.label else "_",
        )
    for mark in panel.marks:
        axes.plot(
            x.all(mark.x),
            y.all(mark.y),
            linestyle="none",
            marker=style.SHAPES[mark.shape],
            markersize=7.0,
            markerfacecolor=style.look_of(mark.look).colour,
            markeredgecolor=style.PAPER,
            markeredgewidth=1.0,
            label=style.short(text_of(mark.label, system), 56),
            zorder=4,
        )
    for guide in panel.guides:
        axes.axhline(
            y.of(guide.value),
            color=style.look_of(guide.look).colour,
            linewidth=0.9,
            linestyle=(0, (2, 2)),
        )
    _limits(axes, panel.x, panel.y, x)
    axes.grid(True)
    unit = "" if panel.x.time or panel.x.months else x.unit
    axes.set_xlabel(style.titled(panel.x.label, unit), labelpad=2.0)
    axes.set_ylabel(style.titled(panel.y.label, y.unit), labelpad=3.0)
    if names:
        _name_guides(axes, panel, system, y)
    _end_labels(axes, panel, system, x, y)
    _key(axes, _key_labels(panel, system), BOX)


def draw_bars(figure: Figure, panel: BarPanel, system: System, place: Place) -> None:
    """Draw a panel of bars into its place of a figure."""
    scale = style.scale_of(panel.axis.kind, system)
    if panel.stacked:
        _lying(figure, panel, scale, place)
    else:
        _upright(figure, panel, system, scale, place)


def _axes(
    figure: Figure, place: Place, above: float, height: float, left: float, right: float
) -> Axes:
    foot, panel, whole = place
    bottom = foot + panel - above - height
    return figure.add_axes(
        (
            left / style.WIDTH,
            bottom / whole,
            (style.WIDTH - left - right) / style.WIDTH,
            height / whole,
        )
    )


def _limits(axes: Axes, x: Axis, y: Axis, scale: style.Scale) -> None:
    if x.most is not None:
        end = scale.of(x.most)
        axes.set_xlim(0.0, end)
        axes.xaxis.set_major_locator(MultipleLocator(end / 8 if x.time == "h" else end / 6))
    elif x.months:
        _by_months(axes)
    else:
        axes.xaxis.set_major_locator(MaxNLocator(7))
        axes.margins(x=0.02)
    axes.yaxis.set_major_locator(MaxNLocator(6))
    if x.from_zero:
        axes.set_xlim(left=0.0)
    low, high = axes.get_ylim()
    axes.set_ylim(0.0 if y.from_zero else low, high + 0.05 * (high - low))
    if y.down:
        axes.invert_yaxis()


def _by_months(axes: Axes) -> None:
    """Days of the year, a stroke where a month begins and its name in its middle."""
    begins = [day - 0.5 for day in accumulate(MONTH_LENGTHS, initial=1)]
    axes.set_xlim(begins[0], begins[-1])
    axes.xaxis.set_major_locator(FixedLocator(begins))
    axes.xaxis.set_major_formatter(FixedFormatter([""] * 13))
    axes.xaxis.set_minor_locator(FixedLocator([sum(pair) / 2 for pair in pairwise(begins)]))
    axes.xaxis.set_minor_formatter(FixedFormatter(MONTHS))
    axes.tick_params(axis="x", which="minor", length=0.0)


def _name_guides(axes: Axes, panel: CurvePanel, system: System, y: style.Scale) -> None:
    """Name the levels in the right margin, none over another, joined to them by a stroke."""
    low, high = sorted(axes.get_ylim())
    per_point = (high - low) / BOX
    guides = sorted(panel.guides, key=lambda guide: y.of(guide.value))
    texts = [style.folded(text_of(guide.label, system), NAME_LETTERS) for guide in guides]
    heights = [(text.count("\n") + 1) * (style.SMALL + 2.5) * per_point for text in texts]
    places = style.apart([y.of(guide.value) for guide in guides], heights, low, high)
    for guide, text, placed in zip(guides, texts, places, strict=True):
        look = style.look_of(guide.look)
        axes.annotate(
            text,
            (1.0, y.of(guide.value)),
            (1.035, placed),
            xycoords=("axes fraction", "data"),
            textcoords=("axes fraction", "data"),
            color=look.letters,
            va="center",
            annotation_clip=False,
            arrowprops={"arrowstyle": "-", "color": look.colour, "linewidth": 0.8,
                        "shrinkA": 0, "shrinkB": 0, "relpos": (0, 0.5)},
        )  # fmt: skip


def _end_labels(
    axes: Axes, panel: CurvePanel, system: System, x: style.Scale, y: style.Scale
) -> None:
    """Name lines at their beginnings."""
    for line in panel.lines:
        if line.end_label:
            axes.annotate(
                text_of(line.end_label, system),
                (x.of(line.x[0]), y.of(line.y[0])),
                (4.0, 3.0),
                textcoords="offset points",
                color=style.look_of(line.look).letters,
                va="bottom",
                bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.6, "alpha": 0.85},
                zorder=3,
            )


def _key_labels(panel: CurvePanel, system: System) -> list[str]:
    every = [line.label for line in panel.lines] + [mark.label for mark in panel.marks]
    return [style.short(text_of(line, system), 56) for line in every if line]


def _columns(labels: list[str]) -> int:
    widest = max(style.width_of(label, style.SMALL) for label in labels) + 38.0
    return max(1, min(len(labels), int((style.WIDTH - 16.0) // widest)))


def _rows(labels: list[str]) -> int:
    return -(-len(labels) // _columns(labels)) if labels else 0


def _key(axes: Axes, labels: list[str], box: float) -> None:
    """The key below the plot."""
    if not labels:
        return
    axes.legend(
        loc="upper left",
        bbox_to_anchor=(-(LEFT - 8.0) / axes.bbox.width, -(FOOT - 2.0) / box),
        ncols=_columns(labels),
        labelspacing=0.35,
        columnspacing=1.4,
        fontsize=style.SMALL,
    )


def _upright(
    figure: Figure, panel: BarPanel, system: System, scale: style.Scale, place: Place
) -> None:
    box = 0.62 * BOX
    axes = _axes(figure, place, TITLE, box, LEFT, RIGHT)
    axes.set_title(text_of(panel.title, system))
    count = len(panel.series)
    width = 0.8 / count
    for number, series in enumerate(panel.series):
        places = [i - 0.4 + width * (number + 0.5) for i in range(len(series.values))]
        heights = [scale.of(value or 0.0) for value in series.values]
        axes.bar(
            places,
            heights,
            width * 0.94,
            color=style.look_of(series.look).colour,
            edgecolor=style.PAPER,
            linewidth=0.0,
            hatch=style.look_of(series.look).hatch,
            label=style.short(series.label, 56),
        )
        if panel.numbers:
            # Two months' numbers side by side are wider than their bars.
            turned = 90.0 if count > 1 else 0.0
            for at, height in zip(places, heights, strict=True):
                axes.annotate(f"{height:.0f}", (at, height), (0.0, 1.5),
                              textcoords="offset points", ha="center", va="bottom",
                              fontsize=style.SMALL, rotation=turned)  # fmt: skip
    axes.set_xticks(range(len(panel.categories)), panel.categories)
    axes.tick_params(axis="x", length=0.0)
    axes.set_xlim(-0.6, len(panel.categories) - 0.4)
    if panel.most is not None:
        axes.set_ylim(0.0, scale.of(panel.most) * (1.2 if count > 1 else 1.15))
    else:
        axes.set_ylim(0.0, axes.get_ylim()[1] * 1.04)
    axes.yaxis.set_major_locator(MaxNLocator(4, integer=panel.most is not None))
    axes.grid(True, axis="y")
    axes.set_ylabel(style.titled(panel.axis.label, scale.unit), labelpad=3.0)
    labels = [style.short(bars.label, 56) for bars in panel.series]
    axes.legend(
        loc="upper left",
        bbox_to_anchor=(-(LEFT - 8.0) / axes.bbox.width, -(FOOT - 16.0) / box),
        ncols=_columns(labels),
        labelspacing=0.35,
        columnspacing=1.4,
    )


def _lying(figure: Figure, panel: BarPanel, scale: style.Scale, place: Place) -> None:
    """Stacked bars, each with its sum at its end; what is below zero goes to the left."""
    box = LYING * len(panel.categories)
    names = [
        "\n".join(style.short(part, NAMED) for part in category.split("\n"))
        for category in panel.categories
    ]
    left = min(130.0, max(style.width_of(name, style.SMALL) for name in names) + 10.0)
    axes = _axes(figure, place, 4.0, box, left, 44.0)
    ends = [0.0] * len(names)
    starts = [0.0] * len(names)
    for series in panel.series:
        values = [scale.of(value or 0.0) for value in series.values]
        begins = [
            end if value >= 0 else start + value
            for value, end, start in zip(values, ends, starts, strict=True)
        ]
        axes.barh(
            range(len(names)),
            [abs(value) for value in values],
            0.66,
            begins,
            color=style.look_of(series.look).colour,
            edgecolor=style.PAPER,
            linewidth=0.6,
            hatch=style.look_of(series.look).hatch,
            label=series.label,
        )
        ends = [end + max(0.0, value) for end, value in zip(ends, values, strict=True)]
        starts = [start + min(0.0, value) for start, value in zip(starts, values, strict=True)]
    for position, (end, start) in enumerate(zip(ends, starts, strict=True)):
        axes.annotate(
            f"{end + start:.0f} {scale.unit}", (end, position), (3.0, 0.0),
            textcoords="offset points", va="center", fontsize=style.USUAL, fontweight="bold",
            annotation_clip=False,
        )  # fmt: skip
    axes.set_yticks(range(len(names)), names)
    axes.set_ylim(len(names) - 0.5, -0.5)
    axes.set_xlim(min(starts) * 1.05, max(ends) * 1.02 or 1.0)
    axes.tick_params(axis="y", length=0.0)
    axes.axvline(0.0, color=style.INK, linewidth=0.8)
    axes.grid(True, axis="x", color=style.FAINT)
    axes.xaxis.set_major_locator(MaxNLocator(6))
    axes.set_xlabel(style.titled(panel.axis.label, scale.unit), labelpad=2.0)
    labels = [bars.label for bars in panel.series]
    axes.legend(
        loc="upper left",
        bbox_to_anchor=(-(left - 8.0) / axes.bbox.width, -FOOT / box),
        ncols=_columns(labels),
        labelspacing=0.35,
        columnspacing=1.4,
    )
