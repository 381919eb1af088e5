"""Which drop pipe and lateral are looked at, by tables of bores and classes."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import pytest

from wellsolar.constants import BAR, PSI
from wellsolar.data.pipes import PipeSize, PressureClass, pipe_size
from wellsolar.studies.pump.shut_off import DEEP, LATERAL_PIPE, PIPE
from wellsolar.studies.pump.verdicts import VELOCITY
from wellsolar.studies.sizing import pipes
from wellsolar.studies.sizing.search import Candidate, Choice
from wellsolar.units import System
from wellsolar.verdicts import Change

IN_INCHES = 0.0254
STEEL, SMOOTH = "galvanised steel", "polyethylene SIDR"


class Made(SimpleNamespace):
    """A draft of which only what pipes ask for is told; what is chosen and refused is noted."""

    told: Sequence[str] = ()

    def says(self, path: str) -> bool:
        return path in self.told

    def in_any_season(self, choice: Choice) -> Choice:
        return choice

    def chosen(self, sized: Any) -> Any:
        return sized

    def refusing(self, part: str, refused: Any) -> Made:
        self.refused = {**self.refused, part: refused} if refused else self.refused
        return self


def made(system: System = "US", outlet: float | None = None, **others: Any) -> Any:
    """A draft of one pump whose water may run 1.5 m/s."""
    lateral = SimpleNamespace(length=40.0, material=SMOOTH, size="1 in")
    drop_pipe = SimpleNamespace(material=SMOOTH, size="1 in")
    site = SimpleNamespace(
        limits=SimpleNamespace(velocity=1.5),
        pump=[SimpleNamespace(name="first", intake_depth=60.0), SimpleNamespace(name="second")],
        piping=SimpleNamespace(lateral=lateral, drop_pipe=drop_pipe),
    )
    part = SimpleNamespace(file=SimpleNamespace(tables=others.pop("tables", {})))
    return Made(
        system=system, outlet=outlet, case=SimpleNamespace(site=site), part=part, sized=[],
        refused={}, **others,
    )  # fmt: skip


def rest(changes: Sequence[Change]) -> tuple[Change, ...]:
    return (*changes, Change("rest", "1"))


@pytest.mark.parametrize(
    ("run", "outlet", "least"),
    [
        ("drop_pipe", None, 0.018), ("drop_pipe", 0.019, 0.018), ("drop_pipe", 0.05, 0.045),
        ("lateral", 0.05, 0.018),
    ],
)  # fmt: skip
def test_no_drop_pipe_is_narrower_than_its_outlet(
    run: pipes.Run, outlet: float | None, least: float
) -> None:
    """0.9 of 50 mm is 45 mm, of 19 mm less than the 18 mm of 3/4 in: common practice."""
    assert pipes._narrowest(made(outlet=outlet), run) == pytest.approx(least, rel=1e-9)


@pytest.mark.parametrize(
    ("flow", "outlet", "sizes"),
    [
        # m3/s; bores by ASME B36.10M (from memory):
        # 1 in 26.64 mm, 1 1/4 in 35.05 mm, 2 1/2 in 62.71 mm,
        # 3 in 77.93 mm, whose areas are 558, 965, 3089 and 4769 mm2.
        (1e-5, None, "3/4 in, 1 in, 1 1/4 in"),
        (1.4e-3, None, "1 in, 1 1/4 in, 1 1/2 in, 2 in"),  # 2.51 and 1.45 m/s
        (6.5e-3, None, "2 1/2 in, 3 in"),  # 2.10 and 1.36 m/s
        (0.05, None, "3 in"),  # 10.5 m/s in the widest
        (1e-5, 1.25 * IN_INCHES, "1 1/4 in, 1 1/2 in, 2 in"),  # 28.6 mm and more
    ],
)
def test_sizes_from_the_last_that_is_too_narrow(
    flow: float, outlet: float | None, sizes: str
) -> None:
    """At 1.5 m/s; three that are wide enough, and before them one that is not."""
    found = [*pipes._sold(made(outlet=outlet), "drop_pipe", STEEL, flow)]
    wanted = sizes.split(", ")
    assert [label for label, _ in found] == [f"{size} {STEEL}" for size in wanted]
    assert [[str(change) for change in changes] for _, changes in found] == [
        [f'piping.drop_pipe.material="{STEEL}"', f'piping.drop_pipe.size="{size}"']
        for size in wanted
    ]


@pytest.mark.parametrize(
    ("run", "flow", "labels"),
    [
        ("lateral", 8e-4, ["3/4 in: 250", "1 in: 160 200 250", "1 1/4 in: 160 200 250",
                           "1 1/2 in: 160 200 250"]),
        ("drop_pipe", 1e-5, ["3/4 in: 160 200 250", "1 in: 160 200 250", "1 1/4 in: 160 200 250"]),
    ],
)  # fmt: skip
def test_each_size_from_its_weakest_class_that_is_laid(
    run: pipes.Run, flow: float, labels: list[str]
) -> None:
    """2.3 m/s in 3/4 in, 1.43 m/s in 1 in; classes of 2 x 800 and 2 x 1000 psi over (SIDR + 1),
    of which 80, 100 and 125 psi are not laid."""
    found = [*pipes._sold(made(), run, SMOOTH, flow)]
    wanted = [
        (size, psi) for size, classes in (label.split(": ") for label in labels)
        for psi in classes.split()
    ]  # fmt: skip
    assert [label for label, _ in found] == [f"{size} {SMOOTH}, {psi} psi" for size, psi in wanted]
    assert [str(changes[2]) for _, changes in found] == [
        f'piping.{run}.pressure_class="{psi} psi"' for _, psi in wanted
    ]


@pytest.mark.parametrize(
    ("material", "sizes"),
    [
        # Steel of EN 10255 is 21.7 mm wide as DN 20 and 16.1 mm as DN 15.
        ("galvanised steel EN 10255", "DN 20, DN 25, DN 32"),
        # By ISO 4427-2 25 mm SDR 7.4 is 25.15 - 2 x 3.75 = 17.65 mm wide, SDR 9 18.75 mm; SDR 17
        # is made from 32 mm on.
        ("polyethylene PE100", ", ".join(
            f"{size} mm SDR {wall}" for size, walls in
            ((25, "13.6 11 9"), (32, "17 13.6 11 9 7.4"), (40, "17 13.6 11 9 7.4"))
            for wall in walls.split()
        )),
    ],
)  # fmt: skip
def test_metric_pipes_from_their_widest_wall(material: str, sizes: str) -> None:
    found = [label for label, _ in pipes._sold(made("SI"), "lateral", material, 1e-5)]
    assert found == [f"{size} {material}" for size in sizes.split(", ")]


def _class(pressure: float) -> PressureClass:
    return PressureClass("", pressure, None, "")


@pytest.mark.parametrize(
    ("system", "pressures", "laid"),
    [
        # A hundredth below the least is a class that is rounded.
        ("US", [158.0 * PSI, 158.5 * PSI, 165.0 * PSI], [1, 2]),
        ("SI", [9.8 * BAR, 9.95 * BAR], [1]),
    ],
)
def test_the_least_class_that_is_laid(
    system: System, pressures: list[float], laid: list[int]
) -> None:
    for run in pipes.RUNS:
        found = pipes._laid([_class(each) for each in pressures], run, system)
        assert [each.pressure for each in found] == [pressures[place] for place in laid]


@pytest.mark.parametrize(
    ("made_in", "last", "labels"),
    [
        # Made for one pressure each: weak ones are left out, but not the last of all.
        ([[100.0], [200.0]], False, ["B"]),
        ([[200.0], [100.0]], False, ["A", "B"]),
        ([[100.0], [100.0]], False, ["B"]),
        ([[100.0], [250.0], [200.0]], False, ["B", "C"]),
        ([[], [100.0], [200.0]], False, ["A", "C"]),
        # In several classes: those that are laid, else the strongest.
        ([[100.0, 200.0, 250.0], [160.0, 161.0]], False,
         ["A, 200 psi", "A, 250 psi", "B, 160 psi", "B, 161 psi"]),
        ([[80.0, 100.0], [200.0]], False, ["A, 100 psi", "B"]),
        ([[100.0, 200.0, 250.0]], True, ["A, 250 psi"]),
        ([[80.0, 100.0]], True, ["A, 100 psi"]),
    ],
)  # fmt: skip
def test_the_classes_of_a_size(
    monkeypatch: pytest.MonkeyPatch, made_in: list[list[float]], last: bool, labels: list[str]
) -> None:
    """Against at least 160 psi; sizes A, B and C are invented."""
    one = pipe_size(STEEL, "1 in")
    names = "ABC"[: len(made_in)]
    group = [PipeSize(**{**vars(one), "material": "x", "nominal": name}) for name in names]
    of_size = dict(zip(names, made_in, strict=True))

    def classes(material: str, nominal: str, in_well: bool) -> list[PressureClass]:
        assert (material, in_well) == ("x", False)
        return [_class(psi * PSI) for psi in of_size[nominal]]

    monkeypatch.setattr(pipes.pipes, "pressure_classes", classes)
    found = [label for label, _ in pipes._classes("lateral", group, "US", last)]
    assert found == [f"{each[0]} x{each[1:]}" for each in labels]


@pytest.mark.parametrize(
    ("run", "outlet", "values", "by"),
    [
        # 1/2 in steel is 15.8 mm wide, 3/4 in 20.9 mm; 0.9 of an outlet of 1 1/4 in is 28.6 mm.
        ("drop_pipe", None, {"size": "1/2 in"}, pipes.USED),
        ("drop_pipe", None, {"size": "3/4 in"}, ""),
        ("drop_pipe", 0.03175, {"size": "1/2 in"}, pipes.USED),
        ("drop_pipe", 0.03175, {"size": "1 in"}, pipes.BY_OUTLET),
        ("drop_pipe", 0.03175, {"size": "1 1/4 in"}, ""),
        ("lateral", 0.03175, {"size": "1 in"}, ""),
        # The bore that its line tells goes before that of its name.
        ("lateral", None, {"size": "1 in", "bore": "17 mm"}, pipes.USED),
        ("lateral", None, {"size": "1/2 in", "bore": "19 mm"}, ""),
        # A class that is told goes before those that it may be of.
        ("lateral", None, {"size": "1 in", "pressure_class": "125 psi"}, "160 psi, IPC 605.3"),
        ("drop_pipe", None, {"size": "1 in", "pressure_class": "125 psi"}, "160 psi, usual"),
        ("lateral", None, {"size": "1 in", "pressure_class": "159 psi"}, ""),
        # Polyethylene without its class may be the weakest that is made, of 80 psi.
        ("lateral", None, {"material": SMOOTH, "size": "1 in"}, "160 psi, IPC 605.3"),
        ("lateral", None, {"material": SMOOTH, "size": "1 in", "pressure_class": "200 psi"}, ""),
    ],
)
def test_a_pipe_on_hand_that_is_too_small_for_any_run(
    run: pipes.Run, outlet: float | None, values: dict[str, str], by: str
) -> None:
    assert pipes._too_small(made(outlet=outlet), run, {"material": STEEL, **values}) == by


def test_a_drop_pipe_on_hand_is_judged_by_its_threads(monkeypatch: pytest.MonkeyPatch) -> None:
    """Which halve what a pipe bears (Machinery's Handbook, 31st ed., Table 13, second hand): 300
    psi in the ground are 150 of the 160 in the well."""

    def classes(material: str, size: str, in_well: bool) -> list[Any]:
        return [SimpleNamespace(pressure=(150 if in_well else 300) * 6894.757)]

    monkeypatch.setattr(pipes.pipes, "pressure_classes", classes)
    for run, by in (("drop_pipe", "160 psi, usual"), ("lateral", "")):
        assert pipes._too_small(made(), run, {"material": STEEL, "size": "1 in"}) == by  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("run", "outlet", "material", "number", "rules", "subjects", "least"),
    [
        ("drop_pipe", None, SMOOTH, 1, (PIPE, DEEP), "first", "160 psi, usual"),
        ("drop_pipe", None, STEEL, 1, (PIPE, DEEP), "first", pipes.USED),
        ("drop_pipe", None, "", 2, (PIPE, DEEP), "second", pipes.USED),
        ("lateral", None, SMOOTH, 2, (LATERAL_PIPE,), "second", "160 psi, IPC 605.3"),
        ("lateral", None, "", 1, (LATERAL_PIPE,), "first", "160 psi, IPC 605.3"),
        ("lateral", 0.05, STEEL, 1, (LATERAL_PIPE,), "first", pipes.USED),
        ("drop_pipe", 0.05, SMOOTH, 1, (PIPE, DEEP), "first", pipes.BY_OUTLET),
        ("drop_pipe", 0.0201, SMOOTH, 1, (PIPE, DEEP), "first", pipes.BY_OUTLET),  # 18.09 mm
        ("drop_pipe", 0.0199, SMOOTH, 1, (PIPE, DEEP), "first", "160 psi, usual"),  # 17.9
    ],
)
def test_what_holds_a_pipe(
    monkeypatch: pytest.MonkeyPatch, run: pipes.Run, outlet: float | None, material: str,
    number: int, rules: tuple[Any, ...], subjects: str, least: str,
) -> None:  # fmt: skip
    monkeypatch.setattr(pipes, "lateral_name", lambda _: "the lateral")
    choice = pipes._choice(made(outlet=outlet), run, number, [], material)
    assert choice.held_by == (VELOCITY, *rules)
    assert list(choice.subjects) == [subjects, "the lateral"]
    assert (choice.part, choice.studies, choice.least) == (pipes.PARTS[run], ("pumps",), least)


class Coil(SimpleNamespace):
    """A pipe of the stock, so long as it is [m]."""

    def called(self, wanted: float) -> str:
        return f"{self.name}, on hand" if self.metres >= wanted else self.name

    def changes(self, path: str) -> list[Change]:
        return [Change(path, self.name)]


@pytest.mark.parametrize(
    ("run", "metres", "taken", "told", "labels", "wanted"),
    [
        # 60 m hang in the well, 40 m lie to the house, and both are 100 m.
        ("drop_pipe", 60.0, "", None, ["coil, on hand"], 60.0),
        ("drop_pipe", 59.0, "", None, ["coil"], 60.0),
        ("lateral", 60.0, "coil, on hand", None, ["coil"], 40.0),
        ("lateral", 100.0, "coil, on hand", None, ["coil, on hand"], 40.0),
        ("lateral", 99.0, "coil, on hand", None, ["coil"], 40.0),
        ("lateral", 40.0, "another", None, ["coil, on hand"], 40.0),
        ("lateral", 40.0, "", STEEL, ["coil, on hand"], 40.0),
        ("lateral", 40.0, "", SMOOTH, [], 40.0),
    ],
)
def test_a_coil_has_to_do_for_all_that_is_cut_of_it(
    run: pipes.Run, metres: float, taken: str, told: str | None, labels: list[str], wanted: float
) -> None:
    asked: list[tuple[str, float]] = []

    def stock(goods: str, *, wanted: float) -> list[Coil]:
        asked.append((goods, wanted))
        values = {"material": STEEL, "size": "1 in"}
        narrow = Coil(name="narrow", metres=1e3, values={**values, "size": "1/2 in"})
        return [narrow, Coil(name="coil", metres=metres, values=values)]

    draft = made(stock=SimpleNamespace(of=stock))
    other = "lateral" if run == "drop_pipe" else "drop_pipe"
    for part, label in ((pipes.PARTS[other], taken), ("pump", "coil, on hand")):
        candidate = SimpleNamespace(label=label)
        draft.sized.append(SimpleNamespace(part=part, candidate=candidate))
    after, listed = pipes._listed(draft, run, 1, rest, told)
    assert asked == [("pipe", wanted)]
    assert [each.label for each in listed] == labels
    assert all(each.changes == (Change(f"piping.{run}", "coil"), Change("rest", "1"))
               for each in listed)  # fmt: skip
    assert after.refused == {pipes.PARTS[run]: {"narrow, on hand": pipes.USED}}


def _tried(monkeypatch: pytest.MonkeyPatch, passing: str) -> list[Choice]:
    """What is chosen of, where only labels with a word in them pass."""
    choices: list[Choice] = []

    def chosen(case: object, choice: Choice, listed: Sequence[Candidate] = ()) -> Any:
        choices.append(choice)
        label = choice.candidates[0].label
        refused = {"coil": "its rule"}
        return SimpleNamespace(label=label, passes=passing in label, refused=refused)

    monkeypatch.setattr(pipes, "smallest", chosen)
    monkeypatch.setattr(pipes, "first_listed", chosen)
    monkeypatch.setattr(pipes, "lateral_name", lambda _: "the lateral")
    return choices


@pytest.mark.parametrize(
    ("listed", "told", "passing", "label", "asked"),
    [
        # Of materials, the lightest first, the first of which a size passes.
        ([], None, "3/4 in", f"3/4 in {SMOOTH}, 160 psi", 1),
        ([], None, "steel", f"3/4 in {STEEL}", 3),
        ([], None, "none", f"3/4 in {SMOOTH}, 160 psi", 3),
        ([], STEEL, "none", f"3/4 in {STEEL}", 1),
        # What is on hand goes before, where it does.
        (["coil"], None, "coil", "coil", 1),
        (["coil"], None, "3/4 in", f"3/4 in {SMOOTH}, 160 psi", 2),
    ],
)
def test_what_is_on_hand_then_the_lightest_material(
    monkeypatch: pytest.MonkeyPatch, listed: list[str], told: str | None, passing: str,
    label: str, asked: int,
) -> None:  # fmt: skip
    choices = _tried(monkeypatch, passing)
    tables = {"piping": {"drop_pipe": {"material": told} if told else {}}}
    draft = made(tables=tables)
    draft.refused = {"drop pipe": {"narrow": "used"}}
    stock = [Candidate(each) for each in listed]
    monkeypatch.setattr(pipes, "_listed", lambda draft, *_: (draft, stock))
    sized: Any = pipes.pipe_of(draft, "drop_pipe", 1, 1e-5, rest)
    assert (sized.label, len(choices)) == (label, asked)
    assert all(each.changes[-1] == Change("rest", "1") for each in choices[-1].candidates
               if not listed)  # fmt: skip
    both = {"narrow": "used", "coil": "its rule"} if listed and passing != "coil" else {
        "narrow": "used"}  # fmt: skip
    assert draft.refused == {"drop pipe": both}


def test_no_pipe_of_a_material_that_is_not_wide_enough_by_its_outlet() -> None:
    """No steel pipe of the table is 0.9 of 100 mm wide, so that the draft is as it was."""
    draft = made(outlet=0.1, stock=SimpleNamespace(of=lambda *_, **__: []))
    draft.part.file.tables = {"piping": {"drop_pipe": {"material": STEEL}}}
    assert pipes.pipe_of(draft, "drop_pipe", 1, 1e-5, rest) is draft


@pytest.mark.parametrize(
    ("run", "told", "material", "passing", "labels"),
    [
        ("lateral", ["size"], SMOOTH, "1 in", [160, 200, 250]),
        ("drop_pipe", ["size"], SMOOTH, "1 in", [160, 200, 250]),
        ("lateral", ["size"], SMOOTH, "none", None),
        ("lateral", ["size", "pressure_class"], SMOOTH, "1 in", None),
        ("lateral", ["size"], STEEL, "1 in", None),  # made in one class alone
    ],
)
def test_the_class_of_a_pipe_whose_size_is_told(
    monkeypatch: pytest.MonkeyPatch, run: pipes.Run, told: list[str], material: str, passing: str,
    labels: list[int] | None,
) -> None:  # fmt: skip
    choices = _tried(monkeypatch, passing)
    draft = made(told=[f"piping.{run}.{key}" for key in told])
    for pipe in vars(draft.case.site.piping).values():
        pipe.material = material
    sized: Any = pipes.pipe_of(draft, run, 1, 1e-5, rest)
    assert (sized is draft) == (labels is None)
    if labels is not None:
        (choice,) = choices
        assert [each.label for each in choice.candidates] == [f"1 in, {psi} psi" for psi in labels]
        assert [str(each.changes[0]) for each in choice.candidates] == [
            f'piping.{run}.pressure_class="{psi} psi"' for psi in labels
        ]
        assert (
            choice.least == {"lateral": "160 psi, IPC 605.3", "drop_pipe": "160 psi, usual"}[run]
        )


def test_a_lateral_that_binds_nothing_is_of_3_in() -> None:
    assert str(pipes.widest()) == 'piping.lateral.size="3 in"'
