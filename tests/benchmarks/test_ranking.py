"""Speed of ranking many designs over an hourly year, as a ratio to one design after the other.

One after the other runs plain, as where numba is missing: in machine code a design alone takes a
millisecond and a half, and first a second to load it.

The pass mark is a third of what was measured, since the machine may be busy; the line printed by
`pytest -s tests/benchmarks` shows what this run reached.
"""

from __future__ import annotations

import time

import numpy as np

from tests.benchmarks.marks import Read, told
from wellsolar.physics.supply import (
    battery,
    ranking,
    stepper,
)

HOURS = 8760
ALONE = 10


def year():
    """Power of one 300 W module with cloudy days in a row, and a demand with two peaks a day."""
    random = np.random.default_rng(1)
    hour, day = np.arange(HOURS) % 24, np.arange(HOURS) // 24
    clear = np.clip(np.sin((hour - 6) / 12 * np.pi), 0.0, None)
    clear *= 0.75 - 0.25 * np.cos(2 * np.pi * day / 365)
    power = 300.0 * 0.77 * clear * np.repeat(random.beta(2.0, 1.2, 365), 24)
    demand = np.where((hour == 7) | (hour == 19), 0.35, 0.02)
    return power, np.where(hour < 5, 0.0, demand)


def test_two_hundred_pairs_of_pump_and_array(monkeypatch, record_property):
    monkeypatch.setattr(stepper, "compiled", lambda kernel: None)
    power, demand = year()
    system = battery.BatterySystem(0.0, 0.95, 0.95, 0.9, 15.0, 3000.0, 40.0)
    sizes = [(2e-4, 250.0), (3e-4, 420.0), (5e-4, 900.0), (2.5e-4, 310.0)]
    pumps = [
        ranking.PumpChoice(f"pump {number}", flow, need)
        for number, (flow, need) in enumerate(sizes)
    ]

    pairs = [
        ranking.Design(pump, modules, capacity, 0.3)
        for pump in pumps
        for modules in range(1, 11)
        for capacity in (0.0, 3.6e6, 7.2e6, 1.44e7, 2.88e7)
    ]
    rank_time, rows = timed(lambda: ranking.run_designs(pairs, power, demand, system))
    designs = pairs[:: len(pairs) // ALONE][:ALONE]
    alone_time, alone = timed(
        lambda: [ranking.run_designs([each], power, demand, system)[0] for each in designs]
    )
    ratio = alone_time / ALONE * len(rows) / rank_time
    assert len(rows) == 200
    short = rows > 1e-6 * demand.reshape(-1, 24).sum(axis=1)
    assert len(set(short.sum(axis=1).tolist())) > 20
    np.testing.assert_allclose(rows[:: len(pairs) // ALONE][:ALONE], alone, atol=1e-9)
    what = f"{len(rows)} pairs of pump and array side by side"
    told(record_property, Read(what, "one by one", ratio, 3.0, None, False))


def timed(call):
    start = time.perf_counter()
    result = call()
    return time.perf_counter() - start, result
