"""What must hold for any year of sun, whatever it is made of."""

from __future__ import annotations

import io

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.references.daily_clearness import daily_clearness
from wellsolar.errors import OutOfRange
from wellsolar.physics.sun import synthetic_year, tilted_plane, weather_files
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


@pytest.mark.parametrize(
    ("part", "source"),
    [(1.0, "clear sky"), (0.7, "clear sky, dimmed"), ([1.0] * 11 + [0.9], "clear sky, dimmed")],
)
def test_a_year_of_clear_days_says_whether_they_are_dimmed(part: object, source: str) -> None:
    year = synthetic_year.year_from_clear_sky(36.0, 300.0, part, COOL)  # type: ignore[arg-type]
    assert year.source == source
