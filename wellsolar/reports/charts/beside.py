"""Draws figures beside the studies: a process of its own loads what drawing needs meanwhile."""

from __future__ import annotations

import gc
import os
import signal
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import TYPE_CHECKING

from wellsolar import kinds
from wellsolar.beside import beside, cores, interrupts_held, may_fork
from wellsolar.reports.figures.plots import (
    Axis,
    BarPanel,
    BarSeries,
    CurvePanel,
    Guide,
    Line,
    Mark,
    Plot,
)
from wellsolar.units import System

if TYPE_CHECKING:
    from multiprocessing.context import ForkContext, SpawnContext

SPAWNED = 2
"""Processes where none can be forked: while they draw this one waits, so that two cores have
work. One that is forked forks its own helper when it has loaded what both need."""

Draw = Callable[[Sequence[Plot], System], list[str]]


@contextmanager
def drawing() -> Iterator[Draw]:
    """What draws plots as SVG, for the length of a block.

    Where no process can be started, or one dies, its figures are drawn in this one, to the same
    bytes.
    """
    wanted = 1 if may_fork() else SPAWNED if cores() > 1 else 0
    started = [worker for worker in (_started() for _ in range(wanted)) if worker is not None]

    def draw(plots: Sequence[Plot], system: System) -> list[str]:
        drawn = [""] * len(plots)
        hands = len(started) or 1
        shares = [range(first, len(plots), hands) for first in range(hands)]
        asked = [
            _asked(line, [plots[number] for number in share], system)
            for (_, line), share in zip(started, shares, strict=False)
        ]
        for place, share in enumerate(shares):
            mine = _answer(started[place][1]) if place < len(asked) and asked[place] else None
            if mine is None:
                mine = draw_all([plots[number] for number in share], system)
            for number, svg in zip(share, mine, strict=True):
                drawn[number] = svg
        return drawn

    try:
        yield draw
    finally:
        for process, _ in started:
            process.terminate()
            process.join()


def draw_all(plots: Sequence[Plot], system: System) -> list[str]:
    """The SVG of each plot."""
    from wellsolar.reports.charts.draw import draw

    return [draw(plot, system) for plot in plots]


def _asked(line: Connection, plots: list[Plot], system: System) -> bool:
    """Whether the process at the other end of a line was given figures to draw."""
    try:
        line.send((plots, system))
    except (OSError, ValueError):
        return False
    return True


def _answer(line: Connection) -> list[str] | None:
    """What came back; None where the process died."""
    try:
        drawn: list[str] = line.recv()
    except (EOFError, OSError):
        return None
    return drawn


def _started() -> tuple[BaseProcess, Connection] | None:
    """A process that is on its way already, and the line to it; None where there is none."""
    context: ForkContext | SpawnContext
    context = get_context("fork") if may_fork() else get_context("spawn")
    try:
        ours, theirs = context.Pipe()
        process = context.Process(target=_work, args=(ours, theirs), daemon=True)
        with interrupts_held():
            process.start()
    except (OSError, ImportError, NotImplementedError):
        return None
    theirs.close()
    return process, ours


def _work(theirs: Connection, line: Connection) -> None:
    """Load what drawing needs, then draw what comes along the line, once.

    The other end of the line is closed here, so that the line ends with the parent.
    """
    theirs.close()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # An interrupt is for the parent to heed.
    gc.disable()  # Imports and figures make much and drop little; the process ends with them.
    draw_all([_nothing()], "US")
    try:
        plots, system = line.recv()
        line.send(_drawn_by_two(plots, system))
    except (EOFError, OSError):  # Nobody asks any more.
        return


def _drawn_by_two(plots: Sequence[Plot], system: System) -> list[str]:
    """The SVG of each plot; this process and one beside it take a figure whenever they have none,
    the last first."""
    reads, writes = os.pipe()
    os.write(writes, bytes(reversed(range(len(plots)))))
    os.close(writes)

    def drawn_here() -> dict[int, str]:
        drawn = {}
        while taken := os.read(reads, 1):
            drawn[taken[0]] = draw_all([plots[taken[0]]], system)[0]
        return drawn

    with beside(drawn_here) as drawn_there:
        drawn = drawn_here() | drawn_there()
    os.close(reads)
    left = [number for number in range(len(plots)) if number not in drawn]  # of one that died
    drawn |= zip(left, draw_all([plots[number] for number in left], system), strict=True)
    return [drawn[number] for number in range(len(plots))]


def _nothing() -> Plot:
    """A figure for nobody, with all that takes time when it is first drawn."""
    curves = CurvePanel(
        "title",
        Axis("x", kinds.LENGTH),
        Axis("y", kinds.LENGTH),
        (Line("line", "line", (0.0, 1.0), (0.0, 1.0), 0),),
        (Mark("mark", "mark", (0.5,), (0.5,), 1),),
        (Guide("level", "level", 0.5, 1),),
    )
    series = (BarSeries("bar", "bar", (1.0, 2.0), 3),)
    bars = BarPanel("title", ("a", "b"), Axis("y", kinds.LENGTH), series)
    return Plot("nothing", "", "", (), "", (curves, bars))
