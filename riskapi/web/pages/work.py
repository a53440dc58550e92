"""A dealer's work: what was renewed and looked at again makes the next version of the car; the latest is published."""

from __future__ import annotations

from datetime import UTC, datetime

from flask import Response

from riskapi.domain.case import EVIDENCE
from riskapi.web.pages.kept import Kept
from riskapi.web.pages.routes import page, routes
from riskapi.web.pages.words import local_pack
from riskapi.web.state import state


@routes.get("/assessments/<string:identifier>/work")
def work(identifier: str) -> Response:
    """Record work done on this car, and see its versions."""
    repository, pack = state().repository, local_pack()
    kept = Kept.of(repository.get(identifier), pack)
    versions = repository.versions(repository.version(identifier).car_id)
    made = [(version.number, Kept.of(repository.get(version.assessment_id), pack)) for version in versions]
    return page(
        "work.html",
        kept=kept,
        versions=made,
        latest=made[-1][1],
        evidence=[word for word in EVIDENCE if word != "told"],
        checks=[check for check in pack.checks if check.part_of is None and check.from_case is None],
        today=datetime.now(UTC).date().isoformat(),
    )
