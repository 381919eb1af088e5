"""The commands: each loads a site, has it studied and writes what was found.

Everything heavy is imported inside functions, so that `wellsolar --help` answers at once.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from wellsolar import __version__

if TYPE_CHECKING:
    from wellsolar.errors import OutputError
    from wellsolar.results import Results
    from wellsolar.units import System

PUMP = ("pump", "supply")
TANK = ("tank",)
HAND = ("hand",)
RANKING = "ranking"
RANGES = "ranges"
MATCH = ("match",)
HEAT = ("heat", *MATCH)
HEAT_RANKING = "heat ranking"
OUTAGE = ("outage",)
EVERYTHING = (*PUMP, *TANK, *HAND, *HEAT)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, message="wellsolar %(version)s")
def wellsolar() -> None:
    """Size and check water, power and heat for a house with its own well.

    One text file describes the site: `wellsolar starter site.toml` writes one to begin from.

    \b
    Exit codes
      0  evaluated, nothing fails
      1  evaluated, something fails
      2  the site file, the command line or the place to write to could not be used
      3  wellsolar itself failed
    """


def help_width() -> int:
    """Columns for help texts; click would ask shutil, whose import is a tenth of the start."""
    told = os.environ.get("COLUMNS", "")
    columns = int(told) if told.isdecimal() else 0
    if columns <= 0:
        try:
            columns = os.get_terminal_size(sys.stdout.fileno()).columns
        except (OSError, ValueError, AttributeError):
            columns = 80
    return max(50, min(columns, 100) - 2)


def _reads_site(function: Callable[..., int]) -> Callable[..., int]:
    """The argument and options that all commands on a site share."""
    decorate: list[Any] = [
        click.argument("site", type=click.Path()),
        click.option(
            "--units",
            type=click.Choice(["US", "SI"], case_sensitive=False),
            metavar="[US|SI]",
            help="Print in these units; otherwise in those the site file asks for.",
        ),
        click.option(
            "--json",
            "json_path",
            metavar="PATH",
            type=click.Path(),
            help="Also write everything as JSON, in SI; `-` writes only JSON, to standard output.",
        ),
    ]
    for each in reversed(decorate):
        function = each(function)
    return function


@wellsolar.command()
@_reads_site
def check(site: str, units: System | None, json_path: str | None) -> int:
    """Answer everything that the SITE file describes."""
    return _study(site, EVERYTHING, units, json_path)


@wellsolar.command()
@_reads_site
@click.option(
    "--cases",
    type=click.IntRange(8, 65_536),
    default=256,
    show_default=True,
    help="Cases to sample where SITE gives ranges.",
)
@click.option(
    "--seed", type=click.IntRange(0), default=1, show_default=True, help="Seed of the sampling."
)
@click.option(
    "--top",
    type=click.IntRange(1, 1000),
    default=10,
    show_default=True,
    metavar="N",
    help="Print the N best of the ranking.",
)
@click.option("--starters", is_flag=True, help="Rank the shipped pumps too, which are invented.")
def pump(site: str, units: System | None, json_path: str | None, **options: Any) -> int:
    """Check the powered pumps of SITE, their wires and their array.

    Head build-up at cut-in and cut-out, energy a day, starting on the inverter, and the modules
    each pump wants month by month. Then the year hour by hour: days short, and the smallest array
    of every pump with several batteries. Where SITE gives ranges: in what share of cases each
    verdict holds, and what it hangs on.
    """
    return _study(site, (*PUMP, RANKING, RANGES), units, json_path, **options)


@wellsolar.command()
@_reads_site
@click.option("--match", is_flag=True, help="Only how array and element suit each other.")
@click.option(
    "--rank", is_flag=True, help="Only arrays, elements and tanks, ranked by their hot water."
)
@click.option(
    "--top",
    type=click.IntRange(1, 100),
    default=10,
    show_default=True,
    metavar="N",
    help="Print the N best of that ranking.",
)
def heat(
    site: str, units: System | None, json_path: str | None, match: bool, rank: bool, top: int
) -> int:
    """Check the tank of SITE that modules heat.

    The array on its element, days to the setpoint, what the household gets, and whether it is
    safe. Then what else could stand between array and element, and which element takes the most
    of the modules in a year.
    """
    if rank:
        parts = (*(MATCH if match else ()), HEAT_RANKING)
        return _study(site, parts, units, json_path, top=top, workers=2)
    return _study(site, MATCH if match else HEAT, units, json_path)


@wellsolar.command()
@_reads_site
def hand(site: str, units: System | None, json_path: str | None) -> int:
    """Check the hand pump of SITE.

    Water a minute, effort at the handle, and minutes for a day's water.
    """
    return _study(site, HAND, units, json_path)


@wellsolar.command()
@_reads_site
def outage(site: str, units: System | None, json_path: str | None) -> int:
    """Find what is left at SITE when things fail.

    Litres, work and hot water of every source in every outage, and the components whose failure
    alone leaves too little to live on, with the change that helps.
    """
    return _study(site, OUTAGE, units, json_path)


@wellsolar.command()
@_reads_site
def tank(site: str, units: System | None, json_path: str | None) -> int:
    """Check the pressure tank of SITE.

    Drawdown, precharge, run time, and starts of each pump.
    """
    return _study(site, TANK, units, json_path)


@wellsolar.command()
@click.argument("path", type=click.Path())
def starter(path: str) -> int:
    """Write a commented site file to PATH, to be changed into yours.

    An existing file stays as it is.
    """
    from wellsolar.reports.files import write_new
    from wellsolar.site.starter import starter_text

    write_new(path, starter_text())
    _print(
        f"Wrote {path}: an invented site, to be changed into yours. Then: wellsolar check {path}\n"
    )
    return 0


def _study(
    site: str,
    parts: tuple[str, ...],
    units: System | None,
    json_path: str | None,
    **options: Any,
) -> int:
    """Load, study, write; the exit code by the verdicts."""
    from wellsolar.site.read import load_site

    site_file = load_site(site)
    if json_path is not None and json_path != "-":
        _check_json_place(json_path, site)
    from wellsolar.reports import json_file, table
    from wellsolar.studies.everything import Options, study_site

    system = units or site_file.site.site.print_units
    if {RANKING, HEAT_RANKING} & set(parts):
        from wellsolar.reports.progress import bar

        with bar("ranking") as progress:
            chosen = Options(**options, progress=progress)
            results = study_site(site_file, parts, system, chosen)
    else:
        results = study_site(site_file, parts, system, Options(**options))
    sections = table.sections(results)
    if json_path is not None:
        text = json_file.as_text(results, sections)
        if json_path == "-":
            _print_bytes(text.encode("utf-8"))
            return int(results.fails)
        from wellsolar.reports.files import write_whole

        write_whole(json_path, text)
    _print_report(sections, results)
    return int(results.fails)


def _check_json_place(json_path: str, site: str) -> None:
    from wellsolar.reports.files import check_place

    check_place(json_path)
    if os.path.exists(json_path) and os.path.samefile(json_path, site):
        raise _output_error(f"{json_path}: is the site file itself: name another for the JSON")


def _print_report(sections: Any, results: Results) -> None:
    from wellsolar.reports import terminal

    _to_stdout(lambda: terminal.write(sections, results, sys.stdout, results.system))


def _print(text: str) -> None:
    _to_stdout(lambda: sys.stdout.write(text))


def _print_bytes(data: bytes) -> None:
    """JSON is UTF-8 whatever encoding the terminal has."""
    _to_stdout(lambda: sys.stdout.buffer.write(data))


def _to_stdout(write: Callable[[], object]) -> None:
    """Write to standard output; a reader that has gone away is no failure, a full disk is."""
    if sys.stdout is None:  # as Python has it where the shell closed it
        raise _output_error("standard output is closed: leave it open or use --json PATH")
    try:
        write()
        sys.stdout.flush()
    except BrokenPipeError:
        leave_stdout()
    except OSError as error:
        leave_stdout()
        message = f"standard output could not be written ({error.strerror})"
        raise _output_error(message) from error


def _output_error(message: str) -> OutputError:
    from wellsolar.errors import OutputError

    return OutputError(message)


def leave_stdout() -> None:
    """Let what is still to be flushed at exit go nowhere."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
