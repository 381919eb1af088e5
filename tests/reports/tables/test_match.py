"""Words of the ranking of designs."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from wellsolar.reports.tables.match import _hand, _step, _volumes


def test_tanks_are_told_by_their_volumes() -> None:
    """0.1 m3 are 26.4 gal."""
    assert _volumes((0.1, 0.2)).text("SI") == "100 L, 200 L"
    assert _volumes((0.1,)).text("US") == "26.4 gal"


@pytest.mark.parametrize(
    ("on_hand", "elsewhere", "told"),
    [
        (None, 0, "wellsolar's bound"), (12, 0, "12 on hand"),
        (12, 4, "12 on hand; the other groups leave 8"),
        (4, 12, "4 on hand; the other groups leave 0"),
    ],
)  # fmt: skip
def test_modules_on_hand_are_those_that_others_leave(
    on_hand: int | None, elsewhere: int, told: str
) -> None:
    ranking = SimpleNamespace(on_hand=on_hand, elsewhere=elsewhere)
    assert _hand(ranking).startswith(told)  # type: ignore[arg-type]


@pytest.mark.parametrize(("before", "gain"), [(3, 0.25), (2, None), (4, None), (None, None)])
def test_what_a_module_gains_is_told_over_one_fewer(
    before: int | None, gain: float | None
) -> None:
    own = SimpleNamespace(modules=4, series=2, strings=2, element="e", share=0.75)
    best = SimpleNamespace(tank_volume=0.2, share=0.8, modules=4)
    row = None if before is None else SimpleNamespace(modules=before, share=0.5)
    step = SimpleNamespace(own_tank=own, any_tank=best)
    assert _step(step, row) == [4, 2, 2, "e", 0.75, gain, 0.2, 0.8]  # type: ignore[arg-type]
