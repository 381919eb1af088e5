"""What a step test and a pumping or recovery test of the site file tell of the well, and whether
they follow the theory that they are read by.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache

import numpy as np

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics.types import FloatArray
from wellsolar.physics.well import (
    pumping_tests as well_tests,
)
from wellsolar.physics.well import step_drawdown as step_test
from wellsolar.physics.well import (
    tests_with_casing as pumped_well_test,
)
from wellsolar.physics.well.pumping_tests import TestFit
from wellsolar.results.well import TestReading, WellTestResult
from wellsolar.site.schema import DrawdownTestTable, StepTestTable
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Verdict, remedy, say

KEPT = 64
"""Fits kept: a sampling of ranges asks for the same one at every case."""

ENOUGH_STEPS = 4
"""Steps from which on the trend of unsettled steps can be separated from the losses."""

CLEARED = "the drawdown grows less than the flow: the well cleared itself during the test"

STEEP = "the drawdown grows faster than aquifer and well loss together can make it"

TREND = "the levels within the steps show no trend: the steps are taken as settled"

FEW = "fewer than four steps of a given length: they are taken as settled, which overstates C"

WITHOUT_CASING = ", after the water of the pumped casing"
"""Added to the method of a fit that leaves the first readings out."""

LEAST_LATE = 5
"""Readings after the casing's water with which another well's fit does without the first ones:
two more than a fit needs. Our choice."""

MOST_REFITS = 8
"""Fits until readings and transmissivity agree; two or three are usual."""

ON_SITE = "it is a measurement at the well"

GREATEST_RESIDUAL = 0.10
"""Part of a test's greatest drawdown that a reading may lie off its fit: common practice."""

TEST_FIT = Rule(
    "test fit",
    "does the well's test fit the theory?",
    "no reading off the fit by more than 10 % of the test's greatest drawdown",
    "common practice",
    limit_is="at most",
    by="driller",
    place=Place(section="well"),
)


@lru_cache(maxsize=KEPT)
def fitted_step_test(table: StepTestTable) -> WellTestResult:
    """Aquifer loss and well loss by a site's step test, with its readings."""
    flows = np.array(table.flow)
    drawdowns = np.array(table.drawdown)
    length = None if table.step_length is None else float(table.step_length)
    fit, trouble = _steps(flows, drawdowns, length)
    # A well loss or aquifer loss below zero describes no well: only the readings stand.
    usable = fit.well_loss >= 0.0 and fit.aquifer_loss > 0.0
    if not usable:
        trouble = CLEARED if fit.well_loss < 0.0 else STEEP
    settled = math.isinf(fit.duration)
    readings = tuple(
        TestReading(flow, None if length is None else (number + 1) * length, drawn, drawn - rest)
        for number, (flow, drawn, rest) in enumerate(
            zip(flows.tolist(), drawdowns.tolist(), fit.residuals, strict=True)
        )
    )
    return WellTestResult(
        kind="step test",
        method="Jacob, steps taken as settled" if settled else "Jacob, trend of the steps off",
        readings=readings,
        aquifer_loss=fit.aquifer_loss,
        after=fit.duration,
        well_loss=fit.well_loss,
        transmissivity=None if math.isnan(fit.transmissivity) else fit.transmissivity,
        root_mean_square=fit.root_mean_square,
        usable=usable,
        trouble=trouble,
    )


def _steps(
    flows: FloatArray, drawdowns: FloatArray, length: float | None
) -> tuple[step_test.StepTest, str]:
    if length is None:
        return step_test.fit_steps(flows, drawdowns), ""
    if flows.size < ENOUGH_STEPS:
        return step_test.fit_steps(flows, drawdowns), FEW
    begun: FloatArray = np.arange(flows.size, dtype=np.float64) * length
    try:
        fit = step_test.fit_unsettled_steps(begun + length, drawdowns, begun, flows, length)
    except OutOfRange:
        return step_test.fit_steps(flows, drawdowns), TREND
    if math.isnan(fit.transmissivity):
        return step_test.fit_steps(flows, drawdowns), TREND
    return fit, ""


@lru_cache(maxsize=KEPT)
def fitted_drawdown_test(
    table: DrawdownTestTable,
    static_level: float,
    radius: float,
    water_area: float | None,
    well_loss: float,
) -> WellTestResult:
    """Transmissivity and storage by a site's pumping or recovery test in a well of a radius [m],
    the area of water in its casing [m2] and a well loss [s2/m5] taken off; without numbers where
    nothing could be fitted."""
    time = np.array(table.time)
    rest = static_level if table.rest_level is None else float(table.rest_level)
    drawdown = np.array(table.level) - rest
    flow = float(table.flow)
    try:
        fit = _drawdown_fit(table, time, drawdown, radius, water_area, well_loss)
    except OutOfRange as error:
        readings = tuple(
            TestReading(flow, at, drawn, None)
            for at, drawn in zip(time.tolist(), drawdown.tolist(), strict=True)
        )
        kind = f"{table.kind} test"
        return WellTestResult(kind, "none fits", readings, usable=False, trouble=str(error))
    fitted = dict(zip(fit.used, fit.residuals, strict=True))
    readings = tuple(
        TestReading(flow, at, drawn, drawn - fitted[number] if number in fitted else None)
        for number, (at, drawn) in enumerate(zip(time.tolist(), drawdown.tolist(), strict=True))
    )
    early = _casing_time(water_area, fit.transmissivity)
    if table.distance is not None and np.count_nonzero(time > early) < LEAST_LATE:
        early = 0.0
    straight = _straight(table, time, drawdown, radius, early)
    return WellTestResult(
        kind=f"{table.kind} test",
        method=fit.method,
        readings=readings,
        transmissivity=fit.transmissivity,
        storage=None if math.isnan(fit.storage) else fit.storage,
        straight_transmissivity=None if straight is None else straight.transmissivity,
        straight_storage=None if straight is None else straight.storage,
        root_mean_square=fit.root_mean_square,
        length=_pumped_for(table),
        distance=None if table.distance is None else float(table.distance),
    )


def _pumped_for(table: DrawdownTestTable) -> float:
    """How long a well was pumped in its test [s]: to the last reading, or to the stop."""
    if table.kind == "recovery":
        return float(table.pumping_time or 0.0)
    return float(table.time[-1])


def _drawdown_fit(
    table: DrawdownTestTable,
    time: FloatArray,
    drawdown: FloatArray,
    radius: float,
    water_area: float | None,
    well_loss: float,
) -> TestFit:
    """The fit; its numbers of readings count all of the table's, those at time zero too."""
    flow, first = float(table.flow), int(time[0] == 0.0)
    away = table.distance is not None
    distance = radius if table.distance is None else float(table.distance)
    if table.kind == "recovery":
        pumped = float(table.pumping_time or 0.0)
        if away:
            return _late(
                lambda at, drawn: well_tests.fit_recovery(at, drawn, flow, pumped, distance),
                time,
                drawdown,
                water_area,
            )
        if water_area is not None:
            return pumped_well_test.fit_recovery_with_casing(
                time, drawdown, flow, pumped, radius, water_area, well_loss
            )
        fit = well_tests.fit_recovery(time[first:], drawdown[first:], flow, pumped, radius)
    elif away:
        fit = _late(
            lambda at, drawn: well_tests.fit_pumping_test(at, drawn, flow, distance),
            time[first:],
            drawdown[first:],
            water_area,
        )
    elif water_area is not None:
        fit = pumped_well_test.fit_with_casing(
            time[first:], drawdown[first:], flow, radius, water_area, well_loss
        )
    else:
        in_aquifer = drawdown[first:] - well_loss * flow**2
        fit = well_tests.fit_pumping_test(time[first:], in_aquifer, flow, radius)
    return well_tests.TestFit(
        fit.transmissivity,
        fit.storage,
        fit.method,
        fit.residuals,
        fit.root_mean_square,
        tuple(number + first for number in fit.used),
    )


def _late(
    fit_of: Callable[[FloatArray, FloatArray], TestFit],
    time: FloatArray,
    drawdown: FloatArray,
    water_area: float | None,
) -> TestFit:
    """The fit to another well's readings while the aquifer alone feeds the pump.

    What the pumped well's casing gives at first the aquifer does not, so that the levels beside it
    fall later than by Theis; the time that takes follows from the transmissivity, which follows
    from the readings after it. Where too few are left, or the casing is not known, all are used.
    """
    fit, used = fit_of(time, drawdown), np.arange(time.size)
    for _ in range(MOST_REFITS):
        early = _casing_time(water_area, fit.transmissivity)
        # What is left of the drawdown at the stop is a reading of all the pumping before it.
        late = np.flatnonzero((time > early) | (time == 0.0))
        if np.count_nonzero(time > early) < LEAST_LATE or np.array_equal(late, used):
            break
        fit, used = fit_of(time[late], drawdown[late]), late
    numbers = tuple(int(used[number]) for number in fit.used)
    method = fit.method if used.size == time.size else f"{fit.method}{WITHOUT_CASING}"
    return replace(fit, method=method, used=numbers)


def _casing_time(water_area: float | None, transmissivity: float) -> float:
    """Time up to which what is pumped is the casing's water [s]; zero where nothing is known."""
    if water_area is None:
        return 0.0
    return well_tests.casing_storage_time(water_area, transmissivity)


def _straight(
    table: DrawdownTestTable,
    time: FloatArray,
    drawdown: FloatArray,
    radius: float,
    early: float,
) -> TestFit | None:
    """The straight line beside it, for a pumping test; None where no reading lies on one."""
    if table.kind != "pumping":
        return None
    distance = radius if table.distance is None else float(table.distance)
    late = time > early
    try:
        return well_tests.fit_cooper_jacob(time[late], drawdown[late], float(table.flow), distance)
    except OutOfRange:
        return None


def fit_verdicts(tests: tuple[WellTestResult, ...]) -> list[Verdict]:
    """Whether each test of a well follows what was fitted to it."""
    return [_test_fit(test) for test in tests]


def _test_fit(test: WellTestResult) -> Verdict:
    table = "step_test" if test.kind == "step test" else "drawdown_test"
    worst = test.worst
    if worst is None or worst.residual is None or worst.fitted is None:
        key = f"well.{table}.level"
        return TEST_FIT.unknown(test.kind, key, why=test.trouble)
    share = Quantity(abs(worst.residual) / test.greatest_drawdown, kinds.FRACTION)
    limit = Quantity(GREATEST_RESIDUAL, kinds.FRACTION)
    if not test.usable:
        return TEST_FIT.verdict(
            "caution",
            test.kind,
            say("{trouble}; the well is taken from its worst step", trouble=test.trouble),
            quantity=share,
            limit=limit,
            remedy=remedy("repeat the step test, each step until the level settles", ON_SITE),
        )
    off = Quantity(abs(worst.residual), kinds.LENGTH)
    at = (
        Quantity(worst.flow, kinds.FLOW)
        if worst.time is None
        else Quantity(worst.time, kinds.DURATION)
    )
    reason = say(
        "the reading at {at} lies {off} off the fit, {share} of the drawdown",
        at=at,
        off=off,
        share=share,
    )
    if share <= limit:
        return TEST_FIT.verdict("pass", test.kind, reason, quantity=share, limit=limit)
    wanted = remedy(
        "check the reading at {at}: the fit has a drawdown of {fitted} there",
        ON_SITE,
        at=at,
        fitted=Quantity(worst.fitted, kinds.LENGTH),
    )
    return TEST_FIT.verdict(
        "caution", test.kind, reason, quantity=share, limit=limit, remedy=wanted
    )
