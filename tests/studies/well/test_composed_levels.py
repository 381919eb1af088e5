"""The level at a flow by quadratics and by Theis, and lines of a pump's own, piece by piece."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from fluids.friction import friction_factor
from scipy.special import exp1

from tests.studies.pump.deep_pump import BASE, FOOT, GPM, INCH, PSI, PUMP, SWITCH, G
from wellsolar import kinds
from wellsolar.data import pipes
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.well.drawdown import (
    WaterLevel,
    at_static_level,
    behaviour_of,
    drawn_level,
    water_level,
)
from wellsolar.studies.well.total_head import Line, gravity_friction, line_of
from wellsolar.units import Quantity

DAY = 86_400.0


def site_of(well: str, more: str = "", pump: str = PUMP) -> Any:
    """The deep pump's site with a well of its own."""
    start, rest = BASE.split("[well]")
    rest = rest[rest.index("[piping]") :]
    text = (
        f'{start}[well]\ndepth = "200 ft"\nstatic_level = "60 ft"\nwater_temperature = "50 degF"\n'
    )
    text += f"{well}{rest}"
    return parse_site(text + SWITCH.format(volume=62, precharge=28) + more + pump).site


def test_a_level_settles_by_the_drawdown_and_the_well_loss() -> None:
    """B Q + C Q^2 below the rest; the flow that draws down to the floor by its root."""
    rest, capacity, loss, floor = 18.0, 2.5e-4, 4e5, 45.0
    level = WaterLevel(rest, capacity, floor, loss)
    for flow in (0.0, 1e-3, 3e-3):
        assert level.settled(flow) == pytest.approx(rest + flow / capacity + loss * flow**2)
        assert level.at(flow) == pytest.approx(min(level.settled(flow), floor))
    root = max(np.roots([loss, 1.0 / capacity, rest - floor]).real)
    assert level.greatest_flow() == pytest.approx(root, rel=1e-9)
    assert level.settled(root) == pytest.approx(floor)
    assert level.at(2 * root) == floor < level.settled(2 * root)
    plain = WaterLevel(rest, capacity, floor)
    assert plain.greatest_flow() == pytest.approx((floor - rest) * capacity)
    assert plain.settled(2e-3) == pytest.approx(rest + 8.0)
    assert plain.known
    # An intake above the water draws none; one unknown stands at the intake whatever flows.
    above = WaterLevel(rest, capacity, 12.0, loss)
    assert above.greatest_flow() == 0.0
    assert above.at(1e-3) == rest
    unknown = WaterLevel(rest, None, floor)
    assert not unknown.known
    assert (unknown.at(0.0), unknown.settled(1e-3)) == (floor, floor)
    assert math.isinf(unknown.greatest_flow())
    assert WaterLevel(rest, None, 12.0).at(1e-3) == rest


THEIS = 'transmissivity = "4 m2/day"\nstorage = "{storage}"\ncasing_bore = "6 in"\n'


@pytest.mark.parametrize(
    ("well", "how", "capacity"),
    [
        ('specific_capacity = "0.8 gpm/ft"\n', "specific capacity", 0.8 * GPM / FOOT),
        (
            'tested_yield = "9 gpm"\ntested_pumping_level = "105 ft"\n',
            "yield test",
            9 * GPM / (45 * FOOT),
        ),
        # What was told stands before what was pumped once.
        (
            'specific_capacity = "0.5 gpm/ft"\ntested_yield = "9 gpm"\n'
            'tested_pumping_level = "105 ft"\n',
            "specific capacity",
            0.5 * GPM / FOOT,
        ),
        # An aquifer of known storage before either, after a day's pumping.
        (
            THEIS.format(storage="5e-4") + 'specific_capacity = "0.5 gpm/ft"\n',
            "transmissivity and storage",
            None,
        ),
        ('tested_yield = "9 gpm"\n', None, None),
    ],
)
def test_the_best_evidence_of_a_well_tells_its_drawdown(
    well: str, how: str | None, capacity: float | None
) -> None:
    site = site_of(well)
    found = behaviour_of(site)
    level = water_level(site, 40.0)
    assert (level.static_level, level.floor) == (pytest.approx(60 * FOOT), 40.0)
    if how is None:
        assert found.drawdown is None
        assert not level.known
        return
    assert found.drawdown.how == how
    if capacity is None:
        transmissivity, radius = 4.0 / DAY, 3 * INCH
        u = radius**2 * 5e-4 / (4 * transmissivity * DAY)
        capacity = 4 * math.pi * transmissivity / float(exp1(u))
        assert found.drawdown.aquifer.transmissivity == pytest.approx(transmissivity)
        assert found.drawdown.aquifer.radius == pytest.approx(radius)
    assert found.drawdown.specific_capacity == pytest.approx(capacity, rel=1e-6)
    assert level.specific_capacity == pytest.approx(capacity, rel=1e-6)
    assert level.well_loss == found.drawdown.well_loss == 0.0
    flow = 5 * GPM
    assert level.settled(flow) == pytest.approx(60 * FOOT + flow / capacity, rel=1e-6)
    assert not found.assumptions


def test_a_storage_that_nobody_told_is_assumed_and_said_so() -> None:
    site = site_of('transmissivity = "4 m2/day"\ncasing_bore = "6 in"\n')
    found = behaviour_of(site)
    u = (3 * INCH) ** 2 * 1e-4 / (4 * 4.0)
    assert found.drawdown.specific_capacity == pytest.approx(
        4 * math.pi * 4.0 / DAY / float(exp1(u)), rel=1e-6
    )
    assert [each.path for each in found.assumptions] == ["well.storage"]
    # Where it settles besides, that is measured and the storage is not.
    site = site_of(
        'transmissivity = "4 m2/day"\ncasing_bore = "6 in"\nspecific_capacity = "1 gpm/ft"\n'
    )
    found = behaviour_of(site)
    assert found.drawdown.how == "specific capacity"
    assert not found.assumptions


def test_the_level_of_a_tested_well_goes_with_its_water_at_rest() -> None:
    site = site_of('tested_yield = "9 gpm"\ntested_pumping_level = "105 ft"\n')
    moved = at_static_level(site, Quantity(80 * FOOT, kinds.LENGTH))
    assert moved.well.static_level == pytest.approx(80 * FOOT)
    assert moved.well.tested_pumping_level == pytest.approx(125 * FOOT)
    before, after = water_level(site, 55.0), water_level(moved, 55.0)
    assert after.specific_capacity == pytest.approx(before.specific_capacity)
    assert after.settled(1e-4) - before.settled(1e-4) == pytest.approx(20 * FOOT)


def test_a_booster_draws_from_its_tank_at_the_lowest() -> None:
    """The outlet 3 ft above the ground, 5 ft of water above it, of which a tenth stays."""
    store = (
        '[storage_tank]\nvolume = "500 gal"\nelevation = "3 ft"\nwater_height = "5 ft"\n'
        'stops_below = "10 %"\n'
    )
    site = site_of('specific_capacity = "0.8 gpm/ft"\n', store, BOOSTER.format(lines=""))
    level = drawn_level(site, site.pump[1], 0.0)
    assert level.known
    for flow in (0.0, 1e-3):
        assert level.at(flow) == pytest.approx(-3.5 * FOOT)
        assert level.settled(flow) == pytest.approx(-3.5 * FOOT)
    assert math.isinf(level.greatest_flow())
    assert drawn_level(site, site.pump[0], 44.0) == water_level(site, 44.0)


FILLER = PUMP.replace('role = "existing"', 'role = "existing"\ndelivers = "storage tank"')
BOOSTER = (
    FILLER
    + """
[[pump]]
name = "booster"
kind = "suction"
draws = "storage tank"
flow = "0, 5, 10, 15 gpm"
head = "160, 150, 125, 70 ft"
power = "600, 640, 700, 720 W"
{lines}"""
)
OWN = """[pump.line]
material = "PVC sch 40"
size = "3/4 in"
length = "70 ft"
[[pump.line.fittings]]
kind = "90 elbow"
count = 3
k = 0.8
[[pump.line.fittings]]
kind = "other"
name = "meter"
equivalent_length = "11 ft"
count = 2
[[pump.line.fittings]]
kind = "other"
name = "filter"
k = 5
bore = "0.6 in"
"""
SUCTION = """[pump.suction_pipe]
material = "PVC sch 40"
size = "1 1/4 in"
length = "13 ft"
[[pump.suction_pipe.fittings]]
kind = "other"
name = "strainer"
k = 2.5
"""


def darcy(bore: float, length: float, roughness: float, flow: float) -> float:
    """Friction head [m] of water at 10 degC."""
    density = PropsSI("D", "T", 283.15, "P", 101_325, "Water")
    viscosity = PropsSI("V", "T", 283.15, "P", 101_325, "Water") / density
    speed = flow / (math.pi / 4.0 * bore**2)
    factor = friction_factor(Re=speed * bore / viscosity, eD=roughness / bore)
    return float(factor * length / bore * speed**2 / (2.0 * G))


def motion(bore: float, flow: float) -> float:
    return float((flow / (math.pi / 4.0 * bore**2)) ** 2 / (2.0 * G))


def own_fittings(bore: float, roughness: float, flow: float) -> float:
    """Three elbows, two meters that lose as much as 11 ft of the pipe, a filter of its bore."""
    return (
        3 * 0.8 * motion(bore, flow)
        + 2 * darcy(bore, 11 * FOOT, roughness, flow)
        + 5.0 * motion(0.6 * INCH, flow)
    )


def check(line: Line, flow: float, expected: dict[str, float], level: WaterLevel) -> None:
    """The pieces of a line [m], their sum, and what is told of them."""
    weight = PropsSI("D", "T", 283.15, "P", 101_325, "Water") * G
    told = line.heads(level, flow, 40 * PSI)._asdict()
    expected = {"suction": 0.0, "drop_pipe": 0.0, "treatment": 0.0, **expected}
    expected["pressure"] = 40 * PSI / weight
    expected["pumping_level"] = level.at(flow)
    assert told == pytest.approx(expected, rel=2e-3, abs=1e-9)
    assert line.total(level, flow, 40 * PSI) == pytest.approx(sum(expected.values()), rel=2e-3)
    at_rest = level.static_level + expected["elevation"] + 40 * PSI / weight
    static = line.static_head(level.static_level, 40 * PSI)
    assert static == pytest.approx(at_rest + expected["treatment"], rel=2e-3)
    pieces = {each.key: each.head for each in line.pieces(level, flow, 40 * PSI)}
    assert pieces == pytest.approx({key: told[key] for key in pieces})
    assert line.pressure_of(line.head_of(1e5)) == pytest.approx(1e5)


def test_a_pump_with_a_line_of_its_own_leaves_the_lateral() -> None:
    """Down to 150 ft the drop pipe, then the pump's own line with its own fittings."""
    site = site_of('specific_capacity = "0.8 gpm/ft"\n', pump=PUMP + OWN)
    depth, flow = 150 * FOOT, 5 * GPM
    line = line_of(site, site.pump[0], depth)
    drop, own = (
        pipes.pipe_size("polyethylene SIDR", "1 in"),
        pipes.pipe_size("PVC sch 40", "3/4 in"),
    )
    fittings = own_fittings(own.bore, own.roughness, flow)
    in_drop = darcy(drop.bore, depth, drop.roughness, flow)
    in_line = darcy(own.bore, 70 * FOOT, own.roughness, flow)
    expected = {
        "elevation": 10 * FOOT,
        "drop_pipe": in_drop,
        "lateral": in_line,
        "fittings": fittings,
        "velocity": motion(own.bore, flow),
    }
    check(line, flow, expected, water_level(site, depth))
    assert line.friction_darcy(flow) == pytest.approx(in_drop + in_line, rel=2e-3)
    assert line.pipe_loss(flow) == pytest.approx(in_line + fittings, rel=2e-3)
    assert line.velocity(flow) == pytest.approx(flow / (math.pi / 4 * own.bore**2))
    assert line.fitting_coefficient_at(flow) == pytest.approx(
        fittings / motion(own.bore, flow), rel=2e-3
    )
    # Of those with a coefficient of their own, in velocity heads of the line.
    assert line.fitting_coefficient == pytest.approx(2.4 + 5.0 * (own.bore / (0.6 * INCH)) ** 4)
    assert line.fitting_coefficient_at(0.0) == line.fitting_coefficient
    assert [run.length for run in line.runs] == pytest.approx([depth, 70 * FOOT])


def test_a_booster_has_its_suction_pipe_and_its_line() -> None:
    pump = BOOSTER.format(lines=OWN + SUCTION)
    tank = '[storage_tank]\nvolume = "500 gal"\nelevation = "3 ft"\nwater_height = "5 ft"\n'
    site = site_of('specific_capacity = "0.8 gpm/ft"\n', tank, pump)
    booster, flow = site.pump[1], 6 * GPM
    line = line_of(site, booster, 0.0)
    own = pipes.pipe_size("PVC sch 40", "3/4 in")
    sucks = pipes.pipe_size("PVC sch 40", "1 1/4 in")
    drawn = darcy(sucks.bore, 13 * FOOT, sucks.roughness, flow) + 2.5 * motion(sucks.bore, flow)
    in_line = darcy(own.bore, 70 * FOOT, own.roughness, flow)
    expected = {
        "elevation": 10 * FOOT,
        "suction": drawn,
        "lateral": in_line,
        "fittings": own_fittings(own.bore, own.roughness, flow),
        "velocity": motion(own.bore, flow),
    }
    check(line, flow, expected, drawn_level(site, booster, 0.0))
    assert line.stands == pytest.approx(3 * FOOT)
    assert [run.length for run in line.runs] == pytest.approx([13 * FOOT, 70 * FOOT])
    both = in_line + darcy(sucks.bore, 13 * FOOT, sucks.roughness, flow)
    assert line.friction_darcy(flow) == pytest.approx(both, rel=2e-3)
    # Into the tank nothing is treated; the end of the pipe stands where the tank is full.
    filler = line_of(site, site.pump[0], 150 * FOOT)
    assert filler.elevation == pytest.approx(8 * FOOT)
    assert filler.stands is filler.suction is None


def test_treatment_stands_before_the_house_and_not_before_the_tank() -> None:
    lost = BASE.replace(
        'tank_elevation = "10 ft"', 'tank_elevation = "10 ft"\ntreatment_loss = "7 psi"'
    )
    weight = PropsSI("D", "T", 283.15, "P", 101_325, "Water") * G
    for pump, tank, expected in (
        (PUMP, "", 7 * PSI),
        (FILLER, '[storage_tank]\nvolume = "500 gal"\n', 0.0),
    ):
        text = lost + SWITCH.format(volume=62, precharge=28) + tank + pump
        site = parse_site(text).site
        line = line_of(site, site.pump[0], 150 * FOOT)
        heads = line.heads(water_level(site, 150 * FOOT), 5 * GPM, 0.0)
        assert line.treatment == pytest.approx(expected)
        assert heads.treatment == pytest.approx(expected / weight, rel=1e-3)
        static = line.static_head(0.0, 10 * PSI)
        assert static == pytest.approx(line.elevation + (10 * PSI + expected) / weight, rel=1e-3)


def test_water_that_runs_down_loses_its_head_in_its_pipe() -> None:
    site = site_of('specific_capacity = "0.8 gpm/ft"\n', pump=PUMP + OWN)
    own, flow = site.pump[0].line, 8 * GPM
    bore, rough = (
        getattr(pipes.pipe_size("PVC sch 40", "3/4 in"), key) for key in ("bore", "roughness")
    )
    lost = darcy(bore, 70 * FOOT, rough, flow) + own_fittings(bore, rough, flow)
    weight = PropsSI("D", "T", 283.15, "P", 101_325, "Water") * G
    pressure, told = gravity_friction(site, own, flow, 30.0)
    assert told == pytest.approx(lost, rel=2e-3)
    assert pressure == pytest.approx((30.0 - lost) * weight, rel=2e-3)
