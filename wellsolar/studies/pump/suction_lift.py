"""What the air lifts: suction pumps by the trade's practical lift and by their suction head."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.physics.hydraulics import suction, water
from wellsolar.results.pumps import Duty, SuctionResult
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.house.chain import has_ejector
from wellsolar.studies.well.total_head import DEEPER_WATER, Line
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Remedy, Rule, Status, Verdict, remedy, say, set_to

PRACTICAL_SUCTION = 0.60
"""Share of the theoretical suction lift that is reached in practice: published practical lifts
from 6.7 m at sea level to 4.3 m at 3219 m are 0.60 to 0.66 of it; the least is taken."""

SUCTION_MARGIN = 0.6096
"""Suction head to have over what the pump requires, 2 ft [m]: common practice, no source."""

OTHER_PUMP = "another pump has a sheet of its own"
"""Why no change of the file makes a suction pump draw."""

SUCTION = Rule(
    "suction lift",
    "can the pump draw the water up?",
    "water level above ground suction within the practical lift at this altitude",
    "suction lift",
    limit_is="at most",
    by="driller",
    place=Place("well", "pump_#"),
    worst=DEEPER_WATER,
)
SUCTION_HEAD = Rule(
    "net positive suction head",
    "has the pump enough suction head?",
    "net positive suction head available at least what the pump requires, and 2 ft (0.6 m) over",
    "suction head",
    limit_is="at least",
    by="driller",
    place=Place("well", "pump_#"),
    worst=DEEPER_WATER,
)


PRIME = Rule(
    "prime",
    "does the suction pump stay filled?",
    "a foot valve under the water, or a check valve in the suction pipe, so that a pump that "
    "stands above its water draws again",
    "common practice",
    by="plumber",
    place=Place("well", "pump_#"),
    claims=("foot_valve",),
)


def suction_limit(site: Site) -> float:
    """The greatest suction lift in theory at a site's altitude and water temperature [m].

    Returns:
        lift in metres of the site's water
    """
    temperature = float(site.well.water_temperature)
    return suction.suction_lift_limit(
        suction.atmospheric_pressure(site.site.altitude),
        water.vapour_pressure(temperature),
        water.density(temperature),
    )


def suction_of(
    site: Site, line: Line, table: PumpTable, duties: tuple[Duty, ...]
) -> SuctionResult | None:
    """Lift and suction head of a suction pump, from the water to where the pump stands, at its
    greatest flow; None for a pump with its intake, or its ejector, in the water."""
    if line.stands is None or has_ejector(table):
        return None
    duty = max(duties, key=lambda duty: duty.pump_flow)
    temperature = float(site.well.water_temperature)
    friction = sum(piece.head for piece in duty.pieces if piece.key in ("drop_pipe", "suction"))
    lift = duty.pumping_level + line.stands
    available = suction.net_positive_suction_head(
        suction.atmospheric_pressure(site.site.altitude),
        water.vapour_pressure(temperature),
        water.density(temperature),
        lift,
        friction,
    )
    required = table.required_suction_head
    return SuctionResult(
        flow=duty.flow,
        lift=lift,
        limit=suction_limit(site),
        friction=friction,
        available=available,
        required=None if required is None else float(required),
    )


def suction_verdicts(
    site: Site, table: PumpTable, result: SuctionResult, path: str
) -> list[Verdict]:
    """Whether a suction pump at a key path draws the water up, and has the suction head that its
    sheet asks for."""
    limit = Quantity(PRACTICAL_SUCTION * result.limit, kinds.LENGTH)
    lift = Quantity(result.lift, kinds.LENGTH)
    reaches = lift <= limit
    flooded = reaches and result.lift <= 0.0
    verdicts = [
        SUCTION.verdict(
            "pass" if reaches else "fail",
            table.name,
            say(
                "the water stands {above} above the pump, which has nothing to lift",
                above=Quantity(-result.lift, kinds.LENGTH),
            )
            if flooded
            else say(
                "the water stands {lift} below the pump; suction lifts {theory} in theory at this "
                "altitude, {limit} in practice",
                lift=lift,
                theory=Quantity(result.limit, kinds.LENGTH),
                limit=limit,
            ),
            quantity=lift,
            limit=limit,
            remedy=_other_source(site, table, path),
        )
    ]
    verdicts += prime_verdicts(table, result.lift, path)
    if result.required is None:
        missing = SUCTION_HEAD.unknown(table.name, f"{path}.required_suction_head")
        return [*verdicts, missing]
    return [*verdicts, _suction_head(site, table, result, result.required)]


def prime_verdicts(table: PumpTable, lift: float, path: str) -> list[Verdict]:
    """Whether a pump above its water stays filled.

    Parameters:
        lift: from the water to the pump [m]
    Returns:
        one verdict; none of a pump that its water floods, or at the well on one pipe whose file
        does not tell of a foot valve
    """
    elsewhere = table.stands_at is not None or table.suction_pipe is not None
    asked = elsewhere or has_ejector(table)
    if lift <= 0.0 or (table.foot_valve is None and not asked):
        return []
    key = f"{path}.foot_valve"
    if table.foot_valve is None:
        return [PRIME.unknown(table.name, key)]
    if table.foot_valve:
        sentence = say("a foot valve keeps it filled")
        return [PRIME.verdict("pass", table.name, sentence, claims=[key])]
    return [
        PRIME.verdict(
            "caution",
            table.name,
            say("nothing keeps it filled: it runs dry after each rest"),
            remedy=remedy("a foot valve with a strainer", [set_to(key, True)]),
        )
    ]


def _suction_head(site: Site, table: PumpTable, result: SuctionResult, required: float) -> Verdict:
    available = Quantity(result.available, kinds.HEAD)
    over = result.available - required
    status: Status = "pass" if over >= SUCTION_MARGIN else "caution" if over >= 0.0 else "fail"
    there = "{available} is available" if available > 0.0 else "none is available"
    return SUCTION_HEAD.verdict(
        status,
        table.name,
        say(
            there + " at {flow}: water of {temperature} stands {lift} {side} the pump, "
            "at an altitude of {altitude}, and {friction} is lost on the way up; the pump "
            "requires {required}",
            available=available,
            flow=Quantity(result.flow, kinds.FLOW),
            lift=Quantity(abs(result.lift), kinds.LENGTH),
            side="above" if result.lift < 0.0 else "below",
            altitude=site.site.altitude,
            temperature=site.well.water_temperature,
            friction=Quantity(result.friction, kinds.HEAD),
            required=Quantity(required, kinds.HEAD),
        ),
        quantity=available,
        limit=Quantity(required + SUCTION_MARGIN, kinds.HEAD),
        remedy=None if status == "pass" else _more_suction_head(result),
    )


def _other_source(site: Site, table: PumpTable, path: str) -> Remedy:
    """Another pump; or that this one draws from the storage tank, where the file has one."""
    if site.storage_tank is None or table.draws != "well" or table.intake_depth is not None:
        return remedy("a pump with its intake in the water", OTHER_PUMP)
    return remedy(
        "say so where it draws from the storage tank, or take a pump with its intake in the water",
        [set_to(f"{path}.draws", "storage tank")],
    )


def _more_suction_head(result: SuctionResult) -> Remedy:
    allowed = result.available - SUCTION_MARGIN
    if allowed <= 0.0:
        words = "a pump with its intake in the water: no suction pump works here"
        return remedy(words, OTHER_PUMP)
    return remedy(
        "a pump that requires no more than {allowed:down} of suction head, or one with its intake "
        "in the water",
        OTHER_PUMP,
        allowed=Quantity(allowed, kinds.HEAD),
    )
