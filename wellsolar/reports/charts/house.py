"""Draws the well to scale, and above it, without a scale, what stands in the house."""

from __future__ import annotations

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Ellipse, FancyBboxPatch, Polygon, Rectangle
from matplotlib.ticker import MaxNLocator

from wellsolar.reports.charts.style import (
    COLOURS,
    INK,
    LETTERS,
    PAPER,
    SMALL,
    USUAL,
    WIDTH,
    apart,
    folded,
    scale_of,
    short,
    titled,
)
from wellsolar.reports.figures.plots import Above, Hanging, Role, WellPanel, text_of
from wellsolar.units import System

HEIGHT = 520.0
"""Height of the drawing [pt]."""

GROUND, FOOT = 366.0, 14.0
"""Heights at which the ground and the greatest depth lie [pt]."""

AXIS = 50.0
CASING = (72.0, 168.0)
LABELS = 190.0
"""Places across [pt]: the depths' axis, the casing's walls, the names."""

HOUSE = (206.0, 412.0, 92.0, 36.0)
"""Left, right, height of the walls and of the roof [pt]."""

SOIL, WATER, PUMPED, STEEL = "#f3eee4", "#bfdcf2", "#e3f0fa", "#6b7580"
FROZEN = "#d9def0"

INKS: dict[Role, str] = {
    "ground": INK,
    "frost": "#4b5a94",
    "pipe": INK,
    "rest": LETTERS[0],
    "range": LETTERS[0],
    "pumped": LETTERS[4],
    "pump": LETTERS[1],
    "hand": LETTERS[5],
    "bottom": INK,
}

NAME_LETTERS, LINES = 41, 2
"""Letters of a line of a name, and its lines."""

LEAST_BODY = 9.0
"""Height of a pump that would be too small to be seen [pt]."""


def draw_well(
    figure: Figure, panel: WellPanel, system: System, place: tuple[float, float, float]
) -> None:
    """Draw a well into its place of a figure.

    Parameters:
        figure: the figure
        panel: the well
        system: "US" or "SI"
        place: foot and height of the panel, and the height of the whole figure [pt]
    """
    foot, height, whole = place
    axes = figure.add_axes((0.0, foot / whole, 1.0, height / whole))
    axes.set_xlim(0.0, WIDTH)
    axes.set_ylim(0.0, HEIGHT)
    axes.axis("off")
    axes.add_patch(Rectangle((AXIS, 0.0), WIDTH - AXIS, GROUND, color=SOIL, linewidth=0))
    if panel.well.frost_depth:
        frozen = _at(panel, min(panel.well.frost_depth, panel.well.depth))
        axes.add_patch(Rectangle((AXIS, frozen), WIDTH - AXIS, GROUND - frozen, facecolor=FROZEN,
                                 edgecolor=INKS["frost"], hatch="xxx", linewidth=0))  # fmt: skip
    _casing(axes, panel)
    if panel.shown < panel.well.depth:
        _broken_off(axes)
    columns = len(panel.hanging) + _hand_above(panel)
    for column, hanging in enumerate(panel.hanging):
        _hang(axes, panel, hanging, _across(column, columns))
    if _hand_above(panel):
        _suction_hand_pump(axes, panel, _across(columns - 1, columns))
    if panel.well.line_to_house:
        _line_to_house(axes, panel, columns)
    axes.plot((AXIS, WIDTH), (GROUND, GROUND), color="#7a6a50", linewidth=2.0)
    _axis(axes, panel, system)
    _names(axes, panel, system)
    _house(axes, panel, system)


def _at(panel: WellPanel, depth: float) -> float:
    """Height in the drawing of a depth."""
    return GROUND - (GROUND - FOOT) * min(depth, panel.shown) / panel.shown


def _across(column: int, columns: int) -> float:
    left, right = CASING
    return left + (right - left) * (column + 1) / (columns + 1)


def _casing(axes: Axes, panel: WellPanel) -> None:
    left, right = CASING
    bottom = _at(panel, panel.well.depth)
    axes.add_patch(Rectangle((left, bottom), right - left, GROUND - bottom, color=PAPER,
                             linewidth=0))  # fmt: skip
    rest = _at(panel, min(panel.well.static_level, panel.well.depth))
    pumped = rest
    if panel.pumped_level is not None:
        pumped = _at(panel, min(panel.pumped_level, panel.well.depth))
    axes.add_patch(Rectangle((left, pumped), right - left, rest - pumped, facecolor=PUMPED,
                             edgecolor="#9cc3e0", hatch="--", linewidth=0))  # fmt: skip
    axes.add_patch(Rectangle((left, bottom), right - left, pumped - bottom, color=WATER,
                             linewidth=0))  # fmt: skip
    axes.plot((left, right), (rest, rest), color=COLOURS[0], linewidth=1.6)
    if pumped != rest:
        axes.plot((left, right), (pumped, pumped), color=COLOURS[0], linewidth=1.2,
                  linestyle=(0, (4, 2)))  # fmt: skip
    if panel.well.highest_level != panel.well.lowest_level:
        high, low = _at(panel, panel.well.highest_level), _at(panel, panel.well.lowest_level)
        axes.annotate("", (left - 7.0, low), (left - 7.0, high),
                      arrowprops={"arrowstyle": "|-|,widthA=0.25,widthB=0.25",
                                  "color": COLOURS[0], "shrinkA": 0, "shrinkB": 0})  # fmt: skip
    for wall in CASING:
        axes.plot((wall, wall), (bottom, GROUND + 12.0), color=STEEL, linewidth=3.0)
    axes.plot((left - 4.0, right + 4.0), (GROUND + 13.0, GROUND + 13.0), color=STEEL,
              linewidth=4.0, solid_capstyle="butt")  # fmt: skip


def _broken_off(axes: Axes) -> None:
    """A broken line across the casing near the foot of the drawing."""
    left, right = CASING[0] - 8.0, CASING[1] + 8.0
    teeth = 8
    xs = [left + (right - left) * number / teeth for number in range(teeth + 1)]
    for above in (0.0, 7.0):
        ys = [FOOT + 6.0 + above + (4.0 if number % 2 else 0.0) for number in range(teeth + 1)]
        axes.plot(xs, ys, color=INK, linewidth=1.0)


def _hand_above(panel: WellPanel) -> bool:
    """Whether a hand pump stands on the well without anything of it hanging there but its pipe."""
    there = any(each.kind == "hand pump" for each in panel.above)
    return there and not any(each.hand for each in panel.hanging)


def _suction_hand_pump(axes: Axes, panel: WellPanel, x: float) -> None:
    """Its cylinder stands above the ground, its pipe ends in the water."""
    level = panel.well.static_level if panel.pumped_level is None else panel.pumped_level
    foot = max(FOOT + 4.0, _at(panel, level) - 14.0)
    axes.plot((x, x), (foot, GROUND + 13.0), color="#333d47", linewidth=1.8)
    _handle(axes, x)


def _hang(axes: Axes, panel: WellPanel, hanging: Hanging, x: float) -> None:
    """A pump with its pipe; the hand pump's goes up through the well's cap."""
    intake = _at(panel, min(hanging.intake, panel.well.depth))
    if not hanging.in_well:
        axes.plot((x, x), (intake, _at(panel, panel.well.pitless_depth)), color="#333d47",
                  linewidth=1.8)  # fmt: skip
        axes.add_patch(Polygon(((x - 5.0, intake + 7.0), (x + 5.0, intake + 7.0), (x, intake)),
                               facecolor=COLOURS[1], edgecolor=PAPER, linewidth=0.8))  # fmt: skip
        return
    scaled = (GROUND - FOOT) * (hanging.length or 0.0) / panel.shown
    body = max(scaled, LEAST_BODY)
    colour = COLOURS[5] if hanging.hand else COLOURS[1]
    top = GROUND + 13.0 if hanging.hand else _at(panel, panel.well.pitless_depth)
    axes.plot((x, x), (intake, top), color="#333d47", linewidth=1.8)
    axes.add_patch(
        FancyBboxPatch((x - 5.0, intake - body / 2), 10.0, body, facecolor=colour,
                       edgecolor=PAPER, linewidth=0.8,
                       boxstyle="round,pad=0,rounding_size=2.5")
    )  # fmt: skip
    axes.plot((x - 5.0, x + 5.0), (intake, intake), color=PAPER, linewidth=1.2)
    if hanging.hand:
        _handle(axes, x)


def _handle(axes: Axes, x: float) -> None:
    """The head of a hand pump with spout and lever."""
    foot = GROUND + 15.0
    axes.add_patch(Rectangle((x - 5.0, foot), 10.0, 34.0, facecolor=COLOURS[5], linewidth=0))
    axes.plot((x + 5.0, x + 15.0, x + 15.0), (foot + 22.0, foot + 22.0, foot + 15.0),
              color=COLOURS[5], linewidth=3.0)  # fmt: skip
    axes.plot((x, x - 34.0), (foot + 40.0, foot + 22.0), color=COLOURS[5], linewidth=3.0)


def _line_to_house(axes: Axes, panel: WellPanel, columns: int) -> None:
    """The buried line, from the first pump; a suction pump stands at its end."""
    pumps = [number for number, each in enumerate(panel.hanging) if not each.hand]
    y = _at(panel, panel.well.pitless_depth)
    start = _across(pumps[0] if pumps else columns - 1, columns)
    end = HOUSE[0] + 14.0
    axes.plot((start, end, end), (y, y, GROUND + 6.0), color="#333d47", linewidth=1.8)
    if any(not each.in_well for each in panel.hanging):
        axes.add_patch(
            FancyBboxPatch((end - 8.0, GROUND + 3.0), 16.0, 11.0, facecolor=COLOURS[1],
                           edgecolor=PAPER, linewidth=0.8,
                           boxstyle="round,pad=0,rounding_size=2.5", zorder=4)
        )  # fmt: skip


def _axis(axes: Axes, panel: WellPanel, system: System) -> None:
    scale = scale_of(panel.axis.kind, system)
    axes.plot((AXIS, AXIS), (_at(panel, panel.well.depth), GROUND), color=INK, linewidth=0.8)
    for tick in MaxNLocator(8).tick_values(0.0, scale.of(panel.shown)):
        depth = (tick - scale.offset) / scale.factor
        if 0.0 <= depth <= panel.shown * 1.0001:
            y = _at(panel, depth)
            axes.plot((AXIS - 4.0, AXIS), (y, y), color=INK, linewidth=0.8)
            axes.text(AXIS - 6.0, y, f"{tick:g}", ha="right", va="center", gid="tick")
    axes.text(10.0, (GROUND + FOOT) / 2, titled(panel.axis.label, scale.unit), rotation=90,
              ha="center", va="center", fontsize=SMALL)  # fmt: skip


def _names(axes: Axes, panel: WellPanel, system: System) -> None:
    """The names beside the well, none over another, each joined to its depth."""
    marks = sorted(panel.marks, key=lambda each: -each.depth)
    texts = [folded(text_of(each.label, system), NAME_LETTERS, LINES) for each in marks]
    heights = [(text.count("\n") + 1) * (SMALL + 2.4) + 3.0 for text in texts]
    line = _at(panel, panel.well.pitless_depth) - 5.0 if panel.well.line_to_house else GROUND
    highest = min(GROUND - 6.0, line)
    places = apart([_at(panel, each.depth) for each in marks], heights, 2.0, highest)
    for mark, text, placed in zip(marks, texts, places, strict=True):
        y = _at(panel, min(mark.depth, panel.well.depth))
        colour = INKS[mark.role]
        wall = CASING[1] + 1.5
        axes.plot((wall, wall + 5.0, LABELS - 3.0), (y, y, placed), color=colour, linewidth=0.8)
        axes.text(LABELS, placed, text, color=colour, va="center", fontsize=SMALL,
                  linespacing=1.1)  # fmt: skip


def _house(axes: Axes, panel: WellPanel, system: System) -> None:
    left, right, walls, roof = HOUSE
    inside = [
        each for each in panel.above if each.kind in ("cistern", "booster", "tank", "heater")
    ]
    axes.add_patch(Rectangle((left, GROUND), right - left, walls, facecolor="#fbfaf7",
                             edgecolor=STEEL, linewidth=1.2))  # fmt: skip
    middle, eaves = (left + right) / 2, GROUND + walls
    axes.add_patch(Polygon(((left - 6.0, eaves), (middle, eaves + roof), (right + 6.0, eaves)),
                           facecolor="#e6e2da", edgecolor=STEEL, linewidth=1.2))  # fmt: skip
    for number, each in enumerate(inside):
        _vessel(axes, each, left + (right - left) * (number + 0.5) / len(inside), system)
    for each in panel.above:
        if each.kind == "modules":
            _modules(axes, text_of(each.label, system), (left, middle, eaves, roof))
        elif each.kind == "hand pump":
            axes.text(sum(CASING) / 2, GROUND + 66.0, text_of(each.label, system), ha="center",
                      color=LETTERS[5])  # fmt: skip
    if not inside:
        axes.text(middle, GROUND + walls / 2, "house", ha="center", va="center", color=LETTERS[7],
                  fontsize=USUAL)  # fmt: skip


def _vessel(axes: Axes, each: Above, x: float, system: System) -> None:
    half, height, colour = {
        "cistern": (22.0, 30.0, COLOURS[0]),
        "booster": (8.0, 11.0, COLOURS[1]),
        "tank": (12.0, 34.0, COLOURS[0]),
        "heater": (12.0, 42.0, COLOURS[1]),
    }[each.kind]
    foot = GROUND + 4.0
    axes.add_patch(
        FancyBboxPatch((x - half, foot), 2 * half, height, facecolor=PAPER, edgecolor=colour,
                       linewidth=1.5, boxstyle="round,pad=0,rounding_size=6")
    )  # fmt: skip
    if each.kind == "heater":
        axes.plot((x - 9.0, x - 3.0, x, x + 3.0, x + 9.0), [foot + 11.0 + d for d in
                  (0.0, 4.0, -4.0, 4.0, 0.0)], color=colour, linewidth=1.3)  # fmt: skip
    elif each.kind != "booster":
        axes.add_patch(Ellipse((x, foot + height * 0.45), 2 * half - 6.0, 5.0, facecolor=WATER,
                               edgecolor=colour, linewidth=0.8))  # fmt: skip
    axes.text(x, foot + height + 4.0, folded(text_of(each.label, system), 13), ha="center",
              va="bottom", fontsize=SMALL, linespacing=1.05)  # fmt: skip


def _modules(axes: Axes, label: str, roof: tuple[float, float, float, float]) -> None:
    left, middle, eaves, rise = roof
    slope = rise / (middle - left + 6.0)
    start, end = left + 22.0, middle - 22.0
    base = eaves + slope * (start - left + 6.0)
    top = eaves + slope * (end - left + 6.0)
    axes.add_patch(Polygon(((start, base + 3.0), (end, top + 3.0), (end, top + 9.0),
                            (start, base + 9.0)), facecolor="#23415f", edgecolor=PAPER,
                           linewidth=0.8))  # fmt: skip
    axes.text(start - 2.0, base + 18.0, short(label, 16), ha="right", va="bottom")
