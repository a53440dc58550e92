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
from riskapi.errors import NotFound
from riskapi.report import format as fmt
from riskapi.report.texts import say
from riskapi.storage import StoredAssessment
from riskapi.web.pages.words import score_sentence

Json = dict[str, Any]
TELLING = 0.1  # share of the expected cost from which a weak point is a reason by itself
TEN_MINUTES = 10.0


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
    def headline(self) -> str:
        """What to do; without the core checks there is no verdict, but danger and what is broken come first."""
        done, total = self.core
        if self.decision["advice"] not in ("do_not_drive", "repair_first") and done < total:
            return say("advice_no_verdict", done=fmt.number(done), total=fmt.number(total))
        return say(f"advice_{self.decision['advice']}")

    @property
    def why(self) -> str:
        """The danger in words, where there is one."""
        dangers = [point for point in self.points if point["id"] in self.decision["hazards"]]
        if not dangers:
            return ""
        kinds = dict.fromkeys(say(f"hazard_{point['hazard']}") for point in dangers if point["hazard"] != "none")
        names = fmt.listing(tuple(self.point_name(point) for point in dangers[:3]))
        return say("why_do_not_drive", names=names, hazards=fmt.listing(tuple(kinds)))

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
    def reasons(self) -> list[str]:
        """Three reasons: those of the decision, then what else carries cost, then what nobody could see."""
        mean = self.unplanned["mean"]
        heavy = [p["id"] for p in self.points[:3] if mean > 0.0 and p["expected_cost"] >= TELLING * mean]
        named = dict.fromkeys([*self.decision["reason_weak_points"], *heavy])
        told = [self._reason(point, mean) for point in self.points if point["id"] in named]
        if self.blind:
            names = fmt.listing(tuple(self.point_name(point) for point in self.blind[:3]))
            told.append(say("reason_unseen", names=names))
        return told[:3]

    def _reason(self, point: Json, mean: float) -> str:
        today = fmt.percent(not_sound(point))
        if mean <= 0.0:
            return say("reason_state", name=self.point_name(point), today=today)
        share = fmt.percent(min(1.0, max(0.0, point["expected_cost"] / mean)))
        return say("reason_cost", name=self.point_name(point), share=share, today=today)

    @property
    def blind(self) -> list[Json]:
        """Weak points that no look can see coming and that cost something."""
        return [point for point in self.points if point["no_look_can_see"] and point["expected_cost"] > 0.0]

    @property
    def blind_names(self) -> str:
        return fmt.listing(tuple(self.point_name(point) for point in self.blind))

    @property
    def next_looks(self) -> list[str]:
        """What is worth the next ten minutes."""
        looks = [each for each in self.decision["next_checks"] if self._worth_ten_minutes(each)]
        return [
            say(
                "next_decision" if each["basis"] == "decision" else "next_spread",
                check=self.check_name(each["check"]),
                minutes=fmt.minutes(each["minutes"] + each["set_up_minutes"]),
                value=self.money(each["value_of_information"]),
            )
            for each in looks[:2]
        ]

    def _worth_ten_minutes(self, look: Json) -> bool:
        try:
            part_of = self.pack.check(look["check"]).part_of
        except NotFound:
            return False
        within = look["minutes"] + look["set_up_minutes"] <= TEN_MINUTES
        return bool(part_of is None and within and look["value_of_information"] > 0.0)

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


def not_sound(point: Json) -> float:
    """Chance of being worn or failed today."""
    return min(1.0, max(0.0, float(point["state"]["degraded"]) + float(point["state"]["faulty"])))
