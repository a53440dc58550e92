from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import Engine, select
from sqlalchemy.orm import Session

from riskapi.errors import KeyReused, NotFound
from riskapi.storage import Intent, Knowledge, Repository, StoredAssessment
from riskapi.storage.models import EventRow
from riskapi.storage.outcomes import Outcomes, every_outcome

THEN = datetime(2026, 1, 1, tzinfo=UTC)


@pytest.fixture
def outcomes(engine: Engine) -> Outcomes:
    made = StoredAssessment("a", THEN, None, "d", "1", b"{}", b"{}")
    Repository(engine).add(made, Knowledge("d", "1", b""), {})
    return Outcomes(engine)


def test_tellings_are_kept_in_their_order(outcomes: Outcomes) -> None:
    first = outcomes.add("a", b'{"bought":"undecided"}', THEN)
    second = outcomes.add("a", b'{"bought":"yes"}', THEN + timedelta(days=1))
    assert outcomes.of("a") == [first, second] == list(outcomes.all()) == list(every_outcome(outcomes.engine))
    assert first.content == b'{"bought":"undecided"}'


def test_a_telling_is_an_event_in_the_same_transaction(outcomes: Outcomes) -> None:
    told = outcomes.add("a", b"{}", THEN)
    with Session(outcomes.engine) as session:
        payload = session.scalars(select(EventRow.payload).where(EventRow.type == "outcome.told")).one()
    assert told.id.encode() in payload


def test_a_key_makes_one_telling(outcomes: Outcomes) -> None:
    first = outcomes.add("a", b"{}", THEN, Intent("k", "a" * 64))
    assert outcomes.add("a", b"{}", THEN, Intent("k", "a" * 64)) == first
    with pytest.raises(KeyReused):
        outcomes.add("a", b"{}", THEN, Intent("k", "b" * 64))
    assert outcomes.of("a") == [first]


def test_another_account_has_no_part_in_it(outcomes: Outcomes) -> None:
    outcomes.add("a", b"{}", THEN)
    stranger = Outcomes(outcomes.engine, "other")
    for ask in (lambda: stranger.of("a"), lambda: stranger.add("a", b"{}", THEN)):
        with pytest.raises(NotFound):
            ask()
    assert list(stranger.all()) == []
