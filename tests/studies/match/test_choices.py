"""Which arrays and elements a heated tank is ranked with, of made-up ones."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from wellsolar import kinds
from wellsolar.data.hot_water_tables import ElementRating
from wellsolar.studies.array.coupling import Direct
from wellsolar.studies.match import designs, ranking, verdicts
from wellsolar.studies.match.designs import Choice, DesignElement
from wellsolar.units import Quantity

HOUR = 3600.0


def element(plate: float = 240.0, ohms: float = 16.0, **others: Any) -> DesignElement:
    return DesignElement(f"{plate:g} V", 3600.0, plate, 1, "alone", ohms, plate, **others)


@pytest.mark.parametrize(
    ("volts", "suits"),
    [((240.0, 230.0), "240 V, 240 V"), ((240.1, 230.0), "240 V"), ((120.0, 241.0), "240 V")],
)
def test_no_element_above_its_plate(
    monkeypatch: pytest.MonkeyPatch, volts: tuple[float, float], suits: str
) -> None:
    """At its plate to round-off, and not a thousandth above it."""
    two = [element(), element(ohms=12.0)]
    circuit: Any = SimpleNamespace(coupling=Direct())

    def driven(site: Any, tried: Any, ohms: Sequence[float]) -> list[float]:
        assert (tried, [*ohms]) == ((3, 2, Direct()), [16.0, 12.0])
        return [*volts]

    monkeypatch.setattr(designs, "each_driven_to", driven)
    monkeypatch.setattr(
        designs, "replace", lambda of, series, parallel, coupling: (series, parallel, coupling)
    )
    found = [*designs._on_plate(None, circuit, (3, 2), two)]  # type: ignore[arg-type]
    assert ", ".join(each.text for each, _ in found) == suits
    assert {driven for _, driven in found} <= {*volts}


@pytest.mark.parametrize(
    ("breach", "driven", "suiting", "counts"),
    [
        # Two arrays of two elements each; on each one element is within its plate, and of those
        # the array of the site's own on its own element is told apart.
        ({}, 240.0, ["1 x 1", "own"], (0, 0, 2, 0)),
        ({}, 240.1, ["1 x 1"], (0, 0, 2, 0)),
        ({(1, 1): "over_voltage"}, 230.0, ["own"], (1, 0, 1, 0)),
        ({(2, 3): "over_current"}, 230.0, ["1 x 1"], (0, 1, 1, 0)),
    ],
)
def test_what_suits_and_what_is_left_out(
    monkeypatch: pytest.MonkeyPatch, breach: dict[tuple[int, int], str], driven: float,
    suiting: list[str], counts: tuple[int, ...],
) -> None:  # fmt: skip
    own, other = element(own=True), element(plate=120.0)
    limits = SimpleNamespace(
        breach=lambda series, strings: breach.get((series, strings)), voltage=600.0, carried=30.0
    )
    monkeypatch.setattr(designs, "limits_of", lambda site, on: limits)
    monkeypatch.setattr(designs, "_elements", lambda *_: [own, other])
    monkeypatch.setattr(designs, "driven_to", lambda site, circuit: driven)
    monkeypatch.setattr(designs, "_on_plate", lambda *_: iter([(own, 230.0)]))
    monkeypatch.setattr(designs._LitSun, "of", lambda circuit, plane: None)

    def best(circuit: Any, sun: Any, wired: tuple[int, int], on_plate: Any, heat: float) -> Any:
        assert heat == 5.0
        ((there, volts),) = on_plate
        return [Choice(*wired, there, volts, np.zeros(1), own=wired == (2, 3))]

    monkeypatch.setattr(designs, "_best_of", best)
    circuit: Any = SimpleNamespace(series=2, parallel=3, power=lambda light, cells: light + cells)
    plane: Any = SimpleNamespace(effective_irradiance=1.0, cell_temperature=2.0)
    on: Any = SimpleNamespace(element=None)
    site: Any = None
    found = designs.choices_of(site, on, circuit, plane, 24, 5.0, (), [(1, 1)])
    assert [
        "own" if each.own else f"{each.series} x {each.strings}" for each in found.suiting
    ] == suiting
    left = found.left_out
    assert (left.over_voltage, left.over_current, left.over_plate, left.weaker) == counts
    assert (left.cold_limit, left.wire_limit) == (600.0, 30.0)
    assert (found.own.series, found.own.strings, found.own.power) == (2, 3, 3.0)
    assert found.own.greatest_voltage == driven


@pytest.mark.parametrize(("dead", "told"), [(0, [(1, 1), (2, 3)]), (1, [(2, 2)]), (3, [])])
def test_dead_strings_give_nothing_and_are_borne(
    monkeypatch: pytest.MonkeyPatch, dead: int, told: list[tuple[int, int]]
) -> None:
    """The elements of an array with strings dead are those that bear it with all of them."""
    one = element()
    limits = SimpleNamespace(breach=lambda *_: None, voltage=600.0, carried=None)
    borne: list[tuple[int, int]] = []
    given: list[tuple[int, int]] = []

    def on_plate(site: Any, circuit: Any, wired: tuple[int, int], there: Any) -> Any:
        borne.append(wired)
        return [(one, 230.0), (one, 231.0)]

    def best(circuit: Any, sun: Any, wired: tuple[int, int], there: Any, heat: float) -> Any:
        given.append(wired)
        return [Choice(*wired, one, 230.0, np.zeros(1))]

    monkeypatch.setattr(designs, "limits_of", lambda site, on: limits)
    monkeypatch.setattr(designs, "_elements", lambda *_: [one, one])
    monkeypatch.setattr(designs, "driven_to", lambda *_: 230.0)
    monkeypatch.setattr(designs, "_on_plate", on_plate)
    monkeypatch.setattr(designs, "_best_of", best)
    monkeypatch.setattr(designs._LitSun, "of", lambda *_: None)
    circuit: Any = SimpleNamespace(series=2, parallel=3, power=lambda *_: 0.0)
    plane: Any = SimpleNamespace(effective_irradiance=1.0, cell_temperature=2.0)
    on: Any = SimpleNamespace(element=None)
    site: Any = None
    found = designs.choices_of(site, on, circuit, plane, 24, 5.0, (), [(1, 1)], dead)
    assert given == told
    assert borne == [(series, strings + dead) for series, strings in told]
    assert [(each.series, each.strings) for each in found.suiting] == [*borne, (2, 3)]
    assert found.left_out.weaker == len(told)


@pytest.mark.parametrize(
    ("own_voltage", "count", "texts"),
    [
        # Up to 240 V, or to the site's own; what the site has is not told again.
        (120.0, 1, ["2000 W 120 V", "2 x 2000 W 120 V in series", "2 x 2000 W 120 V in parallel",
                    "3800 W 240 V", "2 x 3800 W 240 V in series", "2 x 3800 W 240 V in parallel"]),
        (277.0, 1, ["2000 W 277 V", "2000 W 120 V", "2 x 2000 W 120 V in series",
                    "2 x 2000 W 120 V in parallel", "3800 W 240 V", "2 x 3800 W 240 V in series",
                    "2 x 3800 W 240 V in parallel", "4500 W 277 V", "2 x 4500 W 277 V in series",
                    "2 x 4500 W 277 V in parallel"]),
        (120.0, 2, ["2 x 2000 W 120 V in series", "2000 W 120 V", "2 x 2000 W 120 V in parallel",
                    "3800 W 240 V", "2 x 3800 W 240 V in series", "2 x 3800 W 240 V in parallel"]),
    ],
)  # fmt: skip
def test_the_sites_own_element_and_those_that_are_sold(
    monkeypatch: pytest.MonkeyPatch, own_voltage: float, count: int, texts: list[str]
) -> None:
    monkeypatch.setattr(designs, "plate_of", lambda table: (0.0, 1.0))
    table: Any = SimpleNamespace(
        rated_power=2000.0, rated_voltage=own_voltage, count=count, wired="series",
        coupling="direct",
    )  # fmt: skip
    circuit: Any = SimpleNamespace(resistance=7.2)
    sold = [ElementRating(120.0, 2000.0, ""), ElementRating(240.0, 3800.0, ""),
            ElementRating(277.0, 4500.0, "")]  # fmt: skip
    found = designs._elements(table, circuit, sold)
    assert [each.text for each in found] == texts
    assert [each.own for each in found] == [True] + [False] * (len(texts) - 1)
    own = found[0]
    assert (own.power, own.voltage, own.resistance, own.plate) == (2000.0, own_voltage, 7.2, 1.0)
    # Two of 240 V and 3800 W, 15.16 ohm each: 30.3 ohm and 480 V in series.
    (pair,) = [each for each in found if each.text == "2 x 3800 W 240 V in series"]
    assert (pair.resistance, pair.plate, pair.count) == (pytest.approx(30.316, abs=1e-3), 480.0, 2)
    table.coupling, table.count = "switched", 2
    assert designs._own(table, 7.2).joined == "by relays"


def test_elements_of_230_volts_where_sizes_are_metric() -> None:
    """Of 1.2, 1.5, 2, 2.4 and 3 kW: common practice, no source."""
    assert [(each.rated_voltage, each.rated_power) for each in designs.sold_elements("SI")] == [
        (230.0, power) for power in (1200.0, 1500.0, 2000.0, 2400.0, 3000.0)
    ]
    assert {each.rated_voltage for each in designs.sold_elements("US")} >= {120.0, 240.0}


def test_what_tanks_take_of_bright_and_dim_days() -> None:
    """Two days in January of 10 and 4 MJ and one in February of 1 MJ, with 4 MJ a day drawn."""
    lit = np.zeros(72, dtype=bool)
    hours = np.array([10, 11, 34, 58])
    lit[hours] = True
    sun = designs._LitSun(
        lit, hours // 24, np.array([1, 1, 2]), np.ones(4), None,  # type: ignore[arg-type]
    )  # fmt: skip
    powers = np.array([[6e6, 4e6, 4e6, 1e6], [0.0, 0.0, 0.0, 0.0]]) / HOUR
    found = sun.taken(powers, 4e6)
    assert found.shape == (2, 4 * 12)
    # Half, one and two draws of a day, and all.
    january, february = found[0, 0::12] / 1e6, found[0, 1::12] / 1e6
    assert january == pytest.approx([2 + 2, 4 + 4, 8 + 4, 10 + 4])
    assert february == pytest.approx([1, 1, 1, 1])
    assert found[0].sum() / 1e6 == pytest.approx(4 + 8 + 12 + 14 + 4)
    assert not found[1].any()


@pytest.mark.parametrize(
    ("on_hand", "own", "most"),
    [(None, (4, 1), 24), (10, (4, 1), 10), (10, (6, 2), 12), (99, (4, 1), 24), (2, (30, 1), 30)],
)
def test_modules_up_to_which_is_looked(
    on_hand: int | None, own: tuple[int, int], most: int
) -> None:
    """What is on hand, up to 24 and no fewer than there are: our choice."""
    of: Any = SimpleNamespace(
        site=SimpleNamespace(module=SimpleNamespace(on_hand=on_hand)),
        circuit=SimpleNamespace(series=own[0], parallel=own[1]),
    )
    assert ranking._Ranking._most(of) == most


@pytest.mark.parametrize(
    ("own_volume", "suits", "wanted", "drawn"),
    [
        # Sold in 100, 200 and 300 L: one within a twentieth of the site's own is that.
        (0.104, True, (0.104, 0.2, 0.3), 0.1),
        (0.106, True, (0.1, 0.106, 0.2, 0.3), 0.1),
        (0.191, False, (0.1, 0.191, 0.3), 0.1),
        # A day's draw of eight and more tanks is none of a household's.
        (0.2, True, (0.2, 0.3), 8.0 * 0.101),
        (0.2, True, (0.1, 0.2, 0.3), 8.0 * 0.1),
    ],
)
def test_every_choice_with_every_tank_that_is_sold(
    monkeypatch: pytest.MonkeyPatch, own_volume: float, suits: bool, wanted: tuple[float, ...],
    drawn: float,
) -> None:  # fmt: skip
    own_tank = SimpleNamespace(volume=own_volume)
    monkeypatch.setattr(ranking.demand, "MOST_TANKS", 8.0)
    monkeypatch.setattr(ranking, "tank_of", lambda heater, element: own_tank)
    monkeypatch.setattr(ranking, "sizes", lambda *_: (0.1, 0.2, 0.3))
    monkeypatch.setattr(
        ranking.stratified, "resized", lambda tank, volume: SimpleNamespace(volume=volume)
    )
    one = element()
    choices = [Choice(3, 2, one, 0.0, np.zeros(1)),
               Choice(4, 1, one, 0.0, np.zeros(1), own=True)]  # fmt: skip
    of: Any = SimpleNamespace(
        site=SimpleNamespace(water_heater=object(), site=SimpleNamespace(print_units="SI")),
        on=SimpleNamespace(element=None), draw_volume=drawn,
    )  # fmt: skip
    all_choices: Any = SimpleNamespace(suiting=choices if suits else choices[:1])
    found, volumes = ranking._Ranking._designs(of, choices, all_choices)
    assert volumes == wanted
    assert [(each.modules, each.source, each.tank.volume, each.group) for each in found] == [
        (modules, source, volume, "own tank" if volume == own_volume else "")
        for volume in wanted for source, modules in ((0, 6), (1, 4))
        if suits or source == 0 or volume == own_volume
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("coupling", "converter", "listed", "first", "many"),
    [
        # Electronics can be told to go both ways, where they do not; those who track have none to
        # come, and an element that is switched by a list keeps it.
        ("tracking", "lowers", False, '"both"', 1), ("tracking", "both", False, None, 0),
        ("tracking", None, False, '"both"', 1), ("direct", "lowers", False, "electronics", 1),
        ("direct", None, True, None, 0), ("tracking", "lowers", True, '"both"', 1),
    ],
)  # fmt: skip
def test_what_may_match_an_element_by_its_coupling(
    monkeypatch: pytest.MonkeyPatch, coupling: str, converter: str | None, listed: bool,
    first: str | None, many: int,
) -> None:  # fmt: skip
    monkeypatch.setattr(verdicts, "_electronics", lambda _: "electronics")
    match: Any = SimpleNamespace(thresholds=None, coupling=coupling, shelf=(), wirings=())
    switched = (1.0,) if listed else None
    element = SimpleNamespace(tracker_converter=converter, switched_resistances=None,
                              switch_irradiances=switched)  # fmt: skip
    on: Any = SimpleNamespace(element=element, path="e")
    ways: list[Any] = list(verdicts._ways(match, on))
    assert len(ways) == many
    if many:
        told = ways[0] if isinstance(ways[0], str) else ways[0].changes[0].value
        assert told == first


def test_ways_to_match_in_the_order_of_their_work() -> None:
    """One element before two alike, and none of two unlike; of six modules by two the same twelve
    wired otherwise, where they give more; electronics last, up to the plate."""

    def sold(ohms: float, count: int, alike: bool = True) -> Any:
        return SimpleNamespace(
            text="1500 W", count=count, alike=alike, resistance=ohms, energy=9e9,
            rated_power=1500.0, rated_voltage=120.0, joined="alone",
        )  # fmt: skip

    given = ((6, 2, 9e9), (4, 3, 7e9), (12, 1, 4e9), (3, 1, 9e9))
    layouts = [SimpleNamespace(series=s, parallel=rows, energy=e) for s, rows, e in given]
    match: Any = SimpleNamespace(
        thresholds=None, coupling="direct", series=6, parallel=2, wirings=layouts,
        shelf=(sold(5.0, 2), sold(6.0, 2, alike=False), sold(7.0, 1)),
        own=SimpleNamespace(energy=5e9), best_single=SimpleNamespace(resistances=(8.0, 9.0)),
    )  # fmt: skip
    element = SimpleNamespace(
        switched_resistances=None, switch_irradiances=None, count=2, wired="series",
        rated_power=1500.0, rated_voltage=120.0, tracker_converter=None,
    )  # fmt: skip
    at: Any = SimpleNamespace(on=SimpleNamespace(element=element, path="e", group_path="g"),
                              matches=lambda changes: False)  # fmt: skip
    single, pair, wired, tracked = (way.parts for way in verdicts._ways(match, at.on))
    assert (single["resistance"], pair["resistance"]) == (7.0, 5.0)
    assert (single["element"], pair["element"]) == ("an element of 1500 W", "1500 W")
    assert (wired["series"], wired["parallel"]) == ("4", "3")
    for told, value, kind in (
        (single["energy"], 9e9, kinds.ENERGY), (wired["energy"], 7e9, kinds.ENERGY),
        (tracked["plate"], 240.0, kinds.VOLTAGE), (tracked["least"], None, kinds.POWER),
    ):  # fmt: skip
        assert isinstance(told, Quantity)
        assert (told.kind, told) == (kind, told if value is None else value)
    assert single["straight"] == ""
    for listed, why in (((None, None), "sold"), (((1.0,), None), "relays"),
                        ((None, (1.0,)), "relays")):  # fmt: skip
        element.switched_resistances, element.switch_irradiances = listed
        told = verdicts.better(match, at)
        assert why in told.by_hand
        assert dict(told.parts)["best"] == 8.0


@pytest.mark.parametrize(("inlet", "warmest"), [(12.0, 50.0), (55.0, 55.0)])
def test_the_own_heater_is_ranked_last_and_one_more_is_asked_for(
    monkeypatch: pytest.MonkeyPatch, inlet: float, warmest: float
) -> None:
    """From water that is warmer than the tap's nothing is wanted; what else heats is added."""

    def choice(power: float, own: bool = False) -> Any:
        return SimpleNamespace(own=own, power=np.full(48, power))

    def heat_wanted(*told: float) -> float:
        assert told == (0.2, inlet, warmest)
        return 7.0

    def choices_of(*told: Any) -> Any:
        assert told[3:] == ("plane", 9, 7.0)
        suiting = [choice(1.0), choice(2.0), choice(3.0, own=True)]
        return SimpleNamespace(suiting=suiting, own=choice(4.0, own=True))

    def designs_of(choices: list[Any], _: Any) -> Any:
        assert [each.power[0] for each in choices] == [1.0, 2.0, 4.0]
        made = [(0, "beside"), (2, "beside"), (2, ranking.OWN_TANK), (1, ranking.OWN_TANK)]
        return [SimpleNamespace(source=source, group=group) for source, group in made], "volumes"

    def ranked(designs: Any, powers: Any, draws: Any, side: Any, *told: Any) -> Any:
        assert powers.tolist() == [[each] * 48 for each in (11.0, 12.0, 14.0)]
        assert (draws, side, told) == (("pieces", 2, 0.0), "side", (6, 3, None, [2]))
        return "ranking"

    monkeypatch.setattr(ranking, "plane_of_group", lambda *_: "plane")
    monkeypatch.setattr(ranking.hot_water, "heating_energy", heat_wanted)
    monkeypatch.setattr(ranking, "choices_of", choices_of)
    monkeypatch.setattr(ranking, "heat_beside", lambda *_: np.full(48, 10.0))
    monkeypatch.setattr(ranking.demand, "draws_of_day", lambda *_: "draws")
    monkeypatch.setattr(ranking.demand, "in_pieces", lambda *_: "pieces")
    monkeypatch.setattr(ranking.events, "every_day", lambda *told: told)
    monkeypatch.setattr(ranking.heater_ranking, "rank_heaters", ranked)
    of: Any = SimpleNamespace(
        site=SimpleNamespace(water_heater=SimpleNamespace(draw=None)), circuit=None,
        on=SimpleNamespace(group=None, group_path=""), draw_volume=0.2, _most=lambda: 9,
        heated=SimpleNamespace(inlet_temperature=inlet, tap=SimpleNamespace(temperature=50.0)),
        asked=SimpleNamespace(top=5, workers=3, progress=None), _designs=designs_of,
        _side=lambda: "side", _result=lambda *told: told,
    )  # fmt: skip
    year: Any = "year"
    found: Any = ranking._Ranking.of_year(of, year, None)
    assert (found[0], found[3:]) == ("ranking", (2, 9, "volumes"))
