"""An array matched with the element that it heats. Every field is in SI."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from wellsolar import kinds
from wellsolar.results.entries import MONTH, Entry

CHANGES = {
    "as it is": "as it is",
    "one module more in each string": "one more in a row",
    "one module less in each string": "one less in a row",
    "one string more": "one row more",
    "one string less": "one row less",
    "the same modules": "the same, rewired",
}
"""The ways of the study in few words."""


def _in_few_words(change: str) -> str:
    """A way to wire the modules, as a narrow column says it."""
    return CHANGES[change]


@dataclass(frozen=True)
class CouplingWay:
    """One way to couple the array with an element, through the year.

    key: short name; text: what it is
    resistances: that it can have, lowest first [ohm]; empty where it does not matter
    """

    key: str
    text: str
    resistances: tuple[float, ...]
    energy: Annotated[float, Entry("energy a year", kinds.ENERGY, "at the element")]
    ratio: Annotated[float, Entry("share at the element", kinds.FRACTION,
        "of what the array could give")]  # fmt: skip

    @property
    def best_resistance(self) -> Annotated[float, Entry("best for the year", kinds.RESISTANCE,
            "one resistance, by energy: higher, since most hours have less than "
            "full sun")]:  # fmt: skip
        """The lowest of its resistances, the only one of the best single."""
        return self.resistances[0]


@dataclass(frozen=True)
class CouplingMonth:
    """A month of the site's own coupling; best_single: on the one that is best for the year."""

    month: Annotated[int, MONTH]
    energy: Annotated[float, Entry("at the element", kinds.ENERGY)]
    best_single: Annotated[float, Entry("on best single", kinds.ENERGY)]
    tracked: Annotated[float, Entry("array's best", kinds.ENERGY)]

    @property
    def ratio(self) -> Annotated[float, Entry("share", kinds.FRACTION)]:
        """Share of what the array gives at its maximum power."""
        return self.energy / self.tracked if self.tracked > 0 else 0.0


@dataclass(frozen=True)
class StockElement:
    """Elements that are sold, wired straight to the array.

    text: marking and how they are joined; resistance: of all together
    greatest_voltage: across all together, in the coldest bright sun
    voltage_ratio, power_ratio: then, of the element that is driven hardest
    rated_power [W], rated_voltage [V]: of the first; count: 1 or 2; alike: of one marking
    joined: "alone", "in series" or "in parallel"
    """

    text: Annotated[str, Entry("element", key="element")]
    resistance: Annotated[float, Entry("resistance", kinds.RESISTANCE)]
    energy: Annotated[float, Entry("energy a year", kinds.ENERGY)]
    of_best: Annotated[float, Entry("against best single", kinds.FRACTION)]
    greatest_voltage: Annotated[float, Entry("greatest voltage", kinds.VOLTAGE)]
    voltage_ratio: Annotated[float, Entry("of its plate's volts", kinds.FRACTION)]
    power_ratio: Annotated[float, Entry("of its plate's watts", kinds.FRACTION)]
    rated_power: float
    rated_voltage: float
    count: int
    alike: bool
    joined: str


@dataclass(frozen=True)
class StringLayout:
    """The array wired another way, or with another number of modules.

    energy: through the file's coupling; gain: in it over the array as it is
    cold_voltage: None without a record low; greatest_voltage: in the coldest bright sun
    """

    change: Annotated[str, Entry("modules", words=_in_few_words)]
    series: Annotated[int, Entry("in series", kinds.COUNT)]
    parallel: Annotated[int, Entry("rows", kinds.COUNT)]
    energy: Annotated[float, Entry("on the element", kinds.ENERGY)]
    gain: Annotated[float, Entry("gain", kinds.FRACTION)]
    best_resistance: Annotated[float, Entry("best for the year", kinds.RESISTANCE)]
    best_energy: Annotated[float, Entry("energy on it", kinds.ENERGY)]
    cold_voltage: Annotated[float | None, Entry("cold open circuit", kinds.VOLTAGE)]
    greatest_voltage: Annotated[float, Entry("volts on element", kinds.VOLTAGE)]


@dataclass(frozen=True)
class CurrentCeiling:
    """Why more modules in series stop helping.

    hours: those below the voltage of maximum power
    series_gain: the most that any number of modules in series could still add, and one_more what
        one module more in each string adds, over the energy
    """

    power: Annotated[float, Entry("most in full sun", kinds.COMPUTED_POWER,
        "in full sun: short-circuit current squared times the resistance",
        key="ceiling")]  # fmt: skip
    hours: Annotated[float, Entry("hours held by current", kinds.FRACTION,
        "of those with sun: its current sets the heat, and more modules in series hardly help",
        key="limited_hours")]  # fmt: skip
    energy: Annotated[float, Entry("energy in those hours", kinds.FRACTION,
        "of that at the element", key="limited_energy")]  # fmt: skip
    series_gain: float
    one_more: Annotated[float, Entry("one module more in series", kinds.FRACTION)]


@dataclass(frozen=True)
class Thresholds:
    """The sun at which relays go to the next lower resistance.

    resistances: lowest first [ohm]
    named: of the file, rising [W/m2]; empty where the best is taken every hour
    best: with which the year gives most, rising [W/m2]; infinite where never
    """

    resistances: tuple[float, ...]
    named: tuple[float, ...]
    best: tuple[float, ...]
    energy: Annotated[float, Entry("by the best thresholds", kinds.ENERGY, key="switch_energy")]
    hourly_energy: Annotated[float, Entry("by the best each hour", kinds.ENERGY,
        "a year, of the same")]  # fmt: skip


@dataclass(frozen=True)
class ArrayMatch:
    """An array on its element through the year.

    coupling: "direct", "switched" or "tracking"
    peak_power: of the year; lift: None where there are no such electronics or its own suffices
    own: by the file's coupling; best_single: on the best single resistance
    ceiling: of an element wired straight, None of any other
    ways: all of them, the file's own first
    """

    array: Annotated[str, Entry("array")]
    series: int
    parallel: int
    coupling: str
    resistance: Annotated[float, Entry("element resistance", kinds.RESISTANCE, "as it is wired")]
    cable_resistance: Annotated[float, Entry("cable resistance", kinds.RESISTANCE, "out and back")]
    matched_resistance: Annotated[float, Entry("matched in full sun", kinds.RESISTANCE,
        "of the array, cells at 25 °C")]  # fmt: skip
    peak_power: Annotated[float, Entry("peak power", kinds.COMPUTED_POWER, "at the element")]
    own: CouplingWay
    best_single: CouplingWay
    ways: tuple[CouplingWay, ...]
    months: tuple[CouplingMonth, ...]
    shelf: tuple[StockElement, ...]
    wirings: tuple[StringLayout, ...]
    ceiling: CurrentCeiling | None
    thresholds: Thresholds | None
    lift: Annotated[float | None, Entry("raises voltage to", kinds.VOLTAGE,
        "at the element, above the array's own: only electronics that raise it can",
        optional=True)]  # fmt: skip

    @property
    def of_best(self) -> Annotated[float, Entry("against the best", kinds.FRACTION,
            "of the energy on the best single resistance")]:  # fmt: skip
        """Energy at the element over that of the best single resistance."""
        return self.own.energy / self.best_single.energy


@dataclass(frozen=True)
class Diversion:
    """An element on the inverter that is on only while the battery is full.

    named: True where the file has such an element; pump: whose water the battery feeds
    modules: that feed the battery; room: least, beside pump and other use
    energy: at the element, a year; months, months_spilled: energy in each month [J]
    """

    named: bool
    pump: str
    modules: int
    power: Annotated[float, Entry("element on the inverter", kinds.POWER,
        "at the inverter's voltage", key="diverted_power")]  # fmt: skip
    room: Annotated[float | None, Entry("left on the inverter", kinds.POWER,
        "while the pump runs", lacking="the file has no power.inverter_rating")]  # fmt: skip
    spilled: Annotated[float, Entry("battery's surplus", kinds.ENERGY)]
    energy: Annotated[float, Entry("by the battery's surplus", kinds.ENERGY,
        key="diverted_energy")]  # fmt: skip
    used_ratio: Annotated[float, Entry("share of it used", kinds.FRACTION,
        "the inverter's loss included")]  # fmt: skip
    hours: Annotated[
        float, Entry("on for", kinds.SUMMED_COUNT, "hours a year", key="diverted_hours")
    ]
    months: tuple[float, ...]
    months_spilled: tuple[float, ...]


@dataclass(frozen=True)
class MatchResult:
    """How array and elements suit each other.

    match: None where no array feeds an element; diversion: None without battery and pump
    full: True where every table is to be shown
    further: of other elements on arrays of their own
    """

    match: ArrayMatch | None
    diversion: Diversion | None
    further: tuple[ArrayMatch, ...] = ()
    full: bool = True


@dataclass(frozen=True)
class HeaterRow:
    """One design.

    rated_power [W], rated_voltage [V]: of one of its elements; count: of them alike
    joined: "alone", "in series", "in parallel" or "by relays"; own_element: True for the site's
    resistance: of the elements as joined [ohm]; greatest_voltage: across them in the brightest
        cold sun [V]; heat_loss: of the tank [W/K]
    heat_missing: in the year, all that does not come from the modules
    own: True for the site's own design
    """

    series: Annotated[int, Entry("in series", kinds.COUNT)]
    strings: Annotated[int, Entry("rows", kinds.COUNT)]
    element: Annotated[str, Entry("element")]
    rated_power: float
    rated_voltage: float
    count: int
    joined: str
    own_element: bool
    resistance: float
    greatest_voltage: float
    tank_volume: Annotated[float, Entry("tank", kinds.VOLUME)]
    heat_loss: float
    share: Annotated[float, Entry("as it is", kinds.FRACTION,
        "of the year's hot-water heat comes from PV, nothing else heating")]  # fmt: skip
    heat_missing: Annotated[float, Entry("missing", kinds.ENERGY)]
    own: bool

    @property
    def modules(self) -> Annotated[int, Entry("modules", kinds.COUNT)]:
        """Modules of all strings."""
        return self.series * self.strings


@dataclass(frozen=True)
class ModuleStep:
    """The best that a number of modules gives, on the site's own tank and on any.

    own_tank: None where no element suits
    """

    own_tank: HeaterRow | None
    any_tank: HeaterRow


@dataclass(frozen=True)
class LeftOut:
    """Why arrays and elements were left out, each with every tank.

    over_voltage, over_current: arrays above cold_limit open in the cold, and above wire_limit
    over_plate: pairs of array and element above its plate's voltage in the brightest cold sun
    cold_limit: [V]; wire_limit: [A], None without wire
    """

    over_voltage: Annotated[int, Entry("over the cold limit", kinds.COUNT)]
    over_current: Annotated[int, Entry("over the wire's current", kinds.COUNT)]
    over_plate: Annotated[int, Entry("over the plate", kinds.COUNT)]
    weaker: Annotated[int, Entry("weaker elements", kinds.COUNT,
        "pairs left out: another gives that array more, on bright days and dim ones")]  # fmt: skip
    cold_limit: float
    wire_limit: float | None


@dataclass(frozen=True)
class HeaterRankingResult:
    """The designs of a site's PV-heated tank, the best first.

    screened: looked at by the hour; refined: of them
    on_hand, elsewhere: modules, the site's, and those of its other groups; tank_volumes: [m3]
    tracking: True where electronics track
    rows: the best; own_suits: True where the site's own design keeps to the limits, so that it
        may stand among them; steps: by number of modules
    """

    screened: Annotated[int, Entry("designs looked at", kinds.COUNT)]
    refined: Annotated[int, Entry("run closely", kinds.COUNT,
        "draw by draw: all that may be among the best")]  # fmt: skip
    most_modules: Annotated[int, Entry("modules up to", kinds.COUNT)]
    on_hand: int | None
    elsewhere: int
    tank_volumes: tuple[float, ...]
    heat_wanted: Annotated[float, Entry("heat wanted", kinds.ENERGY,
        "a year at the tap, above the cold water")]  # fmt: skip
    tracking: bool
    left_out: LeftOut
    rows: tuple[HeaterRow, ...]
    own: HeaterRow
    own_suits: bool
    steps: tuple[ModuleStep, ...]
