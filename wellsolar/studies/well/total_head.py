"""The way of the water from the well to the pressure tank, and the head that it takes.

The total dynamic head is built up piece by piece: pumping level, elevation of the tank, friction
of drop pipe, lateral and fittings, treatment, pressure at the tank and velocity head."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from wellsolar import kinds
from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.data import fitting_table
from wellsolar.data.pipes import PipeSize
from wellsolar.physics.hydraulics import jet, pipe, water
from wellsolar.physics.hydraulics.pipe import cross_section
from wellsolar.physics.hydraulics.pump import HeadCurve
from wellsolar.physics.solve import bracketed_root
from wellsolar.results.pumps import HeadPiece
from wellsolar.site.schema import Fittings, HandPumpTable, Pipe, PumpLine, PumpTable, Site
from wellsolar.site.table import made_once
from wellsolar.studies.house import chain
from wellsolar.studies.house.wells import at_well, ground_of
from wellsolar.studies.sold.pipe_sizes import size_of
from wellsolar.studies.well.drawdown import TankLevel, WaterLevel
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, End, Sentence, say

USUAL_FITTINGS = (("pitless adapter", 1), ("check valve", 1), ("90 elbow", 4))
"""Fittings of a usual well line, where the file names none (common practice, no source)."""


BY_A_VALVE = "a flow control or another pump gives the file another curve"
"""Why less flow is no change of the file."""

DEEPER_WATER: dict[str, End] = {
    "well.static_level": "high",
    "well.specific_capacity": "low",
    "well.tested_pumping_level": "high",
}
"""Worst ends of a rule that deeper water makes harder to keep."""

MORE_LIFT: dict[str, End] = DEEPER_WATER | {
    "piping.tank_elevation": "high",
    "piping.lateral.length": "high",
    "pressure_switch.cut_out": "high",
}
"""Worst ends of a rule that more lift makes harder to keep."""

MORE_FLOW: dict[str, End] = {
    key: "low" if end == "high" else "high" for key, end in MORE_LIFT.items()
}
"""Worst ends of a rule that more flow makes harder to keep: the less the lift, the more flows."""


@dataclass(frozen=True)
class Fitted:
    """So many fittings of a kind: what one loses.

    loss_coefficient: K of one at its bore [m], None where it has an equivalent length [m] instead
    opening_head: that a check valve takes at least [m]
    own_name: of another fitting than those of the table
    """

    kind: str
    count: int
    loss_coefficient: float | None
    length: float
    bore: float
    opening_head: float
    own_name: str | None = None

    @property
    def name(self) -> str:
        """What it is called."""
        return self.own_name or self.kind

    def loss_of(self, flow: float, like: pipe.FrictionLoss | None) -> float:
        """Head lost in all of them [m]; `like` is the friction of their equivalent length."""
        if like is not None:
            one = like(flow)
        else:
            k = self.loss_coefficient or 0.0
            one = pipe.check_valve_loss(flow, self.bore, k, self.opening_head)
        return self.count * one

    @property
    def opening_velocity(self) -> float | None:
        """From which it stands fully open, in its bore [m/s]; None where the file tells none."""
        if not self.opening_head or not self.loss_coefficient:
            return None
        return pipe.full_opening_velocity(self.loss_coefficient, self.opening_head)


@dataclass(frozen=True)
class Run:
    """A length of one pipe size; `hazen_williams_c` is that of the table or the user's own."""

    size: PipeSize
    length: float
    hazen_williams_c: float

    def friction(self, viscosity: float) -> pipe.FrictionLoss:
        """Friction head by Darcy-Weisbach [m], as a function of the flow."""
        return pipe.FrictionLoss(self.size.bore, self.length, self.size.roughness, viscosity)

    def friction_hazen_williams(self, flow: float) -> float:
        """Friction head by Hazen-Williams [m]."""
        return pipe.head_loss_hazen_williams(
            flow, self.size.bore, self.length, self.hazen_williams_c
        )

    def told(self) -> Sentence:
        """Length, size and material."""
        return say(
            "{length} of {size} {material}, bore {bore}",
            length=Quantity(self.length, kinds.LENGTH),
            size=self.size.nominal,
            material=self.size.material,
            bore=Quantity(self.size.bore, kinds.BORE),
        )


class Heads(NamedTuple):
    """The pieces of the total dynamic head [m], in the order of the water's way."""

    pumping_level: float
    elevation: float
    drop_pipe: float
    suction: float
    lateral: float
    fittings: float
    treatment: float
    pressure: float
    velocity: float


@dataclass(frozen=True)
class Line:
    """Everything between the water that a pump draws and where it delivers.

    drop, lateral: the two runs of pipe, in the well and after it; fittings: what stands in the
        lateral
    elevation: of where it delivers above the ground [m]; treatment: pressure lost in it [Pa]
    density [kg/m3], viscosity [m2/s]: of the water
    link: of a powered pump; None of what has none
    stands: height of a pump that stands out of the water above the ground [m], else None
    suction: where such a pump draws through a pipe outside the well, that pipe as a line's lateral
    """

    drop: Run
    lateral: Run
    fittings: tuple[Fitted, ...]
    elevation: float
    treatment: float
    density: float
    viscosity: float
    link: chain.Link | None = None
    stands: float | None = None
    suction: Line | None = None

    def head_of(self, pressure: float) -> float:
        """The head of water of a gauge pressure [m]."""
        return pressure / (self.density * STANDARD_GRAVITY)

    def pressure_of(self, head: float) -> float:
        """The gauge pressure of a head of water [Pa]."""
        return head * self.density * STANDARD_GRAVITY

    @cached_property
    def drop_friction(self) -> pipe.FrictionLoss:
        """Of the drop pipe."""
        return self.drop.friction(self.viscosity)

    @cached_property
    def lateral_friction(self) -> pipe.FrictionLoss:
        """Of the lateral."""
        return self.lateral.friction(self.viscosity)

    @cached_property
    def fitting_coefficient(self) -> float:
        """The sum of the loss coefficients of the fittings that have one at any flow, in velocity
        heads of the lateral."""
        bore = self.lateral.size.bore
        return sum(
            fitting.count * fitting.loss_coefficient * (bore / fitting.bore) ** 4
            for fitting in self.fittings
            if fitting.loss_coefficient is not None and not fitting.opening_head
        )

    @cached_property
    def _other_fittings(self) -> tuple[tuple[Fitted, pipe.FrictionLoss | None], ...]:
        """Those that have an equivalent length, with its friction, or a valve that opens late."""
        roughness = self.lateral.size.roughness
        return tuple(
            (
                fitting,
                pipe.FrictionLoss(fitting.bore, fitting.length, roughness, self.viscosity)
                if fitting.loss_coefficient is None
                else None,
            )
            for fitting in self.fittings
            if fitting.loss_coefficient is None or fitting.opening_head
        )

    @cached_property
    def _motion(self) -> float:
        """Velocity head in the lateral at 1 m3/s [m]; it rises as the square of the flow."""
        return pipe.velocity_head(pipe.velocity(1.0, self.lateral.size.bore))

    @cached_property
    def _plain_fittings(self) -> float:
        """Head lost at 1 m3/s in the fittings that have a loss coefficient at any flow [m]."""
        return pipe.fitting_loss(1.0, self.lateral.size.bore, self.fitting_coefficient)

    def fitting_loss(self, flow: float) -> float:
        """Head lost in all fittings [m]."""
        loss = self._plain_fittings * flow**2
        for fitting, like in self._other_fittings:
            loss += fitting.loss_of(flow, like)
        return loss

    def fitting_coefficient_at(self, flow: float) -> float:
        """Loss of all fittings in velocity heads of the lateral at a flow; none of it at rest."""
        motion = self._motion * flow**2
        if not self._other_fittings or motion <= 0.0:
            return self.fitting_coefficient
        return self.fitting_loss(flow) / motion

    def suction_friction(self, flow: float) -> float:
        """Head lost on the suction side outside the well [m]."""
        return 0.0 if self.suction is None else self.suction.pipe_loss(flow)

    def pipe_loss(self, flow: float) -> float:
        """Head lost in the lateral and its fittings [m]."""
        return self.lateral_friction(flow) + self.fitting_loss(flow)

    def total(self, level: WaterLevel, flow: float, pressure: float) -> float:
        """Total dynamic head at a flow against a gauge pressure at the tank [m]: the sum of its
        pieces, which are put together only where somebody asks for them."""
        at_rest = level.at(flow) + self.elevation
        in_pipes = at_rest + self.drop_friction(flow) + self.suction_friction(flow)
        behind = in_pipes + self.lateral_friction(flow) + self.fitting_loss(flow)
        pressed = behind + self.head_of(self.treatment) + self.head_of(pressure)
        return pressed + self._motion * flow**2

    def static_head(self, level: float, pressure: float) -> float:
        """Head without any flow, from a water level to a gauge pressure at the tank [m]."""
        return level + self.elevation + self.head_of(pressure + self.treatment)

    def velocity(self, flow: float) -> float:
        """The greatest velocity in its pipes [m/s]."""
        return max(pipe.velocity(flow, run.size.bore) for run in self.runs)

    @property
    def runs(self) -> tuple[Run, ...]:
        """Its pipes from the water on; of a booster those that have a length."""
        if self.link is None or not self.link.from_tank:
            return self._pipes
        return tuple(run for run in self._pipes if run.length > 0.0) or (self.lateral,)

    @property
    def _pipes(self) -> tuple[Run, ...]:
        between = () if self.suction is None else (self.suction.lateral,)
        return (self.drop, *between, self.lateral)

    def heads(self, level: WaterLevel, flow: float, pressure: float) -> Heads:
        """The pieces of head at a flow, against a gauge pressure at the tank."""
        return Heads(
            pumping_level=level.at(flow),
            elevation=self.elevation,
            drop_pipe=self.drop_friction(flow),
            suction=self.suction_friction(flow),
            lateral=self.lateral_friction(flow),
            fittings=self.fitting_loss(flow),
            treatment=self.head_of(self.treatment),
            pressure=self.head_of(pressure),
            velocity=self._motion * flow**2,
        )

    def pieces(self, level: WaterLevel, flow: float, pressure: float) -> tuple[HeadPiece, ...]:
        """The head build-up at a flow, against a gauge pressure at the tank, as it is told."""
        heads = self.heads(level, flow, pressure)
        booster = self.link is not None and self.link.from_tank
        into = self.link is not None and self.link.into_tank
        water = "water in the storage tank" if booster else "pumping level"
        goal = "storage tank" if into else "tank"
        pieces = [
            HeadPiece("pumping_level", water, heads.pumping_level, _level_reason(level, flow)),
            HeadPiece(
                "elevation",
                f"{goal} above the well",
                heads.elevation,
                say("where the pipe ends, above the ground at the well")
                if into
                else say("tank gauge above the ground at the well"),
            ),
        ]
        if not booster:
            pieces_told = self.drop.told()
            pieces.append(
                HeadPiece("drop_pipe", "drop pipe friction", heads.drop_pipe, pieces_told)
            )
        if self.suction is not None:
            pieces.append(
                HeadPiece(
                    "suction",
                    "suction pipe" if booster else "suction side outside the well",
                    heads.suction,
                    self.suction.lateral.told(),
                )
            )
        treated = say(
            "{loss} lost in softener or filter",
            loss=Quantity(self.treatment, kinds.PRESSURE_LOSS),
        )
        return (
            *pieces,
            HeadPiece("lateral", "lateral friction", heads.lateral, self.lateral.told()),
            HeadPiece(
                "fittings",
                "fittings",
                heads.fittings,
                say(
                    "{list}, K {sum} together",
                    list=", ".join(f"{fitting.count} {fitting.name}" for fitting in self.fittings)
                    or "none",
                    sum=f"{self.fitting_coefficient_at(flow):.1f}",
                ),
            ),
            HeadPiece("treatment", "treatment", heads.treatment, treated),
            HeadPiece(
                "pressure",
                "pressure at the tank",
                heads.pressure,
                say("{pressure} at the tank", pressure=Quantity(pressure, kinds.PRESSURE)),
            ),
            HeadPiece(
                "velocity",
                "velocity head",
                heads.velocity,
                say(
                    "{speed} in the lateral",
                    speed=Quantity(pipe.velocity(flow, self.lateral.size.bore), kinds.SPEED),
                ),
            ),
        )

    def friction_darcy(self, flow: float) -> float:
        """Friction head of both runs by Darcy-Weisbach [m]."""
        both = self.drop_friction(flow) + self.lateral_friction(flow)
        if self.suction is None:
            return both
        return both + self.suction.lateral_friction(flow)

    def friction_hazen_williams(self, flow: float) -> float:
        """Friction head of both runs by Hazen-Williams [m]."""
        return sum(run.friction_hazen_williams(flow) for run in self._pipes)

    def hazen_williams_text(self) -> str:
        """The coefficients used, as text."""
        values = {f"{run.hazen_williams_c:.0f}" for run in self._pipes}
        return " and ".join(sorted(values))


def _level_reason(level: WaterLevel, flow: float) -> Sentence:
    if isinstance(level, TankLevel):
        height = Quantity(-level.static_level, kinds.LENGTH)
        return say("at its lowest, {height} above the ground at the well", height=height)
    if level.specific_capacity is None:
        return say("drawdown unknown: water taken as drawn down to the intake, the worst case")
    return say(
        "static {static} + drawdown {drawdown}",
        static=Quantity(level.static_level, kinds.LENGTH),
        drawdown=Quantity(level.settled(flow) - level.static_level, kinds.LENGTH),
    )


@made_once
def line_for(site: Site, intake_depth: float, drop_pipe: Pipe | None = None) -> Line:
    """The line of a pump whose intake hangs at a depth [m].

    Parameters:
        intake_depth: depth of the intake below the ground [m]
        drop_pipe: the pump's own drop pipe; None for the site's
    Returns:
        the line to the pressure tank
    """
    piping = site.piping
    drop = drop_pipe or piping.drop_pipe
    hanging = max(0.0, intake_depth - piping.pitless_depth)
    temperature = float(site.well.water_temperature)
    lateral = _run(site, piping.lateral, float(piping.lateral.length or 0.0))
    density = water.density(temperature)
    named = piping.fittings or tuple(
        Fittings(kind=kind, count=count) for kind, count in USUAL_FITTINGS
    )
    return Line(
        drop=_run(site, drop, hanging if drop.length is None else float(drop.length)),
        lateral=lateral,
        fittings=tuple(_fitted(fitting, lateral.size.bore, density) for fitting in named),
        elevation=float(piping.tank_elevation),
        treatment=float(piping.treatment_loss),
        density=density,
        viscosity=water.kinematic_viscosity(temperature),
    )


def line_by_hand(site: Site, table: HandPumpTable, depth: float) -> Line:
    """The line of a hand pump, from its cylinder to the tank that it fills.

    Parameters:
        depth: of its cylinder below the ground [m], 0 for a suction pump
    Returns:
        the line; of a pump to a spout alone that to the pressure tank
    """
    site = at_well(site, table)
    whole = line_for(site, depth, table.rising_main)
    own = _own_line(whole, site, table.line)
    if own is not None:
        fittings = own.fittings or whole.fittings
        whole = replace(whole, lateral=own.lateral, fittings=fittings)
    if chain.hand_goal(site) != "storage tank" or site.storage_tank is None:
        return whole
    return replace(whole, elevation=chain.storage_of(site, site.storage_tank).inlet, treatment=0.0)


def _fitted(fitting: Fittings, lateral: float, density: float) -> Fitted:
    """What fittings of the file lose, by what it says of them or else by the table."""
    bore = lateral if fitting.bore is None else float(fitting.bore)
    k = None if fitting.k is None else float(fitting.k)
    if k is None and fitting.equivalent_length is None:
        k = fitting_table.fitting(fitting.kind).loss_coefficient
    opening = (fitting.opening_pressure or 0.0) / (density * STANDARD_GRAVITY)
    if fitting.opening_velocity is not None and k is not None:
        opening = k * pipe.velocity_head(fitting.opening_velocity)
    length = float(fitting.equivalent_length or 0.0)
    return Fitted(fitting.kind, fitting.count, k, length, bore, opening, fitting.name)


@made_once
def line_of(site: Site, table: PumpTable, intake_depth: float) -> Line:
    """The line of a powered pump, from the water that it draws to where it delivers.

    Parameters:
        intake_depth: depth of the intake or foot valve below the ground [m], of one in the well
    """
    site = at_well(site, table)
    link, whole = chain.link_of(site, table), line_for(site, intake_depth, table.drop_pipe)
    treatment = 0.0 if link.into_tank else whole.treatment
    elevation, lateral, fittings = link.elevation, whole.lateral, whole.fittings
    drop, stands = whole.drop, None
    suction: Line | None = None
    if table.kind == "suction":
        stands = 0.0 if table.stands_at is None else table.stands_at - ground_of(site, table)
    short = Run(lateral.size, 0.0, lateral.hazen_williams_c)
    if chain.has_ejector(table):
        # What its two pipes lose down to the ejector is in the table of its sheet.
        drop = Run(drop.size, 0.0, drop.hazen_williams_c)
        lateral, fittings = (short, ()) if chain.stands_elsewhere(table) else (lateral, fittings)
    elif link.from_tank:
        drop, lateral, fittings = short, short, ()
        suction = _own_line(whole, site, table.suction_pipe) or replace(
            whole, lateral=short, fittings=()
        )
        if table.kind == "suction" and table.stands_at is None and site.storage_tank is not None:
            stands = chain.storage_of(site, site.storage_tank).outlet
    elif stands is not None and chain.stands_elsewhere(table):
        # A jet in the house draws through the line from the well, and stands beside its tank.
        suction = _own_line(whole, site, table.suction_pipe) or whole
        lateral, fittings = short, ()
    own = _own_line(whole, site, table.line)
    if own is not None:
        lateral, fittings = own.lateral, own.fittings or fittings
    fittings += _valve_open(link, lateral, whole.density)
    return replace(
        whole,
        drop=drop,
        lateral=lateral,
        fittings=fittings,
        elevation=elevation,
        treatment=treatment,
        link=link,
        stands=stands,
        suction=suction,
    )


VALVE = "constant-pressure valve"
"""What it is called among the fittings."""


def _valve_open(link: chain.Link, lateral: Run, density: float) -> tuple[Fitted, ...]:
    """A constant-pressure valve wide open, by the loss of its sheet; nothing where none is
    told."""
    valve = link.valve
    if valve is None or valve.loss is None or valve.loss_flow is None:
        return ()
    motion = pipe.velocity_head(pipe.velocity(valve.loss_flow, lateral.size.bore))
    k = valve.loss / (density * STANDARD_GRAVITY) / motion
    return (Fitted(VALVE, 1, k, 0.0, lateral.size.bore, 0.0),)


def gravity_friction(site: Site, own: PumpLine, flow: float, head: float) -> tuple[float, float]:
    """What is left of a head behind a pipe in which water runs down.

    Parameters:
        own: the pipe, with its length and fittings
        flow: in it [m3/s]
        head: of the water above its end [m]
    Returns:
        gauge pressure [Pa], less than nothing where it does not run so fast, and head lost [m]
    """
    line = _own_line(line_for(site, 0.0), site, own)
    assert line is not None
    lost = line.pipe_loss(flow)
    return line.pressure_of(head - lost), lost


def gravity_flow(site: Site, head: float) -> float | None:
    """What the line down from the storage tank gives at most, out of an open end at the house.

    Parameters:
        head: of the water above the house [m], more than nothing
    Returns:
        [m3/s]; None where the file does not tell the line
    """
    own = None if site.storage_tank is None else site.storage_tank.gravity_line
    if own is None or not own.length:
        return None
    area = cross_section(size_of(own).bore)
    most = area * math.sqrt(2.0 * STANDARD_GRAVITY * head)  # a free fall's velocity
    if gravity_friction(site, own, most, head)[0] >= 0.0:
        return most
    return bracketed_root(
        lambda flow: gravity_friction(site, own, flow, head)[0], 0.0, most, "flow by gravity"
    )


def _own_line(like: Line, site: Site, own: PumpLine | None) -> Line | None:
    """A line with a pipe of its own and its fittings; None where there is none."""
    if own is None:
        return None
    run = _run(site, own, float(own.length or 0.0))
    fittings = tuple(_fitted(fitting, run.size.bore, like.density) for fitting in own.fittings)
    return replace(like, lateral=run, fittings=fittings)


def fittings_assumed(site: Site) -> tuple[Assumption, ...]:
    """The assumption that a file without fittings has the usual ones."""
    if site.piping.fittings:
        return ()
    value = ", ".join(f"{count} {kind}" for kind, count in USUAL_FITTINGS)
    return (
        Assumption("piping.fittings", value, "a usual line from well to tank", "common practice"),
    )


def _run(site: Site, run: Pipe, length: float) -> Run:
    size = size_of(run)
    own = site.piping.hazen_williams_c
    return Run(size, length, size.hazen_williams_coefficient if own is None else float(own))


def head_curve(table: PumpTable, level: WaterLevel, line: Line) -> HeadCurve:
    """The head curve of a pump that draws from a level.

    Parameters:
        level: of the water that it draws, which it draws down
        line: with the height at which a pump out of the water stands
    Returns:
        that of its sheet; of a jet heads from the water on, and where it draws nothing from so
        deep a curve that ends at the greatest lift of its table
    """
    if not chain.has_ejector(table):
        return HeadCurve(tuple(map(float, table.flow)), tuple(map(float, table.head)))
    blocks, stands = table.jet_table, line.stands or 0.0
    own = jet.JetTable(
        tuple(float(block.lift) for block in blocks),
        tuple(tuple(map(float, block.pressure)) for block in blocks),
        tuple(tuple(map(float, block.flow)) for block in blocks),
    )
    head_curve = own.curve_over(lambda flow: level.at(flow) + stands, line.head_of)
    if head_curve is not None:
        return head_curve
    most = max(max(flows) for flows in own.flows)
    return HeadCurve((0.0, most), (own.lifts[-1], 0.5 * own.lifts[-1]))
