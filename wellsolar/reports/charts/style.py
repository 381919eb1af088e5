"""Colours, dashes, sizes and units that all charts share."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain
from typing import Any
from unicodedata import east_asian_width

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from wellsolar.kinds import Kind
from wellsolar.reports.plain import plain
from wellsolar.reports.rows import header_unit
from wellsolar.units import System, to_unit

WIDTH = 420.0
"""Width of every figure [pt]: about that of a telephone, where it is shown one to one."""

INK, FAINT, PAPER = "#1d2733", "#d5dbe1", "#ffffff"
SMALL, USUAL = 10.0, 11.0
"""Sizes of type [pt]."""

COLOURS = ("#0072b2", "#c44e00", "#00785a", "#b37400", "#3a8fc4", "#7a4a9e", "#8a6240", "#555f69")
"""After the palette of Okabe and Ito, told apart by the colour-blind, darkened for white paper."""

LETTERS = ("#005f96", "#a13f00", "#00654b", "#7d5200", "#246391", "#6a3f8c", "#6e4e33", "#4a5663")
"""The same for letters: at least 4.5 to 1 on the ground that a figure gives them."""

DASHES = (
    "-",
    (0, (6, 2)),
    (0, (6, 2, 1.5, 2)),
    (0, (9, 1.5)),
    (0, (3, 1.5)),
    (0, (1.5, 1.5)),
    "-.",
    ":",
)
HATCHES = ("", "//", "||", "\\\\", "xx", "--", "++", "..")
SHAPES = {"circle": "o", "square": "s", "diamond": "D", "triangle": "^"}


@dataclass(frozen=True)
class Look:
    """How the lines, bars or marks of a number are told from others: by colour, by the colour of
    their letters, and in grey by their dashes or hatches."""

    colour: str
    letters: str
    dash: Any
    hatch: str


def look_of(number: int) -> Look:
    """The look of a number; beyond the eighth the colours come again, each with another dash."""
    round_, place = divmod(number, len(COLOURS))
    other = (place + round_) % len(DASHES)
    return Look(COLOURS[place], LETTERS[place], DASHES[other], HATCHES[other])


SECONDS = {"min": 60.0, "h": 3600.0}

LETTER = 0.56
"""Mean width of a letter over its size, on the wide side."""


@dataclass(frozen=True)
class Scale:
    """How SI becomes the numbers of an axis: factor and offset, and the unit's name."""

    factor: float
    offset: float
    unit: str

    def of(self, value: float) -> float:
        """A number in SI as it stands on the axis."""
        return value * self.factor + self.offset

    def all(self, values: Sequence[float]) -> list[float]:
        """The same of several."""
        return [self.of(value) for value in values]


def scale_of(kind: Kind, system: System, time: str = "") -> Scale:
    """The scale of an axis in one system of units; "min" or "h" for times."""
    if time:
        return Scale(1 / SECONDS[time], 0.0, time)
    shown = (kind.us if system == "US" else kind.metric)[0]
    if not kind.si and not shown.unit:
        return Scale(1.0, 0.0, "")
    offset = to_unit(0.0, kind, shown.unit)
    return Scale(to_unit(1.0, kind, shown.unit) - offset, offset, header_unit(kind, system))


class Blank(Axes):
    """A room of fixed limits: what is put in it does not have its extent measured, by which
    matplotlib would find limits."""

    def add_patch(self, p: Patch) -> Patch:
        """Put a shape in."""
        self.add_artist(p)
        return p

    def plot(self, *args: Any, **kwargs: Any) -> list[Line2D]:
        """Put a line in, of its points across and upward."""
        line = Line2D(*args, **kwargs)
        self.add_artist(line)
        return [line]


def blank_axes(figure: Figure, place: tuple[float, float, float], height: float) -> Axes:
    """The room of a panel without axes, whose units are points.

    Parameters:
        place: foot and height of the panel, and the height of the whole figure [pt]
        height: of what is drawn in it [pt]
    Returns:
        the room, `WIDTH` wide
    """
    foot, tall, whole = place
    axes = figure.add_axes((0.0, foot / whole, 1.0, tall / whole), axes_class=Blank)
    axes.set_xlim(0.0, WIDTH)
    axes.set_ylim(0.0, height)
    axes.axis("off")
    return axes


def titled(label: str, unit: str) -> str:
    """The name of an axis with its unit."""
    return f"{label} ({unit})" if unit and unit not in label else label


def letters_of(text: str) -> float:
    """How much room a text asks for, in letters of mean width."""
    return sum(_WIDE.get(letter) or (_EAST if east_asian_width(letter) in "WF" else
               _CAPITAL if letter.isupper() else 1.0) for letter in text)  # fmt: skip


_EAST, _CAPITAL = 1.9, 1.3
_WIDE = dict.fromkeys("mwMW@%", 1.75)


def short(text: str, letters: float) -> str:
    """A text as it may stand in a drawing: on one line, cut where it is too long."""
    text = plain(text)
    if letters_of(text) <= letters:
        return text
    while text and letters_of(text) > letters - 1.5:
        text = text[:-1]
    return text.rstrip() + "…"


def words_of(text: str) -> list[str]:
    """What a text is folded between; a number and its unit are one."""
    return re.sub(r"(?<=\d) (?=\S)", "\N{NO-BREAK SPACE}", plain(text)).split(" ")


@lru_cache(1000)
def folded(text: str, letters: float, lines: int = 3) -> str:
    """A text on a few lines of so many letters, cut where it is too long; a number keeps its unit
    beside it where both find room on a line."""
    folded_lines = [""]
    for word in chain.from_iterable(_parted(whole, letters) for whole in words_of(text)):
        longer = f"{folded_lines[-1]} {word}" if folded_lines[-1] else word
        if letters_of(longer) <= letters or not folded_lines[-1] or len(folded_lines) == lines:
            folded_lines[-1] = longer
        else:
            folded_lines.append(word)
    return "\n".join(short(line, letters) for line in folded_lines)


def _parted(word: str, letters: float) -> list[str]:
    """A word that is too long for a line in parts that are not: a number and its unit, at its own
    hyphen or with one; whole where two lines would not do."""
    if letters_of(word) <= letters:
        return [word]
    for mark, kept in (("\N{NO-BREAK SPACE}", ""), ("-", "-")):
        first, _, rest = word.partition(mark)
        if first and rest:
            return [*_parted(first + kept, letters), *_parted(rest, letters)]
    fits = (at for at in range(len(word), 0, -1) if letters_of(word[:at]) <= letters - 1.0)
    most = next(fits, 1)
    if letters_of(word[most:]) > letters or not word.strip(",.;:()").isalpha():
        return [word]
    return [f"{word[:most]}-", word[most:]]


def width_of(text: str, size: float) -> float:
    """About how wide a text is, on the wide side [pt]."""
    return max(letters_of(line) for line in text.split("\n")) * size * LETTER


def apart(
    wanted: Sequence[float], heights: Sequence[float], lowest: float, highest: float
) -> list[float]:
    """Places for labels that would like to stand at `wanted`, none over another.

    Parameters:
        wanted: middles, rising; heights: of each label
        lowest, highest: ends of the room
    Returns:
        middles, rising, as near as may be; evenly spread where the room is too small
    """
    if not wanted:
        return []
    room = highest - lowest
    shrink = min(1.0, room / sum(heights))
    half = [height * shrink / 2 for height in heights]
    placed = [max(lowest + half[0], wanted[0])]
    for position in range(1, len(wanted)):
        least = placed[-1] + half[position - 1] + half[position]
        placed.append(max(least, wanted[position]))
    most = highest
    for position in range(len(placed) - 1, -1, -1):
        placed[position] = min(placed[position], most - half[position])
        most = placed[position] - half[position]
    return placed
