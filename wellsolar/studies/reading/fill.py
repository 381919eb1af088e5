"""Flow of a pump: by the time that it takes to fill the pressure tank, and by bucket."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import air, pressure_tank
from wellsolar.physics.hydraulics import tank_readings as readings
from wellsolar.physics.solve import bracketed_root
from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Band, Cause, Implied, ReadingResult
from wellsolar.site.schema import Site
from wellsolar.studies.pump.pressure_tank import fill_of
from wellsolar.studies.pump.study import PumpOnWell
from wellsolar.studies.reading.causes import Candidate, is_off, ranked
from wellsolar.studies.reading.pumps import (
    SLACK,
    ReadPump,
    flow_of,
    implied_level,
    level_of_flows,
    standing,
)
from wellsolar.studies.well.drawdown import WaterLevel
from wellsolar.units import Quantity

TANK_KEYS = ("pressure_switch.cut_in", "pressure_tank.volume")
"""What the file lacks where a fill can't be judged."""

STEPS = 3
"""Pressures of a fill at which the flows of two water levels are set side by side."""


def fill_seconds(site: Site, on_well: PumpOnWell, level: WaterLevel | None = None) -> float | None:
    """Time from cut-in to cut-out [s] at a water level; None where the pump does not get there.

    Parameters:
        site: the site
        on_well: the pump
        level: None for its own
    Returns:
        seconds
    """
    fill = fill_of(site, lambda pressure: on_well.at_work(pressure, level))
    return None if fill is None else fill.duration


def expected_fill(at: ReadPump, middle: float | None = None) -> Quantity | None:
    """Time of a fill over the file's water levels [s].

    Parameters:
        at: the pump
        middle: the time at the file's level, where that is known already
    Returns:
        the time, its ends those of the static level with what a model may be off; None where the
        pump does not get there
    """
    site = at.site
    if middle is None:
        middle = fill_seconds(site, at.on_well)
    if middle is None:
        return None
    own = _slowness(at, at.on_well)
    times = [middle]
    highest = at.at_levels[0]
    # A fill after a long rest finds the water higher than one in the middle of the day's use.
    rested = replace(highest, level=standing(highest.level.static_level))
    for each in (*at.at_work, rested) if own is not None else ():
        other = _slowness(at, each)
        times += [] if other is None or own is None else [middle * other / own]
    low, high = min(times) * (1 - SLACK), max(times) * (1 + SLACK)
    return Quantity(middle, kinds.WATCH, low, high)


def _slowness(at: ReadPump, on_well: PumpOnWell) -> float | None:
    """Time of a fill of one unit of water, by a few flows along it; None where one is none."""
    site, switch = at.site, at.site.pressure_switch
    assert switch is not None
    pressures = np.linspace(float(switch.cut_in), float(switch.cut_out), STEPS)
    _, precharge = _tank(site)
    stored = pressure_tank.stored_water(1.0, precharge, pressures, _atmosphere(site))
    flows = np.array([at.flow(on_well, each) for each in pressures.tolist()])
    if not (flows > 0.0).all():
        return None
    slow = 1.0 / flows
    return float((np.diff(np.asarray(stored)) * (slow[1:] + slow[:-1]) / 2).sum())


def _atmosphere(site: Site) -> float:
    return float(air.atmospheric_pressure(float(site.site.altitude)))


def _tank(site: Site) -> tuple[float, float]:
    """Volume of all tanks together [m3], and their precharge [Pa]."""
    switch, tank = site.pressure_switch, site.pressure_tank
    assert switch is not None
    assert tank is not None
    best = float(pressure_tank.recommended_precharge(float(switch.cut_in)))
    precharge = best if tank.precharge is None else float(tank.precharge)
    return float(tank.volume) * tank.count, precharge


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
        found = fill_seconds(site, on_well, standing(depth))
        return 1e7 if found is None else found - seconds

    try:
        return bracketed_root(late, 0.0, on_well.intake_depth, "pumping level", "m", 1e-4)
    except (OutOfRange, ValueError):
        return None


def read_fill(at: ReadPump) -> ReadingResult:
    """The time from cut-in to cut-out.

    Parameters:
        at: the pump
    Returns:
        the result
    """
    given, read, site = at.given, at.given.values["fill_time"], at.site
    name, label, when = at.table.name, "from cut-in to cut-out", "no tap open"
    if at.table.held_pressure is not None:
        why = "the pump holds its pressure and has no cut-out; leave this reading out"
        return ReadingResult("fill_time", label, name, when, read, None, why=why)
    if site.pressure_switch is None or site.pressure_tank is None:
        there = (site.pressure_switch is not None, site.pressure_tank is not None)
        needs = tuple(key for key, told in zip(TANK_KEYS, there, strict=True) if not told)
        return ReadingResult("fill_time", label, name, when, read, None, needs=needs)
    if "precharge" in given.values:
        site = with_precharge(site, float(given.values["precharge"]))
        at = ReadPump(site, at.table, given)
    expected = expected_fill(at)
    rests = f"the pump's curve, {at.levels_told} from rest to settled"
    by_bucket = _fill_by_bucket(at)
    if by_bucket is not None:
        expected, rests = by_bucket, "the flow of the bucket into the tank with its air"
    band = None if expected is None else Band(expected, rests)
    causes: tuple[Cause, ...] = ()
    if expected is not None and is_off(read, expected):
        causes = ranked(read, _fill_causes(at, expected, float(read) > expected))
    return ReadingResult(
        "fill_time", label, name, when, read, band, tuple(_implied_by_fill(at)), causes,
        why="" if band else "the pump does not reach cut-out by its sheet",
    )  # fmt: skip


def _implied_by_fill(at: ReadPump) -> list[Implied]:
    """Flow and pumping level by a fill, and the precharge where a bucket tells the flow."""
    site, read = at.site, at.given.values["fill_time"]
    switch = site.pressure_switch
    assert switch is not None
    volume, precharge = _tank(site)
    cuts = (float(switch.cut_in), float(switch.cut_out))
    span = (volume, precharge, *cuts, _atmosphere(site))
    if precharge >= cuts[1]:
        return []
    flow = flow_of(
        *(float(readings.flow_from_fill_time(*span, each)) for each in (read.high, read, read.low))
    )
    implied = [
        Implied("implied_flow", "mean flow of the pump", flow,
                "what the tank takes between the pressures, by Boyle, over the time")
    ]  # fmt: skip
    depth = level_of_fill(site, at.on_well, float(read))
    if depth is not None:
        ends = [
            level_of_fill(site, at.on_well, each) if read.is_range else depth
            for each in (read.low, read.high)
        ]
        least, most = (depth if each is None else each for each in ends)
        implied.append(implied_level(Quantity(depth, kinds.LENGTH, least, most)))
    measured = _mean_flow_by_bucket(at)
    if measured is not None:
        implied += _implied_precharge(at, measured * float(read))
    return implied


def _mean_flow_by_bucket(at: ReadPump) -> float | None:
    """Mean flow of a fill as the bucket tells it [m3/s]: the curve's, as much more or less as
    the bucket had at its pressure."""
    bucket = at.bucket
    fill = fill_of(at.site, lambda pressure: at.on_well.at_work(pressure))
    if bucket is None or fill is None:
        return None
    flows = [at.flow(at.on_well, each) for each in at.pressures]
    if sum(flows) <= 0.0:  # By the curve nothing comes at the pressure of the bucket.
        return None
    return fill.mean_flow * float(bucket) / (sum(flows) / len(flows))


def _fill_by_bucket(at: ReadPump) -> Quantity | None:
    """Time of a fill at the flow of the bucket [s]; None without one."""
    mean, bucket = _mean_flow_by_bucket(at), at.bucket
    switch = at.site.pressure_switch
    if mean is None or bucket is None or switch is None:
        return None
    volume, precharge = _tank(at.site)
    water = pressure_tank.drawdown_volume(
        volume, precharge, float(switch.cut_in), float(switch.cut_out), _atmosphere(at.site)
    )
    time, flow = float(water) / mean, float(bucket)
    low = time * (1 - SLACK) * flow / bucket.high
    high = time * (1 + SLACK) * flow / max(bucket.low, 1e-3 * flow)
    return Quantity(time, kinds.WATCH, low, high)


def _implied_precharge(at: ReadPump, drawn: float) -> list[Implied]:
    """The air with which the tank takes so much water [m3]; one below cut-in, one above it."""
    switch, (volume, _) = at.site.pressure_switch, _tank(at.site)
    assert switch is not None
    cuts = (float(switch.cut_in), float(switch.cut_out))
    atmosphere = _atmosphere(at.site)
    below = float(readings.precharge_from_drawdown(volume, drawn, *cuts, atmosphere))
    above = float(readings.precharge_above_cut_in(volume, drawn, cuts[1], atmosphere))
    made = []
    if below <= cuts[0]:
        made.append(Implied("implied_precharge", "precharge by the flow of the bucket",
                            Quantity(max(below, 0.0), kinds.PRESSURE),
                            "with which the tank takes that flow for that time"))  # fmt: skip
    if cuts[0] < above < cuts[1]:
        made.append(Implied("implied_precharge_above", "or, where it is above cut-in",
                            Quantity(above, kinds.PRESSURE),
                            "a tank that is empty before the switch closes"))  # fmt: skip
    return made


def with_precharge(site: Site, precharge: float) -> Site:
    """The site with another precharge [Pa]."""
    tank = site.pressure_tank
    assert tank is not None
    changed = tank.model_copy(update={"precharge": Quantity(precharge, kinds.PRESSURE)})
    return site.model_copy(update={"pressure_tank": changed})


def _fill_causes(at: ReadPump, expected: Quantity, slow: bool) -> list[Candidate]:
    """Ways to fill too slowly or too fast, each with its time."""
    site, on_well, switch = at.site, at.on_well, at.site.pressure_switch
    assert switch is not None
    cut_in, cut_out = float(switch.cut_in), float(switch.cut_out)
    usual, deepest = float(expected), on_well.intake_depth
    # A bucket clears pump and level, as it tells the flow; the tank's air is what is left.
    pump_at_fault = 1.0 if at.bucket is None else 0.05
    air_at_fault = 0.1 if "precharge" in at.given.values else 1.0

    def airs(precharges: list[float]) -> FloatArray:
        found = [fill_seconds(with_precharge(site, each), on_well) for each in precharges]
        return np.array([np.nan if each is None else each for each in found])

    def levels(depths: FloatArray) -> FloatArray:
        found = [fill_seconds(site, on_well, standing(float(each))) for each in depths]
        return np.array([usual, *(np.nan if each is None else each for each in found)])

    tried = [
        Candidate("a precharge far too low, or a bladder that has lost its air",
                  airs([0.0, 0.5 * cut_in, 0.9 * cut_in]), 1.0 * air_at_fault),
        Candidate("a precharge above cut-in",
                  airs([1.1 * cut_in, 0.5 * (cut_in + cut_out)]), 0.6 * air_at_fault),
    ]  # fmt: skip
    if slow:
        rest = max(on_well.level.at(0.0), 0.0)
        deep = levels(np.linspace(rest + 3.0, max(deepest, rest + 3.0), 4))
        text = "water that stands deeper than the file says"
        tried.append(Candidate(text, deep, 0.8 * pump_at_fault))
        text = "a tap open, a leak in the drop pipe, or a worn pump"
        worn = usual * np.array([1.1, 2.0, 4.0])
        tried.append(Candidate(text, worn, 0.6 * pump_at_fault))
        text = "a tank larger than the file says, or a second one on the line"
        tried.append(Candidate(text, usual * np.array([1.1, 2.0]), 0.2 * air_at_fault))
    else:
        text = "water that stands higher than the file says"
        tried.append(Candidate(text, levels(np.zeros(1)), 0.6 * pump_at_fault))
        text = "a tank smaller than the file says, or full of water"
        tried.append(Candidate(text, usual * np.array([0.05, 0.5, 0.9]), 0.7 * air_at_fault))
    return tried


def bucket_band(at: ReadPump) -> Quantity:
    """Flow by the curve over the levels at the pressures of the bucket [m3/s]."""
    flows = [at.flow(each, pressure) for each in at.at_work for pressure in at.pressures]
    own = [at.flow(at.likeliest, pressure) for pressure in at.pressures]
    return flow_of(min(flows) * (1 - SLACK), sum(own) / len(own), max(flows) * (1 + SLACK))


def read_bucket(at: ReadPump, read: Quantity) -> ReadingResult:
    """Flow by bucket at a steady gauge, against the pump's point there.

    Parameters:
        at: the pump
        read: its flow by bucket
    Returns:
        the result
    """
    expected = bucket_band(at)
    implied = []
    depth = level_of_flows(at.on_well, read, at.pressures)
    if depth is not None and "gauge_pressure" in at.given.values:
        implied.append(implied_level(depth))
        middle = sum(at.pressures) / len(at.pressures)
        head = at.on_well.line.total(standing(float(depth)), float(read), middle)
        implied.append(Implied("implied_head", "total head there", Quantity(head, kinds.HEAD),
                               "by the pump's curve at that flow"))  # fmt: skip
    causes: tuple[Cause, ...] = ()
    if is_off(read, expected):
        causes = ranked(read, _bucket_causes(at, expected, read.high < expected.low))
    rests = f"the pump's curve, {at.levels_told}, {at.at_pressures}"
    return ReadingResult("bucket_flow", "flow by bucket", at.table.name,
                         "gauge and level steady, the pump on", read, Band(expected, rests),
                         tuple(implied), causes)  # fmt: skip


def _bucket_causes(at: ReadPump, expected: Quantity, low: bool) -> list[Candidate]:
    usual, on_well = float(expected), at.on_well

    def flow(depth: float) -> float:
        return on_well.duty("bucket", at.pressures[-1], standing(depth)).flow

    level_at_fault = 0.05 if "pumping_level" in at.given.values else 1.0
    if low:
        deep = np.array([usual, flow(on_well.intake_depth)])
        worn = usual * np.array([0.3, 0.9])
        text = "a leak in the drop pipe, a clogged screen or filter, or a worn pump"
        deeper = "water that stands deeper than the file says: measure it"
        return [
            Candidate(deeper, deep, 0.9 * level_at_fault),
            Candidate(text, worn, 0.8),
        ]
    more = usual * np.array([1.1, 1.5, 4.0])
    text = "water from the tank too: wait until the gauge stands still"
    if at.site.pressure_tank is None:
        text = "a bucket or a watch that was misread: fill it twice"
    high = np.array([usual, flow(0.0)])
    return [
        Candidate(text, more, 1.0),
        Candidate(
            "water that stands higher than the file says, or has not come down yet",
            high,
            0.6 * level_at_fault,
        ),
    ]
