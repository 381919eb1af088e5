"""Work done beside a process: the same answers and errors as in it, whatever becomes of the other.

Each case runs in a fresh interpreter with one thread, since pytest's own may have several and then
forks nothing.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from wellsolar.beside import beside, may_fork

CHECKOUT = Path(__file__).parents[1]
BEGIN = """
import os, signal, sys, threading, time
from wellsolar import beside as module
from wellsolar.beside import beside, may_fork
here = os.getpid()
"""

linux = pytest.mark.skipif(
    not Path("/proc/self/task").is_dir() or len(os.sched_getaffinity(0)) < 2,
    reason="forks only where Linux lists the threads and there are two cores",
)


def run(code: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-W", "error", "-c", BEGIN + code],
        cwd=CHECKOUT,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )


def said(code: str) -> list[str]:
    ran = run(code)
    assert (ran.returncode, ran.stderr) == (0, "")
    return ran.stdout.split()


@linux
def test_the_work_is_done_by_another_process_while_the_block_runs() -> None:
    found = said("""
with beside(lambda: (os.getpid(), [1.5] * 100_000)) as answer:
    time.sleep(0.05)
    process, numbers = answer()
print(may_fork(), process != here, sum(numbers))
try:
    os.waitpid(-1, os.WNOHANG)
except ChildProcessError:
    print("nothing left")
""")
    assert found == ["True", "True", "150000.0", "nothing", "left"]


@linux
def test_two_at_a_time_and_one_within_another() -> None:
    assert said("""
def inner():
    with beside(lambda: 3) as answer:
        return 2 * answer()
with beside(inner) as one, beside(lambda: 5) as two:
    print(two(), one())
""") == ["5", "6"]


@linux
@pytest.mark.parametrize(
    "fate", ["os.kill(os.getpid(), signal.SIGKILL)", "os._exit(3)", "raise SystemExit(2)"]
)
def test_where_the_other_dies_the_work_is_done_here(fate: str) -> None:
    assert said(f"""
def work():
    if os.getpid() != here:
        {fate}
    return os.getpid()
with beside(work) as answer:
    print(answer() == here)
""") == ["True"]


@linux
def test_an_error_is_raised_here_and_told_once() -> None:
    assert said("""
def work():
    raise ValueError("no such flow")
try:
    with beside(work) as answer:
        answer()
except ValueError as error:
    print("once:", error)
""") == ["once:", "no", "such", "flow"]


@linux
def test_a_block_that_fails_or_does_not_ask_ends_the_other_at_once() -> None:
    assert said("""
begin = time.monotonic()
with beside(lambda: time.sleep(30)):
    pass
try:
    with beside(lambda: time.sleep(30)):
        raise KeyboardInterrupt
except KeyboardInterrupt:
    print(time.monotonic() - begin < 5)
try:
    os.waitpid(-1, os.WNOHANG)
except ChildProcessError:
    print("nothing")
""") == ["True", "nothing"]


@linux
def test_an_interrupt_from_the_keyboard_is_heard_by_the_parent_alone() -> None:
    """Ctrl-C goes to every process of the terminal's foreground group."""
    code = (
        BEGIN
        + """
with beside(lambda: time.sleep(30)) as answer:
    print("waiting", flush=True)
    answer()
"""
    )
    with subprocess.Popen(
        [sys.executable, "-c", code], cwd=CHECKOUT, stdout=subprocess.PIPE,
        stderr=subprocess.PIPE, text=True, start_new_session=True,
    ) as process:  # fmt: skip
        assert process.stdout.readline() == "waiting\n"
        time.sleep(0.2)
        os.killpg(process.pid, 2)
        _, errors = process.communicate(timeout=20)
    assert errors.count("Traceback") == 1
    assert errors.rstrip().endswith("KeyboardInterrupt")
    with pytest.raises(ProcessLookupError):
        os.killpg(process.pid, 0)


@linux
def test_with_a_second_thread_or_without_forking_the_work_is_done_here() -> None:
    assert said("""
stop = threading.Event()
other = threading.Thread(target=stop.wait)
other.start()
with beside(os.getpid) as answer:
    print(may_fork(), answer() == here)
stop.set()
other.join()
while len(os.listdir(module.TASKS)) > 1:  # the kernel forgets a thread a moment later
    time.sleep(0.01)
def refused():
    raise OSError("no more processes")
os.fork = refused
with beside(os.getpid) as answer:
    print(may_fork(), answer() == here)
module.TASKS = "/no such folder"
with beside(os.getpid) as answer:
    print(may_fork(), answer() == here)
""") == ["False", "True", "True", "True", "False", "True"]


@linux
def test_what_waits_in_the_output_is_written_once() -> None:
    """A forked process has a copy of what its parent has not yet written."""
    assert said("""
print("once")
with beside(lambda: 1) as answer:
    answer()
""") == ["once"]


def test_here_too_the_answer_is_that_of_the_work() -> None:
    with beside(lambda: may_fork() or True) as answer:
        assert answer() is True
