"""The way of the water from the well to the pressure tank, and the head that it takes.

The total dynamic head is built up piece by piece: pumping level, elevation of the tank, friction
of drop pipe, lateral and fittings, treatment, pressure at the tank and velocity head."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from wellsolar import kinds
from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.data import fitting_table
from wellsolar.data.pipes import PipeSize
from wellsolar.physics.hydraulics import pipe, water
from wellsolar.results import HeadPiece
from wellsolar.site.schema import Pipe, Site
from wellsolar.studies.sold.pipe_sizes import size_of
from wellsolar.studies.well.drawdown import WaterLevel
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
        return float(
            pipe.head_loss_hazen_williams(flow, self.size.bore, self.length, self.hazen_williams_c)
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
    lateral: float
    fittings: float
    treatment: float
    pressure: float
    velocity: float


@dataclass(frozen=True)
class Line:
    """Everything between a pump and the pressure tank.

    drop, lateral: the two runs of pipe; fittings: kind and count, of the lateral's bore
    elevation: of the tank above the ground [m]; treatment: pressure lost in it [Pa]
    density [kg/m3], viscosity [m2/s]: of the water
    """

    drop: Run
    lateral: Run
    fittings: tuple[tuple[str, int], ...]
    elevation: float
    treatment: float
    density: float
    viscosity: float

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
        """The sum of the loss coefficients of the fittings."""
        return sum(
            count * fitting_table.fitting(kind).loss_coefficient for kind, count in self.fittings
        )

    def total(self, level: WaterLevel, flow: float, pressure: float) -> float:
        """Total dynamic head at a flow against a gauge pressure at the tank [m]."""
        return sum(self.heads(level, flow, pressure))

    def static_head(self, level: float, pressure: float) -> float:
        """Head without any flow, from a water level to a gauge pressure at the tank [m]."""
        return level + self.elevation + self.head_of(pressure + self.treatment)

    def velocity(self, flow: float) -> float:
        """The greatest velocity in the two pipes [m/s]."""
        return max(float(pipe.velocity(flow, run.size.bore)) for run in (self.drop, self.lateral))

    def heads(self, level: WaterLevel, flow: float, pressure: float) -> Heads:
        """The pieces of head at a flow, against a gauge pressure at the tank."""
        bore = self.lateral.size.bore
        return Heads(
            pumping_level=level.at(flow),
            elevation=self.elevation,
            drop_pipe=float(self.drop_friction(flow)),
            lateral=float(self.lateral_friction(flow)),
            fittings=float(pipe.fitting_loss(flow, bore, self.fitting_coefficient)),
            treatment=self.head_of(self.treatment),
            pressure=self.head_of(pressure),
            velocity=float(pipe.velocity_head(pipe.velocity(flow, bore))),
        )

    def pieces(self, level: WaterLevel, flow: float, pressure: float) -> tuple[HeadPiece, ...]:
        """The head build-up at a flow, against a gauge pressure at the tank, as it is told."""
        heads = self.heads(level, flow, pressure)
        return (
            HeadPiece(
                "pumping_level", "pumping level", heads.pumping_level, _level_reason(level, flow)
            ),
            HeadPiece(
                "elevation",
                "tank above the well",
                heads.elevation,
                say("tank gauge above the ground at the well"),
            ),
            HeadPiece("drop_pipe", "drop pipe friction", heads.drop_pipe, self.drop.told()),
            HeadPiece("lateral", "lateral friction", heads.lateral, self.lateral.told()),
            HeadPiece(
                "fittings",
                "fittings",
                heads.fittings,
                say(
                    "{list}, K {sum} together",
                    list=", ".join(f"{count} {kind}" for kind, count in self.fittings) or "none",
                    sum=f"{self.fitting_coefficient:.1f}",
                ),
            ),
            HeadPiece(
                "treatment",
                "treatment",
                heads.treatment,
                say(
                    "{loss} lost in softener or filter",
                    loss=Quantity(self.treatment, kinds.PRESSURE_LOSS),
                ),
            ),
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
                    speed=Quantity(
                        float(pipe.velocity(flow, self.lateral.size.bore)), kinds.SPEED
                    ),
                ),
            ),
        )

    def friction_darcy(self, flow: float) -> float:
        """Friction head of both runs by Darcy-Weisbach [m]."""
        return float(self.drop_friction(flow)) + float(self.lateral_friction(flow))

    def friction_hazen_williams(self, flow: float) -> float:
        """Friction head of both runs by Hazen-Williams [m]."""
        return sum(run.friction_hazen_williams(flow) for run in (self.drop, self.lateral))

    def hazen_williams_text(self) -> str:
        """The coefficients used, as text."""
        values = {f"{run.hazen_williams_c:.0f}" for run in (self.drop, self.lateral)}
        return " and ".join(sorted(values))


def _level_reason(level: WaterLevel, flow: float) -> Sentence:
    if level.specific_capacity is None:
        return say("drawdown unknown: water taken as drawn down to the intake, the worst case")
    return say(
        "static {static} + drawdown {drawdown}",
        static=Quantity(level.static_level, kinds.LENGTH),
        drawdown=Quantity(level.settled(flow) - level.static_level, kinds.LENGTH),
    )


def line_for(site: Site, intake_depth: float, drop_pipe: Pipe | None = None) -> Line:
    """The line of a pump whose intake hangs at a depth [m].

    Parameters:
        site: the site
        intake_depth: depth of the intake below the ground [m]
        drop_pipe: the pump's own drop pipe; None for the site's
    Returns:
        the line to the pressure tank
    """
    piping = site.piping
    drop = drop_pipe or piping.drop_pipe
    hanging = max(0.0, intake_depth - piping.pitless_depth)
    temperature = float(site.well.water_temperature)
    named = tuple((each.kind, each.count) for each in piping.fittings)
    return Line(
        drop=_run(site, drop, hanging if drop.length is None else float(drop.length)),
        lateral=_run(site, piping.lateral, float(piping.lateral.length or 0.0)),
        fittings=named or USUAL_FITTINGS,
        elevation=float(piping.tank_elevation),
        treatment=float(piping.treatment_loss),
        density=float(water.density(temperature)),
        viscosity=float(water.kinematic_viscosity(temperature)),
    )


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
