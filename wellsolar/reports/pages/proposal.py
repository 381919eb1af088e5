"""The proposal: two or three designs side by side on one page, to be decided upon and signed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from wellsolar import kinds
from wellsolar.kinds import Kind
from wellsolar.reports.figures.outage import HEATED, best
from wellsolar.reports.pages.html import Object, cautions_context, job_context, page_of
from wellsolar.reports.plain import as_sentence
from wellsolar.reports.tables.sections import ORDER, answer, counts
from wellsolar.reports.tables.todo import BY
from wellsolar.reports.text.compare import Comparison, Judged
from wellsolar.results import Results
from wellsolar.results.entries import A_DAY
from wellsolar.results.figures import Sign, Thing
from wellsolar.results.outages import Outage
from wellsolar.results.parts import Cost
from wellsolar.results.sizing import DesignFigures, FuelSaved
from wellsolar.units import System, show
from wellsolar.verdicts import Status

MOST = 3
"""Designs that find room beside each other on paper."""

MADE_OF: dict[str, tuple[Sign, ...]] = {
    "pumps": ("pump", "hand pump"),
    "tanks for water": ("pressure tank", "storage tank"),
    "modules": ("modules",),
    "battery, inverter, generator": ("battery", "inverter", "generator"),
    "hot water": ("heater", "element", "mixing valve"),
}
"""Rows of what a design is made of; pipes, valves and switches stand in its parts list."""

ENOUGH: dict[str, tuple[Status, str]] = {
    "ordinary": ("pass", "an ordinary day's water"),
    "basic": ("caution", "enough to live on"),
    "survival": ("caution", "enough to survive on"),
    "short": ("fail", "too little"),
    "": ("unknown", "not known who drinks"),
}
"""What water is left for, by the greatest demand that is met."""

ALIKE = {"US": "gal", "SI": "L"}
"""What propane and heating oil are told by where nothing says what heats the water today."""

WHOLE = 4
"""Rows of a table up to which it is kept on one sheet."""

NO_PRICES = "no prices in the file"


@dataclass(frozen=True)
class Offer:
    """A design as it is offered.

    title: what it is called, in few words; told: what it is, in a line
    figures: of `comes_to`; things: of `things_of`
    """

    title: str
    told: str
    results: Results
    figures: DesignFigures
    things: Sequence[Thing]


def proposal_page(
    comparison: Comparison,
    titles: Sequence[str],
    titles_told: Sequence[str],
    things: Sequence[Sequence[Thing]],
    system: System,
) -> str:
    """The proposal as a page that needs nothing else.

    Parameters:
        found: two or three designs side by side, with what each comes to
        titles: what each is called, in few words
        things: of each design, by their tags
    """
    offers = [
        Offer(*design)
        for design in zip(
            titles, titles_told, comparison.sites, comparison.figures, things, strict=True
        )
    ]
    first = offers[0].results
    files = dict.fromkeys(Path(offer.results.file).name for offer in offers)
    cautions = dict.fromkeys(key for offer in offers for key in offer.results.cautions)
    letters = comparison.names
    return page_of(
        "proposal.html.j2",
        first,
        {
            "job": job_context(first.job, wanted=True),
            "offers": [
                {
                    "letter": letter,
                    "title": offer.title,
                    "name": offer.results.site_name,
                    "told": as_sentence(offer.told) if offer.told else "",
                    "answer": answer(offer.results),
                    "worst": next(s for s, n in _counts(offer.results) if n),
                }
                for letter, offer in zip(letters, offers, strict=True)
            ],
            "tables": [
                _table("made", "What it is made of", _made_of(offers, system)),
                _table("gives", "What it gives", _gives(offers, system)),
                _table("cost", "What it costs", _costs(offers), *_cost_notes(letters, offers)),
                _table("saved", "What the sun saves in a year", _saved(offers, system),
                       *_baseline(offers)),
                _table("outages", "When something fails", _outages(offers, system),
                       "What still works stands in the order in which it is the easiest. Hot "
                       "water by the sun alone comes on sunny days."),
                _table("verdicts", "What to know before you decide", _verdicts(offers, comparison),
                       "A fail must be mended before the work is done. wellsolar check FILE tells "
                       "the reason and the remedy of each."),
            ],
            "files": list(files),
            "cautions": cautions_context(list(cautions)),
        },
    )  # fmt: skip


def _counts(results: Results) -> list[tuple[Status, int]]:
    by_status = counts(results)
    return [*by_status.items(), ("unknown", 1)]


def _table(key: str, title: str, rows: Sequence[Object], *notes: str) -> Object:
    """A table of rows, kept on one sheet where it is short."""
    whole = len(rows) <= WHOLE
    return {"key": key, "title": title, "rows": rows, "notes": notes, "whole": whole}


def _row(label: str, cells: Sequence[Object | str], note: str = "") -> Object:
    """A row: what it is, and of each design a mark with a word, and lines."""
    full = [{"mark": "", "word": "", "lines": [cell]} if isinstance(cell, str) else cell
            for cell in cells]  # fmt: skip
    return {"label": label, "note": note, "cells": full}


def _cell(mark: Status, word: str, *lines: str) -> Object:
    return {"mark": mark, "word": word, "lines": [line for line in lines if line]}


def _made_of(offers: Sequence[Offer], system: System) -> list[Object]:
    rows = []
    for label, signs in MADE_OF.items():
        cells: list[Object | str] = []
        for offer in offers:
            things = [thing for thing in offer.things if thing.sign in signs]
            lines = [_thing(thing, system) for thing in things]
            cells.append({"mark": "", "word": "", "lines": lines or ["none"]})
        if any(cell["lines"] != ["none"] for cell in cells if not isinstance(cell, str)):
            rows.append(_row(label, cells))
    return rows


def _thing(thing: Thing, system: System) -> str:
    said = thing.said.text(system)
    name_and_numbers = f"{thing.name}: {said}" if said else thing.name
    return name_and_numbers if thing.told else f"{name_and_numbers} (to check)"


def _gives(offers: Sequence[Offer], system: System) -> list[Object]:
    def quantity(kind: Kind, of: Callable[[DesignFigures], float | None]) -> list[str]:
        return [_known(of(offer.figures), kind, system) for offer in offers]

    figures = [offer.figures for offer in offers]
    rows = [
        _row("water wanted on an ordinary day", quantity(kinds.VOLUME, lambda f: f.wanted)),
        _row("water that it can give a day", quantity(A_DAY, lambda f: f.gives),
             "all sources together, nothing failed"),
    ]  # fmt: skip
    if any(design.days_short is not None for design in figures):
        cells = [_days(design.days_short, "days a year") for design in figures]
        rows.append(_row("days short of water", cells, "the sun's pump alone, all year"))
    if any(design.pump_energy is not None for design in figures):
        energy = quantity(kinds.ENERGY, lambda f: f.pump_energy)
        rows.append(_row("electricity for the pumps a day", energy, "of all pumps together"))
    if any(design.evenings is not None for design in figures):
        rows.append(
            _row("evenings with hot water",
                 [_evenings(design, design.evenings) for design in figures],
                 "with all that heats the tank, in the worst of the years looked at")
        )  # fmt: skip
        rows.append(
            _row("the same by the sun alone",
                 [_evenings(design, design.sun_evenings) for design in figures])
        )  # fmt: skip
        share = quantity(kinds.FRACTION, lambda f: f.heat_share)
        rows.append(_row("share of the tank's heat by the sun", share))
    return rows


def _known(value: float | None, kind: Kind, system: System) -> str:
    return "not known" if value is None else show(value, kind, system)


def _days(count: int | None, what: str) -> str:
    return "not known" if count is None else f"{count} {what}"


def _evenings(figures: DesignFigures, count: int | None) -> str:
    return "no tank on the sun" if count is None else f"{count} of {figures.days}"


def _costs(offers: Sequence[Offer]) -> list[Object]:
    return [
        _row("everything on its parts list", [_money(offer.figures.whole) for offer in offers],
             "with what is there already"),
        _row("to buy of it", [_money(offer.figures.bought) for offer in offers],
             "what was sized, and what is to change or to add"),
    ]  # fmt: skip


def _money(cost: Cost | None) -> str:
    """A sum, with how much of the list it is the sum of."""
    if cost is None:
        return NO_PRICES
    lines = cost.priced + len(cost.unpriced)
    if not lines:
        return "nothing"
    if not cost.priced:
        return f"no price for any of its {lines} lines"
    if not cost.unpriced:
        return f"{cost.money:,.2f} for all {lines} lines"
    return f"more than {cost.money:,.2f}: {cost.priced} of {lines} lines have a price"


def _cost_notes(letters: Sequence[str], offers: Sequence[Offer]) -> Iterator[str]:
    """What no sum holds, by name: what lacks in all of them once."""
    lacking = [
        dict.fromkeys(offer.figures.whole.unpriced) if offer.figures.whole else {}
        for offer in offers
    ]
    all_lack = [name for name in lacking[0] if all(name in prices for prices in lacking)]
    if all_lack:
        yield f"No price, and in no sum: {', '.join(all_lack)}."
    for letter, names in zip(letters, lacking, strict=True):
        own = [name for name in names if name not in all_lack]
        if own:
            yield f"In {letter} besides: {', '.join(own)}."
    if any(offer.figures.whole is None for offer in offers):
        yield "A file gives prices by [[price]] blocks; wellsolar parts FILE lists what to price."
    yield (
        "In your own money, by the prices of the files. Labour, permits, delivery and tax are in "
        "none of these sums."
    )


def _saved(offers: Sequence[Offer], system: System) -> list[Object]:
    saved = [offer.figures.saved for offer in offers]
    if not any(saved):
        return [_row("electricity", ["nothing: no pump or tank lives on the sun"] * len(offers))]

    def energies(values: Sequence[float | None]) -> list[str]:
        return ["nothing" if value is None else show(value, kinds.ENERGY, system)
                for value in values]  # fmt: skip

    pumps = dict.fromkeys(saving.pump for saving in saved if saving and saving.pump)
    rows = [
        _row("electricity for pumping",
             energies([saving.pumping if saving else None for saving in saved]),
             f"where {' or '.join(pumps)} gives the day's water on the sun" if pumps else ""),
        _row("heat into the hot water",
             energies([saving.heat if saving else None for saving in saved])),
        _row("electricity saved in all",
             energies([saving.electricity if saving else None for saving in saved]),
             "heat that a fuel gives today not counted"),
    ]  # fmt: skip
    if any(saving and saving.fuel for saving in saved):
        cells = [_fuel(saving.fuel) if saving and saving.fuel else "nothing" for saving in saved]
        rows.append(_row("fuel saved", cells))
    elif any(saving and saving.alike for saving in saved):
        unit = ALIKE[system]
        for name in ("propane", "heating oil"):
            cells = [
                _fuel(next(f for f in saving.alike if (f.name, f.per) == (name, unit)))
                if saving and saving.alike else "nothing"
                for saving in saved
            ]  # fmt: skip
            rows.append(_row(f"or of {name}", cells, f"where {name} heats the water today"))
    if any(saving and saving.money is not None for saving in saved):
        cells = [
            "no price of energy in the file" if saving is None or saving.money is None
            else f"{saving.money:,.2f} ({' and '.join(saving.of)})"
            for saving in saved
        ]  # fmt: skip
        rows.append(_row("money saved", cells, "by the file's prices of energy"))
    return rows


def _fuel(fuel: FuelSaved) -> str:
    return f"{fuel.amount:.3g} {fuel.per} of {fuel.name}"


def _baseline(offers: Sequence[Offer]) -> Iterator[str]:
    """What it is saved against."""
    saved = [offer.figures.saved for offer in offers if offer.figures.saved is not None]
    if not saved:
        return
    burnt = next((saving.by for saving in saved if saving.fuel is not None), "")
    heats = f"a heater that burns {burnt}" if burnt else "an electric element"
    yield (
        "Saved against today's state, taken as: the same water from the same pump, run by the "
        f"grid or a generator, the same hot water from {heats}, nothing from the sun. A burner is "
        "taken to bring 80 % of its fuel's heat into the water (common practice, no source)."
    )
    if all(saving.money is None for saving in saved):
        yield (
            'No money is told without what energy costs today: a [[price]] of "electricity", or '
            "of the fuel that heats the water."
        )


def _outages(offers: Sequence[Offer], system: System) -> list[Object]:
    """A row for each outage; those that leave the same of every design share one."""
    tables = [_by_name(offer.results) for offer in offers]
    alike: list[tuple[list[str], list[Object | str], set[int]]] = []
    for name in dict.fromkeys(name for table in tables for name in table):
        cells = [
            _left(table[name], system) if name in table else "has no such part"
            for table in tables
        ]  # fmt: skip
        days = {table[name].days for table in tables if name in table}
        row = next((row for row in alike[1:] if row[1:] == (cells, days)), None)
        if row is None:
            alike.append(([name], cells, days))
        else:
            row[0].append(name)
    if not alike:
        return []
    (_, whole, _), *failed = alike
    rows = [_row("nothing has failed", whole)]
    for names, cells, days in failed:
        lasts = " or ".join(map(str, sorted(days)))
        label = names[0] if len(names) == 1 else f"any one of {', '.join(names)}"
        rows.append(_row(f"failed: {label}", cells, f"for {lasts} days"))
    alone = [
        (", ".join(offer.figures.fails_in) or "nothing") if offer.results.outages else "not known"
        for offer in offers
    ]
    return [*rows, _row("leaves too little when it fails alone", alone)]


def _by_name(results: Results) -> dict[str, Outage]:
    outages = results.outages
    return (
        {}
        if outages is None
        else {outage.name: outage for outage in (outages.whole, *outages.outages)}
    )


def _left(outage: Outage, system: System) -> Object:
    """What works and what does not in one outage."""
    mark, word = ENOUGH[best(outage)]
    dead = [
        cell.source
        for cell in outage.cells
        if cell.source not in outage.order and cell.kind != "stored"
    ]
    hot = outage.hot
    warm = "" if hot is None else f"hot water: {HEATED[hot.state]}"
    return _cell(
        mark,
        word,
        f"{show(outage.volume, A_DAY, system)}",
        f"works: {', '.join(outage.order) or 'nothing'}",
        f"does not: {', '.join(dead)}" if dead else "",
        warm,
    )


def _verdicts(offers: Sequence[Offer], comparison: Comparison) -> list[Object]:
    rows = []
    for verdict in sorted(comparison.verdicts, key=_by_worst):
        if not {"fail", "caution"} & set(verdict.statuses):
            continue
        cells: list[Object | str] = [
            "not asked" if status is None else _cell(_status(status), status)
            for status in verdict.statuses
        ]
        safety = "safety" if verdict.safety else ""
        rows.append(_row(f"{verdict.subject}: {verdict.asks}", cells, safety))
    rows.append(
        _row("questions that the file leaves open",
             [str(counts(offer.results)["unknown"]) for offer in offers])
    )  # fmt: skip
    rows.append(_row("work that is left", [_work(offer.results) for offer in offers], "by whom"))
    return rows


def _by_worst(judged: Judged) -> tuple[bool, bool]:
    """Fails before cautions, of each what can hurt first."""
    return "fail" not in judged.statuses, not judged.safety


def _status(status: str) -> Status:
    return next(known for known in ORDER if known == status)


def _work(results: Results) -> str:
    whose = Counter(BY[to_do.by] for to_do in results.todo)
    return ", ".join(f"{number} by {who}" for who, number in whose.items()) or "none"
