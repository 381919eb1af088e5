"""Readings at the well and the pressure tank: flow, pumping level, precharge, leak."""

from __future__ import annotations

import numpy as np

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics import air, pressure_tank, readings
from wellsolar.physics.solve import bracketed_root
from wellsolar.results.readings import Band, Cause, Implied, ReadingResult
from wellsolar.site.readings_file import Readings
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.filling import fill_of
from wellsolar.studies.levels import WaterLevel, at_static_level
from wellsolar.studies.pumps import PumpOnWell, pump_on_well
from wellsolar.studies.reading_causes import Candidate, ranked
from wellsolar.units import Quantity

SLACK = 0.05
"""How far either side of the model a flow or a time still passes [-]; our choice."""

GAUGE_OFF = 13_790.0
"""How far a pressure may seem to fall by the gauge and by cooling, 2 psi [Pa]; our choice."""


def read_pump(site: Site, given: Readings) -> list[ReadingResult]:
    """What readings at a pump and its tank say.

    Parameters:
        site: the site
        given: readings of one time
    Returns:
        a result for each
    """
    table = pump_of(site, given)
    found = []
    if "evening_pressure" in given.values:
        found += _decay(site, given)
    if table is None:
        return found
    on_well = pump_on_well(site, table, f"pump[{site.pump.index(table) + 1}]")
    if "fill_time" in given.values:
        found += _filling(site, on_well, given)
    if "bucket_volume" in given.values and "bucket_time" in given.values:
        found.append(_bucket(site, on_well, given))
    return found


def pump_of(site: Site, given: Readings) -> PumpTable | None:
    """The pump that was read: the one named, else the site's first."""
    named = [each for each in site.pump if given.pump in (None, each.name)]
    return named[0] if named else None


def fill_seconds(site: Site, on_well: PumpOnWell, level: WaterLevel | None = None) -> float | None:
    """Time from cut-in to cut-out [s] at a water level; None where the pump does not get there.

    Parameters:
        site: the site
        on_well: the pump
        level: None for its own
    Returns:
        seconds
    """
    fill = fill_of(site, lambda pressure: on_well.duty("filling", pressure, level))
    return None if fill is None else fill.duration


def expected_fill(site: Site, on_well: PumpOnWell) -> Quantity | None:
    """Time of a fill over the file's water levels [s].

    Parameters:
        site: the site
        on_well: the pump
    Returns:
        the time, its ends those of the static level with what a model may be off
    """
    level = site.well.static_level
    times = []
    for depth in (level.low, float(level), level.high):
        moved = at_static_level(site, Quantity(depth, kinds.LENGTH))
        times.append(fill_seconds(site, pump_on_well(moved, on_well.table, on_well.path)))
    known = [each for each in times if each is not None]
    if not known or times[1] is None:
        return None
    low, high = min(known) * (1 - SLACK), max(known) * (1 + SLACK)
    return Quantity(times[1], kinds.DURATION, low, high)


def _constant(depth: float) -> WaterLevel:
    """Water that stands at a depth whatever is pumped."""
    return WaterLevel(depth, None, depth)


def level_of_fill(site: Site, on_well: PumpOnWell, seconds: float) -> float | None:
    """Pumping level at which the pump fills the tank in a time [m].

    Parameters:
        site: the site
        on_well: the pump
        seconds: from cut-in to cut-out [s]
    Returns:
        depth of the water, the mean through the fill; None where none explains the time
    """

    def late(depth: float) -> float:
        found = fill_seconds(site, on_well, _constant(depth))
        return 1e7 if found is None else found - seconds

    deepest = on_well.intake_depth
    try:
        return bracketed_root(late, 0.0, deepest, "pumping level", "m")
    except (OutOfRange, ValueError):
        return None


def _filling(site: Site, on_well: PumpOnWell, given: Readings) -> list[ReadingResult]:
    read, switch, tank = given.values["fill_time"], site.pressure_switch, site.pressure_tank
    if switch is None or tank is None:
        return []
    atmosphere = float(air.atmospheric_pressure(float(site.site.altitude)))
    cut_in, cut_out = float(switch.cut_in), float(switch.cut_out)
    set_to = given.values.get("precharge") or tank.precharge
    best = float(pressure_tank.recommended_precharge(cut_in))
    precharge = best if set_to is None else float(set_to)
    site = _with_precharge(site, precharge)
    volume = float(tank.volume) * tank.count
    span = (volume, precharge, cut_in, cut_out, atmosphere)
    flow = _flow(
        *(float(readings.flow_from_fill_time(*span, each)) for each in (read.high, read, read.low))
    )
    implied = [
        Implied("implied_flow", "mean flow of the pump", flow,
                "what the tank takes between the pressures, by Boyle, over the time")
    ]  # fmt: skip
    depth = level_of_fill(site, on_well, float(read))
    if depth is not None:
        implied.append(_level(depth))
    if "bucket_volume" in given.values and "bucket_time" in given.values:
        drawn = float(_bucket_flow(given)) * float(read)
        air_of = float(
            readings.precharge_from_drawdown(volume, drawn, cut_in, cut_out, atmosphere)
        )
        implied.append(
            Implied("implied_precharge", "precharge by the flow of the bucket",
                    Quantity(air_of, kinds.PRESSURE),
                    "with which the tank takes that flow for that time")
        )  # fmt: skip
    expected = expected_fill(site, on_well)
    band = None if expected is None else Band(expected, "the pump's curve over the file's levels")
    causes: tuple[Cause, ...] = ()
    if expected is not None and (read.high < expected.low or read.low > expected.high):
        causes = ranked(read, _fill_causes(site, on_well, expected, float(read) > expected))
    return [
        ReadingResult("fill_time", "from cut-in to cut-out", on_well.table.name, _no_tap(), read,
                      band, tuple(implied), causes)
    ]  # fmt: skip


def _no_tap() -> str:
    return "no tap open"


def _level(depth: float) -> Implied:
    return Implied(
        "implied_pumping_level", "pumping level by the pump's curve",
        Quantity(depth, kinds.LENGTH), "if the pump is as its sheet and nothing leaks",
    )  # fmt: skip


def _with_precharge(site: Site, precharge: float) -> Site:
    tank = site.pressure_tank
    assert tank is not None
    changed = tank.model_copy(update={"precharge": Quantity(precharge, kinds.PRESSURE)})
    return site.model_copy(update={"pressure_tank": changed})


def _fill_causes(
    site: Site, on_well: PumpOnWell, expected: Quantity, slow: bool
) -> list[Candidate]:
    """Ways to fill too slowly or too fast, each with its time."""
    switch = site.pressure_switch
    assert switch is not None
    cut_in, cut_out = float(switch.cut_in), float(switch.cut_out)

    def at(precharges: list[float]) -> np.ndarray:
        times = [fill_seconds(_with_precharge(site, each), on_well) for each in precharges]
        return np.array([np.nan if each is None else each for each in times])

    usual = float(expected)
    tried = [
        Candidate("a precharge far too low, or a bladder that has lost its air",
                  at([0.0, 0.5 * cut_in]), 1.0),
        Candidate("a precharge above cut-in", at([1.1 * cut_in, 0.5 * (cut_in + cut_out)]), 0.8),
    ]  # fmt: skip
    if slow:
        deep = max(on_well.level.at(0.0), 0.0)
        levels = np.linspace(deep + 3.0, max(on_well.intake_depth, deep + 3.0), 4)
        times = [fill_seconds(site, on_well, _constant(float(each))) for each in levels]
        tried.append(
            Candidate(
                "water that stands deeper than the file says",
                np.array([usual, *(each or np.nan for each in times)]),
                0.8,
            )
        )
        tried.append(
            Candidate(
                "a tap open, a leak in the drop pipe, or a worn pump",
                usual * np.array([1.1, 2.0, 4.0]),
                0.6,
            )
        )
    else:
        high = fill_seconds(site, on_well, _constant(0.0))
        tried.append(
            Candidate(
                "water that stands higher than the file says",
                np.array([usual, high or np.nan]),
                0.6,
            )
        )
        tried.append(
            Candidate(
                "a tank smaller than the file says, or full of water",
                usual * np.array([0.05, 0.5, 0.9]),
                0.7,
            )
        )
    return tried  # fmt: skip


def _bucket_flow(given: Readings) -> Quantity:
    volume, time = given.values["bucket_volume"], given.values["bucket_time"]
    return _flow(volume.low / time.high, volume / time, volume.high / max(time.low, 1e-9))


def _flow(low: float, middle: float, high: float) -> Quantity:
    return Quantity(middle, kinds.FLOW, low, high)


def _bucket(site: Site, on_well: PumpOnWell, given: Readings) -> ReadingResult:
    """Flow by bucket at a steady gauge, against the pump's point there."""
    read, switch = _bucket_flow(given), site.pressure_switch
    gauge = given.values.get("gauge_pressure")
    ends = [0.0] if switch is None else [float(switch.cut_in), float(switch.cut_out)]
    if gauge is not None:
        ends = [gauge.low, gauge.high]
    flows = [on_well.duty("bucket", each).flow for each in ends]
    low, high = min(flows) * (1 - SLACK), max(flows) * (1 + SLACK)
    expected = _flow(low, sum(flows) / len(flows), high)
    implied = []
    flow, pressure = float(read), sum(ends) / len(ends)
    if gauge is not None and on_well.curve.first_flow <= flow <= on_well.curve.greatest_flow:
        head = float(on_well.curve.head_at(flow))
        depth = head - on_well.line.total(_constant(0.0), flow, pressure)
        implied.append(_level(depth))
    causes: tuple[Cause, ...] = ()
    if read.high < low:
        causes = (
            Cause("water that stands deeper than the file says: measure the level", None, 0.5),
            Cause(
                "a leak in the drop pipe, a clogged screen or filter, or a worn pump", None, 0.4
            ),
        )
    elif read.low > high:
        causes = (
            Cause("water from the tank too: wait until the gauge stands still", None, 0.6),
            Cause("water that stands higher than the file says", None, 0.3),
        )
    rests = "the pump's curve at that pressure" if gauge else "the pump's curve, cut-in to cut-out"
    return ReadingResult("bucket_flow", "flow by bucket", on_well.table.name,
                         "the gauge steady, the pump on", read, Band(expected, rests),
                         tuple(implied), causes)  # fmt: skip


def _decay(site: Site, given: Readings) -> list[ReadingResult]:
    """Pressure lost overnight with the pump off and no tap open."""
    tank = site.pressure_tank
    first, last = given.values["evening_pressure"], given.values["morning_pressure"]
    fallen = Quantity(float(first) - float(last), kinds.PRESSURE_LOSS,
                      first.low - last.high, first.high - last.low)  # fmt: skip
    implied: tuple[Implied, ...] = ()
    switch = site.pressure_switch
    set_to = given.values.get("precharge") or (None if tank is None else tank.precharge)
    if set_to is None and switch is not None:
        set_to = Quantity(
            float(pressure_tank.recommended_precharge(float(switch.cut_in))), kinds.PRESSURE
        )
    if tank is not None and set_to is not None:
        atmosphere = float(air.atmospheric_pressure(float(site.site.altitude)))
        time = float(given.values["hours_between"])
        of = (float(tank.volume) * tank.count, float(set_to))
        rates = [
            float(readings.leak_rate(*of, a, b, atmosphere, time))
            for a, b in ((first.low, last.high), (first, last), (first.high, last.low))
        ]
        rate = Quantity(rates[1], kinds.DAILY_FLOW, min(rates), max(rates))
        implied = (Implied("implied_leak", "water that leaks away", rate,
                           "by Boyle, in a tank with that precharge"),)  # fmt: skip
    causes: tuple[Cause, ...] = ()
    if fallen.low > GAUGE_OFF:
        causes = (
            Cause(
                "a toilet valve or tap that drips: shut the house valve and try again", None, 0.5
            ),
            Cause("a check valve or drop pipe that lets water back into the well", None, 0.4),
        )
    band = Quantity(0.0, kinds.PRESSURE_LOSS, -GAUGE_OFF, GAUGE_OFF)
    return [
        ReadingResult("pressure_decay", "pressure lost with the pump off", "pressure tank",
                      "no tap open", fallen, Band(band, "a tight system"), implied, causes)
    ]  # fmt: skip
