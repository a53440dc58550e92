"""What a person does on the pages, in words."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import Server

CAR = "/visit?family=lapwing&revision=lapwing_1b&odometer=121000&registered=2012-05-19&date=2026-04-08"
PRICED = f"{CAR}&equipment=generic_scan_tool&asking=5200&sound=5400"


def open_visit(page: Page, server: Server, address: str = PRICED) -> None:
    """The checklist, with its first figure shown."""
    page.goto(server.url + address)
    expect(page.locator("#core-state")).to_be_attached()


def stop(page: Page, check: str) -> Locator:
    """The part of the page about one check."""
    return page.locator(f"#c-{check}")


def answer(page: Page, check: str, words: str) -> None:
    """Tap a result, or a reason why it was not checked."""
    stop(page, check).locator("label", has=page.get_by_text(words, exact=True)).first.click()


def shown(page: Page) -> list[str]:
    """Ids of the checks that are on the page now."""
    found = page.locator(".stop:visible")
    return [found.nth(place).get_attribute("data-check") or "" for place in range(found.count())]


def core_done(page: Page, count: int) -> None:
    """Wait until the server has counted so many core checks."""
    expect(page.locator("#core-state")).to_have_attribute("data-done", str(count))


def nothing_found(page: Page) -> None:
    """Say of every group that it was looked at and nothing found."""
    for button in page.locator("[data-nothing]:visible").all():
        button.click()


def settled(page: Page) -> None:
    """Wait until the figure is that of all answers."""
    expect(page.locator("#live")).to_have_attribute("aria-busy", "false")


def answer_core(page: Page) -> None:
    """Answer every core check: nothing found, or no time."""
    nothing_found(page)
    settled(page)
    state = page.locator("#core-state")
    if state.get_attribute("data-open"):
        page.locator("#no-time").click()
    expect(state).to_have_attribute("data-open", "")


def finish(page: Page) -> str:
    """Finish, and the id of the assessment that was made."""
    page.locator("#finish").click()
    page.wait_for_url(re.compile(r"/assessments/[0-9a-f]{32}$"))
    return page.url.rsplit("/", 1)[1]


def ids(server: Server) -> list[str]:
    """The assessments there are, newest first."""
    return [item["assessment_id"] for item in server.get("/v1/assessments?limit=200")["items"]]
