"""What must hold for any year of sun, whatever it is made of."""

from __future__ import annotations

import io
import math
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import ndtr

from tests.references.daily_clearness import daily_clearness
from wellsolar.errors import OutOfRange
from wellsolar.physics.sun import (
    clearness,
    light,
    position,
    synthetic_year,
    tilted_plane,
    weather_files,
)
from wellsolar.physics.sun import year as sun_year

COOL = np.linspace(-5.0, 20.0, 12)
LIGHT = ("global_horizontal", "direct_normal", "diffuse_horizontal")
MONTHS = sun_year.month_of_days()


def table(latitude: float, clearness) -> np.ndarray:
    """Monthly totals of a clearness index."""
    days = sun_year.extraterrestrial_days(latitude, np.arange(1.0, 366.0))
    outside = np.bincount(MONTHS, weights=days)[1:] / np.bincount(MONTHS)[1:]
    return np.asarray(clearness) * outside


def physical(year: sun_year.HourlyYear) -> None:
    for name in (*LIGHT, "air_temperature", "wind_speed"):
        value = getattr(year, name)
        assert value.shape == year.hours.zenith.shape
        assert np.isfinite(value).all(), name
    for name in LIGHT:
        assert np.all(getattr(year, name) >= 0.0), name
    up = np.maximum(np.cos(np.radians(year.hours.zenith)), 0.0)
    np.testing.assert_allclose(
        year.direct_normal * up + year.diffuse_horizontal, year.global_horizontal, atol=1e-6
    )
    assert np.all(year.direct_normal < year.hours.extraterrestrial_normal)
    assert np.all(year.global_horizontal[up <= 0.0] == 0.0)


clearnesses = st.lists(st.floats(0.15, 0.7), min_size=12, max_size=12)
latitudes = st.floats(-65.0, 65.0)


@given(latitude=latitudes, clearness=clearnesses, seed=st.integers(0, 2**32 - 1))
@settings(max_examples=40)
def test_a_table_comes_back_out_of_its_year(latitude, clearness, seed):
    totals = table(latitude, clearness)
    year = synthetic_year.year_from_monthly(latitude, 500.0, totals, COOL, seed)
    physical(year)
    np.testing.assert_allclose(sun_year.monthly_horizontal_totals(year), totals, rtol=1e-9)
    np.testing.assert_allclose(
        sun_year.monthly_means(year.air_temperature, year.hours), COOL, atol=1e-9
    )
    assert year.hours.month[0] == 1
    assert year.hours.hour_of_day[0] == 0.5
    assert year.global_horizontal.size == 8760


@given(latitude=latitudes, tilt=st.floats(0.0, 90.0), azimuth=st.floats(0.0, 360.0))
@settings(max_examples=30)
def test_a_plane_gets_physical_light(latitude, tilt, azimuth):
    totals = table(latitude, 0.5)
    year = synthetic_year.year_from_monthly(latitude, 0.0, totals, COOL)
    plane = sun_year.on_plane(year, tilt, azimuth)
    light = plane.plane_of_array_irradiance
    assert np.isfinite(light).all()
    assert np.all(light >= 0.0)
    assert np.all(light < 1500.0)
    assert np.all(plane.cell_temperature >= plane.air_temperature)
    assert np.all(light[year.global_horizontal == 0.0] == 0.0)
    sums = sun_year.monthly_totals(plane)
    days = np.bincount(MONTHS)[1:]
    assert np.sum(sums * days) == pytest.approx(np.sum(light) * 3600.0)


@given(latitude=latitudes)
@settings(max_examples=20)
def test_a_level_plane_gets_what_the_level_gets(latitude):
    year = synthetic_year.year_from_monthly(latitude, 0.0, table(latitude, 0.5), COOL)
    level = sun_year.on_plane(year, 0.0, 180.0)
    # Within 1 deg of the horizon Hay & Davies bound the beam's ratio, which costs a little.
    np.testing.assert_allclose(
        level.plane_of_array_irradiance, year.global_horizontal, rtol=1e-6, atol=5.0
    )


def test_the_same_seed_gives_the_same_bytes_and_another_seed_another_year():
    totals = table(40.0, 0.5)
    first, again, other = (
        synthetic_year.year_from_monthly(40.0, 0.0, totals, COOL, seed) for seed in (7, 7, 8)
    )
    for name in LIGHT:
        assert getattr(first, name).tobytes() == getattr(again, name).tobytes()
        assert getattr(first, name).tobytes() != getattr(other, name).tobytes()


def test_south_mirrors_north():
    """Half a year and a hemisphere apart the planes toward the equator get the same, but for the
    sun's distance (at most 7 %) and the scatter of hours."""
    north = synthetic_year.year_from_monthly(35.0, 0.0, table(35.0, 0.55), COOL)
    south = synthetic_year.year_from_monthly(-35.0, 0.0, table(-35.0, 0.55), COOL)
    toward = sun_year.monthly_totals(sun_year.on_plane(north, 35.0, 180.0))
    away = sun_year.monthly_totals(sun_year.on_plane(south, 35.0, 0.0))
    np.testing.assert_allclose(np.roll(away, 6), toward, rtol=0.10)
    wrong = sun_year.on_plane(south, 35.0, 180.0).plane_of_array_irradiance
    assert wrong.sum() < 0.8 * np.sum(away * np.bincount(MONTHS)[1:]) / 3600.0


@pytest.mark.parametrize("latitude", [65.0, 68.0, 72.0, -65.0, -72.0])
def test_polar_winters(latitude):
    totals = table(latitude, 0.4)
    year = synthetic_year.year_from_monthly(latitude, 0.0, totals, COOL)
    physical(year)
    made = sun_year.monthly_horizontal_totals(year)
    np.testing.assert_allclose(made, totals, rtol=0.005, atol=synthetic_year.DARK)
    physical(synthetic_year.year_from_clear_sky(latitude, 0.0, 0.7, COOL))


def test_a_month_without_sun_takes_none_and_refuses_much():
    totals = table(72.0, 0.4)
    assert totals[11] == 0.0
    totals[11] = 0.04e6
    assert sun_year.monthly_horizontal_totals(
        synthetic_year.year_from_monthly(72.0, 0.0, totals, COOL)
    )[11] == pytest.approx(0.0)
    totals[11] = 1e6
    with pytest.raises(OutOfRange, match=r"monthly total of month 12 is 1\.00 MJ/m2 a day"):
        synthetic_year.year_from_monthly(72.0, 0.0, totals, COOL)


@given(part=st.lists(st.floats(0.0, 1.0), min_size=12, max_size=12), latitude=latitudes)
@settings(max_examples=30)
def test_a_dimmed_clear_sky(part, latitude):
    clear = synthetic_year.year_from_clear_sky(latitude, 200.0, 1.0, COOL)
    dimmed = synthetic_year.year_from_clear_sky(latitude, 200.0, np.array(part), COOL)
    physical(clear)
    physical(dimmed)
    np.testing.assert_allclose(
        sun_year.monthly_horizontal_totals(dimmed),
        np.array(part) * sun_year.monthly_horizontal_totals(clear),
        rtol=1e-9,
        atol=1e-6,
    )
    assert np.all(dimmed.direct_normal <= clear.direct_normal + 1e-9)


@given(part=st.floats(0.02, 0.99), latitude=latitudes)
@settings(max_examples=20)
def test_a_part_of_a_clear_sky_comes_as_bright_and_dark_days(part, latitude):
    """Months bring that part; squares of the sun, as an element on modules takes them, bring more
    than from a sky that is dimmed evenly (Jensen)."""
    clear = synthetic_year.year_from_clear_sky(latitude, 200.0, 1.0, COOL)
    made = synthetic_year.year_from_clear_part(latitude, 200.0, part, COOL)
    physical(made)
    np.testing.assert_allclose(
        sun_year.monthly_horizontal_totals(made),
        part * sun_year.monthly_horizontal_totals(clear),
        rtol=0.005,
        atol=synthetic_year.DARK,
    )
    even = part * clear.global_horizontal
    assert np.sum(made.global_horizontal**2) > np.sum(even**2)
    june = made.global_horizontal[made.hours.month == 6].reshape(-1, 24).sum(axis=1)
    assert june.min() < june.max()


def test_the_whole_of_a_clear_sky_is_cloudless():
    clear = synthetic_year.year_from_clear_sky(40.0, 200.0, 1.0, COOL)
    made = synthetic_year.year_from_clear_part(40.0, 200.0, 1.0, COOL)
    np.testing.assert_array_equal(made.global_horizontal, clear.global_horizontal)


@pytest.fixture(scope="module")
def year() -> sun_year.HourlyYear:
    return synthetic_year.year_from_monthly(40.0, 300.0, table(40.0, 0.5), COOL)


def light_on(year: sun_year.HourlyYear, **given) -> np.ndarray:
    return sun_year.on_plane(year, 40.0, 180.0, **given).plane_of_array_irradiance


def test_shading_by_month_and_by_hour(year):
    free = light_on(year)
    np.testing.assert_array_equal(light_on(year, shading=np.ones(12)), free)
    monthly = np.linspace(0.0, 1.0, 12)
    shaded = light_on(year, shading=monthly)
    np.testing.assert_allclose(shaded, free * monthly[year.hours.month - 1])
    mornings = np.ones((12, 24))
    mornings[:, :12] = 0.0
    shaded = light_on(year, shading=mornings)
    assert np.all(shaded[year.hours.hour_of_day < 12.0] == 0.0)
    after = year.hours.hour_of_day > 12.0
    np.testing.assert_array_equal(shaded[after], free[after])
    with pytest.raises(OutOfRange, match=r"shading has the shape \(24,\)"):
        light_on(year, shading=np.ones(24))
    with pytest.raises(OutOfRange, match=r"shading is 1\.2, allowed is 0 to 1"):
        light_on(year, shading=np.full(12, 1.2))


def test_a_higher_skyline_leaves_less(year):
    free = light_on(year)
    np.testing.assert_allclose(light_on(year, horizon_heights=np.zeros(8)), free, atol=1e-9)
    before = free
    for height in (5.0, 15.0, 40.0, 89.0):
        light = light_on(year, horizon_heights=np.full(8, height))
        assert np.all(light <= before + 1e-9)
        before = light
    # Behind a wall all around only the ground's own light is left, and it is little.
    assert before.sum() < 0.05 * free.sum()


def test_a_hill_in_the_north_hides_no_sun_and_one_in_the_south_hides_winter(year):
    north, south = np.zeros(36), np.zeros(36)
    north[[35, 0, 1]] = 30.0
    south[15:22] = 30.0
    hours = year.hours
    day = hours.zenith < 90.0
    assert not tilted_plane.is_behind(north, hours.zenith[day], hours.sun_azimuth[day]).any()
    winter = hours.month == 12
    noon = winter & (np.abs(hours.hour_of_day - 12.0) < 1.0)
    assert tilted_plane.is_behind(south, hours.zenith[noon], hours.sun_azimuth[noon]).all()
    kept = light_on(year, horizon_heights=south)
    assert kept[winter].sum() < 0.6 * light_on(year)[winter].sum()
    assert kept[hours.month == 6].sum() > 0.9 * light_on(year)[hours.month == 6].sum()


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"latitude": 80.0}, "latitude is 80 deg, allowed is -72 to 72 deg"),
        ({"monthly_totals": np.ones(11)}, "monthly total has 11 values"),
        ({"monthly_temperatures": np.full(12, 99.0)}, "monthly temperature is 99 degC"),
        ({"monthly_totals": np.full(12, 50e6)}, "monthly total of month 1 is 50.00 MJ/m2 a day"),
        ({"monthly_totals": np.full(12, -1.0)}, "monthly total of month 1 is -0.00 MJ/m2"),
        ({"monthly_totals": np.full(12, np.nan)}, "monthly total of month 1 is nan"),
        ({"seed": -1}, "seed is -1"),
    ],
)  # fmt: skip
def test_a_table_that_cannot_be_is_refused(change, message):
    given = {
        "latitude": 40.0,
        "altitude": 0.0,
        "monthly_totals": table(40.0, 0.5),
        "monthly_temperatures": COOL,
    }
    with pytest.raises(OutOfRange, match=message):
        synthetic_year.year_from_monthly(**(given | change))


def test_a_month_darker_than_the_distribution_has_days_all_alike():
    totals = np.full(12, 3e5)
    year = synthetic_year.year_from_monthly(40.0, 0.0, totals, COOL)
    assert np.allclose(sun_year.monthly_horizontal_totals(year), totals, rtol=1e-9)
    daily = daily_clearness(year)
    january = sun_year.month_of_days() == 1
    assert np.ptp(daily[january]) < 1e-3


ROWS = ["ghi,temperature", *["0,10"] * 8760]


def plain(rows: list[str]) -> sun_year.HourlyYear:
    return plain_from(io.StringIO("\n".join(rows)))


def changed(line: int, text: str) -> list[str]:
    return [*ROWS[: line - 1], text, *ROWS[line:]]


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        ([], "neither a column"),
        (ROWS[:-1], "the file has 8759 rows of hours, allowed is 8760 or 8784, a year"),
        (["dni,temperature", *ROWS[1:]], 'neither a column "ghi" of global irradiance'),
        (["ghi,air", *ROWS[1:]], 'no column "temperature" of air temperature; its first row has'),
        (changed(20, "dark,10"), 'column "ghi", row 20: "dark" is not a number'),
        (changed(21, ",10"), 'column "ghi", row 21: "" is not a number'),
        (changed(22, "9999,10"), 'column "ghi", row 22: 9999 W/m2, allowed is -10 to 1500 W/m2'),
        (changed(23, "nan,10"), 'column "ghi", row 23: nan W/m2'),
        (changed(24, "0,280"), 'column "temperature", row 24: 280 degC, allowed is -70 to 60'),
        (changed(25, "0,10,3"), "row 25 has 3 columns, allowed is 2, as in the first row"),
        (changed(2, "400,10"), 'column "ghi", row 2: 400 W/m2 at night, the sun is 72 deg below'),
    ],
)
def test_a_file_that_cannot_be_is_refused_by_column_row_and_value(rows, message):
    with pytest.raises(OutOfRange, match=message):
        plain(rows)


def test_a_plain_file_may_have_comments_and_a_leap_day():
    year = plain(["\ufeff# measured on the roof", "ghi, temperature", *["-3,10"] * 8784])
    assert year.global_horizontal.size == 8784
    assert np.all(year.global_horizontal == 0.0)
    assert np.all(year.wind_speed == 1.0)
    assert np.count_nonzero(year.hours.month == 2) == 29 * 24


def test_any_two_of_the_three_kinds_of_light_are_enough(year):
    columns = {
        "ghi": year.global_horizontal,
        "dni": year.direct_normal,
        "dhi": year.diffuse_horizontal,
    }
    for left_out in columns:
        kept = {name: value for name, value in columns.items() if name != left_out}
        lines = [",".join([*kept, "temperature"])]
        rows = zip(*(value.tolist() for value in kept.values()), strict=True)
        lines += [",".join(map(repr, row)) + ",10" for row in rows]
        back = weather_files.year_from_csv(
            io.StringIO("\n".join(lines)), year.latitude, year.altitude
        )
        physical(back)
        for name in LIGHT:
            np.testing.assert_allclose(getattr(back, name), getattr(year, name), atol=0.01)


def test_a_file_without_a_column_is_told_which_it_has():
    for head, has in (("time,ghi", "time, ghi"), ("time,temperature", "time, temperature")):
        with pytest.raises(OutOfRange, match=rf"its first row has {has}$"):
            plain_from(io.StringIO(f"{head}\n1,2"))
    with pytest.raises(OutOfRange, match=r"its first row has nothing$"):
        plain_from(io.StringIO(""))


def test_a_file_that_is_no_text_is_refused():
    for reader in (weather_files.year_from_tmy3, plain_from):
        with pytest.raises(OutOfRange, match="not a text file in UTF-8"):
            reader(io.TextIOWrapper(io.BytesIO(b"\xff\xfe\x00\x81"), encoding="utf-8"))


def plain_from(text) -> sun_year.HourlyYear:
    return weather_files.year_from_csv(text, 40.0, 0.0)


def test_a_typical_year_that_is_none_is_refused():
    with pytest.raises(OutOfRange, match=r"no TMY3 file"):
        weather_files.year_from_tmy3(io.StringIO("\n".join(ROWS)))
    head = "Date (MM/DD/YYYY),Time (HH:MM)," + ",".join(weather_files.TMY3_COLUMNS.values())
    with pytest.raises(OutOfRange, match="the file has 1 rows of hours, allowed is 8760"):
        weather_files.year_from_tmy3(
            io.StringIO(f'1,"X",NC,-5,36,-80,0\n{head}\n01/01/1988,01:00')
        )


@given(st.floats(0.0, 0.9), st.integers(0, 1000))
@settings(max_examples=15)
def test_the_order_of_days_is_a_reordering_of_each_month(persistence, seed):
    order = synthetic_year.days_in_order(np.random.RandomState(seed), persistence)
    assert order.size == 365
    for month in range(1, 13):
        days = np.sort(order[month == MONTHS])
        np.testing.assert_allclose(days, (np.arange(days.size) + 0.5) / days.size)


def test_air_swings_round_its_mean_by_half_its_range():
    """Warmest at 15:00, by half an hour from it in the hours before and after."""
    hours = synthetic_year.hourly_temperatures(np.full(12, 15.0), 10.0)
    swing = 15.0 + 5.0 * np.cos(2.0 * np.pi * (np.arange(24) - 14.5) / 24.0)
    np.testing.assert_allclose(hours, np.tile(swing, 365))
    means = np.linspace(5.0, 20.0, 12)
    even, swung = (synthetic_year.hourly_temperatures(means, range_) for range_ in (0.0, means))
    np.testing.assert_allclose(
        (swung - even).reshape(365, 24), np.outer(means[MONTHS - 1], (swing - 15.0) / 10.0),
        atol=1e-12,
    )  # fmt: skip


def test_air_goes_straight_from_the_middle_of_a_month_to_that_of_the_next():
    """Middles by the calendar: days 15, 44.5, 74 .. 349 from 0; across the new year as well."""
    means = np.array([-5.0, -3.0, 2.0, 9.0, 14.0, 18.0, 20.0, 19.0, 15.0, 9.0, 3.0, -2.0])
    hours = synthetic_year.hourly_temperatures(means, 0.0).reshape(365, 24)
    assert np.ptp(hours, axis=1).max() < 1e-12
    day = hours[:, 0]
    np.testing.assert_allclose(np.bincount(MONTHS, day)[1:] / np.bincount(MONTHS)[1:], means)
    bends = np.flatnonzero(np.abs(np.diff(np.resize(day, 368), 2)) > 1e-9) + 1
    middles = np.cumsum((0, *sun_year._LENGTHS[:-1])) + (np.array(sun_year._LENGTHS) - 1) / 2
    whole = middles % 1.0 == 0.0
    expected = {*middles[whole], *np.floor(middles[~whole]), *np.ceil(middles[~whole])}
    assert set(bends.tolist()) == expected


class Given:
    """Random numbers by hand: nothing but at the places named."""

    def __init__(self, **places):
        self.places = {int(place.strip("at")): value for place, value in places.items()}

    def standard_normal(self, shape):
        made = np.zeros(shape)
        for place, value in self.places.items():
            made.flat[place] = value
        return made


def test_days_drawn_go_on_from_the_first_turn_of_the_year():
    """With 0.6 of the day before and 0.8 of its own. The normal distribution of its table: 0.7881
    up to 0.8, 0.6844 up to 0.48."""
    last = synthetic_year.days_drawn(Given(at729=1.0), 0.6)
    assert last.size == 365
    assert last[364] == pytest.approx(0.7881, abs=5e-5)
    assert np.all(last[:364] == 0.5)
    first = synthetic_year.days_drawn(Given(at364=1.0), 0.6)
    assert first[0] == pytest.approx(0.6844, abs=5e-5)
    assert first[1] == pytest.approx(0.6133, abs=5e-5)  # up to 0.288, between 0.6103 and 0.6141


@pytest.mark.parametrize("day", [0.35, 0.6, 0.75])
def test_hours_scatter_as_published(day):
    """Aguiar & Collares-Pereira (1992), second hand: a gaussian process whose hours keep
    0.38 + 0.06 cos(7.4 K - 2.5) of the one before, spread by A exp(B (1 - sin h)) with
    A = 0.14 exp(-20 (K - 0.35)^2) and B = 3 (K - 0.45)^2 + 16 K^5."""
    keeps = 0.38 + 0.06 * math.cos(7.4 * day - 2.5)
    own = math.sqrt(1.0 - keeps * keeps)
    widest = 0.14 / math.exp(20.0 * (day - 0.35) * (day - 0.35))
    growth = 3.0 * (day - 0.45) * (day - 0.45) + 16.0 * math.pow(day, 5)
    heights = [0.2, 0.5, 1.0]
    noise = Given(at0=1.0, at2=1.0)
    found = synthetic_year.hourly_scatter(np.array([[day]]), np.array([heights]), noise)
    states = [1.0, keeps, keeps * keeps + own]
    expected = [
        widest * math.exp(growth * (1.0 - height)) * state
        for height, state in zip(heights, states, strict=True)
    ]
    np.testing.assert_allclose(found, [expected], rtol=1e-12)


def test_hours_of_a_day_without_scatter_follow_the_mean_course(monkeypatch):
    """Half of what arrives outside, by the hour's share at 15 deg an hour from noon; the diffuse
    part by the hour's own clearness; under a clear sky so bright that it bounds nothing."""

    def bright(hours, altitude, turbidity):
        assert (altitude, turbidity.tolist()) == (300.0, [2.0] * 12)
        return light.Light(*(np.full(hours.zenith.shape, 1e5) for _ in range(3)))

    monkeypatch.setattr(light, "clear_hours", bright)
    days = np.array([100.0, 172.0, 355.0])
    hours = sun_year.steps_of_days(40.0, days, 3600.0)
    totals = 0.5 * sun_year.extraterrestrial_days(40.0, days)
    found = synthetic_year.hours_with_totals(hours, 40.0, 300.0, totals, Given())
    sunset = position.sunset_hour_angle(40.0, sun_year.noon_declination(days))[:, None]
    shares = clearness.hourly_share(np.arange(-172.5, 180.0, 15.0), sunset)
    shares = np.where(hours.zenith.reshape(3, 24) < 90.0, shares, 0.0)
    wanted = (totals / 3600.0 / shares.sum(axis=1))[:, None] * shares
    np.testing.assert_allclose(found.global_horizontal, wanted.ravel(), atol=1e-9)
    high = hours.zenith < 80.0
    assert high.sum() > 25
    up = np.cos(np.radians(hours.zenith[high]))
    total = found.global_horizontal[high]
    index = total / up / hours.extraterrestrial_normal[high]
    diffuse = clearness.hourly_diffuse_fraction(index)
    np.testing.assert_allclose(found.direct_normal[high], total * (1.0 - diffuse) / up)
    np.testing.assert_allclose(found.diffuse_horizontal[high], total * diffuse)


def test_hours_scatter_round_that_course_by_what_arrives_outside(monkeypatch):
    """A tenth of it more before noon and a tenth less after; the day keeps its total."""
    days = np.array([100.0])
    hours = sun_year.steps_of_days(40.0, days, 3600.0)
    totals = 0.5 * sun_year.extraterrestrial_days(40.0, days)
    smooth = synthetic_year.hours_with_totals(hours, 40.0, 300.0, totals, Given())
    sides = np.repeat([[0.1, -0.1]], 12, axis=1)
    monkeypatch.setattr(synthetic_year, "hourly_scatter", lambda index, up, random: sides)
    found = synthetic_year.hours_with_totals(hours, 40.0, 300.0, totals, Given())
    high = hours.zenith < 70.0
    outside = hours.extraterrestrial_normal * np.cos(np.radians(hours.zenith))
    more = (found.global_horizontal - smooth.global_horizontal)[high]
    np.testing.assert_allclose(more, (sides[0] * outside)[high], rtol=0.05)
    assert found.global_horizontal.sum() * 3600.0 == pytest.approx(totals[0])


def test_how_days_follow_each_other_is_told_of_a_year_that_closes():
    """Scores 3, 1, -1, -3 round their mean: -9 + 3 - 1 + 3 over 9 + 1 + 1 + 9."""
    scores = np.array([3.0, 1.0, -1.0, -3.0]) / 2.0 + 0.25
    assert synthetic_year._lag_one(ndtr(scores)) == pytest.approx(-0.2)


@pytest.mark.parametrize(
    ("rough", "total", "expected"),
    [
        ([1.0, 1.0, 2.0], 8.0, [2.0, 5.0, 1.0]),  # 2, 2, 4 cut to 2, 2, 1; 3 to the middle
        ([1.0, 1.0, 2.0], 24.0, [4.0, 18.0, 2.0]),  # twice what there can be, in its shape
        ([2.0, 0.0, 0.0], 1.0, [1.0, 0.0, 0.0]), ([0.0, 0.0, 0.0], 0.0, [0.0, 0.0, 0.0]),
        ([0.2, 0.1, 0.1], 0.4, [0.2, 0.1, 0.1]),
    ],
)  # fmt: skip
def test_no_hour_is_above_the_most_and_the_day_keeps_its_total(rough, total, expected):
    """Of hours that can have 2, 9 and 1 W/m2."""
    found = synthetic_year._within(
        np.array([rough]), np.array([[2.0, 9.0, 1.0]]), np.array([total * 3600.0])
    )
    np.testing.assert_allclose(found, [expected])


def sun_at(*zenith: float, month: int = 1) -> SimpleNamespace:
    return SimpleNamespace(
        zenith=np.array(zenith), month=np.full(len(zenith), month),
        extraterrestrial_normal=np.full(len(zenith), 1400.0),
    )  # fmt: skip


def test_a_beam_is_no_brighter_than_that_of_a_very_clear_sky(monkeypatch):
    """The sun 30 deg up: twice the beam on the horizontal, at most 800 W/m2, the rest diffuse."""
    asked = []

    def clear(hours, altitude, turbidity):
        asked.append((altitude, turbidity.tolist()))
        return light.Light(*(np.full(3, 800.0) for _ in range(3)))

    monkeypatch.setattr(light, "clear_hours", clear)
    found = light.with_beam(
        sun_at(60.0, 60.0, 100.0), 300.0, np.array([500.0, 500.0, 0.0]),
        np.array([300.0, 450.0, 0.0]),
    )  # fmt: skip
    assert asked == [(300.0, [2.0] * 12)]
    np.testing.assert_allclose(found.direct_normal, [600.0, 800.0, 0.0])
    np.testing.assert_allclose(found.diffuse_horizontal, [200.0, 100.0, 0.0], atol=1e-9)


def test_a_dimmed_beam_goes_by_the_curve_from_the_clear_sky_on():
    """30 deg up, 700 W/m2 outside, 490 of them here: 0.7, and half of it 0.35. Of what is not
    diffuse in the clear sky that part is lost by which the curve has risen."""
    clear = light.Light(np.array([490.0, 0.0]), np.array([800.0, 0.0]), np.array([90.0, 0.0]))
    found = light.dimmed(sun_at(60.0, 100.0), clear, np.array([0.5, 0.5]))
    there, start = (float(clearness.hourly_diffuse_fraction(index)) for index in (0.35, 0.7))
    beam = 800.0 * 0.5 * (1.0 - there) / (1.0 - start)
    np.testing.assert_allclose(found.global_horizontal, [245.0, 0.0])
    np.testing.assert_allclose(found.direct_normal, [beam, 0.0])
    np.testing.assert_allclose(found.diffuse_horizontal, [245.0 - beam / 2.0, 0.0], atol=1e-9)


@pytest.mark.parametrize("days", [365, 366])
def test_hours_of_a_year_by_the_calendar(days):
    hours = sun_year.hours_of_year(36.0, days_in_year=days)
    assert hours.day_of_year.tolist() == [
        float(day) for day in range(1, days + 1) for _ in range(24)
    ]
    assert hours.hour_of_day.tolist() == [hour + 0.5 for hour in range(24)] * days
    months = sun_year.months_of_hours(days * 24)
    assert months.tolist() == hours.month.tolist()
    assert (months[31 * 24 - 1], months[31 * 24]) == (1, 2)
    assert (months[59 * 24], months[60 * 24]) == ((2, 3) if days == 366 else (3, 3))
    assert sun_year.months_of_hours(1000).tolist() == months[:1000].tolist()


def test_without_a_time_zone_it_is_that_of_the_nearest_meridian():
    """83 deg west is 7 deg east of 90 deg west, whose clocks are 28 minutes behind the sun: in the
    middle of April, where the equation of time is nothing, the hour from 11 to 12 has its middle
    0.5 deg before noon; 36 deg north the azimuth goes cos 10 / sin 26 as fast as that angle."""
    found = sun_year.hours_of_year(36.0, -83.0)
    np.testing.assert_array_equal(found.zenith, sun_year.hours_of_year(36.0, -83.0, -6.0).zenith)
    azimuth = found.sun_azimuth[104 * 24 + 11]
    assert azimuth == pytest.approx(180.0 - 0.5 * 0.985 / 0.438, abs=0.3)


def test_steps_of_days_are_placed_by_their_middles():
    """25 steps a day, of which the 13th has noon in its middle: there the sun is as far from
    straight above as latitude and declination, at the day's noon, are apart."""
    days = np.array([31.0, 32.0, 365.0])
    steps = sun_year.steps_of_days(40.0, days, 3456.0)
    assert steps.month.tolist() == [month for month in (1, 2, 12) for _ in range(25)]
    assert steps.day_of_year.tolist() == [day for day in days for _ in range(25)]
    np.testing.assert_allclose(steps.hour_of_day, np.tile((np.arange(25) + 0.5) * 0.96, 3))
    noon = 40.0 - sun_year.noon_declination(days)
    np.testing.assert_allclose(steps.zenith[12::25], noon)
    np.testing.assert_allclose(steps.sun_azimuth[12::25], 180.0)
    np.testing.assert_allclose(sun_year.noon_declination(days), position.declination_spencer(
        np.array([31.5, 32.5, 365.5])
    ))  # fmt: skip
    with pytest.raises(OutOfRange, match="step is 7 s, allowed is a whole part of a day"):
        sun_year.steps_of_days(40.0, days, 7.0)


@pytest.mark.parametrize(
    ("part", "source"),
    [(1.0, "clear sky"), (0.7, "clear sky, dimmed"), ([1.0] * 11 + [0.9], "clear sky, dimmed")],
)
def test_a_year_of_clear_days_says_whether_they_are_dimmed(part: object, source: str) -> None:
    year = synthetic_year.year_from_clear_sky(36.0, 300.0, part, COOL)  # type: ignore[arg-type]
    assert year.source == source
