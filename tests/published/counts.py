"""Counts the published rows by file and by how far their values were seen.

    python tests/published/counts.py

writes `counts.md` beside it. Values that were seen, in a source or in a text that quotes it, stand
apart from library checks, whose values come out of the tests of a library, and from formula
checks, which are arithmetic of our own from values that were seen.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
WRITTEN = HERE / "counts.md"

SEEN = ("read", "second hand")
APART = {
    "library": "library checks",
    "computed": "formula checks",
    "from memory": "from memory",
    "common practice": "common practice",
}


@cache
def rows() -> list[tuple[str, dict[str, Any]]]:
    """Every row with the name of its file."""
    return [
        (path.stem, row)
        for path in sorted(HERE.glob("*.toml"))
        for row in tomllib.loads(path.read_text(encoding="utf-8"))["case"]
    ]


def by_provenance(of: Iterable[tuple[str, dict[str, Any]]], wanted: Iterable[str]) -> Counter[str]:
    """How many rows have each of the wanted provenances."""
    found = Counter(row["provenance"] for _, row in of)
    return Counter({each: found[each] for each in wanted if found[each]})


def whole_sites() -> dict[str, int]:
    """Sites out of texts, and how many numbers of each are compared; a site of our own, which rows
    on rules begin from, is none."""
    own = {row["site"] for _, row in rows() if "verdict" in row}
    found = Counter(row["site"] for _, row in rows() if "result" in row)
    return {name: count for name, count in sorted(found.items()) if name not in own}


def table() -> str:
    """The counts as they stand in `counts.md`."""
    columns = (*SEEN, *APART)
    heads = (*SEEN, *APART.values())
    files: dict[str, list[tuple[str, dict[str, Any]]]] = {}
    for name, row in rows():
        files.setdefault(name, []).append((name, row))
    lines = [
        "# Published values",
        "",
        "Written by `counts.py`. Seen are the first two; the others are counted apart.",
        "",
        f"| file | {' | '.join(heads)} | all |",
        f"|{'---|' * (len(heads) + 2)}",
    ]
    for name, of in (*files.items(), ("all", rows())):
        found = by_provenance(of, columns)
        cells = " | ".join(str(found[each]) for each in columns)
        lines.append(f"| {name} | {cells} | {len(of)} |")
    judged = {row["verdict"] for _, row in rows() if "verdict" in row}
    sites = whole_sites()
    lines += [
        "",
        f"{len(sites)} sites out of texts are studied whole, {sum(sites.values())} of their "
        f"numbers compared; {len(judged)} rules are judged at the figure that their text prints.",
        "",
        "| site | numbers |",
        "|---|---|",
        *(f"| {name} | {count} |" for name, count in sites.items()),
        "",
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    WRITTEN.write_text(table(), encoding="utf-8")
