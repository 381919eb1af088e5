"""A plan of changes ends an outage, and does so once it is written into the file."""

from __future__ import annotations

import math

import pytest

from tests.studies.outage import huts
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site


class TestHighSite:
    """The air is too thin for the suction pump at 2700 m; at the sea it just works."""

    def test_nothing_comes_and_the_plan_brings_it(self) -> None:
        text = huts.example("high_pass")
        results = huts.studied(text)
        found = results.outages
        assert found.whole.volume == 0.0
        assert "suction" in found.whole.cell("hand pump").limit
        assert huts.verdict(results, huts.LINKS).status == "fail"
        assert [each.kind for each in found.plan] == ["hand pump", "storage"]
        for fix in found.plan:
            text = huts.with_fix(text, fix)
        assert huts.verdict(huts.studied(text), huts.LINKS).status == "pass"
        assert not [each for each in study_site(parse_site(text), ("hand",)).verdicts
                    if each.status == "fail"]  # fmt: skip

    def test_minutes_at_the_sea(self) -> None:
        text = huts.changed(huts.example("high_pass"), ('altitude = "2700 m"', 'altitude = "0 m"'))
        cell = huts.outages(text).whole.cell("hand pump")
        # 76 mm x 110 mm, 40 a minute, 90 %; 17.96 L/min over 6.4 m ask for 26 W of one's 60 W.
        flow = math.pi / 4 * 0.76**2 * 1.10 * 40 * 0.90
        assert 0.72 * huts.rule_of_power(480.0) > flow / 60_000 * 999 * huts.G * (5.8 + flow / 30)
        assert cell.effort / 60 == pytest.approx(45 / flow, rel=1e-3)
        assert cell.volume * 1000 == pytest.approx(480 * flow, rel=1e-3)


@pytest.mark.parametrize("name", ["creek_cabin", "south_slope"])
def test_the_plan_of_an_example_mends_it(name: str) -> None:
    text = huts.example(name)
    results = huts.studied(text)
    assert huts.verdict(results, huts.LINKS).status == "fail"
    assert results.outages.plan
    for fix in results.outages.plan:
        text = huts.with_fix(text, fix)
    mended = huts.studied(text)
    assert huts.verdict(mended, huts.LINKS).status == "pass"
    least = min(each.outage.volume for each in mended.outages.links)
    assert least == pytest.approx(results.outages.planned)
