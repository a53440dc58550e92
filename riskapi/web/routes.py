"""Declaring routes: a typed way into flask-smorest, so that each view states its answer and its errors once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask_smorest import Blueprint
from marshmallow import Schema

from riskapi.web.access import ANYBODY, EVERY_ROLE, Roles
from riskapi.web.idempotency import DESCRIPTION, HEADER
from riskapi.web.problem_schema import ProblemSchema
from riskapi.web.problems import MEDIA_TYPE

View = Callable[..., Any]
PREFIX = "/v1"
JSON = "application/json"
_FILE = {"type": "string", "format": "binary"}
CASE_ERRORS = (400, 413, 415, 422)
_KEY = {
    "name": HEADER,
    "in": "header",
    "required": False,
    "schema": {"type": "string", "minLength": 1, "maxLength": 255, "pattern": "^[!-~]+$"},
    "description": DESCRIPTION,
}
_TAGGED = {"ETag": {"description": "Send it as If-None-Match the next time.", "schema": {"type": "string"}}}
DOOR_ERRORS = (401, 403)
ANYTIME_ERRORS = (429, 503)  # too many requests; the database is away


class Routes:
    """The routes of one subject; `access` says for whom each of its endpoints is."""

    def __init__(self, name: str, description: str, prefix: str = PREFIX) -> None:
        self.blueprint: Any = Blueprint(name, __name__, url_prefix=prefix, description=description)
        self.access: dict[str, Roles] = {}

    def get(
        self,
        rule: str,
        answer: type[Schema] | None,
        *,
        errors: tuple[int, ...] = (),
        query: type[Schema] | None = None,
        media_type: str = "application/json",
        roles: Roles = EVERY_ROLE,
        **doc: Any,
    ) -> Callable[[View], View]:
        """A GET route for these roles. Without a schema the answer is a file of `media_type`."""
        schema: Any = answer if answer is not None else _FILE

        def declare(view: View) -> View:
            if query is not None:
                view = self.blueprint.arguments(query, location="query")(view)
                view = self._problems(view, (422,))
            view = self.blueprint.response(200, schema, content_type=media_type, headers=_TAGGED)(view)
            view = self.blueprint.alt_response(304, description="Nothing changed since the ETag that was sent.")(view)
            return self._route(rule, self._problems(view, errors), "GET", roles, doc)

        return declare

    def post(
        self,
        rule: str,
        body: type[Schema],
        answer: type[Schema],
        *,
        headers: Any = None,
        sample: Any = None,
        examples: dict[str, Any] | None = None,
        roles: Roles = EVERY_ROLE,
        errors: tuple[int, ...] = (),
        parameters: tuple[Any, ...] = (),
    ) -> Callable[[View], View]:
        """A POST route for these roles that reads one document and creates something (201)."""
        shown = {"examples": examples} if examples else {"example": sample}
        request_body = {"required": True, "content": {JSON: {"schema": body, **shown}}}

        def declare(view: View) -> View:
            view = self.blueprint.response(201, answer, headers=headers)(view)
            doc = {"requestBody": request_body, "parameters": [_KEY, *parameters]}
            return self._route(rule, self._problems(view, (*CASE_ERRORS, *errors)), "POST", roles, doc)

        return declare

    def ask(
        self,
        rule: str,
        body: type[Schema],
        answer: type[Schema] | None,
        *,
        sample: Any,
        query: type[Schema] | None = None,
        media_type: str = JSON,
        roles: Roles = EVERY_ROLE,
        errors: tuple[int, ...] = (),
    ) -> Callable[[View], View]:
        """A POST route for these roles that reads one document and keeps nothing (200). Without a schema the answer is
        a file."""
        schema: Any = answer if answer is not None else _FILE
        request_body = {"required": True, "content": {JSON: {"schema": body, "example": sample}}}

        def declare(view: View) -> View:
            if query is not None:
                view = self.blueprint.arguments(query, location="query")(view)
            view = self.blueprint.response(200, schema, content_type=media_type)(view)
            described = self._problems(view, (*CASE_ERRORS, *errors))
            return self._route(rule, described, "POST", roles, {"requestBody": request_body})

        return declare

    def act(
        self,
        rule: str,
        answer: type[Schema],
        *,
        headers: Any = None,
        roles: Roles = EVERY_ROLE,
        errors: tuple[int, ...] = (),
    ) -> Callable[[View], View]:
        """A POST route for these roles that reads no body and creates something (201)."""

        def declare(view: View) -> View:
            view = self.blueprint.response(201, answer, headers=headers)(view)
            view = self._problems(view, (400, 422, *errors))
            return self._route(rule, view, "POST", roles, {"parameters": [_KEY]})

        return declare

    def upload(
        self,
        rule: str,
        media_types: tuple[str, ...],
        answer: type[Schema],
        *,
        headers: Any = None,
        roles: Roles = EVERY_ROLE,
    ) -> Callable[[View], View]:
        """A POST route for these roles that reads one file of these media types and creates something (201)."""
        request_body = {"required": True, "content": {name: {"schema": _FILE} for name in media_types}}

        def declare(view: View) -> View:
            view = self.blueprint.response(201, answer, headers=headers)(view)
            doc = {"requestBody": request_body, "parameters": [_KEY]}
            return self._route(rule, self._problems(view, CASE_ERRORS), "POST", roles, doc)

        return declare

    def stream(
        self, rule: str, media_type: str, *, query: type[Schema], roles: Roles = EVERY_ROLE
    ) -> Callable[[View], View]:
        """A POST route for these roles that reads and answers lines of this media type (200)."""
        request_body = {"required": True, "content": {media_type: {"schema": _FILE}}}

        def declare(view: View) -> View:
            view = self.blueprint.arguments(query, location="query")(view)
            view = self.blueprint.response(200, _FILE, content_type=media_type)(view)
            doc = {"requestBody": request_body, "parameters": [_KEY]}
            return self._route(rule, self._problems(view, CASE_ERRORS), "POST", roles, doc)

        return declare

    def read_file(
        self, rule: str, media_type: str, answer: type[Schema], *, roles: Roles = EVERY_ROLE
    ) -> Callable[[View], View]:
        """A POST route for these roles that reads one file of this media type and keeps nothing (200)."""
        content = {media_type: {"schema": _FILE}}

        def declare(view: View) -> View:
            view = self.blueprint.response(200, answer)(view)
            doc = {"requestBody": {"required": True, "content": content}}
            return self._route(rule, self._problems(view, (400, 413, 415)), "POST", roles, doc)

        return declare

    def delete(
        self, rule: str, *, roles: Roles = EVERY_ROLE, errors: tuple[int, ...] = (404,)
    ) -> Callable[[View], View]:
        """A DELETE route for these roles (204)."""

        def declare(view: View) -> View:
            view = self.blueprint.response(204)(view)
            return self._route(rule, self._problems(view, errors), "DELETE", roles, {})

        return declare

    def _problems(self, view: View, statuses: tuple[int, ...]) -> View:
        for status in statuses:
            view = self.blueprint.alt_response(status, schema=ProblemSchema, content_type=MEDIA_TYPE)(view)
        return view

    def _route(self, rule: str, view: View, method: str, roles: Roles, doc: dict[str, Any]) -> View:
        self.access[f"{self.blueprint.name}.{view.__name__}"] = roles
        doc = {"operationId": view.__name__, **doc}
        if roles == ANYBODY:
            doc = {**doc, "security": []}
        else:
            view = self._problems(view, DOOR_ERRORS)
        view = self._problems(view, ANYTIME_ERRORS if method == "GET" else (*ANYTIME_ERRORS, 507))
        described = self.blueprint.doc(**doc)(view) if doc else view
        routed: View = self.blueprint.route(rule, methods=[method])(described)
        return routed
