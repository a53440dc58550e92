"""The records of the pack that answer questions: traits, conditions, look-ups by id."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import FrozenInstanceError, replace

import pytest

from riskapi.domain.knowledge import Pack, SpecialTool, Traits, When
from riskapi.errors import NotFound
from tests.simulator import tiny

PACK = tiny.pack()
TURBO_CHAIN = When((("induction", ("turbocharged",)), ("cam_drive", ("chain", "gears"))))


@pytest.mark.parametrize(
    ("items", "holds"),
    [
        ((("induction", "turbocharged"), ("cam_drive", "gears")), True),
        ((("induction", "natural"), ("cam_drive", "chain")), False),
        ((("induction", "natural"),), False),
        ((("induction", "turbocharged"),), None),
        ((), None),
    ],
)
def test_a_trait_that_is_not_stated_is_unknown_not_no(items: tuple[tuple[str, str], ...], holds: bool | None) -> None:
    assert TURBO_CHAIN.holds(Traits(items)) is holds


def test_no_condition_always_holds() -> None:
    assert When().holds(Traits()) is True


def test_merging_lays_the_other_traits_over_these() -> None:
    merged = Traits((("fuel", "petrol"), ("vvt", "none"))).merged(Traits((("vvt", "intake"),)))
    assert (merged.get("fuel"), merged.get("vvt"), merged.get("cylinders")) == ("petrol", "intake", None)


@pytest.mark.parametrize(
    ("find", "known"),
    [
        (PACK.weak_point, "chain"),
        (PACK.symptom, "rattle"),
        (PACK.check, "listen"),
        (PACK.operation, "coil"),
        (PACK.access_step, "undertray"),
        (PACK.family, "tiny"),
        (PACK.source, "test"),
        (replace(PACK, special_tools=(SpecialTool("lock", "lock", "Holds", "test"),)).special_tool, "lock"),
        (PACK.weak_point("chain").part, "mended"),
        (PACK.family("tiny").revision, "second"),
    ],
)
def test_things_are_found_by_id_or_refused_by_name(find: Callable[[str], object], known: str) -> None:
    assert getattr(find(known), "id", None) == known
    with pytest.raises(NotFound, match="no_such_thing"):
        find("no_such_thing")


def test_results_are_found_by_id() -> None:
    assert PACK.check("listen").result_index("r2") == 2
    with pytest.raises(NotFound):
        PACK.check("listen").result_index("r9")


def test_a_fit_is_found_by_weak_point_and_revision() -> None:
    family = PACK.family("tiny")
    fit = family.fit("chain", "second")
    assert fit is not None
    assert fit.works == "mended"
    assert family.fit("coil", "second") is None


def test_engines_that_cap_repairs_are_those_that_replace_the_whole() -> None:
    assert [operation.id for operation in PACK.another_engines()] == ["used_engine"]


def test_a_pack_keys_caches() -> None:
    assert {PACK: 1}[PACK] == 1
    assert isinstance(PACK, Pack)
    with pytest.raises(FrozenInstanceError):
        PACK.version = "another"  # type: ignore[misc]
