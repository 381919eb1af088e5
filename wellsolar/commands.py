"""What each command does: have a site studied, make the papers, write them.

`cli.py` says what a user may type and calls these; everything heavy is imported inside functions,
so that a short answer comes at once.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from wellsolar import output

if TYPE_CHECKING:
    from pathlib import Path

    from wellsolar.reports.pages.report import For
    from wellsolar.reports.rows import Section as SectionOfPage
    from wellsolar.results import Results
    from wellsolar.results.sizing import DesignSet, WhichDesign
    from wellsolar.site.loading.read import SiteFile
    from wellsolar.studies.case import Section
    from wellsolar.units import System

PUMP: tuple[Section, ...] = ("pump", "supply")
TANK: tuple[Section, ...] = ("tank",)
HAND: tuple[Section, ...] = ("hand",)
MATCH: tuple[Section, ...] = ("match",)
HEAT: tuple[Section, ...] = ("heat", *MATCH)
OUTAGE: tuple[Section, ...] = ("outage",)
SHEET: tuple[Section, ...] = ("sheet",)
CARD: tuple[Section, ...] = ("card", *OUTAGE)
EVERYTHING: tuple[Section, ...] = (*PUMP, *TANK, *HAND, *HEAT, *OUTAGE)
PUMPS_COMPARED: tuple[Section, ...] = (*PUMP, "ranking", "ranges")
HEATERS_COMPARED: tuple[Section, ...] = ("heat ranking",)
REPORT: tuple[Section, ...] = (*EVERYTHING, "figures", *SHEET)


FORCE = "wellsolar.force"
"""Where click keeps whether files that are no earlier outputs may be replaced."""

FULL, ABOUT = "wellsolar.full", "wellsolar.about"
"""Where it keeps whether all is printed, and of what alone; a command without the choice prints
all."""


def outputs_of(inputs: Iterable[tuple[str, str | Path]], **places: str | None) -> output.Outputs:
    """What the command that runs is to write, looked at before any work is done for it.

    Parameters:
        inputs: what it reads
        places: what is to be written, and where; None for what isn't asked for
    Returns:
        the outputs, to be written once
    """
    context = click.get_current_context()
    asked = {what: path for what, path in places.items() if path is not None}
    command, force = str(context.info_name), bool(context.meta.get(FORCE))
    return output.Outputs(command, asked, list(inputs), force)


def run_study(
    site_file: SiteFile,
    parts: tuple[Section, ...],
    units: System | None,
    json_path: str | None,
    **options: Any,
) -> int:
    """Load, study, write; the exit code by the verdicts."""
    outputs = outputs_of(site_file.inputs, JSON=json_path)
    from wellsolar.reports.text.progress import working
    from wellsolar.studies.case import Options, study_site

    system = units or site_file.site.site.print_units
    with working(f"studying {site_file.path}") as progress:
        if {"ranking", "heat ranking"} & set(parts):
            options["progress"] = progress
        results = study_site(site_file, parts, system, Options(**options))
    return write_results(results, outputs)


def write_results(results: Results, outputs: output.Outputs) -> int:
    """Write what was found; the exit code by the verdicts."""
    asked = click.get_current_context().meta
    full, word = asked.get(FULL, True), asked.get(ABOUT)
    if not outputs.places and not full and word is None:
        output.print_screen(results)
        return int(results.fails)
    from wellsolar.reports.tables import sections as table
    from wellsolar.reports.text import json as json_file

    sections = table.sections(results)

    def tell() -> None:
        if word is not None:
            output.print_text(_about(results, sections, word))
        elif full:
            output.print_report(sections, results)
        else:
            output.print_screen(results)

    made = {"JSON": json_file.as_text(results, sections)} if outputs.places else {}
    outputs.write(made, tell)
    return int(results.fails)


def _about(results: Results, sections: Sequence[SectionOfPage], word: str) -> str:
    """What one word is about."""
    from wellsolar.reports.text.about import NothingSo, about
    from wellsolar.reports.text.layout import width_of
    from wellsolar.site.json_schema import meaning_of
    from wellsolar.site.locate import path_of
    from wellsolar.site.shape import field_at
    from wellsolar.studies.rules import all_rules

    path = path_of(word)
    keys = {word: meaning_of(word)} if path and field_at(path) is not None else {}
    try:
        return about(results, sections, all_rules(), keys, word, width_of(sys.stdout))
    except NothingSo as error:
        message = f"--about: no rule, number, key or source has {word!r}: {error}."
        raise click.UsageError(message) from None


def run_report(
    site_file: SiteFile,
    units: System | None,
    json_path: str | None,
    page_path: str,
    parts: Sequence[For],
) -> int:
    """Study, draw, write; the figures' tools load in a process of their own meanwhile, which has
    what reading a site has loaded."""
    outputs = outputs_of(site_file.inputs, JSON=json_path, page=page_path)
    from wellsolar.reports.charts.beside import drawing

    with drawing() as draw:
        from wellsolar.reports.figures import all as pictures
        from wellsolar.reports.pages import report
        from wellsolar.reports.tables import sections as table
        from wellsolar.reports.text import json as json_file
        from wellsolar.reports.text.progress import working
        from wellsolar.studies.case import study_site

        system = units or site_file.site.site.print_units
        with working(f"studying {site_file.path}"):
            results = study_site(site_file, REPORT, system)
            sections = table.sections(results)
            plots = report.figures_of(parts, pictures.plots(results))
            drawn = {
                plot.key: (plot, svg) for plot, svg in zip(plots, draw(plots, system), strict=True)
            }
            page = report.report(results, sections, drawn, parts)
    contents = {"page": page}
    if json_path is not None:
        contents["JSON"] = json_file.as_text(results, sections)
    outputs.write(
        contents, lambda: output.print_text(f"Wrote {page_path}. {table.answer(results)}\n")
    )
    return int(results.fails)


def run_sheet(
    site_file: SiteFile, units: System | None, json_path: str | None, page_path: str | None
) -> int:
    """Load, study, write the commissioning sheet; as text only where no page is asked for."""
    if page_path is None:
        return run_study(site_file, SHEET, units, json_path)
    outputs = outputs_of(site_file.inputs, JSON=json_path, page=page_path)
    from wellsolar.reports.pages.sheet import sheet_page
    from wellsolar.reports.tables import sections as table
    from wellsolar.reports.text import json as json_file
    from wellsolar.reports.text.progress import working
    from wellsolar.studies.case import study_site

    with working(f"studying {site_file.path}"):
        results = study_site(site_file, SHEET, units or site_file.site.site.print_units)
    sections = table.sections(results)
    contents = {"page": sheet_page(results, sections)}
    if json_path is not None:
        contents["JSON"] = json_file.as_text(results, sections)
    outputs.write(contents, lambda: output.print_text(f"Wrote {page_path}.\n"))
    return int(results.fails)


def run_card(
    site_file: SiteFile, units: System | None, json_path: str | None, page_path: str | None
) -> int:
    """Load, study, write the card; as text only where no page is asked for."""
    outputs = outputs_of(site_file.inputs, JSON=json_path, page=page_path)
    from wellsolar.reports.pages import card as card_page
    from wellsolar.reports.tables import sections as table
    from wellsolar.reports.text import card as card_text
    from wellsolar.reports.text import json as json_file
    from wellsolar.reports.text.progress import working
    from wellsolar.studies.case import study_site

    with working(f"studying {site_file.path}"):
        results = study_site(site_file, CARD, units or site_file.site.site.print_units)
    contents = {}
    if page_path is not None:
        contents["page"] = card_page.card_page(results)
    if json_path is not None:
        contents["JSON"] = json_file.as_text(results, table.sections(results))

    def tell() -> None:
        if page_path is None:
            output.to_stdout(lambda: card_text.write_card(results, sys.stdout))
        else:
            output.print_text(f"Wrote {page_path}.\n")

    outputs.write(contents, tell)
    return int(results.fails)


def run_page(
    site: str,
    settings: tuple[str, ...],
    units: System | None,
    json_path: str | None,
    page_path: str,
) -> int:
    """Load, study, write the page that goes along to the site."""
    from wellsolar.site.loading.read import load_part, load_site

    site_file = load_site(site, settings)
    outputs = outputs_of(site_file.inputs, JSON=json_path, page=page_path)
    from wellsolar.reports.pages.on_site import on_site_page
    from wellsolar.reports.tables import sections as table
    from wellsolar.reports.text import json as json_file
    from wellsolar.reports.text.progress import working
    from wellsolar.studies.case import Case
    from wellsolar.studies.form.faults import study_faults
    from wellsolar.studies.form.study import study_form
    from wellsolar.studies.form.what_if import study_what_if

    with working(f"studying {site_file.path}"):
        case = Case(site_file)
        system = units or site_file.site.site.print_units
        results = case.results((*SHEET, *CARD), system)
        parts = (study_form(case), study_what_if(case), study_faults(case, system))
        contents = {"page": on_site_page(results, *parts, load_part(site, settings).text)}
    if json_path is not None:
        contents["JSON"] = json_file.as_text(results, table.sections(results))
    outputs.write(contents, lambda: output.print_text(f"Wrote {page_path}.\n"))
    return int(results.fails)


def run_parts(
    site_file: SiteFile,
    units: System | None,
    json_path: str | None,
    csv_path: str | None,
    page_path: str | None,
) -> int:
    """Load, study, list, write; as text where no page is asked for, and nothing to `-`."""
    outputs = outputs_of(site_file.inputs, JSON=json_path, CSV=csv_path, page=page_path)
    from wellsolar.reports.pages import parts_list as parts_page
    from wellsolar.reports.tables import parts_list as parts_tables
    from wellsolar.reports.text import csv as csv_file
    from wellsolar.reports.text import json as json_file
    from wellsolar.reports.text import terminal
    from wellsolar.reports.text.progress import working
    from wellsolar.studies.case import Case
    from wellsolar.studies.figures.study import things_of
    from wellsolar.studies.parts.study import study_parts

    system = units or site_file.site.site.print_units
    with working(f"studying {site_file.path}"):
        case = Case(site_file)
        results = case.results(EVERYTHING, system)
    found = study_parts(site_file.site, results)
    tables = parts_tables.parts_sections(found)
    contents = {}
    if csv_path is not None:
        mark = "" if csv_path == "-" else csv_file.MARK
        contents["CSV"] = csv_file.as_csv(found, system, mark)
    if page_path is not None:
        things = things_of(site_file.site)
        contents["page"] = parts_page.parts_page(found, replace(results, card=case.card), things)
    if json_path is not None:
        contents["JSON"] = json_file.as_text(results, tables)
    lines = parts_tables.heading(found)
    title = f"Parts of {site_file.site.site.name}"

    def tell() -> None:
        if page_path is not None:
            output.print_text(f"Wrote {page_path}.\n")
            return
        output.to_stdout(
            lambda: terminal.write_sections(
                title, lines, tables, sys.stdout, system, results.cautions, results
            )
        )

    outputs.write(contents, tell)
    return int(results.fails)


def _all_loaded(asked: Sequence[tuple[str, tuple[str, ...]]]) -> list[SiteFile]:
    """Read site files with their changes; the mistakes of all are told at once."""
    from wellsolar.errors import SiteFileError, SiteFilesError
    from wellsolar.site.loading.read import load_site

    files: list[SiteFile] = []
    broken: dict[str, SiteFileError] = {}
    for site, settings in asked:
        try:
            files.append(load_site(site, settings))
        except SiteFileError as error:
            broken.setdefault(site, error)
    errors = list(broken.values())
    if errors:
        raise SiteFilesError(errors) if len(errors) > 1 else errors[0]
    return files


def run_compare(
    sites: tuple[str, ...],
    settings: tuple[str, ...],
    units: System | None,
    json_path: str | None,
    everything: bool,
    page_path: str | None = None,
) -> int:
    """Load and study each with its changes, put them side by side, write."""
    if len(sites) == 1 and not settings:
        raise click.UsageError("Name two site files or more, or one and a change by --with.")
    if len(sites) > 26:
        raise click.UsageError("No more than 26 sites can be compared.")
    if page_path is not None:
        from wellsolar.reports.pages.proposal import MOST

        if len(sites) > MOST:
            raise click.UsageError(f"A proposal has two or three designs: name {MOST} at most.")
    titles, asked = list(sites), [(site, settings) for site in sites]
    if len(sites) == 1:
        titles = [f"{sites[0]} as it stands", f"{sites[0]} with {', '.join(settings)}"]
        asked.insert(0, (sites[0], ()))
    files = _all_loaded(asked)
    inputs = [entry for file in files for entry in file.inputs]
    outputs = outputs_of(inputs, JSON=json_path, page=page_path)
    from wellsolar.reports.tables import sections as table
    from wellsolar.reports.text import compare, terminal
    from wellsolar.reports.text.progress import working
    from wellsolar.studies.case import study_site
    from wellsolar.studies.parts.whole_design import comes_to

    system = units or files[0].site.site.print_units
    results = []
    with working("comparing") as progress:
        for number, file in enumerate(files):
            progress(number, len(files))
            results.append(study_site(file, EVERYTHING, system))
    figures = [comes_to(file.site, result) for file, result in zip(files, results, strict=True)]
    listed = [table.sections(result) for result in results]
    comparison = compare.compare(results, listed, titles, figures)
    contents = {}
    if json_path is not None:
        contents["JSON"] = compare.as_text(comparison, system)
    if page_path is not None:
        from wellsolar.reports.pages.proposal import proposal_page
        from wellsolar.studies.figures.study import things_of

        names = _short_names(titles, changed=len(sites) == 1)
        notes = titles if len(sites) == 1 else [result.site_note for result in results]
        things = [things_of(file.site) for file in files]
        contents["page"] = proposal_page(comparison, names, notes, things, system)

    def tell() -> None:
        if page_path is not None:
            output.print_text(f"Wrote {page_path}.\n")
        elif not everything and not click.get_current_context().meta.get(FULL, False):
            from wellsolar.reports.text.compare_screen import compare_screen
            from wellsolar.reports.text.layout import width_of

            output.print_text(compare_screen(comparison, system, width_of(sys.stdout)))
        else:
            tables = compare.compare_sections(comparison, everything)
            lines = compare.heading(comparison)
            output.print_by_pages(
                lambda stream: terminal.write_sections(
                    "Side by side", lines, tables, stream, system
                )
            )

    outputs.write(contents, tell)
    return int(comparison.fails)


def _short_names(titles: Sequence[str], changed: bool) -> list[str]:
    """What designs are called over their columns: by their files, or as one stands and changed."""
    from pathlib import PurePath

    return ["as it stands", "changed"] if changed else [PurePath(title).stem for title in titles]


def run_size(
    site: str,
    settings: tuple[str, ...],
    units: System | None,
    json_path: str | None,
    design_path: str | None,
    stock: tuple[str, ...] = (),
    replaced: tuple[str, ...] = (),
    which: WhichDesign = "ordinary",
    three: bool = False,
    page_path: str | None = None,
) -> int:
    """Load what there is, size what is not, judge the design, write; 1 where it fails."""
    if page_path is not None and not three:
        raise click.UsageError("--html is a page of three designs: give --three with it.")
    from wellsolar.site.loading.read import load_part

    part = load_part(site, settings)
    if replaced:
        from wellsolar.errors import UnknownName
        from wellsolar.studies.sizing.replaced import without

        try:
            part = without(part, replaced)
        except UnknownName as error:
            raise click.UsageError(f"--replace: {error}.") from None
    listed = [("the stock", path) for path in stock]
    outputs = outputs_of(
        [*part.file.inputs, *listed], JSON=json_path, design=design_path, page=page_path
    )
    from wellsolar.reports.text import sizing
    from wellsolar.reports.text.progress import working
    from wellsolar.site.loading.stock import load_stock
    from wellsolar.studies.case import size_designs, size_site

    system = units or part.file.site.site.print_units
    on_hand = load_stock(stock)
    with working(f"sizing {site}") as progress:
        beside = size_designs(part, on_hand, progress) if three else None
        made_before = None if beside is None else beside.made[which]
        result = made_before or size_site(part, on_hand, progress, which)
    contents = {}
    if json_path is not None:
        contents["JSON"] = sizing.as_text(result, system, beside)
    if design_path is not None and result.text:
        contents["design"] = result.text
    if page_path is not None and beside is not None:
        proposed = _proposal(beside, system)
        if proposed:
            contents["page"] = proposed

    def tell() -> None:
        full = click.get_current_context().meta.get(FULL, False)
        page = sizing.page(result, system, site, full)
        if beside is not None and any(sizing.text for sizing in beside.made.values()):
            from wellsolar.reports.text.designs import designs_page

            page = designs_page(beside, system, site, which, full)
        if full:
            output.print_by_pages(lambda stream: print(page, end="", file=stream))
        else:
            output.print_text(page)
        if "page" in contents:
            output.print_text(f"Wrote {page_path}.\n")

    outputs.write(contents, tell)
    return int(result.fails)


def _proposal(designs: DesignSet, system: System) -> str:
    """The designs of a file as a page, none twice; empty where there are not two."""
    from wellsolar.reports.pages.proposal import proposal_page
    from wellsolar.reports.tables import sections as table
    from wellsolar.reports.text import compare
    from wellsolar.reports.text.designs import LAID_OUT
    from wellsolar.site.loading.read import parse_site
    from wellsolar.studies.figures.study import things_of

    names: dict[str, list[WhichDesign]] = {}
    for name, sizing in designs.made.items():
        if sizing.results is not None:
            names.setdefault(sizing.text, []).append(name)
    if len(names) < 2:
        return ""
    kept = [whose[0] for whose in names.values()]
    results = [judged for name in kept if (judged := designs.made[name].results) is not None]
    titles = [" and ".join(whose) for whose in names.values()]
    purposes = [
        f"for {'; for '.join(LAID_OUT[name] for name in whose)}" for whose in names.values()
    ]
    listed = [table.sections(result) for result in results]
    beside = compare.compare(results, listed, titles, [designs.figures[name] for name in kept])
    things = [things_of(parse_site(text).site) for text in names]
    return proposal_page(beside, titles, purposes, things, system)


def run_ask(path: str, units: System | None, again: bool) -> int:
    """Hold the interview, and at its end size what nobody could tell where that is wished; 130
    where it was left by Ctrl-C, else 0 whatever the verdicts."""
    from wellsolar.interview.conversation import Conversation
    from wellsolar.interview.draft import open_draft
    from wellsolar.interview.screen import terminal

    output.need_stdout()
    talk = Conversation(open_draft(path, units), terminal(output.print_text), again)
    try:
        if not talk.hold():
            talk.leave()
        elif talk.to_be_sized():
            run_size(path, (), units, None, None)
    except KeyboardInterrupt:
        output.print_text("\n")
        talk.leave()
        return output.INTERRUPTED
    return 0
