"""What a pump's motor takes while it runs and in the moment it starts: against the inverter, and
the dip of its voltage through the cable and behind a generator."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

from wellsolar import kinds
from wellsolar.data.wiring import wires
from wellsolar.errors import OutOfRange
from wellsolar.physics.electric import motor
from wellsolar.results.pumps import StartResult, WireResult
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.electric.cable import (
    LOCKED_ROTOR_POWER_FACTOR,
    SMALLEST,
    START_DIP,
    line_resistance,
)
from wellsolar.studies.electric.supplies import has_inverter, has_no_inverter, on_solar_drive
from wellsolar.studies.sold.standard_sizes import next_up
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Place,
    Remedy,
    Rule,
    Status,
    Verdict,
    at_least,
    at_most,
    remedy,
    say,
    set_to,
)

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
    by="electrician",
    read_by="owner",
    place=Place(section="pump_#"),
)

RATING = Rule(
    "inverter rating",
    "does the inverter run the pump?",
    "running apparent power within the inverter's continuous rating, by the code's table for the "
    "motor where no curve of its sheet tells its power",
    "motor full load",
    limit_is="at most",
    by="electrician",
    read_by="owner",
    place=Place(section="pump_#"),
)

VOLTAGE_BAND = 0.1
"""How far a motor's supply may be off its rated voltage, NEMA MG 1, 12.44.1."""

VOLTAGE = Rule(
    "supply voltage",
    "do pump and inverter have the same voltage?",
    "the inverter gives the pump's rated voltage, within 10 % of that",
    "supply voltage",
    by="electrician",
    read_by="owner",
    place=Place(section="pump_#"),
)

GENERATOR_REACTANCE = 0.25
"""Transient reactance of a small generator on its own rating: common practice, no source."""

DIP = Rule(
    "voltage at start",
    "does the motor keep its voltage as it starts?",
    "dip through the cable at the starting current no more than 35 %, at the power factor of a "
    "locked rotor",
    "start dip",
    limit_is="at most",
    by="electrician",
    place=Place(section="pump_#"),
)

GENERATOR = Rule(
    "generator start",
    "does the generator start the pump?",
    "rating that runs the motor and leaves it 65 % of its voltage at start, with a reactance of "
    "25 % and nothing else on the generator",
    "generator start",
    limit_is="at least",
    by="electrician",
    read_by="owner",
    place=Place(section="pump_#"),
)


def start_of(pump: PumpTable, input_power: float) -> StartResult | None:
    """Running and starting current of an alternating-current pump.

    Parameters:
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
    apparent = motor.apparent_power(current, pump.voltage, pump.phases)
    return StartResult(running, current, apparent, how)


def running_current(pump: PumpTable, input_power: float) -> float:
    """The most that a pump takes while it runs [A]: at its greatest power on this well, by the
    plate's full load if that is more, and by the code's table for the motor where no curve of its
    sheet tells its power."""
    known = max(current_of(pump, input_power), float(pump.full_load_current or 0.0))
    return known if pump.power is not None else max(known, full_load(pump))


def full_load(pump: PumpTable) -> float:
    """Full-load current of a motor by the code's tables [A]; 0 where they have no such motor."""
    if pump.rated_power is None or pump.voltage is None or pump.supply == "DC":
        return 0.0
    try:
        return motor.full_load_current(pump.rated_power, pump.voltage, pump.phases)
    except OutOfRange:
        return 0.0


def full_load_power(pump: PumpTable) -> float:
    """Electrical power at full load by the code's tables [W]; 0 where they have no such motor."""
    if pump.voltage is None:
        return 0.0
    apparent = motor.apparent_power(full_load(pump), pump.voltage, pump.phases)
    return apparent * pump.power_factor


def current_of(pump: PumpTable, input_power: float) -> float:
    """Current of a pump at an electrical power [W] by its voltage and power factor [A]."""
    assert pump.voltage is not None
    factor = 1.0 if pump.supply == "DC" else float(pump.power_factor)
    return motor.running_current(input_power, pump.voltage, factor, pump.phases)


def code_current(pump: PumpTable, running: float) -> float:
    """Full-load current that a conductor is sized for [A].

    That of the code's table for the motor power, or the running current where the table has no
    such motor or less; a submersible's plate often states more than the table.
    """
    return max(running, full_load(pump))


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
            motor.current(power, voltage, pump.phases),
            f"code letter {pump.code_letter}, upper end",
        )
    try:
        current = motor.locked_rotor_current_table(pump.rated_power, voltage, pump.phases)
    except OutOfRange:
        return None
    return current, "the code's table for the motor power"


def with_dips(
    site: Site, pump: PumpTable, start: StartResult | None, wire: WireResult | None
) -> StartResult | None:
    """A start with the dips in the cable and behind the site's generator; None where there was
    none."""
    if start is None or wire is None or pump.voltage is None or start.starting_current <= 0.0:
        return start
    voltage, ohms = float(pump.voltage), _line_resistance(pump, wire)
    dip = None
    if wire.gauge is not None and pump.start != "variable speed":
        dip = motor.starting_voltage_dip(
            start.starting_current, voltage, ohms, LOCKED_ROTOR_POWER_FACTOR
        )
    rating = site.power.generator_rating
    behind = None
    if rating is not None and pump.start != "variable speed":
        reactance = motor.source_reactance(rating, voltage, GENERATOR_REACTANCE, pump.phases)
        behind = motor.starting_voltage_dip(
            start.starting_current, voltage, ohms, LOCKED_ROTOR_POWER_FACTOR, reactance
        )
    return replace(
        start,
        cable_dip=dip,
        generator_dip=behind,
        generator_needed=_generator_needed(pump, start, voltage, ohms),
    )


def _line_resistance(pump: PumpTable, wire: WireResult) -> float:
    """Voltage lost in the cable for each ampere of line current [ohm]."""
    gauge = wire.gauge or wire.smallest_gauge or wires()[-1].gauge
    return line_resistance(gauge, wire.length, pump.phases)


def _generator_needed(
    pump: PumpTable, start: StartResult, voltage: float, ohms: float
) -> float | None:
    """Least rating that runs the pump and keeps the voltage its start needs [VA]; None where the
    cable alone takes too much."""
    running = motor.apparent_power(start.running_current, voltage, pump.phases)
    if pump.start == "variable speed":
        return running
    reactance = motor.greatest_source_reactance(
        start.starting_current, voltage, LOCKED_ROTOR_POWER_FACTOR, ohms, START_DIP
    )
    if reactance <= 0.0:
        return None
    of_one = motor.source_reactance(1.0, voltage, GENERATOR_REACTANCE, pump.phases)
    return max(running, of_one / reactance)


def inverter_verdicts(
    site: Site, pump: PumpTable, start: StartResult | None, input_power: float, path: str
) -> list[Verdict]:
    """Whether the site's inverter can run and start a pump.

    Parameters:
        input_power: the greatest electrical power it takes on this well [W]
    Returns:
        verdicts; none for a direct-current pump, one whose drive takes the modules' direct
        current, and at a house whose supplies are told and are no inverter
    """
    if pump.supply == "DC" or on_solar_drive(site, pump) or has_no_inverter(site):
        return []
    return [
        *_voltage(site, pump, path),
        _rating(site, pump, input_power),
        _surge(site, pump, start, path),
    ]


def _voltage(site: Site, pump: PumpTable, path: str) -> list[Verdict]:
    if not has_inverter(site):
        return []
    inverter = site.power.inverter_voltage
    # What the file leaves open was taken from the inverter, which proves nothing of the two.
    quantity = next(
        (other.voltage for other in site.pump if other.name == pump.name), pump.voltage
    )
    missing = ["power.inverter_voltage"] if inverter is None else []
    missing += [f"{path}.voltage"] if quantity is None else []
    if inverter is None or quantity is None or pump.voltage is None:
        return [VOLTAGE.unknown(pump.name, *missing)]
    others = [pump for pump in site.pump if pump.supply == "AC" and pump.voltage is not None]
    fits_all = all(_within_rated(pump.voltage, other.voltage) for other in others if other.voltage)
    fits = _within_rated(inverter, pump.voltage)
    why = "pumps of two voltages want a transformer, or a supply of both: a choice of its own"
    return [
        VOLTAGE.verdict(
            "pass" if fits else "fail",
            pump.name,
            say(
                "the pump takes {pump}, the inverter gives {inverter}"
                f", {'within' if fits else 'which is not within'} a tenth of it",
                pump=pump.voltage,
                inverter=inverter,
            ),
            quantity=pump.voltage,
            limit=inverter,
            remedy=remedy(
                "an inverter of {pump}; or a pump of {inverter}; or a transformer fit for the "
                "start",
                [set_to("power.inverter_voltage", pump.voltage)] if fits_all else why,
                pump=pump.voltage,
                inverter=inverter,
            ),
        )
    ]


def _within_rated(supplied: float, rated: float) -> bool:
    """Whether a motor runs on a supply: within a tenth of its own rated voltage."""
    return abs(supplied / rated - 1.0) <= VOLTAGE_BAND + 1e-9


def larger(what: Literal["inverter", "generator"], key: str, needed: float, use: str) -> Remedy:
    """A remedy that asks for an inverter or a generator as it is sold.

    Parameters:
        key: of the table of power that gives its size
        needed: apparent power [VA]
        use: what the size is of, such as " for a start"
    """
    digit = 10.0 ** (math.floor(math.log10(max(needed, 1.0))) - 2)
    exact = Quantity(math.ceil(needed / digit - 1e-9) * digit, kinds.APPARENT_POWER)
    sold = next_up(what, needed, kinds.APPARENT_POWER)
    if sold is None:
        why = f"no {what} so large is usual for a house: a smaller pump is another design"
        return remedy(f"a smaller pump: this one needs {{exact:up}}{use}", why, exact=exact)
    article = "an" if what == "inverter" else "a"
    return remedy(
        f"{article} {what} of {{sold}}{use} (needs {{exact:up}})",
        [set_to(f"power.{key}", sold)],
        sold=sold,
        exact=exact,
    )


def _with_other(first: Remedy, template: str, **parts: Quantity | str) -> Remedy:
    """A remedy with another way behind the first, whose changes stay."""
    whole = first.template + ", or " + template
    how = first.changes or first.by_hand
    return remedy(whole, how, **first.parts, **parts)


def _rating(site: Site, pump: PumpTable, input_power: float) -> Verdict:
    rating = site.power.inverter_rating
    if rating is None:
        return RATING.unknown(pump.name, "power.inverter_rating")
    assert pump.voltage is not None
    current = running_current(pump, input_power)
    running = Quantity(
        motor.apparent_power(current, pump.voltage, pump.phases), kinds.APPARENT_POWER
    )
    return RATING.verdict(
        "pass" if at_most(running, rating) else "fail",
        pump.name,
        say(
            "it runs at {current}, {power}, of the inverter's {rating}",
            current=Quantity(current, kinds.CURRENT),
            power=running,
            rating=Quantity(rating, kinds.APPARENT_POWER),
        ),
        quantity=running,
        limit=Quantity(rating, kinds.APPARENT_POWER),
        remedy=larger("inverter", "inverter_rating", running, ""),
    )


def _surge(site: Site, pump: PumpTable, start: StartResult | None, path: str) -> Verdict:
    surge = site.power.inverter_surge
    missing = ["power.inverter_surge"] if surge is None else []
    missing += [f"{path}.locked_rotor_current"] if start is None else []
    if surge is None or start is None:
        return SURGE.unknown(pump.name, *missing)
    if start.starting_apparent_power <= 0.0:
        # It lifts no water here, and nothing tells what its motor takes.
        return SURGE.unknown(pump.name, f"{path}.rated_power")
    wanted = Quantity(start.starting_apparent_power, kinds.APPARENT_POWER)
    status = surge_status(wanted, surge)
    return SURGE.verdict(
        status,
        pump.name,
        say(
            "starting takes {current}, {power} ({how}), of the inverter's {surge} for a start"
            f"{'; a fifth of that should be to spare' * (status == 'caution')}",
            current=Quantity(start.starting_current, kinds.CURRENT),
            power=wanted,
            how=start.how,
            surge=surge,
        ),
        quantity=wanted,
        limit=surge,
        remedy=_with_other(
            larger("inverter", "inverter_surge", wanted / NEAR_SURGE, " for a start"),
            "a starter that holds the current to {allowed:down}",
            allowed=Quantity(NEAR_SURGE * surge / wanted * start.starting_current, kinds.CURRENT),
        ),
    )


def surge_status(wanted: Quantity, surge: float) -> Status:
    """How a start stands with an inverter's surge rating [VA]."""
    if not at_most(wanted, surge):
        return "fail"
    return "pass" if at_most(wanted, NEAR_SURGE * surge) else "caution"


def dip_verdicts(
    site: Site, pump: PumpTable, start: StartResult | None, wire: WireResult | None, path: str
) -> list[Verdict]:
    """Whether the motor keeps its voltage at start.

    Returns:
        verdicts, unknown where the file lacks the cable or what the start takes; none of a pump
        that runs on direct current from its own controller
    """
    if pump.supply == "DC" or (start is not None and start.starting_current <= 0.0):
        return []  # Its own controller, or a pump that gives no water here.
    verdicts = []
    if start is not None and start.cable_dip is not None and wire is not None:
        verdicts.append(_through_cable(pump, start, wire, start.cable_dip, path))
    elif pump.start != "variable speed":
        missing = [f"{path}.cable"] if pump.cable is None else []
        missing += [f"{path}.locked_rotor_current"] if start is None else []
        verdicts.append(DIP.unknown(pump.name, *missing))
    if site.power.generator_rating is not None:
        verdicts.append(_behind_generator(site, pump, start, wire, path))
    return verdicts


def _through_cable(
    pump: PumpTable, start: StartResult, wire: WireResult, lost: float, path: str
) -> Verdict:
    dip, limit = Quantity(lost, kinds.FRACTION), Quantity(START_DIP, kinds.FRACTION)
    return DIP.verdict(
        "pass" if at_most(dip, START_DIP) else "fail",
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
        remedy=_gentler(pump, wire, path),
    )


def _gentler(pump: PumpTable, wire: WireResult, path: str) -> Remedy:
    assert pump.voltage is not None
    allowed = motor.greatest_starting_current(
        pump.voltage, _line_resistance(pump, wire), START_DIP, LOCKED_ROTOR_POWER_FACTOR
    )
    current = Quantity(allowed, kinds.CURRENT)
    if wire.smallest_gauge is None:
        held = Quantity(math.floor(10.0 * allowed) / 10.0, kinds.CURRENT)
        return remedy(
            "a starter that holds the current to {current:down}",
            [set_to(f"{path}.start", "soft"), set_to(f"{path}.starting_current", held)],
            current=current,
        )
    return remedy(
        f"use {{gauge}}, {SMALLEST}, or a starter that holds the current to {{current:down}}",
        [set_to(f"{path}.cable.gauge", wire.smallest_gauge)],
        gauge=wire.smallest_gauge,
        current=current,
    )


def _behind_generator(
    site: Site, pump: PumpTable, start: StartResult | None, wire: WireResult | None, path: str
) -> Verdict:
    rating = site.power.generator_rating
    assert rating is not None
    if start is None:
        return GENERATOR.unknown(pump.name, f"{path}.locked_rotor_current")
    has = Quantity(rating, kinds.APPARENT_POWER)
    parts: dict[str, Quantity | str] = {"has": has}
    reason = "on a generator of {has} a drive starts the motor within its running current"
    if start.generator_dip is not None:
        reason = "{current} at start lowers the voltage of a generator of {has} by {dip}"
        parts["current"] = Quantity(start.starting_current, kinds.CURRENT)
        parts["dip"] = Quantity(start.generator_dip, kinds.FRACTION)
    if start.generator_needed is None:
        mended = _wire_and_generator(pump, start, wire, path)
        return GENERATOR.verdict("fail", pump.name, say(reason, **parts), remedy=mended)
    needed = Quantity(start.generator_needed, kinds.APPARENT_POWER)
    return GENERATOR.verdict(
        "pass" if at_least(has, needed) else "fail",
        pump.name,
        say(reason, **parts),
        quantity=has,
        limit=needed,
        remedy=_with_other(larger("generator", "generator_rating", needed, ""), "a gentler start"),
    )


def _wire_and_generator(
    pump: PumpTable, start: StartResult, wire: WireResult | None, path: str
) -> Remedy:
    """A thicker cable, and the generator that starts the pump behind it."""
    gauge = None if wire is None else wire.smallest_gauge
    if wire is not None and gauge is not None and pump.voltage is not None and wire.gauge:
        ohms = line_resistance(gauge, wire.length, pump.phases)
        needed = _generator_needed(pump, start, float(pump.voltage), ohms)
        if needed is not None:
            bought = larger("generator", "generator_rating", needed, "")
            if bought.changes:
                return remedy(
                    "use {gauge} with " + bought.template,
                    [set_to(f"{path}.cable.gauge", gauge), *bought.changes],
                    gauge=gauge,
                    **bought.parts,
                )
    return remedy(
        "a thicker cable or a gentler start: no generator makes up for the drop in the cable",
        "which starter suits the motor is for its maker's sheet",
    )
