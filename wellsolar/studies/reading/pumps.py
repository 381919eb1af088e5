"""The pump that was read, at each water level of the file, and what a reading tells of it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property

from wellsolar import kinds
from wellsolar.physics.hydraulics import pump
from wellsolar.results.readings import Implied
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.house.chain import storage_of
from wellsolar.studies.pump.study import PumpOnWell, pump_on_well
from wellsolar.studies.well.drawdown import WaterLevel
from wellsolar.units import Quantity

SLACK = 0.05
"""How far either side of the model a flow or a time still passes [-]; our choice."""


@dataclass(frozen=True, eq=False)
class ReadPump:
    """A pump of the site, and what was read at it."""

    site: Site
    table: PumpTable
    given: Readings
    _points: dict[tuple[WaterLevel, float], float] = field(default_factory=dict, repr=False)

    @property
    def path(self) -> str:
        """Its key path."""
        return f"pump[{self.site.pump.index(self.table) + 1}]"

    @cached_property
    def at_levels(self) -> tuple[PumpOnWell, ...]:
        """The pump with the water at rest as high, as likely and as deep as the file says, its
        drawdown below that as it was measured."""
        own, rest = self.on_well, self.site.well.static_level
        if own.link.from_tank:
            return self.at_surfaces
        return tuple(
            replace(own, level=replace(own.level, static_level=depth))
            for depth in sorted({rest.low, float(rest), rest.high})
        )

    @property
    def at_surfaces(self) -> tuple[PumpOnWell, ...]:
        """A booster with its storage tank at its lowest, half way and full."""
        tank = self.site.storage_tank
        assert tank is not None
        storage = storage_of(self.site, tank)
        middle = (storage.lowest + storage.surface(1.0)) / 2.0
        heights = (storage.surface(1.0), middle, storage.lowest)
        return tuple(
            replace(self.on_well, level=replace(self.on_well.level, static_level=-height))
            for height in heights
        )

    @cached_property
    def on_well(self) -> PumpOnWell:
        """The pump with the water at rest where the file says."""
        return pump_on_well(self.site, self.table, self.path)

    @cached_property
    def at_work(self) -> tuple[PumpOnWell, ...]:
        """The pump on the pumping level that was read with it, else at each level of the file, or
        from rest to the intake where the file tells no drawdown."""
        read, rest = self.given.values.get("pumping_level"), self.site.well.static_level
        if self.on_well.link.from_tank:
            return self.at_surfaces
        if read is not None:
            depths = sorted({read.low, float(read), read.high})
        elif self.on_well.level.known:
            return self.at_levels
        else:
            deepest = max(self.on_well.intake_depth, rest.low)
            depths = [rest.low, (rest.low + deepest) / 2, deepest]
        return tuple(replace(self.on_well, level=standing(depth)) for depth in depths)

    @property
    def likeliest(self) -> PumpOnWell:
        """The one in the middle of these, or at the file's likeliest level."""
        level_not_read = "pumping_level" not in self.given.values and self.on_well.level.known
        if level_not_read and not self.on_well.link.from_tank:
            return self.on_well
        return self.at_work[len(self.at_work) // 2]

    @property
    def levels_told(self) -> str:
        """What level they rest on."""
        if self.on_well.link.from_tank:
            return "the storage tank from full to its lowest"
        if "pumping_level" in self.given.values:
            return "the level read"
        known = self.on_well.level.known
        return "the file's levels" if known else "the water anywhere from rest to intake"

    @property
    def pressures(self) -> tuple[float, ...]:
        """Gauge pressures that it may have worked against [Pa]: as read, else what it holds, else
        cut-in and cut-out, else those of an open tank."""
        gauge, link = self.given.values.get("gauge_pressure"), self.on_well.link
        if gauge is not None and link.goal != "storage tank":
            return tuple(sorted({gauge.low, float(gauge), gauge.high}))
        return link.pressures

    @property
    def at_pressures(self) -> str:
        """The same in words."""
        link = self.on_well.link
        if link.into_tank:
            return "into the storage tank"
        if "gauge_pressure" in self.given.values:
            return "at that pressure"
        if not link.to_house:
            return "into an open tank"
        return "cut-in to cut-out" if link.by_switch else "at the pressure that it holds"

    def point(self, on_well: PumpOnWell, pressure: float) -> float:
        """Flow of the pump at one of its levels [m3/s], kept; the well's yield left aside."""
        key = (on_well.level, pressure)
        if key not in self._points:
            level, line = on_well.level, on_well.line
            point = pump.operating_point(
                on_well.curve, lambda flow: line.total(level, flow, pressure)
            )
            self._points[key] = point.flow
        return self._points[key]

    def flow(self, on_well: PumpOnWell, pressure: float) -> float:
        """The same, no more than the well gives at the intake [m3/s]."""
        return min(self.point(on_well, pressure), on_well.level.greatest_flow())

    def power(self, on_well: PumpOnWell, pressure: float) -> float:
        """Electrical power there [W]."""
        if on_well.table.power is not None:
            return on_well.input_power(self.point(on_well, pressure), 0.0)
        return on_well.duty("running", pressure).input_power

    @cached_property
    def bucket(self) -> Quantity | None:
        """Flow by bucket; None where none was filled."""
        values = self.given.values
        if "bucket_volume" not in values:
            return None
        volume, time = values["bucket_volume"], values["bucket_time"]
        return flow_of(
            volume.low / time.high, volume / time, volume.high / max(time.low, 1e-3 * time)
        )


def flow_of(low: float, middle: float, high: float) -> Quantity:
    """A flow with its ends [m3/s]."""
    return Quantity(middle, kinds.FLOW, low, high)


def standing(depth: float) -> WaterLevel:
    """Water that stands at a depth [m] whatever is pumped."""
    return WaterLevel(depth, None, depth)


def implied_level(depth: Quantity) -> Implied:
    """The pumping level that a flow tells by the pump's curve."""
    why = "if the pump is as its sheet and nothing leaks"
    return Implied("implied_pumping_level", "pumping level by the pump's curve", depth, why)


def _level_of_flow(on_well: PumpOnWell, flow: float, pressure: float) -> float | None:
    """Depth of the water [m] at which a pump gives a flow [m3/s] at a gauge pressure [Pa]; None
    where the flow is not on its curve."""
    curve = on_well.curve
    if not curve.first_flow <= flow <= curve.greatest_flow:
        return None
    return curve.head_at(flow) - on_well.line.total(standing(0.0), flow, pressure)


def level_of_flows(
    on_well: PumpOnWell, flow: Quantity, pressures: tuple[float, ...]
) -> Quantity | None:
    """The depth of the water that a flow tells at gauge pressures [m]; None where it is not on
    the pump's curve. Less flow at less pressure is deeper water."""
    low, high = min(pressures), max(pressures)
    middle = _level_of_flow(on_well, float(flow), (low + high) / 2)
    ends = [_level_of_flow(on_well, flow.high, high), _level_of_flow(on_well, flow.low, low)]
    if middle is None:
        return None
    least, most = (middle if depth is None else depth for depth in ends)
    return Quantity(middle, kinds.LENGTH, min(least, middle), max(most, middle))
