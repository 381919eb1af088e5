"""Every quantity has two pairs of bounds: what is possible, and what is ordinary within it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

from wellsolar import kinds
from wellsolar.site import shape
from wellsolar.site.defaults import defaults
from wellsolar.site.fields import BeyondBounds, Reads, Usual
from wellsolar.site.loading.read import load_site, parse_site
from wellsolar.site.ordinary import beyond_at, unusual
from wellsolar.site.readings.file import FIELDS, readings_of_options
from wellsolar.site.readings.table import READINGS
from wellsolar.site.schema import Site
from wellsolar.site.starter import starter_text
from wellsolar.site.table import Table
from wellsolar.sources import SOURCES
from wellsolar.studies.asked.ordinary import study_ordinary, unusual_readings
from wellsolar.units import Quantity, UnreadableQuantity, in_file

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


class Key(NamedTuple):
    """A quantity: where it is written, how it is read, and what is ordinary."""

    path: str
    reader: Reads
    usual: Usual

    @property
    def band(self) -> Quantity:
        return self.usual.band(self.reader.kind)

    @property
    def least(self) -> float:
        """The least that can be meant; a bound that is left out is infinite."""
        if self.reader.above == 0.0:
            return kinds.SMALLEST[self.reader.kind.name]
        ends = [each for each in (self.reader.least, self.reader.above) if each is not None]
        return ends[0] if ends else -math.inf

    @property
    def most(self) -> float:
        return math.inf if self.reader.most is None else self.reader.most

    def read(self, value: float) -> Quantity:
        """A number in SI written and read again, in a list where the key takes one."""
        number, _, unit = in_file(Quantity(value, self.reader.kind)).partition(" ")
        many = ", ".join([number] * (self.reader.count or 1)) if self.reader.many else number
        found = self.reader.read(f"{many} {unit}".strip())
        return found[-1] if isinstance(found, tuple) else found


def keys_of(table: type[Table], above: str = "") -> Iterator[Key]:
    for name, field in table.model_fields.items():
        inner, reader, usual = shape.table_of(field), shape.reader_of(field), shape.usual_of(field)
        if inner is not None:
            yield from keys_of(inner, f"{above}{name}.")
        elif reader is not None:
            assert usual is not None
            yield Key(f"{above}{name}", reader, usual)


KEYS = [*keys_of(Site)]
KEYS += [
    Key(f"reading {row.key}", FIELDS[row.key][0],
        Usual(row.usual or kinds.USUAL[FIELDS[row.key][0].kind.name]))
    for row in READINGS if row.kind
]  # fmt: skip


def test_there_are_quantities() -> None:
    assert len(KEYS) > 190
    assert {key.usual.source for key in KEYS} <= set(SOURCES)
    assert set(kinds.SMALLEST) == set(kinds.USUAL)
    assert {key.reader.kind.name for key in KEYS} <= set(kinds.USUAL)


TABLES = sorted({key.path.rpartition(".")[0] for key in KEYS})


@pytest.mark.parametrize("table", TABLES)
def test_just_inside_and_just_outside_of_both_pairs(table: str) -> None:
    for key in KEYS:
        if key.path.rpartition(".")[0] == table:
            _holds_its_pairs(key)


def _holds_its_pairs(key: Key) -> None:
    """Whether what lies within a key's bounds, ordinary or possible, is taken as such."""
    band, scale = key.band, key.band.high - key.band.low
    assert key.least <= band.low + 1e-6 * abs(band.low) or band.low == 0.0
    assert band.high <= key.most + 1e-3 * abs(key.most)
    for inside in (band.low + 1e-3 * scale, band.high - 1e-3 * scale):
        assert not key.usual.is_beyond(key.read(inside))
    for end, step in ((band.low, -0.02), (band.high, 0.02)):
        outside = end + step * (abs(end) or scale)
        if key.reader.kind is kinds.TEMPERATURE:
            outside = end + 50 * step
        if key.least < outside < key.most:
            assert key.usual.is_beyond(key.read(outside))
    for end, step in ((key.least, -1.0), (key.most, 1.0)):
        if math.isfinite(end):
            little = 1e-4 * abs(end) or 0.01 * (kinds.SMALLEST[key.reader.kind.name] or 1.0)
            assert key.read(end - step * (little if end else 0.0)) is not None
            with pytest.raises(BeyondBounds):
                key.read(end + step * little)
    for slip in (1e-300, -1e-300, 1e14):
        if key.reader.kind is not kinds.TEMPERATURE and key.path != "price.cost":
            with pytest.raises(UnreadableQuantity):
                key.read(slip)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_nothing_of_the_examples_is_extraordinary(path: Path) -> None:
    assert list(unusual(load_site(path).site)) == []


def test_nothing_of_the_starter_and_no_default_is_extraordinary() -> None:
    assert list(unusual(parse_site(starter_text()).site)) == []
    for default in defaults():
        field = shape.field_at(default.keys)
        if field is not None and shape.reader_of(field) is not None:
            assert beyond_at(default.keys, default.value) is None, default.path


def test_a_caution_says_where_and_between_what_ends() -> None:
    text = '[well]\ndepth = "15 ft"\nstatic_level = "3 ft"\ncasing_bore = "3 ft"\n'
    file = parse_site(text, settings=["piping.lateral.length=1 mile"])
    cautions = {each.subject: each for each in study_ordinary(file, ["pump", "tank"]).verdicts}
    assert set(cautions) == {"well.depth", "well.casing_bore", "piping.lateral.length"}
    assert all(each.status == "caution" for each in cautions.values())
    assert cautions["well.depth"].reason.text("US") == (
        "outside what is ordinary: 15 ft in line 2, most are 20.0 ft to 1200 ft; is it meant?"
    )
    assert "1 mile on the command line" in cautions["piping.lateral.length"].reason.text("SI")
    assert "most are 100 mm to 203 mm" in cautions["well.casing_bore"].reason.text("SI")
    assert not study_ordinary(file, ["tank", "match"]).verdicts, "no table of theirs"


def test_a_list_is_asked_after_once_and_a_range_by_its_ends() -> None:
    pump = '[[pump]]\nname = "p"\nflow = "0, 300, 400 gpm"\nhead = "90, 80, 70 ft"\n'
    well = '[well]\ndepth = "900 ft .. 1300 ft"\nstatic_level = "85 ft"\n'
    found = list(unusual(parse_site(well + pump).site))
    assert [(each.path, each.written) for each in found] == [
        (("well", "depth"), "900 ft .. 1300 ft"), (("pump", 0, "flow"), "300 gpm"),
    ]  # fmt: skip


def test_readings_are_asked_after_too() -> None:
    readings = readings_of_options({"fill_time": "0.5 s", "pump_amps": "9 A"})
    (verdict,) = unusual_readings(readings)
    assert verdict.subject == "reading fill time"
    assert verdict.reason.text("US").startswith("outside what is ordinary: 0.5 s, most are 5.0 s")


def test_the_caution_stands_in_report_and_json() -> None:
    from wellsolar import Case, as_json, site_from

    tables = {
        "well": {"depth": "200 ft", "static_level": "85 ft"},
        "pressure_switch": {"cut_in": "15 psi", "cut_out": "50 psi"},
        "pressure_tank": {"volume": "44 gal"},
    }
    results = Case(site_from(tables)).results(["tank"])
    verdict = results.verdict("ordinary value")
    assert (verdict.status, verdict.subject) == ("caution", "pressure_switch.cut_in")
    assert not results.fails
    assert '"reason": "outside what is ordinary: 15 psi, most are 20.0 psi' in as_json(results)
