"""Each question on a heated tank, asked of a result made by hand."""

from __future__ import annotations

from functools import cache
from types import SimpleNamespace
from typing import Any

import pytest

from tests.properties.whole.sides import base_tables
from tests.studies.printed import compared, printed_as, told
from wellsolar import kinds, site_from
from wellsolar.site.schema import Site
from wellsolar.studies.heat import stored
from wellsolar.studies.heat import verdicts as asked
from wellsolar.studies.heat.stored import stored_verdicts
from wellsolar.units import Quantity, read
from wellsolar.verdicts import changes_of

GALLON, KWH = 3.785411784e-3, 3.6e6


@cache
def _site() -> Site:
    return site_from(base_tables("ridge_house")).site


def aiming(**aims: Any) -> Site:
    site = _site()
    return site.model_copy(update={"aim": site.aim.model_copy(update=aims)})


def degrees(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


def day(month: int, energy: float, end: float, days: int | None, kind: str = "clear") -> Any:
    return SimpleNamespace(
        month=month, element_energy=energy * KWH, end_temperature=degrees(end),
        days_to_setpoint=days, kind=kind, start_for_one_day=degrees(70.0),
    )  # fmt: skip


def tank(**other: Any) -> Any:
    """Of 50 gal from 50 to 140 degF for taps of 105 degF, without any day or household."""
    usual = {
        "days": (), "setpoint": degrees(140), "inlet_temperature": degrees(50),
        "tank_volume": 50 * GALLON, "heating_energy": 11 * KWH, "households": (), "months": (),
        "tap": SimpleNamespace(temperature=degrees(105)), "draw_volume": 40 * GALLON,
        "annual_share": 0.5, "share_draw": None, "sun_evening_draw": None,
    }  # fmt: skip
    return SimpleNamespace(**(usual | other))


def changed(verdict: Any) -> dict[str, str]:
    """The changes of a remedy."""
    return {each.path: each.value.strip('"') for each in changes_of(verdict.remedy)}


@pytest.mark.parametrize(
    ("days", "status", "reached", "when"),
    [
        (((1, 9, 120, 2), (6, 12, 140, 1), (9, 10, 130, 2)), "caution", "120 °F",
         "From cold it reaches the setpoint on the 1st clear day in June, on the 2nd clear day in "
         "a row in January"),
        (((1, 9, 140, 1), (6, 12, 140, 1)), "pass", "140 °F",
         "From cold it reaches the setpoint on the 1st clear day in June, on the 1st clear day in "
         "January"),
        (((1, 3, 80, None), (6, 5, 90, None)), "fail", "80 °F",
         "From cold it reaches the setpoint on no clear day in a row in June, on no clear day in "
         "a row in January"),
        (((6, 12, 130, 3), (1, 9, 120, 21)), "caution", "120 °F",
         "From cold it reaches the setpoint on the 3rd clear day in a row in June, on the 21st "
         "clear day in a row in January"),
    ],
)  # fmt: skip
def test_whether_a_clear_day_heats_the_tank(
    monkeypatch: pytest.MonkeyPatch, days: Any, status: str, reached: str, when: str
) -> None:
    monkeypatch.setattr(asked, "hot_in_one_day", lambda _site, _result, least: least.month)
    poor = day(12, 1, 60, 5, kind="poor")
    result = tank(days=(*(day(*each) for each in days), poor))
    site = aiming(clear_day_month=None, clear_day_temperature=None)
    found = asked._reaches(site, result)
    assert compared(found) == (status, f"{reached}, temperature", "140 °F, temperature")
    assert found.reason.template.startswith("{volume} from {inlet} to {setpoint} takes {energy};")
    assert found.reason.template.endswith(
        "one clear day of any month is asked by wellsolar's mark"
    )
    most, least = max(each[1] for each in days), min(each[1] for each in days)
    parts = told(found.reason)
    start = parts.pop("start")
    assert bool(start) == (status == "fail" or days[0][3] == 3)
    assert start in ("", "; in June one clear day suffices from 70 °F at midnight")
    assert parts == {
        "volume": "50 gal, volume", "inlet": "50 °F, temperature",
        "setpoint": "140 °F, temperature", "energy": "11 kWh, energy",
        "best_energy": f"{most} kWh, energy", "best_month": "June",
        "worst_energy": f"{least} kWh, energy", "worst_month": "January", "when": when,
    }  # fmt: skip
    if status != "pass":
        assert found.remedy == 1  # of the darkest month


@pytest.mark.parametrize(
    ("aimed", "setpoint", "end", "days", "status"),
    [
        (120.0, 140.0, 120.0, 2, "pass"),
        (120.0, 140.0, 119.9, 2, "caution"),
        # It stood at its setpoint by day, and has cooled since.
        (140.0, 140.0, 139.0, 1, "pass"),
        (140.0, 135.0, 135.0, 1, "caution"),
        (140.0, 140.0, 139.0, 2, "caution"),
    ],
)
def test_whether_a_clear_day_makes_the_tank_as_warm_as_aimed_at(
    monkeypatch: pytest.MonkeyPatch,
    aimed: float,
    setpoint: float,
    end: float,
    days: int,
    status: str,
) -> None:
    monkeypatch.setattr(asked, "hot_in_one_day", lambda _site, _result, least: least.month)
    site = aiming(
        clear_day_month=None, clear_day_temperature=Quantity(degrees(aimed), kinds.TEMPERATURE)
    )
    result = tank(
        setpoint=degrees(setpoint), days=(day(6, 9, end, days), day(1, 12, end + 2, 3)),
    )  # fmt: skip
    found = asked._reaches(site, result)
    assert found.status == status
    assert found.quantity == pytest.approx(degrees(end))
    assert found.limit == pytest.approx(degrees(aimed))
    assert told(found.reason) == {
        "inlet": "50 °F, temperature", "month": "June", "volume": "50 gal, volume",
        "reached": printed_as(found.quantity), "wanted": printed_as(found.limit),
    }  # fmt: skip
    if setpoint < aimed:
        assert told(found.remedy) == {"wanted": "140 °F, temperature"}
        assert changed(found) == {"water_heater.element[1].thermostat": "140 degF"}
    elif status != "pass":
        assert found.remedy == 6


@pytest.mark.parametrize(
    ("share", "draw", "status", "remedy", "change"),
    [
        (0.5, None, "pass", None, None),
        (0.4998, None, "caution", {}, None),
        (0.499, None, "caution", {}, None),
        (0.499, 33.7, "caution", {"draw": "33.7 gal, volume"}, 33.0),
        (0.499, 10.0, "caution", {"draw": "10 gal, volume"}, 10.0),
        (0.499, 9.98, "caution", {"draw": "9.98 gal, volume"}, 9.9),
    ],
)
def test_how_much_of_the_hot_water_is_the_suns(
    share: float, draw: float | None, status: str, remedy: Any, change: float | None
) -> None:
    aim = Quantity(0.5, kinds.FRACTION)
    site = aiming(sun_share=aim)
    months = tuple(
        SimpleNamespace(month=month, share=part) for month, part in ((3, 0.4), (7, 0.9), (12, 0.1))
    )
    litres = None if draw is None else draw * GALLON * (1 + 1e-12)
    result = tank(annual_share=share, months=months, share_draw=litres, households=("", ""))
    found = asked._share(site, result)
    assert (found.status, found.quantity, found.limit) == (status, share, aim)
    assert found.quantity.kind is kinds.FRACTION
    parts = told(found.reason)
    assert {name: parts[name] for name in ("draw", "tap", "best", "worst")} == {
        "draw": "40 gal, volume", "tap": "105 °F, temperature",
        "best": "90%, fraction", "worst": "10%, fraction",
    }  # fmt: skip
    assert (parts["best_month"], parts["worst_month"]) == ("July", "December")
    begins = "of {draw} a day at {tap} "
    way = asked.diverted_share(site, result, litres)
    for each in (found, way):
        assert each.subject == "water heater"
        assert each.reason.template.startswith(begins)
        assert each.reason.parts["draw"].kind is kinds.VOLUME
        assert "{aim} is aimed at" in each.reason.template
    assert (way.status, way.quantity, way.limit) == (status, share, aim)
    if remedy is not None:
        more = {"rest": "", "or_": "or "} if remedy else {"rest": ""}
        assert told(found.remedy) == remedy | more
        assert told(way.remedy) == remedy
        for each in (found, way):
            values = {
                path: read(value, kinds.VOLUME) / GALLON for path, value in changed(each).items()
            }
            key = "water_heater.draw.volume"
            assert values == ({key: pytest.approx(change)} if change else {})


def test_which_keys_a_share_asks_for() -> None:
    """Two at most: latitude, sun and draw, in this order."""
    site = _site()
    place = site.site.model_copy(update={"latitude": None})
    dark = site.model_copy(
        update={"site": place, "sun": site.sun.model_copy(update={"monthly": None})}
    )
    draw = "water_heater.draw.volume"
    for where, volume, needs in (
        (dark, None, ("site.latitude", "sun.monthly")),
        (site.model_copy(update={"site": place}), None, ("site.latitude", draw)),
        (site, None, (draw,)),
        (site, 1.0, ("water_heater.volume", draw)),
    ):
        found = asked._share(where, tank(annual_share=None, draw_volume=volume))
        assert (found.status, found.needs) == ("unknown", needs)
    assert asked.diverted_share(site, tank(draw_volume=None), None).needs == (draw,)
    assert asked.diverted_share(site, tank(annual_share=None), None).needs[0].endswith("volume")


@pytest.mark.parametrize(
    ("setpoint", "aimed", "status", "wanted"),
    [(105.0, None, "pass", "105 °F"), (103.0, None, "fail", "105 °F"),
     (140.0, 140.0, "pass", "140 °F"), (138.0, 140.0, "fail", "140 °F"),
     (105.0, 90.0, "pass", "105 °F")],
)  # fmt: skip
def test_whether_the_thermostat_is_set_as_warm_as_wanted(
    setpoint: float, aimed: float | None, status: str, wanted: str
) -> None:
    aim = None if aimed is None else Quantity(degrees(aimed), kinds.TEMPERATURE)
    found = asked._setting(aiming(clear_day_temperature=aim), tank(setpoint=degrees(setpoint)))
    both = (f"{setpoint:.0f} °F, temperature", f"{wanted}, temperature")
    assert compared(found) == (status, *both)
    assert told(found.reason) == dict(zip(("setpoint", "wanted"), both, strict=True))
    if status == "fail":
        dial = wanted.replace("°F", "degF")
        assert changed(found) == {"water_heater.element[1].thermostat": dial}


def household(by: str, fewest: int, most: int, grid: float = 0.0) -> Any:
    year = SimpleNamespace(days=365, grid_heat=grid * KWH)
    return SimpleNamespace(heated_by=by, fewest_evenings=fewest, most_evenings=most, year=year,
                           evening=18.1 * 3600.0)  # fmt: skip


@pytest.mark.parametrize(
    ("aim", "fewest", "status"),
    # Four in five of 365 evenings are 292; 0.801 of them 292.4, of whole ones 293.
    [(0.8, 292, "pass"), (0.8, 291, "caution"), (0.801, 292, "caution"), (0.801, 293, "pass")],
)
def test_on_how_many_evenings_the_water_is_hot(aim: float, fewest: int, status: str) -> None:
    share = Quantity(aim, kinds.FRACTION)
    site = aiming(hot_evenings=share, sun_evenings=share)
    wanted = "292 days" if aim == 0.8 else "293 days"
    both = (f"{fewest} days, number of days", f"{wanted}, number of days")
    alone = household("PV", fewest, fewest + 2)
    found = asked.evening_verdict(site, tank(households=(alone,)), "PV", None, None)
    assert compared(found) == (status, *both)
    parts = {"clock": "18:06", "tap": "105 °F, temperature", "alone": f"{fewest} to {fewest + 2}",
             "days": "365 days, number of days", "aim": both[1]}  # fmt: skip
    assert told(found.reason) == parts
    assert "{aim} are aimed at" in found.reason.template
    assert found.reason.template.startswith("the draw that begins at {clock} comes at {tap}")
    # What the grid helps is judged by what comes then.
    result = tank(households=(household("PV", 100, 100), household("heater", fewest, fewest, 50)))
    helped = asked.evening_verdict(site, result, "PV", None, 20 * GALLON)
    assert compared(helped) == (status, *both)
    beside = {"alone": "100", "hot": f"{fewest}", "helper": "heater", "grid": "50 kWh, energy"}
    assert told(helped.reason) == parts | beside
    if status == "caution":
        assert told(helped.remedy) == {"draw": "20 gal, volume"}
    for draw in (None, 20 * GALLON):
        result = tank(households=(alone,), sun_evening_draw=draw)
        (by_sun,) = asked._evening_by_sun(site, result)
        assert compared(by_sun) == (status, *both)
        assert told(by_sun.reason) == {
            name: parts[name] for name in ("tap", "alone", "days", "aim")
        }
        if status == "caution":
            assert bool(changed(by_sun)) == (draw is not None)
            assert bool(by_sun.remedy.by_hand) == (draw is None)
            assert draw is None or told(by_sun.remedy) == {"draw": "20 gal, volume"}
    assert not asked._evening_by_sun(aiming(sun_evenings=None), result)


@pytest.mark.parametrize(
    ("volume", "setpoint", "draw", "status", "held"),
    [
        # 70 % of 50 gal at 140 degF, mixed with water of 50 degF to 105 degF: 57.3 gal.
        (50.0, 140.0, 57.2, "pass", "57.3 gal"),
        (50.0, 140.0, 58.0, "caution", "57.3 gal"),
        (50.0, 105.0, 35.0, "pass", "35 gal"),
        (50.0, 104.0, 35.0, None, ""),
        (50.0, 140.0, None, None, ""),
    ],
)
def test_whether_the_tank_holds_the_days_hot_water(
    volume: float, setpoint: float, draw: float | None, status: str | None, held: str
) -> None:
    site = _site()
    heater = site.water_heater.model_copy(
        update={
            "element": [e for e in site.water_heater.element if e.fed_by != "grid"],
            "second_tank": None,
        }
    )
    site = site.model_copy(update={"water_heater": heater})
    result = tank(
        tank_volume=volume * GALLON, setpoint=degrees(setpoint),
        draw_volume=None if draw is None else draw * GALLON,
    )  # fmt: skip
    verdicts = stored_verdicts(site, result)
    if status is None:
        assert not verdicts
        return
    (found,) = verdicts
    assert compared(found)[0] == status
    assert printed_as(found.quantity) == f"{held}, volume"
    assert found.limit == pytest.approx(draw * GALLON)
    assert found.reason.parts["tank"] == pytest.approx(volume * GALLON)
    if status == "caution":
        large = found.remedy.parts["large"]
        assert large == pytest.approx(58.0 / 0.7 / 90 * 55 * GALLON)
        assert large.kind is kinds.VOLUME


@pytest.mark.parametrize(
    ("count", "second", "last", "status", "beside"),
    [
        # A gallon of 8.34 lb from 50 to 105 degF takes 458.7 Btu: 33.5 gal an hour of 4500 W,
        # beside the 57.3 gal of the tank.
        (1, None, 50.0, "pass", 33.47),
        (1, None, 52.0, "caution", 33.47),
        (2, None, 80.0, "pass", 66.95),
        # 14 gal of a second tank at 120 degF are 17.8 gal mixed, and 2000 W heat 14.9 gal more.
        (1, 120.0, 49.0, "pass", 32.7),
        (1, 120.0, 52.0, "caution", 32.7),
        # One set colder than the inlet holds nothing.
        (1, 40.0, 52.0, "caution", 14.88),
    ],
)
def test_whether_tank_and_grid_give_the_hour_of_most_use(
    monkeypatch: pytest.MonkeyPatch,
    count: int,
    second: float | None,
    last: float,
    status: str,
    beside: float,
) -> None:
    """At 7:00, 7:54, 8:00 and 20:00: the last two of the morning fall within one hour."""
    draws = [
        SimpleNamespace(start=at * 3600.0, volume=each * GALLON)
        for at, each in ((7.0, 30.0), (7.9, 40.0), (8.0, last), (20.0, 60.0))
    ]
    monkeypatch.setattr(stored, "draws_of_day", lambda *_: draws)
    element = SimpleNamespace(rated_power=4500.0, count=count, fed_by="grid")
    array = SimpleNamespace(rated_power=9000.0, count=1, fed_by="array")
    tank_2 = None if second is None else SimpleNamespace(
        volume=20 * GALLON, thermostat=degrees(second), rated_power=2000.0
    )  # fmt: skip
    heater = SimpleNamespace(element=[array, element], second_tank=tank_2, draw=None)
    site = SimpleNamespace(water_heater=heater, site=SimpleNamespace(print_units="US"))
    (found,) = stored_verdicts(site, tank())
    mixed = 0.7 * 90 / 55
    assert found.status == status
    assert found.quantity == pytest.approx((50 * mixed + beside) * GALLON, rel=4e-3)
    assert found.limit == pytest.approx((40 + last) * GALLON)
    assert found.reason.parts["tank"].kind is found.limit.kind is kinds.VOLUME
    assert found.reason.template.startswith("with the heater on the grid")
    if status == "caution":
        large = (40 + last - beside) / mixed
        assert found.remedy.parts["large"] == pytest.approx(large * GALLON, rel=4e-3)
        assert float(found.remedy.parts["sold"]) >= large * GALLON * 0.99
        assert [each.path for each in changes_of(found.remedy)] == ["water_heater.volume"]
