"""Reading a case as it is kept: without VIN, plate, names and addresses, but with what the VIN tells of the engine."""

from __future__ import annotations

import json
from typing import Any

from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.domain.vin import PLACES
from riskapi.intake.base import RequestSchema
from riskapi.intake.fields import Choice, Flag, Group, Many, Text, Whole
from riskapi.intake.reading import case_in
from riskapi.intake.schemas import CaseSchema, VehicleSchema


class KeptVinSchema(RequestSchema):
    """What one VIN tells (riskapi.domain.vin.VinClues)."""

    place = Choice(choices=PLACES, required=True)
    number = Whole(required=True)
    check_digit_fits = Flag(required=True)
    years = Many(Whole(), limit=2, required=True)
    lettered = Flag(required=True)


class KeptVehicleSchema(VehicleSchema):
    """A car as it is kept."""

    vin_clues = Many(Group(KeptVinSchema), limit=len(PLACES))


class KeptIdentitySchema(RequestSchema):
    """What stands in the place of an identity: the digest that commits to it."""

    commitment = Text(required=True)


class KeptCaseSchema(CaseSchema):
    """A case as it is kept."""

    vehicle = Group(KeptVehicleSchema, required=True)
    identity = Group(KeptIdentitySchema)


def read_kept(kept: bytes | dict[str, Any], pack: Pack) -> Case:
    """The Case in a kept document. Raises CaseError with every fault."""
    value = json.loads(kept) if isinstance(kept, bytes) else kept
    return case_in(KeptCaseSchema(), value, [], pack)
