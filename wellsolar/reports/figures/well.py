"""Figures of the well's side of the house: the well, head build-up, pump curves, a day's level."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Literal

from wellsolar import kinds
from wellsolar.reports.figures.heat import LONG_MONTHS
from wellsolar.reports.figures.plots import (
    Axis,
    BarPanel,
    BarSeries,
    CurvePanel,
    Guide,
    Line,
    Mark,
    Plot,
    Shape,
    value,
)
from wellsolar.reports.figures.well_drawing import drawings
from wellsolar.results import Results
from wellsolar.results.figures import FigureData, PumpCurve, WellDrawing
from wellsolar.results.pumps import Duty, PumpResult
from wellsolar.results.supply import ChainYearResult
from wellsolar.verdicts import Sentence, say

SPANS: tuple[tuple[str, str, Literal["min", "h"], float], ...] = (
    ("The first hour", "minutes since the pump started", "min", 3600.0),
    ("The day", "hours since the pump started", "h", 86_400.0),
)
"""Title and axis of the two views of a day's level, and how far they go [s]."""

MEETS = "The pump works where its curve meets the head that well, pipe and pressure ask."
PUMPED_OFF = (
    "Here the pump could give more than the well: a mark off its curve stands at what the well "
    "gives with the water down at the intake."
)

SHAPES: tuple[Shape, ...] = ("circle", "square", "diamond", "triangle")


def well_plots(results: Results, data: FigureData) -> list[Plot]:
    """The figures of well and pumps, in the order they are read."""
    plots: list[Plot] = []
    if results.pumps or results.hand_pump is not None:
        plots += drawings(results, data)
    if results.pumps:
        plots.append(_head(results.pumps))
    for number, (curve, pump) in enumerate(zip(data.pump_curves, results.pumps, strict=False), 1):
        plots.append(_curve(curve, pump, number))
    if data.courses:
        plots.append(_level(results, data))
    if results.chain_year is not None:
        plots.append(_storage(results.chain_year))
    return plots


def _storage(chain: ChainYearResult) -> Plot:
    """Water in the storage tank: every day of the year, and the hours of the emptiest ones."""
    levels, water = chain.levels, Axis("water in the tank", kinds.VOLUME, from_zero=True)
    guides = [
        Guide("full", say("full at {v}", v=value(levels.full, kinds.VOLUME)), levels.full, 7),
        Guide("starts", say("filled below {v}", v=value(levels.starts, kinds.VOLUME)),
              levels.starts, 2),
    ]  # fmt: skip
    if levels.stops > 0.0:
        label = say("no draw below {v}", v=value(levels.stops, kinds.VOLUME))
        guides.append(Guide("stops", label, levels.stops, 1))
    days = tuple(float(day) for day in range(1, len(levels.least) + 1))
    hours = tuple(3600.0 * hour for hour in range(1, len(levels.emptiest) + 1))
    first, last, least = (
        _date(day, len(levels.least))
        for day in (levels.day, levels.day + len(levels.emptiest) // 24 - 1,
                    levels.least.index(min(levels.least)) + 1)
    )  # fmt: skip
    first = first.split()[0] if first.split()[1] == last.split()[1] else first
    sentence = say(
        "At its emptiest, on {day}, the tank holds {least}; {short} of the year "
        "are short of water.",
        day=least,
        least=value(min(levels.least), kinds.VOLUME),
        short=value(chain.days_short, kinds.DAYS),
    )
    return Plot(
        key="storage_tank",
        title="The storage tank through the year",
        caption="The household's use at its hours, pumps on the sun by their months' weather.",
        description=(sentence,),
        section="chain",
        panels=(
            CurvePanel(
                "Every day",
                Axis("month", kinds.DAYS, months=True),
                water,
                (
                    Line("most", "the most of the day", days, levels.most, 4),
                    Line("least", "the least of the day", days, levels.least, 0),
                ),
                guides=tuple(guides),
            ),
            CurvePanel(
                f"{first} to {last}, with the least water",
                Axis("hours from midnight", kinds.DURATION, time="h"),
                water,
                (Line("emptiest", "", hours, levels.emptiest, 0),),
                guides=tuple(guides),
            ),
        ),
    )


def _date(day: int, days_in_year: int) -> str:
    """A day of the year, from 1, by its month."""
    day_date = date(2024 if days_in_year == 366 else 2023, 1, 1) + timedelta(day - 1)
    return f"{day_date.day} {LONG_MONTHS[day_date.month - 1]}"


def _shown_as(key: str) -> str:
    """The piece of a bar in which a piece of head is drawn: both sides of a suction are one."""
    return "drop_pipe" if key == "suction" else key


def _head(pumps: tuple[PumpResult, ...]) -> Plot:
    duties = [(pump, duty) for pump in pumps for duty in pump.duties]
    pieces: dict[str, str] = {}
    for _, duty in duties:
        for piece in duty.pieces:
            pieces.setdefault(_shown_as(piece.key), piece.label)
    if any(piece.key == "suction" for _, duty in duties for piece in duty.pieces):
        pieces["drop_pipe"] = "drop and suction pipe friction"
    series: list[BarSeries] = []
    for key, label in pieces.items():
        heads = [
            sum(piece.head for piece in duty.pieces if _shown_as(piece.key) == key)
            for _, duty in duties
        ]
        if any(heads):
            series.append(BarSeries(key, label, tuple(heads), len(series)))
    sentences = tuple(
        say(
            "{pump} {duty}: {head} in all at {flow}.",
            pump=pump.name,
            duty=duty.label,
            head=value(duty.total_dynamic_head, kinds.HEAD),
            flow=value(duty.flow, kinds.FLOW),
        )
        for pump, duty in duties
    )
    return Plot(
        key="head",
        title="What the pump's head is made of",
        caption="Each bar is the whole head that the pump works against, piece by piece.",
        description=sentences,
        section="pump_1",
        panels=(
            BarPanel(
                title="",
                categories=tuple(f"{pump.name}\n{duty.label}" for pump, duty in duties),
                axis=Axis("head", kinds.HEAD),
                series=tuple(series),
                stacked=True,
            ),
        ),
    )


def _curve(curve: PumpCurve, pump: PumpResult, number: int) -> Plot:
    lines = [Line("pump", "the pump", curve.flows, curve.heads, 0)]
    marks = []
    for position, system in enumerate(curve.systems):
        label = f"head asked {system.label}"
        look = 1 + position
        lines.append(Line(f"system_{position + 1}", label, curve.flows, system.heads, look))
    for position, duty in enumerate(pump.duties):
        if duty.flow > 0:
            marks.append(
                Mark(f"duty_{position + 1}", _duty(duty), (duty.flow,),
                     (duty.total_dynamic_head,), 1 + position, SHAPES[position % 4])
            )  # fmt: skip
    sentences = tuple(
        say(
            "{duty}: {flow} against {head}, {power}; {state}.",
            duty=duty.label,
            flow=value(duty.flow, kinds.FLOW),
            head=value(duty.total_dynamic_head, kinds.HEAD),
            power=value(duty.input_power, kinds.COMPUTED_POWER),
            state=duty.state,
        )
        for duty in pump.duties
    )
    pumped_off = any(duty.pump_flow > duty.flow > 0 for duty in pump.duties)
    return Plot(
        key=f"pump_curve_{number}",
        title=f"Pump curve: {pump.name}",
        caption=f"{MEETS} {PUMPED_OFF}" if pumped_off else MEETS,
        description=(
            say("The pump's greatest head is {head}.", head=value(pump.shut_off_head, kinds.HEAD)),
            *sentences,
        ),
        section=f"pump_{number}",
        panels=(
            CurvePanel(
                "",
                Axis("flow", kinds.FLOW, from_zero=True),
                Axis("head", kinds.HEAD, from_zero=True),
                tuple(lines),
                tuple(marks),
            ),
        ),
    )


def _duty(duty: Duty) -> Sentence:
    return say(
        "{duty}: {flow}, {head}",
        duty=duty.label,
        flow=value(duty.flow, kinds.FLOW),
        head=value(duty.total_dynamic_head, kinds.HEAD),
    )


def _level(results: Results, data: FigureData) -> Plot:
    lines, guides, sentences = [], [], []
    for drawn in (data.well, *data.other_wells):
        if drawn.number and not any(_draws(course.pump, drawn) for course in data.courses):
            continue
        key = f"static_{drawn.number}" if drawn.number else "static"
        of = f" in {drawn.name}" if drawn.number else ""
        rest = say(f"at rest{of} {{depth}}", depth=value(drawn.static_level, kinds.LENGTH))
        guides.append(Guide(key, rest, drawn.static_level, 7))
    intakes = {pump.name: pump.intake_depth for pump in results.pumps}
    for look, course in enumerate(data.courses):
        lines.append(Line(f"course_{look + 1}", course.pump, course.times, course.levels, look))
        intake = intakes[course.pump]
        label = say("{pump}: intake {depth}", pump=course.pump,
                    depth=value(intake, kinds.LENGTH))  # fmt: skip
        guides.append(Guide(f"intake_{look + 1}", label, intake, look))
        sentences.append(
            say(
                "With the {pump} running for a day the water goes down from {rest} to {level}; "
                "its intake hangs at {intake}.",
                pump=course.pump,
                rest=value(course.levels[0], kinds.LENGTH),
                level=value(course.levels[-1], kinds.LENGTH),
                intake=value(intake, kinds.LENGTH),
            )
        )
    panels = tuple(
        _level_panel(title, label, (unit, until), tuple(lines), tuple(guides))
        for title, label, unit, until in SPANS
    )
    return Plot(
        key="level",
        title="The water in the well through a day of pumping",
        caption="Each pump alone, from water at rest, at the pressure where it gives most, "
        "without a stop.",
        description=tuple(sentences),
        section="well",
        panels=panels,
    )


def _draws(pump: str, drawn: WellDrawing) -> bool:
    """Whether a pump draws from a well."""
    return any(hung.name == pump and hung.well == drawn.number for hung in drawn.pumps)


def _level_panel(
    title: str,
    label: str,
    span: tuple[Literal["min", "h"], float],
    lines: tuple[Line, ...],
    guides: tuple[Guide, ...],
) -> CurvePanel:
    """The lines as far as the span goes."""
    unit, until = span
    shown = tuple(
        replace(
            line,
            x=tuple(time for time in line.x if time <= until),
            y=tuple(level for time, level in zip(line.x, line.y, strict=True) if time <= until),
        )
        for line in lines
    )
    return CurvePanel(
        title,
        Axis(label, kinds.DURATION, time=unit, most=until),
        Axis("depth to water", kinds.LENGTH, down=True),
        shown,
        (),
        guides,
    )
