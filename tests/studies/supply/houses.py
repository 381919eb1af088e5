"""Houses whose supply is studied over a year: at two measured stations, and in a year made here.

The measured years are the open TMY3 files that pvlib ships.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib.resources import files
from pathlib import Path

from tests.site_texts import NO_LOSSES
from wellsolar.results import Results
from wellsolar.results.supply import RankedPump
from wellsolar.site.loading.read import load_site
from wellsolar.studies.case import USUAL, Options, study_site

KWH = 3.6e6

STATIONS = {
    "Greensboro": ("723170TYA.CSV", 36.1, "273 m"),
    "Sand Point": ("703165TY.csv", 55.317, "7 m"),
}

TANK = """
[water_heater]
volume = "50 gal"
[water_heater.draw]
volume = "50 gal"
[[water_heater.element]]
position = "lower"
rated_power = "4500 W"
rated_voltage = "240 V"
fed_by = "hot water"
"""

HOUSE = """
[site]
latitude = "{latitude} deg"
altitude = "{altitude}"
people = 4
[demand]
daily_use = "240 gal/day"
[well]
depth = "220 ft"
static_level = "85 ft"
specific_capacity = "0.5 gpm/ft"
tested_yield = "12 gpm"
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
[module]
voc = "39.9 V"
isc = "9.7 A"
vmp = "32.6 V"
imp = "9.2 A"
cells = 60
voc_coefficient = "-0.30 %/K"
isc_coefficient = "0.05 %/K"
on_hand = 10
[[array]]
name = "hot water"
feeds = "heater"
series = 4
[[array]]
name = "battery"
feeds = "battery"
series = 4
[power]
battery_energy = "5 kWh"
inverter_idle = "30 W"
{losses}[sun]
file = "{file}"
"""


def house(folder: Path, station: str, *more: str) -> Path:
    """A site file beside a copy of a station's weather file."""
    name, latitude, altitude = STATIONS[station]
    (folder / name).write_bytes((files("pvlib") / "data" / name).read_bytes())
    path = folder / "site.toml"
    text = HOUSE.format(latitude=latitude, altitude=altitude, file=name, losses=NO_LOSSES)
    path.write_text(text + "\n".join(more), encoding="utf-8")
    return path


def studied(path: Path, *more: str, **options: object) -> Results:
    return study_site(load_site(path), (*USUAL, *more), options=Options(**options))  # type: ignore[arg-type]


def changed(path: Path, *changes: tuple[str, str]) -> Path:
    text = path.read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1, (old, text.count(old))
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    return path


def own(results: Results) -> RankedPump:
    (row,) = results.ranking.site_rows
    return row


SIMPLE = (
    """
[site]
latitude = "0 deg"
[demand]
daily_use = "600 gal/day"
[well]
depth = "200 ft"
static_level = "50 ft"
specific_capacity = "50 gpm/ft"
tested_yield = "60 gpm"
[[pump]]
name = "steady"
intake_depth = "150 ft"
flow = "9.995, 10.005 gpm"
head = "400, 1 ft"
power = "500, 500.001 W"
supply = "DC"
[module]
voc = "39.9 V"
isc = "9.7 A"
vmp = "32.6 V"
imp = "9.2 A"
cells = 60
[[array]]
name = "roof"
feeds = "battery"
series = 10
tilt = "0 deg"
[power]
battery_energy = "2.25 kWh"
battery_usable = "100 %"
battery_efficiency = "100 %"
[sun]
file = "made.csv"
"""
    + NO_LOSSES
)


def made_year(
    folder: Path, dark: Callable[[int], bool], head: str = "ghi,dni,dhi,temperature,wind"
) -> None:
    """Sun of 1000 W/m2 from 11 to 13 h on all days but the dark ones, at -15 degC without wind:
    Faiman's cells are then 1000 / 25 K warmer, at 25 degC."""
    rows = [head]
    for day in range(365):
        for hour in range(24):
            sun = 1000 if hour in (11, 12) and not dark(day) else 0
            rows.append(f"{sun},0,{sun},-15,0")
    (folder / "made.csv").write_text("\n".join(rows), encoding="utf-8")


def simple(folder: Path, *changes: tuple[str, str]) -> Path:
    path = folder / "site.toml"
    path.write_text(SIMPLE, encoding="utf-8")
    return changed(path, *changes)
