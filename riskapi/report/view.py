"""What every section of a report is made from, gathered once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from riskapi.domain.assessment import Assessment, WeakPointResult
from riskapi.domain.case import Case
from riskapi.domain.identity import NOBODY, Identity
from riskapi.domain.knowledge import Pack
from riskapi.report import format as fmt
from riskapi.report.edition import BUYER, NOTHING, AtHand, Edition
from riskapi.report.sections import Photo

SEEN_FAULTY = 0.5  # chance from which a failure without warning is there, and not still to come


@dataclass(frozen=True, slots=True)
class View:
    """One assessment with the case and the pack it came from; the pack gives names and texts. `identity` is printed and
    computed with by nothing; `recalled` says why the pack is no longer to be relied on, '' where it is."""

    assessment: Assessment
    case: Case
    pack: Pack
    assessment_id: str
    created_at: datetime
    identity: Identity = NOBODY
    recalled: str = ""
    edition: Edition = BUYER
    at_hand: AtHand = NOTHING

    @property
    def years(self) -> float:
        """Ownership period [years]."""
        stated = self.case.ownership.years
        return self.pack.defaults.ownership_years if stated is None else stated

    @property
    def annual_distance(self) -> float:
        """The buyer's distance [km per year]."""
        stated = self.case.ownership.annual_distance_km
        return self.pack.defaults.annual_distance_km if stated is None else stated

    @property
    def currency(self) -> str:
        return fmt.plain(self.assessment.cost.currency, 12)

    def money(self, amount: float) -> str:
        """An estimate in the currency of the case."""
        return fmt.money(amount, self.currency)

    def exact(self, amount: float) -> str:
        """An amount to the unit in the currency of the case."""
        return fmt.money_exact(amount, self.currency)

    def named(self, identifiers: tuple[str, ...]) -> tuple[WeakPointResult, ...]:
        """The results of these weak points, in the order of the assessment (highest expected cost first)."""
        return tuple(item for item in self.assessment.weak_points if item.id in identifiers)

    def note(self, check: str) -> str:
        """What was noted with this check in the case, fit to print; empty without a note."""
        return fmt.plain(" ".join(finding.note for finding in self.case.findings if finding.check == check))

    def photos(self, check: str, caption: str) -> tuple[Photo, ...]:
        """The pictures that were taken with this check."""
        named = [name for finding in self.case.findings if finding.check == check for name in finding.photos]
        return tuple(Photo(caption, self.at_hand.photos.get(name)) for name in dict.fromkeys(named))

    @property
    def blind(self) -> tuple[WeakPointResult, ...]:
        """Weak points that no look can see coming and that cost something; those that were seen to have failed are no
        longer among them."""
        return tuple(
            item
            for item in self.assessment.weak_points
            if (item.no_look_can_see or item.warning == "none")
            and item.expected_cost > 0.0
            and item.state.faulty < SEEN_FAULTY
        )
