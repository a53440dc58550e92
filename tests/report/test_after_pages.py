"""After the purchase, in words."""

from __future__ import annotations

from dataclasses import replace

from riskapi.domain.assessment import StateChances
from riskapi.domain.plan_records import PlanJob, PlanOperation
from riskapi.report.after_pages import after_section, when_words, why_words
from riskapi.report.sections import Table
from riskapi.report.view import View
from riskapi.report.workshop import workshop_lines
from tests.report import builders, plan_builders
from tests.report.test_content import report, section, text


def test_without_it_there_is_no_section() -> None:
    given = View(builders.assessment(), builders.case(), builders.pack(), builders.IDENTIFIER, builders.CREATED)
    assert after_section(given) is None


def test_the_list_says_when_and_why() -> None:
    table = next(b for b in section(report(plan_builders.bought()), "after").blocks if isinstance(b, Table))
    assert table.rows == (
        ("Oil service", "now", "belongs to the work at purchase"),
        ("Look at the coolant level", "now", "a look of the watch list that is due at once"),
        ("Renew the belt", "now", "overdue since the last paper (1 February 2015)"),
        ("Renew the spark plugs", "now", "no paper shows when it was renewed: ask, or have its age judged"),
        ("Air filter", "21 August 2027 or 150,000\u00a0km", "whole intervals from new, unless a paper says otherwise"),
        ("Coolant", "20 April 2028 or 160,000\u00a0km", "an interval after 20 April 2024"),
        ("Valve lash", "after the term", "whole intervals from new, unless a paper says otherwise"),
    )


def test_every_reason_has_words() -> None:
    for why in ("plan", "overdue", "no_paper", "ask", "interval", "usual", "watch"):
        for item in plan_builders.AFTER.first_service:
            assert when_words(item)
            assert why_words(type(item)(item.id, item.name, item.when, why, None, None))


def test_the_questions_of_later_have_their_days() -> None:
    told = text(section(report(plan_builders.bought()), "after"))
    assert "On 3 May 2027 and 3 November 2027, write down" in told
    assert "Nothing at all is an answer too." in told


# ---- what to tell the workshop -------------------------------------------------------------------------------


def test_the_workshop_hears_what_to_do_confirm_and_mind() -> None:
    lines = workshop_lines(plan_builders.bought())
    assert lines == (
        (
            "Please do together, so that dismantling is paid once: renew the oil feed; renew chain, guides and "
            "tensioner (if this engine has it); renew the long chain (if this engine has it); oil and filter service."
        ),
        "Confirm before opening that it is this: Chain tensioner (worn or failed in about 62 of 100 such cars).",
        (
            "Confirm before opening that it is this: Oil feed of the turbocharger (worn or failed in about 2 of 100 "
            "such cars)."
        ),
        "Reckoned here: about 7.9 hours, 1,600 EUR with tax. Ask for an estimate in writing first.",
        "Needs special tools, so ask whether they are there: locking set for cams and crankshaft.",
        "Used once and renewed with it: cover sealant and undertray clips.",
        "Ask for the old parts back, with the invoice.",
        "Mind: Never turn the engine backwards.",
        "The maker's instructions and local rules come before anything said here.",
    )


def test_rivals_for_one_danger_are_told_apart_first_and_what_is_certain_is_not_asked_about() -> None:
    """Two of the three can stop the engine, one of which is certain; the third can start a fire."""
    given = plan_builders.bought()
    hazards = {"chain_tensioner": "stalls", "fuel_pump_follower": "stalls", "turbo_oil_feed": "fire"}

    def told(certain: str) -> list[str]:
        points = tuple(
            replace(item, hazard=hazards[item.id], state=_not_sound(0.99 if item.id == certain else 0.6))
            if item.id in hazards
            else item
            for item in given.weak_points
        )
        jobs = tuple(PlanJob(name, name, "weak_point", "danger") for name in hazards)
        plan = replace(plan_builders.PLAN, work=replace(plan_builders.WORK, jobs=jobs))
        car = replace(given, weak_points=points, decision=replace(given.decision, repair_plan=plan))
        return [line for line in workshop_lines(car) if line.startswith(("Before anything", "Confirm"))]

    assert [line.split(":")[0] for line in told("none of them")] == [
        "Before anything is opened, find out which of these it is",
        "Confirm before opening that it is this",
    ]
    assert "chain tensioner and follower of the fuel pump" in told("none of them")[0]
    assert len(told("fuel_pump_follower")) == 2
    assert not [line for line in told("fuel_pump_follower") if "ollower" in line]


def _not_sound(share: float) -> StateChances:
    return StateChances(1.0 - share, share, 0.0)


def test_recovery_is_no_job_for_the_workshop() -> None:
    given = plan_builders.bought()
    towed = PlanOperation("recovery", "Recovery to the workshop", 1, 1.0, 0.0, 200.0, ("turbo_oil_feed",))
    work = replace(plan_builders.WORK, operations=(towed, *plan_builders.WORK.operations))
    plan = replace(plan_builders.PLAN, work=work)
    lines = workshop_lines(replace(given, decision=replace(given.decision, repair_plan=plan)))
    assert "recovery" not in lines[0]


def test_without_work_the_old_part_is_asked_for_all_the_same() -> None:
    lines = workshop_lines(plan_builders.nothing_to_do())
    assert lines[0] == "Whatever is renewed: ask for the old part back, with the invoice."
    assert workshop_lines(builders.assessment()) == ()
