"""Published checks of the sun and of modules on a resistance: sheets by name, and short chains."""

from __future__ import annotations

import math

import numpy as np
from scipy.constants import Boltzmann, elementary_charge

from wellsolar.physics.array import module, module_fit, resistive
from wellsolar.physics.sun import clearness, position, tilted_plane
from wellsolar.physics.sun import (
    days as sun_days,
)
from wellsolar.physics.sun import (
    rule_of_thumb as hand_rule,
)
from wellsolar.physics.sun import (
    year as sun_year,
)

SHEETS = {
    "A": module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, -0.0030 * 39.9, 0.00485),
    "B": module.ModuleRating(49.3, 10.30, 41.0, 9.76, 72, -0.0028 * 49.3, 0.00515),
    "M1": module.ModuleRating(38.3, 9.43, 31.0, 8.71, 60, -0.13788, 0.005658),
}
FITTED = {name: module_fit.fit_five_parameters(sheet) for name, sheet in SHEETS.items()}


def fitted(sheet: str) -> module.FiveParameters:
    return FITTED[sheet]


def array(sheet: str, irradiance, cell_temperature, series: float = 1) -> module.Diode:
    one = module.at_conditions(FITTED[sheet], irradiance, cell_temperature)
    return module.array_of(one, int(series), 1)


def peak(sheet: str, irradiance: float, cell_temperature: float, series: float = 1):
    return resistive.maximum_power_point(array(sheet, irradiance, cell_temperature, series))


def open_circuit(sheet: str, irradiance: float, cell_temperature: float) -> float:
    return resistive.open_circuit_voltage(array(sheet, irradiance, cell_temperature))


def short_circuit(sheet: str, irradiance: float, cell_temperature: float) -> float:
    return resistive.short_circuit_current(array(sheet, irradiance, cell_temperature))


def matched(sheet: str, irradiance: float, cell_temperature: float, series: float) -> float:
    return resistive.matched_resistance(array(sheet, irradiance, cell_temperature, series))


def on_element(
    sheet: str,
    irradiance: float,
    cell_temperature: float,
    series: float,
    resistance: float,
    cable_resistance: float = 0.0,
):
    diode = array(sheet, irradiance, cell_temperature, series)
    return resistive.on_resistance(diode, resistance, cable_resistance)


def captured(
    sheet: str, irradiance: float, cell_temperature: float, series: float, resistance: float
) -> float:
    diode = array(sheet, irradiance, cell_temperature, series)
    power = resistive.on_resistance(diode, resistance).power
    return power / resistive.maximum_power_point(diode).power


def matching_irradiance(sheet: str, series: float, resistance: float) -> float:
    """Where the matched resistance of an array, cells at 25 degC + 0.03 G, is the element's."""
    low, high = 100.0, 1500.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        above = matched(sheet, middle, 25.0 + 0.03 * middle, series) > resistance
        low, high = (middle, high) if above else (low, middle)
    return low


def _half_sine_array(sheet: str, series: float) -> module.Diode:
    time = (np.arange(720) + 0.5) / 720.0
    irradiance = 1000.0 * np.sin(math.pi * time)
    return array(sheet, irradiance, 25.0 + 0.03 * irradiance, series)


def half_sine_energy(sheet: str, series: float, resistance: float) -> float:
    power = resistive.on_resistance(_half_sine_array(sheet, series), resistance).power
    return float(np.sum(power) * 60.0)


def half_sine_tracked(sheet: str, series: float) -> float:
    power = resistive.maximum_power_point(_half_sine_array(sheet, series)).power
    return float(np.sum(power) * 60.0)


def square_source_capture(**matches: float) -> float:
    """Energy that an all but square source gives to the best of several resistances on a
    half-sine day, over the square's own power. The resistance of each is matched at a part of the
    day's peak."""
    voltage, thermal = 600.0, 1.0
    light = np.sin(math.pi * (np.arange(4000) + 0.5) / 4000.0)
    source = module.Diode(light, math.exp(-voltage / thermal), 0.0, math.inf, thermal)
    powers = [resistive.on_resistance(source, voltage / part).power for part in matches.values()]
    return float(np.sum(np.max(powers, axis=0)) / np.sum(light * voltage))


def curve(
    photocurrent: float,
    saturation_current: float,
    series_resistance: float,
    shunt_resistance: float,
    ideality: float,
    cells: float,
) -> _Points:
    """A curve of the high-precision set at 25 degC; the source takes CODATA k and q."""
    thermal = ideality * cells * Boltzmann * 298.15 / elementary_charge
    diode = module.Diode(
        photocurrent, saturation_current, series_resistance, shunt_resistance, thermal
    )
    return _Points(diode)


class _Points:
    def __init__(self, diode: module.Diode) -> None:
        self.diode = diode
        self.open_circuit = resistive.open_circuit_voltage(diode)
        self.short_circuit = resistive.short_circuit_current(diode)
        self.peak = resistive.maximum_power_point(diode)


def declination_in_radians(day: float) -> float:
    return math.radians(position.declination_cooper(day))


def sunset_in_radians(latitude: float, day: float) -> float:
    return math.radians(position.sunset_hour_angle(latitude, position.declination_cooper(day)))


def zenith(latitude: float, declination: float, hour_angle: float) -> float:
    return float(position.sun_position(latitude, declination, hour_angle)[0])


def azimuth_from_south(latitude: float, declination: float, hour_angle: float) -> float:
    return float(position.sun_position(latitude, declination, hour_angle)[1]) - 180.0


def incidence(
    latitude: float, declination: float, hour_angle: float, tilt: float, azimuth: float
) -> float:
    """Angle between beam and plane's normal, from what a beam of 1 leaves on the plane."""
    height, direction = position.sun_position(latitude, declination, hour_angle)
    # Without sky and ground only the beam is left: it is so against an infinitely bright space.
    plane = tilted_plane.light_on_plane(tilt, azimuth, height, direction, 0.0, 1.0, 1e12, 0.0)
    return math.degrees(math.acos(float(plane.total)))


def hourly_hay_davies(
    latitude: float,
    day: float,
    hour_angle: float,
    tilt: float,
    beam: float,
    diffuse: float,
    outside: float,
    albedo: float,
) -> float:
    """Hourly energy on a plane due south from horizontal beam, diffuse and extraterrestrial."""
    height, direction = position.sun_position(
        latitude, position.declination_cooper(day), hour_angle
    )
    cosine = math.cos(math.radians(float(height)))
    plane = tilted_plane.light_on_plane(
        tilt, 180.0, height, direction, diffuse, beam / cosine, outside / cosine, albedo
    )
    return float(plane.total)


def through_glass(incidence: float, angular_loss: float) -> float:
    """Part of a beam that the cells get, over that of a beam from straight above."""
    one, none = np.array(1.0), np.array(0.0)
    light = tilted_plane.PlaneLight(one, none, none, np.array(math.degrees(incidence)))
    return float(tilted_plane.light_to_cells(light, 30.0, angular_loss))


def hourly_diffuse(total: float, zenith: float, day: float) -> float:
    outside = position.extraterrestrial_normal(day) * math.cos(math.radians(zenith))
    return total * clearness.hourly_diffuse_fraction(total / outside)


def hourly_radiation(daily_total: float, latitude: float, day: float, hour_angle: float) -> float:
    sunset = position.sunset_hour_angle(latitude, position.declination_cooper(day))
    return daily_total * clearness.hourly_share(hour_angle, sunset)


def _clear(latitude: float, altitude: float, day: float) -> sun_year.HourlyYear:
    return sun_days.cloudless_days(
        latitude, altitude, np.array([day]), np.array([15.0]), 60.0, linke_turbidity=3.0
    )


def _clear_on_plane(latitude: float, altitude: float, tilt: float, day: float) -> np.ndarray:
    clear = _clear(latitude, altitude, day)
    return sun_year.on_plane(clear, tilt, 180.0).plane_of_array_irradiance


def clear_horizontal_total(latitude: float, altitude: float, tilt: float, day: float) -> float:
    return float(np.sum(_clear(latitude, altitude, day).global_horizontal)) * 60.0


def clear_plane_total(latitude: float, altitude: float, tilt: float, day: float) -> float:
    return float(np.sum(_clear_on_plane(latitude, altitude, tilt, day))) * 60.0


def clear_peak_sun_hours(latitude: float, altitude: float, tilt: float, day: float) -> float:
    return float(hand_rule.peak_sun_hours(clear_plane_total(latitude, altitude, tilt, day)))


def clear_horizontal_at(latitude: float, altitude: float, day: float, solar_time: float) -> float:
    clear = _clear(latitude, altitude, day)
    time = clear.hours.hour_of_day * 3600.0
    return float(np.interp(solar_time, time, clear.global_horizontal))


def clear_plane_greatest(latitude: float, altitude: float, tilt: float, day: float) -> float:
    return float(_clear_on_plane(latitude, altitude, tilt, day).max())


def clear_horizontal_by_zenith(
    latitude: float, altitude: float, day: float, zenith: float
) -> float:
    """Of the morning, when the sun rises through that zenith angle."""
    clear = _clear(latitude, altitude, day)
    morning = clear.hours.hour_of_day < 12.0
    hour_angle = 15.0 * (clear.hours.hour_of_day[morning] - 12.0)
    heights = -position.sun_position(latitude, position.declination_cooper(day), hour_angle)[0]
    return float(np.interp(-zenith, heights, clear.global_horizontal[morning]))


def rated_power(sheet: str) -> float:
    return module.rated_power(SHEETS[sheet])


def curve_current(
    photocurrent: float,
    saturation_current: float,
    series_resistance: float,
    shunt_resistance: float,
    ideality: float,
    cells: float,
    voltage: float,
) -> float:
    """Current of a curve of the high-precision set at a voltage."""
    points = curve(
        photocurrent, saturation_current, series_resistance, shunt_resistance, ideality, cells
    )
    return float(resistive.current_at_voltage(points.diode, voltage))


def strings_on_element(
    sheet: str,
    irradiance: float,
    cell_temperature: float,
    modules_in_series: float,
    strings: float,
    resistance: float,
) -> float:
    """Power of several strings on one element."""
    one = module.at_conditions(FITTED[sheet], irradiance, cell_temperature)
    diode = module.array_of(one, int(modules_in_series), int(strings))
    return float(resistive.on_resistance(diode, resistance).power)


def fill_factor(sheet: str) -> float:
    return module.fill_factor(SHEETS[sheet])
