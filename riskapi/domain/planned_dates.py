"""When parts fall due for their planned renewal, and what was fitted when for what falls due then."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from riskapi.domain.knowledge import PlannedInterval
from riskapi.domain.lane import Lane
from riskapi.domain.timeline import Floats


def planned_date(lane: Lane, fitted: Floats, part: npt.NDArray[np.intp]) -> Floats:
    """When parts (index `part`) fitted at these times fall due [years]; infinite without a planned interval."""
    due = np.full(fitted.shape, np.inf)
    for index, revision in enumerate(lane.parts):
        if revision.planned is not None:
            mine = part == index
            due[mine] = _due(lane, revision.planned, fitted[mine])
    return due


def _due(lane: Lane, planned: PlannedInterval, fitted: Floats) -> Floats:
    """By distance or by age, whichever comes first."""
    due = np.full(fitted.shape, np.inf)
    if planned.distance_km is not None:
        due = lane.timeline.time_at(lane.timeline.odometer(fitted) + planned.distance_km)
    return due if planned.age_years is None else np.minimum(due, fitted + planned.age_years)


def planned_chain(lane: Lane, fitted: float, part: int) -> list[tuple[float, int]]:
    """(date, part) of the part fitted at this time and, where owners keep the interval, of those that follow it on
    their planned dates up to today."""
    chain = [(fitted, part)]
    while lane.kept > 0.0:
        last, index = chain[-1]
        due = float(planned_date(lane, np.array([last]), np.array([index]))[0])
        if not due < lane.timeline.now:
            break
        chain.append((due, lane.part_at(due)))
    return chain


def fitted_until(lane: Lane, planned: PlannedInterval, due: Floats) -> Floats:
    """Latest time of fitting of what has fallen due by these times [years]: the reverse of `planned_date`."""
    fitted = np.full(due.shape, -np.inf)
    if planned.age_years is not None:
        fitted = np.maximum(fitted, due - planned.age_years)
    if planned.distance_km is not None:
        x = lane.timeline.odometer(due) - planned.distance_km
        fitted = np.maximum(fitted, np.where(x > 0.0, lane.timeline.time_at(np.maximum(x, 0.0)), -np.inf))
    return fitted
