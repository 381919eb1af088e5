"""A village whose people lift their water by hand, against arithmetic written out here."""

from __future__ import annotations

import math

import pytest

from tests.studies.outage import huts


class TestVillage:
    """180 people at 15 L are 2700 L. In the low season the water stands at 46 m; 60 L/min draw
    it down by 4 m, so 15 L/min each metre. The spout is at 0.6 m."""

    HEAD, PER_METRE = 46.6, 15.0
    STROKES = 40 * 0.90 * math.pi / 4 * 0.635**2 * 1.25  # 63.5 mm x 125 mm, without stretch

    def test_minutes_at_the_handle(self) -> None:
        found = huts.outages(huts.example("village_borehole"))
        assert found.survival == pytest.approx(2.7)
        assert found.static_level == pytest.approx(46.0)
        assert found.low
        cell = found.whole.cell("hand pump")
        expected = huts.minutes(2700.0, self.HEAD, self.PER_METRE, self.STROKES)
        assert 7.0 * 60 < expected < 8.0 * 60
        assert cell.effort / 60 == pytest.approx(expected, rel=0.005)

    def test_a_day_of_it_and_the_tank_on_the_stand(self) -> None:
        hands = huts.event(huts.outages(huts.example("village_borehole")), "hands")
        day = 480 * huts.litres_a_minute(
            huts.rule_of_power(480.0), self.HEAD, self.PER_METRE, self.STROKES
        )
        # Half of the 7200 L is there and lasts for a week of seven days.
        stored = 7200 / 2 / 7
        assert hands.volume * 1000 == pytest.approx(day + stored, rel=0.003)
        assert hands.survival == pytest.approx((day + stored) / 2700, rel=0.003)
        assert hands.basic == pytest.approx((day + stored) / 3600, rel=0.003)
        left = huts.minutes(2700 - stored, self.HEAD, self.PER_METRE, self.STROKES)
        assert hands.effort / 60 == pytest.approx(left, rel=0.005)
        assert hands.pressure == "by gravity"
        assert hands.order == ("stored water", "hand pump")

    def test_no_grid_no_inverter_no_battery_can_fail_where_there_is_none(self) -> None:
        found = huts.outages(huts.example("village_borehole"))
        assert [each.name for each in found.outages] == [
            "3 dark days", "7 dark days", "solar pump", "no power at all",
        ]  # fmt: skip
        assert not found.weak


def test_a_site_without_water_or_people_stays_quiet() -> None:
    found = huts.studied('[well]\ndepth = "60 m"\nstatic_level = "20 m"\n')
    assert found.outages is None
    assert found.verdicts == ()
    assert any("source of water" in note for note in found.notes)
