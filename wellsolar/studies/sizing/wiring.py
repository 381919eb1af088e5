"""A pump's circuit: cable, how it is started, what guards motor and people, and its inverter."""

from __future__ import annotations

from dataclasses import replace

from wellsolar import kinds
from wellsolar.data import wiring
from wellsolar.site.schema import Site
from wellsolar.studies.electric.cable import AMPACITY_MOTOR, DROP
from wellsolar.studies.electric.motor_guards import BREAKER, guarded
from wellsolar.studies.electric.starting import DIP, RATING, SURGE
from wellsolar.studies.electric.supplies import has_inverter
from wellsolar.studies.pump.study import SHORT_RUN
from wellsolar.studies.sizing.draft import Draft
from wellsolar.studies.sizing.pump import depth_text, on_site
from wellsolar.studies.sizing.search import Candidate, Choice, Sized, Trial, smallest
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.units import show
from wellsolar.verdicts import set_to

GENTLEST = "power at start"
"""What an aim may have made least, and then chooses the start."""

SURGE_OF_RATING = 2.0
"""Power that an inverter gives for the seconds of a start over its rating: common practice, no
source."""

STARTS = ("direct", "soft", "variable speed")
"""How a motor is started, the plainest first."""


def cable_of(draft: Draft, number: int) -> Draft:
    """The draft with the thinnest cable that carries a pump and starts it, and with the plainest
    start for which there is one.

    Parameters:
        draft: with the pump and its motor
        number: its place, from 1
    Returns:
        the draft
    """
    path = f"pump[{number}]"
    if draft.says(f"{path}.cable") or draft.case.site.pump[number - 1].supply == "DC":
        return draft
    starts = ("",) if draft.says(f"{path}.start") else STARTS
    if len(starts) > 1 and draft.case.site.aim.make_least == GENTLEST:
        starts = STARTS[::-1]
    laid: tuple[Draft, Sized] | None = None
    for start in starts:
        tried = draft if not start or start == "direct" else _started(draft, number, start)
        sized = smallest(tried.case, tried.in_any_season(_cables(tried.case.site, number)))
        if laid is None or sized.passes:
            laid = tried, sized
        if sized.passes:
            break
    assert laid is not None
    return laid[0].chosen(laid[1])


def _started(
    draft: Draft, number: int, start: str, reason: str = "no cable that is sold starts it plainly"
) -> Draft:
    """The draft with a starter or a drive, as a part of its own."""
    table, rule = draft.case.site.pump[number - 1], DIP.key
    if draft.case.site.aim.make_least == GENTLEST:
        reason, rule = "power at start is to be least", GENTLEST
    changes = (set_to(f"pump[{number}].start", start),)
    draft = draft.set(changes, reason, DIP.key)
    begun = Trial(Candidate(f"{start} start", changes), draft.case, ())
    part = Sized(f"start, {table.name}", begun, None, True, 1, least=rule)
    return replace(draft, sized=(*draft.sized, part))


def _cables(site: Site, number: int) -> Choice:
    system, path = site.site.print_units, f"pump[{number}].cable"
    table = site.pump[number - 1]
    run = max(0.0, on_site(site, number).intake_depth) + (site.piping.lateral.length or 0.0)
    if table.draws != "well":
        run = SHORT_RUN
    length = depth_text(run, system)
    gauges = [wire.gauge for wire in (wiring.wires() if system == "US" else wiring.metric_wires())]
    candidates = [
        Candidate(
            f"{gauge}, {length}",
            (set_to(f"{path}.gauge", gauge), set_to(f"{path}.length", length)),
        )
        for gauge in gauges
    ]
    rules = (AMPACITY_MOTOR, DROP, DIP)
    part, names = f"cable, {table.name}", [table.name]
    return Choice(part, candidates, ("pumps",), rules, subjects=names, rising=True)


def breaker_of(draft: Draft, number: int) -> Draft:
    """The draft with the smallest breaker that holds a pump's motor.

    Parameters:
        draft: with the pump, its motor and its cable
        number: its place, from 1
    Returns:
        the draft; as it was where a drive's sheet tells the breaker
    """
    table, path = draft.case.site.pump[number - 1], f"pump[{number}].breaker"
    if draft.says(path) or table.supply == "DC" or table.start == "variable speed":
        return draft
    candidates = [
        Candidate(f"{rating:g} A", (set_to(path, f"{rating:g} A"),))
        for rating in wiring.overcurrent_sizes(draft.system == "SI")
    ]
    choice = Choice(
        f"breaker, {table.name}", candidates, ("pumps",), (BREAKER,), subjects=[table.name]
    )
    return draft.choose(choice)


def guards_of(draft: Draft, number: int) -> Draft:
    """The draft with what stops an overloaded motor and a fault that could hurt somebody.

    Parameters:
        draft: with the pump
        number: its place, from 1
    Returns:
        the draft: both are bought whatever the site, so that no search chooses them
    """
    table, path = draft.case.site.pump[number - 1], f"pump[{number}]"
    if table.supply == "AC" and table.overload is None:
        reason = "a motor in a well burns unseen: control box, drive or starter made for it"
        draft = draft.set([set_to(f"{path}.overload", "in its box")], reason, "motor overload")
    if guarded(table) and table.ground_fault_breaker is None:
        reason = "a pump in a well may count as an outlet outdoors"
        draft = draft.set(
            [set_to(f"{path}.ground_fault_breaker", True)], reason, "ground-fault breaker"
        )
    return draft


def inverter_of(draft: Draft, by_sun: bool) -> Draft:
    """The draft with an inverter that runs and starts every pump on alternating current: where
    modules are to run them, the file speaks of one or of a battery, the house has no grid, or a
    backup pump is wanted at a place whose sun is told; on the grid alone no pump needs one."""
    site = draft.case.site
    pumps = [table for table in site.pump if table.supply == "AC"]
    backup = any(table.role == "backup" for table in pumps) and draft.says("sun")
    if not pumps or not (by_sun or backup or has_inverter(site) or not site.power.grid):
        return draft
    draft = draft.set(
        [set_to("power.inverter_voltage", pumps[0].voltage)] if pumps[0].voltage else [],
        "that of the pump",
        "supply voltage",
    )
    for key, rule, part in (
        ("inverter_rating", RATING, "inverter"),
        ("inverter_surge", SURGE, "inverter's surge"),
    ):
        if draft.says(f"power.{key}"):
            continue
        sold = sizes("inverter", kinds.APPARENT_POWER, draft.system)
        candidates = [
            Candidate(
                show(quantity, quantity.kind, draft.system), (set_to(f"power.{key}", quantity),)
            )
            for quantity in sold
        ]
        choice = Choice(part, candidates, ("pumps",), (rule,), rising=True)
        chosen = draft.choose(choice)
        largest = _largest_to_start(draft)
        for start in STARTS[1:]:
            passes = all(sized.passes for sized in chosen.sized if sized.part == part)
            if passes or rule != SURGE or largest is None:
                break
            why = "no inverter that is sold starts the motor plainly"
            chosen = _started(draft, largest, start, why).choose(choice)
        draft = chosen
    return _rated_for_surge(draft)


def _rated_for_surge(draft: Draft) -> Draft:
    """The draft with an inverter that is no smaller than one with its surge is."""
    power = draft.case.site.power
    surge, rating = power.inverter_surge, power.inverter_rating
    if draft.says("power.inverter_rating") or surge is None or rating is None:
        return draft
    least = surge / SURGE_OF_RATING
    candidates = [
        Candidate(show(size, size.kind, draft.system), (set_to("power.inverter_rating", size),))
        for size in sizes("inverter", kinds.APPARENT_POWER, draft.system)
        if size >= least * (1.0 - 1e-9)
    ]
    if rating >= least or not candidates:
        return draft
    why = "half of its surge"
    return draft.choose(
        Choice("inverter", candidates, ("pumps",), (RATING,), rising=True, least=why)
    )


def _largest_to_start(draft: Draft) -> int | None:
    """The place of the largest motor whose start the file leaves open, from 1; None for none."""
    powers = {
        float(table.rated_power or 0.0): number
        for number, table in enumerate(draft.case.site.pump, 1)
        if table.supply == "AC" and not draft.says(f"pump[{number}].start")
    }
    return powers[max(powers)] if powers else None
