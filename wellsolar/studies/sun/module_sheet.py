"""Whether the module's datasheet can be true: its figures beside those of thousands of modules."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from wellsolar import kinds
from wellsolar.data.module_limits import module_limits
from wellsolar.errors import OutOfRange
from wellsolar.kinds import Kind
from wellsolar.physics.array.module import POINTS_ALONE, FiveParameters, ModuleRating, fill_factor
from wellsolar.physics.array.module_fit import fit_five_parameters
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import ModuleTable, Site
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Verdict, remedy, say

SUBJECT = "module"

HALVINGS = 20
"""With which the end of what a sheet may say is found."""

PLAUSIBLE = Rule(
    "module's sheet",
    "can the module's datasheet be true?",
    "its figures lie where those of 998 in 1,000 crystalline modules do",
    "module table",
    by="owner",
    place=Place("array", "heater_array|supply_1"),
)


@dataclass(frozen=True)
class _Figure:
    """A figure of the sheet, and the key that sets it right if the others are true.

    factor: the key's own value over the figure, so that a bound of one is a bound of the other
    """

    name: str
    value: float
    kind: Kind
    key: str
    key_kind: Kind
    factor: float


def study_module_sheet(site: Site) -> StudyPart:
    """Whether the module's datasheet is plausible; none where the file has no module."""
    if site.module is None:
        return StudyPart()
    return StudyPart((_verdict(site.module),))


def _verdict(module: ModuleTable) -> Verdict:
    """The first figure that is out of its range, or that all are within."""
    figures = _figures(module)
    for limit in module_limits():
        figure = figures[limit.quantity]
        if limit.least <= figure.value <= limit.most:
            continue
        low, high = _bounds(module, figures, figure)
        return PLAUSIBLE.verdict(
            "caution",
            SUBJECT,
            say(
                "{name} is {value}; of 1,000 crystalline modules 998 have {least} to {most}: a "
                "typing error, or not a crystalline module",
                name=figure.name,
                value=Quantity(figure.value, figure.kind),
                least=Quantity(limit.least, figure.kind),
                most=Quantity(limit.most, figure.kind),
            ),
            quantity=Quantity(figure.value, figure.kind),
            remedy=remedy(
                "read the sheet again: with its other figures true, {key} lies between {low:up} "
                "and {high:down}",
                "only the sheet tells which of its figures was misread",
                key=figure.key,
                low=Quantity(low, figure.key_kind),
                high=Quantity(high, figure.key_kind),
            ),
        )
    fill = figures["fill_factor"]
    if _method(module) == POINTS_ALONE:
        return PLAUSIBLE.verdict(
            "caution",
            SUBJECT,
            say(
                "no diode's curve has its three points and a voltage coefficient of {slope}: the "
                "coefficient is left out, and heat and cold are calculated without it",
                slope=Quantity(module.voc_coefficient, kinds.RELATIVE_COEFFICIENT),
            ),
            remedy=remedy(
                "read voc, vmp, imp and voc_coefficient from the sheet again",
                "only the sheet tells which of its figures was misread",
            ),
        )
    return PLAUSIBLE.verdict(
        "pass",
        SUBJECT,
        say(
            "ratios and coefficients are those of a crystalline module: fill factor (vmp x imp "
            "over voc x isc) {fill}, voltage {slope}",
            fill=Quantity(fill.value, fill.kind),
            slope=Quantity(module.voc_coefficient, kinds.RELATIVE_COEFFICIENT),
        ),
    )


def _method(module: ModuleTable) -> str:
    """How the module's parameters were found; nothing where they could not be."""
    try:
        return parameters_of(module).method
    except OutOfRange:
        return ""


def _bounds(module: ModuleTable, figures: dict[str, _Figure], odd: _Figure) -> tuple[float, float]:
    """Between what the key of an odd figure satisfies every figure that hangs on it, and a curve
    passes through the points with the sheet's voltage coefficient."""
    on_key = [
        (limit, figures[limit.quantity])
        for limit in module_limits()
        if figures[limit.quantity].key == odd.key
    ]
    low = max(limit.least * figure.factor for limit, figure in on_key)
    high = min(limit.most * figure.factor for limit, figure in on_key)
    name = odd.key.removeprefix("module.")

    def joined(value: float) -> bool:
        changed = module.model_copy(update={name: Quantity(value, odd.key_kind)})
        return _method(changed) not in ("", POINTS_ALONE)

    middle = (low + high) / 2
    if not joined(middle):
        return low, high
    return _last(joined, middle, low), _last(joined, middle, high)


def _last(holds: Callable[[float], bool], inside: float, end: float) -> float:
    """The value nearest to `end` up to which something holds from `inside` on."""
    if holds(end):
        return end
    for _ in range(HALVINGS):
        middle = (inside + end) / 2
        inside, end = (middle, end) if holds(middle) else (inside, middle)
    return inside


def _figures(module: ModuleTable) -> dict[str, _Figure]:
    """The sheet's figures, by the names of the table of limits."""
    voc, isc, vmp, imp = module.voc, module.isc, module.vmp, module.imp
    share, slope = kinds.FRACTION, kinds.RELATIVE_COEFFICIENT
    volts, amps = kinds.VOLTAGE, kinds.CURRENT
    return {
        "vmp_over_voc": _Figure("vmp over voc", vmp / voc, share, "module.vmp", volts, voc),
        "imp_over_isc": _Figure("imp over isc", imp / isc, share, "module.imp", amps, isc),
        "fill_factor": _Figure(
            "the fill factor, vmp x imp over voc x isc,",
            fill_factor(rating_of(module)), share, "module.vmp", volts, voc * isc / imp,
        ),
        "voc_coefficient": _Figure(
            "voc_coefficient", module.voc_coefficient, slope, "module.voc_coefficient",
            slope, 1.0,
        ),
        "isc_coefficient": _Figure(
            "isc_coefficient", module.isc_coefficient, slope, "module.isc_coefficient",
            slope, 1.0,
        ),
    }  # fmt: skip


REFERENCE_CELL = 25.0
"""Cell temperature of a datasheet [degC]; IEC 61215 test conditions."""


def parameters_of(table: ModuleTable) -> FiveParameters:
    """The five parameters of a module's curve, fitted to its datasheet.

    Returns:
        its parameters at 1000 W/m2 and 25 degC
    Raises:
        OutOfRange: the sheet does not hold together
    """
    return _fitted(rating_of(table))


@cache
def _fitted(rating: ModuleRating) -> FiveParameters:
    """A sheet is fitted once, however many arrays of the module are tried."""
    return fit_five_parameters(rating)


def rating_of(table: ModuleTable) -> ModuleRating:
    """A module's datasheet with its coefficients per kelvin."""
    return ModuleRating(
        open_circuit_voltage=float(table.voc),
        short_circuit_current=float(table.isc),
        maximum_power_voltage=float(table.vmp),
        maximum_power_current=float(table.imp),
        cells_in_series=table.cells,
        voltage_coefficient=table.voc * table.voc_coefficient,
        current_coefficient=table.isc * table.isc_coefficient,
    )
