"""Results as strict JSON in SI: each key that holds a number ends in its unit."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from wellsolar import kinds
from wellsolar.reports.cautions import CAUTIONS
from wellsolar.reports.figures.all import plot_data, plots
from wellsolar.reports.rows import Cell, Grid, Row, Section, unit_name
from wellsolar.reports.tables.sections import answer, counts, ordered, sources_used
from wellsolar.reports.tables.todo import Line, todo_lines
from wellsolar.results import SCHEMA, SCHEMA_VERSION, Results
from wellsolar.results.whole import Job, ToDo
from wellsolar.sources import SOURCES
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, Sentence, Verdict

Object = dict[str, Any]


def as_json(results: Results, sections: Sequence[Section]) -> Object:
    """Everything found, as plain dictionaries, lists, texts and numbers.

    Returns:
        what `as_text` writes; numbers in SI, sentences in the units that the results print in
    """
    return {
        "schema": SCHEMA,
        "version": SCHEMA_VERSION,
        "site": {
            "name": results.site_name,
            "note": results.site_note,
            "file": results.file,
            "print_units": results.system,
        },
        "job": asdict(results.job or Job()),
        "answer": answer(results),
        "answers": [
            {
                "subject": answer.subject,
                "text": answer.text.text(results.system),
                "numbers": _numbers(answer.text),
                "plain": answer.plain.text(results.system) if answer.plain is not None else None,
                "plain_numbers": _numbers(answer.plain) if answer.plain is not None else {},
            }
            for answer in results.answers
        ],
        "counts": {str(status): number for status, number in counts(results).items()},
        "notes": list(results.notes),
        "todo": [
            _todo(todo, line, results)
            for todo, line in zip(results.todo, todo_lines(results), strict=True)
        ],
        "verdicts": [_verdict(verdict, results) for verdict in ordered(results.verdicts)],
        "sections": {section.key: _section(section, results) for section in sections},
        "figures": {plot.key: plot_data(plot, results.system) for plot in plots(results)},
        "assumptions": [_assumption(assumption) for assumption in results.assumptions],
        "cautions": [{"key": key, "text": CAUTIONS[key]} for key in results.cautions],
        "care": [
            {
                "often": caution.often,
                "by": caution.by,
                "text": caution.text.text(results.system),
                "numbers": _numbers(caution.text),
                "source": caution.source,
            }
            for caution in results.care
        ],
        "sources": {key: _source(key) for key in sources_used(results)},
    }


def as_text(results: Results, sections: Sequence[Section]) -> str:
    """The same as the text of a file: strict JSON, the same bytes for the same results."""
    text = json.dumps(as_json(results, sections), indent=2, ensure_ascii=False, allow_nan=False)
    # A name with half a character in it, such as of a file, can't stand in UTF-8.
    return text.encode("utf-8", "replace").decode("utf-8") + "\n"


def _verdict(verdict: Verdict, results: Results) -> Object:
    remedy = verdict.remedy
    return {
        "key": verdict.rule.key,
        "asks": verdict.rule.asks,
        "subject": verdict.subject,
        "status": verdict.status,
        "safety": verdict.rule.safety,
        "quantity": _value(verdict.quantity),
        "limit": _value(verdict.limit),
        "margin": _value(verdict.margin),
        "reason": verdict.reason.text(results.system),
        "reason_numbers": _numbers(verdict.reason),
        "remedy": remedy.text(results.system) if remedy is not None else None,
        "remedy_numbers": _numbers(remedy) if remedy is not None else {},
        "remedy_changes": [str(change) for change in remedy.changes] if remedy is not None else [],
        "remedy_by_hand": remedy.by_hand if remedy is not None else "",
        "needs": list(verdict.needs),
        "claims": list(verdict.claims),
        "rule": verdict.rule.text,
        "source": {"key": verdict.rule.source, **_source(verdict.rule.source)},
    }


def _todo(todo: ToDo, line: Line, results: Results) -> Object:
    return {
        "act": todo.act,
        "does": line.what,
        "numbers": _numbers(todo.does),
        "first": todo.first.text(results.system),
        "why": line.why,
        "by": todo.by,
        "status": todo.status,
        "safety": todo.safety,
        "clears": [
            {"key": verdict.rule.key, "subject": verdict.subject} for verdict in todo.clears
        ],
        "changes": [str(change) for change in todo.changes],
        "needs": list(todo.needs),
        "cost": todo.cost,
    }


def _source(key: str) -> Object:
    return {"citation": SOURCES[key].citation, "provenance": SOURCES[key].provenance}


def _section(section: Section, results: Results) -> Object:
    reasons = {row.key: row.why for row in section.rows if row.why}
    return {
        "title": section.title,
        "question": section.question,
        "rows": dict(_row(row, results) for row in section.rows),
        "labels": {row.key: row.label for row in section.rows},
        "why": {key: _words(why, results) for key, why in reasons.items()},
        "why_numbers": {
            key: _numbers(why) for key, why in reasons.items() if isinstance(why, Sentence)
        },
        "grids": {grid.key: _grid(grid, results) for grid in section.grids},
    }


def _row(row: Row, results: Results) -> tuple[str, Any]:
    return unit_name(row.key, _kind(row.quantity, row.kind)), _cell(row.quantity, results)


def _grid(grid: Grid, results: Results) -> Object:
    names = [unit_name(column.key, column.kind) for column in grid.columns]
    return {
        "title": grid.title,
        "note": grid.note,
        "columns": names,
        "labels": [column.label for column in grid.columns],
        "rows": [_grid_row(grid, row, results) for row in grid.rows],
    }


def _grid_row(grid: Grid, row: Sequence[Cell], results: Results) -> Object:
    row_data: Object = {}
    for column, cell in zip(grid.columns, row, strict=True):
        row_data[unit_name(column.key, _kind(cell, column.kind))] = _cell(cell, results)
        if isinstance(cell, Sentence) and cell.quantities():
            row_data[f"{column.key}_numbers"] = _numbers(cell)
    return row_data


def _kind(cell: Cell, kind: kinds.Kind | None) -> kinds.Kind | None:
    return cell.kind if isinstance(cell, Quantity) else kind


def _cell(cell: Cell, results: Results) -> Any:
    if isinstance(cell, Quantity):
        return _number(cell)
    return None if cell is None else _words(cell, results)


def _words(text: str | Sentence, results: Results) -> str:
    return text if isinstance(text, str) else text.text(results.system)


def _value(quantity: Quantity | None) -> Object | None:
    if quantity is None:
        return None
    return {unit_name("value", quantity.kind): _number(quantity)}


def _numbers(sentence: Sentence) -> Object:
    quantities: Mapping[str, Quantity] = sentence.quantities()
    return {unit_name(name, part.kind): _number(part) for name, part in quantities.items()}


def _number(quantity: Quantity) -> float | int | None:
    """The number itself; a count as a whole number, and null for what is none."""
    value = float(quantity)
    if not math.isfinite(value):
        return None
    whole = quantity.kind.exact in kinds.COUNTED and value.is_integer()
    return int(value) if whole else value


def _assumption(assumption: Assumption) -> Object:
    value = assumption.value
    shown: Object = _value(value) or {} if isinstance(value, Quantity) else {"value": value}
    if isinstance(value, Quantity) and value.written is not None:
        shown["written"] = value.written
    return {
        "path": assumption.path,
        **shown,
        "why": assumption.why,
        "source": assumption.source,
    }
