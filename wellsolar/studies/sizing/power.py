"""The pump's own power: battery by a day without sun, modules by the worst month and the year, and
how they are strung."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from wellsolar import kinds
from wellsolar.site.schema import Site
from wellsolar.studies.array.cold_voltage import COLD_VOLTAGE
from wellsolar.studies.array.operating_voltage import OPERATING_VOLTAGE
from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.safety.direct_current import ISOLATOR
from wellsolar.studies.sizing.draft import Draft
from wellsolar.studies.sizing.search import Candidate, Choice, smallest
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.studies.supply.chain_year import NIGHT, SHORT
from wellsolar.studies.supply.rule_of_thumb import ARRAY, BATTERY
from wellsolar.studies.supply.system import feeders
from wellsolar.studies.supply.year import DAYS_SHORT
from wellsolar.units import show
from wellsolar.verdicts import set_to

GROUP = "pump array"
"""What a group of modules is called that the file does not name."""

INPUT = "150 V"
"""That a usual charge controller bears, where the file names none: common practice, no source."""

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
    """The draft with battery and modules for the pumps, behind the inverter that runs them.

    Parameters:
        draft: with its pumps
    Returns:
        the draft; as it was where the file does not ask for it, or tells too little of the sun
    """
    if not asks_for_sun(draft) or draft.case.year is None:
        return draft
    number = _number(draft.case.site)
    there = bool(feeders(draft.case.site))
    if not there:
        draft = _with_group(draft, number)
    draft = _battery(draft, lavish=not there, number=number)
    if not there:
        draft = _modules(draft, number)
    return draft


def _number(site: Site) -> int:
    """The place of the group that feeds the pumps, or where it would stand."""
    groups = feeders(site)
    return groups[0][0] + 1 if groups else len(site.array) + 1


def _with_group(draft: Draft, number: int) -> Draft:
    """The draft with a group of modules whose rows are as long as its controller bears."""
    latitude = float(draft.case.site.site.latitude or 0.0)
    path = f"array[{number}]"
    changes = [
        set_to(f"{path}.name", GROUP),
        set_to(f"{path}.feeds", "battery"),
        set_to(f"{path}.series", 1),
        set_to(f"{path}.parallel", 1),
        set_to(f"{path}.tilt", f"{abs(latitude):.0f} deg"),
        set_to(f"{path}.azimuth", "180 deg" if latitude >= 0.0 else "0 deg"),
        set_to(f"{path}.greatest_input_voltage", INPUT),
    ]
    return draft.set(changes, "modules that charge the pump's battery, toward the equator")


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
        Candidate(show(each, kinds.ENERGY, draft.system), (set_to("power.battery_energy", each),))
        for each in sizes("battery", kinds.ENERGY, draft.system)
    ]
    choice = Choice(
        "battery", candidates, OF_THE_YEAR, (BATTERY, DAYS_SHORT, SHORT, NIGHT), rising=True
    )
    found = smallest(case, choice)
    # It was tried on more modules than the site will have.
    own = draft.case.with_site(changed_site(draft.case.site, found.candidate.changes))
    return draft.chosen(replace(found, chosen=replace(found.chosen, case=own)))


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
            f"{series * parallel} modules, {parallel} x {series}",
            (set_to(f"{path}.series", series), set_to(f"{path}.parallel", parallel)),
        )
        for series, parallel in _layouts(longest)
    ]
    choice = Choice(
        "modules", candidates, (*OF_THE_YEAR, "arrays"),
        (ARRAY, DAYS_SHORT, SHORT, OPERATING_VOLTAGE), rising=True,
    )  # fmt: skip
    draft = draft.choose(choice)
    return _isolator(draft, path, site.array[number - 1].name)


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
