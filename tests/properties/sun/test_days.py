"""What must hold for any day of sun."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from wellsolar.errors import OutOfRange
from wellsolar.physics.sun import clearness, position, synthetic_year
from wellsolar.physics.sun import days as sun_days
from wellsolar.physics.sun import year as sun_year


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


@pytest.mark.parametrize(
    ("part", "growth"),
    [
        (1.0 / (1.0 - math.exp(-2.0)) - 1.0 / 2.0, 2.0),
        (1.0 / (1.0 - math.exp(3.0)) + 1.0 / 3.0, -3.0),
        (0.5 + 5e-5 / 12.0, 5e-5),  # the series of the same
        (0.5 - 8e-5 / 12.0, -8e-5),
        (0.5 + 3e-3 / 12.0, 3e-3),
        (0.9945, 1.0 / 0.0055),
    ],
)
def test_growth_of_the_density_of_clear_days(part, growth):
    """A density as exp(g x) from 0 to 1 has its mean at 1 / (1 - exp(-g)) - 1 / g."""
    least, greatest = clearness.LEAST_DAILY_CLEARNESS, 0.75
    found = clearness._growth_of_mean(least + part * (greatest - least), greatest)
    assert found == pytest.approx(growth, rel=1e-3)


def test_a_mean_that_is_nearly_the_clearest_day_is_refused():
    with pytest.raises(OutOfRange, match="mean clearness index"):
        clearness._growth_of_mean(0.05 + 0.9955 * 0.7, 0.75)


@pytest.mark.parametrize(
    ("sunset", "past", "area"),
    [(60.0, 0.0, math.sqrt(0.75) - math.pi / 6), (90.0, 0.5, 1.0),
     (150.0, 1.0, 0.5 + math.pi * 5 / 6 * math.sqrt(0.75))],
)  # fmt: skip
@pytest.mark.parametrize(("hour", "cosine"), [(0.0, 1.0), (-45.0, math.sqrt(0.5)), (60.0, 0.5)])
def test_shares_of_an_hour_by_hand(sunset, past, area, hour, cosine):
    """Duffie & Beckman eqs. 2.13.2 and 2.13.4 (from memory): pi / 24 (a + b cos w) times
    (cos w - cos ws) / (sin ws - ws cos ws), with a = 0.409 + 0.5016 sin(ws - 60) and
    b = 0.6609 - 0.4767 sin(ws - 60)."""
    above = cosine - {60.0: 0.5, 90.0: 0.0, 150.0: -math.sqrt(0.75)}[sunset]
    diffuse = math.pi / 24.0 * above / area
    assert clearness.hourly_diffuse_share(hour, sunset) == pytest.approx(diffuse, abs=1e-12)
    peaked = 0.409 + 0.5016 * past + (0.6609 - 0.4767 * past) * cosine
    assert clearness.hourly_share(hour, sunset) == pytest.approx(peaked * diffuse, abs=1e-12)


places = {
    "latitude": st.floats(-72.0, 72.0),
    "altitude": st.floats(0.0, 3000.0),
    "tilt": st.floats(0.0, 90.0),
    "azimuth": st.floats(0.0, 360.0),
}


def cloudless(latitude, altitude, day=172.0):
    return sun_days.cloudless_days(latitude, altitude, np.array([day]), np.array([10.0]), 1200.0)


def day_on(sky, tilt, azimuth, **given):
    return sun_days.day_of(sun_year.on_plane(sky, tilt, azimuth, **given), 0, 1200.0)


@given(
    day=st.floats(1, 365).map(round).map(float),
    height=st.floats(0.0, 60.0),
    kept=st.floats(0.0, 1.0),
    glass=st.floats(0.0, 0.3),
    **places,
)
@settings(max_examples=50)
def test_shade_glass_and_dirt_only_ever_take(
    latitude, altitude, tilt, azimuth, day, height, kept, glass
):
    sky = cloudless(latitude, altitude, day)
    bare = day_on(sky, tilt, azimuth)
    assert np.all(bare.plane_of_array_irradiance >= 0.0)
    assert np.all(bare.plane_of_array_irradiance < 1400.0)
    assert np.all(bare.cell_temperature >= sky.air_temperature - 1e-9)
    assert np.array_equal(bare.plane_of_array_irradiance, bare.effective_irradiance)
    hills, shading = np.full(8, height), np.full(12, kept)
    behind = day_on(sky, tilt, azimuth, horizon_heights=hills, shading=shading)
    assert np.all(behind.plane_of_array_irradiance <= bare.plane_of_array_irradiance + 1e-9)
    lossy = day_on(sky, tilt, azimuth, angular_loss=glass, light_kept=kept)
    assert np.all(lossy.effective_irradiance <= bare.effective_irradiance * kept + 1e-9)


def test_a_day_of_hours_keeps_its_sun_in_smaller_steps():
    year = synthetic_year.year_from_clear_sky(36.0, 300.0, 1.0, np.full(12, 15.0))
    plane = sun_year.on_plane(year, 36.0, 180.0)
    whole, cut = (sun_days.day_of(plane, 100, 3600.0, pieces) for pieces in (1, 3))
    assert cut.step == 1200.0
    assert cut.plane_total == pytest.approx(whole.plane_total)
    noon = plane.plane_of_array_irradiance[100 * 24 + 12]
    assert np.all(cut.plane_of_array_irradiance[36:39] == noon)


def test_south_mirrors_north():
    """Half a year and a hemisphere apart, a plane toward the equator sees the same day, but for
    the sun's distance (6.6 %) and the few days between the months' average days."""
    north = day_on(cloudless(35.0, 0.0, 162.0), 30.0, 180.0)
    south = day_on(cloudless(-35.0, 0.0, 344.0), 30.0, 0.0)
    distance = position.extraterrestrial_normal(344) / position.extraterrestrial_normal(162)
    assert south.plane_total / north.plane_total == pytest.approx(distance, rel=0.01)


def test_polar_night_is_dark():
    assert day_on(cloudless(71.0, 0.0, 344.0), 70.0, 180.0).plane_total == 0.0


def test_rounding_takes_no_sun_beyond_straight_above_or_below():
    latitude = np.linspace(-60.0, 60.0, 2401)
    overhead, _ = position.sun_position(latitude, latitude, 0.0)
    below, _ = position.sun_position(latitude, -latitude, 180.0)
    np.testing.assert_allclose(overhead, 0.0, atol=5e-6)
    np.testing.assert_allclose(below, 180.0, atol=5e-6)


@pytest.mark.parametrize(("mean", "greatest"), [(0.9, "0.872"), (0.05, "0.279")])
def test_a_month_that_cannot_be_is_refused_with_the_clearest_day_of_one_that_can(mean, greatest):
    """By hand: 0.6313 + 0.267 K - 11.9 (K - 0.75)^8 at 0.9, and at 0.1 for what is less."""
    with pytest.raises(OutOfRange, match=f"allowed is 0.1 to {greatest}, that of the clearest"):
        clearness.daily_clearness_quantile(mean, 0.5)
