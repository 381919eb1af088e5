"""Flow past a motor, by area and flow."""

from __future__ import annotations

import math

import pytest

from tests.studies.pump.deep_pump import (
    BASE,
    FOOT,
    INCH,
    PSI,
    PUMP,
    SWITCH,
    flow_at,
    printed,
    pump_of,
    studied,
    verdict_of,
)


class TestCooling:
    TEXT = BASE + SWITCH.format(volume=40, precharge=28) + PUMP

    def test_velocity_and_shroud_by_hand(self) -> None:
        pump = pump_of(self.TEXT + 'motor_diameter = "3.75 in"\n')
        flow = flow_at(50 * PSI)
        ring = math.pi / 4 * ((6 * INCH) ** 2 - (3.75 * INCH) ** 2)
        cooling = pump.cooling
        assert cooling is not None
        assert cooling.velocity == pytest.approx(flow / ring, rel=1e-3)
        assert cooling.least_flow == pytest.approx(0.25 * FOOT * ring, rel=1e-9)
        # The ring of the shroud passes the flow at just that velocity.
        shroud = math.pi / 4 * (cooling.shroud_bore**2 - (3.75 * INCH) ** 2)
        assert flow / shroud == pytest.approx(0.25 * FOOT, rel=1e-3)

    def test_a_shroud_or_a_narrow_casing_mends_it(self) -> None:
        text = self.TEXT + 'motor_diameter = "3.75 in"\n'
        verdict = verdict_of(text, "motor cooling")
        assert verdict.status == "caution"
        assert verdict_of(text + "shroud = true\n", "motor cooling").status == "pass"
        bore = printed(verdict, r"shroud of ([\d.]+) in")
        sleeve = text.replace('casing_bore = "6 in"', f'casing_bore = "{bore} in"')
        assert verdict_of(sleeve, "motor cooling").status == "pass"

    def test_it_asks_for_the_casing_and_is_silent_without_a_motor(self) -> None:
        text = self.TEXT.replace('casing_bore = "6 in"\n', "")
        asked = verdict_of(text + 'motor_diameter = "3.75 in"\n', "motor cooling")
        assert asked.needs == ("well.casing_bore",)
        assert "motor cooling" not in {each.rule.key for each in studied(self.TEXT).verdicts}
