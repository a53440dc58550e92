"""What the assessment is computed for: term, distance, budget, prices, each with where it comes from."""

from __future__ import annotations

from dataclasses import dataclass

from riskapi.domain.case import Case
from riskapi.domain.jobs import PriceLevel, price_level
from riskapi.domain.knowledge import Pack
from riskapi.domain.sentence import told

BUDGET_YEARS = 3.0


@dataclass(frozen=True, slots=True)
class Terms:
    """years [years], annual [km/year], budget [money], level of prices, horizons [years after purchase]."""

    years: float
    annual: float
    budget: float
    budget_origin: str
    level: PriceLevel
    horizons: tuple[float, ...]


def terms_of(case: Case, pack: Pack) -> Terms:
    """The user's own terms where stated, else the pack's defaults."""
    own, defaults = case.ownership, pack.defaults
    level = price_level(case, pack)
    years = own.years if own.years is not None else defaults.ownership_years
    default_budget = defaults.budget_hours * level.labour_rate * (1.0 + level.tax) * years / BUDGET_YEARS
    origin = (
        told("as stated")
        if own.repair_budget is not None
        else told(
            "{hours:g} labour hours at the labour rate with tax per {years:g} years of ownership",
            hours=defaults.budget_hours,
            years=BUDGET_YEARS,
        )
    )
    annual = own.annual_distance_km if own.annual_distance_km is not None else defaults.annual_distance_km
    whole = [float(y) for y in range(1, int(years) + 1) if y < years]
    return Terms(
        years=years,
        annual=annual,
        budget=own.repair_budget if own.repair_budget is not None else default_budget,
        budget_origin=origin,
        level=level,
        horizons=(*whole, years),
    )
