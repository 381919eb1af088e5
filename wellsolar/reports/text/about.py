"""One verdict, number, rule, key or source with its reasons, found by a word."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from wellsolar.reports.rows import Section, cell_text
from wellsolar.reports.tables.todo import BY
from wellsolar.reports.text.layout import wrapped
from wellsolar.reports.text.terminal import in_full
from wellsolar.results import Results
from wellsolar.sources import SOURCES
from wellsolar.units import System
from wellsolar.verdicts import RANK, Rule, Verdict

SOURCE = "a source"
MOST, LEAST = 23, 6
"""Lines of an answer, and of its list where what stands above it is long."""

SAID = {
    "amp": "current", "bacteria": "legionella", "blackout": "outage", "burn": "scald",
    "cost": "price", "cycling": "start", "earth": "bonding", "gfci": "ground fault",
    "germ": "legionella", "gpm": "flow", "handpump": "hand pump", "kwh": "energy",
    "ohm": "resistance",
    "panel": "module", "power cut": "outage", "power outage": "outage", "psi": "pressure",
    "pv": "module", "rcd": "ground fault", "runtime": "run time", "short cycling": "start",
    "softener": "treatment", "solar panel": "module", "t p": "relief valve",
    "t p valve": "relief valve", "tpr": "relief valve",
    "volt": "voltage", "watt": "power", "wire gauge": "conductor", "wire size": "conductor",
}  # fmt: skip
"""What people say, and the words of the reports for it."""

FILLING = {"a", "check", "does", "how", "is", "my", "number", "of", "size", "the", "value", "what"}
"""Words that name nothing by themselves."""


@dataclass(frozen=True)
class Found:
    """Something that a word may mean.

    name: what it is called; also: other words by which it is found
    brief: what it comes to, for a list; lines: all of it
    rank: where it stands in a list, what fails first
    """

    name: str
    also: tuple[str, ...]
    brief: str
    lines: tuple[str, ...]
    rank: int = 10

    @cached_property
    def plain(self) -> str:
        """All its words as they are compared."""
        return _plain(" ".join((self.name, *self.also)))


class NothingSo(LookupError):  # noqa: N818 - reads as what happened
    """No verdict, number, rule, key or source is called so; the message names what is near."""


def about(
    results: Results,
    sections: Sequence[Section],
    rules: Mapping[str, Rule],
    keys: Mapping[str, str],
    word: str,
    width: int,
) -> str:
    """What a word is about.

    Parameters:
        rules: every rule by its key, those that nothing was judged by too
        keys: of the site file, with what each means
        word: of a rule, a label, the path of a key or a source; several words narrow it
    Raises:
        NothingSo: it is found nowhere
    """
    every = list(_every(results, sections, rules, keys))
    asked = _plain(word)
    exact = [hit for hit in every if asked in (_plain(name) for name in (hit.name, *hit.also))]
    exact = [hit for hit in exact if hit.brief != SOURCE]
    # A key is found with what its last name says elsewhere.
    last = _plain(word.rpartition(".")[2]) if word in keys else asked
    hits = exact + [hit for hit in _found(last, every) if hit not in exact]
    if not hits or not asked:
        raise NothingSo(_near(asked, every))
    whole = exact if len(exact) in (1, 2) else hits if len(hits) == 1 else []
    lines = [line for hit in whole for text in hit.lines for line in wrapped(text, width)]
    rest = [hit for hit in hits if hit not in whole]
    if rest:
        what = "more" if whole else "things"
        lines += [
            f"{len(rest)} {what} {'has' if len(rest) == 1 else 'have'} it; more words narrow it:"
        ]
        lines += _listed(rest, width, MOST - len(lines))
    return "\n".join(lines) + "\n"


def _found(asked: str, every: Sequence[Found]) -> list[Found]:
    """What has all words that are asked, or else what the trades call them, or else most."""
    named = sorted((hit for hit in every if hit.brief != SOURCE), key=lambda hit: hit.rank)
    said = " ".join(SAID.get(word, word) for word in SAID.get(asked, asked).split())
    first = said if asked in SAID else asked
    for words, among in ((first, named), (said, named), (asked, every)):
        hits = [hit for hit in among if _has(hit, words.split()) == len(words.split())]
        if hits:
            return hits
    wanted = [word for word in said.split() if word not in FILLING]
    most = max((_has(hit, wanted) for hit in named), default=0)
    return [hit for hit in named if _has(hit, wanted) == most] if 2 * most > len(wanted) else []


def _listed(hits: Sequence[Found], width: int, room: int) -> list[str]:
    """Hits by their names with what they come to, as many as a screen has room for."""
    lines: list[str] = []
    for number, hit in enumerate(hits):
        rows = wrapped(f"{hit.name} - {hit.brief}", width, "  ", "      ")
        if len(lines) + len(rows) > max(room, LEAST):
            return [*lines, f"  and {len(hits) - number} more"]
        lines += rows
    return lines


def _plain(text: str) -> str:
    """Words as they are compared: small, without marks between them, and in the singular."""
    words = re.sub(r"[-_/&,:;()?']+", " ", text.casefold()).split()
    return " ".join(_singular(word) for word in words)


def _singular(word: str) -> str:
    if word.endswith("ies") and len(word) > 4:
        return f"{word[:-3]}y"
    return word[:-1] if word.endswith("s") and not word.endswith("ss") and len(word) > 3 else word


def _has(entry: Found, words: Sequence[str]) -> int:
    """How many of some words something has, in any form of them."""
    return sum(
        word in entry.plain or (len(word) > 6 and word.removesuffix("ing") in entry.plain)
        for word in words
    )


def _near(asked: str, every: Sequence[Found]) -> str:
    """The names nearest to a word that names nothing."""
    known: dict[str, str] = {}
    for entry in every:
        if entry.brief != SOURCE:
            for part in (_plain(entry.name), *_plain(entry.name).split(), *entry.plain.split()):
                known.setdefault(part, entry.name)
    near = difflib.get_close_matches(asked, known, 3, 0.6)
    meant = list(dict.fromkeys(known[name] for name in near))
    return (
        f"near it: {'; '.join(meant)}" if meant else "try a word of the pages that --full prints"
    )


def _every(
    results: Results,
    sections: Sequence[Section],
    rules: Mapping[str, Rule],
    keys: Mapping[str, str],
) -> Iterable[Found]:
    system = results.system
    judged = {verdict.rule.key for verdict in results.verdicts}
    for verdict in results.verdicts:
        yield _verdict(verdict, system)
    for key, rule in rules.items():
        if key not in judged:
            yield Found(
                key, (rule.asks,), "a rule by which nothing was judged here",
                (f"{key}: {rule.asks}", f"Rule: {rule.text} [{rule.source}]",
                 "Nothing of this site was judged by it here."), 20,
            )  # fmt: skip
    for section in sections:
        for row in section.rows:
            value = cell_text(row.quantity, system, row.nothing)
            why = row.why if isinstance(row.why, str) else row.why.text(system)
            name = f"{section.title}, {row.label}"
            yield Found(name, (row.label, row.key), value, (f"{name}: {value}", *_some(why)))
    for assumption in results.assumptions:
        value = cell_text(assumption.value, system)
        text = f"{assumption.path} = {value}, which the file does not give"
        why = f"{assumption.why} [{assumption.source}]"
        yield Found(assumption.path, (), f"{value}, assumed", (text, why))
    for key, source in SOURCES.items():
        text = f"[{key}] {source.citation} ({source.provenance})"
        yield Found(key, (source.citation,), SOURCE, (text,))
    for path, meaning in keys.items():
        yield Found(path, (), "a key of the file", (f"{path}: {meaning}",))


def _verdict(verdict: Verdict, system: System) -> Found:
    """A verdict by its subject, its rule and the keys that it names."""
    rule, remedy = verdict.rule, verdict.remedy
    asked, *lines = in_full(verdict, system)
    paths = [change.path for change in remedy.changes] if remedy is not None else []
    keys = (*verdict.needs, *verdict.claims, *paths)
    by = f"By: {BY[verdict.by]}" if verdict.status != "pass" else ""
    return Found(
        f"{verdict.subject}, {rule.key}",
        (f"{rule.key} {verdict.subject}", rule.key, rule.asks, *keys),
        f"{verdict.status}: {rule.asks}",
        (f"{verdict.status.upper()}  {asked}", *lines, *_some(by)),
        RANK[verdict.status],
    )


def _some(text: str) -> tuple[str, ...]:
    return (text,) if text else ()
