"""A heated tank from household, tank, modules and sun: whole, tight, monotone."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from tests.studies.safety.sites import RIGHT
from tests.studies.sizing.heaters import HEATER_ONLY, HEATERS, begun, search_of, sized
from tests.studies.sizing.needs import BEFORE_THE_VISIT, designed
from wellsolar import Options, kinds
from wellsolar.reports.text.sizing import page
from wellsolar.results.sizing import STOPS_PAYING, MissedAim
from wellsolar.site import edit
from wellsolar.site.loading.read import parse_part, parse_site
from wellsolar.site.loading.stock import NO_STOCK, load_stock
from wellsolar.studies.array.heater_circuit import element_on_array
from wellsolar.studies.asked.changed_site import changed_site, path_of
from wellsolar.studies.case import Case, size_site, study_site
from wellsolar.studies.heat import verdicts as heat_verdicts
from wellsolar.studies.match.designs import DesignElement
from wellsolar.studies.sizing import heated_tank, heater_guards
from wellsolar.studies.sizing import heater as heater_search
from wellsolar.studies.sizing.design import design_text
from wellsolar.studies.sizing.draft import Draft, NoDesign
from wellsolar.studies.sizing.heated_tank import ELEMENT, MODULES, NAME, _group, heater_of
from wellsolar.studies.sizing.heater import NEAR_EVENINGS, NEAR_SHARE, HeaterSearch
from wellsolar.studies.sizing.search import Sized
from wellsolar.studies.sun.days import STEP
from wellsolar.units import Quantity
from wellsolar.verdicts import say, set_to

SAMPLE = "two, bright"
FACTS = ("freezing", "scald protection at fixtures", "relief valve", "thermal expansion")
"""What only the house can tell."""

OF_THE_TANK = "hot water stored"
"""Hangs on the tank that is there, which is kept."""

GUARDED = (
    "mixing valve", "high limit", "thermostat's relay, direct current",
    "high limit's relay, direct current", "isolator, direct current", "vacuum relief",
    "relief capacity",
)  # fmt: skip


def part_of(draft: Draft, name: str) -> Sized:
    return next(each for each in draft.sized if each.part == name)


def modules_of(draft: Draft) -> int:
    on = element_on_array(draft.case.site)
    return on.group.series * on.group.parallel


def judged(draft: Draft) -> dict[str, str]:
    """What a check of the design, as it is written, says of the tank: rules that do not pass."""
    case = Case(parse_site(design_text(draft.part.text, draft.sets)))
    verdicts = case.said("heated_tank").verdicts
    return {each.rule.key: each.status for each in verdicts if each.status != "pass"}


def whole(name: str) -> None:
    """A design without a fail, whose only unknowns are facts, and that does what is asked unless
    no number of modules does."""
    draft = sized(name)
    found, left = part_of(draft, MODULES), judged(draft)
    assert "fail" not in left.values(), left
    unknown = {rule for rule, status in left.items() if status == "unknown"}
    assert unknown <= set(FACTS)
    short = {each.rule.key for each in found.chosen.verdicts if each.status != "pass"}
    cautions = {rule for rule, status in left.items() if status == "caution"}
    assert cautions <= short | {OF_THE_TANK}
    assert bool(short) is not found.passes


def test_a_design_is_whole_and_each_part_the_smallest() -> None:
    whole(SAMPLE)
    draft = sized(SAMPLE)
    assert draft.ways == ()  # Without a battery no surplus is looked at.
    assert part_of(draft, MODULES).passes
    assert part_of(draft, MODULES).smaller.short is not None
    assert {each.part for each in draft.sized} >= {MODULES, ELEMENT, *GUARDED}
    for each in draft.sized:
        assert each.passes, each.part
        assert each.smaller is None or each.smaller.short is not None, each.part


def test_what_the_file_says_is_kept_and_its_remarks_too() -> None:
    draft = sized(SAMPLE)
    text = design_text(draft.part.text, draft.sets)
    assert 'volume = "40 gal"   # it is there' in text
    assert not any(each.change.path == "water_heater.volume" for each in draft.sets)


def test_the_stock_on_hand_is_taken_first(tmp_path: Path) -> None:
    path = tmp_path / "elements.csv"
    path.write_text(
        "name,on_hand,rated_power,rated_voltage\n"
        "drawer,1,3500 W,240 V\nshop,0,5500 W,240 V\nother,0,1500 W,120 V\n",
        encoding="utf-8",
    )
    two_free: dict[str, float | None] = {"lower": None, "upper": None}
    drawer, shop = heated_tank._pools(two_free, load_stock([path]))
    assert [each.rated_power for each in drawer.ratings] == [3500.0]
    assert {each.rated_power for each in shop.ratings} == {3500.0, 5500.0, 1500.0}
    one = DesignElement("", 3500.0, 240.0, 1, "alone", 16.5, 240.0)
    two = replace(one, count=2)
    assert (drawer.allow(one), drawer.allow(two), shop.allow(two)) == (True, False, True)
    assert (shop.called(one), shop.called(two)) == (" (drawer, on hand)", " (drawer)")
    (metric,) = heated_tank._pools(two_free, NO_STOCK, "SI")
    assert {each.rated_voltage for each in metric.ratings} == {230.0}
    (only,) = heated_tank._pools({"lower": None}, NO_STOCK)
    assert not only.allow(two)


def test_an_element_screws_into_the_opening_that_the_tank_has(tmp_path: Path) -> None:
    path = tmp_path / "elements.csv"
    path.write_text(
        "name,rated_power,rated_voltage,opening\nscrew,3500 W,240 V,1 in\n", encoding="utf-8"
    )
    one = DesignElement("", 3500.0, 240.0, 1, "alone", 16.5, 240.0)
    two = replace(one, count=2)
    inch, wide = 0.0254, 0.03175
    for free, allowed in (((inch, inch), (True, True)), ((inch, wide), (True, False)),
                          ((wide,), (False, False))):  # fmt: skip
        openings = dict(zip(("lower", "upper"), free, strict=False))
        (pool,) = heated_tank._pools(openings, load_stock([path]))
        assert (pool.allow(one), pool.allow(two)) == allowed


def test_a_tank_that_is_not_there_holds_the_days_hot_water_and_has_an_opening_left(
    tmp_path: Path,
) -> None:
    path = tmp_path / "tanks.csv"
    path.write_text(
        'name,on_hand,price,use,volume,openings\nsmall,1,0,hot water,20 gal,"1, 1 in"\n'
        'taken,1,0,hot water,119 gal,1 in\nshop,0,900,hot water,119 gal,"1, 1 in"\n',
        encoding="utf-8",
    )
    text = begun(SAMPLE).part.text.replace('volume = "40 gal"   # it is there', "", 1)
    on_grid = (
        '[[water_heater.element]]\nposition = "lower"\nrated_power = "4500 W"\n'
        'rated_voltage = "240 V"\nfed_by = "grid"\n'
    )
    tanks = {}
    for more in ("", on_grid):
        part = parse_part(text + more)
        made = heated_tank._begun(Draft(part, Case(part.file), stock=load_stock([path])))
        tank = next(each for each in made.draft.sized if each.part == heated_tank.TANK)
        refused = {**made.draft.refused.get(heated_tank.TANK, {}), **tank.refused}
        tanks[more] = tank.candidate.label, refused, made.free
    inch = pytest.approx(0.0254)
    assert tanks[""] == ("taken, on hand", {"small, on hand": "hot water stored"}, {"lower": inch})
    # With the grid's element beside it, a small one does: two openings it must have.
    out = {"taken, on hand": heated_tank.OF_OPENINGS}
    assert tanks[on_grid] == ("small, on hand", out, {"upper": inch})


@pytest.mark.parametrize(("key", "needs"), [("sun.monthly", "sun.monthly")])
def test_what_lacks_is_named(key: str, needs: str) -> None:
    draft = begun(SAMPLE)
    tables = {name: dict(table) for name, table in draft.part.file.tables.items()}
    table, name = key.split(".")
    del tables[table][name]
    site = draft.case.site
    site = site.model_copy(update={"sun": site.sun.model_copy(update={"monthly": None})})
    part = replace(draft.part, file=replace(draft.part.file, tables=tables, site=site))
    with pytest.raises(NoDesign) as error:
        heater_of(Draft(part, Case(part.file)))
    assert any(each.startswith(needs) for each in error.value.needs)


def test_the_screen_is_as_near_to_the_fine_run_as_it_says() -> None:
    search = search_of(SAMPLE)
    assert len(search.fine_runs) >= 2
    for each in search.fine_runs.values():
        year = each.result.households[0]
        assert each.design.share is not None
        assert year.fewest_evenings - each.design.evenings <= NEAR_EVENINGS
        assert each.result.annual_share == pytest.approx(each.design.share, abs=NEAR_SHARE)


def test_a_reserve_does_what_is_asked_with_a_row_of_its_modules_dead() -> None:
    draft = heater_of(replace(begun(SAMPLE), row_dead=True))
    found = part_of(draft, MODULES)
    assert found.passes
    assert found.candidate.label.endswith(", one row to spare")
    on = element_on_array(draft.case.site)
    assert on.group.parallel >= 2
    dead = set_to(f"{on.group_path}.parallel", on.group.parallel - 1)
    left = Case(parse_site(design_text(draft.part.text, draft.sets)))
    left = left.with_site(changed_site(left.site, [dead]))
    tank = left.heated_tank
    said = {each.rule.key: each.status for each in left.said("heated_tank").verdicts}
    asked = ("hot water in the evening", "share from PV", "reaches temperature")
    assert [said[each] for each in asked] == ["pass"] * 3
    row, element = (each.text("US") for each in draft.dead)
    assert f"hot in the evening on {tank.households[0].fewest_evenings} days" in row
    assert "nothing else heats the tank" in element or "the other heats alone" in element
    assert sized(SAMPLE).dead == ()


@pytest.mark.long
def test_modules_on_hand_that_are_too_few_are_told_and_others_bought(tmp_path: Path) -> None:
    path = tmp_path / "modules.csv"
    sheet = "39.9 V,9.7 A,32.6 V,9.2 A,60,-0.30 %/K,0.05 %/K\n"
    path.write_text(
        "name,on_hand,voc,isc,vmp,imp,cells,voc_coefficient,isc_coefficient\n"
        f"barn,1,{sheet}shop,0,{sheet}",
        encoding="utf-8",
    )
    head, _, rest = begun(SAMPLE).part.text.partition("[module]")
    part = parse_part(head + rest[rest.index("\n[") + 1 :])
    draft = heater_of(Draft(part, Case(part.file), stock=load_stock([path])))
    assert draft.module.name == "shop"
    assert set(draft.refused["module"]) == {"barn, on hand"}
    assert part_of(draft, MODULES).passes


@pytest.mark.long
def test_where_money_is_least_a_dear_element_is_left_for_more_modules() -> None:
    search = search_of(SAMPLE)
    few = search.fewest().chosen.design

    def price(modules: int, element: DesignElement) -> float:
        return 100.0 * modules + (1e4 if element.text == few.choice.element.text else 10.0)

    cheap = replace(search, price=price).fewest()
    assert cheap.passes
    assert cheap.chosen.design.choice.element.text != few.choice.element.text
    assert cheap.chosen.design.modules >= few.modules


@pytest.mark.long
@pytest.mark.parametrize("name", HEATERS)
def test_ten_heaters_are_whole(name: str) -> None:
    whole(name)


@pytest.mark.long
@pytest.mark.parametrize("name", HEATERS)
def test_no_design_with_fewer_modules_does(name: str) -> None:
    """A fine run of every design of the two next smaller numbers of modules, whatever the screen
    says of it."""
    search = search_of(name)
    found = search.fewest()
    most = found.chosen.design.modules
    designs, _ = search.designs(most)
    counts = sorted({each.modules for each in designs if each.modules < most}, reverse=True)
    if not found.passes:
        counts = [most, *counts]
    for each in designs:
        if each.modules in counts[:2]:
            assert not search.judged(each).passes, each.label


@pytest.mark.long
def test_more_people_never_take_fewer_modules() -> None:
    counts = [modules_of(sized(SAMPLE, people=f"{people}")) for people in (1, 2, 3, 4)]
    assert counts == sorted(counts)


HEATING: dict[str, object] = {"feeds": "heater"}
OTHER: dict[str, object] = {"feeds": "battery", "name": "house", "series": 3}


@pytest.mark.parametrize(
    ("arrays", "waiting", "there", "path", "name", "wiring", "keys"),
    [
        ([], [], 0, "array[1]", NAME, None, ["name", "feeds"]),
        ([OTHER], [], 1, "array[2]", NAME, None, ["name", "feeds"]),
        # What the file begins keeps its name, and gets one where it has none.
        ([OTHER, HEATING | {"name": "roof"}], [1], 1, "array[2]", "roof", None, []),
        ([HEATING], [0], 0, "array[1]", NAME, None, ["name"]),
        # What is strung stays so, in one row where it tells no rows.
        ([HEATING | {"name": "roof", "series": 4, "parallel": 2}], [], 1, "array[1]", "roof",
         (4, 2), []),
        ([OTHER, HEATING | {"series": 5}], [], 2, "array[2]", NAME, (5, 1), []),
    ],
)  # fmt: skip
def test_the_modules_of_the_tank_are_the_files_own_or_one_more_group(
    arrays: list[dict[str, object]], waiting: list[int], there: int, path: str, name: str,
    wiring: tuple[int, int] | None, keys: list[str],
) -> None:  # fmt: skip
    group = _group(_with_arrays(arrays, waiting, there))
    assert group[:3] == (path, name, wiring)
    assert [each.path for each in group[3]] == [f"{path}.{key}" for key in keys]


def _with_arrays(arrays: list[dict[str, object]], waiting: list[int], there: int) -> Any:
    """A draft whose file has these groups, of which some lack keys."""
    file = SimpleNamespace(tables={"array": arrays})
    part = SimpleNamespace(file=file, waiting={"array": [arrays[place] for place in waiting]})
    site = SimpleNamespace(array=(None,) * there)
    return SimpleNamespace(part=part, case=SimpleNamespace(site=site))


@pytest.mark.parametrize(
    ("arrays", "waiting"), [([HEATING, OTHER], [0]), ([{"feeds": "battery"}, HEATING], [0, 1])]
)
def test_modules_that_lack_keys_before_or_behind_others_are_asked_for(
    arrays: list[dict[str, object]], waiting: list[int]
) -> None:
    draft = _with_arrays(arrays, waiting, len(arrays) - len(waiting))
    with pytest.raises(NoDesign) as told:
        _group(draft)
    assert told.value.needs == ("array",)


def test_where_nothing_does_modules_are_added_as_long_as_they_pay() -> None:
    """Fewer evenings a module than half of what the modules before it bring on average: 10 of 15
    each are paid, then 4 more that bring 30; 10 more that bring 45 are not. Of as many modules
    that bring as much those in fewer rows, and of counts that bring most the least."""

    def design(
        modules: int, evenings: int, sure: bool = True, strings: int = 1
    ) -> SimpleNamespace:
        choice = SimpleNamespace(series=1, strings=strings, element=SimpleNamespace(count=1))
        return SimpleNamespace(modules=modules, evenings=evenings, choice=choice, sure=sure)

    search = SimpleNamespace(_brings=lambda each: float(each.evenings))
    designs = [
        design(*each) for each in ((4, 0), (10, 150), (11, 140), (14, 180), (24, 225), (30, 225))
    ]
    chosen, most = HeaterSearch._as_far_as_it_pays(search, designs)  # type: ignore[arg-type]
    assert (chosen.modules, most.modules) == (14, 24)
    unsure = [*designs, design(24, 300, sure=False)]
    chosen, most = HeaterSearch._as_far_as_it_pays(search, unsure)  # type: ignore[arg-type]
    assert most.evenings == 225
    rows = [design(14, 180, strings=2), *designs, design(14, 180, strings=2)]
    chosen, _ = HeaterSearch._as_far_as_it_pays(search, rows)  # type: ignore[arg-type]
    assert chosen.choice.strings == 1
    worse = [design(14, 100), *designs, design(14, 120, strings=2)]
    chosen, _ = HeaterSearch._as_far_as_it_pays(search, worse)  # type: ignore[arg-type]
    assert chosen.evenings == 180
    in_vain = [design(modules, 0) for modules in (24, 4, 10)]
    chosen, most = HeaterSearch._as_far_as_it_pays(search, in_vain)  # type: ignore[arg-type]
    assert (chosen.modules, most.modules) == (4, 4)


@pytest.mark.parametrize(("asked", "fails"), [(True, True), (False, False)])
def test_an_aim_that_is_missed_fails_where_the_file_names_it(asked: bool, fails: bool) -> None:
    made = designed(BEFORE_THE_VISIT)
    missed = MissedAim(
        "hot water in the evening", say("292 days aimed at"),
        set_to("aim.hot_evenings", "44 %"), asked,
    )  # fmt: skip
    made = replace(made, missed=(missed,))
    assert made.fails is fails
    shown = " ".join(page(made, "US", "site.toml").split())
    assert "CAN'T hot water in the evening: 292 days aimed at. Could be met: " in shown
    assert 'aim.hot_evenings="44 %"' in shown


@pytest.mark.long
def test_far_north_the_aim_that_could_be_met_is_named_and_met() -> None:
    north = edit.put(HEATER_ONLY, path_of("site.latitude"), "52 deg")
    sun = "0.6, 1.2, 2.4, 3.7, 4.8, 5.1, 5.0, 4.3, 3.0, 1.7, 0.8, 0.5 kWh/m2/day"
    north = edit.put(north, path_of("sun.monthly"), sun)
    north = edit.put(north, path_of("aim.sun_evenings"), "80 %")
    made = size_site(parse_part(north, "north.toml"))
    assert made.fails
    assert {each.rule for each in made.missed} >= {"hot evenings by the sun"}
    (modules,) = [each for each in made.parts if each.part == MODULES]
    assert modules.bound_by == STOPS_PAYING
    assert not modules.passes
    text = made.text
    for each in made.missed:
        text = edit.put(text, path_of(each.within.path), json.loads(each.within.value))
    rules = {each.rule for each in made.missed}
    said = Case(parse_site(text)).said("heated_tank").verdicts
    assert {each.status for each in said if each.rule.key in rules} == {"pass"}


@pytest.mark.parametrize("helped", [False, True])
@pytest.mark.parametrize("by_sun", [None, 0.35, 0.85])
def test_how_short_a_search_sees_a_design_by_arithmetic(
    by_sun: float | None, helped: bool
) -> None:
    """In parts of the screen's own error of 5 evenings and of a hundredth of the heat, of 365
    evenings; where something else heats too, only what the sun alone has to do is asked."""
    base = search_of(SAMPLE)
    heater = base.site.water_heater
    elements = heater.element
    if helped:
        upper = {"position": "upper", "fed_by": "grid"}
        elements = (*elements, elements[0].model_copy(update=upper))
    aims = {"hot_evenings": 0.7, "sun_evenings": by_sun, "sun_share": 0.42}
    aim = {key: None if each is None else Quantity(each, kinds.FRACTION)
           for key, each in aims.items()}  # fmt: skip
    site = base.site.model_copy(
        update={
            "aim": base.site.aim.model_copy(update=aim),
            "water_heater": heater.model_copy(update={"element": elements}),
        }
    )
    search = replace(base, site=site, year=None)
    asked = math.ceil(365 * max(0.0 if helped else 0.7, by_sun or 0.0))
    assert search._marks == (asked, 0.42)
    rule = "hot water in the evening" if by_sun is None else "hot evenings by the sun"

    def seen(evenings: int | None, share: float | None, reaches: bool = True) -> Any:
        day = np.array([1.0, 2.5])
        choice = SimpleNamespace(series=3, strings=2)
        return heater_search.Design(choice, evenings, share, day, reaches)  # type: ignore[arg-type]

    for more, beside, reaches in ((-12, 0.05, True), (3, -0.004, True), (-4, 0.002, False),
                                  (0, -0.03, False)):  # fmt: skip
        design = seen(asked + more, 0.42 + beside, reaches)
        short = {"reaches temperature": 1.0 if reaches else -math.inf,
                 "share from PV": beside / 0.01, rule: more / 5}  # fmt: skip
        assert search._short(design) == pytest.approx(short)
        far = sum(each < -1.0 for each in short.values())
        rest = math.fsum(min(1.0, each) for each in short.values() if each > -math.inf)
        assert search._promise(design) == (-far, pytest.approx(rest))
        assert search._hopeful(design) is (more >= -5)
        brings = design.evenings if asked else design.share
        assert search._brings(design) == pytest.approx(float(brings))
        assert design.modules == 6
    untold = seen(None, None)
    assert search._short(untold) == {"reaches temperature": 1.0}
    assert search._brings(untold) == 3.5
    assert search._hopeful(untold)
    leap = SimpleNamespace(hours=SimpleNamespace(month=np.ones(366 * 24)))
    vars(search)["planes"] = [leap]
    asked = math.ceil(366 * max(0.0 if helped else 0.7, by_sun or 0.0))
    assert search._marks == (asked, 0.42)


def test_what_a_search_looks_at_and_what_it_costs() -> None:
    base = replace(search_of(SAMPLE), year=None)
    design: Any = SimpleNamespace(modules=7, choice=SimpleNamespace(element="element"))
    assert base._cost(design) == (0.0, 7)
    dear = replace(base, price=lambda modules, element: 50.0 * modules + len(element))
    assert dear._cost(design) == (357.0, 7)
    for most, kept, modules in ((None, None, 24), (10, None, 10), (40, None, 24), (3, (4, 2), 8)):
        assert replace(base, most=most, kept=kept)._most_modules() == modules
    assert replace(base, kept=(4, 2))._every(24) == [(4, 2)]
    every, spared = base._every(12), replace(base, spare=True)._every(12)
    assert {series * rows for series, rows in every} >= {*range(1, 11)}
    assert all(series * rows <= 12 for series, rows in every)
    assert spared == [each for each in every if each[1] > 1]
    choice = next(iter(search_of(SAMPLE).fine_runs.values())).design.choice
    assert base._alive(choice) is choice
    assert replace(base, spare=True)._alive(choice).strings == choice.strings - 1


def test_what_is_chosen_is_among_what_a_ranking_looks_at_and_of_the_same_heat() -> None:
    """One list of arrays and elements: a ranking shows all of it, a sizing takes the least that
    does what is asked."""
    search, draft = search_of(SAMPLE), sized(SAMPLE)
    wired, element = (part_of(draft, each).candidate.label for each in (MODULES, ELEMENT))
    (chosen,) = [
        each for each in search.fine_runs.values()
        if each.design.wired == wired and element.startswith(each.design.choice.element.text)
    ]  # fmt: skip
    file = parse_site(design_text(draft.part.text, draft.sets))
    found = study_site(file, ["heat ranking"], options=Options(top=1)).heater_ranking
    assert found is not None
    assert found.own_suits
    assert (found.own.series, found.own.strings) == (
        chosen.design.choice.series, chosen.design.choice.strings,
    )  # fmt: skip
    assert found.own.share == pytest.approx(chosen.result.annual_share, abs=1e-3)


@pytest.mark.parametrize(
    ("system", "sizes"),
    [
        ("US", ["2 gal", "3.2 gal", "4.4 gal", "10.3 gal", "14 gal", "20 gal", "34 gal"]),
        ("SI", ["8 L", "12 L", "18 L", "24 L", "35 L", "50 L", "80 L", "100 L"]),
    ],
)
def test_expansion_tanks_behind_a_check_valve(system: str, sizes: list[str]) -> None:
    """Every size that is sold, the smallest first, its air at the cut-out; sizes are common
    practice."""

    def offered(text: str) -> list[Any]:
        case: Any = SimpleNamespace(site=parse_site(text).site)
        draft: Any = SimpleNamespace(case=case, system=system, stock=NO_STOCK)
        return list(heater_guards._expansion(draft))

    (tanks,) = offered(RIGHT)
    tank = "water_heater.expansion_tank"
    named = [each.label.split() for each in tanks.candidates]
    assert [f"{float(number):g} {unit}" for number, unit in named] == sizes
    assert [[str(change) for change in each.changes] for each in tanks.candidates] == [
        [f"{tank}=true", f'{tank}_volume="{size}"', f'{tank}_precharge="60 psi"'] for size in sizes
    ]
    assert offered(RIGHT.replace("check_valve = true", "check_valve = false")) == []


def _seen(
    modules: int, evenings: int | None = None, strings: int = 1, count: int = 1, **others: Any
) -> Any:
    choice = SimpleNamespace(
        series=modules // strings, strings=strings, element=SimpleNamespace(count=count)
    )
    facts = {"share": 0.5, "day": np.zeros(1), "reaches": True, "sure": True, **others}
    return heater_search.Design(choice, evenings, **facts)  # type: ignore[arg-type]


def test_other_years_are_screened_of_the_best_six_of_each_number_and_of_one_without_hope(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The worst of the years counts, the own one among them; what is known already stays."""
    asked: list[Any] = []

    def sunny(circuit: Any, light: Any, cells: Any, some: list[Any]) -> Any:
        asked.append(some)
        return np.full((len(some), 2), float(light))

    monkeypatch.setattr(heater_search, "in_other_sun", sunny)
    hopeful = [_seen(3, evenings, sure=False) for evenings in (91, 97, 93, 95, 94, 92, 96, 98)]
    others = [_seen(2, 80, sure=False), _seen(2, 81, sure=False), _seen(4, 99)]
    dark = [_seen(5, 0, sure=False), _seen(5, 1, sure=False), _seen(6, 0, sure=False)]
    theirs = [200, 90, 200, 200, 94, 200, 70, 7, 7, 88, 200, 60, 200, 200, 93, 99, 7, 7]
    search: Any = SimpleNamespace(
        _hopeful=lambda design: design.evenings > 89,
        _alive=lambda choice: choice,
        circuit=None,
        planes=[SimpleNamespace(effective_irradiance=year, cell_temperature=0) for year in "012"],
        _screened=lambda powers, progress: (np.array(theirs), None),
    )
    found = HeaterSearch._in_other_years(search, [*hopeful, *others, *dark])
    # From 98 down to 93 of three modules, then 81 of two, 1 of five and 0 of six: first year,
    # then second.
    assert [len(some) for some in asked] == [9, 9]
    assert [(each.evenings, each.sure) for each in found] == [
        (91, False), (90, True), (93, True), (95, True), (94, True), (92, False), (60, True),
        (88, True), (80, False), (70, True), (99, True), (0, False), (1, True), (0, True),
    ]  # fmt: skip
    assert HeaterSearch._in_other_years(search, others[2:]) == others[2:]


def test_fine_runs_go_by_what_the_runs_before_say_of_the_screen() -> None:
    """Of 100 evenings asked: the first run finds the screen right, so that two evenings less are
    one in doubt; one that the screen sees three too few of widens that to five, and never more."""
    counted = {99: 99, 98: 101, 96: 120, 95: 95, 94: 200}
    designs = [_seen(4, evenings) for evenings in (99, 97, 98, 96, 94, 95)]
    promise = {99: 9.0, 97: 8.0, 98: 7.0, 96: 6.0, 94: 5.0, 95: 4.0}

    def search(passing: int | None, short: tuple[int, ...] = ()) -> Any:
        def judged(design: Any) -> Any:
            year = SimpleNamespace(fewest_evenings=counted[design.evenings])
            return SimpleNamespace(
                design=design, passes=design.evenings == passing,
                result=SimpleNamespace(households=[year]),
            )  # fmt: skip

        return SimpleNamespace(
            judged=judged,
            _marks=(100, 0.4),
            _promise=lambda design: (-1 if design.evenings in short else 0,
                                     promise[design.evenings]),
        )  # fmt: skip

    def runs(*told: Any) -> list[int]:
        found = HeaterSearch._of_count(search(*told), designs[::-1])
        return [each.design.evenings for each in found]  # type: ignore[misc]

    assert runs(None) == [99, 98, 96, 95]
    assert runs(96) == [99, 98, 96]
    # What falls short of something by more than the error ends it.
    assert runs(None, (94, 95, 96, 98)) == [99]
    assert runs(None, (94, 95)) == [99, 98, 96]


def test_of_designs_that_pass_the_cheapest_and_the_best_that_does_not() -> None:
    chosen = SimpleNamespace(design=_seen(9, 0), passes=True)
    designs = [_seen(modules, evenings) for modules, evenings in
               ((9, 7), (8, 3), (8, 6), (7, 5), (7, 1), (6, 9))]  # fmt: skip

    def lowered(passing: set[int], least: int) -> tuple[Any, Any]:
        search: Any = SimpleNamespace(
            _cost=lambda design: (0.0, design.modules),
            _promise=lambda design: (0, design.evenings),
            judged=lambda design: SimpleNamespace(design=design, passes=design.modules in passing),
        )
        some = [each for each in designs if each.modules >= least]
        best, smaller = HeaterSearch._lowered(search, some, chosen)  # type: ignore[arg-type]
        below = None if smaller is None else (smaller.design.modules, smaller.design.evenings)
        return (best.design.modules, best.design.evenings), below

    assert lowered(set(), 6) == ((9, 0), (8, 6))
    assert lowered({8}, 6) == ((8, 6), (7, 5))
    assert lowered({8, 7}, 7) == ((7, 5), None)


@pytest.mark.parametrize(
    ("passing", "few", "chosen", "smaller", "looked_at", "shut_out"),
    [
        # One of 3 modules, two of 4, two left out; then one of 5, one of 6, four left out.
        (3, 0, 3, None, 5, {"cold": 2}),
        (3, 2, 3, 2, 5 + 2, {"cold": 2, heater_search.TOO_FEW: 2}),
        (4, 2, 4, 3, 5 + 2, {"share": 1, "cold": 2, heater_search.TOO_FEW: 2}),
        (5, 2, 5, 4, 5 + 6 + 2,
         {"share": 2, "day": 1, "cold": 3, "plate": 3, heater_search.TOO_FEW: 2}),
        # Where none does, those that are too few are looked at too, and one is left out of them:
        # 30 of 3, 10 more of 4, of which no module after brings half.
        (None, 2, 4, None, 5 + 6 + 3, {"share": 3, "day": 2, "cold": 4, "plate": 3}),
    ],
)  # fmt: skip
@pytest.mark.parametrize("reaches", [True, False])
def test_what_a_search_counts_on_its_way_to_the_fewest(
    passing: int | None, few: int, chosen: int, smaller: int | None, looked_at: int,
    shut_out: dict[str, int], reaches: bool,
) -> None:  # fmt: skip
    rounds: dict[Any, tuple[list[Any], dict[str, int]]] = {
        "few": ([_seen(1, 0), _seen(2, 0)], {"cold": 1}),
        "one": ([_seen(3, 30, sure=False), _seen(4, 40, sure=False), _seen(4, 20, sure=False)],
                {"cold": 2}),
        "two": ([_seen(5, 41, sure=False), _seen(6, 42, sure=False)], {"cold": 1, "plate": 3}),
    }  # fmt: skip
    share_and_day = {30: (-3, 1), 40: (-1, 2), 20: (2, -2), 41: (1, -1), 42: (-1, 0)}
    ran: list[Any] = []

    def judged(design: Any) -> Any:
        said = {heat_verdicts.REACHES: "caution", heat_verdicts.SHARE: "fail",
                heat_verdicts.EVENING: "pass"}  # fmt: skip
        verdicts = [SimpleNamespace(rule=rule, status=status) for rule, status in said.items()]
        passes = design.modules == passing and design.evenings != 40
        return SimpleNamespace(design=design, passes=passes, verdicts=verdicts)

    def of_count(designs: list[Any]) -> list[Any]:
        ran.append([(each.evenings, each.sure) for each in designs])
        found = [judged(each) for each in designs]
        return found if passing == 3 or found[0].design.modules > 3 else []

    search: Any = SimpleNamespace(
        _rounds=lambda: (["few"] * few, ["one", "two"]),
        _designs_of=lambda wired: rounds["few" if isinstance(wired, list) else wired],
        _cost=lambda design: (0.0, design.modules), _hopeful=lambda design: design.evenings > 39,
        _in_other_years=lambda some: [replace(each, sure=True, reaches=reaches) for each in some],
        _of_count=of_count, _short=lambda design: dict(
            zip(("share", "day"), share_and_day[design.evenings], strict=True)
        ), _promise=lambda design: design.evenings, _brings=lambda design: design.evenings,
        judged=judged,
    )  # fmt: skip
    for step in ("_lowered", "_as_far_as_it_pays"):
        setattr(search, step, getattr(HeaterSearch, step).__get__(search))
    found = HeaterSearch.fewest(search)
    assert found.chosen.design.modules == chosen
    assert (found.smaller and found.smaller.design.modules) == smaller
    assert (found.passes, found.looked_at) == (passing is not None, looked_at)
    assert dict(found.shut_out) == shut_out
    # What may do is looked at in the other years before it is run.
    assert ran == [[(30, False)], [(40, True), (20, True)], [(41, True)],
                   [(42, True)]][: (passing or 6) - 2]  # fmt: skip
    if passing is None:
        # What none reaches is missed; a clear day that another one makes warm enough is not.
        missed = {each.rule for each in found.missed}
        assert missed == {heat_verdicts.SHARE} | (set() if reaches else {heat_verdicts.REACHES})
        assert found.most is not None
        assert (found.most.design.modules, found.chosen.design.evenings) == (6, 40)
        rounds.update({name: ([], {"cold": 2}) for name in rounds})
        with pytest.raises(heater_search.NothingSuits) as none:
            HeaterSearch.fewest(search)
        assert none.value.shut_out == {"cold": 6}


@pytest.mark.parametrize(
    ("start", "hours", "evening", "beside", "wanted"),
    [(18.0, 2.0, (18, 19), None, 8.0), (18.5, 2.0, (18, 20), 100.0, 8.0),
     (23.5, 1.0, (23, 23), 100.0, 0.5)],
)  # fmt: skip
def test_what_is_screened_and_how_it_is_told(
    monkeypatch: pytest.MonkeyPatch, start: float, hours: float, evening: tuple[int, int],
    beside: float | None, wanted: float,
) -> None:  # fmt: skip
    """Two tanks through two days, one a quarter short of what is wanted; less than a joule is
    wanted by nobody."""
    asked: list[Any] = []
    short = np.array([0.25 * max(wanted, 1.0), 0.0])

    def screen(*told: Any) -> Any:
        asked.extend(told)
        return SimpleNamespace(hot="hot", short=short, wanted=wanted)

    drawn = SimpleNamespace(start=start * 3600.0, duration=hours * 3600.0)
    monkeypatch.setattr(heater_search, "screen_tanks", screen)
    monkeypatch.setattr(heater_search, "evening_draw", lambda draws: drawn)
    monkeypatch.setattr(heater_search, "in_pieces", lambda draws, most: (draws, most))
    monkeypatch.setattr(heater_search.events, "every_day", lambda *told: told)
    monkeypatch.setattr(
        heater_search, "drawn_year", lambda *told: SimpleNamespace(hourly=lambda: told)
    )
    search: Any = SimpleNamespace(
        site=SimpleNamespace(water_heater=object()), _draws=lambda: "draws",
        _beside=lambda: beside, work=SimpleNamespace(
            tank="tank", inlet=10.0, room=20.0, tap=40.0, setpoint=60.0, differential=5.0
        ),
    )  # fmt: skip
    powers = np.arange(96.0).reshape(2, 48)
    hot, share = HeaterSearch._screened(search, powers, None)
    assert (hot, share.tolist()) == ("hot", [0.75, 1.0])
    tanks, places, given, year, side, progress, span = asked
    assert (tanks, [*places], progress, span) == (["tank"] * 2, [0, 1], None, evening)
    assert (given == powers + (beside or 0.0)).all()
    assert side == heater_search.TapSide(10.0, 20.0, 40.0, 60.0, 5.0)
    assert year == ((("draws", math.inf), 2, 0.0), 48, side)


def test_what_suits_and_is_left_out_of_what_suits(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of two of the same power the plainer wired; of other layouts and elements that fit into no
    opening none."""

    def suits(series: int, strings: int, watts: float, count: int = 1, fits: bool = True) -> Any:
        element = SimpleNamespace(count=count, fits=fits)
        power = np.array([0.5, 1.0]) * watts
        return SimpleNamespace(series=series, strings=strings, power=power, element=element)

    some = [suits(4, 1, 900.0), suits(2, 2, 900.0), suits(2, 2, 800.0),
            suits(2, 2, 700.0, fits=False), suits(9, 1, 950.0), suits(8, 1, 900.0),
            suits(2, 2, 800.0, count=2)]  # fmt: skip
    left_out = SimpleNamespace(over_voltage=3, over_plate=0, over_current=2, weaker=5)
    asked: list[Any] = []

    def choices_of(*told: Any) -> Any:
        asked.append(told)
        return SimpleNamespace(suiting=some, left_out=left_out)

    monkeypatch.setattr(heater_search, "choices_of", choices_of)
    elements = SimpleNamespace(ratings="plates", allow=lambda element: element.fits)
    search: Any = SimpleNamespace(
        site="site", on="on", circuit="circuit", elements=elements, spare=True,
        _day_heat=lambda: 7.0,
    )  # fmt: skip
    plane: Any = "plane"
    wired = [(4, 1), (2, 2), (8, 1)]
    found, counted = HeaterSearch._choices(search, plane, wired)
    assert asked == [("site", "on", "circuit", "plane", 0, 7.0, "plates", wired, 1)]
    assert [place for place, one in enumerate(some) if any(one is each for each in found)] == [
        0, 2, 5
    ]  # fmt: skip
    assert counted == {
        "cold open-circuit voltage": 3, "conductor or contacts": 2, "openings of the tank": 1,
        "another element gives more every month": 5, "the same power, less plainly wired": 2,
    }  # fmt: skip
    assert HeaterSearch._choices(search, plane, []) == ((), {})
    with pytest.raises(heater_search.NothingSuits):
        HeaterSearch._choices(search, None, wired)


@pytest.mark.parametrize(
    ("count", "joined", "more"),
    [(1, "alone", []), (2, "in series", ["count=2", 'wired="series"']),
     (3, "in parallel", ["count=3", 'wired="parallel"'])],
)  # fmt: skip
def test_how_a_design_is_written(count: int, joined: Any, more: list[str]) -> None:
    element = DesignElement("", 3500.0, 240.0, count, joined, 16.5, 240.0)
    on = SimpleNamespace(path="heater", group_path="array[2]")
    search: Any = SimpleNamespace(on=on)
    choice: Any = SimpleNamespace(series=4, strings=2, element=element)
    assert [str(each) for each in HeaterSearch.changes(search, choice)] == [
        "array[2].series=4", "array[2].parallel=2",
        *(f"heater.{key}" for key in ('rated_power="3500 W"', 'rated_voltage="240 V"', *more)),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("able", "few", "rounds"),
    [
        (10, (1, 8), [(9, 14), (15, 20), (21, 24)]),
        (1, None, [(1, 6), (7, 12), (13, 24)]),
        (2, None, [(1, 6), (7, 12), (13, 24)]),
        (20, (1, 18), [(19, 24)]),
        (None, None, [(1, 24)]),
    ],
)
def test_rounds_of_six_numbers_from_the_last_that_is_too_few(
    able: int | None, few: tuple[int, int] | None, rounds: list[tuple[int, int]]
) -> None:
    every = [(modules, 1) for modules in range(1, 25)] + [(3, 2), (5, 2), (10, 2)]

    def counted(search: Any) -> tuple[Any, Any]:
        left, parts = HeaterSearch._rounds(search)

        def ends(part: list[tuple[int, int]]) -> tuple[int, int]:
            counts = [series * rows for series, rows in part]
            least, most = min(counts), max(counts)
            assert part == [each for each in every if least <= each[0] * each[1] <= most]
            return least, most

        return (ends(left) if left else None), [ends(part) for part in parts]

    search = SimpleNamespace(
        _every=lambda most: [each for each in every if each[0] * each[1] <= most],
        _most_modules=lambda: 24, price=None, planes=[None], _draws=lambda: (1,),
        _able=lambda counts: [able is not None and count >= able for count in counts],
    )  # fmt: skip
    assert counted(search) == (few, rounds)
    for without in ({"price": len}, {"planes": []}, {"_draws": tuple}):
        assert counted(SimpleNamespace(**{**vars(search), **without})) == (None, [(1, 24)])


def test_numbers_of_modules_that_could_do_but_for_the_screens_error(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Five evenings and a hundredth of the heat; each module at its greatest power."""
    at_most = SimpleNamespace(power=[100.0, 300.0])
    monkeypatch.setattr(heater_search.module, "at_conditions", lambda *_: None)
    monkeypatch.setattr(heater_search.resistive, "maximum_power_point", lambda _: at_most)
    looked_at: list[Any] = []

    def screened(powers: Any, progress: Any) -> tuple[Any, Any]:
        looked_at.extend(powers.tolist())
        return np.array([94, 95, 200, 101]), np.array([0.9, 0.391, 0.389, 0.41])

    plane = SimpleNamespace(effective_irradiance=None, cell_temperature=None)
    search: Any = SimpleNamespace(
        planes=[plane], circuit=SimpleNamespace(parameters=None), _screened=screened,
        _marks=(100, 0.40),
    )  # fmt: skip
    assert HeaterSearch._able(search, [1, 2, 5, 6]) == [False, True, False, True]
    assert looked_at == [[100, 300], [200, 600], [500, 1500], [600, 1800]]


@pytest.mark.parametrize(
    ("aimed", "heat", "ends", "satisfied", "reaches"),
    [
        # 200 kJ/K from 10 degC to a setpoint of 60 degC: 10 MJ; to an aim of 50 degC 8 MJ.
        (None, 9.99, 59.0, True, False),
        (None, 10.0 * (1 - 4e-10), 10.0, True, True),
        (None, 10.0 * (1 - 3e-9), 10.0, True, False),
        (None, 10.1, 70.0, False, False),
        (50.0, 7.99, 70.0, True, False),
        (50.0, 8.01, 50.0, False, True),
        (50.0, 8.01, 49.0, True, True),
        (50.0, 8.01, 49.0, False, False),
        # Where the thermostat opens below the aim, that is met by what is stored above it alone.
        (65.0, 12.0, 64.0, True, False),
        (65.0, 12.0, 66.0, True, True),
    ],
)
def test_a_day_reaches_by_its_heat_and_by_its_run(
    aimed: float | None, heat: float, ends: float, satisfied: bool, reaches: bool
) -> None:
    work = SimpleNamespace(
        setpoint=60.0, inlet=10.0, tank=SimpleNamespace(capacity_above_element=200e3, volume=0.2),
        run=lambda day, start: SimpleNamespace(mean_temperature=np.array([99.0, start, ends])),
        satisfied=lambda day, run: np.array([False, satisfied, False]),
    )  # fmt: skip
    aim = SimpleNamespace(clear_day_temperature=aimed)
    search: Any = SimpleNamespace(work=work, site=SimpleNamespace(aim=aim))
    day = np.array([0.25, 0.75]) * heat * 1e6 / STEP
    assert HeaterSearch._reaches(search, day) is reaches


@pytest.mark.parametrize(
    ("draws", "tap", "litres", "kelvins"),
    [((60, 40), 50.0, 100, 40), ((), 50.0, 200, 40), ((60,), 5.0, 60, 0)],
)
def test_the_heat_of_a_day_is_that_of_its_draws_or_of_a_cold_tank(
    draws: tuple[int, ...], tap: float, litres: float, kelvins: float
) -> None:
    """4186 J/kg/K and 1 kg/L, from memory, within a hundredth."""
    work = SimpleNamespace(tap=tap, inlet=10.0, tank=SimpleNamespace(volume=0.2))
    search: Any = SimpleNamespace(
        work=work, _draws=lambda: [SimpleNamespace(volume=each / 1000) for each in draws]
    )
    assert HeaterSearch._day_heat(search) == pytest.approx(litres * 4186 * kelvins, rel=0.02)


def test_the_darkest_clear_day_of_those_that_are_aimed_at(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Twelve days of two steps: of each array the one that gives it least in all, not at once."""
    first = [[9.0, 9.0]] * 10 + [[0.0, 8.0], [3.0, 4.0]]
    second = [[5.0, 5.0]] * 3 + [[1.0, 1.0]] + [[0.0, 7.0]] * 8

    def sunny(circuit: Any, light: Any, cells: Any, some: Any) -> Any:
        days = light.size // 2
        assert cells.size == light.size
        return np.array([first[-days:], second[-days:]]).reshape(2, -1)

    clear = [SimpleNamespace(effective_irradiance=np.zeros(2), cell_temperature=np.zeros(2))] * 12
    monkeypatch.setattr(heater_search, "in_other_sun", sunny)
    monkeypatch.setattr(heater_search, "group_days", lambda *_: SimpleNamespace(clear=clear))
    on = SimpleNamespace(group=None, group_path=None)
    for aimed, expected in ((None, [[3, 4], [1, 1]]), ("December", [[3, 4], [0, 7]])):
        site = SimpleNamespace(aim=SimpleNamespace(clear_day_month=aimed))
        search: Any = SimpleNamespace(
            site=site, on=on, year=None, circuit=None, _alive=lambda choice: choice
        )
        found = HeaterSearch._darkest_days(search, ["one", "other"])  # type: ignore[list-item]
        assert [each.tolist() for each in found] == expected


def test_how_an_array_is_told_and_which_of_two_is_the_plainer() -> None:
    assert heater_search.wired(1, 1) == "1 module in a row"
    assert heater_search.wired(4, 1) == "4 modules in a row"
    assert heater_search.wired(4, 3) == "12 modules in 3 rows of 4"
    assert heater_search.wired(1, 2) == "2 modules in 2 rows of 1"
    plain = [_seen(12, strings=strings, count=count).choice for count, strings in
             ((1, 1), (1, 2), (2, 1), (2, 2), (1, 3), (1, 4), (2, 3))]  # fmt: skip
    keys = [heater_search._plainness(each) for each in plain]
    assert all(one < other for one, other in pairwise(keys))
