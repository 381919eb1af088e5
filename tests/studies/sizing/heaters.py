"""Heated tanks to be sized: households, tanks and skies unlike each other, all invented."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import pytest

from tests.site_texts import MODULE
from wellsolar.site import edit
from wellsolar.site.loading.read import parse_part
from wellsolar.studies.asked.changed_site import path_of
from wellsolar.studies.case import Case
from wellsolar.studies.sizing.draft import Draft
from wellsolar.studies.sizing.heated_tank import heater_of
from wellsolar.studies.sizing.heater import FoundHeater, HeaterSearch

HEATER_ONLY = (
    """\
[site]
people = 4
latitude = "36.1 deg"
altitude = "900 ft"
[well]
depth = "220 ft"
static_level = "85 ft"
"""
    + MODULE
    + """\
[water_heater]
volume = "50 gal"   # it is there
[sun]
monthly = "2.4, 3.2, 4.3, 5.4, 5.9, 6.3, 6.1, 5.5, 4.7, 3.8, 2.7, 2.2 kWh/m2/day"
temperature = "38, 41, 50, 58, 66, 74, 77, 76, 70, 59, 50, 41 degF"
record_low = "-2 degF"
"""
)

ROOF = """\
[[array]]
name = "roof"
feeds = "heater"
cable = { length = "120 ft" }
"""

_SOUTH = {
    "site.latitude": "-33 deg",
    "sun.monthly": "6.1, 5.5, 4.7, 3.8, 2.7, 2.2, 2.4, 3.2, 4.3, 5.4, 5.9, 6.3 kWh/m2/day",
    "sun.temperature": "77, 76, 70, 59, 50, 41, 38, 41, 50, 58, 66, 74 degF",
}
_BRIGHT = {
    "site.latitude": "20 deg",
    "sun.monthly": "5.0, 5.6, 6.3, 6.8, 7.0, 6.8, 6.6, 6.4, 6.0, 5.6, 5.1, 4.8 kWh/m2/day",
    "sun.temperature": "72, 73, 76, 79, 82, 84, 85, 85, 83, 80, 76, 73 degF",
    "sun.record_low": "40 degF",
}

HEATERS: Mapping[str, Mapping[str, str]] = {
    "four people": {},
    "one person": {"site.people": "1", "water_heater.volume": "30 gal"},
    "two, bright": {"site.people": "2", "water_heater.volume": "40 gal", **_BRIGHT},
    "six, large tank": {"site.people": "6", "water_heater.volume": "119 gal"},
    "three, south": {"site.people": "3", **_SOUTH},
    "high up": {"site.people": "2", "site.altitude": "9000 ft", **_BRIGHT},
    "poor tank": {"site.people": "2", "water_heater.heat_loss": "4 W/K", **_BRIGHT},
    "four modules": {"site.people": "2", "module.on_hand": "4", **_BRIGHT},
    "a list of draws": {
        "water_heater.draw.times": "6, 12, 19 h",
        "water_heater.draw.volumes": "10, 4, 22 gal",
        **_BRIGHT,
    },
    "a cable's run": {"site.people": "2", **_BRIGHT},
}
"""Ten heaters: what each sets in the site of four people."""


def begun(name: str, **others: str) -> Draft:
    """A heater as its file has it, with some keys of the site set by their names behind a dot."""
    text = HEATER_ONLY + (ROOF if "cable" in name else "")
    told = {**HEATERS[name], **{f"site.{key}": value for key, value in others.items()}}
    for key, value in told.items():
        text = edit.put(text, path_of(key), int(value) if value.isdigit() else value)
    part = parse_part(text, "heater.toml")
    return Draft(part, Case(part.file))


_SEARCHES: dict[str, HeaterSearch] = {}
"""The last search of each heater that was sized."""


@cache
def sized(name: str, **others: str) -> Draft:
    """The same with everything chosen."""
    real = HeaterSearch.fewest

    def fewest(search: HeaterSearch) -> FoundHeater:
        if not others:
            _SEARCHES[name] = search
        return real(search)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(HeaterSearch, "fewest", fewest)
        return heater_of(begun(name, **others))


def search_of(name: str) -> HeaterSearch:
    """The search that a heater's modules came from, with its fine runs."""
    sized(name)
    return _SEARCHES[name]
