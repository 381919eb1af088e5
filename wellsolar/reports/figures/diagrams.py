"""The figures of how a site is joined: its picture with numbers in place, its wires, its pipes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from wellsolar import kinds
from wellsolar.reports.figures.plots import DiagramPanel, Plot, value
from wellsolar.results import Results
from wellsolar.results.figures import (
    Branch,
    FigureData,
    Parallel,
    Series,
    Sign,
    Thing,
    scheduled,
    things_in,
)
from wellsolar.verdicts import Sentence, say

MAIN: set[Sign] = {
    "pump", "hand pump", "pressure tank", "storage tank", "valve", "heater", "mixing valve", "tap",
    "modules", "battery", "inverter", "grid", "generator", "transfer", "changeover", "controller",
    "contacts", "element",
}  # fmt: skip
"""What the picture of a site shows; all else is for those who build it."""

TWICE = "What stands in two places under one tag is one thing."
NO_PLAN_TO_WIRE = (
    "A sketch of what the file tells, and of what the trade usually builds where it does not (to "
    "check); no plan to wire by: a licensed electrician draws that by the local code."
)
NO_PLAN_TO_PIPE = (
    "A sketch of what the file tells, and of what the trade usually builds where it does not (to "
    "check); a licensed plumber builds by the local code."
)
CURRENTS = "Solid lines carry alternating current, dashed ones direct current."
WATERS = "Solid lines carry cold water, dashed ones hot."


def diagrams(results: Results, data: FigureData) -> list[Plot]:
    """The picture of the site and the diagrams of its wires and pipes."""
    numbers = _numbers(results, data)
    shown = (("Water", _main(data.water)), ("Power and heat", _main(data.power)))
    panels = [DiagramPanel(title, drawn, numbers) for title, drawn in shown if drawn is not None]
    plots = [_plot("system", "The whole system", f"{WATERS} {CURRENTS}", panels, results)]
    for key, title, drawn, caption in (
        ("one_line", "Wires on one line", data.power, f"{CURRENTS} {NO_PLAN_TO_WIRE}"),
        ("water", "Pipes and valves", data.water, f"{WATERS} {NO_PLAN_TO_PIPE}"),
    ):
        both = [] if drawn is None else [DiagramPanel("", drawn, checks=True)]
        plots.append(_plot(key, title, caption, both, results))
    return [plot for plot in plots if plot.panels]


def _plot(
    key: str, title: str, caption: str, panels: Sequence[DiagramPanel], results: Results
) -> Plot:
    """A figure of diagrams, with its things in words for those who cannot see it drawn."""
    described = []
    for panel in panels:
        for thing in scheduled(things_in(panel.drawn)):
            note = panel.note(thing)
            parts = {**note.parts, "tag": thing.tag, "name": thing.name}
            note_text = f": {note.template}" if note.template else ""
            described.append(Sentence(f"{{tag}}, {{name}}{note_text}.", parts))
    first = "pump_1" if results.pumps else "hand_pump"
    section = first if results.pumps or results.hand_pump is not None else "heated_tank"
    twice = f"{caption} {TWICE}"
    return Plot(key, title, twice, tuple(described), section, tuple(panels))


def _main(branch: Branch | None) -> Branch | None:
    """What of a branch the picture of the site shows; None for nothing."""
    if branch is None:
        return None
    if isinstance(branch, Thing):
        return replace(branch, beside=()) if branch.sign in MAIN else None
    parts = tuple(kept for part in branch.parts if (kept := _main(part)) is not None)
    if len(parts) < 2:
        return parts[0] if parts else None
    if isinstance(branch, Series):
        return Series(parts)
    return Parallel(parts, branch.above, branch.below)


def _numbers(results: Results, data: FigureData) -> dict[str, Sentence]:
    """What each thing of the picture gives, by its tag, as the studies found it."""
    numbers_by_tag = {thing.tag: thing.said for thing in data.things if thing.sign in MAIN}
    hand, tank, heated = results.hand_pump, results.pressure_tank, results.heated_tank
    for number, pump in enumerate(results.pumps, 1):
        duty = pump.duties[0]
        template = "{flow}, {power}" if pump.from_tank else "{flow}, {power}, hung at {depth}"
        numbers_by_tag[f"P-{number}"] = say(
            template,
            flow=value(duty.flow, kinds.FLOW),
            power=value(duty.input_power, kinds.COMPUTED_POWER),
            **({} if pump.from_tank else {"depth": value(pump.intake_depth, kinds.LENGTH)}),
        )
    if hand is not None and hand.duties:
        numbers_by_tag["H-1"] = say(
            "{flow} by hand, {force} on the handle",
            flow=value(hand.duties[0].sustained_flow, kinds.FLOW),
            force=value(hand.duties[0].handle_force, kinds.FORCE),
        )
    if tank is not None:
        numbers_by_tag["PT-1"] = say(
            "{drawdown} from {cut_out} down to {cut_in}",
            drawdown=value(tank.drawdown, kinds.VOLUME),
            cut_out=value(tank.cut_out, kinds.PRESSURE),
            cut_in=value(tank.cut_in, kinds.PRESSURE),
        )
    if heated is not None:
        share = heated.annual_share
        template = "{volume}, heated to {setpoint}" + (
            "" if share is None else "; {share} of the year's hot water by the sun"
        )
        share_value = {} if share is None else {"share": value(share, kinds.FRACTION)}
        numbers_by_tag["WH-1"] = say(
            template,
            volume=value(heated.tank_volume, kinds.VOLUME),
            setpoint=value(heated.setpoint, kinds.TEMPERATURE),
            **share_value,
        )
    return numbers_by_tag
