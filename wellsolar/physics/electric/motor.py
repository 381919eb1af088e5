"""Motors: currents from code tables and from power, running and starting, and the voltage that a
start takes through a cable and behind a generator."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import cache
from typing import Final

from wellsolar.constants import DAY, HORSEPOWER
from wellsolar.data import rows
from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_positive

TABLE_POWER_TOLERANCE: Final = 0.02
"""Relative gap within which a rating finds its row of the motor tables: the metric equivalents
0.37, 0.55, 0.75, 1.1, 1.5 and 2.2 kW lie within it; common practice, no source."""


def current(apparent_power: float, voltage: float, phases: int = 1) -> float:
    """Line current of an apparent power.

    Parameters:
        apparent_power: apparent power of all phases [VA], scalar
        voltage: voltage between the lines [V], scalar
        phases: 1 or 3 [-], scalar
    Returns:
        current in each line [A]
    Raises:
        OutOfRange: another number of phases
    Source: S = V I for one phase, S = sqrt(3) V I for three.
    """
    return apparent_power / (_phase_factor(phases) * voltage)


def apparent_power(current: float, voltage: float, phases: int = 1) -> float:
    """Apparent power of a line current.

    Parameters:
        current: line current [A], scalar
        voltage: voltage between the lines [V], scalar
        phases: 1 or 3 [-], scalar
    Returns:
        apparent power [VA]
    Raises:
        OutOfRange: another number of phases
    Source: S = V I; three-phase sqrt(3) V I.
    """
    return _phase_factor(phases) * voltage * current


def running_current(
    input_power: float, voltage: float, power_factor: float, phases: int = 1
) -> float:
    """Line current of a running motor from its electric power.

    Parameters:
        input_power: electric power of all phases [W], scalar
        voltage: voltage between the lines [V], scalar
        power_factor: real over apparent power [-], scalar
        phases: 1 or 3 [-], scalar
    Returns:
        current in each line [A]
    Raises:
        OutOfRange: another number of phases
    Source: P = V I cos(phi) for one phase, P = sqrt(3) V I cos(phi) for three.
    """
    return current(input_power / power_factor, voltage, phases)


def full_load_current(rated_power: float, voltage: float, phases: int = 1) -> float:
    """Full-load current of a motor, by table.

    Conductors are sized on this current, not on the nameplate's. A submersible motor's nameplate
    current may be larger than the table's, and its overload protection goes by the nameplate.
    Between two rows of the table the larger motor stands for both; a voltage that no column
    serves takes the nearest one's current in the inverse ratio of the voltages.

    Parameters:
        rated_power: rated shaft power, up to 10 hp [W], scalar
        voltage: between the lines [V], scalar
        phases: 1 or 3 [-], scalar
    Returns:
        current in each line [A]
    Raises:
        OutOfRange: a power above the table, a power or voltage not above 0; another number of
            phases
    Source: NFPA 70 Tables 430.248 and 430.250 and their note on voltage ranges.

    >>> full_load_current(HORSEPOWER / 2, 115.0)
    9.8
    >>> full_load_current(HORSEPOWER, 230.0, 3)
    4.2
    """
    return _table_current("running", rated_power, voltage, phases)


def locked_rotor_current_table(rated_power: float, voltage: float, phases: int = 1) -> float:
    """Largest locked-rotor current of a motor, by table.

    Of one phase it is six times the full-load current of Table 430.248 at 115 and 230 V; so it is
    taken below 1/2 hp too, where the table has no rows. Powers between rows and other voltages as
    of `full_load_current`.

    Parameters:
        rated_power: rated shaft power, up to 10 hp [W], scalar
        voltage: between the lines [V], scalar
        phases: 1 or 3 [-], scalar
    Returns:
        current in each line [A]
    Raises:
        OutOfRange: a power above the table, a power or voltage not above 0; another number of
            phases
    Source: NFPA 70 Table 430.251(A) and, for three phases of design B, C and D, 430.251(B).

    >>> locked_rotor_current_table(HORSEPOWER / 2, 230.0)
    29.4
    """
    return _table_current("locked", rated_power, voltage, phases)


def locked_rotor_apparent_power(code_letter: str, rated_power: float) -> tuple[float, float]:
    """Range of apparent power at locked rotor by the nameplate's code letter.

    Parameters:
        code_letter: A to U without I, O and Q [text]
        rated_power: rated shaft power [W], scalar
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
    locked_rotor_current: float,
    voltage: float,
    line_resistance: float,
    power_factor: float = 1.0,
    supply_reactance: float = 0.0,
) -> float:
    """Share of the supply's voltage that a motor loses in cable and supply as it starts.

    The locked rotor is a fixed impedance in series with them, so that a long cable also lowers
    the current; cable reactance and the supply's resistance are neglected. On a supply that does
    not give way, power factor 1 gives the deepest dip.

    Parameters:
        locked_rotor_current: current at locked rotor with full voltage [A], scalar
        voltage: voltage of the supply [V], scalar
        line_resistance: voltage drop per ampere of line current (the loop for one phase,
            sqrt(3) times one conductor for three) [ohm], scalar
        power_factor: power factor at locked rotor [-], scalar
        supply_reactance: of a supply that gives way, as the cable's [ohm], scalar
    Returns:
        1 minus motor voltage over the supply's without load [-]
    Source: voltage divider of complex impedances, |Z| / |Z + R + jX| with |Z| = V / I.
    """
    drop = line_resistance * locked_rotor_current / voltage
    shift = supply_reactance * locked_rotor_current / voltage
    in_cable = 2.0 * drop * power_factor + drop**2
    in_supply = 2.0 * shift * math.sqrt(1.0 - power_factor**2) + shift**2
    return 1.0 - 1.0 / math.sqrt(1.0 + in_cable + in_supply)


def greatest_starting_current(
    voltage: float, line_resistance: float, dip: float, power_factor: float = 1.0
) -> float:
    """Current at locked rotor with which the cable takes a share of the voltage at start.

    Parameters:
        voltage: voltage of the supply [V], scalar
        line_resistance: voltage drop per ampere of line current [ohm], scalar
        dip: share of the voltage lost in the cable, 0..1 [-], scalar
        power_factor: power factor at locked rotor [-], scalar
    Returns:
        current with full voltage [A]
    Source: `starting_voltage_dip` solved for I.
    """
    left = 1.0 / (1.0 - dip) ** 2 - 1.0
    drop = math.sqrt(power_factor**2 + left) - power_factor
    return drop * voltage / line_resistance


def greatest_start_rate(rated_power: float, phases: int = 1) -> float:
    """Most starts that a submersible motor of a size is allowed, evenly spread over the day.

    Parameters:
        rated_power: rated shaft power [W], scalar
        phases: 1 or 3 [-], scalar
    Returns:
        starts per second [1/s]: below 1 hp 300 a day; to 5.5 hp 100 of a single-phase motor, 300
        of a three-phase one; above, 50 and 100
    Raises:
        OutOfRange: a power that is not above 0, another number of phases
    Source: a maker's table of starts in 24 h, as a dealer quotes it; Kill, Water Well Journal, on
        tank selection: 300 in 24 h below 1 hp, down to 50 above 5 hp.

    >>> greatest_start_rate(HORSEPOWER / 2) * DAY
    300.0
    >>> greatest_start_rate(2 * HORSEPOWER) * DAY, greatest_start_rate(2 * HORSEPOWER, 3) * DAY
    (100.0, 300.0)
    """
    require_positive(rated_power, "rated power", "W")
    _phase_factor(phases)
    if _is_small(rated_power):
        starts = 300.0
    elif rated_power <= 5.5 * HORSEPOWER * (1.0 + TABLE_POWER_TOLERANCE):
        starts = 100.0 if phases == 1 else 300.0
    else:
        starts = 50.0 if phases == 1 else 100.0
    return starts / DAY


def greatest_hourly_starts(rated_power: float) -> float:
    """Most starts of a well pump's motor within any hour.

    It is the same as a least run of one or two minutes: at the worst steady demand, half the
    pump's flow, the pump runs twice as long as with no tap open, and rests as long.

    Parameters:
        rated_power: rated shaft power [W], scalar
    Returns:
        starts per second [1/s]: 15 an hour below 1 hp, 7.5 from 1 hp
    Raises:
        OutOfRange: a power that is not above 0
    Source: a trade association's standard for pressure tanks, as a trade text quotes it: 15 an
        hour to 3/4 hp, 7.5 above.

    >>> greatest_hourly_starts(HORSEPOWER / 2) * 3600.0
    15.0
    """
    require_positive(rated_power, "rated power", "W")
    return (15.0 if _is_small(rated_power) else 7.5) / 3600.0


def least_run(rated_power: float) -> float:
    """Shortest run that lets a submersible motor shed the heat of its start.

    Parameters:
        rated_power: rated shaft power [W], scalar
    Returns:
        time [s]: one minute below 1 hp, two from 1 hp
    Raises:
        OutOfRange: a power that is not above 0
    Source: trade sheet of tank sizes, a 1 hp pump for 2 min; a maker's table asks 1 min of all.

    >>> least_run(HORSEPOWER / 2), least_run(HORSEPOWER)
    (60.0, 120.0)
    """
    require_positive(rated_power, "rated power", "W")
    return 60.0 if _is_small(rated_power) else 120.0


def _is_small(rated_power: float) -> bool:
    """True below 1 hp, where the tables of starts change."""
    return rated_power < HORSEPOWER * (1.0 - TABLE_POWER_TOLERANCE)


def _phase_factor(phases: int) -> float:
    if phases not in (1, 3):
        raise OutOfRange(f"phases is {phases}; it must be 1 or 3")
    return 1.0 if phases == 1 else math.sqrt(3.0)


def _table_current(kind: str, rated_power: float, voltage: float, phases: int) -> float:
    """Cell of the motor tables; `kind` is running or locked."""
    require_positive(rated_power, "rated power", "W")
    require_positive(voltage, "voltage", "V")
    _phase_factor(phases)
    begin = f"{kind}_" if phases == 1 else f"three_{kind}_"
    table = rows("motor_currents")
    rated = [int(name.removeprefix(begin)) for name in table[0] if name.startswith(begin)]
    served = _serving_voltage(voltage, rated)
    column, ratio = f"{begin}{served}", 1.0
    if not _serves(served, voltage):
        ratio = served / voltage
    for row in table:
        power = _row_power(row) * (1.0 + TABLE_POWER_TOLERANCE)
        if row[column] and rated_power / HORSEPOWER <= power:
            return ratio * float(row[column])
    raise OutOfRange(
        f"rated power is {rated_power:g} W; the tables end at {table[-1]['power']} hp"
    )


def _row_power(row: Mapping[str, str]) -> float:
    return _horsepower(row["power"])


@cache
def _horsepower(written: str) -> float:
    """A power of the tables, such as 1 1/2."""
    return float(sum(Fraction(part) for part in written.split()))


def _serving_voltage(voltage: float, rated: Sequence[int]) -> int:
    """Rated voltage of a motor table whose column serves a supply voltage, or else the nearest."""
    return next(
        (voltage_on_plate for voltage_on_plate in rated if _serves(voltage_on_plate, voltage)),
        min(rated, key=lambda plate_voltage: abs(math.log(plate_voltage / voltage))),
    )


def _serves(rated: int, voltage: float) -> bool:
    """True where a rated voltage of the tables serves a supply voltage without a change."""
    low, high = {115: (110.0, 120.0), 230: (220.0, 240.0), 460: (440.0, 480.0)}.get(
        rated, (rated, rated)
    )
    return low <= voltage <= high


def usual_service_factor(rated_power: float) -> float:
    """By how much a submersible motor of a size may be loaded beyond its rating, for good.

    Parameters:
        rated_power: rated shaft power, up to 10 hp [W], scalar
    Returns:
        service factor [-]; between two rows that of the larger motor
    Raises:
        OutOfRange: a power above the table, or not above 0
    Source: NEMA MG 1 for submersible motors of 4-inch wells (from memory), data/motor_plates.csv.

    >>> usual_service_factor(HORSEPOWER / 2), usual_service_factor(3 * HORSEPOWER)
    (1.6, 1.15)
    """
    return float(_plate(rated_power)["service_factor"])


def usual_efficiency(rated_power: float, phases: int = 1) -> float:
    """Shaft power over electric power of a submersible motor of a size at full load.

    Parameters:
        rated_power: rated shaft power, up to 10 hp [W], scalar
        phases: 1 or 3 [-], scalar
    Returns:
        efficiency [-]; between two rows that of the larger motor
    Raises:
        OutOfRange: a power above the table, or not above 0; another number of phases
    Source: usual plates (from memory), data/motor_plates.csv.

    >>> usual_efficiency(HORSEPOWER), usual_efficiency(HORSEPOWER, 3)
    (0.64, 0.69)
    """
    _phase_factor(phases)
    row = _plate(rated_power)
    return float(row["efficiency" if phases == 1 else "three_efficiency"]) / 100.0


def _plate(rated_power: float) -> Mapping[str, str]:
    """The row of the plates for a motor of a size [W]."""
    require_positive(rated_power, "rated power", "W")
    table = rows("motor_plates")
    for row in table:
        if rated_power / HORSEPOWER <= _row_power(row) * (1.0 + TABLE_POWER_TOLERANCE):
            return row
    raise OutOfRange(
        f"rated power is {rated_power:g} W; the table ends at {table[-1]['power']} hp"
    )


def source_reactance(
    rated_apparent_power: float, voltage: float, reactance_per_unit: float, phases: int = 1
) -> float:
    """Reactance of a generator or transformer, as voltage drop per ampere of line current.

    Parameters:
        rated_apparent_power: rating of the source [VA], scalar
        voltage: voltage between the lines [V], scalar
        reactance_per_unit: reactance on the source's own rating; of a generator the subtransient
            one [-], scalar
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
    Source: `starting_voltage_dip` solved for the supply's reactance.
    """
    size = voltage / locked_rotor_current
    real = size * power_factor + line_resistance
    imaginary = size * math.sqrt(1.0 - power_factor**2)
    inside = (size / (1.0 - dip)) ** 2 - real**2
    return math.sqrt(max(inside, 0.0)) - imaginary
