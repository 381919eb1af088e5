"""Jets with their ejector down in the well, by their makers' tables of flow by lift and pressure.

A centrifugal pump above ground drives water down one pipe through the ejector's nozzle and draws
it back up a second with what the well gives. What circulates, and what both pipes and the ejector
lose, is in the table: it holds for the pipes that its sheet names.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics.pump import HeadCurve
from wellsolar.physics.solve import bracketed_root


@dataclass(frozen=True)
class JetTable:
    """Flow by the lift from the water to the pump and the gauge pressure behind the pump.

    lifts: of the blocks, rising [m]
    pressures: of each block, rising [Pa]; flows: at each of them, falling [m3/s]
    """

    lifts: tuple[float, ...]
    pressures: tuple[tuple[float, ...], ...]
    flows: tuple[tuple[float, ...], ...]

    def at(self, lift: float, share: float) -> tuple[float, float]:
        """Pressure and flow at a share of the way through a block, between those of two lifts.

        Parameters:
            lift: from the water to the pump [m], no higher than the last block's; of one less than
                the first block's that block holds
            share: 0 at the least pressure of each block, 1 at its greatest [0..1]
        Returns:
            gauge pressure [Pa] and flow [m3/s]; at the lift of a block they are the block's own
        Raises:
            OutOfRange: a lift beyond the last block
        Source: linear between the points of the maker's table; a choice of ours between its lifts.
        """
        if lift > self.lifts[-1]:
            raise OutOfRange(f"the table ends at {self.lifts[-1]:g} m of lift, asked is {lift:g}")
        above = int(np.searchsorted(self.lifts, lift))
        blocks = sorted({max(0, above - 1), above})
        pressures = [
            known[0] + share * (known[-1] - known[0])
            for known in (self.pressures[block] for block in blocks)
        ]
        flows = [
            float(np.interp(pressure, self.pressures[block], self.flows[block]))
            for pressure, block in zip(pressures, blocks, strict=True)
        ]
        lifts = [self.lifts[block] for block in blocks]
        return float(np.interp(lift, lifts, pressures)), float(np.interp(lift, lifts, flows))

    def curve_over(
        self, lift_at: Callable[[float], float], head_of: Callable[[float], float]
    ) -> HeadCurve | None:
        """The head curve of the jet on a well, which it draws down as it gives more.

        Parameters:
            lift_at: lift from the water to the pump at a flow [m3/s], [m]
            head_of: head of a gauge pressure [Pa], [m]
        Returns:
            heads from the water on [m] by flow [m3/s]; None where the table gives fewer than two
            flows from so deep
        Source: continuity: the water settles where the well gives what the jet draws.
        """
        shares = {
            round((pressure - known[0]) / (known[-1] - known[0]), 9)
            for known in self.pressures
            for pressure in known
        }
        points: list[tuple[float, float]] = []
        for share in sorted(shares, reverse=True):
            flow = self._settled(lift_at, share)
            if flow is None:
                continue
            head = lift_at(flow) + head_of(self.at(lift_at(flow), share)[0])
            if not points or (flow > points[-1][0] and head < points[-1][1]):
                points.append((flow, head))
        if len(points) < 2:
            return None
        flows, heads = zip(*points, strict=True)
        return HeadCurve(flows, heads)

    def _settled(self, lift_at: Callable[[float], float], share: float) -> float | None:
        """The flow at which the water stands as deep as it is drawn [m3/s]; None where that is
        deeper than the table goes."""
        if lift_at(0.0) > self.lifts[-1]:
            return None
        most = self.at(lift_at(0.0), share)[1]
        if most <= 0.0:
            return 0.0

        def spare(flow: float) -> float:
            lift = lift_at(flow)
            if lift > self.lifts[-1]:
                # Beyond its last block a jet gives nothing that is told.
                return -flow
            return self.at(lift, share)[1] - flow

        flow = bracketed_root(spare, 0.0, most, "flow of the jet", "m3/s")
        return flow if lift_at(flow) <= self.lifts[-1] else None
