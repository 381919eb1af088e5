"""Draws how equipment is joined: things on lines downward, their tags and names beside them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Circle, FancyBboxPatch, Polygon, Rectangle

from wellsolar.reports.charts import style
from wellsolar.reports.figures.plots import DiagramPanel, text_of
from wellsolar.results.figures import Branch, Parallel, Series, Sign, Thing
from wellsolar.units import System
from wellsolar.verdicts import say

LINE = 12.0
"""Height of a line of type [pt]."""

ACROSS, TEXT, HALF = 12.0, 27.0, 9.0
"""Where a lane's line stands from its left, where its words begin, and half a symbol [pt]."""

GAP, BUS, TITLE = 9.0, 10.0, 22.0
"""Between two things, for a line across, and for the title of a panel [pt]."""

MOST, LANES, LINES = 4, 5, 8
"""Lanes side by side up to which names can be read, and to which they are drawn at all; lines of
words beside a thing."""

LOOKS: dict[str, dict[str, Any]] = {
    "": {"color": style.INK, "linewidth": 1.2},
    "water": {"color": style.COLOURS[0], "linewidth": 2.0},
    "hot water": {"color": style.COLOURS[1], "linewidth": 2.0, "linestyle": (0, (5, 1.5))},
    "alternating current": {"color": style.INK, "linewidth": 1.2},
    "direct current": {"color": style.COLOURS[5], "linewidth": 1.6, "linestyle": (0, (4, 1.5))},
}
"""Lines by what they carry, told apart in grey by dashes."""


def diagram_height(panel: DiagramPanel, system: System) -> float:
    """Height that a diagram needs.

    Parameters:
        panel: the diagram; system: "US" or "SI"
    Returns:
        [pt]
    """
    sheet = _Sheet(panel, system)
    return TITLE * bool(panel.title) + sum(sheet.height(row, style.WIDTH) for row in sheet.rows)


def draw_diagram(
    figure: Figure, panel: DiagramPanel, system: System, place: tuple[float, float, float]
) -> None:
    """Draw a diagram into its place of a figure.

    Parameters:
        place: foot and height of the panel, and the height of the whole figure [pt]
    """
    height = place[1]
    axes = style.blank_axes(figure, place, height)
    sheet, top = _Sheet(panel, system), height
    if panel.title:
        axes.text(0.0, top - 4.0, text_of(panel.title, system), fontsize=style.USUAL,
                  weight="bold", va="top")  # fmt: skip
        top -= TITLE
    for row in sheet.rows:
        sheet.draw(axes, row, (0.0, top, style.WIDTH), "")
        top -= sheet.height(row, style.WIDTH)


class _Sheet:
    """A diagram on its way to paper: what it takes up, and its drawing."""

    def __init__(self, panel: DiagramPanel, system: System) -> None:
        self.panel, self.system = panel, system
        self.rows = tuple(_rows(_few(panel.drawn)))

    def words(self, thing: Thing, room: float) -> tuple[str, ...]:
        """A thing's tag and name with what is told of it, on lines that fit."""
        letters = max(room / (style.SMALL * style.LETTER), 5.0)
        note = text_of(self.panel.note(thing), self.system)
        open_to = "" if thing.told or not self.panel.checks else " (to check)"
        # With a colon behind it the number of a tag does not cling to the name.
        head = f"{thing.tag}: {thing.name}{open_to}" if thing.tag else thing.name
        lines_of_words = [style.folded(text, letters, LINES) for text in (head, note) if text]
        return tuple("\n".join(lines_of_words).split("\n"))

    def height(self, branch: Branch, width: float) -> float:
        """How much room a branch takes downward [pt]."""
        if isinstance(branch, Thing):
            own = len(self.words(branch, width - TEXT)) * LINE
            least = 0.0 if branch.sign == "run" else 2.0 * HALF
            hung = sum(self.height(thing, width - TEXT + ACROSS) for thing in branch.beside)
            return max(own, least) + GAP + hung
        if isinstance(branch, Series):
            return sum(self.height(part, width) for part in branch.parts)
        joints = BUS * (branch.above + branch.below)
        return joints + max(self.height(thing, wide) for thing, wide in _shared(branch, width))

    def draw(
        self, axes: Axes, branch: Branch, place: tuple[float, float, float], carries: str
    ) -> str:
        """Draw a branch at its left, top and width; what comes in, and then what leaves it."""
        left, top, width = place
        if isinstance(branch, Thing):
            return self.thing(axes, branch, place, carries)
        if isinstance(branch, Series):
            for part in branch.parts:
                carries = self.draw(axes, part, (left, top, width), carries)
                top -= self.height(part, width)
            return carries
        return self.beside(axes, branch, place, carries)

    def beside(
        self, axes: Axes, branch: Parallel, place: tuple[float, float, float], carries: str
    ) -> str:
        """Branches side by side with the lines across that join them."""
        left, top, width = place
        foot = top - self.height(branch, width)
        begin = top - BUS * branch.above
        lanes, leaves = [], []
        for part, wide in _shared(branch, width):
            lanes.append(left + ACROSS)
            if branch.above:
                _line(axes, [left + ACROSS] * 2, [begin, begin + BUS / 2], carries)
            leaves.append(self.draw(axes, part, (left, begin, wide), carries))
            if branch.below:
                down = begin - self.height(part, wide)
                _line(axes, [left + ACROSS] * 2, [down, foot + BUS / 2], leaves[-1])
            left += wide
        if branch.above:
            _line(axes, [lanes[0], lanes[-1]], [begin + BUS / 2] * 2, carries)
            _line(axes, [lanes[0]] * 2, [begin + BUS / 2, top], carries)
        if branch.below:
            _line(axes, [lanes[0], lanes[-1]], [foot + BUS / 2] * 2, leaves[0])
            _line(axes, [lanes[0]] * 2, [foot, foot + BUS / 2], leaves[0])
        return leaves[0]

    def thing(
        self, axes: Axes, thing: Thing, place: tuple[float, float, float], carries: str
    ) -> str:
        """A thing on its line with its words, and what hangs beside it."""
        left, top, width = place
        words, leaves = self.words(thing, width - TEXT), thing.carries or carries
        foot, across = top - self.height(thing, width), left + ACROSS
        middle = top - GAP / 2 - HALF
        source, ends = not carries, not thing.carries and thing.sign in ENDS
        if thing.sign == "run":
            _line(axes, [across] * 2, [top, foot], leaves)
        else:
            if not source:
                _line(axes, [across] * 2, [top, middle + HALF], carries)
            if not ends or thing.beside:
                _line(axes, [across] * 2, [middle - HALF, foot], leaves)
            SYMBOLS[thing.sign](axes, across, middle)
        self.write(axes, words, left + TEXT, top - GAP / 2, quiet=thing.sign == "run")
        hung = foot + sum(
            self.height(thing, width - TEXT + ACROSS) for thing in thing.beside
        )  # fmt: skip
        for beside in thing.beside:
            level = hung - GAP / 2 - HALF
            _line(axes, [across, left + TEXT - HALF + 2.0], [level] * 2, leaves)
            SYMBOLS[beside.sign](axes, left + TEXT + 2.0, level)
            lines_of_words = self.words(beside, width - TEXT + ACROSS - TEXT)
            self.write(axes, lines_of_words, left + TEXT + 15.0, hung - GAP / 2)
            hung -= self.height(beside, width - TEXT + ACROSS)
        return leaves

    def write(
        self, axes: Axes, words: tuple[str, ...], left: float, top: float, *, quiet: bool = False
    ) -> None:
        """Words of a thing, one line below the other."""
        for number, line in enumerate(words):
            if line:
                axes.text(left, top - 1.0 - number * LINE, line, fontsize=style.SMALL, va="top",
                          color=style.LETTERS[7] if quiet else style.INK)  # fmt: skip


def _rows(branch: Branch) -> Iterator[Branch]:
    """What is not joined, in rows that can be read."""
    if not isinstance(branch, Parallel) or branch.above or branch.below:
        yield branch
        return
    row: list[Branch] = []
    for part in sorted(branch.parts, key=_lanes, reverse=True):
        if row and sum(map(_lanes, row)) + _lanes(part) > MOST:
            yield Parallel(tuple(row))
            row = []
        row.append(part)
    yield Parallel(tuple(row))


def _few(branch: Branch) -> Branch:
    """As many of the branches that are joined as can be drawn side by side; the others told."""
    if isinstance(branch, Thing):
        return branch
    parts = tuple(_few(part) for part in branch.parts)
    if isinstance(branch, Series):
        return Series(parts)
    if not (branch.above or branch.below) or sum(map(_lanes, parts)) <= LANES:
        return Parallel(parts, branch.above, branch.below)
    shown, taken = [parts[0]], _lanes(parts[0])
    for part in parts[1:]:
        taken += _lanes(part)
        if taken >= LANES:
            break
        shown.append(part)
    more = Thing("", "run", f"and {len(parts) - len(shown)} more", say(""))
    return Parallel((*shown, more), branch.above, branch.below)


def _lanes(branch: Branch) -> int:
    """How many lines a branch has side by side."""
    if isinstance(branch, Thing):
        return 1
    counts = [_lanes(part) for part in branch.parts]
    return max(counts) if isinstance(branch, Series) else sum(counts)


def _shared(branch: Parallel, width: float) -> list[tuple[Branch, float]]:
    """The branches side by side, each with its share of a width."""
    whole = _lanes(branch)
    return [(part, width * _lanes(part) / whole) for part in branch.parts]


def _line(axes: Axes, across: list[float], along: list[float], carries: str) -> None:
    axes.plot(across, along, solid_capstyle="butt", zorder=1, **LOOKS[carries])


def _shape(axes: Axes, patch: Any, **look: Any) -> None:
    """A closed shape of a symbol, over the line."""
    patch.set(facecolor=style.PAPER, edgecolor=style.INK, linewidth=1.2, zorder=2, **look)
    axes.add_patch(patch)


def _stroke(axes: Axes, *points: tuple[float, float]) -> None:
    """A line of a symbol."""
    axes.plot(*zip(*points, strict=True), color=style.INK, linewidth=1.2, zorder=3)


def _letters(axes: Axes, x: float, y: float, text: str) -> None:
    axes.text(x, y - 0.5, text, fontsize=style.SMALL, ha="center", va="center", zorder=4)


def _pump(axes: Axes, x: float, y: float) -> None:
    _shape(axes, Circle((x, y), HALF))
    _shape(axes, Polygon([(x - 6.5, y + 5.0), (x + 6.5, y + 5.0), (x, y - 8.0)]))


def _hand_pump(axes: Axes, x: float, y: float) -> None:
    _shape(axes, Circle((x, y), HALF - 2.0))
    _stroke(axes, (x, y), (x, y + 8.0), (x + 9.0, y + 11.0))


def _round_tank(axes: Axes, x: float, y: float) -> None:
    _shape(axes, FancyBboxPatch((x - 5.0, y - 6.0), 10.0, 12.0,
                                boxstyle="round,pad=0,rounding_size=4"))  # fmt: skip
    axes.add_patch(Rectangle((x - 5.0, y - 9.0), 10.0, 18.0, fill=False, linewidth=0.0))
    _stroke(axes, (x - 5.0, y), (x, y + 2.0), (x + 5.0, y))


def _open_tank(axes: Axes, x: float, y: float) -> None:
    _shape(axes, Rectangle((x - 9.0, y - 8.0), 18.0, 16.0))
    _stroke(axes, (x - 9.0, y + 3.0), (x - 3.0, y + 1.0), (x + 3.0, y + 4.0), (x + 9.0, y + 2.0))


def _heater(axes: Axes, x: float, y: float) -> None:
    _shape(axes, FancyBboxPatch((x - 6.0, y - 9.0), 12.0, 18.0,
                                boxstyle="round,pad=0,rounding_size=3"))  # fmt: skip
    _stroke(axes, (x - 4.0, y), (x - 2.0, y + 4.0), (x, y - 4.0), (x + 2.0, y + 4.0), (x + 4.0, y))


def _valve(axes: Axes, x: float, y: float) -> None:
    _shape(axes, Polygon([(x - 5.0, y + 8.0), (x + 5.0, y + 8.0), (x - 5.0, y - 8.0),
                          (x + 5.0, y - 8.0)]))  # fmt: skip


def _drain(axes: Axes, x: float, y: float) -> None:
    _shape(axes, Polygon([(x - 7.0, y + 5.0), (x - 7.0, y - 5.0), (x + 7.0, y + 5.0),
                          (x + 7.0, y - 5.0)]))  # fmt: skip


def _relief(axes: Axes, x: float, y: float) -> None:
    _shape(axes, Polygon([(x - 7.0, y + 4.0), (x - 7.0, y - 6.0), (x, y - 1.0)]))
    _shape(axes, Polygon([(x - 5.0, y - 9.0), (x + 5.0, y - 9.0), (x, y - 1.0)]))
    _stroke(axes, (x, y - 1.0), (x + 3.0, y + 2.0), (x - 3.0, y + 5.0), (x + 3.0, y + 8.0))


def _check(axes: Axes, x: float, y: float) -> None:
    _shape(axes, Polygon([(x - 6.0, y + 6.0), (x + 6.0, y + 6.0), (x, y - 6.0)]))
    _stroke(axes, (x - 6.0, y - 6.0), (x + 6.0, y - 6.0))


def _mixing(axes: Axes, x: float, y: float) -> None:
    _valve(axes, x, y)
    _shape(axes, Polygon([(x + 8.0, y + 5.0), (x + 8.0, y - 5.0), (x, y)]))


def _lettered(text: str) -> Callable[[Axes, float, float], None]:
    """A box with letters in it."""

    def draw(axes: Axes, x: float, y: float) -> None:
        _shape(axes, Rectangle((x - 9.0, y - 7.0), 18.0, 14.0))
        _letters(axes, x, y, text)

    return draw


def _circled(text: str) -> Callable[[Axes, float, float], None]:
    """A circle with a letter in it."""

    def draw(axes: Axes, x: float, y: float) -> None:
        _shape(axes, Circle((x, y), HALF))
        _letters(axes, x, y, text)

    return draw


def _modules(axes: Axes, x: float, y: float) -> None:
    _shape(axes, Rectangle((x - 9.0, y - 7.0), 18.0, 14.0))
    for at in (-3.0, 3.0):
        _stroke(axes, (x + at, y - 7.0), (x + at, y + 7.0))
    _stroke(axes, (x - 9.0, y), (x + 9.0, y))


def _battery(axes: Axes, x: float, y: float) -> None:
    _shape(axes, Rectangle((x - 8.0, y - 8.0), 16.0, 16.0), alpha=1.0)
    for at, half in ((5.0, 6.0), (1.5, 3.0), (-2.0, 6.0), (-5.5, 3.0)):
        _stroke(axes, (x - half, y + at), (x + half, y + at))


def _inverter(axes: Axes, x: float, y: float) -> None:
    _shape(axes, Rectangle((x - 9.0, y - 9.0), 18.0, 18.0))
    _stroke(axes, (x - 9.0, y - 9.0), (x + 9.0, y + 9.0))
    _letters(axes, x - 4.0, y + 4.0, "=")
    _letters(axes, x + 4.5, y - 4.0, "~")


def _opens(*strokes: tuple[tuple[float, float], ...]) -> Callable[[Axes, float, float], None]:
    """A contact in the line: a gap with a blade, and what marks its kind."""

    def draw(axes: Axes, x: float, y: float) -> None:
        axes.add_patch(
            Rectangle((x - 3.0, y - 5.0), 6.0, 10.0, color=style.PAPER, linewidth=0, zorder=2)
        )
        for stroke in (((0.0, HALF), (0.0, 5.0)), ((0.0, -5.0), (0.0, -HALF)), *strokes):
            _stroke(axes, *[(x + across, y + up) for across, up in stroke])

    return draw


BLADE = ((0.0, -5.0), (7.0, 5.0))


def _changes(axes: Axes, x: float, y: float) -> None:
    _opens(BLADE)(axes, x, y)
    for across in (0.0, 7.0):
        _shape(axes, Circle((x + across, y + 6.0), 1.6))


def _fuse(axes: Axes, x: float, y: float) -> None:
    _shape(axes, Rectangle((x - 4.0, y - 8.0), 8.0, 16.0))
    _stroke(axes, (x, y - 8.0), (x, y + 8.0))


def _element(axes: Axes, x: float, y: float) -> None:
    _shape(axes, Rectangle((x - 5.0, y - 9.0), 10.0, 18.0))
    for at in (-4.0, 0.0, 4.0):
        _stroke(axes, (x - 5.0, y + at), (x + 5.0, y + at))


def _tap(axes: Axes, x: float, y: float) -> None:
    _stroke(axes, (x, y + HALF), (x, y + 3.0), (x + 8.0, y + 3.0), (x + 8.0, y - 3.0))
    _stroke(axes, (x, y + 3.0), (x - 4.0, y + 3.0))


ENDS: set[Sign] = {"tap", "element", "pump"}
"""What no line leaves where nothing is told to."""

SYMBOLS: dict[Sign, Callable[[Axes, float, float], None]] = {
    "pump": _pump,
    "hand pump": _hand_pump,
    "pressure tank": _round_tank,
    "expansion tank": _round_tank,
    "storage tank": _open_tank,
    "heater": _heater,
    "valve": _valve,
    "drain": _drain,
    "relief valve": _relief,
    "check valve": _check,
    "mixing valve": _mixing,
    "pressure valve": _valve,
    "switch": _circled("P"),
    "treatment": _lettered("TR"),
    "tap": _tap,
    "modules": _modules,
    "battery": _battery,
    "inverter": _inverter,
    "grid": _circled("~"),
    "generator": _circled("G"),
    "transfer": _changes,
    "changeover": _changes,
    "breaker": _opens(BLADE, ((-2.0, 7.0), (2.0, 3.0)), ((-2.0, 3.0), (2.0, 7.0))),
    "isolator": _opens(BLADE, ((-4.0, 5.0), (4.0, 5.0))),
    "contacts": _opens(BLADE, ((7.0, 5.0), (7.0, 8.0))),
    "high limit": _opens(BLADE, ((7.0, 5.0), (7.0, 8.0), (3.0, 8.0))),
    "fuse": _fuse,
    "controller": _lettered("CT"),
    "element": _element,
}
"""Each sign after the graphical symbols of ISO 14617 for pipes and IEC 60617 for wires, from
memory."""
