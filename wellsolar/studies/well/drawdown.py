"""How the water of a site's well goes down, by the best evidence of its file, and where it stands.

In this order: a pumping or recovery test, a step test, transmissivity with storage, the specific
capacity, the yield test. All pumps and verdicts of a site share this one drawdown.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics.pipe import cross_section
from wellsolar.physics.well import levels as well
from wellsolar.physics.well import (
    pumping_tests as well_tests,
)
from wellsolar.physics.well import step_drawdown as step_test
from wellsolar.physics.well import (
    tests_with_casing as pumped_well_test,
)
from wellsolar.physics.well import (
    theis,
)
from wellsolar.results.well import WellTestResult
from wellsolar.site.schema import Pipe, PumpTable, Site
from wellsolar.studies.house.chain import storage_of
from wellsolar.studies.house.wells import at_well, is_here
from wellsolar.studies.sold.pipe_sizes import size_of
from wellsolar.studies.well.pumping_tests import fitted_drawdown_test, fitted_step_test
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

LEAST_SHARE = 0.02
"""Share of the casing left to the water, below which the file's diameters can't be right."""


def hangs(table: PumpTable) -> bool:
    """Whether a pump of the file hangs in the well: others are only compared."""
    return table.role != "other" or table.diameter is not None


def hanging_area(site: Site, compared: PumpTable | None = None) -> float:
    """Cross-section [m2] of the pipes and cables in the well's water, with those of a pump that is
    to hang there; a pipe counts with its outside diameter, a cable where the file gives one."""
    return sum(cross_section(diameter) for diameter in _diameters(site, compared))


def casing_water(site: Site, compared: PumpTable | None = None) -> float | None:
    """Area of the water in the casing, or its volume for each metre [m2]; None where the file has
    no bore, or where what hangs in the casing fills it."""
    bore = site.well.casing_bore
    if bore is None:
        return None
    whole = cross_section(bore)
    left = whole - hanging_area(site, compared)
    return left if left > LEAST_SHARE * whole else None


def _diameters(site: Site, compared: PumpTable | None) -> Iterator[float]:
    for pump in site.pump:
        if not is_here(site, pump) or (not hangs(pump) and pump is not compared):
            continue
        yield _outside(pump.drop_pipe or site.piping.drop_pipe)
        if pump.cable is not None and pump.cable.diameter is not None and pump.kind != "suction":
            yield float(pump.cable.diameter)
    hand = site.hand_pump
    if hand is not None and is_here(site, hand):
        yield _outside(hand.rising_main or site.piping.drop_pipe)


def _outside(pipe: Pipe) -> float:
    return size_of(pipe).outside_diameter


NOMINAL_RADIUS = 0.0762
"""Radius of a well [m] where the file has no bore: only its square times the storage is used, and
a test in the pumped well gives that product whatever the radius."""

USUAL_STORAGE = 1e-4
"""Storage coefficient of a confined aquifer: common practice, no source. The drawdown hangs on its
logarithm: ten times more or less move it by about a sixth."""

LEAST_WELL_FUNCTION = 1e-6
"""W(u) after a day below which the drawdown has not reached the well's wall by then."""

NEAREST = 100.0
"""Least r2 S / (4 T) after which a boundary shows, in these times of the well's own: an image well
ten of the well's radii away. Our choice."""

AS_IN_THE_TEST = Quantity(1.0, kinds.RATIO)
"""The trend after a test that goes on as in it [-]."""

CAPACITY_KEYS = ("well.specific_capacity",)
"""What to give where the drawdown is unknown."""


@dataclass(frozen=True)
class Aquifer:
    """Transmissivity [m2/s], storage [-], the radius of the well that they go with [m], and what
    the aquifer's trend turns to behind the end of the test that told them; None for the same."""

    transmissivity: float
    storage: float
    radius: float
    boundary: theis.Boundary | None = None


@dataclass(frozen=True)
class Drawdown:
    """The drawdown of a well, settled or after a day of pumping.

    how: what it rests on
    specific_capacity: flow for each metre of drawdown, well loss left out [m2/s]
    well_loss: C of Jacob [s2/m5]
    aquifer: where the level goes on falling; None where it settles
    """

    how: str
    specific_capacity: float
    well_loss: float = 0.0
    aquifer: Aquifer | None = None


@dataclass(frozen=True)
class Behaviour:
    """The drawdown of a well, None where its file gives no way to know it; the fits of its tests,
    and what had to be assumed."""

    drawdown: Drawdown | None = None
    tests: tuple[WellTestResult, ...] = ()
    assumptions: tuple[Assumption, ...] = ()


def behaviour_of(site: Site) -> Behaviour:
    """The well by the best evidence of its file: drawdown, fits of its tests, assumptions."""
    table = site.well
    bore = table.casing_bore
    radius = NOMINAL_RADIUS if bore is None else bore / 2
    steps = None if table.step_test is None else fitted_step_test(table.step_test)
    tests = [] if steps is None else [steps]
    drawdown: Drawdown | None = None
    assumed = False
    if table.drawdown_test is not None:
        usable_steps = steps if steps is not None and steps.usable else None
        fit = fitted_drawdown_test(
            # What comes after the test is no part of its fit, which is kept from case to case.
            table.drawdown_test.model_copy(update={"trend_after": AS_IN_THE_TEST}),
            float(table.static_level),
            radius,
            casing_water(site),
            0.0 if usable_steps is None else usable_steps.well_loss or 0.0,
        )
        tests.insert(0, fit)
        drawdown, assumed = _by_drawdown_test(site, fit, usable_steps, radius)
    if drawdown is None and steps is not None:
        drawdown = _by_step_test(steps, radius)
    if drawdown is None:
        drawdown, assumed = _without_test(site, radius)
    value = Quantity(USUAL_STORAGE, kinds.RATIO, written="1e-4")
    why = "a confined aquifer; the drawdown depends on its logarithm only"
    assumptions = (Assumption("well.storage", value, why, "common practice"),) if assumed else ()
    return Behaviour(drawdown, tuple(tests), assumptions)


def drawdown_of(site: Site) -> Drawdown | None:
    """The drawdown of a site's well; None where its file gives no way to know it."""
    return behaviour_of(site).drawdown


def _by_drawdown_test(
    site: Site, fit: WellTestResult, steps: WellTestResult | None, radius: float
) -> tuple[Drawdown | None, bool]:
    """The drawdown by a pumping or recovery test, and whether a storage had to be assumed."""
    test = site.well.drawdown_test
    assert test is not None
    if fit.transmissivity is None:
        return None, False
    well_loss = 0.0 if steps is None else steps.well_loss or 0.0
    storage, assumed = fit.storage, False
    if test.distance is not None:
        # Skin and well loss of the pumped well do not show in another one.
        storage = _storage_of_the_well(site, fit.transmissivity, steps, radius)
        if storage is None:
            return None, False
    elif storage is None and fit.readings[0].time == 0.0:
        unit = (fit.readings[0].drawdown - well_loss * test.flow**2) / test.flow
        pumped = float(test.pumping_time or 0.0)
        storage = _storage_from(unit, pumped, fit.transmissivity, radius)
    if storage is None:
        assumed = site.well.storage is None
        storage = USUAL_STORAGE if assumed else float(site.well.storage or 0.0)
    how = fit.kind
    if steps is not None:
        how += ", well loss by the step test"
    elif test.distance is not None and (settled := _settled(site)) is not None:
        how += f" of another well, and {settled.how} of this one"
    boundary = _after_the_test(float(test.trend_after), fit, storage, radius)
    return _after_a_day(how, fit.transmissivity, storage, radius, well_loss, boundary), assumed


def _storage_of_the_well(
    site: Site, transmissivity: float, steps: WellTestResult | None, radius: float
) -> float | None:
    """The storage with which an aquifer known from another well gives this well's own drawdown: by
    its step test, or by what settled in it, taken as after a day."""
    if steps is not None:
        return _storage_by_steps(steps, transmissivity, radius)
    settled = _settled(site)
    if settled is None:
        return None
    return _storage_from(1.0 / settled.specific_capacity, DAY, transmissivity, radius)


def _after_the_test(
    trend: float, fit: WellTestResult, storage: float, radius: float
) -> theis.Boundary | None:
    """What gives the drawdown another trend after a test than in it."""
    assert fit.transmissivity is not None
    if trend == 1.0 or fit.length is None:
        return None
    # No boundary stands nearer than the well's own wall.
    nearest = radius**2 * storage / (4.0 * fit.transmissivity)
    return theis.Boundary(trend - 1.0, max(fit.length, NEAREST * nearest))


def _by_step_test(steps: WellTestResult, radius: float) -> Drawdown | None:
    if not steps.usable:
        # The step with the most drawdown for its flow: the well is at least as good.
        worst = max(reading.drawdown / reading.flow for reading in steps.readings)
        return Drawdown("step test, its worst step", 1.0 / worst)
    assert steps.aquifer_loss is not None
    well_loss = steps.well_loss or 0.0
    if steps.transmissivity is None:
        return Drawdown("step test", 1.0 / steps.aquifer_loss, well_loss)
    storage = _storage_by_steps(steps, steps.transmissivity, radius)
    drawdown = None
    if storage is not None:
        drawdown = _after_a_day("step test", steps.transmissivity, storage, radius, well_loss)
    if drawdown is not None or steps.after is None:
        return drawdown
    trend = math.log(max(DAY / steps.after, 1.0)) / (4 * math.pi * steps.transmissivity)
    return Drawdown("step test", 1.0 / (steps.aquifer_loss + trend), well_loss)


def _without_test(site: Site, radius: float) -> tuple[Drawdown | None, bool]:
    table = site.well
    settles = _settled(site)
    if table.transmissivity is not None and table.casing_bore is not None:
        assumed = table.storage is None
        if not assumed or settles is None:
            storage = USUAL_STORAGE if table.storage is None else float(table.storage)
            how = "transmissivity and storage"
            drawdown = _after_a_day(how, float(table.transmissivity), storage, radius, 0.0)
            if drawdown is not None:
                return drawdown, assumed
    return settles, False


def _settled(site: Site) -> Drawdown | None:
    table = site.well
    if table.specific_capacity is not None:
        return Drawdown("specific capacity", float(table.specific_capacity))
    if table.tested_yield is None or table.tested_pumping_level is None:
        return None
    drawn = table.tested_pumping_level - table.static_level
    if drawn <= 0.0:
        return None
    return Drawdown("yield test", well.specific_capacity(table.tested_yield, drawn))


def _after_a_day(
    how: str,
    transmissivity: float,
    storage: float,
    radius: float,
    well_loss: float,
    boundary: theis.Boundary | None = None,
) -> Drawdown | None:
    """The drawdown of an aquifer, its specific capacity that of a day's pumping."""
    u = radius**2 * storage / (4 * transmissivity * DAY)
    reached = theis.well_function(u) if u < well_tests.GREATEST_U else 0.0
    reached += theis.boundary_function(DAY, boundary)
    if reached < LEAST_WELL_FUNCTION:
        return None
    capacity = 4 * math.pi * transmissivity / reached
    return Drawdown(how, capacity, well_loss, Aquifer(transmissivity, storage, radius, boundary))


def _storage_by_steps(steps: WellTestResult, transmissivity: float, radius: float) -> float | None:
    """The storage that gives the aquifer loss of a step test; steps that settled took a day."""
    assert steps.aquifer_loss is not None
    after = DAY if steps.after is None or math.isinf(steps.after) else steps.after
    return _storage_from(steps.aquifer_loss, after, transmissivity, radius)


def _storage_from(
    unit_drawdown: float, time: float, transmissivity: float, radius: float
) -> float | None:
    try:
        return pumped_well_test.effective_storage(unit_drawdown, time, transmissivity, radius)
    except OutOfRange:
        return None


@dataclass(frozen=True)
class WaterLevel:
    """The pumping level as a function of the flow, settled or after a day of pumping.

    static_level: depth of the water at rest [m]
    specific_capacity: well loss left out [m2/s]; None where the file gives no way to know it
    floor: the deepest the water can be drawn, the intake [m]
    well_loss: C of Jacob [s2/m5]
    """

    static_level: float
    specific_capacity: float | None
    floor: float
    well_loss: float = 0.0

    @property
    def known(self) -> bool:
        """True where the drawdown can be computed."""
        return self.specific_capacity is not None

    def at(self, flow: float) -> float:
        """Depth of the water at a flow [m], never below the floor, where a pump draws air; at
        the floor where the drawdown is unknown, which is the worst that can be."""
        deepest = max(self.static_level, self.floor)
        return deepest if self.specific_capacity is None else min(self.settled(flow), deepest)

    def settled(self, flow: float) -> float:
        """Depth at which the water would settle at a flow in a well without a floor [m]."""
        if self.specific_capacity is None:
            return self.at(flow)
        if self.well_loss == 0.0:
            return well.pumping_level(self.static_level, flow, self.specific_capacity)
        drawn = step_test.jacob_drawdown(flow, 1.0 / self.specific_capacity, self.well_loss)
        return self.static_level + drawn

    def greatest_flow(self) -> float:
        """The flow that draws the water down to the floor [m3/s]; infinite where unknown."""
        if self.specific_capacity is None:
            return math.inf
        drawn = max(0.0, self.floor - self.static_level)
        aquifer_loss = 1.0 / self.specific_capacity
        return step_test.flow_for_drawdown(drawn, aquifer_loss, self.well_loss)


@dataclass(frozen=True)
class TankLevel(WaterLevel):
    """The water of a storage tank, from which a pump draws nothing down that it feels; a depth
    below the ground, so that it is negative where the tank stands higher."""

    @property
    def known(self) -> bool:
        """It is."""
        return True

    def at(self, flow: float) -> float:
        """The same at any flow [m]."""
        return self.static_level

    def settled(self, flow: float) -> float:
        """The same at any flow [m]."""
        return self.static_level

    def greatest_flow(self) -> float:
        """No limit of the tank's own [m3/s]."""
        return math.inf


def drawn_level(site: Site, table: PumpTable, floor: float) -> WaterLevel:
    """The water that a pump draws: of the well above its intake at the depth `floor` [m], or of
    the storage tank at its lowest."""
    if table.draws == "well" or site.storage_tank is None:
        return water_level(at_well(site, table), floor)
    lowest = -storage_of(site, site.storage_tank).lowest
    return TankLevel(lowest, None, lowest)


def specific_capacity(site: Site) -> float | None:
    """The specific capacity of a site's well, well loss left out [m2/s]; None where unknown."""
    drawdown = drawdown_of(site)
    return None if drawdown is None else drawdown.specific_capacity


def water_level(site: Site, floor: float) -> WaterLevel:
    """The water level of a site's well above an intake at the depth `floor` [m]."""
    static, drawdown = float(site.well.static_level), drawdown_of(site)
    if drawdown is None:
        return WaterLevel(static, None, floor)
    return WaterLevel(static, drawdown.specific_capacity, floor, drawdown.well_loss)


def at_static_level(site: Site, level: Quantity, number: int = 0) -> Site:
    """The site with the water of a well at rest at another depth, the well otherwise the same.

    Levels of its tests go with it, so that the drawdown stays as it was measured.

    Parameters:
        number: of the other well from 1, 0 for [well]
    """
    well_table = site.other_well[number - 1] if number else site.well
    tested, test = well_table.tested_pumping_level, well_table.drawdown_test
    changes: dict[str, object] = {"static_level": level}
    if tested is not None and not tested.is_range:
        moved = tested + level - well_table.static_level
        changes["tested_pumping_level"] = Quantity(moved, tested.kind)
    if test is not None and test.rest_level is None:
        rest = Quantity(well_table.static_level, level.kind)
        changes["drawdown_test"] = test.model_copy(update={"rest_level": rest})
    changed = well_table.model_copy(update=changes)
    if not number:
        return site.model_copy(update={"well": changed})
    others = (*site.other_well[: number - 1], changed, *site.other_well[number:])
    return site.model_copy(update={"other_well": others})
