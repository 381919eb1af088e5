"""The series that figures show, beside what the other results hold.

Every field is in SI, temperatures in degC.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from wellsolar.verdicts import Sentence

Sign = Literal[
    "pump", "hand pump", "pressure tank", "storage tank", "heater", "valve", "check valve",
    "relief valve", "drain", "mixing valve", "pressure valve", "switch", "treatment", "tap",
    "modules", "battery", "inverter", "grid", "generator", "transfer", "changeover",
    "breaker", "fuse", "isolator", "controller", "contacts", "high limit", "element",
    "expansion tank", "run",
]  # fmt: skip
"""What a thing is drawn as, after the graphical symbols that trades share."""

Carries = Literal["water", "hot water", "alternating current", "direct current"]


@dataclass(frozen=True)
class Thing:
    """A piece of equipment with its tag; a run of pipe or wire between two has none.

    tag: letters of its kind and a number, the same in every diagram and list; name: as the file
        or the trade calls it; said: its ratings, empty where none is known
    carries: what leaves it; "" for what comes to it
    told: False of what the file does not tell, drawn as the trade usually builds it
    turned: True of what a hand turns, closes or switches, so that it wants a label
    beside: what hangs on the pipe at the same place
    """

    tag: str
    sign: Sign
    name: str
    said: Sentence
    carries: Carries | Literal[""] = ""
    told: bool = True
    turned: bool = False
    beside: tuple[Thing, ...] = ()


@dataclass(frozen=True)
class Series:
    """Things one after the other, the way that water or current goes."""

    parts: tuple[Branch, ...]


@dataclass(frozen=True)
class Parallel:
    """Branches side by side; above, below: whether they are joined where they begin and end."""

    parts: tuple[Branch, ...]
    above: bool = False
    below: bool = False


Branch = Thing | Series | Parallel


def things_in(branch: Branch | None) -> Iterator[Thing]:
    """Every thing of a branch, and what hangs beside it, in the order of the flow.

    Returns:
        the things, one that stands in two places twice
    """
    if isinstance(branch, Thing):
        yield branch
        yield from branch.beside
    elif branch is not None:
        for part in branch.parts:
            yield from things_in(part)


def scheduled(things: Iterable[Thing]) -> tuple[Thing, ...]:
    """Things that have a tag, each once, in the order of their first places."""
    once: dict[str, Thing] = {}
    for thing in things:
        if thing.tag:
            once.setdefault(thing.tag, thing)
    return tuple(once.values())


@dataclass(frozen=True)
class HungPump:
    """A powered pump as it hangs in the well, or stands above it.

    intake_depth: of the intake or the foot valve [m]; length: of the pump [m], None if not told
    in_well: False for a suction pump
    from_tank: True for a booster, which stands at the storage tank
    two_pipes: True for a jet with its ejector in the well
    well: number of the other well that it draws from, 0 for the first
    """

    name: str
    intake_depth: float
    length: float | None
    in_well: bool
    from_tank: bool = False
    two_pipes: bool = False
    well: int = 0


@dataclass(frozen=True)
class WellDrawing:
    """A well to scale; depths count downward from its ground, heights upward from there [m].

    casing_bore [m]: None where the file has none
    static_level, highest_level, lowest_level: water at rest, and over the file's range
    frost_depth: how deep the ground freezes, None if not told, 0 where it never does
    line_to_house: True where a pump sends its water out of the well
    into_house, into_storage: whether such a line presses into the house or fills the storage tank
    tank_elevation: of the pressure tank above the ground; lateral: length, None if not told
    storage_volume: of a cistern [m3], None without one
    storage_height: of its outlet above the ground at the well [m], None where no pump fills it or
        draws from it
    pumps: of all wells, in the order of the file; hand: True where the hand pump stands here
    number: of an other well, 0 for the first; name: of an other well
    ground_height: above that at the first [m]
    """

    depth: float
    casing_bore: float | None
    static_level: float
    highest_level: float
    lowest_level: float
    pitless_depth: float
    frost_depth: float | None
    line_to_house: bool
    tank_elevation: float
    lateral: float | None
    storage_volume: float | None
    storage_height: float | None
    into_house: bool
    into_storage: bool
    pumps: tuple[HungPump, ...]
    hand: bool = False
    number: int = 0
    name: str = ""
    ground_height: float = 0.0


@dataclass(frozen=True)
class SystemCurve:
    """The head that the system asks for; label, pressure [Pa] as of the duty; heads [m] at the
    flows of the pump's curve."""

    label: str
    pressure: float
    heads: tuple[float, ...]


@dataclass(frozen=True)
class PumpCurve:
    """A pump's head over its flow; flows [m3/s], heads [m]."""

    pump: str
    flows: tuple[float, ...]
    heads: tuple[float, ...]
    systems: tuple[SystemCurve, ...]


@dataclass(frozen=True)
class LevelCourse:
    """Depth to water [m] at times [s] since a pump started that then runs for a day."""

    pump: str
    times: tuple[float, ...]
    levels: tuple[float, ...]


@dataclass(frozen=True)
class ArrayCurve:
    """Current [A] over voltage [V] of an array at one irradiance [W/m2], cells at [degC].

    best_voltage, best_current: at maximum power; voltage, current: where it works, at its own
    terminals
    """

    irradiance: float
    cell_temperature: float
    voltages: tuple[float, ...]
    currents: tuple[float, ...]
    best_voltage: float
    best_current: float
    voltage: float
    current: float


@dataclass(frozen=True)
class LoadLine:
    """Current [A] over voltage [V] of an element with its cable; resistance: of the two [ohm]."""

    resistance: float
    voltages: tuple[float, ...]
    currents: tuple[float, ...]


@dataclass(frozen=True)
class TankDay:
    """A tank's mean temperature [degC] through a day, begun cold, nothing drawn.

    season: "winter" or "summer"; kind: "clear", "typical" or "poor"; times: from midnight [s]
    """

    season: str
    month: int
    kind: str
    times: tuple[float, ...]
    temperatures: tuple[float, ...]


@dataclass(frozen=True)
class FigureData:
    """All series of a site; what it has no part for is None or empty.

    array: name of the group whose curves these are; loads: none where electronics hold the array
    at its maximum power; high_limit: of the heated tank [degC], None if not told
    water, power: diagrams of the pipes and of the wires; None where the site has none of them
    """

    well: WellDrawing
    other_wells: tuple[WellDrawing, ...] = ()
    pump_curves: tuple[PumpCurve, ...] = ()
    courses: tuple[LevelCourse, ...] = ()
    array: str = ""
    array_curves: tuple[ArrayCurve, ...] = ()
    loads: tuple[LoadLine, ...] = ()
    tank_days: tuple[TankDay, ...] = ()
    high_limit: float | None = None
    water: Branch | None = None
    power: Branch | None = None

    @property
    def things(self) -> tuple[Thing, ...]:
        """The schedule of equipment: every thing that has a tag, once."""
        return scheduled((*things_in(self.water), *things_in(self.power)))
