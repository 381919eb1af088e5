"""What guards the people and the tank of a PV-heated heater. SI; temperatures in degC."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from wellsolar import kinds
from wellsolar.results.entries import Entry
from wellsolar.results.pumps import WireResult


@dataclass(frozen=True)
class BurnTime:
    """Contact until water of one temperature burns.

    adult, child: seconds; None where no published time exists
    bound: "table", "at most" where hotter than the published times reach, or "none"
    """

    adult: float | None
    child: float | None
    bound: str


@dataclass(frozen=True)
class TapWater:
    """What one full tank at its setpoint gives at the tap.

    unmixed, mixed: how fast the water burns before the mixing valve and behind it, the same where
        there is none
    """

    temperature: Annotated[float, Entry("tap temperature", kinds.TEMPERATURE,
        key="tap_temperature")]  # fmt: skip
    mixing_ratio: Annotated[float, Entry("hot share", kinds.FRACTION,
        "of the mixed water, tank at its setpoint")]  # fmt: skip
    volume: Annotated[float, Entry("mixed water from one tank", kinds.VOLUME, key="tap_volume")]
    unmixed: BurnTime
    mixed: BurnTime


@dataclass(frozen=True)
class TankPressure:
    """Where the heated water expands to, and what lets go before the tank does.

    relief_temperature: told or usual [degC]
    supply: the highest at which the pumps stop or hold; None where none is told
    expansion: from cold to the guarded temperature, a second tank's with it
    after: from the supply pressure; that tank is the house's or an expansion tank
    after, tank_needed: None without such a tank, or where it has no room or no volume does
    expansion_tank: None where the supply pressure is not told, or leaves nothing below the limit
    """

    relief_temperature: float
    relief_pressure: Annotated[float, Entry("relief valve opens at", kinds.PRESSURE,
        "of the file, or the usual")]  # fmt: skip
    limit: Annotated[float, Entry("pressure allowed below", kinds.PRESSURE, "10 % below it",
        key="pressure_limit")]  # fmt: skip
    supply: Annotated[float | None, Entry("highest supply pressure", kinds.PRESSURE,
        "where the pumps stop", key="supply_pressure")]  # fmt: skip
    expansion: Annotated[float, Entry("expansion", kinds.VOLUME, key="hot_expansion")]
    expansion_limit: Annotated[float, Entry("and may lift it to", kinds.PRESSURE,
        "10 % below the weaker relief valve; 80 psi behind a check valve")]  # fmt: skip
    after: Annotated[float | None, Entry("pressure after it", kinds.PRESSURE,
        "in the bladder tank that takes it", lacking="the bladder tank has no room for it",
        key="pressure_after")]  # fmt: skip
    tank_needed: Annotated[float | None, Entry("bladder tank for it", kinds.VOLUME,
        "the least, at its precharge")]  # fmt: skip
    expansion_tank: Annotated[float | None, Entry("expansion tank for it", kinds.VOLUME,
        "the least behind a check valve, precharged to the supply pressure")]  # fmt: skip


@dataclass(frozen=True)
class ArrayCircuit:
    """Direct current of a group of modules, by the electrical code's factors.

    series, parallel: of its modules
    cold_temperature: the record low or, where cold_told is False, the coldest of the code's table
        [degC]
    cold_voltage, cold_voltage_table: open in it, by coefficient and by the code's table [V]; None
        where it is colder than the table
    mild_voltage: open with cells at 25 degC [V]
    row_current: the most that one row drives [A]
    overcurrent_asked: None above the table; overcurrent_most: None where no wire is named
    ampacity: of the named wire in its surroundings [A]
    row_fuse: the next size for one row [A]; string_fuse: the same where rows need fuses
    """

    array: str
    series: int
    parallel: int
    cold_temperature: float
    cold_told: bool
    cold_voltage: float
    cold_voltage_table: float | None
    mild_voltage: float
    system_voltage: Annotated[float, Entry("switches and fuses for", kinds.VOLTAGE,
        "of direct current at least: no load, in the cold")]  # fmt: skip
    current: Annotated[float, Entry("and for", kinds.CURRENT, "1.25 x short-circuit current",
        key="circuit_current")]  # fmt: skip
    row_current: float
    conductor_current: Annotated[float, Entry("wires and fuses for", kinds.CURRENT,
        "1.25 x 1.25 x short-circuit current")]  # fmt: skip
    overcurrent_asked: Annotated[float | None, Entry("fuse, where one is fitted", kinds.CURRENT,
        "the next standard size")]  # fmt: skip
    overcurrent_most: Annotated[float | None, Entry("the largest fuse", kinds.CURRENT,
        "that the wire of the file bears", optional=True)]  # fmt: skip
    ampacity: float | None
    row_fuse: float | None
    string_fuse: Annotated[float | None, Entry("fuse of each row", kinds.CURRENT,
        "three rows or more side by side", optional=True)]  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class ElementInSun:
    """What an array can do to an element.

    element_voltage: by the assumed cold where no record low is told; mild_element_voltage: with
        cells at 25 degC then [V]
    most_series: modules in series that keep it within its plate; None where it is within
    """

    element_voltage: Annotated[float, Entry("at each element", kinds.VOLTAGE,
        "at most, in the coldest bright sun")]  # fmt: skip
    element_power: Annotated[float, Entry("and into it", kinds.COMPUTED_POWER)]
    mild_element_voltage: float
    most_series: int | None
    circuit: ArrayCircuit


@dataclass(frozen=True, kw_only=True)
class FedElement(ElementInSun):
    """An element and the array that feeds it.

    path: its key path; number: its place among the heater's elements, from 1, 0 for the one that
        the tank's days are run for
    wire: of the array; None where no cable is named
    """

    path: str
    number: int
    array: Annotated[str, Entry("array")]
    wire: WireResult | None


@dataclass(frozen=True)
class ArrayResult:
    """A group of modules that heats nothing, and its direct current.

    path: its key path; wire: None where no cable is named
    working_voltage, hot_voltage: at its maximum power in full sun, in the air of the hottest
        month and with cells at 70 degC; None where the module's sheet does not hold together
    air_told: False where no air is told, and the first holds with cells at 25 degC
    """

    path: str
    circuit: ArrayCircuit
    wire: WireResult | None
    working_voltage: Annotated[float | None, Entry("at work", kinds.VOLTAGE,
        "in full sun, in the air of the hottest month")]  # fmt: skip
    hot_voltage: Annotated[float | None, Entry("and on a hot roof", kinds.VOLTAGE,
        "the same with cells at 70 °C (158 °F)")]  # fmt: skip
    air_told: bool = True


@dataclass(frozen=True, kw_only=True)
class TankSafety:
    """The numbers behind the verdicts on a tank of hot water, whatever heats it.

    hottest: highest setting of any thermostat of the tank [degC]; guarded: as far as it may go if
        a thermostat sticks: to its high limit, or without one to the relief valve
    heat_through, heat_through_time: what the whole tank is held at, and how long
    heat_input: the greatest at one moment; array_input: from modules wired to the tank, 0 without
        any; the rest from other elements
    second: of the tank downstream, which has no second of its own; None where there is none
    """

    hottest: float
    guarded: Annotated[float, Entry("hottest the tank may get", kinds.TEMPERATURE,
        "a thermostat stuck: by its high limit, or by the relief valve where none is "
        "named")]  # fmt: skip
    heat_through: Annotated[float, Entry("heat through at", kinds.TEMPERATURE,
        "before use after days without sun, all of the tank")]  # fmt: skip
    heat_through_time: Annotated[float, Entry("and for", kinds.DURATION,
        "then run every tap")]  # fmt: skip
    boiling_temperature: Annotated[float, Entry("boils at", kinds.TEMPERATURE,
        "without pressure, at this altitude")]  # fmt: skip
    heat_input: Annotated[float, Entry("relief valve, capacity", kinds.HEAT_INPUT,
        "at least, on its plate: all elements at once")]  # fmt: skip
    array_input: Annotated[float, Entry("of which the array", kinds.COMPUTED_POWER,
        "in the coldest bright sun")]  # fmt: skip
    pressure: TankPressure
    second: TankSafety | None = None

    @property
    def hottest_set(self) -> float:
        """The hottest that any tank on the way to the taps is set to [degC]."""
        return self.hottest if self.second is None else max(self.hottest, self.second.hottest)

    @property
    def hottest_drawn(self) -> float:
        """The hottest that any of them can get, a thermostat stuck [degC]."""
        return self.guarded if self.second is None else max(self.guarded, self.second.guarded)


@dataclass(frozen=True, kw_only=True)
class HeatSafety(TankSafety, ElementInSun):
    """The numbers behind the verdicts on hot water and direct current.

    others: elements that other arrays feed
    """

    others: tuple[FedElement, ...] = ()
