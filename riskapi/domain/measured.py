"""What a measured value was held against, and which cylinders stood out: kept for the explanation."""

from __future__ import annotations

from itertools import pairwise

from riskapi.domain.assessment import Threshold
from riskapi.domain.knowledge import Measure, Pack
from riskapi.domain.readings import CountedFinding, level_of

OF_HIGHEST, PAIRS = "of the highest", "neighbouring pairs"
UNITS = {"lowest_share": OF_HIGHEST, "low_neighbours": PAIRS}  # of what is compared; else [measure]


def threshold_of(finding: CountedFinding, pack: Pack) -> Threshold | None:
    """The bounds between which the value gave this result, with their source; None where nothing was measured."""
    measure = finding.check.measure
    if measure is None or not finding.values:
        return None
    place = len(measure.bounds) - finding.result if measure.descending else finding.result
    source = pack.source(measure.source)
    return Threshold(
        lower=measure.bounds[place - 1] if place else None,
        upper=measure.bounds[place] if place < len(measure.bounds) else None,
        unit=UNITS.get(measure.reduce, measure.unit),
        source=source.citation,
        source_kind=source.kind,
    )


def cylinders_of(finding: CountedFinding) -> tuple[int, ...]:
    """Numbers of the cylinders, from 1 in the order stated, whose value by itself is worse than the best result."""
    measure, values = finding.check.measure, finding.values
    if measure is None or len(values) < 2 or finding.result == 0:
        return ()
    return tuple(k + 1 for k in range(len(values)) if _stands_out(measure, values, k))


def _stands_out(measure: Measure, values: tuple[float, ...], k: int) -> bool:
    highest = max(values)
    if measure.reduce == "low_neighbours":
        low = [value < measure.floor_share * highest for value in values]
        return any(
            both and k in pair for pair, both in zip(pairwise(range(len(low))), map(all, pairwise(low)), strict=True)
        )
    if measure.reduce == "lowest_share":
        return highest > 0.0 and level_of(measure, values[k] / highest) > 0
    return level_of(measure, values[k]) > 0
