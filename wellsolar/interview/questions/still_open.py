"""Questions for what verdicts still lack: made of the keys that they name, safety first."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from math import sqrt

from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.named import read_named
from wellsolar.interview.answers.question import Part, Question
from wellsolar.interview.answers.reading import form_of
from wellsolar.interview.answers.spellings import list_pieces
from wellsolar.site.json_schema import meaning_of
from wellsolar.site.locate import Path, key_text, path_of
from wellsolar.site.shape import (
    field_at,
    is_array,
    names_of,
    options_of,
    reader_of,
    table_of,
    types_of,
    usual_of,
)
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Verdict

HEADING = "What is still open"
MOST_AT_ONCE = 3
"""Quantities that one question asks: more nobody keeps in mind."""


@dataclass
class _Lack:
    """Keys of one table that one question can ask, and the verdicts that wait for them."""

    paths: list[Path] = field(default_factory=list)
    verdicts: list[Verdict] = field(default_factory=list)


def still_open(
    verdicts: Iterable[Verdict], facts: Facts, not_known: Collection[Path]
) -> list[Question]:
    """The questions that would settle what is unknown.

    Parameters:
        verdicts: of the site so far; those that hurt people are asked for first
        not_known: keys that were asked and nobody could tell
    Returns:
        one for up to `MOST_AT_ONCE` quantities of a table, one for its switches, and one for each
        other key; none for what no line can tell, such as a table of tests
    """
    unknown = sorted(
        (verdict for verdict in verdicts if verdict.status == "unknown"),
        key=lambda verdict: not verdict.rule.safety,
    )
    lacks: dict[tuple[Path, str, int], _Lack] = {}
    counted: dict[tuple[Path, str], int] = {}
    for verdict in unknown:
        for path in (path for need in verdict.needs for path in _plain(path_of(need))):
            if path in not_known or facts.get(*path) is not None:
                continue
            sort = _sort(path)
            place = (path[:-1], sort)
            known = next((key for key, lack in lacks.items() if path in lack.paths), None)
            if known is None:
                number = counted.get(place, 0)
                counted[place] = number + 1
                known = (*place, 0 if sort == "switch" else number // MOST_AT_ONCE
                         if sort == "quantity" else number)  # fmt: skip
                lacks.setdefault(known, _Lack()).paths.append(path)
            lacks[known].verdicts.append(verdict)
    return [_question(sort, lack, facts) for (_, sort, _), lack in lacks.items()]


def _plain(path: Path) -> list[Path]:
    """A key that one line can tell, of a table those without which it is none."""
    there = field_at(path)
    if there is None:
        return []
    inner = table_of(there)
    if inner is None:
        return [path]
    if is_array(there) and not isinstance(path[-1], int):
        return []
    needed = [
        name for name, model_field in inner.model_fields.items() if model_field.is_required()
    ]
    return [plain for name in needed for plain in _plain((*path, name))]


def _sort(path: Path) -> str:
    """Whether a key is a quantity, a switch, or something that has a question of its own."""
    there = field_at(path)
    assert there is not None, path
    reader = reader_of(there)
    if reader is not None:
        return "list" if reader.many else "quantity"
    return "switch" if types_of(there) & {int, bool} == {bool} else "word"


def _question(sort: str, lack: _Lack, facts: Facts) -> Question:
    paths = lack.paths
    of = _owner(paths[0], facts)
    words_of_it = [f"{_told(_label(path), meaning_of(key_text(path)))}." for path in paths]
    asks = f"About the {of}. {' '.join(words_of_it)}"
    labels = [_label(path) for path in paths]
    alone = sort == "switch" and len(paths) == 1
    if alone:
        asks, like = f"{asks} Yes or no.", "yes"
    elif sort == "switch":
        asks += " Name those that hold, or say all or none."
        like = f"{labels[0]}; or none"
    else:
        like = ", ".join(_example(path, facts) for path in paths)
    first = lack.verdicts[0]
    by = "" if first.by == "owner" else f" It is for a licensed {first.by} to look."
    first_key, *others = [key_text(path) for path in paths]
    return Question(
        "+".join([first_key, *(other.rpartition(".")[2] for other in others)]),
        asks,
        like,
        helps=f"It settles, of the {first.subject}: {first.rule.asks}{by} {_usual(paths, facts)}",
        parts=tuple(
            Part(path, _label(path), said=_names(path) if len(paths) > 1 else ()) for path in paths
        ),
        open=f"this: {first.rule.asks}",
        reads=read_named if sort == "switch" and not alone else None,
        group=HEADING,
    )


def _owner(path: Path, facts: Facts) -> str:
    """What a key belongs to, by the name or place that the file gives it, or by what has it."""
    table = path[:-1]
    named = facts.get(*table, "name")
    if isinstance(named, str):
        return named
    words = [part.replace("_", " ") for part in table if isinstance(part, str)]
    position = facts.get(*table, "position")
    if isinstance(position, str):
        return f"{position} {words[-1]}"
    of = facts.get(*table[:-1], "name")
    return " ".join(words[-1:]) + (f" of the {of}" if isinstance(of, str) else "")


def _label(path: Path) -> str:
    return str(path[-1]).replace("_", " ")


def _told(label: str, meaning: str) -> str:
    """A key and what it means, its label but once."""
    alone = meaning.lower().startswith(label)
    return meaning if alone else f"{label.capitalize()}: {_lower(meaning)}"


def _names(path: Path) -> tuple[str, ...]:
    """By what an answer may point at a key: its words, longest first."""
    label = _label(path)
    first = label.split()[0]
    return (label,) if first == label else (label, first)


def _lower(text: str) -> str:
    plain = text.rstrip(".")
    plain = plain.removeprefix("True where ").removeprefix("Whether ")
    return plain[:1].lower() + plain[1:] if plain[1:2].islower() else plain


def _example(path: Path, facts: Facts) -> str:
    """A value as a person might give it: of quantities the middle of what is ordinary."""
    there = field_at(path)
    assert there is not None, path
    usual, reader = usual_of(there), reader_of(there)
    if usual is not None and reader is not None:
        band = usual.band(reader.kind)
        low, high = band.low, band.high
        typed = facts.typed(low if low <= 0.0 else sqrt(low * high), reader.kind)
        # Of a pump's curve, one for each of its flows.
        flows = list_pieces(str(facts.get(*path[:-1], "flow") or "")) if reader.many else []
        number, _, unit = typed.partition(" ")
        return f"{', '.join([number] * len(flows))} {unit}" if flows else typed
    names = names_of(there)
    words = options_of(there) if names is None else tuple(names.known())
    if form_of(tuple(part for part in path if isinstance(part, str))) == "gauge":
        return "12 AWG" if facts.system == "US" else "4 mm2"
    return "; or ".join(map(str, words[:4])) or "2"


def _usual(paths: list[Path], facts: Facts) -> str:
    """Between what ends most of the quantities asked for lie."""
    usual_values = []
    for path in paths:
        there = field_at(path)
        assert there is not None, path
        reader, usual = reader_of(there), usual_of(there)
        if reader is not None:
            assert usual is not None, path
            band = usual.band(reader.kind)
            low, high = (
                show(Quantity(end, reader.kind), reader.kind, facts.system)
                for end in (band.low, band.high)
            )
            usual_values.append(f"{_label(path)} {low} to {high}")
    return f"Most are: {'; '.join(usual_values)}." if usual_values else ""
