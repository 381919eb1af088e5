"""A battery with its modules: of all that do, none counts less."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cache
from types import SimpleNamespace
from typing import Any

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


class Made(SimpleNamespace):
    """A draft of which only what a pump's power asks for is told."""

    told: tuple[str, ...] = ()

    def says(self, path: str) -> bool:
        return path in self.told

    def set(self, changes: Any, *_: str) -> Made:
        self.changes = [*self.changes, *map(str, changes)]
        return self

    def chosen(self, sized: Any) -> Any:
        return sized

    def choose(self, choice: Any) -> Any:
        return choice


class AsCase(SimpleNamespace):
    """A case that notes what it is changed to."""

    def with_site(self, site: Any) -> AsCase:
        return AsCase(**{**vars(self), "site": site})


def _site(feeds: Sequence[str] = (), **others: Any) -> Any:
    """A site on the grid with one pump, modules to buy and groups that feed something."""
    has: dict[str, Any] = {
        "module": SimpleNamespace(on_hand=None), "site": SimpleNamespace(latitude=40.0),
        "pump": [SimpleNamespace(name="pump")],
        "power": SimpleNamespace(grid=True, battery_energy=None),
        "array": [SimpleNamespace(feeds=each, name=f"{each} {place}", series=2, parallel=3)
                  for place, each in enumerate(feeds, 1)],
    }  # fmt: skip
    return SimpleNamespace(**{**has, **others})


def _made(site: Any, told: tuple[str, ...] = (), **others: Any) -> Any:
    has: dict[str, Any] = {
        "case": AsCase(site=site, year="year"), "told": told, "sized": (), "changes": [],
        "system": "SI", "row_dead": False, "at_ends": None,
    }  # fmt: skip
    return Made(**{**has, **others})


OFF_GRID = SimpleNamespace(grid=False, battery_energy=None)
STORED = SimpleNamespace(grid=True, battery_energy=3.6e6)


@pytest.mark.parametrize(
    ("feeds", "others", "told", "asks"),
    [
        # Nothing else to do for modules than to run the pump.
        ((), {}, (), True),
        # A tank to heat is what modules are for, unless something says they run the pump too.
        ((), {}, ("water_heater",), False),
        (("heater",), {}, ("water_heater",), False),
        (("battery",), {}, ("water_heater",), True),
        (("pump",), {}, ("water_heater",), True),
        ((), {"power": OFF_GRID}, ("water_heater",), True),
        ((), {"power": STORED}, ("water_heater",), True),
        # Without a module, the place of the sun or a pump nobody asks.
        (("battery",), {"module": None}, (), False),
        (("battery",), {"site": SimpleNamespace(latitude=None)}, (), False),
        (("battery",), {"pump": []}, (), False),
    ],
)
def test_whether_pumps_are_wanted_on_modules(
    feeds: Sequence[str], others: dict[str, Any], told: tuple[str, ...], asks: bool
) -> None:
    assert power.asks_for_sun(_made(_site(feeds, **others), told)) is asks


@pytest.mark.parametrize(
    ("feeds", "number"),
    [((), 1), (("heater",), 2), (("heater", "battery"), 2), (("pump", "battery"), 1)],
)
def test_the_place_of_the_group_that_feeds(feeds: Sequence[str], number: int) -> None:
    site = _site(feeds)
    assert power._number(site) == number
    if feeds:
        site.array[-1].series = 5
        assert power._count(_made(site), len(feeds)) == 15


@pytest.mark.parametrize(
    ("latitude", "tilt", "azimuth"),
    [(36.4, "36 deg", "180 deg"), (-36.4, "36 deg", "0 deg"), (0.0, "0 deg", "180 deg")],
)
def test_modules_lean_to_the_equator(latitude: float, tilt: str, azimuth: str) -> None:
    draft = _made(_site(site=SimpleNamespace(latitude=latitude)))
    power._with_group(draft, 2, "pump", "250 V")
    told = dict(change.removeprefix("array[2].").split("=") for change in draft.changes)
    assert told == {
        "name": '"pump array"', "feeds": '"pump"', "series": "1", "parallel": "1",
        "tilt": f'"{tilt}"', "azimuth": f'"{azimuth}"', "greatest_input_voltage": '"250 V"',
    }  # fmt: skip


@pytest.mark.parametrize(
    ("wanted", "year", "told", "direct", "straight", "groups", "passes_at", "steps"),
    [
        # Not on the sun: an inverter where it is wanted, and no modules.
        (False, "year", (), False, False, (), None, ["inverter False"]),
        (True, None, (), False, False, (), None, ["inverter False"]),
        # Its own modules drive its pumps.
        (True, "year", ("array",), True, False, ("pump",), None, []),
        # Modules drive them straight.
        (True, "year", (), False, True, (), None, ["straight"]),
        (True, "year", (), True, True, (), None, ["straight"]),
        # Its own modules charge a battery.
        (True, "year", ("array",), False, False, ("battery",), None,
         ["straight", "inverter True", "battery False 1"]),
        # New ones do, on the first input on which a switch breaks their current.
        (True, "year", (), False, False, ("heater",), "150 V",
         ["straight", "inverter True", "on battery 150 V 2"]),
        (True, "year", ("array",), False, False, ("heater",), "250 V",
         ["straight", "inverter True", "on battery 150 V 2", "on battery 250 V 2"]),
        (True, "year", (), False, False, (), "none",
         ["straight", "inverter True", *(f"on battery {volts} V 1" for volts in (150, 250, 450))]),
    ],
)  # fmt: skip
def test_what_runs_the_pumps_in_turn(
    monkeypatch: pytest.MonkeyPatch, wanted: bool, year: str | None, told: tuple[str, ...],
    direct: bool, straight: bool, groups: Sequence[str], passes_at: str | None,
    steps: list[str],
) -> None:  # fmt: skip
    done: list[str] = []
    draft = _made(_site(groups), told)
    draft.case.year = year

    def straight_of(draft: Any) -> Any:
        done.append("straight")
        return draft if straight else None

    def inverter(draft: Any, by_sun: bool) -> Any:
        done.append(f"inverter {by_sun}")
        return draft

    def battery(draft: Any, *, lavish: bool, number: int) -> Any:
        done.append(f"battery {lavish} {number}")
        return draft

    def on_battery(draft: Any, number: int) -> Any:
        done.append(f"on battery {draft.bears} {number}")
        broken = SimpleNamespace(part="isolator", passes=draft.bears == passes_at)
        return Made(**{**vars(draft), "sized": (SimpleNamespace(part="x", passes=False), broken)})

    monkeypatch.setattr(power, "asks_for_sun", lambda _: wanted)
    monkeypatch.setattr(power, "is_direct", lambda _: direct)
    monkeypatch.setattr(power, "_straight", straight_of)
    monkeypatch.setattr(power.wiring, "inverter_of", inverter)
    monkeypatch.setattr(power, "_battery", battery)
    monkeypatch.setattr(
        power, "_with_group", lambda draft, number, bears: Made(**{**vars(draft), "bears": bears})
    )
    monkeypatch.setattr(power, "_on_battery", on_battery)
    power.power_of(draft)
    assert done == steps


@pytest.mark.parametrize(
    ("others", "passes"),
    [
        ({}, True),
        ({"inverter": True}, False),
        ({"groups": ("pump",), "told": ("array",)}, False),
        ({"groups": ("pump",)}, True),
        ({"groups": ("heater",), "told": ("array",)}, True),
        ({"fillers": []}, False),
        ({"into_tank": False}, False),
        ({"modules": False}, False),
    ],
)
def test_modules_that_drive_pumps_straight(
    monkeypatch: pytest.MonkeyPatch, others: dict[str, Any], passes: bool
) -> None:
    """Into a tank alone, and where they bring the year's water; a plain motor gets a drive."""

    def link(number: int, start: str, supply: str, into: bool = True) -> Any:
        table = SimpleNamespace(start=start, supply=supply)
        return SimpleNamespace(number=number, into_tank=into, table=table)

    links = [link(1, "direct", "AC"), link(2, "soft", "AC"), link(3, "direct", "DC"),
             link(4, "variable speed", "AC", others.get("into_tank", True))]  # fmt: skip
    monkeypatch.setattr(power, "has_inverter", lambda _: others.get("inverter", False))
    monkeypatch.setattr(power, "fillers", lambda _: others.get("fillers", links))
    monkeypatch.setattr(power, "links", lambda _: links)
    monkeypatch.setattr(
        power, "_with_group", lambda draft, number, feeds: draft if feeds == "pump" else None
    )

    def modules(draft: Any, number: int) -> Any:
        draft.sized = (
            SimpleNamespace(part="isolator", passes=False),
            SimpleNamespace(part="modules", passes=others.get("modules", True)),
        )
        return draft

    monkeypatch.setattr(power, "_modules", modules)
    draft = _made(_site(others.get("groups", ())), others.get("told", ()))
    found = power._straight(draft)
    assert (found is draft) is passes
    if passes:
        assert draft.changes == ['pump[1].start="variable speed"']
    else:
        assert found is None


@pytest.mark.parametrize(
    ("money", "told", "verdicts", "rows", "asked"),
    [
        # 12 modules that bring 1.5 and 3 times what is asked: 8 could do, of which each battery
        # counts two a kWh.
        (False, (), [(3.0, 2.0), (6.0, 2.0)], (4, 3), ("energy", 1.0, 0, True, 8)),
        # 12 that bring less: no fewer than 12 could.
        (False, (), [(1.0, 2.0)], (4, 3), ("energy", 1.0, 0, True, 12)),
        # 12 / 1.7 is 7.06: eight.
        (False, (), [(3.4, 2.0)], (4, 3), ("energy", 1.0, 0, True, 8)),
        (False, ("power.battery_energy",), [(3.0, 2.0)], (4, 3), None),
        (False, (), [], (4, 3), None),
        (False, (), [(3.0, None)], (4, 3), None),
        (False, (), [(3.0, 0.0)], (4, 3), None),
        (True, (), [(3.0, 2.0)], (4, 3), ("price", 300.0, 7, False, 0)),
        (True, (), [(3.0, 2.0)], (4, 3), ("price", 300.0, 0, False, 0)),  # none on hand
        # 63 that bring less than is asked: no fewer could do.
        (False, (), [(1.0, 2.0)], (9, 7), ("energy", 1.0, 0, True, 63)),
        (True, ("power.battery_energy",), [(3.0, 2.0)], (4, 3), None),
    ],
)
def test_a_battery_beside_its_modules(
    monkeypatch: pytest.MonkeyPatch, money: bool, told: tuple[str, ...],
    verdicts: list[tuple[float, float | None]], rows: tuple[int, int],
    asked: tuple[Any, ...] | None,
) -> None:  # fmt: skip
    said = [SimpleNamespace(rule=power.ARRAY, quantity=found, limit=limit)
            for found, limit in verdicts]  # fmt: skip
    series, parallel = rows
    other = SimpleNamespace(rule=power.BATTERY, quantity=0.5, limit=1.0)
    on_hand = asked[2] or None if asked else None
    site = _site(("battery",), module=SimpleNamespace(on_hand=on_hand))
    site.array[0].series, site.array[0].parallel = series, parallel
    draft = _made(site, told)
    draft.case.said = lambda study: SimpleNamespace(
        verdicts=[other, *said] if study == "supply" else []
    )
    monkeypatch.setattr(power, "_battery", lambda draft, lavish, number: draft if lavish else None)
    monkeypatch.setattr(power, "_modules", lambda draft, number: draft)
    monkeypatch.setattr(power, "counts_money", lambda _: money)
    monkeypatch.setattr(power, "of_module", lambda _: 300.0)
    monkeypatch.setattr(power, "price_of", lambda site, name, label: (name, label))

    def cheapest(
        draft: Any, number: int, of_battery: Any, of_one: float, there: int, made: Any = None,
        least: int = 0,
    ) -> Any:  # fmt: skip
        if money:
            assert of_battery("5 kWh", 5 * KWH) == ("battery", "5 kWh")
        else:
            assert of_battery("5 kWh", 5 * KWH) == pytest.approx(10.0)
        return "price" if money else "energy", of_one, there, made is not None, least

    monkeypatch.setattr(power, "_cheapest", cheapest)
    found: Any = power._on_battery(draft, 1)
    assert found is draft if asked is None else found == asked


@pytest.mark.parametrize(
    ("dead", "passes", "rows"), [(True, True, 4), (False, True, None), (True, False, None)]
)
def test_a_row_to_spare_beside_those_that_do(
    monkeypatch: pytest.MonkeyPatch, dead: bool, passes: bool, rows: int | None
) -> None:
    monkeypatch.setattr(power, "trial", lambda case, choice, candidate: Trial(candidate, case, ()))
    group = SimpleNamespace(series=5, parallel=3)
    case: Any = SimpleNamespace(site=SimpleNamespace(array=[None, group]))
    begun = Trial(Candidate("15", (set_to("array[2].parallel", 3),)), case, ())
    sized = Sized("modules", begun, None, passes, 1)
    nothing: Any = None
    made = power._with_spare_row(_made(_site(), row_dead=dead), nothing, sized, GROUP)
    if rows is None:
        assert made is sized
        return
    told = [str(change) for change in made.candidate.changes]
    assert told == ["array[2].parallel=3", "array[2].parallel=4"]
    assert made.candidate.label.endswith(", one row to spare")
    assert "20" in made.candidate.label  # 5 x 4


@pytest.mark.parametrize(
    ("at_ends", "again", "passes", "taken"),
    [(False, 1, True, 0), (True, 1, True, 1), (True, 1, False, 0), (True, 0, True, 0)],
)
def test_the_next_larger_that_passes_at_the_ends_too(
    monkeypatch: pytest.MonkeyPatch, at_ends: bool, again: int, passes: bool, taken: int
) -> None:
    listed = [Candidate(str(count)) for count in (2, 4, 6)]
    case: Any = SimpleNamespace()

    def found(place: int, passes: bool) -> Sized:
        return Sized("modules", Trial(listed[1:][place], case, ()), None, passes, 1)

    first, second = found(0, True), found(again, passes)
    choice = power.Choice("modules", listed, power.OF_THE_YEAR, (power.ARRAY,), rising=True)
    worst = "at the worst ends"

    def smallest(of: Any, choice: Any) -> Sized:
        assert [*choice.candidates] == listed[1:]
        assert (choice.studies, choice.rising) == ((), False)
        assert choice.judge(case) == [worst, (*power.OF_THE_YEAR, "arrays")]
        return second

    monkeypatch.setattr(power, "smallest", smallest)
    ends = (lambda case, studies: [worst, studies]) if at_ends else None
    made = power._sure(_made(_site(), at_ends=ends), choice, first)
    assert made is (first, second)[taken]


def test_the_smallest_switch_by_hand_of_both_conductors() -> None:
    """Of 125 to 1000 V and 10 to 200 A: common practice, no source."""
    choice: Any = power._isolator(_made(_site()), "array[2]", "roof")
    assert (choice.part, choice.studies, choice.subjects) == ("isolator", ("arrays",), ["roof"])
    assert choice.held_by == (power.ISOLATOR,)
    assert [[str(change) for change in each.changes] for each in choice.candidates] == [
        [f'array[2].isolator_voltage="{volts} V"', f'array[2].isolator_current="{amperes} A"',
         "array[2].isolator_poles=2"]
        for volts in (125, 250, 500, 600, 1000)
        for amperes in (10, 16, 20, 25, 32, 40, 63, 80, 100, 125, 160, 200)
    ]  # fmt: skip


@pytest.mark.parametrize("lavish", [True, False])
def test_a_battery_is_looked_for_on_modules_enough(
    monkeypatch: pytest.MonkeyPatch, lavish: bool
) -> None:
    """On eighty rows, our choice, where the modules are still to be counted; the draft has them
    as they are."""
    seen: list[Any] = []

    def smallest(case: Any, choice: Any) -> Sized:
        seen.append((case.site, choice))
        return Sized("battery", Trial(choice.candidates[1], case, ()), None, True, 1)

    monkeypatch.setattr(power, "smallest", smallest)
    monkeypatch.setattr(
        power, "changed_site", lambda site, changes: [*site, *map(str, changes)]
    )  # fmt: skip
    draft = _made(["site"])
    made: Any = power._battery(draft, lavish, GROUP)
    ((site, choice),) = seen
    assert site == ["site", *(["array[2].parallel=80"] if lavish else [])]
    assert choice.held_by == (power.BATTERY, power.DAYS_SHORT, power.SHORT, power.NIGHT)
    assert (choice.part, choice.rising) == ("battery", True)
    for each in choice.candidates:
        value = each.changes[0].value.strip('"')
        assert read(each.label, kinds.ENERGY) == pytest.approx(read(value, kinds.ENERGY), rel=0.01)
    (change,) = choice.candidates[1].changes
    assert made.case.site == ["site", str(change)]
    assert power._battery(_made(["site"], ("power.battery_energy",)), lavish, GROUP).changes == []
