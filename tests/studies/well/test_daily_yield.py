"""What a well gives for good, what storage bridges, and a day's water that is too much."""

from __future__ import annotations

import math
import re
from types import SimpleNamespace
from typing import Any
from unittest import mock

import numpy as np
import pytest
from scipy.special import exp1

from tests.studies.well.low_yield import (
    DAY,
    FOOT,
    GALLON,
    GPM,
    INCH,
    WELLS,
    low_yield,
    only_pump,
    study,
    verdict,
)
from wellsolar.studies.well import peak


class TestSustained:
    def test_by_the_specific_capacity(self) -> None:
        pump = only_pump(low_yield(WELLS[0][0]))
        # 110 ft down to the stop at 0.02 gpm/ft; the casing gives its water once.
        assert pump.sustained_season / GPM == pytest.approx(2.2, rel=1e-6)
        assert pump.sustained_day / GPM == pytest.approx(2.2, rel=1e-3)

    def test_with_well_loss_by_the_root(self) -> None:
        pump = only_pump(low_yield(WELLS[1][0]))
        flow = max(np.roots([6.0, 40.0, -110.0]).real)
        assert pump.sustained_season / GPM == pytest.approx(flow, rel=1e-3)

    def test_by_theis_over_a_season(self) -> None:
        pump = only_pump(low_yield(WELLS[2][0]))
        transmissivity, radius = 0.25 / DAY, 6.065 * INCH / 2
        u = radius**2 * 1e-3 / (4 * transmissivity * 90 * DAY)
        flow = 110 * FOOT * 4 * math.pi * transmissivity / exp1(u)
        assert pump.sustained_season == pytest.approx(flow, rel=0.01)
        assert pump.sustained_season < 0.8 * pump.sustained_day


class TestStorage:
    def test_the_articles_low_yield_well(self) -> None:
        # The Driller, article 86502: 3 gpm against 10 gpm for seven minutes, 49 gal from storage.
        text = low_yield(
            'specific_capacity = "5 gpm/ft"', flow="0, 2.999, 3 gpm", head="500, 499, 5 ft"
        ).replace('peak_flow = "3 gpm"', 'peak_flow = "10 gpm"')
        bridges = {each.duration: each for each in only_pump(text).bridges}
        assert bridges[420.0].storage / GALLON == pytest.approx(49, rel=1e-3)
        assert bridges[3600.0].storage / GALLON == pytest.approx(7 * 60, rel=1e-3)
        # 70 gal within 2 h are 0.6 gpm.
        assert bridges[7200.0].storage == 0.0

    @pytest.mark.parametrize("system", ["US", "SI"])
    def test_a_tank_as_the_remedy_has_it_passes(self, system: Any) -> None:
        text = low_yield('specific_capacity = "5 gpm/ft"').replace(
            'peak_flow = "3', 'peak_flow = "16'
        )
        storage = '\n[storage_tank]\nvolume = "{}"\n'
        for there in ("", storage.format("20 gal")):
            found = verdict(study(text + there), "peak flow")
            assert found.status == "caution"
            told = found.remedy.text(system)
            sold, needed = re.search(r"tank of (.*) \(needs (.*)\)", told).groups()
            for volume in (sold, needed):
                mended = study(text + storage.format(volume))
                assert verdict(mended, "peak flow").status == "pass"
            assert found.remedy.changes[0].path == "storage_tank.volume"
        # Seven minutes of it: what the table of storage has for that time.
        bridge = next(each for each in only_pump(text).bridges if each.duration == 420.0)
        assert found.limit == pytest.approx(bridge.storage)


class TestDaysWater:
    @pytest.mark.parametrize("system", ["US", "SI"])
    def test_more_than_the_well_gives_fails_and_what_it_gives_passes(self, system: Any) -> None:
        failing = study(low_yield(WELLS[0][0], use="3000 gal/day"))
        found = verdict(failing, "day's water from the well")
        assert found.status == "fail"
        volume = found.remedy.text(system).removeprefix("use no more than ").split(" a day")[0]
        mended = study(low_yield(WELLS[0][0], use=f"{volume}/day"))
        assert verdict(mended, "day's water from the well").status == "pass"

    def test_a_few_drops_are_not_offered_as_a_days_water(self) -> None:
        # An inch of water over the intake, at 0.02 gpm/ft: a household can't be told to use that.
        text = low_yield('specific_capacity = "0.02 gpm/ft"').replace(
            'intake_depth = "160 ft"', 'intake_depth = "40.1 ft"'
        )
        text = re.sub(r"restart_level = .*", "", text)
        told = verdict(study(text), "day's water from the well").remedy.text("US")
        assert told.startswith("find another source")


@pytest.mark.parametrize(("run", "left"), [(60.0, 0.02), (120.0, 0.0)])
def test_a_pressure_tank_spares_what_its_pumps_run_does_not_need(run: float, left: float) -> None:
    """50 L between its pressures; the pump must run for 1 or 2 minutes at 0.5 L/s."""
    fill = SimpleNamespace(points=[SimpleNamespace(water=0.05)], mean_flow=5e-4)
    pump, link = SimpleNamespace(fill=fill), SimpleNamespace(table=None)
    cycle = SimpleNamespace(wanted_run=run)
    with mock.patch.object(peak, "motor_cycle", return_value=cycle):
        found = peak._beyond_a_run(None, link, pump)  # type: ignore[arg-type]
    assert found == pytest.approx(left)
    assert peak._beyond_a_run(None, link, SimpleNamespace(fill=None)) == 0.0  # type: ignore[arg-type]


@pytest.mark.parametrize(("stops", "share"), [(0.1, 0.5), (0.7, 0.0)])
def test_of_a_storage_tank_a_peak_has_what_lies_between_its_floats(
    stops: float, share: float
) -> None:
    storage = SimpleNamespace(fills_below=0.6, stops_below=stops, volume=4.0)
    site = SimpleNamespace(storage_tank=object())
    with mock.patch.object(peak.chain, "storage_of", return_value=storage):
        assert peak._held(site) == pytest.approx((share, 4.0 * share))  # type: ignore[arg-type]
    assert peak._held(SimpleNamespace(storage_tank=None)) == (1.0, 0.0)  # type: ignore[arg-type]
