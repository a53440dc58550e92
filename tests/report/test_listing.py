"""The engines of the shipped pack as plain text."""

from __future__ import annotations

from riskapi.domain.knowledge import Pack
from riskapi.report.listing import families_text, family_text, revision_text


def test_every_family_has_a_line(shipped: Pack) -> None:
    lines = families_text(shipped).splitlines()
    assert [line.split(":")[0] for line in lines] == [family.id for family in shipped.families]


def test_a_family_lists_every_revision_with_its_build_dates(shipped: Pack) -> None:
    family = shipped.family("lapwing")
    text = family_text(family, shipped)
    for revision in family.revisions:
        assert f"{revision.id}: built from {revision.since:%Y-%m} to {revision.until:%Y-%m}" in text


def test_a_revision_lists_its_weak_points_and_the_parts_of_the_works(shipped: Pack) -> None:
    family = shipped.family("lapwing")
    revision = family.revisions[0]
    text = revision_text(family, revision, shipped)
    fitting = [point for point in shipped.weak_points if point.applies.holds(revision.traits) is not False]
    assert text.split("Weak points\n")[1].count("\n") == len(fitting)
    for point in fitting:
        fit = family.fit(point.id, revision.id)
        assert f"  {point.id}: {point.name}" in text
        assert fit is None or f"fitted at the works: {point.part(fit.works).name}" in text


def test_what_does_not_apply_is_not_listed(shipped: Pack) -> None:
    family = shipped.family("lapwing")
    revision = family.revisions[0]
    others = [point.id for point in shipped.weak_points if point.applies.holds(revision.traits) is False]
    assert others
    text = revision_text(family, revision, shipped)
    assert not any(f"  {identifier}: " in text for identifier in others)
