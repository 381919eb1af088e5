"""A pump behind a constant-pressure valve, by fluids, scipy and arithmetic."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

from tests.studies.pump.deep_pump import (
    BASE,
    CURVE,
    DENSITY,
    FOOT,
    GALLON,
    GPM,
    POWER,
    PSI,
    PUMP,
    SWITCH,
    G,
    flow_at,
    mended,
    studied,
    verdict_of,
)
from wellsolar.physics.hydraulics import suction

VALVE = """
[constant_pressure_valve]
set_pressure = "{holds} psi"
least_flow = "1 gpm"
greatest_pressure = "150 psi"
"""
TEXT = BASE + PUMP + SWITCH.format(volume=20, precharge=28)
THROTTLED = TEXT + VALVE.format(holds=40)
LEAST = 1 * GPM


def air_outside() -> float:
    return float(suction.atmospheric_pressure(2000 * FOOT))


def water_at(pressure: float) -> float:
    """In a 20 gal tank, by Boyle [m3]."""
    return 20 * GALLON * (1 - (28 * PSI + air_outside()) / (pressure + air_outside()))


def filled(flow: Callable[[float], float], low: float, high: float) -> float:
    """Time between two pressures [s]."""
    step = 1.0

    def seconds(pressure: float) -> float:
        slope = (water_at(pressure + step) - water_at(pressure - step)) / (2 * step)
        return slope / flow(pressure)

    return float(quad(seconds, low, high)[0])


def test_the_tank_fills_fast_to_the_valves_pressure_and_by_its_least_flow_from_there() -> None:
    results = studied(THROTTLED)
    fill = results.pumps[0].fill
    fast = filled(flow_at, 30 * PSI, 40 * PSI)
    slow = filled(lambda _: LEAST, 40 * PSI, 50 * PSI)
    assert fill.duration == pytest.approx(fast + slow, rel=2e-3)
    assert slow > 3 * fast
    drawn, held = water_at(50 * PSI) - water_at(30 * PSI), water_at(50 * PSI) - water_at(40 * PSI)
    assert fill.mean_flow == pytest.approx(drawn / (fast + slow), rel=2e-3)
    # It starts most often at a steady draw below the valve's least flow.
    worst = minimize_scalar(
        lambda draw: held / (LEAST - draw) + drawn / draw,
        bounds=(0.01 * LEAST, 0.99 * LEAST), method="bounded",
    )  # fmt: skip
    cycle = results.pressure_tank.cycles[0]
    assert cycle.greatest_starts == pytest.approx(1 / worst.fun, rel=1e-3)
    assert cycle.run_time == fill.duration


def test_the_pump_runs_against_the_valve_and_saves_nothing() -> None:
    pump = studied(THROTTLED).pumps[0]
    throttle = pump.throttle
    assert pump.duties[-1].flow == pytest.approx(LEAST)
    assert pump.duties[-1].total_dynamic_head == pytest.approx(float(CURVE(LEAST)), rel=1e-3)
    assert pump.duties[-1].input_power == pytest.approx(float(POWER(LEAST)), rel=3e-3)
    for point in throttle.points:
        assert point.input_power == pytest.approx(float(POWER(point.flow)), rel=3e-3)
        assert point.energy_per_volume == point.input_power / point.flow
    least, *_, most = throttle.points
    # At the least flow pipes and drawdown take next to nothing: the lift alone.
    lifted = float(CURVE(LEAST)) - 70 * FOOT - LEAST / (0.8 * GPM / FOOT)
    assert least.upstream == pytest.approx(lifted * DENSITY * G, rel=3e-3)
    assert most.upstream == pytest.approx(40 * PSI, rel=1e-3)
    assert most.flow == pytest.approx(flow_at(40 * PSI), rel=1e-3)
    slowed = 'start = "variable speed"\nheld_pressure = "40 psi"\n'
    speeds = (
        studied(TEXT.replace('voltage = "230 V"', f'voltage = "230 V"\n{slowed}')).pumps[0].speeds
    )
    assert speeds.points[0].flow == pytest.approx(throttle.points[1].flow, rel=1e-3)
    assert speeds.points[0].input_power < 0.7 * throttle.points[1].input_power
    # Run time and energy of the day are those of the taps' own flow, 1.7 gpm of one.
    assert throttle.draw_flow == pytest.approx(1.7 * GPM)
    assert pump.daily_run_time == pytest.approx(180 / 1.7 * 60, rel=1e-6)
    assert pump.energy_per_volume == pytest.approx(float(POWER(1.7 * GPM)) / (1.7 * GPM), rel=3e-3)


def test_a_busy_house_draws_more_than_one_tap() -> None:
    throttle = studied(THROTTLED, settings=['demand.daily_use="3000 gal/day"']).pumps[0].throttle
    assert throttle.draw_flow > 3000 / 1440 * GPM


def test_its_loss_wide_open_grows_with_the_square_of_the_flow() -> None:
    lossy = THROTTLED.replace("least_flow", 'loss = "8 psi"\nloss_flow = "10 gpm"\nleast_flow')
    flow = studied(lossy).pumps[0].duties[0].flow
    lost = 8 * PSI * (flow / (10 * GPM)) ** 2
    assert flow == pytest.approx(flow_at(30 * PSI + lost), rel=1e-3)


def test_a_relief_valve_at_the_tank_frees_no_line_before_the_valve() -> None:
    relieved = [
        'pressure_tank.relief_pressure="75 psi"',
        'piping.lateral.pressure_class="200 psi"',
    ]
    plain = verdict_of(TEXT, "lateral pressure", settings=relieved)
    behind = verdict_of(THROTTLED, "lateral pressure", settings=relieved)
    assert math.isclose(plain.quantity or 0.0, 75 * PSI + 10 * FOOT * DENSITY * G, rel_tol=1e-3)
    assert math.isclose(behind.quantity or 0.0, 240 * FOOT * DENSITY * G, rel_tol=1e-3)


def test_a_large_motor_is_cooled_by_what_the_valve_lets_through() -> None:
    large = THROTTLED.replace(
        'power = "520', 'rated_power = "3 hp"\nmotor_diameter = "3.75 in"\npower = "520'
    )
    assert verdict_of(large, "motor cooling").status == "caution"
    told = verdict_of(large.replace('least_flow = "1 gpm"', ""), "motor cooling")
    assert (told.status, told.needs) == ("unknown", ("constant_pressure_valve.least_flow",))


@pytest.mark.parametrize(("holds", "status"), [(30, "caution"), (50, "fail")])
def test_a_setting_that_is_no_good_is_mended(holds: int, status: str) -> None:
    text = TEXT + VALVE.format(holds=holds)
    verdict = verdict_of(text, "valve setting")
    assert verdict.status == status
    assert mended(text, verdict).status == "pass"
