"""Designs of published texts, sized from their needs alone: no pump and no tank is given.

Beside each stands what its text gives. Pipes are wide where a text leaves friction out.
"""

from __future__ import annotations

import pytest

from tests.studies.sizing.needs import designed
from wellsolar import kinds
from wellsolar.constants import DAY, FOOT
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import Case
from wellsolar.units import read

WIDE = """\
[piping]
pitless_depth = "0 ft"
tank_elevation = "0 ft"
{loss}fittings = [{{ kind = "other", name = "none", k = "0" }}]
drop_pipe = {{ material = "PVC sch 40", size = "3 in" }}
lateral = {{ material = "PVC sch 40", size = "3 in", length = "0.1 ft" }}
"""


def test_the_head_of_a_house_well_goes_to_the_cut_out() -> None:
    """Pelikan, a trade column on pressure drop, The Driller, article 84461 (2001-02, read): 60 ft
    from the pumping level to the tank, 27.5 ft of friction, a switch of 30/50 psi: 60 + 27.5 +
    50 x 2.31 = 203 ft. The friction of its own pipes is given as a loss at the tank."""
    made = designed(
        'site = { people = 4, altitude = "0 ft" }\n'
        '[well]\ndepth = "150 ft"\nstatic_level = "60 ft"\nspecific_capacity = "1000 gpm/ft"\n'
        '[pressure_switch]\ncut_in = "30 psi"\ncut_out = "50 psi"\n'
        + WIDE.format(loss='treatment_loss = "11.905 psi"\n')
    )
    last = made.pumps[0].duties[-1]
    assert last.total_dynamic_head / FOOT == pytest.approx(203.0, abs=1.5)
    assert sum(p.head for p in last.pieces if p.key == "pressure") / FOOT == pytest.approx(
        115.5, rel=2e-3
    )


def test_a_ranch_well_of_unknown_drawdown_is_designed_on_the_water_at_its_pump() -> None:
    """A dealer's text on a ranch (undated web log, read; the sum computed): well of 480 ft, water
    at rest at 360 ft, the pump 20 ft off the bottom, 40/60 psi, 5 psi of friction, laid out for
    the water drawn down to the pump: 460 + (60 + 5) x 2.31 = 610 ft, where the water at rest gives
    510 ft."""
    made = designed(
        'site = { people = 4, altitude = "0 ft" }\n'
        '[well]\ndepth = "480 ft"\nstatic_level = "360 ft"\n'
        '[pressure_switch]\ncut_in = "40 psi"\ncut_out = "60 psi"\n'
        + WIDE.format(loss='treatment_loss = "5 psi"\n')
    )
    site = parse_site(made.text).site
    assert site.pump[0].intake_depth == pytest.approx(460.0 * FOOT)
    assert made.pumps[0].duties[-1].total_dynamic_head / FOOT == pytest.approx(610.0, abs=2.0)


def test_a_house_by_a_well_takes_the_work_of_its_lift() -> None:
    """A physics text on pumping for a house (nerd-notes.com, undated page 81600, read): 0.35 m3 a
    day from 35 m below to 50 m above the ground is 85 m, and 2.92e5 J of work a day."""
    made = designed(
        'site = { people = 2, altitude = "0 ft", print_units = "SI" }\n'
        'demand = { daily_use = "0.35 m3/day" }\n'
        '[well]\ndepth = "60 m"\nstatic_level = "35 m"\nspecific_capacity = "500000 L/min/m"\n'
        '[storage_tank]\nvolume = "800 L"\nelevation = "50 m"\nwater_height = "0.01 m"\n'
        'gravity_line = { material = "PVC sch 40", size = "2 in", length = "60 m" }\n'
        + WIDE.format(loss="")
    )
    duty = made.pumps[0].duties[0]
    assert duty.total_dynamic_head == pytest.approx(85.0, rel=2e-3)
    work = duty.water_power / duty.flow * 0.35
    assert work == pytest.approx(2.92e5, rel=5e-3)


def test_a_slow_well_with_a_peak_gets_the_tank_of_its_column() -> None:
    """A trade column on slow wells (The Driller, article 86502, read): well and pump of 10 gpm, a
    peak of 13 gpm for seven minutes and a run of one minute: 21 gal for the peak and 10 gal for
    the run, a tank that gives 31 gal between its pressures."""
    made = designed(
        'site = { people = 4, altitude = "0 ft" }\n'
        'demand = { peak_flow = "13 gpm" }\n'
        '[well]\ndepth = "120 ft"\nstatic_level = "20 ft"\ntested_yield = "10 gpm"\n'
        'specific_capacity = "1000 gpm/ft"\n'
        '[pressure_switch]\ncut_in = "30 psi"\ncut_out = "50 psi"\n'
    )
    file = parse_site(made.text)
    assert made.pumps[0].duties[0].flow == pytest.approx(read("10 gpm", kinds.FLOW), rel=3e-3)
    tank = Case(file).pressure_tank
    wanted = read("31 gal", kinds.VOLUME)
    assert tank.drawdown >= wanted * (1.0 - 0.03)
    told = next(each for each in made.parts if each.part == "pressure tank")
    assert read(told.smaller, kinds.VOLUME) * tank.acceptance_factor < wanted


def test_a_tank_for_a_motor_of_one_horsepower_holds_two_minutes() -> None:
    """A trade sheet (undated, read): 15 gpm, 1 hp and so two minutes of running, 40/60 psi: 30 gal
    at an acceptance of 0.27 are a tank of 111 gal, of which 119 gal is the next that is sold."""
    made = designed(
        'site = { people = 4, altitude = "0 ft" }\n'
        'demand = { peak_flow = "15 gpm" }\n'
        '[well]\ndepth = "160 ft"\nstatic_level = "60 ft"\ntested_yield = "30 gpm"\n'
        'specific_capacity = "1000 gpm/ft"\n'
        '[pressure_switch]\ncut_in = "40 psi"\ncut_out = "60 psi"\n'
        '[[pump]]\nname = "new pump"\nrated_power = "1 hp"\n'
    )
    site = parse_site(made.text).site
    assert site.pump[0].name == "new pump"
    assert site.pressure_tank.volume * site.pressure_tank.count == pytest.approx(
        read("119 gal", kinds.VOLUME)
    )


def test_a_domestic_well_of_two_litres_a_minute_takes_a_tank_and_its_day() -> None:
    """Domestic Wells: Introduction and Overview (Groundwater Project, 2021), exercise 1 (read):
    four people and 860 L a day from a well of 2 L/min: 430 minutes of its yield, so that the water
    of the peak comes out of store."""
    made = designed(
        'site = { people = 4, altitude = "0 ft", print_units = "SI" }\n'
        'demand = { daily_use = "860 L/day" }\n'
        '[well]\ndepth = "50 m"\nstatic_level = "5 m"\ncasing_bore = "152 mm"\n'
        'tested_yield = "2 L/min"\ntested_pumping_level = "45 m"\n'
        '[pressure_switch]\ncut_in = "40 psi"\ncut_out = "60 psi"\n'
    )
    site = parse_site(made.text).site
    assert [each.draws for each in site.pump] == ["well", "storage tank"]
    flow = made.pumps[0].duties[0].flow
    assert 860e-3 / flow >= 430.0 * 60.0 * (1.0 - 2e-3)
    assert 860e-3 / flow <= DAY
