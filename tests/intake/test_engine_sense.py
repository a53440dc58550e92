from __future__ import annotations

from typing import Any

import pytest

from tests.intake.cases import changed, faults, only_fault, read

GENERIC = {"fuel": "petrol", "cylinders": 4}


@pytest.mark.parametrize(
    ("engine", "place", "message", "mend"),
    [
        ({"family": "lapwin"}, "/family", 'engine family "lapwin" is not in', 'Did you mean "lapwing"?'),
        ({"family": "zzzz"}, "/family", "is not in the knowledge pack", "can be described by its traits"),
        ({"family": "lapwing", "revision": "lapwing_1c"}, "/revision", "has no revision", "Did you mean"),
        ({"family": "lapwing", "code": "LWX"}, "/code", 'has the code "LWX"', "Did you mean"),
        ({"family": "lapwing", "revision": "lapwing_1a", "code": "LWB"}, "/code", "does not have the code", '"LWA"'),
        ({"family": "lapwing", "traits": {"fuel": "diesel"}}, "/traits/fuel", "No Lapwing engine", '"petrol"'),
        ({"code": "LWA"}, "/code", "without its engine family", 'Add "family": "lapwing".'),
        ({"revision": "lapwing_1a"}, "/revision", "without its engine family", 'Add "family": "lapwing".'),
        ({"code": "QQQ"}, "/code", "without its engine family", "is described by"),
        ({}, "", "neither by its family nor", 'Add "family"'),
        ({"traits": {"fuel": "petrol"}}, "", "neither by its family nor", '"cylinders"'),
        ({"traits": {**GENERIC, "cam_drive": "rope"}}, "/traits/cam_drive", "cannot be", '"belt" or "chain"'),
        ({"traits": {**GENERIC, "cam_driv": "belt"}}, "/traits/cam_driv", "is not known", 'mean "cam_drive"?'),
        ({"traits": {"fuel": "petrol", "cylinders": 40}}, "/traits/cylinders", "outside 2 to 12", "Check"),
        ({"traits": {"fuel": "petrol", "cylinders": 4.5}}, "/traits/cylinders", "not a whole number", "Count"),
        ({"traits": {"fuel": "petrol", "cylinders": "four"}}, "/traits/cylinders", "is a number", "2 to 12"),
        ({"traits": {"fuel": 1, "cylinders": 4}}, "/traits/fuel", "fuel cannot be 1", '"diesel" or "petrol"'),
    ],
)
def test_engines_that_make_no_sense(engine: dict[str, Any], place: str, message: str, mend: str) -> None:
    fault = only_fault(changed("vehicle.engine", engine))
    assert fault.place == "/vehicle/engine" + place
    assert message in fault.message
    assert mend in fault.mend


def test_an_engine_of_two_traits_is_enough_and_stays_as_stated() -> None:
    engine = read(changed("vehicle.engine", {"traits": {"fuel": "petrol", "cylinders": 3}})).vehicle.engine
    assert engine.family is None
    assert engine.traits.items == (("cylinders", 3), ("fuel", "petrol"))


def test_a_trait_said_to_be_unknown_is_kept_apart() -> None:
    traits = {"fuel": "petrol", "cylinders": 3, "cam_drive": "unknown"}
    engine = read(changed("vehicle.engine", {"traits": traits})).vehicle.engine
    assert engine.traits.items == (("cylinders", 3), ("fuel", "petrol"))
    assert engine.unknown == ("cam_drive",)


def test_a_family_knows_what_the_user_does_not() -> None:
    engine = read(changed("vehicle.engine", {"family": "lapwing", "traits": {"fuel": "unknown"}})).vehicle.engine
    assert (engine.traits.items, engine.unknown) == ((), ("fuel",))


@pytest.mark.parametrize("name", ["fuel", "cylinders"])
def test_without_a_family_the_least_has_to_be_known(name: str) -> None:
    fault = only_fault(changed("vehicle.engine", {"traits": {**GENERIC, name: "unknown"}}))
    assert fault.place == f"/vehicle/engine/traits/{name}"
    assert "has to be known" in fault.message


def test_a_malformed_family_is_not_called_missing_too() -> None:
    assert [fault.place for fault in faults(changed("vehicle.engine", {"family": 7}))] == ["/vehicle/engine/family"]
