"""A tank heated by modules wired to it, or by a battery's surplus: from the sheet to the tap."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

from wellsolar.errors import OutOfRange
from wellsolar.physics.array.module import FiveParameters
from wellsolar.physics.sun.year import HourlyYear
from wellsolar.physics.tank import expansion, hot_water
from wellsolar.physics.types import FloatArray
from wellsolar.results.heat import DivertedTankResult, HeatDay, HeatedTankResult, Household
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import Site, WaterHeaterTable
from wellsolar.studies.array.cold_voltage import cold_assumed, cold_voltages
from wellsolar.studies.array.heater_circuit import (
    BRIGHTEST,
    OnArray,
    array_wire,
    cable_assumptions,
    coldest_cell,
    element_on_array,
    elements_on_arrays,
    plate_of,
)
from wellsolar.studies.electric import cable as wiring
from wellsolar.studies.heat import verdicts as heat_verdicts
from wellsolar.studies.heat.days import (
    TankInSun,
    dark_days,
    heat_days,
    nobody_home,
    stall_temperature,
    tank_in_sun,
)
from wellsolar.studies.heat.household import (
    NO_HOUSEHOLD,
    household_beside,
    study_household,
)
from wellsolar.studies.heat.one_day import one_day_design, one_day_volume
from wellsolar.studies.heat.tank import (
    TankAtWork,
    auxiliary_heat_of,
    circuit_in_tank,
    heat_loss_of,
    setpoint_of,
    tap_water,
    work_of,
)
from wellsolar.studies.heat.verdicts import diverted_share, evening_verdict
from wellsolar.studies.heat.year import HeatedYear, heat_beside, heated_year, other_powers_of
from wellsolar.studies.house.demand import HeatAims, draw_volume_of, draws_of_day, heat_aims
from wellsolar.studies.safety.numbers import HeaterOnArray, heat_safety, tank_safety
from wellsolar.studies.safety.verdicts import hot_water_verdicts, safety_verdicts
from wellsolar.studies.sun.days import air_temperatures, orientation
from wellsolar.studies.sun.module_sheet import parameters_of
from wellsolar.studies.sun.year import plane_of_group
from wellsolar.studies.supply.diversion import DivertedHeat, element_on_inverter
from wellsolar.studies.supply.system import feeders
from wellsolar.verdicts import Assumption, Verdict


@dataclass(frozen=True, eq=False)
class DaysAndYear:
    """What the sun makes of a tank, whatever guards it.

    in_sun: None where the file does not tell the latitude; days: none then
    household: `NO_HOUSEHOLD` where the file does not tell the sun or the draw
    advised: as of `study_heated_tank`
    """

    in_sun: TankInSun | None
    days: tuple[HeatDay, ...]
    household: Household
    advised: bool


def days_and_year(
    site: Site,
    year: HourlyYear | None = None,
    diverted: FloatArray | None = None,
    *,
    advise: bool = True,
) -> DaysAndYear | None:
    """The days and the year of a PV-heated tank, nearly all the time that its study takes.

    Parameters:
        year, diverted, advise: as of `study_heated_tank`
    Returns:
        None where the file lacks what even the circuit needs
    """
    on = element_on_array(site)
    if on is None or site.module is None:
        return None
    try:
        parameters = parameters_of(site.module)
    except OutOfRange:
        return None
    return _through(site, on, parameters, year, diverted, advise)


def study_heated_tank(
    site: Site,
    year: HourlyYear | None = None,
    diverted: FloatArray | None = None,
    *,
    advise: bool = True,
) -> tuple[HeatedTankResult | None, StudyPart]:
    """The PV-heated tank of a site.

    Parameters:
        diverted: power of an element on the inverter by the hour [W]
        advise: whether it is looked for what would make a tank do that does not, and days are
            run by which nothing is judged; both take longer than to see that it does not
    Returns:
        the result, None where the file lacks what even the circuit needs, and what it brings
    """
    return study_tank_of(site, days_and_year(site, year, diverted, advise=advise))


def study_tank_of(
    site: Site, through: DaysAndYear | None
) -> tuple[HeatedTankResult | None, StudyPart]:
    """The PV-heated tank of a site whose days and year are known.

    Parameters:
        through: of `days_and_year` of this site, or of one alike in what that reads
    Returns:
        as of `study_heated_tank`
    """
    heater, on = site.water_heater, element_on_array(site)
    assert heater is not None
    if on is None or site.module is None:
        missing = ["array"] if on is None else []
        missing += ["module"] if site.module is None else []
        return None, StudyPart((heat_verdicts.REACHES.unknown("water heater", *missing),))
    try:
        parameters = parameters_of(site.module)
    except OutOfRange as error:
        why = f"the module's sheet does not hold together ({error})"
        unknown = heat_verdicts.REACHES.unknown(
            "water heater", "module.vmp", "module.imp", why=why
        )
        return None, StudyPart((unknown,))
    assert through is not None
    result = _result(site, on, parameters, through)
    assumptions = (*air_temperatures(site)[1], *_assumptions(site, heater, on))
    assumptions += (*cold_assumed(site), *_inlet_assumed(site))
    verdicts = heat_verdicts.heat_verdicts(site, result) + _guards(site, on, result)
    return result, StudyPart(tuple(verdicts), assumptions)


def _guards(site: Site, on: OnArray, result: HeatedTankResult) -> list[Verdict]:
    """Whether anybody or anything can be hurt by the tank, its array and their cable."""
    assert site.water_heater is not None
    verdicts = safety_verdicts(site, site.water_heater, on, result)
    if result.wire is not None:
        limit = float(site.limits.voltage_drop)
        verdicts += wiring.wire_verdicts(
            result.wire, result.array, f"{on.group_path}.cable", limit, wiring.AMPACITY_PV
        )
    return verdicts


def guards_again(site: Site, before: HeatedTankResult | DivertedTankResult) -> StudyPart:
    """The guards of a tank whose days and year are known, on a site where only guards, valves and
    cable differ: whoever tries a dozen of them does not run the year a dozen times.

    Parameters:
        before: the tank, from `study_heated_tank` of a site with the same array and element, or
            from `study_diverted_tank`
    """
    heater, on = site.water_heater, element_on_array(site)
    assert heater is not None
    if isinstance(before, DivertedTankResult):
        on_inverter = element_on_inverter(site)
        assert on_inverter is not None
        tap = tap_water(heater, work_of(site, heater, on_inverter[0]))
        safety = tank_safety(site, heater, before.setpoint)
        changed = replace(before, tap=tap, safety=safety)
        return StudyPart(tuple(hot_water_verdicts(site, heater, changed)))
    assert on is not None
    assert site.module is not None
    circuit = circuit_in_tank(site, on, parameters_of(site.module))
    at = HeaterOnArray(site, heater, on.element, on.group, circuit)
    result = replace(
        before,
        tap=tap_water(heater, work_of(site, heater, on.element)),
        safety=heat_safety(at, before.setpoint),
        wire=array_wire(site, on.group, circuit),
    )
    return StudyPart(tuple(_guards(site, on, result)))


def _inlet_assumed(site: Site) -> tuple[Assumption, ...]:
    """Which well's water comes into the heater, where there are several."""
    if not site.other_well:
        return ()
    why = "as of [well]: water of the other wells is not followed to the heater"
    water = site.well.water_temperature
    return (Assumption("cold water to the heater", water, why, "common practice"),)


def _assumptions(site: Site, heater: WaterHeaterTable, on: OnArray) -> tuple[Assumption, ...]:
    """What the file leaves open of thermostat, cable, array, draws and insulation."""
    return (
        *setpoint_of(heater, on.element, on.path)[1],
        *cable_assumptions(on),
        *orientation(site, on.group, on.group_path)[2],
        *draw_volume_of(site, heater)[1],
        *heat_loss_of(heater)[1],
        *_further(site, on),
    )


def _further(site: Site, on: OnArray) -> tuple[Assumption, ...]:
    """Where the heat of further arrays is given."""
    why = (
        "days and year count its heat where the first element on an array is, by that one's "
        "thermostat"
    )
    return tuple(
        Assumption(f"{element.path}.fed_by", element.group.name, why, "heat balance")
        for element in elements_on_arrays(site)
        if element.path != on.path
    )


def _through(
    site: Site,
    on: OnArray,
    parameters: FiveParameters,
    year: HourlyYear | None,
    diverted: FloatArray | None,
    advise: bool,
) -> DaysAndYear:
    """The tank in its sun, day by day and through the year."""
    heater, group = site.water_heater, on.group
    assert heater is not None
    circuit = circuit_in_tank(site, on, parameters)
    draw, _ = draw_volume_of(site, heater)
    work = work_of(site, heater, on.element)
    driven = None
    if year is not None and draw is not None:
        draws = draws_of_day(heater.draw, draw)
        plane = plane_of_group(site, year, group, on.group_path)
        beside = heat_beside(site, on, circuit, year, diverted)
        others = other_powers_of(site, on, circuit, diverted)
        driven = heated_year(circuit, plane, draws, work.tank.volume, beside, others)
    in_sun = None
    if site.site.latitude is not None:
        in_sun = tank_in_sun(site, year, work, on, circuit)
    aims = heat_aims(site) if advise else None
    with _household(heater, work, driven, aims) as of_household:
        days = () if in_sun is None else heat_days(in_sun, None if advise else "clear")
        household = of_household()
    return DaysAndYear(in_sun, days, household, advise)


def _result(
    site: Site, on: OnArray, parameters: FiveParameters, through: DaysAndYear
) -> HeatedTankResult:
    """Every number of the tank, its days and its year."""
    heater, group, element = site.water_heater, on.group, on.element
    assert heater is not None
    assert site.module is not None
    circuit = circuit_in_tank(site, on, parameters)
    plate_power, plate_voltage = plate_of(element)
    tilt, azimuth, _ = orientation(site, group, on.group_path)
    draw, _ = draw_volume_of(site, heater)
    work = work_of(site, heater, element)
    draws = None if draw is None else draws_of_day(heater.draw, draw)
    in_sun, days = through.in_sun, through.days
    advised = in_sun if through.advised else None
    cold = site.sun.record_low
    brightest = circuit.point(BRIGHTEST, coldest_cell(site))
    by_coefficient, by_table = cold_voltages(site, group)
    loss = work.tank.heat_loss_coefficient
    hottest = max(work.setpoint, work.inlet)
    return HeatedTankResult(
        array=group.name,
        modules=group.series * group.parallel,
        series=group.series,
        parallel=group.parallel,
        tilt=tilt,
        azimuth=azimuth,
        fit=parameters.method,
        module_power=site.module.vmp * site.module.imp,
        photocurrent=parameters.photocurrent,
        saturation_current=parameters.saturation_current,
        series_resistance=parameters.series_resistance,
        shunt_resistance=parameters.shunt_resistance,
        modified_ideality_voltage=parameters.modified_ideality_voltage,
        element_resistance=circuit.resistance,
        cable_resistance=circuit.named_cable,
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
        tank_volume=work.tank.volume,
        inlet_temperature=work.inlet,
        setpoint=work.setpoint,
        room_temperature=work.room,
        draw_volume=draw,
        heating_energy=hot_water.heating_energy(work.tank.volume, work.inlet, hottest),
        heat_loss=loss,
        standby_loss=loss * (work.setpoint - work.room),
        stall_temperature=None if in_sun is None else stall_temperature(in_sun),
        tap=tap_water(heater, work),
        expansion=expansion.expansion_volume(work.tank.volume, work.inlet, hottest),
        wire=array_wire(site, group, circuit),
        days=days,
        one_day_volume=None if advised is None else one_day_volume(advised, days),
        one_day=None if advised is None else one_day_design(site, on, advised, days),
        safety=heat_safety(HeaterOnArray(site, heater, element, group, circuit), work.setpoint),
        nobody_home=None if in_sun is None else nobody_home(heater, in_sun),
        dark_days=dark_days(work, draws),
        **vars(through.household),
    )


@contextmanager
def _household(
    heater: WaterHeaterTable, work: TankAtWork, driven: HeatedYear | None, aims: HeatAims | None
) -> Iterator[Callable[[], Household]]:
    """What gives the household's year, part of which is made beside the block."""
    if driven is None:
        yield lambda: NO_HOUSEHOLD
        return
    with household_beside(work, driven, auxiliary_heat_of(heater), aims) as household:
        yield household


def study_diverted_tank(
    site: Site, year: HourlyYear | None, diverted: DivertedHeat
) -> tuple[DivertedTankResult, StudyPart]:
    """A tank that only the battery's surplus heats: the household's year, and who it could harm.

    Days of a month mean nothing to it, and no direct current reaches it.

    Parameters:
        site: a site with an element on the inverter
    Returns:
        the result, without a year where surplus or draws are not known, and what it brings
    """
    heater, on_inverter = site.water_heater, element_on_inverter(site)
    assert heater is not None
    assert on_inverter is not None
    element, path = on_inverter
    draw, draw_assumptions = draw_volume_of(site, heater)
    assumptions = (
        *draw_assumptions,
        *setpoint_of(heater, element, path)[1],
        *heat_loss_of(heater)[1],
        *_inlet_assumed(site),
    )
    work = work_of(site, heater, element)
    draws = None if draw is None else draws_of_day(heater.draw, draw)
    household = NO_HOUSEHOLD
    if diverted.power is not None and year is not None and draws is not None:
        index, group = feeders(site)[0]
        plane = plane_of_group(site, year, group, f"array[{index + 1}]")
        driven = HeatedYear(plane, diverted.power, diverted.power, draws, work.tank.volume)
        household = study_household(work, driven, auxiliary_heat_of(heater), heat_aims(site))
    result = DivertedTankResult(
        draw_volume=draw,
        setpoint=work.setpoint,
        tap=tap_water(heater, work),
        annual_share=household.annual_share,
        households=household.households,
        safety=tank_safety(site, heater, work.setpoint),
        dark_days=dark_days(work, draws),
    )
    verdicts: list[Verdict] = []
    if diverted.power is not None and year is not None:
        verdicts.append(diverted_share(site, result, household.share_draw))
    if household.households:
        warmer, less = household.evening_thermostat, household.evening_draw
        verdicts.append(evening_verdict(site, result, "the battery's surplus", warmer, less))
    verdicts += hot_water_verdicts(site, heater, result)
    return result, StudyPart(tuple(verdicts), assumptions)
