"""What is personal in a case, on its way apart and back: VIN, plate, names and addresses."""

from __future__ import annotations

import json
import secrets
from dataclasses import dataclass
from typing import Any

from riskapi.desk.desk import Desk
from riskapi.domain.identity import NOBODY, Identity
from riskapi.intake import canonical
from riskapi.intake.identity import SALT_BYTES, commitment, committed, identity_in, set_apart
from riskapi.storage import Personal, StoredAssessment


@dataclass(frozen=True, slots=True)
class Parted:
    """A case as it is kept, what of it is kept apart, and the digest that commits to that; None where nothing is."""

    content: bytes
    personal: Personal | None = None
    commitment: str | None = None


def part(desk: Desk, case: dict[str, Any]) -> Parted:
    """Set apart what is personal in a case as it was sent."""
    kept, apart = set_apart(case)
    known = identity_in(apart)
    return _parted(kept, canonical(apart) if apart else None, marks=desk.repository.marks(known.any_vin, known.plate))


def part_again(desk: Desk, kept: dict[str, Any], before: StoredAssessment) -> Parted:
    """The same for a case that follows on `before`: what is kept apart there is taken over, unless it was erased."""
    known = desk.repository.identity(before.id)
    return _parted(kept, None if known is None else known.content, inherited=True)


def _parted(kept: dict[str, Any], apart: bytes | None, **more: Any) -> Parted:
    if apart is None:
        return Parted(committed(kept, None))
    salt = secrets.token_bytes(SALT_BYTES)
    digest = commitment(salt, apart)
    return Parted(committed(kept, digest), Personal(salt, apart, **more), digest)


def commitment_in(stored: StoredAssessment) -> str | None:
    """The commitment that a kept case carries."""
    found: str | None = json.loads(stored.case_json).get("identity", {}).get("commitment")
    return found


def identity_of(desk: Desk, stored: StoredAssessment) -> Identity:
    """Who and which car, as far as it is still kept."""
    known = desk.repository.identity(stored.id)
    if known is None:
        return NOBODY
    digest = commitment_in(stored)
    if known.content is None:
        return Identity(commitment=digest, erased=True)
    return identity_in(json.loads(known.content), digest)
