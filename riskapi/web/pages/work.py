"""A dealer's work: what was renewed and looked at again makes the next version of the car; the latest is published."""

from __future__ import annotations

from datetime import UTC, datetime

from flask import Response

from riskapi.desk.publishing import links_of
from riskapi.domain.case import EVIDENCE
from riskapi.intake.publication import LOOKED_BY
from riskapi.report import format as fmt
from riskapi.storage.publications import Publication, Publications
from riskapi.web.access import caller
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
    return page(
        "work.html",
        kept=kept,
        versions=made,
        latest=made[-1][1],
        evidence=[word for word in EVIDENCE if word != "told"],
        checks=[check for check in pack.checks if check.part_of is None and check.from_case is None],
        may_publish=_may_publish(),
        publications=[_shown(each) for each in _publications(car)],
        looked_by=LOOKED_BY,
        today=datetime.now(UTC).date().isoformat(),
    )


def _may_publish() -> bool:
    known = caller()
    return known is not None and known.may(PUBLISHERS)


def _publications(car: str) -> list[Publication]:
    """What was published of this car, newest first."""
    repository = state().repository
    if not _may_publish():
        return []
    found = Publications(repository.engine, repository.account_id).page(MOST)
    return [each for each in found if each.car_id == car]


def _shown(publication: Publication) -> tuple[str, str, str, str]:
    """(id, address of the page, when it was published, when it was withdrawn or '')."""
    page = str(links_of(None, publication.token)["page"])
    withdrawn = "" if publication.withdrawn_at is None else fmt.day(publication.withdrawn_at.date())
    return publication.id, page, fmt.day(publication.published_at.date()), withdrawn
