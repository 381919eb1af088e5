"""The storage tank as a link, on whole sites; its limits stand with those of all rules."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest
from CoolProp.CoolProp import PropsSI
from fluids.friction import friction_factor
from scipy.optimize import brentq

from tests.studies.printed import compared, told
from wellsolar import kinds
from wellsolar.reports.tables.pump import pump_section
from wellsolar.site.loading.read import load_site, parse_site
from wellsolar.studies.case import Case
from wellsolar.studies.house.chain import Storage, fillers
from wellsolar.studies.parts.study import study_parts
from wellsolar.studies.pump import storage_tank
from wellsolar.studies.pump import study as pump_study
from wellsolar.studies.pump.storage_tank import _filling_run
from wellsolar.studies.pump.study import pump_on_well
from wellsolar.studies.well import frost, peak, sanitary
from wellsolar.studies.well.total_head import gravity_flow
from wellsolar.units import Quantity, read
from wellsolar.verdicts import Verdict, changes_of

FOOT, GALLON = 0.3048, 3.785411784e-3

SITES = Path(__file__).parents[2] / "sites"
EXAMPLE = Path(__file__).parents[3] / "examples" / "poor_well.toml"


def verdicts(name: str, *changes: str) -> dict[tuple[str, str], Verdict]:
    path = EXAMPLE if name == "poor_well" else SITES / f"{name}.toml"
    case = Case(parse_site(path.read_text("utf-8"), name, list(changes)))
    said = (*case.said("pumps").verdicts, *case.said("well").verdicts)
    said += (*case.said("frost").verdicts, *case.said("pressure_tank").verdicts)
    return {(each.rule.key, each.subject): each for each in said}


def test_a_storage_tank_in_a_cold_room_freezes() -> None:
    def status(*changes: str) -> str:
        return verdicts("poor_well", *changes)["freezing", "storage tank"].status

    assert status('storage_tank.coldest_room="40 degF"') == "pass"
    assert status('storage_tank.coldest_room="30 degF"') == "fail"
    buried = verdicts("poor_well", 'storage_tank.stands="buried"')
    assert ("freezing", "storage tank") not in buried


def test_something_stops_a_booster_before_it_draws_air() -> None:
    def status(*changes: str) -> str:
        return verdicts("cistern", *changes)["booster runs dry", "booster from cistern"].status

    assert status("pump[2].dry_run_protection=false") == "pass"  # its float does
    none = 'storage_tank.stops_below="0 %"'
    assert status(none, "pump[2].dry_run_protection=true") == "pass"
    assert status(none) == "caution"


def test_the_pressure_that_a_hill_tank_leaves() -> None:
    # 62 ft of water are 26.9 psi; 1 1/4 in sch 40 loses about 2 ft in 300 ft at 5 gpm.
    found = verdicts("uphill")["pressure by gravity", "house"]
    assert found.status == "pass"
    assert found.quantity == pytest.approx((62.0 - 2.0) / 2.307 * 6894.76, rel=0.03)
    lower = verdicts("uphill", 'storage_tank.elevation="40 ft"')["pressure by gravity", "house"]
    assert lower.status == "caution"  # 17 psi: fixtures with tanks and mixing valves want 20
    low = verdicts("uphill", 'storage_tank.elevation="15 ft"')["pressure by gravity", "house"]
    assert low.status == "fail"


def test_the_line_down_gives_no_more_than_its_fall_drives() -> None:
    file = load_site(SITES / "uphill.toml")
    found = gravity_flow(file.site, 62 * FOOT)
    bore = 1.36 * 0.0254  # 1 1/4 in schedule 40, at its usual wall
    kelvin = 273.15 + float(file.site.well.water_temperature)
    viscosity = PropsSI("V", "T", kelvin, "P", 101_325, "Water")
    viscosity /= PropsSI("D", "T", kelvin, "P", 101_325, "Water")

    def left(flow: float) -> float:
        speed = flow / (math.pi / 4 * bore**2)
        factor = friction_factor(Re=speed * bore / viscosity, eD=1.5e-6 / bore)
        return float(62 * FOOT - factor * 300 * FOOT / bore * speed**2 / (2 * 9.80665))

    assert found == pytest.approx(brentq(left, 1e-6, 1e-2), rel=5e-3)


def test_a_cistern_between_makes_the_peak_the_boosters_matter() -> None:
    judged = {
        name: {subject for rule, subject in verdicts(name) if rule == "peak flow"}
        for name in ("cistern", "poor_well")
    }
    assert judged == {"cistern": {"storage tank"}, "poor_well": {"storage tank"}}
    alone = verdicts("no_booster")
    assert alone["peak flow", "well pump"].status in ("pass", "caution")


def test_each_pump_is_judged_by_where_it_draws() -> None:
    """The cistern of half a gallon a minute: what a booster on a well got, it no longer gets."""
    found = verdicts("cistern")
    booster = {rule for rule, subject in found if subject == "booster from cistern"}
    assert not booster & {
        "submergence", "above the bottom", "yield", "runs dry", "day's water from the well",
        "suction line", "pipe velocity",
    }  # fmt: skip
    failed = {key for key, each in found.items() if each.status == "fail"}
    # A pump of 230 V on an inverter of 120 V, and 640 ft of head in plastic pipe.
    assert failed == {
        ("supply voltage", "well pump"),
        ("inverter surge", "well pump"),
        ("drop pipe pressure", "well pump"),
        ("lateral pressure", "line to the storage tank"),
    }
    run_time = {subject for rule, subject in found if rule in ("run time", "starts a day")}
    assert run_time == {"booster from cistern"}


def test_the_example_passes_but_for_its_well() -> None:
    """A poor well with cistern and booster: what is left is that its pump outruns the well."""
    found = verdicts("poor_well")
    left = {key for key, each in found.items() if each.status != "pass"}
    assert left == {
        ("yield", "well pump"),
        ("submergence", "well pump"),
        ("runs dry", "well pump"),
    }
    assert all(found[key].status == "caution" for key in left)


@pytest.mark.parametrize("runs", ["kept apart", "alternating"])
def test_pumps_that_take_turns_ask_no_more_together(runs: str) -> None:
    found = verdicts("poor_well", f'power.pumps_run="{runs}"')
    assert found["pumps at once on the well", "well pump and booster"].status == "pass"
    assert ("pumps that start at once", "well pump and booster") not in found


def test_a_new_start_after_a_time_or_assumed() -> None:
    """A pump that the well stops: half way back is an assumption, which a short day names."""
    key = ("day's water from the well", "well pump")
    told = verdicts("poor_well", 'demand.daily_use="900 gal/day"')[key]
    assert told.status == "pass"  # it starts again after an hour
    late = verdicts("poor_well", 'demand.daily_use="900 gal/day"', 'pump[1].restart_after="20 h"')
    assert late[key].status == "fail"
    text = EXAMPLE.read_text("utf-8").replace('restart_after = "60 min"\n', "")
    case = Case(parse_site(text, "x", ['demand.daily_use="900 gal/day"']))
    found = {(each.rule.key, each.subject): each for each in case.said("well").verdicts}[key]
    assert (found.status, found.needs) == ("unknown", ("pump[1].restart_after",))


def test_a_booster_that_does_not_say_so_is_told_how() -> None:
    key = ("suction lift", "booster from cistern")
    before = verdicts("halfgpm")[key]
    assert before.status == "fail"
    changes = [str(change) for change in changes_of(before.remedy)]
    assert changes == ['pump[2].draws="storage tank"']
    assert verdicts("halfgpm", *changes)[key].status == "pass"


@pytest.mark.parametrize(("lateral", "run"), [("4 ft", 20 * FOOT), ("90 ft", 90 * FOOT)])
def test_a_boosters_cable_is_as_long_as_its_line_and_no_shorter_than_20_feet(
    lateral: str, run: float
) -> None:
    """Nothing of it hangs in the well; 20 ft are common practice, no source."""
    site = load_site(EXAMPLE).site
    at = next(place for place, each in enumerate(site.pump) if each.draws == "storage tank")
    table = site.pump[at].model_copy(update={"cable": None, "voltage": 230.0})
    length = read(lateral, kinds.LENGTH)
    piping = site.piping.model_copy(
        update={"lateral": site.piping.lateral.model_copy(update={"length": length})}
    )
    pumps = tuple(table if place == at else each for place, each in enumerate(site.pump))
    site = site.model_copy(update={"piping": piping, "pump": pumps})
    on_well = replace(pump_on_well(site, table, f"pump[{at + 1}]"), intake_depth=-2.0)
    found = pump_study._wire(site, on_well, 750.0, None)
    assert found is not None
    assert found.length == pytest.approx(run)


def test_a_booster_is_printed_without_levels_of_the_well() -> None:
    section = pump_section(Case(load_site(EXAMPLE)).pumps[1], 2)
    assert not {row.key for row in section.rows} & {"intake_depth", "static_level"}
    assert "pumping_level" not in {column.key for column in section.grids[0].columns}


def test_the_parts_of_a_chain_are_its_own() -> None:
    """A booster hangs on no drop pipe; where nothing presses, no relief valve is asked for."""
    file = load_site(EXAMPLE)
    listed = study_parts(file.site, Case(file).results(["pump", "tank"])).parts
    booster = {part.item for part in listed if part.of == "booster"}
    assert {"suction pipe", "pump line", "level switch"} <= booster
    assert not booster & {"drop pipe", "foot valve", "trench conduit"}
    text = (SITES / "uphill.toml").read_text("utf-8")
    text += '[pressure_switch]\ncut_in = "30 psi"\ncut_out = "50 psi"\n'
    uphill = parse_site(text + '[pressure_tank]\nvolume = "44 gal"\n')
    parts = study_parts(uphill.site, Case(uphill).results(["pump", "tank"])).parts
    assert "tank relief valve" not in {part.item for part in parts}


@pytest.mark.parametrize(
    ("flow", "stops", "status", "to", "by_hand"),
    [
        # A motor of 1 hp wants two minutes: 300 gal between 90 and 60 % of 1000 gal at 150 gpm.
        (150.0, 0.05, "pass", "", ""),
        # 302 gal down from 90 % are 59.8 %; 1690 gal come down to 5.1 %, of whole percents 5 %.
        (151.0, 0.05, "caution", "59 %", ""),
        (151.0, 0.58, "caution", "59 %", ""),
        (151.0, 0.59, "caution", "", "the tank is too small for it"),
        (420.0, 0.05, "caution", "6 %", ""),
        (422.5, 0.05, "caution", "", "the tank is too small for it"),
    ],
)
def test_how_low_the_float_of_a_filling_pump_hangs(
    flow: float, stops: float, status: str, to: str, by_hand: str
) -> None:
    site = parse_site(EXAMPLE.read_text("utf-8"), "x", ['pump[1].rated_power="1 hp"']).site
    storage = Storage(1000 * GALLON, 0.0, 1.0, 1.0, 0.6, 0.9, stops)
    (link,) = fillers(site)
    (found,) = _filling_run(site, site.storage_tank, storage, link, flow * GALLON / 60)
    assert found.status == status
    assert found.quantity == pytest.approx(300 / flow * 60)
    assert found.limit == 120.0
    said = told(found.reason)
    assert said["gap"] == "300 gal, volume"
    assert said["flow"] == f"{math.floor(flow + 0.5)} gpm, flow"
    if status != "pass":
        assert [each.value for each in changes_of(found.remedy)] == ([f'"{to}"'] if to else [])
        assert found.remedy.by_hand == by_hand
    assert not _filling_run(site, site.storage_tank, storage, link, 0.0)


@pytest.mark.parametrize(
    ("given", "peak_told", "status"), [(9.0, 9.0, "pass"), (8.0, 9.0, "caution"),
                                       (0.0, 9.0, None), (9.0, None, None)],
)  # fmt: skip
def test_a_booster_beside_the_peak(
    monkeypatch: pytest.MonkeyPatch, given: float, peak_told: float | None, status: str | None
) -> None:
    """At its first duty: at cut-in, or at the pressure that it holds."""
    gpm = GALLON / 60
    wanted = None if peak_told is None else Quantity(peak_told * gpm, kinds.FLOW)
    monkeypatch.setattr(storage_tank, "peak_flow", lambda _: wanted)
    duties = [SimpleNamespace(flow=given * gpm, label="first"),
              SimpleNamespace(flow=5 * gpm, label="last")]  # fmt: skip
    pump, site = SimpleNamespace(name="booster", duties=duties), None
    found = storage_tank._gives_peak(site, pump)  # type: ignore[arg-type]
    assert [each.status for each in found] == ([] if status is None else [status])
    for each in found:
        assert each.subject == "booster"
        assert told(each.reason) == {
            "given": f"{given:g} gpm, flow", "when": "first", "peak": "9 gpm, flow"
        }  # fmt: skip


@pytest.mark.parametrize(
    ("left", "length", "peak_told", "status"),
    [
        # 20 psi for all fixtures, 8 psi for any: the source of the rule.
        (20.0, 100.0, 9.0, "pass"), (19.0, 100.0, 9.0, "caution"), (8.0, 100.0, 9.0, "caution"),
        (7.0, 100.0, 9.0, "fail"), (-3.0, 100.0, 9.0, "fail"),
        (20.0, None, 9.0, "storage_tank.gravity_line"), (20.0, 100.0, None, "demand.peak_flow"),
        (20.0, None, None, "demand.peak_flow storage_tank.gravity_line"),
    ],
)  # fmt: skip
def test_what_a_tank_above_the_house_presses(
    monkeypatch: pytest.MonkeyPatch, left: float, length: float | None, peak_told: float | None,
    status: str,
) -> None:  # fmt: skip
    """Its outlet 60 ft above the house, the water at its lowest 4 ft above that."""
    psi, line = 6894.757, SimpleNamespace(length=length)
    wanted = None if peak_told is None else Quantity(peak_told * GALLON / 60, kinds.FLOW)
    monkeypatch.setattr(storage_tank, "peak_flow", lambda _: wanted)
    monkeypatch.setattr(storage_tank.chain, "gravity_head", lambda _: 60 * FOOT)

    def friction(site: object, run: object, flow: float, lowest: float) -> tuple[float, float]:
        assert (run, flow, lowest) == (line, wanted, pytest.approx(64 * FOOT))
        return left * psi, 17 * FOOT

    monkeypatch.setattr(storage_tank, "gravity_friction", friction)
    site = SimpleNamespace(storage_tank=SimpleNamespace(gravity_line=line))
    storage = SimpleNamespace(lowest=9 * FOOT, outlet=5 * FOOT)
    (found,) = storage_tank._gravity(site, storage)  # type: ignore[arg-type]
    if "." in status:
        assert found.needs == tuple(status.split())
        return
    pressure = f"{max(0.0, left):g} psi, gauge pressure"
    assert compared(found) == (status, pressure, "20 psi, gauge pressure")
    assert told(found.reason) == {
        "lowest": "64 ft, length", "peak": "9 gpm, flow", "lost": "17 ft, head of water",
        "pressure": pressure,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("volume", "beyond", "pumped", "status", "spare", "short", "needed"),
    [
        # Two hours take 400 gal, of which 1 gpm brings 120; 65 % of the tank is left for the rest,
        # and what the pressure tank has beyond a run.
        (1000.0, 0.0, 1.0, "pass", 650.0, 280.0, None),
        (400.0, 0.0, 1.0, "caution", 260.0, 280.0, 280 / 0.65),
        (400.0, 10.0, 1.0, "caution", 270.0, 280.0, 270 / 0.65),
        (400.0, 20.0, 1.0, "pass", 280.0, 280.0, None),
        # Seven minutes of 10 gpm are 70 gal; 4 gpm bring 28 of them, and 480 gal in two hours.
        (50.0, 0.0, 4.0, "caution", 32.5, 42.0, 42 / 0.65),
        # 12 gpm bring 84 gal in seven minutes: 14 to spare.
        (1000.0, 0.0, 12.0, "pass", 664.0, 0.0, None),
    ],
)
def test_what_heavy_use_takes_from_storage(
    volume: float,
    beyond: float,
    pumped: float,
    status: str,
    spare: float,
    short: float,
    needed: float | None,
) -> None:
    settings = [
        f'storage_tank.volume="{volume} gal"', 'storage_tank.reserve="10 %"',
        'demand.peak_flow="10 gpm"', 'demand.daily_use="400 gal/day"',
    ]  # fmt: skip
    site = parse_site(EXAMPLE.read_text("utf-8"), "x", settings).site
    rate = pumped * GALLON / 60
    found = peak._verdict(site, "house", beyond * GALLON, lambda time: rate * time)
    assert (found.status, found.subject) == (status, "house")
    assert found.quantity == pytest.approx(spare * GALLON)
    assert found.limit == pytest.approx(short * GALLON, abs=1e-9)
    compared_are = (found.quantity, found.limit, *map(found.reason.parts.get, ("short", "left")))
    assert all(each.kind is kinds.VOLUME for each in compared_are)
    long = pumped == 1.0
    parts = told(found.reason)
    assert parts["peak"] == ("3.33 gpm, flow" if long else "10 gpm, flow")
    assert parts["wanted"] == ("400 gal, volume" if long else "70 gal, volume")
    given = "120 gal" if long else "28 gal" if pumped == 4.0 else "70 gal"
    assert parts["given"] == f"{given}, volume"
    assert parts["only"] == ("" if status == "pass" else "only ")
    left = found.reason.parts["left"]
    assert left == pytest.approx((0.65 * volume + beyond) * GALLON)
    assert ("{short} come from storage" in found.reason.template) == (short > 0.0)
    if needed is not None:
        assert found.remedy.parts["needed"] == pytest.approx(needed * GALLON)
        assert found.remedy.parts["needed"].kind is kinds.VOLUME
        assert [each.path for each in changes_of(found.remedy)] == ["storage_tank.volume"]
    bare = site.model_copy(update={"storage_tank": None})
    without = peak._verdict(bare, "house", 0.0, lambda time: rate * time)
    assert without.status == ("caution" if short else "pass")
    assert ("and the file names none" in without.reason.template) == (short > 0.0)
    some = peak._verdict(bare, "house", 1.0 * GALLON, lambda time: rate * time)
    assert "names none" not in some.reason.template


INCHES = 0.0254


@pytest.mark.parametrize(
    ("depth", "ground", "wanted", "status", "lower"),
    [
        (48.0, 42.0, 48.0, "pass", None),
        (47.9, 42.0, 48.0, "caution", "48 in"),
        (42.1, 42.0, 48.3, "caution", "49 in"),
        (42.0, 42.0, 48.0, "fail", "48 in"),
        (0.0, 0.0, 12.0, "caution", "12 in"),
        (12.0, 0.0, 12.0, "pass", None),
    ],
)
def test_a_line_below_the_frost(
    depth: float, ground: float, wanted: float, status: str, lower: str | None
) -> None:
    result = frost.FrostResult(*(each * INCHES for each in (depth, ground, wanted)))
    for key in ("piping.pitless_depth", "pump[1].line.buried_depth"):
        found = frost._verdict(result, "line", key)
        assert (found.status, found.subject) == (status, "line")
        assert found.quantity == pytest.approx(depth * INCHES)
        assert found.limit == pytest.approx(wanted * INCHES)
        assert found.reason.parts["frost"] == pytest.approx(ground * INCHES)
        assert {each.kind.name for each in found.reason.quantities().values()} == {"length"}
        begins = "the pipe leaves the well at" if "pitless" in key else "the pipe lies at"
        assert found.reason.template.startswith(begins)
        if lower:
            (change,) = changes_of(found.remedy)
            assert change.path == key
            assert read(change.value.strip('"'), kinds.LENGTH) == pytest.approx(
                float(lower.split()[0]) * INCHES
            )


@pytest.mark.parametrize(
    ("top", "flood", "status", "wanted"),
    [
        # A foot above the ground, and two above floods.
        (12.0, None, "pass", 12.0),
        (11.9, None, "caution", 12.0),
        (0.1, 0.0, "caution", 12.0),
        (0.0, None, "fail", 12.0),
        (36.0, 12.0, "pass", 36.0),
        (35.9, 12.0, "caution", 36.0),
        (12.1, 12.0, "caution", 36.0),
        (12.0, 12.0, "fail", 36.0),
    ],
)
def test_a_well_head_over_ground_and_flood(
    top: float, flood: float | None, status: str, wanted: float
) -> None:
    site = parse_site(EXAMPLE.read_text("utf-8")).site
    heights = {
        "casing_height": Quantity(top * INCHES, kinds.LENGTH),
        "flood_height": None if flood is None else Quantity(flood * INCHES, kinds.LENGTH),
    }
    (found,) = sanitary._head(
        site.model_copy(update={"well": site.well.model_copy(update=heights)})
    )
    assert (found.status, found.subject) == (status, "well")
    assert found.quantity == pytest.approx(top * INCHES)
    assert found.limit == pytest.approx(wanted * INCHES)
    assert found.reason.parts["flood"] == pytest.approx((flood or 0.0) * INCHES)
    assert ("floods" in found.reason.template) == bool(flood)
    if status != "pass":
        (change,) = changes_of(found.remedy)
        assert read(change.value.strip('"'), kinds.LENGTH) == pytest.approx(wanted * INCHES)


@pytest.mark.parametrize(("flood", "asked"), [(None, False), (0.0, False), (0.1, True)])
def test_a_casing_of_unknown_height_is_asked_after_where_floods_come(
    flood: float | None, asked: bool
) -> None:
    site = parse_site(EXAMPLE.read_text("utf-8")).site
    height = None if flood is None else Quantity(flood, kinds.LENGTH)
    well = site.well.model_copy(update={"casing_height": None, "flood_height": height})
    found = sanitary._head(site.model_copy(update={"well": well}))
    assert [(each.subject, each.needs) for each in found] == [
        ("well", ("well.casing_height",))
    ] * asked
