"""What can be seen, and how: symptoms, checks and their results, set-ups, and the words of a visit."""

from __future__ import annotations

from dataclasses import dataclass

from riskapi.domain.knowledge_words import When
from riskapi.errors import NotFound

PLACES = (
    "valve_cover", "head_joint", "front_cover", "crank_front", "filter_housing", "turbo", "sump", "gearbox_joint",
    "thermostat", "hoses", "coolant_pump", "block_low", "fuel_pump", "block_side", "exhaust_manifold",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class RunDown:
    """An arc by which wetness gets from this zone to a lower one.

    `table[a - 1]` gives, for level a of this zone, the chance that the lower zone reaches level 1, 2, .. L.
    """

    to: str
    table: tuple[tuple[float, ...], ...]
    source: str


@dataclass(frozen=True, slots=True)
class Symptom:
    """Something that shows, with ordered levels; level 0 is nothing. `zone` marks a place where a fluid is seen,
    `place` (of PLACES) where that is on the schematic engine of a report.

    `background[l - 1]` is the chance of reaching level l for reasons outside the pack.
    """

    id: str
    name: str
    levels: tuple[str, ...]
    background: tuple[float, ...]
    zone: str | None  # the fluid: oil | coolant | fuel | soot
    runs_down: tuple[RunDown, ...]
    source: str
    place: str | None = None


@dataclass(frozen=True, slots=True)
class Measure:
    """How measured values become a result.

    reduce: 'value' (one number), 'lowest_share' (lowest / highest over the cylinders), 'highest', 'lowest',
    'low_neighbours' (count of adjacent pairs both below `floor_share` of the highest).
    The value is compared with ascending `bounds`, len(results) - 1 of them; result k holds below bounds[k].
    With `descending`, results are in the opposite order (the highest value gives the first result).
    Bounds are in `unit`, but shares [0..1] for 'lowest_share' and counts for 'low_neighbours'. `low` and `high`
    [unit] enclose what a single stated value can physically be.
    """

    reduce: str
    unit: str
    bounds: tuple[float, ...]
    descending: bool
    low: float
    high: float
    floor_share: float
    source: str


@dataclass(frozen=True, slots=True)
class CheckResult:
    """One possible result of a check, in the check's own words. `codes` are generic trouble codes that give it."""

    id: str
    name: str
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Check:
    """Something an inspector can do. It reads a symptom, or a root: 'care', 'revision', or a trait by its name.

    `table[level][result]` is P(result | level) for a symptom, in the order of its levels; for 'care' the rows
    are CARES, for a trait its `trait_values` (each with how common it is). For 'revision' `features` lists, per
    result, the revisions that have it.
    `part_of` names the act whose measurement also gives this check's result. `ask` puts it as a question to the
    seller; `told_by` is who usually answers it ('self': it is seen). `before` and `after` are ids of checks, set-ups or
    conditions whose checks come later or earlier at a visit.
    """

    id: str
    name: str
    tier: str  # ten_minutes | forty_five_minutes | workshop
    order: int
    symptom: str | None
    root: str | None
    set_up: str | None
    equipment: str
    consent: str
    minutes: float
    price: float
    how: str
    needs: tuple[str, ...]
    results: tuple[CheckResult, ...]
    table: tuple[tuple[float, ...], ...]
    features: tuple[tuple[str, ...], ...]
    measure: Measure | None
    part_of: str | None
    from_case: str | None
    core: bool
    cautions: tuple[str, ...]
    source: str
    ask: str = ""
    told_by: str = "self"
    before: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    trait_values: tuple[tuple[str, float], ...] = ()

    def result_index(self, identifier: str) -> int:
        """Position of a result. Raises NotFound."""
        for index, result in enumerate(self.results):
            if result.id == identifier:
                return index
        raise NotFound(f"result of the check {self.id}", identifier)


@dataclass(frozen=True, slots=True)
class SetUp:
    """Preparation shared by several checks (scan tool plugged in, undertray off)."""

    id: str
    name: str
    minutes: float
    consent: str
    equipment: str
    cautions: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class ConditionWord:
    """A condition under which a check was done (engine_cold, not_just_washed); `if_not` says why it matters. What needs
    it comes before what needs the conditions in `before`; `shown_by` is the check that tells whether it held."""

    id: str
    name: str
    if_not: str
    before: tuple[str, ...] = ()
    shown_by: str | None = None


@dataclass(frozen=True, slots=True)
class VisitWord:
    """A request to the seller, a paper to see or a thing to bring, with why. `when` is a condition on the engine;
    `uses` are ids of set-ups or checks, or words of EQUIPMENT, of which one must be on the list (empty: always)."""

    id: str
    text: str
    why: str
    when: When
    uses: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class VisitWords:
    """What belongs to a visit beside the checks: `requests` before it, `papers` to see, things to `bring`."""

    requests: tuple[VisitWord, ...] = ()
    papers: tuple[VisitWord, ...] = ()
    bring: tuple[VisitWord, ...] = ()
