"""Two pumps at once on one well, one pipe and one inverter."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from tests.studies.pump.deep_pump import BASE, GPM, PUMP, SWITCH, studied
from wellsolar.results import Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.studies.pump import at_once
from wellsolar.studies.pump.at_once import AtOnce, flow_at_once
from wellsolar.studies.pump.study import intake_depth, pump_on_well
from wellsolar.verdicts import Verdict, changes_of

MOTOR = 'rated_power = "1 hp"\n'
TWO = BASE + SWITCH.format(volume=119, precharge=28) + PUMP + MOTOR
TWO += PUMP.replace('"pump"', '"yard"') + MOTOR
POWER = '[power]\ninverter_rating = "4 kVA"\ninverter_surge = "30 kVA"\n'
RULES = {
    "pumps at once on the well", "pumps at once in the pipe", "pumps at once on the inverter",
    "pumps that start at once",
}  # fmt: skip


def verdicts_of(text: str) -> dict[str, Verdict]:
    return {each.rule.key: each for each in studied(text).verdicts if "at once" in each.rule.key}


def together(text: str) -> tuple[float, Results]:
    file = parse_site(text)
    results = study_site(file)
    pumps = []
    for number, (table, result) in enumerate(zip(file.site.pump, results.pumps, strict=True), 1):
        on_well = pump_on_well(file.site, table, f"pump[{number}]")
        pumps.append(AtOnce(table, on_well.path, result, on_well.curve, on_well.line))
    return flow_at_once(file.site, pumps), results


def test_together_they_give_less_than_their_sum_and_more_than_one() -> None:
    flow, results = together(TWO)
    alone = [pump.duties[0].flow for pump in results.pumps]
    assert max(alone) < flow < sum(alone)
    # Without a drawdown and through a wide pipe nothing is shared.
    wide = TWO.replace("0.8 gpm/ft", "9000 gpm/ft").replace(
        '[piping.lateral]\nmaterial = "polyethylene SIDR"\nsize = "1 in"',
        '[piping.lateral]\nmaterial = "PVC sch 40"\nsize = "2 in"',
    )
    assert "2 in" in wide
    flow, results = together(wide)
    assert flow == pytest.approx(sum(pump.duties[0].flow for pump in results.pumps), rel=1e-2)


@pytest.mark.parametrize(
    ("key", "status"),
    [("", "unknown"), ("pump_changeover = false\n", "fail"), ("pump_changeover = true\n", "pass")],
)
def test_a_well_that_bears_one_of_them(key: str, status: str) -> None:
    # Each takes some 9 gpm of the 12 gpm that the well was tested for, both more.
    found = verdicts_of(TWO + POWER + key)
    assert found["pumps at once on the well"].status == status
    if status == "fail":
        assert found.keys() == RULES
        for verdict in found.values():
            changes = [str(each) for each in changes_of(verdict.remedy)]
            assert changes in ([], ["power.pump_changeover=true"])
    if status == "pass":
        assert list(found) == ["pumps at once on the well"]
    if status == "unknown":
        assert found["pumps at once on the well"].needs == ("power.pump_changeover",)


@pytest.mark.parametrize(("tested", "status"), [(1.02, "pass"), (0.98, "fail")])
def test_a_well_tested_for_both_bears_them(tested: float, status: str) -> None:
    flow, _ = together(TWO)
    text = TWO.replace('12 gpm"\ncasing', f'{tested * flow / GPM} gpm"\ncasing')
    assert text != TWO
    found = verdicts_of(text + "[power]\npump_changeover = false\n")
    assert found["pumps at once on the well"].status == status


@pytest.mark.parametrize(
    ("rating", "surge", "runs", "starts"),
    # A 1 hp motor at 230 V takes 48 A locked: 11.04 kVA each, and a fifth to spare.
    [(9.0, 27.7, "pass", "pass"), (9.0, 27.5, "pass", "caution"), (1.5, 22.0, "fail", "fail")],
)
def test_an_inverter_that_carries_each_alone(
    rating: float, surge: float, runs: str, starts: str
) -> None:
    power = f'[power]\ninverter_rating = "{rating} kVA"\ninverter_surge = "{surge} kVA"\n'
    results = studied(TWO + power + "pump_changeover = false\n")
    status = {each.rule.key: each.status for each in results.verdicts}
    assert status["pumps at once on the inverter"] == runs
    assert status["pumps that start at once"] == starts


def test_a_pump_that_lifts_nothing_starts_all_the_same() -> None:
    lifts, _, other = TWO.rpartition("head = ")
    weak = lifts + 'head = "40, 35, 30, 20, 10 ft"' + other[other.index("\n") :]
    found = verdicts_of(weak + POWER + "pump_changeover = false\n")
    # The well and the pipe have the water of one alone.
    assert found.keys() == {"pumps at once on the inverter", "pumps that start at once"}


def test_one_pump_alone_has_nothing_to_share() -> None:
    one = BASE + SWITCH.format(volume=119, precharge=28) + PUMP + MOTOR
    assert verdicts_of(one + POWER) == {}


@pytest.mark.parametrize(("start", "takes"), [(None, 500.0), (5.0, 5 * 230.0)])
def test_what_a_pump_takes_while_it_runs(start: float | None, takes: float) -> None:
    """At most 400 W by a power factor of 0.8; where its current is known, that by its voltage."""
    told = start and SimpleNamespace(running_current=start)
    duties = [SimpleNamespace(input_power=watts) for watts in (400.0, 300.0)]
    table = SimpleNamespace(power_factor=0.8, voltage=230.0, phases=1)
    working = SimpleNamespace(table=table, result=SimpleNamespace(start=told, duties=duties))
    assert at_once._running(working) == pytest.approx(takes)  # type: ignore[arg-type]


@pytest.mark.parametrize(("level", "depth"), [(60, 190), (195, 195)])
def test_an_intake_that_no_file_names_hangs_10_feet_above_the_bottom(
    level: int, depth: int
) -> None:
    """Common practice; no higher than the water stands."""
    text = (BASE + PUMP).replace('intake_depth = "150 ft"\n', "")
    site = parse_site(text.replace('static_level = "60 ft"', f'static_level = "{level} ft"')).site
    assert intake_depth(site, site.pump[0]) == pytest.approx(depth * 0.3048)
