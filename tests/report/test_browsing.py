"""A revision of the shipped pack as plain text, and two of them side by side."""

from __future__ import annotations

import re
from datetime import date

import pytest

from riskapi.domain.browse import SideBySide, View, view_at, view_traits, views_against
from riskapi.domain.knowledge import Pack, Traits
from riskapi.report.browsing import against_text, revision_text
from riskapi.report.format import per_hundred
from riskapi.report.language import Units, speaking
from riskapi.report.screen import Screen, on_screen
from riskapi.report.translate import pack_in_words

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
    rows = [re.split(r"  +", line.strip()) for line in text.splitlines()]
    for point in view.weak_points:
        state = point.state
        chances = map(per_hundred, (state.sound, state.degraded, state.faulty, point.failure))
        assert [point.name, point.system, *chances] in rows
        assert f"  {point.name} ({point.id})\n" in text
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
    assert not any(f"({identifier})" in text for identifier in others)


def test_it_says_when_and_what_changed(shipped: Pack, view: View) -> None:
    text = " ".join(revision_text(view, shipped).split())
    assert "At 120,000 km and 8 years on 31 January 2021, built 31 January 2013" in text
    assert "Changed from the revision before (lapwing_1a)" in text
    assert "ratchet of the first build -> hardened ratchet" in text
    assert re.search(r"cold_start_sound\s+Listen to the cold start\s+2 ", text)


def test_traits_alone_have_no_revision_before(shipped: Pack) -> None:
    text = revision_text(view_traits(shipped, Traits((("fuel", "diesel"),)), 120_000.0, 8.0, TODAY), shipped)
    assert text.startswith("An engine described by its traits\n")
    assert "of that age" not in text
    assert "Changed from" not in text


def test_side_by_side_tells_what_differs(shipped: Pack, pair: SideBySide) -> None:
    text = against_text(pair, shipped)
    for part in pair.changes.parts:
        assert f"{part.name}: {part.before} -> {part.after}" in " ".join(text.split())
    for identifier in (*pair.changes.gained, *pair.changes.lost):
        assert shipped.weak_point(identifier).name in text
    head, *apart, rest = text.split("faults of today included\n")[1].splitlines()
    assert re.split(r"  +", head.strip()) == ["Weak point", "lapwing_1a [%]", "lapwing_2b [%]"]
    assert len(apart) + int(rest.split()[-1]) == len(pair.rows)
    assert len({len(row) for row in (head, *apart)}) == 1


def test_a_revision_against_itself_has_nothing_to_tell(shipped: Pack) -> None:
    family = shipped.family("lapwing")
    same = family.revision("lapwing_1a"), family.revision("lapwing_1a")
    text = against_text(views_against(shipped, family, same, 120_000.0, 8.0, TODAY), shipped)
    assert "nothing that the pack knows of" in text
    assert "[%]" not in text


# ---- language and screen ---------------------------------------------------------------------------------


def test_german_has_no_english_and_no_kilometres_where_miles_are_asked_for(shipped: Pack) -> None:
    german = pack_in_words_of("de", shipped)
    family = german.family("lapwing")
    sides = family.revision("lapwing_1a"), family.revision("lapwing_2b")
    with speaking("de", Units(distance="mi")):
        text = revision_text(view_at(german, family, sides[1], 160_934.4, 8.0, TODAY), german)
        text += against_text(views_against(german, family, sides, 160_934.4, 8.0, TODAY), german)
    assert "100.000 mi" in text  # 160,934.4 km / 1.609344
    words = re.compile(r"\b(?:the|and|with|not|are|worn|years?|weak|built|at|from|repairs|shown|looked|of)\b")
    assert words.findall(text) == []


def pack_in_words_of(language: str, pack: Pack) -> Pack:
    with speaking(language):
        return pack_in_words(pack)


@pytest.mark.parametrize("width", [72, 100, 160])
def test_it_fits_the_screen(shipped: Pack, view: View, pair: SideBySide, width: int) -> None:
    with on_screen(Screen(width)):
        text = revision_text(view, shipped) + against_text(pair, shipped)
    assert max(map(len, text.splitlines())) <= width
