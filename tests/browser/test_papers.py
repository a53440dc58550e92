"""What the papers show: lines of the service history on the checklist."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.browser.conftest import PHONE, Server
from tests.browser.steps import PRICED, answer_core, finish, open_visit, settled
from tests.web.pages.test_dates import TODAY, TYPED


def line(page: Page, work: str, when: str, odometer: str = "", **chosen: str) -> Locator:
    """Add a line of the papers as one would: what it is, what it is about, when and where."""
    page.locator(f"[data-add={work}]").click()
    row = page.locator(".paper").last
    for label, value in chosen.items():
        row.get_by_label(label.replace("_", " ").capitalize()).select_option(value)
    row.get_by_label("Month and year").fill(when)
    if odometer:
        row.get_by_label("Odometer").fill(odometer)
    row.get_by_label("Month and year").focus()
    row.get_by_label("Month and year").blur()
    return row


def figure(page: Page) -> str:
    settled(page)
    return page.locator("#live .figure").inner_text()


def sent(page: Page) -> dict[str, Any]:
    """The case that is sent when the look is finished."""
    with page.expect_request("**/v1/assessments") as asked:
        finish(page)
    case: dict[str, Any] = asked.value.post_data_json
    return case


def test_a_few_taps_move_the_figure_and_outlast_a_reload(page: Page, server: Server) -> None:
    open_visit(page, server, f"{PRICED}&distance=mi&reference=papers".replace("121000", "75000"))
    answer_core(page)
    before = figure(page)
    line(page, "oil_service", "0519", "60 200").get_by_label("stamp").check(force=True)
    failed = line(page, "failed", "9.6.2020", "64000", weak_point="chain_tensioner")
    failed.get_by_label("invoice").check(force=True)
    after = figure(page)
    assert after != before
    page.reload()
    lines = page.locator(".paper summary")
    expect(lines.nth(0)).to_have_text("Oil service, 5/2019, 60,200 mi, stamp")
    expect(lines.nth(1)).to_have_text("Failure: Chain tensioner loses its hold, 9/6/2020, 64,000 mi, invoice")
    assert figure(page) == after
    assert sent(page)["service_history"] == [
        {
            "work": "oil_service",
            "date": "2019-05-15",
            "odometer": {"value": 60200, "unit": "mi"},
            "evidence": "stamp",
            "note": "Only month and year are stated.",
        },
        {
            "work": "failed",
            "date": "2020-06-09",
            "item": "chain_tensioner",
            "odometer": {"value": 64000, "unit": "mi"},
            "evidence": "invoice",
        },
    ]


def test_what_is_only_told_moves_the_figure_less_than_an_invoice(page: Page, server: Server) -> None:
    open_visit(page, server, f"{PRICED}&reference=told")
    answer_core(page)
    scores = [_of_hundred(figure(page))]
    row = line(page, "renewed", "6/2024", weak_point="chain_tensioner")
    for word in ("only told", "invoice"):
        row.get_by_label(word).check(force=True)
        scores.append(_of_hundred(figure(page)))
    nothing, told, invoice = scores
    assert invoice < told <= nothing


def _of_hundred(text: str) -> int:
    found = re.search(r"(?:about|fewer than|more than) (\d+) needs? more", text)
    assert found is not None, text
    return int(found[1])


def test_a_part_can_be_told_by_its_revision(page: Page, server: Server) -> None:
    open_visit(page, server, f"{PRICED}&reference=part")
    row = line(page, "renewed", "0621", weak_point="chain_tensioner")
    choice = row.get_by_label("Which part was fitted")
    assert choice.locator("option").count() > 2
    choice.select_option(index=2)
    part = choice.input_value()
    row.get_by_label("Weak point").select_option("vacuum_pump")
    expect(choice).to_be_hidden()
    row.get_by_label("Weak point").select_option("chain_tensioner")
    choice.select_option(part)
    answer_core(page)
    assert sent(page)["service_history"][0]["part_revision"] == part


def test_a_line_that_is_not_complete_says_so_and_stays_out(page: Page, server: Server) -> None:
    open_visit(page, server, f"{PRICED}&reference=incomplete")
    page.locator("[data-add=oil_service]").click()
    row = page.locator(".paper")
    expect(row.locator("summary")).to_contain_text("not counted yet")
    expect(row.get_by_label("Month and year")).to_be_focused()
    row.get_by_label("Month and year").fill("13/2019")
    expect(row.locator("summary")).to_contain_text("not counted yet")
    page.reload()
    expect(page.locator(".paper summary")).to_contain_text("not counted yet")
    answer_core(page)
    assert sent(page)["service_history"] == []


def test_an_earlier_check_a_reading_and_another_engine(page: Page, server: Server) -> None:
    open_visit(page, server, f"{PRICED}&reference=others")
    page.get_by_text("Other lines").click()
    line(page, "checked", "032022", check="oil_level", result="low")
    line(page, "reading", "2023-04", "110000")
    other = line(page, "engine_replaced", "2/21", "90000")
    other.get_by_label("The engine fitted was").select_option("used")
    other.get_by_label("Distance already on that engine").fill("40000")
    other.get_by_label("Distance already on that engine").blur()
    answer_core(page)
    history = sent(page)["service_history"]
    assert [(each["work"], each.get("item"), each.get("result")) for each in history] == [
        ("checked", "oil_level", "low"),
        ("reading", None, None),
        ("engine_replaced", "used", None),
    ]
    assert history[2]["engine_distance"] == {"value": 40000, "unit": "km"}


def test_a_reading_that_runs_backwards_leads_to_its_line(page: Page, server: Server) -> None:
    open_visit(page, server)
    row = line(page, "oil_service", "0620", "200000")
    live = page.locator("#live")
    expect(live).to_contain_text("The odometer runs backwards")
    expect(live).not_to_contain_text("/service_history")
    row.locator("summary").click()
    live.get_by_role("link", name="Show it").click()
    row.get_by_label("Doubtful reading").check()
    settled(page)
    expect(live).to_contain_text("0 of 10 core checks")


def test_a_line_is_taken_back(page: Page, server: Server) -> None:
    open_visit(page, server)
    row = line(page, "oil_service", "0620", "70000")
    row.get_by_role("button", name=re.compile("remove Oil service, 6.2020")).press("Enter")
    expect(page.locator(".paper")).to_have_count(0)
    expect(page.locator("#papers-said")).to_have_text("Line removed.")
    expect(page.locator("[data-add=oil_service]")).to_be_focused()


def test_this_month_is_never_a_day_to_come(page: Page, server: Server) -> None:
    open_visit(page, server, f"{PRICED}&reference=now")
    line(page, "oil_service", "0426", "120900")
    answer_core(page)
    assert sent(page)["service_history"][0]["date"] == "2026-04-08"


def test_the_browser_reads_dates_as_the_server_does(page: Page, server: Server) -> None:
    open_visit(page, server)
    address = page.locator("script[src*='visit.js']").get_attribute("src") or ""
    read = page.evaluate(
        "async ([address, typed, today]) => { const { dayOf } = await import(address);"
        " return typed.map((text) => dayOf(text, today)); }",
        [address.replace("visit.js", "dates.js"), list(TYPED), TODAY.isoformat()],
    )
    assert dict(zip(TYPED, read, strict=True)) == TYPED


def test_papers_without_a_signal_in_german(phone: Callable[..., BrowserContext], server: Server) -> None:
    context = phone(locale="de-DE")
    page = context.new_page()
    open_visit(page, server, f"{PRICED}&reference=netz")
    page.wait_for_function("navigator.serviceWorker.controller !== null")
    page.reload()
    settled(page)
    context.set_offline(True)
    page.get_by_role("button", name="Ölwechsel").click()
    row = page.locator(".paper")
    row.get_by_label("Monat und Jahr").fill("0521")
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    row.get_by_label("Stand").fill("98.800")  # kept as it is typed, before the field is left
    page.reload()
    expect(page.locator(".paper summary")).to_have_text("Ölwechsel, 5/2021, 98.800 km")
    context.set_offline(False)
    answer_core(page)
    assert sent(page)["service_history"][0]["odometer"] == {"value": 98800, "unit": "km"}
