"""Whether a hot tank lets go in time and takes no harm: relief, boiling, siphoning."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.physics.tank import overheating
from wellsolar.results import TankSafety
from wellsolar.site.schema import Site, WaterHeaterTable
from wellsolar.studies.safety.guarded_tank import TANK, GuardedTank, temperature
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Place, Rule, Verdict, say

SLACK = 0.01
"""Round-off of a temperature that is no breach [K]."""

BOILING_MARGIN = 2.0
"""How far below the boiling point a remedy sets the high limit [K], for the weather's low
pressure: our choice."""

RELIEF = Rule(
    "relief valve",
    "does the relief valve open before the tank gives?",
    "a temperature and pressure relief valve set to no more than 210 degF and 150 psi, the usual "
    "rating of a tank; its bulb in the top 6 in, no valve before it, its pipe full size and open",
    "relief valve",
    limit_is="at most",
    safety=True,
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
    place=Place(section="tank_guards"),
)
PRESSURE = Rule(
    "pressure at the relief valve",
    "does the pump's pressure stay below the relief valve's?",
    "pressure at which the pumps stop at least 10 % below the relief valve's setting",
    "relief margin",
    limit_is="at most",
    safety=True,
    place=Place(section="tank_guards"),
)
BOILING = Rule(
    "boiling",
    "can the tank boil when it has no pressure?",
    "high limit below the open boiling point at the site's altitude: with the pump off and a tap "
    "open nothing holds the water back from boiling",
    "boiling",
    limit_is="at most",
    safety=True,
    place=Place(section="tank_guards"),
)
VACUUM = Rule(
    "vacuum relief",
    "can the tank be siphoned empty?",
    "a vacuum relief valve where the tank stands higher than taps that it feeds",
    "vacuum relief",
    safety=True,
    place=Place(section="tank_guards"),
)


def relief_verdicts(site: Site, tank: GuardedTank) -> list[Verdict]:
    """Relief valve, its capacity, the pressure below it, and boiling.

    Parameters:
        site: the site
        tank: the heater's own, or one downstream
    Returns:
        verdicts, all of them on safety
    """
    verdicts = [_relief(tank), _capacity(tank)]
    if tank.safety.pressure.supply is not None:
        verdicts.append(_pressure(tank))
    if tank.high_limit is not None:
        verdicts.append(_boiling(site, tank))
    return verdicts


def _relief(tank: GuardedTank) -> Verdict:
    """Whether the valve opens at no more than the usual rating of a tank."""
    hot, press = tank.relief_temperature, tank.relief_pressure
    if hot is None or press is None:
        missing = [f"{tank.path}.relief_temperature"] if hot is None else []
        missing += [f"{tank.path}.relief_pressure"] if press is None else []
        return RELIEF.unknown(tank.subject, *missing)
    most_hot = temperature(overheating.RELIEF_TEMPERATURE)
    most_press = Quantity(overheating.RELIEF_PRESSURE, kinds.PRESSURE)
    cool, slack = hot <= most_hot + SLACK, press <= most_press * (1 + 1e-9)
    right = cool and slack
    too_strong = cool and not slack
    return RELIEF.verdict(
        "pass" if right else "fail",
        tank.subject,
        say("it opens at {hot} or {press}", hot=hot, press=press),
        quantity=press if too_strong else hot,
        limit=most_press if too_strong else most_hot,
        remedy=None
        if right
        else say("one set to {hot} and {press}", hot=most_hot, press=most_press),
    )


def _capacity(tank: GuardedTank) -> Verdict:
    """Whether the valve carries away all the heat."""
    heat = Quantity(tank.safety.heat_input, kinds.HEAT_INPUT)
    if tank.relief_capacity is None:
        most = " or ".join(show(heat, kinds.HEAT_INPUT, system) for system in ("US", "SI"))
        return CAPACITY.unknown(
            tank.subject, f"{tank.path}.relief_capacity", why=f"the tank takes up {most} at most"
        )
    carries = Quantity(tank.relief_capacity, kinds.HEAT_INPUT)
    enough = carries >= heat * (1 - 1e-9)
    inputs, parts = _inputs(tank.safety)
    return CAPACITY.verdict(
        "pass" if enough else "fail",
        tank.subject,
        say(
            "it carries {carries}; the tank takes up {heat} at most" + inputs,
            carries=carries,
            heat=heat,
            **parts,
        ),
        quantity=carries,
        limit=heat,
        remedy=None if enough else say("a valve with at least {heat:up} on its plate", heat=heat),
    )


def _inputs(safety: TankSafety) -> tuple[str, dict[str, Quantity | str]]:
    """Where the heat comes from where modules are wired to the tank, for a sentence's end."""
    if safety.array_input <= 0.0:
        return "", {}
    template = ": {array} from the array in the coldest bright sun"
    parts: dict[str, Quantity | str] = {"array": Quantity(safety.array_input, kinds.POWER)}
    others = safety.heat_input - safety.array_input
    if others > 0:
        template += " and {others} from what else heats it"
        parts["others"] = Quantity(others, kinds.POWER)
    return template, parts


def _pressure(tank: GuardedTank) -> Verdict:
    """Whether the pumps stop well below the valve's setting."""
    pressure = tank.safety.pressure
    assert pressure.supply is not None
    supply = Quantity(pressure.supply, kinds.PRESSURE)
    limit = Quantity(pressure.limit, kinds.PRESSURE)
    below = supply <= limit * (1 + 1e-9)
    whose = "its setting" if tank.relief_pressure is not None else "the usual setting"
    return PRESSURE.verdict(
        "pass" if below else "fail",
        tank.subject,
        say(
            "the pumps stop at {supply}; the relief valve opens at {relief}, {whose}",
            supply=supply,
            relief=Quantity(pressure.relief_pressure, kinds.PRESSURE),
            whose=whose,
        ),
        quantity=supply,
        limit=limit,
        remedy=None
        if below
        else say("a cut-out or held pressure of no more than {limit:down}", limit=limit),
    )


def _boiling(site: Site, tank: GuardedTank) -> Verdict:
    """Whether the tank could boil with the pressure gone."""
    safety = tank.safety
    boils = temperature(safety.boiling_temperature)
    guard = temperature(safety.guarded)
    below = guard < boils - SLACK
    runs_hotter = safety.hottest >= boils - SLACK
    reason = "without pressure water boils at {boils} here, {altitude} up; "
    if below:
        reason += "the high limit stops the tank at {guard}"
    elif runs_hotter:
        reason += "the thermostat is set to {hottest}"
    else:
        reason += "the high limit lets it come to {guard}"
    parts: dict[str, Quantity | str] = {"boils": boils, "altitude": site.site.altitude}
    parts["hottest" if runs_hotter and not below else "guard"] = (
        temperature(safety.hottest) if runs_hotter and not below else guard
    )
    return BOILING.verdict(
        "pass" if below else "fail" if runs_hotter else "caution",
        tank.subject,
        say(reason, **parts),
        quantity=guard,
        limit=boils,
        remedy=None
        if below
        else say(
            "a high limit of no more than {most:down}, and the thermostat below it",
            most=temperature(safety.boiling_temperature - BOILING_MARGIN),
        ),
    )


def vacuum_verdict(heater: WaterHeaterTable) -> Verdict:
    """Whether the tank can be siphoned empty.

    Parameters:
        heater: the heater's table
    Returns:
        a verdict
    """
    if heater.above_fixtures is None:
        return VACUUM.unknown(TANK, "water_heater.above_fixtures")
    if not heater.above_fixtures:
        return VACUUM.verdict("pass", TANK, say("it stands no higher than the taps it feeds"))
    if heater.vacuum_relief is None:
        return VACUUM.unknown(TANK, "water_heater.vacuum_relief")
    return VACUUM.verdict(
        "pass" if heater.vacuum_relief else "fail",
        TANK,
        say("it stands higher than taps that it feeds, and has a vacuum relief valve")
        if heater.vacuum_relief
        else say(
            "it stands higher than taps that it feeds: with the water off an open tap siphons it "
            "empty, and the element is dry"
        ),
        remedy=None
        if heater.vacuum_relief
        else say("a vacuum relief valve to CSA Z21.22 on the cold pipe above the tank"),
    )
