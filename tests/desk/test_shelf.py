"""Prices of the feed in an assessment: only where the case is silent, kept with it, told with their age."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from riskapi.desk import REPORT, Desk, again, make_assessment, open_desk, printed
from riskapi.domain.case import Case
from riskapi.domain.jobs import make_job, price_level
from riskapi.domain.knowledge import Pack
from riskapi.errors import CaseError
from riskapi.intake import read_case
from riskapi.intake.prices import fill
from riskapi.storage.price_feeds import FeedCopy, PriceFeeds
from tests.conftest import SAMPLES
from tests.integrations.test_price_feed import FEED, URL

BODY: dict[str, Any] = json.loads(next(f for f in SAMPLES if f.name == "noisy_early.json").read_text())


def silent(**market: Any) -> dict[str, Any]:
    """A case that states no prices but these."""
    return {**BODY, "market": market}


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    opened = open_desk(None, f"sqlite:///{tmp_path / 'x.sqlite'}", URL)
    yield opened
    opened.repository.engine.dispose()


def stock(desk: Desk, silent_days: int = 0, **feed: Any) -> None:
    then = datetime.now(UTC) - timedelta(days=silent_days)
    content = json.dumps({**FEED, **feed}).encode()
    PriceFeeds(desk.repository.engine).put(FeedCopy(URL, None, content, then, then))


def assess(desk: Desk, body: dict[str, Any], key: str | None = None) -> tuple[dict[str, Any], dict[str, Any]]:
    """(kept case, result)"""
    data = json.dumps(body).encode()
    made = make_assessment(read_case(data, desk.pack), data, desk, key)
    return json.loads(made.case_json), json.loads(made.result_json)


def assumed(result: dict[str, Any]) -> str:
    return " ".join(each["text"] for each in result["assumptions"])


def test_prices_are_filled_kept_and_told_with_their_age(desk: Desk) -> None:
    stock(desk)
    case, result = assess(desk, silent())
    assert case["market"]["labour_rate"] == FEED["labour_rate"]
    assert case["market"]["price_feed"]["filled"] == ["labour_rate", "parts_index"]
    age = (datetime.now(UTC).date() - date(2026, 3, 1)).days
    assert "Labour taken at 98 an hour without tax: Workshop survey, 2026-03-01." in assumed(result)
    assert "Parts taken at 1.04 times the prices of the knowledge pack: Workshop survey, 2026-03-01." in assumed(result)
    assert f"Prices of the price feed are {age} days old." in assumed(result)
    stated, same = assess(desk, silent(**{k: FEED[k] for k in ("labour_rate", "parts_index")}))
    assert "price_feed" not in stated["market"]
    assert same["cost"] == result["cost"]


def test_what_the_case_states_is_left_alone(desk: Desk) -> None:
    stock(desk)
    own = {"value": 70, "unit": "EUR/h"}
    case, result = assess(desk, silent(labour_rate=own))
    assert case["market"]["labour_rate"] == own
    assert case["market"]["price_feed"]["filled"] == ["parts_index"]
    assert "Labour taken" not in assumed(result)
    other = silent(currency="CHF", labour_rate={"value": 120, "unit": "CHF/h"}, parts_index={"value": 1, "unit": "x"})
    other["ownership"] = {}
    assert fill(other, FEED, date(2026, 3, 1), date(2026, 3, 2), desk.pack) is other


def test_a_feed_that_is_down_is_told_more_strongly(desk: Desk) -> None:
    stock(desk, silent_days=12)
    _, result = assess(desk, silent())
    assert "The price feed has not answered for 12 days. Its last prices are used" in assumed(result)
    assert "Prices of the price feed are" not in assumed(result)


def test_without_an_answer_ever_the_pack_has_its_say(desk: Desk) -> None:
    case, result = assess(desk, silent())
    assert case["market"] == {}
    assert "Parts at the prices of the knowledge pack." in assumed(result)


def test_what_was_used_is_used_again_after_the_feed_has_moved_on(desk: Desk) -> None:
    stock(desk)
    data = json.dumps(silent()).encode()
    made = make_assessment(read_case(data, desk.pack), data, desk, "key")
    stock(desk, labour_rate={"value": 200, "unit": "EUR/h"}, as_of="2026-03-20")
    later = open_desk(None, desk.repository.engine.url, URL)
    assert again(later, made).result == json.loads(made.result_json)
    assert printed(later, made.id, REPORT).content.startswith(b"%PDF-")
    assert make_assessment(read_case(data, later.pack), data, later, "key") == made  # sent again: nothing new
    assert assess(later, silent())[0]["market"]["labour_rate"]["value"] == 200
    later.repository.engine.dispose()


def test_prices_of_operations_take_the_place_of_the_packs(shipped: Pack) -> None:
    operation = next(o for o in shipped.operations if len(o.parts) == 1 and not o.access and not o.follow_on)
    feed = {
        "source": "s",
        "as_of": "2026-03-01",
        "currency": "EUR",
        "parts_prices": [
            {"operation": operation.id, "price": {"value": 1_000, "unit": "EUR"}},
            {"operation": "not_in_this_pack", "price": {"value": 1, "unit": "EUR"}},
        ],
    }
    value = fill(silent(), feed, date(2026, 3, 2), date(2026, 3, 2), shipped)

    def job(case: Case) -> Any:
        return make_job((operation.id,), shipped, price_level(case, shipped))

    before, after = (job(read_case(json.dumps(v), shipped)) for v in (silent(), value))
    (part,), tax = operation.parts, 1 + shipped.defaults.tax
    assert after.likely - before.likely == pytest.approx((1_000 - part.likely) * tax, rel=1e-12)
    assert after.high - before.high == pytest.approx((1_000 / part.likely - 1) * part.high * tax, rel=1e-12)
    market = {**value["market"], "parts_index": {"value": 3, "unit": "x"}}
    indexed = read_case(json.dumps({**value, "market": market}), shipped)
    assert job(indexed).likely == pytest.approx(after.likely, rel=1e-12)  # a price is a price


def test_an_unknown_operation_or_one_twice_is_a_fault(shipped: Pack) -> None:
    price = {"value": 5, "unit": "EUR"}
    known = shipped.operations[0].id
    listed = [{"operation": name, "price": price} for name in ("nothing_known", known, known)]
    listed.append({"operation": shipped.operations[1].id, "price": {"value": 5, "unit": "USD"}})
    with pytest.raises(CaseError) as caught:
        read_case(json.dumps(silent(parts_prices=listed)), shipped)
    places = [fault.place.removeprefix("/market/parts_prices") for fault in caught.value.faults]
    assert places == ["/0/operation", "/2/operation", "/3/price/unit"]
