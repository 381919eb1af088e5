"""Suction at altitude and with heat, against vapour pressure and arithmetic."""

from __future__ import annotations

import math

import pytest
from CoolProp.CoolProp import PropsSI
from fluids.friction import friction_factor

from tests.studies.pump.deep_pump import FOOT, GPM, INCH, G, printed, pump_of, studied, verdict_of


class TestSuction:
    TEXT = """
[site]
note = "invented"
altitude = "{altitude} ft"
[well]
depth = "60 ft"
static_level = "{level} ft"
specific_capacity = "5 gpm/ft"
water_temperature = "{warmth} degF"
[piping]
pitless_depth = "0 ft"
[piping.drop_pipe]
material = "polyethylene SIDR"
size = "1 1/4 in"
length = "40 ft"
[pressure_switch]
cut_in = "30 psi"
cut_out = "50 psi"
[[pump]]
name = "jet"
kind = "suction"
intake_depth = "35 ft"
flow = "0, 4, 8, 12 gpm"
head = "190, 170, 130, 60 ft"
required_suction_head = "{required} ft"
"""

    def text(self, **changes: object) -> str:
        usual = {"altitude": 500, "level": 12, "warmth": 55, "required": 12}
        return self.TEXT.format(**(usual | changes))

    @pytest.mark.parametrize(("altitude", "warmth"), [(0, 50), (5000, 50), (500, 140)])
    def test_the_head_available_by_hand(self, altitude: float, warmth: float) -> None:
        suction = pump_of(self.text(altitude=altitude, warmth=warmth)).suction
        kelvin = (warmth + 459.67) / 1.8
        density = PropsSI("D", "T", kelvin, "P", 101_325, "Water")
        viscosity = PropsSI("V", "T", kelvin, "P", 101_325, "Water") / density
        vapour = PropsSI("P", "T", kelvin, "Q", 0, "Water")
        air = 101_325 * (1 - 2.25577e-5 * altitude * FOOT) ** 5.25588
        bore = 1.380 * INCH
        speed = suction.flow / (math.pi / 4 * bore**2)
        factor = friction_factor(Re=speed * bore / viscosity, eD=1.5e-6 / bore)
        friction = factor * 40 * FOOT / bore * speed**2 / (2 * G)
        lift = 12 * FOOT + suction.flow / (5 * GPM / FOOT)
        available = (air - vapour) / (density * G) - lift - friction
        assert suction.available == pytest.approx(available, abs=0.02)

    def test_height_and_heat_take_it_away(self) -> None:
        rule = "net positive suction head"
        assert verdict_of(self.text(), rule).status == "pass"
        assert verdict_of(self.text(altitude=9000), rule).status == "fail"
        assert verdict_of(self.text(warmth=190), rule).status == "fail"

    @pytest.mark.parametrize("required", [17.5, 20, 26])
    def test_the_pump_it_asks_for_has_enough(self, required: float) -> None:
        rule = "net positive suction head"
        verdict = verdict_of(self.text(required=required), rule)
        assert verdict.status in ("caution", "fail")
        less = printed(verdict, r"no more than ([\d.]+) ft")
        assert verdict_of(self.text(required=less), rule).status == "pass"

    @pytest.mark.parametrize("depth", ["8 ft", "12 ft"])
    def test_a_foot_valve_above_the_water_is_told_as_such(self, depth: str) -> None:
        # Its curve would do: what is wrong is that it hangs no deeper than the water at rest.
        text = self.text().replace('intake_depth = "35 ft"', f'intake_depth = "{depth}"')
        rules = {each.rule.key for each in studied(text).verdicts}
        assert "reaches cut-out" not in rules
        found = verdict_of(text, "submergence")
        assert found.status == "fail"
        hung = printed(found, r"hang the intake at ([\d.]+ ft)")
        mended = text.replace(f'intake_depth = "{depth}"', f'intake_depth = "{hung}"')
        assert verdict_of(mended, "submergence").status != "fail"
        assert verdict_of(mended, "reaches cut-out").status == "pass"

    def test_it_is_unknown_where_the_sheet_does_not_tell(self) -> None:
        text = self.text().replace('required_suction_head = "12 ft"\n', "")
        found = verdict_of(text, "net positive suction head")
        assert found.status == "unknown"
        assert found.needs == ("pump[1].required_suction_head",)
