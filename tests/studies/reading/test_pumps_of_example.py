"""Fill and pressure at an example, against Boyle by hand and scipy's quadrature."""

from __future__ import annotations

from functools import partial

import numpy as np
import pytest
from scipy.integrate import quad

from tests.site_texts import EXAMPLES
from tests.studies.reading.by_integration import implied
from tests.studies.reading.test_composed_readings import read as read_at
from wellsolar.site.loading.read import load_site
from wellsolar.studies.pump.study import pump_on_well

read = partial(read_at, "ridge_house")
PSI, GALLON = 6894.757, 3.785411784e-3


def test_a_fill_time_gives_flow_and_pumping_level_of_the_model_that_made_it() -> None:
    site = load_site(EXAMPLES / "ridge_house.toml").site
    on_well = pump_on_well(site, site.pump[1], "pump[2]")
    air = 101325.0 * (1 - 2.25577e-5 * float(site.site.altitude)) ** 5.25588
    volume, precharge = 86 * GALLON, 38 * PSI + air

    def slowness(pressure: float) -> float:
        """dt/dp of the fill: dV/dp by Boyle over the pump's flow at that pressure."""
        flow = on_well.duty("a point", pressure).flow
        return volume * precharge / (pressure + air) ** 2 / flow

    seconds = quad(slowness, 40 * PSI, 60 * PSI, epsrel=1e-5)[0]
    drawn = volume * precharge * (1 / (40 * PSI + air) - 1 / (60 * PSI + air))
    reading = next(
        each for each in read(fill_time=f"{seconds} s", pump="frugal pump")
        if each.key == "fill_time"
    )  # fmt: skip
    flow = implied(reading, "implied_flow")
    assert flow == pytest.approx(drawn / seconds, rel=0.02)
    level = float(site.well.static_level) + flow / float(site.well.specific_capacity or np.nan)
    assert implied(reading, "implied_pumping_level") == pytest.approx(level, rel=0.02)
    assert not reading.causes


def test_a_wrong_precharge_shows() -> None:
    """The time of a tank at 15 psi, by Boyle at the flow the right time implies."""
    right = float(read(fill_time="600", pump="frugal pump")[0].expected.value)  # type: ignore[union-attr]
    air = 98_000.0
    short = right * (15 * PSI + air) / (38 * PSI + air)
    (reading,) = read(fill_time=f"{short:.1f}", pump="frugal pump")
    assert any("precharge" in each.text for each in reading.causes)


def test_a_pressure_lost_overnight_is_a_leak_by_boyle() -> None:
    (reading,) = read(
        evening_pressure="58 psi", morning_pressure="44 psi", hours_between="9 h"
    )  # fmt: skip
    air = 101325.0 * (1 - 2.25577e-5 * 900 * 0.3048) ** 5.25588
    held = 86 * GALLON * (38 * PSI + air)
    lost = held * (1 / (44 * PSI + air) - 1 / (58 * PSI + air))
    assert implied(reading, "implied_leak") == pytest.approx(lost / (9 * 3600), rel=0.005)
    assert len(reading.causes) == 2
