"""Ways from a published well test to the functions that evaluate it, with the tests' readings.

Each takes SI floats by keyword and returns the fit; the methods stay in wellsolar.physics.
"""

from __future__ import annotations

import math

import numpy as np

from wellsolar.physics.hydraulics import disinfection
from wellsolar.physics.well import (
    level_in_time as well_level,
)
from wellsolar.physics.well import (
    pumping_tests as well_tests,
)
from wellsolar.physics.well import (
    step_drawdown as step_test,
)

MINUTE = 60.0
DAY = 86_400.0


def pairs(text: str) -> np.ndarray:
    """Rows of two numbers out of a text, read along its lines."""
    return np.array(text.split(), dtype=float).reshape(-1, 2)


CLARK_FLOWS = np.array([1306.0, 1693.0, 2423.0, 3261.0, 4094.0, 5019.0]) / DAY
CLARK_STEP = 180.0 * MINUTE
CLARK_READINGS = (
    """
    5 1.303  6 2.289  7 3.117  8 3.345  9 3.486  10 3.521  12 3.592  14 3.627  16 3.733  18
    3.768  20 3.836  25 3.873  30 4.014  35 3.803  40 4.043  45 4.261  50 4.261  55 4.19  60
    4.12  70 4.12  80 4.226  90 4.226  100 4.226  120 4.402  150 4.402  180 4.683
    """,
    """
    1 5.458  2 5.529  3 5.564  4 5.599  5 5.634  6 5.669  7 5.669  8 5.705  9 5.74  10 5.74  12
    5.81  14 5.81  16 5.824  18 5.845  20 5.81  25 5.824  30 5.824  35 5.881  40 5.591  45 5.591
    50 6.092  55 6.092  60 6.176  70 6.162  80 6.176  90 6.169  100 6.169  120 6.176  150 6.374
    180 6.514
    """,
    """
    1 8.17  2 8.24  3 8.346  4 8.451  5 8.486  6 8.557  7 8.557  8 8.592  9 8.672  10 8.672  12
    8.663  14 8.698  16 8.733  18 8.839  20 8.874  25 8.874  30 8.979  35 8.979  40 8.994  45
    9.05  50 9.05  55 9.12  60 9.12  70 9.155  80 9.191  90 9.191  100 9.226  120 9.261  150
    9.367  180 9.578
    """,
    """
    1 10.881  2 11.797  3 11.902  4 12.008  5 12.078  6 12.149  7 12.149  8 12.184  9 12.219  10
    12.325  12 12.36  14 12.395  16 12.43  18 12.43  20 12.501  25 12.508  30 12.606  35 12.712
    40 12.747  45 12.783  50 12.818  55 12.853  60 12.853  70 12.888  80 12.923  90 12.994  100
    12.994  120 13.099  150 13.205  180 13.24
    """,
    """
    1 15.318  2 15.494  3 15.598  4 15.74  5 15.846  6 15.881  7 15.952  8 16.022  9 16.022  10
    16.093  12 16.198  14 16.268  16 16.304  18 16.374  20 16.409  25 16.586  30 16.621  35
    16.691  40 16.726  45 16.776  50 16.797  55 16.902  60 16.938  70 16.973  80 17.079  90
    17.079  100 17.114  120 17.219  150 17.325  180 17.395
    """,
    """
    1 20.036  2 20.248  3 20.389  4 20.529  5 20.6  6 20.66  7 20.741  8 20.811  9 20.882  10
    20.917  12 20.952  14 21.022  16 21.128  18 21.163  20 21.198  25 21.304  30 21.375  35
    21.48  40 21.551  45 21.619  50 21.656  60 21.663  70 21.691  80 21.762  90 21.832  100
    21.903  120 22.008  150 22.184  180 22.325
    """,
)
"""Minutes since each step began, and drawdown [m].

Source: Clark (1977), Q. J. Eng. Geol. 10:125, in Kruseman and de Ridder (1994), ILRI 47, Table
14.1, p. 204, as an open data set of pumping tests (MIT licence) gives it. Second hand.
"""

FETTER = pairs(
    """
    180 .0914 300 .2134 480 .3962 720 .6401 1200 .9754 1440 1.0973 1800 1.2497 2280 1.4326
    2820 1.5545 3000 1.6154 3600 1.7374 4200 1.8593 4800 1.9202 5400 2.0422 6000 2.1336
    7800 2.286 9600 2.5298 12000 2.5908 15600 2.8042 19200 2.9566 22800 3.1090 30000 3.3223
    """
)
"""Seconds and drawdown [m] at 250 m from a well pumped at 1.3888e-2 m3/s.

Source: Fetter (2001), Applied Hydrogeology, Table 5.1, p. 172, through an open data set. Second
hand.
"""

VARIABLE_RATE = pairs(
    """
    5 1.38 10 1.65 15 1.81 20 1.93 25 2.02 30 2.09 35 2.68 40 2.85 45 2.96 50 3.05 55 3.12
    60 3.18 70 3.29 80 3.38 90 3.13 100 3.15 110 3.17 130 3.23
    """
)
"""Minutes and drawdown [m] at 5 m from the well; 500, 700 and 600 m3/day to 30, 80, 130 min.

Source: Kruseman and de Ridder (1994), ILRI 47, p. 185, through an open data set. Second hand.
"""

TODD = pairs(
    """
    1 .23 2 .31 3 .36 5 .44 7 .48 10 .56 15 .63 20 .67 30 .74 40 .78 60 .84 80 .88 100 .91
    140 .95 180 .98
    """
)
"""Minutes since the stop and rise of the level [m] at 60 m, after 240 min at 2500 m3/day.

Source: Todd (1980), Groundwater Hydrology, in Batu (1998), Aquifer Hydraulics, Example 4-12,
through an open data set. Second hand.
"""

TODD_AT_STOP = 1.12
"""Drawdown [m] when pumping stopped; from memory of Todd's table of what was left."""


def _clark() -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Time since the step began, time since the test began, drawdown, times of the changes."""
    steps = [pairs(text) for text in CLARK_READINGS]
    begun = np.arange(len(steps)) * CLARK_STEP
    within = np.concatenate([each[:, 0] * MINUTE for each in steps])
    start = np.concatenate([np.full(len(each), at) for each, at in zip(steps, begun, strict=True)])
    return within, start + within, np.concatenate([each[:, 1] for each in steps]), begun


def clark_step_test(first_minutes: float = 0.0) -> step_test.StepTest:
    """The six steps, without the first minutes of each; aquifer loss after 100 minutes."""
    within, at, drawdown, begun = _clark()
    used = within >= first_minutes
    return step_test.fit_unsettled_steps(
        at[used], drawdown[used], begun, CLARK_FLOWS, 100.0 * MINUTE
    )


def clark_step_ends() -> step_test.StepTest:
    """The last reading of each step alone."""
    within, at, drawdown, begun = _clark()
    last = within == CLARK_STEP
    return step_test.fit_unsettled_steps(
        at[last], drawdown[last], begun, CLARK_FLOWS, 100.0 * MINUTE
    )


def fetter_theis() -> well_tests.TestFit:
    """The observation well by least squares."""
    return well_tests.fit_pumping_test(FETTER[:, 0], FETTER[:, 1], 1.3888e-2, 250.0)


def fetter_cooper_jacob() -> well_tests.TestFit:
    """The observation well by the straight line."""
    return well_tests.fit_cooper_jacob(FETTER[:, 0], FETTER[:, 1], 1.3888e-2, 250.0)


def variable_rate_test() -> well_tests.TestFit:
    """The test at three rates."""
    changes = np.array([0.0, 30.0, 80.0]) * MINUTE
    flows = np.array([500.0, 700.0, 600.0]) / DAY
    at, drawdown = VARIABLE_RATE.T
    return well_tests.fit_variable_rate(at * MINUTE, drawdown, changes, flows, 5.0)


def todd_equivalent_time() -> well_tests.TestFit:
    """The recovery as a drawdown over the equivalent time t tp / (t + tp)."""
    since, pumped = TODD[:, 0] * MINUTE, 240.0 * MINUTE
    equivalent = since * pumped / (since + pumped)
    return well_tests.fit_pumping_test(equivalent, TODD[:, 1], 2500.0 / DAY, 60.0)


def todd_recovery() -> well_tests.TestFit:
    """What was left of the drawdown after the stop."""
    left = TODD_AT_STOP - TODD[:, 1]
    return well_tests.fit_recovery(TODD[:, 0] * MINUTE, left, 2500.0 / DAY, 240.0 * MINUTE, 60.0)


def todd_recovery_with_stop() -> well_tests.TestFit:
    """The same with the drawdown at the stop."""
    since = np.concatenate(([0.0], TODD[:, 0])) * MINUTE
    left = TODD_AT_STOP - np.concatenate(([0.0], TODD[:, 1]))
    return well_tests.fit_recovery(since, left, 2500.0 / DAY, 240.0 * MINUTE, 60.0)


def large_diameter_function(u: float, alpha: float) -> float:
    """F(u, alpha): drawdown of a well of radius 1 and casing of radius 1 where Q = 4 pi T."""
    transmissivity = 0.25 / math.pi
    model = well_level.WellModel(
        static_level=0.0,
        storage_area=math.pi,
        transmissivity=transmissivity,
        storage=alpha,
        radius=1.0,
    )
    at = alpha / (4.0 * transmissivity * u)
    return float(well_level.level_through(model, np.array([0.0, at]), np.array([1.0]))[-1])


def bleach(bore: float, column: float) -> float:
    """Household bleach for a column of water in a casing [m3]."""
    standing = disinfection.standing_volume(bore, column)
    return float(
        disinfection.disinfectant_volume(standing, disinfection.DOSE, disinfection.BLEACH)
    )
