"""What pipes, tank and house bear of a pump that nothing stops, by plain hydrostatics."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.studies.pump.deep_pump import (
    BASE,
    DENSITY,
    FOOT,
    PSI,
    PUMP,
    G,
    mended,
    studied,
    verdict_of,
)
from wellsolar.data import pipes
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import Case
from wellsolar.studies.pump.shut_off import lateral_pressure, tank_pressure
from wellsolar.units import System

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


@pytest.mark.parametrize(("share", "status"), [(1.005, "pass"), (0.995, "fail")])
def test_the_line_down_from_a_tank_bears_the_full_tank(share: float, status: str) -> None:
    # 62 ft of hill, 4 ft of water, and 4 ft more to the bottom of the lateral.
    text = (SITES / "uphill.toml").read_text(encoding="utf-8")
    text = text.replace(
        'tank_elevation = "0 ft"', 'tank_elevation = "0 ft"\npitless_depth = "4 ft"'
    )
    least = share * 70 * FOOT * DENSITY * G / PSI
    setting = f"storage_tank.gravity_line.pressure_class={least:.3f} psi"
    found = [
        each
        for each in studied(text, settings=[setting]).verdicts
        if (each.rule.key, each.subject) == (LINE, "gravity line")
    ]
    assert [each.status for each in found] == [status]
    assert found[0].quantity == pytest.approx(70 * FOOT * DENSITY * G, rel=1e-3)


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
        assert verdict.status == "caution"
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
