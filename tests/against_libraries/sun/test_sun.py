"""Sun, sky and light on a plane against pvlib and scipy."""

from __future__ import annotations

import math

import numpy as np
import pvlib
import pytest
from scipy.integrate import quad

from tests.references import monthly_tilted
from wellsolar.constants import SOLAR_CONSTANT
from wellsolar.physics.sun import clearness, position, synthetic_year
from wellsolar.physics.sun import year as sun_year


def all_suns():
    """Latitude, declination and hour angle, with suns overhead, due south, due north, at noon."""
    return np.meshgrid(
        [-66.0, -35.0, -10.0, 0.0, 23.0, 45.0, 71.0],
        [-23.4, -10.0, 0.0, 23.0],
        np.linspace(-177.0, 177.0, 119),
    )


def test_the_suns_place_is_that_of_pvlib():
    days = np.linspace(1.0, 366.0, 1000)
    theirs = np.degrees(pvlib.solarposition.declination_cooper69(days))
    np.testing.assert_allclose(position.declination_cooper(days), theirs, atol=1e-12)
    normal = pvlib.irradiance.get_extra_radiation(days, SOLAR_CONSTANT, method="asce")
    np.testing.assert_allclose(position.extraterrestrial_normal(days), normal, rtol=1e-12)
    latitude, tilt, hour = all_suns()
    zenith, azimuth = position.sun_position(latitude, tilt, hour)
    angles = np.radians(hour), np.radians(tilt)
    high = pvlib.solarposition.solar_zenith_analytical(np.radians(latitude), *angles)
    np.testing.assert_allclose(zenith, np.degrees(high), atol=1e-9)
    told = np.degrees(
        pvlib.solarposition.solar_azimuth_analytical(np.radians(latitude), *angles, high)
    )
    # Theirs is an arc cosine, which is flat within 0.01 degrees of north and south, and takes any
    # sun at hour angle 0 for a southern one.
    plain = (hour != 0.0) & (np.abs(zenith - 90.0) < 89.0)
    apart = (azimuth - told + 180.0) % 360.0 - 180.0
    assert np.max(np.abs(apart[plain])) < 0.01
    assert np.median(np.abs(apart[plain])) < 1e-10
    north, south = position.sun_position(np.array([-35.0, 35.0]), 10.0, 0.0)[1]
    assert (north, south) == pytest.approx((0.0, 180.0), abs=1e-9)


def test_hourly_diffuse_fraction_is_that_of_pvlib():
    total = np.linspace(0.0, 1.0, 201) * 1000.0
    theirs = pvlib.irradiance.erbs(total, np.zeros_like(total), 80, min_cos_zenith=0.0)
    ours = clearness.hourly_diffuse_fraction(np.asarray(theirs["kt"]))
    np.testing.assert_allclose(ours * total, theirs["dhi"], atol=1e-9)


def test_daily_radiation_outside_is_the_integral_over_the_day():
    latitude, day = 47.0, 300
    hours = (np.arange(100_000) + 0.5) / 100_000 * 360.0 - 180.0
    zenith = position.sun_position(latitude, position.declination_cooper(day), hours)[0]
    height = np.maximum(np.cos(np.radians(zenith)), 0.0)
    integral = float(np.mean(height) * position.extraterrestrial_normal(day) * 86_400.0)
    assert position.extraterrestrial_day(latitude, day) == pytest.approx(integral, rel=1e-6)


def test_days_of_a_mean_half_way_are_spread_evenly():
    """The mean of exp(g x) on 0 to 1, by quadrature, at a growth too small for its formula."""
    least, most = clearness.LEAST_DAILY_CLEARNESS, 0.85
    growth = 6e-5
    weight = quad(lambda x: math.exp(growth * x), 0, 1)[0]
    mean = quad(lambda x: x * math.exp(growth * x), 0, 1, epsabs=1e-15)[0] / weight
    ours = clearness._growth_of_mean(least + mean * (most - least), most)
    assert ours == pytest.approx(growth, rel=1e-3)


def test_growth_of_the_clearness_distribution_is_near_herzogs_fit():
    """Herzog's fit to the same distribution, Duffie & Beckman eq. 2.9.6 (from memory)."""
    for mean in (0.4, 0.5, 0.6, 0.7):
        most, least = clearness.greatest_daily_clearness(mean), clearness.LEAST_DAILY_CLEARNESS
        xi = (most - least) / (most - mean)
        gamma = -1.498 + (1.184 * xi - 27.182 * math.exp(-1.5 * xi)) / (most - least)
        part = np.linspace(0.05, 0.95, 19)
        theirs = np.log(
            np.exp(gamma * least) + part * (np.exp(gamma * most) - np.exp(gamma * least))
        )
        ours = clearness.daily_clearness_quantile(mean, part)
        np.testing.assert_allclose(ours, theirs / gamma, atol=0.01)


def test_the_hourly_year_agrees_with_the_monthly_hand_method():
    """Klein's monthly method (isotropic sky) and the hours of Hay & Davies, 40 N, slope 40."""
    totals = (6.2, 9.4, 13.3, 16.8, 19.9, 22.4, 22.0, 19.3, 15.7, 11.4, 7.2, 5.6)
    year = synthetic_year.year_from_monthly(40.0, 300.0, np.array(totals) * 1e6, np.full(12, 10.0))
    planes = sun_year.monthly_totals(sun_year.on_plane(year, 40.0, 180.0))
    for month, (total, plane) in enumerate(zip(totals, planes, strict=True), 1):
        by_hand = monthly_tilted.monthly_mean_tilted(
            40.0, position.average_day(month), 40.0, total * 1e6
        )
        assert plane == pytest.approx(by_hand, rel=0.05)
