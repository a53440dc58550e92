"""The engines of the shipped pack as plain text."""

from __future__ import annotations

import re
from dataclasses import replace

from riskapi.domain.knowledge import Pack
from riskapi.report.language import Units, speaking
from riskapi.report.listing import families_text, family_text
from riskapi.report.translate import pack_in_words


def test_every_family_has_a_line(shipped: Pack) -> None:
    head, *lines = families_text(shipped).splitlines()
    assert head.split() == ["Family", "Name", "Generations", "Revisions"]
    assert [line.split()[0] for line in lines] == [family.id for family in shipped.families]
    assert [int(line.split()[-1]) for line in lines] == [len(family.revisions) for family in shipped.families]


def test_a_family_lists_every_revision_with_its_build_dates(shipped: Pack) -> None:
    family = shipped.family("lapwing")
    text = family_text(family, shipped)
    for revision in family.revisions:
        assert f"  {revision.id}  {revision.since:%Y-%m} to {revision.until:%Y-%m}  " in text


def test_a_family_lists_its_services_with_both_intervals_and_special_tools(shipped: Pack) -> None:
    text = family_text(shipped.family("whinchat"), shipped)
    rows = {cells[0]: cells[1:] for cells in (re.split(r"  +", line.strip()) for line in text.splitlines())}
    assert rows["Service"] == ["Every", "Careful practice", "Special tools"]
    assert rows["Oil service"][:2] == ["15,000 km or 1 year", "10,000 km or 1 year"]
    assert rows["Oil service"][2]
    assert rows["Gauge of the belt in oil"][:2] == ["60,000 km or 4 years", "40,000 km or 4 years"]
    assert rows["Air filter"] == ["45,000 km or 4 years"]  # as the maker says, with ordinary tools
    bare = replace(shipped.family("whinchat"), services=())
    assert "Service" not in family_text(bare, shipped)


def test_in_german_and_in_miles(shipped: Pack) -> None:
    """NIST SP 811 (2008), B.8: a mile is 1609.344 m, so 15,000 km are 9,321 miles."""
    with speaking("de", Units(distance="mi")):
        german = pack_in_words(shipped)
        text = family_text(german.family("whinchat"), german)
        assert families_text(german).startswith("Familie ")
    assert "9.321 mi oder 1 Jahr" in text
    assert not re.search(r"\b(?:to|or|every|years?|weak points)\b", text)
