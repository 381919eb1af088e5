"""What holds each part from below and what from above, told by the tables of these tests.

    python -m tests.properties.whole.bounds

writes `bounds.md` beside it. A rule holds a part from below where a smaller value of the part's
key makes its verdict worse: by a row of `sides.py` with its two values, by a state of one key, or
by the worsening of its line in `lines.py`. That each of them does so is tested where it is used,
so that nothing is judged here.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from tests.properties.whole.lines import LINES
from tests.properties.whole.sides import GROUPS, STATES, base_tables
from tests.properties.whole.strategy import Tables
from tests.properties.whole.worsenings import WORSENINGS
from wellsolar.data import pipes, wiring
from wellsolar.kinds import Kind
from wellsolar.site import shape
from wellsolar.site.loading.overrides import changed, python_settings
from wellsolar.units import read, read_list

WRITTEN = Path(__file__).with_name("bounds.md")

PARTS = {
    "pump: head": "pump.head",
    "pump: intake": "pump.intake_depth",
    "pump: motor": "pump.rated_power",
    "motor: service factor": "pump.service_factor",
    "motor: overload relay": "pump.overload_current",
    "pump breaker": "pump.breaker",
    "pump cable": "pump.cable.gauge",
    "drop pipe: bore": "piping.drop_pipe",
    "drop pipe: class": "piping.drop_pipe.pressure_class",
    "lateral: bore": "piping.lateral",
    "lateral: class": "piping.lateral.pressure_class",
    "pressure tank": "pressure_tank.volume",
    "pressure tank: precharge": "pressure_tank.precharge",
    "pressure tank: plate": "pressure_tank.greatest_pressure",
    "tank relief valve": "pressure_tank.relief_pressure",
    "pressure switch: cut-out": "pressure_switch.cut_out",
    "storage tank": "storage_tank.volume",
    "inverter": "power.inverter_rating",
    "inverter: surge": "power.inverter_surge",
    "generator": "power.generator_rating",
    "battery": "power.battery_energy",
    "array: modules in a row": "array.series",
    "array: rows": "array.parallel",
    "array cable": "array.cable.gauge",
    "array breaker": "array.overcurrent",
    "isolator: voltage": "array.isolator_voltage",
    "isolator: current": "array.isolator_current",
    "controller: input": "array.greatest_input_voltage",
    "heated tank": "water_heater.volume",
    "element: power": "water_heater.element.rated_power",
    "element: voltage": "water_heater.element.rated_voltage",
    "thermostat: setting": "water_heater.element.thermostat",
    "thermostat: contacts' voltage": "water_heater.element.switch_voltage",
    "thermostat: contacts' current": "water_heater.element.switch_current",
    "high limit: contacts' voltage": "water_heater.element.high_limit_voltage",
    "high limit: contacts' current": "water_heater.element.high_limit_current",
    "high limit: setting": "water_heater.high_limit",
    "mixing valve: setting": "water_heater.mixing_valve.outlet",
    "relief valve: pressure": "water_heater.relief_pressure",
    "relief valve: temperature": "water_heater.relief_temperature",
    "relief valve: capacity": "water_heater.relief_capacity",
    "expansion tank": "water_heater.expansion_tank_volume",
    "hand pump: bore": "hand_pump.bore",
    "hand pump: stroke": "hand_pump.stroke",
    "hand pump: lever": "hand_pump.lever_ratio",
    "hand pump: cylinder's depth": "hand_pump.cylinder_depth",
    "hand pump: rods": "hand_pump.rod_diameter",
}
"""Sizes of parts by the keys of the file, without the numbers of tables."""

FREE_BELOW = {
    "motor: overload relay": "one set low trips at work, which its owner sees at once",
}
"""Parts that no rule holds from below, each with the reason."""

Held = Mapping[str, tuple[set[str], set[str]]]


def _plain(path: str) -> str:
    return re.sub(r"\[\d*\]", "", path).removesuffix(".size")


def _number(path: str, value: Any) -> float | None:
    """A value of a key as a number that grows with the part; None where it has none."""
    if isinstance(value, dict):
        size, material = value.get("size"), value.get("material", "polyethylene SIDR")
        return None if size is None else pipes.pipe_size(material, size).bore
    if isinstance(value, bool) or value is None:
        return None
    if isinstance(value, int | float):
        return float(value)
    if path.endswith(".size"):
        return pipes.pipe_size("polyethylene SIDR", value).bore
    if path.endswith(".gauge"):
        return wiring.wire(value).ampacity(60.0)
    field = shape.field_at(tuple(path.split(".")))
    reader = None if field is None else shape.reader_of(field)
    if reader is None or not isinstance(reader.kind, Kind):
        return None
    return float((read_list(value, reader.kind) if reader.many else [read(value, reader.kind)])[0])


def _value(tables: Tables, path: str) -> Any:
    """What stands at a key path such as `pump[1].head`; None for nothing."""
    at: Any = tables
    for name, number in re.findall(r"(\w+)(?:\[(\d+)\])?", path):
        at = at.get(name) if isinstance(at, dict) else None
        if number and isinstance(at, list):
            at = at[int(number) - 1] if len(at) >= int(number) else None
    return at


def _worse() -> Iterator[tuple[str, str, Any, Any]]:
    """Rule, key path, and two of its values of which the second is worse for the rule."""
    for group in GROUPS:
        for row in group.rows:
            yield row.rule, row.key, row.keeps, row.breaks
    for states in STATES:
        tables = base_tables(states.site)
        for state in states.rows:
            if state.status in ("fail", "caution") and len(state.given) == 1:
                (path, value), *_ = state.given.items()
                yield state.rule, path, _value(tables, path), value
    for rule, line in LINES.items():
        worsening = WORSENINGS[line.worsening]
        if len(worsening.keys) == 1:
            site = changed(base_tables(line.site), python_settings(line.start)).tables
            for path, tables in worsening.ways(site):
                yield rule, path, _value(site, path), _value(tables, path)


@cache
def held() -> Held:
    """Of each part the rules that hold it from below and from above."""
    parts = {key: part for part, key in PARTS.items()}
    found: dict[str, tuple[set[str], set[str]]] = defaultdict(lambda: (set(), set()))
    for rule, path, kept, broken in _worse():
        key = _plain(path)
        if key not in parts:
            continue
        written = re.sub(r"\[\d*\]", "", path)
        before, after = _number(written, kept), _number(written, broken)
        if before is not None and after is not None and before != after:
            found[parts[key]][0 if after < before else 1].add(rule)
    return found


def table() -> str:
    """The table as it stands in `bounds.md`."""
    found = held()
    lines = [
        "# What holds each part, written by `python -m tests.properties.whole.bounds`",
        "",
        "| part | key | from below | from above |",
        "|---|---|---|---|",
    ]
    for part, key in PARTS.items():
        below, above = (", ".join(sorted(each)) for each in found.get(part, (set(), set())))
        below = below or f"({FREE_BELOW.get(part, '')})"
        lines.append(f"| {part} | `{key}` | {below} | {above} |")
    return "\n".join([*lines, ""])


if __name__ == "__main__":
    WRITTEN.write_text(table(), "utf-8")
