"""Writes the README's pictures of the pages into `examples/pictures`.

Run at the top of a checkout, with Chromium on the machine:
`python -m tests.reports.make_pictures`.
The pictures are small and of few colours, as they are only to be looked at.
"""

from __future__ import annotations

import io
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import sync_playwright

from tests.reports.conftest import CHROMIUM, FLAGS
from tests.running import CHECKOUT, apart

PICTURES = CHECKOUT / "examples" / "pictures"
SITE = CHECKOUT / "examples" / "ridge_house.toml"
COLOURS = 64
LARGEST = 150_000
"""Of one picture [bytes]."""


@dataclass(frozen=True)
class Picture:
    """A part of a page.

    page: "report", "card" or "parts"; width: of the window [px]
    height: from the top of the page or of the element [px]; None for all of the element
    element: what is shown, as CSS names it; empty for the page from its top
    scale: pixels of the picture for one of the page
    """

    page: str
    width: int
    height: int | None = None
    element: str = ""
    scale: float = 1.0


WANTED = {
    "report": Picture("report", 1100, 820),
    "well": Picture("report", 640, None, "#figure-well svg"),
    "heater": Picture("report", 640, None, "#figure-array svg"),
    "tank": Picture("report", 640, None, "#figure-tank_days svg"),
    "outages": Picture("report", 640, None, "#figure-outages svg"),
    "phone": Picture("report", 390, 844),
    "card": Picture("card", 1000, 900),
    "parts": Picture("parts", 1000, 760),
}
"""The pictures by their names."""


def pages(folder: Path) -> dict[str, Path]:
    """The pages of the site, written into a folder."""
    made = {}
    for command in ("report", "card", "parts"):
        made[command] = folder / f"{command}.html"
        ran = apart(command, SITE, "-o", made[command])
        if ran.returncode not in (0, 1):
            raise SystemExit(ran.stderr.decode())
    return made


def taken(browser: Any, page_file: Path, wanted: Picture) -> bytes:
    """A picture as PNG of few colours."""
    page = browser.new_page(
        viewport={"width": wanted.width, "height": wanted.height or 900},
        device_scale_factor=wanted.scale,
    )
    page.goto(page_file.as_uri())
    shown = page.locator(wanted.element).first if wanted.element else page
    raw = shown.screenshot()
    page.close()
    image = Image.open(io.BytesIO(raw)).convert("RGB")
    few = image.quantize(COLOURS, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
    small = io.BytesIO()
    few.save(small, "PNG", optimize=True)
    return small.getvalue()


def make(folder: Path) -> None:
    """Take every picture and write it into a folder."""
    with tempfile.TemporaryDirectory() as made, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        files = pages(Path(made))
        for name, wanted in WANTED.items():
            data = taken(browser, files[wanted.page], wanted)
            if len(data) > LARGEST:
                raise SystemExit(f"{name}: {len(data)} bytes are more than {LARGEST}")
            (folder / f"{name}.png").write_bytes(data)
            sys.stdout.write(f"{name}.png: {len(data) / 1000:.0f} kB\n")
        browser.close()


if __name__ == "__main__":
    PICTURES.mkdir(parents=True, exist_ok=True)
    make(PICTURES)
