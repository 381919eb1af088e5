"""What the page for the site reckons with, taken again from the file, tables and libraries; and
where a text of a reading begins."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from tests.studies.composing import case_of, parameters
from tests.studies.test_composed import (
    CLOSE,
    PSI,
    USUAL_FITTINGS,
    air,
    density,
    hanging,
    intake_of,
    viscosity,
)
from wellsolar import kinds
from wellsolar.data import fitting_table, pipes, wiring
from wellsolar.results.form import Cubics, PipeFriction, PumpWhatIf
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.form.told import told_along
from wellsolar.studies.form.what_if import study_what_if
from wellsolar.units import Quantity

NAMES = ("ridge_house", "south_slope", "creek_cabin", "village_borehole", "series", "random 0")


def check_curve(told: Cubics, flows: tuple[float, ...], values: tuple[float, ...]) -> None:
    """Cubics against the monotone curve through a datasheet's points, by scipy."""
    curve = PchipInterpolator([*map(float, flows)], [*map(float, values)])
    assert told.knots == pytest.approx([*map(float, flows)])
    for place, piece in enumerate(told.pieces):
        for part in (0.0, 0.3, 0.9):
            along = part * (told.knots[place + 1] - told.knots[place])
            value = np.polyval(piece, along)
            assert value == pytest.approx(float(curve(told.knots[place] + along)), rel=1e-9)


def check_pump(site: Site, table: PumpTable, told: PumpWhatIf) -> None:
    check_curve(told.head, table.flow, table.head)
    assert (told.power is None) == (table.power is None)
    if told.power is not None:
        check_curve(told.power, table.flow, table.power)
    assert told.efficiency == (None if table.efficiency is None else float(table.efficiency))
    intake, drop = intake_of(site, table), hanging(site, table, intake_of(site, table))
    assert told.floor == pytest.approx(intake)
    assert told.elevation == pytest.approx(float(site.piping.tank_elevation))
    assert told.treatment == pytest.approx(float(site.piping.treatment_loss))
    assert told.density == pytest.approx(density(site), rel=CLOSE)
    assert told.viscosity == pytest.approx(viscosity(site), rel=5 * CLOSE)
    lateral = site.piping.lateral
    runs = ((told.drop, drop[0], drop[1]), (told.lateral, lateral, float(lateral.length or 0.0)))
    for friction, run, length in runs:
        size = pipes.pipe_size(run.material, run.size)
        expected = PipeFriction(size.bore, length, size.roughness / size.bore)
        assert vars(friction) == pytest.approx(vars(expected), rel=1e-6)
    fittings = [(each.kind, each.count) for each in site.piping.fittings] or USUAL_FITTINGS
    loss = sum(count * fitting_table.fitting(kind).loss_coefficient for kind, count in fittings)
    late = sum(each.count * each.k for each in told.late if each.like is None)
    assert told.loss_coefficient + late == pytest.approx(loss)
    well = site.well
    if well.specific_capacity is not None and well.tested_pumping_level is None:
        assert told.capacity == pytest.approx(float(well.specific_capacity))
    cable = table.cable
    assert told.gauge == ("" if cable is None else cable.gauge)
    told_run = None if cable is None or cable.length is None else float(cable.length)
    assert told.run == told_run
    volts, phases = float(table.voltage), table.phases if table.supply == "AC" else 1
    assert (told.voltage, told.phases) == (volts, phases)
    factor = 1.0 if table.supply == "DC" else float(table.power_factor)
    assert told.per_watt * volts * factor * math.sqrt(phases) == pytest.approx(1.0)


@pytest.mark.parametrize("name", NAMES)
def test_what_the_page_reckons_with_is_the_files_and_the_tables(name: str) -> None:
    case = case_of(name)
    site, told = case.site, study_what_if(case)
    switch, tank = site.pressure_switch, site.pressure_tank
    assert told.static_level == float(site.well.static_level)
    assert told.people == (site.site.people or 1)
    assert told.atmosphere == pytest.approx(air(site), rel=CLOSE)
    ends = (None, None) if switch is None else (float(switch.cut_in), float(switch.cut_out))
    assert (told.cut_in, told.cut_out) == ends
    charged = None if tank is None else tank.precharge
    if charged is None and tank is not None and switch is not None:
        charged = float(switch.cut_in) - 2 * PSI
    assert told.precharge == (None if charged is None else pytest.approx(float(charged)))
    volume = None if tank is None else float(tank.volume) * tank.count
    assert told.tank_volume == (None if volume is None else pytest.approx(volume))
    nodes, weights = np.polynomial.legendre.leggauss(len(told.nodes))
    assert told.nodes == pytest.approx(nodes)
    assert told.weights == pytest.approx(weights)
    for each in (*wiring.wires(), *wiring.metric_wires()):
        # Stranded copper at 75 degC: 1.724e-8 ohm m at 20 degC, 0.393 % more a kelvin, and 2 %
        # for its lay; 50 mm2 are 47 by the standard (IEC 60028, IEC 60228, from memory).
        of_copper = 1.724e-8 * (1.0 + 0.00393 * 55.0) * 1.02 / each.area
        assert told.gauges[each.gauge] == pytest.approx(of_copper, rel=0.11)
    tables = {table.name: table for table in site.pump}
    for each in told.pumps:
        check_pump(site, tables[each.name], each)
    heaters = [group for group in site.array if group.feeds == "heater"]
    if told.heater is not None:
        (group,), heater, element = heaters, told.heater, site.water_heater.element[0]
        in_series = element.count if element.wired == "series" else 1
        assert heater.power == pytest.approx(float(element.rated_power) * element.count)
        assert heater.voltage == pytest.approx(float(element.rated_voltage) * in_series)
        assert (heater.series, heater.parallel) == (group.series, group.parallel)
        of = parameters(site)
        assert heater.parameters == (
            of.photocurrent, of.saturation_current, of.series_resistance, of.shunt_resistance,
            of.modified_ideality_voltage, of.current_coefficient,
        )  # fmt: skip
        # Faiman's cells in a light wind, by IEC 61853-2's coefficients of pvlib.
        assert heater.warming == pytest.approx(1.0 / (25.0 + 6.84))
        assert heater.air == 20.0
        cable = group.cable
        named = cable is not None and cable.length is not None
        assert heater.run == (float(cable.length) if named else None)
        assert heater.gauge == ("" if cable is None else cable.gauge)
        assert heater.extra == 0.0 or not named
    lifts = [("hand pump", case.hand_pump)] if case.hand_pump is not None else []
    lifts += [(each.name, each) for each in case.lifts]
    places = [(f"{lift}, {place.label}", found.worker, place) for lift, found in lifts
              for place in found.places if place.flows and max(place.flows) > 0.0]  # fmt: skip
    assert len(told.hands) == len(places)
    for hand, (label, worker, place) in zip(told.hands, places, strict=True):
        assert (hand.label, hand.powers, hand.flows) == (label, place.powers, place.flows)
        # 1.15 at 20, 1 at 35 and 0.8 at 60 years, with straight lines between.
        slope = 0.01 if worker.age < 35.0 else 0.008
        assert hand.age_factor == pytest.approx(1.0 - slope * (worker.age - 35.0))
        assert (hand.arm_factor, hand.own_power) == (worker.arm_factor, worker.power)


@pytest.mark.parametrize("end", ["low", "high"])
def test_a_text_begins_where_its_end_of_a_reading_passes_a_bound(end: str) -> None:
    rng = np.random.default_rng(7)
    for size in (1e-4, 1.0, 5e4):
        least, most = -size, size * rng.uniform(5.0, 20.0)
        bounds = np.sort(rng.uniform(least, most, 3)) + np.array([0.0, 0.1, 0.2]) * (most - least)
        bounds = bounds[bounds < most]

        def texts(read: Quantity, bounds: np.ndarray = bounds) -> tuple[str, ...]:
            return (f"{int((bounds < (read.low if end == 'low' else read.high)).sum())} passed",)

        told = told_along(texts, kinds.HEAD, least, most)
        assert [each.texts[0] for each in told] == [f"{n} passed" for n in range(len(bounds) + 1)]
        assert told[0].beyond == pytest.approx(least - 1.0)
        assert [each.beyond for each in told[1:]] == pytest.approx(bounds, abs=1e-9 * size)
        assert {each.end for each in told[1:]} == {end}
