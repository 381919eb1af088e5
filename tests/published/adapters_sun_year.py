"""Published checks of a year of sun on the two weather files of pvlib; module sheets by name.

Power is counted where the plane has more than 1 W/m2, as in the reference.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import numpy as np
from scipy.optimize import minimize_scalar

from wellsolar.physics.array import module, module_fit, resistive
from wellsolar.physics.sun import rule_of_thumb, synthetic_year, weather_files
from wellsolar.physics.sun import year as sun_year

STATIONS = {"Greensboro": "723170TYA.CSV", "Sand Point": "703165TY.csv"}
SHEETS = {
    "A": module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, -0.0030 * 39.9, 0.00485),
    "B": module.ModuleRating(49.3, 10.30, 41.0, 9.76, 72, -0.0028 * 49.3, 0.00515),
}
FITTED = {name: module_fit.fit_five_parameters(sheet) for name, sheet in SHEETS.items()}
KWH = 3.6e6


@cache
def _year(station: str) -> sun_year.HourlyYear:
    path = files("pvlib") / "data" / STATIONS[station]
    with path.open(encoding="utf-8") as text:
        return weather_files.year_from_tmy3(text)


@cache
def _plane(station: str) -> sun_year.PlaneYear:
    """Tilt is the latitude, due south, albedo 0.2."""
    year = _year(station)
    return sun_year.on_plane(year, year.latitude, 180.0)


@cache
def _array(station: str, sheet: str, series: int) -> module.Diode:
    plane = _plane(station)
    light = plane.plane_of_array_irradiance
    counted = np.where(light > 1.0, light, 0.0)
    one = module.at_conditions(FITTED[sheet], counted, plane.cell_temperature)
    return module.array_of(one, series, 1)


@cache
def _tracked(station: str, sheet: str, series: int):
    return resistive.maximum_power_point(_array(station, sheet, series)).power


def _fixed(station: str, sheet: str, series: int, resistance: float):
    return resistive.on_resistance(_array(station, sheet, series), resistance).power


def _multiple(sheet: str) -> float:
    rating = SHEETS[sheet]
    return rating.maximum_power_voltage / rating.maximum_power_current


@cache
def _best(station: str, sheet: str) -> float:
    """Best resistance over that matched at 1000 W/m2 and 25 degC, for one module."""
    found = minimize_scalar(
        lambda multiple: -float(np.sum(_fixed(station, sheet, 1, multiple * _multiple(sheet)))),
        bounds=(0.5, 4.0),
        method="bounded",
        options={"xatol": 1e-3},
    )
    return float(found.x)


def horizontal_of_year(station: str) -> float:
    return float(np.sum(_year(station).global_horizontal)) * 3600.0


def plane_of_year(station: str) -> float:
    return float(np.sum(_plane(station).plane_of_array_irradiance)) * 3600.0


def plane_by_month(station: str):
    return sun_year.monthly_totals(_plane(station))


def peak_sun_hours_by_month(station: str):
    return rule_of_thumb.peak_sun_hours(plane_by_month(station))


def tracked_per_kilowatt(station: str) -> float:
    """Energy of a year from modules of 1 kW [J]."""
    rated = module.rated_power(SHEETS["A"])
    return float(np.sum(_tracked(station, "A", 1))) * 3600.0 * 1000.0 / rated


def captured(station: str, multiple: float, sheet: str = "A") -> float:
    power = _fixed(station, sheet, 1, multiple * _multiple(sheet))
    return float(np.sum(power) / np.sum(_tracked(station, sheet, 1)))


def best_multiple(station: str, sheet: str = "A") -> float:
    return _best(station, sheet)


def best_captured(station: str, sheet: str = "A") -> float:
    return captured(station, _best(station, sheet), sheet)


def gain_of_tracking(station: str) -> float:
    """What tracking gives more than the best resistance, in percent of the latter."""
    return 100.0 * (1.0 / best_captured(station) - 1.0)


def pair_energy(series: float, resistance: float) -> float:
    return float(np.sum(_fixed("Greensboro", "A", int(series), resistance))) * 3600.0


def pair_captured(series: float, resistance: float) -> float:
    tracked = np.sum(_tracked("Greensboro", "A", int(series)))
    return float(np.sum(_fixed("Greensboro", "A", int(series), resistance)) / tracked)


def _by_month(power):
    return np.bincount(_plane("Greensboro").hours.month, weights=power)[1:] * 3600.0


def fixed_by_month(series: float, resistance: float):
    return _by_month(_fixed("Greensboro", "A", int(series), resistance))


def tracked_by_month(series: float):
    return _by_month(_tracked("Greensboro", "A", int(series)))


@cache
def _clear() -> sun_year.HourlyYear:
    """40 N, 300 m, Linke turbidity 3."""
    return synthetic_year.year_from_clear_sky(40.0, 300.0, 1.0, np.full(12, 15.0), 3.0)


def _day(values, day: float) -> float:
    start = 24 * (int(day) - 1)
    return float(np.sum(values[start : start + 24])) * 3600.0


def clear_global(day: float) -> float:
    return _day(_clear().global_horizontal, day)


def clear_direct(day: float) -> float:
    return _day(_clear().direct_normal, day)


def clear_diffuse(day: float) -> float:
    return _day(_clear().diffuse_horizontal, day)


def clear_plane(day: float, tilt: float) -> float:
    return _day(sun_year.on_plane(_clear(), tilt, 180.0).plane_of_array_irradiance, day)
