"""Which work before a sale pays back: what it costs a dealer at his own rates against what it does to the price.

The price for the findings is the value of the car as usually sold, less what it will cost its buyer beyond such a car,
at the buyer's rates. Work done before the sale takes the repairs of those parts out of it. The dealer reckons his own
rate, without tax (a business reckons without it; common practice, no source). What endangers people is never left.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

import numpy as np

from riskapi.domain.advice import dangerous
from riskapi.domain.assessment import WeakPointResult
from riskapi.domain.curves import Curves, after_work
from riskapi.domain.jobs import PriceLevel
from riskapi.domain.knowledge import FAULTY, Pack
from riskapi.domain.plan_records import BeforeSale
from riskapi.domain.possible_work import select_from, weak_point_jobs
from riskapi.domain.price_lines import Prices
from riskapi.domain.pricing import price_table, shared_access_saving
from riskapi.domain.programme import best_jobs
from riskapi.domain.renewing import Worth, candidate_chances
from riskapi.domain.terms import Terms
from riskapi.domain.work_account import account


def before_sale(
    pack: Pack,
    worth: Worth,
    terms: Terms,
    curves: Curves,
    prices: Prices,
    results: Sequence[WeakPointResult],
    sound_value: float,
    workshop_rate: float,
) -> BeforeSale:
    """The work that raises the price by most beyond its cost, and the figures after it."""
    level = replace(terms.level, labour_rate=workshop_rate, tax=0.0)
    forced = dangerous(results)
    own_prices = price_table(pack, level, worth.basis.outlook.lanes)
    selection = select_from(pack, worth, level, weak_point_jobs(pack, worth, own_prices, level, forced), forced)
    chosen = best_jobs(selection.programme)
    work = account(pack, level, selection, chosen, dict.fromkeys(forced, "danger"))
    curve = after_work(worth.basis, curves, work.weak_points)
    price, cautious = _prices_after(
        pack.defaults.scrap_value, worth, terms.level, prices, sound_value, curve.quantile(0.8), work.weak_points
    )
    rise = price - prices.for_findings
    return BeforeSale(
        work=work,
        price_rise=rise,
        pays_back=rise - work.cost,
        price_after=price,
        cautious_price_after=cautious,
        score_after=100.0 * curve.beyond(terms.budget),
    )


def _prices_after(
    scrap: float,
    worth: Worth,
    level: PriceLevel,
    prices: Prices,
    sound_value: float,
    p80: float,
    done: Collection[str],
) -> tuple[float, float]:
    """Price for the findings and cautious price once these weak points are put right, as `price_for_findings` has it:
    `p80` is what 1 in 5 such cars exceed in surprise repairs then [money]."""
    reference, weak_points = prices.reference, worth.basis.outlook.lanes.weak_points
    mended = np.array([wp.id in done for wp in weak_points])
    states = np.array(worth.basis.posterior.state.sum(axis=2))
    states[mended, FAULTY] = 0.0
    likeliest = int(np.argmax(candidate_chances(worth.basis)))
    saving = shared_access_saving(worth.basis.prices, len(weak_points), likeliest, states, level)
    cost = float(np.where(mended, worth.renewed, worth.leave).sum())
    by_findings = sound_value - (cost - reference.discounted - reference.planned_discounted) + saving
    price = max(by_findings, scrap)
    return price, max(min(price, sound_value - (p80 - reference.unplanned)), scrap)
