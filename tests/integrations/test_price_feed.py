"""The price feed: a real server for what goes well, faults by requests-mock."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
import requests
import requests_mock
from sqlalchemy import Engine

from riskapi.integrations.price_feed import EVERY, MOST_BYTES, Keeper
from riskapi.storage.price_feeds import FeedCopy, PriceFeeds
from tests.integrations.receivers import Received, receiver

NOW = datetime(2026, 3, 14, 12, tzinfo=UTC)
URL = "https://prices.invalid/feed.json"
FEED: dict[str, Any] = {
    "source": "Workshop survey",
    "as_of": date(2026, 3, 1).isoformat(),
    "currency": "EUR",
    "labour_rate": {"value": 98, "unit": "EUR/h"},
    "parts_index": {"value": 1.04, "unit": "x"},
}


def kept(engine: Engine, url: str = URL) -> FeedCopy | None:
    return PriceFeeds(engine).get(url)


def test_it_is_fetched_then_only_asked_whether_it_changed(engine: Engine) -> None:
    first, second = json.dumps(FEED).encode(), json.dumps({**FEED, "as_of": "2026-03-15"}).encode()
    content = {"v1": first}

    def get(asked: Received) -> tuple[int, dict[str, str], bytes]:
        ((version, body),) = content.items()
        if asked.headers.get("if-none-match") == f'"{version}"':
            return 304, {"ETag": f'"{version}"'}, b""
        return 200, {"ETag": f'"{version}"', "Content-Type": "application/json"}, body

    with receiver() as server:
        server.get = get
        url = f"http://127.0.0.1:{server.port}/feed.json"
        Keeper(engine, url, lambda: NOW).refresh()
        assert kept(engine, url) == FeedCopy(url, '"v1"', first, NOW, NOW)
        Keeper(engine, url, lambda: NOW + EVERY - timedelta(seconds=1)).refresh()
        assert len(server.received) == 1  # not due yet
        Keeper(engine, url, lambda: NOW + EVERY).refresh()
        assert kept(engine, url) == FeedCopy(url, '"v1"', first, NOW, NOW + EVERY)
        content.clear()
        content["v2"] = second
        Keeper(engine, url, lambda: NOW + 2 * EVERY).refresh()
        assert kept(engine, url) == FeedCopy(url, '"v2"', second, NOW + 2 * EVERY, NOW + 2 * EVERY)
    assert len(server.received) == 3


def test_a_server_that_fails_twice_is_asked_a_third_time(engine: Engine) -> None:
    answers = [503, 502, 200]
    with receiver() as server:
        server.get = lambda _asked: (answers.pop(0), {}, json.dumps(FEED).encode())
        url = f"http://127.0.0.1:{server.port}/feed.json"
        Keeper(engine, url, lambda: NOW).refresh()
    assert kept(engine, url) is not None
    assert answers == []


@pytest.mark.parametrize(
    "fault",
    [
        {"exc": requests.ConnectTimeout},
        {"exc": requests.ReadTimeout},
        {"exc": requests.ConnectionError},
        {"status_code": 404},
        {"status_code": 500},
        {"text": "<html>"},
        {"text": "[]"},
        {"json": {**FEED, "labour_rate": 98}},
        {"json": {**FEED, "labour_rate": {"value": 98, "unit": "USD/h"}}},
        {"json": {**FEED, "labour_rate": {"value": -1, "unit": "EUR/h"}}},
        {"json": {key: value for key, value in FEED.items() if key != "as_of"}},
        {"json": {**FEED, "surprise": 1}},
        {"text": '{"a": NaN}'},
        {"text": (MOST_BYTES + 1) * " "},
    ],
)
def test_what_goes_wrong_leaves_the_last_good_copy(engine: Engine, fault: dict[str, Any]) -> None:
    good = FeedCopy(URL, '"v1"', json.dumps(FEED).encode(), NOW, NOW)
    PriceFeeds(engine).put(good)
    with requests_mock.Mocker() as mock:
        mock.get(URL, **fault)
        Keeper(engine, URL, lambda: NOW + timedelta(days=3)).refresh()
        assert mock.called
    assert kept(engine) == good
