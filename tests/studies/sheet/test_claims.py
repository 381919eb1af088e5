"""What verdicts take on trust names the line of the sheet that proves it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import get_args

import pytest
from pydantic import BaseModel

from tests.properties.whole.strategy import sample
from tests.site_texts import EXAMPLES
from wellsolar import site_from
from wellsolar.results import Results
from wellsolar.site.loading.read import SiteFile, load_site
from wellsolar.site.schema import Site
from wellsolar.studies.case import Case
from wellsolar.studies.rules import all_rules
from wellsolar.studies.sheet.guards import GUARDS, TESTED, refuse_unproven
from wellsolar.verdicts import Place, Rule, say

CLAIMED = re.compile(
    r", as the file claims; lines? ([\d and]+) of the commissioning sheet proves? it$"
)

NO_GUARDS = {"shroud", "grid", "check_valve", "above_fixtures", "spout_valve", "shares_casing"}
"""Flags that say how a thing is built: each can be seen, and no guard hangs on it."""


def tables_of(model: type[BaseModel], name: str) -> Iterator[tuple[str, type[BaseModel]]]:
    """A table of the site file and those in it."""
    yield name, model
    for key, each in model.model_fields.items():
        for part in (each.annotation, *get_args(each.annotation)):
            if isinstance(part, type) and issubclass(part, BaseModel):
                yield from tables_of(part, key)


def test_every_flag_that_guards_has_its_line() -> None:
    fields = {
        (table, name): repr(each.annotation)
        for table, model in tables_of(Site, "site")
        for name, each in model.model_fields.items()
    }
    guards = {(guard.table, guard.flag) for guard in GUARDS}
    assert guards <= set(fields)
    flags = {key for key, kind in fields.items() if "bool" in kind}
    assert ("pump", "dry_run_protection") in flags
    left = {name for _, name in flags - guards} - NO_GUARDS - TESTED
    assert not left, f"{left}: a line of the sheet in GUARDS, or a flag that guards nothing"


def test_a_rule_that_trusts_what_no_line_proves_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    trusted = {flag for rule in all_rules().values() for flag in rule.claims}
    assert trusted == TESTED
    monkeypatch.setattr("wellsolar.verdicts.RULES", {})
    rule = Rule(
        "of this test", "?", "", "common practice", by="owner", place=Place(), claims=("a_flag",)
    )
    with pytest.raises(ValueError, match="a_flag, which no line of the sheet proves"):
        refuse_unproven([rule])
    with pytest.raises(ValueError, match="names no claim"):
        rule.verdict("pass", "it", say("so"), claims=["array[1].other_flag"])


@pytest.mark.parametrize("name", ["ridge_house", "creek_cabin", "south_slope", "village_borehole"])
def test_each_claim_ends_with_the_line_that_proves_it(name: str) -> None:
    case = Case(load_site(EXAMPLES / f"{name}.toml"))
    results: Results = case.results(("pump", "supply", "heat"))
    proves = {line.number: line.proves for line in case.sheet.lines}
    for verdict in results.verdicts:
        told = CLAIMED.search(verdict.reason.text("US"))
        trusted = bool(verdict.claims) and verdict.status in ("pass", "caution")
        assert (told is not None) is trusted, verdict.reason.text("US")
        if told is not None:
            lines = [int(number) for number in told.group(1).split(" and ")]
            assert {proves[line] for line in lines} == set(verdict.claims)
    if name == "ridge_house":
        rules = {verdict.rule.key for verdict in results.verdicts if verdict.claims}
        assert {"ground fault", "arc fault", "rapid shutdown", "vacuum relief", "yield",
                "scald protection at fixtures", "pumps at once on the well"} <= rules  # fmt: skip


@pytest.mark.parametrize(("series", "claims"), [(1, False), (4, True)])
def test_what_passes_without_the_flag_claims_nothing(
    make_site: Callable[..., SiteFile], series: int, claims: bool
) -> None:
    """NEC 690.11 asks arc-fault protection from 80 V: one module stays below, four do not."""
    array = f"series = {series}\narc_fault_protection = true"
    results = Case(make_site(array=array)).results(("heat",))
    verdict = next(each for each in results.verdicts if each.rule.key == "arc fault")
    assert verdict.status == "pass"
    assert ("as the file claims" in verdict.reason.text("US")) is claims


def test_every_guard_of_any_site_has_its_line_before_anything_is_switched_on() -> None:
    """But for valves that can only be tried in warm water, which come first of the heat."""
    for tables in sample(25, start=3):
        site = site_from(tables)
        sheet = Case(site).sheet
        proven = {line.proves: step for step in sheet.steps for line in step.lines}
        for guard in GUARDS:
            many = getattr(site.site, guard.table)
            for number, table in enumerate(many if isinstance(many, tuple) else (many,), 1):
                if table is None or not getattr(table, guard.flag):
                    continue
                place = f"{guard.table}[{number}]" if isinstance(many, tuple) else guard.table
                step = proven[f"{place}.{guard.flag}"]
                assert step.phase == "guards" or step.key in ("first_heat", "hand_pump")
        phases = [step.phase for step in sheet.steps]
        if "heat" in phases:
            assert sheet.steps[phases.index("heat")].key in ("first_heat", "array_1", "hot_water")
        if "power" in phases and "guards" in phases:
            assert phases.index("guards") < phases.index("power")
