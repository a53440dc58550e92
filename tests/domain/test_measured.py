"""Against what a measured value was held, and which cylinders stood out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskapi.domain.case import Finding
from riskapi.domain.knowledge import Measure, Pack
from riskapi.domain.measured import cylinders_of, threshold_of
from riskapi.domain.readings import CountedFinding, level_of, read_findings, reduce_values
from tests.simulator import tiny, tiny_cases


def counted(measure: Measure, *values: float) -> CountedFinding:
    """A finding of the small pack's three-result check, as measured."""
    check = replace(tiny.pack().check("listen"), measure=measure)
    result = level_of(measure, reduce_values(measure, values))
    return CountedFinding(check.id, check, result, check.table, "", "self", "", values)


def seconds(*, descending: bool = False) -> Measure:
    return Measure("value", "s", (1.0, 3.0), descending, 0.0, 60.0, 0.0, tiny.TEST)


SHARE = Measure("lowest_share", "bar", (0.75, 0.85), True, 0.0, 60.0, 0.0, tiny.TEST)
PAIRS = Measure("low_neighbours", "bar", (1.0,), False, 0.0, 60.0, 0.75, tiny.TEST)
LEAK = Measure("highest", "%", (15.0, 25.0), False, 0.0, 100.0, 0.0, tiny.TEST)


@pytest.mark.parametrize("descending", [False, True])
@pytest.mark.parametrize("value", [0.2, 1.0, 2.9, 3.0, 40.0])
def test_the_value_lies_within_the_bounds_told(value: float, descending: bool) -> None:
    measure = seconds(descending=descending)
    limit = threshold_of(counted(measure, value), tiny.pack())
    assert limit is not None
    assert limit.lower is None or limit.lower <= value
    assert limit.upper is None or value < limit.upper
    assert {limit.lower, limit.upper} <= {None, *measure.bounds}
    assert (limit.lower, limit.upper) != (None, None)
    assert (limit.unit, limit.source, limit.source_kind) == ("s", "made up for tests", "judgement")


def test_what_was_compared_is_told_where_it_is_not_the_value_itself() -> None:
    limits = [threshold_of(counted(measure, 12.0, 8.0), tiny.pack()) for measure in (SHARE, PAIRS)]
    assert [limit.unit for limit in limits if limit] == ["of the highest", "neighbouring pairs"]


def test_a_result_that_was_seen_has_no_threshold() -> None:
    case = replace(tiny_cases.plain_case(), findings=(tiny_cases.found("listen", "r1"),))
    (finding,) = read_findings(case, tiny.pack()).counted
    assert threshold_of(finding, tiny.pack()) is None
    assert cylinders_of(finding) == ()


@pytest.mark.parametrize(
    ("measure", "values", "expected"),
    [
        (SHARE, (12.4, 12.1, 8.3, 12.2), (3,)),
        (SHARE, (9.0, 12.1, 8.3, 12.2), (1, 3)),
        (SHARE, (12.4, 12.1, 11.3, 12.2), ()),
        (PAIRS, (12.0, 8.0, 8.1, 12.0), (2, 3)),
        (PAIRS, (8.0, 12.0, 8.0, 12.0), ()),
        (LEAK, (9.0, 11.0, 38.0, 16.0), (3, 4)),
        (seconds(), (4.2,), ()),  # one value is of no cylinder
    ],
)
def test_which_cylinders_stood_out(measure: Measure, values: tuple[float, ...], expected: tuple[int, ...]) -> None:
    assert cylinders_of(counted(measure, *values)) == expected


def test_values_are_kept_through_the_reading() -> None:
    pack: Pack = tiny.pack()
    checks = tuple(replace(c, measure=SHARE) if c.id == "listen" else c for c in pack.checks)
    values = (12.4, 12.1, 8.3, 12.2)
    finding = Finding("/findings/0", "listen", None, values, None, None, (), "self", "")
    (read,) = read_findings(replace(tiny_cases.plain_case(), findings=(finding,)), replace(pack, checks=checks)).counted
    assert (read.values, cylinders_of(read)) == (values, (3,))
