"""A hand pump on its well: heads, forces and flows at each of its duties."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.physics.hand import forces as hand_forces
from wellsolar.physics.hand import human_power
from wellsolar.physics.hand import pump as hand_pump
from wellsolar.results.hand import DischargePoint, HandDuty, HandPlace, HandWorker
from wellsolar.results.pumps import PressureTankResult
from wellsolar.site.schema import HandPumpTable
from wellsolar.studies.hand.effort import flow_at, people_power
from wellsolar.studies.well.drawdown import WaterLevel
from wellsolar.studies.well.total_head import Line

STEEL_DENSITY = 7850.0
"""Density of a steel pump rod [kg/m3], handbook value from memory."""

STEEL_MODULUS = 2.0e11
"""Modulus of elasticity of steel [Pa], handbook value from memory."""

BELOW_LEVEL = 6.096
"""Depth of the cylinder below the static level where the file gives none, 20 ft [m]: trade
practice, no source."""

AN_HOUR = 3600.0
"""The time for which a duty's flow is sustained [s]."""

GREATEST_EFFICIENCY = 0.90
"""Water power over a person's power above which a table cannot be right [-]."""

LEAST_STROKE = 0.01
"""Share of the stroke that is counted on where the rods' stretch would take all of it."""

LEAST_HEAD = 0.1
"""Least head, also where the water would run by itself [m]."""

FLOW_POINTS = 65
POWER_POINTS = 129
FILL_POINTS = 9
"""Points of a flow's range, of a power's range, and between cut-in and cut-out."""

Array = NDArray[np.float64]
Head = Callable[[float | Array], float | Array]
Curve = tuple[Array, Array, "FullRate"]


def _simpson(values: Array, width: float) -> Array:
    """Simpson's rule over a whole width, of values at equal steps, an odd number, along the first
    axis."""
    return np.asarray(
        (4.0 * values[1::2].sum(axis=0) + 2.0 * values[::2].sum(axis=0) - values[0] - values[-1])
        * width
        / (3.0 * (len(values) - 1))
    )


def rod_weight(table: HandPumpTable, length: float, density: float) -> float:
    """Weight of a length of the pump's steel rods [m] in water of a density [kg/m3], [N]."""
    mass = hand_pump.rod_mass_per_length(table.rod_diameter, STEEL_DENSITY)
    return hand_pump.rod_weight_in_water(mass, length, STEEL_DENSITY, density)


@dataclass(frozen=True)
class FullRate:
    """The pump at its full stroke rate: flow [m3/s], head, stretch [m], water a stroke [m3]."""

    flow: float
    head: float
    stretch: float
    stroke_volume: float


@dataclass(frozen=True)
class Handle:
    """A hand pump on its well, with what its formulas share.

    level, low_level: as a rule and in the low season
    rod_length: in the well [m], 0 for a suction pump; rod_weight: in water [N]
    people: at the handle at the same time
    """

    table: HandPumpTable
    level: WaterLevel
    low_level: WaterLevel
    line: Line
    rod_length: float
    rod_weight: float
    worker: HandWorker
    people: int

    @property
    def overall(self) -> float:
        """Water power over the power at the handle."""
        return self.table.mechanical_efficiency * self.table.volumetric_efficiency

    @property
    def counterweight(self) -> float:
        """Pull of the counterweight at the top of the rod [N]."""
        return (self.table.counterweight or 0.0) * self.table.lever_ratio

    @property
    def swept_volume(self) -> float:
        """Water that a stroke without stretch and slip would move [m3]."""
        return hand_pump.swept_volume(self.table.bore, self.table.stroke)

    def column(self, head: float) -> float:
        """Weight of water on the piston [N]."""
        return hand_pump.water_column_force(self.table.bore, head, self.line.density)

    def stretch(self, head: float) -> float:
        """Stretch of the rods under the column [m]."""
        if self.rod_length == 0.0:
            return 0.0
        rod = float(self.table.rod_diameter)
        return hand_pump.rod_stretch(self.column(head), self.rod_length, rod, STEEL_MODULUS)

    def full_rate(self, head_at: Head) -> FullRate:
        """The pump at its full stroke rate, stretch and head agreeing with the flow."""
        table = self.table
        stroke, slip = float(table.stroke), float(table.volumetric_efficiency)
        stretch, flow, head = 0.0, 0.0, 0.0
        for _ in range(50):
            left = hand_pump.effective_stroke(stroke, stretch)
            left = max(left, LEAST_STROKE * stroke)
            flow = hand_pump.flow(table.bore, left, table.stroke_rate, slip)
            head = float(head_at(flow))
            before, stretch = stretch, self.stretch(head)
            if abs(stretch - before) <= 1e-12 * stroke:
                break
        return FullRate(flow, head, stretch, flow / table.stroke_rate)

    def spout_head(self, level: WaterLevel) -> Head:
        """Head to the open spout by flow [m]."""
        height = float(self.table.spout_height)

        def head(flow: float | Array) -> float | Array:
            levels = np.asarray([level.at(float(one_flow)) for one_flow in np.atleast_1d(flow)])
            return np.maximum(levels + height, LEAST_HEAD).reshape(np.shape(flow))

        return head

    @cached_property
    def _line_heads(self) -> tuple[Array, Array]:
        """Flows, and the head of level, elevation, friction and treatment at each."""
        table = self.table
        most = self.swept_volume * (table.stroke_rate * table.volumetric_efficiency)
        flows = np.linspace(0.0, most, FLOW_POINTS)
        heads = [self.line.total(self.level, float(flow), 0.0) for flow in flows]
        return flows, np.asarray(heads)

    def tank_head(self, pressure: float) -> Head:
        """Head into the tank against a gauge pressure [Pa], none at an open one, by flow [m]."""
        flows, heads = self._line_heads
        back = pressure / (self.line.density * STANDARD_GRAVITY)
        return lambda flow: np.maximum(np.interp(flow, flows, heads) + back, LEAST_HEAD)

    def curve(self, head_at: Head, level: WaterLevel | None = None) -> Curve:
        """Powers at the handle, the flows that they lift, and the full stroke rate.

        Where the well gives less than the strokes would take, its flow is the most.
        """
        full = self.full_rate(head_at)
        most = min(full.flow, (level or self.level).greatest_flow())
        flows = np.linspace(0.0, most, FLOW_POINTS)
        heads = np.asarray(head_at(flows))
        return hand_pump.input_power(flows, heads, self.line.density, self.overall), flows, full

    def spout_place(self) -> HandPlace:
        """The open spout."""
        return self._place(self.spout_head(self.level))

    def inlet_place(self) -> HandPlace:
        """The inlet of the storage tank, open to the air."""
        place = self._place(self.tank_head(0.0))
        return replace(place, key="storage tank", label="the storage tank")

    def _place(self, head_at: Head, level: WaterLevel | None = None) -> HandPlace:
        powers, flows, full = self.curve(head_at, level)
        return HandPlace(
            "spout", "the spout", tuple(map(float, powers)), tuple(map(float, flows)),
            full.stroke_volume,
        )  # fmt: skip

    def tank_place(self, tank: PressureTankResult) -> HandPlace:
        """The pressure tank, filled again and again from cut-in to cut-out; Simpson's rule over
        the rising pressure."""
        from wellsolar.physics.hydraulics import pressure_tank

        first = tank.stored_at_cut_out - tank.drawdown
        volumes = np.linspace(first, tank.stored_at_cut_out, FILL_POINTS)
        pressures = [
            pressure_tank.pressure_at(
                tank.volume, tank.precharge, volume, tank.atmospheric_pressure
            )
            for volume in volumes.tolist()
        ]
        curves = [self.curve(self.tank_head(pressure)) for pressure in pressures]
        powers = np.linspace(0.0, max(float(curve[0][-1]) for curve in curves), POWER_POINTS)
        seconds = np.asarray([1.0 / np.interp(powers[1:], curve[0], curve[1]) for curve in curves])
        flows = tank.drawdown / _simpson(seconds, tank.drawdown)
        strokes = _simpson(
            np.asarray([1.0 / curve[2].stroke_volume for curve in curves]), tank.drawdown
        )
        return HandPlace(
            "tank", "the pressure tank", tuple(map(float, powers)), (0.0, *map(float, flows)),
            tank.drawdown / float(strokes),
        )  # fmt: skip

    def duty(
        self,
        key: str,
        label: str,
        head_at: Head,
        discharge: tuple[DischargePoint, ...] = (),
        level: WaterLevel | None = None,
    ) -> HandDuty:
        """The pump at work against a head that grows with the flow."""
        table, place = self.table, self._place(head_at, level)
        full = self.full_rate(head_at)
        lever = float(table.lever_ratio)
        column = self.column(full.head)
        friction = hand_forces.friction_force(column, table.mechanical_efficiency)
        weight = self.counterweight
        up = hand_forces.upstroke_force(column, self.rod_weight, friction, weight)
        down = hand_forces.downstroke_force(self.rod_weight, friction, weight)
        balance = hand_forces.balancing_counterweight(column, self.rod_weight)
        hour = flow_at(place, people_power(self.worker, AN_HOUR, self.people))
        day = flow_at(place, people_power(self.worker, human_power.LONGEST_EFFORT, self.people))
        return HandDuty(
            key=key,
            label=label,
            head=full.head,
            rod_pull=column + self.rod_weight,
            handle_force=max(abs(up), abs(down)) / lever,
            power=place.powers[-1],
            full_flow=place.flows[-1],
            sustained_flow=hour,
            stroke_rate=hour / full.stroke_volume,
            upward=up / lever,
            downward=-down / lever,
            friction=friction,
            balancing=balance / lever,
            stretch=full.stretch,
            stroke_volume=full.stroke_volume,
            work=hand_pump.work_per_stroke(
                table.bore,
                table.stroke - full.stretch,
                full.head,
                self.line.density,
                table.mechanical_efficiency,
            ),
            day_flow=day,
            table_flow=table_flow(discharge, full.head),
        )

    def greatest_depth(self, force: float) -> float:
        """Depth of the water from which a force of the hand [N] lifts it to the spout [m]."""
        table = self.table
        below = max(
            0.0,
            self.rod_length
            - self.low_level.at(self.full_rate(self.spout_head(self.low_level)).flow),
        )
        per_metre = rod_weight(table, 1.0, self.line.density)
        return hand_forces.greatest_depth_by_force(
            force, table.lever_ratio, table.mechanical_efficiency,
            table.bore, self.line.density, per_metre, below, table.spout_height,
            self.counterweight,
        )  # fmt: skip

    def greatest_head(self, force: float) -> float:
        """Head against which a force of the hand [N] lifts water with the rods there are [m]."""
        eta = float(self.table.mechanical_efficiency)
        free = force * self.table.lever_ratio + self.counterweight - self.rod_weight
        return max(0.0, free) / (self.column(1.0) * (1.0 + 1.0 / eta) / 2.0)

    def discharge(self) -> tuple[DischargePoint, ...]:
        """The maker's table, each row with its efficiency and what this pump gives by formula."""
        table = self.table
        if table.discharge_head is None or table.discharge_flow is None:
            return ()
        sheet_power = table.discharge_power
        powers = (
            sheet_power * len(table.discharge_head)
            if sheet_power and len(sheet_power) == 1
            else sheet_power
        )
        points = []
        for row, head in enumerate(table.discharge_head):
            power = None if powers is None else float(powers[row])
            point = discharge_point(
                float(head), float(table.discharge_flow[row]), power, self.line.density
            )
            if power is not None:
                place = self._place(_constant(float(head)))
                point = replace(point, computed=flow_at(place, power))
            points.append(point)
        return tuple(points)


def _constant(head: float) -> Head:
    """A head that does not change with the flow."""
    return lambda flow: np.full(np.shape(flow), head)


def discharge_point(
    head: float, flow: float, power: float | None, density: float
) -> DischargePoint:
    """A point of a table with its water power and efficiency."""
    water = hand_pump.input_power(flow, head, density, 1.0)
    efficiency = (
        None if power is None else hand_pump.overall_efficiency(flow, head, power, density)
    )
    return DischargePoint(head, flow, power, water, efficiency)


def table_flow(points: tuple[DischargePoint, ...], head: float) -> float | None:
    """Flow by a table that can be right, at a head within it."""
    if not points or any(
        point.efficiency is None or point.efficiency > GREATEST_EFFICIENCY for point in points
    ):
        return None
    heads = [point.head for point in points]
    if not heads[0] <= head <= heads[-1]:
        return None
    return float(np.interp(head, heads, [point.flow for point in points]))
