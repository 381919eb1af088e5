"""Hot water at the tap and its safety: mixing, burns, legionella, expansion, relief, boiling."""

from __future__ import annotations

import math
from typing import Final, Literal, NamedTuple

import numpy as np

from wellsolar.data.hot_water_tables import US_GALLON, BurnRow, Degree, burn_rows
from wellsolar.errors import OutOfRange
from wellsolar.physics import water
from wellsolar.physics.constants import STANDARD_ATMOSPHERE, ZERO_CELSIUS
from wellsolar.physics.solve import require_positive, require_range
from wellsolar.physics.types import Floats

BURN_THRESHOLD: Final = 44.0
"""Coolest water that burns skin at all [degC]: Moritz & Henriques, Am. J. Pathology 23 (1947),
as reproduced in adult threshold sets."""

CHILD_FACTOR: Final = 0.25
"""A child's time to a burn over an adult's [-]: child-safety bodies (from memory, low
confidence)."""

STEEL_EXPANSION: Final = 6.5e-6 * 1.8
"""Linear expansion of steel, 6.5e-6 per degF as [1/K]; handbook expansion table."""

RELIEF_TEMPERATURE: Final = (210.0 - 32.0) / 1.8
"""Temperature-and-pressure relief valve opens, 210 degF as [degC]: model code 504, county
housing inspection page; some cities cap it at 200 degF."""

RELIEF_PRESSURE: Final = 150 * 6894.757293168
"""Temperature-and-pressure relief valve opens, 150 psi as [Pa] gauge: as RELIEF_TEMPERATURE."""

HIGH_LIMIT_RANGE: Final = ((170.0 - 32.0) / 1.8, (180.0 - 32.0) / 1.8)
"""Usual settings of the hand-reset high limit, 170 to 180 degF as [degC]: trade and service
texts."""

STORAGE_TARGET: Final = 60.0
"""Storage temperature against legionella [degC], 140 degF: public-health texts as quoted."""

CIRCULATION_TARGET: Final = (120.0 - 32.0) / 1.8
"""Hot water in circulation stays above 120 degF, as [degC]: CDC potable-water toolkit."""

COMBINED_SYSTEM_LIMIT: Final = 60.0
"""Potable side of a system that also heats space, 140 degF or less as [degC], held by an ASSE
1017 valve: model plumbing code 501.2."""

HAND_WASHING_LIMIT: Final = (110.0 - 32.0) / 1.8
"""Tempered water at public hand-washing, at most 110 degF as [degC]: model plumbing code."""


KILL_SLOPE: Final = 10.0 / math.log10(124.0 / 2.0)
"""Warming that kills legionella ten times as fast [K], 5.6: D(50 degC) = 124 min and D(60 degC)
= 2 min, encyclopaedic figures; the slower strain below 60 degC."""


class BurnTime(NamedTuple):
    """Exposure until a burn [s] and how well it is known.

    bound: "table" between rows of a published table; "at most" beyond the hottest row (the
    true time is shorter still); "none" below 44 degC, where the time is inf.
    """

    seconds: float
    bound: Literal["table", "at most", "none"]


class LegionellaBand(NamedTuple):
    """A band of water temperature [degC] and what legionella does in it."""

    name: str
    low: float
    high: float
    meaning: str
    source: str


LEGIONELLA_BANDS: Final = (
    LegionellaBand("dormant", -math.inf, 20.0, "survives, little growth", "WHO text as quoted"),
    LegionellaBand(
        "growth", 20.0, 45.0, "multiplies, fastest at 32-42 degC", "WHO text as quoted"
    ),
    LegionellaBand("survives", 45.0, 50.0, "survives, does not multiply", "encyclopaedic"),
    LegionellaBand(
        "slow kill", 50.0, 60.0, "a tenth left in minutes to two hours", "encyclopaedic"
    ),
    LegionellaBand(
        "storage target", 60.0, 70.0, "a tenth left in two minutes or less", "encyclopaedic"
    ),
    LegionellaBand("quick kill", 70.0, math.inf, "dies almost at once", "encyclopaedic"),
)


def mixing_ratio(hot: Floats, cold: Floats, tap: Floats) -> Floats:
    """Share of hot water in what a mixing valve delivers.

    Parameters:
        hot: hot supply [degC], scalar or array
        cold: cold supply [degC], scalar or array
        tap: delivered [degC], scalar or array
    Returns:
        hot share [0..1], scalar or array; 1 where the hot supply is no hotter than the tap
    Raises:
        OutOfRange: cold supply not cooler than the tap
    Source: heat balance of mixing at constant heat capacity, (tap - cold) / (hot - cold).
    """
    require_positive(tap - cold, "tap less cold temperature", "K")
    return _scalar(np.minimum(1.0, (tap - cold) / np.maximum(hot - cold, tap - cold)))


def delivered_volume(tank_volume: Floats, hot: Floats, cold: Floats, tap: Floats) -> Floats:
    """Mixed water that one tank of hot water gives, drawn as plug flow, without reheating.

    Parameters:
        tank_volume: [m3], scalar or array
        hot: tank [degC], scalar or array
        cold: inlet and cold side of the valve [degC], scalar or array
        tap: delivered [degC], scalar or array
    Returns:
        mixed water at tap temperature [m3], scalar or array; 0 where the tank is cooler
    Raises:
        OutOfRange: cold not cooler than the tap
    Source: heat balance at constant heat capacity, V (Th - Tc) / (Tu - Tc).

    >>> delivered_volume(50.0, 150.0, 55.0, 120.0)  # gal and degF
    73.08
    """
    require_positive(tap - cold, "tap less cold temperature", "K")
    volume = tank_volume * (hot - cold) / (tap - cold)
    return _scalar(np.where(np.asarray(hot) >= tap, volume, 0.0))


def delivered_volume_mixed(tank_volume: Floats, hot: Floats, cold: Floats, tap: Floats) -> Floats:
    """Mixed water from a fully mixed tank until it has fallen to tap temperature, no reheating.

    Parameters:
        tank_volume: [m3], scalar or array
        hot: tank at the start [degC], scalar or array
        cold: inlet and cold side of the valve [degC], scalar or array
        tap: delivered [degC], scalar or array
    Returns:
        mixed water at tap temperature [m3], scalar or array; 0 where the tank is cooler
    Raises:
        OutOfRange: cold not cooler than the tap
    Source: heat balance at constant heat capacity, V ((Th - Tc) / (Tu - Tc) - 1).

    >>> delivered_volume_mixed(50.0, 150.0, 55.0, 120.0)  # gal and degF
    23.08
    """
    require_positive(tap - cold, "tap less cold temperature", "K")
    return _scalar(tank_volume * np.maximum(0.0, (hot - cold) / (tap - cold) - 1.0))


def outlet_fraction(drawn: Floats, nodes: int) -> Floats:
    """Outlet temperature of N well-mixed tanks in series, over the cold inlet, start at 1.

    Parameters:
        drawn: volume drawn over the volume of the tank [-], scalar or array
        nodes: number of tanks in series [-], whole number
    Returns:
        (outlet - cold) / (start - cold) [0..1], scalar or array
    Raises:
        OutOfRange: a negative draw, no node
    Source: residence time of tanks in series; Poisson distribution function of N - 1 at mean
        N times the draw.
    """
    require_range(drawn, 0.0, math.inf, "drawn volume", "tanks")
    require_positive(nodes, "nodes", "")
    from scipy.special import pdtr  # scipy.special takes 0.2 s to import

    return _scalar(pdtr(nodes - 1, nodes * np.asarray(drawn, float)))


def delivered_volume_nodes(
    tank_volume: float, hot: float, cold: float, tap: float, nodes: int
) -> float:
    """Mixed water from a tank of N nodes in series until its outlet has fallen to the tap's.

    Parameters:
        tank_volume: [m3], scalar
        hot: tank at the start [degC], scalar
        cold: inlet and cold side of the valve [degC], scalar
        tap: delivered [degC], scalar
        nodes: number of tanks in series; 1 is fully mixed, very many is plug flow [-]
    Returns:
        mixed water at tap temperature [m3], scalar; 0 if the tank is cooler
    Raises:
        OutOfRange: cold not cooler than the tap, no node
    Source: integral of the outlet fraction of tanks in series (Poisson sum) to the draw at which
        it equals (Tu - Tc) / (Th - Tc).
    """
    require_positive(tap - cold, "tap less cold temperature", "K")
    require_positive(nodes, "nodes", "")
    if hot <= tap:
        return 0.0
    from scipy.special import gammainc, pdtri

    mean = float(pdtri(nodes - 1, (tap - cold) / (hot - cold)))
    # heat out = 1/N sum over k < N of P(Gamma(k + 1) <= mean)
    heat = float(np.sum(gammainc(np.arange(1, nodes + 1), mean))) / nodes
    return tank_volume * heat * (hot - cold) / (tap - cold)


def first_hour_volume(tank_volume: Floats, recovery: Floats) -> Floats:
    """Hot water of the first hour: 70 % of the tank and an hour of recovery.

    A tank heated by the sun alone has no recovery after sunset: give 0.

    Parameters:
        tank_volume: [m3], scalar or array
        recovery: recovery rate of the heater [m3/s], scalar or array
    Returns:
        volume [m3], scalar or array; a rule of thumb, within 10 %
    Source: trade rule on two trade pages (names withheld).
    """
    return 0.7 * tank_volume + 3600.0 * recovery


def daily_hot_water(people: Floats) -> Floats:
    """Daily hot water of a household, the solar trade's sizing rule.

    Parameters:
        people: in the household [-], scalar or array
    Returns:
        hot water a day [m3], scalar or array; measured households scatter by 30 %
    Raises:
        OutOfRange: a negative number
    Source: solar sizing rule, 20 US gal for each of the first two, 15 for each further
        (from memory).
    """
    require_range(people, 0.0, math.inf, "people", "")
    return _scalar(US_GALLON * (15.0 * people + 5.0 * np.minimum(people, 2.0)))


def daily_fixture_water(bedrooms: Floats) -> Floats:
    """Daily mixed water at 110 degF of showers, baths and sinks by bedrooms.

    Parameters:
        bedrooms: of the house [-], scalar or array
    Returns:
        mixed water a day [m3], scalar or array
    Raises:
        OutOfRange: a negative number
    Source: NREL house benchmark, TP-550-49426 (2010): showers 14.0 + 4.67 N, baths 3.5 + 1.17 N,
        sinks 12.5 + 4.16 N US gal (from memory).
    """
    require_range(bedrooms, 0.0, math.inf, "bedrooms", "")
    return US_GALLON * ((14.0 + 3.5 + 12.5) + (4.67 + 1.17 + 4.16) * bedrooms)


def table_burn_time(temperature: float, table: str) -> BurnTime:
    """Adult exposure until a burn by one published table, piecewise in log time.

    Parameters:
        temperature: of the water [degC], scalar, not below the table's coolest row
        table: name in data/burn_times.csv [text]
    Returns:
        exposure [s] and its bound
    Raises:
        OutOfRange: an unknown table, water cooler than its coolest row
    Source: data/burn_times.csv; log-time interpolation as usual for thermal damage.
    """
    tables = {**burn_rows("second"), **burn_rows("third")}
    if table not in tables:
        raise OutOfRange(f"burn table is {table!r}, allowed are {', '.join(tables)}")
    points = tables[table]
    require_range(temperature, points[0].temperature, math.inf, "water temperature", "degC")
    return _interpolate(points, temperature)


def burn_time(
    temperature: float,
    who: Literal["adult", "child"] = "adult",
    degree: Degree = "third",
) -> BurnTime:
    """Exposure to hot water until a burn: the shortest that any published table gives.

    A child's time is a quarter of an adult's. A second-degree burn never takes longer than the
    third-degree tables say. Beyond the hottest row of every table the time of that row stands
    as an upper bound; nothing is extrapolated.

    Parameters:
        temperature: of the water [degC], scalar
        who: "adult" or "child" [text]
        degree: "second" or "third" (full thickness) [text]
    Returns:
        exposure [s] and its bound; inf and "none" below 44 degC
    Raises:
        OutOfRange: temperature not a number, unknown person or degree
    Source: tables of data/burn_times.csv, after Moritz & Henriques (1947); a quarter for children
        from child-safety bodies (from memory).

    >>> burn_time((140 - 32) / 1.8).seconds
    5.
    """
    require_range(temperature, -math.inf, math.inf, "water temperature", "degC")
    if who not in ("adult", "child") or degree not in ("second", "third"):
        raise OutOfRange(f"burn is of {who!r}, {degree!r}: allowed adult, child; second, third")
    if temperature < BURN_THRESHOLD:
        return BurnTime(math.inf, "none")
    shortest = _shortest(degree, temperature)
    if degree == "second":
        deeper = _shortest("third", temperature)
        if deeper.seconds < shortest.seconds:
            shortest = BurnTime(deeper.seconds, "at most")
    factor = CHILD_FACTOR if who == "child" else 1.0
    return BurnTime(shortest.seconds * factor, shortest.bound)


def _shortest(degree: Degree, temperature: float) -> BurnTime:
    """The shortest time of the tables that reach down to this temperature."""
    times = [
        _interpolate(points, temperature)
        for points in burn_rows(degree).values()
        if temperature >= points[0].temperature
    ]
    return min(times, key=lambda time: (time.seconds, time.bound == "at most"))


def _interpolate(points: tuple[BurnRow, ...], temperature: float) -> BurnTime:
    """Log-time interpolation in one table; its hottest row's time as a bound beyond it."""
    if temperature > points[-1].temperature:
        return BurnTime(points[-1].seconds, "at most")
    at = [point.temperature for point in points]
    logs = [math.log(point.seconds) for point in points]
    if temperature in at:
        return BurnTime(points[at.index(temperature)].seconds, "table")
    return BurnTime(math.exp(float(np.interp(temperature, at, logs))), "table")


def legionella_band(temperature: float) -> LegionellaBand:
    """What legionella does at a water temperature.

    Parameters:
        temperature: of the water [degC], scalar
    Returns:
        band with its edges [degC], meaning and source; a lower edge belongs to its band
    Raises:
        OutOfRange: temperature not a number
    Source: CDC potable-water toolkit, WHO text and encyclopaedic figures as quoted; edges +/-1 K.
    """
    require_range(temperature, -math.inf, math.inf, "water temperature", "degC")
    return next(band for band in reversed(LEGIONELLA_BANDS) if temperature >= band.low)


def decimal_reduction_time(temperature: Floats, z: Floats = KILL_SLOPE) -> Floats:
    """Time in which hot water kills nine in ten legionella.

    Parameters:
        temperature: of the water, 50 to 70 [degC], scalar or array
        z: warming that shortens the time tenfold [K], scalar or array; 5.6 to 6.2 published
    Returns:
        decimal reduction time [s], scalar or array; good to a factor of 1.5
    Raises:
        OutOfRange: temperature outside 50 to 70 degC
    Source: D(60 degC) = 2 min, D(50 degC) = 80 to 124 min, encyclopaedic figures; log-linear.
    """
    require_range(temperature, 50.0, 70.0, "water temperature", "degC")
    return 120.0 * 10.0 ** ((60.0 - temperature) / z)


def expansion_volume(volume: Floats, cold: Floats, hot: Floats) -> Floats:
    """Water that a rigid tank pushes out when it is heated.

    Parameters:
        volume: of the tank [m3], scalar or array
        cold: temperature before [degC], scalar or array
        hot: temperature after [degC], scalar or array
    Returns:
        volume, measured hot [m3], scalar or array; no credit for the tank's own growth
    Source: mass balance, V (rho cold / rho hot - 1), density at one atmosphere.
    """
    return volume * (water.density(cold) / water.density(hot) - 1.0)


def net_expansion_factor(
    cold: Floats, hot: Floats, linear_expansion: Floats = STEEL_EXPANSION
) -> Floats:
    """Expansion of water less that of its tank, over the volume.

    Parameters:
        cold: temperature before [degC], scalar or array
        hot: temperature after [degC], scalar or array
        linear_expansion: of the tank's wall [1/K], scalar or array; steel
    Returns:
        net expansion [-], scalar or array
    Source: handbook formula, (v2 / v1 - 1) - 3 a dT.

    >>> net_expansion_factor((40 - 32) / 1.8, (160 - 32) / 1.8)
    0.021
    """
    return expansion_volume(1.0, cold, hot) - 3.0 * linear_expansion * (hot - cold)


def expansion_tank_volume(
    expansion: Floats,
    precharge: Floats,
    supply_pressure: Floats,
    maximum_pressure: Floats,
    atmospheric_pressure: Floats = STANDARD_ATMOSPHERE,
) -> Floats:
    """Smallest bladder tank that takes up an expansion.

    Parameters:
        expansion: volume to take up [m3], scalar or array
        precharge: gauge pressure of the empty tank [Pa], scalar or array
        supply_pressure: gauge pressure before heating [Pa], scalar or array
        maximum_pressure: gauge pressure allowed after it [Pa], scalar or array
        atmospheric_pressure: at the site [Pa], scalar or array
    Returns:
        volume of the bladder tank [m3], scalar or array
    Raises:
        OutOfRange: maximum pressure not above supply and precharge
    Source: Boyle's law, V = E / (pc / p1 - pc / p2), absolute pressures, p1 at least pc.
    """
    # an over-charged tank takes water only from its precharge upward
    first = np.maximum(supply_pressure, precharge) + atmospheric_pressure
    last = maximum_pressure + atmospheric_pressure
    require_positive(_scalar(last - first), "maximum less supply or precharge pressure", "Pa")
    charge = precharge + atmospheric_pressure
    return _scalar(expansion / (charge / first - charge / last))


def relief_capacity_needed(power: Floats) -> float:
    """Capacity that a relief valve needs: the greatest heat input at any moment.

    Parameters:
        power: heat inputs that can come together, each at its greatest (an element on the highest
            array voltage, not its marking) [W], scalar or array
    Returns:
        capacity [W], scalar, the sum
    Raises:
        OutOfRange: a negative power
    Source: model plumbing code 504: capacity not less than the heat input.
    """
    require_range(power, 0.0, math.inf, "power", "W")
    return float(np.sum(power))


def element_resistance(rated_power: Floats, rated_voltage: Floats) -> Floats:
    """Resistance of an element from its marking.

    Parameters:
        rated_power: [W], scalar or array
        rated_voltage: [V], scalar or array
    Returns:
        resistance [ohm], scalar or array
    Raises:
        OutOfRange: a power that is not positive
    Source: Joule's law, R = V^2 / P.
    """
    require_positive(rated_power, "rated power", "W")
    return rated_voltage**2 / rated_power


def element_power_at(rated_power: Floats, rated_voltage: Floats, voltage: Floats) -> Floats:
    """Power of an element of fixed resistance at another voltage than its marking.

    Parameters:
        rated_power: [W], scalar or array
        rated_voltage: [V], scalar or array
        voltage: at the element [V], scalar or array
    Returns:
        power [W], scalar or array
    Raises:
        OutOfRange: a rated voltage that is not positive
    Source: Joule's law at constant resistance, P (V / Vr)^2.

    >>> element_power_at(4500.0, 240.0, 300.0)
    7031.
    """
    require_positive(rated_voltage, "rated voltage", "V")
    return rated_power * (voltage / rated_voltage) ** 2


SATURATION_COEFFICIENTS: Final = (
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
)
"""n1..n10 of the saturation line [-, MPa, K]: IAPWS R7-97(2012) Table 34 (from memory; it
reproduces Table 36)."""


def boiling_temperature(absolute_pressure: Floats) -> Floats:
    """Temperature at which water boils under an absolute pressure.

    Parameters:
        absolute_pressure: 611.213 Pa to 22.064 MPa [Pa], scalar or array
    Returns:
        temperature [degC], scalar or array
    Raises:
        OutOfRange: a pressure outside the saturation line
    Source: IAPWS R7-97(2012), backward equation 31; check values Table 36.

    >>> boiling_temperature(0.1e6) + 273.15
    372.755919
    """
    require_range(absolute_pressure, 611.213, 22.064e6, "absolute pressure", "Pa")
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = SATURATION_COEFFICIENTS
    beta = (absolute_pressure / 1e6) ** 0.25
    e = beta**2 + n3 * beta + n6
    f = n1 * beta**2 + n4 * beta + n7
    g = n2 * beta**2 + n5 * beta + n8
    d = 2.0 * g / (-f - (f**2 - 4.0 * e * g) ** 0.5)
    kelvin = 0.5 * (n10 + d - ((n10 + d) ** 2 - 4.0 * (n9 + n10 * d)) ** 0.5)
    return kelvin - ZERO_CELSIUS


def flashed_fraction(
    temperature: float, atmospheric_pressure: float = STANDARD_ATMOSPHERE
) -> float:
    """Mass share of superheated water that turns to steam when its tank lets go.

    Parameters:
        temperature: of the liquid, saturated [degC], scalar
        atmospheric_pressure: of the surroundings [Pa], scalar
    Returns:
        mass share [0..1], scalar; 0 below the open boiling point
    Raises:
        OutOfRange: temperature outside 0.01 to 370 degC
    Source: enthalpy balance of the release, properties by IAPWS-95.
    """
    require_range(temperature, 0.01, 370.0, "water temperature", "degC")
    from CoolProp.CoolProp import PropsSI  # its first call takes a second

    before = PropsSI("H", "T", temperature + ZERO_CELSIUS, "Q", 0, "Water")
    liquid = PropsSI("H", "P", atmospheric_pressure, "Q", 0, "Water")
    steam = PropsSI("H", "P", atmospheric_pressure, "Q", 1, "Water")
    return max(0.0, float((before - liquid) / (steam - liquid)))


def _scalar(value: Floats) -> Floats:
    """A float where the result has no dimensions, the array otherwise."""
    return value if np.ndim(value) else float(value)
