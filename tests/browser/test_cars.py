"""Several cars: side by side, listed, worked on; keys; after the purchase."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.conftest import ROOT, Server, sample
from tests.browser.steps import PRICED, answer_core, finish, open_visit


def test_two_cars_side_by_side(page: Page, server: Server) -> None:
    for name, reference in (("noisy_early", "left"), ("clean_late", "right")):
        server.post("/v1/assessments", {**sample(name), "reference": reference})
    page.goto(f"{server.url}/assessments?reference=left")
    page.get_by_role("link", name="left").click()
    page.get_by_role("link", name="Compare with another car").click()
    page.get_by_role("radio", name=re.compile("right")).first.check()
    page.get_by_role("button", name="Go on").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Two cars side by side")
    expect(page.locator("thead th")).to_have_count(2)
    expect(page.get_by_text(re.compile("On average .* right costs .* less to keep"))).to_be_visible()
    score = page.locator("tbody", has=page.get_by_role("rowheader", name="Cars of 100 above the budget"))
    expect(score.get_by_role("cell").first).to_contain_text("about 96")
    expect(page.get_by_text("different plans or budgets")).to_be_visible()


def test_the_list_goes_on_page_by_page(page: Page, server: Server) -> None:
    for _ in range(22):
        server.post("/v1/assessments", {**sample("port_injected"), "reference": "many"})
    page.goto(f"{server.url}/assessments?reference=many")
    expect(page.locator("ul.rows > li")).to_have_count(20)
    page.get_by_role("link", name="Older ones").click()
    expect(page.locator("ul.rows > li")).to_have_count(2)
    expect(page.get_by_role("link", name="Older ones")).to_have_count(0)


def test_a_repair_with_its_invoice_makes_the_next_version(page: Page, server: Server) -> None:
    first = server.post("/v1/assessments", {**sample("noisy_early"), "reference": "dealer"})["assessment_id"]
    page.goto(f"{server.url}/assessments/{first}")
    page.get_by_role("link", name="Record work done").click()
    page.get_by_label("Date", exact=True).fill("2026-03-20")
    page.get_by_label("Renewed").select_option("chain_tensioner")
    page.get_by_label("Date of the work").fill("2026-03-18")
    page.get_by_label("Shown by").select_option("invoice")
    page.get_by_label("Looked at again").select_option("cold_start_sound")
    page.get_by_label("Result").select_option("quiet")
    page.get_by_role("button", name="Make the next version").click()
    expect(page.locator("ol.rows > li")).to_have_count(2)
    page.get_by_role("link", name="Version 2").click()
    page.wait_for_url(re.compile(r"/assessments/[0-9a-f]{32}$"))
    before, after = (server.get(f"/v1/assessments/{name}") for name in (first, page.url.rsplit("/", 1)[1]))
    assert _failed(after, "chain_tensioner") < 0.2 * _failed(before, "chain_tensioner")
    assert {each["check"]: each["result"] for each in after["coverage"]["checked"]}["cold_start_sound"] == "quiet"


def _failed(result: dict[str, Any], weak_point: str) -> float:
    return next(float(each["state"]["faulty"]) for each in result["weak_points"] if each["id"] == weak_point)


def test_a_finding_that_was_dropped_shows_on_the_public_page(page: Page, server: Server) -> None:
    """Finding, work, invoice, next version, publish, withdraw."""
    case = {**sample("noisy_early"), "reference": "public"}
    first = server.post("/v1/assessments", case)["assessment_id"]
    page.goto(f"{server.url}/assessments/{first}/work")
    page.get_by_label("Date", exact=True).fill("2026-03-20")
    page.get_by_label("Looked at again").select_option("look_front_cover")
    page.get_by_label("Result").select_option("dry")
    page.get_by_role("button", name="Make the next version").click()
    expect(page.locator("ol.rows > li")).to_have_count(2)
    page.get_by_role("button", name="Publish the latest version").click()
    link = page.get_by_role("link", name="public page")
    expect(link).to_be_visible()
    work = page.url
    link.click()
    shown = page.locator("body")
    expect(shown).to_contain_text("There are 2 assessments of this car")
    dropped = r"Look for oil at the timing cover: wet.* \(assessment 1, .*\)\. Now: dry"
    expect(shown).to_contain_text(re.compile(dropped))
    public = page.url
    page.goto(work)
    page.get_by_label("Why (readers see it)").fill("The car is sold.")
    page.get_by_role("button", name="Withdraw it").click()
    expect(page.get_by_text(re.compile("Withdrawn on"))).to_be_visible()
    page.goto(public)
    expect(page.locator("body")).to_contain_text("The car is sold.")


def test_several_repairs_and_looks_make_one_version(page: Page, server: Server) -> None:
    first = server.post("/v1/assessments", {**sample("noisy_early"), "reference": "several"})["assessment_id"]
    page.goto(f"{server.url}/assessments/{first}/work")
    page.get_by_label("Date", exact=True).fill("2026-03-20")
    page.get_by_role("button", name="Another repair").click()
    page.get_by_role("button", name="Another repair").click()
    for place, point in ((0, "chain_tensioner"), (2, "ignition_coils")):  # the one between stays empty
        page.get_by_label("Renewed", exact=True).nth(place).select_option(point)
        page.get_by_label("Date of the work").nth(place).fill("2026-03-18")
    page.get_by_role("button", name="Another look").click()
    for place, (check, result) in enumerate((("cold_start_sound", "quiet"), ("look_front_cover", "dry"))):
        page.get_by_label("Looked at again").nth(place).select_option(check)
        page.get_by_label("Result").nth(place).select_option(result)
    with page.expect_request("**/findings") as sent:
        page.get_by_role("button", name="Make the next version").click()
    expect(page.locator("ol.rows > li")).to_have_count(2)
    told = sent.value.post_data_json
    assert [each["item"] for each in told["service_history"]] == ["chain_tensioner", "ignition_coils"]
    assert [each["check"] for each in told["findings"]] == ["cold_start_sound", "look_front_cover"]


def test_photos_are_published_where_they_were_chosen_and_looked_over(
    page: Page, server: Server, tmp_path: Path
) -> None:
    """A look after the repair with its photo; none is shown by itself, and none that nobody looked over."""
    first = server.post("/v1/assessments", {**sample("noisy_early"), "reference": "pictures"})["assessment_id"]
    pictures = [_picture(tmp_path / f"{name}.png", name) for name in ("red", "green")]
    page.goto(f"{server.url}/assessments/{first}/work")
    expect(page.get_by_role("group", name="Photos on the page")).to_have_count(0)
    page.get_by_label("Date", exact=True).fill("2026-03-20")
    page.get_by_label("Looked at again").select_option("look_front_cover")
    page.get_by_label("Result").select_option("dry")
    page.get_by_label("Add photos").set_input_files(pictures)
    page.get_by_role("button", name="Make the next version").click()
    expect(page.locator("ol.rows > li")).to_have_count(2)
    choice = page.get_by_role("group", name="Photos on the page")
    expect(choice).to_contain_text("a face, a plate or a paper")
    expect(choice.get_by_role("checkbox", checked=True)).to_have_count(0)
    shown = "[...document.querySelectorAll('.pictures img')].every((each) => each.complete && each.naturalWidth > 0)"
    choice.locator("img").last.scroll_into_view_if_needed()
    page.wait_for_function(shown)
    choice.get_by_role("checkbox", name="2: Look for oil at the timing cover").check()
    page.get_by_role("button", name="Publish the latest version").click()
    expect(page.get_by_text("looked over")).to_be_visible()  # refused, and said why
    choice.get_by_role("checkbox", name="I looked at each photo").check()
    chosen = choice.get_by_role("checkbox", name="2: Look for oil").get_attribute("value")
    page.get_by_role("button", name="Publish the latest version").click()
    expect(page.get_by_text("Photos: 1.")).to_be_visible()
    page.get_by_role("link", name="public page").click()
    sources = page.locator("img[src*='/photos/']").evaluate_all("(all) => all.map((each) => each.src)")
    assert len(sources) == 1
    assert sources[0].endswith(f"/photos/{chosen}")


def _picture(path: Path, colour: str) -> Path:
    Image.new("RGB", (320, 240), colour).save(path)
    return path


def test_what_happened_since_is_told(page: Page, server: Server) -> None:
    made = server.post("/v1/assessments", {**sample("noisy_early"), "reference": "told"})["assessment_id"]
    page.goto(f"{server.url}/assessments/{made}")
    page.get_by_role("link", name="After you buy").click()
    calendar = page.get_by_role("link", name="All dates as a calendar file").get_attribute("href")
    assert b"BEGIN:VCALENDAR" in page.request.get(f"{server.url}{calendar}").body()
    expect(page.locator("#a-service ~ ul > li").first).to_be_visible()
    page.get_by_label("What was paid").fill("5100")
    page.get_by_label("What was found").select_option("chain_tensioner")
    page.get_by_label("It was").select_option("faulty")
    page.get_by_label("Putting it right cost").fill("640,50")
    page.get_by_role("button", name="Tell it").click()
    expect(page.get_by_text("Kept. Thank you.")).to_be_visible()
    told = server.get(f"/v1/assessments/{made}/outcome")["items"][0]
    assert told["price_paid"] == {"value": 5100, "unit": "EUR"}
    assert told["found"][0]["cost"] == {"value": 640.5, "unit": "EUR"}
    assert (told["found"][0]["weak_point"], told["found"][0]["state"]) == ("chain_tensioner", "faulty")


def test_what_to_look_out_for_in_an_engine(page: Page, server: Server) -> None:
    page.goto(f"{server.url}/engines")
    page.get_by_role("link", name="Tarnbeck Lapwing").click()
    page.get_by_role("link", name="Lapwing 1b").click()
    page.get_by_label("Odometer").fill("150.000")
    page.get_by_role("textbox", name="Age").fill("14")
    page.get_by_role("button", name="Show").click()
    expect(page.get_by_text("At 150,000 km and 14 years")).to_be_visible()
    expect(page.locator("#b-points ~ ul.points > li")).to_have_count(12)
    point = page.locator("#b-points ~ ul.points > li", has_text="Valve cover leaks")
    expect(point.get_by_role("heading", name="How it shows")).to_be_hidden()
    point.locator("summary").click()
    expect(point.get_by_role("heading", name="How it shows")).to_be_visible()
    expect(point).to_contain_text("Look for oil at the valve cover.")
    expect(point).to_contain_text("Usual with these traits: valve cover seal.")
    fitted = page.locator("#b-points ~ ul.points > li", has_text="Boost flap or its actuator worn")
    fitted.locator("summary").click()
    expect(fitted).to_contain_text("Fitted at the works: flap with the narrow bush.")
    look = page.locator("#b-looks ~ ol > li", has_text="Listen to the cold start")
    look.locator("summary").click()
    expect(look).to_contain_text("Never run the engine indoors")
    page.get_by_role("link", name="Lapwing 2b").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Lapwing 1b / Lapwing 2b")
    expect(page.get_by_text("At 150,000 km and 14 years")).to_be_visible()


def test_engines_in_miles_and_in_german(phone: Callable[..., BrowserContext], server: Server) -> None:
    page = phone(locale="de-DE").new_page()
    page.goto(f"{server.url}/engines/lapwing/lapwing_1b?odometer=90000&age=14&distance=mi")
    expect(page.get_by_text("Stand 90.000 mi, Alter 14 Jahre")).to_be_visible()
    expect(page.get_by_label("Kilometerstand")).to_have_value("90000")
    page.get_by_role("link", name="Lapwing 2b").click()
    expect(page.get_by_text("Stand 90.000 mi, Alter 14 Jahre")).to_be_visible()


def test_price_and_advice_are_hidden_by_one_tap_and_stay_so(page: Page, server: Server) -> None:
    """On every result until they are shown again; danger is never hidden."""
    sound, danger = (
        server.post("/v1/assessments", sample(name))["assessment_id"] for name in ("noisy_early", "do_not_drive")
    )
    page.goto(f"{server.url}/assessments/{sound}")
    advice, price = page.get_by_text("Have it repaired before anything else."), page.locator(".amount")
    expect(advice).to_be_visible()
    page.get_by_role("button", name="Hide price and advice").click()
    for hidden in (advice, price, page.get_by_role("heading", name="Three reasons")):
        expect(hidden).to_be_hidden()
    page.reload()
    expect(advice).to_be_hidden()
    page.goto(f"{server.url}/assessments/{danger}")
    expect(page.get_by_text("Do not drive it.")).to_be_visible()
    expect(price).to_be_hidden()
    page.get_by_role("button", name="Price and advice").click()
    expect(price).to_be_visible()
    page.goto(f"{server.url}/assessments/{sound}")
    expect(advice).to_be_visible()


def test_the_link_to_a_result_is_copied(phone: Callable[..., BrowserContext], server: Server) -> None:
    context = phone(permissions=["clipboard-read", "clipboard-write"])
    page = context.new_page()
    page.add_init_script("delete Navigator.prototype.share")
    made = server.post("/v1/assessments", sample("noisy_early"))["assessment_id"]
    page.goto(f"{server.url}/assessments/{made}")
    page.get_by_role("button", name="Copy the link").click()
    expect(page.get_by_text("Copied.")).to_be_visible()
    assert page.evaluate("navigator.clipboard.readText()") == page.url


def test_a_key_is_shown_once(phone: Callable[..., BrowserContext], guarded: Server) -> None:
    page = phone().new_page()
    page.goto(f"{guarded.url}/assessments")
    expect(page.get_by_role("heading", level=1)).to_have_text("Show your key")
    page.get_by_label("Key").fill(_key(guarded))
    page.get_by_role("button", name="Go on").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Assessments")
    open_visit(page, guarded, PRICED)
    answer_core(page)
    made = finish(page)
    expect(page.get_by_role("heading", name="What to do")).to_be_visible()
    assert page.request.get(f"{guarded.url}/v1/assessments/{made}").status == 200
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Show your key")
    page.goto(f"{guarded.url}/assessments/{made}")
    expect(page.get_by_role("heading", level=1)).to_have_text("Show your key")


def _key(server: Server) -> str:
    command = [sys.executable, "-m", "riskapi", "keys", "create", "--role", "inspector", "--name", "Yard"]
    url = f"sqlite:///{server.folder / 'riskapi.sqlite'}"
    made = subprocess.run(
        command, env={"RISKAPI_DATABASE_URL": url, "PATH": ""}, cwd=ROOT, capture_output=True, text=True, check=True
    )
    found = re.search(r"riskapi_[0-9a-f]{8}_\S{43}", made.stdout)
    assert found is not None, made.stdout
    return found[0]
