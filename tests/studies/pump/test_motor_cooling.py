"""Flow past a motor, by area and flow."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import pytest

from tests.studies.printed import compared, told
from tests.studies.pump.deep_pump import (
    BASE,
    FOOT,
    GPM,
    INCH,
    PSI,
    PUMP,
    SWITCH,
    flow_at,
    printed,
    pump_of,
    verdict_of,
)
from wellsolar.results.pumps import CoolingResult
from wellsolar.studies.pump.motor_cooling import cooling_verdicts
from wellsolar.verdicts import changes_of

SHEET = 'power = "520, 640, 730, 790, 810 W"\n'


class TestCooling:
    TEXT = BASE + SWITCH.format(volume=40, precharge=28) + PUMP
    LARGE = 'motor_diameter = "3.75 in"\nrated_power = "3 hp"\n'

    def test_velocity_and_shroud_by_hand(self) -> None:
        pump = pump_of(self.TEXT + self.LARGE)
        flow = flow_at(50 * PSI)
        ring = math.pi / 4 * ((6 * INCH) ** 2 - (3.75 * INCH) ** 2)
        cooling = pump.cooling
        assert cooling.velocity == pytest.approx(flow / ring, rel=1e-3)
        assert cooling.least_flow == pytest.approx(0.25 * FOOT * ring, rel=1e-9)
        # The ring of the shroud passes the flow at just that velocity.
        assert cooling.shroud_bore is not None
        shroud = math.pi / 4 * (cooling.shroud_bore**2 - (3.75 * INCH) ** 2)
        assert flow / shroud == pytest.approx(0.25 * FOOT, rel=1e-3)

    def test_a_shroud_or_a_narrow_casing_mends_it(self) -> None:
        text = self.TEXT + self.LARGE
        verdict = verdict_of(text, "motor cooling")
        assert verdict.status == "caution"
        assert [str(change) for change in changes_of(verdict.remedy)] == ["pump[1].shroud=true"]
        assert verdict_of(text + "shroud = true\n", "motor cooling").status == "pass"
        bore = printed(verdict, r"shroud of ([\d.]+) in")
        sleeve = text.replace('casing_bore = "6 in"', f'casing_bore = "{bore} in"')
        assert verdict_of(sleeve, "motor cooling").status == "pass"

    @pytest.mark.parametrize(
        ("motor", "status"),
        [
            # A maker's table asks no flow past 4-inch motors below 3 hp.
            ('motor_diameter = "3.75 in"\nrated_power = "2 hp"', "pass"),
            ('motor_diameter = "3.75 in"\nrated_power = "3 hp"', "caution"),
            # Its sheet has it at 810 W at most, for which 1 1/2 hp is enough.
            ('motor_diameter = "3.75 in"', "pass"),
            ('motor_diameter = "3.75 in" # no curve of power', "unknown"),
            # In this bore the water passes at more than 0.25 ft/s and at less than the 0.5 ft/s
            # that the table asks of motors for 6-inch wells.
            ('motor_diameter = "5.5 in"\nrated_power = "5 hp"', "caution"),
        ],
    )
    def test_what_is_asked_goes_by_the_motors_size(self, motor: str, status: str) -> None:
        wide = "7.5 in" if "5.5 in" in motor else "6 in"
        text = self.TEXT.replace('casing_bore = "6 in"', f'casing_bore = "{wide}"') + motor + "\n"
        text = text.replace(SHEET, "") if "no curve" in motor else text
        verdict = verdict_of(text, "motor cooling")
        assert verdict.status == status
        if status == "unknown":
            assert verdict.needs == ("pump[1].rated_power",)

    def test_a_drive_that_holds_its_pressure_is_judged_at_its_least_flow(self) -> None:
        text = BASE.replace('casing_bore = "6 in"', 'casing_bore = "4.5 in"') + PUMP + self.LARGE
        text += 'start = "variable speed"\nheld_pressure = "45 psi"\n'
        assert verdict_of(text, "motor cooling").needs == ("pump[1].least_flow",)
        ring = math.pi / 4 * ((4.5 * INCH) ** 2 - (3.75 * INCH) ** 2)
        least = 0.25 * FOOT * ring / 3.785411784e-3 * 60
        for flow, status in ((1.02 * least, "pass"), (0.98 * least, "caution")):
            drive = text + f'least_flow = "{flow} gpm"\n'
            assert verdict_of(drive, "motor cooling").status == status

    def test_it_asks_for_the_casing_and_for_the_size_of_a_motor_that_may_be_large(self) -> None:
        text = self.TEXT.replace('casing_bore = "6 in"\n', "")
        asked = verdict_of(text + self.LARGE, "motor cooling")
        assert asked.needs == ("well.casing_bore",)
        assert verdict_of(self.TEXT, "motor cooling").status == "pass"
        open_ = verdict_of(self.TEXT.replace(SHEET, ""), "motor cooling")
        assert open_.needs == ("pump[1].rated_power",)
        large = verdict_of(self.TEXT + 'rated_power = "3 hp"\n', "motor cooling")
        assert large.needs == ("pump[1].motor_diameter",)
        small = self.TEXT + 'rated_power = "2 hp"\n'
        assert verdict_of(small, "motor cooling").status == "pass"
        asked_past_all = small + '\n[limits]\nmotor_cooling = "0.5 ft/s"\n'
        assert verdict_of(asked_past_all, "motor cooling").needs == ("pump[1].motor_diameter",)


@pytest.mark.parametrize(
    ("speed", "shroud", "horses", "status", "words"),
    [
        (0.25, False, 3.0, "pass", "{flow} passes the {motor} motor at {velocity}"),
        (0.24, False, 3.0, "caution", "{flow} passes the {motor} motor in the {casing} casing at "
         "{velocity} only; {limit} is asked"),
        (0.24, True, 3.0, "pass", "a shroud directs {flow} past the {motor} motor: with a bore of "
         "{bore:down} or less at {limit} or more"),
        (0.25, True, 3.0, "pass", "{flow} passes the {motor} motor at {velocity}"),
        # None is asked below 3 hp, and of a motor of no size more than passes it.
        (0.24, False, None, "unknown", None),
        (0.24, False, 2.0, "pass", "makers ask no flow past a {size} motor below 3 hp"),
    ],
)  # fmt: skip
def test_water_past_a_motor_of_a_4_inch_well(
    speed: float, shroud: bool, horses: float | None, status: str, words: str | None
) -> None:
    site: Any = SimpleNamespace(
        limits=SimpleNamespace(motor_cooling=None),
        well=SimpleNamespace(casing_bore=6 * INCH, water_temperature=12.0),
    )
    table: Any = SimpleNamespace(
        name="deep", kind="submersible", draws="well", power=None, diameter=None,
        motor_diameter=3.75 * INCH, rated_power=horses and horses * 745.7,
    )  # fmt: skip
    result = CoolingResult(
        flow=12 * GPM, motor_diameter=3.75 * INCH, velocity=speed * FOOT, limit=0.25 * FOOT,
        least_flow=13 * GPM, shroud_bore=5.75 * INCH, shroud=shroud,
    )  # fmt: skip
    (found,) = cooling_verdicts(site, table, result, "pump[1]")
    assert found.status == status
    if words is None:
        assert found.needs == ("pump[1].rated_power",)
        return
    assert found.reason.template == words
    every = {
        "flow": "12 gpm, flow", "motor": "3.75 in, small length",
        "velocity": f"{speed:g} ft/s, velocity", "limit": "0.25 ft/s, velocity",
        "casing": "6 in, small length", "bore": "5.75 in, small length",
        "size": "3.75 in, small length",
    }  # fmt: skip
    made = told(found.reason)
    assert made == {key: every[key] for key in made}
    if "{velocity}" in words:
        assert compared(found)[1:] == (every["velocity"], every["limit"])
    if status == "caution":
        assert told(found.remedy) == {"bore": "5.75 in, small length", "least": "13 gpm, flow"}
