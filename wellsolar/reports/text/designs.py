"""The designs of a site side by side, in 80 columns, and what each comes to as JSON."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from textwrap import wrap
from typing import Any

from wellsolar import kinds
from wellsolar.reports.tables.sections import ORDER, counts
from wellsolar.results.outages import OutageResult
from wellsolar.results.parts import Cost
from wellsolar.results.sizing import (
    DESIGNS,
    DesignFigures,
    DesignSet,
    PumpWanted,
    SizingResult,
    WhichDesign,
)
from wellsolar.units import System, show

WIDTH, LABEL, COLUMN = 80, 17, 20
"""Of the page, of what stands before the columns, and of each column with a blank behind it."""

LAID_OUT = {
    "least": "the likeliest of the file's ranges",
    "ordinary": "their worst end",
    "reserve": "that in a dark year, with a part dead",
}
"""What each design is for."""

RESERVE = (
    "reserve: a tenth less sun, a dark day more, a row of the pumps' or the tank's modules dead, "
    "20 L (5.3 gal) a person when one thing fails"
)
"""The last of them in full."""

LINES, LEAST_ROWS = 24, 4
"""Of a screen, and of what differs at least."""


def designs_page(
    found: DesignSet, system: System, name: str, written: WhichDesign, full: bool = False
) -> str:
    """The designs of a site side by side: parts that differ, what each comes to, and in what it
    fails.

    Parameters:
        written: the one that `-o` writes
        full: whether every part is told, those that are alike too
    Returns:
        its text in 80 columns, without `full` of no more than 24 lines
    """
    made = [found.made[design] for design in DESIGNS]
    laid_out = "; ".join(f"{design}: {LAID_OUT[design]}" for design in DESIGNS)
    head = [f"{name}: three designs side by side"[:WIDTH], *_wrapped(laid_out, "  ")]
    if full:
        head += _wrapped(RESERVE, "  ")
    head += _row("", [design.upper() for design in DESIGNS])
    for which in DESIGNS:
        failed = found.made[which].failed
        if failed is not None:
            head += _wrapped(f"{which}: NONE, {failed.text(system)}", "  ")
    sizes = [_sizes(sizing, system) for sizing in made]
    parts = {
        part: [size.get(part, "-") for size in sizes]
        for part in dict.fromkeys(part for size in sizes for part in size)
    }
    alike = [part for part, labels in parts.items() if len(set(labels)) == 1]
    differ = {
        part: list(_row(part, labels)) for part, labels in parts.items() if part not in alike
    }
    end: list[str] = []
    rows = [_figures(found.figures[design], system) for design in DESIGNS]
    for label in dict.fromkeys(label for row in rows for label in row):
        end += _row(label, [row.get(label, "-") for row in rows])
    end += _row("its own check", [_check(sizing) for sizing in made])
    end += _wrapped(f"-o DESIGN.toml writes the {written} one; --design names another", "  ")
    if full:
        told = "; ".join(f"{part} {parts[part][0]}" for part in alike)
        end += _wrapped(f"ALIKE  {told}", " " * 7) if alike else []
        for sentence in found.made["reserve"].dead:
            end += _wrapped(f"reserve, {sentence.text(system)}", "  ")
    else:
        end += _wrapped(f"{len(alike)} parts alike in all three: --full tells them", "  ")
    room = math.inf if full else max(LEAST_ROWS, LINES - len(head) - len(end))
    return "\n".join(line.rstrip() for line in [*head, *_rows(differ, room), *end]) + "\n"


def _rows(differ: Mapping[str, Sequence[str]], room: float) -> list[str]:
    """The parts that differ in so many lines: what has no room is only named."""
    if sum(map(len, differ.values())) <= room:
        return [line for lines in differ.values() for line in lines]
    lines: list[str] = []
    left_out: list[str] = []
    for part, labels in differ.items():
        if len(lines) + len(labels) < room:
            lines += labels
        else:
            left_out.append(part)
    more = f"and {', '.join(left_out)}"
    return [*lines, more if len(more) <= WIDTH else more[: WIDTH - 4] + " ..."]


def brief(text: str) -> str:
    """A size with its longest names short."""
    return text.replace("polyethylene", "PE").replace("galvanised", "galv.")


def _wrapped(text: str, below: str) -> list[str]:
    return wrap(text, WIDTH, subsequent_indent=below)


def _row(label: str, cells: Sequence[str]) -> Iterator[str]:
    """A label and its cells, each wrapped within its column."""
    columns = [wrap(label, LABEL - 1), *(wrap(cell, COLUMN - 1) for cell in cells)]
    for number in range(max(map(len, columns))):
        texts = [column[number] if number < len(column) else "" for column in columns]
        yield f"{texts[0]:<{LABEL}}" + " ".join(f"{text:<{COLUMN}}" for text in texts[1:])


def _sizes(made: SizingResult, system: System) -> dict[str, str]:
    """The parts of a design by what they are, a pump that is not chosen by its duty."""
    sizes = {pump.name: _duty(pump, system) for pump in made.pumps}
    for part in made.parts:
        if part.part == "pump" and sizes:
            continue
        size = brief(part.size)
        sizes[part.part] = size if part.passes else f"{size} FAILS"
    return sizes


def _duty(pump: PumpWanted, system: System) -> str:
    first = pump.duties[0]
    flow, head = show(first.flow, kinds.FLOW, system), first.total_dynamic_head
    return f"{flow} at {show(head, kinds.HEAD, system)}"


def _figures(found: DesignFigures, system: System) -> dict[str, str]:
    """What a design comes to, by labels of rows."""
    told = {}
    if found.pump_energy is not None:
        told["pumps, a day"] = show(found.pump_energy, kinds.ENERGY, system)
    if found.days_short is not None:
        told["days short"] = f"{found.days_short} a year"
    if found.heat_energy is not None:
        told["sun's heat, a year"] = show(found.heat_energy, kinds.ENERGY, system)
    if found.evenings is not None:
        told["hot evenings"] = f"{found.evenings} of {found.days}"
    if found.survival is not None:
        told["survival water"] = (
            "all of it"
            if found.survival >= 1.0
            else f"{math.floor(100.0 * found.survival + 1e-9)} %"
        )
        told["short if dead"] = ", ".join(found.fails_in) or "nothing"
    if found.bought is not None:
        lacking = len(found.bought.unpriced)
        rest = f", {lacking} lines unpriced" if lacking else ""
        told["to buy, by the file's prices"] = f"{found.bought.money:,.2f}{rest}"
    return told


def _check(made: SizingResult) -> str:
    if made.results is None:
        return "none"
    found = counts(made.results)
    return ", ".join(f"{found[status]} {status}" for status in ORDER if status != "pass")


def figures_json(found: DesignFigures, outages: OutageResult | None) -> dict[str, Any]:
    """What a design comes to as strict JSON has it, in SI.

    Parameters:
        found: of `comes_to`
        outages: what is left in each; None where nobody asked
    Returns:
        a key for each figure with its unit, None where nothing tells it
    """
    saved = found.saved
    return {
        "water_wanted_m3": found.wanted,
        "water_given_m3": found.gives,
        "pump_energy_J": found.pump_energy,
        "heat_energy_J": found.heat_energy,
        "heat_share": found.heat_share,
        "days_short": found.days_short,
        "hot_evenings": found.evenings,
        "hot_evenings_sun_alone": found.sun_evenings,
        "days": found.days,
        "survival": found.survival,
        "fails_in": list(found.fails_in),
        "to_buy": _cost_json(found.bought),
        "all_parts": _cost_json(found.whole),
        "saved": None if saved is None else {
            "pump": saved.pump,
            "pumping_J": saved.pumping,
            "heat_J": saved.heat,
            "electricity_J": saved.electricity,
            "heated_today_by": saved.by,
            "fuel": None if saved.fuel is None else asdict(saved.fuel),
            "money": saved.money,
            "money_of": list(saved.of),
        },
        "outages": [] if outages is None else [
            {
                "failed": outage.name,
                "days_count": outage.days,
                "volume_m3": outage.volume,
                "survival_met": outage.survival_met,
                "basic_met": outage.basic_met,
                "ordinary_met": outage.normal_met,
                "works": list(outage.order),
                "hot_water": None if outage.hot is None else outage.hot.state,
            }
            for outage in (outages.whole, *outages.outages)
        ],
    }  # fmt: skip


def _cost_json(found: Cost | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "money": found.money,
        "lines_with_price": found.priced,
        "lines_without_price": list(found.unpriced),
    }
