"""An assessment is shown to the public, and what the public is told of it at any later time."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from riskapi.desk.again import again
from riskapi.desk.desk import Desk
from riskapi.desk.personal import identity_of
from riskapi.domain.sentence import Written, at_fault, told
from riskapi.domain.vin import tail
from riskapi.errors import KnowledgeError, NotPublishable
from riskapi.report import format as fmt
from riskapi.report.audit import json_bytes
from riskapi.report.figures import Json
from riskapi.report.language import LANGUAGES
from riskapi.report.publication import Earlier, card
from riskapi.storage import Intent, Repository
from riskapi.storage.public import Assessed, Dispute, PublicView
from riskapi.storage.publications import Publication, Publications, Shown, superseding

STALE_DAYS, STALE_KM = 60, 1000.0
LIVE, SUPERSEDED, WITHDRAWN = "live", "superseded", "withdrawn"
STANDINGS = (LIVE, SUPERSEDED, WITHDRAWN)


@dataclass(frozen=True, slots=True)
class Wish:
    """What a publisher asks for: who looked, photos of the assessment's findings, and whether search engines may list
    the page."""

    looked_by: str
    photos: tuple[str, ...] = ()
    indexed: bool = False


def publish(desk: Desk, assessment_id: str, wish: Wish, now: datetime, intent: Intent | None = None) -> Publication:
    """Show an assessment of this account as it is told now. Raises NotFound, NotPublishable, Outdated, KeyReused."""
    if desk.address is None:
        mend = told("Set RISKAPI_PUBLIC_URL to where the public reaches this service, and start it again.")
        raise NotPublishable(at_fault("", told("It is not known where the public reaches this service."), mend))
    found = again(desk, desk.repository.get(assessment_id))
    named = {photo for finding in found.case.findings for photo in finding.photos}
    if foreign := [photo for photo in wish.photos if photo not in named]:
        message = told("No finding names {photos}.", photos=tuple(map(Written, foreign)))
        mend = told("Name photos that a finding of this assessment names.")
        raise NotPublishable(at_fault("/photos", message, mend))
    earlier, made = _earlier(desk, assessment_id), (found.assessment, found.case, found.pack)
    cards = {language: card(*made, earlier, language, now) for language in LANGUAGES}
    shown = Shown(wish.looked_by, json_bytes(cards), wish.photos, wish.indexed)
    repository = desk.repository
    return Publications(repository.engine, repository.account_id).publish(assessment_id, shown, now, intent)


def _earlier(desk: Desk, assessment_id: str) -> list[Earlier]:
    """The earlier assessments of the same car, the first one first; one whose pack nobody can read is left out."""
    version = desk.repository.version(assessment_id)
    found = []
    for each in desk.repository.versions(version.car_id):
        if each.number >= version.number:
            continue
        stored = desk.repository.get(each.assessment_id)
        checked = json.loads(stored.result_json)["coverage"]["checked"]
        pairs = tuple((item["check"], item["result"]) for item in checked)
        try:
            pack = desk.pack_of(stored.knowledge_digest)
        except KnowledgeError:
            continue
        found.append(Earlier(each.number, stored.created_at, pairs, pack))
    return found


def links_of(address: str | None, token: str) -> Json:
    """Where a publication is found."""
    page = f"{address or ''}/p/{token}"
    return {
        "page": page,
        "data": f"{address or ''}/v1/public/{token}",
        "listing_pdf": f"{page}/listing.pdf",
        "qr": f"{page}/qr.svg",
        "badge": f"{page}/badge.svg",
    }


def standing_of(shown: Publication, published: Sequence[Publication]) -> str:
    """One of STANDINGS."""
    if shown.withdrawn_at is not None:
        return WITHDRAWN
    return LIVE if superseding(shown, published) is None else SUPERSEDED


def told_now(desk: Desk, view: PublicView, language: str, now: datetime, odometer_km: float | None = None) -> Json:
    """What the public is told of a publication now; `odometer_km` is what a reader sees today [km]."""
    shown, address = view.publication, desk.address
    later = superseding(shown, view.published)
    facts: Json = cards_of(shown)[language] | _vin(desk, shown)
    return {
        "standing": standing_of(shown, view.published),
        "published_at": fmt.instant(shown.published_at),
        "withdrawn_at": None if shown.withdrawn_at is None else fmt.instant(shown.withdrawn_at),
        "withdrawn_because": shown.withdrawn_because,
        "superseded_by": None if later is None else links_of(address, later.token)["page"],
        "newer_assessment_at": _newer(view, later),
        "recalled_because": view.recalled_because,
        "age": _age(facts, now, odometer_km),
        "looked_by": shown.shown.looked_by,
        "facts": facts,
        "assessments": [_assessment(each, view, address) for each in view.assessed],
        "disputes": [dispute_told(each) for each in view.disputes],
        "photos": [f"{address or ''}/p/{shown.token}/photos/{photo}" for photo in view.photos],
        "indexed": shown.shown.indexed,
        "links": links_of(address, shown.token),
    }


def cards_of(shown: Publication) -> dict[str, Json]:
    """What is shown, per language, as it was published."""
    cards: dict[str, Json] = json.loads(shown.shown.content)
    return cards


def dispute_told(dispute: Dispute) -> Json:
    """What a reader said."""
    return {
        "dispute_id": dispute.id,
        "text": dispute.text,
        "created_at": fmt.instant(dispute.created_at),
        "reply": dispute.reply,
        "replied_at": None if dispute.replied_at is None else fmt.instant(dispute.replied_at),
        "removed_because": dispute.removed_because,
    }


def _vin(desk: Desk, shown: Publication) -> Json:
    """The end of the VIN as long as its identity is kept: it stands in nothing that was published."""
    owners = replace(desk, repository=Repository(desk.repository.engine, shown.account_id))
    known = identity_of(owners, owners.repository.get(shown.assessment_id))
    return {"vin_tail": tail(fmt.plain(known.any_vin)) if known.any_vin else None, "vin_erased": known.erased}


def _newer(view: PublicView, later: Publication | None) -> str | None:
    """When the latest assessment of this car was made, if it is later than what is shown and not shown itself."""
    latest = view.assessed[-1]
    shown = {view.publication.assessment_id} | ({later.assessment_id} if later is not None else set())
    return None if latest.assessment_id in shown else fmt.instant(latest.assessed_at)


def _age(facts: Json, now: datetime, odometer_km: float | None) -> Json:
    days = (now.date() - date.fromisoformat(str(facts["as_of"]))).days
    driven = None if odometer_km is None else odometer_km - float(str(facts["odometer_km"]))
    stale = days > STALE_DAYS or (driven is not None and driven > STALE_KM)
    return {"days": days, "driven_km": driven, "stale": stale, "stale_days": STALE_DAYS, "stale_km": STALE_KM}


def _assessment(each: Assessed, view: PublicView, address: str | None) -> Json:
    pages = [shown for shown in view.published if shown.assessment_id == each.assessment_id]
    newest = max(pages, key=lambda shown: shown.published_at, default=None)
    return {
        "number": each.number,
        "made_at": fmt.instant(each.assessed_at),
        "origin": each.origin,
        "shown_here": each.assessment_id == view.publication.assessment_id,
        "page": None if newest is None else links_of(address, newest.token)["page"],
        "published_at": None if newest is None else fmt.instant(newest.published_at),
        "withdrawn": newest is not None and newest.withdrawn_at is not None,
    }
