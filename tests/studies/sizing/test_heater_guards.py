"""What stands by a heated tank: which guards are looked at, and by which rules each is held."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import pytest

from wellsolar.studies.electric.cable import AMPACITY_PV, DROP
from wellsolar.studies.safety.code_editions import ARC_FAULT, GROUND_FAULT, SHUTDOWN
from wellsolar.studies.safety.contacts import CONTACTS, HIGH_LIMIT_CONTACTS
from wellsolar.studies.safety.direct_current import ISOLATOR
from wellsolar.studies.safety.overcurrent import OVERCURRENT
from wellsolar.studies.safety.overheating import HIGH_LIMIT
from wellsolar.studies.safety.relief import BOILING, CAPACITY, RELIEF, VACUUM
from wellsolar.studies.sizing import heater_guards
from wellsolar.studies.sizing.search import Candidate, Choice
from wellsolar.studies.supply.diversion import SWITCHED
from wellsolar.units import System

VOLTS, AMPERES = (125, 250, 500, 600, 1000), (10, 16, 20, 25, 32, 40, 63, 80, 100, 125, 160, 200)
"""Direct-current switches that are sold: common practice, no source."""

ELEMENT, GROUP, TANK = "water_heater.element[1]", "array[2]", "water_heater"


def draft_of(monkeypatch: pytest.MonkeyPatch, system: System, on: Any, inverter: Any) -> Any:
    """A tank without check valve, on modules or on an inverter or on both."""
    monkeypatch.setattr(heater_guards, "element_on_array", lambda _: on)
    monkeypatch.setattr(heater_guards, "element_on_inverter", lambda _: inverter)
    site = SimpleNamespace(
        water_heater=SimpleNamespace(check_valve=False), pressure_switch=SimpleNamespace()
    )
    stock = SimpleNamespace(of=lambda *_, **__: [])
    return SimpleNamespace(system=system, case=SimpleNamespace(site=site), stock=stock)


def modules(gauge: str = "10 AWG", length: float | None = 15.0) -> Any:
    """An element on a group whose cable runs so far [m]."""
    cable = SimpleNamespace(gauge=gauge, length=length)
    group = SimpleNamespace(cable=cable)
    return SimpleNamespace(path=ELEMENT, group_path=GROUP, group=group)


def lines(candidates: Sequence[Candidate]) -> list[list[str]]:
    return [[str(change) for change in each.changes] for each in candidates]


ALWAYS = {
    "high limit": (HIGH_LIMIT, BOILING), "vacuum relief": (VACUUM,), "relief valve": (RELIEF,),
    "relief capacity": (CAPACITY,),
}  # fmt: skip
ON_MODULES = {
    "thermostat's relay, direct current": (CONTACTS,),
    "high limit's relay, direct current": (HIGH_LIMIT_CONTACTS,),
    "isolator, direct current": (ISOLATOR,), "fuse in each row": (OVERCURRENT,),
    "ground-fault guard, array guards": (GROUND_FAULT,),
    "arc-fault guard, array guards": (ARC_FAULT,),
    "rapid shutdown, array guards": (SHUTDOWN,), "array cable": (AMPACITY_PV, DROP, CAPACITY),
}  # fmt: skip
SURPLUS = {SWITCHED.key: (SWITCHED,)}


@pytest.mark.parametrize(
    ("on", "inverter", "parts"),
    [
        (None, None, ALWAYS),
        (modules(), None, ALWAYS | ON_MODULES),
        (None, (1, ELEMENT), ALWAYS | SURPLUS),
        (modules(), (1, ELEMENT), ALWAYS | ON_MODULES | SURPLUS),
    ],
)
def test_direct_current_is_guarded_where_modules_feed_the_tank(
    monkeypatch: pytest.MonkeyPatch, on: Any, inverter: Any, parts: dict[str, Any]
) -> None:
    draft = draft_of(monkeypatch, "US", on, inverter)
    # Any rule may be what is asked of the tank.
    found = [*heater_guards._choices(draft, (CAPACITY,))]
    assert {each.name: each.rules for each in found} == parts
    assert len(found) == len(parts)
    assert [each.name for each in found if not each.settles] == ["relief valve"]
    assert [each.name for each in found if each.judge] == (
        [SWITCHED.key] if inverter is not None else []
    )


@pytest.mark.parametrize(
    ("system", "limits", "heat", "pressures"),
    [
        ("US", "180 170 160 150 degF", "210 degF", "150 125 100 75 psi"),
        ("SI", "80 75 70 65 degC", "95 degC", "10 8 7 6 5 bar"),
    ],
)
def test_the_usual_limit_and_the_strongest_relief_first(
    monkeypatch: pytest.MonkeyPatch, system: System, limits: str, heat: str, pressures: str
) -> None:
    """Sizes that are sold: common practice, no source."""
    draft = draft_of(monkeypatch, system, None, None)
    found = {each.name: each.candidates for each in heater_guards._choices(draft, ())}
    *numbers, unit = limits.split()
    assert lines(found["high limit"]) == [
        [f'{TANK}.high_limit="{number} {unit}"'] for number in numbers
    ]
    *numbers, unit = pressures.split()
    assert lines(found["relief valve"]) == [
        [f'{TANK}.relief_temperature="{heat}"', f'{TANK}.relief_pressure="{number} {unit}"']
        for number in numbers
    ]
    assert lines(found["relief capacity"]) == [
        [f'{TANK}.relief_capacity="{number} Btu/h"'] for number in (100000, 105000, 200000)
    ]
    assert lines(found["vacuum relief"]) == [
        [f"{TANK}.vacuum_relief=false"], [f"{TANK}.vacuum_relief=true"]
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("part", "beside", "path", "what"),
    [
        ("thermostat's relay, direct current", [f'{ELEMENT}.thermostat_switches="relay"'],
         ELEMENT, "switch"),
        ("high limit's relay, direct current",
         [f'{ELEMENT}.high_limit_switches="relay"', f"{ELEMENT}.high_limit_poles=2"],
         ELEMENT, "high_limit"),
        ("isolator, direct current", [f"{GROUP}.isolator_poles=2"], GROUP, "isolator"),
    ],
)  # fmt: skip
def test_what_breaks_direct_current_by_voltage_and_then_by_current(
    part: str, beside: list[str], path: str, what: str
) -> None:
    """Both conductors are broken where the switch has poles to count."""
    found = {each.name: each for each in heater_guards._on_modules(ELEMENT, GROUP)}[part]
    assert lines(found.candidates) == [
        [*beside, f'{path}.{what}_voltage="{volts} V"', f'{path}.{what}_current="{amperes} A"']
        for volts in VOLTS for amperes in AMPERES
    ]  # fmt: skip


def test_fuses_and_guards_of_the_rows_are_left_out_first() -> None:
    found = {each.name: each for each in heater_guards._on_modules(ELEMENT, GROUP)}
    assert lines(found["fuse in each row"].candidates) == [
        [], *([f'{GROUP}.string_fuse="{amperes} A"']
              for amperes in (2, 4, 6, 8, 10, 12, 15, 20, 25, 30)),
    ]  # fmt: skip
    for part, key in (
        ("ground-fault guard", "ground_fault_protection"),
        ("arc-fault guard", "arc_fault_protection"), ("rapid shutdown", "rapid_shutdown"),
    ):  # fmt: skip
        candidates = found[f"{part}, array guards"].candidates
        assert lines(candidates) == [[f"{GROUP}.{key}=false"], [f"{GROUP}.{key}=true"]]
        assert [each.label for each in candidates] == ["none", "one"]


@pytest.mark.parametrize("there", [None, (3, ELEMENT)])
def test_a_relay_for_the_surplus_is_judged_by_its_element(
    monkeypatch: pytest.MonkeyPatch, there: Any
) -> None:
    monkeypatch.setattr(heater_guards, "element_on_inverter", lambda site: there)
    monkeypatch.setattr(heater_guards, "surplus_switch", lambda site, *on: (site, on))
    part = heater_guards._surplus_switch("key")
    case: Any = SimpleNamespace(site="site")
    assert part.judge is not None
    assert part.judge(case) == ((("site", there),) if there else ())
    assert lines(part.candidates) == [
        ['key="none"'], *(['key="relay"', f'key_current="{amperes} A"'] for amperes in AMPERES)
    ]  # fmt: skip
    assert [each.label.split(",")[0] for each in part.candidates[:2]] == ["none", "relay"]


@pytest.mark.parametrize(
    ("gauge", "first", "last", "count"),
    [("10 AWG", "14 AWG", "4/0 AWG", 13), ("6 mm2", "1.5 mm2", "120 mm2", 12)],
)
def test_the_cable_of_the_modules_is_sold_as_it_is_named(
    gauge: str, first: str, last: str, count: int
) -> None:
    """The 13 gauges of NFPA 70, Chapter 9 Table 8, from 14 to 4/0 AWG but 18 and 16, and the 12
    cross-sections of IEC 60228 (from memory) from 1.5 to 120 mm2; of 15 m 30 m are cut."""
    asked: list[float] = []

    def of(goods: str, *, wanted: float) -> list[Any]:
        asked.append(wanted)
        coil = SimpleNamespace(values={"gauge": "8 AWG"}, called=lambda metres: f"coil {metres:g}")
        return [coil] if goods == "wire" else []

    stock: Any = SimpleNamespace(of=of)
    (part,) = heater_guards._cable(modules(gauge), stock, (CAPACITY,))
    sold = [each.label for each in part.candidates]
    assert (sold[0], sold[-1], len(sold)) == (first, last, count)
    assert lines(part.candidates) == [[f'{GROUP}.cable.gauge="{each}"'] for each in sold]
    assert asked == [30.0]
    (coil,) = part.listed
    assert (coil.label, lines([coil])) == ("coil 30", [[f'{GROUP}.cable.gauge="8 AWG"']])


def test_no_cable_is_looked_for_where_its_run_is_not_known() -> None:
    stock: Any = SimpleNamespace(of=lambda *_, **__: [])
    without = modules()
    without.group.cable = None
    for on in (modules(length=None), without):
        assert [*heater_guards._cable(on, stock, ())] == []


class Chosen(SimpleNamespace):
    """A draft that notes what is chosen."""

    def says(self, path: str) -> bool:
        return path.startswith("told")

    def choose(self, choice: Choice, listed: Sequence[Candidate]) -> Chosen:
        self.choices.append((choice, listed))
        return self


def _verdict(rule: Any, status: str) -> Any:
    return SimpleNamespace(rule=rule, status=status)


@pytest.mark.parametrize(
    ("guards", "year"),
    [
        # A cable that is too thin is told before a year is run.
        ([_verdict(DROP, "fail")], False),
        ([_verdict(AMPACITY_PV, "caution"), _verdict(DROP, "pass")], False),
        ([_verdict(AMPACITY_PV, "pass"), _verdict(DROP, "pass")], True),
        ([_verdict(CAPACITY, "fail")], True),
        ([], True),
    ],
)
def test_by_what_each_guard_is_judged(
    monkeypatch: pytest.MonkeyPatch, guards: list[Any], year: bool
) -> None:
    """By the guards of the tank; a cable by the year's heat too; a part with rules of its own by
    those. What the file tells of a part is kept."""
    own: Any = object()
    told, open_to = (Candidate(key, (SimpleNamespace(path=f"{key}.key"),)) for key in
                     ("told", "open"))  # type: ignore[arg-type] # fmt: skip
    parts = [
        heater_guards._Part("relief", (RELIEF,), [Candidate("none"), open_to], False),
        heater_guards._Part("cable", (AMPACITY_PV, DROP, CAPACITY), [open_to], listed=[told]),
        heater_guards._Part("own", (RELIEF,), [open_to], judge=own),
        heater_guards._Part("kept", (RELIEF,), [told]),
        heater_guards._Part("not sold", (RELIEF,), []),
        heater_guards._Part("no cable", (AMPACITY_PV,), [open_to]),
    ]
    monkeypatch.setattr(heater_guards, "_choices", lambda draft, asked: parts)
    monkeypatch.setattr(
        heater_guards, "guards_again", lambda site, tank: SimpleNamespace(verdicts=guards)
    )

    def tank_of(site: object, sun: object, power: object, *, advise: bool) -> Any:
        assert (site, sun, power, advise) == ("site", "year", "power", False)
        return None, SimpleNamespace(verdicts=["by the year"])

    monkeypatch.setattr(heater_guards, "study_heated_tank", tank_of)
    draft: Any = Chosen(choices=[])
    tank: Any = object()
    assert heater_guards.guards_of(draft, tank) is draft
    choices = {choice.part: choice for choice, _ in draft.choices}
    assert [*choices] == ["relief", "cable", "own", "no cable"]
    case: Any = SimpleNamespace(
        site="site", year="year", diverted_heat=SimpleNamespace(power="power")
    )
    judges = {part: choice.judge for part, choice in choices.items()}
    assert judges["own"] is own
    for part, verdicts in (
        ("relief", guards), ("cable", ["by the year"] if year else guards), ("no cable", guards)
    ):  # fmt: skip
        judge = judges[part]
        assert judge is not None
        assert judge(case) == verdicts
    assert [choices[part].settles for part in ("relief", "cable")] == [False, True]
    ((_, listed),) = [each for each in draft.choices if each[0].part == "cable"]
    assert [(each.label, each.changes) for each in listed] == [("told", ())]
