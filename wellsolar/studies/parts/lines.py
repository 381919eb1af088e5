"""Lines of a parts list, each with the verdict it follows from.

A line says "in the file" only where keys of the file prove each piece of its size. Pieces are
made by `Lines.claim("{} bore", table, "bore")`, which names the table and those of its keys that
prove the words, and are joined by `sized`. A plain piece, `("bears {:up}", held)`, is asked for,
and proved by nothing, and so is all of a `say(...)`: with either, `Lines.add` turns "in the file"
into "to check". So does a key that a piece rests on and that the file lacks, be it a default. What
is bought or changed needs no proof; what the sizing put into the file is "sized", not there yet. A
line keeps the keys that it rests on in `Part.keys`; those that only its amount rests on are given
to `Lines.add` as `keys`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from wellsolar import kinds
from wellsolar.data import wiring as wire_table
from wellsolar.results import Results
from wellsolar.results.parts import Part, State
from wellsolar.results.pumps import WireResult
from wellsolar.site.loading.overrides import SET_BY
from wellsolar.site.locate import key_text, path_of
from wellsolar.site.schema import Cable, Pipe, Site
from wellsolar.site.table import Table, made_once
from wellsolar.studies.plumbing.layout import layout_of
from wellsolar.units import Quantity
from wellsolar.verdicts import Rule, Sentence, Verdict, say, verdict_of

SPARE = 0.10
"""Of a run of wire, for ends, drip loops and mistakes: common practice, no source."""

ADJUSTED = ("precharge", "greatest_pressure", "thermostat", "delivers", "draws", "fed_by")
"""Keys that are set of a thing that is there: by them alone nothing is bought."""

NOT_PASSED = ("fail", "caution")
ORDER = ("fail", "caution", "unknown", "pass")


@dataclass(frozen=True)
class Practice:
    """What a line rests on where no verdict speaks of it.

    text: why it is on the list; source: key into `wellsolar.sources`
    """

    text: str
    source: str = "common practice"


class Piece(NamedTuple):
    """A piece of a size.

    words: with `{}` where the value stands; value: None where the piece falls away
    keys: of the file that prove it together; none where nothing does
    """

    words: str
    value: Quantity | str | None
    keys: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sized(Sentence):
    """A size made of pieces.

    pieces: those that stand in it
    """

    pieces: tuple[Piece, ...] = ()


@dataclass
class Lines:
    """The lines of one part of the house as they are found."""

    site: Site
    results: Results
    group: str
    made: list[Part] = field(default_factory=list)

    def verdict(self, rule: Rule, subject: str) -> Verdict | None:
        """The verdict of a rule on a subject; None where it was not judged."""
        return verdict_of(self.results.verdicts, rule, subject)

    def worst(self, subject: str, *rules: Rule) -> Verdict | None:
        """Of several rules' verdicts the first that does not pass, else the first that is open,
        or else the first there is."""
        judged = [each for rule in rules if (each := self.verdict(rule, subject)) is not None]
        for states in (NOT_PASSED, ("unknown",), ("pass",)):
            for verdict in judged:
                if verdict.status in states:
                    return verdict
        return None

    def worst_of_all(self, rule: Rule) -> Verdict | None:
        """Of a rule's verdicts on every subject the worst, or else the first there is."""
        judged = [verdict for verdict in self.results.verdicts if verdict.rule == rule]
        return min(judged, key=lambda verdict: ORDER.index(verdict.status), default=None)

    def add(
        self,
        item: str,
        size: Sentence,
        verdict: Verdict | None,
        *,
        state: State = "in the file",
        of: str = "",
        count: int | None = 1,
        length: float | None = None,
        volume: float | None = None,
        why: Iterable[Sentence] = (),
        practice: Practice | None = None,
        keys: Iterable[str] = (),
    ) -> None:
        """Put a line on the list; its reason is the verdict's, or else the practice's, then what
        is said beside it. What is "in the file" must be proved by the pieces of its size and by
        `keys`, or else it is to check."""
        quantity = None if count is None else Quantity(count, kinds.COUNT)
        if length is not None:
            quantity = Quantity(length, kinds.LENGTH)
        if volume is not None:
            quantity = Quantity(volume, kinds.VOLUME)
        proof: tuple[str, ...] = ()
        proved = False
        if state == "in the file":
            proof, open_to = self._proof(size, keys)
            state, proved = ("to check", False) if open_to else (state, True)
            why = (*why, *open_to)
            chosen = [sized_key.key for sized_key in self.site.sized if sized_key.key in proof]
            if chosen:
                why = (*why, say("set by the sizing: {keys}", keys=", ".join(chosen)))
            if any(key.rpartition(".")[2] not in ADJUSTED for key in chosen):
                state = "sized"
        reasons, source = [], "common practice"
        if verdict is not None:
            reasons, source = [verdict.reason], verdict.rule.source
        elif practice is not None:
            reasons, source = [say(practice.text)], practice.source
        elif state == "in the file":
            reasons = [say("the file's own, and nothing is asked of it")]
        self.made.append(
            Part(
                self.group, item, of, quantity, size, state, (*reasons, *why), verdict, source,
                keys=proof if proved else (),
            )
        )  # fmt: skip

    def key(self, table: Table, name: str) -> str:
        """The path of a key of a table of the site, such as `pump[1].flow`."""
        return key_text((*_paths(self.site)[id(table)], name))

    def given(self, key: str) -> bool:
        """True where the file, or the command line in its place, has a key."""
        table: object = self.site
        *above, last = path_of(key)
        for part in above:
            table = table[part] if isinstance(part, int) else getattr(table, part)  # type: ignore[index]
        if not isinstance(table, Table) or last not in table.model_fields_set:
            return False
        filled = {
            assumption.path
            for assumption in self.results.assumptions
            if assumption.source not in SET_BY
        }
        return getattr(table, str(last)) is not None and key not in filled

    def claim(
        self, words: str, table: Table, *names: str, value: Quantity | str | None = None
    ) -> Piece:
        """A piece of a size that keys of a table prove; its value is the first key's unless it
        is given, and without one the piece falls away."""
        shown = getattr(table, names[0]) if value is None else value
        if isinstance(shown, (bool, int)):
            shown = f"{shown}" if shown else None
        return Piece(words, shown, tuple(self.key(table, name) for name in names))

    def _proof(
        self, size: Sentence, keys: Iterable[str]
    ) -> tuple[tuple[str, ...], list[Sentence]]:
        """The keys that a line in the file rests on, and what stays open of it."""
        pieces = size.pieces if isinstance(size, Sized) else ()
        rests = tuple(dict.fromkeys((*(key for piece in pieces for key in piece.keys), *keys)))
        lacking = [key for key in rests if not self.given(key)]
        if lacking:
            return rests, [say("the file says nothing of {keys}", keys=" and ".join(lacking))]
        bare = [piece for piece in pieces if not piece.keys]
        if bare or not pieces:
            asked = sized(*bare) if bare else say("all of this")
            words = "to read off the part itself, as the file does not say it: "
            return rests, [Sentence(words + asked.template, asked.parts)]
        return rests, []

    def add_told(
        self,
        item: str,
        size: Sentence,
        verdict: Verdict | None,
        piece: Piece,
        of: str = "",
    ) -> None:
        """A thing that a key of the file says is there, or else one to add unless the verdict
        passes; `told` says what the key proves."""
        if piece.value:
            self.add(item, sized(piece), verdict, of=of)
        elif verdict is not None and verdict.status != "pass":
            self.add(item, size, verdict, of=of, state="to add")

    def add_cable(
        self, item: str, of: str, wire: WireResult, kind: str, run: Cable | None, *rules: Rule
    ) -> None:
        """A run of wire by the file's gauge, or by the thinnest that does."""
        gauge, length = wire.smallest_gauge, wire.length * (1.0 + SPARE)
        spare = say(
            "{run} of run and {share} spare",
            run=Quantity(wire.length, kinds.LENGTH),
            share=Quantity(SPARE, kinds.FRACTION),
        )
        verdict = self.worst(of, *rules)
        if wire.gauge is None:
            state: State = "to add"
        elif verdict is not None and verdict.status in NOT_PASSED:
            state = "to change"
        else:
            state, gauge = "in the file", wire.gauge
        said = [spare]
        if state == "to change" and gauge is not None:
            said.append(say("{gauge} is the thinnest that meets all that is asked", gauge=gauge))
        keys: tuple[str, ...] = ()
        if gauge is None:
            size = say("none of the table's gauges does: a shorter run or a higher voltage")
        elif state == "in the file" and run is not None:
            size = sized(self.claim("{}", run, "gauge", value=_with_area(gauge)))
            keys = (self.key(run, "length"),)
        else:
            size = say("{gauge}, {kind}", gauge=_with_area(gauge), kind=kind)
        self.add(item, size, verdict, of=of, state=state, length=length, why=said, keys=keys)


def _with_area(gauge: str) -> str:
    """A gauge with the cross-section that it stands for, such as "10 AWG, 5.26 mm²"."""
    wire = wire_table.wire(gauge)
    return gauge.replace("mm2", "mm²") if wire.metric else f"{gauge}, {wire.area * 1e6:.3g} mm²"


def valves(lines: Lines, *names: str) -> None:
    """Valves of the site's plumbing that no key of the file proves.

    Parameters:
        names: of the plumbing; one that this site has not is passed over
    """
    for fitting in layout_of(lines.site):
        if fitting.name in names:
            why = Practice(fitting.why)
            lines.add(fitting.name, say(fitting.place), None, state="to check", practice=why)


def amperes(rating: float) -> str:
    """A standard rating as the trade writes it, such as "15 A"."""
    return f"{rating:g} A"


def sized(*pieces: Piece | tuple[str, Quantity | str | None]) -> Sentence:
    """A size from pieces, of which those that are not known are left out.

    Parameters:
        pieces: of `Lines.claim` what the file proves; plain words with `{}` in them and what
            stands there are asked for, and proved by nothing
    Returns:
        the pieces with commas between
    """
    shown = [piece for words in pieces if (piece := Piece(*words)).value is not None]
    template = ", ".join(piece.words.replace("{", f"{{p{n}") for n, piece in enumerate(shown))
    parts = {f"p{n}": piece.value for n, piece in enumerate(shown) if piece.value is not None}
    return Sized(template, parts, tuple(shown))


@made_once
def _paths(site: Site) -> dict[int, tuple[str | int, ...]]:
    """Where each table stands in a site, by which it is; of one that stands in two places the
    first."""
    paths: dict[int, tuple[str | int, ...]] = {}
    for path, table in _tables(site, ()):
        paths.setdefault(id(table), path)
    return paths


def _tables(
    table: Table, path: tuple[str | int, ...]
) -> Iterator[tuple[tuple[str | int, ...], Table]]:
    yield path, table
    for name in type(table).model_fields:
        value = getattr(table, name)
        if isinstance(value, Table):
            yield from _tables(value, (*path, name))
        elif isinstance(value, tuple):
            for number, item in enumerate(value):
                if isinstance(item, Table):
                    yield from _tables(item, (*path, name, number))


def soft_water(pipe: Pipe) -> list[Sentence]:
    """What to ask of the water before a pipe of galvanised steel hangs in it (from memory)."""
    if not pipe.material.startswith("galvanised steel"):
        return []
    return [say("soft, acid water eats the zinc and takes up lead: have pH and hardness tested")]


def remedy_of(verdict: Verdict | None) -> list[Sentence]:
    """What would make a verdict pass, where it does not."""
    if verdict is None or verdict.remedy is None or verdict.status == "pass":
        return []
    return [verdict.remedy]
