"""What the page for the site reckons with, taken again from the file, tables and libraries; and
where a text of a reading begins."""

from __future__ import annotations

import math
from functools import cache
from types import SimpleNamespace
from typing import Any
from unittest import mock

import numpy as np
import pytest

from tests.studies.composing import case_of, parameters
from tests.studies.reading.test_composed_readings import (
    check_cause,
    ohms_of,
    only,
    read,
)
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
from wellsolar.results.form import PipeFriction, Points, PumpWhatIf, TimedBands, WhatIf
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.form import bands
from wellsolar.studies.form.told import told_along
from wellsolar.studies.form.what_if import study_what_if
from wellsolar.studies.reading.sun import NEAR
from wellsolar.studies.reading.visit import Job
from wellsolar.units import Quantity

GALLON = 3.785411784e-3

NAMES = ("ridge_house", "south_slope", "creek_cabin", "village_borehole", "series", "dim",
         "shaded")  # fmt: skip


def check_curve(told: Points, flows: tuple[float, ...], values: tuple[float, ...]) -> None:
    """The points of a datasheet, as its file has them."""
    assert told.flows == tuple(map(float, flows))
    assert told.values == tuple(map(float, values))


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


def check_tank(site: Site, told: WhatIf) -> None:
    """The heated tank of the file, and what a household draws of it."""
    tank, heater = told.tank, site.water_heater
    assert tank.volume == float(heater.volume)
    assert tank.cold == float(site.well.water_temperature)
    assert (tank.room, tank.tap) == (
        float(heater.room_temperature), float(heater.draw.temperature))  # fmt: skip
    assert tank.thermostat == float(heater.element[0].thermostat)
    assert tank.mixed == (heater.mixing_valve is not None)
    # Water at 50 degC, and 1.5 W/(m K) along a tank 2.5 times as high as it is wide.
    assert tank.heat_capacity == pytest.approx(988.0 * 4181.0)
    height = 2.5 * (4.0 * tank.volume / (2.5 * math.pi)) ** (1.0 / 3.0)
    spacing = height / tank.nodes
    assert tank.conduction == pytest.approx(1.5 / tank.heat_capacity / spacing**2)
    listed = heater.draw.volumes
    assert tank.draw == pytest.approx(float(heater.draw.volume) if listed is None else sum(listed))
    assert sum(tank.shares) == pytest.approx(1.0)
    assert len(tank.shares) * tank.step == 86400.0
    if listed is not None:
        drawn = np.zeros(86400)  # by the second, at 1.7 gpm
        for start, volume in zip(heater.draw.times, listed, strict=True):
            lasts = float(volume) / (1.7 * GALLON / 60.0)
            drawn[round(start) : round(start + lasts)] = volume / lasts
        steps = drawn.reshape(len(tank.shares), -1).sum(axis=1) / tank.draw
        assert tank.shares == pytest.approx(steps, abs=0.003)
    # 140 degF burns in 5 s, 150 degF in 1.5 s, by a hospital's list.
    rows = {(round(warmth, 6), seconds) for table in tank.burns for warmth, seconds in table}
    assert {(60.0, 5.0), (65.555556, 1.5)} <= rows
    assert {*told.days} == {"clear", "typical", "poor"}
    for days in told.days.values():
        assert len(days) == 12
        for day in days:
            assert len(day.lights) == len(day.cells) == len(day.beside)
            assert len(day.lights) in (24, 72)
            assert 100.0 < max(day.lights) < 1400.0
            assert all(light > 0.0 or not cell
                       for light, cell in zip(day.lights, day.cells, strict=True))  # fmt: skip


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
        losses = float(site.losses.wiring)
        assert heater.wiring == pytest.approx(0.0 if named else losses / (1.0 - losses))
        assert (heater.ratios, heater.limits, heater.electronics) == ((), None, ())
        check_tank(site, told)
    lifts = [("hand pump", case.hand_pump)] if case.hand_pump is not None else []
    lifts += [(each.name, each) for each in case.lifts]
    places = [(f"{lift}, {place.label}", found.worker, place) for lift, found in lifts
              for place in found.places if place.flows and max(place.flows) > 0.0]  # fmt: skip
    assert len(told.hands) == len(places)
    for hand, (label, worker, place) in zip(told.hands, places, strict=True):
        assert (hand.label, hand.powers, hand.flows) == (label, place.powers, place.flows)
        # 1.15 at 20, 1 at 35 and 0.8 at 60 years, with straight lines between: quoted with
        # Krendel's rule on a public page (second hand).
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


@cache
def job_of(name: str) -> Job:
    return Job(case_of(name))


MONTHS = (7,)
"""Those of which bands are made here."""

TIMES = (("2025-07-14", 9.4), ("2025-07-03", 12.1), ("2025-07-22", 16.6), ("2025-07-30", 7.0),
         ("2025-07-09", 23.5))  # fmt: skip
"""Days, and hours of the clock."""


def places_at(told: TimedBands, hour: float) -> list[int]:
    """The places of its tables that belong to a time of day [h]: the hours near it, or the class
    of the minutes that have the same."""

    def near(minute: int) -> tuple[int, ...]:
        apart = [abs(each - minute / 60.0) for each in told.hours]
        return tuple(place for place, off in enumerate(apart) if min(off, 24.0 - off) < NEAR)

    if told.by_hour:
        return list(near(round(hour * 60)))
    classes = list(dict.fromkeys(near(minute) for minute in range(24 * 60)))
    return [classes.index(near(round(hour * 60)))]


@pytest.mark.parametrize("name", ["south_slope"])
def test_a_band_of_the_form_is_that_of_the_reading_at_its_time(name: str) -> None:
    with mock.patch.object(bands, "MONTHS", MONTHS):
        timed = bands.timed_bands(job_of(name))
    assert {*timed} == {"element_amps", "element_volts", "tank_temperature",
                        "tap_temperature"}  # fmt: skip
    ohms = ohms_of(name)[0]
    for key, told in timed.items():
        like = timed[told.like] if told.like else told
        times = told.times if told.like else 1.0
        assert times == (pytest.approx(ohms) if key == "element_volts" else 1.0)
        assert told.by_hour == key.endswith("temperature")
        for day, hour in TIMES:
            written = {"date": day, "time": f"{int(hour):02d}:{round(hour % 1 * 60):02d}"}
            places = places_at(like, hour)
            for sky in like.bands:
                value = {"element_amps": "5 A", "element_volts": "150 V"}.get(key, "60 degC")
                taken = {key: value, **written, **({"sky": sky} if sky else {})}
                reading = only(read(name, **taken), key)
                of_month = like.bands[sky][MONTHS.index(int(day[5:7]))]
                low = times * min(of_month[place][0] for place in places)
                high = times * max(of_month[place][1] for place in places)
                expected = None if reading.expected is None else reading.expected.value
                if expected is None or (sky and high == 0.0):
                    assert (low, high) == (0.0, 0.0) or expected is None
                    assert expected is None or expected.high <= 1.0
                    continue
                assert (low, high) == pytest.approx((expected.low, expected.high), rel=1e-6)
                if sky:
                    light = like.lights[sky][MONTHS.index(int(day[5:7]))][places[0]]
                    assert 0.0 <= light[0] < light[1] <= 1400.0


def warm(light: float, air: float) -> float:
    """Cells by Faiman's two numbers, in a wind of 1 m/s [degC]."""
    return air + light / (25.0 + 6.84)


@pytest.mark.parametrize("name", ["south_slope"])
def test_what_a_meter_of_the_sun_makes_of_a_reading_by_pvlib(name: str) -> None:
    """Airs of its time, to half a kelvin, and ways to be wrong at suns of the form's own."""
    told, job = bands.metered_sun(job_of(name)), job_of(name)
    hours, airs = job.array.plane.hours, job.array.plane.air_temperature
    assert (len(told.airs), told.air_step) == (12, 0.5)
    july = airs[(hours.month == 7) & (np.abs(hours.hour_of_day - 12.0) < NEAR)]
    place = places_at(TimedBands(told.hours, {}, {}), 12.0)[0]
    assert told.airs[6][place] == pytest.approx(np.percentile(july, [10, 50, 90]), abs=0.2501)
    assert all(2.0 * air == round(2.0 * air) for month in told.airs for at in month for air in at)
    assert {*told.in_the_dark} == {"element_amps", "element_volts"}
    held = 0
    causes = bands.sun_causes(job_of(name))["element_amps"]
    for known, way in (*causes.below, *causes.above):
        assert known in ("", "sky", "metered")
        assert len(way.at) == len(causes.lights)
        for light, (low, middle, high) in zip(causes.lights, way.at, strict=True):
            assert low <= middle <= high
            expected = Quantity(middle, kinds.CURRENT, low, high)
            cause: Any = SimpleNamespace(text=way.text, expected=expected)
            held += check_cause(name, cause, light, warm(light, 20.0))
    assert held >= 3 * len(causes.lights)
    assert all(way.weight > 0.0 for _, way in (*causes.below, *causes.above))
    assert (len({*causes.open}), len({*causes.dark})) == (len(causes.open), len(causes.dark))
    assert 0.0 < causes.share < 0.1
