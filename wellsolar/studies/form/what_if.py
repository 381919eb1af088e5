"""What the page needs to reckon a site anew when a size is changed, taken from the studies."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from wellsolar.data import wiring
from wellsolar.physics.array.module import FiveParameters
from wellsolar.physics.hand.human_power import EFFORT_AGE_FACTORS, EFFORT_AGES
from wellsolar.physics.hydraulics import fill, pressure_tank, pump, suction
from wellsolar.physics.hydraulics.pipe import FrictionLoss
from wellsolar.physics.sun import tilted_plane
from wellsolar.results.form import (
    Cubics,
    HandWhatIf,
    HeaterWhatIf,
    LateFitting,
    PipeFriction,
    PumpWhatIf,
    WhatIf,
)
from wellsolar.results.hand import HandLift
from wellsolar.site.schema import Site
from wellsolar.studies.array.coupling import Direct
from wellsolar.studies.array.heater_circuit import LIGHT_WIND, MILD_AIR, plate_of
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.electric.starting import current_of
from wellsolar.studies.house.chain import has_ejector
from wellsolar.studies.house.wells import at_well
from wellsolar.studies.pump.study import PumpOnWell, pump_on_well
from wellsolar.studies.reading.sun import ArrayAtReading
from wellsolar.studies.reading.visit import Job
from wellsolar.studies.well.drawdown import TankLevel


def study_what_if(case: Studied) -> WhatIf:
    """The sizes of a site with all that their answers follow from."""
    site, job = case.site, Job(case)
    switch, tank = site.pressure_switch, site.pressure_tank
    precharge = None if tank is None or tank.precharge is None else float(tank.precharge)
    if precharge is None and switch is not None and tank is not None:
        precharge = float(pressure_tank.recommended_precharge(float(switch.cut_in)))
    lifts: list[tuple[str, HandLift]] = [(lift.name, lift) for lift in case.lifts]
    if case.hand_pump is not None:
        lifts.insert(0, ("hand pump", case.hand_pump))
    return WhatIf(
        static_level=float(site.well.static_level),
        cut_in=None if switch is None else float(switch.cut_in),
        cut_out=None if switch is None else float(switch.cut_out),
        precharge=precharge,
        tank_volume=None if tank is None else tank.volume * tank.count,
        atmosphere=float(suction.atmospheric_pressure(float(site.site.altitude))),
        people=site.site.people or 1,
        pumps=tuple(_pumps(site)),
        heater=None if job.array is None else _heater(job.array),
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
        link, told = on_well.link, table.power is not None or table.efficiency is not None
        plain = link.by_switch and link.valve is None and on_well.line.suction is None
        own_level = here.well is site.well and not isinstance(on_well.level, TankLevel)
        if plain and own_level and told and not has_ejector(table):
            yield _pump(on_well)


def _pump(on_well: PumpOnWell) -> PumpWhatIf:
    table, line, level = on_well.table, on_well.line, on_well.level
    assert table.voltage is not None
    power = None if table.power is None else _cubics(table.flow, table.power)
    cable = table.cable
    return PumpWhatIf(
        name=table.name,
        head=_cubics(on_well.curve.flow, on_well.curve.head),
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


def _cubics(flows: tuple[float, ...], values: tuple[float, ...]) -> Cubics:
    """The curve through a datasheet's points."""
    curve = pump.curve_through(tuple(flows), tuple(values))
    return Cubics(
        tuple(float(flow) for flow in flows), tuple(tuple(piece) for piece in curve.c.T.tolist())
    )


def _friction(loss: FrictionLoss) -> PipeFriction:
    return PipeFriction(float(loss.bore), float(loss.length), float(loss.relative_roughness))


def _heater(at: ArrayAtReading) -> HeaterWhatIf | None:
    """Modules straight on their element; None through relays or electronics, or where the
    element's resistance changes with its warmth."""
    circuit, group, element = at.circuit, at.on.group, at.on.element
    power, voltage = plate_of(element)
    if not isinstance(circuit.coupling, Direct) or not math.isclose(
        circuit.resistance, voltage**2 / power
    ):
        return None
    named = group.cable is not None and group.cable.length is not None
    return HeaterWhatIf(
        parameters=_parameters(circuit.parameters),
        series=circuit.series,
        parallel=circuit.parallel,
        power=power,
        voltage=voltage,
        gauge=group.cable.gauge if group.cable is not None else "",
        run=float(group.cable.length or 0.0) if group.cable is not None and named else None,
        extra=0.0 if named else circuit.cable_resistance - circuit.assumed_cable,
        warming=float(tilted_plane.cell_temperature(1000.0, 0.0, LIGHT_WIND)) / 1000.0,
        air=MILD_AIR,
    )


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
