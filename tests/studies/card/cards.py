"""The owner's card of sites that are invented, and the steps and boxes it holds."""

from __future__ import annotations

from collections.abc import Iterator

from tests.site_texts import EXAMPLES
from wellsolar.results.card import CardBlock, CardResult
from wellsolar.site.loading.read import parse_site
from wellsolar.site.starter import starter_text
from wellsolar.studies.case import study_site
from wellsolar.verdicts import Sentence

HOUSE = """
[site]
people = 6
print_units = "SI"
[demand]
survival_use = "15 L/day"
daily_use = "600 L/day"
[well]
depth = "60 m"
static_level = "20 m"
specific_capacity = "20 L/min/m"
water_temperature = "11 degC"
[piping]
tank_elevation = "2 m"
[piping.lateral]
material = "polyethylene SIDR"
size = "1 1/4 in"
length = "20 m"
[pressure_switch]
cut_in = "200 kPa"
cut_out = "300 kPa"
[pressure_tank]
volume = "300 L"
precharge = "186 kPa"
[[pump]]
name = "house pump"
role = "existing"
intake_depth = "45 m"
flow = "0, 10, 20, 30 L/min"
head = "110, 100, 80, 50 m"
power = "500, 600, 700, 750 W"
voltage = "230 V"
rated_power = "0.55 kW"
locked_rotor_current = "20 A"
"""

HAND = """
[hand_pump]
bore = "50 mm"
stroke = "150 mm"
lever_ratio = "6"
cylinder_depth = "30 m"
"""

HEATER = """
[water_heater]
volume = "200 L"
heat_loss = "1.5 W/K"
[[water_heater.element]]
position = "lower"
rated_power = "4500 W"
rated_voltage = "240 V"
fed_by = "grid"
"""


def example(name: str) -> str:
    return (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")


def card(text: str) -> CardResult:
    found = study_site(parse_site(text), ("card",)).card
    assert found is not None
    return found


def texts(sentences: tuple[Sentence, ...]) -> list[str]:
    return [each.text("SI") for each in sentences]


def failure(found: CardResult, key: str) -> CardBlock:
    return next(each for each in found.failures if key in each.key.split("+"))


def box(found: CardResult, key: str) -> CardBlock:
    return next(each for each in found.boxes if each.key == key)


def steps(block: CardBlock) -> list[str]:
    return texts(block.steps)


def place(lines: list[str], *words: str) -> int:
    """The first line that holds all the words."""
    return next(i for i, line in enumerate(lines) if all(word in line for word in words))


def sentences(found: CardResult) -> Iterator[Sentence]:
    for block in (*found.failures, *found.boxes):
        yield from (block.title, *block.signs, *block.steps, *block.notes)
    yield from (*found.never, *found.blanks, *found.closing)


def everything(found: CardResult) -> str:
    return "\n".join(each.text("SI") for each in sentences(found)).lower()


def of_site(name: str) -> str:
    return starter_text() if name == "starter" else example(name)


SITES = ["ridge_house", "creek_cabin", "village_borehole", "high_pass", "south_slope", "smallest",
         "starter"]  # fmt: skip
