"""A pump behind a constant-pressure valve, by fluids, scipy and arithmetic."""

from __future__ import annotations

import math
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

from tests.studies import printed
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
from wellsolar import kinds
from wellsolar.physics.hydraulics import suction
from wellsolar.studies.pump import held_pressure
from wellsolar.units import Quantity
from wellsolar.verdicts import changes_of

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


def link_of(holds: float = 50.0, **other: Any) -> Any:
    """A pump of a switch from 40 to 60 psi behind a valve."""
    has = {"most": 100.0, "least": 1.0, "asked": 1.0} | other

    def flow(value: float | None) -> Quantity | None:
        return None if value is None else Quantity(value * GPM, kinds.FLOW)

    most = None if has["most"] is None else Quantity(has["most"] * PSI, kinds.PRESSURE)
    valve = SimpleNamespace(
        set_pressure=Quantity(holds * PSI, kinds.PRESSURE),
        greatest_pressure=most,
        least_flow=flow(has["least"]),
    )
    table = SimpleNamespace(name="deep", least_flow=flow(has["asked"]))
    return SimpleNamespace(
        valve=valve, table=table, path="pump[1]", pressures=(40 * PSI, 60 * PSI)
    )


@pytest.mark.parametrize(
    ("holds", "status", "words"),
    [
        (50.0, "pass", "lies between cut-in at 40.0 psi and cut-out at 60.0 psi"),
        (59.8, "pass", "lies between cut-in at 40.0 psi and cut-out at 60.0 psi"),
        (59.99, "fail", "it is wide open until the switch stops the pump at 60.0 psi"),
        (60.0, "fail", "it is wide open until the switch stops the pump at 60.0 psi"),
        (61.0, "fail", "it is wide open until the switch stops the pump at 60.0 psi"),
        (40.2, "pass", "lies between cut-in at 40.0 psi and cut-out at 60.0 psi"),
        (40.01, "caution", "it is all but shut when the switch starts the pump at 40.0 psi"),
        (39.0, "caution", "it is all but shut when the switch starts the pump at 40.0 psi"),
    ],
)
def test_a_valve_between_cut_in_and_cut_out(holds: float, status: str, words: str) -> None:
    for system, right in (("US", "50 psi"), ("SI", "3.45 bar")):
        site: Any = SimpleNamespace(site=SimpleNamespace(print_units=system))
        (found,) = held_pressure._setting(site, link_of(holds))
        assert (found.status, found.subject) == (status, "constant-pressure valve")
        assert (found.quantity, found.limit) == (
            pytest.approx(holds * PSI), pytest.approx(60 * PSI)
        )  # fmt: skip
        assert found.reason.text("US").endswith(words)
        if status != "pass":
            (change,) = changes_of(found.remedy)
            assert str(change) == f'constant_pressure_valve.set_pressure="{right}"'


@pytest.mark.parametrize(("held", "status"), [(100.0, "pass"), (101.0, "fail")])
def test_a_pump_against_a_valve_of_100_psi(held: float, status: str) -> None:
    link = link_of()
    found = held_pressure._upstream(link.valve, link.table, held * PSI)
    words = [f"{each:g} psi, gauge pressure" for each in (held, 100.0)]
    assert printed.compared(found) == (status, *words)
    assert printed.told(found.reason) == dict(zip(("held", "limit"), words, strict=True))
    if status == "fail":
        assert printed.told(found.remedy) == {"held": words[0]}
    silent = link_of(most=None)
    unknown = held_pressure._upstream(silent.valve, silent.table, held * PSI)
    assert unknown.needs == ("constant_pressure_valve.greatest_pressure",)


@pytest.mark.parametrize(
    ("least", "asked", "status", "needs"),
    [
        (1.0, 1.0, "pass", ()),
        (0.9, 1.0, "caution", ()),
        (0.0, 1.0, "fail", ()),
        (0.0, None, "fail", ()),
        (None, 1.0, "unknown", ("constant_pressure_valve.least_flow",)),
        (1.0, None, "unknown", ("pump[1].least_flow",)),
    ],
)
def test_what_a_valve_lets_through_beside_what_a_pump_asks(
    least: float | None, asked: float | None, status: str, needs: tuple[str, ...]
) -> None:
    link = link_of(least=least, asked=asked)
    found = held_pressure._least(link.valve, link)
    assert (found.status, found.needs, found.subject) == (status, needs, "deep")
    if status in ("pass", "caution") and least is not None:
        assert (found.quantity, found.limit) == (
            pytest.approx(least * GPM), pytest.approx(1.0 * GPM)
        )  # fmt: skip
    if status == "caution":
        assert found.remedy is not None
        assert found.remedy.parts == {"asked": pytest.approx(1.0 * GPM)}
