"""The water level in the well, at rest and while a pump runs."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

import numpy as np

from wellsolar import kinds
from wellsolar.physics.well import levels as well
from wellsolar.results.pumps import PumpResult
from wellsolar.results.readings import Band, Cause, Implied, SheetLine
from wellsolar.site.schema import WellTable
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.house.wells import is_here, name_of
from wellsolar.studies.reading.pumps import SLACK, ReadPump, flow_of, standing
from wellsolar.studies.reading.reading import (
    DEEPER,
    HIGHER,
    NEIGHBOUR,
    PUMP,
    REST,
    YIELD,
    Candidate,
    Lacking,
    PumpReading,
    Reading,
    ends_of,
    fixed,
)
from wellsolar.studies.reading.visit import Visit
from wellsolar.studies.well.drawdown import CAPACITY_KEYS
from wellsolar.studies.well.study import COURSE, in_wells, levels_through
from wellsolar.units import Quantity

AT_REST = 0.02
"""How far the water at rest may lie from the file's level [-]; our choice."""

HALF_AN_HOUR = 1800.0
"""Time of pumping after which the level is read [s], one of those of the well's course."""

TAPE = 0.15
"""How far a level may be off by tape or sounder, half a foot [m]: common practice, no source."""


class StaticLevel(Reading):
    """The water level with all pumps off, in the well of the pump that is named."""

    reads = ("static_level",)
    clears = (REST, HIGHER)
    step = "well"
    key = "static_level"
    label = "water level at rest"
    when = "pumps off"

    def __init__(self, visit: Visit) -> None:
        super().__init__(visit)
        if visit.given.pump is not None and visit.pump is not None:
            self.site = visit.pump.site

    @property
    def subject(self) -> str:
        """The well, by its name where it is not the first."""
        return name_of(self.site.well) or "well"

    def expected(self) -> Band:
        """The file's level at rest with what tape and season may be off."""
        return Band(at_rest(self.site.well), "the file's static level")

    def explained(self, band: Quantity, low: bool) -> tuple[Cause, ...]:
        """Season, pumping, or where the tape was read from."""
        if low:
            return fixed(
                ("a season wetter than the file's", 0.6, HIGHER),
                ("a level measured from the casing's top, not from the ground", 0.3),
            )
        return fixed(
            ("water not yet at rest: pumped within the last hours", 0.5),
            ("a season drier than the file's, or a neighbour's pump", 0.4, REST),
        )

    def boxes(self) -> list[SheetLine]:
        """The same band."""
        return [SheetLine("static level", self.expected().value, reads=self.reads)]


def at_rest(table: WellTable) -> Quantity:
    """Depth of the water at rest in a well [m], its ends what tape and season may be off."""
    level = table.static_level
    slack = max(TAPE, AT_REST * level)
    low, high = max(0.0, level.low - slack), level.high + slack
    return Quantity(level, kinds.LENGTH, low, high)


class PumpingLevel(PumpReading):
    """The water level while a pump runs."""

    reads = ("pumping_level",)
    clears = (*DEEPER, HIGHER)
    key = "pumping_level"
    label = "water level while pumping"

    def __init__(self, visit: Visit) -> None:
        super().__init__(visit)
        self.when = "the pump on" if "pumping_time" in visit.values else "the pump on, settled"

    def expected(self) -> Band | Lacking:
        """The level that the file's drawdown gives."""
        if self.at.on_well.link.from_tank:
            return Lacking(why="it draws from the storage tank; leave this reading out")
        if not self.at.on_well.level.known:
            return Lacking(CAPACITY_KEYS)
        return _expected(self.at, self.visit.job.case)

    @cached_property
    def flow(self) -> Quantity:
        """Flow of the pump at that level [m3/s]: by bucket, else by its curve."""
        at, read = self.at, self.measured
        if at.bucket is not None:
            return at.bucket

        def flow_at(pressure: float, depth: float) -> float:
            return at.on_well.duty("at the level", pressure, standing(depth)).flow

        flows = [flow_at(pressure, depth) for pressure in at.pressures for depth in ends_of(read)]
        likely = [flow_at(pressure, float(read)) for pressure in at.pressures]
        return flow_of(min(flows), sum(likely) / len(likely), max(flows))

    def implied(self) -> list[Implied]:
        """Drawdown, and the specific capacity at the pump's flow."""
        at, read, flow, values = self.at, self.measured, self.flow, self.visit.values
        rest = values.get("static_level", at.site.well.static_level)
        drop = Quantity(read - rest, kinds.LENGTH,
                        read.low - rest.high, read.high - rest.low)  # fmt: skip
        below = "the file's level; read it at rest too"
        if "static_level" in values:
            below = "the level read at rest"
        by_curve = f"by its curve at that level, {at.at_pressures}"
        implied = [
            Implied("implied_drawdown", "drawdown", drop, f"below {below}"),
            Implied("implied_flow", "flow of the pump", flow,
                    by_curve if at.bucket is None else "by bucket"),
        ]  # fmt: skip
        if drop.low > 0.0 and flow > 0.0:
            capacity = well.specific_capacity(flow, drop)
            low, high = flow.low / drop.high, flow.high / drop.low
            ratio = Quantity(capacity, kinds.SPECIFIC_CAPACITY, low, high)
            label = "specific capacity"
            implied.append(Implied("implied_capacity", label, ratio, "flow over drawdown"))
        return implied

    def evident(self, band: Quantity) -> tuple[Cause, ...]:
        """Water below the pump."""
        if self.measured.low <= self.at.on_well.intake_depth + TAPE:
            return ()
        return fixed(
            ("a tape or sounder that misreads: the pump hangs above that", 0.6),
            ("a pump that draws air at its intake: switch it off", 0.4),
        )

    def explained(self, band: Quantity, low: bool) -> list[Candidate]:
        """Well, pump, season, or time."""
        return self._higher(band) if low else self._deeper(band)

    def _deeper(self, band: Quantity) -> list[Candidate]:
        """Ways for the water to stand deeper, each with its levels."""
        at, level = self.at, self.at.on_well.level
        rest, drop = level.static_level, max(band - level.static_level, TAPE)
        less = rest + drop * np.array([1.05, 1.4, 2.5])
        dry = band + np.array([0.0, 3.0, 10.0])
        candidates = [
            Candidate("a well that gives less than the file says: a clogged screen, a dry season",
                      less, 1.0, of=(YIELD,)),
            Candidate("water that stands deeper at rest: read it with the pumps off", dry,
                      0.1 if "static_level" in at.given.values else 0.7, of=(REST,)),
            Candidate("a neighbour's well, or longer pumping than thought",
                      rest + drop * np.array([1.05, 1.3]), 0.3, of=(NEIGHBOUR,)),
        ]  # fmt: skip
        others = [
            ReadPump(at.site, table, at.given)
            for table in at.site.pump
            if table is not at.table and is_here(at.site, table)
        ]
        if others:
            flows = [other.on_well.duty("beside", other.pressures[0]).flow for other in others]
            both = np.array([level.settled(self.flow + flow) for flow in flows])
            text = "another pump of the well on at the same time"
            candidates.append(Candidate(text, both, 0.6))
        return candidates

    def _higher(self, band: Quantity) -> list[Candidate]:
        """Ways for the water to stand higher, each with its levels."""
        at, level = self.at, self.at.on_well.level
        early = np.array([level.static_level, float(band)])
        worn = np.array([level.settled(share * self.flow) for share in (0.3, 0.95)])
        return [
            Candidate("not settled yet: pump longer and read again", early,
                      0.3 if "pumping_time" in at.given.values else 1.0),
            Candidate("a pump that gives less: worn, or its drop pipe leaks into the well", worn,
                      0.1 if at.bucket is not None else 0.8, of=(PUMP,)),
            Candidate("water that stands higher at rest: read it with the pumps off",
                      np.array([max(0.0, band - 10.0), float(band)]), 0.6, of=(HIGHER,)),
        ]  # fmt: skip

    def boxes(self) -> list[SheetLine]:
        """The level after half an hour of pumping, or settled where the casing's water is not
        told."""
        result = self.visit.pump_result
        if not result.level_known or self.at.on_well.link.from_tank:
            return []
        static = self.at.site.well.static_level
        in_time = _after_half_an_hour(self.visit.job.case, result.name)
        drops = [duty.pumping_level - static for duty in result.duties]
        label = "level while pumping, settled"
        reads: tuple[str, ...] = self.reads
        if in_time is not None and max(drops) > 0.0:
            drops = [(in_time - static) * drop / max(drops) for drop in drops]
            label = "level after half an hour of pumping"
            reads = (*reads, "pumping_time")
        low = max(0.0, static.low + min(drops) * (1 - SLACK) - TAPE)
        # No deeper than the intake, where the pump draws air.
        high = min(static.high + max(drops) * (1 + SLACK) + TAPE, max(result.intake_depth, low))
        middle = min(static + sum(drops) / len(drops), high)
        return [SheetLine(label, Quantity(middle, kinds.LENGTH, low, high), reads=reads)]


def _after_half_an_hour(case: Studied, name: str) -> float | None:
    """Depth of the water then under a pump [m]; None where its well's course is not known."""
    course = in_wells(case.well, case.other_wells).get(name)
    if course is None or not course.levels:
        return None
    return course.levels[COURSE.index(HALF_AN_HOUR)]


def _expected(at: ReadPump, case: Studied) -> Band:
    """The level that the file's drawdown gives, at the time since the start or settled."""
    static = at.site.well.static_level
    settled = _settled(at)
    drawn, rests = settled, "the file's drawdown, settled"
    time = at.given.values.get("pumping_time")
    if time is not None:
        in_time = _in_time(at, case, time)
        if in_time:
            own = float(static)
            shifts = (static.low - own, 0.0, static.high - own)
            drawn = [(own + shift, drop) for shift in shifts for drop in in_time]
            rests = "the file's drawdown and the water in the casing, after that time"
        else:
            drawn = settled + [(level, 0.0) for level, _ in settled]
            rests = "between rest and settled, as the file does not give the casing's water"
    lows = [level + (1 - SLACK) * drop for level, drop in drawn]
    highs = [level + (1 + SLACK) * drop for level, drop in drawn]
    middles = [level + drop for level, drop in drawn if level == static]
    middle = sum(middles) / len(middles)
    low, high = min(lows) - TAPE, max(highs) + TAPE
    return Band(Quantity(middle, kinds.LENGTH, max(0.0, low), high), rests)


def _settled(at: ReadPump) -> list[tuple[float, float]]:
    """Level at rest and drawdown of it [m], for each level of the file and each pressure."""
    drawdowns = []
    for on_well in at.at_levels:
        rest = on_well.level.static_level
        if at.bucket is not None:
            levels = [on_well.level.at(flow) for flow in ends_of(at.bucket)]
        else:
            levels = [on_well.duty("settled", pressure).pumping_level for pressure in at.pressures]
        drawdowns += [(rest, level - rest) for level in levels]
    return drawdowns


def _in_time(at: ReadPump, case: Studied, time: Quantity) -> list[float]:
    """Drawdowns after the time, for the most and the least flow [m]; none where not known."""
    static = float(at.site.well.static_level)
    times = sorted(set(ends_of(time)))
    drawdowns: list[float] = []
    for results in (case.pumps, tuple(_from_cut_out(result) for result in case.pumps)):
        levels = levels_through(at.site, results, times).get(at.table.name, ())
        drawdowns += [level - static for level in levels]
    if at.bucket is not None and drawdowns:
        own = [result for result in case.pumps if result.name == at.table.name]
        flows = [duty.flow for result in own for duty in result.duties]
        factor = at.bucket * len(flows) / max(sum(flows), 1e-12)
        drawdowns = [factor * drop for drop in drawdowns]
    return drawdowns


def _from_cut_out(result: PumpResult) -> PumpResult:
    """The same with its duty of the least flow first, by which the course goes."""
    return replace(result, duties=result.duties[::-1])
