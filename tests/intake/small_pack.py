"""A knowledge pack just large enough for the intake: one family, two weak points, five checks."""

from __future__ import annotations

from datetime import date

from riskapi.domain.knowledge import (
    CareShare,
    Check,
    CheckResult,
    ConditionWord,
    Defaults,
    Family,
    FixedAmounts,
    Generation,
    Measure,
    OutcomeRow,
    OutcomeTable,
    Pack,
    PartRevision,
    Revision,
    Traits,
    TraitWord,
    WeakPoint,
    When,
)

ANY = When()
CHAIN = When((("cam_drive", ("chain",)),))


def _weak_point(identifier: str, applies: When) -> WeakPoint:
    part = PartRevision("standard", "Standard", ANY, 0.0, None, None, "none here", None, "judgement")
    table = OutcomeTable((), OutcomeRow(1.0, ANY, (), ""))
    return WeakPoint(
        id=identifier,
        name=identifier.replace("_", " "),
        system="test",
        applies=applies,
        mechanism="",
        degraded_means="",
        failed_means="",
        warning="long",
        hazard="none",
        copies=1,
        repair_delay_years=0.05,
        left_unrepaired=0.0,
        pf_km=1000.0,
        pf_years=0.5,
        parts=(part,),
        in_service=table,
        found_faulty=table,
        effects=(),
        stresses=(),
        raises=(),
        cautions=(),
        source="judgement",
    )


def _measure(reduce: str, unit: str, bounds: tuple[float, ...], low: float, high: float) -> Measure:
    return Measure(reduce, unit, bounds, False, low, high, 0.75, "judgement")


def _check(
    identifier: str,
    results: tuple[str, ...],
    measure: Measure | None = None,
    codes: tuple[str, ...] = (),
    part_of: str | None = None,
    from_case: str | None = None,
) -> Check:
    return Check(
        id=identifier,
        name=identifier,
        tier="ten_minutes",
        order=0,
        symptom="something",
        root=None,
        set_up=None,
        equipment="none",
        consent="none",
        minutes=5.0,
        price=0.0,
        how="",
        needs=(),
        results=tuple(CheckResult(item, item, codes if item == results[-1] else ()) for item in results),
        table=(),
        features=(),
        measure=measure,
        part_of=part_of,
        from_case=from_case,
        core=False,
        cautions=(),
        source="judgement",
    )


def _revision(identifier: str, generation: str, since: date, until: date | None, code: str, drive: str) -> Revision:
    traits = Traits((("cam_drive", drive), ("cylinders", 4), ("fuel", "petrol")))
    return Revision(identifier, identifier, generation, since, until, (code,), traits, "", "judgement")


def small_pack() -> Pack:
    """The pack; no source, symptom or operation, since the intake reads none of them."""
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
        parts_class=(0.8, 1.0, 1.4),
        hearsay=(("self", 1.0), ("seller", 0.5), ("papers", 0.9)),
        undocumented_renewal=0.35,
        care=(CareShare(0.3, 0.0), CareShare(0.5, 0.2), CareShare(0.2, 0.7)),
        source="judgement",
    )
    family = Family(
        id="lapwing",
        name="Lapwing",
        maker="Tarnbeck",
        note="",
        generations=(Generation("gen_1", "first", ""),),
        revisions=(
            _revision("lapwing_1a", "gen_1", date(2008, 3, 1), date(2010, 5, 1), "LWA", "chain"),
            _revision("lapwing_1b", "gen_1", date(2010, 5, 1), None, "LWB", "chain"),
        ),
        fits=(),
        services=(),
        source="judgement",
    )
    return Pack(
        version="test",
        digest="0" * 64,
        note="",
        defaults=defaults,
        fixed=FixedAmounts((500.0,), 2.0, 30000.0),
        sources=(),
        traits=(
            TraitWord("fuel", ("petrol", "diesel"), (0.7, 0.3), 0.0, 0.0, "", "judgement"),
            TraitWord("cam_drive", ("chain", "belt"), (0.6, 0.4), 0.0, 0.0, "", "judgement"),
            TraitWord("installation", ("transverse", "longitudinal"), (0.8, 0.2), 0.0, 0.0, "", "judgement"),
            TraitWord("cylinders", (), (), 2.0, 12.0, "count", "judgement"),
            TraitWord("displacement_l", (), (), 0.6, 8.0, "L", "judgement"),
        ),
        conditions=(ConditionWord("engine_cold", "Engine cold", "..."),),
        stress_conditions=(ConditionWord("short_trips", "Short trips", ""), ConditionWord("towing", "Towing", "")),
        weak_points=(
            _weak_point("chain_tensioner", CHAIN),
            _weak_point("timing_belt", When((("cam_drive", ("belt",)),))),
        ),
        symptoms=(),
        set_ups=(),
        checks=(
            _check("cold_start_sound", ("quiet", "short", "long"), _measure("value", "s", (1.0, 3.0), 0.0, 60.0)),
            _check("compression", ("even", "uneven"), _measure("lowest_share", "bar", (0.8,), 0.0, 40.0)),
            _check(
                "compression_pair",
                ("no", "yes"),
                _measure("low_neighbours", "bar", (0.5,), 0.0, 40.0),
                (),
                "compression",
            ),
            _check("read_codes", ("none", "misfire"), codes=("P0300", "P0301")),
            _check("drives", ("yes", "no"), from_case="moves_under_own_power"),
        ),
        access_steps=(),
        operations=(),
        families=(family,),
        figures=(),
    )
