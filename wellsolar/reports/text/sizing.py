"""A design on a screen of 24 lines of 80 columns where its parts have room there, and as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from itertools import chain
from pathlib import PurePath
from textwrap import wrap
from typing import Any

from wellsolar import kinds
from wellsolar.kinds import Kind
from wellsolar.reports.cautions import CAUTIONS, in_short
from wellsolar.reports.tables.sections import ORDER, counts
from wellsolar.reports.text.designs import brief, figures_json
from wellsolar.reports.text.screen import judged
from wellsolar.results.pumps import Duty
from wellsolar.results.sizing import (
    STOPS_PAYING,
    DesignFigures,
    DesignSet,
    LeftOpen,
    MissedAim,
    PartSized,
    PumpWanted,
    SizingResult,
)
from wellsolar.units import System, show

SCHEMA = "wellsolar.sizing"
SCHEMA_VERSION = 3

LINES, WIDTH, MARGIN = 24, 80, 7
"""Of a page, and the columns before its text."""

LENGTHS = (5, 3, 2, 1)
"""Lines of a remark at most: fewer where the parts have no room beside it."""

FEW = 2
"""Sizes of a part of which it is not told by which rule each was left out."""

DO_NOT_PASS = ("FAILS", "CAUTION", STOPS_PAYING)
"""How what binds a part begins that does not pass."""

OF_A_PUMP = {"motor", "start", "cable", "breaker"}
"""Parts whose sizes tell by their units what they are."""

CUT, TOLD = " ...", (";", ",")
"""Where lines are left out, and what stands between things that are told."""

GAP, LEAST_SIZE = 2, 4
"""Columns between part, size and what binds it, and of the sizes at least."""

_HEADS = (
    ("water level and lift", ("pumping_level", "elevation", "suction")),
    ("pipe, fittings, treatment", ("drop_pipe", "lateral", "fittings", "treatment", "velocity")),
    ("pressure at the tank", ("pressure",)),
)
"""Pieces of a head as they are added on the page."""


def page(result: SizingResult, system: System, name: str, full: bool = False) -> str:
    """A design as a page of lines.

    Parameters:
        full: whether every part has a row of its own with what the next smaller would fail, and
            every remark is told whole
    Returns:
        its text in 80 columns, without `full` of no more than 24 lines and with what to buy first
    """
    head, lines = _headline(result, name)[:WIDTH], list(_needs(result, system))
    if result.failed is not None:
        lines += _mark("NONE", result.failed.text(system))
        if result.lacking:
            lines += _mark("GIVE", " or ".join(result.lacking))
        return _joined([head, *lines])
    for number, pump in enumerate(result.pumps):
        lines += _wanted(pump, system) if number == 0 else _mark("AND", _in_words(pump, system))
    end = [block for block in _end(result, system) if block]
    if full:
        return _joined([head, *lines, *_whole_parts(result.parts, system), *chain(*end)])
    for most in LENGTHS:
        left = LINES - 1 - len(lines)
        room = left - sum(min(len(block), most) for block in end)
        parts = _parts(result.parts, room)
        if len(parts) <= room:
            break
    parts = _cut(parts, max(room, 1))
    return _joined([head, *parts, *lines, *_fitted(end, most, left - len(parts))])


def _end(result: SizingResult, system: System) -> Iterator[list[str]]:
    """The lines of each remark below the parts."""
    yield _not(result)
    yield from _ways(result, system)
    yield from _missed(result, system)
    yield _dead(result, system)
    yield _left(result.left)
    yield _next(result)
    yield _care(result)
    yield _mark("CHECK", _check(result))


def _fitted(remarks: Sequence[list[str]], most: int, room: int) -> Iterator[str]:
    """The lines of some remarks, none in more than so many but where there is room for more."""
    spare = room - sum(min(len(remark), most) for remark in remarks)
    for rows in remarks:
        more = max(0, min(spare, len(rows) - most))
        spare -= more
        yield from _cut(rows, most + more)


def _headline(result: SizingResult, name: str) -> str:
    """Whose design it is, and how its check judges it; of a long path the last part alone."""
    if result.results is None:
        why = "what the file lacks" if result.lacking else "why there is no design"
        return f"{name}: nothing is sized yet, see below {why}"
    verdict_text = f": {judged(result.results)}"
    return (
        name + verdict_text
        if len(name + verdict_text) <= WIDTH
        else PurePath(name).name + verdict_text
    )


def _joined(lines: Sequence[str]) -> str:
    return "\n".join(line.rstrip()[:WIDTH] for line in lines) + "\n"


def _mark(mark: str, text: str) -> list[str]:
    """The lines of a text behind its mark."""
    rows = wrap(text, WIDTH - MARGIN) or [""]
    return [f"{mark if not number else '':<{MARGIN}}{row}" for number, row in enumerate(rows)]


def _cut(rows: list[str], most: int) -> list[str]:
    """The first of some lines, with a mark where the others are left out: behind the last thing
    that is told whole, else behind a word."""
    if len(rows) <= most:
        return rows
    kept, last = rows[: most - 1], rows[most - 1][: WIDTH - len(CUT)]
    if len(last) < len(rows[most - 1]):
        last = last.rpartition(" ")[0]
    if not last.endswith(TOLD):
        whole = max(last.rfind(f"{status} ") for status in TOLD)
        last = last[:whole] if whole > MARGIN else last
    return [*kept, last.rstrip("".join(TOLD)) + CUT]


def _needs(result: SizingResult, system: System) -> Iterator[str]:
    needs = result.needs
    if needs is None:
        return
    lines = []
    if needs.daily_volume is not None:
        lines.append(f"{_show(needs.daily_volume, kinds.VOLUME, system)} a day")
    if needs.hot_volume is not None:
        lines.append(f"{_show(needs.hot_volume, kinds.VOLUME, system)} a day hot")
    if needs.peak_flow is not None:
        lines.append(f"{_show(needs.peak_flow, kinds.FLOW, system)} at the peak")
    if needs.survival_volume is not None:
        people = "1 person" if needs.people == 1 else f"{needs.people} people"
        survive = _show(needs.survival_volume, kinds.VOLUME, system)
        lines.append(f"{survive} a day to survive ({people})")
    yield from _mark("NEED", ", ".join(lines) or "not told")
    level = f"water at rest {_show(needs.static_level, kinds.LENGTH, system)} down"
    gives = "its yield is not told"
    if needs.tested_yield is not None:
        gives = f"tested at {_show(needs.tested_yield, kinds.FLOW, system)}"
    yield from _mark("WELL", f"{level}; {gives}")


def _show(value: float, kind: Kind, system: System) -> str:
    return show(value, kind, system)


def _wanted(pump: PumpWanted, system: System) -> Iterator[str]:
    """A pump as a counter asks for it: the head piece by piece at each of its pressures."""
    duties = pump.duties

    def row(mark: str, label: str, cells: Sequence[str]) -> str:
        return f"{mark:<{MARGIN}}{label:<28}" + "".join(f"{cell:>20}" for cell in cells)

    yield row("PUMP", pump.name[:27], [_title(duty, system) for duty in duties])
    yield row("", "flow", [_show(duty.flow, kinds.FLOW, system) for duty in duties])
    for label, keys in _HEADS:
        heads = [_sum(duty, keys) for duty in duties]
        if any(heads):
            yield row("", label, [_show(head, kinds.HEAD, system) for head in heads])
    totals = [_show(duty.total_dynamic_head, kinds.HEAD, system) for duty in duties]
    yield row("", "total dynamic head", totals)
    yield from _mark("", _power(pump, system))


def _title(duty: Duty, system: System) -> str:
    pressure = "" if duty.pressure <= 0.0 else f" {_show(duty.pressure, kinds.PRESSURE, system)}"
    label = duty.label.removeprefix("into the ").removeprefix("into an ")
    return f"{label}{pressure}"


def _sum(duty: Duty, keys: Sequence[str]) -> float:
    return sum(piece.head for piece in duty.pieces if piece.key in keys)


def _power(pump: PumpWanted, system: System) -> str:
    lines = []
    if pump.least_shut_off is not None:
        lines.append(f"{_show(pump.least_shut_off, kinds.HEAD, system)} or more at no flow")
    low = _show(pump.least_power, kinds.COMPUTED_POWER, system)
    high = _show(pump.most_power, kinds.COMPUTED_POWER, system)
    water = _show(pump.water_power, kinds.COMPUTED_POWER, system)
    lines.append(f"{low.split()[0]} to {high} for {water} of water")
    if pump.daily_energy is not None:
        run = pump.daily_run_time or 0.0
        if pump.daily_energy > pump.most_power * run > 0.0:
            plate = _show(pump.daily_energy / run, kinds.COMPUTED_POWER, system)
            lines.append(f"{plate} by its motor, hardly loaded")
        lines.append(f"{_show(pump.daily_energy, kinds.ENERGY, system)}/day")
    return ", ".join(lines)


def _in_words(pump: PumpWanted, system: System) -> str:
    first, last = pump.duties[0], pump.duties[-1]
    duty_text = f"{pump.name}: {_show(first.flow, kinds.FLOW, system)} at "
    duty_text += f"{_show(first.total_dynamic_head, kinds.HEAD, system)}"
    if last is not first:
        duty_text += f", water left at {_show(last.total_dynamic_head, kinds.HEAD, system)}"
    return f"{duty_text}; {_power(pump, system)}"


def _parts(parts: Sequence[PartSized], room: int) -> list[str]:
    """The parts to buy and what binds each; where lines lack those of one kind share one, and
    where they still do all stand in one text, without what binds them."""
    shown = _to_buy(parts)
    if not shown:
        return _mark("BUY", "nothing: the file has every part that is sized")
    kinds_of = list(dict.fromkeys(_whose(part) for part in shown if _whose(part)))
    kinds_of.sort(key=lambda kind: any(_what(part) in OF_A_PUMP for part in shown
                                       if _whose(part) == kind))  # fmt: skip
    for count in range(len(kinds_of) + 1):
        rows = _rows(shown, kinds_of[:count])
        lines = [line for rows in _laid(rows) for line in rows]
        if len(lines) <= room:
            return lines
    # What does not pass is never cut off.
    rows.sort(key=lambda row: not row[2].startswith(DO_NOT_PASS))
    told = [
        f"{name} {size}" + (f" ({bound})" if bound.startswith(DO_NOT_PASS) else "")
        for name, size, bound in rows
    ]
    return _mark("BUY", "; ".join(told))


def _to_buy(parts: Sequence[PartSized]) -> list[PartSized]:
    return [part for part in parts if part.size not in ("none", "no more")]


def _whole_parts(parts: Sequence[PartSized], system: System) -> Iterator[str]:
    """Every part on a row of its own, what the next smaller would fail below it, and by which
    rule how many sizes were left out."""
    shown = _to_buy(parts)
    if not shown:
        yield from _parts(parts, LINES)
        return
    title, *laid = _laid(_rows(shown, ()))
    yield from title
    before, together = "", dict[str, list[str]]()
    for part, lines in zip(shown, laid, strict=True):
        yield from lines
        why = "" if part.falls_short is None else part.falls_short.text(system)
        if why and why != before:  # Two parts that are chosen together fall short as one.
            yield from _below(f"with {part.smaller}: {why}")
        before = why
        counted = "; ".join(f"{rule}: {count}" for rule, count in part.shut_out.items())
        if part.tried > FEW:
            together.setdefault(f"{part.tried} looked at: {counted}", []).append(_what(part))
    for counted, names in together.items():
        yield from _mark("CUT", f"{', '.join(names)}, {counted}")


def _below(text: str) -> list[str]:
    indent = " " * (MARGIN + GAP)
    return wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent)


def _laid(rows: Sequence[tuple[str, str, str]]) -> list[list[str]]:
    """The lines of the titles, then of each row."""
    titled = (("part", "size", "bound by"), *rows)
    part, widest, bound = (max(map(len, column)) for column in zip(*titled, strict=True))
    size = min(widest, WIDTH - MARGIN - part - bound - 2 * GAP)
    gap = " " * GAP
    laid = []
    for number, cells in enumerate(titled):
        mark = "" if number else "BUY"
        first, *more = wrap(cells[1], max(size, LEAST_SIZE)) or [""]
        line = f"{mark:<{MARGIN}}{cells[0]:<{part}}{gap}{first:<{size}}{gap}{cells[2]}"
        laid.append([line, *(" " * (MARGIN + part + GAP) + further for further in more)])
    return laid


def _what(part: PartSized) -> str:
    return part.part.partition(", ")[0]


def _whose(part: PartSized) -> str:
    return part.part.partition(", ")[2]


def _rows(parts: Sequence[PartSized], together: Sequence[str]) -> list[tuple[str, str, str]]:
    """Part, size and what binds it; those of the kinds that are put together in one row."""
    pumps = {_whose(part) for part in parts if _what(part) in OF_A_PUMP}
    rows: dict[str, tuple[str, str, str]] = {}
    for part in parts:
        whose = _whose(part)
        if whose in together:
            alike = [other for other in parts if _whose(other) == whose]
            rows[whose] = whose, _sizes(alike), _bounds(alike)
        else:
            name = part.part if whose in pumps and len(pumps) > 1 else _what(part)
            rows[part.part] = name, brief(part.size), _bounds([part])
    return list(rows.values())


def _sizes(parts: Sequence[PartSized]) -> str:
    """The sizes of several parts in one row, each behind its name where its unit does not tell."""
    if {_what(part) for part in parts} <= OF_A_PUMP:
        return ", ".join(part.size for part in parts)
    by_size: dict[str, list[str]] = {}
    for part in parts:
        name = _what(part).removesuffix("'s relay").removesuffix(" guard")
        by_size.setdefault(part.size, []).append(name)
    return "; ".join(
        ", ".join(names) + ("" if size == "one" else f": {size}")
        for size, names in by_size.items()
    )


def _bounds(parts: Sequence[PartSized]) -> str:
    """What binds parts that stand in one row: that of the first of a pump's."""
    if STOPS_PAYING in (part.bound_by for part in parts if not part.passes):
        return STOPS_PAYING
    short = next((part for part in parts if not part.passes), None)
    bounds = [part.bound_by.replace("direct current", "DC") for part in parts]
    if short is not None:
        return f"{'CAUTION' if short.stands == 'caution' else 'FAILS'} {short.bound_by}"
    if len(set(bounds)) == 1 or _what(parts[0]) in OF_A_PUMP:
        return bounds[0]
    return "required"


def _missed(result: SizingResult, system: System) -> Iterator[list[str]]:
    """Aims that can't be met here, each with the one that can."""
    alike: dict[str, list[MissedAim]] = {}
    for aim in result.missed:
        alike.setdefault(aim.reason.text(system), []).append(aim)
    for reason, missed in alike.items():
        rules = ", ".join(aim.rule for aim in missed)
        within = ", ".join(str(aim.within) for aim in missed)
        yield _mark("CAN'T", f"{rules}: {reason}. Could be met: {within}")


def _ways(result: SizingResult, system: System) -> Iterator[list[str]]:
    """The ways to heat the tank, what each gives and needs, the one of the design first."""
    for way in result.ways:
        lines = []
        if way.share is not None and way.heat is not None:
            share = _show(way.share, kinds.FRACTION, system)
            lines.append(f"{share} of the heat, {_show(way.heat, kinds.ENERGY, system)} a year")
        if way.offered is not None:
            lines.append(f"{_show(way.offered, kinds.ENERGY, system)} on offer")
        if way.evenings is not None:
            lines.append(f"{way.evenings} hot evenings")
        mark = "HEAT" if way.taken else "OR"
        text = f"{way.label}: {', '.join(lines)}; needs {way.needs.text(system)}"
        yield _mark(mark, text)


def _dead(result: SizingResult, system: System) -> list[str]:
    """What is left where one part is dead."""
    dead_text = "; ".join(sentence.text(system) for sentence in result.dead)
    return _mark("DEAD", dead_text) if dead_text else []


def _left(left: Sequence[LeftOpen]) -> list[str]:
    """What no size settles, by why, what fails first."""
    if not left:
        return []
    by_why: dict[str, list[str]] = {}
    for question in sorted(left, key=lambda question: question.status != "fail"):
        named = (
            question.rule
            if question.status == "unknown"
            else f"{question.rule} ({question.status})"
        )
        names = by_why.setdefault(question.why, [])
        if named not in names:
            names.append(named)
    left_text = "; ".join(f"{why}: {', '.join(names)}" for why, names in by_why.items())
    return _mark("OPEN", left_text)


def _not(result: SizingResult) -> list[str]:
    """What of the stock does not do, by the rule."""
    refused_text = "; ".join(f"{refusal.name}: {refusal.rule}" for refusal in result.refused)
    return _mark("NOT", refused_text) if refused_text else []


def _next(result: SizingResult) -> list[str]:
    """What was not sized, and what that wants."""
    unsized_text = "; ".join(f"{what}: {how}" for what, how in result.unsized)
    return _mark("NEXT", unsized_text) if unsized_text else []


def _care(result: SizingResult) -> list[str]:
    """What of the design can hurt or kill: a check of the design tells all of it."""
    keys = () if result.results is None else result.results.cautions
    return _mark("CARE", in_short(keys, WIDTH - MARGIN)) if keys else []


def _check(result: SizingResult) -> str:
    assert result.results is not None
    by_status = counts(result.results)
    counts_text = ", ".join(f"{by_status[status]} {status}" for status in ORDER[::-1])
    return f"{counts_text}; -o FILE writes it; --full has all"


def as_text(result: SizingResult, system: System, beside: DesignSet | None = None) -> str:
    """A design as strict JSON, numbers in SI.

    Parameters:
        system: of units, for sentences that hold quantities
        beside: all the designs of the file, where they were made
    """
    needs = result.needs
    data: dict[str, Any] = {
        "schema": SCHEMA,
        "version": SCHEMA_VERSION,
        "needs": None if needs is None else {
            "people": needs.people, "daily_volume_m3": needs.daily_volume,
            "peak_flow_m3_per_s": needs.peak_flow,
            "survival_volume_m3": needs.survival_volume, "hot_volume_m3": needs.hot_volume,
            "tested_yield_m3_per_s": needs.tested_yield, "static_level_m": needs.static_level,
        },
        "failed": None if result.failed is None else result.failed.text(system),
        "lacking": list(result.lacking),
        "pumps": [_pump_json(pump) for pump in result.pumps],
        "parts": [
            {
                "part": part.part, "size": part.size, "bound_by": part.bound_by,
                "rule": part.rule, "next_smaller": part.smaller,
                "falls_short": None if part.falls_short is None
                else part.falls_short.text(system),
                "passes": part.passes, "stands": part.stands, "tried": part.tried,
                "shut_out": dict(part.shut_out),
            }
            for part in result.parts
        ],
        "changes": {change.path: json.loads(change.value) for change in result.changes},
        "left": [
            {
                "rule": question.rule, "subject": question.subject, "status": question.status,
                "reason": question.reason.text(system), "why": question.why,
                "needs": list(question.needs),
            }
            for question in result.left
        ],
        "refused": [
            {"part": refusal.part, "name": refusal.name, "rule": refusal.rule}
            for refusal in result.refused
        ],
        "ways": [
            {
                "label": way.label, "modules": way.modules, "share": way.share,
                "evenings": way.evenings, "heat_J": way.heat, "offered_J": way.offered,
                "needs": way.needs.text(system), "passes": way.passes, "taken": way.taken,
            }
            for way in result.ways
        ],
        "missed": [
            {"rule": aim.rule, "reason": aim.reason.text(system), "within": str(aim.within),
             "asked": aim.asked}
            for aim in result.missed
        ],
        "dead": [sentence.text(system) for sentence in result.dead],
        "unsized": dict(result.unsized),
        "cautions": [
            {"key": key, "text": CAUTIONS[key]}
            for key in (() if result.results is None else result.results.cautions)
        ],
        "counts": {} if result.results is None else dict(counts(result.results)),
        "design": result.text,
        "designs": {} if beside is None else {
            name: _design_json(sizing, beside.figures[name], system)
            for name, sizing in beside.made.items()
        },
    }  # fmt: skip
    text = json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False)
    return text.encode("utf-8", "replace").decode("utf-8") + "\n"


def _design_json(sizing: SizingResult, figures: DesignFigures, system: System) -> dict[str, Any]:
    return {
        "failed": None if sizing.failed is None else sizing.failed.text(system),
        "parts": {part.part: part.size for part in sizing.parts},
        **figures_json(figures, None if sizing.results is None else sizing.results.outages),
        "counts": {} if sizing.results is None else dict(counts(sizing.results)),
        "design": sizing.text,
    }


def _pump_json(pump: PumpWanted) -> dict[str, Any]:
    return {
        "name": pump.name,
        "duties": [
            {
                "label": duty.label, "pressure_Pa": duty.pressure, "flow_m3_per_s": duty.flow,
                "total_dynamic_head_m": duty.total_dynamic_head,
                "pieces_m": {piece.key: piece.head for piece in duty.pieces},
            }
            for duty in pump.duties
        ],
        "least_shut_off_m": pump.least_shut_off,
        "water_power_W": pump.water_power,
        "least_power_W": pump.least_power,
        "most_power_W": pump.most_power,
        "motor_W": pump.motor,
        "daily_energy_J": pump.daily_energy,
        "daily_run_time_s": pump.daily_run_time,
    }  # fmt: skip
