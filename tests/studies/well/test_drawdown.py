"""Minutes, litres and levels of a low-yield well, against integrations of the tests' own."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from fluids.friction import friction_factor
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from tests.sampled import every
from tests.studies.well.low_yield import (
    CAPACITY,
    CASING,
    DAY,
    FOOT,
    GPM,
    INCH,
    WELLS,
    low_yield,
    only_pump,
    study,
    verdict,
)
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site

G = 9.80665

PSI = 6894.757293168

STATIC, INTAKE, STOP, RESTART = 40 * FOOT, 160 * FOOT, 150 * FOOT, 90 * FOOT

FLOWS = np.array([0, 3, 6, 9, 12]) * GPM

HEADS = np.array([290, 270, 235, 180, 95]) * FOOT


def pump_flow(pressure: float) -> Callable[[float], float]:
    """Flow of the old pump over the depth to water, at a pressure at the tank."""
    density = PropsSI("D", "T", 283.15, "P", 2e5, "Water")
    viscosity = PropsSI("V", "T", 283.15, "P", 2e5, "Water") / density
    curve = PchipInterpolator(FLOWS, HEADS)
    bore, roughness, length = 1.049 * INCH, 1.5e-6, (160 - 5 + 60) * FOOT
    fittings = 2.0 + 3 * 0.90 + 1  # swing check, elbows, and the velocity head

    def head(flow: float, level: float) -> float:
        speed = flow / (math.pi / 4 * bore**2)
        factor = friction_factor(Re=max(speed * bore / viscosity, 1e-9), eD=roughness / bore)
        loss = (factor * length / bore + fittings) * speed**2 / (2 * G)
        return level + 6 * FOOT + pressure / (density * G) + loss

    depths = np.linspace(STATIC, INTAKE, 60)
    flows = [
        brentq(lambda q, at=at: float(curve(q)) - head(q, at), 1e-9, FLOWS[-1]) for at in depths
    ]
    return lambda level: float(np.interp(level, depths, flows))


def run(
    well: Any, state: NDArray[np.float64], flow: Callable[[float], float], span: float, to: float
) -> tuple[float, NDArray[np.float64]]:
    """Run a well until its drawdown meets `to` or so long; the last state is the water pumped."""

    def change(_: float, s: NDArray[np.float64]) -> NDArray[np.float64]:
        pumped = flow(STATIC + float(s[0]))
        return np.append(well.rates(s[:-1], pumped), pumped)

    def meets(_: float, s: NDArray[np.float64]) -> float:
        return float(s[0]) - to

    meets.terminal = True  # type: ignore[attr-defined]
    sparse = {} if well.pattern is None else {"jac_sparsity": well.pattern}
    found = solve_ivp(
        change, (0, span), state, "BDF", events=meets, rtol=1e-6, atol=1e-8, **sparse
    )
    end = found.y[:, -1]
    if found.status == 1:
        end[0] = to
    return float(found.t[-1]), end


def on_and_off(well: Any, flow: Callable[[float], float], days: int) -> tuple[float, int]:
    """Water pumped and starts in so many days, stopped at STOP and started again at RESTART."""
    state, left, starts = np.zeros(well.size + 1), days * DAY, 0
    while left > 1e-6:
        starts += 1
        ran, state = run(well, state, flow, left, STOP - STATIC)
        left -= ran
        if left > 1e-6:
            rested, state = run(well, state, lambda _: 0.0, left, RESTART - STATIC)
            left -= rested
    return float(state[-1]), starts


IDS = ["specific capacity", "step test", "transmissivity"]


@pytest.mark.parametrize(("text", "well"), every(WELLS, 3), ids=IDS)
def test_litres_a_day_on_and_off(text: str, well: Any) -> None:
    """Of a well of a gallon or two, to 1 % of scipy's integration."""
    pump = only_pump(low_yield(text))
    low, high = pump_flow(30 * PSI), pump_flow(50 * PSI)

    def flow(level: float) -> float:
        return (low(level) + high(level)) / 2

    first, _ = on_and_off(well, flow, 1)
    both, starts = on_and_off(well, flow, 2)
    assert starts > 6
    assert pump.first_day == pytest.approx(first, rel=0.01)
    assert pump.later_day == pytest.approx(both - first, rel=0.01)


@pytest.mark.parametrize(("text", "well"), WELLS, ids=IDS)
class TestLowYieldWell:
    """The pump of 10 gpm on a well of a gallon or two, to 1 % of scipy's integration."""

    def test_minutes_until_it_draws_air(self, text: str, well: Any) -> None:
        pump = only_pump(low_yield(text))
        start = np.zeros(well.size + 1)
        time, state = run(well, start, pump_flow(30 * PSI), DAY, INTAKE - STATIC)
        # 120 ft of casing beside the drop pipe hold 171 gal: 16 min at the 10.8 gpm of the pump
        # with the water high, 54 min at 5.6 gpm with it low less the 2.4 gpm that the well gives.
        assert 940 < time < 3240
        assert pump.draws_air
        assert pump.air_time == pytest.approx(time, rel=0.01)
        assert pump.air_volume == pytest.approx(float(state[-1]), rel=0.01)

    def test_level_by_the_hour(self, text: str, well: Any) -> None:
        pump, flow = only_pump(low_yield(text)), pump_flow(30 * PSI)
        for time, level in zip((60.0, 300.0, 900.0), pump.levels, strict=False):
            _, state = run(well, np.zeros(well.size + 1), flow, time, INTAKE - STATIC)
            assert level - STATIC == pytest.approx(float(state[0]), rel=0.01)
        assert pump.levels[-1] == pytest.approx(INTAKE)  # where it draws air it stays

    def test_the_verdict_says_the_minutes(self, text: str, well: Any) -> None:
        results = study(low_yield(text))
        found = verdict(results, "runs dry")
        assert found.status == "fail"
        minutes = f"{results.well.pumps[0].air_time / 60:.1f} min"
        assert minutes in found.reason.text("US")
        guarded = study(low_yield(text, protected="true"))
        assert verdict(guarded, "runs dry").status == "caution"

    def test_a_flow_control_as_the_remedy_has_it_passes(self, text: str, well: Any) -> None:
        for system, unit in (("US", "gpm"), ("SI", "L/min")):
            remedy = verdict(study(low_yield(text)), "runs dry").remedy
            flow = float(remedy.text(system).split("no more than ")[1].split(f" {unit}")[0])
            mended = study(
                low_yield(
                    text,
                    flow=f"0, {0.9 * flow}, {flow} {unit}",
                    head="290, 280, 5 ft",
                )
            )
            assert verdict(mended, "runs dry").status == "pass"


class TestOneDrawdown:
    def test_all_pumps_at_once(self) -> None:
        frugal = """
[[pump]]
name = "frugal"
role = "backup"
intake_depth = "140 ft"
flow = "0, 1.49, 1.5 gpm"
head = "500, 499, 5 ft"
dry_run_protection = true
"""
        well = study(low_yield(WELLS[0][0]) + frugal).well
        assert well.together is not None
        old = pump_flow(30 * PSI)
        # The second pump gives 1.5 gpm at any depth; its own drop pipe takes room as well.
        area = CASING - math.pi / 4 * (1.349 * INCH) ** 2

        def change(_: float, s: NDArray[np.float64]) -> list[float]:
            return [(old(STATIC + s[0]) + 1.5 * GPM - CAPACITY * s[0]) / area]

        def meets(_: float, s: NDArray[np.float64]) -> float:
            return float(s[0]) - 100 * FOOT

        meets.terminal = True  # type: ignore[attr-defined]
        found = solve_ivp(change, (0, DAY), [0.0], events=meets, rtol=1e-8)
        assert well.together.first_intake == pytest.approx(140 * FOOT)
        assert well.together.air_time == pytest.approx(float(found.t[-1]), rel=0.01)

    def test_duty_and_hand_pump_stand_on_the_step_test(self) -> None:
        hand = '\n[hand_pump]\nbore = "2 in"\nstroke = "2 in"\ncylinder_depth = "150 ft"\n'
        text = low_yield(WELLS[1][0], flow="0, 0.9999, 1 gpm", head="500, 499, 5 ft") + hand
        results = study_site(parse_site(text), ("pump", "hand"))
        duty = results.pumps[0].duties[0]
        assert duty.flow / GPM == pytest.approx(1.0, rel=1e-3)
        assert duty.pumping_level / FOOT == pytest.approx(40 + 40 + 6, rel=1e-3)
        # 40 strokes a minute of pi/4 2 in squared x 2 in, nine tenths of it, less the stretch of
        # 150 ft of 12 mm steel rod (200 GPa) under 999.6 kg/m3 up to the spout at 2 ft.
        assert results.hand_pump is not None
        area, stretch = math.pi / 4 * (2 * INCH) ** 2, 0.0
        for _ in range(5):
            flow = area * (2 * INCH - stretch) * 40 / 60 * 0.9
            drawn = 40 * flow / GPM + 6 * (flow / GPM) ** 2
            column = 999.6 * 9.80665 * (40 + drawn + 2) * FOOT * area
            stretch = column * 150 * FOOT / (math.pi / 4 * 0.012**2 * 2.0e11)
        assert results.hand_pump.pumping_level / FOOT == pytest.approx(40 + drawn, rel=1e-4)


def test_a_guarded_pump_that_pumps_the_well_off_is_a_caution() -> None:
    for protected, status in (("true", "caution"), ("false", "fail")):
        results = study(low_yield(WELLS[0][0], protected=protected))
        assert verdict(results, "submergence").status == status


def test_a_pump_that_stalls_below_cut_out_is_not_blamed_on_the_well() -> None:
    # It stalls between cut-in and cut-out, over a well that gives plenty.
    weak = low_yield('specific_capacity = "5 gpm/ft"', head="150, 145, 130, 110, 95 ft")
    results = study(weak)
    assert verdict(results, "reaches cut-out").status == "fail"
    assert verdict(results, "day's water from the well").status == "pass"
