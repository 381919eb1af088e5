"""What the air lifts: suction pumps by the trade's practical lift and by their suction head."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.physics.hydraulics import air, suction, water
from wellsolar.results import Duty, SuctionResult
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.well.total_head import DEEPER_WATER
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Remedy, Rule, Status, Verdict, remedy, say

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
    place=Place("well", "pump_#"),
    worst=DEEPER_WATER,
)
SUCTION_HEAD = Rule(
    "net positive suction head",
    "has the pump enough suction head?",
    "net positive suction head available at least what the pump requires, and 2 ft (0.6 m) over",
    "suction head",
    limit_is="at least",
    place=Place("well", "pump_#"),
    worst=DEEPER_WATER,
)


def suction_limit(site: Site) -> float:
    """The greatest suction lift in theory at a site's altitude and water temperature [m].

    Parameters:
        site: the site
    Returns:
        lift in metres of the site's water
    """
    temperature = float(site.well.water_temperature)
    return float(
        suction.suction_lift_limit(
            float(air.atmospheric_pressure(site.site.altitude)),
            float(water.vapour_pressure(temperature)),
            float(water.density(temperature)),
        )
    )


def suction_of(site: Site, table: PumpTable, duties: tuple[Duty, ...]) -> SuctionResult | None:
    """Lift and suction head of a suction pump that stands at the ground at the well, at its
    greatest flow; None for a pump with its intake in the water."""
    if table.kind != "suction":
        return None
    duty = max(duties, key=lambda duty: duty.pump_flow)
    temperature = float(site.well.water_temperature)
    friction = next(piece.head for piece in duty.pieces if piece.key == "drop_pipe")
    available = suction.net_positive_suction_head(
        float(air.atmospheric_pressure(site.site.altitude)),
        float(water.vapour_pressure(temperature)),
        float(water.density(temperature)),
        duty.pumping_level,
        friction,
    )
    required = table.required_suction_head
    return SuctionResult(
        flow=duty.flow,
        lift=duty.pumping_level,
        limit=suction_limit(site),
        friction=friction,
        available=float(available),
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
    verdicts = [
        SUCTION.verdict(
            "pass" if reaches else "fail",
            table.name,
            say(
                "the water stands {lift} below the pump; suction lifts {theory} in theory at this "
                "altitude, {limit} in practice",
                lift=lift,
                theory=Quantity(result.limit, kinds.LENGTH),
                limit=limit,
            ),
            quantity=lift,
            limit=limit,
            remedy=remedy("a pump with its intake in the water", OTHER_PUMP),
        )
    ]
    if result.required is None:
        missing = SUCTION_HEAD.unknown(table.name, f"{path}.required_suction_head")
        return [*verdicts, missing]
    return [*verdicts, _suction_head(site, table, result, result.required)]


def _suction_head(site: Site, table: PumpTable, result: SuctionResult, required: float) -> Verdict:
    available = Quantity(result.available, kinds.HEAD)
    over = result.available - required
    status: Status = "pass" if over >= SUCTION_MARGIN else "caution" if over >= 0.0 else "fail"
    there = "{available} is available" if available > 0.0 else "none is available"
    return SUCTION_HEAD.verdict(
        status,
        table.name,
        say(
            there + " at {flow}: water of {temperature} stands {lift} below the pump, "
            "at an altitude of {altitude}, and {friction} is lost on the way up; the pump "
            "requires {required}",
            available=available,
            flow=Quantity(result.flow, kinds.FLOW),
            lift=Quantity(result.lift, kinds.LENGTH),
            altitude=site.site.altitude,
            temperature=site.well.water_temperature,
            friction=Quantity(result.friction, kinds.HEAD),
            required=Quantity(required, kinds.HEAD),
        ),
        quantity=available,
        limit=Quantity(required + SUCTION_MARGIN, kinds.HEAD),
        remedy=None if status == "pass" else _more_suction_head(result),
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
