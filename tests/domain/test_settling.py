"""Which look would settle the revision."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.identify import Candidate
from riskapi.domain.knowledge import Check, CheckResult, Traits
from riskapi.domain.readings import CountedFinding, Readings
from riskapi.domain.settling import feature_table, information, settling_checks
from tests.simulator import tiny

PACK = tiny.pack()
SECOND = PACK.family("tiny").revisions[1]
CANDIDATES = tuple(
    Candidate(replace(SECOND, id=name, name=name), weight, Traits())
    for name, weight in (("a", 0.5), ("b", 0.25), ("c", 0.25))
)
CHANCES = (0.5, 0.25, 0.25)
NOTHING_DONE = Readings((), (), ())


def feature(name: str, *owners: tuple[str, ...]) -> Check:
    results = tuple(CheckResult(f"r{k}", f"r{k}", ()) for k in range(len(owners)))
    plain = replace(PACK.checks[0], id=name, symptom=None, root="revision", from_case=None, part_of=None, measure=None)
    return replace(plain, results=results, features=owners, table=())


SPLITS_HALF = feature("splits_half", ("a",), ("b", "c"))
SPLITS_A_QUARTER = feature("splits_a_quarter", ("a", "b"), ("c",))
SETTLES = feature("settles", ("a",), ("b",), ("c",))
OF_OTHERS = feature("of_others", ("x",), ("y",))
ALIKE = feature("alike", ("a", "b", "c"), ("x",))
LOOKS = replace(PACK, checks=(OF_OTHERS, SPLITS_A_QUARTER, ALIKE, SPLITS_HALF, SETTLES, *PACK.checks))


@pytest.mark.parametrize(
    ("check", "bits"),
    [
        (SETTLES, 1.5),  # the entropy of 1/2, 1/4, 1/4
        (SPLITS_HALF, 1.0),
        (SPLITS_A_QUARTER, 2.0 - 0.75 * np.log2(3.0)),  # the entropy of 3/4, 1/4
        (OF_OTHERS, 0.0),
        (ALIKE, 0.0),
    ],
)
def test_the_doubt_that_a_look_takes_away(check: Check, bits: float) -> None:
    table = feature_table(check, CANDIDATES)
    assert table.sum(axis=0) == pytest.approx(np.ones(3))
    assert information(table, np.array(CHANCES)) == pytest.approx(bits, abs=1e-12)


def test_the_most_telling_look_comes_first_and_what_tells_nothing_is_left_out() -> None:
    found = settling_checks(LOOKS, CANDIDATES, CHANCES, NOTHING_DONE)
    assert found == ("settles", "splits_half", "splits_a_quarter")


def test_what_was_done_refused_or_void_is_not_named_again() -> None:
    seen = CountedFinding("settles", SETTLES, 0, (), "", "self", "")
    done = Readings((seen,), (("splits_half", "refused"),), (("splits_a_quarter", "dark"),))
    assert settling_checks(LOOKS, CANDIDATES, CHANCES, done) == ()


def test_a_settled_revision_needs_no_look() -> None:
    assert settling_checks(LOOKS, CANDIDATES, (1.0, 0.0, 0.0), NOTHING_DONE) == ()
    assert settling_checks(LOOKS, CANDIDATES[:1], (1.0,), NOTHING_DONE) == ()
