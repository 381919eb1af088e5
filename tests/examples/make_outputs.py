"""Writes what the commands print for the shipped examples into `examples/outputs`.

Run at the top of a checkout: `python -m tests.examples.make_outputs`.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

CHECKOUT = Path(__file__).parents[2]
OUTPUTS = CHECKOUT / "examples" / "outputs"
WIDTH = "80"

RIDGE = "examples/ridge_house.toml"
CHECKED = ("ridge_house", "poor_well", "high_pass")

SCREENS = ("ridge_house", "poor_well", "creek_cabin", "smallest")

COMMANDS: dict[str, list[str]] = {
    **{f"{site}/screen.txt": ["check", f"examples/{site}.toml"] for site in SCREENS},
    **{f"{site}/check.txt": ["check", f"examples/{site}.toml", "--full"] for site in CHECKED},
    **{
        f"{site}/{command}.txt": [command, f"examples/{site}.toml"]
        for site in ("ridge_house", "creek_cabin", "village_borehole")
        for command in ("card", "parts", "sheet")
        if site != "creek_cabin" or command == "card"  # the other two show what lists have
    },
    "ridge_house/readings.txt": [
        "readings", RIDGE, "--full", "--from", "examples/readings/ridge_house.toml",
    ],
    "ridge_house/compare.txt": [
        "compare", RIDGE, "--with", "array[hot water].series=5",
        "--with", "pump[1].cable.gauge=10 AWG",
    ],
    "meadow_farm/card.txt": ["card", "examples/meadow_farm.toml"],
    "creek_cabin/outage.txt": ["outage", "examples/creek_cabin.toml", "--full"],
    "village_borehole/hand.txt": ["hand", "examples/village_borehole.toml", "--full"],
    "new_house/size.txt": ["size", "examples/needs/new_house.toml"],
    "south_slope/heat_match.txt": ["heat", "examples/south_slope.toml", "--match", "--full"],
}  # fmt: skip
"""What a newcomer wants to see, by the file that shows it."""


def printed(arguments: list[str]) -> str:
    """What a command prints, below the line that was typed, and its exit code.

    Parameters:
        arguments: what stands after `wellsolar`
    Returns:
        the text of an output file; the bare output of one that goes to a file of its own
    """
    os.chdir(CHECKOUT)
    os.environ["COLUMNS"] = WIDTH
    from wellsolar.__main__ import main

    raw = io.BytesIO()
    out = io.TextIOWrapper(raw, encoding="utf-8", newline="", write_through=True)
    with contextlib.redirect_stdout(out):
        code = main(arguments)
        out.flush()
    text = raw.getvalue().decode("utf-8")
    if code not in (0, 1):
        raise SystemExit(f"wellsolar {' '.join(arguments)}: exit code {code}")
    if "-" in arguments:
        return text
    typed = " ".join(f"'{each}'" if {" ", "["} & set(each) else each for each in arguments)
    return f"$ wellsolar {typed}\n{text}(exit code {code})\n"


def make(folder: Path) -> None:
    """Print every output in one of two processes and write it into a folder."""
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        write(folder, pool.map(printed, COMMANDS.values()))


def write(folder: Path, texts: Iterable[str]) -> None:
    """Write every output into a folder.

    Parameters:
        folder: where to; the folders of the sites are made in it
        texts: of the outputs, in their order
    """
    for name, text in zip(COMMANDS, texts, strict=True):
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8", newline="")


if __name__ == "__main__":
    os.environ["PYTHONPATH"] = str(CHECKOUT)
    make(OUTPUTS)
    written = sum(path.stat().st_size for path in OUTPUTS.rglob("*") if path.is_file())
    sys.stdout.write(f"{len(COMMANDS)} outputs, {written / 1000:.0f} kB in {OUTPUTS}\n")
