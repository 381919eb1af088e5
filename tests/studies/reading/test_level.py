"""A pumping level, against the balance of the casing integrated by scipy."""

from __future__ import annotations

from unittest import mock

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tests.studies.reading.by_integration import FOOT, GPM, PSI, Make, Read, flow_of, implied, only
from wellsolar import kinds
from wellsolar.site.loading.read import SiteFile
from wellsolar.studies.case import Case
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
