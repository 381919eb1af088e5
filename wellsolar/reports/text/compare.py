"""The same numbers of several sites side by side, those that differ first."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from wellsolar import kinds
from wellsolar.kinds import Kind
from wellsolar.reports.rows import Cell, Column, Grid, Row, Section, cell_text, unit_name
from wellsolar.reports.tables.sections import ORDER, answer, counts
from wellsolar.reports.text.designs import figures_json
from wellsolar.results import Results
from wellsolar.results.entries import CLOCK
from wellsolar.results.sizing import DesignFigures
from wellsolar.units import Quantity, System
from wellsolar.verdicts import Sentence

SCHEMA = "wellsolar.compare"
SCHEMA_VERSION = 4

_SAME = 1e-9
"""Relative difference below which two numbers are taken for the same."""

_SPANS = {
    kinds.TEMPERATURE.name: 100.0,
    kinds.ANGLE.name: 360.0,
    CLOCK.name: 86_400.0,
}
"""What a difference is set against where zero is only a mark on a scale: the span of liquid
water, a full turn, a day."""

COST, LEAST = "cost", 3
"""Section of what all parts cost; the place of what an owner does not ask of two designs first."""

_FLOWS = (kinds.FLOW.name, kinds.DAILY_FLOW.name)

_NUMBERED = re.compile(r"^(.*)_\d+$")
_COURSES = ("month", "time", "day_count")
"""First columns of grids that tell a course, which stays with the site's own report."""


@dataclass(frozen=True)
class Number:
    """One number, or word, of all the sites.

    section, key: where it stands in each site's report; part, label: the same in words
    kind: None for words
    values: one for each site; "absent" where a site has no such number at all
    """

    section: str
    key: str
    part: str
    label: str
    kind: Kind | None
    values: tuple[Cell, ...]
    present: tuple[bool, ...]

    @property
    def shared(self) -> bool:
        """True where every site has it."""
        return all(self.present)

    @property
    def matter(self) -> int:
        """Its place by what it tells: flows, energy, cost, all else; but for flows, what stands in
        a table of many comes after what a report tells of the whole."""
        kind, of_many = "" if self.kind is None else self.kind.name, "/" in self.key
        if kind in _FLOWS:
            return 0
        if self.section == COST:
            return 2
        if of_many:
            return 4
        return 1 if kind == kinds.ENERGY.name else LEAST

    @property
    def difference(self) -> float | None:
        """Greatest less least over the greatest size; None where that has no meaning."""
        numbers = [float(value) for value in self.values if isinstance(value, Quantity)]
        if len(numbers) < len(self.values) or not all(map(math.isfinite, numbers)):
            return None
        kind = next(value.kind for value in self.values if isinstance(value, Quantity))
        scale = _SPANS.get(kind.name) or max(map(abs, numbers))
        return (max(numbers) - min(numbers)) / scale if scale > 0.0 else 0.0

    @property
    def differs(self) -> bool:
        """True where all sites have it, and not the same."""
        if not self.shared:
            return False
        if self.difference is not None:
            return self.difference > _SAME
        return len({_plain(value) for value in self.values}) > 1


@dataclass(frozen=True)
class Judged:
    """One verdict of all the sites; None where a site was not judged by its rule."""

    subject: str
    key: str
    asks: str
    statuses: tuple[str | None, ...]
    safety: bool = False

    @property
    def shared(self) -> bool:
        """True where every site was judged by it."""
        return None not in self.statuses

    @property
    def differs(self) -> bool:
        """True where the status is not the same, or one site alone has what others are spared."""
        states = set(self.statuses)
        return len(states) > 1 and (self.shared or not states <= {None, "pass"})


@dataclass(frozen=True)
class Comparison:
    """Several sites side by side.

    names: a letter for each; sites: their results
    verdicts, numbers: those that differ first, the worst verdicts, flows, energy and cost
    figures: what each comes to
    """

    names: tuple[str, ...]
    titles: tuple[str, ...]
    sites: tuple[Results, ...]
    verdicts: tuple[Judged, ...]
    numbers: tuple[Number, ...]
    figures: tuple[DesignFigures, ...] = ()

    @property
    def sized(self) -> tuple[str, ...]:
        """Keys that the sizing set at some sites and that do not stand the same in all."""
        keys = dict.fromkeys(sized_key.key for site in self.sites for sized_key in site.sized)
        return tuple(key for key in keys if len({_sized_at(site, key) for site in self.sites}) > 1)

    @property
    def fails(self) -> bool:
        """True where anything fails at any of the sites."""
        return any(site.fails for site in self.sites)


def compare(
    sites: Sequence[Results],
    sections: Sequence[Sequence[Section]],
    titles: Sequence[str],
    figures: Sequence[DesignFigures] = (),
) -> Comparison:
    """Set the numbers of several sites side by side.

    Parameters:
        sections: of `table.sections`, of each
        figures: what each comes to, of `comes_to`
    """
    aliases = [_aliases(site, sites) for site in sites]
    by_section = [
        _numbers(section, alias) for section, alias in zip(sections, aliases, strict=True)
    ]
    numbers = list(_joined(by_section))
    numbers += _costs(figures)
    numbers.sort(key=_by_matter)
    verdicts = _judged(sites, aliases)
    letters = tuple(chr(ord("A") + number) for number in range(len(sites)))
    return Comparison(
        letters, tuple(titles), tuple(sites), tuple(verdicts), tuple(numbers), tuple(figures)
    )


def _by_matter(number: Number) -> tuple[bool, bool, int]:
    """Those that differ first, of them flows, then energy, then cost; else as the reports have
    them."""
    return not number.differs, not number.shared, number.matter


def _costs(figures: Sequence[DesignFigures]) -> list[Number]:
    """What all parts cost, where any file has prices."""
    costs = [None if design.whole is None else design.whole.money for design in figures]
    if all(cost is None for cost in costs):
        return []
    values = tuple(None if cost is None else f"{cost:,.2f}" for cost in costs)
    present = tuple(cost is not None for cost in costs)
    return [Number(COST, "parts", "Cost", "all parts with a price", None, values, present)]


def _aliases(site: Results, sites: Sequence[Results]) -> dict[str, str]:
    """Pumps of one name are compared; where each site has only one pump, those two are."""
    lone = all(len(results.pumps) == 1 for results in sites)
    if not lone or len({results.pumps[0].name for results in sites}) == 1:
        return {}
    return {site.pumps[0].name: "the pump"}


Found = dict[tuple[str, str], Number]


def _numbers(sections: Sequence[Section], alias: Mapping[str, str]) -> Found:
    """Every number of a site by the key of its section, without the count, and its own."""
    numbers: Found = {}
    for section in sections:
        title = section.title
        for name, instead in alias.items():
            title = title.replace(name, instead)
        match = _NUMBERED.match(section.key)
        key = f"{match.group(1)} {title}" if match else section.key
        for row in section.rows:
            numbers.setdefault((key, row.key), _number(key, title, row))
        for grid in section.grids:
            for number in _of_grid(key, title, grid, alias):
                numbers.setdefault((key, number.key), number)
    return numbers


def _number(section: str, title: str, row: Row) -> Number:
    kind = row.quantity.kind if isinstance(row.quantity, Quantity) else row.kind
    cell = row.nothing if row.quantity is None else row.quantity
    return Number(section, row.key, title, row.label, kind, (cell,), (True,))


def _of_grid(section: str, title: str, grid: Grid, alias: Mapping[str, str]) -> Iterator[Number]:
    """The numbers of a grid whose rows have names."""
    first = grid.columns[0]
    names = [row[0] for row in grid.rows]
    if (
        first.key in _COURSES
        or first.kind is not None
        or len(set(map(_plain, names))) < len(names)
    ):
        return
    if not all(isinstance(name, (str, Sentence)) for name in names):
        return
    for cells in grid.rows:
        name = _plain(cells[0])
        name = alias.get(name, name)
        for column, cell in zip(grid.columns[1:], cells[1:], strict=True):
            kind = cell.kind if isinstance(cell, Quantity) else column.kind
            if kind is None and not isinstance(cell, Quantity):
                continue
            key = f"{grid.key}/{name}/{column.key}"
            label = f"{name}: {column.label}"
            yield Number(section, key, title, label, kind, (cell,), (True,))


def _joined(by_site: Sequence[Found]) -> Iterator[Number]:
    """One number for all the sites, in the order in which the reports have them."""
    sentences_seen = set()
    for path in dict.fromkeys(path for numbers in by_site for path in numbers):
        ones = [numbers.get(path) for numbers in by_site]
        like = next(one for one in ones if one is not None)
        words = like.section, frozenset(like.label.split(": "))
        if words in sentences_seen:
            continue  # a grid that turns another's rows into columns
        sentences_seen.add(words)
        values = tuple(None if one is None else one.values[0] for one in ones)
        present = tuple(one is not None for one in ones)
        yield Number(like.section, like.key, like.part, like.label, like.kind, values, present)


def _judged(sites: Sequence[Results], aliases: Sequence[Mapping[str, str]]) -> list[Judged]:
    tables = [
        {
            (alias.get(verdict.subject, verdict.subject), verdict.rule.key): verdict
            for verdict in site.verdicts
        }
        for site, alias in zip(sites, aliases, strict=True)
    ]
    made = []
    for path in dict.fromkeys(path for table in tables for path in table):
        verdicts = [table.get(path) for table in tables]
        rule = next(verdict.rule for verdict in verdicts if verdict is not None)
        statuses = tuple(None if verdict is None else str(verdict.status) for verdict in verdicts)
        made.append(Judged(path[0], path[1], rule.asks, statuses, rule.safety))
    return sorted(made, key=_by_worst)


def _by_worst(judged: Judged) -> tuple[bool, bool, int, bool]:
    """Those that differ first, of those the ones that every site was judged by, the worst and what
    can hurt before the rest."""
    order: list[str | None] = [*ORDER, None]
    worst = min(order.index(status) for status in judged.statuses)
    return not judged.differs, None in judged.statuses, worst, not judged.safety


def _plain(cell: Cell) -> str:
    return "-" if cell is None else cell_text(cell, "US")


def heading(comparison: Comparison) -> list[str]:
    """What stands above the tables: each site with its answer, and how much differs."""
    lines = []
    for name, title, site in each_site(comparison):
        counted_text = ", ".join(f"{count} {status}" for status, count in counts(site).items())
        lines += [f"{name}  {title}", f"   {counted_text}. {answer(site)}"]
    said = f"Verdicts: {counted(comparison.verdicts)}. Numbers: {counted(comparison.numbers)}."
    return [*lines, "", said]


def each_site(comparison: Comparison) -> Iterator[tuple[str, str, Results]]:
    yield from zip(comparison.names, comparison.titles, comparison.sites, strict=True)


def counted(compared: Sequence[Number | Judged]) -> str:
    differ = sum(number.differs for number in compared)
    same = sum(number.shared and not number.differs for number in compared)
    rest = len(compared) - differ - same
    alone = f", {rest} not at every site" if rest else ""
    return f"{differ} differ, {same} the same{alone}"


def compare_sections(comparison: Comparison, everything: bool) -> tuple[Section, ...]:
    """The tables of a comparison.

    Parameters:
        everything: True for what is the same too, and what not every site has
    """
    verdicts, numbers = comparison.verdicts, comparison.numbers
    groups = [
        ("differences", "What differs", "Where do the sites part?",
         [verdict for verdict in verdicts if verdict.differs],
         [number for number in numbers if number.differs]),
    ]  # fmt: skip
    if everything:
        groups += [
            ("same", "What is the same", "Where do the sites agree?",
             [verdict for verdict in verdicts if verdict.shared and not verdict.differs],
             [number for number in numbers if number.shared and not number.differs]),
            ("lone", "What not every site has", "What can't be compared?",
             [verdict for verdict in verdicts if not verdict.shared and not verdict.differs],
             [number for number in numbers if not number.shared]),
        ]  # fmt: skip
    sections = []
    for key, title, question, judged, compared in groups:
        grids = [_sized_grid(comparison)] if key == "differences" and comparison.sized else []
        grids += [_verdict_grid(comparison, judged)] if judged else []
        grids += [_number_grid(comparison, compared)] if compared else []
        if grids:
            sections.append(Section(key, title, question, (), tuple(grids)))
    return tuple(sections)


def _sized_at(site: Results, key: str) -> str:
    """What the sizing set a key of a site to, "-" where it did not."""
    return next((sized_key.value for sized_key in site.sized if sized_key.key == key), "-")


def _sized_grid(comparison: Comparison) -> Grid:
    columns = (Column("key", "key"), *(Column(name, name) for name in comparison.names))
    rows = tuple(
        (key, *(_sized_at(site, key) for site in comparison.sites)) for key in comparison.sized
    )
    note = 'Set by the sizing; "-": not set by it at that site.'
    return Grid("sized", "Keys that were sized", columns, rows, note)


def _verdict_grid(comparison: Comparison, judged: Sequence[Judged]) -> Grid:
    columns = (Column("asks", "verdict"), *(Column(name, name) for name in comparison.names))
    rows = tuple(
        (f"{verdict.subject}: {verdict.asks}", *(status or "-" for status in verdict.statuses))
        for verdict in judged
    )
    return Grid("verdicts", "Verdicts", columns, rows)


def _number_grid(comparison: Comparison, numbers: Sequence[Number]) -> Grid:
    columns = (
        Column("number", "number"),
        *(Column(name, name) for name in comparison.names),
        Column("difference", "apart"),
    )
    rows = tuple(
        (
            f"{number.part}, {number.label}",
            *number.values,
            None if number.difference is None else Quantity(number.difference, kinds.FRACTION),
        )
        for number in numbers
    )
    return Grid("numbers", "Numbers", columns, rows, _NOTE)


_NOTE = (
    "apart: greatest less least over the greatest; of temperatures over 100 K (180 degF), of "
    "angles over a full turn. Months and courses of a day stand in the sites' own reports."
)


def as_text(comparison: Comparison, system: System) -> str:
    """The whole comparison as strict JSON, in SI."""
    numbers = [
        {
            "section": number.section,
            "key": unit_name(number.key, number.kind),
            "part": number.part,
            "label": number.label,
            "values": dict(
                zip(comparison.names, (_json(cell, system) for cell in number.values), strict=True)
            ),
            "in_every_site": number.shared,
            "differs": number.differs,
            "relative_difference": number.difference,
        }
        for number in comparison.numbers
    ]
    data = {
        "schema": SCHEMA,
        "version": SCHEMA_VERSION,
        "sites": {
            name: {"title": title, "name": site.site_name, "file": site.file,
                   "answer": answer(site), "counts": counts(site)}
            for name, title, site in each_site(comparison)
        },
        "verdicts": [
            {"key": verdict.key, "subject": verdict.subject, "asks": verdict.asks,
             "statuses": dict(zip(comparison.names, verdict.statuses, strict=True)),
             "differs": verdict.differs}
            for verdict in comparison.verdicts
        ],
        "numbers": numbers,
        "designs": {
            name: figures_json(figures, site.outages)
            for name, figures, site in zip(
                comparison.names, comparison.figures, comparison.sites, strict=False
            )
        },
        "sized": {
            key: dict(zip(comparison.names, (_sized_at(site, key) for site in comparison.sites),
                          strict=True))
            for key in comparison.sized
        },
    }  # fmt: skip
    text = json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False)
    return text.encode("utf-8", "replace").decode("utf-8") + "\n"


def _json(cell: Cell, system: System) -> Any:
    if isinstance(cell, Quantity):
        return float(cell) if math.isfinite(cell) else None
    return None if cell is None else cell_text(cell, system)
