"""Modules that look away from the sun are told so, and turned they are not."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from tests.studies.printed import told
from wellsolar.site.loading.read import parse_site
from wellsolar.site.schema import ArrayTable
from wellsolar.studies.sun import direction
from wellsolar.studies.sun.direction import facing_verdicts
from wellsolar.verdicts import Verdict, changes_of

SITE = """[site]
latitude = "{latitude} deg"
[well]
depth = "9 m"
static_level = "3 m"
[[array]]
name = "roof"
feeds = "battery"
series = 1
tilt = "{tilt} deg"
azimuth = "{azimuth} deg"
"""


def facing(latitude: float, tilt: float, azimuth: float, *settings: str) -> Verdict:
    text = SITE.format(latitude=latitude, tilt=tilt, azimuth=azimuth)
    (verdict,) = facing_verdicts(parse_site(text, settings=settings).site, None)
    return verdict


@pytest.mark.parametrize(
    ("latitude", "tilt", "azimuth", "status"),
    [
        (36, 36, 180, "pass"),
        (36, 36, 0, "caution"),
        (-36, 36, 0, "pass"),
        (-36, 36, 180, "caution"),
        (36, 36, 265, "pass"),  # sideways is not away
        (36, 36, 300, "caution"),
        (-36, 36, 275, "pass"),  # 85 degrees off the north
        (-36, 36, 265, "caution"),
        (36, 2, 0, "pass"),  # flat modules look nowhere
        (3, 10, 0, "pass"),  # nor do those near the equator
    ],
)
def test_who_looks_away(latitude: float, tilt: float, azimuth: float, status: str) -> None:
    verdict = facing(latitude, tilt, azimuth)
    assert verdict.status == status
    if status == "caution":
        changes = [str(each) for each in changes_of(verdict.remedy)]
        assert changes
        assert facing(latitude, tilt, azimuth, *changes).status == "pass"


@pytest.mark.parametrize(
    ("latitude", "azimuth", "own", "status"),
    [
        # A twentieth of the year's sun is worth telling, beyond a quarter turn from the equator.
        (36, 91, 0.0, "sideways"),
        (36, 89, 94.9, "caution"),
        (36, 89, 95.1, "no loss"),
        (36, 270, 0.0, "sideways"),
        (36, 271, 94.9, "caution"),
        (36, 10, 95.1, "no loss"),
        (-36, 89, 0.0, "sideways"),
        (-36, 91, 94.9, "caution"),
        (-36, 271, 0.0, "sideways"),
        (-36, 269, 95.1, "no loss"),
        (0, 270, 0.0, "sideways"),
        (0, 280, 60.0, "caution"),
    ],
)
def test_from_where_on_modules_look_away(
    monkeypatch: pytest.MonkeyPatch, latitude: float, azimuth: float, own: float, status: str
) -> None:
    """The sun of a year on modules as they look, and 100 of those that look to the equator."""
    toward = 180.0 if latitude >= 0 else 0.0

    def plane(_site: object, _light: object, group: ArrayTable, *_: str, bare: bool) -> object:
        assert bare
        year = 100.0 if group.azimuth == toward else own
        return SimpleNamespace(plane_of_array_irradiance=np.array([0.25, 0.75]) * year)

    monkeypatch.setattr(direction, "plane_of_group", plane)
    found = facing(latitude, 36, azimuth)
    assert found.status == ("caution" if status == "caution" else "pass")
    assert found.subject == "roof"
    parts = {"looks": f"{azimuth}°, angle"}
    if status != "no loss":
        parts["toward"] = f"{toward:.0f}°, angle"
    if status == "caution":
        parts["share"] = f"{own:g}%, fraction"
        assert told(found.remedy) == {"toward": parts["toward"]}
        assert [each.path for each in changes_of(found.remedy)] == ["array[1].azimuth"]
    assert told(found.reason) == parts
