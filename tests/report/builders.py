"""A made-up pack, case and assessment with plausible numbers, built by hand: nothing here was computed."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

from riskapi.domain.assessment import (
    Assessment,
    Assumption,
    CareChances,
    Checked,
    Cost,
    Coverage,
    Decision,
    Evidence,
    FixedChance,
    Identification,
    Identified,
    NextCheck,
    PlannedItem,
    PriceLine,
    Risk,
    Spread,
    StateChances,
    Uncounted,
    WeakPointResult,
    YearCost,
)
from riskapi.domain.case import Case, Engine, Market, Ownership, Usage, Vehicle, Visit
from riskapi.domain.knowledge import (
    CareShare,
    Check,
    CheckResult,
    ConditionWord,
    Defaults,
    Family,
    FixedAmounts,
    OutcomeRow,
    OutcomeTable,
    Pack,
    Source,
    Traits,
    WeakPoint,
    When,
)
from riskapi.domain.network import Network

CREATED = datetime(2026, 11, 3, 14, 5, 9, tzinfo=UTC)
IDENTIFIER = "5f0c9a52-7d1e-4c3b-9a60-2f1f6f2f9a11"

# id, name, hazard, warning, not sound before, degraded, faulty, fails, cost
POINTS = (
    ("chain_tensioner", "Chain tensioner", "stalls", "short", 0.21, 0.40, 0.22, 0.55, 640.0),
    ("coolant_pump", "Coolant pump housing", "none", "long", 0.18, 0.14, 0.05, 0.30, 210.0),
    ("piston_rings", "Oil control rings", "none", "long", 0.20, 0.21, 0.06, 0.12, 180.0),
    ("inlet_deposits", "Inlet valve deposits", "none", "long", 0.45, 0.33, 0.04, 0.19, 90.0),
    ("ring_land", "Ring land of one piston", "none", "none", 0.02, 0.004, 0.001, 0.02, 80.0),
    ("ignition_coil", "Ignition coil", "none", "none", 0.05, 0.01, 0.02, 0.28, 45.0),
    ("fuel_pump_follower", "Follower of the fuel pump", "stalls", "short", 0.06, 0.03, 0.01, 0.05, 32.0),
    ("vacuum_pump_seal", "Seal of the vacuum pump", "brake_assistance", "long", 0.10, 0.08, 0.02, 0.07, 22.0),
    ("turbo_oil_feed", "Oil feed of the turbocharger", "fire", "short", 0.03, 0.02, 0.004, 0.02, 20.0),
    ("thermostat", "Thermostat", "none", "long", 0.09, 0.06, 0.03, 0.09, 18.0),
    ("crank_sensor", "Crank sensor", "stalls", "none", 0.01, 0.002, 0.003, 0.04, 9.0),
    ("stem_seals", "Valve stem seals", "none", "long", 0.02, 0.012, 0.002, 0.008, 6.0),
)  # fmt: skip

# id, name, tier, core, results
CHECKS = (
    ("cold_start_sound", "Listen to the cold start", True, (("quiet", "nothing unusual"), ("long", "rattle over 2 s"))),
    ("coolant_level", "Look at the coolant level", True, (("at_mark", "at the mark"), ("low", "below the mark"))),
    ("oil_cap_deposits", "Look under the oil filler cap", True, (("clean", "clean"), ("dark", "dark, thick deposits"))),
    ("oil_use_told", "Ask for the oil use", True, (("low", "under 0.2 l per 1,000 km"), ("high", "over 0.5 l"))),
    ("fault_memory", "Read the stored faults", True, (("none", "nothing stored"), ("misfire", "misfires stored"))),
    ("compression", "Measure the compression", False, (("even", "even"), ("one_low", "one cylinder low"))),
    ("tensioner_travel", "Read the travel of the tensioner", False, (("short", "short"), ("far", "far out"))),
    ("warm_idle", "Watch the warm idle", True, (("steady", "steady"), ("hunting", "hunting"))),
)  # fmt: skip


def weak_point(identifier: str, name: str, hazard: str = "none", warning: str = "long") -> WeakPoint:
    """A weak point with the texts a report uses and nothing to compute with."""
    table = OutcomeTable((), OutcomeRow(1.0, When(), (), ""))
    return WeakPoint(
        id=identifier,
        name=name,
        system="Engine",
        applies=When(),
        mechanism="Wears.",
        degraded_means=f"the {name.lower()} has play that can be heard or measured",
        failed_means=f"the {name.lower()} no longer does its work",
        warning=warning,
        hazard=hazard,
        copies=1,
        repair_delay_years=0.05,
        left_unrepaired=0.05,
        pf_km=8000.0,
        pf_years=1.0,
        parts=(),
        in_service=table,
        found_faulty=table,
        effects=(),
        stresses=(),
        raises=(),
        cautions=(),
        source="judgement",
    )


def check(identifier: str, name: str, core: bool, results: tuple[tuple[str, str], ...]) -> Check:
    """A check with its words."""
    return Check(
        id=identifier,
        name=name,
        tier="ten_minutes",
        order=0,
        symptom=None,
        root=None,
        set_up=None,
        equipment="none",
        consent="none",
        minutes=5.0,
        price=0.0,
        how="",
        needs=(),
        results=tuple(CheckResult(key, words, ()) for key, words in results),
        table=(),
        features=(),
        measure=None,
        part_of=None,
        from_case=None,
        core=core,
        cautions=(),
        source="common_practice",
    )


def pack() -> Pack:
    """A pack of twelve weak points and eight checks."""
    defaults = Defaults(
        currency="EUR",
        labour_rate=95.0,
        parts_index=1.0,
        tax=0.2,
        discount_rate=0.02,
        annual_distance_km=15000.0,
        ownership_years=3.0,
        budget_hours=20.0,
        registration_lag_years=0.15,
        scrap_value=400.0,
        oil_service_km=15000.0,
        oil_service_years=1.0,
        tune_base_rate=0.06,
        parts_class=(0.7, 1.0, 1.3),
        hearsay=(("self", 1.0), ("papers", 0.9), ("seller", 0.5)),
        undocumented_renewal=0.35,
        care=(CareShare(0.3, 0.0), CareShare(0.5, 0.3), CareShare(0.2, 0.8)),
        source="judgement",
    )
    return Pack(
        version="2026.11",
        digest="9f2c41d07be8a5530c6d",
        note="Makers and engines of this pack are invented.",
        defaults=defaults,
        fixed=FixedAmounts((500.0, 1500.0, 3000.0), 2.0, 30000.0),
        sources=(
            Source("judgement", "judgement", "Judgement of engine technicians"),
            Source("common_practice", "common_practice", "common practice, no source"),
            Source("unused", "published", "A book that nothing here rests on"),
        ),
        traits=(),
        conditions=(
            ConditionWord("engine_cold", "Engine cold", "the engine was warm, so a start sound proves nothing"),
        ),
        stress_conditions=(),
        weak_points=tuple(weak_point(row[0], row[1], row[2], row[3]) for row in POINTS),
        symptoms=(),
        set_ups=(),
        checks=tuple(check(*row) for row in CHECKS),
        access_steps=(),
        operations=(),
        families=(Family("lapwing", "Lapwing", "Tarnbeck", "", (), (), (), (), "judgement"),),
        figures=(),
    )


def case() -> Case:
    """A car of the invented family with 138,000 km, stated prices and a vehicle number."""
    engine = Engine("lapwing", None, "LPW-2", Traits())
    return Case(
        vehicle=Vehicle(
            engine,
            date(2013, 4, 9),
            date(2013, 6, 21),
            138000.0,
            "transverse",
            None,
            "unknown",
            True,
        ),
        as_of=date(2026, 11, 3),
        seller="private",
        usage=Usage((), ()),
        history=(),
        visit=Visit(None, None, None, ()),
        findings=(),
        ownership=Ownership(3.0, 15000.0, 1200.0),
        market=Market("EUR", 95.0, 1.0, 0.2, 6900.0, 7400.0),
        reference="Silver estate, seen in the yard",
    )


def weak_point_result(identifier: str, name: str, hazard: str, warning: str, *figures: float) -> WeakPointResult:
    """figures: not sound before, degraded, faulty, failure probability, expected cost."""
    before, degraded, faulty, fails, cost = figures
    return WeakPointResult(
        id=identifier,
        name=name,
        part="standard",
        prior=StateChances(1.0 - before, before * 0.7, before * 0.3),
        state=StateChances(1.0 - degraded - faulty, degraded, faulty),
        failure_probability=fails,
        expected_cost=cost,
        expected_immediate_cost=cost * faulty,
        hazard=hazard,
        warning=warning,
        no_look_can_see=warning == "none",
        evidence=EVIDENCE.get(identifier, ()),
        cautions=(),
    )


EVIDENCE = {
    "chain_tensioner": (
        Evidence("cold_start_sound", "long", 8.1, 7.4),
        Evidence("fault_memory", "none", -0.4, -0.3),
        Evidence("oil_cap_deposits", "dark", 1.6, 0.9),
    ),
    "coolant_pump": (Evidence("coolant_level", "at_mark", -2.2, -2.2),),
    "piston_rings": (Evidence("oil_use_told", "low", -1.9, -1.9), Evidence("oil_cap_deposits", "dark", 4.4, 1.2)),
    "ignition_coil": (Evidence("fault_memory", "none", -3.6, -3.5),),
    "inlet_deposits": (Evidence("fault_memory", "none", -1.4, -1.3),),
}


def _cost() -> Cost:
    unplanned = Spread(1352.4, 1310.2, 0.0, 430.0, 2310.0, 3790.0, 0.41, 905.0)
    nothing = Spread(248.0, 248.0, 0.0, 0.0, 350.0, 1290.0, 0.71, 820.0)
    planned = Spread(512.0, 500.0, 310.0, 520.0, 610.0, 700.0, 0.0, 512.0)
    years = (
        YearCost(1.0, 610.3, 0.0, 0.0, 1910.0),
        YearCost(2.0, 985.0, 0.0, 180.0, 2950.0),
        YearCost(3.0, 1352.4, 0.0, 430.0, 3790.0),
    )
    items = (PlannedItem("oil_change", "Oil service", 3.0, 420.0), PlannedItem("plugs", "Spark plugs", 0.6, 92.0))
    return Cost("EUR", unplanned, planned, nothing, 38.0, years, items, 12.5)


def assessment() -> Assessment:
    """A noisy car, identified between two revisions, with a price."""
    return Assessment(
        as_of=date(2026, 11, 3),
        reference="Silver estate, seen in the yard",
        knowledge_version="2026.11",
        knowledge_digest="9f2c41d07be8a5530c6d",
        judgement_share=0.84,
        identification=Identification(
            False,
            "lapwing",
            "by the build date; a feature on the engine was not looked at",
            (Identified("lapwing_2a", "Lapwing 2a", 0.82), Identified("lapwing_2b", "Lapwing 2b", 0.18)),
        ),
        care=CareChances(0.14, 0.5, 0.36),
        tune=0.06,
        risk=Risk(
            38.2,
            (25.3, 51.8),
            128.0,
            1200.0,
            "as stated in the case",
            20.6,
            ("chain_tensioner",),
            (FixedChance(500.0, 2.0, 0.41), FixedChance(1500.0, 2.0, 0.24), FixedChance(3000.0, 2.0, 0.09)),
        ),
        weak_points=tuple(weak_point_result(*row) for row in POINTS),
        cost=_cost(),
        decision=Decision(
            "price_it_in",
            (),
            (),
            6570.0,
            6120.0,
            (
                PriceLine("usual price of such a car", 7400.0),
                PriceLine("Chain tensioner", -1010.0),
                PriceLine("Coolant pump housing", 60.0),
                PriceLine("Everything else", -330.0),
            ),
            (
                NextCheck("tensioner_travel", None, 140.0, "decision", 60.0, 30.0),
                NextCheck("compression", None, 35.0, "decision", 90.0, 50.0),
            ),
        ),
        coverage=Coverage(
            (
                Checked("cold_start_sound", "long", "2.8 s", "self"),
                Checked("coolant_level", "at_mark", "", "self"),
                Checked("oil_cap_deposits", "dark", "", "self"),
                Checked("oil_use_told", "low", "", "seller"),
                Checked("fault_memory", "none", "", "self"),
                Checked("compression", "even", "11.8, 12.1, 11.9, 12.0 bar", "papers"),
            ),
            (Uncounted("tensioner_travel", "refused"),),
            (Uncounted("warm_idle", "engine_cold"),),
            6,
            6,
        ),
        facts=("the odometer readings of 2021 and 2022 disagree: ask for the papers of both",),
        assumptions=(
            Assumption("no usage was stated: mixed use is taken", "judgement"),
            Assumption("the oil service interval is 15,000 km", "common_practice"),
        ),
        cautions=("Do not park it in gear on a slope.", "Let the engine cool before opening the coolant cap."),
        network=Network((), (), (), (), (), ()),
    )


def dangerous() -> Assessment:
    """The same car with a fault that forbids driving it."""
    given = assessment()
    decision = replace(given.decision, advice="do_not_drive", hazards=("turbo_oil_feed", "vacuum_pump_seal"))
    return replace(given, decision=decision)


def nothing_seen() -> Assessment:
    """The same car without a single finding, price, or computed doubt."""
    given = assessment()
    bare = tuple(replace(item, evidence=(), state=item.prior) for item in given.weak_points)
    decision = replace(given.decision, advice="look_closer", price_for_findings=None, cautious_price=None, items=())
    coverage = Coverage((), (), (), 0, 6)
    risk = replace(given.risk, band=(38.2, 38.2), band_sample_size=1.0, work=())
    return replace(given, weak_points=bare, decision=decision, coverage=coverage, risk=risk, facts=(), cautions=())
