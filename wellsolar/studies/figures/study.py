"""The series that figures show: curves of pumps and arrays, levels and temperatures of a day.

Nothing is judged here; each series goes through the points that the other studies found.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from wellsolar.constants import DAY
from wellsolar.results.figures import (
    FigureData,
    HungPump,
    LevelCourse,
    PumpCurve,
    SystemCurve,
    Thing,
    WellDrawing,
    scheduled,
    things_in,
)
from wellsolar.results.heat import HeatedTankResult
from wellsolar.results.pumps import PumpResult
from wellsolar.results.well import WellResult
from wellsolar.site.schema import OtherWellTable, PumpTable, Site
from wellsolar.studies.figures.pipes import water_of
from wellsolar.studies.figures.wires import power_of
from wellsolar.studies.house import chain
from wellsolar.studies.house.wells import is_here, name_of, views
from wellsolar.studies.well.drawdown import drawn_level
from wellsolar.studies.well.study import levels_through
from wellsolar.studies.well.total_head import head_curve, line_of

if TYPE_CHECKING:
    from wellsolar.physics.sun.year import HourlyYear

CURVE_POINTS = 33
"""Points of a pump's curve."""

DAY_TIMES = (
    0.0, 60.0, 180.0, 300.0, 600.0, 900.0, 1200.0, 1800.0, 2700.0, 3600.0, 5400.0, 7200.0,
    10_800.0, 14_400.0, 21_600.0, 28_800.0, 43_200.0, 57_600.0, 72_000.0, DAY,
)  # fmt: skip
"""Times at which a day's water level is shown, close together where it falls fast [s]."""


def things_of(site: Site) -> tuple[Thing, ...]:
    """The schedule of equipment: every thing that has a tag, once."""
    return scheduled((*things_in(water_of(site)), *things_in(power_of(site))))


def study_figures(
    site: Site,
    year: HourlyYear | None,
    pumps: tuple[PumpResult, ...],
    well: WellResult | None,
    heated: HeatedTankResult | None,
) -> FigureData:
    """All series of a site.

    Parameters:
        well: the well in time; None where its drawdown is unknown
    """
    data = FigureData(
        well=_drawing(site, pumps),
        other_wells=tuple(_drawing(view, pumps) for view in views(site)[1:]),
        pump_curves=tuple(
            _pump_curve(site, table, pump) for table, pump in zip(site.pump, pumps, strict=True)
        ),
        courses=_courses(site, pumps) if well is not None or site.other_well else (),
        water=water_of(site),
        power=power_of(site),
    )
    if heated is None:
        return data
    from wellsolar.studies.heat.figures import with_heat

    return with_heat(data, site, year, heated)


def _drawing(site: Site, pumps: Sequence[PumpResult]) -> WellDrawing:
    well, piping, name = site.well, site.piping, name_of(site.well)
    names = [None, *(other_well.name for other_well in site.other_well)]
    here = [link for link in chain.links(site) if is_here(site, link.table)]
    hand, lateral = site.hand_pump, piping.lateral.length
    goal = chain.hand_goal(site) if hand is not None and is_here(site, hand) else None
    if name is not None:
        lines = (link.table.line for link in here)
        lateral = next((line.length for line in lines if line is not None), None)
    return WellDrawing(
        depth=float(well.depth),
        casing_bore=None if well.casing_bore is None else float(well.casing_bore),
        static_level=float(well.static_level),
        highest_level=well.static_level.low,
        lowest_level=well.static_level.high,
        pitless_depth=float(piping.pitless_depth),
        frost_depth=None if piping.frost_depth is None else float(piping.frost_depth),
        line_to_house=bool(here if site.other_well else site.pump)
        or goal in ("pressure tank", "storage tank"),
        tank_elevation=float(piping.tank_elevation),
        lateral=None if lateral is None else float(lateral),
        storage_height=_storage_height(site),
        storage_volume=None if site.storage_tank is None else float(site.storage_tank.volume),
        into_house=any(link.goal != "storage tank" for link in here) or goal == "pressure tank",
        into_storage=any(link.into_tank for link in here) or goal == "storage tank",
        pumps=tuple(
            HungPump(
                pump.name,
                pump.intake_depth,
                None if table.length is None else float(table.length),
                chain.hangs_in_well(table),
                table.draws != "well",
                chain.has_ejector(table),
                0 if table.draws != "well" else names.index(table.well),
            )
            for table, pump in zip(site.pump, pumps, strict=True)
        ),
        hand=hand is not None and is_here(site, hand),
        number=names.index(name),
        name=name or "",
        ground_height=float(well.ground_height) if isinstance(well, OtherWellTable) else 0.0,
    )


def _storage_height(site: Site) -> float | None:
    """Height of the outlet of a storage tank that is a link of the chain [m]."""
    tank = site.storage_tank
    return (
        None
        if tank is None or not chain.has_cistern(site)
        else chain.storage_of(site, tank).outlet
    )


def _pump_curve(site: Site, table: PumpTable, pump: PumpResult) -> PumpCurve:
    line = line_of(site, table, pump.intake_depth)
    level = drawn_level(site, table, pump.intake_depth)
    curve = head_curve(table, level, line)
    flows = np.linspace(curve.first_flow, curve.greatest_flow, CURVE_POINTS).tolist()
    return PumpCurve(
        pump.name,
        tuple(flows),
        tuple(float(curve.head_at(flow)) for flow in flows),
        tuple(
            SystemCurve(
                duty.label,
                duty.pressure,
                tuple(line.total(level, flow, duty.pressure) for flow in flows),
            )
            for duty in pump.duties
        ),
    )


def _courses(site: Site, pumps: tuple[PumpResult, ...]) -> tuple[LevelCourse, ...]:
    found = levels_through(site, pumps, DAY_TIMES[1:])
    rest = {pump.name: pump.static_level for pump in pumps}
    return tuple(
        LevelCourse(name, DAY_TIMES, (rest[name], *levels)) for name, levels in found.items()
    )
