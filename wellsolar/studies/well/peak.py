"""Whether the peak of a house is met: by pump and well, by what is stored, or by both together.

One rule for a pump that presses into the house and for a storage tank that is filled by one: what
heavy use takes more than is pumped meanwhile comes from what storage holds when its pump starts.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Literal, NamedTuple

from wellsolar import kinds
from wellsolar.constants import DAY, HOUR
from wellsolar.physics.hydraulics.demand import storage_for_peak
from wellsolar.results.pumps import PumpResult
from wellsolar.results.well import PumpInWell
from wellsolar.site.schema import Site
from wellsolar.studies.electric.motor_guards import motor_cycle
from wellsolar.studies.electric.supplies import on_the_sun
from wellsolar.studies.house import chain, demand
from wellsolar.studies.house.demand import DAILY_KEYS, daily_use, peak_flow
from wellsolar.studies.sold.standard_sizes import next_up
from wellsolar.studies.well.total_head import MORE_LIFT
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Assumption,
    Place,
    Remedy,
    Rule,
    Verdict,
    at_least,
    remedy,
    say,
    set_to,
)

SEVEN_MINUTES = 420.0
"""The shortest peak that storage bridges [s]: the trade article of the source."""

LONG_PEAK = 2.0 * HOUR
"""Heavy use that storage is laid out for [s]: the public text of the source."""

TANK: Literal["storage tank"] = "storage tank"

PEAK = Rule(
    "peak flow",
    "do pump, well and storage meet the peak?",
    "seven minutes of the peak flow, and two hours of heavy use of no more than the day's water: "
    "what pump and well give meanwhile, and what a storage tank has left when its pump starts, "
    "down to where the draw is stopped; of a pressure tank what it holds beyond a run",
    "peak storage",
    limit_is="at least",
    by="plumber",
    read_by="owner",
    place=Place("pump_curve_#", "pump_#|pump_1"),
    worst={**MORE_LIFT, "demand.daily_use": "high", "demand.peak_flow": "high"},
)


class _Heavy(NamedTuple):
    """Heavy use for a time [s]: its flow [m3/s]."""

    told: str
    flow: float
    time: float


def _heavy_uses(site: Site) -> list[_Heavy]:
    """The short peak, and the long one of no more than the day's water; none where the file tells
    neither."""
    peak, use = peak_flow(site), daily_use(site)[0]
    long = [] if peak is None else [float(peak)]
    long += [] if use is None else [use * DAY / LONG_PEAK]
    uses = [] if peak is None else [_Heavy("seven minutes of {peak}", float(peak), SEVEN_MINUTES)]
    return [*uses, _Heavy("two hours of heavy use", min(long), LONG_PEAK)] if long else uses


def peak_verdicts(
    site: Site, in_wells: Mapping[str, PumpInWell], pumps: tuple[PumpResult, ...]
) -> list[Verdict]:
    """Whether the peak is met: of each pump into the house where the file names a peak, and of a
    storage tank from which a booster or its height gives the house its water.

    Parameters:
        in_wells: pumps in wells whose drawdown is known, by their names
    """

    def given(pump: PumpResult, time: float) -> float:
        """What a pump gives in a time from rest [m3], its casing's water with it."""
        for bridge in in_wells[pump.name].bridges if pump.name in in_wells else ():
            if bridge.duration == time:
                return bridge.given
        return pump.duties[0].flow * time

    # Behind a storage tank the peak is a matter of the tank and of what presses from it.
    behind = {link.number for link in (*chain.fillers(site), *chain.boosters(site))}
    verdicts = []
    for link, pump in zip(chain.links(site), pumps, strict=True):
        if peak_flow(site) is None or pump.duties[0].flow <= 0.0 or link.number in behind:
            continue
        beyond = _beyond_a_run(site, link, pump)
        verdicts.append(_verdict(site, pump.name, beyond, partial(given, pump)))
    if site.storage_tank is None or not behind:
        return verdicts
    if chain.boosters(site) or chain.gravity_head(site) is not None:
        # A pump on the sun gives nothing in an evening's peak.
        filling = [
            pumps[link.number - 1].duties[0].flow
            for link in chain.fillers(site)
            if not on_the_sun(site, link.table)
        ]
        # A poor well may just have been pumped off: what it gives all day, not its casing's water.
        verdicts.append(_verdict(site, TANK, 0.0, lambda time: sum(filling) * time))
    return verdicts


def peak_assumed(site: Site, verdicts: Sequence[Verdict]) -> tuple[Assumption, ...]:
    """What was taken as usual of a storage tank that is no link of the chain.

    Parameters:
        verdicts: of `peak_verdicts`
    Returns:
        the peak by fixtures, and an assumption where something is asked of a tank whose floats
        are not told
    """
    tank, by_fixtures = site.storage_tank, demand.peak_assumed(site)
    if tank is None or tank.fills_below is not None or chain.has_cistern(site):
        return by_fixtures
    if not any(verdict.rule == PEAK and verdict.limit for verdict in verdicts):
        return by_fixtures
    share = Quantity(chain.FILLS_BELOW, kinds.FRACTION)
    why = "it is filled again when a quarter is drawn"
    floats = Assumption("storage_tank.fills_below", share, why, "common practice")
    return (*by_fixtures, floats)


def _beyond_a_run(site: Site, link: chain.Link, pump: PumpResult) -> float:
    """What the pressure tank holds between its pressures beyond the least run of its pump [m3]."""
    held = None if pump.fill is None else pump.fill.points[-1].water
    if pump.fill is None or held is None:
        return 0.0
    return max(0.0, held - pump.fill.mean_flow * motor_cycle(site, link.table).wanted_run)


def _verdict(site: Site, subject: str, beyond: float, given: Callable[[float], float]) -> Verdict:
    """Whether a peak is met; beyond: what a pressure tank has to spare [m3]; given: what is
    pumped in a time."""
    uses = _heavy_uses(site)
    if not uses:
        return PEAK.unknown(subject, *DAILY_KEYS)

    use = max(uses, key=lambda use: use.flow * use.time - given(use.time))
    share, held = _held(site)
    lacking = storage_for_peak(use.flow, given(use.time) / use.time, use.time)
    short = Quantity(lacking, kinds.VOLUME)
    left = Quantity(held + beyond, kinds.VOLUME)
    wanted = use.flow * use.time
    # With what is pumped beyond the need, so that more lift never has more to spare: a slower fill
    # leaves the pressure tank more beyond a run.
    spare = Quantity(left + max(0.0, given(use.time) - wanted), kinds.VOLUME)
    template = f"{use.told} take {{wanted}}, of which {{given}} is pumped meanwhile"
    if short > 0.0:
        template += "; {short} come from storage, which has {only}{left}"
    if left <= 0.0 and site.storage_tank is None:
        template = template.replace("which has {only}{left}", "and the file names none")
    return PEAK.verdict(
        "pass" if at_least(left, short) else "caution",
        subject,
        say(
            template,
            peak=Quantity(use.flow, kinds.FLOW),
            wanted=Quantity(wanted, kinds.VOLUME),
            given=Quantity(min(given(use.time), wanted), kinds.VOLUME),
            short=short,
            only="" if at_least(left, short) else "only ",
            left=left,
        ),
        quantity=spare,
        limit=short,
        remedy=_more_stored(site, short - beyond, share),
    )


def _held(site: Site) -> tuple[float, float]:
    """Share of a storage tank that is left when its pump starts, down to where the draw is
    stopped, and the water of it in the site's own [m3]."""
    tank = site.storage_tank
    if tank is None:
        return 1.0, 0.0
    storage = chain.storage_of(site, tank)
    share = max(0.0, storage.fills_below - storage.stops_below)
    return share, share * storage.volume


def _more_stored(site: Site, short: float, share: float) -> Remedy:
    """The tank whose share holds so much [m3], as it is sold."""
    # Of a tank that is not there yet the floats hang as they usually do.
    share = chain.FILLS_BELOW if site.storage_tank is None else share
    needed = short / share if share > 0.0 else None
    system = site.site.print_units
    sold = None if needed is None else next_up(TANK, needed, kinds.VOLUME, system)
    if sold is None or needed is None:
        return remedy(
            "floats that start the filling pump sooner, or use less at once",
            "a larger tank is not sold",
        )
    return remedy(
        "a storage tank of {sold} (needs {needed:up}); or a float that starts its pump sooner; or "
        "use less at once",
        [set_to("storage_tank.volume", sold)],
        sold=sold,
        needed=Quantity(needed, kinds.VOLUME),
    )
