"""What a site's file leaves open or gives as a range, and the site with a value of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from wellsolar import kinds
from wellsolar.site.defaults import default_of
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.locate import Path, key_text, path_of
from wellsolar.site.schema import Site
from wellsolar.site.table import Table
from wellsolar.studies.asked.changed_site import with_value
from wellsolar.studies.house.wells import is_here, views
from wellsolar.studies.well.drawdown import at_static_level, drawdown_of
from wellsolar.units import Quantity, read
from wellsolar.verdicts import End

FREE_WATER = 1.0
"""Specific capacity of a well whose water stands at rest at any flow that a pump gives [m2/s]."""

DEFAULT = "by its default"
"""Where a key stands that the file does not give."""

LOSSES = "losses"
"""The table of what arrays lose."""

INSIDE = (0.25, 0.5, 0.75)
"""Where inside a range verdicts are tried too, as parts of its width: our choice."""


@dataclass(frozen=True)
class Value:
    """A value of an interval.

    value: in SI
    side: of the interval
    told: where it stands, as a sentence has it behind "with": "well.static_level at {value}"
    """

    value: Quantity
    side: End
    told: str


@dataclass(frozen=True)
class Interval:
    """Something of a site of which only the ends are known.

    key: as the file names it
    likeliest: with its range; None where the file leaves it open: the studies then stand at one
        end of it, as `told` says, and `ends` are the others
    told: where the studies of the site as it is stand
    ends, inside: values at which verdicts are tried
    at: the site with a value of it
    """

    key: str
    likeliest: Quantity | None
    told: str
    ends: tuple[Value, ...]
    inside: tuple[Value, ...]
    at: Callable[[Site, Quantity], Site]

    @property
    def is_default(self) -> bool:
        """True where a default stands for it, whose published values spread."""
        return self.likeliest is not None and self.told == DEFAULT

    @property
    def is_open(self) -> bool:
        """True where the file gives neither a value nor a range."""
        return self.likeliest is None


def intervals_of(file: SiteFile) -> tuple[Interval, ...]:
    """What a site's file leaves open, or gives as a range, or has by a default whose published
    values spread: the ranges in the order of the file, then spreads, then what is open."""
    site = file.site
    intervals = [_ranged(path, value) for path, value in ranged_inputs(site)]
    spreads = list(_spreads(file))
    intervals += [
        replace(_ranged(path, value), told=DEFAULT, inside=())
        for path, value in spreads
        if path[0] != LOSSES
    ]
    losses = [(path, value) for path, value in spreads if path[0] == LOSSES]
    if losses and (site.array or site.module is not None):
        intervals.append(_greatest_losses(losses))
    for number, view in enumerate(views(site)):
        drawn = any(is_here(view, table) for table in view.pump)
        drawn = drawn or view.hand_pump is not None or bool(view.lift)
        if number == 0:
            drawn = drawn or bool(site.pump and not site.other_well)
        if drawn and drawdown_of(view) is None:
            table: Path = ("other_well", number - 1) if number else ("well",)
            intervals.append(_open_level((*table, "specific_capacity")))
    for place, element in enumerate(site.water_heater.element if site.water_heater else ()):
        if element.coupling == "tracking" and element.tracker_converter is None:
            intervals.append(_converter(("water_heater", "element", place, "tracker_converter")))
    return tuple(intervals)


def _open_level(path: Path) -> Interval:
    """The drawdown of a well of which its file tells none."""
    free = Value(Quantity(FREE_WATER, kinds.SPECIFIC_CAPACITY), "high", "the water at rest")
    at = partial(site_at, path=path)
    return Interval(
        key_text(path), None, "the water at the intake", (free,), (),
        lambda changed, value: at(changed, value=value),
    )  # fmt: skip


def _greatest_losses(losses: Sequence[tuple[Path, Quantity]]) -> Interval:
    """The losses of the arrays by their defaults, all at their greatest: the less they lose, the
    better for all that they feed, and what guards against too much counts none."""

    def at(site: Site, _: Quantity) -> Site:
        for path, value in losses:
            site = with_value(site, path, Quantity(value.high, value.kind))
        return site

    most = Value(
        Quantity(1.0, kinds.RATIO), "high", "all losses of the array at the greatest measured"
    )
    return Interval(LOSSES, losses[0][1], DEFAULT, (most,), (), at)


def _spreads(file: SiteFile) -> Iterator[tuple[Path, Quantity]]:
    """The keys that a default filled in whose published values spread, with their ends."""
    for assumption in file.assumptions:
        path = path_of(assumption.path)
        default = default_of(tuple(part for part in path if isinstance(part, str)))
        value = assumption.value
        if default is None or not default.spread or not isinstance(value, Quantity):
            continue
        if assumption.source == default.source:
            ends = read(default.spread, value.kind)
            yield path, Quantity(value, value.kind, ends.low, ends.high)


def _converter(path: Path) -> Interval:
    """Electronics of which the file does not tell what they make of the array's voltage."""
    both = Value(Quantity(2, kinds.COUNT), "high", "electronics that lower and raise it")
    return Interval(
        key_text(path), None, "electronics that pass the array's voltage on", (both,), (),
        lambda site, _: with_value(site, path, "both"),
    )  # fmt: skip


def _ranged(path: Path, value: Quantity) -> Interval:
    """The interval of a key that the file gives as a range."""
    low, high, key = value.low, value.high, key_text(path)

    def valued(number: float, side: End) -> Value:
        return Value(Quantity(number, value.kind), side, f"{key} at {{value}}")

    ends = (valued(low, "low"), valued(high, "high"))
    within = (low + part * (high - low) for part in INSIDE)
    return Interval(
        key,
        value,
        f"{key} at its likeliest",
        tuple(end for end in ends if end.value != value),
        tuple(valued(number, "low" if number < value else "high") for number in within),
        lambda site, value: site_at(site, path, value),
    )


def ranged_inputs(table: Table, above: Path = ()) -> Iterator[tuple[Path, Quantity]]:
    """The keys of a model that are ranges: key path and quantity of each."""
    for name in type(table).model_fields:
        value: Any = getattr(table, name)
        path = (*above, name)
        if isinstance(value, Quantity) and value.is_range:
            yield path, value
        elif isinstance(value, Table):
            yield from ranged_inputs(value, path)
        elif isinstance(value, tuple):
            for index, item in enumerate(value):
                if isinstance(item, Table):
                    yield from ranged_inputs(item, (*path, index))


def site_at(site: Site, path: Path, value: Quantity) -> Site:
    """A site with a value at a key path; levels of the well's tests go with its water at rest."""
    if path == ("well", "static_level"):
        return at_static_level(site, value)
    if path[0] == "other_well" and path[2:] == ("static_level",):
        return at_static_level(site, value, int(path[1]) + 1)
    changed: Site = with_value(site, path, value)
    return changed
