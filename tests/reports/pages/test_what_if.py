"""What the page reckons anew by thumb: the program's own numbers, at any setting."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.reports.conftest import CHECKOUT
from tests.reports.pages.test_on_site import Phone, page_of
from wellsolar import kinds
from wellsolar.physics.hydraulics import pressure_tank, suction
from wellsolar.physics.sun import tilted_plane
from wellsolar.site.loading.read import load_site
from wellsolar.site.schema import Site
from wellsolar.studies.array.heater_circuit import LIGHT_WIND, MILD_AIR
from wellsolar.studies.case import Case
from wellsolar.studies.electric import cable
from wellsolar.studies.electric.starting import current_of
from wellsolar.studies.hand.effort import minutes_for
from wellsolar.studies.pump.pressure_tank import fill_of
from wellsolar.studies.pump.study import pump_on_well
from wellsolar.studies.reading.visit import Job
from wellsolar.studies.well.drawdown import at_static_level
from wellsolar.units import Quantity

SITES = ("ridge_house", "south_slope")
ALIKE = 1e-6
"""How far a number of the page may lie from the program's [-]."""

USUAL, MANY = 25, 5000
"""Settings of each site: in the usual tests, and in the long ones, 10,000 together."""

GAUGES = ("14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG")


def settings(site: Site, seed: int, count: int) -> list[dict[str, Any]]:
    """Random sizes, some of them no house's."""
    chance = random.Random(seed)
    made = []
    for _ in range(count):
        cut_in = chance.uniform(1.2e5, 3.5e5)
        size: dict[str, Any] = {
            "static_level": chance.uniform(0.0, 70.0),
            "cut_in": cut_in,
            "cut_out": cut_in + chance.uniform(5e4, 2.5e5),
            "precharge": chance.uniform(0.3, 1.15) * cut_in,
            "gauge": chance.choice(GAUGES),
            "run": chance.uniform(5.0, 200.0),
            "series": chance.randint(1, 10),
            "power": chance.uniform(800.0, 6000.0),
            "voltage": chance.choice((120.0, 208.0, 240.0)),
            "light": chance.uniform(50.0, 1200.0),
            "people": chance.randint(1, 12),
            "each": chance.uniform(0.005, 0.1),
            "pumpers": chance.randint(1, 3),
        }
        made.append(size)
    return made


def by_the_page(phone: Phone, sizes: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The answers of the page."""
    return list(
        phone.page.evaluate(
            """all => all.map(size => {
              const made = structuredClone(onSite.data.whatIf.sizes);
              for (const key of ["static_level", "cut_in", "cut_out", "precharge", "people",
                                 "each", "pumpers"]) made[key] = size[key];
              for (const pump of made.pumps) [pump.gauge, pump.run] = [size.gauge, size.run];
              if (made.heater) {
                for (const key of ["series", "power", "voltage", "light", "gauge", "run"])
                  made.heater[key] = size[key];
                made.heater.extra = 0;
              }
              return onSite.reckoned(made);
            })""",
            sizes,
        )
    )


class Reckoned:
    """The same by the program's own studies."""

    def __init__(self, site: Path) -> None:
        self.case = Case(load_site(site))
        self.site = self.case.site
        self.array = Job(self.case).array

    def changed(self, size: dict[str, Any]) -> Site:
        site = at_static_level(self.site, Quantity(size["static_level"], kinds.LENGTH))
        cuts = {key: Quantity(size[key], kinds.PRESSURE) for key in ("cut_in", "cut_out")}
        tank = {"precharge": Quantity(size["precharge"], kinds.PRESSURE)}
        return site.model_copy(update={
            "pressure_switch": site.pressure_switch.model_copy(update=cuts),
            "pressure_tank": site.pressure_tank.model_copy(update=tank),
        })  # fmt: skip

    def pumps(self, size: dict[str, Any]) -> list[dict[str, Any]]:
        site, told = self.changed(size), []
        for number, table in enumerate(site.pump, 1):
            on_well = pump_on_well(site, table, f"pump[{number}]")
            works = [on_well.at_work(size[key]) for key in ("cut_in", "cut_out")]
            amps = [current_of(on_well.table, work.input_power) for work in works]
            phases = table.phases if table.supply == "AC" else 1
            lost = cable.line_resistance(size["gauge"], size["run"], phases) * max(amps)
            fill = fill_of(site, on_well.at_work)
            told.append({
                "flows": [work.flow for work in works],
                "heads": [work.total_dynamic_head for work in works],
                "powers": [work.input_power for work in works],
                "amps": amps,
                "lost": lost / on_well.table.voltage,
                "fill": None if fill is None else fill.duration,
            })  # fmt: skip
        return told

    def drawdown(self, size: dict[str, Any]) -> float:
        tank = self.site.pressure_tank
        outside = float(suction.atmospheric_pressure(float(self.site.site.altitude)))
        ends = (size["precharge"], size["cut_in"], size["cut_out"])
        return float(pressure_tank.drawdown_volume(tank.volume * tank.count, *ends, outside))

    def element(self, size: dict[str, Any]) -> tuple[float, float, float]:
        circuit = replace(
            self.array.circuit,
            series=size["series"],
            resistance=size["voltage"] ** 2 / size["power"],
            cable_resistance=cable.line_resistance(size["gauge"], size["run"], 1),
            assumed_cable=0.0,
        )
        cell = float(tilted_plane.cell_temperature(size["light"], MILD_AIR, LIGHT_WIND))
        at = circuit.at(size["light"], cell)
        return at.power / at.voltage, float(at.voltage), float(at.power)

    def hands(self, size: dict[str, Any]) -> list[float]:
        volume = size["people"] * size["each"]
        lifts = [*([self.case.hand_pump] if self.case.hand_pump else []), *self.case.lifts]
        found = [minutes_for(lift, volume, place.key, size["pumpers"])
                 for lift in lifts for place in lift.places]  # fmt: skip
        return [60.0 * minutes for minutes in found if minutes is not None]


def held_together(browser: Any, site: Path, count: int) -> None:
    """Every answer of the page, beside the program's."""
    phone = Phone(browser, page_of(site))
    by_program = Reckoned(site)
    sizes = settings(by_program.site, seed=len(site.stem), count=count)
    found = by_the_page(phone, sizes)
    phone.close()
    for size, page in zip(sizes, found, strict=True):
        pumps = by_program.pumps(size)
        assert len(page["pumps"]) == len(pumps) > 0
        for one, other in zip(page["pumps"], pumps, strict=True):
            both = (one["atIn"], one["atOut"])
            for key, name in (
                ("flow", "flows"), ("head", "heads"), ("power", "powers"), ("current", "amps"),
            ):  # fmt: skip
                assert [each[key] for each in both] == pytest.approx(other[name], rel=ALIKE), size
            assert one["lost"] == pytest.approx(other["lost"], rel=ALIKE), size
            if other["fill"] is None:
                assert one["fill"] is None
            else:
                assert one["fill"] == pytest.approx(other["fill"], rel=ALIKE), size
        drawn = by_program.drawdown(size)
        assert page["drawdown"] == pytest.approx(drawn, rel=ALIKE, abs=1e-12)
        heater = page["heater"]
        at = (heater["current"], heater["voltage"], heater["power"])
        assert at == pytest.approx(by_program.element(size), rel=ALIKE), size
        assert page["hands"] == pytest.approx(by_program.hands(size), rel=ALIKE), size


@pytest.mark.parametrize("name", SITES)
def test_the_pages_numbers_are_the_programs(browser: Any, name: str) -> None:
    held_together(browser, CHECKOUT / "examples" / f"{name}.toml", USUAL)


@pytest.mark.long
@pytest.mark.parametrize("name", SITES)
def test_they_are_at_thousands_of_settings(browser: Any, name: str) -> None:
    held_together(browser, CHECKOUT / "examples" / f"{name}.toml", MANY)


def test_a_thumb_changes_a_size_and_sees_what_it_does(browser: Any) -> None:
    phone = Phone(browser, page_of(CHECKOUT / "examples" / "ridge_house.toml"))
    page = phone.page
    answers = page.locator("#answers")
    assert answers.locator(".before").count() == 0
    assert "11.5 gpm" in answers.inner_text()
    page.get_by_role("button", name="Water at rest, depth: more").tap()
    assert page.locator('[data-size="static_level"]').input_value() == "90"
    assert "in the file 11.5 gpm, 9.98 gpm" in answers.inner_text()
    page.locator('[data-size="pump.0.gauge"]').select_option("10 AWG")
    assert "in the file 3.61 %" in answers.inner_text()
    page.locator('[data-size="cut_out"]').fill("30")
    assert answers.inner_text() == "Cut-out lies above cut-in."
    page.get_by_role("button", name="As in the file again").tap()
    assert answers.locator(".before").count() == 0
    assert phone.said == []
    assert phone.asked == [phone.path.as_uri()]
    phone.close()
