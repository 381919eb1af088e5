"""Which cautions go with a site: those of the work asked for whose equipment is there."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from typing import NamedTuple

from wellsolar.site.cautions import CAUTIONS
from wellsolar.site.schema import Site
from wellsolar.studies.house.chain import hangs_in_well
from wellsolar.studies.plumbing.layout import into_tank, meets_pumps, pressurised

PUMPS, HEAT, OUTAGE, SHEET = (
    ("pump", "supply", "ranking"),
    ("heat", "match", "heat ranking"),
    ("outage",),
    ("sheet",),
)
WELL = ("pump", "hand", "outage", "sheet")


class _Shown(NamedTuple):
    """In which sections a caution shows, and whether what it is about is at a site."""

    sections: tuple[str, ...]
    there: Callable[[Site], bool]


def _anywhere(site: Site) -> bool:
    """At every site: each has a well."""
    return True


WIDE = 0.5
"""Bore from which somebody could climb or fall into a well [m]: our choice."""


def _pit(site: Site) -> bool:
    """A cistern, a pit round the casing, or a well that is wide or open, or may be."""
    wells = (site.well, *site.other_well)
    pit = any(well.casing_height is not None and well.casing_height < 0.0 for well in wells)
    wide = any(well.casing_bore is None or well.casing_bore >= WIDE for well in wells)
    opened = any(lift.kind == "bucket and windlass" for lift in site.lift)
    return _storage(site) or pit or wide or opened


def _heater(site: Site) -> bool:
    return site.water_heater is not None


def _storage(site: Site) -> bool:
    return site.storage_tank is not None


def _pump(site: Site) -> bool:
    return bool(site.pump)


def _shock(site: Site) -> bool:
    return _pump(site) or _heater(site)


def _battery(site: Site) -> bool:
    feeds = any(group.feeds == "battery" for group in site.array)
    return feeds or site.power.battery_energy is not None


def _own_power(site: Site) -> bool:
    """An inverter or generator that could feed the house, or the grid."""
    power = site.power
    return _battery(site) or power.inverter_rating is not None or _generator(site)


def _generator(site: Site) -> bool:
    return site.power.generator_rating is not None


def _direct_current(site: Site) -> bool:
    return bool(site.array) or any(pump.supply == "DC" for pump in site.pump) or _battery(site)


def _roof(site: Site) -> bool:
    """Modules on a roof, or nobody knows where."""
    return any(group.place != "ground" for group in site.array)


def _hangs(site: Site) -> bool:
    """A pump that hangs in the well, to be lifted out."""
    hand = site.hand_pump
    deep = hand is not None and hand.kind == "deep well"
    return deep or any(hangs_in_well(table) for table in site.pump)


def _presses(site: Site) -> bool:
    """A pump that presses against a switch or a valve, and not into an open tank or spout."""
    return pressurised(site) or into_tank(site) is not None


def _vessel(site: Site) -> bool:
    return site.pressure_tank is not None or _heater(site)


_SHOWN: Mapping[str, _Shown] = {
    "electric shock": _Shown((*PUMPS, *HEAT, *OUTAGE, *SHEET), _shock),
    "mains": _Shown((*PUMPS, *OUTAGE, *SHEET), _own_power),
    "direct current": _Shown((*PUMPS, *HEAT, *SHEET), _direct_current),
    "generator fumes": _Shown((*PUMPS, *OUTAGE, *SHEET), _generator),
    "pits and open wells": _Shown(WELL, _pit),
    "roof": _Shown((*PUMPS, *HEAT, *SHEET), _roof),
    "lifting": _Shown(("pump", "hand"), _hangs),
    "overheating": _Shown(HEAT, _heater),
    "battery": _Shown((*PUMPS, *OUTAGE, *SHEET), _battery),
    "pressure": _Shown((*PUMPS, "tank", *HEAT, *SHEET), _vessel),
    "closed valve": _Shown(("pump", "tank", "hand", *OUTAGE), _presses),
    "scald": _Shown((*HEAT, *SHEET), _heater),
    "pumps together": _Shown(("hand", *OUTAGE, *SHEET), meets_pumps),
    "legionella": _Shown(HEAT, _heater),
    "drinking water": _Shown(WELL, _anywhere),
    "stored water": _Shown((*PUMPS, *OUTAGE, *SHEET), _storage),
    "heater water": _Shown(OUTAGE, _heater),
    "freezing": _Shown(("hand", *OUTAGE), _anywhere),
}


def cautions_of(site: Site, sections: Collection[str]) -> tuple[str, ...]:
    """What to mind in some sections of a site.

    Parameters:
        sections: keys of `SECTIONS` of the case
    Returns:
        keys into `wellsolar.site.cautions`, most deadly first
    """
    return tuple(
        key
        for key in CAUTIONS
        if _SHOWN[key].there(site) and not set(sections).isdisjoint(_SHOWN[key].sections)
    )


def there(site: Site, keys: Collection[str]) -> tuple[str, ...]:
    """Those of some cautions whose equipment is at a site, most deadly first."""
    return tuple(key for key in CAUTIONS if key in keys and _SHOWN[key].there(site))
