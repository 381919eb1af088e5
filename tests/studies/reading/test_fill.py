"""The fill time of a pressure tank, against integrals of the test's own by scipy."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from scipy.integrate import quad

from tests.studies.reading.by_integration import (
    FOOT,
    FRUGAL,
    PSI,
    ROTOR,
    Make,
    Read,
    flow_of,
    implied,
    level_by,
    only,
)
from tests.studies.reading.conftest import PUMP
from wellsolar.site.loading.read import SiteFile

FILLS = {
    "at the sea": ({}, "house pump"),
    "frugal of two, deep": (
        {"pumps": PUMP + FRUGAL, "static": "110 ft", "well": 'specific_capacity = "0.2 gpm/ft"'},
        "frugal pump",
    ),
    "high, two tanks": (
        {
            "altitude": "2500 m",
            "switch": 'cut_in = "2.0 bar"\ncut_out = "3.5 bar"',
            "tank": 'volume = "150 L"\ncount = 2\nprecharge = "1.8 bar"',
        },
        "house pump",
    ),
    "rotor, level falls with the flow": (
        {
            "pumps": PUMP + ROTOR,
            "well": 'specific_capacity = "0.08 gpm/ft"',
            "altitude": "1200 m",
            "switch": 'cut_in = "30 psi"\ncut_out = "50 psi"',
            "tank": 'volume = "44 gal"\nprecharge = "28 psi"',
        },
        "rotor",
    ),
}
"""Parts of the usual site in other words, and the pump that is read."""


def atmosphere(site: SiteFile) -> float:
    """The standard atmosphere [Pa], U.S. Standard Atmosphere 1976 by its formula."""
    return 101325.0 * (1 - 2.25577e-5 * float(site.site.site.altitude)) ** 5.25588


def fill(site: SiteFile, flow: Callable[[float], float], precharge: float) -> tuple[float, float]:
    """Seconds and water [m3] from cut-in to cut-out: Boyle's dV/dp over the flow, integrated."""
    switch, tank, air = site.site.pressure_switch, site.site.pressure_tank, atmosphere(site)
    held = float(tank.volume) * tank.count * (precharge + air)
    begin, end = max(float(switch.cut_in), precharge), float(switch.cut_out)
    seconds = quad(lambda p: held / (p + air) ** 2 / flow(p), begin, end, epsrel=1e-4)[0]
    return seconds, held * (1 / (begin + air) - 1 / (end + air))


@pytest.mark.parametrize("name", FILLS)
def test_a_fill_gives_flow_and_level_of_the_model_that_made_it(
    name: str, make_site: Make, read_at: Read
) -> None:
    changed, pump = FILLS[name]
    site = make_site(**changed)
    tank = site.site.pressure_tank
    flow = flow_of(site, pump, level_by(site))
    seconds, water = fill(site, flow, float(tank.precharge or np.nan))
    reading = only(read_at(site, fill_time=f"{seconds} s", pump=pump), "fill_time")
    assert implied(reading, "implied_flow") == pytest.approx(water / seconds, rel=0.02)
    mean_level = level_by(site)(water / seconds)
    assert implied(reading, "implied_pumping_level") == pytest.approx(mean_level, rel=0.02)
    assert float(reading.expected.value) == pytest.approx(seconds, rel=0.02)
    assert not reading.causes


@pytest.mark.parametrize("level", [30.0, 45.0])
def test_a_fill_tells_a_level_that_is_not_the_files(
    level: float, make_site: Make, read_at: Read
) -> None:
    site = make_site(tank='volume = "119 gal"\nprecharge = "38 psi"', altitude="1600 m")
    flow = flow_of(site, "house pump", lambda _: level)
    seconds, _ = fill(site, flow, 38 * PSI)
    reading = only(read_at(site, fill_time=f"{seconds}"), "fill_time")
    assert implied(reading, "implied_pumping_level") == pytest.approx(level, rel=0.02)


@pytest.mark.parametrize("share", [0.2, 0.5, 0.8, 1.2, 1.35])
@pytest.mark.parametrize("name", ["at the sea", "high, two tanks"])
def test_a_wrong_precharge_shows_and_is_told_by_the_bucket(
    name: str, share: float, make_site: Make, read_at: Read
) -> None:
    """The tank fills by its true air, the bucket by the pump's curve at mid pressure."""
    changed, pump = FILLS[name]
    site = make_site(**changed)
    switch = site.site.pressure_switch
    flow = flow_of(site, pump, level_by(site))
    air = share * float(switch.cut_in)
    seconds, _ = fill(site, flow, air)
    middle = (float(switch.cut_in) + float(switch.cut_out)) / 2
    litres = flow(middle) * 60 * 1000
    found = read_at(
        site, pump=pump, fill_time=f"{seconds} s", bucket_volume=f"{litres} L",
        bucket_time="60 s", gauge_pressure=f"{middle / 1000} kPa",
    )  # fmt: skip
    reading = only(found, "fill_time")
    told = "far too low" if share < 1 else "above cut-in"
    key = "implied_precharge" if share < 1 else "implied_precharge_above"
    assert implied(reading, key) == pytest.approx(air, abs=2 * PSI)
    if share <= 0.8:
        assert told in reading.causes[0].text
    elif reading.causes:
        assert any("precharge" in each.text for each in reading.causes)
    assert not only(found, "bucket_flow").causes


def test_a_precharge_that_was_read_clears_the_tank(make_site: Make, read_at: Read) -> None:
    """The fill of a tank at 20 psi, told with that reading, is right; the precharge is not."""
    site = make_site()
    seconds, _ = fill(site, flow_of(site, "house pump", level_by(site)), 20 * PSI)
    found = read_at(site, fill_time=f"{seconds}", precharge="20 psi")
    assert not only(found, "fill_time").causes
    assert only(found, "precharge").causes


def test_a_level_that_was_read_sets_the_buckets_band(make_site: Make, read_at: Read) -> None:
    """With the level known a flow below the curve is the pump's or the pipe's fault."""
    site = make_site()
    flow = 0.8 * flow_of(site, "house pump", lambda _: 105 * FOOT)(50 * PSI)
    found = read_at(
        site, pumping_level="105 ft", gauge_pressure="50 psi",
        bucket_volume=f"{flow * 60} m3", bucket_time="60 s",
    )  # fmt: skip
    reading = only(found, "bucket_flow")
    assert float(reading.expected.value) == pytest.approx(flow / 0.8, rel=0.02)
    assert "worn pump" in reading.causes[0].text
