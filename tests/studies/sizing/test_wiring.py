"""A pump's circuit and its other parts: of which pump of several each is, and its inverter."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from tests.studies.sizing.test_power import Made, _site
from wellsolar import kinds
from wellsolar.site.loading.read import parse_part
from wellsolar.studies.case import Case
from wellsolar.studies.electric.starting import DIP
from wellsolar.studies.sizing import study, wiring
from wellsolar.studies.sizing.draft import Draft
from wellsolar.studies.sizing.search import Choice
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.units import Quantity, read
from wellsolar.verdicts import set_to

DIRECT = 'supply = "DC"\nvoltage = "48 V"\nrated_power = "1/2 hp"'
PUMPS = "".join(
    f'[[pump]]\nname = "{name}"\nintake_depth = "{depth} ft"\nflow = "0, 9 gpm"\n'
    f'head = "900, 300 ft"\n{more}\n'
    for name, depth, more in
    (("one", 250, DIRECT), ("two", 300, 'voltage = "230 V"'), ("three", 350, DIRECT))
)  # fmt: skip
"""Between two on direct current one whose motor and circuit are open."""


def _three(more: str = "") -> Draft:
    part = parse_part(
        f'{more}[well]\ndepth = "400 ft"\nstatic_level = "100 ft"\n'
        f'[piping.lateral]\nlength = "50 ft"\n{PUMPS}'
    )
    return Draft(part, Case(part.file))


def test_every_part_is_of_the_pump_whose_number_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Motor, breaker, cable and what stops it dry of the second: 300 ft down and 50 ft aside."""
    monkeypatch.setattr(Draft, "choose", lambda draft, choice, listed=(): choice)
    monkeypatch.setattr(Draft, "chosen", lambda draft, sized: sized.choice)
    monkeypatch.setattr(
        wiring, "smallest", lambda case, choice: SimpleNamespace(choice=choice, passes=True)
    )
    draft = _three()
    cable: Any = wiring.cable_of(draft, 2)
    for choice, part, key in (
        (cable, "cable, two", "cable.gauge"),
        (study._motor_of(draft, 2), "motor, two", "rated_power"),
        (wiring.breaker_of(draft, 2), "breaker, two", "breaker"),
        (study._stopped_dry(draft, 2), study.DRY_RUN, "dry_run_protection"),
    ):
        assert isinstance(choice, Choice)
        assert (choice.part, choice.subjects) == (part, ["two"])
        assert {each.changes[0].path for each in choice.candidates} == {f"pump[2].{key}"}
    assert {each.changes[1].value for each in cable.candidates} == {'"350 ft"'}
    for number in (1, 3):
        for part_of in (wiring.cable_of, wiring.breaker_of, study._motor_of):
            assert part_of(draft, number) is draft
    guarded = wiring.guards_of(draft, 2)
    assert [each.change.path for each in guarded.sets] == [
        "pump[2].overload", "pump[2].ground_fault_breaker"
    ]  # fmt: skip
    pumps = [SimpleNamespace(duties=[SimpleNamespace(pump_flow=flow)]) for flow in (1.0, 2.0, 3.0)]
    case: Any = SimpleNamespace(case=SimpleNamespace(pumps=pumps))
    assert study._flow_of(case, 2) == 2.0


@pytest.mark.parametrize(
    ("aim", "passes_at", "starts"),
    [
        ("", 1, ["direct"]), ("", 2, ["direct", "soft"]),
        ("", 4, ["direct", "soft", "variable speed"]),
        ('[aim]\nmake_least = "power at start"\n', 2, ["variable speed", "soft"]),
    ],
)  # fmt: skip
def test_the_plainest_start_for_which_there_is_a_cable(
    aim: str, passes_at: int, starts: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Or the gentlest, where the power at start is to be least; the last that passes is taken."""
    tried: list[str] = []

    def smallest(case: Any, choice: Choice) -> Any:
        tried.append(case.site.pump[1].start)
        return SimpleNamespace(passes=len(tried) == passes_at)

    monkeypatch.setattr(wiring, "smallest", smallest)
    monkeypatch.setattr(Draft, "chosen", lambda draft, sized: (draft, sized))
    monkeypatch.setattr(Draft, "says", lambda draft, key: False)
    made, sized = wiring.cable_of(_three(aim), 2)  # type: ignore[misc]
    taken = starts[-1] if sized.passes else starts[0]
    assert (tried, made.case.site.pump[1].start) == (starts, taken)
    started = [(each.part, each.candidate.label, each.tried, each.least) for each in made.sized]
    least = "power at start" if aim else DIP.key
    wanted = ("start, two", f"{taken} start", 1, least)
    assert started == ([] if taken == "direct" else [wanted])


def _pump(supply: str = "AC", watts: float | None = None, **others: Any) -> Any:
    return SimpleNamespace(**{"supply": supply, "rated_power": watts, "role": "main",
                              "voltage": "230 V", **others})  # fmt: skip


KVA = kinds.APPARENT_POWER


@pytest.mark.parametrize(
    ("surge", "rating", "least"),
    [("10 kVA", 3e3, 5e3), ("9.9 kVA", 4e3, 5e3), ("10 kVA", 5e3, None), ("4 kVA", 1e3, 2e3)],
)
def test_an_inverter_has_no_more_than_twice_its_rating_for_a_start(
    surge: str, rating: float, least: float | None
) -> None:
    """Common practice, no source; of 1, 2, 3, 4, 5, 6, 8 ... kVA that are sold."""
    power = SimpleNamespace(inverter_surge=read(surge, KVA), inverter_rating=rating)
    draft: Any = Made(case=SimpleNamespace(site=_site(power=power)), system="US", changes=[])
    choice: Any = wiring._rated_for_surge(draft)
    if least is None:
        assert choice is draft
        return
    sold = [float(size) for size in sizes("inverter", KVA) if size > least - 1.0]
    written = [str(each.changes[0].value).strip('"') for each in choice.candidates]
    assert [float(read(each, KVA)) for each in written] == pytest.approx(sold)
    assert (sold[0], choice.part, choice.least) == (least, "inverter", "half of its surge")


def test_the_largest_motor_whose_start_is_open() -> None:
    pumps = [_pump(), _pump(watts=1500.0), _pump(watts=700.0), _pump("DC", 3000.0)]
    starts = [f"pump[{number}].start" for number in (2, 3, 1)]
    for told, largest in ((0, 2), (1, 3), (2, 1), (3, None)):
        draft: Any = Made(case=SimpleNamespace(site=_site(pump=pumps)), told=starts[:told])
        assert wiring._largest_to_start(draft) == largest


@pytest.mark.parametrize(
    ("by_sun", "grid", "role", "told", "wanted"),
    [
        (True, True, "main", (), True), (False, False, "main", (), True),
        (False, True, "main", ("sun",), False), (False, True, "backup", (), False),
        (False, True, "backup", ("sun",), True), (False, True, "main", (), False),
    ],
)  # fmt: skip
def test_where_pumps_want_an_inverter_it_has_the_first_ones_voltage(
    by_sun: bool, grid: bool, role: str, told: tuple[str, ...], wanted: bool
) -> None:
    power = SimpleNamespace(grid=grid, battery_energy=None, inverter_rating=None,
                            inverter_surge=None, inverter_voltage=None)  # fmt: skip
    volts = [Quantity(each, kinds.VOLTAGE) for each in (48.0, 230.0)]
    pumps = [_pump("DC", voltage=volts[0]), _pump(voltage=volts[1], role=role),
             _pump(voltage=None)]  # fmt: skip
    told = (*told, "power.inverter_rating", "power.inverter_surge")
    case = SimpleNamespace(site=_site(pump=pumps, power=power))
    draft: Any = Made(case=case, told=told, changes=[])
    assert wiring.inverter_of(draft, by_sun).changes == (
        [str(set_to("power.inverter_voltage", volts[1]))] if wanted else []
    )
