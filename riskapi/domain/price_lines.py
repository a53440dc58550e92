"""The price that matches the findings, line by line, so that a buyer can put it before a seller.

price_for_findings = sound value - D + what immediate jobs share, uncapped, where D is the expected discounted cost of
this car less that of the car as usually sold; cautious_price has the P80 of the surprise repairs in the place of their
mean and is never the higher one. Every line names a part, never a person, and the lines add up to the cautious price.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from riskapi.domain.assessment import PriceLine, Spread
from riskapi.domain.means import Means
from riskapi.domain.reference_car import ReferenceCost
from riskapi.domain.sentence import Sentence, told
from riskapi.domain.timeline import Floats

OWN_LINES, REPAIR_LINES = 6, 12  # weak points named per part of the price, of repairs needed now; others share a line
OWN_SHARE = 0.005  # of the sound value that a line of its own moves at least


@dataclass(frozen=True, slots=True)
class Prices:
    """Both prices [money], the lines from the usual price to the cautious one, and the car they are held against."""

    for_findings: float
    cautious: float
    items: tuple[PriceLine, ...]
    reference: ReferenceCost


@dataclass(frozen=True, slots=True)
class Points:
    """Weak points in the order of `Means`: ids, names, chance of being faulty today (W,), and expected surprise cost
    given a total at the P80 (W,) [money], None where that was not computed."""

    ids: tuple[str, ...]
    names: tuple[str, ...]
    faulty: Floats
    at_p80: Floats | None = None


@dataclass(frozen=True, slots=True)
class Excess:
    """What this car is expected to cost more than the car as usually sold [money], discounted; later surprise repairs
    and planned work per weak point (W,). `unmatched` is of weak points that only the reference car has."""

    immediate: Floats
    later: Floats
    planned: Floats
    unmatched: tuple[float, float]


def supported_price(sound_value: float, scrap: float, means: Means, reference: ReferenceCost, saving: float) -> float:
    """The price for the findings, from means alone."""
    surprise = float(means.discounted.sum()) - reference.discounted
    planned = float(means.planned_discounted.sum()) - reference.planned_discounted
    return max(sound_value - surprise - planned + saving, scrap)


def prices_of(
    sound_value: float, scrap: float, means: Means, unplanned: Spread, reference: ReferenceCost, saving: float
) -> tuple[float, float]:
    """Price for the findings and cautious price; neither is below the scrap value, nobody sells for less."""
    price = supported_price(sound_value, scrap, means, reference, saving)
    return price, max(min(price, sound_value - (unplanned.p80 - reference.unplanned)), scrap)


def itemised(
    sound_value: float,
    prices: tuple[float, float],
    means: Means,
    reference: ReferenceCost,
    saving: float,
    points: Points,
) -> Prices:
    """The prices with their lines: usual price, repairs needed now, later ones and planned work against the car as
    usually sold, shared access, scrap, room for a bad run."""
    price, cautious = prices
    excess, smallest = _excess(means, reference, points), OWN_SHARE * sound_value
    lines = [PriceLine(told("Value of this car as usually sold"), sound_value, "usual_price")]
    lines += _needed_now(excess, points, smallest)
    lines.append(PriceLine(told("Saved where these repairs share dismantling"), saving, "shared_access"))
    lines += _later(excess, points, smallest)
    lines += _planned(excess, points, smallest)
    so_far = sum(line.amount for line in lines)
    lines.append(PriceLine(told("No less than the scrap value"), _clean(price - so_far, price), "scrap"))
    lines += _bad_run(means, points, cautious - price, smallest)
    return Prices(price, cautious, tuple(line for line in lines if line.amount != 0.0), reference)


def _excess(means: Means, reference: ReferenceCost, points: Points) -> Excess:
    usual = {name: (surprise, planned) for name, surprise, planned in reference.each}
    matched = np.array([usual.pop(name, (0.0, 0.0)) for name in points.ids]).reshape(-1, 2)
    named = matched.sum(axis=0)
    return Excess(
        immediate=means.immediate,
        later=means.discounted - means.immediate - matched[:, 0],
        planned=means.planned_discounted - matched[:, 1],
        unmatched=(reference.discounted - float(named[0]), reference.planned_discounted - float(named[1])),
    )


def _needed_now(excess: Excess, points: Points, smallest: float) -> Iterator[PriceLine]:
    own = _own(excess.immediate, smallest, REPAIR_LINES)
    for w in own:
        label, chance = told("{name}: repair needed now", name=points.names[w]), float(points.faulty[w])
        yield PriceLine(label, -float(excess.immediate[w]), "needed_now", points.ids[w], chance)
    yield PriceLine(told("{other} repairs needed now", other=_other(own)), -_rest(excess.immediate, own), "needed_now")


def _later(excess: Excess, points: Points, smallest: float) -> Iterator[PriceLine]:
    own = _own(excess.later, smallest)
    for w in own:
        more = float(excess.later[w])
        yield PriceLine(
            told("{name}: later repairs{usual}", name=points.names[w], usual=_usual(more)),
            -more,
            "later",
            points.ids[w],
        )
    rest = _rest(excess.later, own) - excess.unmatched[0]
    yield PriceLine(
        told("{other} later surprise repairs{usual}", other=_other(own), usual=_usual(rest)), -rest, "later"
    )


def _planned(excess: Excess, points: Points, smallest: float) -> Iterator[PriceLine]:
    own = _own(excess.planned, smallest)
    for w in own:
        more = float(excess.planned[w])
        yield PriceLine(
            told("{name}: planned work{usual}", name=points.names[w], usual=_usual(more)),
            -more,
            "planned",
            points.ids[w],
        )
    rest = _rest(excess.planned, own) - excess.unmatched[1]
    yield PriceLine(
        told("{other} planned work falling due{usual}", other=_other(own), usual=_usual(rest)), -rest, "planned"
    )


def _bad_run(means: Means, points: Points, room: float, smallest: float) -> Iterator[PriceLine]:
    """What a total at the P80 adds to each weak point's mean. The last line is the rest of the difference between the
    two prices: the cautious one leaves planned work, discounting and shared dismantling aside."""
    if points.at_p80 is None or not room < 0.0:
        yield PriceLine(told("Room for a bad run"), room, "bad_run")
        return
    more = points.at_p80 - means.unplanned
    own = [w for w in _own(more, smallest) if more[w] > 0.0]
    for w in own:
        yield PriceLine(
            told("{name}: room for a bad run", name=points.names[w]), -float(more[w]), "bad_run", points.ids[w]
        )
    yield PriceLine(told("{other} weak points: room for a bad run", other=_other(own)), -_rest(more, own), "bad_run")
    rest = _clean(room + float(more.sum()), room)
    yield PriceLine(
        told("Planned work, discounting and shared dismantling, which this room leaves aside"), rest, "bad_run"
    )


def _own(amounts: Floats, smallest: float, most: int = OWN_LINES) -> list[int]:
    """Positions of the amounts that get a line of their own, largest first."""
    order = np.argsort(-np.abs(amounts), kind="stable")[:most]
    return [int(w) for w in order if abs(amounts[w]) >= smallest and amounts[w] != 0.0]


def _rest(amounts: Floats, own: Sequence[int]) -> float:
    return float(np.delete(amounts, own).sum())


def _usual(excess: float) -> Sentence:
    if excess > 0.0:
        return told(", more than on the car as usually sold")
    return told(", less than on the car as usually sold")


def _other(own: Sequence[int]) -> Sentence:
    return told("Other") if own else told("All")


def _clean(amount: float, scale: float) -> float:
    """An amount without the rounding of a sum of this size."""
    return 0.0 if abs(amount) < 1e-9 * max(abs(scale), 1.0) else amount
