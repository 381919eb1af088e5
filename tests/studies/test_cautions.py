"""What can hurt or kill shows where its equipment is, most deadly first, and nowhere else."""

from __future__ import annotations

import re

import pytest

from tests.site_texts import EXAMPLES
from wellsolar.reports.cautions import CAUTIONS
from wellsolar.site.loading.read import parse_site
from wellsolar.site.part_names import part_names
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


@pytest.mark.parametrize(
    ("name", "setting", "key", "there"),
    [
        ("ridge_house", 'hand_pump.delivers="spout"', "pumps together", False),
        ("ridge_house", 'hand_pump.kind="deep well"', "pumps together", True),
        ("village_borehole", 'well.depth="80 m"', "closed valve", False),
        ("village_borehole", 'well.depth="80 m"', "lifting", True),
        ("high_pass", 'well.depth="30 m"', "lifting", False),
    ],
)
def test_a_caution_of_valves_and_weights_needs_them(
    name: str, setting: str, key: str, there: bool
) -> None:
    """An open spout or tank has no shut valve; a pump that sucks hangs on nothing."""
    assert (key in shown(name, setting)) == there


def test_cautions_call_a_valve_by_its_one_name() -> None:
    others = ("a relief valve", "mixing valve", "closed valve", "that valve", "first valve",
              "cap or valve")  # fmt: skip
    known = (*part_names(), *others)
    for text in CAUTIONS.values():
        for found in re.finditer(r"\bvalves?\b|\bdrain\b(?! it| from)", text):
            before = text[: found.end()]
            assert before.endswith(known) or before.endswith("let them drain"), before[-40:]


def test_what_kills_stands_before_what_harms() -> None:
    keys = shown("ridge_house")
    assert keys[0] == "electric shock"
    assert keys.index("direct current") < keys.index("scald") < keys.index("freezing")
