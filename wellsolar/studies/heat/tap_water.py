"""What a hot tank gives at the tap, and how fast it burns, whatever heats it."""

from __future__ import annotations

import math

from wellsolar.physics.tank import hot_water, scald
from wellsolar.results import BurnTime, TapWater
from wellsolar.site.schema import WaterHeaterTable
from wellsolar.studies.heat.days import TankAtWork


def tap_water(heater: WaterHeaterTable, work: TankAtWork, setpoint: float) -> TapWater:
    """Mixed water of a full tank at its setpoint, and the time it takes to burn.

    Parameters:
        heater: its heater
        work: the tank, with its cold water and the temperature wanted at the tap
        setpoint: of its thermostat [degC]
    Returns:
        numbers for the report
    """
    valve = heater.mixing_valve
    mixed = setpoint if valve is None else min(float(valve.outlet), setpoint)
    at = (setpoint, work.inlet, work.tap)
    return TapWater(
        temperature=work.tap,
        mixing_ratio=float(hot_water.mixing_ratio(*at)),
        volume=float(hot_water.delivered_volume(float(heater.volume), *at)),
        unmixed=_burn(setpoint),
        mixed=_burn(mixed),
    )


def _burn(temperature: float) -> BurnTime:
    adult, child = (scald.burn_time(temperature, who) for who in ("adult", "child"))
    return BurnTime(_seconds(adult.seconds), _seconds(child.seconds), adult.bound)


def _seconds(value: float) -> float | None:
    return value if math.isfinite(value) else None
