"""Ampacity and breaker of a wire, against tables of the code."""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests.studies.pump.deep_pump import BASE, PUMP, SWITCH, printed, pump_of, verdict_of
from wellsolar.data.wiring import wire as wire_of
from wellsolar.studies.electric import cable as cables


class TestWire:
    TEXT = BASE + SWITCH.format(volume=40, precharge=28) + PUMP + 'rated_power = "1 hp"\n'

    @pytest.mark.parametrize(
        ("surroundings", "ampacity"),
        [
            ("", 20.0),  # the 60 degC terminals
            (', ambient = "40 degC"', 20.0),  # 25 A x 0.88 = 22 A: the terminals still
            (', ambient = "40 degC", conductors = 6', 25 * 0.88 * 0.80),
            (', ambient = "65 degC"', 25 * 0.47),
            (", conductors = 12", 25 * 0.50),
        ],
    )
    def test_ampacity_in_heat_and_company(self, surroundings: str, ampacity: float) -> None:
        cable = f'cable = {{ gauge = "12 AWG", length = "180 ft"{surroundings} }}\n'
        wire = pump_of(self.TEXT + cable).wire
        assert wire.ampacity == pytest.approx(ampacity, rel=1e-6)

    def test_a_hot_wire_is_told_the_gauge_that_carries_the_motor(self) -> None:
        # 1 hp at 230 V: 8 A by table, 10 A for the wire; 12 AWG at 70 degC has 25 x 0.33 A.
        cable = 'cable = { gauge = "12 AWG", length = "100 ft", ambient = "70 degC" }\n'
        text = self.TEXT + cable
        verdict = verdict_of(text, "motor conductor")
        assert verdict.status == "fail"
        gauge = printed(verdict, r"use ([\d/]+ AWG)")
        assert gauge == "10 AWG"  # 35 A x 0.33 = 11.6 A
        mended = text.replace("12 AWG", gauge)
        assert verdict_of(mended, "motor conductor").status == "pass"

    @pytest.mark.parametrize(
        ("power", "largest"),
        # Table 430.248 at 230 V: 4.9, 8, 10 and 17 A, times 2.5, next of 240.6(A).
        [("1/2 hp", 15.0), ("1 hp", 20.0), ("1 1/2 hp", 25.0), ("3 hp", 45.0)],
    )
    def test_the_largest_breaker_of_a_motor(self, power: str, largest: float) -> None:
        wire = pump_of(self.TEXT.replace('"1 hp"', f'"{power}"')).wire
        assert wire.overcurrent_device == largest
        assert "250 %" in wire.overcurrent_rule

    def test_of_direct_current_and_of_a_drive(self) -> None:
        text = self.TEXT.replace('voltage = "230 V"', 'voltage = "48 V"\nsupply = "DC"')
        wire = pump_of(text).wire
        # 1.5 times the current, no more than the next of the standard sizes.
        assert wire.overcurrent_device >= 1.5 * wire.current
        assert wire.overcurrent_device <= 1.5 * wire.current + 5.0
        drive = pump_of(self.TEXT + 'start = "variable speed"\n').wire
        assert drive.overcurrent_device is None
        assert "drive" in drive.overcurrent_rule

    @pytest.mark.parametrize(
        ("gauge", "ambient", "conductors", "insulation", "carried"),
        # The worked rows of the code's tables: 40 A x 0.58, 30 x 0.58, 40 x 0.82 x 0.80; 35 x 0.33
        # of an insulation good to 75 degC; none is left of one that may not be so hot.
        [
            ("10 AWG", 68.0, None, "PV wire", 23.2),
            ("12 AWG", 68.0, None, "USE-2", 17.4),
            ("10 AWG", 48.0, 4, "THWN-2", 26.24),
            ("10 AWG", 68.0, None, None, 11.55),
            ("10 AWG", 68.0, None, "UF", 0.0),
        ],
    )
    def test_an_array_wire_has_both_checks(
        self, gauge: str, ambient: float, conductors: int | None, insulation: str | None,
        carried: float,
    ) -> None:  # fmt: skip
        from wellsolar.site.schema import Cable
        from wellsolar.studies.electric import cable as wiring

        named = Cable(
            gauge=gauge, ambient=f"{ambient} degC", conductors=conductors, insulation=insulation
        )
        # NEC 690.8: 9.7 A of a module make 12.125 A after correction, 15.156 A before.
        run = wiring.wire_run(named, 5.0, wiring.array_load(9.7, 9.0, 130.0, 1), 0.03)
        assert (run.terminal_required, run.corrected_required) == pytest.approx(
            (15.156, 12.125), abs=1e-3
        )
        assert run.corrected_ampacity == pytest.approx(carried)
        assert run.terminal_ampacity == {"10 AWG": 30.0, "12 AWG": 20.0}[gauge]
        carries, _ = wiring.wire_verdicts(run, "roof", "array[1].cable", 0.03, wiring.AMPACITY_PV)
        assert carries.status == ("pass" if carried >= 12.125 else "fail")

    def test_a_wire_in_mm2_is_judged_by_its_own_table(self) -> None:
        from wellsolar.site.schema import Cable
        from wellsolar.studies.electric import cable as wiring

        # 2.5 mm2 carries 20 A, of which NFPA 70 leaves 16 A to a motor.
        for amperes, status in ((15.9, "pass"), (16.1, "caution"), (20.1, "fail")):
            load = wiring.Load(amperes, 1.25 * amperes, 1.25 * amperes, 230.0)
            run = wiring.wire_run(Cable(gauge="2.5 mm2"), 40.0, load, 0.03, metric=True)
            carries, drop = wiring.wire_verdicts(
                run, "pump", "pump[1].cable", 0.03, wiring.AMPACITY_MOTOR
            )
            assert carries.status == status
            assert "IEC 60364-5-52" in carries.reason.text("SI")
            # 7.41 ohm/km at 20 degC, a fifth more at 75 degC, there and back.
            lost = 2 * 40.0 * 7.41e-3 * (1 + 0.00393 * 55) * amperes
            assert drop.quantity == pytest.approx(lost / 230.0)
        hot = Cable(gauge="2.5 mm2", ambient="50 degC", insulation="XLPE")
        run = wiring.wire_run(hot, 40.0, load, 0.03, metric=True)
        assert run.corrected_ampacity == pytest.approx(20.0)  # sqrt((90 - 50) / 40)
        assert run.smallest_gauge.endswith(" mm2")

    @pytest.mark.parametrize("isc", [4.0, 9.5, 9.7, 12.7, 12.9, 19.1, 19.3])
    def test_small_conductors_keep_their_limit(self, isc: float) -> None:
        # NEC 240.4(D): 15 A on 14 AWG, 20 A on 12, 30 A on 10.
        from wellsolar.studies.electric import cable as wiring

        load = wiring.array_load(isc, isc, 150.0, 1)
        run = wiring.wire_run(None, 5.0, load, 0.03)
        limit: dict[Any, float] = {"14 AWG": 15, "12 AWG": 20, "10 AWG": 30}
        assert run.overcurrent_device >= 1.5625 * isc
        assert run.overcurrent_device <= limit.get(run.smallest_gauge, math.inf)
        # Of a run so long that none does, the thickest: 195 A on 4/0 at 60 degC, NEC Table
        # 310.16, from memory.
        far = wiring.wire_run(None, 90_000.0, load, 0.03)
        assert (far.smallest_gauge, far.terminal_ampacity) == (None, 195.0)
        assert run.terminal_ampacity < 100.0

    @pytest.mark.parametrize(
        ("known", "words"),
        [
            ({}, "12 AWG carries 20.0 A; 17.0 A is required"),
            *(
                (known, "12 AWG carries 20.0 A at its terminals, where 17.0 A is required, and "
                 "15.0 A in its surroundings, where 13.6 A is")
                for known in ({"ambient": 40.0}, {"conductors": 6}, {"insulation": "THWN-2"})
            ),
        ],
    )  # fmt: skip
    def test_a_wire_whose_surroundings_the_file_tells_is_judged_in_them(
        self, known: dict[str, Any], words: str
    ) -> None:
        from wellsolar.results.pumps import WireResult
        from wellsolar.studies.electric import cable as wiring

        run = WireResult(
            "12 AWG", 30.0, 13.6, 17.0, 2.0, 0.01, 27.2, 20.0, "12 AWG", None, 20.0, 17.0, 15.0,
            13.6, **known,
        )  # fmt: skip
        verdict = wiring._carries(run, "pump", "pump[1].cable", wiring.AMPACITY_MOTOR)
        assert verdict.status == "pass"
        assert verdict.reason.text("US") == words


@pytest.mark.parametrize(
    ("lost", "status"),
    # 3 % of 230 V are 6.9 V.
    [(6.8999, "pass"), (6.9001, "caution"), (7.1, "caution"), (2.0, "pass"), (20.0, "caution")],
)
@pytest.mark.parametrize(("smallest", "change"), [("8 AWG", ["8 AWG"]), (None, [])])
def test_what_a_wire_may_lose(
    lost: float, status: str, smallest: str | None, change: list[str]
) -> None:
    from wellsolar.results.pumps import WireResult
    from wellsolar.studies.electric import cable as wiring
    from wellsolar.verdicts import changes_of

    run = WireResult(
        "12 AWG", 30.0, 13.6, 17.0, lost, lost / 230.0, 27.2, 20.0, smallest, None, 20.0, 17.0,
        25.0, 13.6,
    )  # fmt: skip
    path = "pump[1].cable"
    _, found = wiring.wire_verdicts(run, "pump", path, 0.03, wiring.AMPACITY_MOTOR)
    assert (found.status, found.subject) == (status, "pump")
    assert (found.quantity, found.limit) == (pytest.approx(lost / 230.0), 0.03)
    assert found.reason.parts == {
        "gauge": "12 AWG", "length": 30.0, "drop": lost, "current": 13.6,
        "share": pytest.approx(lost / 230.0),
    }  # fmt: skip
    if status != "pass":
        assert [(each.path, each.value) for each in changes_of(found.remedy)] == [
            (f"{path}.gauge", f'"{each}"') for each in change
        ]


@pytest.mark.parametrize(
    ("gauge", "terminals", "around", "status"),
    [
        # 17 A at terminals and 13.6 A in its surroundings are asked for.
        ("12 AWG", 17.0, 13.6, "pass"),
        ("12 AWG", 16.9, 13.6, "fail"),
        ("12 AWG", 17.0, 13.5, "fail"),
        # In mm2 a caution, where a quarter less would do.
        ("2.5 mm2", 17.0, 13.6, "pass"),
        ("2.5 mm2", 13.6, 13.6, "caution"),
        ("2.5 mm2", 13.5, 13.6, "fail"),
        ("2.5 mm2", 17.0, 10.88, "caution"),
        ("2.5 mm2", 17.0, 10.8, "fail"),
    ],
)
def test_whether_a_wire_carries_what_is_asked(
    gauge: str, terminals: float, around: float, status: str
) -> None:
    from wellsolar.results.pumps import WireResult
    from wellsolar.studies.electric import cable as wiring

    run = WireResult(
        gauge, 30.0, 13.6, 17.0, 2.0, 0.01, 27.2, 16.0, None, None, terminals, 17.0, around, 13.6
    )
    found = wiring._carries(run, "pump", "pump[1].cable", wiring.AMPACITY_MOTOR)
    assert found.status == status
    assert (found.quantity, found.limit) == (16.0, 17.0)
    assert found.reason.parts == {"gauge": gauge, "ampacity": 16.0, "needed": 17.0}
    assert ("IEC 60364-5-52" in found.reason.template) is gauge.endswith("mm2")
    assert ("without the quarter more" in found.reason.template) is (status == "caution")
    if found.remedy is not None:
        assert ("keep it cooler" in found.remedy.template) is (around < 13.6)
        assert found.remedy.changes == ()


@pytest.mark.parametrize(("ambient", "most"), [(None, 20.0), ("65 degC", 1.25 * 25 * 0.47)])
def test_what_a_cable_from_the_modules_carries(ambient: str | None, most: float) -> None:
    """Of 12 AWG 20 A at terminals for 60 degC; in its surroundings a quarter more than its 25 A at
    75 degC, whose 1.25 for three hours of sun is left out there (NEC 690.8(B), second
    hand, as the ampacities are)."""
    from wellsolar.data.wiring import wire
    from wellsolar.site.schema import Cable
    from wellsolar.studies.electric import cable as wiring

    named = Cable(gauge="12 AWG", ambient=ambient)
    assert wiring.pv_ampacity(wire("12 AWG"), named) == pytest.approx(most)


@pytest.mark.parametrize(
    ("part", "phases", "starts"),
    [(0.99, 1, True), (1.01, 1, False), (0.99, 3, True), (1.01, 3, False)],
)
def test_a_wire_is_long_enough_for_a_start_to_the_dip_by_a_divider(
    part: float, phases: int, starts: bool
) -> None:
    """|Z| / |Z + R| is 0.65 with R = Z (sqrt(1 / 0.65^2 - 1 + 0.6^2) - 0.6), Z = 230 V over 28 A
    at a power factor of 0.6; R is that of two conductors, of three phases sqrt(3) of one."""
    wire = wire_of("12 AWG")
    ohms = 230.0 / 28.0 * (math.sqrt(1.0 / 0.65**2 - 1.0 + 0.36) - 0.6)
    conductors = 2.0 if phases == 1 else math.sqrt(3.0)
    length = part * ohms / (conductors * wire.resistance_75c_stranded)
    load = cables.Load(0.001, 0.001, 0.001, 230.0, phases, starting_current=28.0)
    assert cables._does(wire, None, length, load, 0.05) is starts
