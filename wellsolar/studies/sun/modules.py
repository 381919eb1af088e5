"""A module of the site: its datasheet, and the voltage of a group of them in the cold."""

from __future__ import annotations

from wellsolar.data import wiring as wire_table
from wellsolar.errors import OutOfRange
from wellsolar.physics.array.module import ModuleRating
from wellsolar.physics.electric import cable
from wellsolar.site.schema import ArrayTable, ModuleTable, Site

REFERENCE_CELL = 25.0
"""Cell temperature of a datasheet [degC]; IEC 61215 test conditions."""


def rating_of(table: ModuleTable) -> ModuleRating:
    """A module's datasheet with its coefficients per kelvin."""
    return ModuleRating(
        open_circuit_voltage=float(table.voc),
        short_circuit_current=float(table.isc),
        maximum_power_voltage=float(table.vmp),
        maximum_power_current=float(table.imp),
        cells_in_series=table.cells,
        voltage_coefficient=float(table.voc * table.voc_coefficient),
        current_coefficient=float(table.isc * table.isc_coefficient),
    )


def cold_voltages(site: Site, group: ArrayTable) -> tuple[float | None, float | None]:
    """Open-circuit voltage of a group at the record low, by coefficient and by table [V]."""
    if site.sun.record_low is None or site.module is None:
        return None, None
    voltage, cold = float(site.module.voc), float(site.sun.record_low)
    by_coefficient = float(
        cable.cold_open_circuit_voltage(
            voltage, group.series, cold, float(site.module.voc_coefficient)
        )
    )
    try:
        by_table = voltage * group.series * wire_table.cold_voltage_factor(cold)
    except OutOfRange:
        return by_coefficient, None
    return by_coefficient, by_table
