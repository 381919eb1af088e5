"""How the sources of an outage are summed, bounded and put in order, with cells that are made up
and the answer worked out beside each."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import pytest

from tests.studies.outage.huts import HAND, HUT
from wellsolar.results.outages import Outage, OutageCell, Store
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.outage import sources
from wellsolar.studies.outage.equipment import Event, Wanted
from wellsolar.studies.outage.sources import well_volume

DAY = 86_400.0
LITRE = 1e-3
SECOND_PUMP = """
[[pump]]
name = "second"
intake_depth = "40 m"
flow = "0, 10, 20 L/min"
head = "90, 70, 40 m"
"""
LIFTS = """
[[lift]]
name = "rope"
head = "10, 40 m"
flow = "30, 8 L/min"
[[lift]]
name = "windlass"
head = "40 m"
flow = "4 L/min"
"""


def cell(
    source: str,
    kind: str,
    litres: float,
    power: str = "grid",
    effort: float | None = None,
    pressure: Any = "no",
    limit: str = "",
) -> OutageCell:
    return OutageCell(
        source, kind, litres * LITRE, power, effort, pressure, limit or f"limit of {source}"
    )  # fmt: skip


def composed(
    monkeypatch: pytest.MonkeyPatch,
    made: dict[str, OutageCell],
    stored: list[OutageCell],
    text: str = HUT + SECOND_PUMP + HAND + LIFTS,
    failed: tuple[str, ...] = ("grid",),
    whole: float = math.inf,
    kept: float = 0.0,
    survival: float = 0.090,
    days: int = 7,
) -> Outage:
    """An outage of a site whose cells are these."""
    site = parse_site(text).site
    monkeypatch.setattr(sources, "_pump_cell", lambda _, pump, event: made[pump.name])
    monkeypatch.setattr(sources, "_hand_cell", lambda _, lift, name, event: made[name])
    monkeypatch.setattr(sources, "_stored_cell", lambda _, event: stored)
    # Ten litres a minute at any handle.
    monkeypatch.setattr(
        sources, "minutes_for", lambda lift, volume, place, people: volume / LITRE / lift.pace
    )
    pumps = [
        SimpleNamespace(name=table.name, intake_depth=float(table.intake_depth or 30.0))
        for table in site.pump
    ]
    hand = SimpleNamespace(
        draws_water=True, cylinder_depth=24.0, suction_limit=None, people_pumping=1, pace=10.0
    )
    lifts = [SimpleNamespace(name=table.name, people_pumping=1, pace=pace)
             for table, pace in zip(site.lift, (8.0, 4.0), strict=False)]  # fmt: skip
    has = SimpleNamespace(
        site=site, pumps=pumps, lifts=lifts, hand=hand if site.hand_pump is not None else None
    )
    before = SimpleNamespace(
        volume=whole, cell=lambda name: SimpleNamespace(volume=made[name].volume)
    )
    tried: Any = SimpleNamespace(
        has=has, sun=SimpleNamespace(dark_run=lambda event: None),
        wanted=Wanted(survival, 0.120, 0.600),
        stores=(Store("storage tank", kept, None, ""),), whole=before,
    )  # fmt: skip
    return sources.outage(tried, Event("key", "name", frozenset(failed), days))


def test_the_sources_are_tried_in_order_of_ease(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pumps by what they give, then stored water, then the handle that asks least, of whichever
    kind; what gives nothing is not there."""
    made = {
        "house pump": cell("house pump", "pump", 800, "battery"),
        "second": cell("second", "pump", 1100, "generator"),
        "hand pump": cell("hand pump", "hand pump", 2000, "hands", 540.0),
        "rope": cell("rope", "lift", 900, "hands", 300.0),
        "windlass": cell("windlass", "lift", 700, "hands", 1500.0),
    }
    stored = [cell("stored water", "stored", 5, "none")]
    found = composed(monkeypatch, made, stored)
    assert found.order == (
        "second", "house pump", "stored water", "rope", "hand pump", "windlass",
    )  # fmt: skip
    made["second"] = cell("second", "pump", 0)
    found = composed(monkeypatch, made, stored)
    assert found.order == ("house pump", "stored water", "rope", "hand pump", "windlass")


@pytest.mark.parametrize(
    ("powers", "pumped"),
    [
        # Of one battery, generator or array the best alone; the grid bears all.
        (("battery", "battery"), 1100),
        (("battery", "generator"), 1100),
        (("sun", "inverter"), 1100),
        (("grid", "battery"), 1900),
        (("grid", "grid"), 1900),
    ],
)
def test_what_they_give_together(
    monkeypatch: pytest.MonkeyPatch, powers: tuple[str, str], pumped: float
) -> None:
    made = {
        "house pump": cell("house pump", "pump", 800, powers[0]),
        "second": cell("second", "pump", 1100, powers[1]),
        "hand pump": cell("hand pump", "hand pump", 2000, "hands", 540.0),
        "rope": cell("rope", "lift", 900, "hands", 300.0),
        "windlass": cell("windlass", "lift", 0),
    }
    found = composed(monkeypatch, made, [cell("stored water", "stored", 50, "none")])
    total = (pumped + 2000 + 900 + 50) * LITRE
    assert found.volume == pytest.approx(total)
    assert found.survival == pytest.approx(total / 0.090)
    assert found.basic == pytest.approx(total / 0.120)
    assert found.normal == pytest.approx(total / 0.600)
    assert found.effort is None
    assert found.limit == "hand pump: limit of hand pump"
    # No more than with nothing out of order.
    less = composed(monkeypatch, made, [], whole=1.5)
    assert less.volume == pytest.approx(1.5)
    whole = composed(monkeypatch, made, [], whole=1.5, failed=())
    assert whole.volume == pytest.approx((pumped + 2900) * LITRE)


@pytest.mark.parametrize(
    ("tested", "failed", "litres"),
    [
        # 20 L/min a metre from 20 m on, to 45, 40 or 60 m: the deepest that works.
        ("", (), 20 * 40 * 1440),
        ("", ("rope", "windlass"), 20 * 25 * 1440),
        ("", ("rope", "windlass", "house pump"), 20 * 20 * 1440),
        ("", ("rope", "windlass", "house pump", "second"), 20 * 4 * 1440),
        ('tested_yield = "1 L/min"\n', (), 1440),
        ('tested_yield = "1 L/min"\n', ("rope", "windlass", "house pump", "second"), 1440),
        ("", ("rope", "windlass", "house pump", "second", "hand pump"), math.inf),
    ],
)
def test_what_the_well_gives_a_day(tested: str, failed: tuple[str, ...], litres: float) -> None:
    text = (HUT + SECOND_PUMP + HAND + LIFTS).replace(
        "[pressure_switch]", tested + "[pressure_switch]"
    )
    text = text.replace("20 m (18 m .. 26 m)", "20 m")
    site = parse_site(text).site
    pumps = [SimpleNamespace(name=each.name, intake_depth=float(each.intake_depth or 0.0))
             for each in site.pump]  # fmt: skip
    hand = SimpleNamespace(draws_water=True, cylinder_depth=24.0, suction_limit=None)
    lifts = [SimpleNamespace(name=each.name) for each in site.lift]
    has: Any = SimpleNamespace(site=site, pumps=pumps, hand=hand, lifts=lifts)
    assert well_volume(has, frozenset(failed)) / LITRE == pytest.approx(litres)
    # One that sucks draws the water down as far as suction reaches; a dry one not at all.
    hand.cylinder_depth, hand.suction_limit = None, 22.0
    alone = frozenset({"rope", "windlass", "house pump", "second"})
    reached = min(20 * 2 * 1440, 1440 if tested else math.inf)
    assert well_volume(has, alone) / LITRE == pytest.approx(reached)
    hand.draws_water = False
    assert well_volume(has, alone) / LITRE == pytest.approx(1440 if tested else math.inf)


def test_a_poor_well_bounds_pumps_and_hands_and_not_what_is_stored(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """40 L a day of the well and 5 that are stored of 90: 45 by hand at no more than 10, 8 and
    4 L/min, that is 45 minutes over ten."""
    made = {
        "house pump": cell("house pump", "pump", 800, pressure="yes"),
        "second": cell("second", "pump", 0),
        "hand pump": cell("hand pump", "hand pump", 2000, "hands", 540.0, "by hand"),
        "rope": cell("rope", "lift", 900, "hands", 300.0),
        "windlass": cell("windlass", "lift", 700, "hands", 1500.0),
    }
    text = (HUT + SECOND_PUMP + HAND + LIFTS).replace(
        "[pressure_switch]", f'tested_yield = "{40 / 1440} L/min"\n[pressure_switch]'
    )
    stored = [cell("stored water", "stored", 5, "none")]
    found = composed(monkeypatch, made, stored, text)
    assert found.volume == pytest.approx(45 * LITRE)
    assert found.limit == "yield of the well"
    assert found.effort == pytest.approx(4.5 * 60)
    assert found.pressure == "yes"
    # Nothing is missing: nobody works.
    assert composed(monkeypatch, made, stored, text, survival=0.045).effort is None
    # So much is missing that a day's work is all there is.
    assert composed(monkeypatch, made, stored, text, survival=9.0).effort == 8 * 3600.0
    made["house pump"] = cell("house pump", "pump", 0)
    assert composed(monkeypatch, made, stored, text).pressure == "by hand"
    # With every handle dry but the rope's and the windlass', the quicker of them.
    made["hand pump"] = cell("hand pump", "hand pump", 0)
    assert composed(monkeypatch, made, [], text).effort == pytest.approx(90 / 8 * 60)


CISTERN = (
    HUT.replace('role = "existing"', 'role = "existing"\ndelivers = "storage tank"')
    + """
[storage_tank]
volume = "2000 L"
[[pump]]
name = "booster"
kind = "suction"
draws = "storage tank"
flow = "0, 20, 40 L/min"
head = "50, 40, 20 m"
"""
)


@pytest.mark.parametrize(
    ("comes", "kept", "days", "litres"),
    [(300, 1400, 7, 500), (300, 1400, 14, 400), (3000, 1400, 7, 2500), (0, 1400, 7, 200)],
)
def test_a_booster_gives_what_its_tank_has_and_gets(
    monkeypatch: pytest.MonkeyPatch, comes: float, kept: float, days: int, litres: float
) -> None:
    """What comes in a day, and of what is in the tank a day's part; the booster's water is the
    filling pump's and counts once."""
    made = {
        "house pump": cell("house pump", "pump", comes),
        "booster": cell("booster", "pump", 2500, pressure="yes", limit="its own"),
    }
    stored = [cell("stored water", "stored", kept / days, "none")]
    found = composed(
        monkeypatch, made, stored, CISTERN, kept=kept * LITRE, days=days, failed=("sun",)
    )
    told = {each.source: each for each in found.cells}
    assert told["booster"].volume / LITRE == pytest.approx(litres)
    assert told["booster"].limit == ("its own" if litres == 2500 else "what the storage tank has")
    assert found.volume / LITRE == pytest.approx(comes + kept / days)
    assert found.pressure == "yes"
    if comes > kept / days:
        assert found.limit == "house pump: limit of house pump"


def test_what_limits_the_only_source(monkeypatch: pytest.MonkeyPatch) -> None:
    """Alone it needs no name. Two boosters on what is left in a tank bring no water of their
    own."""
    made = {name: cell(name, "pump", 0) for name in ("house pump", "booster", "other")}
    made["house pump"] = cell("house pump", "pump", 800)
    alone = composed(monkeypatch, made, [], HUT, failed=())
    assert (alone.order, alone.limit) == (("house pump",), "limit of house pump")
    made["second"] = cell("second", "pump", 300)
    both = composed(monkeypatch, made, [], HUT + SECOND_PUMP, failed=())
    assert both.limit == "house pump: limit of house pump"
    other = CISTERN[CISTERN.rindex("[[pump]]") :].replace('"booster"', '"other"')
    made = {name: cell(name, "pump", 2500) for name in ("booster", "other")}
    made["house pump"] = cell("house pump", "pump", 0)
    found = composed(monkeypatch, made, [], CISTERN + other, failed=(), kept=1.4)
    assert (found.order, found.limit) == (("booster", "other"), "no source is left")
    assert [each.volume for each in found.cells] == pytest.approx([0.0, 0.2, 0.2])


@pytest.mark.parametrize(
    ("lifted", "carried", "litres"), [(50, 0.9, 1400), (50, None, 500), (0, 0.9, 500)]
)
def test_hands_fill_the_tank_that_a_booster_draws_from(
    monkeypatch: pytest.MonkeyPatch, lifted: float, carried: float | None, litres: float
) -> None:
    """Beside 300 L of the pump's and 200 that are left: what a day's work brings up to the tank,
    not what it gives at the spout."""

    def volume_in(_: Any, *asked: Any) -> float | None:
        assert asked == (28_800.0, "storage tank", 1)
        return carried

    monkeypatch.setattr(sources, "volume_in", volume_in)
    made = {
        "house pump": cell("house pump", "pump", 300),
        "booster": cell("booster", "pump", 2500),
        "hand pump": cell("hand pump", "hand pump", lifted, "hands", 540.0),
    }
    found = composed(monkeypatch, made, [], CISTERN + HAND, kept=1.4)
    assert found.cells[1].volume / LITRE == pytest.approx(litres)
    assert found.volume / LITRE == pytest.approx(300 + lifted)


@pytest.mark.parametrize(
    ("powers", "far", "litres", "limit"),
    [
        # The best of one battery with what hands lift, or all that the grid bears.
        (("battery", "battery"), 9000, 1100 + 300, "second: limit of second"),
        (("grid", "battery"), 9000, 800 + 1100 + 300, "second: limit of second"),
        # A thousand litres of the far well, by its pump and by hand, are no more than the others.
        (("battery", "battery"), 1000, 800 + 300, "yield of the wells"),
        (("grid", "grid"), 1000, 800 + 1000, "yield of the wells"),
    ],
)
def test_pumps_and_hands_on_two_wells(
    monkeypatch: pytest.MonkeyPatch, powers: tuple[str, str], far: float, litres: float, limit: str
) -> None:
    well = (
        f'[[other_well]]\nname = "far"\ndepth = "50 m"\nstatic_level = "9 m"\n'
        f'tested_yield = "{far / 1440} L/min"\nspecific_capacity = "20 L/min/m"\n'
    )
    line = 'line = { material = "PVC sch 40", size = "1 in", length = "9 m" }'
    pump = SECOND_PUMP.replace('"second"', f'"second"\nwell = "far"\n{line}')
    hand = HAND.replace("[hand_pump]", '[hand_pump]\nwell = "far"')
    made = {
        "house pump": cell("house pump", "pump", 800, powers[0]),
        "second": cell("second", "pump", 1100, powers[1]),
        "hand pump": cell("hand pump", "hand pump", 300, "hands", 540.0),
    }
    found = composed(monkeypatch, made, [], HUT + well + pump + hand, failed=())
    assert found.volume / LITRE == pytest.approx(litres)
    assert found.limit == limit


def test_a_well_that_gives_less_than_the_better_of_two_pumps(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """900 L a day for pumps of 800 and of 1100 on one battery."""
    made = {
        "house pump": cell("house pump", "pump", 800, "battery"),
        "second": cell("second", "pump", 1100, "battery"),
    }
    tested = f'tested_yield = "{900 / 1440} L/min"\n[pressure_switch]'
    text = (HUT + SECOND_PUMP).replace("[pressure_switch]", tested)
    found = composed(monkeypatch, made, [], text, failed=())
    assert found.volume / LITRE == pytest.approx(900)
    assert found.limit == "yield of the well"
