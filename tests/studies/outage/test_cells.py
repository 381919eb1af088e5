"""What one source gives in an outage, and on what it runs, with made-up equipment."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from wellsolar.errors import OutOfRange
from wellsolar.results.hand import HandPumpResult, LiftResult
from wellsolar.results.outages import OutageCell, Store
from wellsolar.studies.electric.starting import DIP, GENERATOR, RATING, SURGE, VOLTAGE
from wellsolar.studies.outage import equipment, power, sources
from wellsolar.studies.outage import study as whole_study
from wellsolar.studies.outage.equipment import Event, Wanted
from wellsolar.studies.outage.power import Powered

DAY = 86_400.0
EIGHT_HOURS = 28_800.0


def event(*failed: str, days: int = 7) -> Event:
    return Event("key", "name", frozenset(failed), days)


class Hand(HandPumpResult):
    def __init__(self, places: tuple[str, ...] = (), depth: float | None = 30.0) -> None:
        for key, value in (("places_there", places), ("cylinder_depth", depth),
                           ("people_pumping", 2)):  # fmt: skip
            object.__setattr__(self, key, value)

    def place(self, key: str) -> Any:
        return key if key in self.places_there else None  # type: ignore[attr-defined]


class Rope(LiftResult):
    def __init__(self) -> None:
        object.__setattr__(self, "people", 3)
        object.__setattr__(self, "name", "rope")

    def place(self, key: str) -> Any:
        return None


def hand_cell(
    monkeypatch: pytest.MonkeyPatch, lift: Any, *failed: str, volume: float | None = 0.5,
    minutes: float | None = 30.0, survival: float | None = 0.1, place: str = "tank",
    falls: bool = True, well: str = "well",
) -> OutageCell:  # fmt: skip
    monkeypatch.setattr(sources, "_well_of", lambda site, name: well)
    monkeypatch.setattr(sources, "_crew", lambda has, lift: (2, place))
    monkeypatch.setattr(sources, "_falls", lambda site: falls)

    def volume_in(*asked: Any) -> float | None:
        assert asked == (lift, EIGHT_HOURS, place, 2)
        return volume

    def minutes_for(*asked: Any) -> float | None:
        assert asked == (lift, survival, place, 2)
        return minutes

    monkeypatch.setattr(sources, "volume_in", volume_in)
    monkeypatch.setattr(sources, "minutes_for", minutes_for)
    tried: Any = SimpleNamespace(
        has=SimpleNamespace(site=None), wanted=Wanted(survival, None, None)
    )  # fmt: skip
    name = "hand pump" if isinstance(lift, Hand) else "rope"
    return sources._hand_cell(tried, lift, name, event(*failed))


@pytest.mark.parametrize(
    ("lift", "failed", "others", "limit"),
    [
        (Hand(), ("well",), {}, "the well has failed"),
        (Hand(), ("hand pump",), {}, "it has failed"),
        (Rope(), ("hand pump",), {"volume": None}, "it does not reach the water"),
        (Rope(), ("rope",), {}, "it has failed"),
        (Hand(), ("storage tank",), {"place": "storage tank"}, "the storage tank has failed"),
        (Hand(), (), {"volume": 0.0}, "its cylinder hangs above the low-season water"),
        (Hand(depth=None), (), {"volume": None}, "suction does not reach the low-season water"),
    ],
)
def test_why_hands_lift_nothing(
    monkeypatch: pytest.MonkeyPatch, lift: Any, failed: tuple[str, ...], others: Any, limit: str
) -> None:
    cell = hand_cell(monkeypatch, lift, *failed, **others)
    assert (cell.volume, cell.effort, cell.power, cell.pressure) == (0.0, None, "none", "no")
    assert (cell.limit, cell.kind) == (limit, "hand pump" if isinstance(lift, Hand) else "lift")


@pytest.mark.parametrize(
    ("places", "failed", "others", "effort", "pressure"),
    [
        (("tank",), (), {}, 1800.0, "by hand"),
        (("tank",), ("pressure tank",), {}, 1800.0, "no"),
        ((), (), {}, 1800.0, "no"),
        (("storage tank",), (), {}, 1800.0, "by gravity"),
        (("storage tank",), (), {"place": "storage tank"}, 1800.0, "by gravity"),
        (("storage tank",), (), {"falls": False}, 1800.0, "no"),
        (("storage tank",), ("storage tank",), {}, 1800.0, "no"),
        # No more than a day's work, and just that where even it is too little.
        (("tank",), (), {"minutes": 500.0}, EIGHT_HOURS, "by hand"),
        (("tank",), (), {"minutes": None}, EIGHT_HOURS, "by hand"),
        (("tank",), (), {"survival": None}, EIGHT_HOURS, "by hand"),
    ],
)
def test_what_hands_lift(
    monkeypatch: pytest.MonkeyPatch, places: tuple[str, ...], failed: tuple[str, ...],
    others: Any, effort: float, pressure: str,
) -> None:  # fmt: skip
    cell = hand_cell(monkeypatch, Hand(places), *failed, **others)
    assert (cell.volume, cell.power, cell.limit) == (0.5, "hands", "8 h of work a day")
    assert (cell.effort, cell.pressure) == (effort, pressure)


@pytest.mark.parametrize(
    ("there", "valve", "goal", "crew"),
    [
        (True, False, "pressure tank", (2, "tank")), (True, False, "house", (2, "tank")),
        (True, False, "storage tank", (2, "storage tank")), (True, False, "spout", (2, "spout")),
        # The valve at the spout lets water out with the least work.
        (True, True, "pressure tank", (2, "spout")), (False, False, "pressure tank", (2, "spout")),
    ],
)  # fmt: skip
def test_who_pumps_and_where_to(
    monkeypatch: pytest.MonkeyPatch, there: bool, valve: bool, goal: str, crew: tuple[int, str]
) -> None:
    monkeypatch.setattr(sources.house, "hand_goal", lambda site: goal)
    table = SimpleNamespace(spout_valve=valve) if there else None
    has: Any = SimpleNamespace(site=SimpleNamespace(hand_pump=table))
    assert sources._crew(has, Hand()) == crew
    assert sources._crew(has, Rope()) == (3, "spout")


STORES = (Store("storage tank", 1.4, None, ""), Store("water heater", 0.2, None, ""))


@pytest.mark.parametrize(
    ("failed", "survival", "falls", "litres", "pressure", "limit"),
    [
        # 1.6 m3 in a week; at 0.1 m3 a day gone in 16 days.
        (("grid",), 0.1, True, 1600 / 7, "by gravity", "gone in 16.0 days of survival use"),
        (("grid",), 0.1, False, 1600 / 7, "no", "gone in 16.0 days of survival use"),
        (("grid",), None, False, 1600 / 7, "no", "its volume"),
        (("storage tank",), 0.1, True, 200 / 7, "no", "gone in 2.0 days of survival use"),
        (("storage tank", "water heater"), 0.1, True, 0, "no", "no store is left"),
        ((), 0.1, True, 0, "no", "the other sources keep the stores full"),
    ],
)
def test_what_the_stores_have(
    monkeypatch: pytest.MonkeyPatch, failed: tuple[str, ...], survival: float | None, falls: bool,
    litres: float, pressure: str, limit: str,
) -> None:  # fmt: skip
    monkeypatch.setattr(sources, "_falls", lambda site: falls)
    tried: Any = SimpleNamespace(
        stores=STORES, wanted=Wanted(survival, None, None), has=SimpleNamespace(site=None)
    )
    (cell,) = sources._stored_cell(tried, event(*failed))
    assert 1000 * cell.volume == pytest.approx(litres)
    assert (cell.kind, cell.pressure, cell.limit) == ("stored", pressure, limit)
    tried.stores = ()
    assert sources._stored_cell(tried, event(*failed)) == []


def test_what_is_stored_when_an_outage_begins() -> None:
    """3 m3 of which 40 % are kept, a pressure tank half way from 10 to 30 L, a heater of 200 L."""
    site = SimpleNamespace(
        storage_tank=SimpleNamespace(volume=3.0, reserve=0.4),
        water_heater=SimpleNamespace(volume=0.2),
    )
    tank = SimpleNamespace(stored_at_cut_in=0.03, stored_at_cut_out=0.01)
    has: Any = SimpleNamespace(site=site, tank=tank)
    found = sources.stores_of(has, Wanted(0.1, None, None))
    assert [(each.name, each.volume, each.days) for each in found] == [
        ("storage tank", pytest.approx(1.2), pytest.approx(12.0)),
        ("pressure tank", pytest.approx(0.02), pytest.approx(0.2)),
        ("water heater", 0.2, pytest.approx(2.0)),
    ]
    for survival in (None, 0.0):
        days = {each.days for each in sources.stores_of(has, Wanted(survival, None, None))}
        assert days == {None}
    site.storage_tank = site.water_heater = has.tank = None  # type: ignore[assignment]
    assert sources.stores_of(has, Wanted(0.1, None, None)) == ()


@pytest.mark.parametrize(
    ("head", "tank", "above", "by", "falls"),
    [
        (3.0, True, 0.0, "switch", True),
        # A tank without a height stands at the end of the line.
        (None, True, 2.0, "none", True), (None, True, 0.0, "none", False),
        (None, True, -1.0, "none", False), (None, True, 2.0, "switch", False),
        (None, False, 2.0, "none", False), (None, "high", 2.0, "none", False),
    ],
)  # fmt: skip
def test_whether_a_tank_runs_down_to_the_house(
    monkeypatch: pytest.MonkeyPatch, head: float | None, tank: bool | str, above: float, by: str,
    falls: bool,
) -> None:  # fmt: skip
    monkeypatch.setattr(sources.house, "gravity_head", lambda site: head)
    monkeypatch.setattr(sources.house, "pressure_by", lambda site: by)
    table = SimpleNamespace(elevation=9.0 if tank == "high" else None) if tank else None
    site: Any = SimpleNamespace(
        storage_tank=table, piping=SimpleNamespace(tank_elevation=above)
    )  # fmt: skip
    assert sources._falls(site) is falls


@pytest.mark.parametrize(
    ("to_house", "by_switch", "failed", "falls", "pressure"),
    [
        (True, True, (), True, "yes"), (True, True, ("pressure tank",), True, "short cycling"),
        (True, False, ("pressure tank",), True, "yes"), (False, False, (), True, "by gravity"),
        (False, False, (), False, "no"), (False, False, ("storage tank",), True, "no"),
    ],
)  # fmt: skip
def test_how_water_stands_at_the_taps(
    monkeypatch: pytest.MonkeyPatch, to_house: bool, by_switch: bool, failed: tuple[str, ...],
    falls: bool, pressure: str,
) -> None:  # fmt: skip
    monkeypatch.setattr(sources, "_falls", lambda site: falls)
    has: Any = SimpleNamespace(site=None)
    link: Any = SimpleNamespace(to_house=to_house, by_switch=by_switch)
    assert sources._pressed(has, link, frozenset(failed)) == pressure


WORKS = [Powered(0.0, "none", "no modules or battery feed it", ("a",)),
         Powered(2.0, "grid", "flow of the pump"), Powered(1.0, "sun", "sun")]  # fmt: skip
STANDS = [Powered(0.0, "none", "the grid has failed"),
          Powered(0.0, "none", "the generator does not start it", ("power.generator",)),
          Powered(0.0, "none", "no modules or battery feed it")]  # fmt: skip


@pytest.mark.parametrize(
    ("link", "failed", "flow", "ways", "limit", "volume"),
    [
        ({}, (), 1.0, WORKS, "flow of the pump", 2.0),
        ({}, ("pressure tank",), 1.0, WORKS, "far too many starts", 2.0),
        # The way that it was meant to go comes last, but no modules are none.
        ({}, (), 1.0, STANDS, "the generator does not start it", 0.0),
        ({}, (), 1.0, STANDS[2:], "no modules or battery feed it", 0.0),
        ({"from_tank": True}, ("storage tank",), 1.0, WORKS, "the storage tank has failed", 0.0),
        ({}, ("storage tank",), 1.0, WORKS, "flow of the pump", 2.0),
        ({}, ("well",), 1.0, WORKS, "the well has failed", 0.0),
        ({"well": "far"}, ("far",), 1.0, WORKS, "its well has failed", 0.0),
        ({"well": "far"}, ("well",), 1.0, WORKS, "flow of the pump", 2.0),
        ({}, ("pump",), 1.0, WORKS, "it has failed", 0.0),
        ({}, (), 0.0, WORKS, "it lifts no water here", 0.0),
        ({}, ("pressure switch",), 1.0, WORKS, "its pressure switch has failed", 0.0),
        ({"by_switch": False}, ("pressure switch",), 1.0, WORKS, "flow of the pump", 2.0),
        ({"switch": None}, ("pressure switch",), 1.0, WORKS, "flow of the pump", 2.0),
    ],
)
def test_a_pump_in_an_outage(
    monkeypatch: pytest.MonkeyPatch, link: dict[str, Any], failed: tuple[str, ...], flow: float,
    ways: list[Powered], limit: str, volume: float,
) -> None:  # fmt: skip
    well = link.get("well")
    of: Any = SimpleNamespace(
        from_tank=link.get("from_tank", False), by_switch=link.get("by_switch", True),
        to_house=True, table=SimpleNamespace(well=well),
    )  # fmt: skip
    monkeypatch.setattr(sources.house, "link_of", lambda site, table: of)
    monkeypatch.setattr(sources, "draws_from", lambda table: table.well or "well")
    monkeypatch.setattr(sources, "grid_or_generator", lambda *_: ways[:-1])
    switch = link.get("switch", object())
    has = SimpleNamespace(site=SimpleNamespace(pressure_switch=switch), table=lambda pump: None)
    tried: Any = SimpleNamespace(has=has, sun=SimpleNamespace(water=lambda *_: ways[-1]))
    pump: Any = SimpleNamespace(name="pump", duties=[SimpleNamespace(flow=flow)])
    cell = sources._pump_cell(tried, pump, event(*failed))
    assert (cell.source, cell.limit, cell.volume) == ("pump", limit, volume)
    assert cell.power == ("grid" if volume else "none")
    assert cell.needs == (("power.generator",) if limit.startswith("the generator") else ())


def generator(**others: Any) -> list[Powered]:
    """Ways of a pump of 2 L/s on a well of 1.5 L/s, with a generator for 3 hours a day."""
    has = {"grid": True, "generator": 4000.0, "supply": "AC", "tested": 0.0015,
           "from_tank": False, "energy": 1e6, "failed": (), "status": "pass"} | others  # fmt: skip
    power_table = SimpleNamespace(
        grid=has["grid"], generator_rating=has["generator"], generator_hours=3 * 3600.0
    )
    table = SimpleNamespace(supply=has["supply"])
    status = has["status"]
    said = None if status is None else SimpleNamespace(status=status, needs=("needs",))
    of: Any = SimpleNamespace(
        site=SimpleNamespace(power=power_table), table=lambda pump: table,
        verdict=lambda rule, name: said if rule is GENERATOR else None,
    )  # fmt: skip
    pump: Any = SimpleNamespace(
        name="pump", duties=[SimpleNamespace(flow=0.001)], energy_per_volume=has["energy"]
    )
    with pytest.MonkeyPatch.context() as patch:
        well = SimpleNamespace(well=SimpleNamespace(tested_yield=has["tested"]))
        patch.setattr(power, "at_well", lambda site, table: well)
        link = SimpleNamespace(from_tank=has["from_tank"])
        patch.setattr(power, "link_of", lambda site, table: link)
        patch.setattr(power.system, "running_flow", lambda pump: 0.002)
        patch.setattr(power, "_too_few_phases", lambda has, pump, supply: others.get(supply))
        return power.grid_or_generator(of, pump, event(*has["failed"]))


FEW = Powered(0.0, "none", "three phases")


@pytest.mark.parametrize(
    ("others", "ways"),
    [
        # 1.5 L/s are 129.6 m3 a day and 16.2 m3 in three hours; 2 L/s 172.8 m3.
        ({}, [(129.6, "grid", "yield of the well"), (16.2, "generator", "fuel of the generator")]),
        ({"tested": None, "generator": None}, [(172.8, "grid", "flow of the pump")]),
        ({"tested": 0.003, "generator": None}, [(172.8, "grid", "flow of the pump")]),
        ({"from_tank": True, "generator": None}, [(172.8, "grid", "flow of the pump")]),
        # Of one that lifts nothing up to the cut-out, the flow of its first duty.
        ({"energy": None, "generator": None}, [(86.4, "grid", "flow of the pump")]),
        ({"supply": "DC"}, []),
        ({"grid": False, "generator": None}, []),
        ({"grid": False, "generator": None, "failed": ("grid",)}, []),
        ({"failed": ("grid", "generator")}, [(0.0, "none", "the grid has failed")]),
        ({"failed": ("generator",)}, [(129.6, "grid", "yield of the well")]),
        ({"grid": FEW, "generator": FEW},
         [(0.0, "none", "three phases"), (0.0, "none", "three phases")]),
        ({"failed": ("grid",), "status": "unknown"},
         [(0.0, "none", "the grid has failed"),
          (0.0, "none", "not known whether the generator starts it")]),
        ({"failed": ("grid",), "status": "fail"},
         [(0.0, "none", "the grid has failed"), (0.0, "none", "the generator does not start it")]),
        ({"failed": ("grid",), "status": None},
         [(0.0, "none", "the grid has failed"), (16.2, "generator", "fuel of the generator")]),
    ],
)  # fmt: skip
def test_a_pump_on_grid_and_generator(
    others: dict[str, Any], ways: list[tuple[float, str, str]]
) -> None:
    found = generator(**others)
    assert [(each.power, each.limit) for each in found] == [way[1:] for way in ways]
    assert [each.volume for each in found] == pytest.approx([way[0] for way in ways])


@pytest.mark.parametrize(
    ("three", "phases", "limit", "needs"),
    [
        (False, 1, None, ()), (True, 3, None, ()),
        (True, 1, "its motor has three phases, the grid one", ()),
        (True, None, "not known whether the grid has the three phases of its motor", ("key",)),
    ],
)  # fmt: skip
def test_a_motor_of_three_phases(
    monkeypatch: pytest.MonkeyPatch, three: bool, phases: int | None, limit: str | None,
    needs: tuple[str, ...],
) -> None:  # fmt: skip
    monkeypatch.setattr(power, "needs_three", lambda table: three)
    monkeypatch.setattr(power, "phases_of", lambda site, supply: phases)
    monkeypatch.setattr(power, "key_of", lambda supply: "key")
    has: Any = SimpleNamespace(site=None, table=lambda pump: None)
    pump: Any = None
    found = power._too_few_phases(has, pump, "grid")
    if limit is None:
        assert found is None
        return
    assert found == Powered(0.0, "none", limit, needs)


@pytest.mark.parametrize(
    ("said", "limit", "needs"),
    [
        ({}, None, ()),
        (dict.fromkeys((VOLTAGE, RATING, SURGE, DIP), "pass"), None, ()),
        ({SURGE: "caution"}, None, ()),
        ({VOLTAGE: "fail", SURGE: "fail"}, "the inverter has another voltage", ()),
        ({RATING: "fail"}, "the inverter is too small to run it", ()),
        ({VOLTAGE: "pass", SURGE: "fail"}, "the inverter does not start it", ()),
        ({DIP: "fail"}, "its cable drops too much voltage to start it", ()),
        ({SURGE: "unknown", DIP: "fail"}, "not known whether the inverter starts it", ("needs",)),
    ],
)
def test_an_inverter_that_refuses_a_pump(
    monkeypatch: pytest.MonkeyPatch, said: dict[Any, str], limit: str | None,
    needs: tuple[str, ...],
) -> None:  # fmt: skip
    monkeypatch.setattr(power, "_too_few_phases", lambda *_: None)
    verdicts = {rule.key: SimpleNamespace(status=status, needs=("needs",))
                for rule, status in said.items()}  # fmt: skip
    has: Any = SimpleNamespace(verdict=lambda rule, name: verdicts.get(rule.key))
    pump: Any = SimpleNamespace(name="pump")
    found = power._inverter_refuses(has, pump)
    assert found == (None if limit is None else Powered(0.0, "none", limit, needs))
    monkeypatch.setattr(power, "_too_few_phases", lambda has, pump, supply: FEW)
    assert power._inverter_refuses(has, pump) is FEW


def test_the_darkest_days_over_the_turn_of_the_year(monkeypatch: pytest.MonkeyPatch) -> None:
    """Days of 5, 4, 1, 3, 2 and 1 times 24 W h: two in a row give least from the third on, three
    from the fourth on, and of two the last and the first give 6."""
    total = np.repeat([5.0, 4.0, 1.0, 3.0, 2.0, 1.0], 24)
    assert power._run_sums(total, 2) / 24 == pytest.approx([9, 5, 4, 5, 3, 6])
    assert power._run_sums(total, 3) / 24 == pytest.approx([10, 8, 6, 6, 8, 10])
    # The days are the 30th of January to the 4th of February.
    hours: Any = SimpleNamespace(
        month=np.repeat([1, 1, 2, 2, 2, 2], 24), day_of_year=np.repeat(np.arange(30, 36), 24)
    )
    found = power._dark_run(total, 2, hours)
    # 3 x 24 W h over two days; of a usual day 16 / 6 of 24 W h.
    assert (found.begins, found.month, found.day) == (4, 2, 3)
    assert found.energy == pytest.approx(1.5 * DAY)
    assert found.usual == pytest.approx(16 / 6 * DAY)
    # Looked for where an outage is a dark one and modules are left.
    for dark, left in ((True, ["roof"]), (False, ["roof"]), (True, [])):
        has: Any = SimpleNamespace(site=None, year=SimpleNamespace(hours=hours))
        sun = power.SunOnPumps(has)
        monkeypatch.setattr(power, "_left", lambda *_, left=left: SimpleNamespace(array=left))
        monkeypatch.setattr(sun, "_array", lambda site: SimpleNamespace(total=total))
        run = sun.dark_run(Event("key", "name", frozenset(), 2, dark))
        assert run == (found if dark and left else None)


DARK = "the file gives no data on the sun"
NO_SUN = {"sun": None, "module": None, "latitude": None}


@pytest.mark.parametrize(
    ("others", "limit", "needs"),
    [
        ({}, None, ()), ({"groups": 0}, None, ()), ({"battery": None, "direct": True}, None, ()),
        ({"lifts": None}, "it does not lift water up to the cut-out pressure", ()),
        ({"groups": 0, "battery": None}, "the battery has failed", ()),
        # Of a chain in which the sun drives it, with its modules gone.
        ({"groups": 0, "battery": None, "stored": None}, "no modules or battery feed it", ()),
        ({"failed": ("inverter",)}, "the inverter has failed", ()),
        ({"failed": ("inverter",), "supply": "DC"}, None, ()),
        ({"inverter": False}, "no inverter feeds it", ()),
        ({"inverter": False, "supply": "DC"}, None, ()),
        ({"inverter": False, "direct": True, "refused": FEW}, None, ()),
        ({"refused": FEW}, "three phases", ()), ({"refused": FEW, "supply": "DC"}, None, ()),
        ({"battery": None}, "no battery backs it up", ("power.battery_energy",)),
        (NO_SUN, DARK, ("module", "site.latitude")),
        (NO_SUN | {"latitude": 1.0}, DARK, ("module", "sun.monthly")),
        ({"sun": None}, DARK, ("sun.monthly",)),
        (NO_SUN | {"groups": 0}, None, ()),
    ],
)  # fmt: skip
def test_why_a_pump_gets_nothing_of_modules_and_battery(
    monkeypatch: pytest.MonkeyPatch, others: dict[str, Any], limit: str | None,
    needs: tuple[str, ...],
) -> None:  # fmt: skip
    given: dict[str, Any] = {
        "lifts": 1e6, "groups": 1, "battery": 1.0, "stored": 1.0, "supply": "AC", "direct": False,
        "inverter": True, "refused": None, "sun": object(), "module": object(), "latitude": 1.0,
        "failed": (),
    } | others  # fmt: skip
    whole, left, before = (
        SimpleNamespace(
            array=["roof"] * given["groups"], power=SimpleNamespace(battery_energy=battery),
            module=given["module"], site=SimpleNamespace(latitude=given["latitude"]),
        )
        for battery in (1.0, given["battery"], given["stored"])
    )  # fmt: skip
    table = SimpleNamespace(supply=given["supply"])
    has: Any = SimpleNamespace(site=whole, table=lambda pump: table)
    monkeypatch.setattr(power, "has_inverter", lambda site: given["inverter"])
    monkeypatch.setattr(power.system, "is_direct", lambda site: given["direct"])
    monkeypatch.setattr(power, "_inverter_refuses", lambda *_: given["refused"])
    monkeypatch.setattr(power, "_left", lambda *_: before)
    sun = power.SunOnPumps(has)
    monkeypatch.setattr(sun, "_array", lambda site: given["sun"])
    pump: Any = SimpleNamespace(name="pump", energy_per_volume=given["lifts"])
    site: Any = left
    found = sun._stands_still(site, pump, event(*given["failed"]))
    assert found == (None if limit is None else Powered(0.0, "none", limit, needs))


@pytest.mark.parametrize(
    ("failed", "cistern", "straight", "battery", "arrays"),
    [
        ((), False, False, True, ["drive", "store"]),
        (("battery",), False, False, False, ["drive"]),
        (("store",), False, False, True, ["drive"]),
        # In a chain a pump hangs on the sun or on the battery.
        ((), True, True, False, ["drive"]),
        ((), True, False, True, ["store"]),
        (("battery",), True, False, False, []),
    ],
)
def test_what_modules_still_feed_a_pump(
    monkeypatch: pytest.MonkeyPatch, failed: tuple[str, ...], cistern: bool, straight: bool,
    battery: bool, arrays: list[str],
) -> None:  # fmt: skip
    class Table(SimpleNamespace):
        def model_copy(self, *, update: dict[str, Any]) -> Table:
            return Table(**{**vars(self), **update})

    monkeypatch.setattr(power, "has_cistern", lambda site: cistern)
    monkeypatch.setattr(power, "on_the_sun", lambda site, table: straight)
    groups = [SimpleNamespace(name=name, feeds=feeds) for name, feeds in
              (("drive", "pump"), ("store", "battery"), ("tank", "heater"))]  # fmt: skip
    site: Any = Table(power=Table(battery_energy=1.0), array=groups)
    pump: Any = object()
    left = power._left(site, frozenset(failed), pump)
    assert [group.name for group in left.array] == arrays
    assert (left.power.battery_energy is not None) is battery
    if cistern and not failed:
        assert len(power._left(site, frozenset()).array) == 2  # of no pump, what feeds any


def site_of(**others: Any) -> Any:
    has: dict[str, Any] = {
        "power": SimpleNamespace(grid=True, generator_rating=1.0, battery_energy=1.0),
        "pump": [SimpleNamespace(name="pump", supply="AC")], "water_heater": None,
        "array": [SimpleNamespace(name="roof", feeds="pump"),
                  SimpleNamespace(name="tank's", feeds="heater"),
                  SimpleNamespace(name="store", feeds="battery")],
        "other_well": [SimpleNamespace(name="far")], "pressure_switch": object(),
        "pressure_tank": object(), "hand_pump": object(), "storage_tank": object(),
        "lift": [SimpleNamespace(name="rope")], "outage": [
            SimpleNamespace(name="storm", failed=("grid", "sun"), days=3),
            SimpleNamespace(name="theft", failed=("roof",), days=9)],
        "limits": SimpleNamespace(outage_days=5),
    }  # fmt: skip
    return SimpleNamespace(**{**has, **others})


BARE: dict[str, Any] = {
    "power": SimpleNamespace(grid=False, generator_rating=None, battery_energy=None), "array": [],
    "other_well": [], "pressure_switch": None, "pressure_tank": None, "hand_pump": None,
    "storage_tank": None, "lift": [], "outage": [],
}  # fmt: skip


@pytest.mark.parametrize(
    ("others", "inverter", "cistern", "single", "matrix"),
    [
        ({}, True, True,
         "grid, inverter, battery, generator, roof, store, pump, pressure switch, pressure tank, "
         "hand pump, rope, well, far, storage tank",
         "grid 5, dark_3 3 dark, dark_7 7 dark, inverter 5, battery 5, pump_1 5, well_1 5, "
         "well_2 5, cistern 5, bladder 5, hands 5, own_1 3 dark, own_2 9"),
        (BARE, False, False, "pump", "pump_1 5, hands 5"),
        # A switch without a pump switches nothing.
        (BARE | {"pump": [], "pressure_switch": object()}, False, False, "", ""),
    ],
)  # fmt: skip
def test_what_can_fail(
    monkeypatch: pytest.MonkeyPatch, others: dict[str, Any], inverter: bool, cistern: bool,
    single: str, matrix: str,
) -> None:  # fmt: skip
    monkeypatch.setattr(equipment, "has_inverter", lambda site: inverter)
    monkeypatch.setattr(equipment, "has_cistern", lambda site: cistern)
    site = site_of(**others)
    alone = equipment.single_events(site)
    assert ", ".join(each.name for each in alone) == single
    assert [each.key for each in alone] == [f"single_{n + 1}" for n in range(len(alone))]
    assert all((each.failed, each.days, each.group) == ({each.name}, 5, "single")
               for each in alone)  # fmt: skip
    usual = equipment.matrix_events(site)
    assert ", ".join(
        f"{each.key} {each.days}{' dark' if each.dark else ''}" for each in usual
    ) == matrix  # fmt: skip
    failed = {each.key: each.failed for each in usual}
    if not others:
        assert failed["dark_3"] == {"grid", "sun"}
        assert failed["hands"] == {"grid", "inverter", "battery", "generator", "pump"}
        assert (failed["well_1"], failed["well_2"]) == ({"well"}, {"far"})


@pytest.mark.parametrize(
    ("grid", "supply", "second", "fed", "uses"),
    [
        (True, "AC", None, "roof", True), (True, "DC", None, "roof", False),
        (True, "DC", None, "grid", True), (True, "DC", object(), "roof", True),
        (True, "DC", None, None, False), (False, "AC", object(), "grid", False),
    ],
)  # fmt: skip
def test_whether_something_hangs_on_a_grid(
    grid: bool, supply: str, second: Any, fed: str | None, uses: bool
) -> None:
    elements = [SimpleNamespace(fed_by="roof"), SimpleNamespace(fed_by=fed)]
    heater = None if fed is None else SimpleNamespace(second_tank=second, element=elements)
    site = site_of(
        power=SimpleNamespace(grid=grid, generator_rating=None), water_heater=heater,
        pump=[SimpleNamespace(name="pump", supply=supply)],
    )  # fmt: skip
    assert equipment.uses_grid(site) is uses
    idle = ["power.generator_hours", *([] if supply == "AC" else ["power.grid"])]
    assert equipment.outage_idle(site) == idle


@pytest.mark.parametrize(("told", "daily"), [(0.3, 0.3), (None, 7.2), (0.0, 7.2)])
def test_a_pump_of_no_known_use_runs_an_hour_a_day(
    monkeypatch: pytest.MonkeyPatch, told: float | None, daily: float
) -> None:
    """2 L/s for an hour: what the battery has spent before an outage begins."""
    asked: list[float] = []

    def supply(_: Any, __: Any, pump: Any, *___: Any, **____: Any) -> None:
        asked.append(pump)
        raise OutOfRange("enough")

    monkeypatch.setattr(power, "replace", lambda pump, daily_volume: daily_volume)
    for name, made in (
        ("running_flow", lambda pump: 0.002), ("is_direct", lambda site: False),
        ("storage_of", lambda site, tank: 1.0), ("pump_supply", supply),
    ):  # fmt: skip
        monkeypatch.setattr(power.system, name, made)
    has: Any = SimpleNamespace(table=lambda pump: None, tank=None)
    site: Any = SimpleNamespace(array=[], power=SimpleNamespace(battery_energy=1.0))
    pump: Any = SimpleNamespace(daily_volume=told)
    with pytest.raises(OutOfRange):
        power.SunOnPumps(has)._water(site, pump, event("grid"))
    assert asked == [pytest.approx(daily)]


def heats(array: str, evenings: int) -> Any:
    """A tank that the sun makes hot on so many evenings of ten; without it, it is warm enough for
    a tap of 45 degC on two days, and its fourth is told without a draw."""
    told = ((60.0, 60.0), (45.0, 50.0), (40.0, 49.0), (None, 48.0))
    year = SimpleNamespace(fewest_evenings=evenings, year=SimpleNamespace(days=10))
    days = [SimpleNamespace(top_temperature=top, idle_temperature=idle) for top, idle in told]
    tap = SimpleNamespace(temperature=45.0)
    return SimpleNamespace(array=array, households=(year,), tap=tap, dark_days=days)


@pytest.mark.parametrize(
    ("failed", "dark", "days", "fed", "state", "hot", "end"),
    [
        ({"water heater"}, False, 3, "roof", "none", 0.0, None),
        (set(), True, 3, "grid", "hot", 3.0, None),
        # Of three days six tenths by its own array, else two tenths by the battery's surplus.
        ({"grid"}, False, 3, "grid", "on sunny days", 1.8, None),
        ({"roof"}, False, 3, "roof", "on sunny days", 0.6, None),
        ({"roof", "battery"}, False, 3, "roof", "cooling", 2.0, 40.0),
        ({"roof", "inverter"}, False, 1, "roof", "cooling", 1.0, 60.0),
        (set(), True, 4, "roof", "cooling", 2.0, 48.0),
        (set(), True, 5, "roof", "cooling", 2.0, None),
    ],
)  # fmt: skip
def test_the_hot_water_of_an_outage(
    failed: set[str], dark: bool, days: int, fed: str, state: str, hot: float, end: float | None
) -> None:
    """Where no water comes out of the taps that is what is told, but of a heater that failed."""
    element = SimpleNamespace(fed_by=fed)
    heater = SimpleNamespace(second_tank=None, element=[element])
    site = SimpleNamespace(
        water_heater=heater, power=SimpleNamespace(grid=True),
        array=[SimpleNamespace(name="roof", feeds="heater")],
    )  # fmt: skip
    has: Any = SimpleNamespace(site=site, heated=heats("roof", 6), diverted=heats("", 2))
    lost = Event("key", "name", frozenset(failed), days, dark)
    for pressure in ("yes", "no"):
        outage: Any = SimpleNamespace(pressure=pressure)
        found = whole_study.hot_water(has, lost, outage)
        assert found is not None
        assert (found.state, found.end_temperature) == (state, end)
        assert found.days == pytest.approx(hot)
        dry = pressure == "no" and state != "none"
        assert (found.limit == whole_study.NO_PRESSURE) is dry
        if state == "cooling" and not dry:
            assert found.limit == ("no sun heats it" if dark else "nothing heats it")
