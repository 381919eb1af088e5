"""Stored water and germs, against published times and the cooling of a warm body."""

from __future__ import annotations

import math
import re
from types import SimpleNamespace
from typing import Any

import pytest

from tests.site_texts import edited
from tests.studies import printed
from tests.studies.safety.sites import RIGHT, mended, safety, studied, verdict, wrong
from wellsolar import kinds
from wellsolar.studies.safety import legionella
from wellsolar.units import Quantity
from wellsolar.verdicts import changes_of


def test_storage_by_published_practice() -> None:
    # WHO 2007: 60 degC at the heater's outlet; Approved Code of Practice L8, technical guidance,
    # as quoted: the whole tank at 60 degC for an hour.
    text = edited(RIGHT, ('"150 degF"', '"60 degC"'))
    found = safety(text)
    assert found.heat_through == pytest.approx(60.0)
    assert found.heat_through_time == 3600.0
    assert verdict(text, "storage temperature").status == "pass"
    told = verdict(RIGHT, "storage temperature").reason.text("US")
    assert "hold all of it at 140 °F or more for an hour" in told
    assert "run every tap" in told
    assert " s " not in told
    cooler = edited(RIGHT, ('"150 degF"', '"58 degC"'))
    assert wrong(studied(cooler)) == {
        "storage temperature": "caution", "mixing-valve supply": "caution",
    }  # fmt: skip
    mended(cooler, verdict(cooler, "storage temperature"))


def test_a_week_without_sun_by_the_exponential() -> None:
    # 80 gal of 8.2 lb and 1 Btu/(lb degF), 1.5 W/K, a room of 65 degF, from 150 degF.
    capacity = 80 * 8.17 * 0.45359 * 4186.8
    cool = 65 + 85 * math.exp(-1.5 * 7 * 86_400 / capacity)
    text = verdict(RIGHT, "storage temperature").reason.text("US")
    match = re.search(r"stands at (\d+) °F", text)
    assert float(match.group(1)) == pytest.approx(cool, abs=1.0)


def degf(value: float) -> Quantity:
    return Quantity((value - 32) / 1.8, kinds.TEMPERATURE)


SITE: Any = SimpleNamespace(limits=SimpleNamespace(storage_temperature=degf(140)))
HOTTER = [f'water_heater.element[{number}].thermostat="140 degF"' for number in (1, 2)]
BEHIND = 'water_heater.second_tank.thermostat="140 degF"'


@pytest.mark.parametrize("valve", [True, False])
@pytest.mark.parametrize(
    ("setpoint", "hot", "grid", "second", "status", "mend", "words"),
    [
        # 140 degF (WHO 2007, 60 degC), and half of 365 evenings by our choice; what no household
        # draws from is not so judged.
        (140, None, None, None, "pass", [], None),
        (139, None, None, None, "caution", HOTTER[:1], "set the thermostat to"),
        (140, 183, None, None, "pass", [], None),
        (140, 182, None, None, "caution", [], "an upper element on the grid"),
        (140, 182, 140, None, "pass", [], None),
        (140, 182, 139, None, "caution", HOTTER[1:], "set {which} to"),
        (139, 365, 140, None, "caution", HOTTER, "set {which} to"),
        (139, 365, None, None, "caution", [], "an upper element on the grid"),
        (140, 182, None, 140, "pass", [], None),
        (140, 182, None, 139, "caution", [BEHIND], "set {which} to"),
        (140, 182, 139, 140, "pass", [], None),
    ],
)
def test_how_hot_it_is_stored(
    valve: bool, setpoint: float, hot: int | None, grid: float | None, second: float | None,
    status: str, mend: list[str], words: str | None,
) -> None:  # fmt: skip
    elements = [SimpleNamespace(fed_by="roof", thermostat=degf(setpoint))]
    if grid is not None:
        elements.append(SimpleNamespace(fed_by="grid", thermostat=degf(grid)))
    heater: Any = SimpleNamespace(
        element=elements, mixing_valve=valve,
        second_tank=None if second is None else SimpleNamespace(thermostat=degf(second)),
    )  # fmt: skip
    year = SimpleNamespace(
        evenings_at_setpoint=hot, days=365, evening_temperature=float(degf(130))
    )
    result: Any = SimpleNamespace(
        setpoint=float(degf(setpoint)), safety=SimpleNamespace(heat_through=float(degf(141))),
        households=[] if hot is None else [SimpleNamespace(year=year)], array="roof",
        dark_days=[SimpleNamespace(day=each, idle_temperature=float(degf(95 + each)))
                   for each in (1, 7)],
    )  # fmt: skip
    found = legionella.storage_verdict(SITE, heater, result)
    lukewarm = setpoint == 140 and status == "caution"
    judged = f"{130 if lukewarm else setpoint} °F, temperature"
    assert printed.compared(found) == (status, judged, "140 °F, temperature")
    parts = {"setpoint": f"{setpoint} °F, temperature", "limit": "140 °F, temperature",
             "days": "7", "cool": "102 °F, temperature",
             "through": "141 °F, temperature"}  # fmt: skip
    if lukewarm:
        parts |= {"heats": "The sun", "hot": str(hot), "all": "365", "mean": judged}
    assert printed.told(found.reason) == parts
    above = "at or above" if setpoint == 140 else "below"
    assert found.reason.template.startswith(f"set to {{setpoint}}, {above} {{limit}}")
    assert [str(each) for each in changes_of(found.remedy)] == mend
    if words is not None:
        assert found.remedy is not None
        assert found.remedy.template.startswith(words)
        if mend:
            assert ("behind a mixing valve" in found.remedy.template) is not valve
        if "which" in words:
            which = "what heats from the grid" if setpoint == 140 else "every thermostat"
            well = " as well" if setpoint == 140 else ""
            assert (found.remedy.parts["which"], found.remedy.parts["well"]) == (which, well)


@pytest.mark.parametrize(
    ("setting", "limit", "status"),
    [(140, 140, "pass"), (139, 140, "caution"), (141, 140, "pass"), (140, 141, "caution")],
)
def test_how_hot_a_tank_downstream_stores(setting: float, limit: float, status: str) -> None:
    site: Any = SimpleNamespace(limits=SimpleNamespace(storage_temperature=degf(limit)))
    tank: Any = SimpleNamespace(
        subject="second tank", safety=SimpleNamespace(hottest=float(degf(setting)))
    )
    found = legionella.second_storage_verdict(site, tank)
    both = f"{setting} °F, temperature", f"{limit} °F, temperature"
    assert printed.compared(found) == (status, *both)
    assert found.subject == "second tank"
    assert printed.told(found.reason) == dict(zip(("setpoint", "limit"), both, strict=True))
    # A dial of 5 degF, up.
    dial = {140: "140", 141: "145"}[int(limit)]
    assert [str(each) for each in changes_of(found.remedy)] == (
        [] if status == "pass" else [f'water_heater.second_tank.thermostat="{dial} degF"']
    )
