"""The commands: each loads a site, has it studied and writes what was found.

Everything heavy is imported inside functions, so that `wellsolar --help` answers at once.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

import click

from wellsolar import __version__, commands, output

if TYPE_CHECKING:
    from wellsolar.reports.pages.report import For
    from wellsolar.site.loading.read import SiteFile
    from wellsolar.units import System

SETTINGS = "wellsolar.settings"
"""Where click keeps the values of `--with`, so that every command finds it."""


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


def _kept(key: str) -> Callable[[click.Context, click.Parameter, Any], None]:
    """What keeps an option's value for whoever asks the context for it."""

    def keep(context: click.Context, _: click.Parameter, value: Any) -> None:
        context.meta[key] = value

    return keep


_changes_values = click.option(
    "--with",
    multiple=True,
    metavar="KEY=VALUE",
    expose_value=False,
    callback=_kept(SETTINGS),
    help="Ask what if: a value in place of the file's, as well.static_level=110ft or "
    "'pump[2].flow=0, 2, 4 gpm'. May be repeated; the file stays as it is.",
)


_replaces_files = click.option(
    "--force",
    is_flag=True,
    expose_value=False,
    callback=_kept(commands.FORCE),
    help="Replace any file that is there, also one that this command did not write or that was "
    "changed since; never a file that it reads.",
)


_writes_page = click.option(
    "-o",
    "--output",
    "page_path",
    metavar="PATH",
    required=True,
    type=click.Path(),
    help="The page to write; `-` writes it to standard output.",
)
_prints_all = click.option(
    "--full",
    is_flag=True,
    expose_value=False,
    callback=_kept(commands.FULL),
    help="Print everything, by pages at a terminal; otherwise what one screen holds.",
)
_prints_one = click.option(
    "--about",
    metavar="WORD",
    expose_value=False,
    callback=_kept(commands.ABOUT),
    help="Print only one verdict, number, rule, key or source with its reasons, found by a WORD "
    "of it; more words in quotes narrow it.",
)


def _answers(function: Callable[..., int]) -> Callable[..., int]:
    """The options of a command that answers on one screen."""
    return _prints_all(_prints_one(function))


def _load(site: str) -> SiteFile:
    """Read a site file, with the values of `--with` in place of its own."""
    from wellsolar.site.loading.read import load_site

    return load_site(site, click.get_current_context().meta.get(SETTINGS, ()))


def _reads_site(function: Callable[..., int]) -> Callable[..., int]:
    """The argument and options that all commands on a site share."""
    return click.argument("site", type=click.Path())(_reads_sites(function))


def _reads_sites(function: Callable[..., int]) -> Callable[..., int]:
    """The options of every command, on one site or several."""
    decorate: list[Any] = [
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
        _replaces_files,
        _changes_values,
    ]
    for decorator in reversed(decorate):
        function = decorator(function)
    return function


def _page_of(help_text: str) -> Callable[..., Any]:
    """The option of a command whose text may be had as a page."""
    return click.option(
        "-o",
        "--html",
        "page_path",
        metavar="PATH",
        type=click.Path(),
        help=f"{help_text}; `-` writes the page to standard output.",
    )


def _of_stock(help_text: str) -> Callable[..., Any]:
    """The option of a command that may be given files of the user's own stock."""
    return click.option(
        "--stock", metavar="FILE", multiple=True, type=click.Path(), help=help_text
    )


@wellsolar.command()
@_reads_site
@_answers
def check(site: str, units: System | None, json_path: str | None) -> int:
    """Answer everything that the SITE file describes."""
    return commands.run_study(_load(site), commands.EVERYTHING, units, json_path)


@wellsolar.command()
@_reads_site
@_answers
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
@_of_stock("A CSV of pumps to rank beside those of SITE; may be given more than once.")
def pump(
    site: str, units: System | None, json_path: str | None, stock: tuple[str, ...], **options: Any
) -> int:
    """Check the powered pumps of SITE, their wires and their array.

    Head build-up at cut-in and cut-out, energy a day, starting on the inverter, and the modules
    each pump wants month by month. Then the year hour by hour: days short, and the smallest array
    of every pump with several batteries. Where SITE gives ranges: in what share of cases each
    verdict holds, and what it hangs on.
    """
    from wellsolar.site.loading.stock import load_stock

    return commands.run_study(
        _load(site),
        commands.PUMPS_COMPARED,
        units,
        json_path,
        stock=load_stock(stock),
        **options,
    )


@wellsolar.command()
@_reads_site
@_answers
@click.option("--match", is_flag=True, help="Only how array and element suit each other.")
@click.option(
    "--rank",
    is_flag=True,
    help="Only arrays, elements and tanks, ranked by their hot water. Of those that reach what is "
    "aimed at, `size` takes the one with the fewest modules.",
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
        parts = (*(commands.MATCH if match else ()), *commands.HEATERS_COMPARED)
        return commands.run_study(_load(site), parts, units, json_path, top=top, workers=2)
    return commands.run_study(
        _load(site), commands.MATCH if match else commands.HEAT, units, json_path
    )


@wellsolar.command()
@_reads_site
@_answers
def hand(site: str, units: System | None, json_path: str | None) -> int:
    """Check the hand pump of SITE.

    Water a minute, effort at the handle, and minutes for a day's water.
    """
    return commands.run_study(_load(site), commands.HAND, units, json_path)


@wellsolar.command()
@_reads_site
@_answers
def outage(site: str, units: System | None, json_path: str | None) -> int:
    """Find what is left at SITE when things fail.

    Litres, work and hot water of every source in every outage, and the components whose failure
    alone leaves too little to live on, with the change that helps.
    """
    return commands.run_study(_load(site), commands.OUTAGE, units, json_path)


@wellsolar.command()
@_reads_site
@_answers
def tank(site: str, units: System | None, json_path: str | None) -> int:
    """Check the pressure tank of SITE.

    Drawdown, precharge, run time, and starts of each pump.
    """
    return commands.run_study(_load(site), commands.TANK, units, json_path)


@wellsolar.command()
@_reads_site
@_writes_page
@click.option("--owner", is_flag=True, help="Only the part for the owner.")
@click.option("--engineer", is_flag=True, help="Only the appendix for the engineer.")
def report(
    site: str,
    units: System | None,
    json_path: str | None,
    page_path: str,
    owner: bool,
    engineer: bool,
) -> int:
    """Write a page about SITE: a part for the owner, and an appendix for the engineer.

    The page is HTML, needs no other file and no network, and prints on letter and A4 paper. Names,
    date, logo and photographs come from [job] of SITE.
    """
    parts: list[For] = []
    parts += ["owner"] if owner or not engineer else []
    parts += ["engineer"] if engineer or not owner else []
    return commands.run_report(_load(site), units, json_path, page_path, parts)


@wellsolar.command()
@_reads_site
@click.option(
    "--csv",
    "csv_path",
    metavar="PATH",
    type=click.Path(),
    help="Also write the list as CSV, its last line naming what it is; `-` writes only CSV, to "
    "standard output.",
)
@_page_of("Write it as a page to print")
def parts(
    site: str,
    units: System | None,
    json_path: str | None,
    csv_path: str | None,
    page_path: str | None,
) -> int:
    """List what the design of SITE needs: pipe, wire, valves, switches, modules.

    Each line says how much, of what size, whether the file has it so, and from which verdict it
    follows. Prices that the file gives in [[price]] are added up.
    """
    return commands.run_parts(_load(site), units, json_path, csv_path, page_path)


@wellsolar.command()
@_reads_site
@_page_of("Write it as a page for one sheet of paper")
def card(site: str, units: System | None, json_path: str | None, page_path: str | None) -> int:
    """Write the card by which SITE's owner knows what to do when the water stops.

    Steps in plain words for each failure, from this site's own equipment: which breaker, which
    valve, in which order, by which numbers it is seen to work, and what never to do.
    """
    return commands.run_card(_load(site), units, json_path, page_path)


@wellsolar.command()
@click.argument("sites", metavar="SITE SITE...", nargs=-1, required=True, type=click.Path())
@_reads_sites
@_prints_all
@click.option("--all", "everything", is_flag=True, help="Also what is the same at every site.")
@_page_of("Write a proposal of two or three designs as a page to print and sign")
def compare(
    sites: tuple[str, ...],
    units: System | None,
    json_path: str | None,
    everything: bool,
    page_path: str | None,
) -> int:
    """Set the numbers of several SITE files side by side, what differs first.

    Of one SITE and `--with`, the file as it stands beside what the changes make of it. The exit
    code is that of the worst of them.
    """
    settings = click.get_current_context().meta.get(SETTINGS, ())
    return commands.run_compare(sites, settings, units, json_path, everything, page_path)


class _TakesReadings(click.Command):
    """A command with an option for every row of the table of readings, made when it is called."""

    @cached_property
    def _of_readings(self) -> list[click.Parameter]:
        from wellsolar.site.readings.table import READINGS

        return [click.Option([row.option], metavar="VALUE", help=row.help) for row in READINGS]

    def get_params(self, ctx: click.Context) -> list[click.Parameter]:
        """The parameters of its function, and before the help option those of the table."""
        *own, asks_help = super().get_params(ctx)
        return [*own, *self._of_readings, asks_help]


@wellsolar.command(cls=_TakesReadings)
@_reads_site
@_answers
@click.option("--from", "path", metavar="PATH", type=click.Path(), help="Readings, TOML or CSV.")
def readings(
    site: str, units: System | None, json_path: str | None, path: str | None, **written: str | None
) -> int:
    """Say whether readings at the finished job of SITE are right.

    What is expected at that time, what the reading implies, and the two likeliest causes where it
    is off. A value may say how far it can be off: "8.4 A +- 0.1".

    A CSV has a line a time, its columns named as the options here, with units in the heads or in
    the cells; a TOML has a table [[reading]] a time.
    """
    from wellsolar.site.readings.file import load_readings, readings_of_options

    given_values = {key: value for key, value in written.items() if value is not None}
    if not given_values and path is None:
        raise click.UsageError("Give a reading, such as --element-amps 8.4, or --from a file.")
    given = [] if path is None else list(load_readings(path))
    given += [readings_of_options(given_values)] if given_values else []
    site_file = _load(site)
    read = [] if path is None else [("the file of readings", path)]
    outputs = commands.outputs_of([*read, *site_file.inputs], JSON=json_path)
    from wellsolar.reports.text.progress import working
    from wellsolar.studies.case import Case
    from wellsolar.studies.reading.study import study_readings

    with working(f"studying {site}"):
        results = study_readings(Case(site_file), given, units)
    return commands.write_results(results, outputs)


@wellsolar.command()
@_reads_site
@click.option(
    "-o",
    "--output",
    "design_path",
    metavar="PATH",
    type=click.Path(),
    help="Write the design as a site file, SITE's own remarks kept; `-` writes it to standard "
    "output.",
)
@_of_stock(
    "A CSV of pumps, modules, tanks, elements, wire or pipe to choose from, what is on hand "
    "first; may be given more than once."
)
@click.option(
    "--replace",
    "replaced",
    metavar="PART",
    multiple=True,
    help="Size a part anew that SITE has, as pump, 'drop pipe', battery or a key such as "
    "pump[2]; without it what SITE has is kept, and said where it fails. May be given more than "
    "once.",
)
@click.option(
    "--design",
    "which",
    type=click.Choice(("least", "ordinary", "reserve")),
    default="ordinary",
    show_default=True,
    help="What it is sized for: least for the likeliest values of SITE's ranges, ordinary for "
    "their worst ends, reserve for those in a dark year with one thing dead.",
)
@click.option(
    "--three",
    is_flag=True,
    help="Show all three designs side by side, which takes twice to three times as long.",
)
@click.option(
    "--html",
    "page_path",
    metavar="PATH",
    type=click.Path(),
    help="With --three, write them as a proposal, a page to print and sign; `-` writes it to "
    "standard output.",
)
@_prints_all
def size(
    site: str,
    units: System | None,
    json_path: str | None,
    design_path: str | None,
    stock: tuple[str, ...],
    replaced: tuple[str, ...],
    which: Literal["least", "ordinary", "reserve"],
    three: bool,
    page_path: str | None,
) -> int:
    """Choose what SITE does not say: pump, pipes, wire, tanks, modules and element for hot water.

    SITE may have only some of its tables. What it says is kept; of the rest each size is the
    smallest that its verdicts let pass, with what the next smaller would fail. A pump is not
    chosen but described, for a counter to find. The exit code is that of a check of the design.
    """
    settings = click.get_current_context().meta.get(SETTINGS, ())
    return commands.run_size(
        site, settings, units, json_path, design_path, stock, replaced, which, three, page_path
    )


@wellsolar.command()
@_reads_site
@_page_of("Write it as a page to fill in")
def sheet(site: str, units: System | None, json_path: str | None, page_path: str | None) -> int:
    """List the readings to take when SITE is handed over, in order.

    What each should be, a blank for what it is, and what to isolate first.
    """
    return commands.run_sheet(_load(site), units, json_path, page_path)


@wellsolar.command()
@_reads_site
@_writes_page
def page(site: str, units: System | None, json_path: str | None, page_path: str) -> int:
    """Write a page to take along to SITE, for a telephone without a network.

    The commissioning sheet as a form: it judges each reading by that month, hour and sky, keeps it
    on the telephone, and saves a file that `wellsolar readings --from` takes. Sizes may be changed
    to see what they do. The page holds the site file: every command takes the page for it.
    """
    settings = click.get_current_context().meta.get(SETTINGS, ())
    return commands.run_page(site, settings, units, json_path, page_path)


@wellsolar.command()
@click.argument("path", type=click.Path())
def starter(path: str) -> int:
    """Write a commented site file to PATH, to be changed into yours.

    An existing file stays as it is. `-` writes it to standard output.
    """
    from wellsolar.reports.files import write_new
    from wellsolar.site.starter import starter_text

    output.need_stdout()
    if path == "-":
        output.print_bytes(starter_text().encode("utf-8"))
        return 0
    told = f"Wrote {path}: an invented site, to be changed into yours. Then: wellsolar check"
    write_new(path, starter_text(), lambda: output.print_text(f"{told} {path}\n"))
    return 0


@wellsolar.command()
@click.argument("path", type=click.Path())
@_replaces_files
def schema(path: str) -> int:
    """Write what a site file may hold to PATH, as JSON Schema.

    An editor that knows such schemas then completes the keys, says what each means, and marks what
    can't stand there; a line of the site file names it: #:schema ./PATH. `-` writes it to standard
    output.
    """
    from wellsolar.site.json_schema import schema_text

    outputs = commands.outputs_of((), schema=path)
    outputs.write({"schema": schema_text()})
    return 0


@wellsolar.command()
@click.argument("path", type=click.Path())
@click.option("--units", type=click.Choice(["US", "SI"], False), help="Units of a new file.")
@click.option(
    "--again",
    is_flag=True,
    help="Ask again what was not known or declined, and all else that verdicts lack.",
)
def ask(path: str, units: System | None, again: bool) -> int:
    """Ask for a site, question by question, and write the answers to PATH.

    Units as people write them: 85', 1-1/4", 3/4 hp. Verdicts are shown as they become known,
    and what lies outside the ordinary is asked after. The file is changed at each answer, and left
    alone where something else changed it meanwhile.
    Leave with stop or Ctrl-C; the same command goes on, with a file written by hand too.
    """
    return commands.run_ask(path, units, again)
