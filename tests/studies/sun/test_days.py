"""Where modules look by default and which of them look away, with made-up groups."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from wellsolar import kinds
from wellsolar.studies.sun import days, direction, kinds_of_day
from wellsolar.units import Quantity
from wellsolar.verdicts import changes_of


class Group(SimpleNamespace):
    def model_copy(self, *, update: dict[str, Any]) -> Group:
        return Group(**{**vars(self), **update})


def degrees(value: float | None) -> Any:
    return None if value is None else Quantity(value, kinds.ANGLE)


def site_of(latitude: float | None = 40.0, azimuth: float | None = None) -> Any:
    group = Group(name="roof", tilt=None, azimuth=degrees(azimuth))
    return SimpleNamespace(site=SimpleNamespace(latitude=latitude), array=[group])


@pytest.mark.parametrize(
    ("latitude", "tilt", "azimuth"),
    [
        # The latitude, between 10 and 60 degrees: common practice, no source.
        (40.0, 40.0, 180.0), (-33.0, 33.0, 0.0), (4.0, 10.0, 180.0), (-9.9, 10.0, 0.0),
        (66.0, 60.0, 180.0), (0.0, 10.0, 180.0),
    ],
)  # fmt: skip
def test_modules_lean_by_the_latitude_toward_the_equator(
    latitude: float, tilt: float, azimuth: float
) -> None:
    site = site_of(latitude)
    for group in (None, site.array[0]):
        found = days.orientation(site, group, "array[1]")
        assert found[:2] == (tilt, azimuth)
        assert {each.path: each.value for each in found[2]} == {
            "array[1].tilt": tilt, "array[1].azimuth": azimuth
        }  # fmt: skip
    told: Any = SimpleNamespace(tilt=degrees(5.0), azimuth=degrees(-90.0))
    assert days.orientation(site, told, "array[1]") == (5.0, 270.0, ())


@pytest.mark.parametrize(
    ("latitude", "azimuth", "own", "status", "toward"),
    [
        # 90 degrees off the equator's side and no more is not away, whatever it gets.
        (40.0, 90.0, 0.5, "pass", 180.0), (40.0, 270.0, 0.5, "pass", 180.0),
        (40.0, 89.0, 0.94, "caution", 180.0), (40.0, 271.0, 0.94, "caution", 180.0),
        (40.0, 0.0, 0.96, "pass", 180.0), (40.0, 0.0, 0.94, "caution", 180.0),
        (40.0, 350.0, 0.94, "caution", 180.0),
        (-33.0, 180.0, 0.94, "caution", 0.0), (-33.0, 91.0, 0.94, "caution", 0.0),
        (-33.0, 269.0, 0.94, "caution", 0.0), (-33.0, 89.0, 0.5, "pass", 0.0),
        (-33.0, 271.0, 0.5, "pass", 0.0), (0.0, 0.0, 0.94, "caution", 180.0),
    ],
)  # fmt: skip
def test_modules_that_look_away_from_the_sun(
    monkeypatch: pytest.MonkeyPatch, latitude: float, azimuth: float, own: float, status: str,
    toward: float,
) -> None:  # fmt: skip
    """Where they lose more than a twentieth of the year's sun: our choice."""

    def plane(site: Any, light: Any, group: Any, path: str, *, bare: bool) -> Any:
        assert (path, bare, light) == ("array[1]", True, "year")
        sun = 1.0 if float(group.azimuth) == toward and azimuth != toward else own
        return SimpleNamespace(plane_of_array_irradiance=np.full(4, sun))

    monkeypatch.setattr(direction, "plane_of_group", plane)
    year: Any = "year"
    (found,) = direction.facing_verdicts(site_of(latitude, azimuth), year)
    assert (found.status, found.subject) == (status, "roof")
    if status == "caution":
        assert [str(change) for change in changes_of(found.remedy)] == [
            f'array[1].azimuth="{toward:.0f} deg"'
        ]
        assert found.reason.parts["share"] == pytest.approx(own)
    assert direction.facing_verdicts(site_of(None), year) == ()


def test_the_air_is_as_warm_as_the_ground_water_where_none_is_told() -> None:
    water = Quantity(11.0, kinds.TEMPERATURE)
    site: Any = SimpleNamespace(
        sun=SimpleNamespace(temperature=None), well=SimpleNamespace(water_temperature=water)
    )
    air, (assumed,) = days.air_temperatures(site)
    assert air == (11.0,) * 12
    assert (assumed.path, assumed.value) == ("sun.temperature", water)
    site.sun.temperature = tuple(range(12))
    assert days.air_temperatures(site) == (tuple(map(float, range(12))), ())


def test_a_group_has_a_clear_day_of_each_month_and_all_days_of_its_year(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def plane_of(site: Any, year: Any, group: Any, path: str, bare: bool = False) -> Any:
        hours = np.zeros(3 * 24 if year == "year" else 12 * 24 * 60)
        told = f"{year} {path} {'bare' if bare else 'shaded'}"
        return SimpleNamespace(told=told, hours=SimpleNamespace(month=hours))

    def day_of(plane: Any, number: int, step: float, pieces: int = 1) -> Any:
        return plane.told, number, step, pieces

    monkeypatch.setattr(kinds_of_day, "cloudless_days_of", lambda *_: "cloudless")
    monkeypatch.setattr(kinds_of_day, "plane_of_group", plane_of)
    monkeypatch.setattr(kinds_of_day.sun_days, "day_of", day_of)
    site: Any = None
    year: Any = "year"
    found: Any = kinds_of_day.group_days(site, None, "array[1]", year)
    step = kinds_of_day.STEP
    assert found.clear == tuple(("cloudless array[1] shaded", at, step, 1) for at in range(12))
    assert found.bare == tuple(("cloudless array[1] bare", at, step, 1) for at in range(12))
    # Three days of hours, each hour in pieces of a step.
    pieces = int(3600 / step)
    assert found.of_year == tuple(("year array[1] shaded", at, 3600.0, pieces) for at in range(3))
    assert kinds_of_day.group_days(site, None, "array[1]", None).of_year == ()
