"""Flow of a pump: by the time that it takes to fill the pressure tank, and by bucket."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property

import numpy as np

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import pressure_tank
from wellsolar.physics.hydraulics import pressure_tank as readings
from wellsolar.physics.solve import bracketed_root
from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Band, Implied, SheetLine
from wellsolar.site.schema import Site
from wellsolar.studies.pump.pressure_tank import fill_of
from wellsolar.studies.pump.study import PumpOnWell
from wellsolar.studies.reading.pressure import TankAir, tank_air_of
from wellsolar.studies.reading.pumps import (
    SLACK,
    ReadPump,
    flow_of,
    implied_level,
    level_of_flows,
    standing,
)
from wellsolar.studies.reading.reading import (
    AIR,
    DEEPER,
    HIGHER,
    PUMP,
    Candidate,
    Lacking,
    PumpReading,
    ends_of,
)
from wellsolar.studies.reading.visit import Visit
from wellsolar.studies.well.drawdown import WaterLevel
from wellsolar.units import Quantity

TANK_KEYS = ("pressure_switch.cut_in", "pressure_tank.volume")
"""What the file lacks where a fill can't be judged."""

STEPS = 3
"""Pressures of a fill at which the flows of two water levels are set side by side."""


class FillTime(PumpReading):
    """The time from cut-in to cut-out."""

    reads = ("fill_time",)
    clears = (PUMP,)
    key = "fill_time"
    label = "from cut-in to cut-out"
    when = "no tap open"

    def __init__(self, visit: Visit) -> None:
        super().__init__(visit)
        precharge = visit.values.get("precharge")
        if precharge is not None and self.site.pressure_tank is not None:
            self.site = _with_precharge(self.site, float(precharge))
            self.at = ReadPump(self.site, self.at.table, visit.given)

    def expected(self) -> Band | Lacking:
        """By the flow of a bucket where one was filled, else over the file's water levels."""
        link = self.at.on_well.link
        if link.into_tank or (link.to_house and not link.by_switch):
            purpose = "holds its pressure" if link.to_house else "fills the storage tank"
            return Lacking(why=f"the pump {purpose} and has no cut-out; leave this reading out")
        there = (self.site.pressure_switch, self.site.pressure_tank)
        if None in there:
            return Lacking(
                tuple(key for key, table in zip(TANK_KEYS, there, strict=True) if table is None)
            )
        by_bucket = _fill_by_bucket(self.at)
        if by_bucket is not None:
            return Band(by_bucket, "the flow of the bucket into the tank with its air")
        by_curve = _expected_fill(self.at)
        if by_curve is None:
            return Lacking(why="the pump does not reach cut-out by its sheet")
        levels = "" if link.from_tank else " from rest to settled"
        return Band(by_curve, f"the pump's curve, {self.at.levels_told}{levels}")

    def implied(self) -> list[Implied]:
        """Flow and pumping level by a fill, and the precharge where a bucket tells the flow."""
        at, site, read, tank = self.at, self.site, self.measured, tank_air_of(self.site)
        if not at.on_well.link.by_switch or tank is None:
            return []
        cut_in, cut_out = _cuts(site)
        if tank.precharge >= cut_out:
            return []
        span = (tank.volume, tank.precharge, cut_in, cut_out, tank.atmosphere)
        most, middle, least = (
            readings.flow_from_fill_time(*span, seconds) for seconds in ends_of(read)
        )
        why = "what the tank takes between the pressures, by Boyle, over the time"
        flow = flow_of(least, middle, most)
        implied = [Implied("implied_flow", "mean flow of the pump", flow, why)]
        depth = _level_of_fill(site, at.on_well, float(read))
        if depth is not None and not at.on_well.link.from_tank:
            ends = [
                _level_of_fill(site, at.on_well, seconds) if read.is_range else depth
                for seconds in (read.low, read.high)
            ]
            low, high = (depth if end is None else end for end in ends)
            implied.append(implied_level(Quantity(depth, kinds.LENGTH, low, high)))
        by_bucket = _mean_flow_by_bucket(at)
        if by_bucket is not None:
            implied += _implied_precharge(site, tank, by_bucket * read)
        return implied

    def explained(self, band: Quantity, low: bool) -> list[Candidate]:
        """The tank's air, the water's level, or the pump."""
        return self._airs() + (self._fast(band) if low else self._slow(band))

    @property
    def _worn(self) -> str:
        """What makes any fill slow."""
        leaks = "air in the suction pipe" if self.at.on_well.link.from_tank else (
            "a leak in the drop pipe")  # fmt: skip
        return f"a tap open, {leaks}, or a worn pump"

    @property
    def _pump_weight(self) -> float:
        """Weight of pump and level [-]: a bucket clears them, as it tells the flow."""
        return 1.0 if self.at.bucket is None else 0.05

    @property
    def _air_weight(self) -> float:
        """Weight of the tank's air [-], which is little where it was read."""
        return 0.1 if "precharge" in self.visit.values else 1.0

    def _airs(self) -> list[Candidate]:
        """Too little air in the tank, or too much, each with its times."""
        cut_in, cut_out = _cuts(self.site)

        def times(precharges: list[float]) -> FloatArray:
            on_well = self.at.on_well
            return _times(_fill_seconds(_with_precharge(self.site, precharge), on_well)
                          for precharge in precharges)  # fmt: skip

        lost = "a precharge far too low, or a bladder that has lost its air"
        return [
            Candidate(lost, times([0.0, 0.5 * cut_in, 0.9 * cut_in]), 1.0 * self._air_weight,
                      of=(AIR,)),
            Candidate(
                "a precharge above cut-in",
                times([1.1 * cut_in, 0.5 * (cut_in + cut_out)]),
                0.4 * self._air_weight,
                of=(AIR,),
            ),
        ]  # fmt: skip

    def _levels(self, usual: float, depths: FloatArray) -> FloatArray:
        """The usual time, and those with the water at some depths [s]."""
        on_well = self.at.on_well
        times = _times(
            _fill_seconds(self.site, on_well, standing(float(depth))) for depth in depths
        )
        return np.concatenate([[usual], times])

    def _slow(self, band: Quantity) -> list[Candidate]:
        """Ways to fill too slowly."""
        usual, on_well = float(band), self.at.on_well
        rest = max(on_well.level.at(0.0), 0.0)
        depths = np.linspace(rest + 3.0, max(on_well.intake_depth, rest + 3.0), 4)
        return [
            Candidate("water that stands deeper than the file says",
                      self._levels(usual, depths), 0.8 * self._pump_weight, of=DEEPER),
            Candidate(self._worn,
                      usual * np.array([1.1, 2.0, 4.0]), 0.6 * self._pump_weight, of=(PUMP,)),
            Candidate("a tank larger than the file says, or a second one on the line",
                      usual * np.array([1.1, 2.0]), 0.2 * self._air_weight),
        ]  # fmt: skip

    def _fast(self, band: Quantity) -> list[Candidate]:
        """Ways to fill too fast."""
        usual = float(band)
        return [
            Candidate("water that stands higher than the file says",
                      self._levels(usual, np.zeros(1)), 0.6 * self._pump_weight, of=(HIGHER,)),
            Candidate("a tank smaller than the file says, or full of water",
                      usual * np.array([0.05, 0.5, 0.9]), 0.7 * self._air_weight),
        ]  # fmt: skip

    def boxes(self) -> list[SheetLine]:
        """The same band, about the time that is known of the pump already."""
        fill = self.visit.pump_result.fill
        if fill is None or fill.duration is None:
            return []
        time = _expected_fill(self.at, fill.duration)
        text = "cut-in to cut-out, no tap open"
        return [] if time is None else [SheetLine(text, time, reads=self.reads)]


def _times(seconds: Iterable[float | None]) -> FloatArray:
    """Times [s] as an array, not a number where the pump does not get there."""
    return np.array([np.nan if time is None else time for time in seconds])


def _cuts(site: Site) -> tuple[float, float]:
    """Cut-in and cut-out of a site with a switch [Pa]."""
    switch = site.pressure_switch
    assert switch is not None
    return float(switch.cut_in), float(switch.cut_out)


def _with_precharge(site: Site, precharge: float) -> Site:
    """The site with another precharge [Pa]."""
    tank = site.pressure_tank
    assert tank is not None
    changed = tank.model_copy(update={"precharge": Quantity(precharge, kinds.PRESSURE)})
    return site.model_copy(update={"pressure_tank": changed})


def _fill_seconds(
    site: Site, on_well: PumpOnWell, level: WaterLevel | None = None
) -> float | None:
    """Time from cut-in to cut-out [s] at a water level, or the pump's own; None where the pump
    does not get there."""
    fill = fill_of(site, lambda pressure: on_well.at_work(pressure, level))
    return None if fill is None else fill.duration


def _expected_fill(at: ReadPump, middle: float | None = None) -> Quantity | None:
    """Time of a fill over the file's water levels."""
    if middle is None:
        middle = _fill_seconds(at.site, at.on_well)
    if middle is None:
        return None
    own = _slowness(at, at.on_well)
    times = [middle]
    highest = at.at_levels[0]
    # A fill after a long rest finds the water higher than one in the middle of the day's use.
    rested = replace(highest, level=standing(highest.level.static_level))
    for on_well in (*at.at_work, rested) if own is not None else ():
        other = _slowness(at, on_well)
        times += [] if other is None or own is None else [middle * other / own]
    low, high = min(times) * (1 - SLACK), max(times) * (1 + SLACK)
    return Quantity(middle, kinds.WATCH, low, high)


def _slowness(at: ReadPump, on_well: PumpOnWell) -> float | None:
    """Time of a fill of one unit of water, by a few flows along it; None where one is none."""
    tank = tank_air_of(at.site)
    assert tank is not None
    pressures = np.linspace(*_cuts(at.site), STEPS)
    stored = pressure_tank.stored_water(1.0, tank.precharge, pressures, tank.atmosphere)
    flows = np.array([at.flow(on_well, pressure) for pressure in pressures.tolist()])
    if not (flows > 0.0).all():
        return None
    slow = 1.0 / flows
    return float((np.diff(np.asarray(stored)) * (slow[1:] + slow[:-1]) / 2).sum())


def _level_of_fill(site: Site, on_well: PumpOnWell, seconds: float) -> float | None:
    """Depth of the water [m], the mean through the fill, with which the pump takes so long; None
    where none explains the time."""

    def late(depth: float) -> float:
        needed = _fill_seconds(site, on_well, standing(depth))
        return 1e7 if needed is None else needed - seconds

    try:
        return bracketed_root(late, 0.0, on_well.intake_depth, "pumping level", "m", 1e-4)
    except (OutOfRange, ValueError):
        return None


def _mean_flow_by_bucket(at: ReadPump) -> float | None:
    """Mean flow of a fill as the bucket tells it [m3/s]: the curve's, as much more or less as
    the bucket had at its pressure."""
    bucket = at.bucket
    fill = fill_of(at.site, lambda pressure: at.on_well.at_work(pressure))
    if bucket is None or fill is None or at.on_well.link.valve is not None:
        return None  # Behind a valve a fill is the valve's, and no bucket tells it.
    flows = [at.flow(at.on_well, pressure) for pressure in at.pressures]
    if sum(flows) <= 0.0:  # By the curve nothing comes at the pressure of the bucket.
        return None
    return fill.mean_flow * bucket / (sum(flows) / len(flows))


def _fill_by_bucket(at: ReadPump) -> Quantity | None:
    """Time of a fill at the flow of the bucket [s]; None without one."""
    mean, bucket, tank = _mean_flow_by_bucket(at), at.bucket, tank_air_of(at.site)
    if mean is None or bucket is None or tank is None:
        return None
    time = tank.drawn(*_cuts(at.site)) / mean
    low = time * (1 - SLACK) * bucket / bucket.high
    high = time * (1 + SLACK) * bucket / max(bucket.low, 1e-3 * bucket)
    return Quantity(time, kinds.WATCH, low, high)


def _implied_precharge(site: Site, tank: TankAir, drawn: float) -> list[Implied]:
    """The air with which the tank takes so much water [m3]; one below cut-in, one above it."""
    cut_in, cut_out = _cuts(site)
    air = tank.atmosphere
    below = readings.precharge_from_drawdown(tank.volume, drawn, cut_in, cut_out, air)
    above = readings.precharge_above_cut_in(tank.volume, drawn, cut_out, air)
    implied = []
    if below <= cut_in:
        value = Quantity(max(below, 0.0), kinds.PRESSURE)
        implied.append(Implied("implied_precharge", "precharge by the flow of the bucket", value,
                               "with which the tank takes that flow for that time"))  # fmt: skip
    if cut_in < above < cut_out:
        value = Quantity(above, kinds.PRESSURE)
        implied.append(Implied("implied_precharge_above", "or, where it is above cut-in", value,
                               "a tank that is empty before the switch closes"))  # fmt: skip
    return implied


class BucketFlow(PumpReading):
    """Flow by bucket at a steady gauge, against the pump's point there."""

    reads = ("bucket_volume",)
    clears = (PUMP,)
    key = "bucket_flow"
    label = "flow by bucket"
    when = "gauge and level steady, the pump on"

    @cached_property
    def measured(self) -> Quantity:
        """Volume over time."""
        assert self.at.bucket is not None
        return self.at.bucket

    def expected(self) -> Band:
        """Flow by the curve over the levels at the pressures of the bucket."""
        at = self.at
        flows = [at.flow(on_well, pressure) for on_well in at.at_work for pressure in at.pressures]
        likely = [at.flow(at.likeliest, pressure) for pressure in at.pressures]
        low, high = min(flows) * (1 - SLACK), max(flows) * (1 + SLACK)
        rests = f"the pump's curve, {at.levels_told}, {at.at_pressures}"
        return Band(flow_of(low, sum(likely) / len(likely), high), rests)

    def implied(self) -> list[Implied]:
        """Level and head, where the gauge was read with it."""
        at, read = self.at, self.measured
        depth = level_of_flows(at.on_well, read, at.pressures)
        if depth is None or "gauge_pressure" not in self.visit.values:
            return []
        middle = sum(at.pressures) / len(at.pressures)
        head = at.on_well.line.total(standing(float(depth)), float(read), middle)
        by_curve = "by the pump's curve at that flow"
        total = Implied("implied_head", "total head there", Quantity(head, kinds.HEAD), by_curve)
        return [total] if at.on_well.link.from_tank else [implied_level(depth), total]

    def explained(self, band: Quantity, low: bool) -> list[Candidate]:
        """The water's level, the pump and its pipe; above, the tank's own water."""
        return self._too_little(band) if low else self._too_much(band)

    def _flow_at(self, depth: float) -> float:
        """Flow with the water at a depth [m3/s]."""
        return self.at.on_well.duty("bucket", self.at.pressures[-1], standing(depth)).flow

    @property
    def _level_weight(self) -> float:
        """Weight of the water's level [-], which is little where it was read."""
        return 0.05 if "pumping_level" in self.visit.values else 1.0

    def _too_little(self, band: Quantity) -> list[Candidate]:
        """Ways to give less."""
        usual = float(band)
        deep = np.array([usual, self._flow_at(self.at.on_well.intake_depth)])
        deeper = "water that stands deeper than the file says: measure it"
        worn = "a leak in the drop pipe, a clogged screen or filter, or a worn pump"
        if self.at.on_well.link.from_tank:
            deeper = "water below the low float of the storage tank"
            worn = "air drawn in by the suction pipe, a clogged strainer or filter, or a worn pump"
        return [
            Candidate(deeper, deep, 0.9 * self._level_weight, of=DEEPER),
            Candidate(worn, usual * np.array([0.3, 0.9]), 0.8, of=(PUMP,)),
        ]

    def _too_much(self, band: Quantity) -> list[Candidate]:
        """Ways to give more."""
        usual = float(band)
        text = "water from the tank too: wait until the gauge stands still"
        if self.site.pressure_tank is None:
            text = "a bucket or a watch that was misread: fill it twice"
        high = np.array([usual, self._flow_at(0.0)])
        higher = "water that stands higher than the file says, or has not come down yet"
        if self.at.on_well.link.from_tank:
            higher = "a storage tank that stands higher than the file says"
        return [
            Candidate(text, usual * np.array([1.1, 1.5, 4.0]), 1.0),
            Candidate(higher, high, 0.6 * self._level_weight, of=(HIGHER,)),
        ]

    def boxes(self) -> list[SheetLine]:
        """The same band, where the pump gives anything."""
        flow = self.expected().value
        text = f"flow by bucket, level settled, {self.at.at_pressures}"
        reads = ("bucket_volume", "bucket_time")
        return [SheetLine(text, flow, reads=reads)] if flow.low > 0.0 else []
