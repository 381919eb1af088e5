"""What can hurt or kill shows where its equipment is, most deadly first, and nowhere else."""

from __future__ import annotations

import pytest

from tests.site_texts import EXAMPLES
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.asked.cautions import cautions_of

USUAL = ("pump", "supply", "tank", "hand", "heat", "match", "outage")


def shown(name: str, *settings: str) -> tuple[str, ...]:
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    return cautions_of(parse_site(text, settings=settings).site, USUAL)


@pytest.mark.parametrize(
    ("name", "setting", "key"),
    [
        ("ridge_house", 'power.generator_rating="5 kVA"', "generator fumes"),
        ("ridge_house", 'array[1].place="roof"', "roof"),
        ("ridge_house", 'storage_tank.volume="500 gal"', "stored water"),
        ("smallest", 'power.battery_energy="10 kWh"', "battery"),
    ],
)
def test_a_caution_shows_with_its_equipment(name: str, setting: str, key: str) -> None:
    assert key in shown(name, setting)


@pytest.mark.parametrize(
    ("name", "keys"),
    [
        ("high_pass", {"electric shock", "mains", "scald", "legionella", "battery", "roof"}),
        ("smallest", {"generator fumes", "battery", "roof", "scald", "pumps together"}),
        ("creek_cabin", {"scald", "legionella", "overheating", "heater water"}),
    ],
)
def test_a_caution_does_not_show_without_it(name: str, keys: set[str]) -> None:
    assert not keys & set(shown(name))


def test_what_kills_stands_before_what_harms() -> None:
    keys = shown("ridge_house")
    assert keys[0] == "electric shock"
    assert keys.index("direct current") < keys.index("scald") < keys.index("freezing")
