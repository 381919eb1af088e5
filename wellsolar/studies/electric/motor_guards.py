"""What guards a pump's motor against overload and too many starts, and people against a fault in
its circuit."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics.electric import motor
from wellsolar.physics.electric.cable import CONTINUOUS_FACTOR
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.house.chain import hangs_in_well
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Place,
    Rule,
    Status,
    Verdict,
    at_least,
    at_most,
    remedy,
    say,
    set_to,
)

SHORTEST_RUN = 60.0
"""Run below which no motor of a well pump should be stopped [s]: a maker's table for all sizes."""

LARGE_MOTOR = 5592.7
"""Power that stands for a motor of unknown size, 7 1/2 hp [W], above which no table asks more."""

SMALL_MOTOR = 372.85
"""The same of a motor of which least is asked, 1/2 hp [W]."""


@dataclass(frozen=True)
class MotorCycle:
    """What a motor bears.

    shortest_run: no run is shorter [s]; wanted_run: what the tables ask of its size [s]
    daily_starts, hourly_starts: no more [1/s]
    """

    shortest_run: float
    wanted_run: float
    daily_starts: float
    hourly_starts: float


def motor_cycle(site: Site, table: PumpTable) -> MotorCycle:
    """What a pump's motor bears; of an unknown size what the largest does.

    Parameters:
        site: the site, whose own limits come before those of the tables
    """
    power = LARGE_MOTOR if table.rated_power is None else float(table.rated_power)
    return _cycle(site, table, power)


def at_the_best(site: Site, table: PumpTable) -> MotorCycle:
    """What a pump's motor bears if a size that the file does not give is small."""
    power = SMALL_MOTOR if table.rated_power is None else float(table.rated_power)
    return _cycle(site, table, power)


def _cycle(site: Site, table: PumpTable, power: float) -> MotorCycle:
    run, starts = site.limits.run_time, site.limits.starts_a_day
    hourly = motor.greatest_hourly_starts(power)
    return MotorCycle(
        shortest_run=SHORTEST_RUN if run is None else float(run),
        wanted_run=motor.least_run(power) if run is None else float(run),
        daily_starts=(
            motor.greatest_start_rate(power, table.phases) if starts is None else float(starts)
        ),
        # At the worst demand the pump runs twice as long as with no tap open, and rests as long.
        hourly_starts=hourly if run is None else 0.25 / run,
    )


OVERLOAD_MOST, OVERLOAD_PLAIN = 1.25, 1.15
"""Setting of an overload over the plate's full-load current [-]: of a motor with a service factor
of 1.15 or more, or a rise of 40 degC or less, and of any other; NEC 430.32(A)(1)."""

GUARDED_VOLTAGE = 300.0
"""Between two live conductors with 150 V to ground each [V]; NEC 210.8(F)."""

GUARDED_SINCE = 2020
"""Edition from which outlets outdoors have ground-fault breakers; NEC 210.8(F)."""

OVERLOAD = Rule(
    "motor overload",
    "what stops the motor when it is overloaded or held fast?",
    "a protector within the motor, or overload protection set to no more than 125 % of the "
    "full-load current on its plate, 115 % without a service factor of 1.15",
    "motor overload",
    limit_is="at most",
    safety=True,
    by="electrician",
    place=Place(section="pump_#"),
    worst={"pump.overload_current": "high", "pump.full_load_current": "low"},
    claims=("overload",),
)

PUMP_SHARE, BEST_SHARE = 0.5, 0.65
"""Water power over shaft power where no sheet tells what a pump takes, of a usual one and of the
best: legal floors of 33 to 62 % at 5 to 30 gpm, from memory."""

LEGAL_FLOWS = (3.15e-4, 6.31e-4, 9.46e-4, 12.62e-4, 18.93e-4)
LEGAL_SHARES = (0.33, 0.47, 0.54, 0.58, 0.62)
"""Flows of 5 to 30 gpm [m3/s], and the least water power over shaft power that a submersible pump
of many stages may have at its best point; Commission Regulation (EU) 547/2012, annex III, MEI 0.4
at 4 m a stage, its constants from memory."""

LOAD = Rule(
    "motor load",
    "is the motor strong enough for its pump?",
    "power at the shaft, where the pump takes most on this well, no more than the motor's rated "
    "power times its service factor",
    "motor plate",
    limit_is="at most",
    by="driller",
    read_by="owner",
    place=Place(section="pump_#"),
)

EXCEPTED = 4.0
"""Greatest breaker over full-load current where the motor does not start otherwise [-]; NEC
430.52(C)(1), exception 2, up to 100 A."""

BREAKER = Rule(
    "pump breaker",
    "does the breaker hold the pump's motor and clear a fault?",
    "an inverse-time breaker of no less than 125 % of the motor's full-load current, and no more "
    "than 250 %, 150 % of direct current, or the next standard size; never more than 400 %",
    "motor breaker",
    safety=True,
    by="electrician",
    place=Place(section="pump_#"),
)

SHOCK = Rule(
    "ground-fault breaker",
    "does a fault in the pump's circuit trip before it hurts anyone?",
    "from the edition of 2020 on ground-fault breakers for outlets outdoors of a dwelling, single "
    "phase to 150 V to ground; that a pump in a well is one is how wellsolar reads it",
    "outdoor outlets",
    safety=True,
    by="electrician",
    place=Place(section="pump_#"),
    claims=("ground_fault_breaker",),
)


def guarded(table: PumpTable) -> bool:
    """Whether a pump hangs outdoors on a circuit that may want a ground-fault breaker. True of one
    in the well on a single phase of 300 V or less, or of a voltage not told."""
    wired = table.supply == "AC" and table.phases == 1 and hangs_in_well(table)
    return wired and (table.voltage is None or table.voltage <= GUARDED_VOLTAGE)


def motor_guard_verdicts(site: Site, table: PumpTable, path: str) -> list[Verdict]:
    """Overload of the motor, and ground-fault breaker of its circuit.

    Returns:
        verdicts on safety; none of a motor on direct current
    """
    guards: Iterable[Verdict] = [_overload(table, path)] if table.supply == "AC" else []
    return [*guards, *([_shock(site, table, path)] if guarded(table) else [])]


def load_verdicts(
    table: PumpTable, path: str, input_power: float, water_power: float, is_told: bool
) -> list[Verdict]:
    """Whether the motor carries its pump where that takes most on this well.

    Parameters:
        input_power, water_power: greatest of its duties [W]
        told: whether the file tells what it takes, by its sheet or by an efficiency
    Returns:
        a verdict; none where the motor's size is not told, or on direct current, whose motor and
        drive are one, and none above 10 hp
    """
    rated = table.rated_power
    if rated is None or table.supply == "DC" or water_power <= 0.0:
        return []
    try:
        factor = float(table.service_factor or motor.usual_service_factor(rated))
        efficiency = motor.usual_efficiency(rated, table.phases)
    except OutOfRange:
        return []
    if table.duty is not None and not is_told:
        return [_load_of_any_pump(table, rated, factor, water_power)]
    shaft = efficiency * input_power if is_told else water_power / BEST_SHARE
    if not is_told and at_most(Quantity(shaft, kinds.SHAFT_POWER), factor * rated):
        shaft = water_power / PUMP_SHARE
        if shaft > factor * rated:
            why = f"a pump of {PUMP_SHARE:.0%} efficiency overloads the motor, one of "
            why += f"{BEST_SHARE:.0%} does not: its sheet tells"
            return [LOAD.unknown(table.name, f"{path}.power", why=why)]
    quantity, most = (
        Quantity(shaft, kinds.SHAFT_POWER),
        Quantity(factor * rated, kinds.SHAFT_POWER),
    )
    template = "its pump asks about {shaft} at the shaft of a motor of {rated}"
    usual = "" if table.service_factor is not None else "usual "
    template += f" with the {usual}service factor of {{factor}}"
    sold = next(
        (
            size
            for size in sizes("motor", kinds.SHAFT_POWER)
            if size * motor.usual_service_factor(size) >= shaft
        ),
        None,
    )
    way = "a motor that carries {needed:up}" if sold is None else "a motor of {sold}"
    return [
        LOAD.verdict(
            "pass" if at_most(quantity, most) else "caution",
            table.name,
            say(template, shaft=quantity, rated=rated, factor=f"{factor:g}"),
            quantity=quantity,
            limit=most,
            remedy=remedy(
                way + ", or a pump that takes less",
                "a motor comes with its pump, and cable, breaker and supply follow it",
                needed=quantity,
                sold=quantity if sold is None else sold,
            ),
        )
    ]


def _load_of_any_pump(
    table: PumpTable, rated: Quantity, factor: float, water_power: float
) -> Verdict:
    """Whether a motor carries whatever pump is bought for a duty: the least efficient within its
    service factor, the usual one with that left in hand."""
    assert table.duty is not None
    least = float(np.interp(float(table.duty.flow), LEGAL_FLOWS, LEGAL_SHARES))
    usual = max(least, PUMP_SHARE)

    def asked(factor: float) -> tuple[float, float]:
        """Rated power that the least efficient and that the usual pump asks for [W]."""
        return water_power / least / factor, water_power / usual

    by_least, by_usual = asked(factor)
    sold = next(
        (
            size
            for size in sizes("motor", kinds.SHAFT_POWER)
            if max(asked(motor.usual_service_factor(size))) <= size
        ),
        None,
    )
    if by_least > by_usual:
        share, reason, carried = (
            least,
            "the least that EU 547/2012 allows such a pump",
            factor * rated,
        )
        end = f" with a service factor of {factor:g}"
    else:
        share, reason, carried = usual, "usual for such a pump", float(rated)
        end = ", its service factor left in hand"
    shaft = Quantity(water_power / share, kinds.SHAFT_POWER)
    most = Quantity(carried, kinds.SHAFT_POWER)
    needed = Quantity(max(by_least, by_usual), kinds.SHAFT_POWER)
    return LOAD.verdict(
        "pass" if at_most(shaft, most) else "caution",
        table.name,
        say(
            "at {share} efficiency, {told}, it asks {shaft} at the shaft of a motor of "
            "{rated}{end}",
            share=f"{share:.0%}", told=reason, shaft=shaft, rated=rated, end=end,
        ),
        quantity=shaft,
        limit=most,
        remedy=remedy(
            "a motor that carries {needed:up}" if sold is None else "a motor of {sold}",
            "a motor comes with its pump, and cable, breaker and supply follow it",
            needed=needed,
            sold=needed if sold is None else sold,
        ),
    )  # fmt: skip


def breaker_verdicts(
    table: PumpTable, path: str, full_load: float, device: float | None
) -> list[Verdict]:
    """Whether the breaker of a pump's circuit holds its motor, and is no larger than allowed.

    Parameters:
        full_load: full-load current by the code's table, or what it draws if that is more [A]
        device: the largest breaker that the code allows at once [A]; None where a drive's sheet
            tells it
    Returns:
        a verdict; none where the file names no breaker
    """
    rating = table.breaker
    if rating is None:
        return []
    full, held = (Quantity(amperes, kinds.CURRENT) for amperes in (
        full_load, CONTINUOUS_FACTOR * full_load))  # fmt: skip
    most = rating if device is None else Quantity(device, kinds.CURRENT)
    status: Status = "pass"
    limit, tells = held, "it has {rating} for a motor of {full}"
    if not at_least(rating, full):
        status, tells, limit = "fail", tells + ": it trips while the pump runs", full
    elif not at_least(rating, held):
        status, tells = "caution", tells + ": on a long run or at a start it may trip"
    elif not at_most(rating, most):
        status, limit = "caution", most
        tells += ": more than {most} only where that does not let the motor start"
        if not at_most(rating, EXCEPTED * full_load):
            status, tells = "fail", "it has {rating} for a motor of {full}: it clears a fault late"
    right = held if device is None else most
    return [
        BREAKER.verdict(
            status,
            table.name,
            say(tells, rating=rating, full=full, most=most),
            quantity=rating,
            limit=limit,
            remedy=remedy("a breaker of {right:up}", [set_to(f"{path}.breaker", right)],
                          right=right),
        )
    ]  # fmt: skip


def _overload(table: PumpTable, path: str) -> Verdict:
    """What stops a motor that draws too much."""
    kind, key = table.overload, f"{path}.overload"
    if kind is None:
        why = "what guards the motor against overload is not given"
        return OVERLOAD.unknown(table.name, key, why=why)
    if kind == "none":
        burns = say("nothing does: it burns, and with it the splice and the cable in the well")
        how = remedy("a control box or drive made for the motor, with overload protection",
                     [set_to(key, "in its box")])  # fmt: skip
        return OVERLOAD.verdict("fail", table.name, burns, remedy=how)
    if kind != "in a starter":
        where = "a protector in the motor" if kind == "in the motor" else (
            "its control box, drive or soft starter")  # fmt: skip
        reason = say("{where} does", where=where)
        return OVERLOAD.verdict("pass", table.name, reason, claims=[key])
    return _starter(table, path)


def _starter(table: PumpTable, path: str) -> Verdict:
    """A relay that is set by hand, against the motor's plate."""
    values = {
        "overload_current": table.overload_current,
        "full_load_current": table.full_load_current,
    }
    setting, full = table.overload_current, table.full_load_current
    if setting is None or full is None:
        missing = [f"{path}.{key}" for key, value in values.items() if value is None]
        why = "to how much of its full-load current the overload is set"
        return OVERLOAD.unknown(table.name, *missing, why=why)
    most = Quantity(OVERLOAD_MOST * full, kinds.CURRENT)
    plain = Quantity(OVERLOAD_PLAIN * full, kinds.CURRENT)
    reason = say("it is set to {setting}, the plate has {full}", setting=setting, full=full)
    if at_most(setting, plain):
        return OVERLOAD.verdict("pass", table.name, reason, quantity=setting, limit=plain)
    how = remedy(
        "set it to {plain:down} or less", [set_to(f"{path}.overload_current", plain)], plain=plain
    )
    if at_most(setting, most):
        reason = say(
            "it is set to {setting}, which asks a service factor of 1.15 or more on the plate "
            "({full})",
            setting=setting,
            full=full,
        )
        return OVERLOAD.verdict(
            "caution", table.name, reason, quantity=setting, limit=plain, remedy=how
        )
    return OVERLOAD.verdict("fail", table.name, reason, quantity=setting, limit=most, remedy=how)


def _shock(site: Site, table: PumpTable, path: str) -> Verdict:
    """Whether the circuit of a pump in a well has a ground-fault breaker where one is asked."""
    edition, key = site.site.code_edition, f"{path}.ground_fault_breaker"
    if table.ground_fault_breaker:
        return SHOCK.verdict("pass", table.name, say("the circuit has one"), claims=[key])
    if edition is not None and edition < GUARDED_SINCE:
        year = f"{edition}"
        reason = say("the electrical code of {year} asks none of a pump wired in place", year=year)
        return SHOCK.verdict("pass", table.name, reason)
    if table.ground_fault_breaker is None or edition is None:
        missing = [key] if table.ground_fault_breaker is None else []
        missing += ["site.code_edition"] if edition is None else []
        return SHOCK.unknown(table.name, *missing)
    reason = say(
        "there is none; the electrical code of {year} asks one of outlets outdoors, and whether a "
        "pump in its well is one an inspector settles",
        year=f"{edition}",
    )
    how = remedy("a ground-fault breaker for the protection of people, which pump and drive bear",
                 [set_to(key, True)])  # fmt: skip
    return SHOCK.verdict("caution", table.name, reason, remedy=how)
