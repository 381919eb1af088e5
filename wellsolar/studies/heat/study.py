"""Whether a PV-heated tank reaches its temperature, from the module's sheet to the tap."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import module_fit
from wellsolar.physics.array.module import FiveParameters
from wellsolar.physics.sun.year import HourlyYear
from wellsolar.physics.tank import expansion, heating
from wellsolar.physics.types import FloatArray
from wellsolar.results import (
    HeatDay,
    HeatedTankResult,
    StudyPart,
)
from wellsolar.site.schema import ArrayTable, ElementTable, Site, WaterHeaterTable
from wellsolar.studies.array.heater_circuit import (
    BRIGHTEST,
    HeaterCircuit,
    array_wire,
    circuit_of,
    plate_of,
)
from wellsolar.studies.electric import cable as wiring
from wellsolar.studies.heat import verdicts as heat_verdicts
from wellsolar.studies.heat.at_work import draw_volume_of, setpoint_of, work_of
from wellsolar.studies.heat.days import TankAtWork, heat_day
from wellsolar.studies.heat.household import NO_HOUSEHOLD, Helpers, Household, household_beside
from wellsolar.studies.heat.nobody_home import dark_days, nobody_home
from wellsolar.studies.heat.remedies import one_day_design, one_day_volume
from wellsolar.studies.heat.tank import grid_element_of, heat_loss_of, second_tank_of
from wellsolar.studies.heat.tap_water import tap_water
from wellsolar.studies.heat.year import HeatedYear, heated_year
from wellsolar.studies.house.draws import draws_of_day
from wellsolar.studies.safety import overheating as heater_verdicts
from wellsolar.studies.safety.numbers import HeaterOnArray, heat_left_out, heat_safety
from wellsolar.studies.sun.days import MONTHS, Sky, orientation, sky_of
from wellsolar.studies.sun.modules import REFERENCE_CELL, cold_voltages, rating_of
from wellsolar.studies.sun.year import plane_of_group
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, Verdict


@dataclass(frozen=True)
class _Heated:
    """The element that a group of modules feeds, and what another one on the inverter adds by the
    hour of the year [W]."""

    element: ElementTable
    group: ArrayTable
    path: str
    group_path: str
    diverted: FloatArray | None = None


def study_heated_tank(
    site: Site, year: HourlyYear | None = None, diverted: FloatArray | None = None
) -> tuple[HeatedTankResult | None, StudyPart]:
    """The PV-heated tank of a site.

    Parameters:
        site: a site with a water heater
        year: the site's year of hours; None where none can be made
        diverted: power of an element on the inverter by the hour [W]
    Returns:
        the result, None where the file lacks what even the circuit needs, and what it brings
    """
    heater = site.water_heater
    assert heater is not None
    heated = _heated(site, heater, diverted)
    if heated is None or site.module is None:
        missing = ["array"] if heated is None else []
        missing += ["module"] if site.module is None else []
        return None, StudyPart((heat_verdicts.REACHES.unknown("water heater", *missing),))
    try:
        parameters = module_fit.fit_five_parameters(rating_of(site.module))
    except OutOfRange as error:
        why = f"the module's sheet does not hold together ({error})"
        unknown = heat_verdicts.REACHES.unknown(
            "water heater", "module.vmp", "module.imp", why=why
        )
        return None, StudyPart((unknown,))
    # Clear, typical and poor days follow the file's own tables, or its weather file's months.
    sky, assumptions = sky_of(site, year if site.sun.file is not None else None)
    made = list(assumptions)
    result = _result(site, heater, heated, parameters, sky, year, made)
    made += heat_left_out(result.safety)
    verdicts = _verdicts(site, heater, heated, result)
    cautions = ("direct current", "scald", "legionella", "overheating", "pressure")
    return result, StudyPart(tuple(verdicts), tuple(made), cautions)


def _heated(site: Site, heater: WaterHeaterTable, diverted: FloatArray | None) -> _Heated | None:
    for place, element in enumerate(heater.element):
        for index, group in enumerate(site.array):
            if group.name == element.fed_by:
                path = f"water_heater.element[{place + 1}]"
                return _Heated(element, group, path, f"array[{index + 1}]", diverted)
    return None


def _verdicts(
    site: Site, heater: WaterHeaterTable, heated: _Heated, result: HeatedTankResult
) -> list[Verdict]:
    found = heat_verdicts.heat_verdicts(site, result)
    found += heater_verdicts.safety_verdicts(
        site, heater, heated.element, heated.path, heated.group, heated.group_path, result
    )
    if result.wire is not None:
        limit = float(site.limits.voltage_drop)
        found += wiring.wire_verdicts(result.wire, result.array, limit, wiring.AMPACITY_PV)
    return found


def _result(
    site: Site,
    heater: WaterHeaterTable,
    heated: _Heated,
    parameters: FiveParameters,
    sky: Sky | None,
    year: HourlyYear | None,
    made: list[Assumption],
) -> HeatedTankResult:
    group, element = heated.group, heated.element
    setpoint = setpoint_of(heater, heated.element, heated.path, made)
    water = (setpoint + float(site.well.water_temperature)) / 2
    circuit = circuit_of(parameters, group, element, water)
    plate_power, plate_voltage = plate_of(element)
    if group.cable is None:
        value = Quantity(0.0, kinds.RESISTANCE)
        why = "no cable named: its loss is left out"
        made.append(Assumption(f"{heated.group_path}.cable", value, why, "common practice"))
    tilt, azimuth, more = orientation(site, group, heated.group_path)
    made += more
    draw = draw_volume_of(site, heater, made)
    loss, assumed = heat_loss_of(heater)
    if assumed is not None:
        made.append(assumed)
    work = work_of(site, heater, element, setpoint)
    draws = None if draw is None else draws_of_day(heater.draw, draw)
    driven = None
    if year is not None and draws is not None:
        plane = plane_of_group(site, year, group, heated.group_path)
        driven = heated_year(circuit, plane, draws, work.tank.volume, heated.diverted)
    with _household(heater, work, driven) as of_household:
        days = _days(sky, circuit, work, tilt, azimuth)
        household = of_household()
    cold = site.sun.record_low
    brightest = circuit.point(BRIGHTEST, REFERENCE_CELL if cold is None else float(cold))
    by_coefficient, by_table = cold_voltages(site, group)
    assert site.module is not None
    return HeatedTankResult(
        array=group.name,
        modules=group.series * group.parallel,
        series=group.series,
        parallel=group.parallel,
        tilt=tilt,
        azimuth=azimuth,
        fit=parameters.method,
        module_power=float(site.module.vmp * site.module.imp),
        photocurrent=parameters.photocurrent,
        saturation_current=parameters.saturation_current,
        series_resistance=parameters.series_resistance,
        shunt_resistance=parameters.shunt_resistance,
        modified_ideality_voltage=parameters.modified_ideality_voltage,
        element_resistance=circuit.resistance,
        cable_resistance=circuit.cable_resistance,
        matched_resistance=circuit.matched_resistance(),
        rated_power=plate_power,
        rated_voltage=plate_voltage,
        reference_points=circuit.reference_points(),
        working_points=circuit.working_points(),
        cold_temperature=None if cold is None else float(cold),
        cold_open_circuit_voltage=by_coefficient,
        cold_open_circuit_voltage_table=by_table,
        greatest_voltage=brightest.voltage,
        greatest_power=brightest.power,
        tank_volume=float(heater.volume),
        inlet_temperature=work.inlet,
        setpoint=setpoint,
        room_temperature=work.room,
        draw_volume=draw,
        heating_energy=float(
            heating.heating_energy(float(heater.volume), work.inlet, max(setpoint, work.inlet))
        ),
        heat_loss=loss,
        standby_loss=loss * (setpoint - work.room),
        stall_temperature=_stall_temperature(work, days),
        tap=tap_water(heater, work, setpoint),
        expansion=float(
            expansion.expansion_volume(float(heater.volume), work.inlet, max(setpoint, work.inlet))
        ),
        wire=array_wire(site, group, circuit),
        days=days,
        months=household.months,
        annual_share=household.annual_share,
        half_share_draw=household.half_share_draw,
        one_day_volume=one_day_volume(sky, circuit, work, tilt, azimuth, days),
        one_day=one_day_design(sky, circuit, work, group, element, tilt, azimuth, days),
        safety=heat_safety(
            HeaterOnArray(site, heater, element, group, circuit, setpoint, work.inlet)
        ),
        households=household.households,
        evening_draw=household.evening_draw,
        evening_thermostat=household.evening_thermostat,
        nobody_home=nobody_home(heater, work, circuit, sky, (tilt, azimuth), days),
        dark_days=dark_days(work, draws),
    )


@contextmanager
def _household(
    heater: WaterHeaterTable, work: TankAtWork, driven: HeatedYear | None
) -> Iterator[Callable[[], Household]]:
    """What gives the household's year, part of which is made beside the block."""
    if driven is None:
        yield lambda: NO_HOUSEHOLD
        return
    helpers = Helpers(grid_element_of(heater), second_tank_of(heater))
    with household_beside(work, driven, helpers) as household:
        yield household


def _days(
    sky: Sky | None, circuit: HeaterCircuit, work: TankAtWork, tilt: float, azimuth: float
) -> tuple[HeatDay, ...]:
    if sky is None:
        return ()
    return tuple(
        heat_day(work, circuit, day, month, kind)
        for month in MONTHS
        for kind, day in sky.kinds_of_day(month, tilt, azimuth).items()
    )


BOILING = 100.0
"""Where an open tank boils at sea level [degC]; a warmer stall is no temperature of water."""


def _stall_temperature(work: TankAtWork, days: tuple[HeatDay, ...]) -> float | None:
    """Where the wall loss equals the mean power of the sunniest clear day, or boiling [degC]."""
    if not days:
        return None
    power = max(day.element_energy for day in days) / DAY
    return min(BOILING, work.room + power / work.tank.heat_loss_coefficient)
