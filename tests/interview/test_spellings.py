"""Answers as people write them, held to exact factors.

The foot is 0.3048 m and the inch 0.0254 m by definition; the US gallon is 231 cubic inches; a
pound-force is 0.453 592 37 kg x 9.806 65 m/s2; a horsepower is 550 ft lbf/s: NIST Special
Publication 811, Appendix B (from memory). Degrees Fahrenheit: t_C = (t_F - 32) / 1.8, there too.
"""

from __future__ import annotations

import calendar
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wellsolar import kinds
from wellsolar.interview.answers import shapes
from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.figures import in_figures
from wellsolar.interview.answers.shapes import as_stand
from wellsolar.interview.answers.spellings import clean, spelled, spelled_list, value_of
from wellsolar.interview.questions.papers import papers
from wellsolar.kinds import Kind
from wellsolar.units import read, read_list

FOOT, INCH = 0.3048, 0.0254
GALLON = 231 * INCH**3
POUND_FORCE = 0.45359237 * 9.80665
PSI = POUND_FORCE / INCH**2
HORSEPOWER = 550 * FOOT * POUND_FORCE

ONE = [
    ("85'", kinds.LENGTH, "ft", 85 * FOOT),
    ("85 feet", kinds.LENGTH, "ft", 85 * FOOT),
    ("85ft.", kinds.LENGTH, "ft", 85 * FOOT),
    ("85", kinds.LENGTH, "ft", 85 * FOOT),
    ("85", kinds.LENGTH, "m", 85.0),
    ("85 Meters", kinds.LENGTH, "ft", 85.0),
    ("about 85 ft", kinds.LENGTH, "ft", 85 * FOOT),
    ("~85'", kinds.LENGTH, "ft", 85 * FOOT),
    ("1,200 ft", kinds.LENGTH, "ft", 1200 * FOOT),
    ("85\u2032", kinds.LENGTH, "ft", 85 * FOOT),
    ("85' 6\"", kinds.LENGTH, "ft", 85 * FOOT + 6 * INCH),
    ("85 ft 4 in", kinds.LENGTH, "ft", 85 * FOOT + 4 * INCH),
    ("5'-6 1/2\"", kinds.LENGTH, "ft", 5 * FOOT + 6.5 * INCH),
    ("85' 6\"", kinds.HEAD, "ft", 85 * FOOT + 6 * INCH),
    ('1-1/4"', kinds.BORE, "in", 1.25 * INCH),
    ("1 1/2 in", kinds.BORE, "in", 1.5 * INCH),
    ("1\u00bc in", kinds.BORE, "in", 1.25 * INCH),
    ("\u00be in.", kinds.BORE, "in", 0.75 * INCH),
    ('6"', kinds.BORE, "in", 6 * INCH),
    ("6''", kinds.BORE, "in", 6 * INCH),
    ("6 inches", kinds.BORE, "in", 6 * INCH),
    ("150mm", kinds.BORE, "in", 0.150),
    ("3/4 hp", kinds.SHAFT_POWER, "hp", 0.75 * HORSEPOWER),
    ("3/4 HP", kinds.SHAFT_POWER, "hp", 0.75 * HORSEPOWER),
    ("1 and 1/2 horsepower", kinds.SHAFT_POWER, "hp", 1.5 * HORSEPOWER),
    ("110V", kinds.VOLTAGE, "V", 110.0),
    ("230 volts", kinds.VOLTAGE, "V", 230.0),
    ("300W", kinds.POWER, "W", 300.0),
    ("4.5 kilowatts", kinds.POWER, "W", 4500.0),
    ("50 gal", kinds.VOLUME, "gal", 50 * GALLON),
    ("50 gallons", kinds.VOLUME, "gal", 50 * GALLON),
    ("190 litres", kinds.VOLUME, "gal", 0.190),
    ("8 GPM", kinds.FLOW, "gpm", 8 * GALLON / 60),
    ("8 gallons a minute", kinds.FLOW, "gpm", 8 * GALLON / 60),
    ("2000 gal a day", kinds.DAILY_FLOW, "gal/day", 2000 * GALLON / 86_400),
    ("40 pounds", kinds.PRESSURE, "psi", 40 * PSI),
    ("40#", kinds.PRESSURE, "psi", 40 * PSI),
    ("2.5 bar", kinds.PRESSURE, "psi", 2.5e5),
    ("125F", kinds.TEMPERATURE, "degF", (125 - 32) / 1.8),
    ("125 degrees", kinds.TEMPERATURE, "degF", (125 - 32) / 1.8),
    ("50 degrees", kinds.TEMPERATURE, "degC", 50.0),
    ("-18\u00b0F", kinds.TEMPERATURE, "degF", (-18 - 32) / 1.8),
    ("\u221218 F", kinds.TEMPERATURE, "degF", (-18 - 32) / 1.8),
    ("49 celsius", kinds.TEMPERATURE, "degF", 49.0),
    ("60%", kinds.FRACTION, "%", 0.6),
    ("10 kwh", kinds.ENERGY, "kWh", 3.6e7),
]

ONE += [
    (f"7 {volume}{joint}{time}", kinds.FLOW, "gpm", 7 * size / seconds)
    for volume, size in (("gal", GALLON), ("gallons", GALLON), ("l", 0.001), ("litres", 0.001),
                         ("cu m", 1.0), ("m\u00b3", 1.0))
    for joint in (" per ", " a ", "/")
    for time, seconds in (("min", 60), ("hour", 3600), ("day", 86_400))
    if (volume, time) not in (("cu m", "min"), ("m\u00b3", "min"))
]  # fmt: skip
ONE += [
    (f"7 {short}", kinds.FLOW, "gpm", 7 * flow)
    for short, flow in (("lps", 1e-3), ("LPM", 1e-3 / 60), ("lph", 1e-3 / 3600),
                        ("g.p.m.", GALLON / 60),
                        ("US gpm", GALLON / 60), ("cum/hr", 1 / 3600))
]  # fmt: skip

RANGES = [
    ("85-110'", 85 * FOOT, 110 * FOOT),
    ("85'-110'", 85 * FOOT, 110 * FOOT),
    ("85' to 110'", 85 * FOOT, 110 * FOOT),
    ("85\u2013110 ft", 85 * FOOT, 110 * FOOT),
    ("85 to 110", 85 * FOOT, 110 * FOOT),
    ("110 - 85 feet", 85 * FOOT, 110 * FOOT),
    ("between 85 and 110 ft", 85 * FOOT, 110 * FOOT),
    ("from 26 to 33 m", 26.0, 33.0),
    ("85 ft .. 110 ft", 85 * FOOT, 110 * FOOT),
    ("10 in to 2 ft", 10 * INCH, 2 * FOOT),
    ("180 +/- 5 ft", 175 * FOOT, 185 * FOOT),
    ("180 ft plus or minus 5", 175 * FOOT, 185 * FOOT),
]


@pytest.mark.parametrize(("text", "kind", "unit", "value"), ONE, ids=[row[0] for row in ONE])
def test_one_quantity(text: str, kind: Kind, unit: str, value: float) -> None:
    found = read(spelled(clean(text), kind, unit), kind)
    assert math.isclose(found, value, rel_tol=1e-9)
    assert not found.is_range


@pytest.mark.parametrize(("text", "low", "high"), RANGES, ids=[row[0] for row in RANGES])
def test_a_range(text: str, low: float, high: float) -> None:
    found = read(spelled(clean(text), kinds.LENGTH, "ft"), kinds.LENGTH)
    assert math.isclose(found.low, low, rel_tol=1e-9)
    assert math.isclose(found.high, high, rel_tol=1e-9)


@pytest.mark.parametrize("text", ["95 (85 to 110) ft", "95 ft (85-110 ft)", "95' (85' - 110')"])
def test_a_range_with_its_likeliest_value(text: str) -> None:
    found = read(spelled(clean(text), kinds.LENGTH, "ft"), kinds.LENGTH)
    assert [round(each / FOOT, 9) for each in (found.low, found, found.high)] == [85, 95, 110]


@pytest.mark.parametrize(("said", "written"), [
    ("85' 6\"", "85.5 ft"), ("85 ft 3 in", "85.25 ft"), ("85' 4\"", "1024 in"),
    ("5'-6 1/2\"", "66.5 in"), ("5' 6 1/64\"", "66.015625 in"), ("5' 6.001\"", "5' 6.001\""),
])  # fmt: skip
def test_feet_and_inches_are_written_in_the_one_that_comes_out_even(
    said: str, written: str
) -> None:
    """12 inches a foot: of 4 in no decimal of a foot is the same, nor of 0.001 in a 64th."""
    assert spelled(clean(said), kinds.LENGTH, "ft") == written


def test_a_tape_measure_is_no_range() -> None:
    """`1-1/4"` is one and a quarter, `1-1/4 to 1-1/2 in` runs from it."""
    found = read(spelled("1-1/4 to 1-1/2 in", kinds.BORE, "in"), kinds.BORE)
    assert math.isclose(found.low, 1.25 * INCH)
    assert math.isclose(found.high, 1.5 * INCH)


@pytest.mark.parametrize(
    "text", ["0, 3, 6, 9 gpm", "0 3 6 9 gpm", "0, 3, 6, 9", "0 gpm, 3 gpm, 6gpm, 9 GPM", "0;3;6;9"]
)
def test_a_list(text: str) -> None:
    found = read_list(spelled_list(clean(text), kinds.FLOW, "gpm"), kinds.FLOW)
    assert [round(each * 60 / GALLON, 9) for each in found] == [0, 3, 6, 9]


def test_a_list_in_two_units_is_left_to_be_refused() -> None:
    assert spelled_list("3 gpm, 6 L/min", kinds.FLOW, "gpm") == "3 gpm, 6 L/min"


QUANTITIES = [
    (kinds.LENGTH, "ft"), (kinds.BORE, "in"), (kinds.FLOW, "gpm"), (kinds.PRESSURE, "psi"),
    (kinds.TEMPERATURE, "degF"), (kinds.POWER, "W"), (kinds.HEAD, "m"), (kinds.VOLUME, "L"),
]  # fmt: skip
"""Kinds, each with the unit of a bare number."""
NUMBERS = st.one_of(
    st.integers(0, 5000).map(str),
    st.decimals(0, 5000, places=2).map(str),
    st.builds(lambda whole, part: f"{whole} {part}", st.integers(1, 40),
              st.sampled_from(["1/4", "1/2", "3/4", "5/8"])),
)  # fmt: skip


@given(st.data())
def test_what_is_echoed_reads_back_as_the_same_quantity(data: st.DataObject) -> None:
    kind, customary = data.draw(st.sampled_from(QUANTITIES))
    unit = data.draw(st.sampled_from(["", *kind.written]))
    numbers = data.draw(st.lists(NUMBERS, min_size=1, max_size=2))
    joint = data.draw(st.sampled_from([" to ", " .. ", " - "]))
    text = clean(f"{joint.join(numbers)} {unit}")
    echoed = spelled(text, kind, customary)
    again = spelled(clean(echoed), kind, customary)
    assert again == echoed
    first, second = read(echoed, kind), read(again, kind)
    assert (first, first.low, first.high) == (second, second.low, second.high)


@given(NUMBERS)
def test_nothing_is_converted(number: str) -> None:
    """The number that was written is the number of the file, whatever its unit."""
    value = value_of(clean(number))
    assert value is not None
    assert value_of(spelled(clean(f"{number} ft"), kinds.LENGTH, "ft")) == value


@pytest.mark.parametrize(("text", "value"), [
    ("-1 1/2", -1.5), ("-3/4 in", -0.75), ("+1-1/4", 1.25), ("-2.5 m", -2.5), ("deep", None),
])  # fmt: skip
def test_a_number_has_the_sign_before_it(text: str, value: float | None) -> None:
    assert value_of(text) == value


@given(st.text(max_size=60), st.sampled_from(QUANTITIES))
def test_any_text_comes_out_as_a_text(text: str, wanted: tuple[Kind, str]) -> None:
    kind, customary = wanted
    plain = clean(text)
    assert plain.isprintable()
    assert isinstance(spelled(plain, kind, customary), str)
    assert isinstance(spelled_list(plain, kind, customary), str)
    assert value_of(plain) is None or math.isfinite(value_of(plain) or 0)


SMALL = [
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
    "nineteen",
]  # fmt: skip
TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def in_words(number: int) -> str:
    """A number below a million as it is said, with no `and`."""
    if number >= 1000:
        rest = f" {in_words(number % 1000)}" if number % 1000 else ""
        return f"{in_words(number // 1000)} thousand{rest}"
    if number >= 100:
        rest = f" {in_words(number % 100)}" if number % 100 else ""
        return f"{SMALL[number // 100]} hundred{rest}"
    if number < len(SMALL):
        return SMALL[number]
    return TENS[number // 10 - 2] + (f"-{SMALL[number % 10]}" if number % 10 else "")


@pytest.mark.parametrize("number", [*range(3, 131), 180, 200, 999, 1000, 1200, 4019, 12_000])
def test_numbers_in_words_are_their_figures(number: int) -> None:
    words = in_words(number)
    assert in_figures(f"{words} feet") == f"{number} feet"
    assert in_figures(words.replace("hundred ", "hundred and ")) == str(number)
    for part, figure in (("half", "1/2"), ("quarter", "1/4"), ("third", "1/3"), ("eighth", "1/8")):
        assert in_figures(f"{words} and a {part} feet") == f"{number} {figure} feet"
    if 20 <= number < 100:
        assert in_figures(f"one {words} feet") == f"{100 + number} feet"


@pytest.mark.parametrize(("words", "figure"), [
    ("three quarters of an inch", "3/4 inch"), ("two thirds of a mile", "2/3 mile"),
    ("five eighths", "5/8"), ("half a gallon", "1/2 gallon"), ("a hundred", "100"),
    ("a thousand and one", "1001"), ("zero", "0"), ("minus ten", "-10"), ("one ten", "110"),
    ("two twenty", "220"), ("one inch", "1 inch"), ("one", "one"), ("two, in it", "two, in it"),
    # Two numbers side by side, where no word for one has them so.
    ("forty sixty", "40-60"), ("ten five", "10-5"), ("twenty ten", "20-10"),
    ("nineteen five", "19-5"), ("one five", "1-5"),
])  # fmt: skip
def test_parts_and_rounded_numbers_in_words(words: str, figure: str) -> None:
    assert in_figures(words) == figure


POINTS = ("north", "northeast", "east", "southeast", "south", "southwest", "west", "northwest")


def test_the_compass_runs_by_east_and_a_pitch_is_its_arc_tangent() -> None:
    for number, point in enumerate(POINTS):
        hyphened = point.replace("north", "north-").replace("south", "south-").rstrip("-")
        letters = "".join(word[0] for word in hyphened.split("-")).upper()
        for said in (point, hyphened, f"facing {point}", f"facing {letters}", f"due {letters}"):
            assert f"azimuth {45 * number} deg" in as_stand(said), said
    for rise in range(1, 13):
        tilt = math.degrees(math.atan2(rise, 12))
        for said in (f"{rise}/12 pitch", f"{rise} in 12"):
            assert f"tilt {tilt:.1f} deg" in as_stand(said)


@pytest.mark.parametrize("system", ["US", "SI"])
def test_the_months_are_counted_from_january(system: str) -> None:
    (asked,) = papers(Facts({}, {}, system))  # type: ignore[arg-type]
    assert asked.reads is not None
    for number, name in enumerate(calendar.month_name[1:], 1):
        numbers = f"{number}/17/2027" if system == "US" else f"17/{number}/2027"
        for said in (f"17 {name} 2027", f"{name[:3]} 17, 2027", f"2027-{number}-17", numbers):
            values = asked.reads(f"by the installer, {said}", asked, system).values  # type: ignore[arg-type]
            assert values["job", "date"] == f"2027-{number:02}-17", said
        # Where both could be the month, each country writes its own first.
        both = asked.reads(f"{number}/2/2027", asked, system).values["job", "date"]  # type: ignore[arg-type]
        assert both == (f"2027-{number:02}-02" if system == "US" else f"2027-02-{number:02}")


def test_batteries_that_are_counted_in_words_are_added_up() -> None:
    for number in range(2, 7):
        said = f"{SMALL[number]} 5 kWh batteries"
        assert shapes.as_power(said).startswith(f"{5 * number} kWh"), said
        assert shapes.as_power(f"{number} x 5 kWh batteries").startswith(f"{5 * number} kWh")
