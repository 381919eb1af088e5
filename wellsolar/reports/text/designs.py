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
    designs: DesignSet, system: System, name: str, written: WhichDesign, full: bool = False
) -> str:
    """The designs of a site side by side: parts that differ, what each comes to, and in what it
    fails.

    Parameters:
        written: the one that `-o` writes
        full: whether every part is told, those that are alike too
    Returns:
        its text in 80 columns, without `full` of no more than 24 lines
    """
    sizings = [designs.made[design] for design in DESIGNS]
    laid_out = "; ".join(f"{design}: {LAID_OUT[design]}" for design in DESIGNS)
    head = [f"{name}: three designs side by side"[:WIDTH], *_wrapped(laid_out, "  ")]
    if full:
        head += _wrapped(RESERVE, "  ")
    head += _row("", [design.upper() for design in DESIGNS])
    for which in DESIGNS:
        failed = designs.made[which].failed
        if failed is not None:
            head += _wrapped(f"{which}: NONE, {failed.text(system)}", "  ")
    sizes = [_sizes(sizing, system) for sizing in sizings]
    parts = {
        part: [size.get(part, "-") for size in sizes]
        for part in dict.fromkeys(part for size in sizes for part in size)
    }
    alike = [part for part, labels in parts.items() if len(set(labels)) == 1]
    differ = {
        part: list(_row(part, labels)) for part, labels in parts.items() if part not in alike
    }
    end: list[str] = []
    rows = [_figures(designs.figures[design], system) for design in DESIGNS]
    for label in dict.fromkeys(label for row in rows for label in row):
        end += _row(label, [row.get(label, "-") for row in rows])
    end += _row("its own check", [_check(sizing) for sizing in sizings])
    end += _wrapped(f"-o DESIGN.toml writes the {written} one; --design names another", "  ")
    if full:
        alike_text = "; ".join(f"{part} {parts[part][0]}" for part in alike)
        end += _wrapped(f"ALIKE  {alike_text}", " " * 7) if alike else []
        for sentence in designs.made["reserve"].dead:
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


def _sizes(sizing: SizingResult, system: System) -> dict[str, str]:
    """The parts of a design by what they are, a pump that is not chosen by its duty."""
    sizes = {pump.name: _duty(pump, system) for pump in sizing.pumps}
    for part in sizing.parts:
        if part.part == "pump" and sizes:
            continue
        size = brief(part.size)
        sizes[part.part] = size if part.passes else f"{size} FAILS"
    return sizes


def _duty(pump: PumpWanted, system: System) -> str:
    first = pump.duties[0]
    flow, head = show(first.flow, kinds.FLOW, system), first.total_dynamic_head
    return f"{flow} at {show(head, kinds.HEAD, system)}"


def _figures(figures: DesignFigures, system: System) -> dict[str, str]:
    """What a design comes to, by labels of rows."""
    values = {}
    if figures.pump_energy is not None:
        values["pumps, a day"] = show(figures.pump_energy, kinds.ENERGY, system)
    if figures.days_short is not None:
        values["days short"] = f"{figures.days_short} a year"
    if figures.heat_energy is not None:
        values["sun's heat, a year"] = show(figures.heat_energy, kinds.ENERGY, system)
    if figures.evenings is not None:
        values["hot evenings"] = f"{figures.evenings} of {figures.days}"
    if figures.survival is not None:
        values["survival water"] = (
            "all of it"
            if figures.survival >= 1.0
            else f"{math.floor(100.0 * figures.survival + 1e-9)} %"
        )
        values["short if dead"] = ", ".join(figures.fails_in) or "nothing"
    if figures.bought is not None:
        lacking = len(figures.bought.unpriced)
        rest = f", {lacking} lines unpriced" if lacking else ""
        values["to buy, by the file's prices"] = f"{figures.bought.money:,.2f}{rest}"
    return values


def _check(sizing: SizingResult) -> str:
    if sizing.results is None:
        return "none"
    by_status = counts(sizing.results)
    return ", ".join(f"{by_status[status]} {status}" for status in ORDER if status != "pass")


def figures_json(figures: DesignFigures, outages: OutageResult | None) -> dict[str, Any]:
    """What a design comes to as strict JSON has it, in SI.

    Parameters:
        found: of `comes_to`
        outages: what is left in each; None where nobody asked
    Returns:
        a key for each figure with its unit, None where nothing tells it
    """
    saved = figures.saved
    return {
        "water_wanted_m3": figures.wanted,
        "water_given_m3": figures.gives,
        "pump_energy_J": figures.pump_energy,
        "heat_energy_J": figures.heat_energy,
        "heat_share": figures.heat_share,
        "days_short": figures.days_short,
        "hot_evenings": figures.evenings,
        "hot_evenings_sun_alone": figures.sun_evenings,
        "days": figures.days,
        "survival": figures.survival,
        "fails_in": list(figures.fails_in),
        "to_buy": _cost_json(figures.bought),
        "all_parts": _cost_json(figures.whole),
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


def _cost_json(cost: Cost | None) -> dict[str, Any] | None:
    if cost is None:
        return None
    return {
        "money": cost.money,
        "lines_with_price": cost.priced,
        "lines_without_price": list(cost.unpriced),
    }
