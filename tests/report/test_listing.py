"""The engines of the shipped pack as plain text."""

from __future__ import annotations

from dataclasses import replace

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


def test_a_family_lists_its_services_with_both_intervals_and_special_tools(shipped: Pack) -> None:
    text = " ".join(family_text(shipped.family("whinchat"), shipped).split())
    assert "Oil service: every 15,000 km or 1 year; careful practice 10,000 km or 1 year (special tools: " in text
    assert "Gauge of the belt in oil: every 60,000 km or 4 years; careful practice 40,000 km or 4 years" in text
    assert "Air filter: every 45,000 km or 4 years Coolant" in text  # as the maker says, with ordinary tools
    bare = replace(shipped.family("whinchat"), services=())
    assert "Service" not in family_text(bare, shipped)
