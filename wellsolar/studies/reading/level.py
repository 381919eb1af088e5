"""The water level in the well, at rest and while a pump runs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from wellsolar import kinds
from wellsolar.physics.well import levels as well
from wellsolar.results import PumpResult
from wellsolar.results.readings import Band, Cause, Implied, ReadingResult
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import Site
from wellsolar.studies.pump.study import study_pumps
from wellsolar.studies.reading.causes import Candidate, is_off, ranked
from wellsolar.studies.reading.pumps import SLACK, ReadPump, flow_of, standing
from wellsolar.studies.well.drawdown import CAPACITY_KEYS
from wellsolar.studies.well.study import levels_through
from wellsolar.units import Quantity

REST = 0.02
"""How far the water at rest may lie from the file's level [-]; our choice."""

TAPE = 0.15
"""How far a level may be off by tape or sounder, half a foot [m]: common practice, no source."""


def rest_band(site: Site) -> Quantity:
    """The file's level at rest with what tape and season may be off [m]."""
    level = site.well.static_level
    slack = max(TAPE, REST * float(level))
    return Quantity(float(level), kinds.LENGTH, max(0.0, level.low - slack), level.high + slack)


def read_rest(site: Site, given: Readings) -> ReadingResult:
    """The water level with all pumps off.

    Parameters:
        site: the site
        given: readings of one time
    Returns:
        the result
    """
    read, band = given.values["static_level"], rest_band(site)
    causes: tuple[Cause, ...] = ()
    if is_off(read, band) and read.low > band.high:
        causes = (
            Cause("water not yet at rest: pumped within the last hours", None, 0.5),
            Cause("a season drier than the file's, or a neighbour's pump", None, 0.4),
        )
    elif is_off(read, band):
        causes = (
            Cause("a season wetter than the file's", None, 0.6),
            Cause("a level told from the casing's top, not from the ground", None, 0.3),
        )
    rests = "the file's static level"
    return ReadingResult("static_level", "water level at rest", "well", "pumps off", read,
                         Band(band, rests), (), causes)  # fmt: skip


def read_pumping(at: ReadPump) -> ReadingResult:
    """The water level while a pump runs.

    Parameters:
        at: the pump
    Returns:
        the result
    """
    read, on_well = at.given.values["pumping_level"], at.on_well
    flow = _flow_then(at, read)
    causes: tuple[Cause, ...] = ()
    band: Band | None = None
    needs: tuple[str, ...] = CAPACITY_KEYS
    if on_well.level.known:
        band, needs = _expected(at), ()
        value = band.value
        if read.low > on_well.intake_depth + TAPE:
            causes = (
                Cause("a tape or sounder that misreads: the pump hangs above that", None, 0.6),
                Cause("a pump that draws air at its intake: switch it off", None, 0.4),
            )
        elif is_off(read, value):
            causes = ranked(read, _causes(at, flow, value, read.low > value.high))
    return ReadingResult(
        "pumping_level", "water level while pumping", at.table.name, _when(at), read, band,
        _implied(at, read, flow), causes, needs=needs,
    )  # fmt: skip


def _when(at: ReadPump) -> str:
    return "the pump on" if "pumping_time" in at.given.values else "the pump on, settled"


def _flow_then(at: ReadPump, read: Quantity) -> Quantity:
    """Flow of the pump at that level: by bucket, else by its curve."""
    if at.bucket is not None:
        return at.bucket
    ends = [
        at.on_well.duty("at the level", pressure, standing(float(depth))).flow
        for pressure in at.pressures
        for depth in {read.low, float(read), read.high}
    ]
    own = [at.on_well.duty("at the level", each, standing(float(read))).flow
           for each in at.pressures]  # fmt: skip
    return flow_of(min(ends), sum(own) / len(own), max(ends))


def _expected(at: ReadPump) -> Band:
    """The level that the file's drawdown gives, at the time since the start or settled."""
    static = at.site.well.static_level
    settled = _settled(at)
    drawn, rests = settled, "the file's drawdown, settled"
    time = at.given.values.get("pumping_time")
    if time is not None:
        in_time = _in_time(at, time)
        if in_time:
            own = float(static)
            shifts = (static.low - own, 0.0, static.high - own)
            drawn = [(own + shift, each) for shift in shifts for each in in_time]
            rests = "the file's drawdown and the water in the casing, after that time"
        else:
            drawn = settled + [(each, 0.0) for each, _ in settled]
            rests = "between rest and settled, as the file does not tell the casing's water"
    lows = [level + (1 - SLACK) * drop for level, drop in drawn]
    highs = [level + (1 + SLACK) * drop for level, drop in drawn]
    middles = [level + drop for level, drop in drawn if level == float(static)]
    middle = sum(middles) / len(middles)
    low, high = min(lows) - TAPE, max(highs) + TAPE
    return Band(Quantity(middle, kinds.LENGTH, max(0.0, low), high), rests)


def _settled(at: ReadPump) -> list[tuple[float, float]]:
    """Level at rest and drawdown of it [m], for each level of the file and each pressure."""
    found = []
    for each in at.at_levels:
        rest = each.level.static_level
        if at.bucket is not None:
            flows = [at.bucket.low, float(at.bucket), at.bucket.high]
            found += [(rest, each.level.at(flow) - rest) for flow in flows]
            continue
        levels = [each.duty("settled", pressure).pumping_level for pressure in at.pressures]
        found += [(rest, level - rest) for level in levels]
    return found


def _in_time(at: ReadPump, time: Quantity) -> list[float]:
    """Drawdowns after the time, for the most and the least flow [m]; none where not known."""
    pumps, _ = study_pumps(at.site)
    static = float(at.site.well.static_level)
    times = sorted({time.low, float(time), time.high})
    found: list[float] = []
    for turned in (pumps, tuple(_from_cut_out(each) for each in pumps)):
        levels = levels_through(at.site, turned, times).get(at.table.name, ())
        found += [each - static for each in levels]
    if at.bucket is not None and found:
        usual = [each.flow for pump in pumps if pump.name == at.table.name for each in pump.duties]
        factor = float(at.bucket) * len(usual) / max(sum(usual), 1e-12)
        found = [factor * each for each in found]
    return found


def _from_cut_out(result: PumpResult) -> PumpResult:
    """The same with its duty of the least flow first, by which the course goes."""
    return replace(result, duties=result.duties[::-1])


def _implied(at: ReadPump, read: Quantity, flow: Quantity) -> tuple[Implied, ...]:
    """Drawdown, and the specific capacity at the pump's flow."""
    rest = at.given.values.get("static_level", at.site.well.static_level)
    drop = Quantity(float(read) - float(rest), kinds.LENGTH,
                    read.low - rest.high, read.high - rest.low)  # fmt: skip
    below = (
        "the level read at rest"
        if "static_level" in at.given.values
        else "the file's level; read it at rest too"
    )
    why = f"by its curve at that level, {at.at_pressures}" if at.bucket is None else "by bucket"
    made = [
        Implied("implied_drawdown", "drawdown", drop, f"below {below}"),
        Implied("implied_flow", "flow of the pump", flow, why),
    ]
    if drop.low > 0.0 and float(flow) > 0.0:
        ratio = Quantity(
            float(well.specific_capacity(float(flow), float(drop))),
            kinds.SPECIFIC_CAPACITY,
            flow.low / drop.high,
            flow.high / drop.low,
        )
        made.append(Implied("implied_capacity", "specific capacity", ratio, "flow over drawdown"))
    return tuple(made)


def _causes(at: ReadPump, flow: Quantity, value: Quantity, deeper: bool) -> list[Candidate]:
    level = at.on_well.level
    rest, drop = level.static_level, max(float(value) - level.static_level, TAPE)
    if deeper:
        less = rest + drop * np.array([1.05, 1.4, 2.5])
        dry = np.array([float(value), float(value) + 3.0, float(value) + 10.0])
        tried = [
            Candidate("a well that gives less than the file says: a clogged screen, a dry season",
                      less, 1.0),
            Candidate("water that stands deeper at rest: read it with the pumps off", dry,
                      0.1 if "static_level" in at.given.values else 0.7),
            Candidate("a neighbour's well, or longer pumping than thought",
                      rest + drop * np.array([1.05, 1.3]), 0.3),
        ]  # fmt: skip
        if len(at.site.pump) > 1:
            others = [ReadPump(at.site, each, at.given) for each in at.site.pump]
            flows = [each.on_well.duty("beside", at.pressures[0]).flow for each in others
                     if each.table is not at.table]  # fmt: skip
            both = np.array([level.settled(float(flow) + each) for each in flows])
            tried.append(Candidate("another pump of the well on at the same time", both, 0.6))
        return tried
    early = np.array([rest, float(value)])
    worn = np.array([level.settled(float(value_of) * float(flow)) for value_of in (0.3, 0.9)])
    return [
        Candidate("not settled yet: pump longer and read again", early,
                  0.3 if "pumping_time" in at.given.values else 1.0),
        Candidate("a pump that gives less: worn, or its drop pipe leaks into the well", worn,
                  0.1 if at.bucket is not None else 0.8),
        Candidate("water that stands higher at rest: read it with the pumps off",
                  np.array([max(0.0, float(value) - 10.0), float(value)]), 0.6),
    ]  # fmt: skip
