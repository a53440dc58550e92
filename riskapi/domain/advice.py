"""What to do, by stated rules from the numbers: hazards first, then what is faulty, what is unknown, and money."""

from __future__ import annotations

from collections.abc import Sequence

from riskapi.domain.assessment import Coverage, Risk, WeakPointResult

HAZARD_CHANCE = 0.5  # of a dangerous weak point not being sound, from which driving is advised against
HAZARD_FAULTY = 0.2  # of it being faulty already
FAULTY_CHANCE = 0.5  # from which a weak point counts as work to be done now
HIGH_SCORE = 33.0  # one car in three exceeds the repair budget
SPEAKS = 1.0  # decibans by which a finding must speak for it: a hazard is never called from averages alone


def dangerous(results: Sequence[WeakPointResult]) -> tuple[str, ...]:
    """Ids of weak points whose hazard forbids driving: judgement, stated here and nowhere hidden."""
    return tuple(
        r.id
        for r in results
        if r.hazard != "none"
        and any(e.alone > SPEAKS for e in r.evidence)
        and (r.state.faulty >= HAZARD_FAULTY or r.state.degraded + r.state.faulty >= HAZARD_CHANCE)
    )


def work_now(results: Sequence[WeakPointResult]) -> tuple[str, ...]:
    """Ids of weak points to be put right at purchase: more likely faulty than not, or dangerous."""
    likely = {r.id for r in results if r.state.faulty >= FAULTY_CHANCE}
    return tuple(r.id for r in results if r.id in likely | set(dangerous(results)))


def advise(results: Sequence[WeakPointResult], risk: Risk, coverage: Coverage) -> tuple[str, tuple[str, ...]]:
    """The advice code and its reasons as weak point ids, highest expected cost first.

    Order of the rules: danger; work now; core checks open (no verdict); a high score; nothing stands out.
    """
    ranked = tuple(r.id for r in sorted(results, key=lambda r: -r.expected_cost)[:3])
    hazards = dangerous(results)
    if hazards:
        return "do_not_drive", hazards
    if risk.work:
        return "repair_first", risk.work
    if coverage.core_done < coverage.core_total:
        return "look_closer", ranked
    return ("price_it_in" if risk.score >= HIGH_SCORE else "nothing_stands_out"), ranked
