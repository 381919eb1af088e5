"""Each rule on both sides of its limit, in the limit's own unit, and unknown without its key.

A row of `sides.py` says of a site which value of a key just passes and which just does not, and
why the limit lies between the two. Beyond it the remedy's changes are made: the verdict passes
then, and no other of that study turns to fail. Rules without a number have a row for each state.

What the verdicts say there lies in `said.txt`, in the program's own words: it tells that a
sentence or one of its quantities moved, not that it is right; limits are worked out, not read off.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from tests.properties.whole.figures import OF_A_YEAR, STATES_TOLD, figures_of
from tests.properties.whole.joins import JOINED
from tests.properties.whole.named import FEW, NAMED, tables_of
from tests.properties.whole.sides import (
    BETWEEN,
    BY_ITSELF,
    DRY,
    GROUPS,
    NO_REMEDY_SEEN,
    READINGS,
    SECOND,
    STATES,
    TANK_2,
    Given,
    Sides,
    base_tables,
    with_given,
    without,
)
from tests.properties.whole.strategy import sample
from tests.properties.whole.verdicts import judged as whole
from wellsolar import Case, Options, site_from
from wellsolar.errors import SiteFileError
from wellsolar.kinds import HEAD, TEMPERATURE, Kind
from wellsolar.site.loading.overrides import changed, python_settings
from wellsolar.site.readings.file import readings_of_options
from wellsolar.site.shape import field_at, reader_of
from wellsolar.studies.asked.changed_site import path_of
from wellsolar.studies.asked.ordinary import study_ordinary
from wellsolar.studies.reading.study import study_readings
from wellsolar.studies.rules import all_rules
from wellsolar.units import Quantity, UnreadableQuantity, read
from wellsolar.verdicts import RANK, Remedy, Status, Verdict, changes_of, set_to

ROWS = [(group, row) for group in GROUPS for row in group.rows]
NAMES = [f"{number}: {row.rule}, {row.breaks}" for number, (_, row) in enumerate(ROWS)]
OF_STATES = (*STATES, *JOINED)
ALL_STATES = [(group, state) for group in OF_STATES for state in group.rows]
STATE_NAMES = [f"{number}: {state.rule}" for number, (_, state) in enumerate(ALL_STATES)]
SAID = Path(__file__).with_name("said.txt")


@cache
def _base(number: int) -> tuple[dict[str, Any], Case]:
    """Tables and case of a row before its key is turned; rows of one group alike share them."""
    group, row = ROWS[number]
    first = next(at for at, (g, r) in enumerate(ROWS) if g is group and r.given == row.given)
    if first < number:
        return _base(first)
    tables = with_given(base_tables(group.site), {**group.given, **row.given})
    return tables, Case(site_from(tables), Options(cases=32))


def _beside(case: Case, tables: dict[str, Any], *paths: str) -> Case:
    """The case of tables that differ from those of another in these keys. All other tables stay
    the same objects, so that what reads them alone is not made again."""
    file = site_from(tables)
    names = {path.partition(".")[0].partition("[")[0] for path in paths}
    turned = {name: getattr(file.site, name) for name in names}
    other = Case(replace(file, site=case.site.model_copy(update=turned)), case.options)
    other.before = case
    return other


def _changed(tables: dict[str, Any], values: Mapping[str, object]) -> dict[str, Any]:
    made = changed(tables, python_settings(values))
    assert not made.problems, made.problems
    return made.tables


def judged(number: int, tables: dict[str, Any], *paths: str) -> list[Verdict]:
    """What the row's study says of the row's tables with these keys changed."""
    return list(_beside(_base(number)[1], tables, *paths).said(ROWS[number][0].study).verdicts)


def worst_of(verdicts: list[Verdict], rule: str) -> Verdict | None:
    """The verdict of a rule; of several, the worst. None where the rule is not asked."""
    found = [each for each in verdicts if each.rule.key == rule]
    return min(found, key=lambda each: RANK[each.status]) if found else None


@cache
def turned(number: int, kept: bool) -> list[Verdict]:
    """What is said on one side of the limit."""
    row = ROWS[number][1]
    value = row.keeps if kept else row.breaks
    return judged(number, _changed(_base(number)[0], {row.key: value}), row.key)


def _apart(verdict: Verdict) -> float:
    """How far quantity and limit of a verdict lie apart, as a part of the limit, or of 100 K."""
    assert verdict.quantity is not None
    whole = 100.0 if verdict.limit.kind is TEMPERATURE else abs(verdict.limit)
    return abs(verdict.quantity - verdict.limit) / whole if whole else 0.0


@pytest.mark.parametrize("number", range(len(ROWS)), ids=NAMES)
def test_a_rule_turns_at_its_limit(number: int) -> None:
    row = ROWS[number][1]
    kept, broken = (worst_of(turned(number, side), row.rule) for side in (True, False))
    told = [row.why, *(each.reason.text("US") for each in (kept, broken) if each)]
    assert broken is not None, told
    assert (kept.status if kept else "pass", broken.status) == (row.kept, row.broken), told
    assert not _wrong_of([verdict for verdict in (kept, broken) if verdict is not None])
    if row.limit:
        wanted = read(row.limit, broken.limit.kind)
        assert broken.limit == pytest.approx(float(wanted), rel=0.006), told
        for each in filter(None, (kept, broken)):
            if each.quantity is not None and each.quantity.kind is wanted.kind:
                assert _apart(each) <= row.apart, told


RULES_AT_LIMITS = sorted({row.rule for _, row in ROWS})
LACKING = [number for number, (_, row) in enumerate(ROWS) if row.lacks]


@pytest.mark.parametrize("number", LACKING, ids=[NAMES[number] for number in LACKING])
def test_a_rule_is_unknown_without_its_key(number: int) -> None:
    row = ROWS[number][1]
    side = row.breaks if row.lacking == "breaks" else row.keeps
    bare = without(_changed(_base(number)[0], {row.key: side}), row.lacks)
    said = judged(number, bare, row.key, row.lacks)
    assert not _asked_again(said, bare)
    needs = [key for each in said if each.rule.key == row.rule for key in each.needs]
    assert any(key.startswith(row.needs or row.lacks) for key in needs), needs


def _asked_again(said: list[Verdict], tables: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Verdicts that ask for a key which the file gives."""
    return [
        (each.rule.key, key)
        for each in said
        for key in each.needs
        if _given(tables, key) and each.rule.key not in BEYOND
    ]


BEYOND = {"share from PV"}
"""Rules that are unknown where a number of the file lies beyond what can be reckoned with."""


def _given(tables: Any, key: str) -> bool:
    found = tables
    for part in re.findall(r"[^.\[\]]+", key):
        if part.isdecimal():
            found = found[int(part) - 1] if found is not None else None
        else:
            found = found.get(part) if isinstance(found, dict) else None
    return found is not None


def _wrong_after(before: list[Verdict], verdict: Verdict, after: list[Verdict]) -> list[str]:
    """What is wrong once the changes of a verdict's remedy are made."""
    key = verdict.rule.key, verdict.subject
    failed = {(each.rule.key, each.subject) for each in before if each.status == "fail"}
    return [
        f"{key}: {[*map(str, changes_of(verdict.remedy))]}: {each.reason.text('US')}"
        for each in after
        if ((each.rule.key, each.subject) == key and each.status != "pass")
        or (each.status == "fail" and (each.rule.key, each.subject) not in failed)
    ]


@pytest.mark.parametrize("rule", RULES_AT_LIMITS, ids=lambda rule: f"0: {rule}")
def test_a_remedy_beyond_a_limit_works(rule: str) -> None:
    """Made together, the changes of a remedy make its verdict pass, and none of that study fails
    that did not before."""
    wrong = []
    for number, (_, row) in enumerate(ROWS):
        if row.rule != rule:
            continue
        before = turned(number, False)
        verdict = worst_of(before, row.rule)
        assert verdict.remedy is not None, NAMES[number]
        changes = {each.path: each.value for each in changes_of(verdict.remedy)}
        assert bool(changes) != bool(verdict.remedy.by_hand), NAMES[number]
        if changes:
            tables = _changed(_base(number)[0], {row.key: row.breaks, **changes})
            wrong += _wrong_after(before, verdict, judged(number, tables, row.key, *changes))
    assert not wrong, "\n".join(wrong)


TURNS_AT = {
    "above the bottom": ("depth",), "battery for the pump": ("energy",),
    "cylinder under water": ("level",), "drop pipe pressure": ("pressed",),
    "fits the casing": ("depth", "diameter"), "freezing": ("kept",), "frost": ("wanted",),
    "generator start": ("exact",), "handle force": ("bore",),
    "high limit": ("fits", "most"), "high limit on direct current": ("amps", "least"),
    "holds its pressure": ("highest",), "hot water stored": ("large",),
    "inverter rating": ("exact",), "inverter surge": ("exact",), "isolator": ("amps", "least"),
    "lateral pressure": ("pressed",), "mixing valve": ("safe",),
    "mixing-valve standard": ("low",), "mixing-valve supply": ("limit", "needed"),
    "motor overload": ("plain",), "peak flow": ("needed",), "pump breaker": ("right",),
    "reaches cut-out": ("highest",), "relief valve": ("press",), "run time": ("needed",),
    "starts a day": ("needed",), "starts an hour": ("needed",), "storage temperature": ("limit",),
    "stretch of the rods": ("needed",), "stroke rate": ("rate",), "supply voltage": ("inverter",),
    "switch for the surplus": ("wanted",), "thermal expansion": ("needed",),
    "thermostat on direct current": ("amps", "least"), "thermostat setting": ("wanted",),
    "well head": ("wanted",),
}  # fmt: skip
"""Numbers of remedies that say from where on their rule passes, or up to where; beside many of
them what is sold is larger."""


def _about(row: int, part: Quantity, changes: Mapping[str, str], path: str) -> set[bool]:
    """Whether a row's rule passes a hair below and above what its remedy names for a key."""
    found = set()
    for by in (-1.0, 1.0):
        off = 0.9 if part.kind is TEMPERATURE else 0.012 * part
        near = {**changes, path: set_to(path, Quantity(part + by * off, part.kind)).value}
        values = {ROWS[row][1].key: ROWS[row][1].breaks, **near}
        try:
            said = judged(row, _changed(_base(row)[0], values), ROWS[row][1].key, *near)
        except SiteFileError:
            continue  # such as a cut-out below the cut-in
        verdict = worst_of(said, ROWS[row][1].rule)
        found.add(verdict is None or verdict.status == "pass")
    return found


@pytest.mark.parametrize("rule", TURNS_AT, ids=lambda rule: f"0: {rule}")
def test_a_rule_turns_at_what_its_remedy_needs(rule: str) -> None:
    left = {*TURNS_AT[rule]}
    for number in (n for n, (_, row) in enumerate(ROWS) if row.rule == rule):
        verdict = worst_of(turned(number, False), rule)
        assert verdict is not None
        assert verdict.remedy is not None
        changes = {each.path: each.value for each in changes_of(verdict.remedy)}
        for name in {*left} & {*verdict.remedy.parts}:
            part = verdict.remedy.parts[name]
            assert isinstance(part, Quantity)
            paths = [path for path in changes if _kind_of(path) is part.kind]
            if any(len(_about(number, part, changes, path)) == 2 for path in paths):
                left.remove(name)
        if not left:
            return
    assert not left


def _kind_of(path: str) -> object:
    key = field_at(path_of(path))
    reader = None if key is None else reader_of(key)
    return None if reader is None else reader.kind


RULES_OF_STATES = sorted({state.rule for _, state in ALL_STATES})


@pytest.mark.parametrize("rule", RULES_OF_STATES, ids=lambda rule: f"0: {rule}")
def test_a_remedy_of_a_state_works(rule: str) -> None:
    """As beyond a limit."""
    wrong = []
    for number, (group, state) in enumerate(ALL_STATES):
        before = of_state(number) if state.rule == rule else []
        verdict = worst_of(before, rule)
        if verdict is None or verdict.remedy is None:
            continue
        changes = {each.path: each.value for each in changes_of(verdict.remedy)}
        assert bool(changes) != bool(verdict.remedy.by_hand), STATE_NAMES[number]
        if changes:
            tables, case = _site_of_states(OF_STATES.index(group))
            tables = _changed(with_given(tables, state.given), changes)
            other = _beside(case, tables, *state.given, *changes)
            wrong += _wrong_after(before, verdict, list(other.said(group.study).verdicts))
    assert not wrong, "\n".join(wrong)


def _is_figure(part: object, text: str) -> bool:
    """Whether what stands in a verdict is a figure as it is written; a head of water is marked."""
    if not isinstance(part, Quantity):
        return str(part).strip('"') == text
    size, head, _ = text.partition(" of head")
    if (part.kind is HEAD) != bool(head):
        return False
    try:
        wanted = float(read(size, part.kind))
    except UnreadableQuantity:
        return False
    return part == pytest.approx(wanted, rel=0.006, abs=0.02 if wanted == 0.0 else 0.0)


def _in_words(remedy: Remedy) -> dict[str, object]:
    """What stands in a remedy and its changes, by name and key; flags, words and numbers alike."""
    changes: dict[str, object] = {}
    for change in remedy.changes:
        kind = _kind_of(change.path)
        text = change.value.strip('"')
        changes[change.path] = read(text, kind) if isinstance(kind, Kind) else text
    return {**remedy.parts, **changes}


def _unlike(told: Mapping[str, object], figures: Mapping[str, str], verdict: Verdict) -> list[str]:
    """Figures of a sentence that are neither as worked out, nor its quantity or limit."""
    both = verdict.quantity, verdict.limit
    own = [(each.kind.name, float(each)) for each in both if each is not None]
    free = TURNS_AT.get(verdict.rule.key, ())
    wrong = []
    for name, part in told.items():
        if name in figures:
            fine = not figures[name] or _is_figure(part, figures[name])
        elif isinstance(part, Quantity):
            fine = name in free or (part.kind.name, float(part)) in own
        else:
            fine = not re.fullmatch(r"[\d.]+( AWG)?", str(part)) and "." not in name
        if not fine:
            wrong.append(f"{verdict.rule.key}: {name} {part}, not {figures.get(name)}")
    return wrong


def _names(row: Sides, value: object) -> tuple[str, ...]:
    """How a row is named by a value on one side of its limit."""
    return str(value), f"{row.key}: {value}", f"{value} at {row.limit}"


@pytest.mark.parametrize("rule", RULES_AT_LIMITS, ids=lambda rule: f"0: {rule}")
def test_every_figure_at_a_limit_is_worked_out(rule: str) -> None:
    wrong = []
    for number, row in ((n, row) for n, (_, row) in enumerate(ROWS) if row.rule == rule):
        beyond, within = _names(row, row.breaks), _names(row, row.keeps)
        for kept, names in ((False, beyond), (True, (*beyond, *within))):
            verdict = worst_of(turned(number, kept), rule)
            if verdict is None or verdict.status == "unknown":
                continue
            in_reason, in_remedy = figures_of(rule, *names)
            wrong += _unlike(verdict.reason.parts, in_reason, verdict)
            if verdict.remedy is not None:
                wrong += _unlike(_in_words(verdict.remedy), in_remedy, verdict)
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("weaker", ["water_heater", TANK_2])
def test_of_two_tanks_the_lower_high_limit_is_told(weaker: str) -> None:
    """The valve lets in 180 degF; one of the tanks is made for 165 degF."""
    hot = {f"{tank}.high_limit": "190 degF" for tank in ("water_heater", TANK_2)}
    given = {**DRY, **SECOND, **hot, f"{weaker}.greatest_temperature": "165 degF"}
    case = Case(site_from(with_given(base_tables("south_slope"), given)))
    found = worst_of(list(case.said("heated_tank").verdicts), "mixing-valve supply")
    assert found is not None
    assert found.remedy is not None
    assert "no more than 165 °F" in found.remedy.text("US")
    limits = {each.path.removesuffix(".high_limit"): each.value for each in found.remedy.changes}
    (other,) = {"water_heater", TANK_2} - {weaker}
    assert limits == {weaker: '"165 degF"', other: '"180 degF"'}


PROTECTED = ("pumps at once on the well", "runs dry", "yield")


@pytest.mark.parametrize("rule", PROTECTED, ids=lambda rule: f"0: {rule}")
def test_only_a_pump_with_its_protection_claims_it(rule: str) -> None:
    for number in (n for n, (_, row) in enumerate(ROWS) if row.rule == rule):
        verdict, given = worst_of(turned(number, False), rule), ROWS[number][1].given
        guarded = {key for key in given if key.endswith("dry_run_protection") and given[key]}
        assert set(verdict.claims) == guarded, NAMES[number]


@cache
def _site_of_states(group: int) -> tuple[dict[str, Any], Case]:
    tables = with_given(base_tables(OF_STATES[group].site), OF_STATES[group].given)
    return tables, Case(site_from(tables))


@cache
def of_state(number: int) -> list[Verdict]:
    """What a study says of a state."""
    group, state = ALL_STATES[number]
    tables, case = _site_of_states(OF_STATES.index(group))
    other = _beside(case, with_given(tables, state.given), *state.given)
    return list(other.said(group.study).verdicts)


STATES_WITH_FIGURES = sorted({state.rule for _, state in ALL_STATES} - OF_A_YEAR)


@pytest.mark.parametrize("rule", STATES_WITH_FIGURES, ids=lambda rule: f"0: {rule}")
def test_every_figure_of_a_state_is_worked_out(rule: str) -> None:
    wrong = []
    for number, (_, state) in enumerate(ALL_STATES):
        verdict = worst_of(of_state(number), rule) if state.rule == rule else None
        if verdict is None:
            continue
        names = [f"{key.rpartition('.')[2]}={value}" for key, value in state.given.items()]
        in_reason, in_remedy = figures_of(rule, *names, told=STATES_TOLD)
        wrong += _unlike(verdict.reason.parts, in_reason, verdict)
        if verdict.remedy is not None:
            told = _in_words(verdict.remedy)
            kept = {name: part for name, part in told.items() if _is_number(part)}
            wrong += _unlike(kept, in_remedy, verdict)
    assert not wrong, "\n".join(wrong)


def _is_number(part: object) -> bool:
    return isinstance(part, Quantity) or str(part).isdecimal()


@pytest.mark.parametrize("number", range(len(ALL_STATES)), ids=STATE_NAMES)
def test_each_state_has_its_verdict(number: int) -> None:
    state = ALL_STATES[number][1]
    found = worst_of(of_state(number), state.rule)
    assert (found.status if found else "pass") == state.status, found and found.reason.text("US")
    if found and found.status in ("fail", "caution"):
        assert found.remedy is not None
    assert state.asks in ((), found.needs if found else ())
    assert state.told in (found.reason.text("US") if found else "")
    assert not _wrong_of([found] if found else [])
    tables, _ = _site_of_states(OF_STATES.index(ALL_STATES[number][0]))
    given = with_given(tables, ALL_STATES[number][1].given)
    assert not _asked_again(of_state(number), given)


WARM, MATCHED = "aim.clear_day_temperature", "aim.sun_share"
ELEMENT = "water_heater.element[1]"
OF_THE_YEAR: dict[str, tuple[str, Given, Callable[[float, float], Given], Status]] = {
    "share from PV": ("heated_tank", {}, lambda given, by: {
        MATCHED: f"{100 * given * by:.4f} %"}, "caution"),
    "hot water in the evening": ("heated_tank", {}, lambda given, by: {
        "aim.hot_evenings": f"{100 * given * by / 365:.4f} %"}, "caution"),
    "hot evenings by the sun": ("heated_tank", {}, lambda given, by: {
        "aim.sun_evenings": f"{100 * given * by / 365:.4f} %"}, "caution"),
    "reaches temperature": ("heated_tank", {
        "water_heater.volume": "80 gal", WARM: "120 degF", "aim.clear_day_month": "December",
    }, lambda given, by: {WARM: f"{given * by:.3f} degC"}, "caution"),
    "element load": ("heated_tank", {}, lambda given, by: {
        f"{ELEMENT}.rated_voltage": f"{given / by:.3f} V",
        f"{ELEMENT}.rated_power": f"{3800 * (given / by / 240) ** 2:.3f} W"}, "fail"),
    "matched to the array": ("matching", {MATCHED: "99 %"}, lambda given, by: {
        "aim.matched": f"{100 * given * by:.4f} %"}, "caution"),
}  # fmt: skip
"""Rules on what a year brings, which other tests compose: a study, what is set before, what is
asked as a part of what the site gives, and how it stands where that is more. An element of the
same resistance has the same volts, whatever its plate says."""


@pytest.mark.parametrize("rule", OF_THE_YEAR, ids=lambda rule: f"0: {rule}")
def test_a_rule_turns_where_as_much_is_asked_as_the_site_gives(rule: str) -> None:
    study, given, asked, broken = OF_THE_YEAR[rule]
    tables = with_given(base_tables("south_slope"), given)
    case = Case(site_from(tables))
    own = worst_of(list(case.said(study).verdicts), rule)
    assert own.quantity is not None
    for by, status in ((0.993, "pass"), (1.007, broken)):
        keys = asked(float(own.quantity), by)
        there = worst_of(
            list(_beside(case, with_given(tables, keys), *keys).said(study).verdicts), rule
        )
        assert there.status == status, there.reason.text("US")
        assert there.quantity == pytest.approx(float(own.quantity), rel=2e-3)
        assert there.limit is not None
        assert by == pytest.approx(
            there.limit / own.quantity if broken == "caution" else own.quantity / there.limit,
            abs=4e-3,
        )


@cache
def _ridge() -> Case:
    return Case(site_from(base_tables("ridge_house")))


@cache
def of_reading(number: int, kept: bool) -> Verdict:
    """The worst verdict on readings at the ridge house; of a rule, where there is one of it."""
    row = READINGS[number]
    written = {"date": "2026-07-10", "time": "12:00", **(row.keeps if kept else row.breaks)}
    verdicts = list(study_readings(_ridge(), [readings_of_options(written)]).verdicts)
    return worst_of(verdicts, row.rule) or min(verdicts, key=lambda each: RANK[each.status])


@pytest.mark.parametrize("number", range(len(READINGS)))
def test_a_reading_turns_at_its_limit(number: int) -> None:
    row, kept, broken = READINGS[number], of_reading(number, True), of_reading(number, False)
    assert kept.status == row.kept, kept.reason.text("US")
    assert (broken.rule.key, broken.status) == (row.rule, row.broken), broken.reason.text("US")
    assert broken.remedy is not None


def test_what_lies_beyond_an_ordinary_end_is_asked_after() -> None:
    """5,000 gal a day are a usual household's most, 20 gal its least."""
    for use, asked in (("5000", False), ("5030", True), ("20", False), ("19.9", True)):
        given = {"demand.daily_use": f"{use} gal/day"}
        file = site_from(with_given(base_tables("steady"), given))
        verdicts = study_ordinary(file, ("pump",)).verdicts
        assert [each.subject for each in verdicts] == ["demand.daily_use"] * asked, use
        assert all(each.status == "caution" for each in verdicts)
        assert not study_ordinary(file, ("heat",)).verdicts


def _seen(rule: str = "") -> list[Verdict]:
    """The verdict of each row on both sides, of each state and of each reading, or of those of a
    rule."""
    sides = (True, False)
    found: list[Verdict | None] = []
    for n, (_, row) in enumerate(ROWS):
        if rule in ("", row.rule):
            found += [worst_of(turned(n, kept), row.rule) for kept in sides]
    for n, (_, state) in enumerate(ALL_STATES):
        if rule in ("", state.rule):
            found.append(worst_of(of_state(n), state.rule))
    for n, reading in enumerate(READINGS):
        if rule in ("", reading.rule):
            found += [of_reading(n, kept) for kept in sides]
    told = [each for each in found if each is not None]
    return [each for each in told if rule in ("", each.rule.key)]


AT_IT = {"on its curve", "tank relief", "cylinder under water"}
"""Rules that are broken at their limit too: a curve that ends, a valve that opens at usual work, a
cylinder at the level."""


def _breaks_its_limit(verdict: Verdict) -> bool:
    """Whether a verdict stands otherwise than its quantity beside its limit."""
    asks, found, limit = verdict.rule.limit_is, verdict.quantity, verdict.limit
    if found is None or limit is None or asks is None or verdict.rule.key in BETWEEN:
        return False
    # What prints alike is alike: three digits.
    off = (float(found) - float(limit)) * (1.0 if asks == "at most" else -1.0)
    about = 0.006 * max(abs(float(limit)), 1e-9)
    if verdict.status == "pass":
        return off > about
    beyond = off > 0.0 or (off == 0.0 and verdict.rule.key in AT_IT)
    return verdict.status in ("fail", "caution") and not beyond


def _of_two_kinds(verdict: Verdict) -> bool:
    """Whether quantity and limit are told as different kinds of number."""
    found, limit = verdict.quantity, verdict.limit
    return found is not None and limit is not None and found.kind.name != limit.kind.name


def _wrong_of(verdicts: list[Verdict]) -> list[str]:
    """Verdicts beside their own limits, between two kinds, unknown without one or two keys, or
    short without a remedy."""
    return [
        f"{each.rule.key} of {each.subject}: {each.status}: {each.reason.text('US')}"
        for each in verdicts
        if _breaks_its_limit(each)
        or _of_two_kinds(each)
        or (each.status == "unknown" and len(each.needs) not in (1, 2))
        or (each.status in ("fail", "caution") and each.remedy is None)
    ]


@pytest.mark.parametrize("kept", [True, False])
def test_what_passes_keeps_its_limit_and_what_does_not_breaks_it(kept: bool) -> None:
    wrong = [told for number in range(len(ROWS)) for told in _wrong_of(turned(number, kept))]
    assert not wrong, "\n".join(dict.fromkeys(wrong))


def test_states_keep_their_limits_too() -> None:
    wrong = [told for number in range(len(ALL_STATES)) for told in _wrong_of(of_state(number))]
    assert not wrong, "\n".join(dict.fromkeys(wrong))


@pytest.mark.parametrize("less", [
    ("sun",), ("sun", "module"), ("sun", "site.latitude"), ("sun", "site.latitude", "module"),
    ("demand", "site.people"), ("demand", "site.people", "sun", "module"),
])  # fmt: skip
@pytest.mark.parametrize("name", ["south_slope", "hill_tank", "village_borehole"])
def test_no_verdict_asks_for_more_than_two_keys(name: str, less: tuple[str, ...]) -> None:
    """Of files that lack much at once."""
    tables = tables_of(name)
    for path in less:
        tables = without(tables, path)
    said = whole(site_from(tables)).verdicts.values()
    open_to = [verdict for verdict in said if verdict.status == "unknown"]
    assert open_to
    for verdict in open_to:
        assert 1 <= len(verdict.needs) <= 2, (verdict.rule.key, verdict.needs)
        assert len(set(verdict.needs)) == len(verdict.needs)


@pytest.mark.long
@pytest.mark.parametrize("name", [*NAMED, *(f"random {number}" for number in range(FEW))])
def test_what_passes_keeps_its_limit_on_a_whole_site(name: str) -> None:
    number = name.removeprefix("random ")
    tables = sample(FEW)[int(number)] if number.isdecimal() else tables_of(name)
    wrong = _wrong_of(list(whole(site_from(tables)).verdicts.values()))
    assert not wrong, "\n".join(wrong)


def test_every_rule_is_seen_here_with_its_remedy_or_says_where() -> None:
    seen = _seen()
    rules = {each.rule.key for each in seen}
    assert set(all_rules()) == rules | set(BY_ITSELF)
    assert not rules & set(BY_ITSELF)
    mended = {each.rule.key for each in seen if each.remedy is not None}
    assert set(all_rules()) == mended | set(NO_REMEDY_SEEN)
    assert not mended & set(NO_REMEDY_SEEN)
    untold = {each.rule.key for each in seen if not _tells_its_quantity(each)}
    assert untold == TOLD_OTHERWISE


TOLD_OTHERWISE = {
    "array for the pump", "boiling", "delivers", "fits the casing", "hot evenings by the sun",
    "hot water in the evening", "least flow", "matched to the array", "modules on hand",
    "overheating", "peak flow", "reaches temperature", "submergence", "switching thresholds",
    "time to a burn",
}  # fmt: skip
"""Rules whose reason has in other words, or in another unit, the quantity that stands beside their
limit; of every other rule it is in the reason as it is."""


def _tells_its_quantity(verdict: Verdict) -> bool:
    found = verdict.quantity
    if verdict.status == "unknown" or found is None:
        return True
    told = [each for each in verdict.reason.parts.values() if isinstance(each, Quantity)]
    return any(
        each.kind.name == found.kind.name and each == pytest.approx(float(found)) for each in told
    )


def _kinds(parts: Mapping[str, Quantity | str]) -> str:
    """The parts of a sentence with their kinds."""
    return ", ".join(
        f"{name}: {part.kind.name if isinstance(part, Quantity) else 'words'}"
        for name, part in parts.items()
    )


def _put(rule: str) -> list[str]:
    """How each verdict of a rule is put: its words, the kinds of what stands in them, and the
    keys it names, without any number."""
    lines: set[str] = set()
    for each in _seen(rule):
        told = [q.kind.name if q is not None else "nothing" for q in (each.quantity, each.limit)]
        lines.add(f"{rule} | {each.status} | {' to '.join(told)}")
        lines.add(f"  {rule}: {each.reason.template} [{_kinds(each.reason.parts)}]")
        if each.needs or each.claims:
            lines.add(f"  {rule} needs {each.needs} claims {each.claims}")
        if each.remedy is not None:
            how = ", ".join(change.path for change in each.remedy.changes)
            words = f"{each.remedy.template} [{_kinds(each.remedy.parts)}]"
            lines.add(f"  {rule} remedy: {words} {how or each.remedy.by_hand}")
    return sorted(lines)


RULES_SEEN = sorted({row.rule for _, row in ROWS} | {state.rule for _, state in ALL_STATES}
                    | {row.rule for row in READINGS})  # fmt: skip


@pytest.mark.parametrize("rule", RULES_SEEN, ids=lambda rule: f"0: {rule}")
def test_verdicts_are_put_in_these_words(rule: str) -> None:
    meant = SAID.read_text("utf-8").split("== ")
    of_rule = next(each for each in meant if each.startswith(f"{rule}\n"))
    assert _put(rule) == of_rule.splitlines()[1:]


if __name__ == "__main__":
    parts = ["\n".join([f"== {rule}", *_put(rule), ""]) for rule in RULES_SEEN]
    SAID.write_text("".join(parts), "utf-8")
