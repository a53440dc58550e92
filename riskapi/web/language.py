"""In which language a document comes: ?language= wins, then Accept-Language (RFC 9110, 12.5.4), then English.
In which units: ?units=, else kilometres, bar and litres."""

from __future__ import annotations

import re
from typing import Any

from babel import negotiate_locale
from flask import Response, request
from marshmallow import Schema, ValidationError, fields
from marshmallow.validate import OneOf

from riskapi.report.language import DEFAULT, LANGUAGES, METRIC, Units, units_of
from riskapi.web.paging import left_out

UNITS = "(km|mi)(,(bar|psi))?(,(L|qt))?|(bar|psi)(,(L|qt))?|(L|qt)"


class UnitsField(fields.String):
    """'mi,psi' -> Units; nothing asked is None."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> Any:
        text = super()._deserialize(value, attr, data, **kwargs)
        try:
            units = units_of(text or "")
        except ValueError as error:
            raise ValidationError(f"{error}.") from error
        if not re.fullmatch(UNITS, text or ""):
            raise ValidationError("Write km or mi, bar or psi, L or qt in this order, with commas between.")
        return units


def _metric() -> Units:
    """A function, so that the OpenAPI document does not show the record as the default."""
    return METRIC


class LanguageQuerySchema(Schema):
    """In which language."""

    language = fields.String(
        load_default=left_out,
        validate=OneOf(LANGUAGES),
        metadata={"description": "Language of the document; without it Accept-Language decides, and English is usual."},
    )


class WordingQuerySchema(LanguageQuerySchema):
    """In which language and in which units."""

    units = UnitsField(
        load_default=_metric,
        metadata={
            "description": "Units of the document: km or mi, bar or psi, L or qt, with commas between.",
            "example": "mi,psi",
            "default": "km,bar,L",
            "pattern": f"^({UNITS})$",
        },
    )


def asked_language(stated: str | None) -> str:
    """The language of the query, else the best of those that the request accepts, else English."""
    return stated or accepted_language()


def problem_language() -> str:
    """The language of a problem: that of the query where it names one that there is, else as for any document."""
    stated = request.args.get("language")
    return asked_language(stated if stated in LANGUAGES else None)


def accepted_language() -> str:
    """The first language that the request accepts and that there is; 'de-AT' is served German."""
    wanted = [name for name, quality in request.accept_languages if quality > 0.0]
    return negotiate_locale(wanted, LANGUAGES, sep="-") or DEFAULT


def in_language(answer: Response, language: str) -> Response:
    """The answer with its language named, and caches told that it depends on the request's."""
    answer.headers["Content-Language"] = language
    answer.vary.add("Accept-Language")
    return answer
