"""A spring of a PV-heated tank against a second program for the same physics."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

from tests.sampled import sampled
from tests.studies.heat.ridge_tank import (
    BY_VOLUME,
    COLD,
    DAY,
    GALLON,
    HOT,
    LOSS,
    RIDGE,
    ROOM,
    TAP,
    VOLUME,
    driven,
    tank_of,
)
from wellsolar.studies.heat.year import run_year


def settled(nodes: np.ndarray[Any, Any]) -> None:
    """Average the whole of any run of layers in which a lower one is warmer, until none is."""
    while (nodes[1:] < nodes[:-1] - 1e-9).any():
        low = high = int(np.flatnonzero(nodes[1:] < nodes[:-1] - 1e-9)[0])
        while high + 1 < nodes.size and nodes[high + 1] < nodes[low : high + 1].mean():
            high += 1
        nodes[low : high + 1] = nodes[low : high + 1].mean()
        if low and nodes[low - 1] > nodes[low]:
            nodes[low - 1 : high + 1] = nodes[low - 1 : high + 1].mean()


def minutes_of(
    power: np.ndarray[Any, Any],
    draws: list[tuple[float, float, float]],
    start: float,
    grid: tuple[float, float] | None = None,
) -> Iterator[tuple[int, float, float, float, float, float]]:
    """Ten layers through hours of power [W] and draws a day (start s, duration s, volume m3).

    Gives for each minute: its number, PV heat, grid heat, heat drawn and heat missing [J], top.
    """
    nodes = np.full(10, start)
    layer = VOLUME / 10
    heat = layer * BY_VOLUME
    height = 2.5 * (4 * VOLUME / (math.pi * 2.5)) ** (1 / 3) / 10
    conduction = 1.5 / (BY_VOLUME * height**2) * 60
    on = grid_on = True
    asked = [
        sum(
            volume * 60 / duration * max(0.0, min(1.0, (begin + duration - clock) / 60,
                                                 (clock + 60 - begin) / 60))
            for begin, duration, volume in draws
        )
        for clock in range(0, 86400, 60)
    ]  # fmt: skip
    for minute in range(power.size * 60):
        nodes -= LOSS / 10 * (nodes - ROOM) * 60 / heat
        flow = conduction * np.diff(nodes)
        nodes[:-1] += flow
        nodes[1:] -= flow
        on = nodes[1] < (HOT if on else HOT - 5)
        taken = power[minute // 60] * 60 if on else 0.0
        nodes[1] += taken / heat
        settled(nodes)
        warmed = 0.0
        if grid is not None:
            grid_on = nodes[7] < (grid[1] if grid_on else grid[1] - 5)
            warmed = grid[0] * 60 if grid_on else 0.0
            nodes[7] += warmed / heat
            settled(nodes)
        drawn = missing = 0.0
        left = asked[minute % 1440]
        while left > 1e-12:
            piece = min(left, 0.1 * layer)
            top = nodes[-1]
            share = 1.0 if top <= TAP else (TAP - COLD) / (top - COLD)
            drawn += piece * share * BY_VOLUME * (top - COLD)
            missing += piece * BY_VOLUME * max(0.0, TAP - COLD - share * (top - COLD))
            moved = piece * share / layer
            nodes += moved * (np.append(COLD, nodes[:-1]) - nodes)
            left -= piece
        yield minute, taken, warmed, drawn, missing, float(nodes[-1])


MEDIUM = [
    (0.0, 15, 1.7), (0.5, 2, 1), (1 + 2 / 3, 9, 1.7), (10.5, 9, 1.7), (11.5, 5, 1.7), (12, 1, 1),
    (12.75, 1, 1), (12 + 5 / 6, 1, 1), (16, 1, 1), (16.25, 2, 1), (16.75, 2, 1.7), (17, 7, 1.7),
]  # fmt: skip
"""10 CFR 430 Subpart B App. E Table III.3 (draw lines from memory): hours after the first, gal,
gpm."""


@pytest.mark.parametrize("with_grid", sampled([False, True], True))
def test_spring_minute_by_minute(with_grid: bool) -> None:
    """PV heat, grid heat, heat drawn, heat missing and evenings of 46 days from 16 March."""
    work, heated, helpers = driven(RIDGE)
    first, count = 74, 46
    draws = [
        ((6 + hour) * 3600, gallons / flow * 60, gallons * GALLON)
        for hour, gallons, flow in MEDIUM
    ]
    assert helpers.grid is not None
    grid = helpers.grid if with_grid else None
    year = run_year(work, heated, grid=grid)
    steps = heated.fine
    ends = np.cumsum(steps.step)
    before = int(np.searchsorted(ends, first * DAY - 1))
    inside = slice(before + 1, int(np.searchsorted(ends, (first + count) * DAY - 1)) + 1)
    power = heated.power[first * 24 : (first + count) * 24]
    mine, hot_volume = np.zeros(4), 0.0
    evening_missing = np.zeros(count)
    # 120 degF of the upper element in the file.
    own_grid = (4500.0, (120 - 32) / 1.8) if with_grid else None
    start = float(year.run.mean_temperature[before])
    for minute, *parts, _ in minutes_of(power, draws, start, own_grid):
        mine += parts
        in_april = 16 <= minute // 1440 < 46
        if in_april and parts[3] <= 1e-9 * parts[2]:
            hot_volume += parts[2] / (BY_VOLUME * (TAP - COLD))
        if 17.5 * 60 <= minute % 1440 < 17.5 * 60 + 3:
            evening_missing[minute // 1440] += parts[3]
    ours = [
        float((series * steps.step)[inside].sum())
        for series in (
            year.run.accepted_power, year.run.grid_power, year.run.delivered_power,
            year.run.short_power,
        )
    ]  # fmt: skip
    # The start is the same mean but mixed; minutes against steps along the draws.
    for own, found in zip(mine, ours, strict=True):
        assert found == pytest.approx(own, rel=0.01, abs=0.004 * mine[2])
    household = tank_of(RIDGE).households[1 if with_grid else 0]
    april = household.months[3]
    hot = int((evening_missing[16:46] < 1e-3 * 5 * GALLON * BY_VOLUME * (TAP - COLD)).sum())
    assert abs(april.evenings_hot - hot) <= 2
    assert april.tap_volume == pytest.approx(hot_volume, abs=0.01 * 30 * 55 * GALLON)
