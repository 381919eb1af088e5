"""What a pump's motor takes while it runs and in the moment it starts: against the inverter, and
the dip of its voltage through the cable and behind a generator."""

from __future__ import annotations

from dataclasses import replace

from wellsolar import kinds
from wellsolar.data.wiring import gauges
from wellsolar.errors import OutOfRange
from wellsolar.physics.electric import motor
from wellsolar.results import StartResult, WireResult
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.electric.cable import SMALLEST, START_DIP, line_resistance
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Sentence, Status, Verdict, say

SOFT_START_SHARE = 0.5
"""Starting current behind a soft starter over that of a direct start: common practice, no
source."""

NEAR_SURGE = 0.8
"""Share of the inverter's surge above which a start is called tight: common practice, no
source."""

SURGE = Rule(
    "inverter surge",
    "does the inverter start the pump?",
    "apparent power at start within the inverter's surge rating, a fifth of it to spare",
    "locked rotor",
    limit_is="at most",
    place=Place(section="pump_#"),
)

RATING = Rule(
    "inverter rating",
    "does the inverter run the pump?",
    "running apparent power within the inverter's continuous rating",
    "common practice",
    limit_is="at most",
    place=Place(section="pump_#"),
)

VOLTAGE = Rule(
    "supply voltage",
    "do pump and inverter have the same voltage?",
    "the pump's voltage is the inverter's, within 10 %",
    "common practice",
    place=Place(section="pump_#"),
)

GREATEST_DIP = 0.35
"""Share of the voltage at which a submersible motor may not start: trade tables of generators for
them keep 65 % of the rated voltage."""

GENERATOR_REACTANCE = 0.25
"""Transient reactance of a small generator on its own rating: common practice, no source."""

LOCKED_ROTOR_POWER_FACTOR = 0.6
"""Of a small motor at rest: common practice, no source."""

DIP = Rule(
    "voltage at start",
    "does the motor keep its voltage as it starts?",
    "dip through the cable at the starting current no more than 15 %, and never above 35 %",
    "start dip",
    limit_is="at most",
    place=Place(section="pump_#"),
)

GENERATOR = Rule(
    "generator start",
    "does the generator start the pump?",
    "rating that runs the motor and leaves it 65 % of its voltage at start, with a reactance of "
    "25 % and nothing else on the generator",
    "generator start",
    limit_is="at least",
    place=Place(section="pump_#"),
)


def start_of(pump: PumpTable, input_power: float) -> StartResult | None:
    """Running and starting current of an alternating-current pump.

    Parameters:
        pump: the pump's table
        input_power: the greatest electrical power it takes on this well [W]
    Returns:
        the currents; None for a direct-current pump or where the file does not tell the voltage
        or what the start takes
    """
    if pump.supply == "DC" or pump.voltage is None:
        return None
    running = running_current(pump, input_power)
    drawn = _starting_current(pump, running)
    if drawn is None:
        return None
    current, how = drawn
    apparent = float(motor.apparent_power(current, pump.voltage, pump.phases))
    return StartResult(running, current, apparent, how)


def running_current(pump: PumpTable, input_power: float) -> float:
    """Current at the greatest power on this well, or the plate's full load if that is more [A]."""
    return max(current_of(pump, input_power), float(pump.full_load_current or 0.0))


def current_of(pump: PumpTable, input_power: float) -> float:
    """Current of a pump at an electrical power [W] by its voltage and power factor [A]."""
    assert pump.voltage is not None
    factor = 1.0 if pump.supply == "DC" else float(pump.power_factor)
    return float(motor.running_current(input_power, pump.voltage, factor, pump.phases))


def code_current(pump: PumpTable, running: float) -> float:
    """Full-load current that a conductor is sized for [A].

    That of the code's table for the motor power, or the running current where the table has no
    such motor or less; a submersible's plate often states more than the table.
    """
    if pump.rated_power is None or pump.voltage is None or pump.supply == "DC" or pump.phases == 3:
        return running
    try:
        table = motor.full_load_current(pump.rated_power, pump.voltage)
    except OutOfRange:
        return running
    return max(running, table)


def _starting_current(pump: PumpTable, running: float) -> tuple[float, str] | None:
    if pump.starting_current is not None:
        return float(pump.starting_current), "starting current as the file gives it"
    if pump.start == "variable speed":
        return running, "a variable-speed drive ramps up: no more than the running current"
    locked = _locked_rotor_current(pump)
    if locked is None:
        return None
    current, how = locked
    if pump.start == "soft":
        return SOFT_START_SHARE * current, f"soft start taken as half of {how}"
    return current, how


def _locked_rotor_current(pump: PumpTable) -> tuple[float, str] | None:
    assert pump.voltage is not None
    voltage = float(pump.voltage)
    if pump.locked_rotor_current is not None:
        return float(pump.locked_rotor_current), "the locked-rotor current of the file"
    if pump.rated_power is None:
        return None
    if pump.code_letter is not None:
        power = motor.locked_rotor_apparent_power(pump.code_letter, pump.rated_power)[1]
        return (
            float(motor.current(power, voltage, pump.phases)),
            f"code letter {pump.code_letter}, upper end",
        )
    if pump.phases == 3:
        return None
    try:
        current = motor.locked_rotor_current_table(pump.rated_power, voltage)
    except OutOfRange:
        return None
    return current, "the code's table for the motor power"


def with_dips(
    site: Site, pump: PumpTable, start: StartResult | None, wire: WireResult | None
) -> StartResult | None:
    """A start with the dips in the cable and behind the site's generator.

    Parameters:
        site: the site
        pump: the pump's table
        start: from `starting.start_of`
        wire: the pump's run of cable
    Returns:
        the start; None where there was none
    """
    if start is None or wire is None or pump.voltage is None or start.starting_current <= 0.0:
        return start
    voltage, ohms = float(pump.voltage), _line_resistance(pump, wire)
    dip = None
    if wire.gauge is not None and pump.start != "variable speed":
        dip = float(motor.starting_voltage_dip(start.starting_current, voltage, ohms))
    rating = site.power.generator_rating
    behind = None
    if rating is not None and pump.start != "variable speed":
        reactance = motor.source_reactance(rating, voltage, GENERATOR_REACTANCE, pump.phases)
        moment = motor.start_through_supply(
            start.starting_current, voltage, LOCKED_ROTOR_POWER_FACTOR, ohms, 0.0, reactance
        )
        behind = float(moment.motor_dip)
    return replace(
        start,
        cable_dip=dip,
        generator_dip=behind,
        generator_needed=_generator_needed(pump, start, voltage, ohms),
    )


def _line_resistance(pump: PumpTable, wire: WireResult) -> float:
    """Voltage lost in the cable for each ampere of line current [ohm]."""
    gauge = wire.gauge or wire.smallest_gauge or gauges()[-1]
    return line_resistance(gauge, wire.length, pump.phases)


def _generator_needed(
    pump: PumpTable, start: StartResult, voltage: float, ohms: float
) -> float | None:
    """Least rating that runs the pump and keeps the voltage its start needs [VA]; None where the
    cable alone takes too much."""
    running = start.running_current * start.starting_apparent_power / start.starting_current
    if pump.start == "variable speed":
        return running
    reactance = motor.greatest_source_reactance(
        start.starting_current, voltage, LOCKED_ROTOR_POWER_FACTOR, ohms, GREATEST_DIP
    )
    if reactance <= 0.0:
        return None
    of_one = float(motor.source_reactance(1.0, voltage, GENERATOR_REACTANCE, pump.phases))
    return max(running, of_one / reactance)


def inverter_verdicts(
    site: Site, pump: PumpTable, start: StartResult | None, input_power: float, path: str
) -> list[Verdict]:
    """Whether the site's inverter can run and start a pump.

    Parameters:
        site: the site
        pump: the pump's table
        start: from `start_of`
        input_power: the greatest electrical power it takes on this well [W]
        path: the pump's key path, such as `pump[1]`
    Returns:
        verdicts; none for a direct-current pump, which runs from its own controller
    """
    if pump.supply == "DC":
        return []
    return [
        *_voltage(site, pump),
        _rating(site, pump, input_power),
        _surge(site, pump, start, path),
    ]


def _voltage(site: Site, pump: PumpTable) -> list[Verdict]:
    inverter = site.power.inverter_voltage
    if inverter is None or pump.voltage is None:
        return []
    agrees = abs(pump.voltage / inverter - 1) <= 0.1
    return [
        VOLTAGE.verdict(
            "pass" if agrees else "fail",
            pump.name,
            say(
                "the pump takes {pump}, the inverter gives {inverter}",
                pump=pump.voltage,
                inverter=inverter,
            ),
            quantity=pump.voltage,
            limit=inverter,
            remedy=say(
                "a pump or an inverter of the same voltage, or a transformer sized for the start"
            ),
        )
    ]


def _rating(site: Site, pump: PumpTable, input_power: float) -> Verdict:
    rating = site.power.inverter_rating
    if rating is None:
        return RATING.unknown(pump.name, "power.inverter_rating")
    assert pump.voltage is not None
    current = running_current(pump, input_power)
    running = float(motor.apparent_power(current, pump.voltage, pump.phases))
    enough = running <= rating
    return RATING.verdict(
        "pass" if enough else "fail",
        pump.name,
        say(
            "it runs at {current}, {power}, of {rating}",
            current=Quantity(current, kinds.CURRENT),
            power=Quantity(running, kinds.APPARENT_POWER),
            rating=Quantity(rating, kinds.APPARENT_POWER),
        ),
        quantity=Quantity(running, kinds.APPARENT_POWER),
        limit=Quantity(rating, kinds.APPARENT_POWER),
        remedy=say(
            "an inverter of {power:up} or more",
            power=Quantity(running, kinds.APPARENT_POWER),
        ),
    )


def _surge(site: Site, pump: PumpTable, start: StartResult | None, path: str) -> Verdict:
    surge = site.power.inverter_surge
    missing = ["power.inverter_surge"] if surge is None else []
    missing += [f"{path}.locked_rotor_current"] if start is None else []
    if surge is None or start is None:
        return SURGE.unknown(pump.name, *missing)
    wanted = start.starting_apparent_power
    status: Status = (
        "fail" if wanted > surge else "caution" if wanted > NEAR_SURGE * surge else "pass"
    )
    return SURGE.verdict(
        status,
        pump.name,
        say(
            "starting takes {current}, {power} ({how}), of {surge} surge",
            current=Quantity(start.starting_current, kinds.CURRENT),
            power=Quantity(wanted, kinds.APPARENT_POWER),
            how=start.how,
            surge=surge,
        ),
        quantity=Quantity(wanted, kinds.APPARENT_POWER),
        limit=surge,
        remedy=None
        if status == "pass"
        else say(
            "a surge rating of {wanted:up}, or a starter that holds the current to {allowed:down}",
            wanted=Quantity(wanted / NEAR_SURGE, kinds.APPARENT_POWER),
            allowed=Quantity(NEAR_SURGE * surge / wanted * start.starting_current, kinds.CURRENT),
        ),
    )


def dip_verdicts(
    site: Site, pump: PumpTable, start: StartResult | None, wire: WireResult | None, path: str
) -> list[Verdict]:
    """Whether the motor keeps its voltage at start.

    Parameters:
        site: the site
        pump: the pump's table
        start: from `with_dips`
        wire: the pump's run of cable
        path: the pump's key path, such as `pump[1]`
    Returns:
        verdicts; none where the file names neither cable nor generator, or the pump runs on
        direct current from its own controller
    """
    if pump.supply == "DC" or (start is not None and start.starting_current <= 0.0):
        return []  # Its own controller, or a pump that gives no water here.
    verdicts = []
    if start is not None and start.cable_dip is not None and wire is not None:
        verdicts.append(_through_cable(pump, start, wire, start.cable_dip))
    if site.power.generator_rating is not None:
        verdicts.append(_behind_generator(site, pump, start, path))
    return verdicts


def _through_cable(pump: PumpTable, start: StartResult, wire: WireResult, lost: float) -> Verdict:
    dip, limit = Quantity(lost, kinds.FRACTION), Quantity(START_DIP, kinds.FRACTION)
    status: Status = "pass" if lost <= START_DIP else "caution" if lost <= GREATEST_DIP else "fail"
    return DIP.verdict(
        status,
        pump.name,
        say(
            "{current} at start in {length} of {gauge} lowers the voltage by {dip}",
            current=Quantity(start.starting_current, kinds.CURRENT),
            length=Quantity(wire.length, kinds.LENGTH),
            gauge=wire.gauge or "",
            dip=dip,
        ),
        quantity=dip,
        limit=limit,
        remedy=None if status == "pass" else _gentler(pump, wire),
    )


def _gentler(pump: PumpTable, wire: WireResult) -> Sentence:
    assert pump.voltage is not None
    ohms = _line_resistance(pump, wire)
    allowed = float(motor.greatest_starting_current(pump.voltage, ohms, START_DIP))
    current = Quantity(allowed, kinds.CURRENT)
    if wire.smallest_gauge is None:
        return say("a starter that holds the current to {current:down}", current=current)
    return say(
        f"use {{gauge}}, {SMALLEST}, or a starter that holds the current to {{current:down}}",
        gauge=wire.smallest_gauge,
        current=current,
    )


def _behind_generator(
    site: Site, pump: PumpTable, start: StartResult | None, path: str
) -> Verdict:
    rating = site.power.generator_rating
    assert rating is not None
    if start is None:
        return GENERATOR.unknown(pump.name, f"{path}.locked_rotor_current")
    has = Quantity(rating, kinds.APPARENT_POWER)
    parts: dict[str, Quantity | str] = {"has": has}
    reason = "a variable-speed drive starts within its running current, of {has}"
    if start.generator_dip is not None:
        reason = "{current} at start lowers the voltage of a generator of {has} by {dip}"
        parts["current"] = Quantity(start.starting_current, kinds.CURRENT)
        parts["dip"] = Quantity(start.generator_dip, kinds.FRACTION)
    if start.generator_needed is None:
        remedy = say(
            "a thicker cable or a gentler start: no generator makes up for the drop in the cable"
        )
        return GENERATOR.verdict("fail", pump.name, say(reason, **parts), remedy=remedy)
    needed = Quantity(start.generator_needed, kinds.APPARENT_POWER)
    enough = has >= needed
    return GENERATOR.verdict(
        "pass" if enough else "fail",
        pump.name,
        say(reason, **parts),
        quantity=has,
        limit=needed,
        remedy=say("a generator of {needed:up} or more, or a soft start", needed=needed),
    )
