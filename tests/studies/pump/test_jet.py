"""Jets with their ejector in the well, by their table: its own rows, and a curve by scipy."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.studies.pump.deep_pump import FOOT, GPM, PSI, pump_of, studied, verdict_of
from wellsolar.kinds import LENGTH
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import Case
from wellsolar.studies.pump.jet import jet_verdicts

TEXT = (Path(__file__).parents[2] / "sites" / "two_pipe_jet.toml").read_text(encoding="utf-8")
STILL = 'well.specific_capacity="1000 gpm/ft"'
"""A well that is hardly drawn down: the lift is that of the file."""

GAUGE = 2.0 * 0.4334
"""The tank stands 2 ft above the pump, at 0.4334 psi/ft [psi]."""

BLOCKS = {
    30: ([20, 30, 40, 50, 62], [11, 9.5, 7.6, 4.8, 0]),
    50: ([20, 30, 40, 48, 55], [7.6, 6.8, 5.2, 3, 0]),
    70: ([20, 30, 40, 47], [5.4, 4.6, 2.4, 0]),
}


@pytest.mark.parametrize("lift", BLOCKS)
def test_at_a_lift_of_the_table_it_gives_its_rows(lift: int) -> None:
    pressures, flows = BLOCKS[lift]
    cut_in, cut_out = pressures[1] - GAUGE, pressures[2] - GAUGE
    settings = [
        STILL,
        f'well.static_level="{lift + 5.99} ft"',
        'pump[1].intake_depth="82 ft"',
        f'pressure_switch.cut_in="{cut_in} psi"',
        f'pressure_switch.cut_out="{cut_out} psi"',
        'pressure_tank.precharge="20 psi"',
    ]
    duties = studied(TEXT, settings=settings).pumps[0].duties
    # The velocity head in 1 1/4 in pipe, hundredths of a foot, is left aside.
    assert [duty.flow / GPM for duty in duties] == pytest.approx(flows[1:3], rel=2e-3)


def test_between_lifts_and_drawn_down_it_settles_where_table_and_well_agree() -> None:
    def flow_at(lift: float, pressure: float) -> float:
        low, high = (30, 50) if lift <= 50 else (50, 70)
        part = (lift - low) / 20
        least, most = (
            np.interp(part, [0, 1], [BLOCKS[low][0][at], BLOCKS[high][0][at]]) for at in (0, -1)
        )
        share = (pressure - least) / (most - least)
        flows = []
        for block in (low, high):
            pressures, known = BLOCKS[block]
            inside = pressures[0] + share * (pressures[-1] - pressures[0])
            flows.append(np.interp(inside, pressures, known))
        return float(np.interp(part, [0, 1], flows))

    for duty, gauge in zip(pump_of(TEXT).duties, (30, 50), strict=True):
        # 38 ft at rest, 2 ft/gpm of drawdown, the pump 6 ft below the ground.
        flow = brentq(lambda q, g: flow_at(32 + 2 * q, g + GAUGE) - q, 0, 11, args=(gauge,))
        assert duty.flow / GPM == pytest.approx(flow, rel=0.01)
        assert duty.pumping_level / FOOT == pytest.approx(38 + 2 * flow, rel=0.01)


def test_its_motor_works_at_full_load_whatever_it_gives() -> None:
    # The greatest power of its sheet, where that is told.
    first, last = pump_of(TEXT).duties
    assert first.input_power == last.input_power
    told = studied(TEXT.replace('rated_power = "3/4 hp"', 'power = "900, 950, 1000, 980, 960 W"'))
    assert [duty.input_power for duty in told.pumps[0].duties] == [1000.0, 1000.0]


def test_beyond_its_last_lift_it_gives_nothing_and_fails() -> None:
    deep = TEXT.replace('static_level = "38 ft"', 'static_level = "77 ft"').replace(
        'intake_depth = "75 ft"', 'intake_depth = "85 ft"'
    )
    verdict = verdict_of(deep, "jet lift")
    assert verdict.status == "fail"
    assert verdict.limit == pytest.approx(70 * FOOT)
    assert [duty.flow for duty in pump_of(deep).duties] == [0.0, 0.0]
    # All the head that its maker tells of: that of the last block.
    assert pump_of(deep).shut_off_head == pytest.approx(70 * FOOT)
    (curve,) = Case(parse_site(deep)).figures.pump_curves
    assert (curve.flows[0], curve.flows[-1]) == (0.0, pytest.approx(11 * GPM))
    # It is drawn down to half of that lift at the greatest flow of its table: our choice.
    assert (curve.heads[0], curve.heads[-1]) == pytest.approx((70 * FOOT, 35 * FOOT))
    assert verdict_of(TEXT, "jet lift").status == "pass"
    assert not {"suction lift", "net positive suction head", "drop pipe pressure"} & {
        each.rule.key for each in studied(TEXT).verdicts
    }


def test_a_tail_pipe_of_34_feet_keeps_air_out_where_nothing_stops_the_jet() -> None:
    """34 ft, what the air lifts water at the sea: the trade's tail pipe, from memory."""
    bare = TEXT.replace("dry_run_protection = true", "dry_run_protection = false")
    assert verdict_of(bare, "yield").status == "fail"
    tailed = bare.replace('tail_pipe = "5 ft"', 'tail_pipe = "34 ft"')
    assert verdict_of(tailed, "yield").status == "caution"
    assert verdict_of(bare.replace("foot_valve = true", ""), "prime").status == "unknown"


def test_its_flow_at_no_pressure_is_the_table_s_own() -> None:
    pump = pump_of(TEXT)
    # At rest 32 ft below the pump: a tenth of the way from 62 to 55 psi.
    assert pump.shut_off_pressure == pytest.approx((61.3 - GAUGE) * PSI, rel=2e-3)


@pytest.mark.parametrize(
    ("levels", "known", "status"),
    [
        # The pump stands 6 ft below the ground, and its table ends at 70 ft.
        ((76.0, 70.0), True, "pass"),
        ((77.0, 70.0), True, "fail"),
        ((70.0, 77.0), True, "fail"),
        ((70.0, 77.0), False, "unknown"),
    ],
)
def test_the_deepest_water_of_its_duties_counts(
    levels: tuple[float, float], known: bool, status: str
) -> None:
    site, result = parse_site(TEXT).site, pump_of(TEXT)
    duties = tuple(
        replace(duty, pumping_level=level * FOOT)
        for duty, level in zip(result.duties, levels, strict=True)
    )
    result = replace(result, duties=duties, level_known=known)
    found = jet_verdicts(site.pump[0], result, "pump[1]")[0]
    assert found.status == status
    if status != "unknown":
        lift = found.reason.parts["lift"]
        assert lift == found.quantity == pytest.approx((max(levels) - 6) * FOOT)
        assert (lift.kind, found.limit.kind) == (LENGTH, LENGTH)
        assert found.limit == pytest.approx(70 * FOOT)
