"""How the form tries a kind of reading: at what values, between which ends and what it keeps of
them, with readings made by hand. The ends and probes are our choice, entered twice."""

from __future__ import annotations

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest

from wellsolar import kinds
from wellsolar.kinds import Kind
from wellsolar.results.form import FormField
from wellsolar.results.readings import Band, Cause, SheetLine
from wellsolar.studies.form import study
from wellsolar.studies.form.told import told_along
from wellsolar.studies.reading.reading import Candidate, Lacking
from wellsolar.units import Quantity

BAND = Quantity(15.0, kinds.TEMPERATURE, 10.0, 20.0)
WAY = Candidate("a way", [1.0, 2.0, 4.0], 0.5, "group", ("behind",))  # type: ignore[arg-type]
KNOWN = Cause("known", None, 0.7, ("pump",))


class Fake:
    """A reading of some value, whose causes are given; it notes what it is asked."""

    def __init__(
        self, read: Quantity, band: Any, explained: Any, evident: Any,
        asked: list[tuple[float, bool]],
    ) -> None:  # fmt: skip
        self.measured, self.band, self.asked = read, band, asked
        self._explained, self._evident = explained, evident

    def evident(self, band: Quantity) -> tuple[Cause, ...]:
        return self._evident(self.measured)

    def explained(self, band: Quantity, low: bool) -> Any:
        self.asked.append((float(self.measured), low))
        return self._explained(float(self.measured), low)

    def warns(self, band: Quantity) -> str:
        return "hot" if self.measured.low > 90.0 else ""


def tried(
    explained: Callable[..., Any] = lambda read, low: (WAY,),
    evident: Callable[..., Any] = lambda read: (),
    made_of: str = "value", row: str = "tank_temperature", band: Any = None,
    kind: Kind = kinds.TEMPERATURE, of: type[Any] = Fake,
) -> tuple[Any, list[tuple[float, bool]], list[Quantity]]:  # fmt: skip
    """A kind of reading to be tried, what its causes were asked for and what was read."""
    asked: list[tuple[float, bool]] = []
    reads: list[Quantity] = []
    tried = object.__new__(study._Tried)
    tried.kind, tried.made_of, tried.rows = of, made_of, (row,)
    tried.some = Quantity(10.0, kind)

    def at(read: Quantity) -> Fake:
        reads.append(read)
        return Fake(read, band(float(read)) if band else None, explained, evident, asked)

    tried.at = at
    return tried, asked, reads


@pytest.mark.parametrize(
    ("made_of", "row", "ends"),
    [
        ("fall", "evening_pressure", (-7e5, 7e5)), ("flow", "bucket_volume", (0.0, 0.1)),
        ("ohms", "element_volts", (0.1, 1000.0)), ("value", "tank_temperature", (0.0, 120.0)),
        ("value", "cell_temperature", (-60.0, 100.0)), ("value", "fill_time", (0.0, 1e6)),
        ("value", "static_level", (0.0, 2000.0)),
    ],
)  # fmt: skip
def test_between_what_a_reading_is_tried(
    made_of: str, row: str, ends: tuple[float, float]
) -> None:
    assert tried(made_of=made_of, row=row)[0]._ends() == ends


@pytest.mark.parametrize(
    ("part", "asked"),
    [
        # Weighed at its ends and middle, so that nothing between is asked.
        ((0.0, 10.0), [(0.0, True), (5.0, True), (10.0, True)]),
        ((20.0, 30.0), [(20.0, False), (25.0, False), (30.0, False)]),
        ((-6.0, 2.0), [(-6.0, True), (-2.0, True), (2.0, True)]),
        # Within its band nothing is explained, and a part of no width has nothing.
        ((10.0, 20.0), []), ((10.0, 10.0), []), ((10.0, 9.0), []),
    ],
)  # fmt: skip
def test_a_part_that_is_weighed_is_asked_at_three_places(
    part: tuple[float, float], asked: list[tuple[float, bool]]
) -> None:
    made, found, _ = tried()
    causes = made._causes(BAND, *part)
    assert found == asked
    assert (causes.told, causes.ways, causes.fixed) == ((), (), {})


def test_fixed_causes_are_told_from_where_they_begin() -> None:
    """Below the band, known from 4 up to where the band begins; above it from 26 on."""
    for part, begins in (((0.0, 10.0), 4.0), ((20.0, 30.0), 26.0)):
        made, asked, _ = tried(lambda read, low, of=begins: (KNOWN,) if read > of else ())
        causes = made._causes(BAND, *part)
        assert causes.fixed == {"known": (0.7, ("pump",))}
        first, second, *last = causes.told
        assert (first.texts, second.texts) == ((), ("known",))
        assert second.beyond == pytest.approx(begins, abs=1e-6)
        assert all(not each.texts and each.beyond == pytest.approx(10.0) for each in last)
        # Whether low is told of each reading by itself, and not of the part.
        assert {low for read, low in asked if read != part[1]} == {part[0] == 0.0}
        # One way among them at an end, and nothing is weighed away.
        made, _, _ = tried(lambda read, low, of=begins: (KNOWN,) if read > of else (WAY,))
        assert made._causes(BAND, *part).fixed == causes.fixed


def test_what_is_evident_goes_before_what_explains() -> None:
    hot = Cause("hot", None, 0.8, ("limit",))
    made, _, _ = tried(lambda read, low: (KNOWN,), lambda read: (hot,) if read.low > 25.0 else ())
    for part in ((20.0, 30.0), (10.0, 30.0)):
        causes = made._causes(BAND, *part)
        assert causes.told[-1].texts == ("hot",)
        assert causes.told[-1].beyond == pytest.approx(25.0, abs=1e-6)
        assert causes.fixed == {"known": (0.7, ("pump",)), "hot": (0.8, ("limit",))}


@pytest.mark.parametrize(
    ("band", "read"),
    # A hundredth of its end beyond the band, whatever its sign.
    [(BAND, (9.9, 20.2)), (Quantity(0.0, kinds.TEMPERATURE, -8.0, -5.0), (-8.08, -4.95))],
)
def test_a_reading_is_weighed_a_hundredth_outside_its_band(
    band: Quantity, read: tuple[float, float], monkeypatch: pytest.MonkeyPatch
) -> None:
    made, _, reads = tried()
    monkeypatch.setattr(study, "told_along", lambda *asked: ())
    field = FormField("", 0, "", "", "value")
    told = made.told(field, band)
    tried_at = [float(each) for each in reads]
    assert tried_at[-2:] == pytest.approx(read)
    for causes in (told.below, told.above):
        (way,) = causes.ways
        assert (way.text, way.at, way.weight) == ("a way", ((1.0, 2.0, 4.0),), 0.5)
    assert told.inside.ways == ()
    assert told.bands == ((band.low, float(band), band.high),)


def test_a_tank_of_any_time_is_weighed_far_below_freezing() -> None:
    """And has no band; its warnings and what is evident are told all the same."""
    band = Band(Quantity(30.0, kinds.TEMPERATURE, 7.0, 60.0), "")
    made, asked, reads = tried(of=study.TankTemperature, band=lambda read: band)
    told = made.told(FormField("", 0, "", "", "value"), None)
    assert (float(reads[-1]), reads[-1].kind, asked[-1]) == (-40.0, kinds.TEMPERATURE,
                                                             (-40.0, True))  # fmt: skip
    assert [way.text for way in told.below.ways] == ["a way"]
    assert (told.bands, told.above.ways, told.inside.ways) == ((), (), ())
    assert [each.texts for each in told.warns] == [(), ("hot",)]
    assert told.warns[1].beyond == pytest.approx(90.0, abs=1e-6)
    # Of another kind nothing is weighed without a band.
    made, _, _ = tried(of=study.TapTemperature, band=lambda read: band)
    assert made.told(FormField("", 0, "", "", "value"), None).below.ways == ()


def test_an_element_is_tried_from_half_an_ohm_to_five_hundred() -> None:
    """By the power of 1000 in 199 steps; of each plate once, and none where it lacks one."""
    low, high = (Quantity(each, kinds.RESISTANCE, each - 1, each + 2) for each in (12.0, 48.0))

    def band(ohms: float) -> Band | Lacking:
        if ohms > 400.0:
            return Lacking()
        return Band(low if ohms < 20.0 else high, "")

    made, _, reads = tried(made_of="ohms", row="element_volts", band=band, kind=kinds.RESISTANCE)
    assert made._bands(None) == ()
    assert made._bands(low) == ((11.0, 12.0, 14.0), (47.0, 48.0, 50.0))
    assert len(reads) == 200
    ohms = [float(reads[place]) for place in (0, 1, -1)]
    assert ohms == pytest.approx([0.5, 0.5 * 1000 ** (1 / 199), 500.0])
    assert all(each.kind is kinds.RESISTANCE for each in reads)


@pytest.mark.parametrize(
    ("made_of", "row", "kind", "some", "values"),
    [
        # A second of a bucket, an ampere at an element, ten hours of a night down to nothing.
        ("flow", "bucket_volume", kinds.FLOW, 10.0, {"bucket_volume": 7.0, "bucket_time": 1.0}),
        ("ohms", "element_volts", kinds.RESISTANCE, 10.0,
         {"element_volts": 7.0, "element_amps": 1.0}),
        ("fall", "evening_pressure", kinds.PRESSURE_LOSS, 1e5,
         {"evening_pressure": 7.0, "morning_pressure": 0.0, "hours_between": 36_000.0}),
        ("value", "gauge_pressure", kinds.PRESSURE, 1e5, {"gauge_pressure": 7.0}),
        ("value", "pumping_level", kinds.LENGTH, 10.0,
         {"pumping_level": 7.0, "pumping_time": 1800.0}),
        ("value", "tap_temperature", kinds.TEMPERATURE, 10.0, {"tap_temperature": 7.0}),
    ],
)  # fmt: skip
def test_what_else_is_read_where_a_reading_is_tried(
    made_of: Any, row: str, kind: Kind, some: float, values: dict[str, float]
) -> None:
    rows = (row, *(["pumping_time"] if row == "pumping_level" else []))
    made = study._Tried("job", lambda visit: visit, made_of, rows, "p", "on")  # type: ignore[arg-type]
    assert (float(made.some), made.some.kind) == (some, kind)
    visit: Any = made.at(Quantity(7.0, kind, 6.0, 9.0))
    given = visit.given
    assert {key: float(value) for key, value in given.values.items()} == values
    read = given.values[row]
    assert (read.low, read.high, read.kind) == (6.0, 9.0, study.FIELDS[row][0].kind)
    others = [value for key, value in given.values.items() if key != row]
    assert all((each.low, each.high) == (float(each),) * 2 for each in others)
    at_night = made_of == "fall"
    assert (given.pump, given.house_main, given.pump_state) == (
        "p", "on" if at_night else None, None if at_night else "on",
    )  # fmt: skip


def test_texts_are_told_at_ends_that_are_probed() -> None:
    """A text of the last of 48 readings alone, and one of the first alone, are found too."""
    for bound in (0.5 / 47, 46.5 / 47, 23.2 / 47):
        found = told_along(lambda read, at=bound: ("x",) if read.high > at else (),
                           kinds.HEAD, 0.0, 1.0)  # fmt: skip
        assert [(each.texts, each.end) for each in found] == [((), "high"), (("x",), "high")]
        assert found[0].beyond == -1.0
        assert found[1].beyond == pytest.approx(bound, abs=1e-12)
    # A text that begins and ends between two probes is not seen.
    between = told_along(
        lambda read: ("x",) if 23.1 / 47 < read < 23.9 / 47 else (), kinds.HEAD, 0.0, 1.0
    )
    assert len(between) == 1
    # And one about a single probe is: 47 spaces between 48.
    (_, begins, ends) = told_along(
        lambda read: ("x",) if 22.9 / 47 < read < 23.1 / 47 else (), kinds.HEAD, 0.0, 1.0
    )
    assert (begins.beyond, ends.beyond) == pytest.approx((22.9 / 47, 23.1 / 47))


class TestSteps:
    """Of which pump, array and tank a step is, and what it has besides its lines."""

    @pytest.mark.parametrize(
        ("key", "name"),
        [("pump_1", "one"), ("pump_2", "two"), ("night", ""), ("pump_x", "")],
    )
    def test_the_pump_of_a_step(self, key: str, name: str) -> None:
        pumps = tuple(SimpleNamespace(name=each) for each in ("one", "two"))
        job = SimpleNamespace(site=SimpleNamespace(pump=pumps))
        assert study._pump_of(job, SimpleNamespace(key=key)) == name  # type: ignore[arg-type]

    @pytest.mark.parametrize(
        ("key", "pump", "without", "besides"),
        [
            ("pump_1", "one", "",
             [("GaugePressure", "one", "on"), ("GaugePressure", "one", "off")]),
            ("pump_1", "one", "pressure_tank", []), ("tank", "", "", []),
            ("hot_water", "", "", [("TankTemperature", "", "")]),
            ("hot_water", "", "mixing_valve",
             [("TankTemperature", "", ""), ("TapTemperature", "", "")]),
            ("hot_water", "", "water_heater", [("TankTemperature", "", "")]),
            ("night", "", "", [("PressureDecay", "", "shut")]), ("night", "", "pressure_tank", []),
            ("array_2", "", "", [("ElementResistance", "", "")]), ("array_1", "", "", []),
            ("array_2", "", "array", []),
        ],
    )  # fmt: skip
    def test_readings_besides_its_lines(
        self, key: str, pump: str, without: str, besides: list[tuple[str, str, str]],
        monkeypatch: pytest.MonkeyPatch,
    ) -> None:  # fmt: skip
        def noted(job: Any, kind: type[Any], timed: set[str], pump: str = "", line: Any = None,
                  state: str = "") -> tuple[str, str, str]:  # fmt: skip
            assert timed == {"t"}
            assert line is None
            return kind.__name__, pump, state

        monkeypatch.setattr(study, "_of_reading", noted)
        valve = None if without == "mixing_valve" else "valve"
        heater = None if without == "water_heater" else SimpleNamespace(mixing_valve=valve)
        tank = None if without == "pressure_tank" else "tank"
        on = SimpleNamespace(on=SimpleNamespace(group_path="array[2]"))
        job = SimpleNamespace(
            site=SimpleNamespace(pressure_tank=tank, water_heater=heater),
            array=None if without == "array" else on,
        )
        found = study._besides(job, SimpleNamespace(key=key), {"t"}, pump)  # type: ignore[arg-type]
        assert list(found) == besides

    @pytest.mark.parametrize(
        ("key", "reads", "array", "made"),
        [
            # The array that is read is the second: its own step's rows, and of others no more
            # than lines; so what no kind is made of, and what lacks a table of the file.
            ("array_2", ("element_amps",), "array[2]", "ElementOnArray"),
            ("array_1", ("element_amps",), "array[2]", "line"),
            ("array_2", ("element_amps",), None, "line"),
            ("pump_1", ("fill_time",), "array[2]", "FillTime"),
            ("pump_1", ("fill_time",), None, "FillTime"), ("pump_1", (), "array[2]", "line"),
            ("pump_1", ("pump_amps",), "array[2]", "line"),
        ],
    )  # fmt: skip
    def test_lines_of_a_step(
        self, key: str, reads: tuple[str, ...], array: str | None, made: str,
        monkeypatch: pytest.MonkeyPatch,
    ) -> None:  # fmt: skip
        monkeypatch.setattr(study, "_besides", lambda *asked: ["besides"])
        monkeypatch.setattr(study, "_of_line", lambda line: "line")
        monkeypatch.setattr(study, "_of_reading", lambda job, kind, *more: kind.__name__)
        for kind, lacks in (("ElementOnArray", ()), ("FillTime", ()), ("PumpAmps", ("pump",))):
            of = next(each for each in study.TABLE if each.__name__ == kind)
            monkeypatch.setattr(of, "lacks", lambda job, keys=lacks: keys)
        on = None if array is None else SimpleNamespace(on=SimpleNamespace(group_path=array))
        job: Any = SimpleNamespace(
            array=on, site=SimpleNamespace(pump=(SimpleNamespace(name=""),))
        )
        step: Any = SimpleNamespace(
            key=key, title="t", before="b", lines=(SheetLine("line", reads=reads, number=3),)
        )
        found = study._step(job, step, set())
        assert (found.key, found.title, found.before) == (key, "t", "b")
        assert found.fields == (made, "besides")

    def test_a_line_of_words_and_one_of_a_number(self) -> None:
        value = Quantity(3.0, kinds.LENGTH, 2.0, 5.0)
        words = study._of_line(SheetLine("a", words="dry", number=4))
        number = study._of_line(SheetLine("b", value, number=5))
        assert (words.key, words.number, words.made_of, words.words) == (
            "line_4",
            4,
            "words",
            "dry",
        )
        assert (number.key, number.number, number.made_of) == ("line_5", 5, "value")
        assert (number.bands, number.boxes[0].kind) == (((2.0, 3.0, 5.0),), kinds.LENGTH)


class Noted:
    """A kind of reading as it is tried, with a band that is given; it notes what it is told of."""

    band: Any = None

    def __init__(
        self, job: Any, kind: Any, made_of: str, rows: Any, pump: str, state: str
    ) -> None:
        self.pump, self.some = pump, None

    def at(self, read: Any) -> Any:
        return SimpleNamespace(label="label", band=self.band)

    def told(self, field: FormField, band: Quantity | None) -> Any:
        return SimpleNamespace(**{**vars(field), "told": band})


NAMED = {each.__name__: each for each in study.TABLE}


@pytest.mark.parametrize(
    ("kind", "reads", "state", "made_of", "rows", "key", "pump", "label"),
    [
        ("BucketFlow", ("bucket_volume",), "", "flow", ["bucket_volume", "bucket_time"], "line_7",
         "p", "text"),
        ("PressureDecay", None, "shut", "fall",
         ["evening_pressure", "morning_pressure", "hours_between"], "PressureDecay_p_shut", "p",
         "label, house main valve shut"),
        ("ElementResistance", None, "", "ohms", ["element_volts", "element_amps"],
         "ElementResistance_p", "", "label"),
        ("PumpingLevel", ("pumping_level", "pumping_time"), "", "value",
         ["pumping_level", "pumping_time"], "line_7", "p", "text"),
        ("PumpingLevel", ("pumping_level",), "", "value", ["pumping_level"], "line_7", "p",
         "text"),
        ("GaugePressure", None, "on", "value", ["gauge_pressure"], "GaugePressure_p_on", "p",
         "label, the pump on"),
        ("StaticLevel", ("static_level",), "", "value", ["static_level"], "line_7", "", "text"),
        ("FillTime", None, "", "value", ["fill_time"], "FillTime_p", "p", "label"),
    ],
)  # fmt: skip
def test_the_field_of_a_reading(
    kind: str, reads: Any, state: str, made_of: str, rows: list[str], key: str, pump: str,
    label: str, monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """Its number by its line, its name by kind, pump and state without; and its own pump alone."""
    monkeypatch.setattr(study, "_Tried", Noted)
    line = None if reads is None else SheetLine("text", reads=reads, number=7)
    band = Band(Quantity(3.0, kinds.LENGTH, 2.0, 5.0), "rests")
    monkeypatch.setattr(Noted, "band", band)
    field: Any = study._of_reading(None, NAMED[kind], set(), "p", line, state)  # type: ignore[arg-type]
    assert (field.key, field.made_of, field.pump, field.label) == (key, made_of, pump, label)
    assert [each.key for each in field.boxes] == rows
    assert (field.number, field.state) == (0 if line is None else 7, state)
    assert (field.told, field.rests_on, field.by_time) == (band.value, "rests", "")
    for lacking, why in ((Lacking(("a", "b")), "the file does not give a or b"),
                         (Lacking(("a",), "words"), "words")):  # fmt: skip
        monkeypatch.setattr(Noted, "band", lacking)
        field = study._of_reading(None, NAMED[kind], set(), "p", line, state)  # type: ignore[arg-type]
        assert field.why == why
    timed = study._of_reading(None, NAMED[kind], {rows[0]}, "p", line, state)  # type: ignore[arg-type]
    by_time: Any = timed
    if kind == "ElementResistance":
        assert by_time.by_time == ""
    else:
        assert (by_time.by_time, by_time.told) == (rows[0], None)
        assert by_time.rests_on == "the site's year, at that time"


def test_the_field_of_an_element_on_its_array(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its time decides it, in the year or by what a meter of the sun shows."""
    monkeypatch.setattr(study, "_Tried", Noted)
    monkeypatch.setattr(Noted, "band", Lacking(("a",)))
    line = SheetLine("text", reads=("element_amps",), number=7)
    for timed, rests in (
        (set(), "the irradiance that was measured"),
        ({"element_amps"}, "the site's year, at that time"),
    ):
        field = study._of_reading(None, NAMED["ElementOnArray"], timed, "p", line)  # type: ignore[arg-type]
        assert (field.by_time, field.rests_on, field.pump) == ("element_amps", rests, "")
        assert [each.key for each in field.boxes] == ["element_amps"]
        assert not hasattr(field, "told")
