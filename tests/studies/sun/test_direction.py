"""Modules that look away from the sun are told so, and turned they are not."""

from __future__ import annotations

import pytest

from wellsolar.site.loading.read import parse_site
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
