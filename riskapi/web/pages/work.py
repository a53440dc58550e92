"""A dealer's work: what was renewed and looked at again makes the next version of the car; the latest is published."""

from __future__ import annotations

from datetime import UTC, datetime

from flask import Response

from riskapi.desk.publishing import links_of
from riskapi.domain.case import EVIDENCE
from riskapi.intake.publication import LOOKED_BY
from riskapi.report import format as fmt
from riskapi.storage.photos import Photos
from riskapi.storage.publications import Publication, Publications
from riskapi.web.access import may
from riskapi.web.pages.kept import Kept
from riskapi.web.pages.routes import page, routes
from riskapi.web.pages.words import local_pack
from riskapi.web.publications import PUBLISHERS
from riskapi.web.state import state

MOST = 200  # publications of an account that are looked through for those of this car


@routes.get("/assessments/<string:identifier>/work")
def work(identifier: str) -> Response:
    """Record work done on this car, and see its versions."""
    repository, pack = state().repository, local_pack()
    kept = Kept.of(repository.get(identifier), pack)
    car = repository.version(identifier).car_id
    versions = repository.versions(car)
    made = [(version.number, Kept.of(repository.get(version.assessment_id), pack)) for version in versions]
    latest = made[-1][1]
    return page(
        "work.html",
        kept=kept,
        versions=made,
        latest=latest,
        points=sorted((latest.point_name(point), point["id"]) for point in latest.points),
        evidence=[word for word in EVIDENCE if word != "told"],
        checks=[check for check in pack.checks if check.part_of is None and check.from_case is None],
        may_publish=may(PUBLISHERS),
        publications=[_shown(each) for each in _publications(car)],
        looked_by=LOOKED_BY,
        photos=_photos(latest),
        today=datetime.now(UTC).date().isoformat(),
    )


def _photos(kept: Kept) -> list[tuple[str, str]]:
    """(id, check it was taken at) of each photo of the findings that is still there, in the order of the findings."""
    repository = state().repository
    named = {
        photo: finding["check"] for finding in kept.case.get("findings", []) for photo in finding.get("photos", [])
    }
    there = Photos(repository.engine, repository.account_id).at_hand(named)
    return [(photo, kept.check_name(check)) for photo, check in named.items() if photo in there]


def _publications(car: str) -> list[Publication]:
    """What was published of this car, newest first."""
    repository = state().repository
    if not may(PUBLISHERS):
        return []
    found = Publications(repository.engine, repository.account_id).page(MOST)
    return [each for each in found if each.car_id == car]


def _shown(publication: Publication) -> tuple[str, str, str, str, int]:
    """(id, address of the page, when it was published, when it was withdrawn or '', how many photos it shows)."""
    page = str(links_of(None, publication.token)["page"])
    withdrawn = "" if publication.withdrawn_at is None else fmt.day(publication.withdrawn_at.date())
    photos = len(publication.shown.photos)
    return publication.id, page, fmt.day(publication.published_at.date()), withdrawn, photos
