"""Codes of the labels, read off the page as a browser draws it by another library's decoder."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.reports.conftest import CHECKOUT
from tests.reports.pages.test_on_site import page_of
from tests.running import here

RIDGE = CHECKOUT / "examples" / "ridge_house.toml"
LEAST_SIDE = 25.0 / 25.4 * 96.0
"""Side of a code on paper, 25 mm [px of CSS]."""

ADDRESS = "https://our.example/house/page.html"


def read_of(page: Any) -> list[str]:
    """What a telephone reads of each code of a page; none is smaller than it may be."""
    cv2 = pytest.importorskip("cv2", reason="no decoder of codes")
    numpy = pytest.importorskip("numpy")
    found = []
    for code in page.locator(".code svg").all():
        box = code.bounding_box()
        assert min(box["width"], box["height"]) >= LEAST_SIDE
        picture = cv2.imdecode(numpy.frombuffer(code.screenshot(), numpy.uint8), cv2.IMREAD_COLOR)
        edge = picture[:2].min(), picture[:, :2].min(), picture[-2:].min(), picture[:, -2:].min()
        assert min(edge) > 250  # the quiet zone
        readers = (cv2.QRCodeDetector(), cv2.QRCodeDetectorAruco())
        texts = [reader.detectAndDecode(picture)[0] for reader in readers]
        found.append(next(filter(None, texts), ""))
    return found


def opened(browser: Any, folder: Path, *settings: str) -> tuple[Any, list[str]]:
    """The list of parts of the ridge house with some settings, and what it asked for."""
    made = folder / "parts.html"
    ran = here("parts", RIDGE, "-o", made, *settings)
    assert ran.returncode in (0, 1), ran.stderr.decode()
    page = browser.new_context(device_scale_factor=3).new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(made.as_uri())
    return page, asked


def test_a_code_says_the_first_steps_where_no_address_is_told(
    browser: Any, tmp_path: Path
) -> None:
    page, asked = opened(browser, tmp_path)
    codes = read_of(page)
    beside = [
        "\n".join([each.locator("h3").inner_text(), *each.locator("p").all_inner_texts()])
        for each in page.locator(".code").all()
    ]
    assert codes == beside
    assert len(codes) == 3
    assert any(each.startswith("No power at all\n1. ") for each in codes)
    assert len(asked) == 1
    page.context.close()


def test_a_code_opens_the_card_where_the_page_is_kept(browser: Any, tmp_path: Path) -> None:
    """And that part of the page is there, and unfolds when it is opened so."""
    page, asked = opened(browser, tmp_path, "--with", f"job.page_address={ADDRESS}")
    assert read_of(page) == [f"{ADDRESS}#card"]
    assert page.locator(".code p").all_inner_texts() == [f"{ADDRESS}#card"]
    assert len(asked) == 1
    page.goto(f"{page_of(RIDGE).as_uri()}#card")
    assert page.locator("#card").evaluate("each => each.open")
    assert page.locator("#card ol li").first.is_visible()
    page.context.close()


def test_an_address_that_is_none_is_refused() -> None:
    for written in (
        "javascript:alert(1)",
        "https://a b",
        "our page",
        'https://x/"><b>',
        "https://x#y",
    ):
        ran = here("check", RIDGE, "--with", f"job.page_address={written}")
        assert ran.returncode == 2
        assert "no address that a telephone opens" in ran.stderr.decode()
