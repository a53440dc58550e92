"""Context on engines of every kind: tune, use, service, part class, invoices, corrected parts.

Source of every test here: common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from riskapi.domain.knowledge import Pack
from tests.knowledge.cars import assess, by_traits, names, of, point

NATURAL = by_traits(induction="natural", fuel_injection="port")
DIESEL = by_traits(
    fuel="diesel", cam_drive="belt", vvt="none", exhaust_gas_recirculation="yes", particulate_filter="yes"
)
TURBOS: dict[str, tuple[dict[str, Any], str]] = {
    "lapwing_3a": (of("lapwing_3a"), "2018-06-10"),
    "whinchat_1b": (of("whinchat_1b"), "2016-06-10"),
    "fieldfare_2a": (of("fieldfare_2a"), "2015-06-10"),
    "six cylinders": (by_traits(cylinders=6), "2015-06-10"),
    "diesel": (DIESEL, "2015-06-10"),
}
ALL = {**TURBOS, "dunlin_2b": (of("dunlin_2b"), "2015-06-10"), "natural": (NATURAL, "2015-06-10")}


@pytest.mark.parametrize(("engine", "built"), TURBOS.values(), ids=TURBOS.keys())
def test_a_tune_hurts_whatever_the_engine_has_of_it(engine: dict[str, Any], built: str, shipped: Pack) -> None:
    """Common practice, no source: rings, coils, turbocharger, fuel pump, injectors of a diesel; not a hose."""
    tuned, left = (assess(shipped, engine, built, 100_000, tune=answer) for answer in ("yes", "no"))
    hurt = {"ring_lands", "ignition_coils", "turbo_bearing", "high_pressure_pump", "diesel_injectors"} & names(left)
    assert len(hurt) >= 2
    for name in hurt:
        assert point(tuned, name).failure_probability > 1.1 * point(left, name).failure_probability
    hose = [point(car, "coolant_hoses").failure_probability for car in (tuned, left)]
    assert hose[0] == pytest.approx(hose[1], rel=1e-6)
    assert tuned.cost.unplanned.mean > 1.05 * left.cost.unplanned.mean


@pytest.mark.parametrize(("engine", "built"), ALL.values(), ids=ALL.keys())
def test_the_same_engine_costs_more_in_a_premium_car(engine: dict[str, Any], built: str, shipped: Pack) -> None:
    """Common practice, no source: parts cost more, faults are as frequent."""
    cars = [assess(shipped, engine, built, parts_class=kind) for kind in ("economy", "mid", "premium")]
    means = [car.cost.unplanned.mean for car in cars]
    assert means[1] > 1.05 * means[0]
    assert means[2] > 1.1 * means[1]
    assert len({round(point(car, "crank_sensor").failure_probability, 12) for car in cars}) == 1


@pytest.mark.parametrize("engine", [by_traits(), by_traits(cylinders=6), NATURAL, DIESEL])
def test_a_coolant_pump_of_polymer_fails_earlier_than_one_of_metal(engine: dict[str, Any], shipped: Pack) -> None:
    """Common practice, no source."""
    polymer, metal = (
        assess(shipped, {"traits": {**engine["traits"], "coolant_pump_housing": kind}}, "2015-06-10")
        for kind in ("polymer", "metal")
    )
    for name, factor in (("coolant_pump", 1.5), ("pump_impeller", 1.2)):
        assert point(polymer, name).failure_probability > factor * point(metal, name).failure_probability


@pytest.mark.parametrize(("engine", "built"), ALL.values(), ids=ALL.keys())
@pytest.mark.parametrize("item", ["accessory_drive", "thermostat_unit"])
def test_a_recent_renewal_without_an_invoice_counts_little(
    item: str, engine: dict[str, Any], built: str, shipped: Pack
) -> None:
    """Common practice, no source: less than half of what the invoice does."""

    def fails(evidence: str | None) -> float:
        entry = {
            "date": "2025-11-01",
            "odometer": {"value": 117_000, "unit": "km"},
            "work": "renewed",
            "item": item,
            "evidence": evidence,
        }
        return point(assess(shipped, engine, built, history=[entry] if evidence else []), item).failure_probability

    unsaid, told, invoice = fails(None), fails("told"), fails("invoice")
    assert invoice < told < unsaid
    assert unsaid - told < 0.5 * (unsaid - invoice)


@pytest.mark.parametrize(("engine", "built"), ALL.values(), ids=ALL.keys())
def test_oil_services_in_time_lower_what_oil_does(engine: dict[str, Any], built: str, shipped: Pack) -> None:
    """Common practice, no source: bearings, pick-up and turbocharger; a crankshaft sensor does not care."""
    services = [
        {
            "date": f"{int(built[:4]) + n}-{built[5:]}",
            "odometer": {"value": 9_500.0 * n, "unit": "km"},
            "work": "oil_service",
            "evidence": "invoice",
        }
        for n in range(1, 2026 - int(built[:4]))
    ]
    km = 9_500.0 * (len(services) + 1)
    kept, none = (assess(shipped, engine, built, km, history=history) for history in (services, []))
    for name, factor in (("bearings", 0.75), ("oil_pickup", 0.75), ("turbo_bearing", 0.9)):
        if name in names(kept):
            assert point(kept, name).failure_probability < factor * point(none, name).failure_probability
    sensor = [point(car, "crank_sensor").failure_probability for car in (kept, none)]
    assert sensor[0] == pytest.approx(sensor[1], rel=0.02)


@pytest.mark.parametrize(
    ("earlier", "later", "built", "name"),
    [
        ("dunlin_1a", "dunlin_1b", ("2008-01-10", "2010-01-10"), "ignition_coils"),
        ("dunlin_2a", "dunlin_2b", ("2012-06-10", "2015-06-10"), "ring_sticking"),
        ("fieldfare_1a", "fieldfare_1b", ("2010-06-10", "2012-06-10"), "egr_cooler"),
        ("fieldfare_2a", "fieldfare_2b", ("2014-06-10", "2017-06-10"), "pump_drive_belt"),
        ("whinchat_1a", "whinchat_1b", ("2013-06-10", "2016-06-10"), "coolant_hoses"),
        ("whinchat_2a", "whinchat_2b", ("2018-06-10", "2020-01-10"), "boost_flap"),
        ("lapwing_2a", "lapwing_2c", ("2014-01-10", "2017-01-10"), "coolant_pump"),
        ("lapwing_3a", "lapwing_3b", ("2018-06-10", "2020-06-10"), "cam_adjuster"),
    ],
)
def test_a_flaw_shrinks_in_the_revision_that_corrected_it(
    earlier: str, later: str, built: tuple[str, str], name: str, shipped: Pack
) -> None:
    """Common practice, no source. Same age and distance."""
    fails = [
        point(assess(shipped, of(revision), day, 90_000, as_of=f"{int(day[:4]) + 6}-12-01"), name).failure_probability
        for revision, day in zip((earlier, later), built, strict=True)
    ]
    assert fails[0] > 1.3 * fails[1]


def test_petrol_direct_injection_alone_builds_deposits_whatever_the_induction(shipped: Pack) -> None:
    """Common practice, no source: nor does a diesel have them on this list."""
    for induction in ("natural", "turbocharged", "supercharged"):
        for injection, has in (("direct", True), ("port", False), ("port_and_direct", False)):
            car = assess(shipped, by_traits(induction=induction, fuel_injection=injection), "2015-06-10")
            assert ("intake_deposits" in names(car)) is has
    assert "intake_deposits" not in names(assess(shipped, DIESEL, "2015-06-10"))


def test_a_coil_is_more_frequent_with_more_cylinders_and_cheap_with_any(shipped: Pack) -> None:
    """Common practice, no source."""
    cars = [assess(shipped, by_traits(cylinders=n), "2015-06-10") for n in (3, 4, 6, 8)]
    coils = [point(car, "ignition_coils") for car in cars]
    assert sorted(c.failure_probability for c in coils) == [c.failure_probability for c in coils]
    assert coils[-1].failure_probability > 1.8 * coils[0].failure_probability
    for car, coil in zip(cars, coils, strict=True):
        often = sorted((w.failure_probability for w in car.weak_points), reverse=True)
        assert coil.failure_probability >= often[len(often) // 4]
        assert coil.expected_cost < 0.1 * car.cost.unplanned.mean
