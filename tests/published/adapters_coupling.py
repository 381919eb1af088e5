"""Published checks of couplings between array and elements: the two weather files of pvlib, the
half-sine day, and sources whose curve is a rectangle."""

from __future__ import annotations

import math
from functools import cache
from importlib.resources import files

import numpy as np

from wellsolar.physics.array import (
    best_resistance,
    connection,
    heating_element,
    module,
    module_fit,
    string_layouts,
)
from wellsolar.physics.sun import weather_files
from wellsolar.physics.sun import year as sun_year

STATIONS = {"Greensboro": "723170TYA.CSV", "Sand Point": "703165TY.csv"}
SHEETS = {
    "A": module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, -0.0030 * 39.9, 0.00485),
    "B": module.ModuleRating(49.3, 10.30, 41.0, 9.76, 72, -0.0028 * 49.3, 0.00515),
}
FITTED = {name: module_fit.fit_five_parameters(sheet) for name, sheet in SHEETS.items()}
HOUR = 3600.0
PARTS = 4000


def _matched(sheet: str) -> float:
    rating = SHEETS[sheet]
    return rating.maximum_power_voltage / rating.maximum_power_current


@cache
def _plane(station: str) -> sun_year.PlaneYear:
    """Tilt is the latitude, due south, albedo 0.2."""
    with (files("pvlib") / "data" / STATIONS[station]).open(encoding="utf-8") as text:
        year = weather_files.year_from_tmy3(text)
    return sun_year.on_plane(year, year.latitude, 180.0)


@cache
def _array(station: str, sheet: str, series: int) -> module.Diode:
    plane = _plane(station)
    light = plane.plane_of_array_irradiance
    # As in the reference, power counts where the plane has more than 1 W/m2.
    counted = np.where(light > 1.0, light, 0.0)
    one = module.at_conditions(FITTED[sheet], counted, plane.cell_temperature)
    return module.array_of(one, series, 1)


@cache
def _best_of_year(station: str, sheet: str) -> best_resistance.ResistanceSet:
    return best_resistance.best_resistance_sets(_array(station, sheet, 1))[0]


def best_multiple(station: str, sheet: str = "A") -> float:
    """Best resistance over that matched at 1000 W/m2 and 25 degC."""
    return _best_of_year(station, sheet).resistances[0] / _matched(sheet)


def best_captured(station: str, sheet: str = "A") -> float:
    (resistance,) = _best_of_year(station, sheet).resistances
    return connection.direct(_array(station, sheet, 1), resistance, HOUR).ratio


def direct_energy(series: float, resistance: float) -> float:
    return connection.direct(_array("Greensboro", "A", int(series)), resistance, HOUR).energy


def direct_captured(series: float, resistance: float) -> float:
    return connection.direct(_array("Greensboro", "A", int(series)), resistance, HOUR).ratio


def direct_by_month(series: float, resistance: float):
    year = connection.direct(_array("Greensboro", "A", int(series)), resistance, HOUR)
    return np.bincount(_plane("Greensboro").hours.month, weights=year.power)[1:] * HOUR


def tracked_by_month(series: float, resistance: float):
    """Through electronics that lose nothing."""
    perfect = connection.TrackingElectronics(1.0)
    year = connection.tracked(_array("Greensboro", "A", int(series)), perfect, resistance, HOUR)
    return np.bincount(_plane("Greensboro").hours.month, weights=year.power)[1:] * HOUR


def _half_sine_day(series: int, warming: float) -> module.Diode:
    """12 h in minutes, peak 1000 W/m2, cells at 25 degC plus `warming` [K m2/W] times the sun."""
    light = 1000.0 * np.sin(math.pi * (np.arange(720) + 0.5) / 720.0)
    one = module.at_conditions(FITTED["A"], light, 25.0 + warming * light)
    return module.array_of(one, series, 1)


def half_sine_captured(series: float, resistance: float) -> float:
    return connection.direct(_half_sine_day(int(series), 0.03), resistance, 60.0).ratio


def half_sine_ceiling(series: float, resistance: float) -> float:
    """What the short-circuit current would give [J]."""
    sides = string_layouts.sides_of_match(_half_sine_day(int(series), 0.03), resistance, 60.0)
    return sides.ceiling_energy


def cool_half_sine_captured(multiple: float) -> float:
    return connection.direct(_half_sine_day(1, 0.0), multiple * _matched("A"), 60.0).ratio


def cool_half_sine_best_multiple() -> float:
    (best,) = best_resistance.best_resistance_sets(_half_sine_day(1, 0.0))
    return best.resistances[0] / _matched("A")


def cool_half_sine_best_captured() -> float:
    (best,) = best_resistance.best_resistance_sets(_half_sine_day(1, 0.0))
    return connection.direct(_half_sine_day(1, 0.0), best.resistances[0], 60.0).ratio


@cache
def _ideal_sets() -> tuple[best_resistance.ResistanceSet, ...]:
    """Of a source of 1 V whose current is the sun, which is 1 A at the peak of a half-sine day."""
    sun = _half_sine()

    def power_of(resistances):
        return np.minimum(sun**2 * resistances[:, None], 1.0 / resistances[:, None])

    return best_resistance.best_sets(power_of, 0.5, 50.0, 4)


def _half_sine():
    return np.sin(math.pi * (np.arange(PARTS) + 0.5) / PARTS)


def ideal_captured(set_size: float) -> float:
    return _ideal_sets()[int(set_size) - 1].power_sum / float(np.sum(_half_sine()))


def ideal_matches(set_size: float):
    """Parts of the day's peak at which the resistances match, the lowest part first."""
    return np.sort(1.0 / np.array(_ideal_sets()[int(set_size) - 1].resistances))


def _rectangle(current, voltage: float) -> module.Diode:
    """A source of constant current up to a voltage, at which its diode opens within 1 %."""
    thermal = voltage / 600.0
    return module.Diode(current, math.exp(-600.0), 0.0, math.inf, thermal)


def rectangle_direct(current: float, voltage: float, resistance: float) -> float:
    return float(connection.direct(_rectangle(current, voltage), resistance, HOUR).power[0])


def rectangle_tracked(current: float, voltage: float, resistance: float) -> float:
    perfect = connection.TrackingElectronics(1.0)
    year = connection.tracked(_rectangle(current, voltage), perfect, resistance, HOUR)
    return float(year.power[0])


def rectangle_threshold(lower: float, higher: float) -> float:
    """Best threshold of the current of a square source of 1 V between two resistances."""
    sun = _half_sine()
    pair = [lower, higher]
    return float(connection.best_thresholds(_rectangle(sun, 1.0), pair, sun)[0])


def ceiling(series: float, resistance: float) -> float:
    """At 1000 W/m2 and 25 degC, where module A's sheet says 9.7 A."""
    one = module.at_conditions(FITTED["A"], 1000.0, 25.0)
    return float(string_layouts.current_ceiling(module.array_of(one, int(series), 1), resistance))


def equal_elements(number: float) -> int:
    """Distinct resistances of up to so many equal elements."""
    return len(heating_element.joined_resistances([12.0] * int(number)))
