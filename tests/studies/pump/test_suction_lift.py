"""Suction at altitude and with heat, against vapour pressure and arithmetic."""

from __future__ import annotations

import math

import pytest
from CoolProp.CoolProp import PropsSI
from fluids.friction import friction_factor

from tests.studies.pump.deep_pump import FOOT, GPM, INCH, G, printed, pump_of, studied, verdict_of
from wellsolar import kinds
from wellsolar.results.pumps import SuctionResult
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.pump.suction_lift import suction_verdicts
from wellsolar.verdicts import Verdict


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
        pump = pump_of(self.text(altitude=altitude, warmth=warmth))
        suction = pump.suction
        # Least head is left where most water is drawn.
        assert suction.flow == max(duty.flow for duty in pump.duties)
        assert min(duty.flow for duty in pump.duties) < 0.95 * suction.flow
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

    def judged(self, **of_result: float) -> dict[str, Verdict]:
        """Of a pump that 10 m of air press water to, which takes 0.3 m in its pipe."""
        site = parse_site(self.text()).site
        usual = {"flow": 1e-3, "limit": 10.0, "friction": 0.3, "available": 4.0, "required": 3.0}
        result = SuctionResult(**(usual | of_result))
        found = suction_verdicts(site, site.pump[0], result, "pump[1]")
        return {each.rule.key: each for each in found}

    @pytest.mark.parametrize(
        ("lift", "limit", "status"),
        [
            # Three fifths of what the air bears, in practice.
            (6.0, 10.0, "pass"),
            (6.01, 10.0, "fail"),
            (6.06, 10.0, "fail"),
            (0.01, 10.0, "pass"),
            (0.0, 10.0, "flooded"),
            (-2.5, 10.0, "flooded"),
            # Water that boils in thin air must stand above the pump.
            (-0.5, -1.0, "fail"),
        ],
    )
    def test_how_high_the_air_lifts(self, lift: float, limit: float, status: str) -> None:
        found = self.judged(lift=lift, limit=limit)["suction lift"]
        practice = pytest.approx(0.6 * limit)
        assert found.status == status.replace("flooded", "pass")
        assert (found.quantity, found.limit) == (lift, practice)
        told = {"above": -lift} if status == "flooded" else {
            "lift": lift, "theory": limit, "limit": practice}  # fmt: skip
        assert found.reason.parts == told
        assert all(each.kind is kinds.LENGTH for each in found.reason.quantities().values())

    @pytest.mark.parametrize(
        ("available", "status", "allowed"),
        [
            # 2 ft over the 3 m that the pump asks for.
            (3.61, "pass", None),
            (3.609, "caution", 2.9994),
            (3.54, "caution", 2.9304),
            (3.0, "caution", 2.3904),
            (2.999, "fail", 2.3894),
            (2.94, "fail", 2.3304),
            (0.62, "fail", 0.0104),
            (0.6096, "fail", None),
            (0.0, "fail", None),
            (-0.1, "fail", None),
        ],
    )
    def test_what_suction_head_leaves(
        self, available: float, status: str, allowed: float | None
    ) -> None:
        rule = "net positive suction head"
        for lift, side in ((2.0, "below"), (-2.0, "above"), (0.0, "below")):
            found = self.judged(lift=lift, available=available)[rule]
            assert found.status == status
            assert (found.quantity, found.limit) == (available, pytest.approx(3.6096))
            none = found.reason.template.startswith("none is available")
            assert none == (available <= 0.0)
            parts = {"lift": abs(lift), "side": side, "friction": 0.3, "flow": 1e-3}
            assert parts.items() <= found.reason.parts.items()
            heads = ["friction", "required"] + ["available"] * (available > 0.0)
            for name in heads:
                assert found.reason.parts[name].kind is kinds.HEAD, name
            assert found.reason.parts["flow"].kind is kinds.FLOW
            assert found.reason.parts["lift"].kind is kinds.LENGTH
            assert found.quantity.kind is found.limit.kind is kinds.HEAD
            assert "altitude of {altitude}, and" in found.reason.template
        if allowed is not None:
            assert found.remedy.parts["allowed"] == pytest.approx(allowed, rel=1e-3)
            assert found.remedy.parts["allowed"].kind is kinds.HEAD
        elif status != "pass":
            assert "no suction pump works here" in found.remedy.template
