"""The day's water of a household, a large one and a village."""

from __future__ import annotations

import pytest

from wellsolar import kinds
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.house.demand import daily_use, is_no_households, peak_assumed, peak_flow
from wellsolar.units import read

GALLON_A_DAY = 3.785411784e-3 / 86_400


@pytest.mark.parametrize(
    ("people", "gallons"),
    [
        # 37.2 gal a day each and 69.2 for each household of no more than ten.
        (4, 37.2 * 4 + 69.2),
        (10, 37.2 * 10 + 69.2),
        (11, 37.2 * 11 + 2 * 69.2),
        (20, 37.2 * 20 + 2 * 69.2),
        (180, 37.2 * 180 + 18 * 69.2),
    ],
)
def test_people_use_what_households_of_up_to_ten_were_metered_to(
    people: int, gallons: float
) -> None:
    text = f'[site]\npeople = {people}\n[well]\ndepth = "99 m"\nstatic_level = "9 m"'
    use, (assumption,) = daily_use(parse_site(text).site)
    assert use == pytest.approx(gallons * GALLON_A_DAY)
    assert assumption.path == "demand.daily_use"
    assert (" households of up to 10" in assumption.why) == (people > 10)


def test_the_peak_is_that_of_the_fixtures_where_the_file_names_none() -> None:
    text = '[well]\ndepth = "90 m"\nstatic_level = "20 m"\n[demand]\n'
    fixtures = "fixtures = { showers = 1, toilets = 1, lavatories = 1 }\n"
    site = parse_site(text + fixtures).site
    # The shower at its own 4 gpm, the others at 0.75 and 0.5 (read in the source of the table).
    assert peak_flow(site) == pytest.approx(read("5.25 gpm", kinds.FLOW))
    (assumed,) = peak_assumed(site)
    assert assumed.source == "fixture allowances"
    told = parse_site(text + fixtures + 'peak_flow = "6 gpm"\n').site
    assert peak_flow(told) == pytest.approx(read("6 gpm", kinds.FLOW))
    assert peak_assumed(told) == ()


@pytest.mark.parametrize(
    ("daily", "second", "beyond"),
    # Twenty tanks of 200 L are 4 m3, fifty of 60 L are 3 m3.
    [(3.9, None, False), (4.1, None, True), (2.9, 0.06, False), (3.1, 0.06, True)],
)
def test_more_than_a_household_draws_of_its_tanks(
    daily: float, second: float | None, beyond: bool
) -> None:
    told = (daily, 0.2) if second is None else (daily, 0.2, second)
    assert is_no_households(*told) is beyond
