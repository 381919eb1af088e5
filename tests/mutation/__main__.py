"""Change one line after another and see whether the tests of its place notice.

    python -m tests.mutation watch --minutes 7   # what each test reaches; again until all are seen
    python -m tests.mutation run --seed 1 --count 60 --minutes 7      # again until all are tried
    python -m tests.mutation run --seed 1 --count 60 --again          # survivors, on what was left
    python -m tests.mutation run --seed 1 --count 60 --saved          # survivors, on saved text
    python -m tests.mutation table --seed 1

Each command goes on from what is saved; none touches the checkout. Time is that of the processor:
what a survivor was not tried on, since its tests take long, is told beside it. Survivors whose
change alters nothing, or that are left for a reason, stand with it in `argued.toml`.
"""

from __future__ import annotations

import argparse
import fcntl
import json
import math
import os
import random
import re
import signal
import sys
import tempfile
import time
import tomllib
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tests.mutation.belonging import SAVED, Tests, tests_of
from tests.mutation.called import Map
from tests.mutation.changes import KINDS, LAYERS, Change, changes_of
from tests.mutation.running import Try, copied, files_of, load_libraries, run_changes, watch

HERE = Path(__file__).parent

LIMIT = 30.0
"""Processor time after which no further test of one change is begun [s], where no other is asked
for; what is left is run with `--again`, without a limit."""


def every_change(checkout: Path) -> dict[str, list[Change]]:
    """All changes of each layer."""
    found: dict[str, list[Change]] = {layer: [] for layer in LAYERS}
    for path in sorted((checkout / "wellsolar").rglob("*.py")):
        module = path.relative_to(checkout).as_posix()
        for change in changes_of(module, path.read_bytes()):
            found[change.layer].append(change)
    return found


def sampled(seed: int, count: int, checkout: Path, of_kinds: Sequence[str] = ()) -> list[Change]:
    """So many changes, as many of each layer and, within it, of each kind as there are; of some
    kinds alone where they are named."""
    chance = random.Random(seed)
    every = every_change(checkout)
    chosen: list[Change] = []
    for layer in LAYERS:
        by_kind = {kind: [each for each in every[layer] if each.kind == kind] for kind in KINDS}
        kinds = [kind for kind in of_kinds or KINDS if by_kind[kind]]
        for number in range(count // len(LAYERS)):
            if of_kinds and not any(by_kind[kind] for kind in kinds):
                break
            left = by_kind[kinds[number % len(kinds)]] or max(
                (by_kind[kind] for kind in of_kinds or KINDS), key=len
            )
            chosen.append(left.pop(chance.randrange(len(left))))
    chance.shuffle(chosen)
    return chosen


CALLED = "called"
"""The folder of what was watched, beside the samples."""

NOTICED = ("failed", "never ends")
"""How a change ends that the test command would not let pass."""

SAVED_TOLD = "by saved text"
"""Under which a survivor has what noticed it of the saved texts, where they were tried."""

ASKED = "asked"
"""Under which a state names the changes of its sample, by layer."""


@contextmanager
def changed(path: Path) -> Iterator[dict[str, Any]]:
    """What is kept of a sample, to be changed: another process may want to at the same moment."""
    with open(path.with_suffix(".lock"), "w", encoding="utf-8") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        kept: dict[str, Any] = json.loads(path.read_text("utf-8")) if path.exists() else {}
        yield kept
        whole = path.with_suffix(".new")
        whole.write_text(json.dumps(kept, indent=1), "utf-8")
        whole.replace(path)


def run(
    state: Path,
    seed: int,
    count: int,
    minutes: float,
    layers: list[str],
    again: bool = False,
    saved: bool = False,
    limit: float | None = None,
    kinds: Sequence[str] = (),
) -> None:
    """Try the changes of a sample that were not tried yet; again also those that survived, on the
    tests that were left, or on all of them where none was; or these alone, on saved text alone,
    which tells in a minute what an hour of tests might."""
    path = state / f"sample_{seed}.json"
    most = limit or (math.inf if again or saved else LIMIT)
    until = time.monotonic() + 60.0 * minutes
    with copied() as copy:
        sample = [each for each in sampled(seed, count, copy, kinds) if each.layer in layers]
        with changed(path) as tried:
            tried[ASKED] = tried.get(ASKED, {}) | {
                layer: [f"{each.name} @{each.line}" for each in sample if each.layer == layer]
                for layer in layers
            }
        noticed = {*NOTICED} if again else {*NOTICED, "passed", "no tests"}
        if saved:
            noticed = {*NOTICED, None}
        left = [
            each
            for each in sample
            if tried.get(f"{each.name} @{each.line}", {}).get("ended") not in noticed
            and not (saved and SAVED_TOLD in tried[f"{each.name} @{each.line}"])
        ]
        seen = Map(state / CALLED, copy)
        belong = {
            each: [*SAVED]
            if saved
            else tried.get(f"{each.name} @{each.line}", {}).get("left")
            or tests_of(each.module, each.function, each.line, seen)
            for each in left
        }
        texts = {each.module: (copy / each.module).read_bytes() for each in left}

        def tries() -> Iterator[Try]:
            for number, change in enumerate(left):
                if time.monotonic() > until:
                    print(f"{len(left) - number} changes are left: run it again")
                    return
                source, start = change.applied(texts[change.module]), time.monotonic()

                def ended(
                    how: str, told: str, change: Change = change, start: float = start
                ) -> None:
                    if how == "broken":  # no test noticed anything: the tool itself failed
                        raise SystemExit(f"{change.name}: {told}")
                    told_left = re.findall(r"^left (.+)$", told, re.MULTILINE)
                    noticed_by = re.findall(r"^noticed by (.+)$", told, re.MULTILINE)
                    with changed(path) as found:
                        if saved:
                            found[f"{change.name} @{change.line}"][SAVED_TOLD] = noticed_by[:1]
                        else:
                            found[f"{change.name} @{change.line}"] = {
                                **change._asdict(), "ended": how, "left": told_left,
                                "files": files_of(belong[change]), "by": noticed_by[:1],
                                "told": "" if told_left else told[-300:],
                            }  # fmt: skip
                    took = time.monotonic() - start
                    print(f"{how:11} {took:5.1f} s  {len(told_left)} left  "
                          f"{change.module}:{change.line}  {change.before[:60]} -> "
                          f"{change.after[:60]}  {noticed_by[:1]}", flush=True)  # fmt: skip

                try:
                    compile(source, change.module, "exec", dont_inherit=True)
                except SyntaxError:
                    ended("failed", "no Python")
                    continue
                tests = belong[change] if saved else _known_first(belong[change], change, state)
                yield Try(change.module, change.function, source, tests, most, ended)
            print("all changes are tried")

        files = files_of([test for each in left for test in belong[each]])
        of_studies = any(each.module.startswith("wellsolar/studies/") for each in left)
        run_changes(copy, files, tries(), of_studies)


def _known_first(tests: Tests, change: Change, state: Path) -> Tests:
    """Tests of a change, those first that have noticed another one of its module."""
    known = {
        by
        for path in state.glob("sample_*.json")
        for name, one in json.loads(path.read_text("utf-8")).items()
        if name != ASKED and one["module"] == change.module
        for by in one["by"]
    }
    return sorted(tests, key=lambda test: test not in known)


def argued() -> dict[str, dict[str, Any]]:
    """Changes with a reason, by their names."""
    path = HERE / "argued.toml"
    found = tomllib.loads(path.read_text("utf-8")) if path.exists() else {}
    return {each["change"]: each for each in found.get("survivor", [])}


def table(state: Path, seeds: list[int]) -> str:
    """The share that was noticed, by layer, and every survivor with its reason."""
    reasons = argued()
    tried: list[dict[str, Any]] = []
    caught, nothing, all_of = Counter[str](), Counter[str](), Counter[str]()
    untried, by_saved = Counter[str](), Counter[str]()
    for seed in seeds:
        found = json.loads((state / f"sample_{seed}.json").read_text("utf-8"))
        asked = found.pop(ASKED, {})
        for layer in LAYERS:
            # What was tried of an earlier text of the code is not of this sample any more.
            names = asked.get(layer, [key for key in found if found[key]["layer"] == layer])
            ended = [
                name for name in names if found.get(name, {}).get("ended", "broken") != "broken"
            ]
            tried += [found[name] for name in ended]
            untried[layer] += len(names) - len(ended)
    survivors = []
    for each in tried:
        all_of[each["layer"]] += 1
        name = Change(**{key: each[key] for key in Change._fields}).name
        if each["ended"] in NOTICED:
            saved = any(test.startswith(SAVED) for test in each["by"])
            (by_saved if saved else caught)[each["layer"]] += 1
            continue
        if each.get(SAVED_TOLD):
            by_saved[each["layer"]] += 1
        reason = reasons.get(name, {})
        nothing[each["layer"]] += bool(reason.get("alters_nothing"))
        survivors.append((each, reason))
    lines = [f"Seeds {', '.join(map(str, seeds))}: {len(tried)} changes.", ""]
    lines += [
        "| layer | changes | alter nothing | caught | by saved text alone | survive | share | "
        "with saved text | not tried, not counted |",
        "|---|---|---|---|---|---|---|---|---|",
    ]
    for layer in LAYERS:
        counted, saved = all_of[layer] - nothing[layer], by_saved[layer]
        if counted or untried[layer]:
            shares = [f"{each / counted:.1%}" if counted else ""
                      for each in (caught[layer], caught[layer] + saved)]  # fmt: skip
            lines.append(f"| {layer} | {all_of[layer]} | {nothing[layer]} | {caught[layer]} | "
                         f"{saved} | {counted - caught[layer] - saved} | {shares[0]} | "
                         f"{shares[1]} | {untried[layer]} |")  # fmt: skip
    lines += ["", "## Survivors", ""]
    for each, reason in sorted(survivors, key=lambda one: (one[0]["layer"], one[0]["module"])):
        lines.append(
            f"- {each['layer']}, `{each['module']}:{each['line']}` ({each['kind']}): "
            f"`{each['before'][:110]}` -> `{each['after'][:110]}`. "
            + (reason.get("why") or "No reason yet.")
            + (f" {len(each['left'])} tests that reach it were not run." if each["left"] else "")
        )
    return "\n".join(lines) + "\n"


def main() -> None:
    """The commands."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("command", choices=("watch", "run", "table"))
    parser.add_argument("--seed", type=int, nargs="+", default=[1])
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--minutes", type=float, default=7.0)
    parser.add_argument("--nice", type=int, default=10)
    parser.add_argument(
        "--again", action="store_true", help="survivors too, by default without a limit of time"
    )
    parser.add_argument("--limit", type=float, help="of the processor [s]")
    parser.add_argument("--saved", action="store_true", help="survivors, on saved text alone")
    parser.add_argument("--kind", choices=KINDS, action="append")
    parser.add_argument("--layer", choices=LAYERS, action="append")
    parser.add_argument("-o", "--output", type=Path, help="where the table is written")
    asked = parser.parse_args()
    state = Path(tempfile.gettempdir()) / "wellsolar_mutation"
    state.mkdir(exist_ok=True)
    if asked.command == "table":
        text = table(state, asked.seed)
        print(text)
        if asked.output:
            asked.output.write_text(text, "utf-8")
        return
    os.nice(asked.nice)
    signal.signal(signal.SIGTERM, lambda *_: sys.exit("stopped: run it again"))
    load_libraries()
    if asked.command == "watch":
        with copied() as copy:
            watch(copy, state / CALLED, asked.minutes)
        return
    run(state, asked.seed[0], asked.count, asked.minutes, asked.layer or list(LAYERS),
        asked.again, asked.saved, asked.limit, asked.kind or ())  # fmt: skip


if __name__ == "__main__":
    main()
