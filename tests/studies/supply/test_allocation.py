"""Modules on hand against the modules that are used."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from tests.studies.supply.houses import changed, house, studied
from wellsolar.results.supply import GroupShare
from wellsolar.studies.supply import allocation
from wellsolar.verdicts import changes_of


def test_more_modules_used_than_on_hand_fails_and_the_remedy_helps(tmp_path: Path) -> None:
    path = changed(house(tmp_path, "Greensboro"), ("on_hand = 10", "on_hand = 6"))

    def verdict() -> object:
        return next(v for v in studied(path).verdicts if v.rule.key == "modules on hand")

    found = verdict()
    assert found.status == "fail"  # type: ignore[attr-defined]
    assert (
        found.remedy.text("US")
        == "have 8 modules on hand, 2 modules more; or take as many off the groups"
    )  # type: ignore[attr-defined]
    changed(path, ("on_hand = 6", "on_hand = 8"))
    assert verdict().status == "pass"  # type: ignore[attr-defined]


def test_without_a_number_on_hand_there_is_no_ledger(tmp_path: Path) -> None:
    results = studied(changed(house(tmp_path, "Greensboro"), ("on_hand = 10\n", "")))
    assert results.ledger is None
    assert all(each.rule.key != "modules on hand" for each in results.verdicts)


@pytest.mark.parametrize(
    ("used", "on_hand", "status"), [(8, 8, "pass"), (8, 10, "pass"), (9, 8, "fail")]
)
def test_modules_used_beside_those_on_hand(used: int, on_hand: int, status: str) -> None:
    result: Any = SimpleNamespace(used=used, on_hand=on_hand, spare=on_hand - used)
    found = allocation._verdict(result)
    assert (found.status, found.quantity, found.limit) == (status, used, on_hand)
    text = found.reason.text("US")
    assert text.endswith("1 are lacking" if status == "fail" else f"{on_hand - used} are spare")
    told = [str(change) for change in changes_of(found.remedy)]
    assert told == ([f"module.on_hand={used}"] if status == "fail" else [])


@dataclass(frozen=True)
class Wired:
    """A circuit whose array gives 10 J of each module in the first month, less 1 J of each in
    series squared."""

    series: int
    parallel: int

    def energy(self) -> Any:
        one = 10.0 * self.series * self.parallel - self.series**2 * self.parallel
        return np.array([one, *[0.0] * 11])


@pytest.mark.parametrize(
    ("series", "parallel", "now", "lost", "gained"),
    [
        # 3 x 10 - 9 = 21; 2 give 16 and 4 give 24.
        (3, 1, 21.0, 5.0, 3.0),
        (1, 1, 9.0, 9.0, 7.0),
        # Of two rows of three one is parted among three modules: 21 / 3.
        (3, 2, 42.0, 7.0, 7.0),
    ],
)
def test_one_module_more_or_fewer_at_an_element(
    monkeypatch: pytest.MonkeyPatch, series: int, parallel: int, now: float, lost: float,
    gained: float,
) -> None:  # fmt: skip
    monkeypatch.setattr(allocation, "_at_element", lambda circuit, plane: circuit.energy())
    bare = GroupShare("roof", "heater", series * parallel, "", (), (), ())
    circuit: Any = Wired(series, parallel)
    plane: Any = None
    found = allocation._heater(bare, circuit, plane)
    assert (sum(found.energy), sum(found.lost), sum(found.gained)) == pytest.approx(
        (now, lost, gained)
    )


def test_no_module_gives_nothing() -> None:
    circuit: Any = SimpleNamespace(series=0)
    plane: Any = None
    assert allocation._at_element(circuit, plane).tolist() == [0.0] * 12


@pytest.mark.parametrize(
    ("giver", "taker", "short"),
    [
        # Between two that feed nothing changes; the first that feeds is judged.
        ("a", "b", None), ("a", "tank", (5, 9)), ("tank", "a", (5, 2)), ("b", "tank", None),
        ("tank", "b", None), ("tank", "other", None),
    ],
)  # fmt: skip
def test_days_short_as_a_module_moves(
    giver: str, taker: str, short: tuple[int, int] | None
) -> None:
    supply: Any = SimpleNamespace(days_short=5, fewer_days_short=9, more_days_short=2)
    assert allocation._short(["a", "b"], giver, taker, supply) == short
    for lacking in ("fewer_days_short", "more_days_short"):
        without: Any = SimpleNamespace(**{**vars(supply), lacking: None})
        assert allocation._short(["a", "b"], giver, taker, without) is None
    assert allocation._short(["a", "b"], giver, taker, None) is None


def test_a_module_moves_between_groups_on_known_sun() -> None:
    def share(name: str, lost: float, gained: float, known: bool = True) -> GroupShare:
        year = (1.0,) if known else ()
        return GroupShare(name, "other", 1, "", year, (lost, lost), (gained, gained))

    groups = (share("a", 1.0, 2.0), share("dark", 9.0, 9.0, False), share("c", 3.0, 4.0))
    site: Any = SimpleNamespace(array=[])
    assert [
        (move.giver, move.taker, move.lost, move.gained)
        for move in allocation._moves(site, groups, None)
    ] == [("a", "c", 2.0, 8.0), ("c", "a", 6.0, 4.0)]
