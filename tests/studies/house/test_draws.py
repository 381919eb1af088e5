"""Draws of hot water: a day's pattern, a list, and people in place of either."""

from __future__ import annotations

import numpy as np
import pytest

from tests.references.hourly_draw import hourly_draw
from tests.studies.heat.ridge_tank import GALLON, RIDGE, driven, edited, tank_of
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.house.demand import draws_of_day, evening_draw


class TestDraws:
    def test_a_pattern_keeps_its_hours_and_is_scaled_to_the_day(self) -> None:
        # 10 CFR 430 Subpart B App. E, medium: 15 of 55 gal first, at 1.7 gpm, the last of 7 gal
        # 17 hours later; the first draw is set to 6:00.
        draws = draws_of_day(parse_site(RIDGE).site.water_heater.draw, 0.1)
        assert len(draws) == 12
        assert sum(draw.volume for draw in draws) == pytest.approx(0.1, rel=1e-12)
        assert draws[0].start == 6 * 3600
        assert draws[0].volume == pytest.approx(0.1 * 15 / 55)
        assert draws[0].duration == pytest.approx(15 / 1.7 * 60)
        assert draws[-1].start == 23 * 3600
        assert evening_draw(draws).start == 17.5 * 3600
        assert evening_draw(draws).volume == pytest.approx(0.1 * 5 / 55)

    def test_the_hours_of_the_coarse_runs_hold_the_same_water(self) -> None:
        _, heated, _ = driven(RIDGE)
        table = hourly_draw("medium", 55 * GALLON)
        np.testing.assert_allclose(heated.hourly[:24], table, rtol=1e-4)
        assert heated.fine.tap_draw.sum() == pytest.approx(365 * 55 * GALLON, rel=1e-12)

    def test_a_list_of_a_patterns_draws_gives_what_the_pattern_gives(self) -> None:
        clock = "6, 6.5, 7.66667, 16.5, 17.5, 18, 18.75, 18.83333, 22, 22.25, 22.75, 23 h"
        volumes = "15, 2, 9, 9, 5, 1, 1, 1, 1, 2, 2, 7 gal"
        told = f'times = "{clock}"\nvolumes = "{volumes}"'
        listed = tank_of(edited(RIDGE, ('volume = "55 gal"\ntemperature', f"{told}\ntemperature")))
        pattern = tank_of(RIDGE)
        assert listed.draw_volume == pytest.approx(55 * GALLON)
        for mine, other in zip(listed.months, pattern.months, strict=True):
            # Single gallons run at 1.7 gpm in the list and at 1 gpm in the pattern.
            assert mine.heat_delivered == pytest.approx(other.heat_delivered, rel=2e-3)
        assert listed.households[0].evening == 17.5 * 3600

    def test_a_draw_over_midnight_keeps_its_water(self) -> None:
        told = 'times = "23.9 h"\nvolumes = "40 gal"'
        text = edited(RIDGE, ('volume = "55 gal"\ntemperature', f"{told}\ntemperature"))
        year = tank_of(text).households[0].year
        assert year.tap_volume + year.short_volume == pytest.approx(365 * 40 * GALLON, rel=1e-9)
        # 40 gal at 1.7 gpm: 23.5 minutes, of which 6 before midnight.
        _, heated, _ = driven(text)
        assert heated.hourly[23] == pytest.approx(40 * GALLON * 6 * 1.7 / 40, rel=1e-4)
        assert heated.hourly[0] == pytest.approx(40 * GALLON * (1 - 6 * 1.7 / 40), rel=1e-4)
        assert tank_of(text).households[0].evening == pytest.approx(23.9 * 3600)

    def test_a_draw_of_a_list_ends_where_the_next_begins(self) -> None:
        """At 1.7 gpm 40 gal run 23.5 minutes: cut to 12 before the second, and over midnight to
        the 18 that are left before the next day's first; 3.4 gal run their 2 minutes."""
        told = 'times = "0.2, 12, 12.2, 23.9 h"\nvolumes = "3.4, 40, 3.4, 40 gal"'
        text = edited(RIDGE, ('volume = "55 gal"\ntemperature', f"{told}\ntemperature"))
        draws = draws_of_day(parse_site(text).site.water_heater.draw, 86.8 * GALLON)
        assert [draw.duration / 60 for draw in draws] == pytest.approx([2, 12, 2, 18])
        assert [draw.volume / GALLON for draw in draws] == pytest.approx([3.4, 40, 3.4, 40])

    def test_people_in_place_of_a_draw(self) -> None:
        text = RIDGE.replace('volume = "55 gal"\ntemperature', "temperature")
        people = parse_site(text).site.site.people
        # 20 gal a day for each of two, 15 for each more.
        expected = (20 * min(people, 2) + 15 * max(people - 2, 0)) * GALLON
        assert tank_of(text).draw_volume == pytest.approx(expected)
