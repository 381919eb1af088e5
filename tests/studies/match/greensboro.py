"""An array and its element in the measured year of Greensboro, and the same by pvlib's chain.

The year is the open TMY3 file that pvlib ships.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pandas as pd
import pvlib

from tests.site_texts import NO_LOSSES
from wellsolar.results import Results
from wellsolar.site.loading.read import load_site
from wellsolar.studies.case import study_site
from wellsolar.verdicts import Verdict

HOUR = 3600.0

STATION = "723170*.CSV"

OHMS = 240.0**2 / 4500.0

FIVE_PARAMETERS = {
    "a_ref": 1.51271,
    "I_L_ref": 9.70318,
    "I_o_ref": 3.38652e-11,
    "R_s": 0.294285,
    "R_sh_ref": 898.505,
}
"""Of the site's module, computed beforehand from its sheet by De Soto's equations; a test below
holds them to the sheet."""

ELEMENT = """
[[water_heater.element]]
position = "lower"
rated_power = "4500 W"
rated_voltage = "240 V"
fed_by = "{fed_by}"
thermostat = "150 degF"
{more}
"""

SITE = """
[site]
latitude = "36.1 deg"
altitude = "273 m"
people = 4
[demand]
daily_use = "240 gal/day"
[well]
depth = "220 ft"
static_level = "85 ft"
specific_capacity = "0.5 gpm/ft"
tested_yield = "12 gpm"
[module]
voc = "39.9 V"
isc = "9.7 A"
vmp = "32.6 V"
imp = "9.2 A"
cells = 60
voc_coefficient = "-0.30 %/K"
isc_coefficient = "0.05 %/K"
[[array]]
name = "hot water"
feeds = "heater"
series = 4
tilt = "36.1 deg"
azimuth = "180 deg"
[sun]
file = "{file}"
albedo = "20 %"
[water_heater]
volume = "50 gal"
[water_heater.draw]
volume = "50 gal"
"""

BATTERY = """
[pressure_switch]
cut_in = "40 psi"
cut_out = "60 psi"
[pressure_tank]
volume = "44 gal"
precharge = "38 psi"
[[pump]]
name = "frugal"
role = "backup"
intake_depth = "170 ft"
flow = "0, 1, 2, 3, 4, 5 gpm"
head = "480, 440, 385, 310, 210, 90 ft"
power = "330, 385, 430, 460, 475, 480 W"
[[array]]
name = "battery"
feeds = "battery"
series = 8
tilt = "36.1 deg"
azimuth = "180 deg"
[power]
battery_energy = "5 kWh"
inverter_rating = "6 kW"
inverter_voltage = "240 V"
"""

NO_ARRAY = """[[array]]
name = "hot water"
feeds = "heater"
series = 4
tilt = "36.1 deg"
azimuth = "180 deg"
"""


def station() -> Path:
    folder = Path(str(files("pvlib") / "data"))
    (found,) = folder.glob(STATION)
    return found


def written(folder: Path, *more: str, base: str = SITE) -> Path:
    """A site file beside a copy of the weather file."""
    source = station()
    (folder / source.name).write_bytes(source.read_bytes())
    path = folder / "site.toml"
    path.write_text(
        "\n".join([base.replace("{file}", source.name), *more, NO_LOSSES]), encoding="utf-8"
    )
    return path


def element(more: str = "", fed_by: str = "hot water") -> str:
    return ELEMENT.format(more=more, fed_by=fed_by)


def matched(path: Path) -> Results:
    return study_site(load_site(path), ("match",))


def verdict(results: Results, key: str) -> Verdict:
    (found,) = [each for each in results.verdicts if each.rule.key == key]
    return found


class Measured(NamedTuple):
    """The year by pvlib; arrays of hours.

    light: on the plane [W/m2]; month; module: photocurrent, saturation current, series and shunt
    resistance, thermal voltage of one
    """

    light: np.ndarray
    month: np.ndarray
    module: tuple[np.ndarray, float, float, np.ndarray, np.ndarray]


@cache
def by_pvlib() -> Measured:
    with station().open(encoding="utf-8") as text:
        data, place = pvlib.iotools.read_tmy3(text, coerce_year=1990)
    middle = data.index - pd.Timedelta(minutes=30)
    site = pvlib.location.Location(place["latitude"], place["longitude"], "UTC", place["altitude"])
    position = site.get_solarposition(middle).set_index(data.index)
    outside = pvlib.irradiance.get_extra_radiation(middle).set_axis(data.index)
    plane = pvlib.irradiance.get_total_irradiance(
        36.1, 180.0, position["apparent_zenith"], position["azimuth"],
        data["dni"], data["ghi"], data["dhi"], dni_extra=outside, model="haydavies", albedo=0.2,
    )["poa_global"]  # fmt: skip
    cells = pvlib.temperature.faiman(plane, data["temp_air"], data["wind_speed"])
    lit = np.asarray(plane) > 1.0
    module = pvlib.pvsystem.calcparams_desoto(
        np.asarray(plane)[lit], np.asarray(cells)[lit], 0.0005 * 9.7, **FIVE_PARAMETERS
    )
    return Measured(np.asarray(plane)[lit], np.asarray(middle.month)[lit], module)


def on_ohms(ohms: float, series: int = 4, cable: float = 0.0) -> np.ndarray:
    """Power on a resistance in each sunny hour [W]."""
    light, saturation, inner, shunt, thermal = by_pvlib().module
    loaded = inner * series + cable + ohms
    current = pvlib.pvsystem.i_from_v(
        0.0, light, saturation, loaded, shunt * series, thermal * series
    )
    return np.asarray(current) ** 2 * ohms


def at_best(series: int = 4) -> np.ndarray:
    """Maximum power in each sunny hour [W]."""
    points = pvlib.pvsystem.max_power_point(*by_pvlib().module, method="newton")
    return np.asarray(points["p_mp"]) * series
