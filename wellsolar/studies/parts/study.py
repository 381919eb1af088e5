"""What a design needs, thing by thing: the file's choices, and what the verdicts ask for."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from wellsolar import kinds
from wellsolar.results import Results
from wellsolar.results.parts import Part, PartPrice, PartsList
from wellsolar.site.part_names import sold_by
from wellsolar.site.schema import PriceTable, Site
from wellsolar.studies.array.cold_voltage import COLD_VOLTAGE
from wellsolar.studies.electric.cable import AMPACITY_MOTOR, DROP
from wellsolar.studies.electric.starting import GENERATOR, RATING, SURGE
from wellsolar.studies.parts.array import array_parts
from wellsolar.studies.parts.hand import hand_parts
from wellsolar.studies.parts.heat import heat_parts
from wellsolar.studies.parts.lines import Lines
from wellsolar.studies.parts.power import power_parts
from wellsolar.studies.parts.well import well_parts
from wellsolar.studies.pump.pressure_tank import RUN_TIME
from wellsolar.studies.pump.verdicts import YIELD
from wellsolar.studies.safety.code_editions import ARC_FAULT, GROUND_FAULT, SHUTDOWN
from wellsolar.studies.safety.contacts import CONTACTS, HIGH_LIMIT_CONTACTS
from wellsolar.studies.safety.direct_current import ISOLATOR
from wellsolar.studies.safety.expansion import EXPANSION
from wellsolar.studies.safety.overcurrent import OVERCURRENT
from wellsolar.studies.safety.overheating import HIGH_LIMIT
from wellsolar.studies.safety.relief import CAPACITY, RELIEF, VACUUM
from wellsolar.studies.safety.scald import FIXTURES, STANDARD
from wellsolar.studies.supply.chain_year import NIGHT, SHORT
from wellsolar.studies.supply.rule_of_thumb import ARRAY, BATTERY
from wellsolar.studies.supply.year import DAYS_SHORT
from wellsolar.verdicts import Verdict

FOOT = 0.3048
"""[m]"""

GROUPS: tuple[tuple[str, Callable[[Lines], None]], ...] = (
    ("well and water line", well_parts),
    ("hand pump", hand_parts),
    ("power for the pumps", power_parts),
    ("modules and direct current", array_parts),
    ("hot water", heat_parts),
)

HANGS_ON = {
    EXPANSION,
    VACUUM,
    RUN_TIME,
    DROP,
    AMPACITY_MOTOR,
    SURGE,
    RATING,
    YIELD,
    COLD_VOLTAGE,
    CONTACTS,
    HIGH_LIMIT_CONTACTS,
    OVERCURRENT,
    ARRAY,
    BATTERY,
    DAYS_SHORT,
    SHORT,
    NIGHT,
    GENERATOR,
    ISOLATOR,
    CAPACITY,
    RELIEF,
    HIGH_LIMIT,
    FIXTURES,
    STANDARD,
    GROUND_FAULT,
    ARC_FAULT,
    SHUTDOWN,
}
"""Rules whose answer decides whether something is on the list, or how large."""


def study_parts(site: Site, results: Results) -> PartsList:
    """The parts of a site.

    Parameters:
        results: of `study_site` with pumps, supply, tank, hand pump and heat
    Returns:
        the list, priced where the file gives prices
    """
    parts: list[Part] = []
    for group, find in GROUPS:
        lines = Lines(site, results, group)
        find(lines)
        parts += lines.made
    priced = [_priced(part, site) for part in parts]
    used = {id(price) for part in parts if (price := _price_of(part, site)) is not None}
    energies = sold_by()
    unused = tuple(
        price.item for price in site.price if id(price) not in used and price.item not in energies
    )
    return PartsList(tuple(priced), _open(results), unused)


def _open(results: Results) -> tuple[Verdict, ...]:
    return tuple(
        verdict
        for verdict in results.verdicts
        if verdict.status == "unknown" and verdict.rule in HANGS_ON
    )


def _price_of(part: Part, site: Site) -> PriceTable | None:
    """The price of a part: one that names its size goes before one for any size."""
    sizes = [f"{part.of} {part.size.text(system)}".casefold() for system in ("US", "SI")]
    fits = [
        price
        for price in site.price
        if price.item == part.item
        and (price.size is None or any(price.size.casefold() in size for size in sizes))
        and (price.per == "piece" or _is_length(part))
    ]
    return min(fits, key=lambda candidate: candidate.size is None, default=None)


def _is_length(part: Part) -> bool:
    return part.quantity is not None and part.quantity.kind is kinds.LENGTH


def _priced(part: Part, site: Site) -> Part:
    price = _price_of(part, site)
    if price is None:
        return part
    amount = float(price.cost)
    cost: float | None
    if price.per == "piece":
        # A run sold as one piece, such as a coil, is one piece whatever its length.
        count = 1.0 if _is_length(part) else part.quantity
        cost = None if count is None else amount * count
    else:
        assert part.quantity is not None
        cost = amount * _whole_units(float(part.quantity), FOOT if price.per == "ft" else 1.0)
    return replace(part, price=PartPrice(amount, price.per), cost=cost)


def _whole_units(length: float, unit: float) -> int:
    """How many whole units of length are bought for a run [both in m]."""
    return math.ceil(length / unit - 1e-6)
