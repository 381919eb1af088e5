"""Published checks of table look-ups and of short chains of them."""

from __future__ import annotations

from wellsolar.data import wiring
from wellsolar.physics.electric import cable, motor
from wellsolar.site.schema import Cable
from wellsolar.studies.electric.cable import LOCKED_ROTOR_POWER_FACTOR, START_DIP
from wellsolar.studies.electric.cable import corrected_ampacity as corrected
from wellsolar.studies.electric.starting import GENERATOR_REACTANCE

LETTERS = "ABCDEFGHJKLMNPRSTUV"


def wire_value(gauge: str, column: str) -> float:
    return float(getattr(wiring.wire(gauge), column))


def ampacity(gauge: str, insulation_rating: float) -> float:
    return wiring.wire(gauge).ampacity(insulation_rating)


def resistance_when_cold(gauge: str) -> float:
    """Of a wire in mm2 at 20 degC [ohm/m], by that at 75 degC."""
    return wiring.wire(gauge).resistance_75c_stranded / (1.0 + 0.00393 * 55.0)


def metric_ampacity(gauge: str, temperature: float) -> float:
    """Of a wire in mm2 with PVC in its surroundings [A]."""
    return corrected(wiring.wire(gauge), Cable(gauge=gauge, ambient=f"{temperature} degC"))


def insulation_rating(name: str) -> float:
    return wiring.insulation_rating(name)


def ambient_factor(temperature: float, insulation_rating: float) -> float:
    return wiring.ambient_factor(temperature, insulation_rating)


def bundling_factor(conductors: float) -> float:
    return wiring.bundling_factor(int(conductors))


def corrected_ampacity(
    gauge: str, insulation_rating: float, temperature: float, conductors: float
) -> float:
    return float(
        cable.corrected_ampacity(
            wiring.wire(gauge).ampacity(insulation_rating),
            wiring.ambient_factor(temperature, insulation_rating),
            wiring.bundling_factor(int(conductors)),
        )
    )


def next_overcurrent_size(current: float) -> float:
    return wiring.next_overcurrent_size(current)


def cold_voltage_factor(temperature: float) -> float:
    return wiring.cold_voltage_factor(temperature)


def cold_voltage_by_table(
    open_circuit_voltage: float, series: float, cold_temperature: float
) -> float:
    return series * open_circuit_voltage * wiring.cold_voltage_factor(cold_temperature)


def locked_rotor_current(
    code_letter: str, rated_power: float, voltage: float, end: float
) -> float:
    band = motor.locked_rotor_apparent_power(code_letter, rated_power)
    return float(motor.current(band[int(end)], voltage))


def starts_per_day(rated_power: float, phases: float = 1.0) -> float:
    return motor.greatest_start_rate(rated_power, int(phases)) * 86_400.0


def table_current(rated_power: float, voltage: float, phases: float, locked: float) -> float:
    table = motor.locked_rotor_current_table if locked else motor.full_load_current
    return table(rated_power, voltage, int(phases))


def hourly_starts(rated_power: float) -> float:
    return motor.greatest_hourly_starts(rated_power) * 3600.0


def generator_rating(locked_rotor_current: float, voltage: float) -> float:
    """The least rating of a generator that starts a single-phase motor by itself, as judged."""
    reactance = motor.greatest_source_reactance(
        locked_rotor_current, voltage, LOCKED_ROTOR_POWER_FACTOR, 0.0, START_DIP
    )
    return float(motor.source_reactance(1.0, voltage, GENERATOR_REACTANCE) / reactance)
