"""A year of hours from a table of twelve monthly means, or from a clear sky.

From a monthly table: each month's days take the clearness of the generalised distribution of
Bendt, Collares-Pereira & Rabl, one day for each equal part of it, so that the month has that
distribution whatever the seed; the seed and a first-order Gaussian process decide which day is
which, and so how bright and dark days follow each other (Graham, Hollands & Unny). One factor near
1 a month gives the table's total.

The hours of a day follow the mean profile of Collares-Pereira & Rabl; around it they scatter from
hour to hour as Aguiar & Collares-Pereira measured; no hour is brighter than a very clear sky, and
the day keeps its total. The diffuse part is that of Erbs by the hour.

Not in it: weather that is colder or windier with the clouds. The air follows the table's means and
a daily swing; the wind is one number.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from wellsolar.constants import DAY
from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_range
from wellsolar.physics.sun import clearness, light, position
from wellsolar.physics.sun.days import WARMEST_TIME
from wellsolar.physics.sun.year import (
    HOUR,
    HourlyYear,
    YearOfHours,
    extraterrestrial_days,
    hours_of_year,
    month_of_days,
    monthly_horizontal_totals,
    noon_declination,
)
from wellsolar.physics.types import FloatArray, Floats

PERSISTENCE: Final = 0.29
"""Lag-one autocorrelation of a day's clearness, as a normal score within its month [-]; Graham,
Hollands & Unny, Solar Energy 40 (1988) 83 (value from memory)."""

GREATEST_LATITUDE: Final = 72.0
"""Latitude up to which the profiles of a day are used [deg]; our choice, as in `days`."""

LOW_SUN: Final = 2e6
"""Mean daily total outside the atmosphere [J/m2] below which all days of a month are given the
same clearness: near polar night a clearness index says little; our choice."""

DARK: Final = 0.05e6
"""Greatest mean daily total [J/m2] that is taken for none in a month without sun; our choice."""

_CANDIDATES: Final = 32
"""Sequences tried; the one whose persistence comes nearest is kept."""


def year_from_monthly(
    latitude: float,
    altitude: float,
    monthly_totals: FloatArray,
    monthly_temperatures: FloatArray,
    seed: int = 1,
    daily_temperature_range: Floats = 10.0,
    wind_speed: float = 1.0,
    drawn: bool = False,
) -> HourlyYear:
    """A year of hours whose monthly means are those of a table; hours are solar time.

    Beyond 65 degrees of latitude, where the sun of a winter month stands up for less than an hour
    a day, up to 0.05 MJ/m2 a day of that month may be lost.

    Parameters:
        latitude: north positive, 72 south to 72 north [deg], scalar
        altitude: above the sea [m], scalar
        monthly_totals: mean daily total on the horizontal, January first [J/m2], 12 values
        monthly_temperatures: mean air temperature, January first [degC], 12 values
        seed: of the order of days and hours; the same seed gives the same year [-], scalar
        daily_temperature_range: warmest less coldest air of a day [K], scalar or 12 values
        wind_speed: at the array [m/s], scalar
        drawn: True for days drawn one by one, as of `days_drawn` [-]
    Returns:
        the year [W/m2, degC, m/s]
    Raises:
        OutOfRange: an argument outside its range, or a monthly total that the sky does not allow
    Source: Bendt, Collares-Pereira & Rabl, Solar Energy 27 (1981) 1, for the days' clearness;
        Graham, Hollands & Unny, Solar Energy 40 (1988) 83, for their persistence (both from
        memory); hours as in `hours_with_totals`.
    """
    _require_place(latitude, altitude, wind_speed)
    require_range(seed, 0, 2**32 - 1, "seed", "")
    table = _twelve(monthly_totals, "monthly total")
    random = np.random.RandomState(seed)  # the one generator whose stream is promised to stay
    hours = hours_of_year(latitude)
    order = days_drawn(random) if drawn else days_in_order(random)
    totals = _daily_totals(latitude, table, order)
    sky = hours_with_totals(hours, latitude, altitude, totals, random)
    source = f"monthly table, made into hours with seed {seed}"
    air = hourly_temperatures(monthly_temperatures, daily_temperature_range)
    return _year(source, latitude, altitude, hours, sky, air, wind_speed)


def year_from_clear_sky(
    latitude: float,
    altitude: float,
    clear_part: Floats,
    monthly_temperatures: FloatArray,
    linke_turbidity: Floats = 3.0,
    daily_temperature_range: Floats = 10.0,
    wind_speed: float = 1.0,
) -> HourlyYear:
    """A year of clear days, each dimmed by the same part; hours are solar time.

    No day of a month is darker than another, so a battery sized on it is too small, and where
    power goes with the square of the sun too little heat comes; for those `year_from_clear_part`.

    Parameters:
        latitude: north positive, 72 south to 72 north [deg], scalar
        altitude: above the sea [m], scalar
        clear_part: part of a cloudless day's total that arrives; 1 is cloudless [0..1], scalar or
            12 values
        monthly_temperatures: mean air temperature, January first [degC], 12 values
        linke_turbidity: of the air, 2 very clear, 3 clear, 5 hazy [-], scalar or 12 values
        daily_temperature_range: warmest less coldest air of a day [K], scalar or 12 values
        wind_speed: at the array [m/s], scalar
    Returns:
        the year [W/m2, degC, m/s]
    Raises:
        OutOfRange: an argument outside its range
    Source: Ineichen & Perez, Solar Energy 73 (2002) 151, as in pvlib; diffuse part of a dimmed
        hour between the clear sky's and 1, as far as the curve of Erbs, Klein & Duffie, Solar
        Energy 28 (1982) 293, has gone (that step is ours).
    """
    _require_place(latitude, altitude, wind_speed)
    part = _twelve(clear_part, "part of the clear sky")
    require_range(part, 0.0, 1.0, "part of the clear sky", "")
    turbidity = _twelve(linke_turbidity, "Linke turbidity")
    require_range(turbidity, 1.0, 10.0, "Linke turbidity", "")
    hours = hours_of_year(latitude)
    clear = light.clear_hours(hours, altitude, turbidity)
    sky = light.dimmed(hours, clear, part[hours.month - 1])
    source = "clear sky" if np.all(part == 1.0) else "clear sky, dimmed"
    air = hourly_temperatures(monthly_temperatures, daily_temperature_range)
    return _year(source, latitude, altitude, hours, sky, air, wind_speed)


def year_from_clear_part(
    latitude: float,
    altitude: float,
    clear_part: float,
    monthly_temperatures: FloatArray,
    seed: int = 1,
    linke_turbidity: float = 3.0,
    daily_temperature_range: float = 10.0,
    wind_speed: float = 1.0,
    drawn: bool = False,
) -> HourlyYear:
    """A year of bright and dark days whose months bring a part of what cloudless ones do.

    Parameters:
        latitude: north positive, 72 south to 72 north [deg], scalar
        altitude: above the sea [m], scalar
        clear_part: part of a cloudless month's total that arrives; 1 is cloudless [0..1], scalar
        monthly_temperatures: mean air temperature, January first [degC], 12 values
        seed: of the order of days and hours [-], scalar
        linke_turbidity: of the cloudless air [-], scalar
        daily_temperature_range: warmest less coldest air of a day [K], scalar
        wind_speed: at the array [m/s], scalar
        drawn: True for days drawn one by one, as of `days_drawn` [-]
    Returns:
        the year [W/m2, degC, m/s]
    Raises:
        OutOfRange: an argument outside its range
    Source: totals of the clear sky as in `year_from_clear_sky`, days and hours as in
        `year_from_monthly`; that a part of the clear sky stands for a table is our own.
    """
    require_range(clear_part, 0.0, 1.0, "part of the clear sky", "")
    air = (daily_temperature_range, wind_speed)
    clear = year_from_clear_sky(
        latitude, altitude, 1.0, monthly_temperatures, linke_turbidity, *air
    )
    if clear_part == 1.0:
        return clear
    table = clear_part * monthly_horizontal_totals(clear)
    year = year_from_monthly(latitude, altitude, table, monthly_temperatures, seed, *air, drawn)
    return replace(year, source=f"part of a clear sky, made into days with seed {seed}")


def days_in_order(random: np.random.RandomState, persistence: float = PERSISTENCE) -> FloatArray:
    """Where each day of a year stands among the days of its month.

    A first-order Gaussian process that closes on itself at the year's end gives each day a
    number; its rank within the month is the day's probability. Ranking weakens the persistence a
    little and a single year scatters, so several sequences are made and the one whose
    persistence is nearest is kept.

    Parameters:
        random: generator of random numbers, which moves on [-]
        persistence: lag-one autocorrelation of the normal scores [-], scalar
    Returns:
        probabilities, (rank - 1/2) over the days of the month [0..1], 365 values
    Raises:
        OutOfRange: persistence outside 0 to 0.9
    Source: Graham, Hollands & Unny, Solar Energy 40 (1988) 83; ranks of a month's days as in
        Knight, Klein & Duffie, Solar Energy 46 (1991) 109 (both from memory).
    """
    require_range(persistence, 0.0, 0.9, "persistence", "")
    month = month_of_days()
    noise = random.standard_normal((_CANDIDATES, month.size))
    state = np.zeros((_CANDIDATES, month.size))
    before = np.zeros(_CANDIDATES)
    days = range(month.size)
    for day in (*days, *days):  # the first turn only finds the state that the year begins with
        before = persistence * before + noise[:, day]
        state[:, day] = before
    probability = np.empty_like(state)
    for number in range(1, 13):
        of_month = state[:, month == number]
        rank = np.argsort(np.argsort(of_month, axis=1), axis=1)
        probability[:, month == number] = (rank + 0.5) / of_month.shape[1]
    best: FloatArray = probability[np.argmin(np.abs(_lag_one(probability) - persistence))]
    return best


def days_drawn(random: np.random.RandomState, persistence: float = PERSISTENCE) -> FloatArray:
    """Where each day of a year stands among all that its month could have.

    Unlike those of `days_in_order` the days of a month need not be spread evenly: a single year
    has a month with too many dark days, or with none.

    Parameters:
        random: generator of random numbers, which moves on [-]
        persistence: lag-one autocorrelation of the normal scores [-], scalar
    Returns:
        probabilities [0..1], 365 values
    Raises:
        OutOfRange: persistence outside 0 to 0.9
    Source: Graham, Hollands & Unny, Solar Energy 40 (1988) 83 (from memory).
    """
    from scipy.special import ndtr  # takes 0.1 s to import

    require_range(persistence, 0.0, 0.9, "persistence", "")
    fresh = np.sqrt(1.0 - persistence**2)
    noise = random.standard_normal(2 * 365)
    state, scores = 0.0, np.empty(365)
    for day in range(2 * 365):  # the first turn only finds the state that the year begins with
        state = persistence * state + fresh * noise[day]
        scores[day % 365] = state
    return np.asarray(ndtr(scores))


def hourly_temperatures(
    monthly_temperatures: FloatArray, daily_temperature_range: Floats = 10.0
) -> FloatArray:
    """Air temperature of each hour: smooth through the months, with a daily swing.

    Parameters:
        monthly_temperatures: mean air temperature, January first [degC], 12 values
        daily_temperature_range: warmest less coldest air of a day [K], scalar or 12 values
    Returns:
        air temperature [degC], 8760 values; each month's mean is the given one
    Raises:
        OutOfRange: not 12 values, or one outside -60 to 60 degC or 0 to 50 K
    Source: none for the straight lines between the middles of months; a sinusoid with its
        greatest at 15:00 is common practice, no source.
    """
    means = _twelve(monthly_temperatures, "monthly temperature")
    require_range(means, -60.0, 60.0, "monthly temperature", "degC")
    ranges = _twelve(daily_temperature_range, "daily temperature range")
    require_range(ranges, 0.0, 50.0, "daily temperature range", "K")
    month = month_of_days() - 1
    middles = np.array([np.mean(np.flatnonzero(month == number)) for number in range(12)])
    around = np.concatenate(([middles[-1] - 365.0], middles, [middles[0] + 365.0]))
    days = np.arange(365.0)

    def through(knots: FloatArray) -> FloatArray:
        return np.asarray(np.interp(days, around, np.concatenate((knots[-1:], knots, knots[:1]))))

    counts = np.bincount(month)
    effect = np.array([np.bincount(month, weights=through(row)) / counts for row in np.eye(12)])
    daily = through(np.linalg.solve(effect.T, means))
    swing = 0.5 * np.cos(2.0 * np.pi * ((np.arange(24) + 0.5) * HOUR - WARMEST_TIME) / DAY)
    hourly: FloatArray = daily[:, None] + ranges[month][:, None] * swing
    return hourly.reshape(-1)


def _require_place(latitude: float, altitude: float, wind_speed: float) -> None:
    require_range(latitude, -GREATEST_LATITUDE, GREATEST_LATITUDE, "latitude", "deg")
    require_range(altitude, -500.0, 6000.0, "altitude", "m")
    require_range(wind_speed, 0.0, 50.0, "wind speed", "m/s")


def _year(
    source: str,
    latitude: float,
    altitude: float,
    hours: YearOfHours,
    sky: light.Light,
    air_temperature: FloatArray,
    wind_speed: float,
) -> HourlyYear:
    return HourlyYear(
        source=source,
        latitude=latitude,
        altitude=altitude,
        hours=hours,
        global_horizontal=sky.global_horizontal,
        direct_normal=sky.direct_normal,
        diffuse_horizontal=sky.diffuse_horizontal,
        air_temperature=air_temperature,
        wind_speed=np.full(hours.zenith.shape, wind_speed),
    )


def _daily_totals(latitude: float, table: FloatArray, order: FloatArray) -> FloatArray:
    """Horizontal total of each day of the year [J/m2], from its place among its month's."""
    month = month_of_days()
    outside = extraterrestrial_days(latitude, np.arange(1.0, 366.0))
    totals = np.zeros_like(outside)
    for number, wanted in enumerate(table, 1):
        of_month = month == number
        sky = outside[of_month]
        _require_possible(number, wanted, float(np.mean(sky)))
        if wanted <= 0.0 or np.mean(sky) <= DARK:
            continue
        mean = wanted / float(np.mean(sky))
        made = sky * mean
        if np.mean(sky) >= LOW_SUN:
            made = sky * _clearness_of_month(mean, order[of_month])
        totals[of_month] = made * (wanted / np.mean(made))
    return totals


def _clearness_of_month(mean: float, probability: FloatArray) -> FloatArray:
    """Clearness of a month's days; a mean darker or brighter than the published distribution can
    have makes them all alike."""
    try:
        return np.asarray(clearness.daily_clearness_quantile(mean, probability))
    except OutOfRange:
        return np.full_like(probability, mean)


def _require_possible(month: int, wanted: float, outside: float) -> None:
    if not 0.0 <= wanted <= max(outside, DARK):
        raise OutOfRange(
            f"monthly total of month {month} is {wanted / 1e6:.2f} MJ/m2 a day, allowed is 0 to "
            f"{outside / 1e6:.2f} MJ/m2 a day, what arrives outside the atmosphere",
            (f"monthly total of month {month}", wanted, 0.0, outside, "J/m2"),
        )


def _lag_one(probability: FloatArray) -> FloatArray:
    """Autocorrelation from day to day, the year's last day before its first."""
    from scipy.special import ndtri  # takes 0.1 s to import

    score = ndtri(probability)
    score = score - score.mean(axis=-1, keepdims=True)
    lagged = np.sum(score * np.roll(score, 1, axis=-1), axis=-1)
    return np.asarray(lagged / np.sum(score * score, axis=-1))


def _twelve(value: Floats, quantity: str) -> FloatArray:
    array = np.asarray(value, dtype=np.float64)
    if array.shape not in ((), (12,)):
        raise OutOfRange(f"{quantity} has {array.size} values, allowed is one a month, 12")
    return np.broadcast_to(array, (12,))


def hours_with_totals(
    hours: YearOfHours,
    latitude: float,
    altitude: float,
    daily_totals: FloatArray,
    random: np.random.RandomState,
) -> light.Light:
    """Hours of light of days whose totals are given.

    Parameters:
        hours: of the year, in solar time [deg, W/m2]
        latitude: north positive [deg], scalar
        altitude: above the sea [m], scalar
        daily_totals: on the horizontal, one a day [J/m2], array
        random: generator of random numbers, which moves on [-]
    Returns:
        the light [W/m2]
    Source: Collares-Pereira & Rabl, Solar Energy 22 (1979) 155 (second hand); Aguiar &
        Collares-Pereira, Solar Energy 49 (1992) 167 (coefficients second hand); Erbs, Klein &
        Duffie, Solar Energy 28 (1982) 293 (second hand).
    """
    day = hours.day_of_year[::24]
    up = np.maximum(np.cos(np.radians(hours.zenith)), 0.0)
    outside = (hours.extraterrestrial_normal * up).reshape(-1, 24)
    most = light.clear_hours(hours, altitude, np.full(12, light.VERY_CLEAR))
    hour_angle: FloatArray = 15.0 * (np.arange(24.0) + 0.5 - 12.0)
    sunset = np.asarray(position.sunset_hour_angle(latitude, noon_declination(day)))
    shape = np.asarray(clearness.hourly_share(hour_angle, sunset[:, None]))
    shape = np.where(outside > 0.0, shape, 0.0)
    smooth = _scaled(shape, daily_totals)
    above = extraterrestrial_days(latitude, day)
    index = np.where(above > 0.0, daily_totals / np.maximum(above, 1.0), 0.0)
    scatter = hourly_scatter(index[:, None], up.reshape(-1, 24), random)
    rough = np.maximum(smooth + scatter * outside, 0.0)
    total = _within(rough, most.global_horizontal.reshape(-1, 24), daily_totals).reshape(-1)
    index = np.clip(total / np.maximum(outside.reshape(-1), 1e-9), 0.0, 1.0)
    beam = total * (1.0 - np.asarray(clearness.hourly_diffuse_fraction(index)))
    return light.with_beam(hours, altitude, total, beam)


def hourly_scatter(
    daily_clearness: FloatArray, sine_of_height: FloatArray, random: np.random.RandomState
) -> FloatArray:
    """Departure of the clearness of hours from the day's mean course.

    Parameters:
        daily_clearness: clearness index of the days [-], one a row, array
        sine_of_height: sine of the sun's height, one row a day [-], array
        random: generator of random numbers, which moves on [-]
    Returns:
        departure of the hourly clearness index, one row a day [-]
    Source: Aguiar & Collares-Pereira, TAG, Solar Energy 49 (1992) 167, coefficients second hand
        in two texts that agree; not their mean course.
    """
    day = daily_clearness
    follow = 0.38 + 0.06 * np.cos(7.4 * day[:, 0] - 2.5)
    fresh = np.sqrt(1.0 - follow**2)
    noise = random.standard_normal(sine_of_height.shape)
    state = noise.copy()
    for hour in range(1, sine_of_height.shape[1]):
        state[:, hour] = follow * state[:, hour - 1] + fresh * noise[:, hour]
    least = 0.14 * np.exp(-20.0 * (day - 0.35) ** 2)
    growth = 3.0 * (day - 0.45) ** 2 + 16.0 * day**5
    spread: FloatArray = least * np.exp(growth * (1.0 - sine_of_height))
    return spread * state


def _scaled(shape: FloatArray, daily_totals: FloatArray) -> FloatArray:
    """Rows in the shape given whose sums over the hours are the totals."""
    sums = shape.sum(axis=1) * HOUR
    factor = np.where(sums > 0.0, daily_totals / np.maximum(sums, 1e-9), 0.0)
    return shape * factor[:, None]


def _within(rough: FloatArray, most: FloatArray, daily_totals: FloatArray) -> FloatArray:
    """Rows with the totals given and no hour above `most`; what is cut off goes to the hours that
    have room. A day whose total is over that of `most` takes its shape."""
    most = np.maximum(most, _scaled(most, daily_totals))
    cut = np.minimum(_scaled(rough, daily_totals), most)
    room = most - cut
    lacking = daily_totals / HOUR - cut.sum(axis=1)
    spare = room.sum(axis=1)
    part = np.where(spare > 0.0, lacking / np.maximum(spare, 1e-9), 0.0)
    filled: FloatArray = cut + room * np.clip(part, 0.0, 1.0)[:, None]
    return filled
