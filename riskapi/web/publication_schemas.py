"""Schemas of publications. They only describe what riskapi/desk/publishing.py tells."""

from __future__ import annotations

from marshmallow import Schema, fields
from marshmallow.validate import OneOf, Range

from riskapi.desk.publishing import STANDINGS
from riskapi.intake.publication import LOOKED_BY
from riskapi.storage import FINDINGS, NEW, RESCORE
from riskapi.web.answer_fields import AnswerSchema, chance, count, flag, many, number, one, text, texts, word
from riskapi.web.knowledge_answers import next_cursor
from riskapi.web.language import LanguageQuerySchema
from riskapi.web.paging import left_out


class PublicQuerySchema(LanguageQuerySchema):
    """In which language, and what the odometer shows today."""

    odometer = fields.Float(
        load_default=left_out,
        validate=Range(0, 5_000_000),
        metadata={"description": "What the odometer shows today [km], to see whether this is out of date."},
    )


class LinksSchema(AnswerSchema):
    page = text("The page for people.")
    data = text("The same for programs.")
    listing_pdf = text("A sheet of one page, sealed.")
    qr = text("The address of the page as a QR code (SVG).")
    badge = text("A badge with facts to embed (SVG).")


class PublicationSchema(AnswerSchema):
    """A publication of your account."""

    publication_id = text("Id.")
    assessment_id = text("The assessment that is shown.")
    standing = word("Whether it is live, superseded by a later one, or withdrawn.", STANDINGS)
    looked_by = word("Who looked at the car.", LOOKED_BY)
    published_at = text("When (RFC 3339).")
    withdrawn_at = text("When it was withdrawn, or null.", allow_none=True)
    withdrawn_because = text("Why, or null.", allow_none=True)
    photos = texts("Ids of the photos that are shown.")
    indexed = flag("Whether search engines may list it.")
    links = one(LinksSchema, "Where it is found. Nobody can guess the address; whoever has it can read it.")
    badge_html = text("HTML that embeds the badge in a page of yours.")


class PublicationListSchema(AnswerSchema):
    """A page of publications, the newest first."""

    items = many(PublicationSchema, "The publications.")
    next = next_cursor()


class DisputeSchema(AnswerSchema):
    """What a reader says, as it was written, and the publisher's reply."""

    dispute_id = text("Id.")
    text = text("What the reader says; empty where the operator removed it.")
    created_at = fields.String(required=True, metadata={"description": "When (RFC 3339)."})
    reply = fields.String(required=True, allow_none=True, metadata={"description": "The publisher's reply, or null."})
    replied_at = fields.String(required=True, allow_none=True, metadata={"description": "When, or null."})
    removed_because = fields.String(
        required=True, allow_none=True, metadata={"description": "Why the operator removed the text, or null."}
    )


class DisputeListSchema(AnswerSchema):
    """What readers say."""

    items = many(DisputeSchema, "The disputes, the first one first.")


class ShownFindingSchema(AnswerSchema):
    check = text("The check.")
    name = text("Its name.")
    result = text("Its result in words.")
    reading = text("What was measured, or empty.")
    told_by = text("Who told it, where nobody saw it; else empty.")


class NotLookedAtSchema(AnswerSchema):
    check = text("The check.")
    name = text("Its name.")
    reason = text("Why it was not done, or does not count.")


class CarryingSchema(AnswerSchema):
    weak_point = text("The weak point.")
    name = text("Its name.")
    not_sound = chance("Chance that it is not sound today.")
    words = text("The same in words.")
    no_look_can_see = flag("Whether no look can see it coming.")
    not_looked_at = texts("Checks that would speak to it and were not done.")


class ShownChanceSchema(AnswerSchema):
    amount = number("A fixed amount [facts.currency].")
    years = number("Within so many years [years].")
    probability = chance("Chance that surprise engine repairs exceed it.")
    words = text("The same in words.")


class DroppedSchema(AnswerSchema):
    check = text("The check.")
    name = text("Its name.")
    result = text("What an earlier assessment found.")
    number = count("Which assessment that was.")
    made_at = text("When it was made (RFC 3339).")
    now = text("What this one says, in words.")


class ShownRevisionSchema(AnswerSchema):
    name = text("Name of a revision of the engine.")
    probability = chance("How probable it is.")


class AskingSchema(AnswerSchema):
    amount = number("What is asked for the car [currency].")
    currency = text("Currency (ISO 4217).")


def _maybe(schema: type[Schema], description: str) -> fields.Nested:
    return one(schema, description, allow_none=True)


class FactsSchema(AnswerSchema):
    """What is shown, as it was when it was published."""

    engine = text("The engine.")
    revisions = many(ShownRevisionSchema, "Which revision it is.")
    as_of = text("When the car was looked at.")
    odometer_km = number("What the odometer showed [km].")
    built = text("Build date, or null.", allow_none=True)
    registered = text("First registration, or null.", allow_none=True)
    vin_tail = text("Last four characters of the VIN, or null.", allow_none=True)
    vin_erased = flag("Whether the identity was removed on request.")
    stood_out = many(ShownFindingSchema, "Findings that stood out, all of them.")
    nothing_stood_out = many(ShownFindingSchema, "What was looked at and did not stand out.")
    not_looked_at = many(NotLookedAtSchema, "What was not looked at.")
    without_weight = many(NotLookedAtSchema, "What was looked at under the wrong conditions.")
    carries_the_risk = many(CarryingSchema, "Weak points that carry the remaining risk.")
    fixed = many(ShownChanceSchema, "Chances at fixed amounts, the same for every car.")
    currency = text("Currency of these amounts (ISO 4217).")
    core_done = count("Core checks done.")
    core_total = count("Core checks there are.")
    danger = fields.String(metadata={"description": "Why it may not be driven, in words; else empty."})
    dropped = many(DroppedSchema, "What an earlier assessment of this car found and this one does not say.")
    asking_price = _maybe(AskingSchema, "What is asked, where it was stated; else null.")
    judgement_share = chance("Share of the lifetimes that is judgement.")
    knowledge_version = text("Version of the knowledge pack.")


class AgeSchema(AnswerSchema):
    days = count("Days since the car was looked at [days].")
    driven_km = number("Driven since, where you say what the odometer shows; else null [km].", allow_none=True)
    stale = flag("Whether it is out of date.")
    stale_days = count("It is after so many days [days].")
    stale_km = number("Or after so many kilometres [km].")


class PublicAssessmentSchema(AnswerSchema):
    number = count("Which assessment of the car it is.")
    made_at = text("When it was made (RFC 3339).")
    origin = word("How it came about.", (NEW, FINDINGS, RESCORE))
    shown_here = flag("Whether it is the one shown here.")
    page = text("Its page, or null.", allow_none=True)
    published_at = text("When that was published, or null.", allow_none=True)
    withdrawn = flag("Whether that was withdrawn.")


class PublicSchema(AnswerSchema):
    """What the public is told of an assessment."""

    standing = text("Live, superseded, or withdrawn.", validate=OneOf(STANDINGS))
    published_at = text("When it was published (RFC 3339).")
    withdrawn_at = text("When it was withdrawn, or null.", allow_none=True)
    withdrawn_because = text("Why, or null.", allow_none=True)
    superseded_by = text("The page that has taken its place, or null.", allow_none=True)
    newer_assessment_at = text("When a later one was made that nobody published, or null.", allow_none=True)
    recalled_because = text("Why the knowledge behind it was recalled, or null.", allow_none=True)
    age = one(AgeSchema, "Whether it is out of date.")
    looked_by = word("Who looked at the car.", LOOKED_BY)
    facts = one(FactsSchema, "What is shown.")
    assessments = many(PublicAssessmentSchema, "All assessments of this car in the publisher's account.")
    disputes = many(DisputeSchema, "What readers say.")
    photos = texts("Addresses of the photos that the publisher chose.")
    indexed = flag("Whether search engines may list it.")
    links = one(LinksSchema, "Where it is found.")
