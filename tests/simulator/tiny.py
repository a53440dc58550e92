"""A small invented pack that uses every mechanism once, for whole-car comparisons (cases: tiny_cases.py)."""

from __future__ import annotations

from datetime import date
from typing import Any

from riskapi.domain.knowledge import (
    AccessStep,
    CareShare,
    Check,
    CheckResult,
    Defaults,
    Effect,
    Family,
    Fit,
    FixedAmounts,
    Generation,
    Operation,
    OutcomeRow,
    OutcomeTable,
    Pack,
    PartPrice,
    PlannedInterval,
    Revision,
    RunDown,
    Source,
    Stress,
    Supply,
    Symptom,
    Traits,
    TraitWord,
    WeakPoint,
    When,
)
from tests.simulator.build import ALWAYS, mode, part, weak_point

TEST = "test"


def price(low: float, likely: float, high: float) -> tuple[PartPrice, ...]:
    return (PartPrice("part", low, likely, high),)


def operations() -> tuple[Operation, ...]:
    def operation(name: str, parts: tuple[PartPrice, ...], hours: float, *access: str, **more: Any) -> Operation:
        fields = {"kind": "repair", "follow_on": (), "cautions": (), "source": TEST} | more
        return Operation(name, name, parts=parts, hours=hours, access=access, **fields)

    return (
        operation("oil", price(40, 60, 90), 0.5, kind="service"),
        operation("chain", price(250, 420, 800), 5.0, "front_cover", follow_on=("oil",)),
        operation("head", price(700, 1300, 2600), 12.0, "manifold"),
        operation("coil", price(30, 45, 90), 0.3),
        operation("seal", price(20, 35, 70), 3.0, "front_cover"),
        operation("belt", price(80, 120, 220), 2.0, "undertray"),
        operation("turbo", price(600, 950, 1700), 4.5, "manifold", "undertray"),
        operation("used_engine", price(1500, 2400, 4200), 14.0, "undertray", kind="another_engine"),
    )


def steps() -> tuple[AccessStep, ...]:
    return (
        AccessStep("undertray", "undertray", 0.4, None, 1.0, 1.0, (), TEST),
        AccessStep("front_cover", "front cover", 3.0, "undertray", 1.3, 0.9, price(15, 25, 40), TEST),
        AccessStep("manifold", "manifold", 1.2, None, 1.0, 1.2, price(5, 12, 20), TEST),
    )


def outcome(*rows: tuple[float, str], otherwise: str, when: When = ALWAYS) -> OutcomeTable:
    return OutcomeTable(
        tuple(OutcomeRow(chance, when, (name,), "") for chance, name in rows), OutcomeRow(1.0, ALWAYS, (otherwise,), "")
    )


def weak_points() -> tuple[WeakPoint, ...]:
    interference = When((("interference", ("yes",)),))
    early = part(mode((3.5, 260_000.0), None, 1.4), mode((2.0, 120_000.0), (3.0, 12.0), 1.6), 0.45, id="early")
    mended = part(mode((3.5, 300_000.0), (4.0, 22.0), 1.4), id="mended")
    belt = part(
        mode((4.0, 150_000.0), (4.0, 11.0), 1.3),
        id="belt",
        planned=PlannedInterval(100_000.0, 8.0, (0.9, 0.7, 0.4), "belt"),
    )

    good, poor = (
        part(mode((2.5, km), (3.0, years), 1.5), id=f"seal_{value}", when=When((("interference", (value,)),)))
        for value, km, years in (("yes", 210_000.0, 14.0), ("no", 150_000.0, 11.0))
    )

    def shows(symptom: str, degraded: tuple[float, ...], faulty: tuple[float, ...]) -> Effect:
        return Effect(symptom, ALWAYS, degraded, faulty, TEST)

    return (
        weak_point(
            (early, mended),
            id="chain",
            pf_km=9_000.0,
            pf_years=1.0,
            repair_delay_years=0.05,
            left_unrepaired=0.05,
            in_service=outcome((0.3, "head"), otherwise="chain", when=interference),
            found_faulty=outcome(otherwise="chain"),
            stresses=(Stress("stretched_oil_service", "distance", 1.6),),
            effects=(shows("rattle", (0.6, 0.2), (0.9, 0.6)),),
        ),
        weak_point(
            (part(mode((1.8, 190_000.0), (2.5, 16.0), 1.5)),),
            id="coil",
            copies="cylinders",
            pf_km=800.0,
            pf_years=0.1,
            repair_delay_years=0.02,
            in_service=outcome(otherwise="coil"),
            found_faulty=outcome(otherwise="coil"),
            effects=(shows("misfire", (0.2,), (0.95,)),),
        ),
        weak_point(
            (good, poor),
            id="seal",
            pf_km=30_000.0,
            pf_years=3.0,
            repair_delay_years=1.5,
            left_unrepaired=0.3,
            in_service=outcome(otherwise="seal"),
            found_faulty=outcome(otherwise="seal"),
            stresses=(Stress("short_trips", "age", 1.3),),
            effects=(shows("wet_top", (0.7, 0.2), (0.95, 0.7)),),
        ),
        weak_point(
            (belt,),
            id="belt",
            pf_km=10_000.0,
            pf_years=0.8,
            in_service=outcome((0.5, "head"), otherwise="belt"),
            found_faulty=outcome((0.5, "head"), otherwise="belt"),
            repair_delay_years=0.02,
            effects=(shows("rattle", (0.1, 0.0), (0.3, 0.1)),),
        ),
        weak_point(
            (part(mode((2.2, 230_000.0), None, 1.5)),),
            id="turbo",
            pf_km=15_000.0,
            pf_years=1.0,
            applies=When((("induction", ("turbocharged",)),)),
            repair_delay_years=0.1,
            left_unrepaired=0.1,
            in_service=outcome((0.15, "head"), otherwise="turbo"),
            found_faulty=outcome(otherwise="turbo"),
            stresses=(Stress("software_tune", "distance", 1.7), Stress("stretched_oil_service", "distance", 1.3)),
            effects=(shows("wet_low", (0.3, 0.1), (0.6, 0.4)), shows("misfire", (0.02,), (0.1,))),
        ),
    )


def checks() -> tuple[Check, ...]:
    def check(name: str, symptom: str | None, table: tuple[tuple[float, ...], ...], **more: Any) -> Check:
        fields = {
            "tier": "ten_minutes",
            "order": 0,
            "root": None,
            "set_up": None,
            "equipment": "none",
            "consent": "none",
            "minutes": 1.0,
            "price": 0.0,
            "how": "",
            "needs": (),
            "features": (),
            "measure": None,
            "part_of": None,
            "from_case": None,
            "core": True,
            "cautions": (),
            "source": TEST,
            "results": tuple(CheckResult(f"r{k}", f"r{k}", ()) for k in range(len(table[0]))),
        } | more
        return Check(name, name, symptom=symptom, table=table, **fields)

    sure3 = tuple(tuple(float(a == b) for b in range(3)) for a in range(3))
    return (
        check("listen", "rattle", ((0.95, 0.05, 0.0), (0.1, 0.8, 0.1), (0.0, 0.1, 0.9))),
        check("told_noise", "rattle", ((0.9, 0.1), (0.5, 0.5), (0.2, 0.8))),
        check("smooth", "misfire", ((1.0, 0.0), (0.0, 1.0))),
        check("top", "wet_top", sure3),
        check("low", "wet_low", sure3),
        check("deposits", None, ((0.9, 0.1), (0.6, 0.4), (0.2, 0.8)), root="care"),
    )


def symptoms() -> tuple[Symptom, ...]:
    arc = RunDown("wet_low", ((0.4, 0.1), (0.8, 0.5)), TEST)
    return (
        Symptom("rattle", "rattle", ("no", "short", "long"), (0.06, 0.01), None, (), TEST),
        Symptom("misfire", "misfire", ("no", "yes"), (0.03,), None, (), TEST),
        Symptom("wet_top", "wet", ("dry", "damp", "wet"), (0.08, 0.02), "oil", (arc,), TEST),
        Symptom("wet_low", "wet", ("dry", "damp", "wet"), (0.1, 0.02), "oil", (), TEST),
    )


def pack() -> Pack:
    words = (
        TraitWord("induction", ("natural", "turbocharged"), (0.6, 0.4), 0, 0, "", TEST),
        TraitWord("interference", ("yes", "no"), (0.8, 0.2), 0, 0, "", TEST),
        TraitWord("cylinders", (), (), 2, 12, "count", TEST),
    )
    traits = Traits((("cylinders", 4), ("induction", "turbocharged"), ("interference", "yes")))
    revisions = (
        Revision("first", "first", "one", date(2010, 1, 1), date(2013, 12, 31), (), traits, "", TEST),
        Revision("second", "second", "one", date(2014, 1, 1), None, (), traits, "", TEST),
    )
    sold = (Supply("early", date(2010, 1, 1)), Supply("mended", date(2015, 1, 1)))
    fits = (
        Fit("chain", ("first",), "early", sold, "", TEST),
        Fit("chain", ("second",), "mended", (Supply("mended", date(2014, 1, 1)),), "", TEST),
    )
    family = Family("tiny", "Tiny", "Tarnbeck", "", (Generation("one", "one", ""),), revisions, fits, (), TEST)
    defaults = Defaults(
        "EUR",
        95.0,
        1.0,
        0.2,
        0.02,
        15_000.0,
        3.0,
        20.0,
        0.3,
        400.0,
        15_000.0,
        1.0,
        0.06,
        (0.8, 1.0, 1.3),
        (("self", 1.0), ("papers", 0.9), ("seller", 0.5)),
        0.35,
        (CareShare(0.3, 0.0), CareShare(0.5, 0.4), CareShare(0.2, 0.9)),
        TEST,
    )
    return Pack(
        "test",
        "",
        "",
        defaults,
        FixedAmounts((500.0,), 2.0, 30_000.0),
        (Source(TEST, "judgement", "made up for tests"),),
        words,
        (),
        (),
        weak_points(),
        symptoms(),
        (),
        checks(),
        steps(),
        operations(),
        (family,),
        (),
    )
