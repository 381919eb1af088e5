"""The pump's own power: battery by a day without sun, modules by the worst month and the year, and
how they are strung."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

from wellsolar import kinds
from wellsolar.site.schema import Site
from wellsolar.studies.array.circuit import OPERATING_VOLTAGE
from wellsolar.studies.array.cold_voltage import COLD_VOLTAGE
from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.electric.supplies import has_inverter
from wellsolar.studies.house.chain import fillers, links
from wellsolar.studies.safety.direct_current import ISOLATOR
from wellsolar.studies.sizing import wiring
from wellsolar.studies.sizing.catalogue import counts_money, of_module, price_of
from wellsolar.studies.sizing.draft import AtEnds, Draft, NoDesign
from wellsolar.studies.sizing.heater import wired
from wellsolar.studies.sizing.search import Candidate, Choice, Sized, smallest, trial
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.studies.supply.chain_year import NIGHT, SHORT
from wellsolar.studies.supply.rule_of_thumb import ARRAY, BATTERY
from wellsolar.studies.supply.system import feeders, is_direct
from wellsolar.studies.supply.year import DAYS_SHORT
from wellsolar.units import show
from wellsolar.verdicts import Verdict, say, set_to

GROUP = "pump array"
"""What a group of modules is called that the file does not name."""

BATTERY_PART = "battery"

INPUTS = ("150 V", "250 V", "450 V")
"""That charge controllers bear, the usual first, where the file names none: in longer rows many
modules have no more current than a switch breaks; common practice, no source."""

DRIVE = "450 V"
"""That a drive bears which makes a pump's alternating current of modules: common practice, no
source."""

OF_A_JOULE = 2.0 / 3.6e6
"""Modules that a battery counts like, by its energy, where no prices are: two a kWh, our own. What
is made least are both together."""

LONGEST, MOST = 20, 80
"""Modules in a row, and in all, up to which an array is looked for: our choice."""

OF_THE_YEAR = ("supply", "supply_years", "chain_year")
"""The studies of a pump's power."""


def asks_for_sun(draft: Draft) -> bool:
    """Whether the file wants its pumps on modules: it has them, and either no grid, a battery, a
    group for them, or nothing else to heat with them."""
    site = draft.case.site
    if site.module is None or site.site.latitude is None or not site.pump:
        return False
    feeds = bool(feeders(site)) or not site.power.grid or site.power.battery_energy is not None
    return feeds or not draft.says("water_heater")


def power_of(draft: Draft) -> Draft:
    """The draft with what runs its pumps: modules that drive them straight where a tank above the
    house keeps the water, else an inverter, and a battery with modules where they are wanted.

    Parameters:
        draft: with its pumps
    Returns:
        the draft; without modules where the file does not ask for them, or tells too little of
        the sun
    """
    by_sun = asks_for_sun(draft) and draft.case.year is not None
    if by_sun and draft.says("array") and is_direct(draft.case.site):
        return draft  # Its own modules drive its pumps: no battery stands between.
    straight = _straight(draft) if by_sun else None
    if straight is not None:
        return straight
    draft = wiring.inverter_of(draft, by_sun)
    if not by_sun:
        return draft
    number = _number(draft.case.site)
    there = bool(feeders(draft.case.site)) and draft.says("array")
    if there:
        return _battery(draft, lavish=False, number=number)
    powered = draft
    for bears in INPUTS:
        powered = _on_battery(_with_group(draft, number, bears=bears), number)
        if all(sized.passes for sized in powered.sized if sized.part == "isolator"):
            break
    return powered


def _on_battery(draft: Draft, number: int) -> Draft:
    """The draft with a battery and the modules of a group that charges it."""
    draft = _battery(draft, lavish=True, number=number)
    if counts_money(draft.case.site) and not draft.says("power.battery_energy"):
        site = draft.case.site
        assert site.module is not None  # nobody asks for the sun without one
        own = site.module.on_hand or 0
        return _cheapest(
            draft, number, lambda label, _: price_of(site, "battery", label), of_module(draft), own
        )
    with_modules = _modules(draft, number)
    spare = [
        (verdict.quantity or 0.0) / verdict.limit
        for verdict in with_modules.case.said("supply").verdicts
        if verdict.rule == ARRAY and verdict.limit
    ]
    if draft.says("power.battery_energy") or not spare:
        return with_modules
    least = math.ceil(_count(with_modules, number) / max(1.0, min(spare)) - 1e-9)
    return _cheapest(draft, number, lambda _, size: OF_A_JOULE * size, 1.0, 0, with_modules, least)


def _cheapest(
    draft: Draft,
    number: int,
    of_battery: Callable[[str, float], float | None],
    of_one: float,
    there: int,
    smallest_of_all: Draft | None = None,
    least: int = 0,
) -> Draft:
    """The draft with the battery, of those that carry its pumps, that with its modules costs
    least: a larger one may do with fewer.

    Parameters:
        draft, number: as of `_modules`
        of_battery: what one costs by its label and energy [J], None where nothing tells
        of_one: what a module costs; there: modules on hand
        smallest_of_all: with the smallest battery, where that is made already
        least: modules with fewer of which no battery does
    """
    battery = next(sized for sized in draft.sized if sized.part == BATTERY_PART)
    best: tuple[float, Draft] | None = None
    for size in sizes("battery", kinds.ENERGY, draft.system):
        label = show(size, kinds.ENERGY, draft.system)
        price = of_battery(label, float(size))
        if size < (draft.case.site.power.battery_energy or 0.0) or price is None:
            continue
        if best is not None and price + of_one * max(0, least - there) >= best[0]:
            break
        own = Candidate(label, (set_to("power.battery_energy", size),))
        case = draft.case.with_site(changed_site(draft.case.site, own.changes))
        larger = replace(battery.chosen, candidate=own, case=case)
        largest = smallest_of_all if best is None else None
        largest = largest or _modules(draft.chosen(replace(battery, chosen=larger)), number)
        cost = price + of_one * max(0, _count(largest, number) - there)
        if best is None or cost < best[0]:
            best = cost, largest
    if best is None:
        reason = say("money is to be least, and nothing tells what a battery costs")
        raise NoDesign(reason, ("price",))
    return best[1]


def _count(draft: Draft, number: int) -> int:
    """Modules of a group."""
    group = draft.case.site.array[number - 1]
    return group.series * group.parallel


def _straight(draft: Draft) -> Draft | None:
    """The draft with modules that drive its pumps straight off the sun, without battery and
    inverter; None where a pump presses into the house, the file has its own, or that brings too
    little water through the year."""
    site = draft.case.site
    own = has_inverter(site) or (bool(feeders(site)) and draft.says("array"))
    if own or not fillers(site) or any(not link.into_tank for link in links(site)):
        return None
    number = _number(site)
    drives = [
        set_to(f"pump[{link.number}].start", "variable speed") for link in links(site)
        if link.table.start == "direct" and link.table.supply == "AC"
    ]  # fmt: skip
    reason = "modules drive it by the sun, and the tank keeps the water: no battery, no inverter"
    tried = draft.set(drives, reason, SHORT.key)
    tried = _modules(_with_group(tried, number, "pump"), number)
    passes = all(sized.passes for sized in tried.sized if sized.part == "modules")
    return tried if passes else None


def _number(site: Site) -> int:
    """The place of the group that feeds the pumps, or where it would stand."""
    groups = feeders(site)
    return groups[0][0] + 1 if groups else len(site.array) + 1


def _with_group(draft: Draft, number: int, feeds: str = "battery", bears: str = DRIVE) -> Draft:
    """The draft with a group of modules whose rows are as long as what they feed bears."""
    latitude = float(draft.case.site.site.latitude or 0.0)
    path = f"array[{number}]"
    changes = [
        set_to(f"{path}.name", GROUP),
        set_to(f"{path}.feeds", feeds),
        set_to(f"{path}.series", 1),
        set_to(f"{path}.parallel", 1),
        set_to(f"{path}.tilt", f"{abs(latitude):.0f} deg"),
        set_to(f"{path}.azimuth", "180 deg" if latitude >= 0.0 else "0 deg"),
        set_to(f"{path}.greatest_input_voltage", bears),
    ]
    return draft.set(changes, "modules for the pumps, toward the equator")


def _battery(draft: Draft, lavish: bool, number: int) -> Draft:
    """The draft with the smallest battery that carries its pumps through a day without sun and,
    with modules enough, through the year."""
    if draft.says("power.battery_energy"):
        return draft
    case = draft.case
    if lavish:
        many = [set_to(f"array[{number}].parallel", MOST)]
        case = case.with_site(changed_site(case.site, many))
    candidates = [
        Candidate(show(size, kinds.ENERGY, draft.system), (set_to("power.battery_energy", size),))
        for size in sizes("battery", kinds.ENERGY, draft.system)
    ]
    choice = Choice(
        BATTERY_PART, candidates, OF_THE_YEAR, (BATTERY, DAYS_SHORT, SHORT, NIGHT), rising=True
    )
    sized = smallest(case, choice)
    # It was tried on more modules than the site will have.
    own = draft.case.with_site(changed_site(draft.case.site, sized.candidate.changes))
    return draft.chosen(replace(sized, chosen=replace(sized.chosen, case=own)))


def _modules(draft: Draft, number: int) -> Draft:
    """The draft with the fewest modules that bring the year's water, in the longest rows that the
    cold lets be."""
    path, site = f"array[{number}]", draft.case.site
    rows = Choice(
        "row of modules",
        [Candidate(f"{count}", (set_to(f"{path}.series", count),)) for count in
         range(LONGEST, 0, -1)],
        ("arrays",), (COLD_VOLTAGE,), subjects=[site.array[number - 1].name],
    )  # fmt: skip
    longest = int(smallest(draft.case, rows).candidate.label)
    candidates = [
        Candidate(
            wired(series, parallel),
            (set_to(f"{path}.series", series), set_to(f"{path}.parallel", parallel)),
        )
        for series, parallel in _layouts(longest)
    ]
    choice = Choice(
        "modules", candidates, (*OF_THE_YEAR, "arrays"),
        (ARRAY, DAYS_SHORT, SHORT, OPERATING_VOLTAGE), rising=True,
    )  # fmt: skip
    sized = _sure(draft, choice, smallest(draft.case, choice))
    draft = draft.chosen(_with_spare_row(draft, choice, sized, number))
    return _isolator(draft, path, site.array[number - 1].name)


def _with_spare_row(draft: Draft, choice: Choice, sized: Sized, number: int) -> Sized:
    """The same part with a row more, where it has to do with one dead."""
    if not draft.row_dead or not sized.passes:
        return sized
    path, group = f"array[{number}]", sized.case.site.array[number - 1]
    rows = group.parallel + 1
    label = f"{wired(group.series, rows)}, one row to spare"
    changes = (*sized.candidate.changes, set_to(f"{path}.parallel", rows))
    return replace(sized, chosen=trial(sized.case, choice, Candidate(label, changes)))


def _sure(draft: Draft, choice: Choice, sized: Sized) -> Sized:
    """The same part, or the next larger one that passes at the ends of what is not known too: the
    array's losses are told within bounds."""
    if draft.at_ends is None:
        return sized
    candidates = list(choice.candidates)
    above = candidates[candidates.index(sized.candidate) :]
    judge = partial(_judged, draft.at_ends)
    again = smallest(
        sized.case, replace(choice, candidates=above, studies=(), judge=judge, rising=False)
    )
    return again if again.passes and again.candidate != sized.candidate else sized


def _judged(at_ends: AtEnds, case: Studied) -> list[Verdict]:
    """What the studies of a pump's power say at the worst ends of what is not known."""
    return at_ends(case, (*OF_THE_YEAR, "arrays"))


def _layouts(longest: int) -> Iterator[tuple[int, int]]:
    """Rows as they are strung, from one module up: one row until it is as long as it may be, then
    more rows as long."""
    for series in range(1, longest + 1):
        yield series, 1
    for parallel in range(2, max(3, MOST // longest + 1)):
        yield longest, parallel


def _isolator(draft: Draft, path: str, name: str) -> Draft:
    """The draft with the smallest switch by hand that breaks the modules' direct current."""
    candidates = [
        Candidate(
            f"{show(volts, kinds.VOLTAGE, draft.system)}, "
            f"{show(amps, kinds.CURRENT, draft.system)} DC",
            (
                set_to(f"{path}.isolator_voltage", volts),
                set_to(f"{path}.isolator_current", amps),
                set_to(f"{path}.isolator_poles", 2),
            ),
        )
        for volts in sizes("switch voltage", kinds.VOLTAGE, draft.system)
        for amps in sizes("switch current", kinds.CURRENT, draft.system)
    ]
    choice = Choice("isolator", candidates, ("arrays",), (ISOLATOR,), subjects=[name])
    return draft.choose(choice)
