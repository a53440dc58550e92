"""A whole inspection with one thumb: from the first page to the PDF, with no signal in the middle."""

from __future__ import annotations

import re
from collections.abc import Callable

from playwright.sync_api import BrowserContext, Page, Request, expect

from tests.browser.conftest import PHONE, Server, sample
from tests.browser.steps import (
    CAR,
    PRICED,
    answer,
    answer_core,
    core_done,
    finish,
    ids,
    nothing_found,
    open_visit,
    settled,
    shown,
    stop,
)
from tests.german import english_in

OTHER = "/visit?family=lapwing&odometer=121000&registered=2016-05-19&date=2026-04-08"
WEIGHT = 60_000  # bytes of the checklist page with all it needs, first time
LIVE = 200  # [ms] from the question to the figure on the page


def test_from_the_first_page_to_the_pdf_with_no_signal_in_the_middle(
    phone: Callable[..., BrowserContext], server: Server
) -> None:
    context = phone()
    page = context.new_page()
    before = len(ids(server))
    page.goto(server.url)
    page.get_by_label("Engine family").select_option("lapwing")
    page.get_by_label("Revision").select_option("lapwing_1b")
    page.get_by_label("Odometer").fill("75 000")
    page.get_by_label("Unit of distance").select_option("mi")
    page.get_by_label("First registration").fill("0512")
    page.get_by_label("First registration").blur()
    expect(page.get_by_label("First registration")).to_have_value("5/2012")
    page.get_by_role("button", name="Make the checklist").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Tarnbeck Lapwing")
    expect(page.get_by_text("75,000 miles")).to_be_visible()
    assert "registered=2012-05-15" in page.url
    core_done(page, 0)
    page.wait_for_function("navigator.serviceWorker.controller !== null")
    page.reload()  # now the worker has seen the page
    core_done(page, 0)

    answer(page, "starts_and_drives", "starts and drives")
    core_done(page, 1)
    context.set_offline(True)
    answer(page, "oil_level", "below the lower mark")
    stop(page, "oil_level").get_by_text("Why, remark, photo").click()
    stop(page, "oil_level").get_by_label("Remark").fill("just above the tip")
    stop(page, "oil_level").get_by_label("Remark").blur()
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("Tarnbeck Lapwing")
    expect(page.locator("#live")).to_contain_text("2 of 10 core checks")  # counted here, without the server
    expect(page.locator("#no-signal")).to_contain_text("No signal")
    expect(page.locator("#next-open")).to_contain_text("Look under the oil filler cap")
    expect(page.locator("input[name=oil_level][value='r:low']")).to_be_checked()
    expect(page.locator("input[name=starts_and_drives][value='r:runs']")).to_be_checked()
    nothing_found(page)
    page.locator("#finish").click()
    expect(page.locator("#finish-said")).to_contain_text("No signal")
    assert len(ids(server)) == before

    context.set_offline(False)  # sent by itself, without another tap
    page.wait_for_url(re.compile(r"/assessments/[0-9a-f]{32}$"))
    assert len(ids(server)) == before + 1
    made = server.get(f"/v1/assessments/{page.url.rsplit('/', 1)[1]}")
    low = next(each for each in made["coverage"]["checked"] if each["check"] == "oil_level")
    assert low["result"] == "low"
    link = page.get_by_role("link", name="Report as PDF").get_attribute("href")
    assert context.request.get(f"{server.url}{link}").body().startswith(b"%PDF-")


def test_a_visit_begun_is_listed_on_the_first_page(page: Page, server: Server) -> None:
    open_visit(page, server, f"{CAR}&reference=begun")
    answer(page, "oil_level", "between the marks")
    page.goto(server.url)
    begun = page.get_by_role("region", name="Looks begun on this device")
    expect(begun).to_contain_text("Tarnbeck Lapwing")
    expect(begun).to_contain_text("2026-04-08, begun, 1 answers")


def test_a_look_that_waits_is_told_on_the_first_page_and_sent_when_opened(
    phone: Callable[..., BrowserContext], server: Server
) -> None:
    """Finished without a signal, the page closed, the phone at home again."""
    context = phone()
    page = context.new_page()
    open_visit(page, server, f"{PRICED}&reference=waits")
    answer_core(page)
    before = len(ids(server))
    context.set_offline(True)
    page.locator("#finish").click()
    expect(page.locator("#finish-said")).to_contain_text("No signal")
    page.close()
    context.set_offline(False)
    page = context.new_page()
    page.goto(server.url)
    begun = page.get_by_role("region", name="Looks begun on this device")
    expect(begun).to_contain_text("waits for a signal")
    assert len(ids(server)) == before
    begun.get_by_role("link").first.click()
    page.wait_for_url(re.compile(r"/assessments/[0-9a-f]{32}$"))
    assert len(ids(server)) == before + 1
    page.goto(server.url)
    expect(page.get_by_role("region", name="Looks begun on this device")).to_have_count(0)


def test_no_verdict_before_the_core_checks_then_the_figure_moves(page: Page, server: Server) -> None:
    open_visit(page, server)
    live = page.locator("#live")
    expect(live).to_contain_text("0 of 10 core checks")
    answer(page, "oil_level", "between the marks")
    core_done(page, 1)
    expect(live).to_contain_text("1 of 10 core checks")
    expect(live).to_contain_text("No verdict")
    expect(live.locator(".figure")).to_have_count(0)
    answer_core(page)
    expect(live.locator(".figure")).to_contain_text("Of 100 such cars")
    clean = live.locator(".figure").inner_text()
    answer(page, "cold_start_sound", "rattle over 3 s")
    expect(live.locator(".figure")).not_to_have_text(clean)
    assert _of_hundred(live.inner_text()) > _of_hundred(clean)


def _of_hundred(text: str) -> int:
    """The figure in 'Of 100 such cars about 38 need more than ...'."""
    found = re.search(r"(?:about|fewer than|more than) (\d+) needs? more", text)
    assert found is not None, text
    return int(found[1])


def test_price_and_advice_are_hidden_until_they_are_asked_for(page: Page, server: Server) -> None:
    open_visit(page, server)
    answer_core(page)
    money = page.get_by_text("Price these findings support")
    expect(money).to_be_hidden()
    page.get_by_role("button", name="Price and advice").click()
    expect(money).to_be_visible()
    page.get_by_role("button", name="Price and advice").click()
    expect(money).to_be_hidden()


def test_tiers_widen_the_list(page: Page, server: Server) -> None:
    open_visit(page, server, f"{CAR}&equipment=workshop&consent=written&tier=ten_minutes")
    ten = shown(page)
    page.get_by_label("45 minutes").check(force=True)
    forty_five = shown(page)
    page.get_by_label("workshop", exact=True).check(force=True)
    workshop = shown(page)
    assert 0 < len(ten) <= 10
    assert set(ten) < set(forty_five) < set(workshop)
    order = [name for name in workshop if name in forty_five]
    assert order == forty_five  # the order of the visit stays


def test_a_group_that_was_looked_at_gets_its_time_and_keeps_what_was_found(page: Page, server: Server) -> None:
    open_visit(page, server)
    answer(page, "oil_level", "below the lower mark")
    nothing_found(page)
    expect(page.locator("input[name=oil_level][value='r:low']")).to_be_checked()
    answer_core(page)
    made = finish(page)
    case = page.evaluate("JSON.parse(localStorage.getItem(Object.keys(localStorage)[0])).answers")
    notes = [each["group"] for each in case.values() if "group" in each]
    assert notes
    assert all(re.search(r"nothing found, \d\d:\d\d", note) for note in notes)
    results = {each["check"]: each["result"] for each in server.get(f"/v1/assessments/{made}")["coverage"]["checked"]}
    assert results["oil_level"] == "low"


def test_what_the_seller_tells_counts_as_told(page: Page, server: Server) -> None:
    open_visit(page, server, f"{PRICED}&reference=told")
    page.get_by_text("Before you go").click()
    asked = page.get_by_role("group", name="How much oil do you add")
    asked.get_by_role("radio").nth(1).check(force=True)
    answer_core(page)
    made = server.get(f"/v1/assessments/{finish(page)}")
    told = [each for each in made["coverage"]["checked"] if each["observed_by"] == "seller"]
    assert [(each["check"], each["result"]) for each in told] == [("oil_use_told", "raised")]


def test_a_reason_why_not_is_one_tap_and_can_be_undone(page: Page, server: Server) -> None:
    open_visit(page, server)
    answer(page, "watch_temperature", "refused")
    core_done(page, 1)
    stop(page, "watch_temperature").get_by_role("button", name="undo").click()
    core_done(page, 0)


def test_nothing_moves_under_the_thumb_that_answers(page: Page, server: Server) -> None:
    """Four reasons in one row; the button that takes an answer back has its place kept."""
    open_visit(page, server)
    place = stop(page, "oil_level")
    rows = {box["y"] for each in place.locator(".reason").all() if (box := each.bounding_box())}
    assert len(rows) == 1
    following = page.locator("#c-oil_level ~ .stop:visible").first
    before = following.evaluate("(each) => each.offsetTop")
    answer(page, "oil_level", "between the marks")
    expect(place.get_by_role("button", name="undo")).to_be_visible()
    assert following.evaluate("(each) => each.offsetTop") == before


def test_a_noise_is_timed_by_holding_the_button(page: Page, server: Server) -> None:
    open_visit(page, server)
    button = stop(page, "cold_start_sound").get_by_role("button", name="Hold while it lasts")
    button.scroll_into_view_if_needed()
    button.hover()
    page.mouse.down()
    page.wait_for_timeout(1300)
    page.mouse.up()
    held = float(stop(page, "cold_start_sound").get_by_label("Measured").input_value())
    assert 1.0 <= held <= 4.0
    core_done(page, 1)


def test_a_noise_is_timed_by_two_taps_for_whoever_cannot_hold(page: Page, server: Server) -> None:
    """WCAG 2.2, 2.5.1 and 2.5.7: no gesture is needed; a screen reader clicks without a pointer."""
    open_visit(page, server)
    button = stop(page, "cold_start_sound").get_by_role("button", name="Hold while it lasts")
    measured = stop(page, "cold_start_sound").get_by_label("Measured")
    for tap in (button.click, lambda: button.evaluate("(each) => each.click()")):
        measured.fill("")
        tap()
        expect(button).to_have_attribute("aria-pressed", "true")
        page.wait_for_timeout(700)
        tap()
        expect(button).to_have_attribute("aria-pressed", "false")
        assert 0.6 <= float(measured.input_value()) <= 5.0
    core_done(page, 1)


def test_what_one_check_shows_of_the_circumstances_holds_for_all(page: Page, server: Server) -> None:
    """An engine that was warm on arrival voids what needs a cold one, without a tap at each of them."""
    open_visit(page, server)
    answer_core(page)
    answer(page, "feel_engine_warm", "already warm on arrival")
    cold = stop(page, "cold_start_sound").get_by_label("Engine cold")
    expect(cold).not_to_be_checked()
    answer(page, "feel_engine_warm", "cold on arrival")
    expect(cold).to_be_checked()
    answer(page, "feel_engine_warm", "already warm on arrival")
    made = server.get(f"/v1/assessments/{finish(page)}")
    void = {each["check"] for each in made["coverage"]["void"]}
    assert {"cold_start_sound", "feel_cold_idle", "coolant_level"} <= void


def test_a_remark_moves_no_number_and_is_kept_while_it_is_typed(page: Page, server: Server) -> None:
    open_visit(page, server)
    answer_core(page)
    before = page.locator("#live .figure").inner_text()
    stop(page, "oil_level").get_by_text("Why, remark, photo").click()
    remark = stop(page, "oil_level").get_by_label("Remark")
    remark.press_sequentially("terrible, dripping, knocks, do not buy")
    page.reload()  # without leaving the field
    expect(remark).to_have_value("terrible, dripping, knocks, do not buy")
    settled(page)
    assert page.locator("#live .figure").inner_text() == before


def test_the_next_core_check_that_is_open_is_one_tap_away(page: Page, server: Server) -> None:
    open_visit(page, server)
    following = page.locator("#next-open")
    expect(following).to_have_text("Next open: See whether it starts and drives")
    answer(page, "starts_and_drives", "starts and drives")
    expect(following).to_have_text("Next open: Look under the oil filler cap for deposits")
    following.click()
    expect(stop(page, "look_under_oil_cap").get_by_role("heading")).to_be_in_viewport()
    expect(page.locator("#open-core a")).to_have_count(9)
    answer_core(page)
    expect(following).to_be_hidden()
    expect(page.locator("#open-core")).to_be_hidden()


def test_a_condition_that_did_not_hold_is_sent(page: Page, server: Server) -> None:
    open_visit(page, server)
    answer_core(page)
    stop(page, "cold_start_sound").get_by_label("Engine cold").uncheck()
    made = server.get(f"/v1/assessments/{finish(page)}")
    assert "cold_start_sound" in {each["check"] for each in made["coverage"]["void"]}


def test_pressure_in_psi_is_sent_in_bar(page: Page, server: Server) -> None:
    open_visit(page, server, f"{OTHER}&equipment=workshop&consent=written&tier=workshop&pressure=psi")
    fields = stop(page, "compression_test").locator("[data-value]")
    expect(stop(page, "compression_test").locator("[data-unit-shown]")).to_have_text("psi")
    for place, value in enumerate(("174", "173", "175", "116")):
        fields.nth(place).fill(value)
    fields.nth(3).blur()
    settled(page)
    with page.expect_request("**/visit/live") as asked:
        answer(page, "oil_level", "between the marks")
    findings = asked.value.post_data_json["findings"]
    measured = next(each for each in findings if each["check"] == "compression_test")["measured"]
    assert measured["unit"] == "bar"
    assert [round(value, 2) for value in measured["values"]] == [12.0, 11.93, 12.07, 8.0]


def test_how_much_oil_is_added_is_told_in_quarts_over_miles(page: Page, server: Server) -> None:
    open_visit(page, server, f"{PRICED}&distance=mi&volume=quart&reference=oil".replace("121000", "75000"))
    page.get_by_text("Before you go").click()
    question = page.locator("#told-oil_use_told")
    expect(question.locator("[data-unit-shown]")).to_have_text("qt/1000 mi")
    question.get_by_label("or the amount").fill("0,7")
    question.get_by_label("or the amount").blur()
    answer_core(page)
    with page.expect_request("**/v1/assessments") as sent:
        made = server.get(f"/v1/assessments/{finish(page)}")
    told = next(each for each in sent.value.post_data_json["findings"] if each["check"] == "oil_use_told")
    assert told["observed_by"] == "seller"
    assert told["measured"]["unit"] == "L/1000km"
    assert abs(told["measured"]["value"] - 0.7 * 0.946352946 / 1.609344) < 1e-6
    checked = {each["check"]: each["result"] for each in made["coverage"]["checked"]}
    assert checked["oil_use_told"] == "raised"


def test_units_are_chosen_once(page: Page, server: Server) -> None:
    """On the first page, then everywhere: figures, limits, the report, what comes after, engines."""
    page.goto(server.url)
    page.get_by_label("Engine family").select_option("lapwing")
    page.get_by_label("Odometer").fill("75,000")
    page.get_by_label("Unit of distance").select_option("mi")
    page.get_by_text("Reference, place, units").click()
    page.get_by_label("psi").check(force=True)
    page.get_by_label("quarts").check(force=True)
    page.get_by_label("a workshop").check(force=True)
    page.get_by_label("taking covers off, in writing").check(force=True)
    page.get_by_role("button", name="Make the checklist").click()
    core_done(page, 0)
    expect(page.locator("#c-oil_pressure_gauge .hint").first).to_contain_text("psi")
    answer_core(page)
    made = finish(page)
    report = page.get_by_role("link", name="Report as PDF")
    assert (report.get_attribute("href") or "").endswith("?language=en&units=mi,psi,qt")
    page.goto(f"{server.url}/assessments/{made}/after")
    expect(page.locator("main")).to_contain_text(re.compile(r"\d mi\b"))
    expect(page.locator("main")).not_to_contain_text(re.compile(r"\d km\b"))
    page.goto(server.url)
    expect(page.get_by_label("Unit of distance")).to_have_value("mi")
    open_visit(page, server)  # an address has its own units: that of a printed code says kilometres
    expect(page.get_by_text("121,000 km")).to_be_visible()


def test_a_double_tap_makes_one_assessment(page: Page, server: Server) -> None:
    open_visit(page, server, f"{PRICED}&reference=twice")
    answer_core(page)
    before = len(ids(server))
    page.locator("#finish").dblclick()
    page.wait_for_url(re.compile(r"/assessments/[0-9a-f]{32}$"))
    first = page.url
    page.go_back()
    expect(page.locator("#core-state")).to_be_attached()
    page.locator("#finish").click()
    page.wait_for_url(re.compile(r"/assessments/[0-9a-f]{32}$"))
    assert page.url == first
    assert len(ids(server)) == before + 1


def test_a_photo_taken_goes_with_its_finding(page: Page, server: Server, tmp_path: object) -> None:
    open_visit(page, server, f"{PRICED}&reference=photo")
    answer(page, "oil_level", "below the lower mark")
    page.evaluate(
        """() => new Promise((done) => {
            const canvas = Object.assign(document.createElement("canvas"), { width: 640, height: 480 });
            canvas.getContext("2d").fillRect(0, 0, 300, 200);
            canvas.toBlob((blob) => {
                const files = new DataTransfer();
                files.items.add(new File([blob], "oil.png", { type: "image/png" }));
                const field = document.querySelector("#p-oil_level");
                field.files = files.files;
                field.dispatchEvent(new Event("change", { bubbles: true }));
                done(true);
            }, "image/png");
        })"""
    )
    stop(page, "oil_level").get_by_text("Why, remark, photo").click()
    expect(stop(page, "oil_level").locator(".photos img")).to_have_count(1)
    page.reload()
    expect(page.locator("#c-oil_level .photos img")).to_have_count(1)
    answer_core(page)
    with page.expect_request("**/v1/assessments") as sent:
        finish(page)
    finding = next(each for each in sent.value.post_data_json["findings"] if each["check"] == "oil_level")
    assert len(finding["photos"]) == 1
    assert page.request.get(f"{server.url}/v1/photos/{finding['photos'][0]}").body().startswith(b"\xff\xd8")


def test_the_first_paint_is_light_and_comes_from_here_alone(
    phone: Callable[..., BrowserContext], server: Server
) -> None:
    page = phone(service_workers="block").new_page()
    asked: list[Request] = []
    page.on("request", lambda request: asked.append(request))  # noqa: PLW0108 (Playwright takes no builtin)
    open_visit(page, server, f"{CAR}&equipment=workshop&consent=written&tier=workshop")
    assert all(each.url.startswith(server.url) for each in asked)
    weights = {each.url: _sent(each) for each in asked}
    print(f"first paint: {sum(weights.values())} bytes")
    assert sum(weights.values()) < WEIGHT, weights
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def _sent(request: Request) -> int:
    sizes = request.sizes()
    return sizes["responseHeadersSize"] + sizes["responseBodySize"]


def test_the_figure_comes_within_two_tenths_of_a_second(page: Page, server: Server) -> None:
    """Computing time, since the machine that runs the tests may be busy with other things: what the server states, and
    what is left is the way there and back and the browser's own work, measured on an answer that computes nothing."""
    open_visit(page, server)
    answer_core(page)
    cpu: list[float] = []
    for place in range(12):
        with page.expect_response("**/visit/live") as answered:
            answer(page, "oil_level", ("below the lower mark", "between the marks")[place % 2])
        settled(page)
        cpu.append(float(answered.value.headers["server-timing"].removeprefix("cpu;dur=")))
    took = page.locator("#live").get_attribute("data-took")
    print(f"computing {min(cpu):.0f} ms, the last one {took} ms from question to figure")
    assert 0 < sorted(cpu)[len(cpu) // 2] + _there_and_back(page) < LIVE, cpu


def _there_and_back(page: Page) -> float:
    """The quickest of ten small answers [ms]."""
    return float(
        page.evaluate(
            """async () => {
                const took = [];
                for (let place = 0; place < 10; place++) {
                    const began = performance.now();
                    await (await fetch("/healthz", { cache: "no-store" })).text();
                    took.push(performance.now() - began);
                }
                return Math.min(...took);
            }"""
        )
    )


def test_answers_that_cannot_be_true_together_are_said_to_be_so(page: Page, server: Server) -> None:
    open_visit(page, server)
    page.get_by_text("Before you go").click()
    asked = page.get_by_role("group", name="Does it rattle for a moment")
    asked.get_by_label("rattle over 3 s").check(force=True)
    answer(page, "cold_start_sound", "no unusual sound")
    expect(page.locator("#live")).to_contain_text("cannot all be true of one engine")


def test_a_value_that_cannot_be_is_said_to_be_so(page: Page, server: Server) -> None:
    open_visit(page, server)
    field = stop(page, "cold_start_sound").get_by_label("Measured")
    field.fill("900")
    field.blur()
    expect(page.locator("#live")).to_contain_text("This needs mending")
    expect(page.locator("#live")).to_contain_text("outside")


# ---- in German ---------------------------------------------------------------------------------------------------


def test_a_german_form_has_german_faults(page: Page, server: Server) -> None:
    page.goto(f"{server.url}/?lang=de")
    page.get_by_label("Motorfamilie", exact=True).select_option("lapwing")
    page.get_by_label("Kilometerstand", exact=True).fill("viele")
    page.get_by_label("Erstzulassung").fill("2090-01-01")
    page.locator("button.main").click()
    faults = page.get_by_role("alert")
    expect(faults).to_contain_text('Erwartet wird eine endliche Zahl, nicht "viele".')
    expect(faults).to_contain_text("1. Januar 2090 liegt nach dem Tag der Beurteilung")
    assert english_in(faults.inner_text()) == []
    page.get_by_role("link", name="Kilometerstand").click()
    expect(page.get_by_label("Kilometerstand", exact=True)).to_be_focused()


def test_what_the_service_refuses_is_told_in_the_language_of_the_page(page: Page, server: Server) -> None:
    """The browser itself accepts English; the page was asked for in German."""
    made = server.post("/v1/assessments", sample("noisy_early"))["assessment_id"]
    page.goto(f"{server.url}/assessments/{made}/work?lang=de")
    form = page.locator("form[data-api]").first
    form.get_by_label("Kilometerstand").fill("5")
    form.get_by_role("button", name="Nächste Fassung machen").click()
    told = form.get_by_role("status")
    expect(told).to_contain_text("Der Kilometerstand läuft rückwärts: ")
    assert english_in(told.inner_text()) == []


def test_a_value_that_cannot_be_is_said_to_be_so_in_german(page: Page, server: Server) -> None:
    open_visit(page, server, f"{PRICED}&lang=de")
    field = stop(page, "cold_start_sound").get_by_label("Gemessen")
    field.fill("900")
    field.blur()
    expect(page.locator("#live")).to_contain_text("Das ist zu berichtigen")
    expect(page.locator("#live")).to_contain_text("Erlaubt ist 0 bis 60 s, nicht 900 s.")
    assert english_in(page.locator("#live").inner_text()) == []
