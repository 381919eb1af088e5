"""Speed of a whole report, as a ratio to an interpreter that loads numpy and matplotlib.

The baseline is that and nothing more: what no report with figures can do without, whatever it
studies. Both are taken in turns and the least of each counts, so that a busy moment of the machine
falls on neither. The goal is 3 s on two cores that have nothing else to do; `pytest -s` prints the
seconds. A pass mark is the ratio alone, of processor time, which a busy machine hardly changes,
and of time by the clock, with more room.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

CHECKOUT = Path(__file__).parents[2]
SITE = CHECKOUT / "examples" / "ridge_house.toml"
TURNS = 3

BASELINE = """
import numpy
from matplotlib.backends import backend_svg
from matplotlib.figure import Figure
"""
REPORT = "import sys; from wellsolar.__main__ import main; sys.exit(main({arguments!r}))"

GOAL = 3.0
PROCESSOR_TIMES, CLOCK_TIMES = 13.0, 16.0
"""Marks. Measured on two cores: 11.1 times the processor time, 7.5 times by the clock."""

COUNTED = """
import sys
from wellsolar.reports.charts import draw as charts
drawn = charts.draw
def counting(plot, system):
    with open({tally!r}, "a") as tally:
        tally.write(plot.key + "\\n")
    return drawn(plot, system)
charts.draw = counting
"""


def taken(code: str) -> tuple[float, float]:
    """Seconds by the clock and of the processors, with all processes that it started."""
    before, begin = os.times(), time.perf_counter()
    run(code)
    end, after = time.perf_counter(), os.times()
    spent = after.children_user + after.children_system
    return end - begin, spent - before.children_user - before.children_system


def run(code: str) -> None:
    environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1", "PYTHONPATH": str(CHECKOUT)}
    subprocess.run(
        [sys.executable, "-c", code], cwd=CHECKOUT, env=environment, check=True,
        capture_output=True, timeout=300,
    )  # fmt: skip


def test_a_report_against_loading_its_tools(tmp_path: Path) -> None:
    report = REPORT.format(arguments=["report", str(SITE), "-o", str(tmp_path / "report.html")])
    run(report)  # so that bytecode is there, as after an installation
    pairs = [(taken(BASELINE), taken(report)) for _ in range(TURNS)]
    bare = [min(pair[0][each] for pair in pairs) for each in (0, 1)]
    whole = [min(pair[1][each] for pair in pairs) for each in (0, 1)]
    clock, processor = whole[0] / bare[0], whole[1] / bare[1]
    print(
        f"\nreport: {whole[0]:.2f} s by the clock (goal {GOAL:g} s on two idle cores), "
        f"{clock:.1f}x its tools alone; {whole[1]:.2f} s of the processors, {processor:.1f}x"
    )
    assert processor < PROCESSOR_TIMES
    assert clock < CLOCK_TIMES


def test_a_report_draws_every_figure_once(tmp_path: Path) -> None:
    tally, page = tmp_path / "drawn.txt", tmp_path / "report.html"
    arguments = ["report", str(SITE), "-o", str(page)]
    run(COUNTED.format(tally=str(tally)) + REPORT.format(arguments=arguments))
    counts = Counter(tally.read_text("utf-8").split())
    assert counts.pop("nothing") == 1  # the one that loads the tools
    assert len(counts) >= 8
    assert set(counts.values()) == {1}
    text = page.read_text("utf-8")
    assert all(f'id="{key}-title"' in text for key in counts)
