"""Readings at the pressure tank: its air, the gauge, what is lost overnight."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.constants import PSI
from wellsolar.physics.hydraulics import air, pressure_tank
from wellsolar.physics.hydraulics import tank_readings as readings
from wellsolar.results.readings import Band, Cause, Implied, ReadingResult
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import Site
from wellsolar.studies.pump.pressure_tank import TOLERANCE_BELOW
from wellsolar.studies.reading.causes import is_off
from wellsolar.studies.reading.pumps import ReadPump, flow_of, standing
from wellsolar.units import Quantity

GAUGE_OFF = 2.0 * PSI
"""How far a pressure may be off by the gauge and the switch, or fall by cooling, 2 psi [Pa]: our
choice."""

VESSEL = 100.0 * PSI
"""Working pressure on the plate of many well tanks, 100 psi [Pa]: common practice, no source."""

BURSTS = "more than many vessels stand: breaker off, keep away, let water off at a tap"

SWITCH_KEYS = ("pressure_switch.cut_in", "pressure_switch.cut_out")
"""What the file lacks where a gauge can't be judged."""


def read_precharge(site: Site, given: Readings) -> ReadingResult:
    """Air of the drained tank.

    Parameters:
        site: the site
        given: readings of one time
    Returns:
        the result
    """
    read, switch, tank = given.values["precharge"], site.pressure_switch, site.pressure_tank
    label, when = "precharge", "tank drained"
    if switch is None:
        return ReadingResult("precharge", label, "pressure tank", when, read, None,
                             needs=SWITCH_KEYS[:1])  # fmt: skip
    cut_in, cut_out = float(switch.cut_in), float(switch.cut_out)
    best = float(pressure_tank.recommended_precharge(cut_in))
    band = Quantity(best, kinds.PRESSURE, max(0.0, best - TOLERANCE_BELOW), cut_in)
    implied: tuple[Implied, ...] = ()
    if tank is not None:
        volume, atmosphere = float(tank.volume) * tank.count, _atmosphere(site)
        drawn = sorted(
            float(pressure_tank.drawdown_volume(volume, each, cut_in, cut_out, atmosphere))
            for each in (read.low, read, read.high)
        )
        water = Quantity(drawn[1], kinds.VOLUME, drawn[0], drawn[2])
        implied = (Implied("implied_water", "water from cut-out to cut-in", water,
                           "by Boyle, with that air"),)  # fmt: skip
    causes: tuple[Cause, ...] = ()
    if is_off(read, band) and float(read) < best:
        causes = (
            Cause("air never set to this switch, or lost: set it, tank drained", None, 0.6),
            Cause("a leaking air valve or bladder: water at the air valve tells it", None, 0.3),
        )
    elif is_off(read, band):
        causes = (
            Cause("air never set to this switch: let some out, tank drained", None, 0.6),
            Cause("water still in the tank when it was read", None, 0.3),
        )
    rests = "2 psi (14 kPa) below cut-in, never above it"
    return ReadingResult("precharge", label, "pressure tank", when, read, Band(band, rests),
                         implied, causes)  # fmt: skip


def _atmosphere(site: Site) -> float:
    return float(air.atmospheric_pressure(float(site.site.altitude)))


def read_gauge(site: Site, at: ReadPump | None, given: Readings) -> ReadingResult:
    """The gauge at the tank, by itself.

    Parameters:
        site: the site
        at: the pump, None where the site has none
        given: readings of one time
    Returns:
        the result
    """
    read, switch, state = given.values["gauge_pressure"], site.pressure_switch, given.pump_state
    label, when = "gauge at the tank", f"the pump {state}" if state else "pump on or off"
    implied = () if at is None or state != "on" else _at_that_pressure(at)
    held = None if at is None else at.table.held_pressure
    if held is not None:
        band = Quantity(float(held), kinds.PRESSURE, float(held) - GAUGE_OFF,
                        float(held) + GAUGE_OFF)  # fmt: skip
        rests = "the pressure that the pump holds"
    elif switch is not None:
        ends = (float(switch.cut_in), float(switch.cut_out))
        band = Quantity(
            sum(ends) / 2, kinds.PRESSURE, max(0.0, ends[0] - GAUGE_OFF), ends[1] + GAUGE_OFF
        )
        rests = "cut-in to cut-out, and 2 psi (14 kPa) for gauge and switch"
    else:
        return ReadingResult("gauge_pressure", label, "pressure tank", when, read, None, implied,
                             needs=SWITCH_KEYS)  # fmt: skip
    causes: tuple[Cause, ...] = ()
    if is_off(read, band):
        low = read.high < band.low
        causes = _too_low(state) if low else _too_high(site, state)
    return ReadingResult(
        "gauge_pressure", label, "pressure tank", when, read, Band(band, rests), implied, causes,
        warning=BURSTS if read.high > min(VESSEL, _relief(site)) else "",
    )  # fmt: skip


def _relief(site: Site) -> float:
    heater = site.water_heater
    relief = None if heater is None else heater.relief_pressure
    return VESSEL if relief is None else float(relief)


def _at_that_pressure(at: ReadPump) -> tuple[Implied, ...]:
    """Flow, head and pumping level of a pump that runs against the gauge, by its curve."""
    duties = [at.on_well.duty("at the gauge", each) for each in at.pressures]
    middle = duties[len(duties) // 2]
    rests = "by its curve and the file's drawdown"
    if not at.on_well.level.known:
        # Without a drawdown the water may stand anywhere from rest down to the intake.
        rest = standing(at.on_well.level.static_level)
        duties += [at.on_well.duty("at the gauge", each, rest) for each in at.pressures]
        rests = "by its curve, the water anywhere from rest to the intake"
    flows = [each.flow for each in duties]
    heads = [each.total_dynamic_head for each in duties]
    levels = [each.pumping_level for each in duties]
    return (
        Implied("implied_flow", "flow of the pump",
                flow_of(min(flows), middle.flow, max(flows)), rests),
        Implied("implied_head", "total head there",
                Quantity(middle.total_dynamic_head, kinds.HEAD, min(heads), max(heads)), rests),
        Implied("implied_pumping_level", "pumping level",
                Quantity(middle.pumping_level, kinds.LENGTH, min(levels), max(levels)), rests),
    )  # fmt: skip


def _too_low(state: str | None) -> tuple[Cause, ...]:
    if state == "on":
        return (
            Cause("more is drawn than the pump gives: shut every tap and look again", None, 0.5),
            Cause("water deeper than thought, a worn pump or a leaking drop pipe", None, 0.4),
        )
    return (
        Cause("a switch that does not close, or no supply to it: breaker off before its cover",
              None, 0.5),
        Cause("a gauge that is stuck or clogged: try another", None, 0.3),
    )  # fmt: skip


def _too_high(site: Site, state: str | None) -> tuple[Cause, ...]:
    heater = site.water_heater
    stuck = Cause("a switch that does not open: contacts welded or its tube clogged; turn the "
                  "breaker off", None, 0.6)  # fmt: skip
    gauge = Cause("a gauge that reads high: try another", None, 0.3)
    if state == "off" and heater is not None and heater.check_valve is not False:
        warm = Cause("water that expands in the heater behind a check valve", None, 0.5)
        return (warm, Cause("a switch set higher than the file says, or a gauge that reads high",
                            None, 0.4))  # fmt: skip
    if state == "off":
        return (Cause("a switch set higher than the file says", None, 0.5), gauge)
    return (stuck, gauge)


def read_decay(site: Site, given: Readings) -> ReadingResult:
    """Pressure lost overnight with the pump off and no tap open.

    Parameters:
        site: the site
        given: readings of one time
    Returns:
        the result
    """
    tank, values = site.pressure_tank, given.values
    first, last = values["evening_pressure"], values["morning_pressure"]
    fallen = Quantity(float(first) - float(last), kinds.PRESSURE_LOSS,
                      first.low - last.high, first.high - last.low)  # fmt: skip
    band = Quantity(0.0, kinds.PRESSURE_LOSS, -GAUGE_OFF, GAUGE_OFF)
    causes: tuple[Cause, ...] = ()
    if fallen.low > band.high:
        causes = (
            Cause(
                "a toilet valve or tap that drips: shut the house valve and try again", None, 0.5
            ),
            Cause("a check valve or drop pipe that lets water back into the well", None, 0.4),
        )
    elif fallen.high < band.low:
        causes = (
            Cause("the pump ran in the night: its breaker must be off", None, 0.6),
            Cause("water that expands in the heater while it warms", None, 0.3),
        )
    implied: tuple[Implied, ...] = ()
    set_to = _precharge(site, given)
    if tank is not None and set_to is not None:
        implied = (_leak(site, given, float(tank.volume) * tank.count, set_to),)
    return ReadingResult(
        "pressure_decay", "pressure lost with the pump off", "pressure tank", "no tap open",
        fallen, Band(band, "a tight system, by the gauge and cooling"), implied, causes,
    )  # fmt: skip


def _precharge(site: Site, given: Readings) -> float | None:
    """Air of the tank: as read, as the file has it, or 2 psi below cut-in [Pa]."""
    if "precharge" in given.values:
        return float(given.values["precharge"])
    tank, switch = site.pressure_tank, site.pressure_switch
    if tank is not None and tank.precharge is not None:
        return float(tank.precharge)
    return None if switch is None else float(
        pressure_tank.recommended_precharge(float(switch.cut_in)))  # fmt: skip


def _leak(site: Site, given: Readings, volume: float, precharge: float) -> Implied:
    first, last = given.values["evening_pressure"], given.values["morning_pressure"]
    hours = given.values["hours_between"]
    rates = [
        float(readings.leak_rate(volume, precharge, before, after, _atmosphere(site), time))
        for before, after, time in (
            (first.low, last.high, hours.high),
            (float(first), float(last), float(hours)),
            (first.high, last.low, hours.low),
        )
    ]
    rate = Quantity(rates[1], kinds.DAILY_FLOW, min(rates), max(rates))
    return Implied("implied_leak", "water that leaks away", rate,
                   "by Boyle, in a tank with that precharge")  # fmt: skip
