"""An array matched with the element that it heats. Every field is in SI."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class CouplingWay:
    """One way to couple the array with an element, through the year.

    key: short name; text: what it is
    resistances: that it can have, lowest first [ohm]; empty where it does not matter
    energy: at the element [J]; ratio: over that of the array at maximum power
    """

    key: str
    text: str
    resistances: tuple[float, ...]
    energy: float
    ratio: float


@dataclass(frozen=True)
class CouplingMonth:
    """A month of the site's own coupling.

    energy: at the element, best_single: on the best single resistance of the year, tracked: of the
    array at maximum power [J]
    """

    month: int
    energy: float
    best_single: float
    tracked: float

    @property
    def ratio(self) -> float:
        """Share of what the array gives at its maximum power."""
        return self.energy / self.tracked if self.tracked > 0 else 0.0


@dataclass(frozen=True)
class ShelfElement:
    """Elements that are sold, wired straight to the array.

    text: marking and how they are joined; resistance: of all together [ohm]
    energy [J]; of_best: over that of the best single resistance
    greatest_voltage: across all together, in the coldest bright sun [V]
    voltage_ratio, power_ratio: then, of the element that is driven hardest, over its marking
    rated_power [W], rated_voltage [V]: of the first; count: 1 or 2; alike: of one marking
    joined: "alone", "in series" or "in parallel"
    """

    text: str
    resistance: float
    energy: float
    of_best: float
    greatest_voltage: float
    voltage_ratio: float
    power_ratio: float
    rated_power: float
    rated_voltage: float
    count: int
    alike: bool
    joined: str


@dataclass(frozen=True)
class WiringChange:
    """The array wired another way, or with another number of modules.

    change: in words; energy: at the element through the file's coupling [J]; gain: in it over
    the array as it is; best_energy: on the best single resistance for it [J]
    best_resistance [ohm]; cold_voltage: open circuit at the record low [V], None without one
    greatest_voltage: at the element in the coldest bright sun [V]
    """

    change: str
    series: int
    parallel: int
    energy: float
    gain: float
    best_resistance: float
    best_energy: float
    cold_voltage: float | None
    greatest_voltage: float


@dataclass(frozen=True)
class CurrentCeiling:
    """Why more modules in series stop helping.

    power: short-circuit current squared times the element's resistance, in full sun [W]
    hours, energy: parts of the sunny hours and of the energy below the voltage of maximum power
    series_gain: the most that any number of modules in series could still add, over the energy
    one_more: what one module more in each string adds, over the energy
    """

    power: float
    hours: float
    energy: float
    series_gain: float
    one_more: float


@dataclass(frozen=True)
class Thresholds:
    """The sun at which relays go to the next lower resistance.

    resistances: lowest first [ohm]
    named: of the file, rising [W/m2]; empty where the best is taken every hour
    best: with which the year gives most, rising [W/m2]; infinite where never
    energy: with the best ones; hourly_energy: with the best every hour [J]
    """

    resistances: tuple[float, ...]
    named: tuple[float, ...]
    best: tuple[float, ...]
    energy: float
    hourly_energy: float


@dataclass(frozen=True)
class ArrayMatch:
    """An array on its element through the year.

    coupling: "direct", "switched" or "tracking"
    resistance: of the element as wired, matched_resistance: of the array at 1000 W/m2, 25 degC,
    cable_resistance [ohm]; peak_power: at the element in the year [W]
    lift: voltage at the element that tracking electronics must make above the array's own [V];
    None where there are none or its own suffices
    own: by the file's coupling; best_single: on the best single resistance
    ceiling: of an element wired straight, None of any other
    ways: all of them, the file's own first
    """

    array: str
    series: int
    parallel: int
    coupling: str
    resistance: float
    cable_resistance: float
    matched_resistance: float
    peak_power: float
    own: CouplingWay
    best_single: CouplingWay
    ways: tuple[CouplingWay, ...]
    months: tuple[CouplingMonth, ...]
    shelf: tuple[ShelfElement, ...]
    wirings: tuple[WiringChange, ...]
    ceiling: CurrentCeiling | None
    thresholds: Thresholds | None
    lift: float | None

    @property
    def of_best(self) -> float:
        """Energy at the element over that of the best single resistance."""
        return self.own.energy / self.best_single.energy


@dataclass(frozen=True)
class Diversion:
    """An element on the inverter that is on only while the battery is full.

    named: True where the file has such an element; pump: whose water the battery feeds
    modules: that feed the battery; power: of the element at the inverter's voltage [W]
    room: least that the inverter has left beside pump and other use [W]; None without its rating
    spilled: energy of those modules that nothing took [J]; energy: at the element [J]
    used_ratio: part of what is spilled that it takes, with the inverter's loss
    hours: with the element on [h]; months, months_spilled: energy in each month [J]
    """

    named: bool
    pump: str
    modules: int
    power: float
    room: float | None
    spilled: float
    energy: float
    used_ratio: float
    hours: float
    months: tuple[float, ...]
    months_spilled: tuple[float, ...]


@dataclass(frozen=True)
class MatchResult:
    """How array and elements suit each other.

    match: None where no array feeds an element; diversion: None without battery and pump
    full: True where every table is to be shown
    """

    match: ArrayMatch | None
    diversion: Diversion | None
    full: bool


@dataclass(frozen=True)
class HeaterRow:
    """One design.

    series, strings: modules in a string, and strings side by side; element: in words
    resistance: of the elements as joined [ohm]; greatest_voltage: across them in the brightest
    cold sun [V]; tank_volume: [m3]; heat_loss: of the tank [W/K]
    share: of the heat wanted that comes to the tap; heat_missing: in the year [J]
    own: True for the site's own design
    """

    series: int
    strings: int
    element: str
    resistance: float
    greatest_voltage: float
    tank_volume: float
    heat_loss: float
    share: float
    heat_missing: float
    own: bool

    @property
    def modules(self) -> int:
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

    over_voltage: arrays above cold_limit open in the cold; over_current: arrays above wire_limit
    over_plate: pairs of array and element above its plate's voltage in the brightest cold sun
    weaker: pairs of which another element on that array gives more in every month
    cold_limit: [V], None where the file tells no record low; wire_limit: [A], None without wire
    """

    over_voltage: int
    over_current: int
    over_plate: int
    weaker: int
    cold_limit: float | None
    wire_limit: float | None


@dataclass(frozen=True)
class HeaterRankingResult:
    """The designs of a site's PV-heated tank, the best first.

    screened: looked at by the hour; refined: of them run along the draws
    most_modules: that were looked at; on_hand, elsewhere: the site's, and those of its other
    groups; heat_wanted: at the tap in the year [J]; tracking: True where electronics track
    rows: the best; own: the site's own design; own_suits: True where it keeps to the limits, so
    that it may stand among them; steps: by number of modules
    """

    screened: int
    refined: int
    most_modules: int
    on_hand: int | None
    elsewhere: int
    tank_volumes: tuple[float, ...]
    heat_wanted: float
    tracking: bool
    left_out: LeftOut
    rows: tuple[HeaterRow, ...]
    own: HeaterRow
    own_suits: bool
    steps: tuple[ModuleStep, ...]
