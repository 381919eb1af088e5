"""A pump that holds its pressure, by the affinity of speed, flow and head."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import pytest
from scipy.optimize import brentq

from tests.studies.pump.deep_pump import (
    BASE,
    CURVE,
    DENSITY,
    FLOWS,
    FOOT,
    POWER,
    PSI,
    PUMP,
    SWITCH,
    G,
    flow_at,
    printed,
    pump_of,
    studied,
    system_head,
    verdict_of,
)
from wellsolar.studies.pump import held_pressure


class TestHeldPressure:
    TEXT = BASE + PUMP + 'start = "variable speed"\nheld_pressure = "{held} psi"\n'

    def test_speed_and_power_by_affinity(self) -> None:
        pump = pump_of(self.TEXT.format(held=45))
        speeds = pump.speeds
        assert [duty.label for duty in pump.duties] == ["at its pressure"]
        pressure = 45 * PSI
        least = math.sqrt(system_head(0.0, pressure) / (300 * FOOT))
        assert speeds.least_speed == pytest.approx(least, rel=1e-4)
        assert speeds.points[-1].flow == pytest.approx(flow_at(pressure), rel=1e-3)
        assert speeds.points[-1].speed == pytest.approx(1.0, abs=1e-6)
        for point in speeds.points:
            head = system_head(point.flow, pressure)
            flow = point.flow

            def lacking(s: float, flow: float = flow, head: float = head) -> float:
                return s**2 * float(CURVE(flow / s)) - head

            speed = float(brentq(lacking, max(least, flow / FLOWS[-1]), 1.01))
            assert point.speed == pytest.approx(speed, rel=1e-3)
            # The sheet's power by the cube, and 1 - (1 - e) / s^0.1 of its efficiency.
            full = float(POWER(flow / speed))
            efficiency = DENSITY * G * flow / speed * float(CURVE(flow / speed)) / full
            slowed = 1 - (1 - efficiency) / speed**0.1
            power = full * speed**3 * efficiency / slowed
            assert point.input_power == pytest.approx(power, rel=3e-3)
        assert speeds.points[0].input_power < speeds.points[-1].input_power

    def test_no_tank_cycle_is_told_of_a_pump_that_holds_its_pressure(self) -> None:
        text = self.TEXT.format(held=45) + SWITCH.format(volume=40, precharge=28)
        results = studied(text)
        assert results.pressure_tank.cycles == ()
        rules = {each.rule.key for each in results.verdicts}
        assert "holds its pressure" in rules
        assert "reaches cut-out" not in rules

    @pytest.mark.parametrize(("held", "status"), [(45, "pass"), (98, "caution"), (120, "fail")])
    def test_the_pressure_it_can_hold(self, held: int, status: str) -> None:
        # Shut-off 300 ft less 70 ft of lift is 99.6 psi.
        verdict = verdict_of(self.TEXT.format(held=held), "holds its pressure")
        assert verdict.status == status
        if status != "pass":
            lower = printed(verdict, r"hold no more than ([\d.]+) psi")
            mended = verdict_of(self.TEXT.format(held=lower), "holds its pressure")
            assert mended.status == "pass"
            head = printed(verdict, r"a shut-off head of at least ([\d.]+) ft")
            stronger = self.TEXT.format(held=held).replace('"300, 285', f'"{head}, 285')
            assert verdict_of(stronger, "holds its pressure").status == "pass"

    def test_a_helical_rotor_is_told_no_speeds(self) -> None:
        text = self.TEXT.format(held=45) + 'kind = "helical rotor"\n'
        pump = pump_of(text)
        assert pump.speeds is None
        assert pump.duties[0].flow == pytest.approx(flow_at(45 * PSI), rel=1e-3)
        rules = {each.rule.key for each in studied(text).verdicts}
        assert {"submergence", "above the bottom"} <= rules
        assert "suction lift" not in rules

    @pytest.mark.parametrize(
        ("precharge", "status"), [(31.5, "pass"), (28, "pass"), (20, "caution"), (45, "fail")]
    )
    def test_its_precharge_goes_by_the_pressure_held_and_no_switch_is_asked(
        self, precharge: float, status: str
    ) -> None:
        # 70 % of 45 psi are 31.5 psi (from memory).
        text = self.TEXT.format(held=45)
        tank = f'\n[pressure_tank]\nvolume = "5 gal"\nprecharge = "{precharge} psi"\n'
        for told in (text + SWITCH.format(volume=5, precharge=precharge), text + tank):
            assert verdict_of(told, "drive's precharge").status == status
            rules = {each.rule.key for each in studied(told).verdicts}
            assert not rules & {"precharge", "run time"}
            relief = verdict_of(told, "tank relief").reason.text("US")
            assert "if its drive does not slow it" in relief
            assert "switch" not in relief

    def test_its_precharge_may_be_above_the_cut_out_of_a_switch_that_starts_nothing(self) -> None:
        told = self.TEXT.format(held=90) + SWITCH.format(volume=5, precharge=63)
        assert verdict_of(told, "drive's precharge").status == "pass"


@pytest.mark.parametrize(
    ("efficiencies", "best"),
    [((0.2, 0.5, 0.4), 0.5), ((0.6, 0.3, 0.1), 0.6), ((2.0, 1.0, 1.0), 1)],
)
def test_a_slowed_pump_is_reckoned_from_its_best_efficiency(
    monkeypatch: pytest.MonkeyPatch, efficiencies: tuple[float, ...], best: float
) -> None:
    """At three points of a curve, that at no flow left out; of no more than one."""
    flows = (0.0, 1e-3, 2e-3, 3e-3)
    share = dict(zip(flows[1:], efficiencies, strict=True))
    asked: set[float] = set()

    def power_at_speed(power: float, water: float, most: float, speed: float) -> float:
        asked.add(most)
        return 100.0

    for name, made in (("speed_range", SimpleNamespace(least=0.5, greatest_flow=3e-3)),
                       ("speed_for_head", 0.8)):  # fmt: skip
        monkeypatch.setattr(held_pressure.fill, name, lambda *_, made=made: made)
    monkeypatch.setattr(held_pressure.fill, "power_at_speed", power_at_speed)
    table: Any = SimpleNamespace(held_pressure=3e5, kind="submersible")
    curve: Any = SimpleNamespace(flow=flows, head=(50.0, 40.0, 30.0, 20.0), first_flow=0.0,
                                 greatest_flow=3e-3, head_at=lambda _: 30.0)  # fmt: skip
    found = held_pressure.speeds_of(
        table, curve, lambda *_: 30.0, lambda flow, water: water / share.get(flow, 1e-6), 1000.0
    )
    assert found is not None
    (only,) = asked
    assert only == pytest.approx(best)
