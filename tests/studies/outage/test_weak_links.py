"""What fails with one component alone, and the remedy for it."""

from __future__ import annotations

import pytest

from tests.studies.outage import huts
from wellsolar.results.outages import Fix, Outage, OutageResult
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site

WORST = "water in the worst outage"


def link(found: OutageResult, component: str) -> Outage:
    return next(each.outage for each in found.links if each.component == component)


def fix_of(found: OutageResult, component: str) -> Fix:
    fix = next(each.fix for each in found.links if each.component == component)
    assert fix is not None, component
    return fix


class TestWeakLinks:
    def test_a_cylinder_above_the_low_season_water(self) -> None:
        """Cylinder at 24 m, water at 20 m as a rule, at 26 m in the low season."""
        text = huts.HUT + huts.HAND
        results = huts.studied(text)
        found = results.outages
        assert "above the low-season water" in found.whole.cell("hand pump").limit
        assert {each.component for each in found.weak} == {"grid", "house pump", "pressure switch"}
        assert huts.verdict(results, huts.LINKS).status == "fail"
        assert [each.kind for each in found.plan] == ["cylinder"]
        (fix,) = found.plan
        assert [each.path for each in fix.changes] == ["hand_pump.cylinder_depth"]
        remedy = huts.verdict(results, huts.LINKS).remedy
        assert fix.changes[0].value.strip('"') in remedy.text("SI")
        mended = huts.studied(huts.with_fix(text, fix))
        assert huts.verdict(mended, huts.LINKS).status == "pass"
        assert huts.verdict(mended, WORST).status == "pass"
        assert not mended.outages.weak
        assert link(mended.outages, "grid").survival > 1.0  # type: ignore[operator]

    def test_without_the_low_season_there_is_no_weak_link(self) -> None:
        level = ('"20 m (18 m .. 26 m)"', '"20 m"')
        assert not huts.outages(huts.changed(huts.HUT + huts.HAND, level)).weak

    def test_stored_water_for_a_week(self) -> None:
        """6 people, 90 L a day: a week of it is 630 L, and half a tank is there."""
        (fix,) = huts.outages(huts.HUT).plan
        assert (fix.kind, fix.changes[0].path) == ("storage", "storage_tank.volume")
        # 1260 L: the next tank that is sold at a metric site.
        assert fix.changes[0].value == '"1500 L"'
        assert (
            huts.verdict(huts.studied(huts.with_fix(huts.HUT, fix)), huts.LINKS).status == "pass"
        )
        smaller = huts.HUT + '\n[storage_tank]\nvolume = "1250 L"\n'
        assert huts.verdict(huts.studied(smaller), huts.LINKS).status == "fail"

    def test_a_valve_where_the_pressure_of_the_tank_is_the_work(self) -> None:
        """200 people, 3000 L: 8 h do not suffice against the tank's 36 m, at the spout they do.

        Water from 26 m, half a metre of drawdown: 0.72 x 61.6 W x 28800 s / (999 x 9.807 x H).
        """
        text = (
            huts.changed(
                huts.HUT,
                ("people = 6", "people = 200"),
                ('cut_in = "200 kPa"', 'cut_in = "300 kPa"'),
                ('cut_out = "300 kPa"', 'cut_out = "400 kPa"'),
            )
            + huts.HAND.replace("24 m", "34 m")
            + ('delivers = "tank"\nspout_valve = false\n[pressure_tank]\nvolume = "300 L"\n')
        )
        joules = 0.72 * huts.rule_of_power(480.0) * 28_800
        spout, tank = (joules / (999 * huts.G * head) for head in (27.1, 26 + 1.7 + 35.7))
        assert tank < 200 * 0.015 < spout
        found = huts.outages(text)
        cell = link(found, "grid").cell("hand pump")
        assert cell.volume == pytest.approx(tank, rel=0.03)
        assert cell.pressure == "by hand"
        fix = fix_of(found, "grid")
        assert (fix.kind, fix.changes[0].path) == ("valve", "hand_pump.spout_valve")
        mended = link(huts.outages(huts.with_fix(text, fix)), "grid")
        assert not mended.short
        assert mended.cell("hand pump").volume == pytest.approx(spout, rel=0.03)

    def test_a_hand_pump_where_a_tank_would_be_too_large(self) -> None:
        """60 people, 900 L a day: a tank of 12.6 m3, but less than an hour's work at 26 m."""
        text = huts.changed(huts.HUT, ("people = 6", "people = 60"))
        (fix,) = huts.outages(text).plan
        assert fix.kind == "hand pump"
        mended = huts.with_fix(text, fix)
        assert huts.verdict(huts.studied(mended), huts.LINKS).status == "pass"
        assert "fail" not in {
            each.status for each in study_site(parse_site(mended), ("hand",)).verdicts
        }

    def test_a_generator_where_nothing_else_helps(self) -> None:
        """1200 people in reach of no handle: what the grid's failure asks for is a generator."""
        text = huts.changed(
            huts.HUT,
            ("people = 6", "people = 1200"),
            ('"60 m"', '"120 m"'),
            ('"20 m (18 m .. 26 m)"', '"75 m"'),
            ('"45 m"', '"100 m"'),
            ('"110, 100, 80, 50 m"', '"200, 190, 170, 140 m"'),
            ('"0, 10, 20, 30 L/min"', '"0, 30, 60, 90 L/min"'),
        )
        found = huts.outages(text)
        fix = fix_of(found, "grid")
        assert fix.kind == "generator"
        mended = huts.with_fix(text + "\n[power]\n", fix)
        generator = link(huts.outages(mended), "grid")
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
            huts.changed(
                huts.HUT,
                ("people = 6", 'people = 6\nlatitude = "12 deg"'),
                ('voltage = "230 V"', 'voltage = "110 V"\nsupply = "DC"'),
                ('rated_power = "0.55 kW"\n', ""),
                ('locked_rotor_current = "20 A"\n', ""),
            )
            + self.SOLAR
        )
        found = huts.outages(text)
        weak = {each.component for each in found.weak}
        assert weak == {"pump array", "house pump", "pressure switch"}
        fix = fix_of(found, "pump array")
        assert fix.kind == "modules"
        assert [(each.path, each.value) for each in fix.changes] == [("array[2].feeds", '"pump"')]
        assert not link(huts.outages(huts.with_fix(text, fix)), "pump array").short

    def test_what_is_not_known_is_asked_for(self) -> None:
        text = huts.HUT + '\n[power]\ngrid = false\nbattery_energy = "5 kWh"\n'
        asked = huts.verdict(huts.studied(text), huts.LINKS)
        assert asked.status == "unknown"
        of_inverter = {f"power.inverter_{key}" for key in ("rating", "surge", "voltage")}
        assert set(asked.needs) <= of_inverter
        nobody = huts.verdict(huts.studied(huts.HUT.replace("people = 6\n", "")), huts.LINKS)
        assert nobody.needs == ("site.people",)
