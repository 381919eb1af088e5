"""Single days beside the year that they are of: one sun, one shade, one set of losses."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from types import SimpleNamespace
from typing import Any
from unittest import mock

import numpy as np
import pytest

from tests.site_texts import EXAMPLES
from tests.studies.heat.ridge_tank import KWH, RIDGE, edited
from tests.studies.supply.houses import STATIONS
from wellsolar.physics.sun import weather_files
from wellsolar.physics.tank import stratified
from wellsolar.results.heat import HeatedTankResult, Household
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.array.heater_circuit import element_on_array
from wellsolar.studies.case import Case
from wellsolar.studies.heat import days, household
from wellsolar.studies.heat.household import _hot_by_hour
from wellsolar.studies.heat.tank import circuit_in_tank, work_of
from wellsolar.studies.heat.year import heated_year, other_powers_of, run_hours
from wellsolar.studies.house.demand import HeatAims, draws_of_day
from wellsolar.studies.sun.module_sheet import parameters_of
from wellsolar.studies.sun.year import plane_of_group
from wellsolar.verdicts import Verdict

SLOPE = (EXAMPLES / "south_slope.toml").read_text(encoding="utf-8")


@cache
def tank(text: str) -> HeatedTankResult:
    result = Case(parse_site(text)).heated_tank
    assert result is not None
    return result


def verdict(text: str, rule: str) -> Verdict:
    case = Case(parse_site(text))
    (found,) = [each for each in case.said("heated_tank").verdicts if each.rule.key == rule]
    return found


def shaded(text: str, percent: int) -> str:
    shading = ", ".join([f"{percent}"] * 12)
    return edited(text, ("[sun]\n", f'[sun]\nshading = "{shading} %"\n'))


def behind_hills(text: str) -> str:
    return edited(text, ("[sun]\n", '[sun]\nhorizon = "40, 40, 40, 40 deg"\n'))


def of(result: HeatedTankResult, kind: str) -> dict[int, float]:
    return {day.month: day.element_energy for day in result.days if day.kind == kind}


def test_shade_reaches_the_clear_day_and_its_verdict() -> None:
    open_sky, dark = of(tank(SLOPE), "clear"), of(tank(shaded(SLOPE, 25)), "clear")
    assert verdict(SLOPE, "reaches temperature").status == "pass"
    assert verdict(shaded(SLOPE, 25), "reaches temperature").status == "fail"
    # A quarter of the light makes a quarter of the current: a sixteenth of the heat.
    for month, energy in open_sky.items():
        assert 0.04 < dark[month] / energy < 0.09


def test_hills_of_40_degrees_hide_the_december_sun() -> None:
    """At 36 N the sun of December stands 30 degrees high at noon."""
    clear = of(tank(behind_hills(RIDGE)), "clear")
    assert clear[12] < 0.1 * KWH
    assert clear[6] > 3.0 * KWH


@pytest.mark.parametrize("text", [RIDGE, behind_hills(RIDGE)])
def test_a_typical_day_gives_what_the_years_mean_day_does(text: str) -> None:
    result = tank(text)
    typical, poor = of(result, "typical"), of(result, "poor")
    for month in result.months:
        assert typical[month.month] == pytest.approx(
            month.element_energy, rel=0.15, abs=0.03 * KWH
        )
        assert poor[month.month] <= typical[month.month]


def test_the_empty_house_counts_on_no_shade_and_no_dirt() -> None:
    assert tank(shaded(SLOPE, 25)).nobody_home == tank(SLOPE).nobody_home
    assert tank(behind_hills(RIDGE)).stall_temperature == tank(RIDGE).stall_temperature
    clean = edited(RIDGE, ("[sun]\n", '[losses]\ndirt = "0 %"\nincidence = "0"\n[sun]\n'))
    assert tank(clean).nobody_home == tank(RIDGE).nobody_home


def test_losses_of_current_cost_a_resistance_their_square_at_most() -> None:
    bare = "".join(f'{key} = "0 %"\n' for key in ("dirt", "first_light", "nameplate", "mismatch"))
    new = f'[losses]\nincidence = "0"\nageing = "0 %"\n{bare}[sun]\n'
    whole = sum(of(tank(edited(RIDGE, ("[sun]\n", new))), "clear").values())
    less = edited(RIDGE, ("[sun]\n", new.replace('dirt = "0 %"', 'dirt = "10 %"')))
    assert 0.9**2 - 0.01 < sum(of(tank(less), "clear").values()) / whole < 0.9


def test_the_warmth_of_the_room_is_not_the_modules() -> None:
    """Water of 55 degF is warmed by a room of 65 degF, without modules in deep shade."""
    result = tank(shaded(RIDGE, 1))
    given = sum(month.heat_delivered for month in result.months)
    assert given > 0.01 * sum(month.heat_wanted for month in result.months)
    assert result.annual_share < 2e-4


def test_a_second_array_on_its_own_element_is_counted() -> None:
    upper = ('rated_voltage = "240 V"\nfed_by = "grid"\nthermostat = "120 degF"',
             'rated_voltage = "240 V"\nfed_by = "more"\nthermostat = "150 degF"')  # fmt: skip
    group = '[[array]]\nname = "more"\nfeeds = "heater"\nseries = 4\ntilt = "36 deg"\n'
    group += 'azimuth = "180 deg"\ncable = { gauge = "10 AWG", length = "250 ft" }\n\n[power]\n'
    alone = edited(RIDGE, (upper[0], upper[1].replace("more", "grid")))
    both = edited(RIDGE, upper, ("[power]\n", group))
    one, two = tank(alone), tank(both)
    for month, energy in of(one, "clear").items():
        assert of(two, "clear")[month] == pytest.approx(2 * energy, rel=0.01)
    assert sum(each.element_energy for each in two.months) == pytest.approx(
        2 * sum(each.element_energy for each in one.months), rel=0.01
    )
    assert (two.nobody_home.days_to_relief or 0) < (one.nobody_home.days_to_relief or 0)


@pytest.mark.parametrize("station", ["Greensboro", "Sand Point"])
def test_measured_evenings_lie_within_those_of_the_years_drawn(station: str) -> None:
    """A measured year against years drawn from its own twelve means, of four draws a day."""
    name = STATIONS[station][0]
    with (files("pvlib") / "data" / name).open(encoding="utf-8") as lines:
        measured = weather_files.year_from_tmy3(lines)
    from wellsolar.physics.sun import year as sun_year

    totals = sun_year.monthly_horizontal_totals(measured) / KWH
    air = sun_year.monthly_means(measured.air_temperature, measured.hours)
    lines_of = RIDGE.split("\n[sun]\n")[0] + "\n[sun]\n"
    lines_of += f'monthly = "{", ".join(f"{each:.4f}" for each in totals)} kWh/m2/day"\n'
    lines_of += f'temperature = "{", ".join(f"{each:.2f}" for each in air)} degC"\n'
    text = edited(lines_of, ('latitude = "36.1 deg"', f'latitude = "{measured.latitude} deg"'))
    site = parse_site(text).site
    on, heater = element_on_array(site), site.water_heater
    assert site.module is not None
    circuit = circuit_in_tank(site, on, parameters_of(site.module))
    work = work_of(site, heater, on.element)
    plane = plane_of_group(site, measured, on.group, on.group_path)
    others = other_powers_of(site, on, circuit, None)
    full = float(heater.draw.volume or 0.0)
    for part in (0.7, 0.5, 0.35):
        draws = draws_of_day(heater.draw, full * part)
        driven = heated_year(circuit, plane, draws, work.tank.volume)
        counts = [
            _hot_by_hour(work, driven, run_hours(work, driven, power=each)) for each in others
        ]
        real = _hot_by_hour(work, driven, run_hours(work, driven))
        # Within the years drawn, give or take a week.
        assert min(counts) - 7 <= real <= max(counts) + 7
        assert np.ptp(counts) >= 3


@pytest.mark.parametrize(("begins", "hot_at"), [(19.0, 20), (23.0, 0), (22.5, 23), (23.5, 0)])
def test_an_evening_is_as_hot_as_the_hour_after_its_draw(begins: float, hot_at: int) -> None:
    """A draw of an hour that ends past midnight too: three days, hot in that one hour of each."""
    from types import SimpleNamespace

    from wellsolar.studies.house.demand import TapDraw

    warmth = np.full(72, 20.0)
    warmth[hot_at::24] = 50.0
    heated = SimpleNamespace(draws=(TapDraw(begins * 3600.0, 3600.0, 0.05),))
    work, year = SimpleNamespace(tap=40.0), SimpleNamespace(top_temperature=warmth)
    assert _hot_by_hour(work, heated, year) == 3  # type: ignore[arg-type]


@pytest.mark.parametrize(("others", "fewest"), [([310, 290], 290), ([310, 340], 300), ([], 300)])
def test_a_draw_is_small_enough_by_the_worst_of_the_years(others: list[int], fewest: int) -> None:
    """300 hot evenings of the year itself, half of 365 aimed at; the draw is a part of the
    day's."""
    work: Any = None
    heated: Any = SimpleNamespace(days=365, daily_draw=0.2)
    by_hour, evenings = mock.Mock(), SimpleNamespace(hot=np.arange(365) < 300)
    with (
        mock.patch.object(household, "run_year"),
        mock.patch.object(household, "evening_of_days", return_value=evenings),
        mock.patch.object(household, "_other_evenings", return_value=others),
        mock.patch.object(household, "_largest_part", return_value=0.7) as largest,
    ):
        found = household._evening_draw(work, heated, None, 0.4, 0.5, by_hour)
        fine, coarse, now, _ = largest.call_args.args
        assert fine(0.8) == pytest.approx(fewest / 365 - 0.5)
        with mock.patch.object(household, "_hot_by_hour", return_value=73):
            assert coarse(0.8) == pytest.approx(0.2)
    by_hour.assert_called_with(0.8, 0)
    assert now == pytest.approx(-0.1)
    assert found == pytest.approx(0.14)


@pytest.mark.parametrize(
    ("share", "at_part", "found"), [(0.4, 0.45, 0.14), (0.4, None, 0.14), (0.5, 0.6, None)]
)
def test_a_draw_of_which_the_sun_gives_its_share(
    share: float, at_part: float | None, found: float | None
) -> None:
    """Half is aimed at: seven tenths of the draw have it; beside that, the sun alone is to make
    eight of ten evenings hot, of seven."""
    work, by_hour = mock.Mock(), mock.Mock()
    heated: Any = SimpleNamespace(days=10, daily_draw=0.2)
    year: Any = SimpleNamespace(fewest_evenings=7, year=SimpleNamespace(days=10))
    with (
        mock.patch.object(household, "run_year"),
        mock.patch.object(household, "pv_share", return_value=at_part),
        mock.patch.object(household, "_largest_part", return_value=0.7) as largest,
        mock.patch.object(household, "_evening_draw", return_value=0.09) as evening,
    ):
        before = Household(households=(year,), annual_share=share)
        for aim, small in ((0.8, 0.09), (0.7, None), (None, None)):
            aims = HeatAims(0.5, 0.9, aim)
            made = household._advised(work, heated, aims, before, by_hour)
            assert (made.share_draw, made.sun_evening_draw) == (
                found and pytest.approx(found),
                small,
            )
        assert evening.call_args.args[3:5] == (0.7, 0.8)
        if found is not None:
            fine, coarse, now, _ = largest.call_args.args
            there = at_part or 0.0
            assert (fine(0.8), coarse(0.8), now) == pytest.approx((there - 0.5, there, -0.1))
            by_hour.assert_called_with(0.8, 0)
        assert household._advised(work, heated, None, before, by_hour) is before


@pytest.mark.parametrize(("power", "stalls"), [(0.0, 15.0), (100.0, 65.0), (1000.0, 100.0)])
def test_a_wall_that_loses_what_the_sun_gives_stalls_the_tank_and_boiling_ends_it(
    power: float, stalls: float
) -> None:
    """2 W/K in a room of 15 degC."""
    tank = stratified.Tank(0.2, 10, 2.0, 0.2)
    seen = SimpleNamespace(work=SimpleNamespace(tank=tank, room=15.0))
    with mock.patch.object(days, "_sunniest", return_value=(6, np.full(4, power))):
        assert days.stall_temperature(seen) == pytest.approx(stalls)  # type: ignore[arg-type]
