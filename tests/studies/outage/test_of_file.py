"""Outages that a file names."""

from __future__ import annotations

import math
import re

import pytest

from tests.studies.outage import huts
from wellsolar.verdicts import changes_of


class TestOwnOutages:
    TEXT = (
        huts.HUT
        + huts.HAND.replace("24 m", "34 m")
        + (
            '\n[[outage]]\nname = "drought"\nfailed = ["well"]\ndays = 2\n'
            '\n[[outage]]\nname = "flood"\nfailed = ["grid", "hand pump"]\n'
        )
    )

    def test_each_has_its_verdict_and_its_remedy_works(self) -> None:
        results = huts.studied(self.TEXT)
        found = [each for each in results.verdicts if each.rule.key == huts.OWN]
        assert [(each.subject, each.status) for each in found] == [
            ("drought", "fail"), ("flood", "fail"),
        ]  # fmt: skip
        assert results.outages is not None
        assert huts.named(results.outages, "flood").days == 7
        assert all(each.remedy is not None for each in found)
        # Two days of 90 L from a tank that is half full: 360 L, of which a metric site gets 500 L
        # and not the 100 gal of another; a week of them 1260 L.
        assert found[0].remedy is not None
        told = re.search(r"tank of (\d+) L \(needs (\d+) L\)", found[0].remedy.text("SI"))
        assert told[1] == "500"
        assert 360 <= float(told[2]) <= 362
        assert [str(change) for change in changes_of(found[0].remedy)] == [
            'storage_tank.volume="500 L"'
        ]
        mended = huts.studied(self.TEXT + '\n[storage_tank]\nvolume = "1261 L"\n')
        assert {each.status for each in mended.verdicts if each.rule.key == huts.OWN} == {"pass"}

    def test_shares_stay_within_what_is_wanted_in_the_rows(self) -> None:
        from wellsolar.reports.tables.sections import sections
        from wellsolar.reports.text.json import as_json

        results = huts.studied(self.TEXT)
        grids = as_json(results, sections(results))["sections"]["outages"]["grids"]
        rows = {each["failed"]: each for each in grids["matrix"]["rows"]}
        assert rows["nothing"]["survival_fraction"] == 1.0
        assert rows["drought"]["survival_fraction"] == rows["drought"]["volume_m3"] == 0.0
        assert rows["no power at all"]["effort_s"] == pytest.approx(
            60 * 90 / (40 * 0.90 * math.pi / 4 * 0.635**2 * 1.25), rel=0.05
        )
