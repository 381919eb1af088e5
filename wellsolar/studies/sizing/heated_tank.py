"""The heated tank of a design: what the file has of it is kept, and the rest is chosen."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from wellsolar import kinds
from wellsolar.data.hot_water_tables import ElementRating, element_ratings
from wellsolar.physics.types import Progress
from wellsolar.site.loading.stock import Item, Stock
from wellsolar.site.schema import ElementTable, Site
from wellsolar.studies.array.heater_circuit import element_on_array, lacking_for_year
from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.heat.study import study_heated_tank
from wellsolar.studies.safety.scald import MIXING
from wellsolar.studies.sizing.draft import Draft, NoDesign, keys_of
from wellsolar.studies.sizing.heater import (
    Elements,
    FoundHeater,
    HeaterSearch,
    Judged,
    NothingSuits,
)
from wellsolar.studies.sizing.heater_guards import guards_of
from wellsolar.studies.sizing.search import Candidate, Sized, Trial
from wellsolar.units import System, read
from wellsolar.verdicts import Change, say, set_to

NAME = "water heater array"
"""What a group of modules is called that the sizing makes."""

OPENINGS = ("lower", "upper")
"""Of a household tank for elements: common practice, no source."""

MIXED, MIXED_BY = "120 degF", "ASSE 1017"
"""Setting and standard of the valve at the tank: the rule on mixing valves asks no hotter."""

THERMOSTATS = ("150 degF", "160 degF", "170 degF")
"""Settings of a tank that modules heat, the usual first; a hotter one is tried where no number of
modules does what is asked: common practice, no source."""

THICK: dict[System, str] = {"US": "2 AWG", "SI": "35 mm2"}
"""A cable that is chosen only after the modules, until then."""

MODULES, ELEMENT = "tank's modules", "element"
"""What the two parts are called that are chosen together."""


@dataclass(frozen=True)
class _Begun:
    """A tank about to be sized.

    draft: its case has the tank, with an array and an element that stand for those to choose
    made: what both have beside their sizes; element, group: their key paths
    kept: series and rows of an array that the file has; free: openings of the tank
    """

    draft: Draft
    made: tuple[Change, ...]
    element: str
    group: str
    kept: tuple[int, int] | None
    free: int


def heater_of(draft: Draft, stock: Stock, progress: Progress | None = None) -> Draft:
    """The draft with the modules of its heated tank, their element, what stands between and what
    keeps the tank safe.

    Parameters:
        draft: of a site file
        stock: of the user's own
        progress: is told how far the screen is
    Returns:
        the draft; as it was where the file has no water heater
    Raises:
        NoDesign: nothing can be chosen, with the reason
    """
    if not draft.says("water_heater"):
        return draft
    site = draft.case.site
    if site.water_heater is not None and element_on_array(site) is not None:
        return _kept(draft, stock)
    begun = _begun(_with_module(draft, stock))
    found: FoundHeater | None = None
    trial = begun.draft
    for elements in _pools(begun.free, stock):
        for setting in _settings(site):
            trial = begun.draft.set(
                [set_to(f"{begun.element}.thermostat", setting)],
                "the usual setting of a tank that modules heat"
                if setting == _settings(site)[0]
                else "a cooler tank does not do what is asked with any number of modules",
            )
            found = _fewest(trial, begun, elements, progress)
            if found.passes:
                return _guarded(_chosen(trial, begun, found, elements), found.chosen, stock)
    assert found is not None
    return _guarded(_chosen(trial, begun, found, elements), found.chosen, stock)


def _settings(site: Site) -> tuple[str, ...]:
    """The settings to try: none cooler than what is aimed at, where one of them is as warm."""
    aimed = site.aim.clear_day_temperature
    warm = [each for each in THERMOSTATS
            if aimed is None or read(each, kinds.TEMPERATURE) >= aimed]  # fmt: skip
    return tuple(warm) or THERMOSTATS[-1:]


def _kept(draft: Draft, stock: Stock) -> Draft:
    """A tank whose array and element the file has: only what guards it is chosen."""
    case = draft.case
    diverted = case.diverted_heat.power
    tank, _ = study_heated_tank(case.site, case.year, diverted, advise=False)
    return draft if tank is None else guards_of(draft, tank, stock)


def _guarded(draft: Draft, found: Judged, stock: Stock) -> Draft:
    """The draft with what guards a tank, on a cable that keeps what it does."""
    kept = tuple(each.rule for each in found.verdicts if each.status == "pass")
    return guards_of(draft, found.result, stock, kept)


def _with_module(draft: Draft, stock: Stock) -> Draft:
    """The draft with modules, of the stock where the file has none."""
    if draft.case.site.module is not None:
        return draft
    there = stock.of("modules")
    if not there:
        reason = say("no module is told of: give [module] by its label, or a stock of modules")
        raise NoDesign(reason, ("module",))
    item = there[0]
    changes = item.changes("module")
    changes += [set_to("module.on_hand", int(item.on_hand))] if item.on_hand >= 1.0 else []
    why = "on hand" if item.on_hand > 0.0 else "the first that the stock has to buy"
    return draft.set(changes, f"{item.name}, {why}")


def _begun(draft: Draft) -> _Begun:
    """The tank of the file with an array and an element in the place of those to choose."""
    tables = draft.part.file.tables
    heater: Mapping[str, Any] = tables["water_heater"]
    if "volume" not in heater:
        raise NoDesign(say("the tank's volume is not told"), ("water_heater.volume",))
    there = heater.get("element", [])
    taken = [each.get("position") for each in there]
    free = [each for each in OPENINGS if each not in taken]
    if not free:
        reason = say(
            "both openings of the tank hold elements that the file keeps, so that none is left "
            "for the modules: take one out of the file"
        )
        raise NoDesign(reason, (f"water_heater.element[{len(there)}]",))
    element = f"water_heater.element[{len(there) + 1}]"
    group, name, kept, of_group = _group(draft)
    made = (*of_group, set_to(f"{element}.position", free[0]), set_to(f"{element}.fed_by", name))
    rating = element_ratings()[0]
    standing = [
        set_to(f"{element}.rated_power", f"{rating.rated_power:g} W"),
        set_to(f"{element}.rated_voltage", f"{rating.rated_voltage:g} V"),
        *([] if kept is not None else [set_to(f"{group}.series", 1)]),
    ]
    raw = keys_of("water_heater", heater) if draft.case.site.water_heater is None else []
    site = changed_site(draft.case.site, [*raw, *_waiting_group(draft, group), *made, *standing])
    begun = replace(draft, case=draft.case.with_site(site))
    if not draft.says("water_heater.mixing_valve"):
        valve = "water_heater.mixing_valve"
        changes = (set_to(f"{valve}.outlet", MIXED), set_to(f"{valve}.standard", MIXED_BY))
        why = "a tank that modules heat gets hotter than 120 degF"
        begun = begun.set(changes, why, MIXING.key)
        mixing = Trial(Candidate(f"{MIXED}, {MIXED_BY}", changes), begun.case, ())
        part = Sized(MIXING.key, mixing, None, True, 1, least=MIXING.key)
        begun = replace(begun, sized=(*begun.sized, part))
    return _Begun(begun, made, element, group, kept, len(free))


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
    made = (set_to(f"{path}.name", NAME), set_to(f"{path}.feeds", "heater"))
    return path, NAME, None, made


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


def _pools(free: int, stock: Stock) -> Iterator[Elements]:
    """Elements to choose from: those on hand, then all of the stock; without one all that are
    sold."""
    items = stock.of("elements")
    if not items:
        yield Elements(element_ratings(), {}, free)
        return
    for some in ([each for each in items if each.on_hand > 0.0], list(items)):
        plates = {_plate_of(each): each for each in reversed(some)}
        if plates:
            ratings = tuple(ElementRating(*plate, "of the stock") for plate in plates)
            yield Elements(ratings, plates, free, len(some) < len(items))


def _plate_of(item: Item) -> tuple[float, float]:
    """Rated voltage [V] and power [W] of an element of the stock."""
    table = ElementTable.model_validate({"position": "lower", "fed_by": "grid", **item.values})
    return float(table.rated_voltage), float(table.rated_power)


def _fewest(
    trial: Draft, begun: _Begun, elements: Elements, progress: Progress | None
) -> FoundHeater:
    """The fewest modules with such elements."""
    case, module = trial.case, trial.case.site.module
    lacking = lacking_for_year(case.site, case.year)
    if lacking:
        raise NoDesign(say("the sun at the site is not told"), tuple(lacking[:2]))
    assert module is not None
    elsewhere = sum(each.series * each.parallel for each in case.site.array)
    own = 1 if begun.kept is None else begun.kept[0] * begun.kept[1]
    left = None if module.on_hand is None else module.on_hand - (elsewhere - own)
    search = HeaterSearch(
        case.site, case.year, case.diverted_heat.power, elements, begun.kept, left, progress
    )
    try:
        return search.fewest()
    except NothingSuits as error:
        counted = "; ".join(f"{rule}: {count}" for rule, count in error.shut_out.items())
        reason = say("no array on any element suits ({counted})", counted=counted or "none there")
        raise NoDesign(reason, ("module",)) from None


def _chosen(draft: Draft, begun: _Begun, found: FoundHeater, elements: Elements) -> Draft:
    """The draft with the design that was found: its modules, and the element that on them does
    most of what is asked."""

    def part(name: str, own: tuple[str, ...], label: Callable[[Judged], str]) -> Sized:
        def trial(judged: Judged) -> Trial:
            changes = (*begun.made, *judged.changes)
            said = tuple(each for each in changes
                         if each.path.startswith(own) and not draft.says(each.path))  # fmt: skip
            case = draft.case.with_site(judged.site)
            return Trial(Candidate(label(judged), said), case, judged.verdicts)

        smaller = None if found.smaller is None else trial(found.smaller)
        chosen, shut_out = trial(found.chosen), dict(found.shut_out)
        return Sized(name, chosen, smaller, found.passes, found.looked_at, shut_out)

    def element(judged: Judged) -> str:
        choice = judged.design.choice
        return choice.element.text + elements.called(choice.element)

    def modules(judged: Judged) -> str:
        return judged.design.wired

    draft = draft.chosen(part(MODULES, (f"{begun.group}.",), modules))
    return draft.chosen(part(ELEMENT, (f"{begun.element}.",), element))
