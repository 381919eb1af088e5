"""What is wanted of a pump on the well: its flow, its intake, and the head it works against.

A pump is not chosen here but described, so that a counter can: the flow at cut-in, the heads there
and at cut-out, and the least head at no flow. A curve through such a duty stands in for it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import cache

from wellsolar import kinds
from wellsolar.constants import DAY, FOOT
from wellsolar.physics.hydraulics.pump import HeadCurve
from wellsolar.site.duty import stand_in
from wellsolar.site.schema import Site
from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.house.demand import daily_use
from wellsolar.studies.pump.study import PumpOnWell, pump_on_well
from wellsolar.studies.pump.verdicts import ABOVE_BOTTOM, BOTTOM, DAILY, SUBMERGENCE, YIELD
from wellsolar.studies.sizing.search import Candidate, Choice, Sized, smallest, trial
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.studies.well.peak import PEAK
from wellsolar.studies.well.verdicts import RUNS_DRY, WELL_GIVES
from wellsolar.units import Quantity, System, read, show, to_unit
from wellsolar.verdicts import Change, Rule, set_to

SHUT_OFF_SHARE = 0.75
"""Head of the duty over that at no flow of the curve that stands in: its source has 4/3."""

DIGITS = 4
"""Of a duty's flow, rounded down."""

OFF_BOTTOM = 6.096
"""Height of an intake above the bottom where the well has room, 20 ft [m]: a county's course for
installers, common practice."""

COVER_STEP = {"US": 10.0 * FOOT, "SI": 3.0}
"""Steps in which an intake is tried deeper [m]: our choice."""

COVERS: dict[System, tuple[str, ...]] = {
    "US": ("8 ft", "6 ft", "5 ft", "4 ft", "3 ft", "2 ft", "1 ft"),
    "SI": ("2.5 m", "2 m", "1.5 m", "1 m", "0.5 m", "0.4 m"),
}
"""Water above its intake that a pump for a shallow well is asked to bear: our choice."""

SPARE = 4.0
"""Times the peak up to which a flow is tried: our choice."""

OF_THE_WELL: tuple[Rule, ...] = (YIELD, SUBMERGENCE, RUNS_DRY)
"""What the well asks of a pump's flow, from above."""

AT_WORK = ("pumps", "well")
"""The studies that judge a pump on its well."""

Held = Callable[[Choice], Choice]
"""Gives a choice with all that holds it."""


def depth_text(depth: float, system: System, up: bool = True) -> str:
    """A depth or head in whole feet, or in half metres at a metric site, as a file has it.

    Parameters:
        depth: [m]
        up: False to round down
    """
    unit, step, name = (FOOT, 1.0, "ft") if system == "US" else (1.0, 0.5, "m")
    steps = depth / (unit * step)
    whole = math.ceil(steps - 1e-6) if up else math.floor(steps + 1e-6)
    return f"{whole * step:g} {name}"


def on_site(site: Site, number: int) -> PumpOnWell:
    """A pump of a site with what the site adds to it; number: its place from 1."""
    return pump_on_well(site, site.pump[number - 1], f"pump[{number}]")


def least_shut_off(pump: PumpOnWell, site: Site) -> float:
    """Head at no flow with which a pump passes what stops it by its margin [m]; nothing into an
    open tank, where no more is asked than that it gives water."""
    if not pump.link.to_house:
        return 0.0
    wanted = pump.link.pressures[-1] + site.limits.cut_out_margin
    return pump.line.static_head(pump.level.at(0.0), wanted)


@cache
def _unit_curve() -> HeadCurve:
    """The curve of a stand-in whose duty is one of each."""
    flows, heads = stand_in(1.0, 1.0)
    return HeadCurve(tuple(map(float, flows)), tuple(map(float, heads)))


def duty_of(site: Site, number: int, flow: float) -> tuple[Change, Change]:
    """The duty of a stand-in that gives a flow against the first of its pressures.

    Parameters:
        site: the site, with the pump
        number: its place, from 1
        flow: at cut-in, at the pressure that is held, or into the tank [m3/s]
    Returns:
        changes of the file: the flow to four digits, the head in whole feet or half metres
    """
    pump, system = on_site(site, number), site.site.print_units
    asked = pump.line.total(pump.level, flow, pump.link.pressures[0])
    least = max(asked, SHUT_OFF_SHARE * least_shut_off(pump, site))
    head = read(depth_text(least, system), kinds.HEAD)
    # Where more head is asked at no flow than the curve has, the pump works to the right of it.
    at_duty = flow / _unit_curve().flow_at(min(1.0, asked / head))
    unit = "gpm" if system == "US" else "L/min"
    value = to_unit(at_duty, kinds.FLOW, unit)
    step = 10.0 ** (math.floor(math.log10(value)) + 1 - DIGITS)
    written = f"{math.floor(value / step * (1.0 + 1e-9)) * step:.{DIGITS}g} {unit}"
    return set_to(f"pump[{number}].duty.flow", written), set_to(f"pump[{number}].duty.head", head)


def with_duty(
    site: Site, number: int, flow: float, changes: Sequence[Change]
) -> tuple[Change, ...]:
    """Changes of a site, and the duty that its stand-in has then."""
    return (*changes, *duty_of(changed_site(site, changes), number, flow))


def deepest_intake(site: Site) -> str:
    """The deepest that an intake hangs: off the bottom, nearer where the water is shallow."""
    well, system = site.well, site.site.print_units
    half_way = 0.5 * (well.depth + well.static_level)
    depth = well.depth - OFF_BOTTOM
    if depth < half_way:
        depth = max(well.depth - ABOVE_BOTTOM, half_way)
    return depth_text(depth, system, up=False)


def flows(site: Site, most: float) -> list[Quantity]:
    """The flows that pumps are made for, up to a flow [m3/s], and the yield of the well itself."""
    sold = list(sizes("pump flow", kinds.FLOW, site.site.print_units))
    tested = site.well.tested_yield
    if tested is not None and not any(abs(quantity / tested - 1.0) < 1e-6 for quantity in sold):
        sold.append(tested)
    return sorted((quantity for quantity in sold if quantity <= most * (1.0 + 1e-9)), key=float)


def _at_flow(case: Studied, number: int, flow: Quantity) -> Candidate:
    label = show(flow, kinds.FLOW, case.site.site.print_units)
    return Candidate(label, duty_of(case.site, number, float(flow)))


def direct_flow(case: Studied, number: int, peak: float, held: Held) -> Sized | None:
    """The smallest pump that meets the peak by itself, with what tank there is, from a well that
    bears it.

    Parameters:
        case: the site with the pump, hung as deep as it goes
        number: its place, from 1
        peak: [m3/s]
        held: gives a choice with all that holds it
    Returns:
        the part; None where the well does not bear a pump that meets the peak
    """
    tried = flows(case.site, SPARE * peak)
    names = [case.site.pump[number - 1].name]
    choice = Choice(
        "pump", [_at_flow(case, number, quantity) for quantity in tried], AT_WORK, (PEAK, DAILY),
        subjects=names, rising=True,
    )  # fmt: skip
    sized = smallest(case, choice)
    borne = held(Choice("pump", (), AT_WORK, OF_THE_WELL, subjects=names))
    if not sized.passes or any(
        verdict.status in ("fail", "caution") for verdict in borne.judged(sized.case)
    ):
        return None
    return sized


def borne_flow(
    case: Studied,
    number: int,
    most: float,
    held: Held,
    rules: tuple[Rule, ...] = (),
) -> Sized:
    """The largest pump that the well bears.

    Parameters:
        case: the site with the pump, hung as deep as it goes
        number: its place, from 1
        most: flow above which none is wanted [m3/s]
        held: gives a choice with all that holds it
        rules: what is asked besides
    Returns:
        the part, whose next smaller one is the next larger pump; where the well bears none
        without a caution, the one that draws it down least and still gives the day's water
    """
    # Where the well bears none, the least pump there is tells best what it lacks.
    tried = flows(case.site, max(most, float(sizes("pump flow", kinds.FLOW)[0])))[::-1]
    choice = held(Choice(
        "pump", [_at_flow(case, number, flow) for flow in tried], AT_WORK, (*OF_THE_WELL, *rules),
        subjects=[case.site.pump[number - 1].name],
    ))  # fmt: skip
    sized = smallest(case, choice)
    if sized.passes:
        return sized
    work = _in_a_day_of_work(case.site)
    most = float(case.site.well.tested_yield or math.inf)
    enough = [quantity for quantity in tried[::-1] if work <= quantity <= most] or tried[::-1]
    own = [_at_flow(case, number, quantity) for quantity in enough]
    gentle = smallest(case, replace(choice, candidates=own, held_by=(DAILY, WELL_GIVES)))
    judged = choice.judged(gentle.case)
    return replace(
        gentle, chosen=replace(gentle.chosen, verdicts=judged), smaller=None, passes=False
    )


def cover_wanted(site: Site, number: int) -> str | None:
    """The water that a pump has to do with above its intake, where the well has less than is
    usual: a pump is asked for that bears it.

    Parameters:
        site: the site with the pump, hung as deep as it goes
        number: its place, from 1
    Returns:
        the depth as a file has it; None where the well has what is usual, or its drawdown is not
        known
    """
    level, system = on_site(site, number).level, site.site.print_units
    if not level.known:
        return None
    tested = float(site.well.tested_yield or math.inf)
    flow = min(tested, _in_a_day_of_work(site))
    left = read(deepest_intake(site), kinds.LENGTH) - level.settled(flow)
    if left >= site.pump[number - 1].minimum_submergence:
        return None
    fits = [cover for cover in COVERS[system] if read(cover, kinds.LENGTH) <= left]
    return fits[0] if fits else COVERS[system][-1]


def _in_a_day_of_work(site: Site) -> float:
    """The flow that gives the day's water within the longest run of a day [m3/s]."""
    return (daily_use(site)[0] or 0.0) * DAY / site.limits.daily_run


def intake(case: Studied, number: int, flow: float) -> Sized:
    """The least depth at which the intake of a pump stays under water.

    Parameters:
        case: the site with the pump
        number: its place, from 1
        flow: that it gives at its duty [m3/s]
    Returns:
        the part; the deepest intake where none passes or the drawdown is not known
    """
    choice = Choice(
        "intake",
        [
            Candidate(
                depth,
                with_duty(
                    case.site, number, flow, [set_to(f"pump[{number}].intake_depth", depth)]
                ),
            )
            for depth in depths(case.site, number, flow)
        ],
        AT_WORK,
        (SUBMERGENCE, RUNS_DRY),
        (BOTTOM,),
        subjects=[case.site.pump[number - 1].name],
    )
    sized = smallest(case, choice)
    if sized.passes:
        return sized
    return replace(sized, chosen=trial(case, choice, choice.candidates[-1]), smaller=None)


def depths(site: Site, number: int, flow: float) -> Iterator[str]:
    """Depths to try: about where the water settles with its cover, and deeper by steps."""
    system, deepest = site.site.print_units, deepest_intake(site)
    level = on_site(site, number).level
    if level.known:
        cover = float(site.pump[number - 1].minimum_submergence)
        end, step = read(deepest, kinds.LENGTH), COVER_STEP[system]
        depth = level.settled(flow) + cover
        first = max(depth - step, site.well.static_level + 0.1 * step)
        if first < min(depth, end):
            yield depth_text(first, system, up=False)
        while depth < end - 0.1 * step:
            yield depth_text(depth, system)
            depth += step
    yield deepest
