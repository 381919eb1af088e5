"""What cannot be in the levels of a well and in its tests."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from types import SimpleNamespace
from typing import Any

from wellsolar.site.checks.outages import WORDS
from wellsolar.site.checks.words import (
    Mistakes,
    as_given,
    count,
    in_the_well,
    known,
    list_given,
    same_names,
)
from wellsolar.site.locate import Path
from wellsolar.units import item_written
from wellsolar.wording import quoted

LEAST_STEPS = 2
LEAST_READINGS = 3
"""What a fit needs: two steps for two losses, three readings for a curve."""


def levels(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the levels of the wells."""
    for path, well in _wells(site):
        yield from _levels(path, well)


def names(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the names of the other wells."""
    yield from same_names("other_well", site.other_well)
    others = [entry.name for table in (site.pump, site.lift, site.array) for entry in table]
    for index, well in enumerate(site.other_well):
        if well.name in (*WORDS, *others):
            yield (
                ("other_well", index, "name"),
                f"{quoted(well.name)} is something else in this file, or in an [[outage]]: give "
                "the well a name of its own",
            )


def _wells(site: SimpleNamespace) -> Iterator[tuple[Path, SimpleNamespace]]:
    """Every well by its key path."""
    if site.well is not None:
        yield ("well",), site.well
    for index, well in enumerate(site.other_well):
        yield ("other_well", index), well


def _levels(path: Path, well: SimpleNamespace) -> Mistakes:
    if known(well.depth, well.static_level) and well.static_level >= well.depth:
        yield (
            (*path, "static_level"),
            f"{as_given(well.static_level)} lies at or below the bottom of the well "
            f"({as_given(well.depth)}): a static level is measured from the ground and is less "
            "deep",
        )
    level = well.tested_pumping_level
    if known(level, well.static_level) and level <= well.static_level:
        yield (
            (*path, "tested_pumping_level"),
            f"{as_given(level)} is not below the static level ({as_given(well.static_level)}): "
            "pumping draws the water down, so it is a greater depth",
        )
    yield from in_the_well(well, (*path, "tested_pumping_level"), level)


def well_tests(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the step test and in the pumping or recovery test."""
    for path, well in _wells(site):
        if well.step_test is not None:
            yield from _step_test((*path, "step_test"), well, well.step_test)
        if well.drawdown_test is not None:
            yield from _drawdown_test((*path, "drawdown_test"), well, well.drawdown_test)


def _step_test(path: Path, well: SimpleNamespace, test: SimpleNamespace) -> Mistakes:
    flow, drawdown = test.flow, test.drawdown
    if flow is not None and len(flow) < LEAST_STEPS:
        yield ((*path, "flow"), f"{list_given(flow)} is one step: two losses need two or more")
    for name, values, why in (
        ("flow", flow, "each step of a step test is pumped harder than the one before it"),
        ("drawdown", drawdown, "the harder a well is pumped, the farther its water goes down"),
    ):
        if values is not None and (values[0] <= 0 or _falls_back(values)):
            yield (
                (*path, name),
                f"{list_given(values)}: each must be more than the one before, and the first more "
                f"than zero: {why}",
            )
    yield from _as_many(path, "drawdown", drawdown, flow, "flow")
    if known(drawdown, well.static_level, well.depth):
        for number, drawn in enumerate(drawdown):
            if well.static_level + drawn > well.depth:
                yield (
                    (*path, "drawdown"),
                    f"{item_written(drawdown, number)} below the water at rest "
                    f"({as_given(well.static_level)}) lies below the bottom of the well "
                    f"({as_given(well.depth)})",
                )


def _drawdown_test(path: Path, well: SimpleNamespace, test: SimpleNamespace) -> Mistakes:
    time, level = test.time, test.level
    if test.kind == "recovery" and test.pumping_time is None:
        yield (
            path,
            'has no pumping_time: a recovery hangs on how long was pumped before, e.g. "24 h"',
        )
    if time is not None and sum(moment > 0 for moment in time) < LEAST_READINGS:
        yield (
            (*path, "time"),
            f"{list_given(time)} has fewer than three readings after time zero: a curve needs "
            "three or more",
        )
    if time is not None and _falls_back(time):
        yield (
            (*path, "time"),
            f"{list_given(time)}: each time must be later than the one before",
        )
    yield from _as_many(path, "level", level, time, "time")
    rest = well.static_level if test.rest_level is None else test.rest_level
    if known(level, rest):
        for number, depth in enumerate(level):
            if depth < rest:
                yield (
                    (*path, "level"),
                    f"{item_written(level, number)} lies above the water at rest "
                    f"({as_given(rest)}): levels are depths, and pumping makes them greater",
                )
    if known(level, well.depth) and test.distance is None:
        for number, depth in enumerate(level):
            if depth > well.depth:
                yield (
                    (*path, "level"),
                    f"{item_written(level, number)} lies below the bottom of the well "
                    f"({as_given(well.depth)})",
                )


def _as_many(path: Path, name: str, values: Any, others: Any, thing: str) -> Mistakes:
    if values is not None and others is not None and len(values) != len(others):
        yield (
            (*path, name),
            f"{list_given(values)} has {count(values, 'value')} for {count(others, thing)}: "
            f"give one for each {thing}",
        )


def _falls_back(values: Any) -> bool:
    return any(later <= sooner for sooner, later in pairwise(values))
