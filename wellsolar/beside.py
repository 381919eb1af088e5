"""A piece of work done beside this process, by one that is forked from it.

What is forked has all that was loaded and made here, so that it begins at once. Whatever keeps it
from giving an answer, the work is then done here, and its errors are raised here.
"""

from __future__ import annotations

import os
import pickle
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import Any, TypeVar

Answer = TypeVar("Answer")

TASKS = "/proc/self/task"
"""Where Linux lists the threads of a process, those of libraries too."""


@contextmanager
def beside(work: Callable[[], Answer]) -> Iterator[Callable[[], Answer]]:
    """Do a piece of work in a process of its own while a block runs.

    Parameters:
        work: what is to be done; its answer can be pickled
    Returns:
        for the length of the block, what waits for the answer and gives it; to be called once
    """
    begun = _forked(work) if may_fork() else None

    def answer() -> Answer:
        answered = None if begun is None else _told(begun[1])
        return work() if answered is None else answered[0]

    try:
        yield answer
    finally:
        if begun is not None:
            _end(*begun)


def may_fork() -> bool:
    """Whether forking is safe here and pays: one thread in all, and a second core.

    A lock that another thread holds stays locked for ever in a process that is forked.
    """
    try:
        return len(os.listdir(TASKS)) == 1 and cores() > 1
    except OSError:  # no Linux
        return False


def cores() -> int:
    """Cores that this process may run on."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # no Linux
        return os.cpu_count() or 1


@contextmanager
def interrupts_held() -> Iterator[None]:
    """An interrupt waits for the end of the block, and a process born in it never hears of any.

    The parent ends the work of its children; one that was interrupted itself would only complain.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _forked(work: Callable[[], Any]) -> tuple[int, int] | None:
    """The process that works and the end of a pipe that its answer comes from; None where the
    system gives none."""
    with interrupts_held():
        try:
            reads, writes = os.pipe()
        except OSError:
            return None
        try:
            process = os.fork()
        except OSError:
            os.close(reads)
            os.close(writes)
            return None
        if process == 0:
            _work(work, writes)
        os.close(writes)
        return process, reads


def _work(work: Callable[[], Any], writes: int) -> None:
    """Work, answer and end; nothing that the parent has begun is finished or flushed here."""
    try:
        packed = pickle.dumps(work(), pickle.HIGHEST_PROTOCOL)
        with open(writes, "wb") as line:
            line.write(packed)
    finally:
        os._exit(0)


def _told(reads: int) -> tuple[Any] | None:
    """What a process answered; None where it ended without a whole answer."""
    with open(reads, "rb", closefd=False) as line:
        try:
            return (pickle.load(line),)
        except (EOFError, pickle.UnpicklingError):
            return None


def _end(process: int, reads: int) -> None:
    os.close(reads)
    with suppress(ProcessLookupError, ChildProcessError):
        os.kill(process, signal.SIGKILL)
        os.waitpid(process, 0)
