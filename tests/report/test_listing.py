"""The engines of the shipped pack as plain text."""

from __future__ import annotations

from riskapi.domain.knowledge import Pack
from riskapi.report.listing import families_text, family_text


def test_every_family_has_a_line(shipped: Pack) -> None:
    lines = families_text(shipped).splitlines()
    assert [line.split(":")[0] for line in lines] == [family.id for family in shipped.families]


def test_a_family_lists_every_revision_with_its_build_dates(shipped: Pack) -> None:
    family = shipped.family("lapwing")
    text = family_text(family, shipped)
    for revision in family.revisions:
        assert f"{revision.id}: built from {revision.since:%Y-%m} to {revision.until:%Y-%m}" in text
