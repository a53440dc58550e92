"""How long a routine visit keeps a thumb busy: under two minutes, by the keystroke-level model (thumb.py)."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.conftest import Server
from tests.browser.steps import CAR, open_visit, settled, stop
from tests.browser.thumb import COUNT, Thumb

LIMIT = 120.0  # [s] of tapping and typing for a routine visit
SERVICES = (("0519", "98800"), ("0621", "109500"))


def test_a_routine_visit_is_under_two_minutes_of_typing(
    phone: Callable[..., BrowserContext], server: Server, capsys: pytest.CaptureFixture[str]
) -> None:
    """The advertisement with both prices, two stamped oil services, a 45-minute visit with a scan tool: one leak, one
    noise timed, one check that nobody could reach, all else looked at and nothing found."""
    page = phone(has_touch=True, is_mobile=True).new_page()
    page.add_init_script(f"({COUNT})()")
    thumb = Thumb(page)
    page.goto(server.url)
    _advertisement(thumb)
    counted = _counted(page)
    thumb.tap(page.get_by_role("button", name="Make the checklist"))
    expect(page.locator("#core-state")).to_be_attached()
    for service in SERVICES:
        _service(thumb, *service)
    _look(thumb)
    counted = [counted, _counted(page)]
    thumb.tap(page.locator("#finish"))
    page.wait_for_url(re.compile(r"/assessments/[0-9a-f]{32}$"))
    with capsys.disabled():
        print(f"\na routine visit: {thumb.told()}")
    # what the pages saw: all but the two taps that left them and the two in the phone's own choice of a family
    assert sum(each["taps"] for each in counted) == thumb.taps - 4
    assert sum(each["letters"] for each in counted) == thumb.letters
    assert thumb.seconds < LIMIT
    checked = server.get(f"/v1/assessments/{page.url.rsplit('/', 1)[1]}")["coverage"]
    assert checked["core_done"] == checked["core_total"]


def _advertisement(thumb: Thumb) -> None:
    page = thumb.page
    thumb.choose(page.get_by_label("Engine family"), "lapwing")
    thumb.type(page.get_by_label("Odometer"), "121000")
    thumb.type(page.get_by_label("First registration"), "0512")
    thumb.tap(page.get_by_label("a generic scan tool"))
    thumb.tap(page.get_by_text("Prices (hidden from the seller"))
    thumb.type(page.get_by_label("Asking price"), "5200")
    thumb.type(page.get_by_label("Usual price"), "5400")


def _service(thumb: Thumb, when: str, odometer: str) -> None:
    page = thumb.page
    thumb.tap(page.get_by_role("button", name="+ Oil service"))
    row = page.locator(".paper").last
    thumb.type(row.get_by_label("Month and year"), when)
    thumb.type(row.get_by_label("Odometer"), odometer)
    if not row.get_by_label("stamp").is_checked():  # the second line begins with what the first was shown by
        thumb.tap(row.get_by_label("stamp"))


def _look(thumb: Thumb) -> None:
    """Group by group in the order of the visit; what stands out is tapped on the way."""
    page = thumb.page
    for group in page.locator("section.group:visible:not(.papers)").all():
        for place in group.locator(".stop:visible").all():
            check = place.get_attribute("data-check") or ""
            if check in OWN:
                thumb.tap(stop(page, check).get_by_label(OWN[check], exact=True))
            elif check == "cold_start_sound":
                thumb.hold(place.locator("[data-hold]"), 1.2)
        nothing = group.locator("[data-nothing]")
        if nothing.count():
            thumb.tap(nothing)
    settled(page)
    expect(page.locator("#core-state")).to_have_attribute("data-open", "")


OWN = {
    "starts_and_drives": "starts and drives",
    "look_valve_cover": "damp edge",
    "look_front_cover": "not reachable",
}


def _counted(page: Page) -> dict[str, int]:
    found: dict[str, int] = page.evaluate("window.counted")
    return found


def test_numbers_bring_the_keyboard_of_numbers(page: Page, server: Server) -> None:
    """On a phone every field for a number asks for digits, and no field asks for more than a line of its own."""
    page.goto(server.url)
    fields = "input:not([type=radio], [type=checkbox], [type=file], [type=hidden])"
    words = {"reference", "place", "currency"}
    named = page.locator(fields).evaluate_all("(all) => all.map((each) => [each.name, each.inputMode])")
    assert {name for name, mode in named if mode not in ("numeric", "decimal")} == words
    open_visit(page, server, f"{CAR}&equipment=workshop&consent=written&tier=workshop")
    modes = page.locator(fields).evaluate_all(
        "(all) => all.map((each) => [each.closest('[data-codes]') !== null, each.inputMode])"
    )
    assert len(modes) > 5
    assert all(mode in ("numeric", "decimal") for codes, mode in modes if not codes)
