"""The whole life of a publication, as publisher and reader see it."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Iterator
from datetime import UTC, datetime
from io import BytesIO
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from pypdf import PdfReader
from sqlalchemy.orm import Session

from riskapi.storage.models import RecallRow
from riskapi.web import create_app
from riskapi.web.access import BY_KEY
from riskapi.web.state import state_of
from tests.conftest import ROOT
from tests.web.test_access import key_for

ADDRESS = "https://cars.example"
CASE = json.loads((ROOT / "sample_requests" / "noisy_early.json").read_text(encoding="utf-8"))
HOSTILE = '"><script>alert(1)</script><img src=x onerror=alert(2)>{{7*7}}</title>'


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Flask]:
    url = f"sqlite:///{tmp_path_factory.mktemp('shop') / 'riskapi.sqlite'}"
    app = create_app({"DATABASE_URL": url, "PUBLIC_URL": f"{ADDRESS}/"})
    yield app
    state_of(app).repository.engine.dispose()


@pytest.fixture(scope="module")
def dealer(shop: Flask) -> FlaskClient:
    return shop.test_client()


def assessed(client: FlaskClient, **changes: Any) -> str:
    case = {**copy.deepcopy(CASE), "as_of": datetime.now(UTC).date().isoformat(), **changes}
    answer = client.post("/v1/assessments", json=case)
    assert answer.status_code == 201, answer.text
    return str(answer.get_json()["assessment_id"])


def followed(client: FlaskClient, identifier: str, *findings: dict[str, Any]) -> str:
    answer = client.post(f"/v1/assessments/{identifier}/findings", json={"findings": list(findings)})
    assert answer.status_code == 201, answer.text
    return str(answer.get_json()["assessment_id"])


def published(client: FlaskClient, identifier: str, **wish: Any) -> dict[str, Any]:
    answer = client.post("/v1/publications", json={"assessment_id": identifier, "looked_by": "seller", **wish})
    assert answer.status_code == 201, answer.text
    made: dict[str, Any] = answer.get_json()
    return made


def path(made: dict[str, Any], name: str = "page") -> str:
    return str(made["links"][name]).removeprefix(ADDRESS)


@pytest.fixture(scope="module")
def first(dealer: FlaskClient) -> str:
    return assessed(dealer)


@pytest.fixture(scope="module")
def shown(dealer: FlaskClient, first: str) -> dict[str, Any]:
    """A publication of an assessment after which the wet cover is dry and a sound is gone."""
    second = followed(dealer, first, {"check": "look_front_cover", "result": "dry"})
    return published(dealer, second)


def test_the_address_is_the_one_that_is_set_and_nobody_can_guess_it(dealer: FlaskClient, shown: dict[str, Any]) -> None:
    assert re.fullmatch(rf"{ADDRESS}/p/[A-Za-z0-9_-]{{43}}", shown["links"]["page"])
    elsewhere = dealer.get(path(shown), headers={"Host": "evil.example"})
    assert elsewhere.status_code == 200
    assert "evil.example" not in elsewhere.text


def test_the_page_names_who_looked_when_and_at_what_odometer(dealer: FlaskClient, shown: dict[str, Any]) -> None:
    page = dealer.get(path(shown)).text
    assert "Tarnbeck Lapwing" in page
    assert "138,000 km" in page
    assert "The seller himself looked at it." in page
    assert "rattle over 3 s" in page
    assert "Look at the reach of the chain tensioner. " in page  # stated as refused
    assert "Was not agreed to." in page


def test_it_counts_all_assessments_and_shows_what_was_dropped(dealer: FlaskClient, shown: dict[str, Any]) -> None:
    said = dealer.get(path(shown, "data")).get_json()
    assert [each["number"] for each in said["assessments"]] == [1, 2]
    assert [each["shown_here"] for each in said["assessments"]] == [False, True]
    (dropped,) = said["facts"]["dropped"]
    assert (dropped["check"], dropped["result"], dropped["number"], dropped["now"]) == (
        "look_front_cover",
        "wet",
        1,
        "dry",
    )
    page = dealer.get(path(shown)).text
    assert "There are 2 assessments of this car" in page
    assert "Look for oil at the timing cover: wet (assessment 1" in page


def test_the_chances_are_those_at_the_fixed_amounts(dealer: FlaskClient, shown: dict[str, Any]) -> None:
    result = dealer.get(f"/v1/assessments/{shown['assessment_id']}").get_json()
    said = dealer.get(path(shown, "data")).get_json()["facts"]["fixed"]
    assert [{k: each[k] for k in ("amount", "years", "probability")} for each in said] == result["risk"]["fixed"]


def test_the_seller_cannot_move_the_fixed_chances_by_his_plans(dealer: FlaskClient) -> None:
    plans = {"years": {"value": 1, "unit": "years"}, "repair_budget": {"value": 90000, "unit": "EUR"}}
    made = [published(dealer, assessed(dealer, ownership=own)) for own in (CASE["ownership"], plans)]
    one, other = [dealer.get(path(each, "data")).get_json()["facts"]["fixed"] for each in made]
    assert one == other


def test_nothing_of_score_price_advice_or_identity_is_shown(dealer: FlaskClient) -> None:
    case = copy.deepcopy(CASE)
    vin = "ZZ9" + "ABCDEFGH" + "J12345"
    case["vehicle"]["vin"] = vin
    case["reference"] = "Erika Mustermann"
    case["findings"][0]["note"] = "call 0170 5550123"
    made = published(
        dealer, assessed(dealer, vehicle=case["vehicle"], reference=case["reference"], findings=case["findings"])
    )
    data = dealer.get(path(made, "data")).text
    page = dealer.get(path(made)).text
    sheet = PdfReader(BytesIO(dealer.get(path(made, "listing_pdf")).data)).pages[0].extract_text()
    badge = dealer.get(path(made, "badge")).text
    for text in (data, page, sheet, badge):
        assert vin not in text
        assert vin[:-4] not in text
        assert "Mustermann" not in text
        assert "5550123" not in text
        assert made["assessment_id"] not in text
        assert "score" not in text.lower()
    assert f"ends in {vin[-4:]}" in page
    assert dealer.get(path(made, "data")).get_json()["facts"]["vin_tail"] == vin[-4:]
    assert dealer.delete(f"/v1/assessments/{made['assessment_id']}/identity").status_code < 300
    said = dealer.get(path(made, "data")).get_json()["facts"]
    assert (said["vin_tail"], said["vin_erased"]) == (None, True)
    assert f"ends in {vin[-4:]}" not in dealer.get(path(made)).text
    assert "removed on request" in dealer.get(path(made)).text


def test_the_page_runs_nothing_and_fetches_nothing_elsewhere(dealer: FlaskClient, shown: dict[str, Any]) -> None:
    answer = dealer.get(path(shown))
    policy = answer.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "script-src" not in policy
    assert "unsafe" not in policy
    scripts = re.findall(r"<script[^>]*>", answer.text)
    assert scripts == ['<script type="application/ld+json">']
    elsewhere = [url for url in re.findall(r'(?:src|href|action)="([^"]+)"', answer.text) if "//" in url]
    assert all(url.startswith(ADDRESS) for url in elsewhere)
    assert 'style="' not in answer.text


def test_search_engines_are_kept_out_until_they_are_wanted(dealer: FlaskClient, shown: dict[str, Any]) -> None:
    for name in ("page", "listing_pdf", "qr", "badge"):
        assert dealer.get(path(shown, name)).headers["X-Robots-Tag"] == "noindex"
    assert '<meta name="robots" content="noindex">' in dealer.get(path(shown)).text
    wanted = published(dealer, assessed(dealer), indexed=True)
    assert "X-Robots-Tag" not in dealer.get(path(wanted)).headers
    assert "noindex" not in dealer.get(path(wanted)).text


def test_structured_data_has_terms_that_exist_and_no_rating(dealer: FlaskClient) -> None:
    market = {**CASE.get("market", {}), "asking_price": {"value": 6400, "unit": "EUR"}}
    page = dealer.get(path(published(dealer, assessed(dealer, market=market)))).text
    found = re.search(r'<script type="application/ld\+json">(.*?)</script>', page)
    assert found is not None
    data = json.loads(found[1])
    assert (data["@context"], data["@type"]) == ("https://schema.org", "Car")
    assert data["mileageFromOdometer"] == {"@type": "QuantitativeValue", "value": 138000, "unitCode": "KMT"}
    assert (data["offers"]["@type"], data["offers"]["price"], data["offers"]["priceCurrency"]) == ("Offer", 6400, "EUR")
    assert "rating" not in found[1].lower()


def test_german_is_spoken_to_who_asks_for_it(dealer: FlaskClient, shown: dict[str, Any]) -> None:
    for answer in (
        dealer.get(f"{path(shown)}?language=de"),
        dealer.get(path(shown), headers={"Accept-Language": "de-AT,de;q=0.9"}),
    ):
        assert '<html lang="de">' in answer.text
        assert "Der Verkäufer selbst hat nachgesehen." in answer.text
        assert answer.headers["Content-Language"] == "de"
        assert "What was" not in answer.text
    assert dealer.get(f"{path(shown)}?language=xx").status_code == 200


def test_it_goes_stale_by_days_and_by_distance(dealer: FlaskClient, shown: dict[str, Any]) -> None:
    def age(made: dict[str, Any], odometer: int | None = None) -> Any:
        query = "" if odometer is None else f"?odometer={odometer}"
        return dealer.get(path(made, "data") + query).get_json()["age"]

    assert age(shown)["stale"] is False
    assert age(shown, 139_000)["stale"] is False
    assert age(shown, 139_001)["stale"] is True
    assert "driven 1,001 km since" in dealer.get(f"{path(shown)}?odometer=139.001").text
    assert "Ask why." in dealer.get(f"{path(shown)}?odometer=100000").text
    old = published(dealer, assessed(dealer, as_of="2026-03-14"))
    assert age(old)["stale"] is True
    assert "days old" in dealer.get(path(old)).text
    assert "Out of date" in dealer.get(path(old, "badge")).text


@pytest.mark.parametrize("odometer", ["", "x", "-5", "1e9", "9" * 30, HOSTILE])
def test_what_is_no_odometer_is_none(dealer: FlaskClient, shown: dict[str, Any], odometer: str) -> None:
    answer = dealer.get(path(shown), query_string={"odometer": odometer})
    assert answer.status_code == 200
    assert "<script>alert" not in answer.text
    assert "driven" not in answer.text


def test_the_sheet_is_one_sealed_page_that_leads_to_the_live_one(dealer: FlaskClient, shown: dict[str, Any]) -> None:
    for language in ("en", "de"):
        answer = dealer.get(f"{path(shown, 'listing_pdf')}?language={language}")
        reader = PdfReader(BytesIO(answer.data))
        assert len(reader.pages) == 1
        verdict = dealer.post("/v1/verify", data=answer.data, content_type="application/pdf").get_json()
        assert verdict["status"] == "unchanged"
        assert answer.data == dealer.get(f"{path(shown, 'listing_pdf')}?language={language}").data
    text = " ".join(PdfReader(BytesIO(dealer.get(path(shown, "listing_pdf")).data)).pages[0].extract_text().split())
    facts = dealer.get(path(shown, "data")).get_json()["facts"]
    for item in (*facts["stood_out"], *facts["not_looked_at"], *facts["carries_the_risk"]):
        assert item["name"] in text
    assert f"{ADDRESS}/v1/verify" in text


def test_the_code_holds_the_address_of_the_page(dealer: FlaskClient, shown: dict[str, Any]) -> None:
    answer = dealer.get(path(shown, "qr"))
    assert answer.content_type == "image/svg+xml"
    assert answer.headers["Cross-Origin-Resource-Policy"] == "cross-origin"


def test_withdrawn_it_stays_and_says_so(dealer: FlaskClient) -> None:
    made = published(dealer, assessed(dealer))
    answer = dealer.post(f"/v1/publications/{made['publication_id']}/withdraw", json={"because": HOSTILE})
    assert answer.get_json()["standing"] == "withdrawn"
    page = dealer.get(path(made))
    assert page.status_code == 410
    assert "Withdrawn by the publisher" in page.text
    assert "<script>alert" not in page.text
    assert "&lt;script&gt;alert(1)" in page.text
    assert "rattle over 3 s" in page.text
    assert dealer.get(path(made, "data")).get_json()["withdrawn_because"] == HOSTILE
    sheet = dealer.get(path(made, "listing_pdf"))
    assert (sheet.status_code, sheet.mimetype) == (410, "text/html")
    assert "Withdrawn on" in dealer.get(path(made, "badge")).text


def test_a_later_page_supersedes_visibly_and_an_unpublished_one_is_named(dealer: FlaskClient) -> None:
    identifier = assessed(dealer)
    old = published(dealer, identifier)
    second = followed(dealer, identifier, {"check": "look_front_cover", "result": "dry"})
    assert dealer.get(path(old, "data")).get_json()["newer_assessment_at"] is not None
    assert "The publisher has not published it." in dealer.get(path(old)).text
    new = published(dealer, second)
    said = dealer.get(path(old, "data")).get_json()
    assert (said["standing"], said["superseded_by"]) == ("superseded", new["links"]["page"])
    assert said["newer_assessment_at"] is None
    assert new["links"]["page"] in dealer.get(path(old)).text
    assert old["links"]["page"] in dealer.get(path(new)).text
    assert "later page exists" in dealer.get(path(old, "badge")).text
    answer = dealer.post("/v1/publications", json={"assessment_id": identifier, "looked_by": "seller"})
    assert answer.status_code == 409
    assert answer.get_json()["faults"][0]["mend"] == "Publish the latest one."


def test_readers_say_what_is_not_right_and_are_answered(shop: Flask, dealer: FlaskClient) -> None:
    made = published(dealer, assessed(dealer))
    form = {"text": f"{HOSTILE}\r\nsecond line\u202e\x00"}
    answer = dealer.post(f"{path(made)}/disputes?language=en", data=form)
    assert answer.status_code == 303
    page = dealer.get(path(made)).text
    assert "<script>alert" not in page
    assert "&lt;img src=x onerror=alert(2)&gt;{{7*7}}" in page
    assert "\u202e" not in page
    assert "The publisher has not replied." in page
    (said,) = dealer.get(f"/v1/publications/{made['publication_id']}/disputes").get_json()["items"]
    reply = dealer.post(f"/v1/disputes/{said['dispute_id']}/reply", json={"text": "<b>It was cleaned.</b>"})
    assert reply.status_code == 200
    assert "&lt;b&gt;It was cleaned.&lt;/b&gt;" in dealer.get(path(made)).text
    curator = key_for(shop, "curator")
    gone = dealer.post(f"/v1/disputes/{said['dispute_id']}/remove", json={"because": "It was abuse."}, headers=curator)
    assert gone.status_code == 200
    page = dealer.get(path(made)).text
    assert "second line" not in page
    assert "removed by the operator: It was abuse." in page


@pytest.mark.parametrize("text", ["", "short", " " * 50, "\u200b" * 50, "x" * 2001, "x" * 30_000])
def test_a_dispute_says_something_and_not_too_much(dealer: FlaskClient, shown: dict[str, Any], text: str) -> None:
    answer = dealer.post(f"{path(shown)}/disputes", data={"text": text})
    assert answer.status_code == 422
    assert "Write 10 to 2,000 characters." in answer.text
    assert dealer.post(f"{path(shown, 'data')}/disputes", json={"text": text}).status_code == 422


def test_a_reason_that_nobody_sees_is_none(dealer: FlaskClient, shown: dict[str, Any]) -> None:
    own = f"/v1/publications/{shown['publication_id']}"
    answer = dealer.post(f"{own}/withdraw", json={"because": "\u200b \u200b"})
    assert answer.status_code == 422
    assert answer.get_json()["faults"][0]["pointer"] == "/because"
    assert dealer.get(own).get_json()["standing"] == "live"


def test_only_so_many_disputes_a_day(dealer: FlaskClient) -> None:
    made = published(dealer, assessed(dealer))
    for _ in range(10):
        assert dealer.post(f"{path(made, 'data')}/disputes", json={"text": "This is not right."}).status_code == 201
    assert dealer.post(f"{path(made, 'data')}/disputes", json={"text": "This is not right."}).status_code == 429
    answer = dealer.post(f"{path(made)}/disputes", data={"text": "This is not right."})
    assert answer.status_code == 429
    assert "Please come back tomorrow." in answer.text


def test_an_unknown_address_is_a_page_that_says_so(dealer: FlaskClient) -> None:
    for tail in ("", "/listing.pdf", "/qr.svg", "/badge.svg", "/photos/x"):
        answer = dealer.get(f"/p/{'x' * 43}{tail}")
        assert (answer.status_code, answer.mimetype) == (404, "text/html")
        assert "There is no such page" in answer.text
    assert dealer.get(f"/v1/public/{'x' * 43}").get_json()["status"] == 404


def test_without_a_public_address_nothing_is_published(client: FlaskClient) -> None:
    answer = client.post("/v1/publications", json={"assessment_id": assessed(client), "looked_by": "seller"})
    assert answer.status_code == 409
    assert "RISKAPI_PUBLIC_URL" in answer.get_json()["faults"][0]["mend"]


def test_a_write_that_is_sent_again_makes_one(dealer: FlaskClient) -> None:
    body, key = {"assessment_id": assessed(dealer), "looked_by": "inspector"}, {"Idempotency-Key": "publish-1"}
    answers = [dealer.post("/v1/publications", json=body, headers=key) for _ in range(2)]
    assert answers[0].get_json() == answers[1].get_json()
    assert (
        dealer.get(answers[0].headers["Location"]).get_json()["publication_id"]
        == answers[0].get_json()["publication_id"]
    )
    other = dealer.post("/v1/publications", json={**body, "indexed": True}, headers=key)
    assert other.get_json()["type"] == "/v1/docs#key-reused"


def test_faults_are_all_told_with_a_mend(dealer: FlaskClient) -> None:
    answer = dealer.post("/v1/publications", json={"looked_by": "friend", "photos": ["x"], "more": 1})
    assert answer.status_code == 422
    assert {fault["pointer"] for fault in answer.get_json()["faults"]} == {
        "/assessment_id",
        "/looked_by",
        "/more",
        "/photos_looked_over",
    }


def test_photos_are_shown_where_the_publisher_chose_them(dealer: FlaskClient) -> None:
    from PIL import Image  # noqa: PLC0415 (only here)

    buffer = BytesIO()
    Image.new("RGB", (64, 48), "#336699").save(buffer, "JPEG")
    photo = dealer.post("/v1/photos", data=buffer.getvalue(), content_type="image/jpeg").get_json()["photo_id"]
    findings = copy.deepcopy(CASE["findings"])
    findings[0]["photos"] = [photo]
    identifier = assessed(dealer, findings=findings)
    assert f"/photos/{photo}" not in dealer.get(path(published(dealer, identifier))).text
    (first,) = (
        each for each in dealer.get("/v1/publications").get_json()["items"] if each["assessment_id"] == identifier
    )
    assert dealer.get(f"{path(first)}/photos/{photo}").status_code == 404
    dealer.post(f"/v1/publications/{first['publication_id']}/withdraw", json={"because": "With photos now."})
    made = published(dealer, identifier, photos=[photo], photos_looked_over=True)
    assert f"/photos/{photo}" in dealer.get(path(made)).text
    assert dealer.get(f"{path(made)}/photos/{photo}").content_type == "image/jpeg"
    foreign = dealer.post(
        "/v1/publications",
        json={"assessment_id": assessed(dealer), "looked_by": "seller", "photos": [photo], "photos_looked_over": True},
    )
    assert foreign.status_code == 409


def test_the_list_has_all_of_the_account_newest_first(dealer: FlaskClient, shown: dict[str, Any]) -> None:
    items: list[Any] = []
    cursor = None
    while True:
        query = {"limit": 3} | ({"cursor": cursor} if cursor else {})
        page = dealer.get("/v1/publications", query_string=query).get_json()
        items += page["items"]
        cursor = page["next"]
        if cursor is None:
            break
    ids = [each["publication_id"] for each in items]
    assert len(ids) == len(set(ids))
    assert shown["publication_id"] in ids
    assert [each["published_at"] for each in items] == sorted((each["published_at"] for each in items), reverse=True)


@pytest.fixture(scope="module")
def guarded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Flask]:
    url = f"sqlite:///{tmp_path_factory.mktemp('guarded') / 'riskapi.sqlite'}"
    app = create_app({"DATABASE_URL": url, "PUBLIC_URL": ADDRESS, "ACCESS": BY_KEY})
    yield app
    state_of(app).repository.engine.dispose()


def test_buyers_do_not_publish_and_accounts_do_not_meet(guarded: Flask) -> None:
    client = guarded.test_client()
    mine, theirs, buyer = (key_for(guarded, role) for role in ("dealer", "dealer", "buyer"))
    identifier = client.post("/v1/assessments", json=CASE, headers=mine).get_json()["assessment_id"]
    body = {"assessment_id": identifier, "looked_by": "seller"}
    assert client.post("/v1/publications", json=body, headers=theirs).status_code == 404
    assert client.post("/v1/publications", json=body, headers=buyer).status_code == 403
    made = client.post("/v1/publications", json=body, headers=mine).get_json()
    own = f"/v1/publications/{made['publication_id']}"
    assert client.get(own, headers=theirs).status_code == 404
    assert client.post(f"{own}/withdraw", json={"because": "x"}, headers=theirs).status_code == 404
    assert client.get(path(made)).status_code == 200  # for anybody who has the address
    said = client.post(f"{path(made, 'data')}/disputes", json={"text": "This is not right."}).get_json()
    for answer in (
        client.post(f"/v1/disputes/{said['dispute_id']}/reply", json={"text": "It is, in fact."}, headers=theirs),
        client.get(f"{own}/disputes", headers=theirs),
    ):
        assert answer.status_code == 404
    for key in (mine, theirs):
        gone = client.post(f"/v1/disputes/{said['dispute_id']}/remove", json={"because": "I dislike it"}, headers=key)
        assert gone.status_code == 403


def test_of_a_trial_nothing_is_published(guarded: Flask) -> None:
    accounts, now = state_of(guarded).accounts, datetime.now(UTC)
    account = accounts.open("trial", "dealer", now, trial=True)
    key = {"Authorization": f"Bearer {accounts.make_key(account.id, now)}"}
    client = guarded.test_client()
    identifier = client.post("/v1/assessments", json=CASE, headers=key).get_json()["assessment_id"]
    body = {"assessment_id": identifier, "looked_by": "seller"}
    answer = client.post("/v1/publications", json=body, headers=key)
    assert answer.status_code == 409
    assert "trial" in answer.get_json()["faults"][0]["message"]


def test_a_page_that_rests_on_recalled_knowledge_says_so(guarded: Flask) -> None:
    client, mine = guarded.test_client(), key_for(guarded, "dealer")
    identifier = client.post("/v1/assessments", json=CASE, headers=mine).get_json()["assessment_id"]
    body = {"assessment_id": identifier, "looked_by": "seller"}
    made = client.post("/v1/publications", json=body, headers=mine).get_json()
    assert "has been recalled" not in client.get(path(made)).text
    with Session(state_of(guarded).repository.engine) as session, session.begin():
        reason = "a <b>wrong</b> lifetime"
        session.add(RecallRow(digest=state_of(guarded).pack.digest, reason=reason, recalled_at=datetime.now(UTC)))
    assert "has been recalled: a &lt;b&gt;wrong&lt;/b&gt; lifetime" in client.get(path(made)).text
