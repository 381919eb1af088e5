"""A pumping level, against the balance of the casing integrated by scipy."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any
from unittest import mock

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tests.studies.reading.by_integration import FOOT, GPM, PSI, Make, Read, flow_of, implied, only
from wellsolar import kinds
from wellsolar.site.loading.read import SiteFile
from wellsolar.studies.case import Case
from wellsolar.studies.reading import level as levels
from wellsolar.studies.reading import pumps
from wellsolar.units import Quantity

POOR = 'specific_capacity = "0.1 gpm/ft"\ncasing_bore = "6.065 in"'


def drawn(site: SiteFile, minutes: float, pressure: float) -> float:
    """A dh/dt = Q(h) - C h by scipy; A the casing's 6.065 in less the drop pipe's 1.56 in outside
    (1.38 in and two walls of 0.092 in, SIDR 15, from memory) [m]."""
    area = np.pi / 4 * (6.065**2 - 1.564**2) * 0.0254**2
    rest, capacity, depth = 85 * FOOT, 0.1 * GPM / FOOT, [0.0]
    flow = flow_of(site, "house pump", lambda _: depth[0])

    def rate(_: float, drop: np.ndarray) -> list[float]:
        depth[0] = rest + float(drop[0])
        return [(flow(pressure) - capacity * float(drop[0])) / area]

    return float(solve_ivp(rate, (0, minutes * 60), [0.0], rtol=1e-6).y[0, -1])


def test_a_pumping_level_gives_drawdown_and_specific_capacity(
    make_site: Make, read_at: Read
) -> None:
    """5 gal in 30 s is 10 gpm; 105 ft less 85 ft is 20 ft: 0.5 gpm/ft."""
    site = make_site()
    found = read_at(
        site, pumping_level="105 ft", bucket_volume="5 gal", bucket_time="30 s",
        gauge_pressure="50 psi",
    )  # fmt: skip
    reading = only(found, "pumping_level")
    assert implied(reading, "implied_drawdown") == pytest.approx(20 * FOOT)
    assert implied(reading, "implied_capacity") == pytest.approx(0.5 * GPM / FOOT)
    assert float(reading.expected.value) == pytest.approx(105 * FOOT)
    assert not reading.causes
    deep = only(read_at(site, pumping_level="130 ft"), "pumping_level")
    assert "gives less" in deep.causes[0].text
    early = only(read_at(site, pumping_level="92 ft"), "pumping_level")
    assert "not settled" in early.causes[0].text


def test_the_level_after_a_time_is_that_of_the_casings_balance(
    make_site: Make, read_at: Read
) -> None:
    site = make_site(well=POOR)
    for minutes in (3.0, 10.0):
        reading = only(
            read_at(site, pumping_level="120 ft", pumping_time=f"{minutes} min"), "pumping_level"
        )
        ends = [85 * FOOT + drawn(site, minutes, pressure * PSI) for pressure in (40.0, 60.0)]
        band = reading.expected.value
        assert float(band) == pytest.approx(sum(ends) / 2, rel=0.02)
        assert band.low < min(ends) < max(ends) < band.high


@pytest.mark.parametrize(
    ("well", "label"),
    [
        (POOR, "level after half an hour of pumping"),
        ('specific_capacity = "0.1 gpm/ft"', "level while pumping, settled"),
    ],
)
def test_the_sheets_box_goes_from_the_least_drawdown_to_the_greatest(
    make_site: Make, well: str, label: str
) -> None:
    """A twentieth and half a foot either side, below the least and the greatest level at rest; the
    most is drawn against the least pressure, and half an hour draws as much of each as of it. None
    lies deeper than the intake at 190 ft."""
    site = make_site(well=well, static="85 ft (80 ft .. 92 ft)")
    (step,) = [each for each in Case(site).sheet.steps if each.key == "pump_1"]
    (line,) = [each for each in step.lines if each.text.startswith("level")]
    assert line.text == label
    rest, capacity = 85 * FOOT, 0.1 * GPM / FOOT
    flow = flow_of(site, "house pump", lambda flow: rest + flow / capacity)
    least, greatest = sorted(flow(pressure * PSI) / capacity for pressure in (40.0, 60.0))
    assert least < 0.9 * greatest
    if "half" in label:
        in_time = drawn(site, 30.0, 40.0 * PSI)
        assert in_time < 0.95 * greatest
        least, greatest = in_time * least / greatest, in_time
    box = line.expected
    assert box is not None
    assert box.low == pytest.approx(80 * FOOT + 0.95 * least - 0.15, rel=2e-3)
    high = min(92 * FOOT + 1.05 * greatest + 0.15, 190 * FOOT)
    assert box.high == pytest.approx(high, rel=2e-3)
    assert float(box) == pytest.approx(rest + (least + greatest) / 2, rel=2e-3)


@pytest.mark.parametrize(
    ("off_the_curve", "depths"),
    [((), (50.0, 65.0, 80.0)), ((3.0,), (65.0, 65.0, 80.0)), ((1.0,), (50.0, 65.0, 65.0)),
     ((2.0,), None)],
)  # fmt: skip
def test_more_flow_at_more_pressure_is_higher_water(
    off_the_curve: tuple[float, ...], depths: tuple[float, float, float] | None
) -> None:
    """Of 100 of head 10 a unit of flow and the pressure are spent; an end that lies off the curve
    is taken to be as the middle."""

    def depth(_: object, flow: float, pressure: float) -> float | None:
        return None if flow in off_the_curve else 100.0 - 10.0 * flow - pressure

    flow = Quantity(2.0, kinds.FLOW, 1.0, 3.0)
    with mock.patch.object(pumps, "_level_of_flow", depth):
        found = pumps.level_of_flows(None, flow, (20.0, 10.0))  # type: ignore[arg-type]
    assert (None if found is None else (found.low, float(found), found.high)) == depths


def depth(middle: float, low: float, high: float) -> Quantity:
    return Quantity(middle, kinds.LENGTH, low, high)


@pytest.mark.parametrize(
    ("level", "low", "high"),
    # Half a foot by tape, 0.15 m, or a fiftieth of the depth where that is more.
    [(depth(5.0, 4.0, 6.0), 3.85, 6.15), (depth(20.0, 18.0, 22.0), 17.6, 22.4),
     (depth(7.5, 7.5, 7.5), 7.35, 7.65), (depth(0.2, 0.1, 0.3), 0.0, 0.45)],
)  # fmt: skip
def test_water_at_rest_may_be_off_by_tape_or_season(
    level: Quantity, low: float, high: float
) -> None:
    found = levels.at_rest(SimpleNamespace(static_level=level))  # type: ignore[arg-type]
    assert (found.low, float(found), found.high) == pytest.approx((low, float(level), high))
    assert found.kind is kinds.LENGTH


def pumping(**more: Any) -> levels.PumpingLevel:
    """A reading whose parts are made by hand; its well's water at rest at 10 m, and a metre deeper
    for each L/s."""
    level = SimpleNamespace(static_level=10.0, settled=lambda flow: 10.0 + 1e3 * flow)
    on_well = SimpleNamespace(level=level, intake_depth=40.0)
    found = object.__new__(levels.PumpingLevel)
    found.at = SimpleNamespace(  # type: ignore[assignment]
        on_well=on_well, given=SimpleNamespace(values=()), bucket=None,
        site=SimpleNamespace(pump=(), well=SimpleNamespace(static_level=depth(10.0, 9.0, 11.0))),
        table=None, at_pressures="cut-in to cut-out", pressures=(2e5,),
    )  # fmt: skip
    found.visit = SimpleNamespace(values={})  # type: ignore[assignment]
    vars(found)["flow"] = Quantity(4e-3, kinds.FLOW, 3e-3, 5e-3)
    vars(found).update(more)
    return found


@pytest.mark.parametrize(
    ("band", "drop"), [(14.0, 4.0), (10.1, 0.15), (9.0, 0.15)]
)  # fmt: skip
def test_ways_for_water_to_stand_deeper(band: float, drop: float) -> None:
    """Drawn down by a twentieth, two fifths and one and a half more, or up to three tenths more;
    0, 3 and 10 m deeper at rest; less than half a foot of drawdown counts as that."""
    less, dry, neighbour = pumping()._deeper(depth(band, band - 1.0, band + 1.0))
    assert list(less.values) == pytest.approx([10 + drop * by for by in (1.05, 1.4, 2.5)])
    assert list(dry.values) == pytest.approx([band, band + 3.0, band + 10.0])
    assert list(neighbour.values) == pytest.approx([10 + drop * by for by in (1.05, 1.3)])


@pytest.mark.parametrize(("band", "highest"), [(14.0, 4.0), (8.0, 0.0)])
def test_ways_for_water_to_stand_higher(band: float, highest: float) -> None:
    """Still at rest; at three tenths to nineteen twentieths of 4 L/s; up to 10 m higher at rest,
    and no higher than the ground."""
    early, worn, higher = pumping()._higher(depth(band, band - 1.0, band + 1.0))
    assert list(early.values) == pytest.approx([10.0, band])
    assert list(worn.values) == pytest.approx([11.2, 13.8])
    assert list(higher.values) == pytest.approx([highest, band])


@pytest.mark.parametrize(("low", "said"), [(40.1, 0), (40.15, 0), (40.2, 2)])
def test_water_read_below_the_pump_is_no_reading(low: float, said: int) -> None:
    """The intake hangs at 40 m; half a foot by tape is none below it."""
    reading = pumping(measured=depth(41.0, low, 42.0))
    assert len(reading.evident(depth(14.0, 13.0, 15.0))) == said


@pytest.mark.parametrize(
    ("rest", "drop", "capacity"),
    [
        # 4 L/s over 14 less 10 m, the least flow over the most drawdown, 15 less 9 m.
        (None, (2.0, 4.0, 6.0), (0.5e-3, 1e-3, 2.5e-3)),
        (depth(12.0, 12.0, 12.0), (1.0, 2.0, 3.0), (1e-3, 2e-3, 5e-3)),
        # Where the water may not have been drawn down at all nothing is told.
        (depth(13.0, 12.0, 13.0), (0.0, 1.0, 3.0), None),
    ],
)
def test_a_level_and_a_flow_tell_the_drawdown_and_the_capacity(
    rest: Quantity | None, drop: tuple[float, ...], capacity: tuple[float, ...] | None
) -> None:
    values = {} if rest is None else {"static_level": rest}
    reading = pumping(measured=depth(14.0, 13.0, 15.0), visit=SimpleNamespace(values=values))
    told = {each.key: each.value for each in reading.implied()}
    found = told["implied_drawdown"]
    assert (found.low, float(found), found.high) == pytest.approx(drop)
    assert ("implied_capacity" in told) is (capacity is not None)
    if capacity is not None:
        of = told["implied_capacity"]
        assert (of.low, float(of), of.high) == pytest.approx(capacity)


@pytest.mark.parametrize(
    ("time", "in_time", "told"),
    [
        # Settled 2 and 4 m below rest at 9, 10 and 12 m: a twentieth less of the least and more
        # of the most, and half a foot either side; the middle is that of the likeliest rest.
        (None, (), (9 + 1.9 - 0.15, 13.0, 12 + 4.2 + 0.15)),
        (600.0, (1.0, 3.0), (9 + 0.95 - 0.15, 12.0, 12 + 3.15 + 0.15)),
        # Without the casing's water anywhere from rest on.
        (600.0, (), (9 - 0.15, 11.5, 12 + 4.2 + 0.15)),
    ],
)  # fmt: skip
def test_the_band_of_a_pumping_level(
    time: float | None, in_time: tuple[float, ...], told: tuple[float, ...]
) -> None:
    values = {} if time is None else {"pumping_time": time}
    at = SimpleNamespace(
        site=SimpleNamespace(well=SimpleNamespace(static_level=depth(10.0, 9.0, 12.0))),
        given=SimpleNamespace(values=values),
    )
    settled = [(rest, drop) for rest in (9.0, 10.0, 12.0) for drop in (2.0, 4.0)]
    with (
        mock.patch.object(levels, "_settled", return_value=settled),
        mock.patch.object(levels, "_in_time", return_value=list(in_time)),
    ):
        found = levels._expected(at, None).value  # type: ignore[arg-type]
    assert (found.low, float(found), found.high) == pytest.approx(told)
    assert found.kind is kinds.LENGTH
