"""The request: one case as JSON. The schemas say what is well formed; meaning.py says what makes sense.

The OpenAPI document is generated from these classes, so every field carries a description and an example.
"""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError, validates_schema

from riskapi.domain.case import EVIDENCE, NOT_CHECKED, OBSERVED_BY, SELLERS, VIN_MARKETS
from riskapi.domain.knowledge import CONSENTS, EQUIPMENT, INSTALLATIONS, PARTS_CLASSES
from riskapi.domain.sentence import Listed, Sentence, Written, told
from riskapi.intake import quantities as q
from riskapi.intake.base import RequestSchema
from riskapi.intake.fields import Choice, Day, Flag, Group, Many, Number, Pattern, Table, Text
from riskapi.intake.vin_field import Vin
from riskapi.intake.words import Wrong

FINDINGS_LIMIT = 500
HISTORY_LIMIT = 500
PHOTOS_LIMIT = 10  # of one finding
ODOMETER_LIMIT = 2_000_000  # [km]
MONEY_LIMIT = 10_000_000  # any currency
ENGINES = ("new", "overhauled", "used")
TUNE = ("yes", "no", "unknown")
WORK = ("oil_service", "renewed", "never_renewed", "engine_replaced", "checked", "reading", "failed", "other")
FED = ("labour_rate", "parts_index", "parts_prices")  # what a price feed can fill
FED_LIMIT = 2_000  # operations
_WORD_LIMIT = 100  # characters of an id


def docs(description: str, *examples: Any) -> dict[str, Any]:
    """Metadata of a field."""
    return {"description": description, **({"examples": list(examples)} if examples else {})}


def _word(description: str, example: str, **kwargs: Any) -> Text:
    return Text(limit=_WORD_LIMIT, metadata=docs(description, example), **kwargs)


def odometer_field(description: str, **kwargs: Any) -> q.Quantity:
    """A reading of an odometer, or a distance."""
    return q.Quantity(q.DistanceSchema, "km", high=ODOMETER_LIMIT, metadata=docs(description), **kwargs)


def money_field(description: str, low: float = 0.0, **kwargs: Any) -> q.Amount:
    """An amount of money."""
    return q.Amount(q.MoneySchema, low=low, high=MONEY_LIMIT, metadata=docs(description), **kwargs)


class EngineSchema(RequestSchema):
    """The engine: by family (and revision or code where known), or by traits, at least fuel and cylinders."""

    family = _word("Engine family, an id of GET /v1/engines.", "lapwing")
    revision = _word("Revision, where it is known for certain; else it is worked out.", "lapwing_1a")
    code = _word("Engine code as stamped on the block or written in the papers.", "LW1A")
    traits = Table(
        values=(str, float),
        limit=60,
        shape=told("a trait's word or number"),
        load_default=dict,
        metadata={
            **docs(
                'Design features that are known; one left out, or said to be "unknown", is averaged over how common '
                "its values are.",
                {"fuel": "petrol", "cylinders": 4},
            ),
            "type": "object",
            "additionalProperties": {"type": ["string", "number"]},
        },
    )


class ModificationsSchema(RequestSchema):
    """What was changed on the engine."""

    software_tune = Choice(
        choices=TUNE, load_default="unknown", metadata=docs("Raised power by other software.", "unknown")
    )


class VinSeenSchema(RequestSchema):
    """The VIN as read on the car itself. Personal data, like the one in the papers."""

    body = Vin(metadata=docs("As stamped into the body."))
    control_unit = Vin(metadata=docs("As read from the engine's control unit."))


class VehicleSchema(RequestSchema):
    """The car and its engine."""

    engine = Group(EngineSchema, required=True, metadata=docs("Which engine it is."))
    build_date = Day(metadata=docs("When the car was built.", "2011-05-12"))
    first_registered = Day(metadata=docs("First registration.", "2011-07-01"))
    vin = Vin(metadata=docs("VIN as it stands in the papers. Personal data: leave it out where it is not needed."))
    vin_seen = Group(VinSeenSchema, metadata=docs("The VIN as read on the car itself."))
    vin_market = Choice(
        choices=VIN_MARKETS,
        load_default="other",
        metadata=docs("us: built for a market under 49 CFR 565, so check digit and model year count.", "other"),
    )
    serial_number = Pattern(
        pattern="[A-Z0-9]{1,30}",
        shape=told("1 to 30 capital letters and digits"),
        metadata=docs("Serial number of the engine, as stamped beside the engine code.", "104217"),
    )
    odometer = odometer_field("Reading of the odometer at the assessment date.", required=True)
    installation = Choice(choices=INSTALLATIONS, metadata=docs("How the engine lies in the car.", "transverse"))
    parts_class = Choice(choices=PARTS_CLASSES, metadata=docs("Price class of the car's parts.", "mid"))
    modifications = Group(ModificationsSchema, metadata=docs("Changes made to the engine."))
    moves_under_own_power = Flag(metadata=docs("Whether it starts and drives; leave out when not known.", True))


class PersonSchema(RequestSchema):
    """A person or firm, as far as it has to be named. Personal data."""

    name = Text(limit=200, metadata=docs("Name.", "A. Buyer"))
    address = Text(limit=500, metadata=docs("Address.", "1 High Street"))


class IdentitySchema(RequestSchema):
    """Personal data, all of it optional. It is kept apart, no number depends on it, and it can be erased."""

    plate = Text(limit=20, metadata=docs("Registration plate.", "AB 123"))
    client = Group(PersonSchema, metadata=docs("For whom the car is looked at."))
    seller = Group(PersonSchema, metadata=docs("Who sells it."))
    inspector = Group(PersonSchema, metadata=docs("Who looks at it."))


class UsageSchema(RequestSchema):
    """How the car was and will be used: stress conditions that lasted or will last."""

    past = Many(Text(limit=_WORD_LIMIT), limit=50, load_default=list, metadata=docs("Up to now.", ["short_trips"]))
    planned = Many(Text(limit=_WORD_LIMIT), limit=50, load_default=list, metadata=docs("With the buyer.", ["towing"]))


class HistoryEntrySchema(RequestSchema):
    """One line of the service history."""

    date = Day(required=True, metadata=docs("When it was.", "2016-03-02"))
    odometer = odometer_field("Reading at that date.")
    work = Choice(choices=WORK, required=True, metadata=docs("What was done.", "oil_service"))
    item = _word(
        "On what: a weak point (renewed, never_renewed, failed), a check (checked), new, overhauled or used "
        "(engine_replaced); free words with other.",
        "chain_tensioner",
    )
    result = _word("Result of the check; only with checked.", "quiet")
    part_revision = _word("Which part revision was fitted; only with renewed and failed.", "standard")
    engine_distance = odometer_field("Distance already on the fitted engine; only with engine_replaced.")
    evidence = Choice(choices=EVIDENCE, load_default="none", metadata=docs("What shows it.", "invoice"))
    doubtful = Flag(
        load_default=False,
        metadata=docs("The reading may run backwards: the longer distance is scored and the report says so.", False),
    )
    note = Text(least=0, load_default="", metadata=docs("Anything else."))

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def _fits_the_work(self, loaded: dict[str, Any], original: Any, **_: Any) -> None:
        if isinstance(original, dict) and "work" in loaded:
            errors = _work_errors(loaded["work"], original)
            if errors:
                raise ValidationError(errors)


_NEEDS = {
    "renewed": ("item",),
    "never_renewed": ("item",),
    "failed": ("item",),
    "engine_replaced": ("item",),
    "checked": ("item", "result"),
    "reading": ("odometer",),
}
_ONLY_WITH = {
    "item": ("renewed", "never_renewed", "failed", "engine_replaced", "checked", "other"),
    "result": ("checked",),
    "part_revision": ("renewed", "failed"),
    "engine_distance": ("engine_replaced",),
}
_ITEM = {
    "checked": told("Add the id of a check."),
    "engine_replaced": told("Add {engines}.", engines=Listed(tuple(map(Written, ENGINES)))),
}


def _work_errors(work: str, original: dict[str, Any]) -> dict[str, list[Wrong]]:
    errors: dict[str, list[Wrong]] = {}
    for key in _NEEDS.get(work, ()):
        if key not in original:
            message = told('"{work}" needs "{key}", which is missing.', work=Written(work), key=Written(key))
            errors[key] = [Wrong(message, _missing(work, key))]
    for key, works in _ONLY_WITH.items():
        if key in original and work not in works:
            message = told('"{key}" means nothing with the work "{work}".', key=Written(key), work=Written(work))
            mend = told("Remove it; it is for {works}.", works=Listed(tuple(map(Written, works))))
            errors[key] = [Wrong(message, mend)]
    return errors


def _missing(work: str, key: str) -> Sentence:
    if key != "item":
        return told('Add "{key}".', key=Written(key))
    return _ITEM.get(work, told("Add the id of a weak point."))


class VisitSchema(RequestSchema):
    """Where and how the car was or will be looked at."""

    place = Text(metadata=docs("Where.", "seller's yard"))
    equipment = Choice(choices=EQUIPMENT, metadata=docs("The best equipment at hand.", "generic_scan_tool"))
    minutes = q.Quantity(q.WorkTimeSchema, "min", high=10_000, metadata=docs("Time for the visit."))
    consents = Many(
        Choice(choices=CONSENTS), limit=10, load_default=list, metadata=docs("Consents the seller gave.", ["ask"])
    )
    light = Text(metadata=docs("In what light; told in a report.", "daylight, overcast"))
    weather = Text(metadata=docs("In what weather; told in a report.", "dry, 6 degrees"))
    client = Text(metadata=docs("The client by a reference of your own; no name.", "client 2207"))
    commission = Text(metadata=docs("What was ordered, or its number; told in a report.", "engine only, order 311"))


class MeasuredSchema(RequestSchema):
    """What was measured: one value, one value per cylinder in order, or trouble codes."""

    value = Number(metadata=docs("One measured value, in `unit`.", 2.5))
    values = Many(Number(), limit=16, metadata=docs("One per cylinder, in `unit`.", [12.1, 12.0, 12.3, 12.2]))
    codes = Many(
        Pattern(
            pattern="[PCBU][0-3][0-9A-F]{3}", shape=told("a trouble code of one letter and four digits (ISO 15031-6)")
        ),
        limit=50,
        metadata=docs("Trouble codes read; an empty list says that there were none.", ["P0301"]),
    )
    unit = _word("Unit of `value` or `values`; converted on reading.", "bar")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def _one_thing(self, _loaded: dict[str, Any], original: Any, **_: Any) -> None:
        if not isinstance(original, dict):
            return
        given = [key for key in ("value", "values", "codes") if key in original]
        if len(given) != 1:
            mend = told('Give one of "value", "values", "codes".')
            raise ValidationError(Wrong(_count_message(told('"measured"'), given), mend))
        if given != ["codes"] and "unit" not in original:
            mend = told('Add "unit", for example "bar".')
            raise ValidationError({"unit": [Wrong(told("A measured value without its unit."), mend)]})
        if given == ["codes"] and "unit" in original:
            raise ValidationError({"unit": [Wrong(told("Trouble codes have no unit."), told("Remove it."))]})


def _count_message(subject: Sentence, given: list[str]) -> Sentence:
    if not given:
        return told("{subject} says nothing.", subject=subject)
    things = tuple(map(Written, given))
    return told("{subject} says more than one thing: {things}.", subject=subject, things=things)


class FindingSchema(RequestSchema):
    """A check with its result or measurement, or the reason why it was not done."""

    check = _word("Check, an id of GET /v1/checks.", "cold_start_sound", required=True)
    result = _word("Result, in the check's own words.", "quiet")
    measured = Group(MeasuredSchema, metadata=docs("The measurement, instead of a result."))
    not_checked = Choice(choices=NOT_CHECKED, metadata=docs("Why it was not done.", "refused"))
    conditions = Table(
        values=(bool,),
        limit=30,
        shape=told("true or false"),
        load_default=dict,
        metadata={
            **docs("Whether each condition held; what is not stated is taken to have held.", {"engine_cold": True}),
            "type": "object",
            "additionalProperties": {"type": "boolean"},
        },
    )
    observed_by = Choice(choices=OBSERVED_BY, load_default="self", metadata=docs("Who observed it.", "self"))
    note = Text(least=0, load_default="", metadata=docs("Anything else."))
    photos = Many(
        Pattern(pattern="[A-Za-z0-9_-]{1,64}", shape=told("the id of a photo: letters, digits, - and _")),
        limit=PHOTOS_LIMIT,
        load_default=list,
        metadata=docs("Ids of photos of it, of POST /v1/photos; no number depends on them."),
    )

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def _one_outcome(self, _loaded: dict[str, Any], original: Any, **_: Any) -> None:
        if not isinstance(original, dict):
            return
        given = [key for key in ("result", "measured", "not_checked") if key in original]
        if len(given) != 1:
            mend = told('Give one of "result", "measured" or "not_checked".')
            raise ValidationError(Wrong(_count_message(told("The finding"), given), mend))


class OwnershipSchema(RequestSchema):
    """The buyer's plans."""

    years = q.Quantity(q.YearsSchema, "years", low=0.25, high=15, metadata=docs("How long the car will be kept."))
    annual_distance = q.Quantity(
        q.DistanceSchema, "km", high=200_000, metadata=docs("Distance per year with the buyer.")
    )
    repair_budget = money_field("What unplanned engine repairs may cost over that time.", low=1)


class ContractSchema(RequestSchema):
    """A repair contract as offered: what it costs and what it pays. Nothing is assumed to be covered."""

    price = money_field("What the contract costs.", required=True)
    weak_points = Many(
        Text(limit=_WORD_LIMIT), limit=200, load_default=list, metadata=docs("Weak points covered.", ["coolant_pump"])
    )
    systems = Many(
        Text(limit=_WORD_LIMIT), limit=50, load_default=list, metadata=docs("Whole systems covered.", ["Cooling"])
    )
    excess = money_field("What the owner pays of every claim.")
    limit_per_claim = money_field("The most that is paid for one claim.")
    limit_total = money_field("The most that is paid for all claims together.")
    years = q.Quantity(q.YearsSchema, "years", low=0.05, high=15, metadata=docs("How long it runs."))
    distance = q.Quantity(
        q.DistanceSchema, "km", low=100, high=ODOMETER_LIMIT, metadata=docs("After what distance it ends.")
    )
    existing_faults = Flag(
        load_default=False, metadata=docs("Whether it pays for what is faulty already at the purchase.", False)
    )
    waiting_time = q.Quantity(
        q.YearsSchema, "years", high=15, metadata=docs("It pays for no failure before this time has passed.")
    )
    waiting_distance = q.Quantity(
        q.DistanceSchema,
        "km",
        high=ODOMETER_LIMIT,
        metadata=docs("It pays for no failure before this distance has been driven, nor before waiting_time."),
    )


class PartsPriceSchema(RequestSchema):
    """What the parts of one operation cost."""

    operation = _word("Operation, an id of the knowledge pack.", "renew_coolant_pump", required=True)
    price = money_field("Likely price of its parts for the parts class mid, without tax.", required=True)


class PriceFeedSchema(RequestSchema):
    """Where prices come from that were not stated; written by the service into the case that it keeps."""

    source = Text(required=True, limit=200, metadata=docs("What the price feed calls its source.", "Workshop survey"))
    as_of = Day(required=True, metadata=docs("Date of its prices.", "2026-03-01"))
    checked = Day(required=True, metadata=docs("When it answered last.", "2026-03-13"))
    used = Day(required=True, metadata=docs("When they were used.", "2026-03-14"))
    filled = Many(
        Choice(choices=FED), required=True, limit=len(FED), metadata=docs("Which prices it filled.", ["labour_rate"])
    )


class MarketSchema(RequestSchema):
    """Prices where the car will be kept; what is left out is the knowledge pack's default."""

    currency = Pattern(
        pattern=q.CURRENCY,
        shape=q.CURRENCY_SHAPE,
        metadata=docs("Currency of every amount of the case.", "EUR"),
    )
    labour_rate = q.Amount(q.HourlyRateSchema, low=1, high=MONEY_LIMIT, metadata=docs("Workshop rate without tax."))
    parts_index = q.Quantity(
        q.FactorSchema, "x", low=0.01, high=100_000, metadata=docs("Part prices against those of the pack.")
    )
    tax = q.Quantity(q.ShareSchema, "1", high=1, metadata=docs("Tax on labour and parts."))
    asking_price = money_field("What the seller asks.")
    sound_value = money_field("Market price of the same car as usually sold: average care, not inspected.")
    workshop_rate = q.Amount(
        q.HourlyRateSchema,
        low=1,
        high=MONEY_LIMIT,
        metadata=docs("What an hour of his own workshop costs a dealer, without tax; asks for work before the sale."),
    )
    contract = Group(ContractSchema, metadata=docs("A repair contract that is offered with the car."))
    parts_prices = Many(
        Group(PartsPriceSchema), limit=FED_LIMIT, metadata=docs("Prices of parts in place of the pack's, by operation.")
    )
    price_feed = Group(PriceFeedSchema, metadata=docs("Where prices come from that were not stated."))


class CaseSchema(RequestSchema):
    """One car, its history and what was found on it."""

    vehicle = Group(VehicleSchema, required=True, metadata=docs("The car."))
    as_of = Day(required=True, metadata=docs("Assessment date.", "2024-05-01"))
    seller = Choice(choices=SELLERS, metadata=docs("Who sells it.", "private"))
    usage = Group(UsageSchema, metadata=docs("Use before and after."))
    service_history = Many(
        Group(HistoryEntrySchema), limit=HISTORY_LIMIT, load_default=list, metadata=docs("What is known of the past.")
    )
    visit = Group(VisitSchema, metadata=docs("The visit."))
    findings = Many(Group(FindingSchema), limit=FINDINGS_LIMIT, load_default=list, metadata=docs("What was looked at."))
    ownership = Group(OwnershipSchema, metadata=docs("The buyer's plans."))
    market = Group(MarketSchema, metadata=docs("Prices."))
    identity = Group(IdentitySchema, metadata=docs("Plate, client, seller, inspector: kept apart, erased on request."))
    reference = Text(limit=200, metadata=docs("The caller's own reference.", "order-1042"))
