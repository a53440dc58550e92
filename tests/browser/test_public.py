"""The public page of a publication, in a browser that runs no scripts, and for everybody."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, expect

from tests.browser.conftest import Server, sample
from tests.browser.test_access import RULES, SERIOUS

HOSTILE = "<script>document.title = 'taken'</script> It is wet at the front."


@pytest.fixture(scope="module")
def shown(server: Server) -> dict[str, Any]:
    made = server.post("/v1/assessments", sample("noisy_early"))["assessment_id"]
    return server.post("/v1/publications", {"assessment_id": made, "looked_by": "seller"})


def test_a_reader_without_scripts_compares_and_disagrees(
    phone: Callable[..., BrowserContext], shown: dict[str, Any]
) -> None:
    page = phone(java_script_enabled=False).new_page()
    page.goto(shown["links"]["page"])
    page.get_by_label("Odometer today").fill("150,000")
    page.get_by_role("button", name="Compare").click()
    expect(page.locator("#age")).to_contain_text("driven 12,000 km since")
    page.get_by_label("What is not right?").fill(HOSTILE)
    page.get_by_role("button", name="Publish it here").click()
    expect(page.locator(".dispute .said").first).to_have_text(HOSTILE)
    assert "#disputes" in page.url
    page.get_by_role("link", name="Deutsch").click()
    expect(page.get_by_role("heading", name="Was auffiel")).to_be_visible()
    expect(page.locator(".dispute .said").first).to_have_text(HOSTILE)


@pytest.mark.parametrize("language", ["en", "de"])
def test_nothing_serious_stands_in_the_way_of_anybody(
    phone: Callable[..., BrowserContext], shown: dict[str, Any], language: str
) -> None:
    """axe-core's rules for WCAG 2.2 AA, no page wider than the phone, nothing asked of another server, every picture
    there."""
    page = phone(locale=language).new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(shown["links"]["page"])
    violations = Axe().run(page, options=RULES).response["violations"]
    assert [each["id"] for each in violations if each["impact"] in SERIOUS] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.locator("html").get_attribute("lang") == language
    assert page.title() != "taken"
    assert page.evaluate("[...document.images].every(image => image.complete && image.naturalWidth > 0)")
    base = shown["links"]["page"].split("/p/")[0]
    assert asked
    assert all(url.startswith(base) for url in asked)
