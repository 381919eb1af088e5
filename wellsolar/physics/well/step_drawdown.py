"""Step tests: what of the drawdown belongs to the aquifer and what to turbulence in the well.

Jacob's s = B Q + C Q2. Steps that have not settled carry the trend of all steps before them;
read at their ends they give a well loss that is too great, so that trend is taken out first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from wellsolar.constants import FOOT
from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import FloatArray, Floats, Real
from wellsolar.physics.well.theis import flow_steps

WALTON_UNIT: Final = FOOT**-5
"""1 s2/ft5 as [s2/m5]; exact by definition of the foot."""

WALTON_CLASSES: Final = (
    (5.0, "sound"),
    (10.0, "mild deterioration"),
    (40.0, "severe deterioration"),
    (math.inf, "hard to restore"),
)
"""Upper end of the well loss [s2/ft5] and the class; Walton (1962), as later texts quote it."""


@dataclass(frozen=True)
class StepTest:
    """What a step test gives.

    aquifer_loss: B [s/m2], for the duration below. well_loss: C [s2/m5]; below zero where the
    well cleared itself during the test, then the test must be repeated. residuals: measured less
    fitted drawdown [m], one a reading. duration: pumping time that B belongs to [s], infinite for
    steps taken as settled. transmissivity: from the trend within the steps [m2/s], not a number
    for settled steps.
    """

    aquifer_loss: float
    well_loss: float
    residuals: tuple[float, ...]
    root_mean_square: float
    duration: float = math.inf
    transmissivity: float = math.nan

    def drawdown(self, flow: Real) -> Real:
        """Drawdown in the pumped well at another flow, after the same duration.

        Parameters:
            flow: flow out of the well, 0 or more [m3/s], scalar or array
        Returns:
            drawdown [m]
        Raises:
            OutOfRange: negative flow or negative well loss
        Source: Jacob (1947), Trans. ASCE 112:1047.
        """
        return jacob_drawdown(flow, self.aquifer_loss, self.well_loss)

    def efficiency(self, flow: float) -> float:
        """Aquifer's part of the drawdown.

        Parameters:
            flow: flow out of the well [m3/s], scalar
        Returns:
            B Q / (B Q + C Q2) [-]
        Raises:
            OutOfRange: negative flow
        Source: Kruseman and de Ridder (1994), ILRI 47, ch. 14 (chapter from memory).
        """
        require_range(flow, 0.0, math.inf, "flow", "m3/s")
        return self.aquifer_loss / (self.aquifer_loss + self.well_loss * flow)


def jacob_drawdown(flow: Real, aquifer_loss: float, well_loss: float) -> Real:
    """Drawdown in a pumped well, aquifer loss and well loss together.

    Parameters:
        flow: flow out of the well, 0 or more [m3/s], scalar or array
        aquifer_loss: B, drawdown for each unit of flow [s/m2], scalar
        well_loss: C, drawdown for each unit of flow squared [s2/m5], scalar
    Returns:
        drawdown [m]
    Raises:
        OutOfRange: a negative argument
    Source: Jacob (1947), Trans. ASCE 112:1047.
    """
    require_range(flow, 0.0, math.inf, "flow", "m3/s")
    require_range(aquifer_loss, 0.0, math.inf, "aquifer loss", "s/m2")
    require_range(well_loss, 0.0, math.inf, "well loss", "s2/m5")
    return aquifer_loss * flow + well_loss * flow**2


def flow_for_drawdown(drawdown: float, aquifer_loss: float, well_loss: float) -> float:
    """Flow that draws the water down so far.

    Parameters:
        drawdown: drawdown in the pumped well, 0 or more [m], scalar
        aquifer_loss: B, drawdown for each unit of flow, above 0 [s/m2], scalar
        well_loss: C, drawdown for each unit of flow squared [s2/m5], scalar
    Returns:
        flow [m3/s]
    Raises:
        OutOfRange: a negative argument, or aquifer loss zero
    Source: Jacob (1947), Trans. ASCE 112:1047, solved for Q.
    """
    require_range(drawdown, 0.0, math.inf, "drawdown", "m")
    require_positive(aquifer_loss, "aquifer loss", "s/m2")
    require_range(well_loss, 0.0, math.inf, "well loss", "s2/m5")
    # This form of the root keeps its digits where the well loss is nothing.
    root = math.sqrt(aquifer_loss**2 + 4.0 * well_loss * drawdown)
    return 2.0 * drawdown / (aquifer_loss + root)


def flow_for_loss_share(loss_share: float, aquifer_loss: float, well_loss: float) -> float:
    """Flow at which the well loss is a share of the drawdown.

    Parameters:
        loss_share: well loss over drawdown, 0..1 [-], scalar
        aquifer_loss: B, drawdown of the aquifer by flow [s/m2], scalar
        well_loss: C, above 0 [s2/m5], scalar
    Returns:
        flow [m3/s]
    Source: Jacob's equation, C Q^2 / (B Q + C Q^2) solved for Q.
    """
    return loss_share / (1.0 - loss_share) * aquifer_loss / well_loss


def fit_steps(flows: Floats, drawdowns: Floats) -> StepTest:
    """Aquifer loss and well loss from steps that have settled.

    Parameters:
        flows: flow of each step, two or more different ones [m3/s], array
        drawdowns: drawdown below the level at rest at the end of each step [m], array
    Returns:
        the fit [its fields' units]
    Raises:
        OutOfRange: fewer than two steps, lists of different length, or a flow not above zero
    Source: Bierschenk (1963): straight line through s/Q against Q; Kruseman and de Ridder (1994),
        ILRI 47, ch. 14 (from memory).
    """
    rates, drawn = _same_length(flows, drawdowns, 2)
    require_positive(rates, "flow of a step", "m3/s")
    require_positive(float(np.ptp(rates)), "difference between the flows", "m3/s")
    ratio = drawn / rates
    centred = rates - rates.mean()
    well_loss = float(centred @ ratio / (centred @ centred))
    aquifer_loss = float(ratio.mean() - well_loss * rates.mean())
    residuals = drawn - rates * (aquifer_loss + well_loss * rates)
    return StepTest(aquifer_loss, well_loss, *_spread(residuals))


def fit_unsettled_steps(
    time: Floats, drawdown: Floats, change_times: Floats, flows: Floats, duration: float
) -> StepTest:
    """Aquifer loss and well loss from steps whose level still falls.

    Every step's rise of flow goes on lowering the level with the logarithm of its own time; this
    trend is fitted together with the losses, and the aquifer loss is given for one duration.
    Readings in the first minutes, which the casing supplies, are better left out. One reading at
    the end of each step is enough from four steps on.

    Parameters:
        time: times of the readings, each after the first change [s], array
        drawdown: drawdown below the level at rest at these times [m], array
        change_times: times at which the steps begin, rising [s], array
        flows: flow of each step [m3/s], array
        duration: pumping time for which the aquifer loss is wanted [s], scalar
    Returns:
        the fit [its fields' units]
    Raises:
        OutOfRange: fewer than four readings or two steps, readings before the first step,
            or readings that do not tell the losses and the trend apart
    Source: Eden and Hazel (1973); Hantush (1964) and Bierschenk (1963), in Kruseman and de Ridder
        (1994), ILRI 47, ch. 14 (methods from memory).
    """
    at, drawn = _same_length(time, drawdown, 4)
    changes, steps = flow_steps(change_times, flows)
    require_range(float(changes.size), 2.0, math.inf, "number of steps", "")
    require_positive(duration, "duration", "s")
    require_positive(float(at.min()) - float(changes[0]), "time of the first reading", "s")
    elapsed = at[:, np.newaxis] - changes
    begun = elapsed > 0.0
    flow_now = np.where(begun, steps, 0.0).sum(axis=1)
    logarithms = np.log(np.where(begun, elapsed, duration) / duration)
    terms = np.column_stack((flow_now, logarithms @ steps, flow_now**2))
    # Columns of one size: in SI the squared flow is many orders smaller than the flow.
    sizes = np.abs(terms).max(axis=0)
    coefficients, _, rank, _ = np.linalg.lstsq(terms / sizes, drawn, rcond=1e-6)
    if rank < 3:
        raise OutOfRange(
            f"the {at.size} readings of this step test do not part aquifer loss, well loss and "
            "trend: read the level several times in each step"
        )
    aquifer_loss, trend, well_loss = (float(loss) for loss in coefficients / sizes)
    transmissivity = 1.0 / (4.0 * math.pi * trend) if trend > 0.0 else math.nan
    residuals, spread = _spread(drawn - terms @ (coefficients / sizes))
    return StepTest(aquifer_loss, well_loss, residuals, spread, duration, transmissivity)


def walton_class(well_loss: float) -> str:
    """State of a well by its well loss.

    Made for wells of a public supply; a small flow through a narrow open hole may lie above.

    Parameters:
        well_loss: C [s2/m5], scalar
    Returns:
        "sound", "mild deterioration", "severe deterioration" or "hard to restore" [text]
    Raises:
        OutOfRange: negative well loss
    Source: Walton (1962), Illinois State Water Survey Bull. 49: below 5, 10, 40 s2/ft5.
    """
    require_range(well_loss, 0.0, math.inf, "well loss", "s2/m5")
    in_feet = well_loss / WALTON_UNIT
    return next(name for limit, name in WALTON_CLASSES if in_feet < limit or limit == math.inf)


def _same_length(first: Floats, second: Floats, least: int) -> tuple[FloatArray, FloatArray]:
    a = np.atleast_1d(np.asarray(first, dtype=float))
    b = np.atleast_1d(np.asarray(second, dtype=float))
    require_range(float(a.size), float(least), math.inf, "number of readings", "")
    require_range(float(b.size), float(a.size), float(a.size), "number of drawdowns", "")
    return a, b


def _spread(residuals: FloatArray) -> tuple[tuple[float, ...], float]:
    """The residuals as a tuple, and their root mean square."""
    return tuple(residuals.tolist()), float(np.sqrt(np.mean(residuals**2)))
