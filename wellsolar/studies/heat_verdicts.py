"""Whether a PV-heated tank gets hot enough, and whether anybody or anything can be hurt by it."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.data import hot_water_tables
from wellsolar.physics import hot_water
from wellsolar.results import HeatDay, HeatedTankResult
from wellsolar.site.schema import ElementTable, Site, WaterHeaterTable
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Rule, Sentence, Verdict, say

MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip

HALF = 0.5
"""Share of the year's hot-water heat below which PV is called a help only: our choice."""

SAFE_OUTLET = (120.0 - 32.0) / 1.8
"""Hottest water at a fixture, 120 degF [degC]; ASSE 1070 and CPSC document 5098."""

DWELLING_VOLTAGE = 600.0
"""Highest direct voltage in a one- or two-family dwelling [V]; NEC 690.7 (from memory)."""

PLATE_VOLTAGE_SLACK = 1.0
"""Share of the element's plate voltage it may see: no allowance is claimed."""

TANK = "water heater"

REACHES = Rule(
    "reaches temperature",
    "does the tank reach its setpoint?",
    "from cold, with nothing drawn, one clear day brings the tank to the thermostat's setpoint",
    "heat balance",
)
SHARE = Rule(
    "share from PV",
    "how much of the hot water does PV give?",
    "with the household's draws PV gives at least half of the year's hot-water heat",
    "heat balance",
)
MIXING = Rule(
    "mixing valve",
    "is the hot water mixed down?",
    "a tank hotter than 120 degF needs a mixing valve, set to 120 degF or less at fixtures",
    "mixing valve",
    safety=True,
)
FIXTURES = Rule(
    "scald protection at fixtures",
    "is there protection where people bathe?",
    "a valve to ASSE 1017 at the tank controls temperature only; fixtures need 1016 or 1070",
    "point of use",
    safety=True,
)
BURN = Rule(
    "time to a burn",
    "how fast does the unmixed water burn?",
    "seconds to a full-thickness burn, should the mixing valve fail",
    "burn times",
    safety=True,
)
LEGIONELLA = Rule(
    "storage temperature",
    "is the stored water hot enough against legionella?",
    "stored at 140 degF (60 degC) or more",
    "legionella",
    safety=True,
)
HIGH_LIMIT = Rule(
    "high limit",
    "does a high limit stand between thermostat and relief valve?",
    "thermostat below high limit (hand reset) below relief temperature",
    "high limit",
    safety=True,
)
CONTACTS = Rule(
    "thermostat on direct current",
    "can the thermostat break the array's current?",
    "contacts rated for direct current at the cold open-circuit voltage, or a relay that is",
    "dc contacts",
    safety=True,
)
COLD_VOLTAGE = Rule(
    "cold open-circuit voltage",
    "is the array's voltage safe in the cold?",
    "open-circuit voltage at the record low within 600 V and within the switch's rating",
    "cold voltage",
    safety=True,
)
ELEMENT_LOAD = Rule(
    "element load",
    "does the array overload the element?",
    "voltage and power at the element within its plate, in the coldest bright sun",
    "element rating",
    safety=True,
)
EXPANSION = Rule(
    "thermal expansion",
    "where does the heated water expand to?",
    "open to the pressure tank, or an expansion tank behind a check valve",
    "closed system",
    safety=True,
)
OVERHEATING = Rule(
    "overheating",
    "what stops the tank with nobody home?",
    "a thermostat and a high limit, since insulation alone never does",
    "high limit",
    safety=True,
)


def _temperature(value: float) -> Quantity:
    return Quantity(value, kinds.TEMPERATURE)


def heat_verdicts(site: Site, result: HeatedTankResult) -> list[Verdict]:
    """Whether the tank gets hot and how much of the household's hot water that is.

    Parameters:
        site: the site
        result: its numbers
    Returns:
        two verdicts
    """
    return [_reaches(site, result), _share(site, result)]


def _reaches(site: Site, result: HeatedTankResult) -> Verdict:
    if not result.days:
        return REACHES.unknown(TANK, "site.latitude")
    clear = [day for day in result.days if day.kind == "clear"]
    best = max(clear, key=lambda day: day.element_energy)
    worst = min(clear, key=lambda day: day.element_energy)
    setpoint = _temperature(result.setpoint)
    slowest = all(day.days_to_setpoint == 1 for day in clear)
    status = "pass" if slowest else "fail" if best.days_to_setpoint is None else "caution"
    return REACHES.verdict(
        status, TANK,
        say("{volume} from {inlet} to {setpoint} takes {energy}; a clear day gives {best_energy} "
            "in {best_month}, {worst_energy} in {worst_month}. {when}{start}",
            volume=Quantity(result.tank_volume, kinds.VOLUME),
            inlet=_temperature(result.inlet_temperature), setpoint=setpoint,
            energy=Quantity(result.heating_energy, kinds.ENERGY),
            best_energy=Quantity(best.element_energy, kinds.ENERGY),
            best_month=MONTH_NAMES[best.month - 1],
            worst_energy=Quantity(worst.element_energy, kinds.ENERGY),
            worst_month=MONTH_NAMES[worst.month - 1],
            when=_when(best, worst),
            start=_start(site, best)),
        quantity=_temperature(best.end_temperature if best.days_to_setpoint != 1
                              else result.setpoint),
        limit=setpoint,
        remedy=None if status == "pass" else _hotter(result, worst),
    )  # fmt: skip


def _when(best: HeatDay, worst: HeatDay) -> str:
    return (
        f"From cold it reaches the setpoint {_ordinal(best)} of {MONTH_NAMES[best.month - 1]}, "
        f"{_ordinal(worst)} of {MONTH_NAMES[worst.month - 1]}"
    )


def _ordinal(day: HeatDay) -> str:
    number = day.days_to_setpoint
    if number is None:
        return "on no clear day in a row"
    if number == 1:
        return "on the 1st clear day"
    ending = {2: "nd", 3: "rd"}.get(number, "th") if number < 20 else "th"
    return f"on the {number}{ending} clear day in a row"


def _start(site: Site, best: HeatDay) -> str:
    if best.days_to_setpoint == 1 or best.start_for_one_day is None:
        return ""
    start = show(best.start_for_one_day, kinds.TEMPERATURE, site.site.print_units)
    return f"; in {MONTH_NAMES[best.month - 1]} one clear day suffices from {start} at midnight"


def _hotter(result: HeatedTankResult, worst: HeatDay) -> Sentence:
    """What one clear day of the darkest month does reach: fewer litres, or more modules."""
    design = result.one_day
    share = min(1.0, worst.element_energy / result.heating_energy)
    volume = Quantity(result.tank_volume * share, kinds.VOLUME)
    ceiling = Quantity(
        (result.photocurrent * result.parallel) ** 2 * result.element_resistance, kinds.POWER
    )
    if design is None:
        return say(
            "about {volume} of tank on these modules; nothing up to 24 modules heats the whole "
            "tank in a clear day of {month}", volume=volume, month=MONTH_NAMES[worst.month - 1],
        )  # fmt: skip
    return say(
        "for one clear day of {month} from cold: {series} in series by {parallel} on {own}element "
        "of {power}, {volts}; or about {volume} of tank on the modules there are. On the element "
        "as it is no number of modules in series gives more than {ceiling}",
        month=MONTH_NAMES[design.month - 1],
        series=f"{design.series}",
        parallel=f"{design.parallel}",
        own="the same " if design.same_element else "an ",
        power=Quantity(design.rated_power, kinds.POWER),
        volts=Quantity(design.rated_voltage, kinds.VOLTAGE),
        volume=volume,
        ceiling=ceiling,
    )


def _share(site: Site, result: HeatedTankResult) -> Verdict:
    if result.annual_share is None:
        missing = ["site.latitude"] if site.site.latitude is None else []
        missing += ["sun.monthly"] if site.sun.monthly is None else []
        missing += ["water_heater.draw.volume"] if result.draw_volume is None else []
        return SHARE.unknown(TANK, *missing[:2])
    share = Quantity(result.annual_share, kinds.FRACTION)
    half = Quantity(HALF, kinds.FRACTION)
    best = max(result.months, key=lambda month: month.share)
    worst = min(result.months, key=lambda month: month.share)
    enough = share >= half
    assert result.draw_volume is not None
    return SHARE.verdict(
        "pass" if enough else "caution", TANK,
        say("of {draw} a day at {tap} PV alone heats {share} over the year, {best} in "
            "{best_month} and {worst} in {worst_month}",
            draw=Quantity(result.draw_volume, kinds.VOLUME),
            tap=_temperature(result.tap_temperature), share=share,
            best=Quantity(best.share, kinds.FRACTION), best_month=MONTH_NAMES[best.month - 1],
            worst=Quantity(worst.share, kinds.FRACTION), worst_month=MONTH_NAMES[worst.month - 1]),
        quantity=share, limit=half,
        remedy=None if enough else say(
            "draw about {draw} a day, add modules, or let the upper element help from the grid",
            draw=Quantity(result.draw_volume * share / half, kinds.VOLUME)),
    )  # fmt: skip


def safety_verdicts(
    site: Site,
    heater: WaterHeaterTable,
    element: ElementTable,
    path: str,
    result: HeatedTankResult,
) -> list[Verdict]:
    """Scalds, legionella, overheating, direct current and expansion.

    Parameters:
        site: the site
        heater: the heater's table
        element: the element that the array feeds
        path: its key path
        result: its numbers
    Returns:
        verdicts, all of them on safety
    """
    return [
        *_scald(heater, result),
        _legionella(site, result),
        _high_limit(heater, result),
        _overheating(element, heater, path, result),
        _contacts(element, path, result),
        _cold_voltage(element, path, result),
        _element_load(result),
        _expansion(heater, result),
    ]


def _scald(heater: WaterHeaterTable, result: HeatedTankResult) -> list[Verdict]:
    found = [_mixing(heater, result)]
    if result.setpoint > SAFE_OUTLET + 0.01:
        found += [_fixtures(heater), _burn(heater, result)]
    return found


def _mixing(heater: WaterHeaterTable, result: HeatedTankResult) -> Verdict:
    setpoint, safe = _temperature(result.setpoint), _temperature(SAFE_OUTLET)
    if result.setpoint <= SAFE_OUTLET + 0.01:
        return MIXING.verdict(
            "pass", TANK, say("the tank is set to {setpoint}, no hotter than {safe}",
                              setpoint=setpoint, safe=safe),
            quantity=setpoint, limit=safe,
        )  # fmt: skip
    if heater.mixing_valve is None:
        return MIXING.verdict(
            "fail", TANK,
            say("the tank runs to {setpoint} and no mixing valve is named: {adult} burn an adult, "
                "{child} a child", setpoint=setpoint,
                adult=_burn_text(result.burn_adult, result.burn_bound),
                child=_burn_text(result.burn_child, result.burn_bound)),
            quantity=setpoint, limit=safe,
            remedy=say("a mixing valve to ASSE 1017 at the tank, set to {safe} or less", safe=safe),
        )  # fmt: skip
    outlet = heater.mixing_valve.outlet
    safe_enough = outlet <= SAFE_OUTLET + 0.01
    return MIXING.verdict(
        "pass" if safe_enough else "fail", TANK,
        say("a mixing valve brings {setpoint} down to {outlet}", setpoint=setpoint, outlet=outlet),
        quantity=outlet, limit=safe,
        remedy=None if safe_enough else say("set it to {safe} or less", safe=safe),
    )  # fmt: skip


def _fixtures(heater: WaterHeaterTable) -> Verdict:
    subject = "fixtures"
    valve = heater.mixing_valve
    if heater.fixture_valves is None:
        return FIXTURES.unknown(subject, "water_heater.fixture_valves")
    protects = bool(
        valve and valve.standard
        and hot_water_tables.mixing_valve_scope(valve.standard).limits_scald
    )  # fmt: skip
    named = valve.standard if valve and valve.standard else "the valve at the tank"
    if heater.fixture_valves:
        return FIXTURES.verdict("pass", subject, say("the fixtures have valves of their own"))
    if protects:
        return FIXTURES.verdict(
            "pass", subject, say("{named} limits scalds by its standard", named=str(named))
        )
    return FIXTURES.verdict(
        "caution", subject,
        say("{named} is temperature control at the source, no scald protection", named=str(named)),
        remedy=say("valves to ASSE 1016 at showers and 1070 at basins and tubs"),
    )  # fmt: skip


def _burn_text(seconds: float | None, bound: str) -> str:
    if seconds is None:
        return "no published time would"
    time = show(seconds, kinds.DURATION, "SI")
    return f"less than {time}" if bound == "at most" else time


def _burn(heater: WaterHeaterTable, result: HeatedTankResult) -> Verdict:
    reason = say(
        "unmixed at {setpoint}: {adult} for an adult, {child} for a child; mixed: {mixed}",
        setpoint=_temperature(result.setpoint),
        adult=_burn_text(result.burn_adult, result.burn_bound),
        child=_burn_text(result.burn_child, result.burn_bound),
        mixed=_burn_text(result.mixed_burn_adult, result.mixed_burn_bound),
    )
    protected = bool(
        heater.mixing_valve
        and heater.mixing_valve.outlet <= SAFE_OUTLET + 0.01
        and heater.fixture_valves
    )
    return BURN.verdict(
        "pass" if protected else "caution", TANK, reason,
        quantity=None if result.burn_adult is None else Quantity(result.burn_adult, kinds.DURATION),
        remedy=None if protected else say(
            "a mixing valve at {safe} or less and scald-limiting valves at the fixtures; test the "
            "mixed water with a thermometer", safe=_temperature(SAFE_OUTLET)),
    )  # fmt: skip


def _legionella(site: Site, result: HeatedTankResult) -> Verdict:
    setpoint, limit = _temperature(result.setpoint), site.limits.storage_temperature
    hot = result.setpoint >= limit - 0.01
    return LEGIONELLA.verdict(
        "pass" if hot else "caution", TANK,
        say("set to {setpoint}, {where} {limit}; after days without sun the tank stands cooler: "
            "heat it through before use", setpoint=setpoint, limit=limit,
            where="at or above" if hot else "below"),
        quantity=setpoint, limit=limit,
        remedy=None if hot else say("set the thermostat to {limit} or more, behind a mixing valve",
                                    limit=limit),
    )  # fmt: skip


def _high_limit(heater: WaterHeaterTable, result: HeatedTankResult) -> Verdict:
    if heater.high_limit is None:
        return HIGH_LIMIT.unknown(TANK, "water_heater.high_limit")
    relief = float(heater.relief_temperature or hot_water.RELIEF_TEMPERATURE)
    ordered = result.setpoint < heater.high_limit < relief
    low, high = hot_water.HIGH_LIMIT_RANGE
    return HIGH_LIMIT.verdict(
        "pass" if ordered else "fail", TANK,
        say("thermostat {setpoint}, high limit {limit}, relief {relief}",
            setpoint=_temperature(result.setpoint), limit=heater.high_limit,
            relief=_temperature(relief)),
        quantity=heater.high_limit, limit=_temperature(relief),
        remedy=None if ordered else say(
            "a high limit of {low} to {high}, the thermostat below it, the relief valve above",
            low=_temperature(low), high=_temperature(high)),
    )  # fmt: skip


def _overheating(
    element: ElementTable, heater: WaterHeaterTable, path: str, result: HeatedTankResult
) -> Verdict:
    if result.stall_temperature is None:
        return OVERHEATING.unknown(TANK, "site.latitude")
    stall = _temperature(result.stall_temperature)
    relief = _temperature(float(heater.relief_temperature or hot_water.RELIEF_TEMPERATURE))
    guards = element.thermostat is not None and heater.high_limit is not None
    if stall <= relief:
        return OVERHEATING.verdict(
            "pass", TANK,
            say("even without a thermostat the clearest days bring it to {stall}, below the "
                "relief valve's {relief}", stall=stall, relief=relief),
            quantity=stall, limit=relief,
        )  # fmt: skip
    if guards:
        return OVERHEATING.verdict(
            "pass", TANK,
            say("the array could drive it past {relief}; thermostat and high limit stop it",
                relief=relief),
            quantity=_temperature(result.setpoint), limit=relief,
        )  # fmt: skip
    missing = [f"{path}.thermostat"] if element.thermostat is None else []
    missing += ["water_heater.high_limit"] if heater.high_limit is None else []
    return OVERHEATING.unknown(
        TANK, *missing, why="the array alone can drive an undrawn tank to its relief valve"
    )


def _contacts(element: ElementTable, path: str, result: HeatedTankResult) -> Verdict:
    subject = "thermostat"
    if element.thermostat_switches is None:
        return CONTACTS.unknown(subject, f"{path}.thermostat_switches")
    volts = Quantity(
        result.cold_open_circuit_voltage_table
        or result.cold_open_circuit_voltage
        or result.reference_points[-1].voltage,
        kinds.VOLTAGE,
    )
    if element.thermostat_switches == "AC":
        return CONTACTS.verdict(
            "fail", subject,
            say("contacts rated for alternating current stand in a direct-current string of up to "
                "{volts}: they can weld shut or burn", volts=volts),
            quantity=volts,
            remedy=say("let the thermostat drive a relay or controller rated for {volts} direct "
                       "current", volts=volts),
        )  # fmt: skip
    how = (
        "it drives a switch rated for direct current"
        if element.thermostat_switches == "relay"
        else "its contacts are rated for direct current"
    )
    return CONTACTS.verdict("pass", subject, say("{how}", how=how))


def _cold_voltage(element: ElementTable, path: str, result: HeatedTankResult) -> Verdict:
    subject = result.array
    if result.cold_open_circuit_voltage is None or result.cold_temperature is None:
        return COLD_VOLTAGE.unknown(subject, "sun.record_low")
    by_table = result.cold_open_circuit_voltage_table or 0.0
    volts = Quantity(max(result.cold_open_circuit_voltage, by_table), kinds.VOLTAGE)
    switch = element.switch_voltage
    limit = Quantity(min(DWELLING_VOLTAGE, float(switch or DWELLING_VOLTAGE)), kinds.VOLTAGE)
    reason = say(
        "{series} modules in series reach {coefficient} open at {cold} by coefficient, {table} by "
        "the code's table",
        series=f"{result.series}",
        coefficient=Quantity(result.cold_open_circuit_voltage, kinds.VOLTAGE),
        cold=_temperature(result.cold_temperature),
        table=Quantity(by_table, kinds.VOLTAGE),
    )
    if volts > limit:
        most = int(result.series * limit / volts)
        return COLD_VOLTAGE.verdict(
            "fail", subject, reason, quantity=volts, limit=limit,
            remedy=say("no more than {most} modules in series, or a switch rated for {volts}",
                       most=f"{most}", volts=volts)
            if volts <= DWELLING_VOLTAGE
            else say("no more than {most} modules in series", most=f"{most}"),
        )  # fmt: skip
    if switch is None:
        return COLD_VOLTAGE.unknown(
            subject, f"{path}.switch_voltage",
            why=f"{show(volts, kinds.VOLTAGE, 'SI')} at most, within 600 V; what the switch is "
                "rated for is not told",
        )  # fmt: skip
    return COLD_VOLTAGE.verdict("pass", subject, reason, quantity=volts, limit=limit)


def _element_load(result: HeatedTankResult) -> Verdict:
    volts = Quantity(result.greatest_voltage, kinds.VOLTAGE)
    plate = Quantity(PLATE_VOLTAGE_SLACK * result.rated_voltage, kinds.VOLTAGE)
    within = volts <= plate
    return ELEMENT_LOAD.verdict(
        "pass" if within else "fail", "element",
        say("at most {volts} and {power} at an element for {plate} and {rated}",
            volts=volts, power=Quantity(result.greatest_power, kinds.POWER), plate=plate,
            rated=Quantity(result.rated_power, kinds.POWER)),
        quantity=volts, limit=plate,
        remedy=None if within else say("fewer modules in series, or an element of a higher "
                                       "resistance and voltage"),
    )  # fmt: skip


def _expansion(heater: WaterHeaterTable, result: HeatedTankResult) -> Verdict:
    if heater.check_valve is None:
        return EXPANSION.unknown(TANK, "water_heater.check_valve")
    volume = Quantity(result.expansion, kinds.VOLUME)
    if not heater.check_valve:
        return EXPANSION.verdict(
            "pass", TANK,
            say("the water grows by {volume} and flows back to the pressure tank", volume=volume),
            quantity=volume,
        )  # fmt: skip
    if heater.expansion_tank is None:
        return EXPANSION.unknown(TANK, "water_heater.expansion_tank")
    return EXPANSION.verdict(
        "pass" if heater.expansion_tank else "fail", TANK,
        say("a check valve closes the cold side and the water grows by {volume}", volume=volume),
        quantity=volume,
        remedy=None if heater.expansion_tank else say(
            "an expansion tank that takes {volume}, on the heater's side of the check valve",
            volume=volume),
    )  # fmt: skip
