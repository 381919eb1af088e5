"""What every figure is made of: titles, axes with their kinds, and series in SI.

Nothing is drawn and nothing computed here: `charts` draws a plot, `json_file` writes its series.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from wellsolar.kinds import Kind
from wellsolar.results.figures import Branch, Thing, WellDrawing
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence

Text = str | Sentence

Shape = Literal["circle", "square", "diamond", "triangle"]


@dataclass(frozen=True)
class Axis:
    """An axis: what it shows and of which kind.

    time: how times are shown; down: True where it counts downward
    from_zero: True where it begins at zero; most: where it ends, None for where its values end
    months: True of days of a year, shown by their months
    """

    label: str
    kind: Kind
    time: Literal["", "min", "h"] = ""
    down: bool = False
    from_zero: bool = False
    most: float | None = None
    months: bool = False


@dataclass(frozen=True)
class Line:
    """A line through points; look: number of its colour and dash; label: in the key, "" for none;
    end_label: beside its last point."""

    key: str
    label: Text
    x: tuple[float, ...]
    y: tuple[float, ...]
    look: int
    end_label: Text = ""


@dataclass(frozen=True)
class Mark:
    """Points of one meaning."""

    key: str
    label: Text
    x: tuple[float, ...]
    y: tuple[float, ...]
    look: int
    shape: Shape = "circle"


@dataclass(frozen=True)
class Guide:
    """A level across the whole panel, named at its side."""

    key: str
    label: Text
    value: float
    look: int


@dataclass(frozen=True)
class CurvePanel:
    """Lines, marks and levels over two axes."""

    title: Text
    x: Axis
    y: Axis
    lines: tuple[Line, ...]
    marks: tuple[Mark, ...] = ()
    guides: tuple[Guide, ...] = ()


@dataclass(frozen=True)
class BarSeries:
    """One series of bars, a value a category; None where there is none."""

    key: str
    label: str
    values: tuple[float | None, ...]
    look: int


@dataclass(frozen=True)
class BarPanel:
    """Bars over categories: side by side and upright, or stacked and lying.

    numbers: True where each bar carries its number; most: greatest value of the axis, None for
    what the bars ask
    """

    title: Text
    categories: tuple[str, ...]
    axis: Axis
    series: tuple[BarSeries, ...]
    stacked: bool = False
    numbers: bool = False
    most: float | None = None


Role = Literal["ground", "frost", "pipe", "rest", "range", "pumped", "pump", "hand", "bottom"]


@dataclass(frozen=True)
class DepthMark:
    """Something at a depth below the ground [m], named at the side of the well."""

    key: str
    label: Text
    depth: float
    role: Role


@dataclass(frozen=True)
class Hanging:
    """What hangs in the well on its pipe, down to its intake [m].

    length: of its body [m], None if not told; in_well: False where only a foot valve hangs there
    two_pipes: True of a jet's ejector
    """

    key: str
    name: str
    intake: float
    length: float | None
    hand: bool = False
    in_well: bool = True
    two_pipes: bool = False


@dataclass(frozen=True)
class Above:
    """What stands above the ground or in the house, without a scale."""

    kind: Literal["hand pump", "cistern", "booster", "tank", "heater", "modules"]
    label: Text


HILL_ROOM = 0.386
"""Height that the drawing has for a hill over that of all that it shows below the ground, as the
chart of the well lays it out."""

LEAST_HILL = 2.0
"""Height above the ground at the well, and above the house, from which a tank stands on a hill
[m]: one in a house or beside it stands lower."""


@dataclass(frozen=True)
class Hill:
    """The hill that a storage tank stands on.

    height: of the tank's outlet, as far as it is drawn [m]; broken: where it is higher than that
    """

    height: float
    broken: bool


@dataclass(frozen=True)
class WellPanel:
    """A well: depths [m] to scale, widths not.

    well: its own depths; shown: how far down it is drawn; less than its depth where it is broken
        off; pumped_level: the water's deepest while pumped, None if not known
    """

    title: Text
    axis: Axis
    well: WellDrawing
    shown: float
    pumped_level: float | None
    marks: tuple[DepthMark, ...]
    hanging: tuple[Hanging, ...]
    above: tuple[Above, ...]

    @property
    def hill(self) -> Hill | None:
        """The hill of the storage tank; None where it stands in the house or no higher."""
        height = self.well.storage_height
        if height is None or min(height, height - self.well.tank_elevation) < LEAST_HILL:
            return None
        room = HILL_ROOM * self.shown
        return Hill(min(height, room), height > room)


@dataclass(frozen=True)
class MatrixCell:
    """What one cell of a matrix says.

    value: its number in SI, None for none; word: printed below it; shares: filled part of each of
    the column's cups, 0 to 1, None for a cup that is not drawn
    """

    value: float | None
    word: str = ""
    shares: tuple[float | None, ...] = ()


@dataclass(frozen=True)
class MatrixColumn:
    """A column of a matrix; kind: of its values; cups: keys of what its cups stand for."""

    key: str
    label: str
    kind: Kind
    cups: tuple[str, ...]
    cells: tuple[MatrixCell, ...]


@dataclass(frozen=True)
class MatrixPanel:
    """Cells over rows and columns; told: what the cups of a cell stand for, from the left."""

    title: Text
    rows: tuple[str, ...]
    columns: tuple[MatrixColumn, ...]
    told: str


@dataclass(frozen=True)
class DiagramPanel:
    """How equipment is joined.

    drawn: what is joined to what; numbers: told below a thing's name in place of its ratings, by
    its tag; checks: True where what the file does not tell is marked
    """

    title: Text
    drawn: Branch
    numbers: Mapping[str, Sentence] = field(default_factory=dict)
    checks: bool = False

    def note(self, thing: Thing) -> Sentence:
        """What is told below a thing's name."""
        return self.numbers.get(thing.tag, thing.said)


Panel = CurvePanel | BarPanel | WellPanel | MatrixPanel | DiagramPanel


@dataclass(frozen=True)
class Plot:
    """A figure.

    key: unique in a report; caption: how to read it; description: its main numbers in plain words,
    for those who cannot see it; section: key of the section that has its numbers
    """

    key: str
    title: str
    caption: Text
    description: tuple[Sentence, ...]
    section: str
    panels: tuple[Panel, ...]


def text_of(text: Text, system: Literal["US", "SI"]) -> str:
    """A text in one system of units."""
    return text if isinstance(text, str) else text.text(system)


def value(number: float, kind: Kind) -> Quantity:
    """A number with its kind, as a sentence takes it."""
    return Quantity(number, kind)
