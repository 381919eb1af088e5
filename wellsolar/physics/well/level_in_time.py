"""Level in a pumped well through time: what the casing holds, and what the aquifer gives.

The casing is a tank, A ds/dt = Q - q, of `casing_balance`: what flows in hangs on the drawdown by
specific capacity, or by transmissivity on all that was taken before.

Levels are depths below the wellhead. Pumps in one well share its drawdown: their flows add up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.solve import bracketed_root
from wellsolar.physics.types import FloatArray, Floats
from wellsolar.physics.well.casing_balance import AquiferWell, SteadyWell
from wellsolar.physics.well.theis import Boundary

MOST_STARTS: Final = 10_000
"""Starts after which the two levels of a pump's control are taken for a mistake."""

KEPT: Final = 64
"""Sustained flows that are kept: a site is studied at the ends of what its well has no part in."""


@dataclass(frozen=True)
class WellModel:
    """A well that is pumped: its casing, and its aquifer described in one of two ways.

    static_level: depth to water at rest [m]. storage_area: area of water in the casing less what
    hangs in it [m2]. Either specific_capacity: inflow for each metre of drawdown [m2/s], well loss
    left out if it is given below; or transmissivity [m2/s], storage [-] and radius of the well
    [m]. well_loss: C of Jacob [s2/m5]. boundary: of the aquifer; None for one without end.
    """

    static_level: float
    storage_area: float
    specific_capacity: float | None = None
    transmissivity: float | None = None
    storage: float | None = None
    radius: float | None = None
    well_loss: float = 0.0
    boundary: Boundary | None = None

    def __post_init__(self) -> None:
        require_positive(self.storage_area, "area of water in the casing", "m2")
        require_range(self.well_loss, 0.0, math.inf, "well loss", "s2/m5")
        aquifer = (self.transmissivity, self.storage, self.radius)
        if self.specific_capacity is not None:
            require_positive(self.specific_capacity, "specific capacity", "m2/s")
            if any(number is not None for number in aquifer):
                raise OutOfRange("a well takes specific capacity or transmissivity, not both")
        elif any(number is None for number in aquifer):
            raise OutOfRange(
                "a well takes specific capacity, or transmissivity with storage and radius"
            )


@dataclass(frozen=True)
class PumpedDay:
    """What an on/off pump takes out of a well in a day, or in another time.

    volume: water pumped [m3]. starts: starts of the pump. pumping_time: time it ran [s].
    inflow_volume: water out of the aquifer [m3]. end_level: depth to water at the end [m].
    """

    volume: float
    starts: int
    pumping_time: float
    inflow_volume: float
    end_level: float


def level_through(
    model: WellModel, times: Floats, flows: Floats, lowest_level: float = math.inf
) -> FloatArray:
    """Depth to water under a given course of pumping, from rest.

    Parameters:
        model: the well [its fields' units]
        times: moments, rising; the well is at rest at the first [s], array
        flows: flow from each moment to the next, one fewer than the moments; of several pumps, one
            row a pump [m3/s], array
        lowest_level: level at which the pump stops till the next moment [m], scalar
    Returns:
        depth to water at each moment [m], array
    Raises:
        OutOfRange: negative flow, times that do not rise, or lists that do not fit
    Source: balance of the casing; aquifer and casing as in Papadopulos and Cooper (1967), Water
        Resources Research 3:241, superposed; well loss of Jacob (1947).
    """
    at = np.atleast_1d(np.asarray(times, dtype=float))
    rates = np.atleast_1d(np.asarray(flows, dtype=float))
    total = rates.sum(axis=0) if rates.ndim == 2 else rates
    require_range(float(total.size), at.size - 1.0, at.size - 1.0, "number of flows", "")
    require_range(rates, 0.0, math.inf, "flow", "m3/s")
    spans = np.diff(at)
    require_positive(spans, "time between two moments", "s")
    well = well_at_rest(model)
    lowest = lowest_level - model.static_level
    drawn = [0.0]
    for flow, span in zip(total.tolist(), spans.tolist(), strict=True):
        ran = well.run(flow, span, lowest) if well.drawdown < lowest else 0.0
        if ran < span:
            well.run(0.0, span - ran)
        drawn.append(well.drawdown)
    return model.static_level + np.array(drawn)


@lru_cache(maxsize=KEPT)
def sustained_flow(model: WellModel, lowest_level: float, duration: float) -> float:
    """Greatest steady flow that a well at rest gives for a time.

    Parameters:
        model: the well [its fields' units]
        lowest_level: deepest level allowed [m], scalar
        duration: time, such as a day or a season of 90 days [s], scalar
    Returns:
        flow [m3/s]; zero where the level at rest is not above the lowest
    Raises:
        OutOfRange: duration not above zero
    Source: balance of the casing, as in level_through; solved by Brent's method.
    """
    require_positive(duration, "duration", "s")
    allowed = lowest_level - model.static_level
    if allowed <= 0.0:
        return 0.0

    def excess(flow: float) -> float:
        well = well_at_rest(model)
        well.run(flow, duration)
        return well.drawdown - allowed

    high = allowed * model.storage_area / duration
    while excess(high) < 0.0:
        high *= 4.0
    return bracketed_root(excess, 0.0, high, "sustained flow", "m3/s", 1e-9)


def well_at_rest(model: WellModel) -> SteadyWell | AquiferWell:
    """The casing of a well before anything was pumped, to be run through time.

    Parameters:
        model: the well [its fields' units]
    Returns:
        casing that keeps its drawdown [m] and the volume that flowed in [m3]
    Source: definition.
    """
    if model.specific_capacity is not None:
        return SteadyWell(model.storage_area, model.specific_capacity, model.well_loss)
    assert model.transmissivity is not None
    assert model.storage is not None
    assert model.radius is not None
    return AquiferWell(
        model.storage_area,
        model.transmissivity,
        model.storage,
        model.radius,
        model.well_loss,
        model.boundary,
    )
