"""The day's water of a household, a large one and a village."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from wellsolar import kinds
from wellsolar.site.defaults import default_of
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.house import demand
from wellsolar.studies.house.demand import daily_use, is_no_households, peak_assumed, peak_flow
from wellsolar.units import Quantity, read
from wellsolar.verdicts import changes_of

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


def test_without_people_and_use_nothing_is_known_of_the_day() -> None:
    site = parse_site('[well]\ndepth = "90 m"\nstatic_level = "20 m"').site
    assert daily_use(site) == (None, ())


def test_the_peak_is_that_of_the_fixtures_where_the_file_names_none() -> None:
    text = '[well]\ndepth = "90 m"\nstatic_level = "20 m"\n[demand]\n'
    fixtures = "fixtures = { showers = 1, toilets = 1, lavatories = 1 }\n"
    site = parse_site(text + fixtures).site
    # The shower at its own 4 gpm, the others at 0.75 and 0.5 (read in the source of the table).
    assert peak_flow(site) == pytest.approx(read("5.25 gpm", kinds.FLOW))
    (assumed,) = peak_assumed(site)
    assert (assumed.path, assumed.value) == ("demand.peak_flow", peak_flow(site))
    assert (peak_flow(site).kind, assumed.source) == (kinds.FLOW, "fixture allowances")
    told = parse_site(text + fixtures + 'peak_flow = "6 gpm"\n').site
    assert peak_flow(told) == pytest.approx(read("6 gpm", kinds.FLOW))
    assert peak_assumed(told) == ()
    assert peak_assumed(parse_site(text).site) == ()


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


@pytest.mark.parametrize(
    ("daily", "shift", "parts"),
    [
        # Of 200 L: up to two tanks a day a tenth of a layer at once, and pieces of 1.5 % of the
        # tank, 3 L; four tanks a day a fifth, of 6 L; more than twenty a whole layer, of 30 L.
        (0.1, 0.1, [17, 17]), (0.4, 0.1, [40, 40]), (0.06, 0.1, [10, 10]), (0.8, 0.2, [40, 40]),
        (5.0, 1.0, [40, 40]), (0.002, 0.1, [1, 1]),
    ],
)  # fmt: skip
def test_draws_in_pieces_of_a_part_of_a_layer(
    daily: float, shift: float, parts: list[int]
) -> None:
    """No more than 40 of a draw."""
    assert demand.largest_shift(daily, 0.2) == pytest.approx(shift)
    draws = tuple(demand.TapDraw(start, 600.0, 0.5 * daily) for start in (3600.0, 7200.0))
    pieces = demand.in_pieces(draws, 0.2)
    assert len(pieces) == sum(parts)
    assert [piece.start for piece in pieces] == pytest.approx([
        draw.start + 600.0 * place / count
        for draw, count in zip(draws, parts, strict=True) for place in range(count)
    ])  # fmt: skip
    assert sum(piece.volume for piece in pieces) == pytest.approx(daily)
    assert {round(piece.flow / (0.5 * daily / 600.0), 9) for piece in pieces} == {1.0}


@pytest.mark.parametrize(
    ("starts", "evening"),
    [((6, 17, 20), 17), ((6, 16.9, 20), 20), ((6, 16.9), 16.9), ((6, 7, 8), 8)],
)
def test_the_first_draw_from_five_in_the_afternoon_on(
    starts: tuple[float, ...], evening: float
) -> None:
    draws = tuple(demand.TapDraw(3600.0 * start, 60.0, 0.01) for start in starts)
    assert demand.evening_draw(draws).start == 3600.0 * evening


@pytest.mark.parametrize(
    ("durations", "shown"),
    [
        # Each over before the next begins, the last before the first of the next day.
        ((500.0, 500.0), (500.0, 500.0)), ((4000.0, 90_000.0), (3600.0, 82_800.0)),
    ],
)  # fmt: skip
def test_draws_of_a_list_end_before_the_next(
    durations: tuple[float, ...], shown: tuple[float, ...]
) -> None:
    draws = [demand.TapDraw(start, duration, 0.01)
             for start, duration in zip((3600.0, 7200.0), durations, strict=True)]  # fmt: skip
    assert [draw.duration for draw in demand._apart(draws)] == list(shown)
    # Two in one second last a second.
    twice = [demand.TapDraw(3600.0, 9.0, 0.01), demand.TapDraw(3600.0, 9.0, 0.01)]
    assert [draw.duration for draw in demand._apart(twice)] == [1.0, 9.0]


@pytest.mark.parametrize(
    ("times", "volumes", "volume", "people", "litres"),
    [
        # 20 gal a day for each of two, 15 for each more.
        (None, None, None, 4, 70 * 3.785411784), (None, None, 0.12, 4, 120.0),
        ((1, 2), (0.03, 0.05), 0.12, 4, 80.0), (None, None, None, None, None),
    ],
)  # fmt: skip
def test_hot_water_of_a_day(
    times: tuple[int, ...] | None, volumes: tuple[float, ...] | None, volume: float | None,
    people: int | None, litres: float | None,
) -> None:  # fmt: skip
    heater: Any = SimpleNamespace(
        draw=SimpleNamespace(times=times, volumes=volumes, volume=volume)
    )  # fmt: skip
    site: Any = SimpleNamespace(site=SimpleNamespace(people=people))
    found, assumed = demand.draw_volume_of(site, heater)
    assert found == (None if litres is None else pytest.approx(litres * 1e-3))
    assert len(assumed) == (volume is None and people is not None)
    for each in assumed:
        assert (each.value, each.value.kind, each.source) == (found, kinds.VOLUME, "hot water use")


@pytest.mark.parametrize(
    ("most", "wanted", "use"),
    [
        # 100 L are 26.4 gal; less than a tenth of what is wanted is no advice.
        (0.1, 0.9, "26 gal/day"), (0.1, 1.0, "26 gal/day"), (0.1, 1.001, None),
        (7 * 3.785411784e-3, 0.03, "7 gal/day"),
    ],
)  # fmt: skip
def test_no_more_water_than_there_is(most: float, wanted: float, use: str | None) -> None:
    found = demand.use_less(most, wanted, "dig")
    assert [str(change) for change in changes_of(found)] == (
        [] if use is None else [f'demand.daily_use="{use}"']
    )
    assert ("dig" in found.text("US")) is (use is None)
    if use is not None:
        assert (found.parts["most"], found.parts["most"].kind) == (most, kinds.VOLUME)


@pytest.mark.parametrize(("aimed", "days"), [(None, 5), (2, 2), (0, 0)])
def test_days_on_which_water_may_fall_short(aimed: int | None, days: int) -> None:
    site: Any = SimpleNamespace(
        aim=SimpleNamespace(days_short=aimed), limits=SimpleNamespace(short_days=5)
    )
    assert demand.short_days(site) == days


@pytest.mark.parametrize("alone", [None, 0.4])
def test_what_a_heated_tank_should_give(alone: float | None) -> None:
    aim = SimpleNamespace(sun_share=0.5, hot_evenings=0.9, sun_evenings=alone)
    site: Any = SimpleNamespace(aim=aim)
    assert demand.heat_aims(site) == (0.5, 0.9, alone)


@pytest.mark.parametrize("key", ["hot_evenings", "sun_share", "matched"])
def test_an_aim_is_said_to_be_ours_where_it_is_the_usual_one(key: Any) -> None:
    usual = read(default_of(("aim", key)).value, kinds.FRACTION)
    assert demand.ours(usual, key) == demand.OURS
    assert demand.ours(Quantity(0.9 * usual, kinds.FRACTION), key) == ""


def test_water_to_survive_on() -> None:
    use = read("15 L/day", kinds.DAILY_FLOW)
    for people, litres in ((4, 60.0), (None, None)):
        site: Any = SimpleNamespace(
            site=SimpleNamespace(people=people), demand=SimpleNamespace(survival_use=use)
        )
        found = demand.survival_volume(site)
        assert found == (None if litres is None else pytest.approx(litres * 1e-3))
