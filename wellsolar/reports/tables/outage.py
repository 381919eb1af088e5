"""Rows and grids of what is left when things fail: all together, each source, each component."""

from __future__ import annotations

from collections.abc import Iterator

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Listed, Row, Section, cells
from wellsolar.results.entries import A_DAY, DAYS, EFFORT, MONTHS
from wellsolar.results.outages import Outage, OutageResult, Store
from wellsolar.units import Quantity

NOTE_ON_MATRIX = (
    "Water a day: of all that still works, the hands 8 h a day, within what the well gives; what "
    "is stored is spread over the days. On a battery a pump takes all that the house's other "
    "loads leave, which is an upper figure. Work: at the handle, for what survival water the rest "
    "leaves open."
)

NOTE_ON_BLADDER = (
    " Without the bladder's air the tank fills up: a pump on it starts and stops all the time "
    "unless it is run by its breaker with a tap open, and a hand pump gives water only stroke by "
    "stroke, best at its spout."
)

Said = tuple[float | str | None, ...]
"""What a row says after its name."""


def outage_sections(result: OutageResult) -> tuple[Section, ...]:
    """What is left when something fails, for an owner and for a water engineer: all sources
    together, each of them, and the components one by one."""
    sections = [_together(result), _sources(result), _links(result)]
    return tuple(sections)


def _all(result: OutageResult) -> tuple[Outage, ...]:
    return (result.whole, *result.outages)


WANTED_AND_THERE = Listed(
    OutageResult,
    "survival", "basic", "normal",
    ("static_level", lambda found:
     ("the deep end of the static level's range" if found.low else "water at rest")
     + "; all is computed with it"),
    "well_volume",
)  # fmt: skip


def _other_levels(result: OutageResult) -> Iterator[Row]:
    """The water of the other wells."""
    for number, (name, level) in enumerate(result.other_levels, 1):
        why = "as deep as its file has it"
        stands = Quantity(level, kinds.LENGTH)
        yield Row(f"other_level_{number}", f"in {name} at", stands, why, kinds.LENGTH)


def _together(result: OutageResult) -> Section:
    grids = [_matrix(result), _order(result)]
    if result.whole.hot is not None:
        grids.append(_hot(result))
    if result.stores:
        grids.append(_stores(result))
    runs = _runs(result)
    if runs is not None:
        grids.append(runs)
    return Section(
        "outages",
        "Water when things fail",
        "What is left when something has failed, and what work is it?",
        (*WANTED_AND_THERE.rows(result), *_other_levels(result)),
        tuple(grids),
    )


def _met(volume: float, wanted: float | None) -> float | None:
    """Share of a demand that is met."""
    return min(1.0, volume / wanted) if wanted else None


MATRIX = Listed(
    Outage,
    "name", "days", "volume", "survival_met", "basic_met", "normal_met", "effort", "pressure",
)  # fmt: skip


def _matrix(result: OutageResult) -> Grid:
    tank = any(outage.key == "bladder" for outage in result.outages)
    note = NOTE_ON_MATRIX + (NOTE_ON_BLADDER if tank else "")
    return MATRIX.grid("matrix", "All sources together", _all(result), note)


ORDER = Listed(Outage, "name", "order", "hot_days", "limit")


def _order(result: OutageResult) -> Grid:
    without = () if result.whole.hot is not None else ("hot_days",)
    return ORDER.grid("order", "What works", _all(result), without=without)


def _grouped(rows: list[tuple[str, Said]]) -> list[tuple[str, Said]]:
    """Rows that say the same as one, under all their names."""
    names: dict[Said, list[str]] = {}
    for name, said in rows:
        names.setdefault(said, []).append(name)
    if len(names) == 1 and len(rows) > 1:
        return [("whatever fails", next(iter(names)))]
    return [("; ".join(name), said) for said, name in names.items()]


def _hot(result: OutageResult) -> Grid:
    columns = (
        Column("failed", "failed"),
        Column("state", "hot water"),
        Column("hot", "hot for", DAYS),
        Column("days", "of days", kinds.COUNT),
        Column("end_temperature", "top at the end", kinds.TEMPERATURE),
        Column("limit", "limited by"),
    )
    entries: list[tuple[str, Said]] = [
        (outage.name, (hot.state, hot.days, outage.days, hot.end_temperature, hot.limit))
        for outage in _all(result)
        if (hot := outage.hot) is not None
    ]
    rows = tuple(cells(columns, [name, *said]) for name, said in _grouped(entries))
    note = (
        "On sunny days: as often as the year's evenings are hot by the sun alone. Cooling: days "
        "on which its top still has the warmth wanted at the tap, begun at the setpoint, the "
        "household drawing as ever."
    )
    return Grid("hot_water", "Hot water", columns, rows, note)


STORES = Listed(Store, "name", "volume", "days", "note")


def _stores(result: OutageResult) -> Grid:
    note = "What a water heater holds is for washing and cooking, boiled before it is drunk."
    heater = any(store.name == "water heater" for store in result.stores)
    return STORES.grid("stores", "Stored water", result.stores, note if heater else "")


def _runs(result: OutageResult) -> Grid | None:
    dark = [outage for outage in result.outages if outage.run is not None]
    if not dark:
        return None
    columns = (
        Column("failed", "outage"),
        Column("begins", "darkest days begin"),
        Column("energy", "modules give a day", kinds.ENERGY),
        Column("usual", "on the year's mean day", kinds.ENERGY),
    )
    rows = tuple(
        cells(columns, [
            outage.name, f"{MONTHS[outage.run.month - 1]} {outage.run.day}", outage.run.energy,
            outage.run.usual,
        ])
        for outage in dark
        if outage.run is not None
    )  # fmt: skip
    note = (
        "Of the site's own year of hours, on the modules that still feed pump or battery; the "
        "battery goes through these days from the charge that the year leaves it. The mean "
        "day of a long dark run has more sun than that of a short one, and so more water."
    )
    return Grid("dark_days", "The darkest days", columns, rows, note)


def _sources(result: OutageResult) -> Section:
    """Each source against every outage."""
    columns = (
        Column("failed", "failed"),
        Column("power", "runs on"),
        Column("volume", "water", A_DAY),
        Column("survival", "survival met", kinds.FRACTION),
        Column("effort", "work", EFFORT),
        Column("pressure", "pressure"),
        Column("limit", "limited by"),
    )
    grids = []
    for number, source in enumerate(result.whole.cells, 1):
        entries: list[tuple[str, Said]] = []
        for outage in _all(result):
            cell = outage.cell(source.source)
            met = _met(cell.volume, result.survival)
            said = (cell.power, cell.volume, met, cell.effort, cell.pressure, cell.limit)
            entries.append((outage.name, said))
        rows = tuple(cells(columns, [name, *said]) for name, said in _grouped(entries))
        grids.append(Grid(f"source_{number}", source.source, columns, rows))
    return Section(
        "outage_sources",
        "Each source alone",
        "Which source works then, and what does it give?",
        (),
        tuple(grids),
    )


def _links(result: OutageResult) -> Section:
    columns = (
        Column("component", "alone out of order"),
        Column("volume", "water left", A_DAY),
        Column("survival", "survival met", kinds.FRACTION),
        Column("order", "what works, easiest first"),
        Column("fix", "weak link?"),
    )
    rows = tuple(
        cells(columns, [
            link.component, link.outage.volume, _met(link.outage.volume, result.survival),
            ", ".join(link.outage.order) or "nothing",
            ("no" if not link.outage.short else "yes" if link.fix is None
             else f"yes; {link.fix.text} clears it"),
        ])
        for link in result.links
    )  # fmt: skip
    note = (
        f"For {result.whole.days} days each. The well itself is not counted: without it only "
        "stored water is left. A change is named only where it was tried and clears the link."
    )
    return Section(
        "weak_links",
        "Each component alone out of order",
        "Is there water when any one thing fails?",
        (),
        (Grid("links", "One thing fails", columns, rows, note),),
    )
