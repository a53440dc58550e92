"""Browsing: the same figures as an assessment of a car nobody looked at, and what differs between revisions."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from riskapi import service
from riskapi.domain.browse import (
    View,
    bare_case,
    changes_between,
    day_of_age,
    revision_before,
    side_by_side,
    usual_age,
    view_at,
    view_revision,
    view_traits,
    views_against,
)
from riskapi.domain.case import Engine, Ownership
from riskapi.domain.knowledge import Pack, Revision, Traits

TODAY = date(2026, 11, 25)
TERM = Ownership(2.0, 15_000.0, None)  # the shipped pack's fixed term: 30,000 km in 2 years


@pytest.fixture(scope="module")
def early(shipped: Pack) -> View:
    family = shipped.family("lapwing")
    return view_revision(shipped, family, family.revision("lapwing_1a"), 120_000.0, 8.0, date(2018, 3, 1))


def test_the_figures_are_those_of_an_assessment_in_which_nothing_was_looked_at(shipped: Pack, early: View) -> None:
    engine = Engine("lapwing", "lapwing_1a", None, Traits())
    case = replace(bare_case(engine, 120_000.0, early.built, early.as_of), ownership=TERM)
    assessed = {point.id: point for point in service.assess(case, shipped).weak_points}
    assert {point.id for point in early.weak_points} == set(assessed)
    for point in early.weak_points:
        state, told = point.state, assessed[point.id].state
        assert (state.sound, state.degraded, state.faulty) == pytest.approx(
            (told.sound, told.degraded, told.faulty), abs=1e-9
        )
        assert point.failure == pytest.approx(assessed[point.id].failure_probability, abs=1e-9)


def test_chances_are_chances(early: View) -> None:
    for point in early.weak_points:
        state = point.state
        assert state.sound + state.degraded + state.faulty == pytest.approx(1.0, abs=1e-9)
        assert state.faulty <= point.failure + 1e-12
    failures = [point.failure for point in early.weak_points]
    assert failures == sorted(failures, reverse=True)


def test_a_further_driven_and_older_car_is_worse(shipped: Pack, early: View) -> None:
    family = shipped.family("lapwing")
    young = view_revision(shipped, family, family.revision("lapwing_1a"), 30_000.0, 2.0, date(2012, 3, 1))
    sound = {point.id: point.state.sound for point in early.weak_points}
    worse = [point.id for point in young.weak_points if sound[point.id] > point.state.sound + 1e-6]
    # a part with a service interval, or one that is mostly renewed in between, may be younger on an older car
    assert len(worse) < 0.15 * len(sound)
    assert np.mean([point.state.sound for point in young.weak_points]) > np.mean(list(sound.values()))


def test_looks_show_strongly_and_come_best_first(early: View) -> None:
    tensioner = next(point for point in early.weak_points if point.id == "chain_tensioner")
    assert tensioner.showings[0].check == "cold_start_sound"
    for point in early.weak_points:
        powers = [showing.power for showing in point.showings]
        assert powers == sorted(powers, reverse=True)
        assert all(0.0 <= s.if_sound < s.if_not_sound <= 1.0 for s in point.showings)
    worth = [look.worth for look in early.looks]
    assert worth == sorted(worth, reverse=True)
    assert {name for look in early.looks for name in look.shows} == {p.id for p in early.weak_points if p.showings}


def test_what_no_look_can_see_is_what_gives_no_warning(shipped: Pack, early: View) -> None:
    unseen = {point.id for point in early.weak_points if point.unseen}
    assert unseen == {p.id for p in early.weak_points if shipped.weak_point(p.id).warning == "none"}
    assert unseen


def test_the_part_of_the_works_and_what_is_on_sale(shipped: Pack, early: View) -> None:
    family = shipped.family("lapwing")
    for point in early.weak_points:
        fit = family.fit(point.id, "lapwing_1a")
        if fit is None:
            assert point.fitted is None or not point.fitted.by_family
            continue
        assert point.fitted is not None
        assert (point.fitted.part, point.fitted.by_family) == (fit.works, True)
        assert [(item.part, item.since) for item in point.fitted.on_sale] == [(s.part, s.since) for s in fit.supplies]


def test_changes_from_the_revision_before(shipped: Pack, early: View) -> None:
    assert early.changes is None
    family = shipped.family("lapwing")
    later = view_at(shipped, family, family.revision("lapwing_1b"), 120_000.0, 8.0, TODAY)
    assert later.changes is not None
    assert (later.changes.before, later.changes.after) == ("lapwing_1a", "lapwing_1b")
    assert "tensioner_ratchet" in {change.weak_point for change in later.changes.parts}


@pytest.mark.parametrize("name", ["dunlin", "fieldfare", "lapwing", "whinchat"])
def test_changes_there_and_back_are_each_other(shipped: Pack, name: str) -> None:
    family = shipped.family(name)
    first, last = family.revisions[0], family.revisions[-1]
    there, back = (changes_between(shipped, family, *pair) for pair in ((first, last), (last, first)))
    assert (there.gained, there.lost) == (back.lost, back.gained)
    assert {(c.weak_point, c.before, c.after) for c in there.parts} == {
        (c.weak_point, c.after, c.before) for c in back.parts
    }
    assert {(c.trait, c.before, c.after) for c in there.traits} == {(c.trait, c.after, c.before) for c in back.traits}
    same = changes_between(shipped, family, first, first)
    assert (same.parts, same.traits, same.gained, same.lost) == ((), (), (), ())


def test_the_revision_before_is_the_last_that_began_earlier(shipped: Pack) -> None:
    family = shipped.family("lapwing")
    names = [revision_before(family, revision) for revision in family.revisions]
    assert [item.id if item else None for item in names] == [None, *(r.id for r in family.revisions[:-1])]


def test_side_by_side_at_the_same_odometer_and_age(shipped: Pack) -> None:
    family = shipped.family("lapwing")
    pair = views_against(
        shipped, family, (family.revision("lapwing_1a"), family.revision("lapwing_2b")), 120_000.0, None, TODAY
    )
    assert (pair.first.odometer_km, pair.first.age_years) == (pair.second.odometer_km, pair.second.age_years)
    rows = {row.id: row for row in pair.rows}
    assert set(rows) == {p.id for view in (pair.first, pair.second) for p in view.weak_points}
    for identifier in pair.changes.gained:
        assert rows[identifier].first is None
    for identifier in pair.changes.lost:
        assert rows[identifier].second is None
    tensioner = rows["chain_tensioner"]
    assert tensioner.first is not None
    assert tensioner.second is not None
    assert tensioner.first.failure > tensioner.second.failure


def test_traits_alone(shipped: Pack, early: View) -> None:
    view = view_traits(shipped, Traits((("cam_drive", "belt"), ("fuel", "petrol"))), 120_000.0, 8.0, TODAY)
    assert (view.family, view.revision, view.changes) == (None, None, None)
    points = {point.id: point for point in view.weak_points}
    assert "chain_tensioner" not in points
    assert points["cam_belt"].present == 1.0
    assert any(0.0 < point.present < 1.0 for point in view.weak_points)
    with pytest.raises(ValueError, match="revisions"):
        side_by_side(shipped, view, early)


# ---- when ------------------------------------------------------------------------------------------------


def revision(since: date, until: date | None) -> Revision:
    return Revision("x_1a", "X", "gen", since, until, (), Traits(), "", "judgement")


@pytest.mark.parametrize(
    ("until", "age", "told"),
    [
        (date(2012, 1, 1), 15.0, TODAY),  # built in November 2011
        (date(2012, 1, 1), 8.0, date(2020, 1, 1)),  # the last ones were so old then
        (date(2012, 1, 1), 20.0, date(2030, 1, 1)),  # none is so old yet
        (None, 8.0, TODAY),
        (None, 20.0, date(2030, 1, 1)),
    ],
)
def test_the_day_nearest_to_today_on_which_it_can_be_so_old(until: date | None, age: float, told: date) -> None:
    assert day_of_age(revision(date(2010, 1, 1), until), age, TODAY) == told


def test_the_usual_age_is_that_of_the_middle_of_the_span_today() -> None:
    assert usual_age(revision(date(2010, 1, 1), date(2012, 1, 1)), TODAY) == pytest.approx(15.9, abs=0.01)
    assert usual_age(revision(date(2024, 11, 25), None), TODAY) == pytest.approx(1.0, abs=0.01)
    assert usual_age(revision(date(2027, 1, 1), None), TODAY) == 0.5
