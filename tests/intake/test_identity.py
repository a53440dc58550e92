"""What is personal, set apart: nothing of it stays in the kept case, and the case computes the same."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from riskapi.domain.identity import Person
from riskapi.domain.knowledge import Pack
from riskapi.domain.vin import ALPHABET, LENGTH
from riskapi.intake import canonical, case_from_json
from riskapi.intake.identity import commitment, committed, identity_in, set_apart
from riskapi.intake.kept import read_kept
from tests.conftest import ROOT

CASE: dict[str, Any] = json.loads((ROOT / "sample_requests" / "noisy_early.json").read_bytes())
VINS = st.text(sorted(ALPHABET), min_size=LENGTH, max_size=LENGTH)
NAMES = st.text(st.characters(min_codepoint=32, exclude_categories=("Cs", "Cc")), min_size=1, max_size=20)
PEOPLE = st.fixed_dictionaries({}, optional={"name": NAMES, "address": NAMES})
IDENTITIES = st.fixed_dictionaries(
    {}, optional={"plate": NAMES, "client": PEOPLE, "seller": PEOPLE, "inspector": PEOPLE}
)
SEEN = st.fixed_dictionaries({}, optional={"body": VINS, "control_unit": VINS})
VEHICLES = st.fixed_dictionaries(
    {}, optional={"vin": VINS, "vin_seen": SEEN, "vin_market": st.sampled_from(["us", "other"])}
)


def with_identity(vehicle: dict[str, Any], identity: dict[str, Any] | None) -> dict[str, Any]:
    case = {**CASE, "vehicle": {**CASE["vehicle"], **vehicle}}
    return case if identity is None else {**case, "identity": identity}


@given(VEHICLES, st.none() | IDENTITIES)
def test_the_case_that_is_kept_is_the_case_that_was_sent(
    shipped: Pack, vehicle: dict[str, Any], identity: dict[str, Any] | None
) -> None:
    sent = with_identity(vehicle, identity)
    kept, apart = set_apart(sent)
    assert read_kept(committed(kept, "c" if apart else None), shipped) == case_from_json(sent, shipped)


@given(VEHICLES, IDENTITIES)
def test_nothing_of_it_stays(vehicle: dict[str, Any], identity: dict[str, Any]) -> None:
    sent = with_identity(vehicle, identity)
    kept, apart = set_apart(sent)
    text = committed(kept, "c").decode()
    numbers = [vehicle.get("vin"), *vehicle.get("vin_seen", {}).values()]
    assert not any(number in text for number in numbers if number)
    assert set(kept) & {"identity"} == set()
    assert {"vin", "vin_seen"} & set(kept["vehicle"]) == set()
    told = identity_in(apart)
    assert (told.vin, told.plate) == (vehicle.get("vin"), identity.get("plate"))
    assert told.client == (Person(**identity["client"]) if "client" in identity else None) or not apart.get("identity")


@given(st.binary(min_size=32, max_size=32), VEHICLES, IDENTITIES)
def test_the_commitment_opens_for_its_content_and_salt_alone(
    salt: bytes, vehicle: dict[str, Any], identity: dict[str, Any]
) -> None:
    content = canonical(set_apart(with_identity(vehicle, identity))[1])
    digest = commitment(salt, content)
    assert digest == hashlib.sha256(salt + content).hexdigest()
    assert commitment(salt, content + b" ") != digest
    assert commitment(bytes([salt[0] ^ 1]) + salt[1:], content) != digest


def test_a_case_without_anything_personal_has_nothing_apart() -> None:
    assert set_apart(CASE) == (CASE, {})
