"""Sites whose studies the tests compose again: shipped ones, and those with what they lack.

Of the program a composition takes the site model, the year of hours, the tables of wires and
fittings, and the five parameters of a module; what is done with them stands in the tests.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
from pvlib import iam, irradiance, pvsystem, temperature

from tests.properties.whole.named import FEW, tables_of
from tests.properties.whole.strategy import Tables, sample
from wellsolar import Case, Options, site_from
from wellsolar.physics.array.module import FiveParameters
from wellsolar.physics.sun.year import HourlyYear
from wellsolar.site.schema import ArrayTable, Site
from wellsolar.studies.sun.module_sheet import parameters_of

DAY, HOUR, PSI, KWH = 86_400.0, 3600.0, 6894.757293168, 3.6e6

SHADE = "0.8, 0.85, 0.9, 0.95, 1, 1, 1, 1, 0.95, 0.9, 0.85, 0.8"


def _shaded(tables: Tables) -> None:
    """Shade of the months, dirt, losses that are no defaults, and other loads."""
    tables["sun"] |= {"shading": SHADE, "albedo": 0.35}
    tables["losses"] = {"dirt": "8 %", "incidence": 0.2, "wiring": "4 %", "controller": "3 %"}
    tables["power"] |= {
        "other_use": "1.2 kWh", "inverter_idle": "18 W", "inverter_efficiency": "88 %",
        "battery_efficiency": "85 %", "battery_usable": "70 %", "battery_energy": "3 kWh",
    }  # fmt: skip
    tables["array"][0] |= {"azimuth": "215 deg", "tilt": "55 deg", "parallel": 2}
    tables["array"][0].pop("cable", None)
    tables["array"][1] |= {"azimuth": "140 deg", "series": 2, "parallel": 1}


def _straight(tables: Tables) -> None:
    """A pump straight off the modules, with a cistern and a cable; a second heating array."""
    tables["array"][1] |= {
        "feeds": "pump", "cable": {"gauge": "8 AWG", "length": "150 ft"}, "series": 6,
        "parallel": 1,
    }  # fmt: skip
    tables["storage_tank"] = {"volume": "500 gal"}
    tables["pump"][0]["role"] = "backup"


def _series(tables: Tables) -> None:
    """Elements in series, warm wire, rows side by side, no valve, relief and plates of its own."""
    heater = tables["water_heater"]
    heater["element"][0] |= {
        "count": 2, "wired": "series", "rated_power": "1500 W", "rated_voltage": "120 V",
        "temperature_coefficient": "1.7e-4 1/K",
    }  # fmt: skip
    heater |= {"check_valve": False, "relief_pressure": "100 psi", "high_limit": "175 degF"}
    heater.pop("mixing_valve")
    tables["array"][0] |= {"series": 3, "parallel": 3}
    tables["pressure_tank"]["count"] = 2
    tables["sun"].pop("record_low")


def _tracking(tables: Tables) -> None:
    """Electronics that hold the array at its best, before an upper element on the grid."""
    heater = tables["water_heater"]
    heater["element"][0] |= {
        "coupling": "tracking", "tracker_efficiency": "93 %", "tracker_minimum": "40 W",
        "tracker_converter": "both",
    }  # fmt: skip
    heater["element"].append(
        {"position": "upper", "rated_power": "3000 W", "rated_voltage": "240 V",
         "fed_by": "grid", "thermostat": "125 degF"}
    )  # fmt: skip
    heater["second_tank"] = {
        "volume": "20 gal", "heat_loss": "1.1 W/K", "rated_power": "2000 W",
        "thermostat": "125 degF", "high_limit": "165 degF",
    }  # fmt: skip


def _switched(tables: Tables) -> None:
    """Relays that join three elements, a tank known by its jacket, a southern place."""
    heater = tables["water_heater"]
    heater["element"][0] |= {
        "count": 3, "wired": "parallel", "rated_power": "1500 W", "rated_voltage": "240 V",
        "coupling": "switched",
    }  # fmt: skip
    heater.pop("heat_loss")
    heater["insulation"] = "16 ft2*degF*h/Btu"
    tables["site"]["latitude"] = "-33 deg"
    tables["sun"]["monthly"] = (
        "7.9, 7.1, 6.5, 5.0, 3.8, 3.2, 3.3, 4.2, 5.5, 6.8, 7.6, 8 kWh/m2/day"
    )
    tables["sun"].pop("temperature")
    for group in tables["array"]:
        group.pop("azimuth")
        group.pop("tilt")


def _dim(tables: Tables) -> None:
    """Too few modules on a leaking tank, which stalls, and a household that wants more of it."""
    tables["array"][0] |= {"series": 2, "cable": {"gauge": "12 AWG", "length": "90 ft"}}
    tables["water_heater"] |= {"heat_loss": "3 W/K", "relief_temperature": "200 degF"}
    tables["water_heater"]["draw"] = {"volume": "30 gal", "temperature": "105 degF",
                                      "pattern": "low"}  # fmt: skip


CHANGED = {
    "shaded": ("ridge_house", _shaded),
    "straight": ("south_slope", _straight),
    "series": ("south_slope", _series),
    "tracking": ("south_slope", _tracking),
    "switched": ("south_slope", _switched),
    "dim": ("south_slope", _dim),
}
SUNNY = ("ridge_house", "south_slope", "creek_cabin", "village_borehole", *CHANGED)
"""Sites with modules."""

HEATED = ("ridge_house", "south_slope", *CHANGED)
"""Those whose tank modules heat."""


@cache
def case_of(name: str) -> Case:
    """A site's studies, made as they are asked for."""
    number = name.removeprefix("random ")
    if number.isdecimal():
        return Case(site_from(sample(FEW)[int(number)]), Options(cases=16))
    base, change = CHANGED.get(name, (name, None))
    tables: Any = tables_of(base)
    if change is not None:
        change(tables)
    return Case(site_from(tables), Options(cases=16))


def month_sums(values: np.ndarray, year: HourlyYear) -> np.ndarray:
    """Sums of the months of values by the hour."""
    months = year.hours.month
    return np.array([values[months == month].sum() for month in range(1, 13)])


def plane_light(
    site: Site, year: HourlyYear, group: ArrayTable, tilt: float, azimuth: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Light on a plane, what the cells make of it [W/m2] and their warmth [degC], by pvlib."""
    hours, sun, losses = year.hours, site.sun, site.losses
    diffuse = irradiance.haydavies(
        tilt, azimuth, year.diffuse_horizontal, year.direct_normal, hours.extraterrestrial_normal,
        hours.zenith, hours.sun_azimuth, return_components=True,
    )  # fmt: skip
    angle = irradiance.aoi(tilt, azimuth, hours.zenith, hours.sun_azimuth)
    beam = np.maximum(np.cos(np.radians(angle)), 0.0) * year.direct_normal
    beam, sky = beam + np.array(diffuse["poa_circumsolar"]), np.array(diffuse["poa_isotropic"])
    ground = year.global_horizontal * float(sun.albedo) * (1 - np.cos(np.radians(tilt))) / 2
    loss = float(losses.incidence)
    even = iam.martin_ruiz_diffuse(max(tilt, 0.01), loss)
    of_sky, of_ground = even if isinstance(even, tuple) else (even["sky"], even["ground"])
    light = beam + sky + ground
    cells = beam * iam.martin_ruiz(angle, loss) + sky * of_sky + ground * of_ground
    if sun.shading is not None:
        kept = np.array([*map(float, sun.shading)])[hours.month - 1]
        light, cells = light * kept, cells * kept
    for lost in (losses.dirt, losses.first_light, losses.nameplate, losses.ageing,
                 losses.mismatch):  # fmt: skip
        cells = cells * (1.0 - float(lost))
    warm = temperature.faiman(light, year.air_temperature, year.wind_speed, 25.0, 6.84)
    return light, cells, np.array(warm)


def diode(
    of: FiveParameters, light: Any, cells: Any, series: int = 1, parallel: int = 1
) -> tuple[Any, ...]:
    """The five of an array at its present sun and warmth, by pvlib: photocurrent, dark current,
    resistances in series and across, thermal voltage."""
    current, dark, inner, shunt, thermal = pvsystem.calcparams_desoto(
        light, cells, of.current_coefficient, of.modified_ideality_voltage, of.photocurrent,
        of.saturation_current, of.shunt_resistance, of.series_resistance,
    )  # fmt: skip
    ratio = series / parallel
    return current * parallel, dark * parallel, inner * ratio, shunt * ratio, thermal * series


def parameters(site: Site) -> FiveParameters:
    """Of the site's module."""
    assert site.module is not None
    return parameters_of(site.module)
