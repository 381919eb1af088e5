"""A pump along a whole fill of the pressure tank, its flow falling as the pressure rises."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import air, fill, pressure_tank
from wellsolar.physics.hydraulics.fill import Fill
from wellsolar.results import Duty, FillPoint, FillResult
from wellsolar.site.schema import Site

PRESSURES = 5
"""Points of a fill from cut-in to cut-out, the pump's flow between them by a monotone curve."""


def fill_of(site: Site, duty_at: Callable[[float], Duty]) -> FillResult | None:
    """A fill of the pressure tank from cut-in to cut-out with no tap open.

    The share of the time at each pressure is the same for a tank of any volume, so that the mean
    flow and the energy are known where the tank is not.

    Parameters:
        site: the site
        duty_at: the pump at work against a gauge pressure at the tank [Pa]
    Returns:
        the fill; None without a pressure switch or where the pump does not reach cut-out
    """
    switch, tank = site.pressure_switch, site.pressure_tank
    if switch is None:
        return None
    pressures = np.linspace(float(switch.cut_in), float(switch.cut_out), PRESSURES)
    duties = [duty_at(pressure) for pressure in pressures.tolist()]
    if not all(duty.flow > 0 for duty in duties):
        return None
    best = float(pressure_tank.recommended_precharge(float(switch.cut_in)))
    given = None if tank is None or tank.precharge is None else float(tank.precharge)
    volume = 1.0 if tank is None else float(tank.volume) * tank.count
    found = _filled(site, pressures, duties, volume, best if given is None else given)
    at_best = found if given is None else _filled(site, pressures, duties, volume, best)
    if found is None or at_best is None:
        return None
    known = tank is not None
    return FillResult(
        points=tuple(
            FillPoint(
                pressure=duty.pressure,
                flow=duty.flow,
                head=duty.total_dynamic_head,
                input_power=duty.input_power,
                water=water - float(found.volume[0]) if known else None,
                time=time if known else None,
            )
            for duty, water, time in zip(
                duties, found.volume.tolist(), found.time.tolist(), strict=True
            )
        ),
        mean_flow=found.mean_flow,
        energy_per_volume=float(found.energy[-1]) / found.water,
        duration=found.duration if known else None,
        best_duration=at_best.duration if known else None,
    )


def _filled(
    site: Site, pressures: np.ndarray, duties: list[Duty], volume: float, precharge: float
) -> Fill | None:
    try:
        return fill.tank_fill(
            pressures,
            np.array([duty.flow for duty in duties]),
            volume,
            precharge,
            float(air.atmospheric_pressure(float(site.site.altitude))),
            input_power=np.array([duty.input_power for duty in duties]),
        )
    except OutOfRange:  # A precharge above cut-out: the tank never takes water.
        return None
