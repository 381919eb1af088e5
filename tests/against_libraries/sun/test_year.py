"""A year of sun against pvlib's own chain, scipy's statistics, and two measured years.

The measured years are the open TMY3 files that pvlib ships: Greensboro and Sand Point.
"""

from __future__ import annotations

import io
import math
from importlib.resources import files

import numpy as np
import pandas as pd
import pvlib
import pytest
from scipy.optimize import brentq
from scipy.special import ndtri
from scipy.stats import kstest

from tests.references.daily_clearness import daily_clearness
from wellsolar.physics.array import module, module_fit, resistive
from wellsolar.physics.sun import (
    days as sun_days,
)
from wellsolar.physics.sun import (
    light,
    synthetic_year,
    tilted_plane,
    weather_files,
)
from wellsolar.physics.sun import (
    year as sun_year,
)

FILES = {"Greensboro": "723170TYA.CSV", "Sand Point": "703165TY.csv"}
MONTHS = sun_year.month_of_days()
# pvlib 0.16 still asks pandas for the day of the year by a name that pandas 3 warns of.
pytestmark = pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")
ARRAY = module_fit.fit_five_parameters(
    module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, -0.0030 * 39.9, 0.00485)
)
FAO_LIKE = np.array([6.2, 9.4, 13.3, 16.8, 19.9, 22.4, 22.0, 19.3, 15.7, 11.4, 7.2, 5.6]) * 1e6


def opened(station: str):
    return (files("pvlib") / "data" / FILES[station]).open(encoding="utf-8")


@pytest.fixture(scope="module", params=list(FILES))
def measured(request) -> tuple[str, sun_year.HourlyYear]:
    with opened(request.param) as text:
        return request.param, weather_files.year_from_tmy3(text)


def made_from(year: sun_year.HourlyYear, seed: int = 1) -> sun_year.HourlyYear:
    """The synthetic year of a measured year's monthly means."""
    return synthetic_year.year_from_monthly(
        year.latitude,
        year.altitude,
        sun_year.monthly_horizontal_totals(year),
        sun_year.monthly_means(year.air_temperature, year.hours),
        seed=seed,
        wind_speed=float(year.wind_speed.mean()),
    )


def bendt_probability(clearness: np.ndarray, mean: float) -> np.ndarray:
    """Distribution of a month's daily clearness; Bendt, Collares-Pereira & Rabl (1981), with the
    greatest of Hollands & Huget (1983), written out anew (both from memory)."""
    least = 0.05
    most = 0.6313 + 0.267 * mean - 11.9 * (mean - 0.75) ** 8

    def mean_of(gamma: float) -> float:
        low, high = math.exp(gamma * least), math.exp(gamma * most)
        return ((least - 1 / gamma) * low - (most - 1 / gamma) * high) / (low - high)

    gamma = (
        brentq(lambda g: mean_of(g) - mean, 1e-3, 200.0)
        if mean > (least + most) / 2
        else (brentq(lambda g: mean_of(g) - mean, -200.0, -1e-3))
    )
    low, high = math.exp(gamma * least), math.exp(gamma * most)
    return np.clip((low - np.exp(gamma * clearness)) / (low - high), 0.0, 1.0)


def normal_scores(clearness: np.ndarray) -> np.ndarray:
    scores = np.empty_like(clearness)
    for month in range(1, 13):
        days = clearness[month == MONTHS]
        scores[month == MONTHS] = ndtri((np.argsort(np.argsort(days)) + 0.5) / days.size)
    return scores


def lag_one(clearness: np.ndarray) -> float:
    scores = normal_scores(clearness)
    return float(np.corrcoef(scores[:-1], scores[1:])[0, 1])


def test_a_typical_year_on_a_plane_is_that_of_pvlib(measured):
    """Monthly sums of irradiance to 0.1 %, cell temperatures to 0.1 K, by pvlib's own calls."""
    station, year = measured
    with opened(station) as text:
        data, place = pvlib.iotools.read_tmy3(text, coerce_year=1990)
    middle = data.index - pd.Timedelta(minutes=30)
    site = pvlib.location.Location(place["latitude"], place["longitude"], "UTC", place["altitude"])
    position = site.get_solarposition(middle).set_index(data.index)
    outside = pvlib.irradiance.get_extra_radiation(middle).set_axis(data.index)
    plane = pvlib.irradiance.get_total_irradiance(
        place["latitude"], 180, position["apparent_zenith"], position["azimuth"],
        data["dni"], data["ghi"], data["dhi"], dni_extra=outside, model="haydavies", albedo=0.2,
    )["poa_global"]  # fmt: skip
    cells = pvlib.temperature.faiman(plane, data["temp_air"], data["wind_speed"], 25.0, 6.84)
    ours = sun_year.on_plane(year, year.latitude, 180.0)
    theirs = plane.groupby(middle.month).mean().to_numpy() * 86_400.0
    np.testing.assert_allclose(sun_year.monthly_totals(ours), theirs, rtol=1e-3)
    np.testing.assert_allclose(ours.cell_temperature, cells, atol=0.1)


def test_plain_columns_give_the_typical_year_back(measured):
    """By the sun of Spencer in place of the full algorithm: monthly sums to 1 %."""
    _, year = measured
    longitude, zone = {36.1: (-79.95, -5.0), 55.317: (-160.517, -9.0)}[year.latitude]
    rows = zip(
        year.global_horizontal, year.direct_normal, year.diffuse_horizontal,
        year.air_temperature, year.wind_speed, strict=True,
    )  # fmt: skip
    text = "ghi,dni,dhi,temperature,wind\n" + "\n".join(",".join(map(str, row)) for row in rows)
    plain = weather_files.year_from_csv(
        io.StringIO(text), year.latitude, year.altitude, longitude, zone
    )
    np.testing.assert_array_equal(plain.global_horizontal, year.global_horizontal)
    ours = sun_year.monthly_totals(sun_year.on_plane(plain, year.latitude, 180.0))
    whole = sun_year.monthly_totals(sun_year.on_plane(year, year.latitude, 180.0))
    np.testing.assert_allclose(ours, whole, rtol=0.01)
    # A wrong zone of three hours is noticed by the sun it puts in the night.
    with pytest.raises(weather_files.OutOfRange, match="at night"):
        weather_files.year_from_csv(
            io.StringIO(text), year.latitude, year.altitude, longitude, zone + 4.0
        )


def test_global_alone_is_split_as_by_pvlib(measured):
    _, year = measured
    longitude, zone = {36.1: (-79.95, -5.0), 55.317: (-160.517, -9.0)}[year.latitude]
    rows = zip(year.global_horizontal, year.air_temperature, strict=True)
    text = "ghi,temperature\n" + "\n".join(",".join(map(str, row)) for row in rows)
    ours = weather_files.year_from_csv(
        io.StringIO(text), year.latitude, year.altitude, longitude, zone
    )
    high = ours.hours.zenith < 80.0
    theirs = pvlib.irradiance.erbs(
        ours.global_horizontal[high], ours.hours.zenith[high], ours.hours.day_of_year[high]
    )
    # 1367 and 1366.1 W/m2 outside; near half-clear the fraction falls five times as fast.
    np.testing.assert_allclose(ours.diffuse_horizontal[high], theirs["dhi"], rtol=0.02, atol=0.5)
    assert np.all(ours.wind_speed == 1.0)


@pytest.mark.parametrize("latitude", [-35.0, 0.0, 40.0, 60.0])
def test_a_clear_year_is_that_of_pvlib(latitude):
    """Monthly means of hours against ten-minute steps of the full chain, to 1.5 % and 1.5 W/m2:
    ours leaves out refraction and knows only the middle of the hour, 5 % of December at 60 N."""
    ours = synthetic_year.year_from_clear_sky(latitude, 300.0, 1.0, np.full(12, 10.0), 3.5)
    index = pd.date_range("1990-01-01", "1990-12-31 23:50", freq="10min", tz="UTC")
    clear = pvlib.location.Location(latitude, 0.0, "UTC", 300.0).get_clearsky(
        index, linke_turbidity=3.5
    )
    for name, value in (("ghi", ours.global_horizontal), ("dni", ours.direct_normal)):
        theirs = clear[name].groupby(index.month).mean().to_numpy()
        mine = sun_year.monthly_means(value, ours.hours)
        np.testing.assert_allclose(mine, theirs, rtol=0.015, atol=1.5)


def test_days_outside_the_atmosphere_are_the_sum_of_their_hours():
    hours = sun_year.hours_of_year(47.0)
    height = np.maximum(np.cos(np.radians(hours.zenith)), 0.0)
    sums = (hours.extraterrestrial_normal * height).reshape(-1, 24).sum(axis=1) * 3600.0
    days = sun_year.extraterrestrial_days(47.0, np.arange(1.0, 366.0))
    # A day's first and last hour are lit in part, which the middle of the hour does not know.
    np.testing.assert_allclose(sums, days, rtol=0.015)
    assert sums.sum() == pytest.approx(days.sum(), rel=2e-3)


@pytest.mark.parametrize(("latitude", "seed"), [(40.0, 1), (-40.0, 2), (25.0, 3)])
def test_daily_clearness_has_the_published_distribution(latitude, seed):
    """All days of the year through the published distribution of their month are even between 0
    and 1: Kolmogorov-Smirnov distance under 0.03, where 365 independent days would have up to
    0.071 in 95 of 100 years."""
    totals = FAO_LIKE if latitude > 0 else np.roll(FAO_LIKE, 6)
    year = synthetic_year.year_from_monthly(latitude, 300.0, totals, np.full(12, 10.0), seed)
    np.testing.assert_allclose(sun_year.monthly_horizontal_totals(year), totals, rtol=1e-9)
    clearness = daily_clearness(year)
    outside = sun_year.extraterrestrial_days(latitude, np.arange(1.0, 366.0))
    even = np.concatenate(
        [
            bendt_probability(
                clearness[month == MONTHS],
                totals[month - 1] / outside[month == MONTHS].mean(),
            )
            for month in range(1, 13)
        ]
    )
    assert kstest(even, "uniform").statistic < 0.03


def test_days_follow_each_other_as_published():
    """Lag-one autocorrelation 0.29 (Graham, Hollands & Unny 1988, from memory), whatever the
    seed, and no more than its square two days on, within the scatter of a year."""
    lags, second = [], []
    for seed in range(20):
        scores = ndtri(synthetic_year.days_in_order(np.random.RandomState(seed)))
        lags.append(np.corrcoef(scores[:-1], scores[1:])[0, 1])
        second.append(np.corrcoef(scores[:-2], scores[2:])[0, 1])
    np.testing.assert_allclose(lags, 0.29, atol=0.03)
    assert np.mean(second) == pytest.approx(0.29**2, abs=0.04)


def test_measured_days_follow_each_other_so(measured):
    """The two measured years have 0.29 within twice the scatter of one year, 1 / sqrt(365)."""
    _, year = measured
    assert lag_one(daily_clearness(year)) == pytest.approx(0.29, abs=2 / math.sqrt(365))


def captured(plane: sun_year.PlaneYear, resistance: float) -> tuple[float, float]:
    """Energy tracked, and the part of it that four modules give to a resistance."""
    on = np.where(plane.plane_of_array_irradiance > 1.0, plane.plane_of_array_irradiance, 0.0)
    diode = module.array_of(module.at_conditions(ARRAY, on, plane.cell_temperature), 4, 1)
    tracked = np.sum(resistive.maximum_power_point(diode).power)
    return tracked, float(np.sum(resistive.on_resistance(diode, resistance).power) / tracked)


def test_a_year_made_of_monthly_means_is_like_the_measured_one(measured):
    """What a table of twelve numbers keeps, for three seeds: the plane's year to 2.5 %, its half
    years to 5 %, the tracked energy to 3 %, what a fixed resistance captures to 0.03; the limits
    are ours. Single months are off by up to 15 %: a measured month is not its climate's mean."""
    _, year = measured
    real = sun_year.on_plane(year, year.latitude, 180.0)
    dark = np.isin(year.hours.month, (10, 11, 12, 1, 2, 3))
    for seed in (1, 2, 3):
        made = sun_year.on_plane(made_from(year, seed), year.latitude, 180.0)
        light, really = made.plane_of_array_irradiance, real.plane_of_array_irradiance
        assert light.sum() == pytest.approx(really.sum(), rel=0.025)
        assert light[dark].sum() == pytest.approx(really[dark].sum(), rel=0.05)
        assert light[~dark].sum() == pytest.approx(really[~dark].sum(), rel=0.05)
        for resistance in (12.8, 14.174, 20.0, 28.0):
            tracked, share = captured(made, resistance)
            whole, part = captured(real, resistance)
            assert tracked == pytest.approx(whole, rel=0.03)
            assert share == pytest.approx(part, abs=0.03)


def test_its_days_are_like_the_measured_ones(measured):
    """Quantiles of daily clearness to 0.10 (ours). The published distribution starts at 0.05 for
    every climate; the darkest days of these two are brighter, so it errs to the safe side."""
    _, year = measured
    parts = [0.05, 0.25, 0.5, 0.75, 0.95]
    real = np.quantile(daily_clearness(year), parts)
    made = np.quantile(daily_clearness(made_from(year)), parts)
    np.testing.assert_allclose(made, real, atol=0.10)
    assert made[0] < real[0]


def test_scatter_of_hours_brings_the_plane_nearer_to_the_measured(measured, monkeypatch):
    """Smooth days have too little beam. This is why hours scatter."""
    _, year = measured
    real = sun_year.on_plane(year, year.latitude, 180.0).plane_of_array_irradiance.sum()
    rough = sun_year.on_plane(made_from(year), year.latitude, 180.0).plane_of_array_irradiance
    monkeypatch.setattr(
        synthetic_year, "hourly_scatter", lambda index, height, random: np.zeros(height.shape)
    )
    smooth = sun_year.on_plane(made_from(year), year.latitude, 180.0).plane_of_array_irradiance
    assert smooth.sum() < rough.sum() < 1.01 * real
    assert abs(rough.sum() - real) < 0.7 * abs(smooth.sum() - real)


@pytest.mark.parametrize("height", [0.0, 10.0, 30.0, 60.0, 90.0])
def test_what_an_even_skyline_leaves_of_the_sky(height):
    """Closed forms of the cosine-weighted integral: cos2 h on the level, and on a wall
    1 - (h + sin h cos h) / 90 deg."""
    skyline, angle = np.full(36, height), math.radians(height)
    level = math.cos(angle) ** 2
    wall = 1.0 - (angle + math.sin(angle) * math.cos(angle)) / (math.pi / 2)
    assert tilted_plane.sky_left(skyline, 0.0, 180.0) == pytest.approx(level, abs=2e-3)
    assert tilted_plane.sky_left(skyline, 90.0, 75.0) == pytest.approx(wall, abs=2e-3)


@pytest.mark.parametrize(("tilt", "azimuth", "albedo"), [(35.0, 180.0, 0.2), (60.0, 140.0, 0.6)])
def test_a_plane_behind_a_skyline_by_pvlib(measured, tilt, azimuth, albedo):
    """Hay and Davies: the sun and its ring go with the sun, the even sky by the part that
    is left of it; while the sun is hidden the ground has that even sky alone."""
    _, year = measured
    hours = year.hours
    skyline = 25.0 + 20.0 * np.cos(np.radians(np.arange(0.0, 360.0, 10.0) - 90.0))
    tall = np.interp(hours.sun_azimuth % 360.0, np.arange(0.0, 361.0, 10.0),
                     np.append(skyline, skyline[0]))  # fmt: skip
    seen = (90.0 - hours.zenith) >= tall
    parts = pvlib.irradiance.haydavies(
        tilt, azimuth, year.diffuse_horizontal, year.direct_normal, hours.extraterrestrial_normal,
        hours.zenith, hours.sun_azimuth, return_components=True,
    )  # fmt: skip
    ring = np.minimum(year.direct_normal / hours.extraterrestrial_normal, 1.0)
    even = year.diffuse_horizontal * (1.0 - ring)
    direct = year.direct_normal * np.cos(np.radians(hours.zenith))
    beam = pvlib.irradiance.beam_component(
        tilt, azimuth, hours.zenith, hours.sun_azimuth, year.direct_normal
    )
    on_ground = np.where(seen, year.diffuse_horizontal + direct, even)
    wanted = (
        np.where(seen, beam + parts["poa_circumsolar"], 0.0)
        + parts["poa_isotropic"] * tilted_plane.sky_left(skyline, tilt, azimuth)
        + pvlib.irradiance.get_ground_diffuse(tilt, on_ground, albedo)
    )
    plane = sun_year.on_plane(year, tilt, azimuth, albedo, horizon_heights=skyline)
    up = hours.zenith < 87.0  # nearer to the horizon both cap the ring around the sun
    assert 0.2 < seen[up].mean() < 0.8
    np.testing.assert_allclose(plane.plane_of_array_irradiance[up], wanted[up], atol=1e-6)


@pytest.mark.parametrize(("altitude", "turbidity"), [(0.0, 3.0), (2400.0, 3.0), (300.0, 5.0)])
def test_cloudless_days_by_pvlib(altitude, turbidity):
    """Three days one after the other in half hours: each its own sky of Ineichen and Perez, its
    own mean of the air, which is warmest at 15:00 and coldest at 3:00."""
    days, means, half_hours = np.array([10.0, 172.0, 355.0]), np.array([-5.0, 24.0, 2.0]), 48
    clear = sun_days.cloudless_days(
        35.0, altitude, days, means, 1800.0, turbidity, daily_temperature_range=12.0,
        wind_speed=2.5,
    )  # fmt: skip
    assert (clear.latitude, clear.altitude) == (35.0, altitude)
    assert list(clear.hours.day_of_year[::half_hours]) == list(days)
    zenith = clear.hours.zenith
    up = zenith < 89.0
    around = pvlib.irradiance.get_extra_radiation(np.repeat(days, half_hours), method="spencer")
    mass = pvlib.atmosphere.get_absolute_airmass(
        pvlib.atmosphere.get_relative_airmass(zenith[up]), pvlib.atmosphere.alt2pres(altitude)
    )
    sky = pvlib.clearsky.ineichen(zenith[up], mass, turbidity, altitude, around[up])
    for ours, theirs in ((clear.global_horizontal, sky["ghi"]), (clear.direct_normal, sky["dni"])):
        np.testing.assert_allclose(ours[up], theirs, rtol=2e-3, atol=0.5)
        assert np.all(ours[zenith > 90.0] == 0.0)
    direct = clear.direct_normal * np.maximum(np.cos(np.radians(zenith)), 0.0)
    level = clear.diffuse_horizontal + direct
    np.testing.assert_allclose(level[up], clear.global_horizontal[up], atol=0.5)
    air = clear.air_temperature.reshape(3, half_hours)
    np.testing.assert_allclose(air.mean(axis=1), means, atol=1e-9)
    np.testing.assert_allclose(air.max(axis=1) - air.min(axis=1), 12.0, rtol=5e-3)
    # The middles of the half hours beside 15:00 and 3:00.
    np.testing.assert_allclose(air[:, 29], air[:, 30], atol=1e-9)
    assert {*air.argmax(axis=1)} <= {29, 30}
    assert {*air.argmin(axis=1)} <= {5, 6}
    assert np.all(clear.wind_speed == 2.5)


def test_a_clear_day_of_hours_is_that_of_ten_minutes():
    day = sun_days.cloudless_days(40.0, 300.0, np.array([80.0]), np.array([15.0]), 600.0)
    fine = sun_days.day_of(sun_year.on_plane(day, 40.0, 180.0), 0, 600.0).plane_total
    year = synthetic_year.year_from_clear_sky(40.0, 300.0, 1.0, np.full(12, 15.0))
    plane = sun_year.on_plane(year, 40.0, 180.0).plane_of_array_irradiance[79 * 24 : 80 * 24]
    assert plane.sum() * 3600.0 == pytest.approx(fine, rel=2e-3)
    assert np.all(year.direct_normal < 0.9 * year.hours.extraterrestrial_normal)
    assert isinstance(light.clear_hours(year.hours, 300.0, np.full(12, 3.0)), light.Light)


def test_a_skyline_goes_round():
    skyline = np.arange(0.0, 36.0)
    for same in ((350.0, -10.0, 710.0), (15.0, 375.0, -345.0), (0.0, 360.0, -360.0)):
        heights = tilted_plane.height_towards(skyline, np.array(same))
        np.testing.assert_allclose(heights, heights[0], atol=1e-12)
    # Half way between the last step and the first.
    assert tilted_plane.height_towards(skyline, np.array([355.0])) == pytest.approx(17.5)
