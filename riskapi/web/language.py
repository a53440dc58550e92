"""In which language a document comes: ?language= wins, then Accept-Language (RFC 9110, 12.5.4), then English."""

from __future__ import annotations

from babel import negotiate_locale
from flask import Response, request
from marshmallow import Schema, fields
from marshmallow.validate import OneOf

from riskapi.report.language import DEFAULT, LANGUAGES


class LanguageQuerySchema(Schema):
    """In which language."""

    language = fields.String(
        load_default=None,
        validate=OneOf(LANGUAGES),
        metadata={"description": "Language of the document; without it Accept-Language decides, and English is usual."},
    )


def asked_language(stated: str | None) -> str:
    """The language of the query, else the best of those that the request accepts, else English."""
    return stated or accepted_language()


def accepted_language() -> str:
    """The first language that the request accepts and that there is; 'de-AT' is served German."""
    wanted = [name for name, quality in request.accept_languages if quality > 0.0]
    return negotiate_locale(wanted, LANGUAGES, sep="-") or DEFAULT


def in_language(answer: Response, language: str) -> Response:
    """The answer with its language named, and caches told that it depends on the request's."""
    answer.headers["Content-Language"] = language
    answer.vary.add("Accept-Language")
    return answer
