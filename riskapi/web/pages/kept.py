"""A kept assessment as the pages show it: figures from the stored result, names in the reader's language.

Figures are those of the result as it was made, never computed anew, so page and PDF say the same for good.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from typing import Any

from riskapi.domain.knowledge import Pack
from riskapi.report import format as fmt
from riskapi.report.first_page import URGENT
from riskapi.report.texts import say
from riskapi.storage import StoredAssessment
from riskapi.web.pages.words import score_sentence

Json = dict[str, Any]


@dataclass(frozen=True)
class Kept:
    """One assessment; `pack` gives the names."""

    id: str
    created_at: datetime
    case: Json
    result: Json
    pack: Pack

    @classmethod
    def of(cls, stored: StoredAssessment, pack: Pack) -> Kept:
        """From what is stored."""
        return cls(stored.id, stored.created_at, json.loads(stored.case_json), json.loads(stored.result_json), pack)

    # ---- which car ------------------------------------------------------------------------------------------------

    @property
    def engine(self) -> str:
        """The engine by maker and family, or by what it is."""
        name = self.case["vehicle"]["engine"].get("family")
        if name is None:
            return fmt.capital(say("engine_generic"))
        family = next((each for each in self.pack.families if each.id == name), None)
        return name if family is None else f"{family.maker} {family.name}"

    @property
    def odometer_unit(self) -> str:
        """km or mi, as it was written."""
        return "mi" if self.case["vehicle"]["odometer"].get("unit") == "mi" else "km"

    @property
    def odometer(self) -> str:
        """The odometer as it was written."""
        quantity = self.case["vehicle"]["odometer"]
        return f"{fmt.number(quantity['value'])} {quantity['unit']}"

    @property
    def as_of(self) -> str:
        return fmt.day(date.fromisoformat(self.case["as_of"]))

    @property
    def reference(self) -> str:
        return self.case.get("reference") or ""

    @property
    def title(self) -> str:
        """Reference or engine, odometer and day in one line."""
        return " \u00b7 ".join(part for part in (self.engine, self.odometer, self.as_of, self.reference) if part)

    @property
    def revisions(self) -> str:
        """The revisions it can be, likeliest first."""
        found = [each for each in self.result["identified"] if each["revision"] and each["probability"] >= 0.005]
        return ", ".join(f"{each['name']} ({fmt.percent(each['probability'])})" for each in found[:4])

    # ---- figures --------------------------------------------------------------------------------------------------

    @property
    def currency(self) -> str:
        currency: str = self.result["cost"]["currency"]
        return currency

    @property
    def years(self) -> float:
        """Ownership period [years]: the last of the years in the result."""
        years: float = self.result["cost"]["by_year"][-1]["year"]
        return years

    def money(self, amount: float) -> str:
        """An estimate."""
        return fmt.money(amount, self.currency)

    def exact(self, amount: float) -> str:
        """An amount to the unit."""
        return fmt.money_exact(amount, self.currency)

    @property
    def risk(self) -> Json:
        risk: Json = self.result["risk"]
        return risk

    @property
    def decision(self) -> Json:
        decision: Json = self.result["decision"]
        return decision

    @property
    def unplanned(self) -> Json:
        spread: Json = self.result["cost"]["unplanned"]
        return spread

    @property
    def planned(self) -> Json:
        spread: Json = self.result["cost"]["planned"]
        return spread

    @property
    def asking(self) -> float | None:
        """The asking price [money], where it was stated."""
        stated = self.case.get("market", {}).get("asking_price")
        return None if stated is None else float(stated["value"])

    # ---- what to do -----------------------------------------------------------------------------------------------

    @property
    def danger(self) -> bool:
        return bool(self.decision["advice"] == "do_not_drive")

    @property
    def core(self) -> tuple[int, int]:
        """Core checks answered, and how many there are."""
        return self.result["coverage"]["core_done"], self.result["coverage"]["core_total"]

    @property
    def without_verdict(self) -> bool:
        """Whether core checks are open and nothing that was found comes before them."""
        done, total = self.core
        return self.decision["advice"] not in URGENT and done < total

    @property
    def headline(self) -> str:
        """What to do; without the core checks there is no verdict, but danger and what is broken come first."""
        if self.without_verdict:
            done, total = self.core
            return say("advice_no_verdict", done=fmt.number(done), total=fmt.number(total))
        return say(f"advice_{self.decision['advice']}")

    @property
    def sentence(self) -> str:
        """The score in words."""
        risk = self.risk
        low, high = risk["band"]
        return score_sentence(risk["score"], (low, high), risk["repair_budget"], self.currency, self.years)

    @cached_property
    def points(self) -> list[Json]:
        """Weak points, costliest first."""
        points: list[Json] = self.result["weak_points"]
        return points

    @property
    def blind(self) -> list[Json]:
        """Weak points that no look can see coming and that cost something."""
        return [point for point in self.points if point["no_look_can_see"] and point["expected_cost"] > 0.0]

    @property
    def blind_names(self) -> str:
        return fmt.listing(tuple(self.point_name(point) for point in self.blind))

    @property
    def unlooked(self) -> list[str]:
        """Core checks that nobody did."""
        done = {each["check"] for each in self.result["coverage"]["checked"]}
        return [check.name for check in self.pack.checks if check.core and check.id not in done]

    # ---- names ----------------------------------------------------------------------------------------------------

    def point_name(self, point: Json) -> str:
        """The name in the pack that is in use, else the one it had."""
        found = next((each for each in self.pack.weak_points if each.id == point["id"]), None)
        return str(point["name"]) if found is None else found.name

    def check_name(self, identifier: str) -> str:
        """The name in the pack that is in use, else the id."""
        found = next((check for check in self.pack.checks if check.id == identifier), None)
        return identifier if found is None else found.name


def not_sound(point: Json, when: str = "state") -> float:
    """Chance of being worn or failed today; before the findings with `prior`."""
    return min(1.0, max(0.0, float(point[when]["degraded"]) + float(point[when]["faulty"])))
