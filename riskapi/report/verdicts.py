"""What a technician would say about a weak point in a sentence or three, made from its numbers alone.

First what to expect today, in words at thresholds of our own choosing; then the finding that speaks loudest for it and
the one that speaks loudest against it; then how often it fails while the car is owned.
"""

from __future__ import annotations

from riskapi.domain.assessment import Checked, Evidence, Threshold, WeakPointResult
from riskapi.domain.measured import OF_HIGHEST, PAIRS
from riskapi.report import format as fmt
from riskapi.report.texts import say
from riskapi.report.words import NO_WEIGHT, not_sound, shift, weight_words

CITED = 80  # characters of a citation in a table cell; the whole is among the sources
EXPECTED, MAY_WELL, PROBABLY = 0.5, 0.15, 0.03  # chances of not being sound


def verdict(item: WeakPointResult) -> str:
    """'It may well be worn or failed: about 23 of 100 such cars, about 9 before the findings. ...'"""
    return " ".join([_today(item), *_findings(item), _later(item)])


def _today(item: WeakPointResult) -> str:
    share = not_sound(item.state)
    key = next((k for k, least in _STEPS if share >= least), "unlikely")
    before = fmt.of_hundred(not_sound(item.prior))
    moved = abs(shift(item.prior, item.state)) >= NO_WEIGHT and before != fmt.of_hundred(share)
    told = say("verdict_before", before=before) if moved else ""
    return say(f"verdict_{key}", count=fmt.of_hundred(share), before=told)


_STEPS = (("expected", EXPECTED), ("may_well", MAY_WELL), ("probably_not", PROBABLY))


def _findings(item: WeakPointResult) -> list[str]:
    """The loudest finding for it and the loudest against it."""
    loudest = sorted(item.evidence, key=lambda entry: (-abs(entry.alone), entry.check, entry.result))
    told = [entry for entry in loudest if abs(entry.alone) >= NO_WEIGHT]
    speaking = [next((e for e in told if (e.alone > 0.0) is side), None) for side in (True, False)]
    said = [_said(entry) for entry in sorted(filter(None, speaking), key=told.index)]
    if said:
        return [say("verdict_findings", said=fmt.listing(tuple(said)))]
    return [say("wp_no_warning" if item.no_look_can_see else "wp_no_finding")]


def _said(entry: Evidence) -> str:
    return say("verdict_finding", said=entry.said or f"{entry.check}: {entry.result}", words=weight_words(entry.alone))


def _later(item: WeakPointResult) -> str:
    return say("verdict_later", count=fmt.of_hundred(item.failure_probability))


# ---- measured values -----------------------------------------------------------------------------------------


def measured_words(reading: str, item: Checked) -> str:
    """'4.2 s; called so from 3 s, common practice, no source', with the cylinders that stood out."""
    if item.cylinders:
        numbers = fmt.listing(tuple(fmt.number(number) for number in item.cylinders))
        key = "reading_cylinder" if len(item.cylinders) == 1 else "reading_cylinders"
        reading = say(key, reading=reading, numbers=numbers)
    if item.threshold is None:
        return reading
    limit = item.threshold
    named = limit.source if limit.source_kind in {"published", "standard"} else say(f"kind_{limit.source_kind}")
    return say("reading_threshold", reading=reading, bounds=_bounds(limit), source=fmt.plain(named, CITED))


def _bounds(limit: Threshold) -> str:
    told = [None if bound is None else _bound(bound, limit.unit) for bound in (limit.lower, limit.upper)]
    (lower, _), (upper, _) = (bound or ("", "") for bound in told)
    unit = next(unit for _, unit in filter(None, told))
    key = "between" if lower and upper else "from" if lower else "below"
    return say(f"bounds_{key}", lower=lower, upper=upper, unit=unit)


def _bound(bound: float, unit: str) -> tuple[str, str]:
    """Number and unit of a bound."""
    if unit == OF_HIGHEST:
        return fmt.written(100.0 * bound, "g"), say("unit_of_highest")
    if unit == PAIRS:
        return fmt.written(bound, "g"), say("unit_pairs")
    return fmt.measured(bound, unit)
