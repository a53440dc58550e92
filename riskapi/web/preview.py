"""POST /v1/previews: the figures while answers are still coming in. Nothing is kept of the case."""

from __future__ import annotations

import hashlib
from typing import Any

from flask import Response
from marshmallow import fields
from marshmallow.validate import Range

from riskapi import service
from riskapi.domain.glance import Glance
from riskapi.intake import CaseSchema, canonical, read_case, read_document
from riskapi.report.audit import json_bytes
from riskapi.report.figures import chance, money, optional_money, rounded
from riskapi.web.answer_fields import AnswerSchema, count, many, number, one, text, texts, word
from riskapi.web.answer_fields import chance as chance_field
from riskapi.web.answer_fields import money as money_field
from riskapi.web.answers import ADVICE
from riskapi.web.body import json_body
from riskapi.web.routes import Routes
from riskapi.web.sample import SAMPLE
from riskapi.web.state import State, state

routes = Routes("preview", "What the answers so far come to, while an inspection goes on.")


class CoreSchema(AnswerSchema):
    done = count("Core checks done, or refused with a reason.")
    total = count("Core checks there are.")
    open = texts("Ids of those that nobody has spoken of yet.")


class HeavySchema(AnswerSchema):
    id = text("Weak point.")
    name = text("Its name.")
    not_sound = chance_field("Chance of being degraded or faulty today.")
    expected_cost = money_field("Expected surprise cost over the ownership period.")


class PreviewFiguresSchema(AnswerSchema):
    score = number("As in an assessment [0..100].", validate=Range(0, 100))
    band = fields.List(fields.Float, required=True, metadata={"description": "Its 10th and 90th percentile."})
    mean = money_field("Expected surprise repairs over the ownership period.")
    price_for_findings = money_field("As in an assessment; null without sound_value.", allow_none=True)
    cautious_price = money_field("As in an assessment; null without sound_value.", allow_none=True)
    net_benefit = money_field("Price for the findings less the asking price; null without both.", allow_none=True)
    advice = word("What to do.", ADVICE)
    heaviest = many(HeavySchema, "Weak points with the highest expected cost.")


class PreviewSchema(AnswerSchema):
    """What the answers so far come to. Figures are null while core checks are open: there is no verdict before."""

    core = one(CoreSchema, "How many core checks have an answer.")
    hazards = texts("Ids of weak points because of which the car is not to be driven; told at any time.")
    currency = text("Currency of every amount (ISO 4217).")
    years = number("Ownership period [years].")
    repair_budget = money_field("The repair budget over the ownership period.")
    figures = one(PreviewFiguresSchema, "The figures; null while core checks are open.", allow_none=True)


@routes.ask("/previews", CaseSchema, PreviewSchema, sample=SAMPLE)
def preview_assessment() -> Response:
    """See what the answers so far come to

    The same case as for an assessment, as far as it is known. Score, range and prices are those that an assessment
    of it would have. What does not depend on the findings stays in the memory of the process for the next answer;
    nothing else is kept.
    """
    return Response(json_bytes(preview_json(glance_of(json_body(), state()))), content_type="application/json")


def glance_of(body: bytes, using: State) -> Glance:
    """The figures of the case in this body. Raises CaseError, FindingsClash, TooComplex."""
    case, key = read_case(body, using.pack), _car_key(body)
    shown, standing = service.glance(case, using.pack, using.standings.peek(key))
    using.standings.put(key, standing)
    return shown


def _car_key(body: bytes) -> str:
    """A digest of the case without its findings: cases of one car share it from answer to answer."""
    value = read_document(body).value
    return hashlib.sha256(canonical({name: value[name] for name in value if name != "findings"})).hexdigest()


def preview_json(shown: Glance) -> dict[str, Any]:
    """Rounded as an assessment is."""
    done, total = shown.coverage.core_done, shown.coverage.core_total
    return {
        "core": {"done": done, "total": total, "open": list(shown.core_open)},
        "hazards": list(shown.hazards),
        "currency": shown.currency,
        "years": rounded("years", shown.years, 3),
        "repair_budget": money("repair_budget", shown.repair_budget),
        "figures": None if done < total else _figures(shown),
    }


def _figures(shown: Glance) -> dict[str, Any]:
    return {
        "score": rounded("score", shown.score, 2),
        "band": [rounded("band", bound, 2) for bound in shown.band],
        "mean": money("mean", shown.mean),
        "price_for_findings": optional_money("price_for_findings", shown.price_for_findings),
        "cautious_price": optional_money("cautious_price", shown.cautious_price),
        "net_benefit": optional_money("net_benefit", shown.net_benefit),
        "advice": shown.advice,
        "heaviest": [
            {
                "id": item.id,
                "name": item.name,
                "not_sound": chance("not_sound", min(1.0, item.state.degraded + item.state.faulty)),
                "expected_cost": money("expected_cost", item.expected_cost),
            }
            for item in shown.heaviest
        ],
    }
