"""What to do, by stated rules from the numbers: hazards first, then what is faulty, what is unknown, and money.

The limits are judgement of this project, stated here and nowhere hidden.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import prod

from riskapi.domain.assessment import Coverage, Risk, WeakPointResult

HAZARD_CHANCE = 0.5  # of a dangerous weak point not being sound, from which driving is advised against
HAZARD_FAULTY = 0.2  # of it being faulty already
SPEAKS = 1.0  # decibans by which a finding must speak for it: a hazard is never called from averages alone
POOL_SPEAKS = 5.0  # the same for rivals that only together make a danger likely
POOL_SHARE = 0.05  # a rival counts from this chance of not being sound
FAULTY_CHANCE = 0.5  # from which a weak point counts as work to be done now
WORTH = 0.2  # share of the repair budget from which such work is the first thing to say
HIGH_SCORE = 33.0  # one car in three exceeds the repair budget


def dangerous(results: Sequence[WeakPointResult]) -> tuple[str, ...]:
    """Ids of weak points whose hazard forbids driving: each likely enough by itself, or rivals for one finding together
    (low oil pressure has several causes, and one of them is there)."""
    alone = {r.id for r in results if _spoken_for(r, SPEAKS) and _likely(r.state.faulty, _bad(r))}
    for hazard in {r.hazard for r in results} - {"none"}:
        rivals = [r for r in results if r.hazard == hazard and _spoken_for(r, POOL_SPEAKS) and _bad(r) >= POOL_SHARE]
        if _likely(_any(r.state.faulty for r in rivals), _any(_bad(r) for r in rivals)):
            alone |= {r.id for r in rivals}
    return tuple(r.id for r in results if r.id in alone)


def _bad(result: WeakPointResult) -> float:
    return result.state.degraded + result.state.faulty


def _spoken_for(result: WeakPointResult, least: float) -> bool:
    return result.hazard != "none" and any(e.alone > least for e in result.evidence)


def _likely(faulty: float, not_sound: float) -> bool:
    return faulty >= HAZARD_FAULTY or not_sound >= HAZARD_CHANCE


def _any(chances: Iterable[float]) -> float:
    """Chance of at least one, taken as independent."""
    return 1.0 - prod(1.0 - chance for chance in chances)


def work_now(results: Sequence[WeakPointResult]) -> tuple[str, ...]:
    """Ids of weak points to be put right at purchase: more likely faulty than not, or dangerous."""
    wanted = {r.id for r in results if r.state.faulty >= FAULTY_CHANCE} | set(dangerous(results))
    return tuple(r.id for r in results if r.id in wanted)


def advise(results: Sequence[WeakPointResult], risk: Risk, coverage: Coverage) -> tuple[str, tuple[str, ...]]:
    """The advice code and its reasons as weak point ids, highest expected cost first.

    Order of the rules: danger; work now that is worth naming first; core checks open (no verdict); a high score;
    nothing stands out.
    """
    ranked = tuple(r.id for r in sorted(results, key=lambda r: -r.expected_cost)[:3])
    hazards = dangerous(results)
    if hazards:
        return "do_not_drive", hazards
    at_once = sum(r.expected_immediate_cost for r in results if r.id in risk.work)
    if at_once >= WORTH * risk.repair_budget and risk.work:
        return "repair_first", risk.work
    if coverage.core_done < coverage.core_total:
        return "look_closer", ranked
    return ("price_it_in" if risk.score >= HIGH_SCORE else "nothing_stands_out"), ranked
