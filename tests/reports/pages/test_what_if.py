"""What the page reckons anew by thumb: the program's own numbers, at any setting."""

from __future__ import annotations

import json
import math
import random
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.reports.conftest import CHECKOUT
from tests.reports.pages.test_on_site import Phone, page_of
from wellsolar import kinds
from wellsolar.physics.hydraulics import pressure_tank, suction
from wellsolar.physics.hydraulics.demand import hot_water_use
from wellsolar.physics.sun import tilted_plane
from wellsolar.physics.tank import scald
from wellsolar.physics.tank.hot_water import delivered_volume, mixing_ratio
from wellsolar.physics.types import FloatArray
from wellsolar.reports.pages.on_site import in_script, what_if_data
from wellsolar.site.loading.read import load_site
from wellsolar.site.schema import Site
from wellsolar.studies.array.heater_circuit import (
    LIGHT_WIND,
    MILD_AIR,
    HeaterCircuit,
    circuit_of,
)
from wellsolar.studies.case import Case
from wellsolar.studies.electric import cable
from wellsolar.studies.electric.starting import current_of
from wellsolar.studies.form.what_if import draw_shares, study_what_if
from wellsolar.studies.hand.effort import minutes_for
from wellsolar.studies.heat.days import LEAST_RISE, LONGEST_RUN, ArrayDay, tank_in_sun
from wellsolar.studies.heat.tank import TankAtWork, work_of
from wellsolar.studies.house.demand import (
    draw_volume_of,
    draws_of_day,
    is_no_households,
    largest_shift,
)
from wellsolar.studies.pump.pressure_tank import fill_of
from wellsolar.studies.pump.study import pump_on_well
from wellsolar.studies.reading.visit import Job
from wellsolar.studies.sun.days import STEP
from wellsolar.studies.well.drawdown import at_static_level
from wellsolar.units import Quantity

SITES = ("ridge_house", "south_slope")
ALIKE = 1e-6
"""How far a number of the page may lie from the program's [-]."""

USUAL, MANY, FEW = 25, 5000, 6
"""Settings of each site: in the usual tests, and in the long ones, 10,000 together; and of sites
with something else before their element."""

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
            "thermostat": chance.uniform(35.0, 80.0),
            "month": chance.randrange(12),
            "kind": chance.choice(("clear", "typical", "poor")),
        }
        made.append(size)
    return made


BY_THE_PAGE = """([whatIf, all]) => {
  const {sizes, days} = whatIf ? onSite.openWhatIf(whatIf) : onSite.data.whatIf;
  return all.map(size => {
    const made = structuredClone(sizes);
    for (const key of ["static_level", "cut_in", "cut_out", "precharge", "people", "each",
                       "pumpers", "month", "kind"]) made[key] = size[key];
    for (const pump of made.pumps) [pump.gauge, pump.run] = [size.gauge, size.run];
    for (const key of ["series", "power", "voltage", "light"]) made.heater[key] = size[key];
    if (made.heater.run !== null) [made.heater.gauge, made.heater.run] = [size.gauge, size.run];
    made.tank.thermostat = size.thermostat;
    return onSite.reckoned(made, days);
  });
}"""


class Reckoned:
    """The same by the program's own studies."""

    def __init__(self, case: Case) -> None:
        self.case = case
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

    def circuit(self, size: dict[str, Any]) -> HeaterCircuit:
        """The file's with sizes of its own."""
        on, group = self.array.on, self.array.on.group
        element = on.element.model_copy(update={
            "rated_power": Quantity(size["power"] / on.element.count, kinds.POWER),
            "rated_voltage": Quantity(
                size["voltage"] / (on.element.count if on.element.wired == "series" else 1),
                kinds.VOLTAGE,
            ),
        })  # fmt: skip
        wired = {"series": size["series"]}
        if group.cable is not None:
            run = {"gauge": size["gauge"], "length": Quantity(size["run"], kinds.LENGTH)}
            wired["cable"] = group.cable.model_copy(update=run)
        made = circuit_of(
            self.array.circuit.parameters,
            group.model_copy(update=wired),
            element,
            (float(self.site.well.water_temperature) + size["thermostat"]) / 2,
            float(self.site.losses.wiring),
        )
        # Relays join the elements that there are: in the same ratios to the plate of all of them.
        return replace(made, coupling=self.array.circuit.coupling)

    def element(self, size: dict[str, Any]) -> tuple[float, float, float, float]:
        circuit = self.circuit(size)
        cell = float(tilted_plane.cell_temperature(size["light"], MILD_AIR, LIGHT_WIND))
        at = circuit.at(size["light"], cell)
        amperes = at.power / at.voltage if at.voltage > 0.0 else 0.0
        return amperes, at.voltage, at.power, at.array_current**2 * circuit.named_cable

    @cached_property
    def days(self) -> tuple[Mapping[str, ArrayDay], ...]:
        """Days of sun, as the tank's study makes them."""
        heater, on = self.site.water_heater, self.array.on
        work = work_of(self.site, heater, on.element)
        return tank_in_sun(self.site, self.case.year, work, on, self.array.circuit).days

    def tank(self, size: dict[str, Any]) -> dict[str, Any]:
        """The tank stepped from cold, day after day, without and with the draws."""
        heater = self.site.water_heater
        people = self.site.site.people or 1
        draw = draw_volume_of(self.site, heater)[0]
        draws = draws_of_day(heater.draw, draw)
        draw *= float(hot_water_use(size["people"]) / hot_water_use(people))
        work = replace(
            work_of(self.site, heater, self.array.on.element), setpoint=size["thermostat"]
        )
        day = self.days[size["month"]][size["kind"]]
        power = day.through(self.circuit(size))
        told = {
            "energy": float(power.sum()) * STEP,
            "draw": draw,
            "idle": self.from_cold(work, power, np.zeros(power.size)),
            "lost": work.tank.heat_loss_coefficient * (work.setpoint - work.room),
        }
        if work.setpoint >= work.tap:
            at = (work.setpoint, work.inlet, work.tap)
            told["share"] = float(mixing_ratio(*at))
            told["full"] = float(delivered_volume(work.tank.volume, *at))
        if is_no_households(draw, work.tank.volume):
            return told | {"drawn": None}
        work = replace(work, largest_shift=largest_shift(draw, work.tank.volume))
        shares = draw_shares(draws)
        return told | {"drawn": self.from_cold(work, power, draw * shares)}

    @staticmethod
    def from_cold(work: TankAtWork, power: FloatArray, draw: FloatArray) -> dict[str, Any]:
        nodes, before = np.full(work.tank.nodes, work.inlet), -math.inf
        for number in range(1, LONGEST_RUN + 1):
            run = work.run(power, nodes, draw)
            nodes, mean = run.end_temperatures, float(run.mean_temperature[-1])
            reached = np.flatnonzero(work.satisfied(power, run))
            told = {
                "day": number if reached.size else None, "nodes": nodes.tolist(), "mean": mean,
                "time": float(run.times[reached[0]]) if reached.size else None,
                "warmest": float(run.mean_temperature.max()),
            }  # fmt: skip
            if reached.size or mean - before < LEAST_RISE:
                break
            before = mean
        return told

    def hands(self, size: dict[str, Any]) -> list[float]:
        volume = size["people"] * size["each"]
        lifts = [*([self.case.hand_pump] if self.case.hand_pump else []), *self.case.lifts]
        found = [minutes_for(lift, volume, place.key, size["pumpers"])
                 for lift in lifts for place in lift.places]  # fmt: skip
        return [60.0 * minutes for minutes in found if minutes is not None]


def held_together(phone: Phone, by_program: Reckoned, what_if: Any, count: int) -> None:
    """Every answer of the page, beside the program's."""
    sizes = settings(by_program.site, seed=len(by_program.site.site.name), count=count)
    answers = phone.page.evaluate(BY_THE_PAGE, [what_if, sizes])
    for size, page in zip(sizes, answers, strict=True):
        pumps = by_program.pumps(size)
        assert len(page["pumps"]) == len(pumps) > 0
        for one, other in zip(page["pumps"], pumps, strict=True):
            both = (one["atIn"], one["atOut"])
            for key, name in (
                ("flow", "flows"), ("head", "heads"), ("power", "powers"), ("current", "amps"),
            ):  # fmt: skip
                assert [work[key] for work in both] == pytest.approx(other[name], rel=ALIKE), size
            assert one["lost"] == pytest.approx(other["lost"], rel=ALIKE), size
            if other["fill"] is None:
                assert one["fill"] is None
            else:
                assert one["fill"] == pytest.approx(other["fill"], rel=ALIKE), size
        drawn = by_program.drawdown(size)
        assert page["drawdown"] == pytest.approx(drawn, rel=ALIKE, abs=1e-12)
        assert page["hands"] == pytest.approx(by_program.hands(size), rel=ALIKE), size
        heat_held(by_program, size, page)


def heat_held(by_program: Reckoned, size: dict[str, Any], page: dict[str, Any]) -> None:
    """Element and tank of one setting, beside the program's."""
    heater = page["heater"]
    at = tuple(heater[key] for key in ("current", "voltage", "power", "wireLoss"))
    assert at == pytest.approx(by_program.element(size), rel=ALIKE), size
    tank = by_program.tank(size)
    for key in ("idle", "drawn"):
        run, stepped = tank.pop(key), page["tank"][key]
        assert (run is None) == (stepped is None), size
        if run is not None:
            assert (stepped["day"], stepped["time"]) == (run["day"], run["time"]), size
            assert stepped["nodes"] == pytest.approx(run["nodes"], rel=ALIKE), size
            for name in ("mean", "warmest"):
                assert stepped[name] == pytest.approx(run[name], rel=ALIKE), size
    for key, value in tank.items():
        assert page["tank"][key] == pytest.approx(value, rel=ALIKE), (key, size)
    burn = scald.burn_time(size["thermostat"])
    if burn.bound == "none":
        assert page["tank"]["burn"] is None
    else:
        seconds, shorter = page["tank"]["burn"]
        assert seconds == pytest.approx(burn.seconds, rel=ALIKE)
        assert shorter == (burn.bound == "at most")


@pytest.mark.parametrize("name", SITES)
def test_the_pages_numbers_are_the_programs(browser: Any, name: str) -> None:
    site = CHECKOUT / "examples" / f"{name}.toml"
    phone = Phone(browser, page_of(site))
    held_together(phone, Reckoned(Case(load_site(site))), None, USUAL)
    phone.close()


@pytest.mark.long
@pytest.mark.parametrize("name", SITES)
def test_they_are_at_thousands_of_settings(browser: Any, name: str) -> None:
    site = CHECKOUT / "examples" / f"{name}.toml"
    phone = Phone(browser, page_of(site))
    held_together(phone, Reckoned(Case(load_site(site))), None, MANY)
    phone.close()


OTHERS = {
    "electronics, converter not told": ('thermostat = "140 degF"\n',
                                        'thermostat = "140 degF"\ncoupling = "tracking"\n'),
    "electronics that only raise": (
        'thermostat = "140 degF"\n',
        'thermostat = "140 degF"\ncoupling = "tracking"\ntracker_converter = "boost"\n'
        'tracker_maximum = "1.2 kW"\ntracker_minimum = "150 W"\n',
    ),
    "relays to the best": (
        'thermostat = "140 degF"\n',
        'thermostat = "140 degF"\ncoupling = "switched"\nswitched_resistances = "8, 13, 26 ohm"\n',
    ),
    "relays by the sun": (
        'thermostat = "140 degF"\n',
        'thermostat = "140 degF"\ncoupling = "switched"\nswitched_resistances = "8, 13, 26 ohm"\n'
        'switch_irradiances = "350, 700 W/m2"\n',
    ),
    "a wire that grows with its warmth": (
        'thermostat = "140 degF"\n',
        'thermostat = "140 degF"\ntemperature_coefficient = "0.4 %/K"\n',
    ),
    "a cable that is not named": ('cable = { gauge = "10 AWG", length = "60 ft" }\n', ""),
    "no mixing valve, and people without a volume": (
        'times = "6.5, 12.5, 17.75, 18.25, 21 h"\nvolumes = "4, 3, 11, 9, 3 gal"\n', "",
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def opened(browser: Any) -> Iterator[Phone]:
    phone = Phone(browser, page_of(CHECKOUT / "examples" / "south_slope.toml"))
    yield phone
    phone.close()


@pytest.mark.parametrize("other", OTHERS)
def test_they_are_through_whatever_stands_before_the_element(
    opened: Phone, tmp_path: Path, other: str
) -> None:
    text = (CHECKOUT / "examples" / "south_slope.toml").read_text("utf-8")
    assert text.count(OTHERS[other][0]) == 1
    site = tmp_path / "site.toml"
    site.write_text(text.replace(*OTHERS[other]), "utf-8")
    by_program = Reckoned(Case(load_site(site)))
    what_if = json.loads(in_script(what_if_data(study_what_if(by_program.case))))
    held_together(opened, by_program, what_if, FEW)
    assert opened.said == []


@pytest.mark.parametrize("name", SITES)
def test_days_with_nothing_drawn_are_those_of_the_report(browser: Any, name: str) -> None:
    site = CHECKOUT / "examples" / f"{name}.toml"
    phone = Phone(browser, page_of(site))
    answers = phone.page.evaluate(
        """() => { const {sizes, days} = onSite.data.whatIf;
          return Object.keys(days).flatMap(kind => [...Array(12).keys()].map(month => {
            const found = onSite.reckoned({...sizes, kind, month}, days).tank;
            return [[kind, month + 1], found.energy, found.idle];
          })); }"""
    )
    phone.close()
    told = {tuple(key): rest for key, *rest in answers}
    days = Case(load_site(site)).heated_tank.days
    assert len(told) == len(days) == 36
    for day in days:
        energy, idle = told[day.kind, day.month]
        assert energy == pytest.approx(day.element_energy, rel=ALIKE)
        assert idle["day"] == day.days_to_setpoint
        if day.days_to_setpoint == 1:
            assert idle["time"] == day.time_to_setpoint


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
    for answer in (
        "From cold to 150 degF, with that drawn", "burns an adult in 1 s",
        "set hot enough, but the sun alone does not bring it there on such days",
    ):  # fmt: skip
        assert answer in answers.inner_text()
    page.locator('[data-size="month"]').select_option("June")
    page.locator('[data-size="people"]').fill("1")
    cooler = page.get_by_role("button", name="Thermostat of the tank: less")
    for _ in range(5):
        cooler.tap()
    told = answers.inner_text()
    assert page.locator('[data-size="thermostat"]').input_value() == "125"
    assert re.search(r"From cold to 125 degF, with that drawn\nday \d, \d+:\d\d by the sun", told)
    assert "set too cool" in told
    assert "burns an adult in 1 min, a child in 22 s" in told
    page.locator('[data-size="cut_out"]').fill("30")
    assert answers.inner_text() == "Cut-out lies above cut-in."
    page.get_by_role("button", name="As in the file again").tap()
    assert answers.locator(".before").count() == 0
    assert phone.said == []
    assert phone.asked == [phone.path.as_uri()]
    phone.close()
