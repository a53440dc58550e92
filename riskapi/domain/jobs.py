"""What a repair costs: jobs of operations with their access, as beta-PERT money, capped by the cheapest way out.

Parts of one job are bought at one price level, so their low, likely and high prices add up and one beta-PERT
describes them; labour is what the operations and the union of their access steps take. Mean of a PERT is
(a + 4 m + b) / 6, variance (mu - a)(b - mu) / 7.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise

import numpy as np
import numpy.typing as npt
from scipy.special import betainc

from riskapi.domain.case import Case
from riskapi.domain.knowledge import PARTS_CLASSES, Operation, OutcomeTable, Pack, PartPrice, Traits
from riskapi.domain.timeline import Floats
from riskapi.domain.traits import chance

GAUSS_X, GAUSS_W = np.polynomial.legendre.leggauss(48)


@dataclass(frozen=True, slots=True)
class PriceLevel:
    """Currency, labour rate [money / h, without tax], factor on parts prices, tax [share], fitting, cap [money]."""

    currency: str
    labour_rate: float
    parts_factor: float
    tax: float
    installation: str | None
    write_off: float | None
    stated: tuple[tuple[str, float], ...] = ()  # (operation, likely price of its parts without tax [money])


@dataclass(frozen=True, slots=True)
class Job:
    """Cost of a job with tax: low / likely / high [money]; `hours` of which `access_hours` are access."""

    operations: tuple[str, ...]
    low: float
    likely: float
    high: float
    hours: float
    access: tuple[tuple[str, float], ...]  # (step, hours)

    @property
    def mean(self) -> float:
        return (self.low + 4.0 * self.likely + self.high) / 6.0


@dataclass(frozen=True, slots=True)
class Outcome:
    """One row of an outcome table: its chance, the job, and the ways out that cap it."""

    chance: float
    job: Job
    text: str


@dataclass(frozen=True, eq=False)
class Severity:
    """Cost of one failure: outcomes with their chances, each no more than another engine or the write-off."""

    outcomes: tuple[Outcome, ...]
    engines: tuple[Job, ...]
    write_off: float | None

    @cached_property
    def mean(self) -> float:
        """Expected cost [money]."""
        return sum(o.chance * capped_mean(o.job, self.engines, self.write_off) for o in self.outcomes)


def price_level(case: Case, pack: Pack) -> PriceLevel:
    """The user's prices where given, else the pack's defaults (stated among the assumptions)."""
    market, defaults = case.market, pack.defaults
    worth = market.sound_value if market.sound_value is not None else market.asking_price
    index = market.parts_index if market.parts_index is not None else defaults.parts_index
    dear = defaults.parts_class[PARTS_CLASSES.index(case.vehicle.parts_class or "mid")]
    return PriceLevel(
        currency=market.currency or defaults.currency,
        labour_rate=market.labour_rate if market.labour_rate is not None else defaults.labour_rate,
        parts_factor=index * dear,
        tax=market.tax if market.tax is not None else defaults.tax,
        installation=case.vehicle.installation,
        write_off=None if worth is None else max(worth - defaults.scrap_value, 0.0),
        stated=tuple((operation, price * dear) for operation, price in market.parts_prices),
    )


def default_level(case: Case, pack: Pack) -> PriceLevel:
    """The pack's default rates, for figures that a seller must not be able to move."""
    defaults = pack.defaults
    return PriceLevel(
        defaults.currency, defaults.labour_rate, defaults.parts_index, defaults.tax, case.vehicle.installation, None
    )


@lru_cache(maxsize=4096)
def make_job(operations: tuple[str, ...], pack: Pack, level: PriceLevel) -> Job:
    """One job of these operations and their follow-on work; each access step is paid once."""
    todo = with_follow_on(operations, pack)
    steps = access_under(todo, pack)
    access = tuple((step, pack.access_step(step).hours * fitting_factor(step, pack, level)) for step in steps)
    hours = sum(operation.hours for operation in todo) + sum(h for _, h in access)
    prices = [p for operation in todo for p in parts_of(operation, level)]
    prices += [p for step in steps for p in pack.access_step(step).one_use]
    labour, tax = hours * level.labour_rate, 1.0 + level.tax
    low, likely, high = (
        (sum(getattr(p, field) for p in prices) * level.parts_factor + labour) * tax
        for field in ("low", "likely", "high")
    )
    return Job(tuple(operation.id for operation in todo), low, likely, high, hours, access)


def parts_of(operation: Operation, level: PriceLevel) -> tuple[PartPrice, ...]:
    """The parts of an operation at prices that the parts factor still goes on to. A stated price takes the place of the
    likely one of the pack; low and high stand to it as they do in the pack."""
    stated = dict(level.stated).get(operation.id)
    if stated is None:
        return operation.parts
    low, likely, high = (sum(getattr(p, field) for p in operation.parts) for field in ("low", "likely", "high"))
    price = stated / level.parts_factor
    if likely <= 0.0:
        return (PartPrice(operation.name, price, price, price),)
    return (PartPrice(operation.name, price * low / likely, price, price * high / likely),)


def with_follow_on(operations: Iterable[str], pack: Pack) -> list[Operation]:
    """These operations and their follow-on jobs, each once."""
    found: dict[str, Operation] = {}
    waiting = list(operations)
    while waiting:
        identifier = waiting.pop(0)
        if identifier not in found:
            found[identifier] = pack.operation(identifier)
            waiting += found[identifier].follow_on
    return list(found.values())


def access_under(operations: Sequence[Operation], pack: Pack) -> list[str]:
    """The union of all access steps, those underneath included, in first-use order."""
    steps: dict[str, None] = {}
    for operation in operations:
        for name in operation.access:
            chain: list[str] = []
            step: str | None = name
            while step is not None:
                chain.append(step)
                step = pack.access_step(step).under
            steps.update(dict.fromkeys(reversed(chain)))
    return list(steps)


def fitting_factor(step: str, pack: Pack, level: PriceLevel) -> float:
    """How the fitting stretches the hours of a step; the mean of both when it is not stated."""
    entry = pack.access_step(step)
    if level.installation is None:
        return 0.5 * (entry.transverse + entry.longitudinal)
    return entry.transverse if level.installation == "transverse" else entry.longitudinal


def severity(table: OutcomeTable, traits: Traits, pack: Pack, level: PriceLevel) -> Severity:
    """An outcome table under these traits and prices; equal operations stay apart (their texts differ)."""
    rows = [(row.chance * chance(row.when, traits, pack), row) for row in table.rows]
    rows.append((max(1.0 - sum(share for share, _ in rows), 0.0), table.otherwise))
    outcomes = tuple(
        Outcome(share, make_job(row.operations, pack, level), row.text) for share, row in rows if share > 0.0
    )
    engines = tuple(make_job((operation.id,), pack, level) for operation in pack.another_engines())
    return Severity(outcomes, engines, level.write_off)


# ---- money as a distribution -----------------------------------------------------------------------


def pert_bounds(jobs: Sequence[Job]) -> Floats:
    """Low, likely and high of every job, (3, jobs) [money]."""
    return np.array([(job.low, job.likely, job.high) for job in jobs]).reshape(-1, 3).T


def pert_survivals(bounds: Floats, counts: npt.NDArray[np.intp], x: Floats) -> Floats:
    """P(cost > x) of beta-PERTs; the first counts[0] entries of x belong to the first of the bounds, and so on."""
    low, likely, high = bounds
    width = high - low
    safe = np.where(width > 0.0, width, 1.0)
    alpha = np.repeat(1.0 + 4.0 * (likely - low) / safe, counts)
    u = np.clip((x - np.repeat(low, counts)) / np.repeat(safe, counts), 0.0, 1.0)
    certain = np.repeat(width <= 0.0, counts)
    return np.where(certain, x < np.repeat(low, counts), 1.0 - betainc(alpha, 6.0 - alpha, u))


def cap(survival: Floats, x: Floats, engines: Sequence[Job], write_off: float | None) -> Floats:
    """P(cheapest of repair, another engine and write-off > x), each drawn for itself; x ascending."""
    result = survival
    for engine in engines:
        if engine.low < x[-1]:
            result = result * pert_survivals(pert_bounds([engine]), np.array([x.size]), x)
    return np.where(x < write_off, result, 0.0) if write_off is not None else result.copy()


def capped_survival(job: Job, engines: Sequence[Job], write_off: float | None, x: Floats) -> Floats:
    """P(cost > x) of a job with its ways out; x ascending."""
    return cap(pert_survivals(pert_bounds([job]), np.array([x.size]), x), x, engines, write_off)


def capped_mean(job: Job, engines: Sequence[Job], write_off: float | None) -> float:
    """Mean of the cheapest way; in closed form where the repair can never reach another way out."""
    ceiling = min([job.high, *([] if write_off is None else [write_off]), *(engine.high for engine in engines)])
    if ceiling >= job.high and all(engine.low >= job.high for engine in engines):
        return job.mean
    corners = sorted({0.0, ceiling, *(c for j in [job, *engines] for c in (j.low, j.likely) if 0.0 < c < ceiling)})
    if len(corners) < 2:
        return 0.0
    pieces = np.array(list(pairwise(corners)))
    middle, half = 0.5 * pieces.sum(axis=1), 0.5 * (pieces[:, 1] - pieces[:, 0])
    x = half[:, None] * GAUSS_X + middle[:, None]
    survival = capped_survival(job, engines, write_off, x.ravel()).reshape(x.shape)
    return float(half @ (survival @ GAUSS_W))
