"""What pipes, tank and house bear of a pump that nothing stops, by plain hydrostatics."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from tests.studies import printed
from tests.studies.pump.deep_pump import (
    BASE,
    DENSITY,
    FOOT,
    PSI,
    PUMP,
    G,
    mended,
    studied,
    two_wells,
    verdict_of,
)
from wellsolar import kinds
from wellsolar.data import pipes
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import Case
from wellsolar.studies.pump import shut_off
from wellsolar.studies.pump.shut_off import lateral_pressure, tank_pressure
from wellsolar.units import Quantity, System
from wellsolar.verdicts import Verdict, changes_of, remedy

OF_TEXT = """[piping.drop_pipe]
material = "polyethylene SIDR"
size = "1 in"
"""
SITES = Path(__file__).parents[2] / "sites"
DROP, LINE = "drop pipe pressure", "lateral pressure"

SITE = """
[pressure_switch]
cut_in = "{cut_in} psi"
cut_out = "{cut_out} psi"
[pressure_tank]
volume = "62 gal"
precharge = "28 psi"
"""
TEXT = BASE + SITE.format(cut_in=30, cut_out=50) + PUMP
FOOT_OF_WATER = DENSITY * G * FOOT / PSI
# 300 ft at no flow, 60 ft to the water at rest, tank 10 ft up, lateral at the ground.
AT_PUMP, AT_GROUND, AT_TANK = (head * FOOT_OF_WATER for head in (300, 240, 230))


def of(rule: str, *settings: str) -> tuple[str, float | None]:
    verdict = verdict_of(TEXT, rule, settings=settings)
    found = verdict.quantity
    return verdict.status, None if found is None else found / PSI


class TestPipes:
    def test_polyethylene_without_a_class_is_asked_for_it(self) -> None:
        for rule, key in ((DROP, "piping.drop_pipe"), (LINE, "piping.lateral")):
            verdict = verdict_of(TEXT, rule)
            assert verdict.status == "unknown"
            assert verdict.needs == (f"{key}.pressure_class",)

    @pytest.mark.parametrize(
        ("rule", "key", "pressed"),
        [(DROP, "drop_pipe", AT_PUMP), (LINE, "lateral", AT_GROUND)],
    )
    def test_the_class_that_just_bears_it(self, rule: str, key: str, pressed: float) -> None:
        path = f"piping.{key}.pressure_class"
        status, found = of(rule, f"{path}={pressed + 1.2:.2f} psi")
        assert status == "pass"
        assert found == pytest.approx(pressed, rel=1e-6)
        setting = f"{path}={pressed - 1.2:.2f} psi"
        text = TEXT.replace(f"[piping.{key}]", f"[piping.{key}]\n{_line(setting)}")
        weak = verdict_of(text, rule)
        assert weak.status == "fail"
        assert mended(text, weak).status == "pass"

    def test_no_class_of_polyethylene_bears_a_deep_pump(self) -> None:
        strong = TEXT.replace('"300, 285', '"600, 285')
        verdict = verdict_of(strong, DROP)
        assert verdict.status == "fail"
        assert "no class of it bears more than 250 psi" in verdict.reason.text("US")
        assert mended(strong, verdict).status == "pass"
        assert verdict_of(strong, LINE).status == "unknown"  # 234 psi

    def test_a_relief_valve_at_the_tank_spares_the_lateral_and_not_the_drop_pipe(self) -> None:
        relief = "pressure_tank.relief_pressure=75 psi"
        classes = [f"piping.{run}.pressure_class=80 psi" for run in ("lateral", "drop_pipe")]
        status, found = of(LINE, relief, *classes)
        assert status == "pass"
        assert found == pytest.approx(75 + 10 * FOOT_OF_WATER, rel=1e-6)
        assert of(DROP, relief, *classes)[0] == "fail"

    @pytest.mark.parametrize(
        ("material", "thin", "thick"),
        [
            # 300 ft of water press 8.96 bar (130 psi) at the pump.
            ("polyethylene PE4710", "1 in SIDR 15", "1 in SIDR 11.5"),
            ("polyethylene PE3608", "1 in DR 13.5", "1 in DR 11"),
            ("polyethylene PE80", "32 mm SDR 17", "32 mm SDR 13.6"),
            ("polyethylene PE100", "DN", "32 mm PN 10"),
            ("PVC-U", "DN", "50 mm PN 10"),
            ("galvanised steel EN 10255", "DN", "DN 25"),
        ],
    )
    def test_a_wall_tells_the_class(self, material: str, thin: str, thick: str) -> None:
        named = f'[piping.drop_pipe]\nmaterial = "{material}"\nsize = '
        right = verdict_of(TEXT.replace(OF_TEXT, f'{named}"{thick}"\n'), DROP)
        assert right.status == "pass"
        if thin != "DN":
            text = TEXT.replace(OF_TEXT, f'{named}"{thin}"\n')
            weak = verdict_of(text, DROP)
            assert weak.status == "fail"
            assert thick in str(getattr(weak.remedy, "changes", ())[0])
            assert mended(text, weak).status == "pass"

    def test_pipe_of_its_own_size_is_asked_for_its_class(self) -> None:
        own = '[piping.drop_pipe]\nmaterial = "polyethylene PE100"\nsize = "riser hose"\n'
        own += 'bore = "50 mm"\noutside_diameter = "56 mm"'
        text = TEXT.replace(OF_TEXT, f"{own}\n")
        verdict = verdict_of(text, DROP)
        assert (verdict.status, verdict.needs) == ("unknown", ("piping.drop_pipe.pressure_class",))
        classed = text.replace(own, f'{own}\npressure_class = "10 bar"')
        assert verdict_of(classed, DROP).status == "pass"
        weak = text.replace(own, f'{own}\npressure_class = "6 bar"')
        verdict = verdict_of(weak, DROP)
        assert verdict.status == "fail"
        changes = [str(each) for each in getattr(verdict.remedy, "changes", ())]
        assert 'piping.drop_pipe.size="DN 50"' in changes
        assert mended(weak, verdict).status == "pass"

    def test_warm_water_weakens_plastic(self) -> None:
        # 240 ft of water against sch 40 of 3 in, 260 psi at 73 degF: 0.40 of it at 120 degF.
        settings = ["piping.lateral.material=PVC sch 40", "piping.lateral.size=3 in"]
        assert of(LINE, *settings)[0] == "pass"
        warm = [*settings, "well.water_temperature=125 degF"]
        assert of(LINE, *warm)[0] == "caution"

    def test_a_curve_that_does_not_begin_at_no_flow_hides_its_shut_off_head(self) -> None:
        settings = ["piping.drop_pipe.pressure_class=200 psi", "pump[1].flow=1, 3, 6, 9, 12 gpm"]
        verdict = verdict_of(TEXT, DROP, settings=settings)
        assert (verdict.status, verdict.needs) == ("unknown", ("pump[1].flow",))

    def test_nor_does_such_a_curve_tell_that_the_pump_never_stops(self) -> None:
        # 230 ft of water at the tank are 99.7 psi: by a whole curve it can't reach 110 psi.
        high = ["pressure_switch.cut_in=90 psi", "pressure_switch.cut_out=110 psi"]
        assert verdict_of(TEXT, "reaches cut-out", settings=high).status == "fail"
        begins_late = [*high, "pump[1].flow=1, 3, 6, 9, 12 gpm"]
        verdict = verdict_of(TEXT, "reaches cut-out", settings=begins_late)
        assert (verdict.status, verdict.needs) == ("unknown", ("pump[1].flow",))

    def test_wall_ratio_and_resin(self) -> None:
        # P = 2 HDS / (SIDR + 1), rounded as it is printed on the pipe.
        ratios = {80: (800, 19), 100: (1000, 19), 125: (1000, 15), 160: (1000, 11.5),
                  200: (1000, 9), 250: (1000, 7)}  # fmt: skip
        sold = pipes.pressure_classes("polyethylene SIDR", "1 in", in_well=True)
        assert [round(each.pressure / PSI) for each in sold] == list(ratios)
        for psi, (stress, ratio) in ratios.items():
            assert psi == pytest.approx(2 * stress / (ratio + 1), rel=0.001)

    def test_barlow_for_pvc(self) -> None:
        # P = 2 S t / (D - t) with S 2000 psi and the least wall of ASTM D1785.
        for material, walls in (
            ("PVC sch 40", {"1 in": (1.315, 0.133), "2 in": (2.375, 0.154)}),
            ("PVC sch 80", {"1 in": (1.315, 0.179), "2 in": (2.375, 0.218)}),
        ):
            for nominal, (outside, wall) in walls.items():
                barlow = 4000 * wall / (outside - wall)
                (found,) = pipes.pressure_classes(material, nominal, in_well=False)
                assert found.pressure / PSI == pytest.approx(barlow, abs=6)


def _line(setting: str) -> str:
    key, value = setting.split("=")
    return f'{key.rsplit(".")[-1]} = "{value}"'


def test_a_booster_presses_from_the_full_tank_and_the_pump_that_fills_it_from_the_well() -> None:
    """Heads at no flow of 150 ft and 640 ft, the full cistern's water 7 ft up, that of the well 60
    ft down at rest; the pressure tank 8 ft up, the bottom of the lateral 4 ft down. A relief valve
    of 60 psi at the tank frees the booster's line alone."""
    text = (SITES / "cistern.toml").read_text(encoding="utf-8")
    relieved = text.replace('volume = "44 gal"', 'volume = "44 gal"\nrelief_pressure = "60 psi"')
    for told, relief in ((text, 1e9), (relieved, 60.0)):
        case = Case(parse_site(told))
        site, (filler, booster) = case.site, zip(case.site.pump, case.pumps, strict=True)
        at_tank = tank_pressure(site, *booster) / PSI
        assert at_tank == pytest.approx((150 + 7 - 8) * FOOT_OF_WATER, rel=1e-3)
        in_line = lateral_pressure(site, *booster) / PSI
        least = min(150 + 7 + 4, relief / FOOT_OF_WATER + 8 + 4)
        assert in_line == pytest.approx(least * FOOT_OF_WATER, rel=1e-3)
        filled = lateral_pressure(site, *filler) / PSI
        assert filled == pytest.approx((640 - 60 + 4) * FOOT_OF_WATER, rel=1e-3)


@pytest.mark.parametrize(
    ("share", "status", "house", "head"),
    [(1.005, "pass", 0, 70), (0.995, "fail", 0, 70), (1.005, "pass", -9, 75)],
)
def test_the_line_down_from_a_tank_bears_the_full_tank(
    share: float, status: str, house: int, head: int
) -> None:
    """62 ft of hill, 4 ft of water, and 4 ft more to the bottom of the lateral, or 9 ft to a
    house that lies lower."""
    text = (SITES / "uphill.toml").read_text(encoding="utf-8")
    text = text.replace(
        'tank_elevation = "0 ft"', f'tank_elevation = "{house} ft"\npitless_depth = "4 ft"'
    )
    least = share * head * FOOT * DENSITY * G / PSI
    setting = f"storage_tank.gravity_line.pressure_class={least:.3f} psi"
    found = [
        each
        for each in studied(text, settings=[setting]).verdicts
        if (each.rule.key, each.subject) == (LINE, "gravity line")
    ]
    assert [each.status for each in found] == [status]
    assert found[0].quantity == pytest.approx(head * FOOT * DENSITY * G, rel=1e-3)


@pytest.mark.parametrize(
    ("bears", "begins_at", "status", "key"),
    [(60, 0.0, "pass", None), (47, 0.0, "fail", "line.pressure_class"),
     (60, 1e-5, "unknown", "flow")],
)  # fmt: skip
def test_the_line_from_a_well_of_its_own_bears_its_pump(
    bears: int, begins_at: float, status: str, key: str | None
) -> None:
    """120 ft at no flow, 14 ft to the water, 5 ft down to the line: 111 ft of water, 48.1 psi."""
    case = two_wells()
    first, table, last = case.site.pump
    line = table.line.model_copy(update={"pressure_class": psi(bears)})
    begins = (Quantity(begins_at, kinds.FLOW), *table.flow[1:])
    table = table.model_copy(update={"line": line, "flow": begins})
    site = case.site.model_copy(update={"pump": (first, table, last)})
    (found,) = [each for each in shut_off.pipe_verdicts(site, case.pumps)
                if each.subject == "line of dug well pump"]  # fmt: skip
    assert found.status == status
    if status != "unknown":
        assert found.quantity == pytest.approx(111 * FOOT * DENSITY * G, rel=1e-3)
        keys = [each.path for each in changes_of(found.remedy)]
    else:
        keys = list(found.needs)
    assert keys[:1] == ([] if key is None else [f"pump[2].{key}"])


@pytest.mark.parametrize(
    ("links", "switch", "most"),
    [
        # Between cut-in and cut-out, or held at one; a switch counts where no pump tells.
        ([(30, 50), (65,)], 60, 65), ([(65,), (40, 70)], 90, 70), ([], 50, 50), ([], None, None),
    ],
)  # fmt: skip
def test_the_greatest_pressure_while_everything_works(
    monkeypatch: pytest.MonkeyPatch, links: list[tuple[float, ...]], switch: float | None,
    most: float | None,
) -> None:  # fmt: skip
    told = [SimpleNamespace(to_house=True, pressures=each) for each in links]
    tank = SimpleNamespace(to_house=False, pressures=(0.0, 99.0))
    monkeypatch.setattr(shut_off.chain, "links", lambda _: [*told, tank])
    table = None if switch is None else SimpleNamespace(cut_out=switch)
    site: Any = SimpleNamespace(pressure_switch=table)
    assert shut_off.working_pressure(site) == most


def test_a_metric_site_is_told_what_is_sold_and_set_there() -> None:
    from wellsolar import kinds
    from wellsolar.studies.pump.pressure_tank import tanks_of
    from wellsolar.studies.pump.shut_off import to_set
    from wellsolar.studies.sold.standard_sizes import next_up
    from wellsolar.units import in_file

    told: tuple[tuple[System, str, str], ...]
    told = ("US", "44 gal", "29 psi"), ("SI", "150 L", "2 bar")
    for system, tank, precharge in told:
        one, count = tanks_of(0.15, system)  # 39.6 gal
        assert (in_file(one), count) == (tank, 1)
        assert in_file(to_set(2.0e5, system)) == precharge
    assert tanks_of(1.1, "SI")[1] == 3
    ratio = next_up("lever", 4.5, kinds.RATIO, "SI")  # sold alike
    assert ratio == 5.0


class TestDepth:
    def test_depth_by_material_and_class(self) -> None:
        deep = ["well.depth=700 ft", "pump[1].intake_depth=250 ft"]
        of_class = "piping.drop_pipe.pressure_class={} psi"
        assert of("deep setting", *deep)[0] == "unknown"
        assert of("deep setting", *deep, of_class.format(200))[0] == "pass"
        assert of("deep setting", *deep, of_class.format(160))[0] == "caution"
        text = TEXT.replace('"150 ft"', '"310 ft"').replace('depth = "200 ft"', 'depth = "400 ft"')
        verdict = verdict_of(text, "deep setting")
        assert printed.compared(verdict) == ("caution", "310 ft, length", "300 ft, length")
        changes = [str(each) for each in getattr(verdict.remedy, "changes", ())]
        assert changes == ['piping.drop_pipe.material="galvanised steel"']
        rules = {each.rule.key for each in _all(text, changes)}
        assert DROP in rules
        assert "deep setting" not in rules  # none is known for steel


def _all(text: str, settings: list[str]) -> tuple[object, ...]:
    from tests.studies.pump.deep_pump import studied

    return studied(text, settings=settings).verdicts


class TestTank:
    def test_nothing_told_of_plate_and_valve(self) -> None:
        verdict = verdict_of(TEXT, "tank relief")
        assert verdict.status == "unknown"
        assert verdict.needs == (
            "pressure_tank.greatest_pressure",
            "pressure_tank.relief_pressure",
        )

    def test_the_plate_that_just_bears_the_pump(self) -> None:
        plate = "pressure_tank.greatest_pressure={:.2f} psi"
        status, found = of("tank relief", plate.format(AT_TANK + 0.2))
        assert status == "pass"
        assert found == pytest.approx(AT_TANK, rel=1e-6)
        text = TEXT.replace("[pressure_tank]", '[pressure_tank]\ngreatest_pressure = "99 psi"')
        weak = verdict_of(text, "tank relief")
        assert weak.status == "fail"
        assert mended(text, weak).status == "pass"

    @pytest.mark.parametrize(
        ("opens", "plate", "status"),
        [(75, 75, "pass"), (75, 74, "fail"), (50, 100, "fail"), (51, 100, "pass")],
    )
    def test_the_valve_opens_between_usual_work_and_the_plate(
        self, opens: int, plate: int, status: str
    ) -> None:
        settings = (
            f"pressure_tank.relief_pressure={opens} psi",
            f"pressure_tank.greatest_pressure={plate} psi",
        )
        assert of("tank relief", *settings)[0] == status

    def test_a_plate_below_the_cut_out(self) -> None:
        text = TEXT.replace("[pressure_tank]", '[pressure_tank]\ngreatest_pressure = "45 psi"')
        verdict = verdict_of(text, "tank relief")
        assert verdict.status == "fail"
        assert "pressure_switch.cut_out" in str(getattr(verdict.remedy, "changes", ()))


class TestHouse:
    @pytest.mark.parametrize(("cut_out", "status"), [(80, "pass"), (81, "fail"), (110, "fail")])
    def test_eighty_psi(self, cut_out: int, status: str) -> None:
        text = BASE + SITE.format(cut_in=cut_out - 20, cut_out=cut_out) + PUMP
        verdict = verdict_of(text, "house pressure")
        assert verdict.status == status
        if status == "fail":
            assert mended(text, verdict).status == "pass"


def psi(number: float | None) -> Any:
    return None if number is None else Quantity(number * PSI, kinds.PRESSURE)


def shown(number: float) -> str:
    return f"{number:.0f} psi, gauge pressure"


def changes(found: Verdict) -> list[str]:
    return [str(each) for each in changes_of(found.remedy)]


def house(
    monkeypatch: pytest.MonkeyPatch, working: float, stuck: dict[str, float],
    tank: dict[str, Any] | None = None, begins: bool = True, held: float | None = None,
) -> tuple[Any, Any]:  # fmt: skip
    """A house whose pumps press so much [psi] if nothing stops them, and the last into no house;
    its switch stops them at work. The pumps' results beside it."""
    names = list(stuck)
    site = SimpleNamespace(
        pump=[SimpleNamespace(name=name, flow=[0.0 if begins else 1e-4], held_pressure=psi(held))
              for name in names],
        pressure_switch=SimpleNamespace(cut_out=psi(working)),
        pressure_tank=SimpleNamespace(**(
            {"greatest_pressure": None, "relief_pressure": None} | (tank or {})
        )),
        site=SimpleNamespace(print_units="US"), piping=SimpleNamespace(reducing_valve=None),
    )  # fmt: skip
    both = [
        SimpleNamespace(
            number=number, to_house=number < len(names), pressures=(0.0, working * PSI)
        )
        for number in range(1, len(names) + 1)
    ]
    monkeypatch.setattr(shut_off.chain, "links", lambda _: both)
    monkeypatch.setattr(shut_off, "tank_pressure", lambda _, table, __: stuck[table.name] * PSI)
    return site, tuple(SimpleNamespace(name=name) for name in names)


LOWER = ['pressure_switch.cut_in="30 psi"', 'pressure_switch.cut_out="50 psi"',
         'pressure_tank.precharge="28 psi"']  # fmt: skip
VALVE = ['pressure_tank.relief_pressure="75 psi"']
PLATE_KEY, VALVE_KEY = "pressure_tank.greatest_pressure", "pressure_tank.relief_pressure"


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize(
    ("plate", "relief", "strongest", "begins", "status", "compared", "told"),
    [
        # 60 psi at work. Cut-outs of 50 and 60 psi are sold, and valves of 75 and 100 psi: common
        # practice, no source, as is the least plate of 75 psi.
        (59, None, 110, True, "fail", (60, 59), LOWER),
        (60, None, 110, True, "fail", (110, 60), []),
        (109, None, 110, True, "fail", (110, 109), VALVE),
        (110, None, 110, True, "pass", (110, 110), []),
        # A curve that does not begin at no flow hides how hard the pump presses.
        (110, None, 110, False, "unknown", None, [VALVE_KEY]),
        # Of no plate: the least of any tank is made for 75 psi.
        (None, None, 110, True, "unknown", None, [PLATE_KEY, VALVE_KEY]),
        (None, None, 76, True, "unknown", None, [PLATE_KEY, VALVE_KEY]),
        (None, None, 75, True, "pass", (75, 75), []),
        (100, 60, 110, True, "fail", (60, 60), VALVE),
        (70, 59, 110, True, "fail", (59, 60), []),
        (100, 61, 110, True, "pass", (61, 100), []),
        (100, 100, 110, True, "pass", (100, 100), []),
        (100, 101, 110, True, "fail", (101, 100), VALVE),
        (None, 75, 110, True, "pass", (75, 75), []),
        (None, 76, 110, True, "unknown", None, [PLATE_KEY]),
    ],
)
def test_what_the_tank_bears_by_hand(
    monkeypatch: pytest.MonkeyPatch, turned: bool, plate: float | None, relief: float | None,
    strongest: float, begins: bool, status: str, compared: tuple[float, float] | None,
    told: list[str],
) -> None:  # fmt: skip
    """Two pumps press into the house, of which the stronger counts; a third presses elsewhere."""
    stuck = {"weak": 64.0, "strong": strongest}
    stuck = dict(reversed(stuck.items())) if turned else stuck
    tank = {"greatest_pressure": psi(plate), "relief_pressure": psi(relief)}
    site, pumps = house(monkeypatch, 60.0, stuck | {"apart": 999.0}, tank, begins)
    found, _ = shut_off.tank_verdicts(site, pumps)
    assert (found.status, found.subject) == (status, "pressure tank")
    if compared is None:
        assert list(found.needs) == told
        return
    assert printed.compared(found)[1:] == (shown(compared[0]), shown(compared[1]))
    assert changes(found) == told
    parts = printed.told(found.reason)
    assert (parts["pump"], parts["stuck"]) == ("strong", shown(strongest))
    assert parts["working"] == shown(60)
    assert parts["plate"] == shown(75 if plate is None else plate)
    if status == "pass":
        whose = "the least of any tank" if plate is None else "the tank's plate"
        assert found.reason.template.endswith(f"within the {{plate}} of {whose}")


@pytest.mark.parametrize(("held", "words"), [(None, "the switch sticks"), (60, "its drive does")])
def test_why_a_pump_presses_on(
    monkeypatch: pytest.MonkeyPatch, held: float | None, words: str
) -> None:
    tank = {"greatest_pressure": psi(100)}
    site, pumps = house(monkeypatch, 60, {"one": 110.0, "apart": 0.0}, tank, held=held)
    assert f"into the tank if {words}" in shut_off._relief(site, pumps, 60 * PSI).reason.template


@pytest.mark.parametrize(
    ("working", "reduced", "status", "static"),
    [
        (80, None, "pass", 80), (81, None, "fail", 81), (100, 60, "pass", 60),
        (100, 81, "fail", 81), (85, 90, "fail", 85), (70, 90, "pass", 70),
    ],
)  # fmt: skip
def test_the_house_gets_what_the_reducing_valve_lets_through(
    working: float, reduced: float | None, status: str, static: float
) -> None:
    """80 psi: International Residential Code 2021, P2903.3.1."""
    site: Any = SimpleNamespace(
        piping=SimpleNamespace(reducing_valve=psi(reduced)),
        site=SimpleNamespace(print_units="US"),
    )  # fmt: skip
    found = shut_off._house(site, psi(working))
    assert printed.compared(found) == (status, shown(static), shown(80))
    behind = reduced is not None and reduced < working
    where = "behind the reducing valve" if behind else "at the tank"
    assert found.reason.template == "the taps get up to {static}, " + where
    if status == "fail":
        assert changes(found) == ['piping.reducing_valve="60 psi"']
        assert printed.told(found.remedy) == {"usual": shown(60)}


@pytest.mark.parametrize(
    ("most", "cut_out", "held", "told", "words"),
    [
        # 20 psi between cut-in and cut-out, the precharge 2 psi below: common practice, no source.
        (65, 70, None, [("cut_in", 40), ("cut_out", 60), ("precharge", 38)], "set the switch to"),
        (65, 60, 61, [("held_pressure", 60)], "let {pump_1} hold {cut_out}"),
        (65, 60, 60, [], ""),
        (59, 60, None, [("cut_in", 30), ("cut_out", 50), ("precharge", 28)], "set the switch to"),
        (39, 60, 60, [], ""),
    ],
)
def test_how_far_switch_and_drive_are_lowered(
    monkeypatch: pytest.MonkeyPatch, most: float, cut_out: float, held: float | None,
    told: list[tuple[str, int]], words: str,
) -> None:  # fmt: skip
    site, _ = house(monkeypatch, cut_out, {"driven": 99.0}, held=held)
    found, ways, parts = shut_off._lower(site, most * PSI)
    assert [(each.path.rpartition(".")[2], each.value) for each in found] == [
        (key, f'"{number} psi"') for key, number in told
    ]
    assert ways.startswith(words)
    assert bool(ways) is bool(words)
    assert parts.get("pump_1") == ("driven" if "pump_1" in words else None)


@pytest.mark.parametrize(
    ("units", "working", "most", "plate", "sold"),
    [
        # 75, 100 and 125 psi, or 5 and 6 bar, are sold (common practice, no source); it opens
        # above what is usual work.
        ("US", 60, 75, None, "75 psi"), ("US", 60, 74, None, None), ("US", 60, 200, 74, None),
        ("US", 60, 200, 75, "75 psi"), ("US", 75, 200, None, "100 psi"),
        ("US", 74, 200, None, "75 psi"), ("US", 76, 120, None, "100 psi"),
        ("SI", 4.5, 9, None, "5 bar"), ("SI", 5, 9, None, "6 bar"),
    ],
)  # fmt: skip
def test_the_relief_valve_that_is_sold(
    monkeypatch: pytest.MonkeyPatch, units: str, working: float, most: float,
    plate: float | None, sold: str | None,
) -> None:  # fmt: skip
    unit = 1.0 if units == "US" else 1e5 / PSI
    tank = {"greatest_pressure": psi(plate)}
    site, _ = house(monkeypatch, working * unit, {"one": 99.0, "apart": 0.0}, tank)
    site.site.print_units = units
    found = shut_off.relief_sold(site, most * unit * PSI)
    expected = None if sold is None else float(sold.split()[0]) * unit * PSI
    assert found == (None if expected is None else pytest.approx(expected, rel=1e-6))


@pytest.mark.parametrize(
    ("pascal", "units", "words"),
    [
        # In whole psi of 6894.757 Pa, and in twentieths of a bar.
        (2.5e5, "US", "36 psi"), (2.52e5, "SI", "2.5 bar"), (2.53e5, "SI", "2.55 bar"),
        (36.6 * 6894.757, "US", "37 psi"),
    ],
)  # fmt: skip
def test_what_is_set_is_rounded_to_what_a_gauge_shows(
    pascal: float, units: System, words: str
) -> None:
    found = shut_off.to_set(pascal, units)
    assert found.written == words
    step = 6894.757 if units == "US" else 5000.0
    assert shut_off.set_in_steps_of(units) == pytest.approx(step, rel=1e-6)
    assert found / step == pytest.approx(round(found / step), abs=1e-4)
    assert abs(found - pascal) <= step / 2


SIDR, PE80, STEEL_PIPE = "polyethylene SIDR", "polyethylene PE80", "galvanised steel"


def run(
    printed_class: float | None, in_well: bool = True, material: str = SIDR, size: str = "1 in"
) -> shut_off.Run:
    pipe: Any = SimpleNamespace(material=material, size=size, pressure_class=psi(printed_class),
                                bore=None, outside_diameter=None, roughness=None)  # fmt: skip
    return shut_off.Run("piping.drop_pipe", pipe, in_well, 10.0)


@pytest.mark.parametrize("in_well", [True, False])
@pytest.mark.parametrize(
    ("printed_class", "share", "pressed", "curve", "status", "limit", "words"),
    [
        # Classes of 80 to 250 psi are sold, by the same formula as above.
        (None, 1.0, 80, "", "pass", 80, "it bears {least}"),
        (None, 1.0, 80, "pump[1].flow", "unknown", "pump[1].flow", ""),
        (None, 1.0, 81, "", "unknown", "piping.drop_pipe.pressure_class", ""),
        (None, 1.0, 250, "pump[1].flow", "unknown", "piping.drop_pipe.pressure_class", ""),
        (None, 1.0, 252, "", "fail", 250, "no class of it bears more than {most}"),
        (160, 1.0, 160, "", "pass", 160, "it bears {least}"),
        (160, 1.0, 162, "", "fail", 160, "which bears {most}"),
        # Warm water takes half of it; what cold water would leave is no more than a caution.
        (160, 0.5, 80, "", "pass", 80, "it bears {least}"),
        (160, 0.5, 81, "", "caution", 80, "which bears {most} in water of {warm}"),
        (160, 0.5, 160, "", "caution", 80, "which bears {most} in water of {warm}"),
        (160, 0.5, 162, "", "fail", 80, "which bears {most}"),
    ],
)
def test_whether_a_pipe_bears_a_pressure(
    monkeypatch: pytest.MonkeyPatch, in_well: bool, printed_class: float | None, share: float,
    pressed: float, curve: str, status: str, limit: Any, words: str,
) -> None:  # fmt: skip
    other = remedy("another", "by hand")
    monkeypatch.setattr(shut_off, "_stronger", lambda *_: other)
    monkeypatch.setattr(shut_off.pipes, "share_when_warm", lambda material, warmth: share)
    warm = Quantity(10.0, kinds.TEMPERATURE)
    site: Any = SimpleNamespace(well=SimpleNamespace(water_temperature=warm))
    found = shut_off._bears(
        site, run(printed_class, in_well), pressed * PSI, "drop", "the pump", curve
    )
    assert (found.status, found.subject) == (status, "drop")
    assert found.rule is (shut_off.PIPE if in_well else shut_off.LATERAL_PIPE)
    if status == "unknown":
        assert found.needs == (limit,)
        return
    assert printed.compared(found)[1:] == (shown(pressed), shown(limit))
    assert found.reason.template.endswith("if nothing stops it; " + words)
    parts = printed.told(found.reason)
    assert (parts["pump"], parts["pressed"]) == ("the pump", shown(pressed))
    assert parts["pipe"] == "1 in polyethylene SIDR"
    assert found.remedy is (None if status == "pass" else other)


@pytest.mark.parametrize(
    ("material", "size", "printed_class", "pressed", "told", "changes_told"),
    [
        # The next class that bears it, by name: P = 2 HDS / (SIDR + 1) with 1000 or 800 psi.
        (SIDR, "1 in", 160, 170,
         {"up": shown(200), "name": "SIDR 9 of PE4710 or SIDR 7 of PE3408"},
         {"pressure_class": "200 psi"}),
        # Steel of the bore; its class only where the file has one. Common practice, no source.
        (SIDR, "1 in", 160, 255, {}, {"material": STEEL_PIPE, "pressure_class": "1000 psi"}),
        (SIDR, "1 in", None, 255, {}, {"material": STEEL_PIPE}),
        (SIDR, "1 in", 160, 1010, {}, {}),
        # The next wall, PN 10 by its standard, in bar as it is printed on metric pipe.
        (PE80, "32 mm SDR 17", 100, 120, {"wall": f"32 mm SDR 13.6 {PE80}"},
         {"size": "32 mm SDR 13.6", "pressure_class": "10 bar"}),
    ],
)  # fmt: skip
def test_the_next_stronger_pipe(
    material: str, size: str, printed_class: float | None, pressed: float, told: dict[str, str],
    changes_told: dict[str, str],
) -> None:  # fmt: skip
    site: Any = None
    pipe = run(printed_class, material=material, size=size)
    found = shut_off._stronger(site, pipe, psi(pressed))
    assert printed.told(found) == {"pressed": shown(pressed), **told}
    assert [str(each) for each in changes_of(found)] == [
        f'piping.drop_pipe.{key}="{value}"' for key, value in changes_told.items()
    ]


@pytest.mark.parametrize(
    ("printed_class", "extra", "least"),
    [
        # 75 psi at a tank 10 ft up are 81.1 psi in the lateral, 4 ft down.
        (None, "", 100), (82, "", None), (81, "", 0), (82, 'relief_pressure = "90 psi"', 0),
        (82, 'greatest_pressure = "74 psi"', 0),
    ],
)  # fmt: skip
def test_a_relief_valve_that_spares_the_lateral(
    printed_class: float | None, extra: str, least: int | None
) -> None:
    text = TEXT.replace('pitless_depth = "0 ft"', 'pitless_depth = "4 ft"')
    site = parse_site(text.replace("[pressure_tank]", f"[pressure_tank]\n{extra}")).site
    parts: dict[str, Any] = {}
    found = shut_off._with_relief(site, run(printed_class, in_well=False), parts)
    if least == 0:
        assert (found, parts) == ([], {})
        return
    ((words, made),) = found
    classed = [] if least is None else [f'piping.drop_pipe.pressure_class="{least} psi"']
    assert [str(each) for each in made] == [*VALVE, *classed]
    assert words.endswith("opens at {relief}" + (
        "" if least is None else " on pipe of the class of {least} or more"
    ))  # fmt: skip
    assert parts["relief"] == pytest.approx(75 * PSI)
    assert parts.get("least") == (None if least is None else pytest.approx(least * PSI))


@pytest.mark.parametrize(
    ("printed_class", "hung", "status", "limit"),
    [
        # The trade hangs none of 1 in below 225 ft, of 200 and 250 psi none below 300 ft: common
        # practice, no source.
        (None, 225, "pass", 225), (None, 226, "unknown", None), (None, 300, "unknown", None),
        (None, 301, "caution", 300), (200, 300, "pass", 300), (200, 301, "caution", 300),
        (199, 225, "pass", 225), (199, 226, "caution", 225), (50, 226, "caution", 225),
        (160, 226, "caution", 225),
    ],
)  # fmt: skip
@pytest.mark.parametrize("steel", [True, False])
def test_how_deep_the_trade_hangs_a_pump(
    monkeypatch: pytest.MonkeyPatch, steel: bool, printed_class: float | None, hung: float,
    status: str, limit: float | None,
) -> None:  # fmt: skip
    monkeypatch.setattr(shut_off, "_in_steel", lambda _: [[]] if steel else [])
    depth = Quantity(hung * FOOT, kinds.LENGTH)
    (found,) = shut_off._deep(run(printed_class), depth, "pump")
    assert (found.status, found.subject) == (status, "pump")
    if limit is None:
        assert found.needs == ("piping.drop_pipe.pressure_class",)
        return
    assert printed.compared(found)[1:] == (f"{hung} ft, length", f"{limit} ft, length")
    told = printed.told(found.reason)
    assert (told["hung"], told["kind"]) == (f"{hung} ft, length", "1 in polyethylene SIDR")
    if status == "caution":
        assert found.remedy is not None
        assert found.remedy.template.startswith("galvanised" if steel else "a drop pipe that")


def test_of_no_known_depth_nothing_is_said() -> None:
    pipe: Any = SimpleNamespace(material=STEEL_PIPE, size="1 in", pressure_class=None)
    steel = shut_off.Run("piping.drop_pipe", pipe, True, 10.0)
    assert shut_off._deep(steel, Quantity(999.0, kinds.LENGTH), "pump") == []


@pytest.mark.parametrize(
    ("pressures", "through", "worst"),
    [((3e5, 5e5, 4e5), "abc", 2), ((3e5, 5e5, 4e5), "ac", 3), ((9e5, 5e5, 4e5), "bc", 2),
     ((3e5, 5e5, 4e5), "", None)],
)  # fmt: skip
def test_the_lateral_bears_the_pump_that_presses_most_of_those_through_it(
    monkeypatch: pytest.MonkeyPatch, pressures: tuple[float, ...], through: str, worst: int | None
) -> None:
    by_name = dict(zip("abc", pressures, strict=True))
    monkeypatch.setattr(shut_off.chain, "hangs_in_well", lambda _: False)
    monkeypatch.setattr(shut_off.chain, "presses_lateral", lambda table: table.name in through)
    monkeypatch.setattr(shut_off.chain, "link_of", lambda *_: None)
    monkeypatch.setattr(shut_off.chain, "lateral_name", lambda _: "lateral")
    monkeypatch.setattr(shut_off, "lateral_pressure", lambda _, table, __: by_name[table.name])
    monkeypatch.setattr(shut_off, "_not_relieved", lambda _: False)
    monkeypatch.setattr(shut_off, "_gravity_line", lambda _: [])
    monkeypatch.setattr(shut_off, "_warmth", lambda _: 20.0)
    monkeypatch.setattr(shut_off, "_bears", lambda *told: told)
    pumps: Any = [SimpleNamespace(name=name, line=None, flow=(1e-3,)) for name in "abc"]
    lateral = SimpleNamespace(length=10.0)
    site: Any = SimpleNamespace(pump=pumps, piping=SimpleNamespace(lateral=lateral))
    results: Any = (None, None, None)
    found: Any = shut_off.pipe_verdicts(site, results)
    if worst is None:
        assert not found
        return
    ((_, run, pressure, *told),) = found
    name = "abc"[worst - 1]
    assert (run.key, run.pipe, pressure) == ("piping.lateral", lateral, by_name[name])
    # Its curve does not begin at no flow, so that key could tell more.
    assert told == ["lateral", name, f"pump[{worst}].flow"]
