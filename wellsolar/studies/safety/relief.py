"""Whether a hot tank lets go in time and takes no harm: relief, boiling, siphoning."""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.physics.tank import overheating
from wellsolar.results.heat_safety import TankSafety
from wellsolar.site.schema import Site, WaterHeaterTable
from wellsolar.studies.safety.guarded_tank import (
    BOILING_MARGIN,
    TANK,
    GuardedTank,
    temperature,
)
from wellsolar.studies.safety.numbers import RELIEF_MARGIN
from wellsolar.studies.sold.standard_sizes import next_down, next_up
from wellsolar.units import Quantity, read, show
from wellsolar.verdicts import (
    Place,
    Remedy,
    Rule,
    Verdict,
    at_least,
    at_most,
    remedy,
    say,
    set_to,
)

CUT = 20.0
"""Between the cut-in and the cut-out that a remedy names [psi]: common practice, no source."""

RELIEF = Rule(
    "relief valve",
    "does the relief valve open before the tank gives?",
    "a temperature and pressure relief valve set to no more than 210 degF and 150 psi, or the "
    "tank's plate where that is less; its bulb in the top 6 in, no valve before it. Its pipe: "
    "full size, by gravity to within 6 in of a floor or outside, open over a drain in sight and "
    "not joined to it, without trap, thread, tee or valve, of rated material, free of frost, one "
    "for each valve",
    "relief valve",
    limit_is="at most",
    safety=True,
    by="plumber",
    place=Place(section="tank_guards"),
)
CAPACITY = Rule(
    "relief capacity",
    "can the relief valve carry away all the heat?",
    "capacity on its plate at least the greatest heat of all elements at once: the array's in the "
    "coldest bright sun, whatever the element's plate says",
    "relief valve",
    limit_is="at least",
    safety=True,
    by="plumber",
    place=Place(section="tank_guards"),
)
PRESSURE = Rule(
    "pressure at the relief valve",
    "does the pump's pressure stay below the relief valve's?",
    "pressure at which the pumps stop below the relief valve's setting, and by 10 % so that it "
    "does not weep, which is wellsolar's mark",
    "relief margin",
    limit_is="at most",
    safety=True,
    by="plumber",
    place=Place(section="tank_guards"),
)
BOILING = Rule(
    "boiling",
    "can the tank boil when it has no pressure?",
    "high limit at least 2 K (3.6 degF) below the open boiling point at the site's altitude, as "
    "the weather moves that: with the pump off and a tap open nothing holds the water back from "
    "boiling",
    "boiling",
    limit_is="at most",
    safety=True,
    by="plumber",
    place=Place(section="tank_guards"),
)
VACUUM = Rule(
    "vacuum relief",
    "can the tank be siphoned empty?",
    "a vacuum relief valve where the tank stands higher than taps that it feeds; for every other "
    "tank something against siphoning, be it a hole near the top of its dip tube",
    "vacuum relief",
    safety=True,
    by="plumber",
    place=Place(section="tank_guards"),
    claims=("vacuum_relief",),
)


def relief_verdicts(site: Site, tank: GuardedTank) -> list[Verdict]:
    """Relief valve, its capacity, the pressure below it, and boiling."""
    verdicts = [_relief(site, tank), _capacity(tank)]
    if tank.safety.pressure.supply is not None:
        verdicts.append(_pressure(site, tank))
    return [*verdicts, _boiling(site, tank)]


def _greatest_pressure(tank: GuardedTank) -> Quantity:
    """The highest that a relief valve may be set to: 150 psi, or the tank's plate."""
    usual = Quantity(overheating.RELIEF_PRESSURE, kinds.PRESSURE)
    plate = tank.table.working_pressure
    return usual if plate is None else min(usual, plate)


def _relief(site: Site, tank: GuardedTank) -> Verdict:
    """Whether the valve opens at no more than the tank bears."""
    hot, press = tank.table.relief_temperature, tank.table.relief_pressure
    ratings = {
        "relief_temperature": hot,
        "relief_pressure": press,
        "working_pressure": tank.table.working_pressure,
    }
    missing = [f"{tank.path}.{key}" for key, value in ratings.items() if value is None]
    most_hot = temperature(overheating.RELIEF_TEMPERATURE)
    most_press = _greatest_pressure(tank)
    cool = hot is None or at_most(hot, most_hot)
    slack = press is None or at_most(press, most_press)
    if cool and slack and missing:
        return RELIEF.unknown(tank.subject, *missing[:2])
    reason = "it opens at {hot} or {press}"
    parts: dict[str, Quantity | str] = {"hot": hot or most_hot, "press": press or most_press}
    if tank.table.working_pressure is not None:
        reason += "; the tank is made for {plate}"
        parts["plate"] = tank.table.working_pressure
    return RELIEF.verdict(
        "pass" if cool and slack else "fail",
        tank.subject,
        say(reason, **parts),
        quantity=hot if slack or not cool else press,
        limit=most_hot if slack or not cool else most_press,
        remedy=_right_valve(site, tank),
    )


def _right_valve(site: Site, tank: GuardedTank) -> Remedy:
    """A valve for this tank, or a stronger tank where the pumps' pressure leaves no room."""
    most_hot = read("210 degF", kinds.TEMPERATURE)
    most = _greatest_pressure(tank)
    press = next_down("relief valve", most, kinds.PRESSURE, site.site.print_units)
    supply = Quantity(tank.safety.pressure.supply or 0.0, kinds.PRESSURE)
    changes = [set_to(f"{tank.path}.relief_temperature", most_hot)]
    if press is None or not at_most(supply, (1.0 - RELIEF_MARGIN) * press):
        usual = read("150 psi", kinds.PRESSURE)
        changes += [
            set_to(f"{tank.path}.{key}", usual) for key in ("relief_pressure", "working_pressure")
        ]
        template = "a tank made for {press}, as the pumps stop at {supply}, and a valve set to "
        template += "{hot} and {press}"
        return remedy(template, changes, hot=most_hot, press=usual, supply=supply)
    changes.append(set_to(f"{tank.path}.relief_pressure", press))
    return remedy("one set to {hot} and {press}", changes, hot=most_hot, press=press)


def _capacity(tank: GuardedTank) -> Verdict:
    """Whether the valve carries away all the heat."""
    heat = Quantity(tank.safety.heat_input, kinds.HEAT_INPUT)
    capacity, key = tank.table.relief_capacity, f"{tank.path}.relief_capacity"
    if capacity is None:
        most = " or ".join(show(heat, kinds.HEAT_INPUT, system) for system in ("US", "SI"))
        return CAPACITY.unknown(tank.subject, key, why=f"the tank takes up {most} at most")
    carries = Quantity(capacity, kinds.HEAT_INPUT)
    inputs, parts = _inputs(tank.safety)
    sold = next_up("relief capacity", heat, kinds.HEAT_INPUT) or heat
    return CAPACITY.verdict(
        "pass" if at_least(carries, heat) else "fail",
        tank.subject,
        say(
            "it carries {carries}; the tank takes up {heat:up} at most" + inputs,
            carries=carries,
            heat=heat,
            **parts,
        ),
        quantity=carries,
        limit=heat,
        remedy=remedy(
            "a valve with at least {heat:up} on its plate, such as one of {sold:up}",
            [set_to(key, sold)],
            heat=heat,
            sold=sold,
        ),
    )


def _inputs(safety: TankSafety) -> tuple[str, dict[str, Quantity | str]]:
    """Where the heat comes from where modules are wired to the tank, for a sentence's end."""
    if safety.array_input <= 0.0:
        return "", {}
    template = ": {array} from the array in the coldest bright sun"
    array = Quantity(safety.array_input, kinds.COMPUTED_POWER)
    parts: dict[str, Quantity | str] = {"array": array}
    others = safety.heat_input - safety.array_input
    if others > 0:
        template += " and {others} from what else heats it"
        parts["others"] = Quantity(others, kinds.POWER)
    return template, parts


def _pressure(site: Site, tank: GuardedTank) -> Verdict:
    """Whether the pumps stop well below the valve's setting."""
    pressure = tank.safety.pressure
    assert pressure.supply is not None
    supply = Quantity(pressure.supply, kinds.PRESSURE)
    limit = Quantity(pressure.limit, kinds.PRESSURE)
    below = at_most(supply, limit)
    quantity = tank.table.relief_pressure
    if below and quantity is None:
        return PRESSURE.unknown(tank.subject, f"{tank.path}.relief_pressure")
    whose = "its setting" if quantity is not None else "the usual setting"
    return PRESSURE.verdict(
        "pass" if below else "caution" if supply < pressure.relief_pressure else "fail",
        tank.subject,
        say(
            "the pumps stop at {supply}; the relief valve opens at {relief}, {whose}",
            supply=supply,
            relief=Quantity(pressure.relief_pressure, kinds.PRESSURE),
            whose=whose,
        ),
        quantity=supply,
        limit=limit,
        remedy=_more_room(site, tank, supply, limit),
    )


def _more_room(site: Site, tank: GuardedTank, supply: Quantity, limit: Quantity) -> Remedy:
    """A stronger relief valve where the tank bears it, or pumps that stop earlier."""
    lower = "a cut-out or held pressure of no more than {limit:down}"
    valve = next_up(
        "relief valve", supply / (1.0 - RELIEF_MARGIN), kinds.PRESSURE, site.site.print_units
    )
    if valve is not None and at_most(valve, _greatest_pressure(tank)):
        return remedy(
            "a relief valve set to {valve}, where the tank's plate bears it; or " + lower,
            [set_to(f"{tank.path}.relief_pressure", valve)],
            valve=valve,
            limit=limit,
        )
    psi = math.floor(limit.to("psi") + 1e-6)
    cut_out = read(f"{psi} psi", kinds.PRESSURE)
    changes = [
        set_to(f"pump[{number}].held_pressure", cut_out)
        for number, pump in enumerate(site.pump, 1)
        if pump.held_pressure is not None and pump.held_pressure > limit
    ]
    if site.pressure_switch is not None and site.pressure_switch.cut_out > limit:
        cut_in = read(f"{max(1.0, psi - CUT):g} psi", kinds.PRESSURE)
        changes += [
            set_to("pressure_switch.cut_in", cut_in),
            set_to("pressure_switch.cut_out", cut_out),
        ]
        if site.pressure_tank is not None:
            charge = read(f"{max(0.5, psi - CUT - 2.0):g} psi", kinds.PRESSURE)
            changes.append(set_to("pressure_tank.precharge", charge))
    return remedy(lower, changes, limit=limit)


def _boiling(site: Site, tank: GuardedTank) -> Verdict:
    """Whether the tank could boil with the pressure gone."""
    safety = tank.safety
    boils, guard = temperature(safety.boiling_temperature), temperature(safety.guarded)
    most = temperature(safety.boiling_temperature - BOILING_MARGIN)
    below = at_most(guard, most)
    runs_hotter = safety.hottest >= boils
    if tank.table.high_limit is None and not (below or runs_hotter):
        return BOILING.unknown(tank.subject, f"{tank.path}.high_limit")
    reason = "without pressure water boils at {boils} here, {altitude} up, and a deep low takes "
    reason += "{margin} off that; "
    parts: dict[str, Quantity | str] = {
        "boils": boils,
        "altitude": site.site.altitude,
        "margin": Quantity(BOILING_MARGIN, kinds.TEMPERATURE_DIFFERENCE),
    }
    if below:
        what = "relief valve" if tank.table.high_limit is None else "high limit"
        reason += f"the {what} stops the tank at {{guard}}"
    elif runs_hotter:
        reason += "the thermostat is set to {hottest}"
        parts["hottest"] = temperature(safety.hottest)
    else:
        reason += "the high limit lets it come to {guard}"
    if below or not runs_hotter:
        parts["guard"] = guard
    limit, changes = tank.cooler()
    return BOILING.verdict(
        "pass" if below else "fail" if runs_hotter else "caution",
        tank.subject,
        say(reason, **parts),
        quantity=guard,
        limit=most,
        remedy=remedy(
            "a high limit of no more than {limit:down}, and the thermostat below it",
            changes,
            limit=limit,
        ),
    )


def vacuum_verdict(heater: WaterHeaterTable) -> Verdict:
    """Whether the tank can be siphoned empty."""
    key = "water_heater.vacuum_relief"
    if heater.vacuum_relief:
        reason = "something lets air in before it is emptied"
        return VACUUM.verdict("pass", TANK, say(reason), claims=[key])
    missing = [key] if heater.vacuum_relief is None else []
    missing = ["water_heater.above_fixtures"] * (heater.above_fixtures is None) + missing
    if missing:
        return VACUUM.unknown(TANK, *missing)
    if heater.above_fixtures:
        reason = "it stands higher than taps that it feeds: with the water off an open tap "
        reason += "siphons it empty, and the element is dry"
        wanted = "a vacuum relief valve to CSA Z21.22 on the cold pipe above the tank"
    else:
        reason = (
            "it stands no higher than the taps it feeds, but with the water off a lower drain "
        )
        reason += "or a leak in the line can siphon it empty, and the element is dry"
        wanted = "a vacuum relief valve to CSA Z21.22 on the cold pipe above the tank, or a dip "
        wanted += "tube with a hole near its top"
    return VACUUM.verdict(
        "fail" if heater.above_fixtures else "caution",
        TANK,
        say(reason),
        remedy=remedy(wanted, [set_to(key, True)]),
    )
