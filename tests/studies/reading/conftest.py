"""An invented site as text, with a word of it changed, for the tests of readings."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from wellsolar.results.readings import ReadingResult
from wellsolar.site.loading.read import SiteFile, load_site
from wellsolar.site.readings.file import readings_of_options
from wellsolar.studies.case import Case
from wellsolar.studies.reading.study import study_readings

MODULE = """voc = "39.9 V"
isc = "9.7 A"
vmp = "32.6 V"
imp = "9.2 A"
cells = 60
voc_coefficient = "-0.30 %/K"
isc_coefficient = "0.05 %/K"
"""

NORTH = "2.4, 3.2, 4.3, 5.4, 5.9, 6.3, 6.1, 5.5, 4.7, 3.8, 2.7, 2.2 kWh/m2/day"

PUMP = """[[pump]]
name = "house pump"
intake_depth = "190 ft"
flow = "0, 4, 7, 10, 13 gpm"
head = "385, 365, 330, 270, 180 ft"
power = "780, 960, 1080, 1150, 1180 W"
voltage = "230 V"
power_factor = "80 %"
"""

USUAL = {
    "latitude": "36 deg",
    "altitude": "0 ft",
    "static": "85 ft",
    "well": 'specific_capacity = "0.5 gpm/ft"\ncasing_bore = "6.065 in"',
    "switch": 'cut_in = "40 psi"\ncut_out = "60 psi"',
    "tank": 'volume = "86 gal"\nprecharge = "38 psi"',
    "pumps": PUMP,
    "module": MODULE,
    "array": "series = 4",
    "element": 'rated_power = "4500 W"\nrated_voltage = "240 V"\nfed_by = "hot water"\n'
    'thermostat = "150 degF"',
    "elements": "",
    "valve": '[water_heater.mixing_valve]\noutlet = "120 degF"',
    "draw": 'volume = "55 gal"\ntemperature = "110 degF"\npattern = "medium"',
    "sun": f'monthly = "{NORTH}"',
    "more": "",
}

TEXT = """[site]
name = "Readings (invented)"
note = "Invented site: no real house, well, pump or module."
latitude = "{latitude}"
altitude = "{altitude}"
people = 3

[well]
depth = "220 ft"
static_level = "{static}"
water_temperature = "55 degF"
{well}

[piping]
pitless_depth = "3 ft"
tank_elevation = "8 ft"
drop_pipe = {{ material = "polyethylene SIDR", size = "1 1/4 in" }}
lateral = {{ material = "polyethylene SIDR", size = "1 1/4 in", length = "120 ft" }}

[pressure_switch]
{switch}

[pressure_tank]
{tank}

{pumps}
[module]
{module}
[[array]]
name = "hot water"
feeds = "heater"
{array}

[water_heater]
volume = "50 gal"
heat_loss = "1.5 W/K"
{valve}

[[water_heater.element]]
position = "lower"
{element}
{elements}

[water_heater.draw]
{draw}

[sun]
{sun}

{more}
"""


@pytest.fixture
def make_site(tmp_path: Path) -> Callable[..., SiteFile]:
    """A site file with parts of `USUAL` in other words."""

    def make(**changed: str) -> SiteFile:
        path = tmp_path / "site.toml"
        path.write_text(TEXT.format(**{**USUAL, **changed}), encoding="utf-8")
        return load_site(path)

    return make


@pytest.fixture
def read_at() -> Callable[..., list[ReadingResult]]:
    """What readings at a site say."""

    def read(site: SiteFile, **written: str) -> list[ReadingResult]:
        found = study_readings(Case(site), [readings_of_options(written)]).readings
        return list(found.readings)

    return read
