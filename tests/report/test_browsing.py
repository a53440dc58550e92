"""A revision of the shipped pack as plain text, and two of them side by side."""

from __future__ import annotations

from datetime import date

import pytest

from riskapi.domain.browse import SideBySide, View, view_at, view_traits, views_against
from riskapi.domain.knowledge import Pack, Traits
from riskapi.report.browsing import against_text, revision_text
from riskapi.report.format import percent

TODAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def view(shipped: Pack) -> View:
    family = shipped.family("lapwing")
    return view_at(shipped, family, family.revision("lapwing_1b"), 120_000.0, 8.0, TODAY)


@pytest.fixture(scope="module")
def pair(shipped: Pack) -> SideBySide:
    family = shipped.family("lapwing")
    revisions = family.revision("lapwing_1a"), family.revision("lapwing_2b")
    return views_against(shipped, family, revisions, 120_000.0, 8.0, TODAY)


def test_a_revision_lists_its_weak_points_with_chances_and_parts(shipped: Pack, view: View) -> None:
    text = revision_text(view, shipped)
    for point in view.weak_points:
        state = point.state
        chances = (
            f"{percent(state.sound)} / {percent(state.degraded)} / {percent(state.faulty)}; {percent(point.failure)}"
        )
        assert f"  {point.id}: {point.name} ({point.system}): {chances}\n" in text
        if point.fitted is not None and point.fitted.by_family:
            assert f"    fitted at the works: {point.fitted.name}\n" in text
    assert text.count("no look can see it coming") == sum(point.unseen for point in view.weak_points)


def test_repairs_are_told_with_their_special_tools(shipped: Pack, view: View) -> None:
    text = " ".join(revision_text(view, shipped).split())
    assert "Renew the chain tensioner (pin for the tensioner)" in text
    for point in view.weak_points:
        assert point.repairs, point.id
        assert f"repairs: {point.repairs[0].name}" in text


def test_what_does_not_apply_is_not_listed(shipped: Pack, view: View) -> None:
    others = [point.id for point in shipped.weak_points if point.applies.holds(view.traits) is False]
    assert others
    text = revision_text(view, shipped)
    assert not any(f"  {identifier}: " in text for identifier in others)


def test_it_says_when_and_what_changed(shipped: Pack, view: View) -> None:
    text = " ".join(revision_text(view, shipped).split())
    assert "At 120,000 km and 8 years on 31 January 2021, built 31 January 2013" in text
    assert "Changed from the revision before (lapwing_1a)" in text
    assert "tensioner_ratchet: ratchet of the first build -> hardened ratchet" in text
    assert "cold_start_sound: Listen to the cold start (2 minutes)" in text


def test_traits_alone_have_no_revision_before(shipped: Pack) -> None:
    text = revision_text(view_traits(shipped, Traits((("fuel", "diesel"),)), 120_000.0, 8.0, TODAY), shipped)
    assert text.startswith("An engine described by its traits\n")
    assert "of that age" not in text
    assert "Changed from" not in text


def test_side_by_side_tells_what_differs(shipped: Pack, pair: SideBySide) -> None:
    text = against_text(pair, shipped)
    for part in pair.changes.parts:
        assert f"  {part.weak_point}: {part.before} -> {part.after}" in text
    for identifier in (*pair.changes.gained, *pair.changes.lost):
        assert shipped.weak_point(identifier).name in text
    rows = text.split("faults of today included\n")[1].splitlines()
    apart, alike = rows[:-1], int(rows[-1].split()[0])
    assert len(apart) + alike == len(pair.rows)
    assert all(" -> " in row for row in apart)


def test_a_revision_against_itself_has_nothing_to_tell(shipped: Pack) -> None:
    family = shipped.family("lapwing")
    same = family.revision("lapwing_1a"), family.revision("lapwing_1a")
    text = against_text(views_against(shipped, family, same, 120_000.0, 8.0, TODAY), shipped)
    assert "nothing that the pack knows of" in text
    assert f"  {len(shipped.weak_points)} other" not in text
    assert "%" not in text
