"""Many operating points at once: the same answer as `pump.operating_point`, in arrays.

Newton's method on the flow, with Colebrook's factor of each pipe carried along from step to step.
The few points that do not settle, such as one at the step from laminar to turbulent flow, go one
by one through `pump.operating_point`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.physics.hydraulics import fittings, pipe
from wellsolar.physics.hydraulics.pump import HeadCurve, OperatingState, operating_point
from wellsolar.physics.monotone import MonotoneCubics
from wellsolar.physics.solve import require_positive, require_range
from wellsolar.physics.types import FloatArray, Floats

STATES: Final[tuple[OperatingState, ...]] = ("on curve", "below shut-off", "beyond the curve")
"""States of an operating point, each at the place that is its code."""

_ON_CURVE, _BELOW_SHUT_OFF, _BEYOND = 0, 1, 2

_LOG: Final = 2.0 / math.log(10.0)
"""Colebrook's 2 log10 in natural logarithms [-]."""

_MIDDLING_ROOT: Final = 8.0
"""1/(L sqrt(f)) that a search for it starts from [-]: f = 0.02, the middle of Moody's chart."""

_STEPS_OF_ALL: Final = 4
"""Newton steps that all points take [-]; some hundredth of them wants more."""

_STEPS_OF_SOME: Final = 5
"""Newton steps of those that want more [-]; after that a point goes alone."""

_SETTLED: Final = 1e-7
"""Relative step [-] after which a point has settled: the next would be near its square."""

_SETTLED_ROOT: Final = 1e-5
"""Relative step of 1/sqrt(f) [-] after which it has settled: Colebrook's curve is nearly straight,
so that the next is under a tenth of the square."""


@dataclass(frozen=True)
class PipeRun:
    """One run of pipe with its fittings; each value a float, or an array over the points.

    bore: true inside diameter [m]; length: [m]; roughness: height of the wall's roughness [m].
    loss_coefficient: of all its fittings [-]; 1 more in the last run for the velocity head.
    """

    bore: Floats
    length: Floats
    roughness: Floats
    loss_coefficient: Floats = 0.0

    def __post_init__(self) -> None:
        require_positive(self.bore, "bore", "m")
        require_range(self.length, 0.0, math.inf, "pipe length", "m")
        require_range(self.loss_coefficient, 0.0, math.inf, "loss coefficient", "")
        require_range(self.roughness / self.bore, 0.0, pipe.ROUGHEST, "relative roughness", "")


@dataclass(frozen=True)
class OperatingPoints:
    """Where pump and system meet, in arrays of one shape.

    flow: [m3/s]; head: [m]; state: code of each point, its place in STATES.
    What the states mean stands at `pump.OperatingPoint`.
    """

    flow: FloatArray
    head: FloatArray
    state: NDArray[np.int8]


def friction_factors(reynolds_number: Floats, relative_roughness: Floats) -> FloatArray:
    """Darcy friction factors of full round pipes, many at once.

    As `pipe.friction_factor`: laminar below Re 2040, Colebrook's above.

    Parameters:
        reynolds_number: Reynolds number, above 0 [-], scalar or array
        relative_roughness: roughness over bore, 0..0.05 [-], scalar or array
    Returns:
        Darcy friction factors [-]
    Raises:
        OutOfRange: Reynolds number not above zero, or relative roughness outside 0..0.05
    Source: Colebrook (1939), by Newton's method on 1/sqrt(f); Poiseuille's law below the
        transition.

    >>> float(friction_factors(1e5, 1e-4))
    0.0185138661
    """
    require_positive(reynolds_number, "Reynolds number", "")
    require_range(relative_roughness, 0.0, pipe.ROUGHEST, "relative roughness", "")
    shape = np.broadcast_shapes(np.shape(reynolds_number), np.shape(relative_roughness))
    reynolds, rough = _row(reynolds_number, shape), _row(relative_roughness, shape) / 3.7
    roots = _any_root(reynolds, _turbulent_root(reynolds, rough, steps=3))
    return ((_LOG * roots) ** -2).reshape(shape)


def _turbulent_root(reynolds: FloatArray, rough: FloatArray, steps: int) -> FloatArray:
    """1/(L sqrt(f)) by Colebrook; `rough` is the relative roughness over 3.7, as he has it."""
    scale = _turbulent_scale(reynolds)
    root = -np.log(rough + _MIDDLING_ROOT * scale)
    for _ in range(steps):
        root, _growth = _colebrook_step(root, scale, rough)
    return root


def _turbulent_scale(reynolds: FloatArray) -> FloatArray:
    return (_LOG * 2.51) / np.maximum(reynolds, pipe.LAMINAR_LIMIT)


def _colebrook_step(
    root: FloatArray, scale: FloatArray, rough: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """One Newton step on y + ln(rough + s y) = 0 with y = 1/(L sqrt(f)), s = L 2.51/Re.

    Beside it d ln y / d ln Re, by which y grows with the flow.
    """
    new = scale * root
    inside = new + rough
    # In place, for at these sizes a new array costs more than the arithmetic in it.
    logarithm = np.log(inside)
    logarithm *= inside
    new -= logarithm
    inside += scale
    new /= inside
    return new, np.divide(scale, inside, out=inside)


def _any_root(reynolds: FloatArray, root: FloatArray) -> FloatArray:
    """The given 1/(L sqrt(f)) where the flow is turbulent, that of 64/Re where it is laminar."""
    laminar = reynolds < pipe.LAMINAR_LIMIT
    if not laminar.any():
        return root
    root = root.copy()
    root[laminar] = np.sqrt(reynolds[laminar] / 64.0) / _LOG
    return root


def operating_points(
    curve: HeadCurve,
    lift: Floats,
    pressure: Floats,
    specific_capacity: Floats,
    runs: Sequence[PipeRun],
    density: Floats,
    kinematic_viscosity: Floats,
    speed_ratio: Floats = 1.0,
) -> OperatingPoints:
    """Flow, head and state of one pump in many systems.

    A system asks for the lift from the water at rest, the drawdown flow / specific capacity, the
    pressure as head and the losses of its runs. All values broadcast against each other.

    Parameters:
        curve: head curve of the pump [m3/s, m], scalar
        lift: from the water at rest up to the outlet: static level and elevation [m], scalar or
            array
        pressure: gauge pressure at the outlet and what treatment loses [Pa], scalar or array
        specific_capacity: flow for each metre of drawdown, inf for none [m2/s], scalar or array
        runs: runs of pipe in line, with their fittings [m], none or more, array
        density: density of the water [kg/m3], scalar or array
        kinematic_viscosity: kinematic viscosity of the water [m2/s], scalar or array
        speed_ratio: speed of the pump over the datasheet's, by affinity [-], scalar or array
    Returns:
        flow [m3/s], head [m] and code of the state [-], arrays
    Raises:
        OutOfRange: density, viscosity, specific capacity or speed not above zero; a lift or
            pressure that is not a number
    Source: as `pump.operating_point`, by Newton's method, with Colebrook (1939) in each run.
    """
    require_positive(specific_capacity, "specific capacity", "m2/s")
    require_positive(density, "density", "kg/m3")
    require_positive(kinematic_viscosity, "kinematic viscosity", "m2/s")
    require_positive(speed_ratio, "speed ratio", "")
    rest = lift + pressure / (density * STANDARD_GRAVITY)
    require_range(rest, -math.inf, math.inf, "lift and pressure together", "m")
    values = [rest, specific_capacity, kinematic_viscosity, speed_ratio]
    for run in runs:
        values += [run.bore, run.length, run.roughness, run.loss_coefficient]
    shape = np.broadcast_shapes(*map(np.shape, values))
    speed = _row(speed_ratio, shape)
    system = _System(
        rest=_row(rest, shape) / speed**2,
        slope=1.0 / (_row(specific_capacity, shape) * speed),
        fittings=_rows([_loss(run.bore, run.loss_coefficient) for run in runs], shape).sum(0),
        pipes=_rows([_loss(run.bore, run.length / run.bore) for run in runs], shape) / _LOG**2,
        reynolds=speed
        * _rows([pipe.reynolds_number(1.0, run.bore, kinematic_viscosity) for run in runs], shape),
        rough=_rows([run.roughness / run.bore / 3.7 for run in runs], shape),
    )
    flow, head, state = _solve(curve, system)
    return OperatingPoints(
        (flow * speed).reshape(shape), (head * speed**2).reshape(shape), state.reshape(shape)
    )


def _row(values: Floats, shape: tuple[int, ...]) -> FloatArray:
    return np.broadcast_to(np.asarray(values, np.float64), shape).ravel()


def _rows(values: Sequence[Floats], shape: tuple[int, ...]) -> FloatArray:
    rows = [_row(value, shape) for value in values]
    return np.array(rows).reshape(len(rows), math.prod(shape))


def _loss(bore: Floats, loss_coefficient: Floats) -> Floats:
    """Head lost for each flow squared."""
    return fittings.head_loss(1.0, bore, loss_coefficient)


@dataclass(frozen=True)
class _System:
    """What the systems ask for, moved to the datasheet's speed by the affinity laws.

    rest: head without flow; slope: drawdown per flow; fittings: loss per flow squared.
    pipes: loss per flow squared and L^2 friction factor; reynolds: Reynolds number per flow;
    rough: roughness over bore over 3.7; these with a row for each run.
    """

    rest: FloatArray
    slope: FloatArray
    fittings: FloatArray
    pipes: FloatArray
    reynolds: FloatArray
    rough: FloatArray

    def taken(self, points: NDArray[np.intp]) -> _System:
        """The systems of some points."""
        if points.size == self.rest.size:
            return self
        return _System(*(np.take(values, points, axis=-1) for values in vars(self).values()))

    def head(self, flow: float) -> FloatArray:
        """Head that each system asks for at one flow."""
        if flow == 0.0:
            return self.rest
        reynolds = self.reynolds * flow
        roots = _any_root(reynolds, _turbulent_root(reynolds, self.rough, steps=3))
        return self._with(flow, self.pipes / roots**2)

    def rough_head(self, flow: float) -> FloatArray:
        """Head that each system asks for at one flow, with a middling friction factor."""
        return self._with(flow, self.pipes / _MIDDLING_ROOT**2)

    def _with(self, flow: float, losses: FloatArray) -> FloatArray:
        whole: FloatArray = self.rest + flow * (self.slope + flow * sum(losses, self.fittings))
        return whole

    def at(self, point: int) -> Callable[[float], float]:
        """Head that the system of one point asks for at a flow, in plain floats."""
        rest, slope, fixed = (float(v[point]) for v in (self.rest, self.slope, self.fittings))
        runs = [
            (pipes, reynolds, 3.7 * rough)
            for pipes, reynolds, rough in zip(
                *(values[:, point].tolist() for values in (self.pipes, self.reynolds, self.rough)),
                strict=True,
            )
        ]

        def head(flow: float) -> float:
            if flow == 0.0:
                return rest
            loss = fixed
            for pipes, reynolds, rough in runs:
                loss += pipes * _LOG**2 * float(pipe.friction_factor(reynolds * flow, rough))
            return rest + flow * (slope + flow * loss)

        return head


def _solve(curve: HeadCurve, system: _System) -> tuple[FloatArray, FloatArray, NDArray[np.int8]]:
    first, last = curve.first_flow, curve.greatest_flow
    spare = curve.shut_off_head - system.head(first)
    state = np.where(spare < 0.0, np.int8(_BELOW_SHUT_OFF), np.int8(_ON_CURVE))
    flow, head = np.zeros(spare.shape), np.full(spare.shape, curve.shut_off_head)
    on = np.flatnonzero(spare >= 0.0)
    if on.size == 0:
        return flow, head, state
    part, spare, cubics = system.taken(on), spare[on], _Cubics(curve)
    # A parabola through both ends of the curve less the system starts within some per cent.
    lacking = np.maximum(part.rough_head(last) - curve.lowest_head, 0.0)
    start = first + (last - first) * np.sqrt(spare / np.maximum(spare + lacking, 1e-300))
    roots = _turbulent_root(part.reynolds * start, part.rough, steps=0)
    found, roots, settled = _newton(cubics, part, start, roots, _STEPS_OF_ALL)
    late = np.flatnonzero(~settled)
    beyond = late[part.taken(late).head(last) < curve.lowest_head]
    found[beyond], settled[beyond], state[on[beyond]] = last, True, _BEYOND
    late = np.flatnonzero(~settled)
    found[late], _roots, settled[late] = _newton(
        cubics, part.taken(late), found[late], roots[:, late], _STEPS_OF_SOME
    )
    # Newton may have come from the wrong side of the step between laminar and turbulent flow.
    settled &= ~np.any(np.abs(part.reynolds * found - pipe.LAMINAR_LIMIT) < 1e-3, axis=0)
    for place in np.flatnonzero(~settled).tolist():
        found[place] = operating_point(curve, system.at(int(on[place]))).flow
    found = np.clip(found, first, last)
    flow[on], head[on] = found, cubics.at(found)[0]
    return flow, head, state


def _newton(
    cubics: _Cubics, system: _System, flow: FloatArray, roots: FloatArray, steps: int
) -> tuple[FloatArray, FloatArray, NDArray[np.bool_]]:
    """Flow and turbulent 1/(L sqrt(f)) of points on the curve, and which of them settled."""
    least, greatest = max(cubics.first, 1e-9 * cubics.last), cubics.last
    settled, before = np.zeros(flow.shape, np.bool_), roots
    for _ in range(steps):
        flow = np.clip(flow, least, greatest)
        reynolds = system.reynolds * flow
        before = roots
        roots, growth = _colebrook_step(roots, _turbulent_scale(reynolds), system.rough)
        now = _any_root(reynolds, roots)
        if now is not roots:
            growth[reynolds < pipe.LAMINAR_LIMIT] = 0.5
        losses = system.pipes * flow / (now * now)
        loss = sum(losses, system.fittings * flow)
        head, slope = cubics.at(flow)
        surplus = head - system.rest - flow * (system.slope + loss)
        step = surplus / (system.slope + 2.0 * (loss - sum(losses * growth, 0.0)) - slope)
        flow = flow + step
        settled = np.abs(step) <= _SETTLED * flow
        if settled.all():
            break
    settled &= (flow >= cubics.first) & (flow <= greatest)
    settled &= np.all(np.abs(roots - before) <= _SETTLED_ROOT * roots, axis=0)
    return flow, roots, settled


class _Cubics:
    """The monotone cubics of a head curve, with their slope, over an array of flows."""

    def __init__(self, curve: HeadCurve) -> None:
        self.knots = np.asarray(curve.flow)
        self.pieces = MonotoneCubics(curve.flow, curve.head).pieces
        self.first, self.last = curve.first_flow, curve.greatest_flow

    def at(self, flow: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Head and its slope; flows between the first and last point."""
        piece = np.zeros(flow.shape, np.intp)
        for knot in self.knots[1:-1].tolist():  # few knots: quicker than a search for each
            piece += flow >= knot
        x = flow - self.knots.take(piece)
        a, b, c, d = self.pieces.take(piece, axis=1)
        return ((a * x + b) * x + c) * x + d, (3.0 * a * x + 2.0 * b) * x + c
