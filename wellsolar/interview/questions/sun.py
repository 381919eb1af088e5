"""Questions about the modules, the place and its sun."""

from __future__ import annotations

import re
from dataclasses import replace

from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.question import Offer, Part, Question, Reading, Unclear
from wellsolar.interview.answers.reading import in_pieces, read_part
from wellsolar.interview.answers.shapes import as_cells, as_place, as_strings
from wellsolar.interview.answers.spellings import list_pieces
from wellsolar.kinds import VOLTAGE
from wellsolar.site.edit import Value
from wellsolar.site.locate import Path
from wellsolar.units import System, read
from wellsolar.wording import quoted

HEATER_ARRAY, HOUSE_ARRAY = "water heater array", "house array"
"""What the interview calls the groups."""

CELL_VOLTAGE, LEAST_CELL, MOST_CELL = 0.65, 0.58, 0.74
"""Open-circuit voltage of one silicon cell, and what it is taken from and to [V]: common practice,
no source; beyond it the person is asked."""

AS_NEAR = 0.01
"""Between numbers of cells that lie as near to that as this, the person is asked [V]: our mark;
37.1 V are 54 cells of today or 60 of old."""

MOST_SUN = 9.0
"""No place has more sun a day over a year [kWh/m2]: a bare number up to it is meant as such, and
not as a share; our mark."""

USUAL_CELLS = (36, 48, 54, 60, 66, 72, 78)
"""Cells in series of modules on the market: common practice, no source."""


BATTERIES = (12.0, 24.0)
"""Volts that small modules are sold by, which are none of their own [V]."""

_FOUR = "give Voc, Isc, Vmp and Imp of one, as on its label"
_HOW_MANY = re.compile(r"(?:yes,? )?\d{1,4}\s*(?:panels?|modules?)?", re.IGNORECASE)
_MANY = re.compile(
    r"^(\d{1,4})\s*(?:panels?\b|modules?\b)?\s*(?:x|\*|of|at|@)?\s*((?<=[x*fst@\s])\d+\s*w.*)$",
    re.I,
)
"""A number of modules before the watts of one."""


def modules(facts: Facts) -> list[Question]:
    """Modules, where they stand, and what they feed."""
    questions = [_sheet()]
    if facts.get("module") is None:
        return questions
    return [*questions, _cells(), _place(), _sky(), *_arrays(facts)]


def _sheet() -> Question:
    place = ("module",)
    return Question(
        "module",
        "Are there PV modules, or shall there be some? Give Voc, Isc, Vmp and Imp of one, or say "
        "no.",
        "39.9 V, 9.7 A, 32.6 V, 9.2 A",
        helps="The label on the back gives open-circuit voltage, short-circuit current, and "
        "voltage and current at maximum power. Watts may stand behind: ..., 300 W. Watts alone "
        "do not say what an element takes from them. Modules in daylight are live: the label "
        "is read, not the terminals.",
        parts=(
            Part((*place, "voc"), "Voc", said=("open circuit voltage", "open circuit", "voc")),
            Part((*place, "isc"), "Isc", said=("short circuit current", "short circuit", "isc")),
            Part((*place, "vmp"), "Vmp", said=("vmp", "vmpp")),
            Part((*place, "imp"), "Imp", said=("imp", "impp")),
            Part((*place, "rated_power"), "power", optional=True,
                 said=("pmax", "panels", "modules", "panel", "module")),
        ),
        declines=True,
        reads=_read_sheet,
        open="anything about sun",
    )  # fmt: skip


def _read_sheet(answer: str, question: Question, system: System) -> Reading:
    """The four values, and the cells that they go with where that is beyond doubt."""
    if _HOW_MANY.fullmatch(answer):
        raise Unclear(f"{quoted(answer)}: how many there are is asked further on; {_FOUR}")
    many = _MANY.match(answer)
    reading = in_pieces(answer if many is None else many.group(2), question.parts, system)
    if many is not None:
        note = f"how many of the {many.group(1)} feed what is asked further on"
        reading = replace(reading, notes=(note,))
    voc = reading.values.get(("module", "voc"))
    if voc is None:
        return reading
    if ("module", "vmp") not in reading.values and read(str(voc), VOLTAGE) in BATTERIES:
        raise Unclear(f"{voc} is the battery that it is sold for; {_FOUR}")
    voltage = read(str(voc), VOLTAGE)
    off = {count: abs(voltage / count - CELL_VOLTAGE) for count in USUAL_CELLS}
    near, other = sorted(off, key=lambda count: off[count])[:2]
    if not LEAST_CELL <= voltage / near <= MOST_CELL or off[other] - off[near] < AS_NEAR:
        return reading
    note = f"taken as {near} cells in series, {voltage / near:.2f} V each: look at the sheet"
    values = {**reading.values, ("module", "cells"): near}
    return replace(reading, values=values, notes=(*reading.notes, note))


def _cells() -> Question:
    return Question(
        "module.cells", "How many cells has it in series?", "60",
        helps="By its sheet. Of half-cut cells count one series path: 120 half cells are 60.",
        parts=(Part(("module", "cells"), "cells"),),
        before=as_cells,
        open="anything about sun",
    )  # fmt: skip


def _place() -> Question:
    return Question(
        "site.latitude",
        "Where is it: latitude, height above the sea, and the lowest temperature ever measured "
        "nearby?",
        "41.2 N, 900 ft, -18F", like_si="41.2 N, 270 m, -28 C",
        helps="South of the equator say S. A degree and a hundred feet are near enough. Cold "
        "modules have their highest voltage, which wires and switches must bear: the local "
        "weather office or airport has the record.",
        parts=(
            Part(("site", "latitude"), "latitude"),
            Part(("site", "altitude"), "altitude", optional="wanted",
                 said=("altitude", "elevation", "elev", "alt")),
            Part(("sun", "record_low"), "record low", optional="wanted",
                 said=("record low", "lowest", "coldest", "low")),
            Part(("site", "longitude"), "longitude", optional=True,
                 said=("longitude", "long", "lon")),
        ),
        before=as_place,
        open="anything about sun",
    )  # fmt: skip


def _sky() -> Question:
    return Question(
        "sun.sky",
        "How much sun, January to December, in kWh/m2 a day on level ground? Or a share of a "
        "clear sky's sun for the whole year",
        "2.4, 3.2, 4.3, 5.4, 5.9, 6.3, 6.1, 5.5, 4.7, 3.8, 2.7, 2.2; or 60%",
        helps="A public solar atlas gives twelve means for any place. A share of a clear sky is "
        "a stand-in for them: about 75% in a dry climate, 50% in a dull one [common practice, "
        "no source]; it treats winter and summer alike, which is too kind to most winters.",
        parts=(Part(("sun", "monthly"), "sun", unit="kWh/m2/day"),
               Part(("sun", "clearness"), "share of a clear sky", optional=True)),
        needless=(("sun", "clearness"), ("sun", "monthly"), ("sun", "file")),
        offer=Offer("60%", "a middling sky, until you have the twelve means [common practice, "
                    "no source]"),
        reads=_read_sky,
        open="what the modules make in a year",
    )  # fmt: skip


_ABOUT = re.compile(r"^(?:about|around|roughly|approximately|some|maybe)\s+", re.IGNORECASE)
_SKIES = {"sunny|dry|desert": "75 %", "middling|average|ordinary|mixed": "60 %",
          "cloudy|dull|overcast": "50 %"}  # fmt: skip
"""Words for a sky, and its share of a clear one's sun: common practice, no source."""


def _read_sky(answer: str, question: Question, system: System) -> Reading:
    monthly, share = question.parts
    answer = _ABOUT.sub("", answer)
    for word, part_of_clear in _SKIES.items():
        if re.fullmatch(rf"(?:it'?s |mostly |very |quite )*(?:{word})", answer, re.IGNORECASE):
            note = f"taken as {part_of_clear} of a clear sky, until you have the twelve means"
            return Reading({share.path: part_of_clear}, notes=(note,))
    if len(list_pieces(answer)) == 1:
        bare = re.fullmatch(r"0?\.\d+", answer)
        mean = re.match(r"(\d+(?:\.\d+)?)(?!\s*%)(?:\s*(?:sun|peak|kwh|hours).*)?$", answer, re.I)
        if mean is not None and 1.0 < float(mean.group(1)) <= MOST_SUN:
            raise Unclear(
                f"{quoted(answer)} is a mean of the year: winter has less and decides; give the "
                "twelve months, or a share of a clear sky such as 60%"
            )
        said = f"{100 * float(answer):g} %" if bare else answer
        return Reading({share.path: read_part(said, share, system)})
    months = len(list_pieces(answer))
    if months != 12:
        raise Unclear(f"{quoted(answer)} has {months} values: expected twelve, or one share")
    written = read_part(answer, monthly, system)
    values: dict[Path, Value | None] = {monthly.path: written, share.path: None}
    return Reading(values)


def _arrays(facts: Facts) -> list[Question]:
    groups = facts.many("array")
    named = {str(group.get("feeds")): index for index, group in enumerate(groups)}
    heater = named.get("heater", len(groups))
    house = named.get("battery", named.get("pump", len(groups)))
    like = "4 in series; or 4 x 2"
    questions = [_array("array.heater", heater, HEATER_ARRAY, "heater", "the water heater", like)]
    if facts.is_no("array.heater") or "heater" in named:
        questions.append(
            _array("array.house", house, HOUSE_ARRAY, "battery", "the battery", "8 x 4")
        )
    return questions


def _array(key: str, index: int, name: str, feeds: str, what: str, like: str) -> Question:
    place = ("array", index)
    return Question(
        key,
        f"How many modules feed {what}: in series, and such rows side by side; and by which wire, "
        "over what distance one way? Say no if none do.",
        f"{like}; or {like.partition(';')[0]}, 10 AWG, 250 ft",
        like_si=f"{like}; or {like.partition(';')[0]}, 6 mm2, 75 m",
        helps="In series their voltages add, side by side their currents. Straight on an element "
        "of 4500 W and 240 V some 4 in series go with modules of 30 to 40 V. They are taken to "
        "face the equator at the tilt of the latitude; the file can say otherwise.",
        parts=(
            Part((*place, "series"), "in series"),
            Part((*place, "parallel"), "side by side", optional=True),
            Part((*place, "cable", "gauge"), "wire", optional="wanted"),
            Part((*place, "cable", "length"), "one way", optional="wanted", said=("run",)),
        ),
        before=as_strings,
        declines=True,
        sets={(*place, "name"): name, (*place, "feeds"): feeds},
        open=f"what {what} gets from the sun",
    )  # fmt: skip
