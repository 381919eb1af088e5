"""Draws the well to scale, and above it, without a scale, what stands in the house."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Ellipse, FancyBboxPatch, Polygon, Rectangle
from matplotlib.ticker import MaxNLocator

from wellsolar.reports.charts import style
from wellsolar.reports.figures.plots import Hanging, Role, Text, WellPanel, text_of
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

UP_HILL, DOWN_HILL, ON_HILL = 62.0, 55.0, (6.0, 46.0, 15.0)
"""Places of the pipes up a hill and down it, and left, right and height of the tank on it [pt]."""

ENTERS, PIPES, BELOW_LINE = 8.0, 9.0, 5.0
"""How far into the house its line comes up, how high over the floor pipes lie there, and how far
below the line from the well that from a hill lies [pt]."""

LINE, EARTH = "#333d47", "#7a6a50"

SOIL, WATER, PUMPED, STEEL = "#f3eee4", "#bfdcf2", "#e3f0fa", "#6b7580"
FROZEN = "#d9def0"

INKS: dict[Role, str] = {
    "ground": style.INK,
    "frost": "#4b5a94",
    "pipe": style.INK,
    "rest": style.LETTERS[0],
    "range": style.LETTERS[0],
    "pumped": style.LETTERS[4],
    "pump": style.LETTERS[1],
    "hand": style.LETTERS[5],
    "bottom": style.INK,
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
        place: foot and height of the panel, and the height of the whole figure [pt]
    """
    axes = style.blank_axes(figure, place, HEIGHT)
    axes.add_patch(Rectangle((AXIS, 0.0), style.WIDTH - AXIS, GROUND, color=SOIL, linewidth=0))
    if panel.well.frost_depth:
        frozen = _at(panel, min(panel.well.frost_depth, panel.well.depth))
        axes.add_patch(Rectangle((AXIS, frozen), style.WIDTH - AXIS, GROUND - frozen,
                                 facecolor=FROZEN, edgecolor=INKS["frost"], hatch="xxx",
                                 linewidth=0))  # fmt: skip
    if panel.hill is not None:
        _hill(axes, panel)
    _casing(axes, panel)
    if panel.shown < panel.well.depth:
        _broken_off(axes)
    columns = len(panel.hanging) + _hand_above(panel)
    for column, hanging in enumerate(panel.hanging):
        _hang(axes, panel, hanging, _across(column, columns))
    if _hand_above(panel):
        _suction_hand_pump(axes, panel, _across(columns - 1, columns))
    if panel.well.line_to_house:
        _line(axes, panel, columns)
    axes.plot((AXIS, style.WIDTH), (GROUND, GROUND), color=EARTH, linewidth=2.0)
    _axis(axes, panel, system)
    _names(axes, panel, system)
    _house(axes, panel, system)
    if panel.title:
        title = style.folded(text_of(panel.title, system), NAME_LETTERS, LINES)
        axes.text(AXIS, HEIGHT - 4.0, title, va="top", fontsize=style.USUAL, fontweight="bold")


def _at(panel: WellPanel, depth: float) -> float:
    """Height in the drawing of a depth."""
    return GROUND - (GROUND - FOOT) * min(depth, panel.shown) / panel.shown


def _across(column: int, columns: int) -> float:
    left, right = CASING
    return left + (right - left) * (column + 1) / (columns + 1)


def _casing(axes: Axes, panel: WellPanel) -> None:
    left, right = CASING
    bottom = _at(panel, panel.well.depth)
    axes.add_patch(Rectangle((left, bottom), right - left, GROUND - bottom, color=style.PAPER,
                             linewidth=0))  # fmt: skip
    rest = _at(panel, min(panel.well.static_level, panel.well.depth))
    pumped = rest
    if panel.pumped_level is not None:
        pumped = _at(panel, min(panel.pumped_level, panel.well.depth))
    axes.add_patch(Rectangle((left, pumped), right - left, rest - pumped, facecolor=PUMPED,
                             edgecolor="#9cc3e0", hatch="--", linewidth=0))  # fmt: skip
    axes.add_patch(Rectangle((left, bottom), right - left, pumped - bottom, color=WATER,
                             linewidth=0))  # fmt: skip
    axes.plot((left, right), (rest, rest), color=style.COLOURS[0], linewidth=1.6)
    if pumped != rest:
        axes.plot((left, right), (pumped, pumped), color=style.COLOURS[0], linewidth=1.2,
                  linestyle=(0, (4, 2)))  # fmt: skip
    if panel.well.highest_level != panel.well.lowest_level:
        high, low = _at(panel, panel.well.highest_level), _at(panel, panel.well.lowest_level)
        axes.annotate("", (left - 7.0, low), (left - 7.0, high),
                      arrowprops={"arrowstyle": "|-|,widthA=0.25,widthB=0.25",
                                  "color": style.COLOURS[0],
                                  "shrinkA": 0, "shrinkB": 0})  # fmt: skip
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
        axes.plot(xs, ys, color=style.INK, linewidth=1.0)


def _hand_above(panel: WellPanel) -> bool:
    """Whether a hand pump stands on the well without anything of it hanging there but its pipe."""
    there = any(above.kind == "hand pump" for above in panel.above)
    return there and not any(hung.hand for hung in panel.hanging)


def _suction_hand_pump(axes: Axes, panel: WellPanel, x: float) -> None:
    """Its cylinder stands above the ground, its pipe ends in the water."""
    level = panel.well.static_level if panel.pumped_level is None else panel.pumped_level
    foot = max(FOOT + 4.0, _at(panel, level) - 14.0)
    axes.plot((x, x), (foot, GROUND + 13.0), color=LINE, linewidth=1.8)
    _handle(axes, x)


def _hang(axes: Axes, panel: WellPanel, hanging: Hanging, x: float) -> None:
    """A pump with its pipe; the hand pump's goes up through the well's cap."""
    intake = _at(panel, min(hanging.intake, panel.well.depth))
    if not hanging.in_well:
        y = _at(panel, panel.well.pitless_depth)
        _pipe(axes, (x, x), (intake, y))
        if hanging.two_pipes:
            _pipe(axes, (x - 7.0, x - 7.0, x), (y, intake + 12.0, intake + 8.0))
            _pipe(axes, (x - 7.0, x), (y, y))
        axes.add_patch(Polygon(((x - 5.0, intake + 7.0), (x + 5.0, intake + 7.0), (x, intake)),
                               facecolor=style.COLOURS[1], edgecolor=style.PAPER,
                               linewidth=0.8))  # fmt: skip
        return
    scaled = (GROUND - FOOT) * (hanging.length or 0.0) / panel.shown
    body = max(scaled, LEAST_BODY)
    colour = style.COLOURS[5] if hanging.hand else style.COLOURS[1]
    top = GROUND + 13.0 if hanging.hand else _at(panel, panel.well.pitless_depth)
    axes.plot((x, x), (intake, top), color=LINE, linewidth=1.8)
    axes.add_patch(
        FancyBboxPatch((x - 5.0, intake - body / 2), 10.0, body, facecolor=colour,
                       edgecolor=style.PAPER, linewidth=0.8,
                       boxstyle="round,pad=0,rounding_size=2.5")
    )  # fmt: skip
    axes.plot((x - 5.0, x + 5.0), (intake, intake), color=style.PAPER, linewidth=1.2)
    if hanging.hand:
        _handle(axes, x)


def _handle(axes: Axes, x: float) -> None:
    """The head of a hand pump with spout and lever."""
    foot = GROUND + 15.0
    axes.add_patch(Rectangle((x - 5.0, foot), 10.0, 34.0, facecolor=style.COLOURS[5], linewidth=0))
    axes.plot((x + 5.0, x + 15.0, x + 15.0), (foot + 22.0, foot + 22.0, foot + 15.0),
              color=style.COLOURS[5], linewidth=3.0)  # fmt: skip
    axes.plot((x, x - 34.0), (foot + 40.0, foot + 22.0), color=style.COLOURS[5], linewidth=3.0)


def _line(axes: Axes, panel: WellPanel, columns: int) -> None:
    """The buried line, from the first pump to the house or up the hill; a suction pump stands at
    its end."""
    pumps = [number for number, hung in enumerate(panel.hanging) if not hung.hand]
    y = _at(panel, panel.well.pitless_depth)
    start = _across(pumps[0] if pumps else columns - 1, columns)
    if panel.hill is not None and panel.well.into_storage:
        inlet = _outlet(panel) + ON_HILL[2] - 3.0
        _pipe(axes, (start, UP_HILL, UP_HILL, ON_HILL[1]), (y, y, inlet, inlet))
        if not panel.well.into_house:
            return
    end = HOUSE[0] + ENTERS
    _pipe(axes, (start, end, end), (y, y, GROUND + PIPES))
    if any(not hung.in_well for hung in panel.hanging):
        axes.add_patch(
            FancyBboxPatch((end - 6.0, GROUND + 3.0), 14.0, 11.0, facecolor=style.COLOURS[1],
                           edgecolor=style.PAPER, linewidth=0.8,
                           boxstyle="round,pad=0,rounding_size=2.5", zorder=4)
        )  # fmt: skip


def _pipe(axes: Axes, xs: Sequence[float], ys: Sequence[float], zorder: float = 2.0) -> None:
    axes.plot(xs, ys, color=LINE, linewidth=1.8, zorder=zorder)


def _outlet(panel: WellPanel) -> float:
    """Height in the drawing of the outlet of a tank on its hill."""
    assert panel.hill is not None
    return GROUND + (GROUND - FOOT) * panel.hill.height / panel.shown


def _hill(axes: Axes, panel: WellPanel) -> None:
    """A storage tank on its hill, and its line down to the house, which passes behind the well."""
    assert panel.hill is not None
    top, (left, right, height) = _outlet(panel), ON_HILL
    slope = ((-2.0, GROUND), (-2.0, top), (right + 5.0, top), (CASING[0] - 5.0, GROUND))
    axes.add_patch(Polygon(slope, facecolor=SOIL, edgecolor=EARTH, linewidth=1.2))
    if panel.hill.broken:
        middle, teeth = (GROUND + top) / 2, [(-3.0 + 6.0 * number) for number in range(13)]
        edge = [(x, middle + 3.0 * (number % 2)) for number, x in enumerate(teeth)]
        band = [*edge, *((x, y + 7.0) for x, y in reversed(edge))]
        axes.add_patch(Polygon(band, facecolor=style.PAPER, linewidth=0, zorder=2.4))
        for above in (0.0, 7.0):
            axes.plot(
                teeth, [y + above for _, y in edge], color=style.INK, linewidth=1.0, zorder=2.5
            )
    axes.add_patch(
        FancyBboxPatch((left, top), right - left, height, facecolor=style.PAPER,
                       edgecolor=style.COLOURS[0], linewidth=1.5,
                       boxstyle="round,pad=0,rounding_size=5")
    )  # fmt: skip
    axes.add_patch(Ellipse(((left + right) / 2, top + 0.45 * height), right - left - 6.0, 5.0,
                           facecolor=WATER, edgecolor=style.COLOURS[0],
                           linewidth=0.8))  # fmt: skip
    y, end = _at(panel, panel.well.pitless_depth) - BELOW_LINE, HOUSE[0] + ENTERS
    down = (top + 3.0, top + 3.0, y, y, GROUND + PIPES)
    # Among the patches in the order in which they are drawn: the casing hides it.
    _pipe(axes, (right, DOWN_HILL, DOWN_HILL, end, end), down, zorder=1.0)


def _axis(axes: Axes, panel: WellPanel, system: System) -> None:
    scale = style.scale_of(panel.axis.kind, system)
    axes.plot((AXIS, AXIS), (_at(panel, panel.well.depth), GROUND), color=style.INK, linewidth=0.8)
    for tick in MaxNLocator(8).tick_values(0.0, scale.of(panel.shown)):
        depth = (tick - scale.offset) / scale.factor
        if 0.0 <= depth <= panel.shown * 1.0001:
            y = _at(panel, depth)
            axes.plot((AXIS - 4.0, AXIS), (y, y), color=style.INK, linewidth=0.8)
            axes.text(AXIS - 6.0, y, f"{tick:g}", ha="right", va="center", gid="tick")
    axes.text(10.0, (GROUND + FOOT) / 2, style.titled(panel.axis.label, scale.unit), rotation=90,
              ha="center", va="center", fontsize=style.SMALL)  # fmt: skip


def _names(axes: Axes, panel: WellPanel, system: System) -> None:
    """The names beside the well, none over another, each joined to its depth."""
    marks = sorted(panel.marks, key=lambda mark: -mark.depth)
    texts = [style.folded(text_of(mark.label, system), NAME_LETTERS, LINES) for mark in marks]
    heights = [(text.count("\n") + 1) * (style.SMALL + 2.4) + 3.0 for text in texts]
    line = _at(panel, panel.well.pitless_depth) - 5.0 if panel.well.line_to_house else GROUND
    line -= 0.0 if panel.hill is None else BELOW_LINE
    highest = min(GROUND - 6.0, line)
    places = style.apart([_at(panel, mark.depth) for mark in marks], heights, 2.0, highest)
    for mark, text, placed in zip(marks, texts, places, strict=True):
        y = _at(panel, min(mark.depth, panel.well.depth))
        colour = INKS[mark.role]
        wall = CASING[1] + 1.5
        axes.plot((wall, wall + 5.0, LABELS - 3.0), (y, y, placed), color=colour, linewidth=0.8)
        axes.text(LABELS, placed, text, color=colour, va="center", fontsize=style.SMALL,
                  linespacing=1.1)  # fmt: skip


@dataclass(frozen=True)
class _Stands:
    """What stands in the house, and its place across; several boosters beside one another."""

    kind: str
    labels: tuple[Text, ...]
    x: float

    @property
    def height(self) -> float:
        """Of all of it over the floor."""
        return VESSELS[self.kind][1] + STACKED * (len(self.labels) - 1)


def _inside(panel: WellPanel) -> list[_Stands]:
    """What stands in the house, each with its place across."""
    left, right, _, _ = HOUSE
    on_hill = panel.hill is not None
    kinds = ("booster", "tank", "heater") if on_hill else ("cistern", "booster", "tank", "heater")
    inside: list[tuple[str, tuple[Text, ...]]] = []
    for above in panel.above:
        if above.kind == "booster" and inside and inside[-1][0] == above.kind:
            inside[-1] = above.kind, (*inside[-1][1], above.label)
        elif above.kind in kinds:
            inside.append((above.kind, (above.label,)))
    width = (right - left - PIPED - TAP) / max(1, len(inside))
    return [_Stands(*item, left + PIPED + width * (at + 0.5)) for at, item in enumerate(inside)]


def _house(axes: Axes, panel: WellPanel, system: System) -> None:
    left, right, walls, roof = HOUSE
    inside = _inside(panel)
    axes.add_patch(Rectangle((left, GROUND), right - left, walls, facecolor="#fbfaf7",
                             edgecolor=STEEL, linewidth=1.2, zorder=0.9))  # fmt: skip
    middle, eaves = (left + right) / 2, GROUND + walls
    axes.add_patch(Polygon(((left - 6.0, eaves), (middle, eaves + roof), (right + 6.0, eaves)),
                           facecolor="#e6e2da", edgecolor=STEEL, linewidth=1.2))  # fmt: skip
    _joined(axes, panel, inside)
    for stands in inside:
        _vessel(axes, stands)
    _name_inside(axes, inside, system)
    for above in panel.above:
        label = text_of(above.label, system)
        if above.kind == "modules":
            _modules(axes, label, (left, middle, eaves, roof))
        elif above.kind == "cistern" and panel.hill is not None:
            top = min(_outlet(panel) + ON_HILL[2] + 12.0, HEIGHT - 0.4 * style.SMALL)
            axes.text(UP_HILL + 6.0, top, style.folded(label, 14), va="top", fontsize=style.SMALL,
                      linespacing=1.05)  # fmt: skip
        elif above.kind == "hand pump":
            axes.text(sum(CASING) / 2, GROUND + 66.0, label, ha="center",
                      color=style.LETTERS[5])  # fmt: skip
    if not inside:
        axes.text(middle, GROUND + walls / 2, "house", ha="center", va="center",
                  color=style.LETTERS[7], fontsize=style.USUAL)  # fmt: skip


def _joined(axes: Axes, panel: WellPanel, inside: list[_Stands]) -> None:
    """The pipes in the house: from where its line comes up through what it joins, to a tap."""
    if not panel.well.line_to_house:
        return
    at, y = HOUSE[0] + ENTERS, GROUND + PIPES
    for mark in inside:
        x, (half, height, _) = mark.x, VESSELS[mark.kind]
        if mark.kind == "cistern" and panel.well.storage_height is None:
            break  # It stands apart.
        into = GROUND + FLOOR + height - 6.0 if mark.kind == "cistern" else y
        _pipe(axes, (at, at, x - half), (y, into, into))
        for number in range(1, len(mark.labels)):
            up, out = y + STACKED * number, half + PARTED
            _pipe(axes, (x - out, x - out, x - half), (y, up, up))
            _pipe(axes, (x + half, x + out, x + out), (up, up, y))
        at = x + half
    end = min(at + 14.0, HOUSE[1] - 6.0) if inside else at
    _pipe(axes, (at, end, end, end + 5.0, end + 5.0), (y, y, y + 13.0, y + 13.0, y + 9.0))


VESSELS = {
    "cistern": (22.0, 30.0, style.COLOURS[0]),
    "booster": (8.0, 11.0, style.COLOURS[1]),
    "tank": (12.0, 34.0, style.COLOURS[0]),
    "heater": (12.0, 42.0, style.COLOURS[1]),
}
"""Half the width and the height of what stands in the house [pt], and its colour."""

FLOOR = 4.0
"""Height at which it stands [pt]."""

PIPED, TAP = 14.0, 10.0
"""Widths that the line takes where it comes up, and the tap at its end [pt]."""


STACKED, PARTED = 15.0, 4.0
"""How far boosters that stand beside one another are drawn apart, and how far before and behind
them their pipes part and meet [pt]."""


def _vessel(axes: Axes, vessel: _Stands) -> None:
    x, (half, height, colour) = vessel.x, VESSELS[vessel.kind]
    foot = GROUND + FLOOR
    for number in range(len(vessel.labels)):
        axes.add_patch(
            FancyBboxPatch((x - half, foot + STACKED * number), 2 * half, height,
                           facecolor=style.PAPER, edgecolor=colour, linewidth=1.5,
                           boxstyle="round,pad=0,rounding_size=6")
        )  # fmt: skip
    if vessel.kind == "heater":
        axes.plot((x - 9.0, x - 3.0, x, x + 3.0, x + 9.0), [foot + 11.0 + d for d in
                  (0.0, 4.0, -4.0, 4.0, 0.0)], color=colour, linewidth=1.3)  # fmt: skip
    elif vessel.kind != "booster":
        axes.add_patch(Ellipse((x, foot + height * 0.45), 2 * half - 6.0, 5.0, facecolor=WATER,
                               edgecolor=colour, linewidth=0.8))  # fmt: skip


INSIDE_LETTERS, NAMED_LETTERS, LABEL_LINES, BETWEEN = 13, 8, 5, 4.0
"""Letters of a line of what stands in the house, those that are left of a long name where there is
little room, the lines at most, and the room between two names [pt]."""


def _name_inside(axes: Axes, inside: list[_Stands], system: System) -> None:
    """Name what stands in the house, none over another: where the room is small the widest are
    folded closer, and numbers are not cut."""
    low, high = HOUSE[0] + 2.0, HOUSE[1] - 2.0
    labels = [" and ".join(text_of(name, system) for name in mark.labels) for mark in inside]
    least = [max(style.letters_of(word) for word in style.words_of(label)) for label in labels]
    for at, mark in enumerate(inside):
        named = all(isinstance(name, str) for name in mark.labels)
        least[at] = min(least[at], NAMED_LETTERS if named else least[at])
    letters = [max(INSIDE_LETTERS, size) for size in least]
    while True:
        texts = [style.folded(*label, LABEL_LINES) for label in zip(labels, letters, strict=True)]
        widths = [style.width_of(text, style.SMALL) + BETWEEN for text in texts]
        closer = [at for at in range(len(inside)) if letters[at] > least[at]]
        if sum(widths) <= high - low or not closer:
            break
        widest = max(closer, key=lambda at: widths[at])
        letters[widest] = max(least[widest], letters[widest] - 1.0)
    places = style.apart([mark.x for mark in inside], widths, low, high)
    for mark, text, x in zip(inside, texts, places, strict=True):
        axes.text(x, GROUND + FLOOR + mark.height + 4.0, text, ha="center",
                  va="bottom", fontsize=style.SMALL, linespacing=1.05)  # fmt: skip


def _modules(axes: Axes, label: str, roof: tuple[float, float, float, float]) -> None:
    left, middle, eaves, rise = roof
    slope = rise / (middle - left + 6.0)
    start, end = left + 22.0, middle - 22.0
    base = eaves + slope * (start - left + 6.0)
    top = eaves + slope * (end - left + 6.0)
    axes.add_patch(Polygon(((start, base + 3.0), (end, top + 3.0), (end, top + 9.0),
                            (start, base + 9.0)), facecolor="#23415f", edgecolor=style.PAPER,
                           linewidth=0.8))  # fmt: skip
    axes.text(start - 2.0, base + 18.0, style.short(label, 16), ha="right", va="bottom")
