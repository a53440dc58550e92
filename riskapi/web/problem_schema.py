"""The shape of a problem (RFC 9457), for the OpenAPI document."""

from __future__ import annotations

from marshmallow import fields

from riskapi.web.answer_fields import AnswerSchema


class ProblemFaultSchema(AnswerSchema):
    """One thing that is wrong."""

    pointer = fields.String(metadata={"description": "JSON pointer (RFC 6901) into the request body."})
    parameter = fields.String(metadata={"description": "Name of the query parameter, where that is at fault."})
    header = fields.String(metadata={"description": "Name of the request header, where that is at fault."})
    message = fields.String(required=True, metadata={"description": "What is wrong."})
    mend = fields.String(required=True, metadata={"description": "How to mend it."})


class ProblemSchema(AnswerSchema):
    """Problem details, their texts in the language of the query (?language=), else the first accepted one that there is
    (Accept-Language), else English."""

    type = fields.String(required=True, metadata={"description": "What kind of problem it is; a link to words."})
    title = fields.String(required=True, metadata={"description": "The same in words."})
    status = fields.Integer(required=True, metadata={"description": "HTTP status."})
    detail = fields.String(metadata={"description": "What happened here."})
    request_id = fields.String(required=True, metadata={"description": "Also the answer's X-Request-Id."})
    faults = fields.List(fields.Nested(ProblemFaultSchema), metadata={"description": "Every fault, all at once."})
