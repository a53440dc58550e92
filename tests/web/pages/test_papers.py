"""What a line of the papers can be about."""

from __future__ import annotations

from riskapi.catalogue.load import load_pack
from riskapi.domain.knowledge import Traits
from riskapi.intake.schemas import WORK
from riskapi.web.pages.papers import FIRST_WORKS, MORE_WORKS, systems_of

PACK = load_pack(None)


def test_every_kind_of_work_has_a_button() -> None:
    """But for what moves no number."""
    assert sorted((*FIRST_WORKS, *MORE_WORKS, "other")) == sorted(WORK)


def test_a_family_offers_the_weak_points_that_one_of_its_revisions_can_have() -> None:
    family = PACK.family("lapwing")
    systems = systems_of(PACK, [revision.traits for revision in family.revisions], family)
    named = {item.id: item for system in systems for item in system.items}
    assert "chain_tensioner" in named
    assert [system.name for system in systems] == sorted({system.name for system in systems})
    absent = [wp.id for wp in PACK.weak_points if wp.id not in named]
    assert absent
    for revision in family.revisions:
        assert all(PACK.weak_point(name).applies.holds(revision.traits) is False for name in absent)


def test_part_revisions_are_offered_where_there_is_a_choice() -> None:
    family = PACK.family("lapwing")
    systems = systems_of(PACK, [revision.traits for revision in family.revisions], family)
    for item in (item for system in systems for item in system.items):
        assert len(item.parts) != 1
        known = {part.id for part in PACK.weak_point(item.id).parts}
        assert {part for part, _ in item.parts} <= known
    by_traits = systems_of(PACK, [Traits((("fuel", "petrol"), ("cylinders", 4)))], None)
    assert all(item.parts == () for system in by_traits for item in system.items)
