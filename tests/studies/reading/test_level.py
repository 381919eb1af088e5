"""A pumping level, against the balance of the casing integrated by scipy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tests.studies.reading.by_integration import FOOT, GPM, PSI, Make, Read, flow_of, implied, only


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
    """A dh/dt = Q(h) - C h by scipy; A the casing's 6.065 in less the drop pipe's 1.56 in outside
    (1.38 in and two walls of 0.092 in, SIDR 15, from memory)."""
    site = make_site(well='specific_capacity = "0.1 gpm/ft"\ncasing_bore = "6.065 in"')
    area = np.pi / 4 * (6.065**2 - 1.564**2) * 0.0254**2
    rest, capacity = 85 * FOOT, 0.1 * GPM / FOOT

    def drawn(minutes: float, pressure: float) -> float:
        def rate(_: float, drop: np.ndarray) -> list[float]:
            flow = flow_of(site, "house pump", lambda _: rest + float(drop[0]))(pressure)
            return [(flow - capacity * float(drop[0])) / area]

        return float(solve_ivp(rate, (0, minutes * 60), [0.0], rtol=1e-6).y[0, -1])

    for minutes in (3.0, 10.0):
        reading = only(
            read_at(site, pumping_level="120 ft", pumping_time=f"{minutes} min"), "pumping_level"
        )
        ends = [rest + drawn(minutes, pressure * PSI) for pressure in (40.0, 60.0)]
        band = reading.expected.value
        assert float(band) == pytest.approx(sum(ends) / 2, rel=0.02)
        assert band.low < min(ends) < max(ends) < band.high
