"""Setting personal data apart from a case before it is kept.

VIN, plate, names and addresses go into a document of their own; the case keeps what the VIN tells of the engine, and a
commitment: SHA-256 over a random salt and the canonical JSON of that document. Whoever is shown salt and document can
check it; without the salt nobody can try numbers until one fits.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from riskapi.domain.identity import Identity, Person
from riskapi.domain.vin import PAPERS, clues_of
from riskapi.intake.strict_json import canonical, read_document

Json = dict[str, Any]
SALT_BYTES = 32
_OF_VEHICLE = ("vin", "vin_seen")


def set_apart(case: Json) -> tuple[Json, Json]:
    """(the case as it is kept, what is kept apart) of a case without faults; the second is empty where there is nothing
    personal in it."""
    vehicle: Json = case["vehicle"]
    apart = {
        "vehicle": {name: vehicle[name] for name in _OF_VEHICLE if name in vehicle},
        "identity": case.get("identity", {}),
    }
    kept_vehicle = {name: value for name, value in vehicle.items() if name not in _OF_VEHICLE}
    if clues := clues_of(_read(apart["vehicle"])):
        kept_vehicle["vin_clues"] = [asdict(each) for each in clues]
    kept = {name: value for name, value in case.items() if name != "identity"} | {"vehicle": kept_vehicle}
    return kept, {name: value for name, value in apart.items() if value}


def _read(vehicle: Mapping[str, Any]) -> dict[str, str]:
    papers = {PAPERS: vehicle["vin"]} if "vin" in vehicle else {}
    return {**papers, **vehicle.get("vin_seen", {})}


def commitment(salt: bytes, apart: bytes) -> str:
    """The digest that commits to what is kept apart, in hexadecimal digits."""
    return hashlib.sha256(salt + apart).hexdigest()


def committed(kept: Json, digest: str | None) -> bytes:
    """The kept case with the commitment where the identity stood, in canonical form."""
    without = {name: value for name, value in kept.items() if name != "identity"}
    return canonical(without if digest is None else {**without, "identity": {"commitment": digest}})


def identity_in(apart: Json, digest: str | None = None) -> Identity:
    """What was kept apart, as a record."""
    vehicle, told = apart.get("vehicle", {}), apart.get("identity", {})
    seen = vehicle.get("vin_seen", {})
    return Identity(
        vin=vehicle.get("vin"),
        vin_body=seen.get("body"),
        vin_control_unit=seen.get("control_unit"),
        plate=told.get("plate"),
        client=_person(told.get("client")),
        seller=_person(told.get("seller")),
        inspector=_person(told.get("inspector")),
        commitment=digest,
    )


def _person(told: Json | None) -> Person | None:
    return None if told is None else Person(told.get("name"), told.get("address"))


def read_identity(data: bytes | str) -> Identity:
    """The personal data in the JSON text of a case without faults."""
    return identity_in(set_apart(read_document(data).value)[1])
