"""The tank of an example, studied and driven with other words in its file."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from tests.sharing import SHARED
from tests.site_texts import EXAMPLES
from wellsolar.results import Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.studies.heat import study as heated_tank
from wellsolar.studies.heat.tank import AuxiliaryHeat
from wellsolar.studies.heat.year import HeatedYear
from wellsolar.verdicts import Verdict

RIDGE = (EXAMPLES / "ridge_house.toml").read_text(encoding="utf-8")

GALLON, DAY, KWH = 3.785411784e-3, 86_400.0, 3.6e6

COLD, HOT, ROOM, TAP = ((each - 32) / 1.8 for each in (55, 150, 65, 110))

VOLUME, LOSS = 50 * GALLON, 1.5

BY_VOLUME = 988.0 * 4181.0
"""Heat capacity of a volume of water at 50 degC: density and specific heat of a water table."""

UPPER = RIDGE[RIDGE.index('[[water_heater.element]]\nposition = "upper"') :].split(
    "[water_heater.draw]"
)[0]

SECOND = """[water_heater.second_tank]
volume = "40 gal"
heat_loss = "1.2 W/K"
rated_power = "4500 W"
thermostat = "130 degF"

"""


def edited(text: str, *changes: tuple[str, str]) -> str:
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the file"
        text = text.replace(old, new)
    return text


@cache
def studied(text: str) -> Results:
    return study_site(parse_site(text), ("heat",))


def tank_of(text: str) -> Any:
    return studied(text).heated_tank


def verdict_of(text: str, rule: str) -> Verdict:
    (found,) = [each for each in studied(text).verdicts if each.rule.key == rule]
    return found


@cache
def driven(text: str) -> tuple[Any, HeatedYear, AuxiliaryHeat]:
    """The tank, what drives it and what helps it, as the study puts them together."""
    held: list[Any] = []
    real = heated_tank.household_beside
    with SHARED.anew(), pytest.MonkeyPatch.context() as patch:
        patch.setattr(
            heated_tank, "household_beside", lambda *each: (held.extend(each), real(*each))[1]
        )
        study_site(parse_site(text), ("heat",))
    work, heated, auxiliary = held[:3]
    return work, heated, auxiliary


ALONE = RIDGE.replace(UPPER, "")

TWO = edited(ALONE, ("[water_heater.draw]\n", SECOND + "[water_heater.draw]\n"))
