"""A battery with its modules: of all that do, none counts less."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache

import pytest

from tests.studies.sizing.needs import ON_THE_SUN
from wellsolar import kinds
from wellsolar.site.loading.read import parse_part
from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.case import Case
from wellsolar.studies.sizing import power
from wellsolar.studies.sizing.draft import Draft, NoDesign
from wellsolar.studies.sizing.search import Candidate, Sized, Trial
from wellsolar.units import read
from wellsolar.verdicts import set_to

KWH = 3.6e6


GROUP = 2
"""The place of the group whose modules are counted; the one before it is another's."""


@cache
def _begun() -> Draft:
    """A draft with 2.4 kWh as the smallest battery that does, chosen behind another part."""
    part = parse_part(ON_THE_SUN)
    draft = Draft(part, Case(part.file))
    for number in (1, GROUP):
        draft = power._with_group(draft, number)
    small = Candidate("2.40 kWh", (set_to("power.battery_energy", "2.4 kWh"),))
    for name, candidate in (("inverter rating", Candidate("")), ("battery", small)):
        case = draft.case.with_site(changed_site(draft.case.site, candidate.changes))
        draft = draft.chosen(Sized(name, Trial(candidate, case, ()), None, True, 1))
    return draft


def _asking(needed: Mapping[float, int], tried: list[float]) -> Callable[[Draft, int], Draft]:
    """A search of modules that finds so many for a battery [kWh], and notes that it was asked; in
    rows of two where the number is even."""

    def modules(draft: Draft, number: int) -> Draft:
        kwh = float(draft.case.site.power.battery_energy or 0.0) / KWH
        tried.append(round(kwh, 6))
        series = 2 - needed[tried[-1]] % 2
        rows = [
            set_to(f"array[{number}].series", series),
            set_to(f"array[{number}].parallel", needed[tried[-1]] // series),
        ]
        return replace(draft, case=draft.case.with_site(changed_site(draft.case.site, rows)))

    return modules


def _shown(draft: Draft) -> tuple[str, int]:
    """The battery of a draft and the number of its modules."""
    *_, group = draft.case.site.array
    battery = draft.case.site.power.battery_energy
    assert battery is not None
    # What is written as chosen is what the site has.
    (told,) = [each.candidate.label for each in draft.sized if each.part == "battery"]
    assert read(told, kinds.ENERGY) == pytest.approx(float(battery))
    return told, group.series * group.parallel


NEEDED = {1.2: 1, 2.4: 9, 5.0: 6, 7.5: 6, 10.0: 4, 15.0: 1, 20.0: 1}
"""Modules that the year takes beside each battery [kWh]; the smallest is too small for a day
without sun, whatever stands beside it."""


@pytest.mark.parametrize(
    ("prices", "of_one", "there", "least", "battery", "asked"),
    [
        # 2.4 kWh with 9 modules: 400 + 2700. 5 kWh: 900 + 1800. From 7.5 kWh on the battery alone,
        # or with the one module that any needs, is dearer than 2700.
        ({2.4: 400, 5.0: 900, 7.5: 2700, 10.0: 3000}, 300, 0, 0, "5.00 kWh", [2.4, 5.0]),
        ({2.4: 400, 5.0: 900, 7.5: 2390, 10.0: 2401}, 300, 0, 1, "5.00 kWh", [2.4, 5.0, 7.5]),
        # 10 kWh: 1400 + 1200, less than 2700; 15 kWh alone is as much as that.
        (
            {2.4: 400, 5.0: 900, 7.5: 1200, 10.0: 1400, 15.0: 2600}, 300, 0, 0,
            "10.0 kWh", [2.4, 5.0, 7.5, 10.0],
        ),
        # With eight modules on hand one is bought for the smallest: 700 in all.
        ({2.4: 400, 5.0: 690, 7.5: 701}, 300, 8, 0, "5.00 kWh", [2.4, 5.0]),
        ({2.4: 400, 5.0: 701, 7.5: 720}, 300, 8, 0, "2.40 kWh", [2.4]),
        # Nobody buys fewer than none: of ten on hand nothing comes back.
        ({2.4: 400, 5.0: 401, 7.5: 402}, 300, 10, 0, "2.40 kWh", [2.4]),
        # Three on hand: 400 + 1800 of six bought, 900 + 900 of three.
        ({2.4: 400, 5.0: 900, 7.5: 1800}, 300, 3, 3, "5.00 kWh", [2.4, 5.0]),
        # That there are more on hand than any needs makes no battery cheaper than its price.
        ({2.4: 400, 5.0: 900, 7.5: 1799, 10.0: 1800}, 300, 3, 1, "5.00 kWh", [2.4, 5.0, 7.5]),
        # What costs the same is the smaller battery.
        ({2.4: 400, 5.0: 1300, 7.5: 3100}, 300, 0, 0, "2.40 kWh", [2.4, 5.0]),
        # A battery without a price is left out.
        ({5.0: 900, 10.0: 2000}, 300, 0, 0, "5.00 kWh", [5.0, 10.0]),
    ],
)  # fmt: skip
def test_the_battery_that_is_cheapest_with_its_modules(
    monkeypatch: pytest.MonkeyPatch,
    prices: Mapping[float, float],
    of_one: float,
    there: int,
    least: int,
    battery: str,
    asked: list[float],
) -> None:
    tried: list[float] = []
    monkeypatch.setattr(power, "_modules", _asking(NEEDED, tried))

    def price(label: str, size: float) -> float | None:
        assert read(label, kinds.ENERGY) == pytest.approx(size)
        return prices.get(round(size / KWH, 6))

    made = power._cheapest(_begun(), GROUP, price, of_one, there, least=least)
    assert _shown(made) == (battery, NEEDED[float(battery.split()[0])])
    assert tried == asked


def test_modules_that_were_counted_for_the_smallest_battery_are_not_looked_for_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    tried: list[float] = []
    modules = _asking(NEEDED, tried)
    monkeypatch.setattr(power, "_modules", modules)
    made = modules(_begun(), GROUP)
    cheapest = power._cheapest(_begun(), GROUP, lambda _, size: size / KWH, 1.0, 0, made)
    # 2.4 + 9, 5 + 6; 7.5 + 6, 10 + 4; 15 alone is more than 11.
    assert _shown(cheapest) == ("5.00 kWh", 6)
    assert tried == [2.4, 5.0, 7.5, 10.0]


def test_nothing_is_cheapest_where_nothing_tells_what_a_battery_costs() -> None:
    with pytest.raises(NoDesign, match="nothing tells what a battery costs") as told:
        power._cheapest(_begun(), GROUP, lambda *_: None, 300.0, 0)
    assert told.value.needs == ("price",)


class AskedError(Exception):
    """Ends a search where it has asked what the test wants to know."""


@pytest.mark.parametrize("rows", range(1, 14))
def test_rows_are_as_long_as_the_cold_lets_them_be(
    monkeypatch: pytest.MonkeyPatch, rows: int
) -> None:
    """39.9 V and 29 K below the sheet at -0.3 %/K; of the electrical code's table 1.12 x at -4
    degC (from memory). What bears just so many of the one, and none more of the other."""
    longest: list[int] = []

    def asked(most: int) -> None:
        longest.append(most)
        raise AskedError

    monkeypatch.setattr(power, "_layouts", asked)
    by_sheet, by_table = 39.9 * (1.0 + 29.0 * 0.003), 39.9 * 1.12
    bears = 0.5 * (rows * by_table + (rows + 1) * by_sheet)
    draft = _begun()
    change = set_to(f"array[{GROUP}].greatest_input_voltage", f"{bears} V")
    draft = replace(draft, case=draft.case.with_site(changed_site(draft.case.site, [change])))
    with pytest.raises(AskedError):
        power._modules(draft, GROUP)
    assert longest == [rows]


@pytest.mark.parametrize(("longest", "most"), [(1, 80), (3, 26), (7, 11), (20, 4), (60, 2)])
def test_modules_are_tried_in_one_row_first_and_in_full_rows_then(longest: int, most: int) -> None:
    """Up to eighty of them, and two rows however long those are; each more modules than the one
    before it."""
    tried = [*power._layouts(longest)]
    counts = [series * parallel for series, parallel in tried]
    assert counts[:longest] == [*range(1, longest + 1)]
    assert counts == sorted(set(counts))
    assert all(series == longest for series, parallel in tried if parallel > 1)
    assert max(parallel for _, parallel in tried) == most
