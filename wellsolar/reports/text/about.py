"""One verdict, number, rule, key or source with its reasons, found by a word."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from wellsolar.reports.rows import Section, cell_text
from wellsolar.reports.tables.todo import BY
from wellsolar.reports.text.layout import wrapped
from wellsolar.reports.text.terminal import in_full
from wellsolar.results import Results
from wellsolar.sources import SOURCES
from wellsolar.units import System
from wellsolar.verdicts import Rule, Verdict

SOURCE = "a source"
MOST = 20
"""Hits that are listed."""


@dataclass(frozen=True)
class Found:
    """Something that a word may mean.

    name: what it is called; also: other words by which it is found
    brief: what it comes to, for a list; lines: all of it
    """

    name: str
    also: tuple[str, ...]
    brief: str
    lines: tuple[str, ...]


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
    asked = " ".join(word.casefold().split())
    hits = [hit for hit in every if asked in (hit.name.casefold(), *_lower(hit.also))]
    if not hits:
        hits = [hit for hit in every if _has(hit, asked.split())]
    # What a source is called for is asked of it by its name; its text holds many words.
    hits = [hit for hit in hits if hit.brief != SOURCE] or hits
    if not hits or not asked:
        raise NothingSo(_near(asked, every))
    if len(hits) == 1 or (len(hits) == 2 and word in keys):
        # What a key means, and the one verdict that asks for it.
        lines = [line for hit in hits for text in hit.lines for line in wrapped(text, width)]
    else:
        lines = [f"{len(hits)} are found by this word; more words name one:"]
        for hit in hits[:MOST]:
            lines += wrapped(f"{hit.name} - {hit.brief}", width, "  ", "      ")
        if len(hits) > MOST:
            lines.append(f"  and {len(hits) - MOST} more")
    return "\n".join(lines) + "\n"


def _lower(words: Iterable[str]) -> list[str]:
    return [word.casefold() for word in words]


def _has(found: Found, words: Sequence[str]) -> bool:
    text = " ".join(_lower((found.name, *found.also)))
    return all(word in text for word in words)


def _near(asked: str, every: Sequence[Found]) -> str:
    """The names nearest to a word that names nothing."""
    known: dict[str, str] = {}
    for found in every:
        for name in (found.name, *found.also):
            for part in (name, *name.split()):
                known.setdefault(part.casefold(), name)
    near = difflib.get_close_matches(asked, known, 3, 0.6)
    meant = list(dict.fromkeys(known[name] for name in near))
    return (
        f"near it: {', '.join(meant)}" if meant else "try a word of the pages that --full prints"
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
                 "Nothing of this site was judged by it here."),
            )  # fmt: skip
    for section in sections:
        for row in section.rows:
            value = cell_text(row.quantity, system, row.nothing)
            why = row.why if isinstance(row.why, str) else row.why.text(system)
            name = f"{section.title}, {row.label}"
            yield Found(name, (row.label, row.key), value, (f"{name}: {value}", *_some(why)))
    for assumption in results.assumptions:
        value = cell_text(assumption.value, system)
        told = f"{assumption.path} = {value}, which the file does not give"
        why = f"{assumption.why} [{assumption.source}]"
        yield Found(assumption.path, (), f"{value}, assumed", (told, why))
    for key, source in SOURCES.items():
        told = f"[{key}] {source.citation} ({source.provenance})"
        yield Found(key, (source.citation,), SOURCE, (told,))
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
    )


def _some(text: str) -> tuple[str, ...]:
    return (text,) if text else ()
