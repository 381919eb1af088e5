"""Modules on hand against the modules that are used."""

from __future__ import annotations

from pathlib import Path

from tests.studies.supply.houses import changed, house, studied


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
