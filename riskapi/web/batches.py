"""/v1/batches: many cases in one request, one line of answer for every line that has a case.

For an inspector's software that was offline and catches up, and for whoever has a list of cars.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from contextlib import closing
from typing import Any

from flask import Response, request, stream_with_context
from marshmallow import Schema, fields
from werkzeug.exceptions import RequestEntityTooLarge, UnsupportedMediaType

from riskapi.desk import assess_only, make_assessment
from riskapi.domain.sentence import Written, at_fault, told
from riskapi.errors import Unreadable
from riskapi.intake import BYTES_LIMIT, read_case
from riskapi.web.idempotency import idempotency_key
from riskapi.web.photos import check_photos
from riskapi.web.problems import body_of
from riskapi.web.routes import Routes
from riskapi.web.spool import Spool
from riskapi.web.state import state

NDJSON = "application/x-ndjson"
BATCH_BYTES_LIMIT = 1_000_000_000
routes = Routes("batches", "Batches: many cases at once, one line of JSON for each.")


class BatchQuerySchema(Schema):
    """What becomes of the assessments."""

    keep = fields.Boolean(
        load_default=True,
        metadata={"description": "Whether they are kept; without, they are computed and answered only."},
    )


@routes.stream("/batches", NDJSON, query=BatchQuerySchema)
def create_batch(query: dict[str, Any]) -> Response:
    """Assess many cases

    One case per line (NDJSON), in any number up to 1 GB; blank lines are passed over. Every line with a case gives one
    line of answer, in the same order and as soon as it is there: {"line": 3, "status": 201, "assessment": {...}} or
    {"line": 4, "status": 422, "problem": {...}}. A faulty line stops nothing. With an Idempotency-Key, a batch that is
    sent again goes on where it was broken off and makes nothing twice. The last line, {"lines": 100, "made": 98,
    "problems": 2}, says that the batch was read to its end.
    """
    if request.mimetype != NDJSON:
        wanted = told('Send the cases with "Content-Type: {type}", one per line.', type=Written(NDJSON))
        raise UnsupportedMediaType(wanted)
    if (request.content_length or 0) > BATCH_BYTES_LIMIT:
        raise RequestEntityTooLarge
    key = idempotency_key()
    request.max_content_length = BATCH_BYTES_LIMIT
    spool = Spool(request.stream, BATCH_BYTES_LIMIT)
    answer = Response(stream_with_context(_answers(spool, key, query["keep"])), content_type=NDJSON)
    answer.call_on_close(spool.close)
    return answer


def _answers(spool: Spool, key: str | None, keep: bool) -> Iterator[bytes]:
    made = problems = 0
    with closing(spool):
        for number, line in enumerate(spool.lines(BYTES_LIMIT), start=1):
            if line is not None and not line.strip():
                continue
            answer = _answer(line, _line_key(key, number), keep)
            made, problems = made + ("assessment" in answer), problems + ("problem" in answer)
            yield _line({"line": number, **answer})
        yield _line(_broken_off() if spool.cut else {"lines": made + problems, "made": made, "problems": problems})


def _broken_off() -> dict[str, Any]:
    mend = told("Send the rest; at most {limit:,d} bytes at once.", limit=BATCH_BYTES_LIMIT)
    return {"status": 400, "problem": body_of(Unreadable([at_fault("", told("The batch broke off here."), mend)]))}


def _too_long() -> Unreadable:
    message = told("The line is longer than {limit:,d} bytes.", limit=BYTES_LIMIT)
    return Unreadable([at_fault("", message, told("Send one case per line."))])


def _answer(line: bytes | None, key: str | None, keep: bool) -> dict[str, Any]:
    try:
        if line is None:
            raise _too_long()
        return {"status": 201 if keep else 200, "assessment": json.loads(_result(line, key, keep))}
    except Exception as error:  # noqa: BLE001 (one line's fault, foreseen or not, must not take the others with it)
        problem = body_of(error)
        return {"status": problem["status"], "problem": problem}


def _result(line: bytes, key: str | None, keep: bool) -> bytes:
    case = read_case(line, state().pack)
    check_photos(case, state())
    return make_assessment(case, line, state(), key).result_json if keep else assess_only(case, line, state())


def _line_key(key: str | None, number: int) -> str | None:
    """Every line is a write of its own, with a key of its own."""
    return None if key is None else f"batch-{hashlib.sha256(key.encode()).hexdigest()}-{number}"


def _line(told: dict[str, Any]) -> bytes:
    return json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"
