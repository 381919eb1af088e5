"""What stands between an array and its element: a wire, relays, or electronics that track."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wellsolar import kinds
from wellsolar.physics.array import connection, heating_element, resistive
from wellsolar.physics.array.best_resistance import behind_cable, power_by_resistance
from wellsolar.physics.array.connection import TrackingElectronics
from wellsolar.physics.array.module import Diode
from wellsolar.physics.types import FloatArray
from wellsolar.site.schema import ElementTable
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

TRACKER_EFFICIENCY = 0.95
"""Output over input of electronics whose sheet is not told: common practice, no source."""

TRACKER_MINIMUM = 20.0
"""Array power below which they stand still [W]: common practice, no source."""

HOUR_STEP = 1.0
"""Step of a series whose powers alone are wanted [s]."""


@dataclass(frozen=True)
class Direct:
    """A wire and nothing else."""


@dataclass(frozen=True)
class Switched:
    """Relays that choose a resistance.

    ratios: of the resistances over that of the elements as they are wired, lowest first
    irradiances: sun at which they go to the next lower one, rising [W/m2]; None for the best one
        in every step
    """

    ratios: tuple[float, ...]
    irradiances: tuple[float, ...] | None = None

    def resistances(self, wired: float) -> tuple[float, ...]:
        """What can be switched to [ohm], where the elements as wired have `wired` [ohm]."""
        return tuple(wired * ratio for ratio in self.ratios)


@dataclass(frozen=True)
class Tracking:
    """Electronics that hold the array at its maximum power.

    electronics: at the least that the file lets them do, by which heat is reckoned
    hardest: at the most, by which what they drive is guarded
    """

    electronics: TrackingElectronics
    hardest: TrackingElectronics


Coupling = Direct | Switched | Tracking


@dataclass(frozen=True)
class AtElement:
    """At one irradiance: power [W] and voltage [V] at the element, current [A] and voltage [V] of
    the array at its own terminals."""

    power: float
    voltage: float
    array_current: float
    array_voltage: float


def coupling_of(element: ElementTable, wired: float) -> Coupling:
    """The coupling that an element's table names.

    Parameters:
        element: the element's table, fed by an array
        wired: resistance of its elements as they are joined, cold [ohm]
    Returns:
        the coupling, with usual electronics where the file leaves them open
    """
    if element.coupling == "tracking":
        return Tracking(electronics_of(element), _hardest(element))
    if element.coupling == "direct":
        return Direct()
    steps = element.switch_irradiances
    irradiances = None if steps is None else tuple(map(float, steps))
    if element.switched_resistances is not None:
        ohms = sorted(set(element.switched_resistances))
        return Switched(tuple(resistance / wired for resistance in ohms), irradiances)
    one = heating_element.element_resistance(element.rated_power, element.rated_voltage)
    joined = heating_element.joined_resistances([one] * element.count)
    return Switched(tuple(resistance / wired for resistance in joined), irradiances)


def electronics_of(element: ElementTable) -> TrackingElectronics:
    """Electronics by an element's table, else as they usually are: efficiency and limits;
    electronics of which the table does not say whether they raise or lower the voltage do neither.
    """

    def told(value: Quantity | None, usual: float) -> float:
        return usual if value is None else float(value)

    return TrackingElectronics(
        efficiency=told(element.tracker_efficiency, TRACKER_EFFICIENCY),
        minimum_power=told(element.tracker_minimum, TRACKER_MINIMUM),
        greatest_power=told(element.tracker_maximum, math.inf),
        greatest_voltage=told(element.tracker_greatest_output, math.inf),
        raises_voltage=element.tracker_converter in ("boost", "both"),
        lowers_voltage=element.tracker_converter in ("buck", "both"),
        least_voltage=told(element.tracker_least_output, 0.0),
        least_input=told(element.tracker_least_input, 0.0),
        greatest_input=told(element.tracker_greatest_input, math.inf),
    )


def _hardest(element: ElementTable) -> TrackingElectronics:
    """Electronics without loss, that do what the element's table does not rule out."""
    least = electronics_of(element)
    return TrackingElectronics(
        efficiency=1.0,
        greatest_power=least.greatest_power,
        greatest_voltage=least.greatest_voltage,
        raises_voltage=element.tracker_converter != "buck",
        lowers_voltage=element.tracker_converter != "boost",
    )


def coupling_assumptions(element: ElementTable, path: str) -> tuple[Assumption, ...]:
    """What the file leaves open of a coupling and was taken as usual: an assumption each value."""
    if element.coupling != "tracking":
        return ()
    assumptions = []
    if element.tracker_efficiency is None:
        value = Quantity(TRACKER_EFFICIENCY, kinds.FRACTION)
        why = "output over input of ordinary electronics; the datasheet gives its own"
        assumptions.append(Assumption(f"{path}.tracker_efficiency", value, why, "common practice"))
    if element.tracker_minimum is None:
        value = Quantity(TRACKER_MINIMUM, kinds.POWER)
        why = "array power below which ordinary electronics stand still"
        assumptions.append(Assumption(f"{path}.tracker_minimum", value, why, "common practice"))
    if element.tracker_converter is None:
        why = "the worst: they pass the array's voltage on and neither lower nor raise it"
        assumptions.append(
            Assumption(f"{path}.tracker_converter", "neither", why, "common practice")
        )
    return tuple(assumptions)


def coupled_power(
    way: Coupling,
    diode: Diode,
    resistance: float,
    cable_resistance: float,
    irradiance: FloatArray,
) -> FloatArray:
    """Power at the element through a coupling.

    Parameters:
        diode: the array, arrays of steps
        resistance: of the element as wired [ohm]
        cable_resistance: loop [ohm]
        irradiance: on the modules, by which thresholds switch [W/m2]
    Returns:
        power [W], one value a step
    """
    if isinstance(way, Tracking):
        return connection.tracked(
            diode, way.electronics, resistance, HOUR_STEP, cable_resistance
        ).power
    if isinstance(way, Direct):
        power = resistive.on_resistance(diode, resistance, cable_resistance).power
        return np.asarray(power, dtype=float)
    ohms = way.resistances(resistance)
    if way.irradiances is None:
        return np.asarray(power_by_resistance(diode, _ohms_array(ohms), cable_resistance).max(0))
    return connection.switched_by_thresholds(
        diode, ohms, irradiance, way.irradiances[::-1], HOUR_STEP, cable_resistance
    ).power


def at_element(
    way: Coupling,
    diode: Diode,
    resistance: float,
    cable_resistance: float,
    irradiance: float,
) -> AtElement:
    """What an array does through a coupling at one irradiance.

    Parameters:
        diode: the array, scalars
        resistance: of the element as wired [ohm]
        cable_resistance: loop [ohm]
        irradiance: on the modules [W/m2]
    Returns:
        power and voltage at the element, current and voltage of the array
    """
    if isinstance(way, Tracking):
        year = connection.tracked(diode, way.electronics, resistance, HOUR_STEP, cable_resistance)
        there = behind_cable(diode, cable_resistance)
        offered, volts = connection.input_of(there, way.electronics, resistance)
        current = float(offered[0] / volts[0]) if volts[0] > 0.0 else 0.0
        lifted = float(volts[0]) + current * cable_resistance
        return AtElement(float(year.power[0]), float(year.voltage[0]), current, lifted)
    if isinstance(way, Switched):
        resistance = _in_force(way, diode, resistance, cable_resistance, irradiance)
    point = resistive.on_resistance(diode, resistance, cable_resistance)
    current = float(point.current)
    voltage = current * resistance
    return AtElement(float(point.power), voltage, current, voltage + current * cable_resistance)


def _ohms_array(ohms: Sequence[float]) -> FloatArray:
    """Resistances as an array [ohm]."""
    return np.asarray(ohms, dtype=np.float64)


def _in_force(
    way: Switched, diode: Diode, resistance: float, cable_resistance: float, irradiance: float
) -> float:
    """The resistance that the relays choose [ohm]."""
    ohms = way.resistances(resistance)
    if way.irradiances is not None:
        return ohms[sum(irradiance < limit for limit in way.irradiances)]
    power = power_by_resistance(diode, _ohms_array(ohms), cable_resistance)
    return ohms[int(np.argmax(power[:, 0]))]
