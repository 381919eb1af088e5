"""What must hold for any day of sun."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from wellsolar.errors import OutOfRange
from wellsolar.physics.sun import clearness, position
from wellsolar.physics.sun import days as sun_days


def horizontal_total(day):
    return float(np.sum(day.horizontal_irradiance)) * day.step


@given(st.floats(0.1, 0.78), st.lists(st.floats(0.0, 1.0), min_size=2, max_size=6))
def test_clearness_quantiles_rise_within_their_range(mean, probabilities):
    values = clearness.daily_clearness_quantile(mean, np.sort(probabilities))
    assert np.all(np.diff(values) >= 0.0)
    assert values[0] >= clearness.LEAST_DAILY_CLEARNESS - 1e-12
    assert values[-1] <= clearness.greatest_daily_clearness(mean) + 1e-12


@given(st.floats(0.1, 0.78))
def test_clearness_distribution_has_the_mean_it_was_asked_for(mean):
    values = clearness.daily_clearness_quantile(mean, (np.arange(20_000) + 0.5) / 20_000)
    assert np.mean(values) == pytest.approx(mean, abs=1e-6)


@given(st.floats(-70.0, 70.0), st.integers(1, 365))
def test_shares_of_the_day_add_up(latitude, day):
    sunset = position.sunset_hour_angle(latitude, position.declination_cooper(day))
    assume(sunset > 20.0)
    hours = np.arange(-179.95, 180.0, 0.1)
    diffuse = clearness.hourly_diffuse_share(hours, sunset)
    assert np.sum(diffuse) * 0.1 / 15.0 == pytest.approx(1.0, rel=1e-3)
    # The coefficients of the total's profile are a fit: its sum is near 1 only, and for days of
    # 8 to 16 hours.
    assume(60.0 <= sunset <= 120.0)
    total = clearness.hourly_share(hours, sunset)
    assert np.sum(total) * 0.1 / 15.0 == pytest.approx(1.0, abs=0.03)


places = {
    "month": st.integers(1, 12),
    "latitude": st.floats(-72.0, 72.0),
    "altitude": st.floats(0.0, 3000.0),
    "tilt": st.floats(0.0, 90.0),
    "azimuth": st.floats(0.0, 360.0),
}


@given(part=st.floats(0.0, 1.0), **places)
@settings(max_examples=60)
def test_a_day_keeps_its_total_and_stays_physical(part, **place):
    sky = sun_days.sky_over(mean_air_temperature=10.0, **place)
    clear = sun_days.clear_day(sky)
    total = part * horizontal_total(clear)
    day = sun_days.day_with_total(sky, total)
    assert horizontal_total(day) == pytest.approx(total, rel=1e-6)
    for one in (clear, day):
        assert np.isfinite(one.cell_temperature).all()
        assert np.all(one.plane_of_array_irradiance >= 0.0)
        assert np.all(one.plane_of_array_irradiance < 1400.0)
        assert np.all(one.cell_temperature >= one.air_temperature - 1e-9)
        dark = one.horizontal_irradiance <= 0.0
        assert np.all(one.plane_of_array_irradiance[dark] == 0.0)
    assert np.mean(day.air_temperature) == pytest.approx(10.0, abs=1e-9)


@given(part=st.floats(0.3, 0.9), **places)
@settings(max_examples=30)
def test_a_poor_day_is_darker_than_a_typical_one(part, **place):
    sky = sun_days.sky_over(mean_air_temperature=10.0, **place)
    clear = horizontal_total(sun_days.clear_day(sky))
    assume(clear > 2e6)
    mean = part * clear
    kinds = sun_days.day_kinds(sky, mean)
    assert list(kinds) == ["clear", "typical", "poor"]
    assert horizontal_total(kinds["typical"]) == pytest.approx(mean, rel=1e-6)
    assert horizontal_total(kinds["poor"]) < horizontal_total(kinds["typical"])


def test_south_mirrors_north():
    """Half a year and a hemisphere apart, a plane toward the equator sees the same day, but for
    the sun's distance (6.6 %) and the few days between the months' average days."""
    north = sun_days.clear_day(sun_days.sky_over(6, 35.0, 0.0, 30.0, 180.0, 10.0))
    south = sun_days.clear_day(sun_days.sky_over(12, -35.0, 0.0, 30.0, 0.0, 10.0))
    ratio = sun_days.daily_plane_total(south) / sun_days.daily_plane_total(north)
    distance = position.extraterrestrial_normal(344) / position.extraterrestrial_normal(162)
    assert ratio == pytest.approx(distance, rel=0.01)


def test_more_sun_than_a_clear_sky_gives_is_refused():
    with pytest.raises(OutOfRange, match=r"monthly mean daily total of month 1 is"):
        sun_days.day_kinds(sun_days.sky_over(1, 40.0, 0.0, 40.0, 180.0, 0.0), 30e6)
    with pytest.raises(OutOfRange, match="daily total of month 1"):
        sun_days.day_with_total(sun_days.sky_over(1, 40.0, 0.0, 40.0, 180.0, 0.0), 30e6)


def test_polar_night_is_dark():
    sky = sun_days.sky_over(12, 71.0, 0.0, 70.0, 180.0, -20.0)
    for day in sun_days.day_kinds(sky, 0.0).values():
        assert sun_days.daily_plane_total(day) == 0.0
