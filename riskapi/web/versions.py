"""/v1/assessments/{id}/findings, /versions and /rescore: what follows on an assessment."""

from __future__ import annotations

import json
from typing import Any

from flask import Response, request, url_for
from marshmallow import fields
from marshmallow.validate import Range
from werkzeug.http import generate_etag

from riskapi.desk import add_findings, rescore
from riskapi.domain.case import Case
from riskapi.intake.follow_up import FurtherSchema
from riskapi.report.audit import json_bytes
from riskapi.report.rescore import rescored_json
from riskapi.storage import FINDINGS, NEW, RESCORE, Standing, StoredAssessment, Version
from riskapi.storage.recalls import Recall
from riskapi.web.answer_fields import AnswerSchema, chance, count, many, money, number, one, text, word
from riskapi.web.answers import ADVICE, ResultSchema
from riskapi.web.body import json_body
from riskapi.web.idempotency import idempotency_key
from riskapi.web.photos import check_photos
from riskapi.web.routes import Routes
from riskapi.web.state import state

routes = Routes("versions", "Versions: what was found since, and what newer knowledge says. Nothing is overwritten.")
SAMPLE = {
    "as_of": "2026-03-21",
    "odometer": {"value": 138150, "unit": "km"},
    "findings": [{"check": "look_sump", "result": "dry"}],
}
_MADE = {
    "Location": {"description": "Where the new version can be read.", "schema": {"type": "string"}},
    "Link": {
        "description": "The version before, the latest one, and all of them (RFC 5829).",
        "schema": {"type": "string"},
    },
}
_IF_MATCH = {
    "name": "If-Match",
    "in": "header",
    "required": False,
    "schema": {"type": "string"},
    "description": "The ETag of the version that you go on from; 412 when it is not the latest one any more.",
}


class VersionSchema(AnswerSchema):
    """One assessment of a car."""

    assessment_id = text("Id; the assessment is at /v1/assessments/{id}.")
    version = count("Which assessment of its car it is, from 1.")
    created_at = text("When it was made (RFC 3339).")
    origin = word("How it came about: a case, findings that were added, or a rescore.", (NEW, FINDINGS, RESCORE))
    previous = text("Id of the version it was made from; null for the first one.", allow_none=True)
    reference = text("The caller's own reference, or null.", allow_none=True)
    knowledge_digest = text("SHA-256 of the knowledge pack it was made with.")
    program_version = text("Version of the program that made it.")
    recalled = text("Why this knowledge is no longer to be relied on; null where it is.", allow_none=True)


class VersionListSchema(AnswerSchema):
    """All assessments of a car, the first one first."""

    car = text("Id of the car in this account.")
    latest = text("Id of the latest version.")
    items = many(VersionSchema, "The versions.")


class UnplannedSchema(AnswerSchema):
    mean = money("Mean.")
    p10 = money("10th percentile.")
    p50 = money("Median.")
    p80 = money("80th percentile.")
    p90 = money("90th percentile.")
    p_zero = chance("Chance of nothing at all.")


class PackNameSchema(AnswerSchema):
    version = text("Version of the knowledge pack.")
    digest = text("SHA-256 of its files.")


class SideSchema(AnswerSchema):
    assessment_id = text("Id of the version.")
    created_at = text("When it was made.")
    knowledge = one(PackNameSchema, "The knowledge pack it was made with.")
    repair_budget = money("The repair budget over the ownership period.")
    score = number("100 times the chance that surprise engine repairs exceed it [0..100].", validate=Range(0, 100))
    band = fields.List(fields.Float, required=True, metadata={"description": "Its 10th and 90th percentile."})
    unplanned = one(UnplannedSchema, "Surprise repairs, immediate ones included.")
    planned_mean = money("Planned work, on average.")
    price_for_findings = money("Price at which the findings are paid for; null without sound_value.", allow_none=True)
    cautious_price = money("The same for a cautious buyer; null without sound_value.", allow_none=True)
    advice = word("What to do.", ADVICE)


class RescoredSchema(AnswerSchema):
    """The same case with the knowledge before and with the one in use now."""

    currency = text("Currency of every amount of this answer (ISO 4217).")
    before = one(SideSchema, "As it was assessed.")
    after = one(SideSchema, "The new version.")


@routes.post(
    "/assessments/<string:identifier>/findings",
    FurtherSchema,
    ResultSchema,
    headers=_MADE,
    sample=SAMPLE,
    errors=(404, 409, 412),
    parameters=(_IF_MATCH,),
)
def create_findings(identifier: str) -> Response:
    """Add what was found since

    Findings, history entries, date and odometer are laid over the latest version of this car, and the whole is assessed
    as its next version, with the knowledge pack of that version. Earlier versions stay as they are. Two that are sent
    at once both count, one after the other.
    """
    key, using = idempotency_key(), state()

    def check(case: Case) -> None:
        check_photos(case, using)

    made = add_findings(using, identifier, json_body(), key, condition=_matches, check=check)
    answer = Response(made.result_json, 201, content_type="application/json")
    answer.headers["Location"] = url_for("assessments.get_assessment", identifier=made.id)
    link_versions(answer, using.repository.standings([made])[made.id])
    return answer


@routes.get("/assessments/<string:identifier>/versions", VersionListSchema, errors=(404,))
def list_versions(identifier: str) -> Any:
    """See all versions of a car"""
    repository = state().repository
    car_id = repository.version(identifier).car_id
    made = [(repository.get(version.assessment_id), version) for version in repository.versions(car_id)]
    recalls = repository.recalled(each for each, _ in made)
    items = [_item(each, version, recalls.get(each.knowledge_digest)) for each, version in made]
    return {"car": car_id, "latest": items[-1]["assessment_id"], "items": items}


@routes.act("/assessments/<string:identifier>/rescore", RescoredSchema, headers=_MADE, errors=(404, 409))
def create_rescore(identifier: str) -> Response:
    """See what newer knowledge says

    The latest version of this car is assessed again with the knowledge pack in use now, and kept as the next version;
    both are told side by side. 409 while the knowledge and the program are those it was made with.
    """
    using = state()
    done = rescore(using, identifier, idempotency_key())
    told = rescored_json(*(json.loads(each.result_json) for each in (done.before, done.after)))
    answer = Response(json_bytes(told), 201, content_type="application/json")
    answer.headers["Location"] = url_for("assessments.get_assessment", identifier=done.after.id)
    link_versions(answer, using.repository.standings([done.after])[done.after.id])
    return answer


def link_versions(answer: Response, standing: Standing) -> None:
    """Link to the other versions of a car, with the relations of RFC 5829."""
    mine = f"/v1/assessments/{standing.version.assessment_id}"
    latest = f"/v1/assessments/{standing.latest_id}"
    links = [f'<{mine}/versions>; rel="version-history"', f'<{latest}>; rel="latest-version"']
    if standing.version.previous_id is not None:
        links.append(f'</v1/assessments/{standing.version.previous_id}>; rel="predecessor-version"')
    answer.headers["Link"] = ", ".join(links)


def _matches(latest: StoredAssessment) -> bool:
    """Whether the latest version is the one that the caller goes on from (RFC 9110, section 13.1.1)."""
    return not request.if_match or request.if_match.contains(generate_etag(latest.result_json))


def _item(made: StoredAssessment, version: Version, recall: Recall | None) -> dict[str, Any]:
    return {
        "assessment_id": made.id,
        "version": version.number,
        "created_at": made.created_at.isoformat(),
        "origin": version.origin,
        "previous": version.previous_id,
        "reference": made.reference,
        "knowledge_digest": made.knowledge_digest,
        "program_version": made.program_version,
        "recalled": None if recall is None else recall.reason,
    }
