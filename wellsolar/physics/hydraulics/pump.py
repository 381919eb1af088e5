"""The pump: its head curve, where it meets the system, and its power."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, cached_property
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

import numpy as np

from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.solve import bracketed_root
from wellsolar.physics.types import Real

if TYPE_CHECKING:
    from scipy.interpolate import PchipInterpolator

OperatingState = Literal["on curve", "below shut-off", "beyond the curve"]


@dataclass(frozen=True)
class HeadCurve:
    """Head against flow through the points of a datasheet, never beyond them.

    flow: flows of the points, rising, 0 or more [m3/s].
    head: heads of the points, falling, 0 or more [m].
    Between points: monotone piecewise cubics, Fritsch and Carlson (1980) as in scipy's PCHIP.
    """

    flow: tuple[float, ...]
    head: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.flow) != len(self.head) or len(self.flow) < 2:
            raise OutOfRange(
                f"a head curve needs two or more points with flow and head, "
                f"given are {len(self.flow)} flows and {len(self.head)} heads"
            )
        require_range(self.flow[0], 0.0, math.inf, "first flow of the head curve", "m3/s")
        require_range(self.head[-1], 0.0, math.inf, "last head of the head curve", "m")
        if not all(a < b < math.inf for a, b in pairwise(self.flow)):
            raise OutOfRange("the flows of a head curve must rise from point to point")
        if not all(math.inf > a > b for a, b in pairwise(self.head)):
            raise OutOfRange("the heads of a head curve must fall from point to point")

    @cached_property
    def _cubics(self) -> list[list[float]]:
        cubics: list[list[float]] = curve_through(self.flow, self.head).c.T.tolist()
        return cubics

    @property
    def first_flow(self) -> float:
        """Flow of the first point [m3/s]; 0 where the datasheet begins at shut-off."""
        return self.flow[0]

    @property
    def greatest_flow(self) -> float:
        """Flow of the last point [m3/s]."""
        return self.flow[-1]

    @property
    def shut_off_head(self) -> float:
        """Head of the first point [m]: the shut-off head where the first flow is 0."""
        return self.head[0]

    @property
    def lowest_head(self) -> float:
        """Head of the last point [m]."""
        return self.head[-1]

    def head_at(self, flow: Real) -> Real:
        """Head of the pump at a flow.

        Parameters:
            flow: flow between the first and last point [m3/s], scalar or array
        Returns:
            head [m]
        Raises:
            OutOfRange: flow outside the points of the datasheet
        Source: Fritsch and Carlson (1980), Monotone piecewise cubic interpolation.
        """
        require_range(flow, self.flow[0], self.flow[-1], "flow on the head curve", "m3/s")
        if not isinstance(flow, (int, float)):
            return np.asarray(curve_through(self.flow, self.head)(flow))
        # One point in plain floats takes a microsecond, the array route ten times that.
        if flow == self.flow[-1]:
            return self.head[-1]
        piece = bisect_right(self.flow, flow) - 1
        a, b, c, d = self._cubics[piece]
        x = flow - self.flow[piece]
        return ((a * x + b) * x + c) * x + d

    def flow_at(self, head: float) -> float:
        """Flow of the pump against a head.

        Parameters:
            head: head between the last and first point [m], scalar
        Returns:
            flow [m3/s]
        Raises:
            OutOfRange: head outside the points of the datasheet
        Source: inverse of `head_at`, by Brent (1973).
        """
        require_range(head, self.head[-1], self.head[0], "head on the head curve", "m")
        return bracketed_root(
            lambda flow: self.head_at(flow) - head,
            self.flow[0],
            self.flow[-1],
            quantity="flow",
            unit="m3/s",
        )

    def at_speed(self, speed_ratio: float) -> HeadCurve:
        """The same pump's curve at another speed.

        Parameters:
            speed_ratio: new speed over the datasheet's, above 0 [-], scalar
        Returns:
            head curve with flows times the ratio and heads times its square [m3/s, m]
        Raises:
            OutOfRange: speed ratio not above zero
        Source: affinity laws; Karassik et al., Pump Handbook (from memory).
        """
        require_positive(speed_ratio, "speed ratio", "")
        return HeadCurve(
            tuple(flow * speed_ratio for flow in self.flow),
            tuple(head * speed_ratio**2 for head in self.head),
        )


@dataclass(frozen=True)
class OperatingPoint:
    """Where pump and system meet.

    flow: [m3/s]; head: [m].
    state: "on curve"; "below shut-off", the system wants more head than the curve's first point
    (nothing is delivered; with a first flow above 0 a trickle less than that may still come);
    "beyond the curve", the pump is still above the system at the curve's last point, which is
    given, the true flow being greater by an amount the datasheet does not tell.
    """

    flow: float
    head: float
    state: OperatingState


def operating_point(curve: HeadCurve, system_head: Callable[[float], float]) -> OperatingPoint:
    """Flow and head at which the pump's curve crosses the system's.

    Parameters:
        curve: head curve of the pump [m3/s, m], scalar
        system_head: head [m] the system asks for at a flow [m3/s], rising [callable], scalar
    Returns:
        flow [m3/s], head [m] and state [text]
    Raises:
        OutOfRange: the system's head is not a number at an end of the curve
    Source: definition; solved by Brent (1973).
    """
    first, last = curve.first_flow, curve.greatest_flow
    spare_at = {first: curve.shut_off_head - system_head(first)}
    if spare_at[first] < 0.0:
        return OperatingPoint(0.0, curve.shut_off_head, "below shut-off")
    spare_at[last] = curve.lowest_head - system_head(last)
    if spare_at[last] > 0.0:
        return OperatingPoint(last, curve.lowest_head, "beyond the curve")

    def spare(flow: float) -> float:
        # Brent asks at both ends again.
        known = spare_at.get(flow)
        return curve.head_at(flow) - system_head(flow) if known is None else known

    flow = bracketed_root(spare, first, last, quantity="operating flow", unit="m3/s")
    return OperatingPoint(flow, curve.head_at(flow), "on curve")


@cache
def curve_through(flow_points: tuple[float, ...], values: tuple[float, ...]) -> PchipInterpolator:
    """The curve through a datasheet's points, made once: it rises and falls only where they do.

    Parameters:
        flow_points: flows of the points, rising [m3/s], array
        values: what it is there [its own unit], array
    Returns:
        the curve [its own unit]
    Source: Fritsch and Carlson (1980), Monotone piecewise cubic interpolation; scipy.
    """
    from scipy.interpolate import PchipInterpolator  # takes 0.2 s to import

    return PchipInterpolator(flow_points, values)


def interpolate_curve(
    flow_points: tuple[float, ...], values: tuple[float, ...], flow: float
) -> float:
    """A datasheet's power or efficiency at a flow between its points.

    Parameters:
        flow_points: flows of the points, rising [m3/s], array
        values: the quantity at those points [its own unit], array
        flow: flow between the first and last point [m3/s], scalar
    Returns:
        the quantity at that flow [its own unit]
    Raises:
        OutOfRange: flow outside the points, flows that do not rise, or unequal lengths
    Source: Fritsch and Carlson (1980), Monotone piecewise cubic interpolation.
    """
    if len(flow_points) != len(values) or len(flow_points) < 2:
        raise OutOfRange(
            f"a curve needs two or more points with flow and value, "
            f"given are {len(flow_points)} flows and {len(values)} values"
        )
    if not all(a < b for a, b in pairwise(flow_points)):
        raise OutOfRange("the flows of a curve must rise from point to point")
    require_range(flow, flow_points[0], flow_points[-1], "flow on the curve", "m3/s")
    return float(curve_through(flow_points, values)(flow))


def water_power(flow: Real, head: Real, density: float) -> Real:
    """Power given to the water.

    Parameters:
        flow: volume flow [m3/s], scalar or array
        head: total dynamic head [m], scalar or array
        density: density of the water [kg/m3], scalar
    Returns:
        water power rho g Q H [W]
    Raises:
        OutOfRange: density not above zero
    Source: UFC 3-230-03A (2004, superseded in 2012), eq. 5-7: H Q / 3960 with ft, gpm and hp.
    """
    require_positive(density, "density", "kg/m3")
    return density * STANDARD_GRAVITY * flow * head
