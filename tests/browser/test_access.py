"""The pages without a mouse, for a screen reader, and in both languages."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.conftest import Server, sample
from tests.browser.steps import PRICED, answer, answer_core, core_done, ids, open_visit

SERIOUS = ("serious", "critical")
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
MOST_TABS = 400


@pytest.fixture(scope="module")
def made(server: Server) -> list[str]:
    """Ids of two assessments."""
    return [server.post("/v1/assessments", sample(name))["assessment_id"] for name in ("noisy_early", "do_not_drive")]


def addresses(made: list[str]) -> dict[str, str]:
    return {
        "start": "/",
        "start with faults": "/visit?how=family&family=no_such&odometer=x&date=2026-01-01",
        "visit": f"{PRICED}&equipment=workshop&consent=written&tier=workshop",
        "result": f"/assessments/{made[0]}",
        "danger": f"/assessments/{made[1]}",
        "after": f"/assessments/{made[0]}/after",
        "work": f"/assessments/{made[0]}/work",
        "list": "/assessments",
        "choose": f"/assessments?beside={made[0]}",
        "compare": f"/compare?car={made[0]}&car={made[1]}",
        "engines": "/engines",
        "engine": "/engines/lapwing",
        "revision": "/engines/lapwing/lapwing_1b",
        "against": "/engines/lapwing/lapwing_1a/against/lapwing_2b",
        "sign in": "/sign-in",
        "missing": "/assessments/nothing",
        "offline": "/offline",
    }


@pytest.mark.parametrize("language", ["en", "de"])
def test_nothing_serious_stands_in_the_way_of_anybody(
    phone: Callable[..., BrowserContext], server: Server, made: list[str], language: str
) -> None:
    """axe-core's rules for WCAG 2.2 AA, and no page wider than the phone."""
    page = phone(locale=language).new_page()
    found = {}
    for name, address in addresses(made).items():
        page.goto(server.url + address)
        if name == "visit":
            expect(page.locator("#core-state")).to_be_attached()
            answer_core(page)
            page.locator("[data-reveal]").click()
            page.locator("[data-add=renewed]").click()
        page.locator("main details").evaluate_all("(all) => all.forEach((each) => { each.open = true; })")
        violations = Axe().run(page, options=RULES).response["violations"]
        grave = [
            (each["id"], [node["html"][:120] for node in each["nodes"]])
            for each in violations
            if each["impact"] in SERIOUS
        ]
        if grave:
            found[name] = grave
        assert page.evaluate("document.documentElement.scrollWidth") <= 390, name
        assert page.locator("html").get_attribute("lang") == language
    assert found == {}


TARGETS = (".result", ".reason", "button", "summary", "nav a", ".condition", ".next a", ".actions a", "ul.links a")


def test_targets_are_large_enough(page: Page, server: Server, made: list[str]) -> None:
    """WCAG 2.2, success criterion 2.5.8: at least 24 by 24 CSS pixels, links within sentences excepted."""
    open_visit(page, server)
    page.locator("[data-add=renewed]").click()
    answer(page, "oil_level", "between the marks")
    assert _small(page) == []
    for name in ("start", "result", "work", "revision", "list"):
        page.goto(server.url + addresses(made)[name])
        assert _small(page) == [], name


def _small(page: Page) -> list[str]:
    """What of the targets on the page is smaller than 24 by 24."""
    found = page.locator(", ".join(f"{each}:visible" for each in TARGETS)).evaluate_all(
        """(all) => all.map((each) => [each.outerHTML.slice(0, 120), each.getBoundingClientRect()])
             .map(([told, box]) => [told, box.width, box.height])"""
    )
    assert len(found) > 4
    return [told for told, width, height in found if width < 23.99 or height < 23.99]


def test_no_page_is_wider_than_a_screen_of_320_pixels(
    phone: Callable[..., BrowserContext], server: Server, made: list[str]
) -> None:
    """WCAG 2.2, success criterion 1.4.10: also the size of a page of 1,280 pixels at 400 %."""
    page = phone(viewport={"width": 320, "height": 640}, locale="de-DE").new_page()
    wide = []
    for name, address in addresses(made).items():
        page.goto(server.url + address)
        if name == "visit":
            page.locator("[data-add=renewed]").click()
        if page.evaluate("document.documentElement.scrollWidth") > 320:
            wide.append(name)
    assert wide == []


@pytest.mark.parametrize("opened", [False, True])
def test_what_has_the_focus_is_never_behind_the_figure(page: Page, server: Server, opened: bool) -> None:
    """WCAG 2.2, success criterion 2.4.11: the figure at the foot of the screen hides nothing that has the focus, even
    with price and advice opened."""
    open_visit(page, server)
    answer_core(page)
    if opened:
        page.locator("[data-reveal]").click()
    page.locator("main").focus()
    hidden = []
    for _ in range(120):
        page.keyboard.press("Tab")
        hidden.append(page.evaluate(HIDDEN))
    assert len({each["name"] for each in hidden}) > 25
    assert [each["name"] for each in hidden if each["hidden"]] == []


HIDDEN = """() => {
    const held = document.activeElement, box = held.getBoundingClientRect();
    const figure = document.querySelector(".live").getBoundingClientRect();
    const inside = held.closest(".live, body > .top, .foot") !== null;
    const hidden = !inside && (box.top >= figure.top || box.bottom <= 0);
    return { name: held.name + held.id + held.className, hidden };
}"""


def _tab_to(page: Page, wanted: str) -> None:
    """Press the tab key until something that matches this selector has the focus."""
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        if page.evaluate("(wanted) => document.activeElement.matches(wanted)", wanted):
            return
    pytest.fail(f"the tab key never reaches {wanted}")


def test_a_visit_by_keyboard_alone(page: Page, server: Server) -> None:
    """From the first page to the result: tab, space, arrows, enter and typing."""
    before = len(ids(server))
    page.goto(server.url)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    _tab_to(page, "#f-family")
    page.keyboard.type("Tarnbeck L")
    _tab_to(page, "#f-odometer")
    page.keyboard.type("121000")
    _tab_to(page, "#f-registered")
    page.keyboard.type("19.5.2012")
    page.keyboard.press("Enter")
    core_done(page, 0)
    _tab_to(page, "input[name=oil_level]")
    page.keyboard.press("Space")
    core_done(page, 1)
    page.keyboard.press("ArrowDown")
    expect(page.locator("input[name=oil_level]").nth(1)).to_be_checked()
    assert _outlined(page)
    _tab_to(page, "[data-hold]")
    page.keyboard.press("Space")
    page.wait_for_timeout(600)
    page.keyboard.press("Space")
    core_done(page, 2)
    _tab_to(page, "#no-time")
    page.keyboard.press("Enter")
    expect(page.locator("#core-state")).to_have_attribute("data-open", "")
    page.locator("#no-time").wait_for(state="hidden")
    page.locator("#t-finish").evaluate("(heading) => { heading.tabIndex = -1; heading.focus(); }")
    _tab_to(page, "#finish")
    page.keyboard.press("Enter")
    page.wait_for_url("**/assessments/*")
    expect(page.get_by_role("heading", name="What to do")).to_be_visible()
    assert len(ids(server)) == before + 1


def _outlined(page: Page) -> bool:
    """Whether what has the focus, or what it is shown by, wears an outline."""
    return bool(
        page.evaluate(
            """() => [document.activeElement, document.activeElement.nextElementSibling]
                 .some((each) => each && getComputedStyle(each).outlineStyle !== "none"
                   && parseFloat(getComputedStyle(each).outlineWidth) >= 2)"""
        )
    )


def test_the_language_is_chosen_once(phone: Callable[..., BrowserContext], server: Server) -> None:
    page = phone().new_page()
    page.goto(server.url)
    expect(page.get_by_role("heading", level=1)).to_have_text("Which engine will you look at?")
    page.get_by_role("button", name="Deutsch").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Welchen Motor sehen Sie sich an?")
    open_visit(page, server)
    expect(page.locator("#live")).to_contain_text("0 von 10 Kernprüfungen")
    expect(page.locator("#c-oil_level h3")).not_to_have_text("Read the oil level")
    answer_core(page)
    expect(page.locator("#live .figure")).to_contain_text("Von 100 solchen Autos")
    page.locator("#finish").click()
    page.wait_for_url("**/assessments/*")
    expect(page.get_by_role("heading", name="Was zu tun ist")).to_be_visible()
    assert "of such cars" not in page.locator("main").inner_text()


def test_what_a_screen_reader_says_of_the_drawings(page: Page, server: Server, made: list[str]) -> None:
    page.goto(f"{server.url}/assessments/{made[0]}")
    bar = page.locator("#r-chance ~ svg[role=img]")
    assert "of 100 cars like this" in (bar.get_attribute("aria-label") or "")
    expect(page.get_by_role("img", name="Surprise repairs by year")).to_be_visible()
    rows = page.locator("#r-years ~ .scroll tbody tr")
    expect(rows).to_have_count(3)
