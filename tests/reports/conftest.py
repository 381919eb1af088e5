"""The reports of the shipped examples, each made once, and a browser to look at them."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tests.running import CHECKOUT, here
from tests.sampled import sampled
from wellsolar.site.starter import starter_text

EXAMPLES = sorted((CHECKOUT / "examples").glob("*.toml"))

CHROMIUM = next(
    (found for name in ("chromium", "chromium-browser") if (found := shutil.which(name))), None
)
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@dataclass(frozen=True)
class Made:
    """A page: its file, its text, and the JSON of the same results."""

    path: Path
    text: str
    json: dict[str, Any]


def make(site: Path, folder: Path, *options: str, command: str = "report") -> Made:
    """Write a site's page and its JSON into a folder."""
    page, data = folder / f"{site.stem}.html", folder / f"{site.stem}.json"
    ran = here(command, site, "-o", page, "--json", data, *options)
    assert ran.returncode in (0, 1), ran.stderr.decode()
    assert not ran.stderr, ran.stderr.decode()
    return Made(page, page.read_text("utf-8"), json.loads(data.read_text("utf-8")))


class Reports(dict[str, Made]):
    """Reports of some sites, each made when it is first asked for.

    Parameters:
        folder: where they are written
        sites: name -> text, or the path of a site file and further options
    """

    def __init__(self, folder: Path, sites: Mapping[str, str | tuple[Path, *tuple[str, ...]]]):
        self.folder, self.sites = folder, sites

    def __missing__(self, name: str) -> Made:
        place = self.folder / name
        place.mkdir()
        given = self.sites[name]
        if isinstance(given, str):
            (place / f"{name}.toml").write_text(given, "utf-8")
            given = (place / f"{name}.toml",)
        site, *options = given
        self[name] = make(site, place, *options)
        return self[name]


@pytest.fixture(scope="session")
def reports(tmp_path_factory: pytest.TempPathFactory) -> Reports:
    """The report of each example in its own units, and of one in the other ones."""
    ridge = CHECKOUT / "examples" / "ridge_house.toml"
    sites: dict[str, Any] = {site.stem: (site,) for site in EXAMPLES}
    sites["ridge_house_si"] = (ridge, "--units", "SI")
    return Reports(tmp_path_factory.mktemp("reports"), sites)


@pytest.fixture(scope="session")
def starter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The starter file as a user gets it."""
    site = tmp_path_factory.mktemp("starter") / "starter.toml"
    assert here("starter", site).returncode == 0
    return site


@pytest.fixture(scope="session")
def cards(tmp_path_factory: pytest.TempPathFactory, starter: Path) -> dict[tuple[str, str], Path]:
    """The card of each example and of the starter, in both systems of units."""
    made = {}
    for system in ("US", "SI"):
        folder = tmp_path_factory.mktemp(f"cards_{system}")
        for site in (*EXAMPLES, starter):
            made[site.stem, system] = make(site, folder, "--units", system, command="card").path
    return made


@pytest.fixture(scope="session")
def lists(tmp_path_factory: pytest.TempPathFactory, starter: Path) -> dict[str, Made]:
    """The parts list of each example and of the starter, which has prices."""
    folder = tmp_path_factory.mktemp("parts")
    return {site.stem: make(site, folder, command="parts") for site in (*EXAMPLES, starter)}


@pytest.fixture(scope="session")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Made]:
    """The commissioning sheets of two examples."""
    folder = tmp_path_factory.mktemp("sheets")
    names = ("ridge_house", "poor_well")
    sites = {name: CHECKOUT / "examples" / f"{name}.toml" for name in names}
    return {name: make(site, folder, command="sheet") for name, site in sites.items()}


RIDGE = (CHECKOUT / "examples" / "ridge_house.toml").read_text("utf-8")


def hostile(name: str) -> str:
    """A site of this name whose pumps' names try to be markup, formulas and very long: the same
    ones for every page, so that they are studied once."""
    text = RIDGE.replace('name = "Ridge house (invented)"', f'name = "{name}"')
    text = text.replace('name = "house pump"', f'name = "<img src=x onerror=alert(1)> {"w" * 90}"')
    text = text.replace('name = "frugal pump"', 'name = "$\\\\frac{1}{2}$ pump \u6c34"')
    assert text.count("<img") == text.count("frac{") == 1
    return text


@pytest.fixture(scope="session")
def awkward(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """The report of a site whose names try to be markup, formulas and very long."""
    folder = tmp_path_factory.mktemp("awkward")
    site = folder / "site.toml"
    name = r"</title><script>document.title=\"taken\"</script> $x_1$ & <b>"
    site.write_text(hostile(name), "utf-8")
    return make(site, folder)


LONG = "Größte Tiefbrunnenpumpe Nummer drei \u6c34 with a name that goes on and on " + "w" * 60


def many_pumps(casing: str, further: dict[str, str]) -> str:
    """A site with further pumps like its second one.

    Parameters:
        casing: inside, of a well in which all hang
        further: name of each pump -> depth of its intake
    """
    middle = RIDGE.index("[hand_pump]")
    frugal = RIDGE[RIDGE.index('[[pump]]\nname = "frugal pump"') : middle]
    pumps = "".join(
        frugal.replace("frugal pump", name).replace('"170 ft"', f'"{depth}"')
        for name, depth in further.items()
    )
    return RIDGE[:middle].replace("6.065 in", casing) + pumps + RIDGE[middle:]


def odd_sites() -> dict[str, str]:
    """Sites unlike the shipped ones: everything at once, and in turn far too deep, without pumps,
    without sun, with nothing but a well, with many pumps, and with most of it wrong."""
    ridge = RIDGE
    start, middle = ridge.index("[[pump]]"), ridge.index("[hand_pump]")
    wrong = ridge
    for right, turned in (
        ('tested_yield = "11 gpm"', 'tested_yield = "1 gpm"'),
        ('specific_capacity = "0.35 gpm/ft"', 'specific_capacity = "0.05 gpm/ft"'),
        ('cut_out = "60 psi"', 'cut_out = "140 psi"'),
        ('precharge = "38 psi"', 'precharge = "100 psi"'),
        ('volume = "86 gal"', 'volume = "2 gal"'),
        ('frost_depth = "18 in"', 'frost_depth = "80 in"'),
        ("series = 4", "series = 14"),
        ("_protection = true", "_protection = false"),
        ('thermostat_switches = "relay"', 'thermostat_switches = "AC"'),
        ('inverter_rating = "6 kW"', 'inverter_rating = "0.5 kW"'),
        ('lever_ratio = "6"', 'lever_ratio = "2"'),
    ):
        assert right in wrong
        wrong = wrong.replace(right, turned)
    return {
        "everything": starter_text(),
        "deep": ridge.replace('depth = "220 ft"', 'depth = "1900 ft"', 1),
        "no_pumps": ridge[:start] + ridge[middle:],
        "no_sun": ridge[: ridge.index("[sun]")],
        "only_a_well": '[well]\ndepth = "50 m"\nstatic_level = "10 m"\n',
        "many_pumps": many_pumps("12 in", {LONG: "165 ft", "fourth": "160 ft"}),
        "wrong": wrong,
    }


@pytest.fixture(scope="session")
def odd(tmp_path_factory: pytest.TempPathFactory) -> Reports:
    """The reports of sites unlike the shipped ones."""
    return Reports(tmp_path_factory.mktemp("odd"), odd_sites())


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """A browser without a window; the test is skipped where there is none."""
    if CHROMIUM is None:
        pytest.skip("no chromium on this machine")
    api = pytest.importorskip("playwright.sync_api")
    with api.sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        started.new_context()  # of the tabs that are used again
        yield started
        started.close()


BLANK = "about:blank"


class Opened:
    """A page in the browser with what it said and asked for.

    A tab is used again by the next page: to make one takes the browser longer than to load a
    report. What a page keeps is not looked at in these.
    """

    def __init__(self, browser: Any, path: Path, width: int) -> None:
        self.said: list[str] = []
        self.asked: list[str] = []
        tabs = browser.contexts[0]
        free = [each for each in tabs.pages if each.url == BLANK]
        self.page = free[0] if free else tabs.new_page()
        self.page.set_viewport_size({"width": width, "height": 900})
        self.page.emulate_media(media="null")
        self.hears = {
            "console": lambda message: self.said.append(message.text),
            "pageerror": lambda error: self.said.append(str(error)),
            "dialog": lambda dialog: self.said.append(dialog.message),
            "request": lambda request: self.asked.append(request.url),
        }
        for event, hear in self.hears.items():
            self.page.on(event, hear)
        self.page.goto(path.as_uri())

    def close(self) -> None:
        for event, hear in self.hears.items():
            self.page.remove_listener(event, hear)
        self.page.goto(BLANK)


Look = Callable[..., Opened]


@pytest.fixture(scope="module")
def in_view(browser: Any) -> Iterator[Look]:
    """A page that tests only look at, in a width, None for whichever it has, and on a medium,
    "null" for the usual one: loaded once for those tests that follow each other, and laid out anew
    for each."""
    shown: dict[Path, Opened] = {}

    def look(path: Path, width: int | None, medium: str = "null") -> Opened:
        if path not in shown:
            while shown:
                shown.popitem()[1].close()
            shown[path] = Opened(browser, path, width or 1280)
        opened = shown[path]
        if width is not None:
            opened.page.set_viewport_size({"width": width, "height": 900})
        opened.page.emulate_media(media=medium)
        return opened

    yield look
    for opened in shown.values():
        opened.close()


Printed = Callable[[Look, Path, str], Path]
PAPERS = {
    "Letter": {"width": "8.5in", "height": "11in"},
    "A4": {"width": "210mm", "height": "297mm"},
}
"""Papers of ANSI/ASME Y14.1 and ISO 216; what the printer calls A4 is by a pixel too high."""


SECOND = ("ridge_house", "hill_tank", "creek_cabin")
"""Examples that are printed on the second paper as well; together they have every figure."""


def on_papers(names: Iterable[str]) -> list[Any]:
    """Names of reports and papers: those of `SECOND` on both, and one more on the first; the
    others where long tests are asked for."""
    both = [(name, paper) for name in names for paper in PAPERS]
    kept = [each for each in both if each[0] in SECOND or each == ("village_borehole", "Letter")]
    return sampled(both, *kept)


@pytest.fixture(scope="session")
def on_paper(tmp_path_factory: pytest.TempPathFactory) -> Printed:
    """The PDF of a page on a paper, printed once for all that look at it: how wide the window is
    does not matter to it."""
    folder = tmp_path_factory.mktemp("on_paper")

    def printed(look: Look, path: Path, paper: str) -> Path:
        made = folder / f"{path.parent.name}_{path.stem}_{paper}.pdf"
        if not made.exists():
            look(path, None, "print").page.pdf(path=made, **PAPERS[paper])
        return made

    return printed
