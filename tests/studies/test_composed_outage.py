"""What is left in an outage, composed again from the pumps, the hands, the sun and the stores."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from tests.properties.whole.named import tables_of
from tests.reports.tables.made import FULL
from tests.studies.composing import DAY, HOUR, case_of
from tests.studies.test_answers import made
from tests.studies.test_composed_power import best_of, feeding
from wellsolar import Case, Options, site_from
from wellsolar.results.outages import Outage, OutageCell, OutageResult
from wellsolar.results.parts import Part
from wellsolar.results.pumps import PumpResult
from wellsolar.results.sizing import DesignFigures
from wellsolar.results.whole import Results
from wellsolar.site.schema import Site
from wellsolar.studies.parts.study import study_parts
from wellsolar.studies.parts.whole_design import comes_to, saved

BEST = ("yes", "short cycling", "by hand", "by gravity", "no")
SHARED = ("inverter", "battery", "sun", "generator")
NAMES = ("ridge_house", "south_slope", "creek_cabin", "village_borehole", "straight", "driven")


def _driven(tables: Any) -> None:
    """A generator beside the battery, a cistern with a reserve, no grid, an outage of its own."""
    tables["power"] |= {"grid": False, "generator_rating": "12 kW", "generator_hours": "3 h"}
    tables["storage_tank"] = {"volume": "300 gal", "reserve": "40 %"}
    tables["demand"]["survival_use"] = "30 L/day"
    tables["outage"] = [{"name": "storm", "failed": ["hot water", "inverter"], "days": 2}]


@cache
def cases(name: str) -> tuple[Case, Case]:
    """A site, and the same with its water at the deep end of its range."""
    if name == "driven":
        tables = tables_of("ridge_house")
        _driven(tables)
        case = Case(site_from(tables), Options(cases=16))
    else:
        case = case_of(name)
    tables = tables_of("ridge_house" if name == "driven" else "south_slope"
                                     if name == "straight" else name)  # fmt: skip
    if name == "driven":
        _driven(tables)
    if not case.site.well.static_level.is_range:
        return case, case
    tables["well"]["static_level"] = f"{float(case.site.well.static_level.high)} m"
    return case, Case(site_from(tables), Options(cases=16))


def told_of(name: str) -> OutageResult:
    found = cases(name)[0].outages
    assert found is not None
    return found


def each_outage(name: str) -> list[Outage]:
    told = told_of(name)
    return [told.whole, *told.outages, *(link.outage for link in told.links)]


def mean_flow(pump: PumpResult) -> float:
    if pump.fill is not None:
        return pump.fill.mean_flow
    return float(np.mean([duty.flow for duty in pump.duties]))


@pytest.mark.parametrize("name", NAMES)
def test_what_is_wanted_and_what_is_stored(name: str) -> None:
    case, low = cases(name)
    site, told = case.site, told_of(name)
    people = site.site.people
    survival = people * float(site.demand.survival_use) * DAY
    assert told.survival == pytest.approx(survival)
    assert told.basic == pytest.approx(people * 0.020)
    assert told.normal == pytest.approx(float(site.demand.daily_use) * DAY)
    assert told.static_level == pytest.approx(float(low.site.well.static_level))
    assert told.low == site.well.static_level.is_range
    stores: dict[str, float] = {}
    if site.storage_tank is not None:
        kept = float(site.storage_tank.reserve)
        stores["storage tank"] = float(site.storage_tank.volume) * kept
    if low.pressure_tank is not None:
        tank = low.pressure_tank
        stores["pressure tank"] = (tank.stored_at_cut_in + tank.stored_at_cut_out) / 2
    if site.water_heater is not None:
        stores["water heater"] = float(site.water_heater.volume)
    assert {each.name: each.volume for each in told.stores} == pytest.approx(stores)
    for each in told.stores:
        assert each.days == pytest.approx(each.volume / survival)
    tested = site.well.tested_yield
    if told.well_volume is not None and tested is not None:
        assert told.well_volume <= float(tested) * DAY * (1 + 1e-9)


def check_pump(low: Case, told: OutageResult, one: Outage, cell: OutageCell) -> None:
    """Grid and generator by the pump's flow; the rest within it."""
    site = low.site
    pump = next(each for each in low.pumps if each.name == cell.source)
    table = next(each for each in site.pump if each.name == cell.source)
    tested = site.well.tested_yield
    flow = mean_flow(pump)
    given = flow if tested is None else min(flow, float(tested))
    whole = told.whole.cell(cell.source).volume
    if cell.source in one.failed:
        assert (cell.volume, cell.limit) == (0.0, "it has failed")
    elif "pressure switch" in one.failed and site.pressure_switch is not None:
        assert (cell.volume, cell.limit) == (0.0, "its pressure switch has failed")
    elif cell.power == "grid":
        assert cell.volume == pytest.approx(given * DAY)
        assert "grid" not in one.failed
        assert site.power.grid
    elif cell.power == "generator":
        hours = float(site.power.generator_hours)
        assert cell.volume == pytest.approx(min(whole, given * hours))
        assert "generator" not in one.failed
    if site.power.grid and table.supply == "AC" and "grid" not in one.failed and cell.volume > 0:
        assert cell.power == "grid"
    assert cell.volume <= whole * (1 + 1e-9)
    if cell.volume > 0.0:
        in_one = "pressure tank" in one.failed and table.held_pressure is None
        gravity = site.pressure_switch is None and table.held_pressure is None
        assert (cell.pressure == "short cycling") == (in_one and not gravity)
        if cell.pressure == "yes":
            assert not gravity


@pytest.mark.parametrize("name", NAMES)
def test_each_outage_adds_up(name: str) -> None:
    low, told = cases(name)[1], told_of(name)
    site = low.site
    assert told.survival is not None
    stores = {each.name: each.volume for each in told.stores}
    heads = {each.key: each for each in each_outage(name)}
    assert len({each.key for each in told.outages}) == len(told.outages)
    for one in heads.values():
        kinds = [cell.kind for cell in one.cells]
        order = ("pump", "hand pump", "lift", "stored")
        assert kinds == sorted(kinds, key=order.index)
        own = sum(c.volume for c in one.cells if c.kind == "pump" and c.power not in SHARED)
        shared = [c.volume for c in one.cells if c.kind == "pump" and c.power in SHARED]
        pumped = own + max(shared, default=0.0)
        handed = sum(c.volume for c in one.cells if c.kind in ("hand pump", "lift"))
        stored = sum(c.volume for c in one.cells if c.kind == "stored")
        for cell in one.cells:
            if cell.kind == "pump":
                check_pump(low, told, one, cell)
            if cell.kind == "stored":
                left = sum(v for key, v in stores.items() if key not in one.failed)
                assert cell.volume == pytest.approx(left / one.days if one.failed else 0.0)
                if one.failed and left > 0.0:
                    days = f"{left / told.survival:.1f} days"
                    assert cell.limit == f"gone in {days} of survival use"
            if cell.kind == "hand pump":
                hand = low.hand_pump
                assert hand is not None
                if "hand pump" in one.failed:
                    assert (cell.volume, cell.limit) == (0.0, "it has failed")
                elif hand.place("tank") is None:
                    by_day = next(each for each in hand.duties if each.key == "spout")
                    assert cell.volume == pytest.approx(by_day.day_flow * 8 * HOUR, rel=1e-2)
                if cell.volume > 0.0:
                    assert cell.power == "hands"
                    assert cell.effort <= 8 * HOUR
                    # A day's survival water at no less than the pace of a whole day's work.
                    assert cell.effort <= told.survival / (cell.volume / (8 * HOUR)) + 1.0
                    pressed = hand.place("tank") is not None
                    by_hand = pressed and "pressure tank" not in one.failed
                    assert cell.pressure == ("by hand" if by_hand else "no")
        working = [cell for cell in one.cells if cell.volume > 0.0]
        floor = [each.intake_depth for each in low.pumps if each.name not in one.failed]
        well = math.inf if site.well.tested_yield is None else float(site.well.tested_yield) * DAY
        volume = pumped + handed + stored
        if one.failed:
            volume = min(volume, told.whole.volume)
        assert one.volume <= volume * (1 + 1e-9)
        assert one.volume <= well + stored + 1e-9
        if pumped + handed < 0.5 * well and floor and site.well.specific_capacity is not None:
            room = (max(floor) - told.static_level) * float(site.well.specific_capacity) * DAY
            if pumped + handed < 0.9 * room:
                assert one.volume == pytest.approx(volume)
        for share, wanted in ((one.survival, told.survival), (one.basic, told.basic),
                              (one.normal, told.normal)):  # fmt: skip
            assert share == pytest.approx(one.volume / wanted)
        assert one.survival_met == pytest.approx(min(1.0, one.survival or 0.0))
        assert one.basic_met == pytest.approx(min(1.0, one.basic or 0.0))
        assert one.normal_met == pytest.approx(min(1.0, one.normal or 0.0))
        assert one.short == (one.volume < told.survival)
        pressures = [cell.pressure for cell in working]
        assert one.pressure == min(pressures, key=BEST.index, default="no")
        easiest = sorted(working, key=lambda c: (
            min(("pump", "stored", "hand pump", "lift").index(c.kind), 2),
            -c.volume if c.effort is None else c.effort,
        ))  # fmt: skip
        assert one.order == tuple(cell.source for cell in easiest)
        if not working:
            assert (one.volume, one.limit) == (0.0, "no source is left")
        enough = min(pumped, well) + stored >= told.survival
        hands = any(cell.effort for cell in one.cells)
        if enough or not hands:
            assert one.effort is None or not enough
        else:
            assert 0.0 < one.effort <= 8 * HOUR
        assert (one.run is not None) == (one.dark and bool(feeding(site)))


@pytest.mark.parametrize("name", ["ridge_house", "creek_cabin", "straight"])
def test_the_darkest_days_by_the_modules(name: str) -> None:
    case = cases(name)[0]
    site, year = case.site, case.year
    assert year is not None
    groups = feeding(site)
    powers = [best_of(site, year, group) * group.series * group.parallel for group in groups]
    daily = np.sum(powers, axis=0).reshape(365, 24).sum(axis=1) * HOUR
    dark = [one for one in told_of(name).outages if one.dark and one.run is not None]
    assert dark
    for one in dark:
        run = one.run
        sums = [np.take(daily, range(day, day + one.days), mode="wrap").sum()
                for day in range(365)]  # fmt: skip
        assert run.energy * one.days == pytest.approx(min(sums), rel=5e-3)
        assert sums[run.begins] == pytest.approx(min(sums), rel=5e-3)
        assert run.usual == pytest.approx(daily.mean(), rel=5e-3)
        begin = np.datetime64("1990-01-01") + run.begins
        assert str(begin)[5:] == f"{run.month:02d}-{run.day:02d}"


@pytest.mark.parametrize("name", ["ridge_house", "creek_cabin", "south_slope"])
def test_pumps_on_sun_and_battery_by_their_energy(name: str) -> None:
    """Through a whole year all that the modules give lifts water, less the battery's loss, unless
    pump or well are at their most; through dark days the battery's charge comes to it."""
    case, low = cases(name)
    site, year = case.site, case.year
    assert year is not None
    groups = feeding(site)
    powers = [best_of(site, year, group) * group.series * group.parallel for group in groups]
    made = np.sum(powers, axis=0)
    usable = float((site.power.battery_energy or 0.0) * site.power.battery_usable)
    for one in told_of(name).outages:
        for cell in one.cells:
            if cell.kind != "pump" or cell.power not in ("inverter", "battery"):
                continue
            table = next(each for each in site.pump if each.name == cell.source)
            pump = next(each for each in low.pumps if each.name == cell.source)
            ac = table.supply == "AC"
            assert cell.power == ("inverter" if ac else "battery")
            turned = float(site.power.inverter_efficiency) if ac else 1.0
            idle = float(site.power.inverter_idle) * DAY if ac else 0.0
            price = pump.energy_per_volume / turned
            tested = site.well.tested_yield
            flow = mean_flow(pump)
            most = min(flow, math.inf if tested is None else float(tested)) * DAY
            if one.dark:
                there = one.run.energy + usable / one.days
            else:
                there = float(made.sum()) * HOUR / 365
            # An empty battery leaves the idle draw unserved.
            upper = min(most, there / price)
            lower = min(
                most, max(there * float(site.power.battery_efficiency) - idle, 0.0) / price
            )
            whole = told_of(name).whole.cell(cell.source).volume
            assert cell.volume <= min(upper, whole) * 1.01 + 1e-6
            if not one.dark:
                assert cell.volume >= min(0.55 * lower, whole)
            near = cell.volume > 0.99 * most
            assert (cell.limit in ("flow of the pump", "yield of the well")) == near or (
                cell.limit == "far too many starts"
            )


@pytest.mark.parametrize("name", NAMES)
def test_hot_water_by_the_tanks_own_year(name: str) -> None:
    case = cases(name)[0]
    site: Site = case.site
    heater, heated = site.water_heater, case.heated_tank
    for one in told_of(name).outages:
        if heater is None:
            assert one.hot is None
            continue
        hot = one.hot
        assert one.hot_days == hot.days
        on_grid = heater.second_tank is not None or any(e.fed_by == "grid" for e in heater.element)
        if on_grid and site.power.grid and "grid" not in one.failed:
            assert (hot.state, hot.days) == ("hot", float(one.days))
        elif heated is not None and not one.dark and heated.array not in one.failed:
            alone = heated.households[0]
            evenings = min(alone.year.evenings_hot, *alone.other_evenings)
            assert hot.state == "on sunny days"
            assert hot.days == pytest.approx(one.days * evenings / 365)
        elif heated is not None:
            assert hot.state == "cooling"
            tops = [each.top_temperature or 0.0 for each in heated.dark_days]
            cold = [each < heated.tap.temperature for each in (*tops[: one.days], 0.0)]
            assert hot.days == pytest.approx(min(cold.index(True), one.days))
            assert hot.end_temperature == pytest.approx(tops[min(one.days, 7) - 1])


@pytest.mark.parametrize("name", NAMES)
def test_what_fails_in_each_outage(name: str) -> None:
    site, told = cases(name)[0].site, told_of(name)
    by_key = {each.key: each for each in told.outages}
    days = site.limits.outage_days
    for number, table in enumerate(site.pump, 1):
        assert by_key[f"pump_{number}"].failed == (table.name,)
    if "hands" in by_key:
        names = {"grid", "inverter", "battery", "generator", *(each.name for each in site.pump)}
        assert set(by_key["hands"].failed) == names
    for key, one in by_key.items():
        assert one.dark == key.startswith("dark") or one.group == "own"
        if key.startswith("dark_"):
            assert one.days == int(key.removeprefix("dark_"))
            assert "sun" in one.failed
        elif one.group == "own":
            own = site.outage[int(key.removeprefix("own_")) - 1]
            assert (one.name, one.days) == (own.name, own.days)
            assert set(one.failed) == set(own.failed)
        else:
            assert one.days == days
    alone = [link.component for link in told.links]
    assert alone[0] == "nothing"
    assert told.links[0].outage.failed == ()
    for link in told.links[1:]:
        assert link.outage.failed == (link.component,)
        assert link.outage.group == "single"
    for table in site.pump:
        assert table.name in alone
    for there, component in (
        (site.pressure_tank, "pressure tank"), (site.hand_pump, "hand pump"),
        (site.storage_tank, "storage tank"), (site.power.battery_energy, "battery"),
        (site.power.generator_rating, "generator"), (site.pressure_switch, "pressure switch"),
    ):  # fmt: skip
        assert (component in alone) == (there is not None)
    assert told.weak == tuple(link for link in told.links if link.outage.short)
    for link in told.links:
        if link.fix is not None:
            assert link.outage.short
            assert link.fix.volume >= told.survival
    if told.plan:
        assert told.planned >= told.survival


PRICES = {
    "electricity": ("0.31", "kWh"), "propane": ("3.2", "gal"), "pump": ("640", "piece"),
    "drop pipe": ("2.1", "ft"), "well cap": ("38", "piece"),
}  # fmt: skip
BTU = 1055.05585262
"""International table, by NIST SP 811 (from memory)."""

SOLD = {
    ("propane", "gal"): 91_333 * BTU, ("propane", "L"): 91_333 * BTU / 3.785411784,
    ("heating oil", "gal"): 138_690 * BTU, ("heating oil", "L"): 138_690 * BTU / 3.785411784,
    ("natural gas", "therm"): 1e5 * BTU, ("natural gas", "ft3"): 1025 * BTU,
    ("natural gas", "m3"): 1025 * BTU / 0.028316846592, ("firewood", "cord"): 2e7 * BTU,
}  # fmt: skip
"""Heat of fuels as they are sold [J]: Units and Calculators, US Energy Information Administration,
averages of 2012 (read)."""


def priced(name: str, without: tuple[str, ...] = ()) -> Site:
    """A site with prices of some lines and energies."""
    tables = tables_of("south_slope" if name == "straight" else
                                     "ridge_house" if name == "driven" else name)  # fmt: skip
    tables["price"] = [
        {"item": item, "cost": cost, "per": per}
        for item, (cost, per) in PRICES.items() if item not in without
    ]  # fmt: skip
    return site_from(tables).site


@pytest.mark.parametrize("name", [each for each in NAMES if each != "creek_cabin"])
def test_what_a_design_comes_to(name: str) -> None:
    case = cases(name)[0]
    results = case.results(("pump", "tank", "supply", "heat", "outage"))
    site = case.site.model_copy(update={"price": priced(name).price})
    told, parts = comes_to(site, results), study_parts(site, results).parts
    found = told_of(name)
    assert (told.wanted, told.gives) == (found.normal, found.whole.volume)
    of_a_day = [each.daily_energy for each in case.pumps if each.daily_energy is not None]
    assert told.pump_energy == pytest.approx(math.fsum(of_a_day))
    ratios = {link.component: link.outage.survival for link in found.links
              if link.outage.survival is not None}  # fmt: skip
    assert told.survival == min(ratios.values(), default=None)
    assert {*told.fails_in} == {each for each, ratio in ratios.items() if ratio < 1.0}
    years = [each.days_short for each in (*results.supply_years, results.chain_year)
             if each is not None]  # fmt: skip
    assert told.days_short == (max(years) if years else None)
    several = tuple(replace(each, days_short=each.days_short + days) for days in (3, 9, 5)
                    for each in results.supply_years[:1])  # fmt: skip
    worst = comes_to(site, replace(results, supply_years=several)).days_short
    chain_days = [] if results.chain_year is None else [results.chain_year.days_short]
    assert worst == max(
        (each.days_short for each in several), default=max(chain_days, default=None)
    )
    tank = results.heated_tank or results.diverted_tank
    if tank is None:
        assert (told.heat_energy, told.heat_share, told.evenings, told.days) == (None,) * 4
    else:
        alone, whole = tank.households[0], tank.households[-1]
        evenings = [min(each.year.evenings_hot, *each.other_evenings) for each in (alone, whole)]
        assert [told.sun_evenings, told.evenings] == evenings
        assert (told.heat_energy, told.days) == (whole.year.pv_heat, 365)
        other = whole.year.grid_heat + whole.year.pv_heat
        assert told.heat_share == pytest.approx(whole.year.pv_heat / other)
    for cost, states in (
        (told.bought, ("sized", "to change", "to add")),
        (told.whole, ("sized", "to change", "to add", "in the file", "to check")),
    ):
        lines = [each for each in parts if each.state in states]
        money = [line_cost(each) for each in lines]
        assert cost.money == pytest.approx(math.fsum(each for each in money if each is not None))
        assert cost.priced == sum(each is not None for each in money)
        assert [*cost.unpriced] == [
            line.item for line, each in zip(lines, money, strict=True) if each is None
        ]
    check_saved(case, results, told)
    for missing in ("propane", "electricity"):
        site = case.site.model_copy(update={"price": priced(name, (missing,)).price})
        check_saved(case, results, comes_to(site, results), missing)


def line_cost(part: Part) -> float | None:
    """A line by the price of its item; nobody sells part of a foot."""
    if part.item not in PRICES or part.quantity is None:
        return None
    cost, per = PRICES[part.item]
    count = float(part.quantity) / {"piece": 1.0, "ft": 0.3048}[per]
    return float(cost) * math.ceil(round(count, 6))


def check_saved(case: Case, results: Results, told: DesignFigures, missing: str = "") -> None:
    """What the sun spares, at 8 parts of heat in the water of 10 in the fuel."""
    saved, chain = told.saved, results.chain_year
    pumping: dict[str, float] = {}
    if chain is not None:
        on_the_sun = [*chain.filler.split(" and ")] if "grid" not in chain.filler_power else []
        on_the_sun += [chain.booster] if chain.booster_power not in ("grid", None) else []
        pumping = {each.name: 365 * each.daily_energy for each in case.pumps
                   if each.name in on_the_sun and each.daily_energy is not None}  # fmt: skip
    elif results.supply_years:
        best = sorted(results.supply_years, key=lambda each: each.energy_pump)
        best.sort(key=lambda each: each.days_short)
        pumping = {best[0].pump: best[0].energy_pump}
    if told.heat_energy is None and not pumping:
        assert saved is None
        return
    energy = math.fsum(pumping.values()) if pumping else None
    assert saved.pumping == (None if energy is None else pytest.approx(energy))
    assert saved.pump == " and ".join(pumping)
    heat = told.heat_energy
    assert saved.heat == heat
    # Four fifths of a fuel's heat reach the water: common practice, no source.
    burnt = {key: None if heat is None else heat / 0.8 / each for key, each in SOLD.items()}
    assert saved.by == ("electricity" if missing == "propane" else "propane")
    kwh = 0.0 if missing == "electricity" else 0.31 / 3.6e6
    money = {"pumping": energy * kwh} if energy is not None and kwh else {}
    if heat is None:
        assert (saved.fuel, saved.alike) == (None, ())
    else:
        assert {(each.name, each.per): each.amount for each in saved.alike} == pytest.approx(burnt)
        gallons = burnt["propane", "gal"]
        if missing == "propane":
            assert saved.fuel is None
            money |= {"heat": heat * kwh}
        else:
            assert (saved.fuel.name, saved.fuel.per) == ("propane", "gal")
            assert saved.fuel.amount == pytest.approx(gallons)
            money |= {"heat": gallons * 3.2}
    assert saved.money == (pytest.approx(math.fsum(money.values())) if money else None)
    assert saved.of == tuple(sorted(money))
    spared = [energy, heat if missing == "propane" else None]
    known = [each for each in spared if each is not None]
    assert saved.electricity == (pytest.approx(math.fsum(known)) if known else None)


@pytest.mark.parametrize(
    ("filled", "pressed", "named"),
    [("sun", "inverter", ["one", "three"]), ("grid", "inverter", ["three"]), ("grid", "grid", []),
     ("sun", None, ["one"]), ("generator", "grid", ["one"])],
)  # fmt: skip
def test_pumps_of_a_chain_that_live_on_the_sun(
    filled: str, pressed: str | None, named: list[str]
) -> None:
    """Of two that fill and one that presses, at 2, nothing told and 4 kWh a day; a fourth."""
    full, a_day = made(FULL).results, {"one": 2.0, "two": None, "three": 4.0, "four": 8.0}
    pumps = tuple(
        replace(full.pumps[0], name=name, daily_energy=None if each is None else each * 3.6e6)
        for name, each in a_day.items()
    )
    chain = replace(full.chain_year, filler="one and two", filler_power=filled, booster="three",
                    booster_power=pressed)  # fmt: skip
    price = SimpleNamespace(item="electricity", per="kWh", cost=0.31)
    site = case_of("ridge_house").site.model_copy(update={"price": (price,)})
    found = saved(site, Results("", "", "", "US", pumps=pumps, chain_year=chain))
    energy = sum(365 * 3.6e6 * (a_day[name] or 0.0) for name in named)
    told: Any = None if found is None else (found.pump, found.pumping, found.money)
    money = pytest.approx(energy / 3.6e6 * 0.31)
    assert told == ((" and ".join(named), pytest.approx(energy), money) if named else None)
    # Without one the pump that misses fewest days, of two alike that which takes less.
    years = tuple(
        replace(full.supply_years[0], pump=name, days_short=days, energy_pump=joule)
        for name, days, joule in (("one", 3, 1.0), ("two", 2, 9.0), ("three", 2, 7.0))
    )
    other = saved(site, Results("", "", "", "US", pumps=pumps, supply_years=years))
    assert other is not None
    assert (other.pump, other.pumping) == ("three", 7.0)
