"""The life of a publication in the database, on both kinds."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import Engine, select
from sqlalchemy.orm import Session

from riskapi.errors import KeyReused, NotFound, NotPublishable, TooMany
from riskapi.storage import Accounts, Intent, Repository
from riskapi.storage.cars import FINDINGS, NOTHING, Following
from riskapi.storage.models import EventRow, RecallRow
from riskapi.storage.public import DISPUTES_A_DAY, Disputes, Public
from riskapi.storage.publications import Publications, Shown, superseding
from tests.storage.test_repository import KNOWLEDGE, assessment

NOW = datetime(2026, 3, 14, 10, 5, 7, tzinfo=UTC)
SHOWN = Shown("seller", b'{"en": {}}')


def kept(engine: Engine, identifier: str, follows: Following = NOTHING, account: str | None = None) -> str:
    repository = Repository(engine) if account is None else Repository(engine, account)
    return repository.add(assessment(identifier), KNOWLEDGE, {}, follows=follows).id


def later(hours: float) -> datetime:
    return NOW + timedelta(hours=hours)


def test_what_is_published_is_found_by_its_token_alone(engine: Engine) -> None:
    made = Publications(engine).publish(kept(engine, "a"), Shown("inspector", b"{}", ("p1", "p2"), True), NOW)
    assert len(made.token) == 43
    view = Public(engine).view(made.token)
    assert view.publication == made
    assert made.shown == Shown("inspector", b"{}", ("p1", "p2"), True)
    assert [each.number for each in view.assessed] == [1]
    for wrong in (made.id, made.token[:-1], "", made.token.swapcase()):
        with pytest.raises(NotFound):
            Public(engine).view(wrong)


def test_only_the_latest_assessment_of_a_car(engine: Engine) -> None:
    first = kept(engine, "a")
    second = kept(engine, "b", Following(first, FINDINGS))
    publications = Publications(engine)
    with pytest.raises(NotPublishable, match="later assessment"):
        publications.publish(first, SHOWN, NOW)
    assert publications.publish(second, SHOWN, NOW).assessment_id == second


def test_a_later_one_supersedes_and_both_stay(engine: Engine) -> None:
    publications, first = Publications(engine), kept(engine, "a")
    old = publications.publish(first, SHOWN, NOW)
    new = publications.publish(kept(engine, "b", Following(first, FINDINGS)), SHOWN, later(1))
    view = Public(engine).view(old.token)
    assert superseding(old, view.published) == new
    assert superseding(new, view.published) is None
    assert [each.assessment_id for each in view.assessed] == ["a", "b"]
    publications.withdraw(new.id, "sold", later(2))
    assert superseding(old, Public(engine).view(old.token).published) is None


def test_of_a_trial_nothing_is_published(engine: Engine) -> None:
    account = Accounts(engine).open("trial", "dealer", NOW, trial=True)
    repository = Repository(engine).of(account)
    repository.add(assessment("a"), KNOWLEDGE, {})
    with pytest.raises(NotPublishable, match="trial"):
        Publications(engine, account.id).publish("a", SHOWN, NOW)


def test_what_is_shown_already_stays_as_it_is(engine: Engine) -> None:
    publications, first = Publications(engine), kept(engine, "a")
    made = publications.publish(first, SHOWN, NOW)
    assert publications.publish(first, SHOWN, later(1)) == made
    with pytest.raises(NotPublishable, match="already"):
        publications.publish(first, Shown("inspector", SHOWN.content), later(1))
    publications.withdraw(made.id, "a mistake", later(2))
    again = publications.publish(first, Shown("inspector", SHOWN.content), later(3))
    assert again.token != made.token


def test_the_same_key_makes_one(engine: Engine) -> None:
    publications, first = Publications(engine), kept(engine, "a")
    intent = Intent.to("key", b"body", "/v1/publications")
    made = publications.publish(first, SHOWN, NOW, intent)
    assert publications.publish(first, SHOWN, later(1), intent) == made
    with pytest.raises(KeyReused):
        publications.publish(first, SHOWN, NOW, Intent.to("key", b"other", "/v1/publications"))


def test_those_who_publish_at_once_make_one(engine: Engine) -> None:
    first = kept(engine, "a")
    with ThreadPoolExecutor(6) as pool:
        made = list(pool.map(lambda _: Publications(engine).publish(first, SHOWN, NOW), range(12)))
    assert len({each.id for each in made}) == 1


def test_the_first_reason_of_a_withdrawal_stays(engine: Engine) -> None:
    publications = Publications(engine)
    made = publications.publish(kept(engine, "a"), SHOWN, NOW)
    publications.withdraw(made.id, "sold", later(1))
    gone = publications.withdraw(made.id, "another reason", later(2))
    assert (gone.withdrawn_at, gone.withdrawn_because) == (later(1), "sold")
    assert Public(engine).view(made.token).publication == gone


def test_another_account_sees_and_changes_nothing(engine: Engine) -> None:
    other = Accounts(engine).open("other", "dealer", NOW)
    first = kept(engine, "a")
    made = Publications(engine).publish(first, SHOWN, NOW)
    said = Public(engine).dispute(made.token, "not right", NOW)
    theirs = Publications(engine, other.id)
    for call in (
        lambda: theirs.publish(first, SHOWN, NOW),
        lambda: theirs.get(made.id),
        lambda: theirs.withdraw(made.id, "x", NOW),
        lambda: Disputes(engine, other.id).of(made.id),
        lambda: Disputes(engine, other.id).reply(said.id, "x", NOW),
    ):
        with pytest.raises(NotFound):
            call()
    assert theirs.page(10) == []
    assert theirs.page(10, after=made.id) == []


def test_pages_end_where_the_next_one_begins(engine: Engine) -> None:
    publications = Publications(engine)
    made = [publications.publish(kept(engine, name), SHOWN, later(n)).id for n, name in enumerate("abcde")]
    first = publications.page(2)
    rest = publications.page(10, after=first[-1].id)
    assert [each.id for each in (*first, *rest)] == made[::-1]
    assert publications.page(10, after="unknown") == []


def test_readers_are_heard_and_answered(engine: Engine) -> None:
    made = Publications(engine).publish(kept(engine, "a"), SHOWN, NOW)
    said = Public(engine).dispute(made.token, "not right", NOW)
    mine = Disputes(engine, made.account_id)
    mine.reply(said.id, "it was cleaned", later(1))
    (shown,) = Public(engine).view(made.token).disputes
    assert (shown.text, shown.reply, shown.replied_at) == ("not right", "it was cleaned", later(1))
    assert mine.of(made.id) == (shown,)
    Disputes(engine, "operator").remove(said.id, "named a person", later(2))
    (gone,) = Public(engine).view(made.token).disputes
    assert (gone.text, gone.removed_because, gone.removed_at) == ("", "named a person", later(2))


def test_no_more_disputes_a_day_than_can_be_read(engine: Engine) -> None:
    made = Publications(engine).publish(kept(engine, "a"), SHOWN, NOW)
    public = Public(engine)
    for _ in range(DISPUTES_A_DAY):
        public.dispute(made.token, "again", NOW)
    with pytest.raises(TooMany):
        public.dispute(made.token, "once more", later(23))
    assert public.dispute(made.token, "the day after", later(25)).text == "the day after"


def test_webhooks_hear_of_it_without_the_address(engine: Engine) -> None:
    publications = Publications(engine)
    made = publications.publish(kept(engine, "a"), SHOWN, NOW)
    Public(engine).dispute(made.token, "not right", NOW)
    publications.withdraw(made.id, "sold", NOW)
    with Session(engine) as session:
        events = list(session.scalars(select(EventRow).where(EventRow.type.like("publication.%"))))
    assert {each.type for each in events} == {
        "publication.published",
        "publication.disputed",
        "publication.withdrawn",
    }
    assert all(made.token.encode() not in each.payload for each in events)


def test_what_rests_on_a_recalled_pack_says_why(engine: Engine) -> None:
    made = Publications(engine).publish(kept(engine, "a"), SHOWN, NOW)
    assert Public(engine).view(made.token).recalled_because is None
    with Session(engine) as session, session.begin():
        session.add(RecallRow(digest=KNOWLEDGE.digest, reason="a wrong lifetime", recalled_at=NOW))
    assert Public(engine).view(made.token).recalled_because == "a wrong lifetime"
