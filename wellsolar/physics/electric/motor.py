"""Motors: currents from code tables and from power, running and starting, and the voltage that a
start takes through a cable and behind a generator."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Final

import numpy as np

from wellsolar.constants import DAY, HORSEPOWER
from wellsolar.data import rows
from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import Floats

TABLE_POWER_TOLERANCE: Final = 0.02
"""Relative gap within which a rating finds its row of the motor tables: the metric equivalents
0.37, 0.55, 0.75, 1.1, 1.5 and 2.2 kW lie within it; common practice, no source."""


def current(apparent_power: Floats, voltage: Floats, phases: int = 1) -> Floats:
    """Line current of an apparent power.

    Parameters:
        apparent_power: apparent power of all phases [VA], scalar or array
        voltage: voltage between the lines [V], scalar or array
        phases: 1 or 3 [-], scalar
    Returns:
        current in each line [A]
    Raises:
        OutOfRange: another number of phases
    Source: S = V I for one phase, S = sqrt(3) V I for three.
    """
    return apparent_power / (_phase_factor(phases) * voltage)


def apparent_power(current: Floats, voltage: Floats, phases: int = 1) -> Floats:
    """Apparent power of a line current.

    Parameters:
        current: line current [A], scalar or array
        voltage: voltage between the lines [V], scalar or array
        phases: 1 or 3 [-], scalar
    Returns:
        apparent power [VA]
    Raises:
        OutOfRange: another number of phases
    Source: S = V I; three-phase sqrt(3) V I.
    """
    return _phase_factor(phases) * voltage * current


def running_current(
    input_power: Floats, voltage: Floats, power_factor: Floats, phases: int = 1
) -> Floats:
    """Line current of a running motor from its electric power.

    Parameters:
        input_power: electric power of all phases [W], scalar or array
        voltage: voltage between the lines [V], scalar or array
        power_factor: real over apparent power [-], scalar or array
        phases: 1 or 3 [-], scalar
    Returns:
        current in each line [A]
    Raises:
        OutOfRange: another number of phases
    Source: P = V I cos(phi) for one phase, P = sqrt(3) V I cos(phi) for three.
    """
    return current(input_power / power_factor, voltage, phases)


def full_load_current(rated_power: float, voltage: float) -> float:
    """Full-load current of a single-phase motor, by table.

    Conductors are sized on this current, not on the nameplate's. A submersible motor's nameplate
    current is larger than the table's, and its overload protection goes by the nameplate.

    Parameters:
        rated_power: rated shaft power, within 2 % of a row of the table [W], scalar
        voltage: 110 to 120, 200, 208 or 220 to 240 [V], scalar
    Returns:
        current [A]
    Raises:
        OutOfRange: a power or voltage that is not in the table
    Source: NFPA 70 Table 430.248 and its note on voltage ranges.

    >>> full_load_current(HORSEPOWER / 2, 115.0)
    9.8
    """
    return _table_current("running", rated_power, voltage)


def locked_rotor_current_table(rated_power: float, voltage: float) -> float:
    """Largest locked-rotor current of a single-phase motor, by table.

    It is six times the full-load current of Table 430.248 at 115 and 230 V.

    Parameters:
        rated_power: rated shaft power from 1/2 hp, within 2 % of a row of the table [W], scalar
        voltage: 110 to 120, 208 or 220 to 240 [V], scalar
    Returns:
        current [A]
    Raises:
        OutOfRange: a power or voltage that is not in the table
    Source: NFPA 70 Table 430.251(A).

    >>> locked_rotor_current_table(HORSEPOWER / 2, 230.0)
    29.4
    """
    return _table_current("locked", rated_power, voltage)


def locked_rotor_apparent_power(code_letter: str, rated_power: Floats) -> tuple[Floats, Floats]:
    """Range of apparent power at locked rotor by the nameplate's code letter.

    Parameters:
        code_letter: A to U without I, O and Q [text]
        rated_power: rated shaft power [W], scalar or array
    Returns:
        least and greatest apparent power [VA]
    Raises:
        OutOfRange: no such letter; V, whose band has no upper end (use the locked-rotor current)
    Source: NFPA 70 Table 430.7(B).

    >>> low, high = locked_rotor_apparent_power("J", HORSEPOWER)
    >>> (low / 1000, high / 1000)
    (7.1, 7.99)
    """
    for row in rows("code_letters"):
        if row["letter"] == code_letter and row["high"]:
            per_watt = 1000.0 / HORSEPOWER
            low, high = float(row["low"]) * per_watt, float(row["high"]) * per_watt
            return low * rated_power, high * rated_power
    letters = " ".join(row["letter"] for row in rows("code_letters") if row["high"])
    raise OutOfRange(
        f"code letter is {code_letter}; letters with a band are {letters} (V has no upper end)"
    )


def starting_voltage_dip(
    locked_rotor_current: Floats,
    voltage: Floats,
    line_resistance: Floats,
    power_factor: Floats = 1.0,
) -> Floats:
    """Share of the supply voltage that a motor loses in its cable at the moment of start.

    The locked rotor is a fixed impedance in series with the cable, so that a long cable also
    lowers the current; cable reactance is neglected. Power factor 1 gives the deepest dip.

    Parameters:
        locked_rotor_current: current at locked rotor with full voltage [A], scalar or array
        voltage: voltage of the supply [V], scalar or array
        line_resistance: voltage drop per ampere of line current (the loop for one phase,
            sqrt(3) times one conductor for three) [ohm], scalar or array
        power_factor: power factor at locked rotor [-], scalar or array
    Returns:
        1 minus motor voltage over supply voltage [-]
    Source: voltage divider, |Z| / |Z + R| with |Z| = V / I.
    """
    drop = line_resistance * locked_rotor_current / voltage
    return 1.0 - 1.0 / np.sqrt(1.0 + 2.0 * drop * power_factor + drop**2)


def greatest_starting_current(voltage: Floats, line_resistance: Floats, dip: Floats) -> Floats:
    """Current at locked rotor with which the cable takes a share of the voltage at start.

    Parameters:
        voltage: voltage of the supply [V], scalar or array
        line_resistance: voltage drop per ampere of line current [ohm], scalar or array
        dip: share of the voltage lost in the cable, 0..1 [-], scalar or array
    Returns:
        current with full voltage [A]
    Source: `starting_voltage_dip` at a power factor of 1, 1 - 1 / (1 + R I / V), solved for I.
    """
    return dip / (1.0 - dip) * voltage / line_resistance


def greatest_start_rate(rated_power: float) -> float:
    """Most starts that a submersible motor of a size is allowed, evenly spread over the day.

    Parameters:
        rated_power: rated shaft power [W], scalar
    Returns:
        starts per second [1/s]: 300 a day below 1 hp, 100 from 1 to 5 hp, 50 above
    Raises:
        OutOfRange: a power that is not above 0
    Source: Kill, Water Well Journal, on tank selection: 300 in 24 h below 1 hp, down to 50 above
        5 hp; the 100 between by a maker's table as a dealer quotes it.

    >>> greatest_start_rate(HORSEPOWER / 2) * 86_400
    300.0
    """
    require_positive(rated_power, "rated power", "W")
    smallest, largest = HORSEPOWER, 5.0 * HORSEPOWER
    if rated_power < smallest * (1.0 - TABLE_POWER_TOLERANCE):
        starts = 300.0
    else:
        starts = 100.0 if rated_power <= largest * (1.0 + TABLE_POWER_TOLERANCE) else 50.0
    return starts / DAY


def _phase_factor(phases: int) -> float:
    if phases not in (1, 3):
        raise OutOfRange(f"phases is {phases}; it must be 1 or 3")
    return 1.0 if phases == 1 else math.sqrt(3.0)


def _table_current(kind: str, rated_power: float, voltage: float) -> float:
    """Cell of the motor table; `kind` is running or locked."""
    column = f"{kind}_{_rated_voltage(voltage)}"
    table = [row for row in rows("motor_currents") if row.get(column)]
    if not table:
        raise OutOfRange(f"voltage is {voltage:g} V; the {kind} table has no such column")
    for row in table:
        power = _row_power(row)
        if abs(rated_power / HORSEPOWER - power) <= TABLE_POWER_TOLERANCE * power:
            return float(row[column])
    known = ", ".join(row["power"] for row in table)
    raise OutOfRange(f"rated power is {rated_power:g} W; the {kind} table has {known} hp")


def _row_power(row: Mapping[str, str]) -> float:
    return _horsepower(row["power"])


@cache
def _horsepower(written: str) -> float:
    """A power of the tables, such as 1 1/2."""
    return float(sum(Fraction(part) for part in written.split()))


def _rated_voltage(voltage: float) -> int:
    """Column of the motor tables that serves a supply voltage."""
    served = {115: (110.0, 120.0), 200: (200.0, 200.0), 208: (208.0, 208.0), 230: (220.0, 240.0)}
    for rated, (low, high) in served.items():
        if low <= voltage <= high:
            return rated
    raise OutOfRange(
        f"voltage is {voltage:g} V; the tables serve 110 to 120, 200, 208 and 220 to 240 V"
    )


def source_reactance(
    rated_apparent_power: Floats, voltage: Floats, reactance_per_unit: Floats, phases: int = 1
) -> Floats:
    """Reactance of a generator or transformer, as voltage drop per ampere of line current.

    Parameters:
        rated_apparent_power: rating of the source [VA], scalar or array
        voltage: voltage between the lines [V], scalar or array
        reactance_per_unit: reactance on the source's own rating; of a generator the subtransient
            one [-], scalar or array
        phases: 1 or 3 [-], scalar
    Returns:
        reactance [ohm]
    Raises:
        OutOfRange: rating not above zero; another number of phases
    Source: definition of the per-unit system, X = x V^2 / S; three-phase sqrt(3) times that.
    """
    require_positive(rated_apparent_power, "rated apparent power", "VA")
    if phases not in (1, 3):
        raise OutOfRange(f"phases is {phases}; it must be 1 or 3")
    return math.sqrt(phases) * reactance_per_unit * voltage**2 / rated_apparent_power


@dataclass(frozen=True)
class Start:
    """The moment of start, behind a supply that gives way and a cable.

    current: line current [A]; supply_dip, motor_dip: part of the voltage lost at the supply's
    terminals and at the cable's far end [-]; torque_share: over that of a start at full voltage.
    """

    current: Floats
    supply_dip: Floats
    motor_dip: Floats
    torque_share: Floats


def start_through_supply(
    locked_rotor_current: Floats,
    voltage: Floats,
    power_factor: Floats,
    line_resistance: Floats,
    supply_resistance: Floats,
    supply_reactance: Floats,
    soft_start_share: Floats = 1.0,
) -> Start:
    """Current, voltage dips and torque when a motor starts.

    Resistances and reactance are voltage drop per ampere of line current: the loop for one phase,
    sqrt(3) times one conductor for three. A soft starter holds the current to a share of the
    locked-rotor current and the motor's voltage to the same share.

    Parameters:
        locked_rotor_current: current at locked rotor with full voltage [A], scalar or array
        voltage: voltage of the supply without load [V], scalar or array
        power_factor: power factor at locked rotor, 0..1 [-], scalar or array
        line_resistance: voltage drop per ampere in the cable [ohm], scalar or array
        supply_resistance: resistance of the supply [ohm], scalar or array
        supply_reactance: reactance of the supply [ohm], scalar or array
        soft_start_share: starting current over that of a direct start, 1 for none [-], scalar or
            array
    Returns:
        current [A], dips and torque share [-]
    Raises:
        OutOfRange: current, voltage or share not above zero, a share above 1, a power factor
            outside 0..1, a negative resistance or reactance
    Source: voltage divider of complex impedances, the locked rotor a fixed one; torque as the
        square of the motor's voltage (from memory).
    """
    require_positive(locked_rotor_current, "locked-rotor current", "A")
    require_positive(voltage, "voltage", "V")
    require_range(power_factor, 0.0, 1.0, "power factor", "")
    require_positive(soft_start_share, "soft-start share", "")
    require_range(soft_start_share, 0.0, 1.0, "soft-start share", "")
    for ohms, name in (
        (line_resistance, "line resistance"),
        (supply_resistance, "supply resistance"),
        (supply_reactance, "supply reactance"),
    ):
        require_range(ohms, 0.0, math.inf, name, "ohm")
    size = voltage / (soft_start_share * locked_rotor_current)
    real, imaginary = size * power_factor, size * np.sqrt(1.0 - np.square(power_factor))
    behind_cable = np.hypot(real + line_resistance, imaginary)
    whole = np.hypot(real + line_resistance + supply_resistance, imaginary + supply_reactance)
    at_motor = size / whole
    return Start(
        current=voltage / whole,
        supply_dip=1.0 - behind_cable / whole,
        motor_dip=1.0 - at_motor,
        torque_share=(soft_start_share * at_motor) ** 2,
    )


def greatest_source_reactance(
    locked_rotor_current: float,
    voltage: float,
    power_factor: float,
    line_resistance: float,
    dip: float,
) -> float:
    """Reactance of a supply with which a starting motor loses a share of its voltage.

    Parameters:
        locked_rotor_current: current at locked rotor with full voltage [A], scalar
        voltage: voltage of the supply without load [V], scalar
        power_factor: power factor at locked rotor, 0..1 [-], scalar
        line_resistance: voltage drop per ampere in the cable [ohm], scalar
        dip: share of the voltage that the motor may lose, 0..1 [-], scalar
    Returns:
        reactance [ohm]; not above 0 where the cable alone takes that share
    Source: `start_through_supply` without a resistance of the supply, solved for its reactance.
    """
    size = voltage / locked_rotor_current
    real = size * power_factor + line_resistance
    imaginary = size * math.sqrt(1.0 - power_factor**2)
    inside = (size / (1.0 - dip)) ** 2 - real**2
    return math.sqrt(max(inside, 0.0)) - imaginary
