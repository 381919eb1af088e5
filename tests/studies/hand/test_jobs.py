"""Jobs of a household at the handle: how much water each is, and to where; made by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tests.studies.by_hand import some
from wellsolar import kinds
from wellsolar.results.hand import HandPlace
from wellsolar.studies.hand import effort
from wellsolar.studies.reading import hand
from wellsolar.units import Quantity


def place(key: Any) -> HandPlace:
    return HandPlace(key, key, (0.0, 100.0), (0.0, 5e-4), 1e-3)


@pytest.mark.parametrize("people", [1, 4, None])
@pytest.mark.parametrize(
    ("places", "tank", "home"),
    [
        (("spout",), None, "spout"), (("spout", "tank"), 0.03, "tank"),
        (("spout", "storage tank"), None, "storage tank"),
        (("spout", "tank", "storage tank"), 0.03, "tank"), (("spout",), 0.03, "spout"),
        (("spout", "tank"), None, "tank"),
    ],
)  # fmt: skip
def test_jobs_of_a_household(
    people: int | None, places: tuple[str, ...], tank: float | None, home: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """20 L, the tank's water, 100 L into storage; 20 and 50 L of each; of a day's 500 L, of which
    each hour has as many parts as its number, 45 parts from 5 to 11 h."""
    monkeypatch.setattr(effort, "survival_volume", lambda site: None if people is None else 0.06)
    monkeypatch.setattr(effort, "daily_use", lambda site: (0.5 / 86_400.0, ()))
    monkeypatch.setattr(effort.demand, "hourly_volumes", lambda use: use * np.arange(24.0))
    monkeypatch.setattr(
        effort, "effort",
        lambda place, worker, volume, crew, key, label: (key, place.key, volume, crew, label),
    )  # fmt: skip
    made = effort.hand_tasks(
        some(site=some(people=people)), tuple(map(place, places)), None,  # type: ignore[arg-type]
        None if tank is None else some(drawdown=tank), (1, 2),
    )  # fmt: skip
    expected = [("bucket", "spout", 0.020)]
    many = people or 0
    if people is not None:
        expected.append(("survival", "spout", 0.06))
    if tank is not None and "tank" in places:
        expected.append(("tank", "tank", 0.03))
    if "storage tank" in places:
        expected.append(("storage tank", "storage tank", 0.100))
    if people is not None:
        expected += [("basic", "spout", 0.020 * many), ("full", "spout", 0.050 * many)]
    expected += [("ordinary", home, 0.5), ("morning", home, 45 * 0.5)]
    if people is not None:
        whole = {key: (to, volume) for key, to, volume in expected}
        for key in ("survival", "basic", "full", "ordinary"):
            to, volume = whole[key]
            expected.append((f"{key} each", to, volume / many))
    for crew in (1, 2):
        told: Any = [each for each in made if each[3] == crew]  # type: ignore[index]
        assert [each[:2] for each in told] == [each[:2] for each in expected]
        assert [each[2] for each in told] == pytest.approx([each[2] for each in expected])
    labels = {each[0]: each[4] for each in made}  # type: ignore[index]
    if people is not None:
        who = "1 person" if people == 1 else "4 people"
        assert labels["survival"] == f"a day's survival water for {who}"
        assert labels["full"].endswith(f"for {who}")


def test_minutes_strokes_and_water_of_an_effort(monkeypatch: pytest.MonkeyPatch) -> None:
    """40 L at a litre a stroke are 40 strokes; 600 s ten minutes; of a long day eight hours."""
    done = some(time=600.0, power=70.0, flow=3e-4, bound="power")
    monkeypatch.setattr(effort.human_power, "effort_for_volume", lambda *asked: done)
    task = effort.effort(place("spout"), effort.worker_of(None, None, None), 0.04, 2, "k", "l")
    assert task.strokes == pytest.approx(40.0)
    assert (task.time, task.power, task.flow, task.people) == (600.0, 70.0, 3e-4, 2)
    source: Any = some(place=lambda key: place(key) if key == "spout" else None,
                       worker=effort.worker_of(50.0, 1.0, 80.0))  # fmt: skip
    assert effort.minutes_for(source, 0.04, "spout") == pytest.approx(10.0)
    assert effort.minutes_for(source, 0.04, "tank") is None
    monkeypatch.setattr(effort.human_power, "volume_in_time", lambda *asked: asked)
    for time, most in ((100.0, 100.0), (30_000.0, 28_800.0)):
        asked: Any = effort.volume_in(source, time, "spout", 2)
        assert (asked[0], *asked[3:]) == (most, 2, 50.0, 1.0, 80.0)
    assert effort.volume_in(source, 100.0, "tank") is None
    bare = effort.effort(
        HandPlace("spout", "", (0.0, 1.0), (0.0, 1.0), None), source.worker, 0.04, 1
    )
    assert bare.strokes is None
    # 35 years and arms of 0.8 where the file tells neither.
    usual = effort.worker_of(None, None, None)
    assert (usual.age, usual.arm_factor, usual.power) == (35.0, 0.8, None)


def test_strokes_that_fill_a_bucket() -> None:
    """20 L at half a litre are 40, 15 % by valves and hands, in whole ones; and the other way."""
    reading: Any = object.__new__(hand.HandStrokes)
    duty = some(stroke_volume=0.5e-3)
    pump = some(draws_water=True, duty=lambda key: duty if key == "spout" else None)
    reading.visit = some(job=some(case=some(hand_pump=pump)))
    reading.site = some(hand_pump="table")
    band = reading.expected().value
    assert (band.low, float(band), band.high) == (34.0, 40.0, 46.0)
    assert band.kind is kinds.COUNT
    (line,) = reading.boxes()
    assert (line.expected.low, float(line.expected), line.expected.high) == (34.0, 40.0, 46.0)
    reading.measured = Quantity(50.0, kinds.COUNT, 40.0, 80.0)
    (stroke,) = reading.implied()
    found = (stroke.value.low, float(stroke.value), stroke.value.high)
    assert found == pytest.approx((0.25e-3, 0.4e-3, 0.5e-3))
    assert stroke.value.kind is kinds.VOLUME
    ways = reading.explained(Quantity(100.0, kinds.COUNT), False)
    assert [each.weight for each in ways] == [1.0, 0.4, 0.3]
    values = [[110.0, 300.0], [110.0, 150.0], [110.0, 300.0]]
    for each, there in zip(ways, values, strict=True):
        assert each.values.tolist() == pytest.approx(there)
    known = reading.explained(Quantity(100.0, kinds.COUNT), True)
    assert [each.share for each in known] == [0.6, 0.3]
    pump.draws_water = False
    assert reading.a_stroke is None
    assert reading.boxes() == []
