"""Several powered pumps at once: they share the well, the pipe to the house and the supply."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from scipy.optimize import brentq

from wellsolar import kinds
from wellsolar.physics.electric import motor
from wellsolar.physics.hydraulics import pipe, pump
from wellsolar.physics.hydraulics.pump import HeadCurve
from wellsolar.results.pumps import PumpResult
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.electric.starting import NEAR_SURGE, larger, surge_status
from wellsolar.studies.electric.supplies import on_solar_drive
from wellsolar.studies.house.chain import presses_lateral, pumps_run
from wellsolar.studies.house.wells import at_well, is_here, verdicts_there, views
from wellsolar.studies.well.drawdown import WaterLevel, water_level
from wellsolar.studies.well.total_head import MORE_FLOW, Line
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Place,
    Remedy,
    Rule,
    Sentence,
    Status,
    Verdict,
    at_least,
    at_most,
    remedy,
    say,
    set_to,
)

KEY = "power.pump_changeover"
"""What tells whether pumps can run at once."""

WELL = Rule(
    "pumps at once on the well",
    "does the well bear all pumps at once?",
    "what they take together no more than the tested yield, and the water above the highest of "
    "their intakes by its least cover, or a changeover switch that lets one run at a time",
    "site's figures",
    by="electrician",
    place=Place("level", "well"),
    worst=MORE_FLOW,
    claims=("pump_changeover", "pumps_run", "dry_run_protection"),
)
PIPE = Rule(
    "pumps at once in the pipe",
    "is the pipe to the house wide enough for all pumps at once?",
    "velocity in the lateral within the limit",
    "tdh worksheet",
    limit_is="at most",
    by="electrician",
    place=Place("head", "well"),
    worst=MORE_FLOW,
)
RUNS = Rule(
    "pumps at once on the inverter",
    "does the inverter run all pumps at once?",
    "what all pumps on alternating current take while they run within the inverter's rating",
    "motor full load",
    limit_is="at most",
    by="electrician",
    place=Place(section="well"),
)
STARTS = Rule(
    "pumps that start at once",
    "does the inverter start all pumps at once?",
    "after an outage one switch starts them all: what their starts take together within the "
    "inverter's surge rating, a fifth of it to spare",
    "locked rotor",
    limit_is="at most",
    by="electrician",
    place=Place(section="well"),
)
GENERATOR = Rule(
    "pumps at once on the generator",
    "does the generator start all pumps at once?",
    "rating no less than what the pumps need each, added up",
    "generator start",
    limit_is="at least",
    by="electrician",
    place=Place(section="well"),
)


@dataclass(frozen=True)
class AtOnce:
    """A pump among those that may run at once.

    table, path, result: of the pump; curve, line: what it works on
    """

    table: PumpTable
    path: str
    result: PumpResult
    curve: HeadCurve
    line: Line

    @property
    def pressure(self) -> float:
        """Gauge pressure at the tank where it gives most [Pa]."""
        return self.result.duties[0].pressure


def at_once_verdicts(site: Site, pumps: Sequence[AtOnce]) -> list[Verdict]:
    """Whether well, pipe and supply bear all pumps at once: verdicts; none of fewer than two
    pumps. Where the file does not tell whether they can run at once, what would not pass is
    unknown."""
    if len(pumps) < 2:
        return []
    subject, runs = _named(pumps), pumps_run(site)
    if runs in ("kept apart", "alternating"):
        reason = "a changeover switch lets one of them run at a time"
        if runs == "alternating":
            reason = "an alternator starts them in turn, one at a time"
        claim = KEY if site.power.pumps_run is None else "power.pumps_run"
        return [WELL.verdict("pass", subject, say(reason), claims=[claim])]
    verdicts = []
    # One that lifts no water takes none, but it starts with the others and draws its current.
    lifting = [pump for pump in pumps if pump.result.duties[0].flow > 0.0]
    in_well = [pump for pump in lifting if pump.table.draws == "well"]
    for view in views(site):
        there = [pump for pump in in_well if is_here(view, pump.table)]
        if len(there) > 1:
            flow = flow_at_once(view, there)
            on_the_well = _on_the_well(view, there, flow, _named(there))
            verdicts += verdicts_there(view, [on_the_well])
    in_pipe = [pump for pump in in_well if presses_lateral(pump.table)]
    if len(in_pipe) > 1:
        flow = flow_at_once(site, in_pipe)
        verdicts.append(_in_the_pipe(site, in_pipe, flow, _named(in_pipe)))
    verdicts += _on_the_inverter(site, pumps, subject)
    verdicts += _on_the_generator(site, pumps, subject)
    if runs is None:
        return [_unless_apart(verdict) for verdict in verdicts]
    return verdicts


def _named(pumps: Sequence[AtOnce]) -> str:
    return " and ".join(pump.table.name for pump in pumps)


def _unless_apart(verdict: Verdict) -> Verdict:
    """What a verdict becomes where pumps may be kept apart."""
    if verdict.status in ("pass", "unknown"):
        return verdict
    sentence = verdict.reason
    template = (
        sentence.template + "; whether they can run at once is not told: give {key} to settle it"
    )
    reason = Sentence(template, {**sentence.parts, "key": KEY})
    return replace(
        verdict, status="unknown", reason=reason, margin=None, remedy=None, needs=(KEY,)
    )


def flow_at_once(site: Site, pumps: Sequence[AtOnce]) -> float:
    """The flow of pumps of one well at once, on one drawdown and through one lateral.

    Parameters:
        pumps: at least one
    Returns:
        their flow together, as of a well without a bottom [m3/s]
    """
    return _flow_of(pumps, [_free_level(site, pump) for pump in pumps])


def shares_at_once(pumps: Sequence[AtOnce]) -> tuple[float, ...]:
    """What is left of each pump's own flow while all run at once.

    Parameters:
        pumps: at least one
    Returns:
        shares of the flow that each has by itself, the water where that one draws it down: less
        than one only of those that press into the same lateral
    """
    levels = [
        WaterLevel(depth, None, depth)
        for depth in (pump.result.duties[0].pumping_level for pump in pumps)
    ]
    shared = [pump for pump in pumps if presses_lateral(pump.table)]
    at = [level for pump, level in zip(pumps, levels, strict=True) if presses_lateral(pump.table)]
    together = _flow_of(shared, at) if len(shared) > 1 else 0.0
    shares = []
    for working, level in zip(pumps, levels, strict=True):
        alone = _flow_of([working], [level])
        if not presses_lateral(working.table) or together <= alone or alone <= 0.0:
            shares.append(1.0)
        else:
            shares.append(_own_flow(working, level, together) / alone)
    return tuple(shares)


def _flow_of(pumps: Sequence[AtOnce], levels: Sequence[WaterLevel]) -> float:
    """The flow of all pumps at once, each above its water [m3/s]."""

    def surplus(flow: float) -> float:
        own = sum(_own_flow(pump, level, flow) for pump, level in zip(pumps, levels, strict=True))
        return own - flow

    most = sum(float(pump.table.flow[-1]) for pump in pumps)
    if surplus(most) >= 0.0:
        return most
    return float(brentq(surplus, 0.0, most, xtol=1e-9))


def _free_level(site: Site, working: AtOnce) -> WaterLevel:
    """The water above a pump's intake; where the drawdown is unknown, at the intake."""
    return water_level(at_well(site, working.table), working.result.intake_depth)


def _own_flow(working: AtOnce, level: WaterLevel, together: float) -> float:
    """One pump's flow while all take a flow together [m3/s]."""
    shared = working.line.heads(level, together, working.pressure)
    rest = sum(shared) - shared.drop_pipe

    def head(flow: float) -> float:
        return rest + working.line.drop_friction(flow)

    return pump.operating_point(working.curve, head).flow


def _apart(site: Site, template: str, **parts: Quantity | str) -> Remedy:
    """A changeover switch in the key by which the file tells it, and another way behind it."""
    has_rule = site.power.pumps_run is not None
    return remedy(
        "a changeover switch that lets one pump run at a time" + template,
        [set_to("power.pumps_run", "kept apart") if has_rule else set_to(KEY, True)],
        **parts,
    )


def _on_the_well(site: Site, pumps: Sequence[AtOnce], flow: float, subject: str) -> Verdict:
    together, tested = Quantity(flow, kinds.FLOW), site.well.tested_yield
    highest = min(pumps, key=lambda pump: pump.result.intake_depth)
    level = _free_level(site, highest)
    if tested is None and not level.known:
        return WELL.unknown(subject, "well.tested_yield")
    template = "they take {together} at once"
    parts: dict[str, Quantity | str] = {"together": together, "name": highest.table.name}
    bears = True
    if tested is not None:
        bears = at_most(together, tested)
        template += ", of the well's {tested}" if bears else ", more than the well's {tested}"
        parts["tested"] = tested
    if level.known:
        cover = Quantity(highest.result.intake_depth - level.settled(flow), kinds.LENGTH)
        if cover < 0.0:
            template += "; with the water down at the intake of {name} the well gives {bears}"
            parts["bears"] = Quantity(level.greatest_flow(), kinds.FLOW)
        else:
            template += "; the water settles {cover} above the intake of {name}"
            parts["cover"] = cover
        bears = bears and at_least(cover, float(highest.table.minimum_submergence))
    if bears:
        return WELL.verdict("pass", subject, say(template, **parts))
    guarded = all(pump.table.dry_run_protection for pump in pumps)
    template += "; dry-run protection stops each" if guarded else ""
    status: Status = "caution" if guarded else "fail"
    claims = [
        f"pump[{number}].dry_run_protection"
        for number, table in enumerate(site.pump, 1)
        if guarded and any(table.name == pump.table.name for pump in pumps)
    ]
    reason = say(template, **parts)
    return WELL.verdict(status, subject, reason, remedy=_apart(site, ""), claims=claims)


def _in_the_pipe(site: Site, pumps: Sequence[AtOnce], flow: float, subject: str) -> Verdict:
    limit = site.limits.velocity
    bore = pumps[0].line.lateral.size.bore
    speed = Quantity(pipe.velocity(flow, bore), kinds.SPEED)
    return PIPE.verdict(
        "pass" if at_most(speed, limit) else "caution",
        subject,
        say(
            "{together} at once flow at {speed} in the lateral",
            together=Quantity(flow, kinds.FLOW),
            speed=speed,
        ),
        quantity=speed,
        limit=limit,
        remedy=_apart(site, ", or a wider lateral"),
    )


def _on_the_inverter(site: Site, pumps: Sequence[AtOnce], subject: str) -> list[Verdict]:
    """Running and starting on the inverter; nothing where fewer than two hang on it."""
    fed = [
        pump for pump in pumps
        if pump.table.supply == "AC" and not on_solar_drive(site, pump.table)
    ]  # fmt: skip
    rating, surge, verdicts = site.power.inverter_rating, site.power.inverter_surge, []
    if len(fed) < 2:
        return []
    running = _added(fed, _running)
    if rating is not None and running is not None:
        reason = say(
            "they run at {running} together, of the inverter's {rating}",
            running=running,
            rating=rating,
        )
        bought = larger("inverter", "inverter_rating", running, "")
        verdicts.append(
            RUNS.verdict(
                "pass" if at_most(running, rating) else "fail",
                subject,
                reason,
                quantity=running,
                limit=rating,
                remedy=_apart(site, ", or " + bought.template, **bought.parts),
            )
        )
    wanted = _added(fed, lambda pump: pump.result.starting_apparent_power)
    if surge is None:
        return verdicts
    if wanted is None:
        lacks = next(pump for pump in fed if pump.result.start is None)
        return [*verdicts, STARTS.unknown(subject, f"{lacks.path}.locked_rotor_current")]
    bought = larger("inverter", "inverter_surge", wanted / NEAR_SURGE, " for the starts")
    verdicts.append(
        STARTS.verdict(
            surge_status(wanted, surge),
            subject,
            say(
                "their starts take {wanted} together, of the inverter's {surge}",
                wanted=wanted,
                surge=surge,
            ),
            quantity=wanted,
            limit=surge,
            remedy=_apart(site, ", or " + bought.template, **bought.parts),
        )
    )
    return verdicts


def _on_the_generator(site: Site, pumps: Sequence[AtOnce], subject: str) -> list[Verdict]:
    """Starting on the generator; nothing where fewer than two hang on it, or where one of them
    alone asks for what the file lacks."""
    fed = [pump for pump in pumps if pump.table.supply == "AC"]
    rating = site.power.generator_rating
    needed = _added(fed, _wanted_of_a_generator)
    if len(fed) < 2 or rating is None or needed is None:
        return []
    bought = larger("generator", "generator_rating", needed, "")
    return [
        GENERATOR.verdict(
            "pass" if at_least(rating, needed) else "fail",
            subject,
            say(
                "they need {needed} together, of the generator's {rating}",
                needed=needed,
                rating=rating,
            ),
            quantity=rating,
            limit=needed,
            remedy=_apart(site, ", or " + bought.template, **bought.parts),
        )
    ]


def _wanted_of_a_generator(working: AtOnce) -> float | None:
    """The rating that starts a pump [VA]; None where it is unknown."""
    return None if working.result.start is None else working.result.start.generator_needed


def _running(working: AtOnce) -> float | None:
    """What a pump takes while it runs [VA]."""
    start, voltage = working.result.start, working.table.voltage
    if start is None or voltage is None:
        return max(duty.input_power for duty in working.result.duties) / working.table.power_factor
    return motor.apparent_power(start.running_current, voltage, working.table.phases)


def _added(pumps: Sequence[AtOnce], what: Callable[[AtOnce], float | None]) -> Quantity | None:
    """Apparent power of pumps added up; None where that of one is unknown."""
    values = [what(pump) for pump in pumps]
    known = [value for value in values if value is not None]
    return Quantity(sum(known), kinds.APPARENT_POWER) if len(known) == len(values) else None
