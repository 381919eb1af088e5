"""Copper conductors, overcurrent devices and correction factors of the electrical code (NFPA 70).

Tables with bands print whole degrees. A temperature between two bands takes the band on its
unfavourable side: the hotter one for ampacity, the colder one for voltage.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Final

from wellsolar.constants import FOOT, INCH
from wellsolar.data import rows
from wellsolar.errors import OutOfRange

CIRCULAR_MIL: Final = math.pi / 4 * (INCH / 1000.0) ** 2
"""Area of a circle of one thousandth of an inch [m2]; exact by definition."""

KILOFOOT: Final = 1000.0 * FOOT
"""1000 ft [m]."""

RATING_ROUND_OFF: Final = 1e-9
"""Relative excess over a standard rating that is taken as round-off of unit conversion."""

COPPER_COEFFICIENT: Final = 0.00393
"""Rise of copper's resistance from 20 degC on [1/K]: IEC 60228 (from memory)."""

METRIC_CONDUCTOR: Final = 70.0
"""Temperature of the conductor in the table of wires in mm2 [degC], see data/wires_metric.csv."""

METRIC_AMBIENT: Final = 30.0
"""Temperature round it there [degC]."""

TEMPERATURE_ROUND_OFF: Final = 1e-6
"""Excess over the end of a temperature band that is taken as round-off of conversion [K]."""


@dataclass(frozen=True)
class Wire:
    """One copper conductor size.

    gauge: trade size such as `10 AWG`, or cross-section such as `6 mm2`.
    area: cross-section of copper [m2].
    resistance_75c_solid: direct-current resistance at 75 degC [ohm/m]; None above 8 AWG.
    resistance_75c_stranded: the same of stranded conductor [ohm/m].
    ampacity_60, ampacity_75, ampacity_90: ampacity by insulation rating, 30 degC ambient [A].
        Of a wire in mm2 that of a conductor of 70 degC stands for 60 and 75.
    small_conductor_limit: largest overcurrent device [A]; None where no such limit applies. Of a
        wire in mm2 its ampacity: IEC 60364-4-43 (from memory).
    """

    gauge: str
    area: float
    resistance_75c_solid: float | None
    resistance_75c_stranded: float
    ampacity_60: float
    ampacity_75: float
    ampacity_90: float
    small_conductor_limit: float | None

    @property
    def metric(self) -> bool:
        """Whether it is sold by its cross-section.

        Returns:
            True of a wire in mm2 [-]
        Source: its name.
        """
        return self.gauge.endswith(" mm2")

    def ampacity(self, insulation_rating: float) -> float:
        """Ampacity in the column of an insulation rating.

        Parameters:
            insulation_rating: temperature rating of the insulation, 60, 75 or 90 [degC], scalar
        Returns:
            ampacity [A]
        Raises:
            OutOfRange: another insulation rating
        Source: NFPA 70 Table 310.16, see data/wires.csv.
        """
        columns = {60: self.ampacity_60, 75: self.ampacity_75, 90: self.ampacity_90}
        _refuse_rating(insulation_rating)
        return columns[int(insulation_rating)]


@cache
def wires() -> tuple[Wire, ...]:
    """Copper conductor sizes from thin to thick.

    Returns:
        14 AWG to 4/0 AWG, each a Wire [-]
    Source: NFPA 70 Chapter 9 Table 8, Table 310.16 and 240.4(D), see the data files.
    """
    limits = {row["gauge"]: float(row["limit"]) for row in rows("small_conductors")}
    return tuple(
        Wire(
            gauge=row["gauge"],
            area=float(row["area"]) * CIRCULAR_MIL,
            resistance_75c_solid=(
                float(row["resistance_solid"]) / KILOFOOT if row["resistance_solid"] else None
            ),
            resistance_75c_stranded=float(row["resistance_stranded"]) / KILOFOOT,
            ampacity_60=float(row["ampacity_60"]),
            ampacity_75=float(row["ampacity_75"]),
            ampacity_90=float(row["ampacity_90"]),
            small_conductor_limit=limits.get(row["gauge"]),
        )
        for row in rows("wires")
    )


@cache
def metric_wires() -> tuple[Wire, ...]:
    """Copper conductors by their cross-section, from thin to thick.

    Returns:
        1.5 mm2 to 120 mm2, each a Wire [-]
    Source: IEC 60228 and IEC 60364-5-52, see data/wires_metric.csv.
    """
    warm = 1.0 + COPPER_COEFFICIENT * (75.0 - 20.0)
    return tuple(
        Wire(
            gauge=row["gauge"],
            area=float(row["area"]) * 1e-6,
            resistance_75c_solid=None,
            resistance_75c_stranded=float(row["resistance_20c"]) * 1e-3 * warm,
            ampacity_60=float(row["ampacity_70"]),
            ampacity_75=float(row["ampacity_70"]),
            ampacity_90=float(row["ampacity_70"]) * metric_factor(METRIC_AMBIENT, 90.0),
            small_conductor_limit=float(row["ampacity_70"]),
        )
        for row in rows("wires_metric")
    )


def metric_factor(temperature: float, insulation_rating: float) -> float:
    """Correction of the ampacity of a wire in mm2 for its ambient and its insulation.

    Parameters:
        temperature: ambient of the conductor [degC], scalar
        insulation_rating: temperature that its insulation bears [degC], scalar
    Returns:
        factor on the table's ampacity [-]; 0 where the ambient is too hot for the insulation
    Source: heat by the square of the current, as the factors of IEC 60364-5-52, table B.52.14.

    >>> metric_factor(50.0, 70.0)
    0.7071067811865476
    """
    rise = (insulation_rating - temperature) / (METRIC_CONDUCTOR - METRIC_AMBIENT)
    return math.sqrt(max(0.0, rise))


def wire(gauge: str) -> Wire:
    """The conductor of one trade size.

    Parameters:
        gauge: trade size as in the table, such as `10 AWG`, `1/0 AWG` or `6 mm2` [-]
    Returns:
        its Wire [-]
    Raises:
        OutOfRange: no such size in the table
    Source: see wires.

    >>> wire("10 AWG").small_conductor_limit
    30.0
    """
    for candidate in (*wires(), *metric_wires()):
        if candidate.gauge == gauge:
            return candidate
    known = ", ".join(gauges())
    raise OutOfRange(f"wire gauge is {gauge}; the table has {known}")


def ambient_factor(temperature: float, insulation_rating: float) -> float:
    """Correction of ampacity for an ambient other than 30 degC.

    Parameters:
        temperature: ambient of the conductor [degC], scalar
        insulation_rating: temperature rating of the insulation, 60, 75 or 90 [degC], scalar
    Returns:
        factor on the table's ampacity [-]
    Raises:
        OutOfRange: another insulation rating, or an ambient too hot for it
    Source: NFPA 70 Table 310.15(B)(1).

    >>> ambient_factor(68.0, 90)
    0.58
    """
    _refuse_rating(insulation_rating)
    hottest = -math.inf
    for row in rows("ambient_correction"):
        cell = row[f"factor_{int(insulation_rating)}"]
        if not cell:
            break
        hottest = float(row["up_to"])
        if temperature <= hottest + TEMPERATURE_ROUND_OFF:
            return float(cell)
    raise OutOfRange(
        f"ambient temperature is {temperature:g} degC; conductors rated "
        f"{insulation_rating:g} degC are allowed up to {hottest:g} degC"
    )


def bundling_factor(conductors: int) -> float:
    """Adjustment of ampacity for several current-carrying conductors together.

    Parameters:
        conductors: current-carrying conductors in one raceway or cable [-], scalar
    Returns:
        factor on the table's ampacity [-]; 1 up to three conductors
    Raises:
        OutOfRange: fewer than one conductor
    Source: NFPA 70 (2014) Table 310.15(B)(3)(a).

    >>> bundling_factor(6)
    0.8
    """
    if not conductors >= 1:
        raise OutOfRange(f"conductors is {conductors}; it must be at least 1")
    bands = [(int(row["from"]), float(row["factor"])) for row in rows("bundling")]
    return [factor for start, factor in bands if start <= conductors][-1]


def overcurrent_sizes(metric: bool = False) -> tuple[float, ...]:
    """Standard fuses and breakers.

    Parameters:
        metric: True for the sizes of a site wired in mm2 [-]
    Returns:
        ratings from small to large [A]
    Source: NFPA 70 240.6(A); IEC 60898-1 and 60269, see data/overcurrent_sizes_metric.csv.
    """
    table = "overcurrent_sizes_metric" if metric else "overcurrent_sizes"
    return tuple(float(row["rating"]) for row in rows(table))


def next_overcurrent_size(current: float, metric: bool = False) -> float:
    """Smallest standard fuse or breaker that is not below a current.

    Parameters:
        current: current that the device must at least be rated for [A], scalar
        metric: True for the sizes of a site wired in mm2 [-]
    Returns:
        standard rating [A]; 15 A is the smallest of the list, 6 A of the metric one
    Raises:
        OutOfRange: a negative current or one above the list, 600 A or 630 A
    Source: NFPA 70 240.6(A); IEC 60898-1 and 60269, see data/overcurrent_sizes_metric.csv.

    >>> next_overcurrent_size(15.156)
    20.0
    """
    ratings = overcurrent_sizes(metric)
    if not 0 <= current <= ratings[-1] * (1 + RATING_ROUND_OFF):
        raise OutOfRange(f"current is {current:g} A; the table serves 0 to {ratings[-1]:g} A")
    return next(rating for rating in ratings if current <= rating * (1 + RATING_ROUND_OFF))


def cold_voltage_factor(temperature: float) -> float:
    """Rise of a crystalline module's open-circuit voltage in the cold, by table.

    Parameters:
        temperature: lowest expected ambient temperature [degC], scalar
    Returns:
        factor on the open-circuit voltage at 25 degC [-]; 1 from 25 degC up
    Raises:
        OutOfRange: colder than -40 degC
    Source: NFPA 70 Table 690.7(A) (second hand).

    >>> cold_voltage_factor(-25.0)
    1.2
    """
    if temperature >= 25.0 - TEMPERATURE_ROUND_OFF:
        return 1.0
    for row in rows("cold_voltage"):
        if temperature >= float(row["down_to"]) - TEMPERATURE_ROUND_OFF:
            return float(row["factor"])
    raise OutOfRange(f"temperature is {temperature:g} degC; the table ends at -40 degC")


def coldest() -> float:
    """The coldest temperature of the table of cold voltages [degC].

    Returns:
        lower end of its last band [degC]
    Source: NFPA 70 Table 690.7(A), see data/cold_voltage.csv.
    """
    return min(float(row["down_to"]) for row in rows("cold_voltage"))


def _refuse_rating(insulation_rating: float) -> None:
    if insulation_rating not in (60, 75, 90):
        raise OutOfRange(
            f"insulation rating is {insulation_rating:g} degC; the tables have 60, 75 and 90 degC"
        )


def insulations() -> tuple[str, ...]:
    """The insulations of the table.

    Returns:
        names as a site file writes them, as printed on a jacket [text]
    Source: data/insulations.csv, sources named there.
    """
    return tuple(row["name"] for row in rows("insulations"))


def insulation_rating(name: str) -> float:
    """The column of the ampacity table that an insulation may be read in, outdoors.

    Parameters:
        name: as printed on the jacket, such as `PV wire` [text]
    Returns:
        60, 70, 75 or 90 [degC]
    Raises:
        OutOfRange: no such insulation in the table
    Source: data/insulations.csv, sources named there.

    >>> insulation_rating("PV wire")
    90.0
    """
    for row in rows("insulations"):
        if row["name"] == name:
            return float(row["rating"])
    raise OutOfRange(f"insulation is {name}; the table has {', '.join(insulations())}")


def gauges() -> tuple[str, ...]:
    """The gauges of the table.

    Returns:
        names as a site file writes them, thin to thick, then those in mm2 [text]
    Source: data/wires.csv and wires_metric.csv, sources named there.
    """
    return tuple(wire.gauge for wire in (*wires(), *metric_wires()))


def letters() -> tuple[str, ...]:
    """The code letters of motors whose band has two ends.

    Returns:
        letters as a site file writes them [text]
    Source: NFPA 70 Table 430.7(B), see data/code_letters.csv.
    """
    return tuple(row["letter"] for row in rows("code_letters") if row["high"])
