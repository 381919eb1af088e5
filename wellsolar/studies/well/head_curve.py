"""The head curve of a pump on its well: its sheet's, or what a jet's table makes of the level."""

from __future__ import annotations

from wellsolar.physics.hydraulics import jet
from wellsolar.physics.hydraulics.pump import HeadCurve
from wellsolar.site.schema import PumpTable
from wellsolar.studies.house.chain import has_ejector
from wellsolar.studies.well.drawdown import WaterLevel
from wellsolar.studies.well.total_head import Line


def head_curve(table: PumpTable, level: WaterLevel, line: Line) -> HeadCurve:
    """The head curve of a pump that draws from a level.

    Parameters:
        level: of the water that it draws, which it draws down
        line: with the height at which a pump out of the water stands
    Returns:
        that of its sheet; of a jet heads from the water on, and where it draws nothing from so
        deep a curve that ends at the greatest lift of its table
    """
    if not has_ejector(table):
        return HeadCurve(tuple(map(float, table.flow)), tuple(map(float, table.head)))
    blocks, stands = table.jet_table, line.stands or 0.0
    own = jet.JetTable(
        tuple(float(block.lift) for block in blocks),
        tuple(tuple(map(float, block.pressure)) for block in blocks),
        tuple(tuple(map(float, block.flow)) for block in blocks),
    )
    found = own.curve_over(lambda flow: level.at(flow) + stands, line.head_of)
    if found is not None:
        return found
    most = max(max(flows) for flows in own.flows)
    return HeadCurve((0.0, most), (own.lifts[-1], 0.5 * own.lifts[-1]))
