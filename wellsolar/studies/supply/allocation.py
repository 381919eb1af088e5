"""The modules on hand: which group has how many, and what one moved to another gains and loses."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics.sun import year as sun_year
from wellsolar.physics.sun.year import HOUR, HourlyYear, PlaneYear
from wellsolar.physics.types import FloatArray
from wellsolar.results.supply import AllocationResult, GroupShare, Move, SupplyYearResult
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import ArrayTable, ElementTable, Site
from wellsolar.studies.array.heater_circuit import HeaterCircuit, circuit_of
from wellsolar.studies.sun.module_sheet import parameters_of
from wellsolar.studies.sun.year import DARK, module_power, plane_of_group
from wellsolar.studies.supply.system import feeders
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Verdict, remedy, say, set_to

ON_HAND = Rule(
    "modules on hand",
    "are there as many modules as the groups use?",
    "modules of all groups together, no more than are on hand",
    "site's figures",
    limit_is="at most",
    by="owner",
    place=Place(section="modules"),
)


def study_allocation(
    site: Site, year: HourlyYear | None, supplies: tuple[SupplyYearResult, ...]
) -> tuple[AllocationResult | None, StudyPart]:
    """The modules on hand and the groups that share them.

    Parameters:
        supplies: of its backup pumps, the first of which the moves are judged by
    Returns:
        the allocation and its verdict; None where the file does not say how many are on hand
    """
    if site.module is None or site.module.on_hand is None:
        return None, StudyPart()
    groups = tuple(_share(site, index, group, year) for index, group in enumerate(site.array))
    used = sum(share.modules for share in groups)
    supply = supplies[0] if supplies else None
    result = AllocationResult(
        on_hand=site.module.on_hand,
        used=used,
        spare=site.module.on_hand - used,
        pump="" if supply is None else supply.pump,
        groups=groups,
        moves=tuple(_moves(site, groups, supply)),
    )
    return result, StudyPart((_verdict(result),))


def _verdict(result: AllocationResult) -> Verdict:
    """Whether the groups use no more modules than are on hand."""
    used, on_hand = Quantity(result.used, kinds.MODULES), Quantity(result.on_hand, kinds.MODULES)
    enough = result.spare >= 0
    return ON_HAND.verdict(
        "pass" if enough else "fail",
        "modules",
        say(
            "the groups use {used} of {on_hand} on hand; {rest}",
            used=str(result.used),
            on_hand=on_hand,
            rest=f"{result.spare} are spare" if enough else f"{-result.spare} are lacking",
        ),
        quantity=used,
        limit=on_hand,
        remedy=None
        if enough
        else remedy(
            "have {used} on hand, {lacking} more; or take as many off the groups",
            [set_to("module.on_hand", result.used)],
            lacking=Quantity(-result.spare, kinds.MODULES),
            used=used,
        ),
    )


def _share(site: Site, index: int, group: ArrayTable, year: HourlyYear | None) -> GroupShare:
    """A group's modules, with their energy where the sun is known."""
    count = group.series * group.parallel
    bare = GroupShare(group.name, group.feeds, count, "", (), (), ())
    if year is None or site.module is None:
        return bare
    try:
        parameters = parameters_of(site.module)
    except OutOfRange:
        return bare
    plane = plane_of_group(site, year, group, f"array[{index + 1}]")
    element, losses = _element(site, group), float(site.losses.wiring)
    if element is not None:
        return _heater(bare, circuit_of(parameters, group, element, wiring_loss=losses), plane)
    one = np.asarray(_monthly(module_power(site, parameters, plane, group), plane))
    return replace(
        bare,
        where="as made, less losses",
        energy=tuple((one * count).tolist()),
        lost=tuple((one).tolist()),
        gained=tuple((one).tolist()),
    )


def _element(site: Site, group: ArrayTable) -> ElementTable | None:
    """The element that a group heats."""
    elements = () if site.water_heater is None else site.water_heater.element
    return next((element for element in elements if element.fed_by == group.name), None)


def _heater(bare: GroupShare, circuit: HeaterCircuit, plane: PlaneYear) -> GroupShare:
    """A group on an element: one module more or fewer in its one string; of several strings a
    whole one, parted evenly among its modules."""
    if circuit.parallel == 1:
        fewer = replace(circuit, series=circuit.series - 1)
        more = replace(circuit, series=circuit.series + 1)
        part = 1.0
    else:
        fewer = replace(circuit, parallel=circuit.parallel - 1)
        more = replace(circuit, parallel=circuit.parallel + 1)
        part = 1.0 / circuit.series
    now, less, plus = (_at_element(trial, plane) for trial in (circuit, fewer, more))
    return replace(
        bare,
        where="at the element",
        energy=tuple((now).tolist()),
        lost=tuple(((now - less) * part).tolist()),
        gained=tuple(((plus - now) * part).tolist()),
    )


def _at_element(circuit: HeaterCircuit, plane: PlaneYear) -> FloatArray:
    """Energy of each month at the element [J]; none without a module."""
    if circuit.series == 0:
        return np.zeros(12)
    light = np.where(plane.effective_irradiance > DARK, plane.effective_irradiance, 0.0)
    return _monthly(circuit.power(light, plane.cell_temperature), plane)


def _monthly(power: FloatArray, plane: PlaneYear) -> FloatArray:
    """Energy of each month [J] of a power by the hour."""
    hours = np.bincount(plane.hours.month, minlength=13)[1:]
    return np.asarray(sun_year.monthly_means(power, plane.hours) * hours * HOUR)


def _moves(
    site: Site, groups: tuple[GroupShare, ...], supply: SupplyYearResult | None
) -> list[Move]:
    """One module from each group to each other one that lies on known sun."""
    feeding = [group.name for _, group in feeders(site)]
    known = [share for share in groups if share.energy]
    return [
        Move(
            giver.name,
            taker.name,
            sum(giver.lost),
            sum(taker.gained),
            _short(feeding, giver.name, taker.name, supply),
        )
        for giver in known
        for taker in known
        if giver is not taker
    ]


def _short(
    feeding: list[str], giver: str, taker: str, supply: SupplyYearResult | None
) -> tuple[int, int] | None:
    """Days short before and after a module leaves or joins the first group that feeds."""
    if supply is None or supply.fewer_days_short is None or supply.more_days_short is None:
        return None
    if giver in feeding and taker in feeding:
        return None
    if giver == feeding[0]:
        return supply.days_short, supply.fewer_days_short
    if taker == feeding[0]:
        return supply.days_short, supply.more_days_short
    return None
