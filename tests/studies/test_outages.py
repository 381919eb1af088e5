"""What is left when things fail, against arithmetic written out here.

The sites are invented. The rule of human power is Krendel's, as in the tests of the hand pump.
"""

from __future__ import annotations

import math
import re
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from wellsolar.physics.array import module_fit
from wellsolar.results import Fix, Outage, OutageResult, Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.studies.pump.study import study_pumps
from wellsolar.studies.sun.modules import rating_of
from wellsolar.studies.sun.year import year_of_site
from wellsolar.studies.supply.system import feeding_array, pump_supply
from wellsolar.verdicts import Verdict

EXAMPLES = Path(__file__).parents[2] / "examples"
G = 9.80665
GALLON = 3.785411784e-3
FOOT = 0.3048
LINKS = "water when one thing fails"
WORST = "water in the worst outage"
OWN = "water in an outage of the file"

HUT = """
[site]
people = 6
print_units = "SI"
[demand]
survival_use = "15 L/day"
daily_use = "600 L/day"
[well]
depth = "60 m"
casing_bore = "150 mm"
static_level = "20 m (18 m .. 26 m)"
specific_capacity = "20 L/min/m"
water_temperature = "11 degC"
[pressure_switch]
cut_in = "200 kPa"
cut_out = "300 kPa"
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
bore = "63.5 mm"
stroke = "125 mm"
lever_ratio = "8"
cylinder_depth = "24 m"
"""


def example(name: str) -> str:
    return (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")


def studied(text: str) -> Results:
    return study_site(parse_site(text), ("outage",))


def outages(text: str) -> OutageResult:
    found = studied(text).outages
    assert found is not None
    return found


def changed(text: str, *pairs: tuple[str, str]) -> str:
    for old, new in pairs:
        assert text.count(old) == 1, (old, text.count(old))
        text = text.replace(old, new)
    return text


def event(found: OutageResult, key: str) -> Outage:
    return next(each for each in found.outages if each.key == key)


def named(found: OutageResult, name: str) -> Outage:
    return next(each for each in found.outages if each.name == name)


def link(found: OutageResult, component: str) -> Outage:
    return next(each.outage for each in found.links if each.component == component)


def fix_of(found: OutageResult, component: str) -> Fix:
    fix = next(each.fix for each in found.links if each.component == component)
    assert fix is not None, component
    return fix


def verdict(results: Results, rule: str) -> Verdict:
    found = [each for each in results.verdicts if each.rule.key == rule]
    assert len(found) == 1, [each.rule.key for each in results.verdicts]
    return found[0]


def with_fix(text: str, fix: Fix) -> str:
    """The file as its reader would write the change into it."""
    for change in fix.changes:
        head, _, key = change.path.rpartition(".")
        name, _, number = head.partition("[")
        mark = f"[[{name}]]" if number else f"[{name}]"
        place = int(number.removesuffix("]")) - 1 if number else 0
        parts = text.split(mark + "\n")
        if len(parts) == 1:
            text += f"\n{mark}\n{key} = {change.value}\n"
            continue
        own, bracket, rest = parts[place + 1].partition("\n[")
        lines = [each for each in own.split("\n") if not each.startswith(f"{key} = ")]
        parts[place + 1] = f"{key} = {change.value}\n" + "\n".join(lines) + bracket + rest
        text = (mark + "\n").join(parts)
    return text


def rule_of_power(minutes: float) -> float:
    """Krendel's rule at the age of 35, 80 % of it by arms, from 4 to 480 minutes [W]."""
    within = min(max(minutes, 4.0), 480.0)
    return 0.80 * 745.7 * (0.35 - 0.092 * math.log10(within))


def litres_a_minute(watts: float, head: float, per_metre: float, most: float) -> float:
    """What a power at the handle lifts, 80 % of it into the rod and 90 % of that staying up.

    rho g Q (head + Q / per_metre) = 0.72 P, no more than the strokes move; rho = 999 kg/m3.
    """
    lifted = 0.72 * watts / (999.0 * G) * 60_000
    flow = per_metre / 2 * (math.sqrt(head**2 + 4 * lifted / per_metre) - head)
    return min(flow, most)


def minutes(litres: float, head: float, per_metre: float, most: float) -> float:
    """The time for which one person keeps up just the power that it asks for."""

    def short(time: float) -> float:
        return litres / litres_a_minute(rule_of_power(time), head, per_metre, most) - time

    if short(4.0) <= 0.0:
        return litres / litres_a_minute(rule_of_power(4.0), head, per_metre, most)
    return float(brentq(short, 4.0, 480.0))


class TestVillage:
    """180 people at 15 L are 2700 L. In the low season the water stands at 46 m; 60 L/min draw
    it down by 4 m, so 15 L/min each metre. The spout is at 0.6 m."""

    HEAD, PER_METRE = 46.6, 15.0
    STROKES = 40 * 0.90 * math.pi / 4 * 0.635**2 * 1.25  # 63.5 mm x 125 mm, without stretch

    def test_minutes_at_the_handle(self) -> None:
        found = outages(example("village_borehole"))
        assert found.survival == pytest.approx(2.7)
        assert found.static_level == pytest.approx(46.0)
        assert found.low
        cell = found.whole.cell("hand pump")
        assert cell.effort is not None
        expected = minutes(2700.0, self.HEAD, self.PER_METRE, self.STROKES)
        assert 7.0 * 60 < expected < 8.0 * 60
        assert cell.effort / 60 == pytest.approx(expected, rel=0.005)

    def test_a_day_of_it_and_the_tank_on_the_stand(self) -> None:
        hands = event(outages(example("village_borehole")), "hands")
        day = 480 * litres_a_minute(rule_of_power(480.0), self.HEAD, self.PER_METRE, self.STROKES)
        # Half of the 7200 L is there and lasts for a week of seven days.
        stored = 7200 / 2 / 7
        assert hands.volume * 1000 == pytest.approx(day + stored, rel=0.003)
        assert hands.survival == pytest.approx((day + stored) / 2700, rel=0.003)
        assert hands.basic == pytest.approx((day + stored) / 3600, rel=0.003)
        assert hands.effort is not None
        left = minutes(2700 - stored, self.HEAD, self.PER_METRE, self.STROKES)
        assert hands.effort / 60 == pytest.approx(left, rel=0.005)
        assert hands.pressure == "by gravity"
        assert hands.order == ("stored water", "hand pump")

    def test_no_grid_no_inverter_no_battery_can_fail_where_there_is_none(self) -> None:
        found = outages(example("village_borehole"))
        assert [each.name for each in found.outages] == [
            "3 dark days", "7 dark days", "solar pump", "everything but hands",
        ]  # fmt: skip
        assert not found.weak


class TestRidgeHouse:
    """Four people, 15.9 gal. Water at 105 ft in the low season, 0.35 gpm a foot, spout 2 ft; the
    cylinder of 1 3/4 in, 6 in strokes, 40 a minute, 90 %: so many that strength is no limit."""

    def strokes(self) -> float:
        """Litres a minute at 40 strokes, the rods of 12 mm giving way under the column."""
        area, head, length = math.pi / 4 * 0.04445**2, 107 * FOOT, 125 * FOOT
        flow = 40 * 0.90 * area * 0.1524 * 1000
        head += flow / (0.35 * 3.785412 / FOOT)
        stretch = 999.3 * G * head * area * length / (math.pi / 4 * 0.012**2 * 2.0e11)
        return float(flow * (1 - stretch / 0.1524))

    def stored(self) -> float:
        """Litres in the heater and, by Boyle's law, in the pressure tank half way."""
        air: float = 101.325 * (1 - 2.25577e-5 * 900 * FOOT) ** 5.25588 / 6.894757  # psi at 900 ft
        water = [86 * (1 - (38 + air) / (psi + air)) for psi in (40, 60)]
        return float(1000 * GALLON * (50 + sum(water) / 2))

    def test_everything_but_hands(self) -> None:
        hands = event(outages(example("ridge_house")), "hands")
        cell = hands.cell("hand pump")
        assert cell.effort is not None
        assert hands.effort is not None
        assert cell.effort / 60 == pytest.approx(60 / self.strokes(), rel=0.003)
        short = 60 - self.stored() / 7
        assert hands.effort / 60 == pytest.approx(short / self.strokes(), rel=0.01)
        assert hands.pressure == "by hand"

    def test_stored_water_and_its_days(self) -> None:
        found = outages(example("ridge_house"))
        assert sum(each.volume for each in found.stores) * 1000 == pytest.approx(
            self.stored(), rel=0.003
        )
        heater = next(each for each in found.stores if each.name == "water heater")
        assert heater.days == pytest.approx(50 * GALLON * 1000 / 60, rel=1e-6)

    def test_the_mains_bring_what_pump_and_well_give(self) -> None:
        found = outages(example("ridge_house"))
        assert found.whole.cell("house pump").power == "grid"
        # Both pumps together could give more than the 11 gpm that the well was tested for.
        tested = 11 * 1440 * GALLON
        pumps = sum(found.whole.cell(name).volume for name in ("house pump", "frugal pump"))
        assert pumps > tested
        assert found.whole.volume == pytest.approx(tested)

    def test_modules_on_the_element_do_not_ask_for_grid_or_inverter(self) -> None:
        text = example("ridge_house") + (
            '\n[[outage]]\nname = "all dead"\ndays = 10\n'
            'failed = ["grid", "inverter", "battery"]\n'
        )
        results = studied(text)
        assert results.outages is not None
        dead = named(results.outages, "all dead")
        assert {each.source for each in dead.cells if each.volume > 0} == {
            "hand pump", "stored water",
        }  # fmt: skip
        assert dead.hot is not None
        assert dead.hot.days is not None
        assert dead.hot.state == "on sunny days"
        alone = study_site(parse_site(text), ("heat",)).heated_tank
        assert alone is not None
        hot = alone.households[0].year.evenings_hot
        assert dead.hot.days == pytest.approx(10 * hot / 365)
        assert verdict(results, OWN).status == "pass"
        assert event(results.outages, "battery").hot.state == "hot"  # type: ignore[union-attr]

    def test_without_sun_the_tank_cools_as_its_own_study_says(self) -> None:
        text = example("ridge_house")
        tank = study_site(parse_site(text), ("heat",)).heated_tank
        assert tank is not None
        dark = event(outages(text), "dark_7").hot
        assert dark is not None
        warm = [(day.top_temperature or 0.0) >= tank.tap.temperature for day in tank.dark_days]
        assert dark.days == (warm.index(False) if False in warm else 7)
        assert dark.end_temperature == tank.dark_days[6].top_temperature

    def test_a_bladder_lost(self) -> None:
        found = outages(example("ridge_house"))
        lost = event(found, "bladder")
        assert lost.pressure == lost.cell("house pump").pressure == "short cycling"
        assert "starts" in lost.cell("house pump").limit
        assert lost.cell("hand pump").pressure == "no"
        heater = 50 * GALLON / 7
        assert lost.cell("stored water").volume == pytest.approx(heater, rel=1e-6)

    def test_a_start_too_hard_for_the_inverter(self) -> None:
        # 48 A at 230 V are 11 kVA at start; the frugal pump ramps up within its running current.
        text = changed(example("ridge_house"), ('"12 kVA"', '"6 kVA"'))
        grid = event(outages(text), "grid")
        assert grid.cell("house pump").volume == 0.0
        assert "does not start" in grid.cell("house pump").limit
        assert grid.cell("frugal pump").power == "inverter"


class TestHighSite:
    """The air is too thin for the suction pump at 2700 m; at the sea it just works."""

    def test_nothing_comes_and_the_plan_brings_it(self) -> None:
        text = example("high_pass")
        results = studied(text)
        found = results.outages
        assert found is not None
        assert found.whole.volume == 0.0
        assert "suction" in found.whole.cell("hand pump").limit
        assert verdict(results, LINKS).status == "fail"
        assert [each.kind for each in found.plan] == ["hand pump", "storage"]
        for fix in found.plan:
            text = with_fix(text, fix)
        assert verdict(studied(text), LINKS).status == "pass"
        assert not [each for each in study_site(parse_site(text), ("hand",)).verdicts
                    if each.status == "fail"]  # fmt: skip

    def test_minutes_at_the_sea(self) -> None:
        text = changed(example("high_pass"), ('altitude = "2700 m"', 'altitude = "0 m"'))
        cell = outages(text).whole.cell("hand pump")
        # 76 mm x 110 mm, 40 a minute, 90 %; 17.96 L/min over 6.4 m ask for 26 W of one's 60 W.
        flow = math.pi / 4 * 0.76**2 * 1.10 * 40 * 0.90
        assert 0.72 * rule_of_power(480.0) > flow / 60_000 * 999 * G * (5.8 + flow / 30)
        assert cell.effort is not None
        assert cell.effort / 60 == pytest.approx(45 / flow, rel=1e-3)
        assert cell.volume * 1000 == pytest.approx(480 * flow, rel=1e-3)


class TestWeakLinks:
    def test_a_cylinder_above_the_low_season_water(self) -> None:
        """Cylinder at 24 m, water at 20 m as a rule, at 26 m in the low season."""
        text = HUT + HAND
        results = studied(text)
        found = results.outages
        assert found is not None
        assert "above the low-season water" in found.whole.cell("hand pump").limit
        assert {each.component for each in found.weak} == {"grid", "house pump", "pressure switch"}
        assert verdict(results, LINKS).status == "fail"
        assert [each.kind for each in found.plan] == ["cylinder"]
        (fix,) = found.plan
        assert [each.path for each in fix.changes] == ["hand_pump.cylinder_depth"]
        remedy = verdict(results, LINKS).remedy
        assert remedy is not None
        assert fix.changes[0].value in remedy.text("SI")
        mended = studied(with_fix(text, fix))
        assert verdict(mended, LINKS).status == "pass"
        assert verdict(mended, WORST).status == "pass"
        assert mended.outages is not None
        assert not mended.outages.weak
        assert link(mended.outages, "grid").survival > 1.0  # type: ignore[operator]

    def test_without_the_low_season_there_is_no_weak_link(self) -> None:
        level = ('"20 m (18 m .. 26 m)"', '"20 m"')
        assert not outages(changed(HUT + HAND, level)).weak

    def test_stored_water_for_a_week(self) -> None:
        """6 people, 90 L a day: a week of it is 630 L, and half a tank is there."""
        found = outages(HUT)
        (fix,) = found.plan
        assert (fix.kind, fix.changes[0].path) == ("storage", "storage_tank.volume")
        volume = float(fix.changes[0].value.strip('"').removesuffix(" L"))
        assert volume == pytest.approx(1260, rel=0.005)
        assert volume >= 1260
        assert verdict(studied(with_fix(HUT, fix)), LINKS).status == "pass"
        smaller = HUT + '\n[storage_tank]\nvolume = "1250 L"\n'
        assert verdict(studied(smaller), LINKS).status == "fail"

    def test_a_valve_where_the_pressure_of_the_tank_is_the_work(self) -> None:
        """200 people, 3000 L: 8 h do not suffice against the tank's 36 m, at the spout they do.

        Water from 26 m, half a metre of drawdown: 0.72 x 61.6 W x 28800 s / (999 x 9.807 x H).
        """
        text = (
            changed(
                HUT,
                ("people = 6", "people = 200"),
                ('cut_in = "200 kPa"', 'cut_in = "300 kPa"'),
                ('cut_out = "300 kPa"', 'cut_out = "400 kPa"'),
            )
            + HAND.replace("24 m", "34 m")
            + ('delivers = "tank"\nspout_valve = false\n[pressure_tank]\nvolume = "300 L"\n')
        )
        joules = 0.72 * rule_of_power(480.0) * 28_800
        spout, tank = (joules / (999 * G * head) for head in (27.1, 26 + 1.7 + 35.7))
        assert tank < 200 * 0.015 < spout
        found = outages(text)
        cell = link(found, "grid").cell("hand pump")
        assert cell.volume == pytest.approx(tank, rel=0.03)
        assert cell.pressure == "by hand"
        fix = fix_of(found, "grid")
        assert (fix.kind, fix.changes[0].path) == ("valve", "hand_pump.spout_valve")
        mended = link(outages(with_fix(text, fix)), "grid")
        assert not mended.short
        assert mended.cell("hand pump").volume == pytest.approx(spout, rel=0.03)

    def test_a_hand_pump_where_a_tank_would_be_too_large(self) -> None:
        """60 people, 900 L a day: a tank of 12.6 m3, but less than an hour's work at 26 m."""
        text = changed(HUT, ("people = 6", "people = 60"))
        (fix,) = outages(text).plan
        assert fix.kind == "hand pump"
        mended = with_fix(text, fix)
        assert verdict(studied(mended), LINKS).status == "pass"
        assert "fail" not in {
            each.status for each in study_site(parse_site(mended), ("hand",)).verdicts
        }

    def test_a_generator_where_nothing_else_helps(self) -> None:
        """1200 people in reach of no handle: what the grid's failure asks for is a generator."""
        text = changed(
            HUT,
            ("people = 6", "people = 1200"),
            ('"60 m"', '"120 m"'),
            ('"20 m (18 m .. 26 m)"', '"75 m"'),
            ('"45 m"', '"100 m"'),
            ('"110, 100, 80, 50 m"', '"200, 190, 170, 140 m"'),
            ('"0, 10, 20, 30 L/min"', '"0, 30, 60, 90 L/min"'),
        )
        found = outages(text)
        fix = fix_of(found, "grid")
        assert fix.kind == "generator"
        mended = with_fix(text + "\n[power]\n", fix)
        generator = link(outages(mended), "grid")
        assert not generator.short
        cell = generator.cell("house pump")
        assert cell.power == "generator"
        # Fuel for four hours of the twenty-four that the grid would give.
        grid = found.whole.cell("house pump").volume
        assert cell.volume == pytest.approx(grid * 4 / 24)

    SOLAR = """
[module]
voc = "45.6 V"
isc = "9.3 A"
vmp = "37.4 V"
imp = "8.8 A"
cells = 72
[[array]]
name = "pump array"
feeds = "pump"
series = 3
tilt = "15 deg"
[[array]]
name = "heater array"
feeds = "heater"
series = 3
tilt = "15 deg"
[sun]
monthly = "5.6, 6.3, 6.6, 6.5, 6.3, 5.9, 5.3, 5.0, 5.5, 5.9, 5.8, 5.4 kWh/m2/day"
"""

    def test_modules_that_can_be_moved(self) -> None:
        text = (
            changed(
                HUT,
                ("people = 6", 'people = 6\nlatitude = "12 deg"'),
                ('voltage = "230 V"', 'voltage = "110 V"\nsupply = "DC"'),
                ('rated_power = "0.55 kW"\n', ""),
                ('locked_rotor_current = "20 A"\n', ""),
            )
            + self.SOLAR
        )
        found = outages(text)
        weak = {each.component for each in found.weak}
        assert weak == {"pump array", "house pump", "pressure switch"}
        fix = fix_of(found, "pump array")
        assert fix.kind == "modules"
        assert [(each.path, each.value) for each in fix.changes] == [("array[2].feeds", '"pump"')]
        assert not link(outages(with_fix(text, fix)), "pump array").short

    def test_what_is_not_known_is_asked_for(self) -> None:
        text = HUT + '\n[power]\ngrid = false\nbattery_energy = "5 kWh"\n'
        asked = verdict(studied(text), LINKS)
        assert asked.status == "unknown"
        assert set(asked.needs) <= {"power.inverter_rating", "power.inverter_surge"}
        nobody = verdict(studied(HUT.replace("people = 6\n", "")), LINKS)
        assert nobody.needs == ("site.people",)


@pytest.mark.parametrize("name", ["creek_cabin", "south_slope"])
def test_the_plan_of_an_example_mends_it(name: str) -> None:
    text = example(name)
    results = studied(text)
    assert verdict(results, LINKS).status == "fail"
    assert results.outages is not None
    assert results.outages.plan
    for fix in results.outages.plan:
        text = with_fix(text, fix)
    mended = studied(text)
    assert verdict(mended, LINKS).status == "pass"
    assert mended.outages is not None
    least = min(each.outage.volume for each in mended.outages.links)
    assert least == pytest.approx(results.outages.planned)


class TestDarkDays:
    def test_straight_off_the_modules_by_a_plain_loop(self) -> None:
        file = parse_site(example("village_borehole"))
        year = year_of_site(file).year
        site = file.site
        assert year is not None
        assert site.module is not None
        array = feeding_array(site, year, module_fit.fit_five_parameters(rating_of(site.module)))
        days = [float(array.total[24 * day : 24 * day + 24].sum()) for day in range(365)]
        runs = [sum(days[(day + k) % 365] for k in range(7)) for day in range(365)]
        begin = runs.index(min(runs))
        dark = event(outages(example("village_borehole")), "dark_7")
        assert dark.run is not None
        assert dark.run.begins == begin
        assert dark.run.energy == pytest.approx(min(runs) / 7 * 3600)
        low = parse_site(
            changed(
                example("village_borehole"),
                ('"43 m (40 m .. 46 m)"', '"46 m"'),
                ('tested_pumping_level = "47 m"', 'tested_pumping_level = "50 m"'),
            )
        )
        pumps, _ = study_pumps(low.site)
        supply = pump_supply(low.site, low.site.pump[0], pumps[0], 7.2, 8760, direct=True)
        assert supply.curve is not None
        pumped = 0.0
        for hour in range(24 * begin, 24 * begin + 168):
            power = min(float(array.total[hour % 8760]), supply.curve.power[-1])
            flow = float(np.interp(power, supply.curve.power, supply.curve.flow, left=0.0))
            pumped += 3600 * flow
        assert dark.cell("solar pump").volume == pytest.approx(pumped / 7, rel=1e-6)
        assert dark.cell("solar pump").limit == "sun on the modules"

    def test_the_battery_goes_through_them_from_the_charge_it_has(self) -> None:
        text = example("ridge_house")
        file = parse_site(changed(text, ('"85 ft (80 ft .. 105 ft)"', '"105 ft"')))
        site, year = file.site, year_of_site(file).year
        assert year is not None
        assert site.module is not None
        array = feeding_array(site, year, module_fit.fit_five_parameters(rating_of(site.module)))
        pumps, _ = study_pumps(site)
        frugal = pumps[1]
        assert frugal.fill is not None
        assert frugal.energy_per_volume is not None
        dark = event(outages(text), "dark_3")
        assert dark.run is not None
        # 15 kWh of which 80 % are used, 92 % out over in, 90 % through the inverter, 30 W idle.
        usable, way, most = 12.0, math.sqrt(0.92), frugal.fill.mean_flow * 3600
        need = frugal.energy_per_volume / 3.6e6 / 0.90  # kWh of each m3
        tank = study_site(file, ("tank",)).pressure_tank
        assert tank is not None
        wants = [0.0] * 24
        parts = [(0, 5, 0.05), (5, 11, 0.39), (11, 18, 0.28), (18, 23, 0.27), (23, 24, 0.01)]
        for first, last, part in parts:
            for hour in range(first, last):
                wants[hour] = 240 * GALLON * part / (last - first)

        def hour_of(charge: float, kwh: float, volume: float) -> tuple[float, float]:
            """Charge after an hour, and water of it, with so much room for water."""
            offer = charge * way + kwh
            idle = min(0.030, offer)
            water = min(volume, most, (offer - idle) / need)
            used = idle + water * need
            direct = min(used, kwh)
            charge -= (used - direct) / way
            return min(usable, charge + (kwh - direct) * way), water

        charge, stored, at = usable, tank.drawdown, {}
        for turn in range(2):
            for hour in range(8760):
                kwh = float(array.total[hour]) / 1000
                charge, water = hour_of(charge, kwh, tank.drawdown - stored + wants[hour % 24])
                stored = max(0.0, stored + water - wants[hour % 24])
                at[turn, hour] = charge
        begin = 24 * dark.run.begins
        charge, pumped = at[1, begin - 1], 0.0
        assert charge < usable
        for hour in range(begin, begin + 72):
            charge, water = hour_of(charge, float(array.total[hour % 8760]) / 1000, math.inf)
            pumped += water
        cell = dark.cell("frugal pump")
        assert cell.power == "inverter"
        assert cell.volume == pytest.approx(pumped / 3, rel=1e-3)

    def test_more_battery_never_gives_less(self) -> None:
        text = example("ridge_house")
        more = changed(text, ('"15 kWh"', '"30 kWh"'))
        for key in ("dark_3", "dark_7"):
            small, large = (event(outages(each), key) for each in (text, more))
            assert large.cell("frugal pump").volume > small.cell("frugal pump").volume


class TestOwnOutages:
    TEXT = (
        HUT
        + HAND.replace("24 m", "34 m")
        + (
            '\n[[outage]]\nname = "drought"\nfailed = ["well"]\ndays = 2\n'
            '\n[[outage]]\nname = "flood"\nfailed = ["grid", "hand pump"]\n'
        )
    )

    def test_each_has_its_verdict_and_its_remedy_works(self) -> None:
        results = studied(self.TEXT)
        found = [each for each in results.verdicts if each.rule.key == OWN]
        assert [(each.subject, each.status) for each in found] == [
            ("drought", "fail"), ("flood", "fail"),
        ]  # fmt: skip
        assert results.outages is not None
        assert named(results.outages, "flood").days == 7
        assert all(each.remedy is not None for each in found)
        # Two days of 90 L from a tank that is half full: 360 L; a week of them 1260 L.
        told = re.search(r"tank of (\d+) L", found[0].remedy.text("SI"))  # type: ignore[union-attr]
        assert told is not None
        assert 360 <= float(told[1]) <= 362
        mended = studied(self.TEXT + '\n[storage_tank]\nvolume = "1261 L"\n')
        assert {each.status for each in mended.verdicts if each.rule.key == OWN} == {"pass"}

    def test_shares_stay_within_what_is_wanted_in_the_rows(self) -> None:
        from wellsolar.reports.tables.sections import sections
        from wellsolar.reports.text.json import as_json

        results = studied(self.TEXT)
        grids = as_json(results, sections(results))["sections"]["outages"]["grids"]
        rows = {each["failed"]: each for each in grids["matrix"]["rows"]}
        assert rows["nothing"]["survival_fraction"] == 1.0
        assert rows["drought"]["survival_fraction"] == rows["drought"]["volume_m3"] == 0.0
        assert rows["everything but hands"]["effort_s"] == pytest.approx(
            60 * 90 / (40 * 0.90 * math.pi / 4 * 0.635**2 * 1.25), rel=0.05
        )


def test_a_site_without_water_or_people_stays_quiet() -> None:
    found = studied('[well]\ndepth = "60 m"\nstatic_level = "20 m"\n')
    assert found.outages is None
    assert found.verdicts == ()
    assert any("source of water" in note for note in found.notes)


def test_what_a_day_of_the_battery_leaves_out_is_told() -> None:
    """An upper figure without other loads, a lower one beside a generator: each where it is so."""

    def said(text: str) -> dict[str, str]:
        return {each.path: each.why for each in studied(text).assumptions}

    battery = '[power]\nbattery_energy = "5 kWh"\n'
    assert "an upper figure" in said(HUT + battery)["power.other_use"]
    loads = f'{battery}other_use = "2 kWh"\n'
    assert "power.other_use" not in said(HUT + loads)
    assert "generator on the battery" not in said(HUT + loads)
    generator = 'generator_rating = "7 kVA"\n'
    assert "not counted" in said(HUT + battery + generator)["generator on the battery"]
    assert "generator on the battery" not in said(f"{HUT}[power]\n{generator}")
