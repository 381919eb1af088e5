"""The shipped outputs are what the commands print today; they hold freshness, not truth.

A number may differ in its last printed digit, for other processors round otherwise. Where a
change is meant: `python -m tests.examples.make_outputs`, and read what has changed.
"""

from __future__ import annotations

import contextlib
import math
import os
import re
from pathlib import Path
from unittest import mock

import pytest

from tests.examples import make_outputs

NUMBER = re.compile(r"\d+(?:\.\d+)?")
LARGEST = 420_000
"""All outputs together [bytes]."""


@pytest.fixture(scope="module")
def fresh(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("outputs")
    with contextlib.chdir(make_outputs.CHECKOUT), mock.patch.dict(os.environ):
        make_outputs.write(folder, map(make_outputs.printed, make_outputs.COMMANDS.values()))
    return folder


def differs(shipped: str, printed: str) -> str:
    """The first place where two texts differ by more than rounding; empty where none does."""
    old, new = NUMBER.split(_words(shipped)), NUMBER.split(_words(printed))
    for before, after in zip(old, new, strict=False):
        if before != after:
            return f"{before!r} is now {after!r}"
    numbers = zip(NUMBER.findall(shipped), NUMBER.findall(printed), strict=False)
    for before, after in numbers:
        if abs(float(before) - float(after)) > 1.001 * max(_digit(before), _digit(after)):
            return f"{before} is now {after}"
    return "" if len(old) == len(new) else "one is longer"


def _words(text: str) -> str:
    """Without the room between columns, which grows with a number's digits."""
    return re.sub(r"[\s-]*\s[\s-]*", " ", text)


def _digit(number: str) -> float:
    """What the last printed digit is worth; of a sum, that is printed with three, the third."""
    whole, _, decimals = number.partition(".")
    noughts = len(whole) - len(whole.rstrip("0")) if not decimals else 0
    return math.pow(10, max(0, min(noughts, len(whole) - 3)) - len(decimals))


ANSWERS = {
    "size": r"BUY pump [\d.]+ gpm; intake \d+ ft; drop pipe",
    "parts": r"\d+ to change, \d+ to add.* To add: \w+",
    "sheet": r"\d+ readings in \d+ steps",
    "card": r"WHAT HAS FAILED\?.* 1[.] \w+",
    "compare": r"cautions?.*Verdicts: \d+ differ",
    "readings": r"[\d.]+ A, expected [\d.]+ A to [\d.]+ A",
}
"""What the first fifty words of a command tell; those on one screen are held by their own test."""


@pytest.mark.parametrize(
    "name", [name for name in make_outputs.COMMANDS if Path(name).stem in ANSWERS]
)
def test_the_first_fifty_words_answer(name: str) -> None:
    text = (make_outputs.OUTPUTS / name).read_text(encoding="utf-8").partition("\n")[2]
    words = [word for word in text.split() if re.search(r"\w", word)]
    assert re.search(ANSWERS[Path(name).stem], " ".join(words[:50]))


@pytest.mark.parametrize("name", make_outputs.COMMANDS)
def test_the_shipped_output_is_fresh(fresh: Path, name: str) -> None:
    shipped = (make_outputs.OUTPUTS / name).read_text(encoding="utf-8")
    assert not differs(shipped, (fresh / name).read_text(encoding="utf-8"))


def test_nothing_else_is_shipped_and_it_is_small() -> None:
    shipped = [path for path in make_outputs.OUTPUTS.rglob("*") if path.is_file()]
    names = {path.relative_to(make_outputs.OUTPUTS).as_posix() for path in shipped}
    assert names == set(make_outputs.COMMANDS)
    assert sum(path.stat().st_size for path in shipped) < LARGEST


def test_text_fits_the_terminal() -> None:
    for name in make_outputs.COMMANDS:
        if name.endswith(".txt"):
            text = (make_outputs.OUTPUTS / name).read_text(encoding="utf-8")
            wide = [line for line in text.split("\n")[1:] if len(line) > int(make_outputs.WIDTH)]
            assert not wide, name


def test_the_comparison_sees_a_change_and_forgives_a_last_digit() -> None:
    assert not differs("flow  9.98 gpm\n---- ---", "flow  9.99 gpm\n----- ---")
    assert not differs("at 9.99 gpm, pass", "at  10.0 gpm, pass")
    assert differs("flow 9.98 gpm", "flow 10.4 gpm")
    assert differs("flow 9.98 gpm: pass", "flow 9.98 gpm: caution")
    assert differs("flow 9.98 gpm", "flow 9.98 gpm and more")
