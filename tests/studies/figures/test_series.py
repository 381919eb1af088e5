"""The series of a pump's curve and of a day's water level, of a pump made by hand."""

from __future__ import annotations

import pytest

from tests.studies.by_hand import some
from wellsolar.studies.figures import study


def test_points_of_a_pumps_curve_beside_its_systems(monkeypatch: pytest.MonkeyPatch) -> None:
    """33 flows from the first to the greatest, 32 steps apart; heads of 100 less 1e4 m a m3/s, a
    system of level, flow and pressure for each duty."""
    line = some(total=lambda level, flow, p: level + 1e4 * flow + p / 1e4)
    curve = some(first_flow=1e-3, greatest_flow=4.2e-3, head_at=lambda flow: 100.0 - 1e4 * flow)
    monkeypatch.setattr(study, "line_of", lambda site, table, depth: line)
    monkeypatch.setattr(study, "drawn_level", lambda site, table, depth: depth / 2)
    monkeypatch.setattr(study, "head_curve", lambda table, level, line: curve)
    duties = (some(label="in", pressure=2e5), some(label="out", pressure=4e5))
    pump = some(name="p", intake_depth=60.0, duties=duties)
    found = study._pump_curve("site", "table", pump)  # type: ignore[arg-type]
    flows = [1e-3 + each * 1e-4 for each in range(33)]
    assert found.pump == "p"
    assert found.flows == pytest.approx(flows)
    assert found.heads == pytest.approx([100.0 - 1e4 * flow for flow in flows])
    for system, pressure in zip(found.systems, (2e5, 4e5), strict=True):
        assert system.pressure == pressure
        assert system.heads == pytest.approx([30.0 + 1e4 * q + pressure / 1e4 for q in flows])


def test_a_days_level_begins_at_rest(monkeypatch: pytest.MonkeyPatch) -> None:
    """And is asked at every time after that: of one to a day of 24 h."""
    monkeypatch.setattr(
        study,
        "levels_through",
        lambda site, pumps, times: {"p": tuple(40.0 + t for t in times)},
    )
    pumps = (some(name="p", static_level=30.0), some(name="q", static_level=1.0))
    (course,) = study._courses("site", pumps)  # type: ignore[arg-type]
    assert course.levels[:2] == (30.0, 40.0 + 60.0)
    assert (course.times[0], course.times[-1]) == (0.0, 86_400.0)
    assert len(course.times) == len(course.levels)
    assert list(course.times) == sorted(set(course.times))


@pytest.mark.parametrize(("tank", "chained", "height"), [
    ("tank", True, 3.5), ("tank", False, None), (None, True, None),
])  # fmt: skip
def test_the_outlet_of_a_storage_tank_in_the_chain(
    tank: str | None, chained: bool, height: float | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(study.chain, "has_cistern", lambda site: chained)
    monkeypatch.setattr(study.chain, "storage_of", lambda site, tank: some(outlet=3.5))
    assert study._storage_height(some(storage_tank=tank)) == height
