"""A low-yield well in time, integrated here.

Everything that judges stands here in full: pump curve by scipy's interpolation, friction by the
fluids library, drawdown by the equations of the well.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from wellsolar.results import Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site

FOOT = 0.3048

INCH = 0.0254

GALLON = 3.785411784e-3

GPM = GALLON / 60

DAY = 86_400.0

# 6.065 in of bore less one polyethylene drop pipe of 1 in, 1.349 in outside.
CASING = math.pi / 4 * (6.065**2 - 1.349**2) * INCH**2

LOW_YIELD = """
[site]
note = "invented"
[demand]
daily_use = "{use}"
peak_flow = "3 gpm"
[well]
depth = "180 ft"
casing_bore = "6.065 in"
static_level = "40 ft"
water_temperature = "50 degF"
{well}
[piping]
pitless_depth = "5 ft"
tank_elevation = "6 ft"
drop_pipe = {{ material = "polyethylene SIDR", size = "1 in" }}
lateral = {{ material = "polyethylene SIDR", size = "1 in", length = "60 ft" }}
fittings = [{{ kind = "check valve", count = 1 }}, {{ kind = "90 elbow", count = 3 }}]
[pressure_switch]
cut_in = "30 psi"
cut_out = "50 psi"
[[pump]]
name = "old"
role = "existing"
intake_depth = "160 ft"
restart_level = "90 ft"
minimum_submergence = "10 ft"
flow = "{flow}"
head = "{head}"
dry_run_protection = {protected}
"""


def low_yield(well: str, **changes: str) -> str:
    given = {
        "use": "70 gal/day",
        "flow": "0, 3, 6, 9, 12 gpm",
        "head": "290, 270, 235, 180, 95 ft",
        "protected": "false",
    }
    return LOW_YIELD.format(well=well, **(given | changes))


def study(text: str) -> Results:
    return study_site(parse_site(text), ("pump",))


def only_pump(text: str) -> Any:
    well = study(text).well
    assert len(well.pumps) == 1
    return well.pumps[0]


def verdict(results: Results, rule: str, subject: str = "old") -> Any:
    found = [v for v in results.verdicts if (v.rule.key, v.subject) == (rule, subject)]
    assert len(found) == 1, rule
    return found[0]


class Casing:
    """A casing over a well that gives k for each metre, Jacob's well loss in it."""

    size = 1

    def __init__(self, capacity: float, loss: float) -> None:
        self.capacity, self.loss = capacity, loss

    def rates(self, state: NDArray[np.float64], flow: float) -> NDArray[np.float64]:
        drawn = max(float(state[0]), 0.0)
        linear = 1 / self.capacity
        inflow = 2 * drawn / (linear + math.sqrt(linear**2 + 4 * self.loss * drawn))
        return np.array([(flow - inflow) / CASING])

    @property
    def pattern(self) -> Any:
        return None


class Rings:
    """A casing in an aquifer of rings, each with its storage."""

    def __init__(self, transmissivity: float, storage: float, radius: float) -> None:
        count = 100
        self.size = count + 1
        reach = 20 * math.sqrt(transmissivity * 3 * DAY / storage) + 10 * radius
        edges = np.geomspace(radius, reach, count + 1)
        middles = np.sqrt(edges[1:] * edges[:-1])
        self.storages = storage * math.pi * np.diff(edges**2)
        self.between = 2 * math.pi * transmissivity / np.log(middles[1:] / middles[:-1])
        self.at_wall = 2 * math.pi * transmissivity / math.log(middles[0] / radius)

    def rates(self, state: NDArray[np.float64], flow: float) -> NDArray[np.float64]:
        inflow = self.at_wall * (state[0] - state[1])
        outward = np.concatenate(([inflow], self.between * (state[1:-1] - state[2:]), [0.0]))
        gain = (outward[:-1] - outward[1:]) / self.storages
        return np.concatenate(([(flow - inflow) / CASING], gain))

    @property
    def pattern(self) -> Any:
        size = self.size + 1
        near = np.eye(size) + np.eye(size, k=1) + np.eye(size, k=-1)
        near[-1, 0] = 1.0  # what is pumped hangs on the level
        return near


CAPACITY = 0.02 * GPM / FOOT

WELLS = [
    ('specific_capacity = "0.02 gpm/ft"', Casing(CAPACITY, 0.0)),
    (
        # s = 40 ft/gpm Q + 6 ft/gpm2 Q2, to the last digit
        '[well.step_test]\nflow = "0.5, 1, 1.5 gpm"\ndrawdown = "21.5, 46, 73.5 ft"',
        Casing(GPM / FOOT / 40, 6 * FOOT / GPM**2),
    ),
    (
        'transmissivity = "0.25 m2/day"\nstorage = "1e-3"',
        Rings(0.25 / DAY, 1e-3, 6.065 * INCH / 2),
    ),
]

QUIET = """
[site]
note = "invented"
[well]
depth = "{depth}"
static_level = "{static}"
{bore}
{test}
"""


def fit_of(test: str, depth: str = "500 m", static: str = "10 m", bore: str = "") -> Any:
    site = parse_site(QUIET.format(depth=depth, static=static, bore=bore, test=test)).site
    from wellsolar.studies.well.drawdown import behaviour_of

    return behaviour_of(site)


def listed(values: Any, unit: str, first: float = 0.0) -> str:
    return ", ".join(f"{first + value:.6g}" for value in values) + f" {unit}"


FETTER_TIMES = (
    180, 300, 480, 720, 1200, 1440, 1800, 2280, 2820, 3000, 3600, 4200, 4800, 5400, 6000,
    7800, 9600, 12000, 15600, 19200, 22800, 30000,
)  # fmt: skip

FETTER_DRAWN = (
    0.0914, 0.2134, 0.3962, 0.6401, 0.9754, 1.0973, 1.2497, 1.4326, 1.5545, 1.6154, 1.7374,
    1.8593, 1.9202, 2.0422, 2.1336, 2.286, 2.5298, 2.5908, 2.8042, 2.9566, 3.1090, 3.3223,
)  # fmt: skip


def fetter() -> str:
    return (
        '[well.drawdown_test]\nflow = "1.3888e-2 m3/s"\ndistance = "250 m"\n'
        f'time = "{listed(FETTER_TIMES, "s")}"\nlevel = "{listed(FETTER_DRAWN, "m", 10)}"'
    )
