"""The heated tank of a design: what the file has of it is kept, and the rest is chosen."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from wellsolar import kinds
from wellsolar.data.hot_water_tables import ElementRating, element_ratings
from wellsolar.results.sizing import HeatWay, MissedAim
from wellsolar.site.loading.stock import Item, Stock
from wellsolar.site.schema import ElementTable, Site
from wellsolar.studies.array.heater_circuit import element_on_array, lacking_for_year
from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.heat.stored import STORED
from wellsolar.studies.heat.study import study_heated_tank
from wellsolar.studies.heat.tank import auxiliary_heat_of
from wellsolar.studies.heat.verdicts import BY_SUN, EVENING, REACHES, SHARE
from wellsolar.studies.match.designs import DesignElement, sold_elements
from wellsolar.studies.safety.scald import MIXING
from wellsolar.studies.sizing.catalogue import counts_money, of_module, price_of, with_module
from wellsolar.studies.sizing.draft import Draft, NoDesign, keys_of
from wellsolar.studies.sizing.heater import (
    Elements,
    FoundHeater,
    HeaterSearch,
    Judged,
    NothingSuits,
)
from wellsolar.studies.sizing.heater_guards import guards_of
from wellsolar.studies.sizing.search import Candidate, Choice, Sized, Trial
from wellsolar.studies.sizing.surplus import OnSurplus, on_surplus
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.studies.supply.diversion import element_on_inverter
from wellsolar.units import Quantity, System, in_file, read
from wellsolar.verdicts import Change, Sentence, Verdict, say, set_to

NAME = "water heater array"
"""What a group of modules is called that the sizing makes."""

OPENINGS = ("lower", "upper")
"""Of a household tank for elements: common practice, no source."""

MIXED: dict[System, str] = {"US": "120 degF", "SI": "48 degC"}
MIXED_BY = "ASSE 1017"
"""Setting and standard of the valve at the tank: the rule on mixing valves asks no hotter."""

THERMOSTATS: dict[System, tuple[str, ...]] = {
    "US": ("150 degF", "160 degF", "170 degF"), "SI": ("65 degC", "70 degC", "75 degC"),
}  # fmt: skip
"""Settings of a tank that modules heat, the usual first; a hotter one is tried where no number of
modules does what is asked: common practice, no source."""

HOTTER_BRINGS = 0.1
"""Part of what is asked that a hotter setting may bring: where more lacks it is not tried. On the
tests' sites 10 K brought 2 to 4 evenings of 292."""

AIMS = {EVENING: "aim.hot_evenings", BY_SUN: "aim.sun_evenings", SHARE: "aim.sun_share",
        REACHES: "aim.clear_day_temperature"}  # fmt: skip
"""Rules by which aims of a tank are judged, and the key of each."""

YEAR = 366
"""Days of the longest year."""

THICK: dict[System, str] = {"US": "2 AWG", "SI": "35 mm2"}
"""A cable that is chosen only after the modules, until then."""

MODULES, ELEMENT, TANK, MODULE = "tank's modules", "element", "hot water tank", "module"
"""What the parts are called, of which the first two are chosen together."""

OF_OPENINGS = "openings of the tank"
"""What refuses a tank in which no opening is left for the modules' element."""


@dataclass(frozen=True)
class _Begun:
    """A tank about to be sized.

    draft: its case has the tank, with an array and an element that stand for those to choose
    made: what both have beside their sizes; element, group: their key paths
    kept: series and rows of an array that the file has
    free: openings of the tank that hold no element, each with its thread, None where nobody tells
    """

    draft: Draft
    made: tuple[Change, ...]
    element: str
    group: str
    kept: tuple[int, int] | None
    free: Mapping[str, float | None]


def heater_of(draft: Draft) -> Draft:
    """The draft with the modules of its heated tank, their element, what stands between and what
    keeps the tank safe.

    Parameters:
        draft: of a site file, with the user's stock
    Returns:
        the draft; as it was where the file has no water heater
    Raises:
        NoDesign: nothing can be chosen, with the reason
    """
    if not draft.says("water_heater"):
        return draft
    site = draft.case.site
    if site.water_heater is not None and element_on_array(site) is not None:
        return _kept(draft)
    refused: dict[str, str] = {}
    able: list[_Heated] = []
    none: NoDesign | None = None
    for tried in _with_modules(draft):
        try:
            heated = _heated(tried)
        except NoDesign as error:
            none = none or error
            heated = None
        if heated is not None and not heated.short:
            return heated.draft.refusing(MODULE, refused)
        if tried.module is not None:
            refused[tried.module.called()] = (
                heated.short if heated is not None else "no design with it"
            )
        able += [] if heated is None else [heated]
    if not able:
        assert none is not None
        raise none
    return min(able, key=lambda trial: trial.lacks).draft.refusing(MODULE, refused)


class _Heated(NamedTuple):
    """A tank that was sized. short: key of the first rule of what is asked that does not pass, or
    empty; lacks: as of `_lacks`"""

    draft: Draft
    short: str
    lacks: float


def _heated(draft: Draft) -> _Heated:
    """The tank on modules of a kind, or on a battery's surplus."""
    begun = _begun(draft)
    surplus = _on_surplus(begun)
    try:
        trial, elements, heater = _direct(begun)
    except NoDesign:
        if surplus is None or not surplus.way.passes:
            raise
        return _Heated(_by_surplus(surplus, ()), "", 0.0)
    of_modules = _way_of(heater.chosen, heater.passes)
    if surplus is not None and surplus.way.passes:
        price = _price(begun.draft, elements, None)
        if not heater.passes or price is None or _costs_less(begun, surplus, heater, price):
            return _Heated(_by_surplus(surplus, (of_modules,)), "", 0.0)
    heated = _guarded(_chosen(trial, begun, heater, elements), heater.chosen)
    if draft.row_dead:
        heated = replace(heated, dead=(*heated.dead, *_with_one_dead(heated, heater)))
    if surplus is not None:
        heated = replace(heated, ways=(replace(of_modules, taken=True), surplus.way))
    if heater.passes:
        return _Heated(heated, "", 0.0)
    missed = replace(heated, missed=tuple(_missed(heated, heater)))
    return _Heated(missed, _first_short(heater.chosen), _lacks(heater))


def _first_short(judged: Judged) -> str:
    return next((verdict.rule.key for verdict in judged.verdicts
                 if verdict.status in ("fail", "caution")), "")  # fmt: skip


def _direct(begun: _Begun) -> tuple[Draft, Elements, FoundHeater]:
    """The fewest modules wired to an element: the draft with the thermostat's setting, the
    elements that were chosen from, and what was found."""
    site = begun.draft.case.site
    far: list[tuple[Draft, Elements, FoundHeater]] = []
    refused: dict[str, str] = {}
    for elements in _pools(begun.free, begun.draft.stock, begun.draft.system):
        for setting in _settings(site):
            trial = begun.draft.set(
                [set_to(f"{begun.element}.thermostat", setting)],
                "the usual setting of a tank that modules heat"
                if setting == _settings(site)[0]
                else "a cooler tank does not do what is asked with any number of modules",
            )
            heater = _fewest(trial, begun, elements)
            if heater.passes:
                # Of one on hand more may be bought.
                own = elements.called(heater.chosen.design.choice.element)
                others = {name: rule for name, rule in refused.items()
                          if name.removesuffix(", on hand") not in own}  # fmt: skip
                return trial.refusing(ELEMENT, others), elements, heater
            far.append((trial, elements, heater))
            if _lacks(heater) > HOTTER_BRINGS:
                break
        if elements.on_hand:
            short = _first_short(far[-1][2].chosen)
            refused |= {item.called(): short for item in elements.items.values()}
    return min(far, key=lambda trial: _lacks(trial[2]))


def _on_surplus(begun: _Begun) -> OnSurplus | None:
    """The battery's surplus in place of modules for the tank; None where the file has such
    modules, or no battery's surplus is known."""
    if begun.kept is not None or begun.draft.says(begun.group):
        return None
    site = begun.draft.case.site
    bare = site.model_copy(update={"array": site.array[:-1]})
    changes_made = (
        set_to(f"{begun.element}.position", next(iter(begun.free))),
        set_to(f"{begun.element}.thermostat", _settings(site)[0]),
    )
    thread = next(iter(begun.free.values()))
    return on_surplus(begun.draft, bare, begun.element, changes_made, thread)


def _by_surplus(surplus: OnSurplus, others: tuple[HeatWay, ...]) -> Draft:
    """The draft with a tank on the battery's surplus."""
    draft = surplus.draft
    tank = draft.case.diverted_tank
    assert tank is not None
    return replace(guards_of(draft, tank), ways=(replace(surplus.way, taken=True), *others))


def _way_of(judged: Judged, passes: bool) -> HeatWay:
    """What modules of the tank's own give and need."""
    year = judged.result.households[0] if judged.result.households else None
    return HeatWay(
        label=judged.design.label,
        modules=judged.design.modules,
        share=judged.result.annual_share,
        evenings=None if year is None else year.fewest_evenings,
        heat=None if year is None else year.year.pv_heat,
        offered=None,
        needs=say("their own cable, contacts for direct current and guards"),
        passes=passes,
    )


def _costs_less(
    begun: _Begun,
    surplus: OnSurplus,
    heater: FoundHeater,
    price: Callable[[int, DesignElement], float],
) -> bool:
    """Whether an element on the inverter and its switch cost less than modules and their element;
    what has no price costs nothing."""
    site = begun.draft.case.site
    own = price_of(site, "heating element", surplus.way.label) or 0.0
    own += price_of(site, "relay or controller") or 0.0
    design = heater.chosen.design
    return own <= price(design.modules, design.choice.element)


def _lacks(heater: FoundHeater) -> float:
    """The greatest part of what is asked that is lacking where most of it is brought."""
    most = heater.most or heater.chosen
    return max((_lacking(verdict) for verdict in most.verdicts), default=0.0)


def _lacking(verdict: Verdict) -> float:
    """The part of what a verdict asks that is lacking; nothing where it passes."""
    if verdict.status in ("pass", "unknown") or verdict.quantity is None or not verdict.limit:
        return 0.0
    return 1.0 - verdict.quantity / verdict.limit


def _missed(draft: Draft, heater: FoundHeater) -> Iterator[MissedAim]:
    """The aims that no number of modules reaches, each with the one that is reached."""
    most = heater.most or heater.chosen
    for verdict in heater.missed:
        key = AIMS.get(verdict.rule)
        if key is None or verdict.quantity is None:
            continue
        furthest = next(other for other in most.verdicts if other.rule == verdict.rule)
        reason = say(
            "{aim} aimed at; {modules} reach {reached}, the most that pays, and {most} {far}",
            aim=verdict.limit or "more",
            modules=heater.chosen.design.wired,
            reached=verdict.quantity,
            most=most.design.wired,
            far=furthest.quantity or "no more",
        )
        within = set_to(key, _within(verdict, draft.system))
        yield MissedAim(verdict.rule.key, reason, within, draft.says(key))


def _within(verdict: Verdict, system: System) -> str:
    """An aim that a design reaches, rounded to the safe side."""
    reached = verdict.quantity
    assert reached is not None
    if reached.kind is kinds.DAYS:
        return f"{math.floor(100.0 * reached / YEAR)} %"
    if reached.kind is kinds.FRACTION:
        return f"{math.floor(100.0 * reached)} %"
    unit = "degF" if system == "US" else "degC"
    return f"{math.floor(reached.to(unit))} {unit}"


def _settings(site: Site) -> tuple[str, ...]:
    """The settings to try: none cooler than what is aimed at, where one of them is as warm."""
    aimed = site.aim.clear_day_temperature
    sold = THERMOSTATS[site.site.print_units]
    warm = [thermostat for thermostat in sold
            if aimed is None or read(thermostat, kinds.TEMPERATURE) >= aimed]  # fmt: skip
    return tuple(warm) or sold[-1:]


def _kept(draft: Draft) -> Draft:
    """A tank whose array and element the file has: only what guards it is chosen."""
    case = draft.case
    diverted = case.diverted_heat.power
    tank, _ = study_heated_tank(case.site, case.year, diverted, advise=False)
    return draft if tank is None else guards_of(draft, tank)


def _guarded(draft: Draft, judged: Judged) -> Draft:
    """The draft with what guards a tank, on a cable that keeps what it does."""
    kept = tuple(verdict.rule for verdict in judged.verdicts if verdict.status == "pass")
    # Guards bear all rows, whether or not one of them may be dead.
    result, _ = study_heated_tank(judged.site, advise=False) if judged.spare else (None, None)
    return guards_of(draft, result or judged.result, kept)


def _with_one_dead(draft: Draft, found: FoundHeater) -> Iterator[Sentence]:
    """What is left of a dark year's hot water where a row of modules or an element is dead."""
    chosen, heater = found.chosen, draft.case.site.water_heater
    assert heater is not None
    year = chosen.result.households[0] if chosen.result.households else None
    if chosen.spare and year is not None:
        yield say(
            "one row of the tank's modules dead in a dark year: hot in the evening on {evenings}",
            evenings=Quantity(year.fewest_evenings, kinds.DAYS),
        )
    elif not chosen.spare:
        yield say(
            "one row of the tank's modules dead: no array that was looked at does what is asked"
        )
    element = chosen.design.choice.element
    if element.count > 1 and element.joined == "in parallel":
        yield say("one of its elements dead: the other heats alone, on the same modules")
        return
    helped = auxiliary_heat_of(heater)
    rest = "keep one on the shelf, nothing else heats the tank"
    if helped.grid is not None:
        rest = "its element on the grid heats the tank until then"
    elif helped.second is not None:
        rest = "the second tank heats until then"
    elif element_on_inverter(draft.case.site) is not None:
        rest = "the element on the inverter heats until then"
    both = (
        "one of both elements dead, as they stand in series"
        if element.count > 1
        else ("the element dead")
    )
    yield say(f"{both}: no heat by modules until it is changed; {rest}")


def _with_modules(draft: Draft) -> Iterator[Draft]:
    """The draft with modules: its own, else each of the stock in turn."""
    if draft.case.site.module is not None:
        yield draft
        return
    there = draft.stock.of("modules")
    if not there:
        reason = say("no module is told of: give [module] by its label, or a stock of modules")
        raise NoDesign(reason, ("module",))
    yield from (with_module(draft, item) for item in there)


def _begun(draft: Draft) -> _Begun:
    """The tank of the file with an array and an element in the place of those to choose."""
    tables = draft.part.file.tables
    heater: Mapping[str, Any] = tables["water_heater"]
    there = heater.get("element", [])
    taken = [element.get("position") for element in there]
    free: dict[str, float | None] = {opening: None for opening in OPENINGS if opening not in taken}
    first = next(iter(free), None)
    if first is None:
        reason = say(
            "both openings of the tank hold elements that the file keeps, so that none is left "
            "for the modules: take one out of the file"
        )
        raise NoDesign(reason, (f"water_heater.element[{len(there)}]",))
    element = f"water_heater.element[{len(there) + 1}]"
    group, name, kept, of_group = _group(draft)
    set_keys = (*of_group, set_to(f"{element}.position", first), set_to(f"{element}.fed_by", name))
    rating = element_ratings()[0]
    standing = [
        set_to(f"{element}.rated_power", f"{rating.rated_power:g} W"),
        set_to(f"{element}.rated_voltage", f"{rating.rated_voltage:g} V"),
        *([] if kept is not None else [set_to(f"{group}.series", 1)]),
        *([] if "volume" in heater else [set_to("water_heater.volume", _volumes(draft)[-1])]),
    ]
    raw = keys_of("water_heater", heater) if draft.case.site.water_heater is None else []
    site = changed_site(
        draft.case.site, [*raw, *_waiting_group(draft, group), *set_keys, *standing]
    )
    begun = replace(draft, case=draft.case.with_site(site))
    if "volume" not in heater:
        begun, free = _tank_of(begun, list(free))
    if not draft.says("water_heater.mixing_valve"):
        valve = "water_heater.mixing_valve"
        mixed = MIXED[draft.system]
        changes = (set_to(f"{valve}.outlet", mixed), set_to(f"{valve}.standard", MIXED_BY))
        why = "a tank that modules heat gets hotter than water may leave a tap"
        begun = begun.set(changes, why, MIXING.key)
        mixing = Trial(Candidate(f"{mixed}, {MIXED_BY}", changes), begun.case, ())
        part = Sized(MIXING.key, mixing, None, True, 1, least=MIXING.key)
        begun = replace(begun, sized=(*begun.sized, part))
    return _Begun(begun, set_keys, element, group, kept, free)


def _volumes(draft: Draft) -> list[str]:
    """The tanks that are sold, from small to large, as a site file writes them."""
    return [in_file(size) for size in sizes("water heater", kinds.VOLUME, draft.system)]


def _tank_of(draft: Draft, free: Sequence[str]) -> tuple[Draft, dict[str, float | None]]:
    """The draft with a tank that holds the household's hot water, of the stock before what is
    sold, and what its openings that hold no element take.

    Parameters:
        draft: with a tank of any size, an array and an element that stand for those to choose
        free: openings that hold no element of the file
    Returns:
        the draft, and the thread of each free opening, None where nobody tells it
    """
    listed, refused, threads = [], {}, {}
    for item in draft.stock.of("tanks", "hot water"):
        held = dict(zip(OPENINGS, item.openings, strict=False)) if item.openings else None
        left = {key: None if held is None else float(held[key]) for key in free
                if held is None or key in held}  # fmt: skip
        if not left or next(iter(left)) != free[0]:
            refused[item.called()] = OF_OPENINGS
            continue
        threads[item.called()] = left
        listed.append(Candidate(item.called(), tuple(item.changes("water_heater"))))
    sold = [
        Candidate(volume, (set_to("water_heater.volume", volume),)) for volume in _volumes(draft)
    ]
    choice = Choice(TANK, sold, (), (STORED,), judge=_without_year)
    draft = draft.refusing(TANK, refused).choose(choice, listed)
    chosen = next(sized.candidate.label for sized in draft.sized if sized.part == TANK)
    return draft, threads.get(chosen, dict.fromkeys(free))


def _without_year(case: Studied) -> Sequence[Verdict]:
    """What is said of a heated tank before anybody runs its year."""
    return study_heated_tank(case.site, advise=False)[1].verdicts


def _group(draft: Draft) -> tuple[str, str, tuple[int, int] | None, tuple[Change, ...]]:
    """Key path and name of the modules for the tank, their wiring where the file has it, and what
    makes their table."""
    arrays = draft.part.file.tables.get("array", [])
    waiting = draft.part.waiting.get("array", [])
    there = len(draft.case.site.array)
    for place, raw in enumerate(arrays, 1):
        if raw.get("feeds") != "heater":
            continue
        path, name = f"array[{place}]", raw.get("name", NAME)
        if raw not in waiting:
            return path, name, (int(raw["series"]), int(raw.get("parallel", 1))), ()
        # Its place in the file is that on the site only where it is the last of both.
        if place == len(arrays) == there + 1 and "series" not in raw:
            named = () if "name" in raw else (set_to(f"{path}.name", name),)
            return path, name, None, named
    if waiting:
        reason = say(
            "a group of modules in the file lacks keys: give its name and modules in series"
        )
        raise NoDesign(reason, ("array",))
    path = f"array[{there + 1}]"
    set_keys = (set_to(f"{path}.name", NAME), set_to(f"{path}.feeds", "heater"))
    return path, NAME, None, set_keys


def _waiting_group(draft: Draft, path: str) -> list[Change]:
    """What the file says of a group that waits for its number of modules, with a gauge for a cable
    of which only the run is told."""
    changes: list[Change] = []
    for raw in draft.part.waiting.get("array", []):
        changes += keys_of(path, raw)
        if "cable" in raw and "gauge" not in raw["cable"]:
            # Until it is chosen the cable is as thick as any, so that it binds nothing.
            changes.append(set_to(f"{path}.cable.gauge", THICK[draft.system]))
    return changes


def _pools(
    free: Mapping[str, float | None], stock: Stock, system: System = "US"
) -> Iterator[Elements]:
    """Elements to choose from: those on hand, then all of the stock; without one all that are
    sold."""
    items = stock.of("elements")
    if not items:
        yield Elements(sold_elements(system), {}, free)
        return
    for some in ([item for item in items if item.on_hand > 0.0], list(items)):
        plates = {_plate_of(item): item for item in reversed(some)}
        if plates:
            ratings = tuple(ElementRating(*plate, "of the stock") for plate in plates)
            yield Elements(ratings, plates, free, len(some) < len(items))


def _plate_of(item: Item) -> tuple[float, float]:
    """Rated voltage [V] and power [W] of an element of the stock."""
    table = ElementTable.model_validate({"position": "lower", "fed_by": "grid", **item.values})
    return float(table.rated_voltage), float(table.rated_power)


def _fewest(trial: Draft, begun: _Begun, elements: Elements) -> FoundHeater:
    """The fewest modules with such elements."""
    case, module = trial.case, trial.case.site.module
    lacking = lacking_for_year(case.site, case.year)
    if lacking:
        raise NoDesign(say("the sun at the site is not told"), tuple(lacking[:2]))
    assert module is not None
    elsewhere = sum(array.series * array.parallel for array in case.site.array)
    own = 1 if begun.kept is None else begun.kept[0] * begun.kept[1]
    left = None if module.on_hand is None else module.on_hand - (elsewhere - own)
    search = HeaterSearch(
        case.site,
        case.year,
        case.diverted_heat.power,
        elements,
        begun.kept,
        left,
        trial.progress,
        _price(trial, elements, left),
    )
    try:
        if trial.row_dead and begun.kept is None:
            with suppress(NothingSuits):
                heater = replace(search, spare=True, fine_runs={}).fewest()
                if heater.passes:
                    return heater
        return search.fewest()
    except NothingSuits as error:
        counted = "; ".join(f"{rule}: {count}" for rule, count in error.shut_out.items())
        reason = say("no array on any element suits ({counted})", counted=counted or "none there")
        raise NoDesign(reason, ("module",)) from None


def _price(
    draft: Draft, elements: Elements, there: int | None
) -> Callable[[int, DesignElement], float] | None:
    """What so many modules and an element cost, without those that are there; None where money is
    not what is made least."""
    if not counts_money(draft.case.site):
        return None
    of_one, on_hand = of_module(draft), there or 0

    def price(modules: int, element: DesignElement) -> float:
        item = elements.items.get((element.voltage, element.power))
        own = price_of(draft.case.site, "heating element", element.text, item) or 0.0
        held = 0.0 if item is None else item.on_hand
        return max(0, modules - on_hand) * of_one + max(0.0, element.count - held) * own

    return price


def _chosen(draft: Draft, begun: _Begun, heater: FoundHeater, elements: Elements) -> Draft:
    """The draft with the design that was found: its modules, and the element that on them does
    most of what is asked."""

    def part(name: str, own: tuple[str, ...], label: Callable[[Judged], str]) -> Sized:
        def trial(judged: Judged) -> Trial:
            changes = (*begun.made, *judged.changes)
            said = tuple(
                change
                for change in changes
                if change.path.startswith(own) and not draft.says(change.path)
            )
            case = draft.case.with_site(judged.site)
            return Trial(Candidate(label(judged), said), case, judged.verdicts)

        smaller = None if heater.smaller is None else trial(heater.smaller)
        chosen, shut_out = trial(heater.chosen), dict(heater.shut_out)
        return Sized(name, chosen, smaller, heater.passes, heater.looked_at, shut_out)

    def element(judged: Judged) -> str:
        choice = judged.design.choice.element
        # Several alike take an opening each; which, is told, as one table stands for all.
        several = f", {' and '.join([*elements.free][: choice.count])}" if choice.count > 1 else ""
        return f"{choice.text}{several}{elements.called(choice)}"

    def modules(judged: Judged) -> str:
        return judged.design.wired + (", one row to spare" if judged.spare else "")

    draft = draft.chosen(part(MODULES, (f"{begun.group}.",), modules))
    return draft.chosen(part(ELEMENT, (f"{begun.element}.",), element))
