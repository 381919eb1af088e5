"""What the page needs to reckon a site anew when a size is changed, taken from the studies."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict

import numpy as np

from wellsolar.constants import DAY, HOUR
from wellsolar.data import hot_water_tables, wiring
from wellsolar.data.hot_water_tables import Draw
from wellsolar.errors import OutOfRange
from wellsolar.physics.array.connection import TrackingElectronics
from wellsolar.physics.array.module import FiveParameters
from wellsolar.physics.hand.human_power import EFFORT_AGE_FACTORS, EFFORT_AGES
from wellsolar.physics.hydraulics import fill, pressure_tank, suction
from wellsolar.physics.hydraulics.pipe import FrictionLoss
from wellsolar.physics.sun import tilted_plane
from wellsolar.physics.tank import events, scald
from wellsolar.physics.types import FloatArray
from wellsolar.results.form import (
    DayWhatIf,
    HandWhatIf,
    HeaterWhatIf,
    LateFitting,
    PipeFriction,
    Points,
    PumpWhatIf,
    TankWhatIf,
    WhatIf,
)
from wellsolar.results.hand import HandLift
from wellsolar.site.schema import Site
from wellsolar.studies.array.coupling import Switched, Tracking
from wellsolar.studies.array.heater_circuit import COLD_WIRE, LIGHT_WIND, MILD_AIR, plate_of
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.electric.starting import current_of
from wellsolar.studies.heat.days import LEAST_RISE, LONGEST_RUN, ArrayDay, tank_in_sun
from wellsolar.studies.heat.tank import work_of
from wellsolar.studies.house import demand
from wellsolar.studies.house.chain import has_ejector
from wellsolar.studies.house.wells import at_well
from wellsolar.studies.pump.study import PumpOnWell, pump_on_well
from wellsolar.studies.reading.sun import ArrayAtReading
from wellsolar.studies.reading.visit import Job
from wellsolar.studies.sun.days import STEP
from wellsolar.studies.well.drawdown import TankLevel

PIECES = round(HOUR / STEP)
"""Steps of a day that an hour of the year is cut into."""


def study_what_if(case: Studied) -> WhatIf:
    """The sizes of a site with all that their answers follow from."""
    site, job = case.site, Job(case)
    switch, tank = site.pressure_switch, site.pressure_tank
    precharge = None if tank is None or tank.precharge is None else float(tank.precharge)
    if precharge is None and switch is not None and tank is not None:
        precharge = pressure_tank.recommended_precharge(switch.cut_in)
    lifts: list[tuple[str, HandLift]] = [(lift.name, lift) for lift in case.lifts]
    if case.hand_pump is not None:
        lifts.insert(0, ("hand pump", case.hand_pump))
    return WhatIf(
        static_level=float(site.well.static_level),
        cut_in=None if switch is None else float(switch.cut_in),
        cut_out=None if switch is None else float(switch.cut_out),
        precharge=precharge,
        tank_volume=None if tank is None else tank.volume * tank.count,
        atmosphere=suction.atmospheric_pressure(site.site.altitude),
        people=site.site.people or 1,
        pumps=tuple(_pumps(site)),
        heater=None if job.array is None else _heater(site, job.array),
        tank=None if job.array is None else _tank(site, job.array),
        days={} if job.array is None else _days(case, job.array),
        hands=tuple(place for name, lift in lifts for place in _hands(name, lift)),
        nodes=tuple(fill.NODES.tolist()),
        weights=tuple(fill.WEIGHTS.tolist()),
        gauges={wire.gauge: wire.resistance_75c_stranded
                for wire in (*wiring.wires(), *wiring.metric_wires())},
    )  # fmt: skip


def _pumps(site: Site) -> Iterator[PumpWhatIf]:
    """Pumps that the switch starts and nothing else steers, in the first well."""
    for number, table in enumerate(site.pump, 1):
        here = at_well(site, table)
        on_well = pump_on_well(here, table, f"pump[{number}]")
        link, electricity_known = (
            on_well.link,
            table.power is not None or table.efficiency is not None,
        )
        plain = link.by_switch and link.valve is None and on_well.line.suction is None
        own_level = here.well is site.well and not isinstance(on_well.level, TankLevel)
        if plain and own_level and electricity_known and not has_ejector(table):
            yield _pump(on_well)


def _pump(on_well: PumpOnWell) -> PumpWhatIf:
    table, line, level = on_well.table, on_well.line, on_well.level
    assert table.voltage is not None
    power = None if table.power is None else _points(table.flow, table.power)
    cable = table.cable
    return PumpWhatIf(
        name=table.name,
        head=_points(on_well.curve.flow, on_well.curve.head),
        power=power,
        efficiency=None if table.efficiency is None else float(table.efficiency),
        capacity=level.specific_capacity,
        well_loss=level.well_loss,
        floor=level.floor,
        elevation=line.elevation,
        treatment=line.treatment,
        density=line.density,
        viscosity=line.viscosity,
        drop=_friction(line.drop_friction),
        lateral=_friction(line.lateral_friction),
        loss_coefficient=line.fitting_coefficient,
        late=tuple(
            LateFitting(
                fitting.count,
                None if fitting.loss_coefficient is not None
                else PipeFriction(
                    fitting.bore, fitting.length, line.lateral.size.roughness / fitting.bore
                ),
                fitting.loss_coefficient or 0.0,
                fitting.bore,
                fitting.opening_head,
            )
            for fitting in line.fittings
            if fitting.loss_coefficient is None or fitting.opening_head
        ),
        gauge="" if cable is None else cable.gauge,
        run=None if cable is None or cable.length is None else float(cable.length),
        phases=table.phases if table.supply == "AC" else 1,
        voltage=float(table.voltage),
        per_watt=current_of(table, 1.0),
    )  # fmt: skip


def _points(flows: Sequence[float], values: Sequence[float]) -> Points:
    """The points of a datasheet's curve."""
    return Points(tuple(map(float, flows)), tuple(map(float, values)))


def _friction(loss: FrictionLoss) -> PipeFriction:
    return PipeFriction(loss.bore, loss.length, loss.relative_roughness)


def _heater(site: Site, at: ArrayAtReading) -> HeaterWhatIf:
    """Modules on their element, through whatever stands between."""
    circuit, group, element = at.circuit, at.on.group, at.on.element
    power, voltage = plate_of(element)
    coupling, loss = circuit.coupling, float(site.losses.wiring)
    named = group.cable is not None and group.cable.length is not None
    electronics: tuple[TrackingElectronics, ...] = ()
    if isinstance(coupling, Tracking):
        electronics = (coupling.electronics,)
        if element.tracker_converter is None:
            electronics += (coupling.hardest,)
    return HeaterWhatIf(
        parameters=_parameters(circuit.parameters),
        series=circuit.series,
        parallel=circuit.parallel,
        power=power,
        voltage=voltage,
        gauge=group.cable.gauge if group.cable is not None else "",
        run=float(group.cable.length or 0.0) if group.cable is not None and named else None,
        wiring=0.0 if named else loss / (1.0 - loss),
        coefficient=float(element.temperature_coefficient or 0.0),
        cold=COLD_WIRE,
        ratios=coupling.ratios if isinstance(coupling, Switched) else (),
        limits=coupling.irradiances if isinstance(coupling, Switched) else None,
        electronics=tuple(map(_electronics, electronics)),
        warming=float(tilted_plane.cell_temperature(1000.0, 0.0, LIGHT_WIND)) / 1000.0,
        air=MILD_AIR,
    )


def _electronics(values: TrackingElectronics) -> dict[str, float | None]:
    """Values of electronics by name, None for no limit."""
    named = asdict(values).items()
    return {name: value if math.isfinite(value) else None for name, value in named}


def _tank(site: Site, at: ArrayAtReading) -> TankWhatIf:
    """The tank on the modules, and the draws of the household."""
    heater = site.water_heater
    assert heater is not None
    work = work_of(site, heater, at.on.element)
    tank, draw = work.tank, demand.draw_volume_of(site, heater)[0]
    return TankWhatIf(
        volume=tank.volume,
        loss=tank.heat_loss_coefficient,
        heat_capacity=tank.volumetric_heat_capacity,
        nodes=tank.nodes,
        element_node=tank.node_at(tank.element_height),
        conduction=tank.conduction_rate,
        cold=work.inlet,
        room=work.room,
        tap=work.tap,
        thermostat=work.setpoint,
        differential=work.differential,
        mixed=heater.mixing_valve is not None,
        storage=float(site.limits.storage_temperature),
        people=site.site.people or 1,
        draw=draw,
        shares=() if not draw else tuple(draw_shares(demand.draws_of_day(heater.draw, draw))),
        burns=tuple(
            tuple((row.temperature, row.seconds) for row in rows)
            for rows in hot_water_tables.burn_rows("third").values()
        ),
        burns_from=scald.BURN_THRESHOLD,
        child=scald.CHILD_FACTOR,
        step=STEP,
        longest=LONGEST_RUN,
        least=LEAST_RISE,
    )


def draw_shares(draws: Sequence[demand.TapDraw]) -> FloatArray:
    """Part of a day's draws in each of its equal steps.

    Parameters:
        draws: of a day, with some water
    Returns:
        the parts, which make 1, one a step of `STEP`
    """
    ends = np.arange(0.0, DAY + 0.5 * STEP, STEP)[:, None]
    pieces = [Draw(draw.start, draw.volume, draw.volume / draw.duration) for draw in draws]
    day = events.every_day(pieces, 1, 0.0)
    drawn = (np.clip((ends - day.start) / day.duration, 0.0, 1.0) * day.volume).sum(axis=1)
    return np.asarray(np.diff(drawn) / day.volume.sum())


def _days(case: Studied, at: ArrayAtReading) -> Mapping[str, tuple[DayWhatIf, ...]]:
    """Clear, typical and poor days of each month, as those of the tank's study."""
    site = case.site
    assert site.water_heater is not None
    if site.site.latitude is None:
        return {}
    try:
        work = work_of(site, site.water_heater, at.on.element)
        days = tank_in_sun(site, case.year, work, at.on, at.circuit).days
    except OutOfRange:
        return {}
    return {
        kind: tuple(_day(of_month[kind], 1 if kind == "clear" else PIECES) for of_month in days)
        for kind in days[0]
    }


def _day(day: ArrayDay, pieces: int) -> DayWhatIf:
    """A day whose steps are alike by so many, each told once; its cells where there is light."""
    light = day.sun.effective_irradiance
    cells = np.where(light > 0.0, day.sun.cell_temperature, 0.0)
    return DayWhatIf(*(tuple(series[::pieces].tolist()) for series in (light, cells, day.further)))


def _parameters(one: FiveParameters) -> tuple[float, ...]:
    return (
        one.photocurrent, one.saturation_current, one.series_resistance, one.shunt_resistance,
        one.modified_ideality_voltage, one.current_coefficient,
    )  # fmt: skip


def _hands(name: str, lift: HandLift) -> Iterator[HandWhatIf]:
    """The places to which a lift brings water."""
    worker = lift.worker
    age_factor = float(np.interp(worker.age, EFFORT_AGES, EFFORT_AGE_FACTORS))
    for place in lift.places:
        if place.flows and max(place.flows) > 0.0:
            yield HandWhatIf(
                f"{name}, {place.label}", place.powers, place.flows, age_factor,
                worker.arm_factor, worker.power,
            )  # fmt: skip
