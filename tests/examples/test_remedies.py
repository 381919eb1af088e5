"""What a failing site is told, put into its file as printed: the verdict then passes.

Also: every unknown verdict of the smallest file is settled by the keys that it names.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.sampled import sampled
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.verdicts import changes_of


class TestRemedies:
    """A failing site, mended with the very words of its remedy, passes."""

    @staticmethod
    def small(site: Any, *changes: tuple[str, str]) -> str:
        text = site.with_key(site.text("smallest"), "well.specific_capacity", '"0.5 gpm/ft"')
        return str(site.edited(text, *changes))

    # Several levels: a remedy rounded the wrong way holds at some of them only.
    LEVELS = (60.0, 63.7, 71.1, 78.5, 85.9, 89.6)

    @pytest.mark.parametrize("level", LEVELS)
    def test_highest_cut_out(self, site: Any, level: float) -> None:
        static = ('static_level = "60 ft"', f'static_level = "{level} ft"')
        rule = "reaches cut-out"
        for system, unit in (("US", "psi"), ("SI", "kPa")):
            for asked in ("118 psi", "135 psi"):
                failing = self.small(site, static, ('cut_out = "60 psi"', f'cut_out = "{asked}"'))
                verdict = site.verdict(site.study(failing, ("pump",)), rule)
                assert verdict.status in ("caution", "fail")
                highest = site.printed(verdict, rf"no higher than ([\d.]+ {unit})", system)
                mended = self.small(site, static, ('cut_out = "60 psi"', f'cut_out = "{highest}"'))
                results = site.study(mended, ("pump",))
                assert site.verdict(results, rule).status == "pass"
                assert results.pumps[0].duties[-1].flow > 0
        head = site.printed(verdict, r"a shut-off head of at least ([\d.]+) ft")
        stronger = site.edited(failing, ('head = "340,', f'head = "{head},'))
        assert site.verdict(site.study(stronger, ("pump",)), rule).status == "pass"

    @pytest.mark.parametrize("level", LEVELS)
    @pytest.mark.parametrize("system", ["US", "SI"])
    def test_smallest_tank(self, site: Any, level: float, system: str) -> None:
        static = ('static_level = "60 ft"', f'static_level = "{level} ft"')
        text = self.small(site, static)
        text += '\n[pressure_tank]\nvolume = "10 gal"\nprecharge = "38 psi"\n'
        verdict = site.verdict(site.study(text, ("tank",)), "run time")
        assert verdict.status == "fail"
        volume = site.printed(verdict, r"a ([\d.]+ (?:gal|L)) tank", system)
        mended = site.study(site.edited(text, ("10 gal", volume)), ("tank",))
        assert site.verdict(mended, "run time").status == "pass"

    @pytest.mark.parametrize("use", [700, 811, 922, 1033])
    def test_tank_for_fewer_starts(self, site: Any, use: int) -> None:
        text = self.small(site)
        text += '\n[pressure_tank]\nvolume = "5 gal"\nprecharge = "38 psi"\n'
        text += f'\n[demand]\ndaily_use = "{use} gal/day"\n'
        verdict = site.verdict(site.study(text, ("tank",)), "starts a day")
        assert verdict.status == "caution"
        volume = site.printed(verdict, r"a ([\d.]+ gal) tank")
        mended = site.study(site.edited(text, ('"5 gal"', f'"{volume}"')), ("tank",))
        assert site.verdict(mended, "starts a day").status == "pass"

    @pytest.mark.parametrize(("wrong", "status"), [("48 psi", "fail"), ("20 psi", "caution")])
    @pytest.mark.parametrize("system", ["US", "SI"])
    def test_precharge(self, site: Any, wrong: str, status: str, system: str) -> None:
        text = self.small(site)
        text += f'\n[pressure_tank]\nvolume = "80 gal"\nprecharge = "{wrong}"\n'
        verdict = site.verdict(site.study(text, ("tank",)), "precharge")
        assert verdict.status == status
        right = site.printed(verdict, r"set the air to ([\d.]+ (?:psi|kPa))", system)
        mended = site.study(site.edited(text, (wrong, right)), ("tank",))
        assert site.verdict(mended, "precharge").status == "pass"
        if system == "US":
            assert right == "38.0 psi"  # 2 psi below the cut-in of 40 psi

    @pytest.mark.parametrize("use", sampled([2400, 3000, 3600], 3000))
    def test_fewest_modules(self, site: Any, use: int) -> None:
        text = site.edited(
            site.text("ridge_house"),
            ('daily_use = "240 gal/day"', f'daily_use = "{use} gal/day"'),
            ("series = 8\nparallel = 4", "series = 1\nparallel = 1"),
        )
        verdict = site.verdict(site.study(text, ("supply",)), "array for the pump")
        assert verdict.status == "fail"
        modules = int(site.printed(verdict, r"(\d+) modules? or more"))
        for count in (modules, modules - 1):
            changed = site.edited(
                text, ("series = 1\nparallel = 1", f"series = {count}\nparallel = 1")
            )
            again = site.verdict(site.study(changed, ("supply",)), "array for the pump")
            if count == modules:
                assert again.status == "pass"
            elif again.status != "fail":
                # One fewer does at the likeliest level, and fails at the range's end.
                assert again.status == "caution"
                assert "static_level" in again.reason.text("US")

    @pytest.mark.parametrize("level", LEVELS)
    @pytest.mark.parametrize("below", [-9.0, 2.0, 12.3, 25.7])
    def test_intake_depth(self, site: Any, level: float, below: float) -> None:
        intake = f"{level + below:.1f} ft"
        text = self.small(
            site,
            ('static_level = "60 ft"', f'static_level = "{level} ft"'),
            ('name = "well pump"', f'name = "well pump"\nintake_depth = "{intake}"'),
        )
        verdict = site.verdict(site.study(text, ("pump",)), "submergence")
        assert verdict.status in ("fail", "caution")
        deeper = site.printed(verdict, r"hang the intake at ([\d.]+ ft)")
        mended = site.study(site.edited(text, (intake, deeper)), ("pump",))
        assert site.verdict(mended, "submergence").status == "pass"

    def test_greatest_flow(self, site: Any) -> None:
        results = site.study(site.text("creek_cabin"))
        verdict = site.verdict(results, "submergence", "old pump")
        flow = float(site.printed(verdict, r"no more than ([\d.]+) gpm"))
        # 160 ft less 10 ft of cover stand 112 ft below the water at rest; at the 0.02 gpm/ft of
        # the test's fourth hour, and at a day's 0.016, the level allows more than the test found.
        assert flow == pytest.approx(min((160 - 10 - 38) * 0.02, 1.5))
        assert 38 + flow / 0.02 <= 160 - 10
        assert f"{flow:.2f} gpm" in site.verdict(results, "yield", "old pump").remedy.text("US")

    def test_a_flow_control_to_the_tested_yield(self, site: Any) -> None:
        # The old pump held to 1.5 gpm by a flow control: its curve falls away there.
        text = site.edited(
            site.text("creek_cabin"),
            ('flow = "0, 3, 6, 9, 12 gpm"', 'flow = "0, 1.4, 1.5 gpm"'),
            ('head = "290, 270, 235, 180, 95 ft"', 'head = "290, 284, 5 ft"'),
            ('power = "560, 680, 780, 850, 880 W"', 'power = "560, 620, 625 W"'),
        )
        results = site.study(text, ("pump",))
        assert site.verdict(results, "yield", "old pump").status == "pass"
        assert site.verdict(results, "submergence", "old pump").status == "pass"

    @pytest.mark.parametrize("length", [400, 580, 760, 1300])
    def test_thinnest_gauge_of_the_pump(self, site: Any, length: int) -> None:
        cable = f'cable = {{ gauge = "14 AWG", length = "{length} ft" }}'
        # The code's table of motor currents is read by the motor's power.
        keys = f'rated_power = "1 hp"\n{cable}'
        text = self.small(site, ('name = "well pump"', f'name = "well pump"\n{keys}'))
        verdict = site.verdict(site.study(text, ("pump",)), "voltage drop")
        assert verdict.status == "caution"
        gauge = site.printed(verdict, r"use ([\d/]+ AWG)")
        mended = site.study(site.edited(text, ("14 AWG", gauge)), ("pump",))
        assert site.verdict(mended, "voltage drop").status == "pass"
        assert site.verdict(mended, "motor conductor").status == "pass"

    @pytest.mark.parametrize("length", sampled([250, 400, 500], 400))
    def test_thinnest_gauge_of_the_array(self, site: Any, length: int) -> None:
        run = f'"10 AWG", length = "{length} ft"'
        text = site.edited(site.text("ridge_house"), ('"10 AWG", length = "250 ft"', run))
        verdict = site.verdict(site.study(text, ("heat",)), "voltage drop")
        assert verdict.status == "caution"
        gauge = site.printed(verdict, r"use ([\d/]+ AWG)")
        mended = site.study(site.edited(text, (run, run.replace("10 AWG", gauge))), ("heat",))
        assert site.verdict(mended, "voltage drop").status == "pass"
        assert site.verdict(mended, "pv conductor").status == "pass"

    @pytest.mark.parametrize("bore", [2.15, 2.3, 2.45])
    @pytest.mark.parametrize("rule", ["handle force", "hand into the tank"])
    def test_lever_and_cylinder(self, site: Any, bore: float, rule: str) -> None:
        text = self.small(site)
        text += '\n[pressure_tank]\nvolume = "40 gal"\nprecharge = "38 psi"\n'
        text += f'\n[hand_pump]\nbore = "{bore} in"\nstroke = "8 in"\nlever_ratio = "4"\n'
        text += 'cylinder_depth = "150 ft"\ndelivers = "tank"\n'
        verdict = site.verdict(site.study(text, ("hand",)), rule)
        assert verdict.status in ("fail", "caution")
        # A lever alone would move the hand by more than it reaches: what is named does both.
        changes = [str(each) for each in changes_of(verdict.remedy)]
        after = study_site(parse_site(text, "small", changes), ("hand",))
        assert site.verdict(after, rule).status == "pass"
        assert site.verdict(after, "hand travel").status == "pass"

    def test_the_hut_with_a_deep_well_pump(self, site: Any) -> None:
        verdict = site.verdict(site.study(site.text("high_pass")), "hand suction lift")
        level = float(site.printed(verdict, r"below ([\d.]+) m", "SI"))
        kind = f'kind = "deep well"\ncylinder_depth = "{level + 1.0} m"'
        text = site.edited(site.text("high_pass"), ('kind = "suction"', kind))
        results = site.study(text, ("hand",))
        assert not results.fails
        assert site.verdict(results, "cylinder under water").status == "pass"
        assert site.verdict(results, "survival by hand").status == "pass"

    def test_surge_rating_or_gentler_start(self, site: Any) -> None:
        verdict = site.verdict(site.study(site.text("creek_cabin")), "inverter surge", "old pump")
        rating = site.printed(verdict, r"an inverter of ([\d.]+ VA) for a start")
        # The locked rotor's 24 A on 230 V, at most 80 % of the surge.
        assert site.printed(verdict, r"needs ([\d.]+) VA") == "6900"
        assert float(rating.removesuffix(" VA")) >= 24 * 230 / 0.80
        text = site.edited(site.text("creek_cabin"), ('"4 kVA"', f'"{rating}"'))
        mended = site.study(text, ("pump",))
        assert site.verdict(mended, "inverter surge", "old pump").status == "pass"
        current = site.printed(verdict, r"current to ([\d.]+ A)")
        text = site.edited(
            site.text("creek_cabin"),
            ('start = "direct"', f'start = "soft"\nstarting_current = "{current}"'),
        )
        mended = site.study(text, ("pump",))
        assert site.verdict(mended, "inverter surge", "old pump").status == "pass"

    def test_wire_or_starter_for_the_voltage_at_start(self, site: Any) -> None:
        # 48 A would lose 211 V of 230 V in 700 ft of 14 AWG, 3.14 ohm per 1000 ft (NEC Chapter 9
        # Table 8, second hand): far less than the 65 % that turns a motor is left.
        wire = '"14 AWG", length = "700 ft"'
        text = site.edited(site.text("ridge_house"), ('"12 AWG", length = "330 ft"', wire))
        rule = "voltage at start"
        verdict = site.verdict(site.study(text, ("pump",)), rule, "house pump")
        assert verdict.status == "fail"
        gauge = site.printed(verdict, r"use ([\d/]+ AWG)")
        thicker = site.edited(text, (wire, wire.replace("14 AWG", gauge)))
        mended = site.study(thicker, ("pump",))
        for each in (rule, "voltage drop", "motor conductor"):
            assert site.verdict(mended, each, "house pump").status == "pass"
        current = site.printed(verdict, r"current to ([\d.]+ A)")
        soft = f'start = "soft"\nstarting_current = "{current}"'
        mended = site.study(site.edited(text, ('start = "direct"', soft)), ("pump",))
        assert site.verdict(mended, rule, "house pump").status == "pass"

    @pytest.mark.parametrize("system", ["US", "SI"])
    def test_generator(self, site: Any, system: str) -> None:
        text = site.with_key(site.text("ridge_house"), "power.generator_rating", '"2 kVA"')
        rule = "generator start"
        verdict = site.verdict(site.study(text, ("pump",)), rule, "house pump")
        assert verdict.status == "fail"
        rating = site.printed(verdict, r"generator of ([\d.]+ VA)", system)
        mended = site.study(site.edited(text, ('"2 kVA"', f'"{rating}"')), ("pump",))
        assert site.verdict(mended, rule, "house pump").status == "pass"
        assert site.verdict(mended, rule, "frugal pump").status == "pass"

    def test_shroud_for_a_motor_in_a_wide_casing(self, site: Any) -> None:
        text = site.edited(
            site.text("ridge_house"),
            ('motor_diameter = "3.75 in"\nshroud = true', 'motor_diameter = "3.75 in"'),
            # Makers ask no flow past a 4 in motor below 3 hp.
            ('rated_power = "1 hp"', 'rated_power = "3 hp"'),
        )
        verdict = site.verdict(site.study(text, ("pump",)), "motor cooling", "house pump")
        assert verdict.status == "caution"
        bore = float(site.printed(verdict, r"shroud of ([\d.]+) in"))
        assert 4.4 <= bore < 6.065  # the sleeve of the example, 4.4 in outside, is narrow enough
        bare = 'motor_diameter = "3.75 in"'
        mended = site.study(site.edited(text, (bare, f"{bare}\nshroud = true")), ("pump",))
        assert site.verdict(mended, "motor cooling", "house pump").status == "pass"

    @pytest.mark.parametrize("system", ["US", "SI"])
    def test_pumps_one_above_the_other_or_thinner(self, site: Any, system: str) -> None:
        text = site.edited(
            site.text("ridge_house"), ('intake_depth = "170 ft"', 'intake_depth = "188 ft"')
        )
        rule = "fits the casing"
        verdict = site.verdict(site.study(text, ("pump",)), rule)
        assert verdict.status == "fail"  # 4.4 in and 3 in in a casing of 6.065 in
        name = site.printed(verdict, r"hang the (\w+ pump) at", system)
        depth = site.printed(verdict, r"at ([\d.]+ (?:ft|m)\b)", system)
        was = {"house pump": '"190 ft"', "frugal pump": '"188 ft"'}[name]
        moved = site.study(site.edited(text, (was, f'"{depth}"')), ("pump",))
        assert site.verdict(moved, rule).status == "pass"
        assert site.verdict(moved, "submergence", name).status == "pass"
        assert site.verdict(moved, "above the bottom", name).status == "pass"
        name = site.printed(verdict, r"a (\w+ pump) of no more than", system)
        thin = site.printed(verdict, r"no more than ([\d.]+ (?:in|mm)) across", system)
        old = {"house pump": '"4.4 in"', "frugal pump": '"3 in"'}[name]
        motor = {"house pump": 'motor_diameter = "3.75 in"', "frugal pump": "motor_diameter = "
                 '"2.6 in"'}[name]  # fmt: skip
        thinner = site.edited(text, (f"diameter = {old}", f'diameter = "{thin}"'), (motor, ""))
        assert site.verdict(site.study(thinner, ("pump",)), rule).status == "pass"

    @pytest.mark.parametrize("held", [116, 130])
    def test_pressure_that_a_pump_can_hold(self, site: Any, held: int) -> None:
        keys = f'start = "variable speed"\nheld_pressure = "{held} psi"'
        text = self.small(site, ('name = "well pump"', f'name = "well pump"\n{keys}'))
        rule = "holds its pressure"
        verdict = site.verdict(site.study(text, ("pump",)), rule)
        assert verdict.status in ("caution", "fail")
        lower = site.printed(verdict, r"no more than ([\d.]+ psi)")
        mended = site.study(site.edited(text, (f'"{held} psi"', f'"{lower}"')), ("pump",))
        assert site.verdict(mended, rule).status == "pass"

    def test_string_length_or_switch_in_the_cold(self, site: Any) -> None:
        text = site.edited(site.text("ridge_house"), ("series = 4\n", "series = 14\n"))
        rule = "cold open-circuit voltage"
        verdict = site.verdict(site.study(text, ("heat",)), rule)
        assert verdict.status == "fail"
        most = site.printed(verdict, r"no more than (\d+) modules")
        fewer = site.study(site.edited(text, ("series = 14\n", f"series = {most}\n")), ("heat",))
        assert site.verdict(fewer, rule).status == "pass"
        rule = "thermostat on direct current"
        verdict = site.verdict(fewer, rule)
        assert verdict.status == "fail"
        volts = site.printed(verdict, r"made for ([\d.]+ V)")
        text = site.edited(
            text, ("series = 14\n", f"series = {most}\n"), ('"300 V"', f'"{volts}"')
        )
        assert site.verdict(site.study(text, ("heat",)), rule).status == "pass"

    @pytest.mark.parametrize(
        ("rule", "wrong", "right"),
        [
            ("mixing valve", ('outlet = "120 degF"', 'outlet = "135 degF"'), None),
            ("high limit", ('high_limit = "170 degF"', 'high_limit = "145 degF"'), None),
            ("thermostat on direct current",
             ('thermostat_switches = "relay"', 'thermostat_switches = "AC" # bare'),
             ('"AC" # bare', '"DC"')),
            ("high limit on direct current",
             ('high_limit_switches = "relay"', 'high_limit_switches = "same relay"'), None),
            ("scald protection at fixtures",
             ("fixture_valves = true", "fixture_valves = false"), None),
            ("thermal expansion", ("check_valve = false", "check_valve = true\n"
             "expansion_tank = false"), ("expansion_tank = false", "expansion_tank = true\n"
             # 1.31 gal between 60 and 80 psi take 6.2 gal by Boyle's law.
             'expansion_tank_volume = "7 gal"\nexpansion_tank_precharge = "60 psi"')),
            ("relief capacity", ('"100000 Btu/h"', '"15000 Btu/h"'), None),
            ("isolator", ('isolator_voltage = "600 V"', 'isolator_voltage = "150 V"'), None),
            ("rapid shutdown", ("rapid_shutdown = true   ", "rapid_shutdown = false   "), None),
        ],
    )  # fmt: skip
    def test_guards_of_the_tank(
        self, site: Any, rule: str, wrong: tuple[str, str], right: tuple[str, str] | None
    ) -> None:
        text = site.edited(site.text("ridge_house"), wrong)
        verdict = site.verdict(site.study(text, ("heat",)), rule)
        assert verdict.status in ("fail", "caution")
        assert verdict.remedy is not None
        mended = site.edited(text, right) if right else site.text("ridge_house")
        assert site.verdict(site.study(mended, ("heat",)), rule).status == "pass"

    @pytest.mark.parametrize("switch", ["300 V", "250 V"])
    def test_modules_and_element_for_one_clear_day(self, site: Any, switch: str) -> None:
        """Within what the thermostat's relay breaks, on the wire that it names."""
        text = site.edited(
            site.text("ridge_house"), ('switch_voltage = "300 V"', f'switch_voltage = "{switch}"')
        )
        verdict = site.verdict(site.study(text, ("heat",)), "reaches temperature")
        assert verdict.status == "caution"
        found = parse_site(text)
        changes = {change.path: json.loads(change.value) for change in verdict.remedy.changes}
        mended = study_site(found.with_values(changes), ("heat", "supply"))
        assert site.verdict(mended, "reaches temperature").status == "pass"
        before = {v.rule.key for v in study_site(found, ("heat", "supply")).verdicts
                  if v.status == "fail"}  # fmt: skip
        assert {v.rule.key for v in mended.verdicts if v.status == "fail"} <= before
        assert mended.heated_tank.series * 39.9 * 1.25 < float(switch.split()[0])

    @pytest.mark.parametrize("system", ["US", "SI"])
    def test_largest_tank_for_one_clear_day(self, site: Any, system: str) -> None:
        text = site.text("ridge_house")
        verdict = site.verdict(site.study(text, ("heat",)), "reaches temperature")
        volume = site.printed(verdict, r"no more than ([\d.]+ (?:gal|L))", system)
        changed = site.edited(text, ('volume = "50 gal"', f'volume = "{volume}"'))
        mended = site.study(changed, ("heat",))
        assert site.verdict(mended, "reaches temperature").status == "pass"

    def test_draw_of_which_pv_gives_half(self, site: Any) -> None:
        text = site.text("ridge_house")
        verdict = site.verdict(site.study(text, ("heat",)), "share from PV")
        assert verdict.status == "caution"
        draw = site.printed(verdict, r"no more than ([\d.]+ gal) a day")
        changed = site.edited(text, ('volume = "55 gal"', f'volume = "{draw}"'))
        mended = site.study(changed, ("heat",))
        assert site.verdict(mended, "share from PV").status == "pass"


SENSIBLE = {
    "site.people": "4",
    "well.tested_yield": '"20 gpm"',
    "well.specific_capacity": '"0.5 gpm/ft"',
    "demand.daily_use": '"200 gal/day"',
    "power.inverter_rating": '"5 kW"',
    "power.inverter_surge": '"12 kVA"',
    "power.inverter_voltage": '"240 V"',
    "pump[1].locked_rotor_current": '"34 A"',
    "pump[1].power": '"500, 620, 740, 850, 900 W"',
    "pump[1].rated_power": '"3/4 hp"',
    "pump[1].voltage": '"230 V"',
    "pump[1].cable": '{ gauge = "10 AWG", length = "200 ft" }',
    "pump[1].overload": '"in the motor"',
    "pump[1].ground_fault_breaker": "true",
    "site.code_edition": "2020",
    "well.bonded": "true",
    "power.kept_apart": '["grid and inverter"]',
    "piping.check_valve_place": '"pump"',
    "piping.frost_depth": '"3 ft"',
    "piping.pitless_depth": '"5 ft"',
    "piping.drop_pipe.pressure_class": '"160 psi"',
    "piping.lateral.pressure_class": '"160 psi"',
    "pressure_tank.greatest_pressure": '"100 psi"',
    "pressure_tank.relief_pressure": '"75 psi"',
    # Of a size whose run is long enough for a motor of any power.
    "pressure_tank.volume": '"119 gal"',
    "pressure_tank.precharge": '"38 psi"',
    "pressure_tank.coldest_room": '"45 degF"',
}


class TestUnknowns:
    def test_each_alone_is_settled_by_the_keys_it_names(self, site: Any) -> None:
        text = site.text("smallest")
        unknown = [v for v in site.study(text).verdicts if v.status == "unknown"]
        assert len(unknown) >= 5
        for verdict in unknown:
            told = text
            for need in verdict.needs:
                told = site.with_key(told, need, SENSIBLE[need])
            again = [v for v in site.study(told).verdicts if v.rule.key == verdict.rule.key]
            assert again, verdict.rule.key
            assert all(v.status != "unknown" for v in again), verdict.rule.key

    def test_all_together_leave_nothing_open(self, site: Any) -> None:
        text = site.text("smallest")
        for _ in range(3):  # A tank that is told of raises the question of its precharge.
            needs = {need for v in site.study(text).verdicts for need in v.needs}
            for need in sorted(needs):
                text = site.with_key(text, need, SENSIBLE[need])
        verdicts = site.study(text).verdicts
        assert all(v.status != "unknown" for v in verdicts)
        assert any(v.status == "pass" for v in verdicts)
