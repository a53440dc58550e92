"""Traits that nobody stated: which of them are roots, and that every output is the mixture over their values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from riskapi.domain.assessment import Assessment
from riskapi.domain.case import Case, Engine, Finding
from riskapi.domain.costing import REPAIRS, distribution, make_transforms, unplanned
from riskapi.domain.identify import identify
from riskapi.domain.knowledge import Check, CheckResult, Effect, Pack, Traits, TraitWord, When
from riskapi.domain.lattice import make_lattice
from riskapi.domain.open_traits import LIMIT, with_open_traits
from riskapi.domain.posterior import evidence_of
from riskapi.errors import CaseError
from riskapi.service import assess
from tests.domain.weighed import Weighed, weigh
from tests.report.networks import brute_force
from tests.simulator import tiny, tiny_cases
from tests.simulator.tiny import TEST

PLAIN = tiny_cases.plain_case()
FOUND = (
    tiny_cases.found("listen", "r1"),
    tiny_cases.found("top", "r1"),
    tiny_cases.found("smooth", "r0"),
    tiny_cases.found("deposits", "r1"),
)
KNOWN = {"cylinders": 4, "induction": "turbocharged"}
USUAL = {"yes": 0.8, "no": 0.2}  # of the tiny pack's trait 'interference'


def shown_by_trait() -> Pack:
    """The tiny pack, whose turbo shows at the bottom only where the engine is no interference engine."""
    pack = tiny.pack()
    *others, turbo = pack.weak_points
    only = When((("interference", ("no",)),))
    effects = (replace(turbo.effects[0], when=only), *turbo.effects[1:])
    return replace(pack, weak_points=(*others, replace(turbo, effects=effects)))


def look() -> Check:
    """A check that reads the trait, not without error."""
    results = (CheckResult("seen_yes", "", ()), CheckResult("seen_no", "", ()))
    return replace(
        tiny.pack().check("deposits"),
        id="look_pistons",
        root="interference",
        results=results,
        table=((0.9, 0.1), (0.25, 0.75)),
        trait_values=tuple(USUAL.items()),
    )


PACK = shown_by_trait()
LOOKING = replace(PACK, checks=(*PACK.checks, look()))


def generic(findings: tuple[Finding, ...] = FOUND, unknown: tuple[str, ...] = (), **traits: str) -> Case:
    engine = Engine(None, None, None, Traits(tuple(sorted({**KNOWN, **traits}.items()))), unknown)
    return replace(PLAIN, vehicle=replace(PLAIN.vehicle, engine=engine), findings=findings)


def evidence(found: Weighed) -> float:
    """P(findings, history)."""
    lanes, posterior = found.basis.outlook.lanes, found.basis.posterior
    return evidence_of(lanes, posterior.groups, found.readings.counted, found.basis.outlook.table.masses)


def costs(found: Weighed) -> np.ndarray:
    """Cost distribution of all surprise repairs on one lattice for all."""
    transforms = make_transforms(found.basis.prices, make_lattice(1_500.0, 6_000.0, 512, 1.0 / 512), REPAIRS)
    return distribution(found.basis, transforms, unplanned(-1))


def states(found: Weighed) -> np.ndarray:
    return np.asarray(found.basis.posterior.state.sum(axis=2))


# ---- every output is the mixture -------------------------------------------------------------------------


@pytest.mark.parametrize("findings", [(), FOUND], ids=["nothing looked at", "findings"])
def test_every_output_is_the_mixture_over_the_values(findings: tuple[Finding, ...]) -> None:
    """Law of total probability: weights by Bayes from the evidence of the engines with the trait stated."""
    whole = weigh(generic(findings), PACK)
    parts = {value: weigh(generic(findings, interference=value), PACK) for value in USUAL}
    assert len(whole.identity.candidates) == 2
    joint = {value: USUAL[value] * evidence(part) for value, part in parts.items()}
    total = sum(joint.values())
    assert evidence(whole) == pytest.approx(total, rel=1e-12)
    weights = [joint[value] / total for value in parts]

    def mixed(rows: Sequence[np.ndarray]) -> np.ndarray:
        return np.asarray(sum(w * row for w, row in zip(weights, rows, strict=True)))

    assert_allclose(states(whole), mixed([states(part) for part in parts.values()]), rtol=0, atol=1e-12)
    assert_allclose(costs(whole), mixed([costs(part) for part in parts.values()]), rtol=0, atol=1e-9)
    for field in ("unplanned", "immediate", "discounted", "planned", "renewals"):
        rows = [getattr(part.means, field) for part in parts.values()]
        assert_allclose(getattr(whole.means, field), mixed(rows), rtol=1e-9, atol=1e-9)


def test_the_answer_tells_the_chances_and_what_says_so() -> None:
    found = assess(generic(), PACK)
    parts = {value: evidence(weigh(generic(interference=value), PACK)) for value in USUAL}
    no = USUAL["no"] * parts["no"] / sum(USUAL[value] * parts[value] for value in USUAL)
    (trait,) = found.traits
    chances = {item.value: (item.usual, item.before, item.probability) for item in trait.values}
    assert chances["no"] == pytest.approx((0.2, 0.2, no))
    assert chances["yes"] == pytest.approx((0.8, 0.8, 1.0 - no))
    assert trait.says[0].check == "top"  # seals of the two kinds last differently
    assert "smooth" not in [row.check for row in trait.says]  # coils are the same in both
    alone = {value: evidence(weigh(generic((FOUND[1],), interference=value), PACK)) for value in USUAL}
    expected = 10.0 * np.log10(alone[trait.says[0].value] / alone[{"yes": "no", "no": "yes"}[trait.says[0].value]])
    assert trait.says[0].alone == pytest.approx(expected, abs=1e-9)


def test_the_exported_network_has_the_trait_and_gives_the_same_posterior() -> None:
    """Recomputed by plain enumeration of every combination of roots, states and levels."""
    found = assess(generic((*FOUND, tiny_cases.found("low", "r1"))), PACK)
    assert [root.name for root in found.network.roots] == ["revision", "care", "tune", "interference"]
    enumerated = brute_force(found.network)
    for item in found.weak_points:
        assert_allclose(
            [item.state.sound, item.state.degraded, item.state.faulty], enumerated[item.id], rtol=0, atol=1e-12
        )


def test_a_revision_that_states_the_trait_keeps_its_value() -> None:
    """Two revisions, of which one leaves the trait open: three engines, and the same posterior by enumeration."""
    family = PACK.families[0]
    first, second = family.revisions
    bare = replace(second, traits=Traits((("cylinders", 4), ("induction", "turbocharged"))))
    fits = tuple(fit for fit in family.fits if fit.weak_point != "chain")
    pack = replace(PACK, families=(replace(family, revisions=(first, bare), fits=fits),))
    vehicle = replace(PLAIN.vehicle, build_date=None, first_registered=None)
    case = replace(PLAIN, vehicle=vehicle, findings=(*FOUND, tiny_cases.found("low", "r2")))
    found = assess(case, pack)
    assert found.inputs is not None
    assert [(c.revision.id if c.revision else "", c.opened) for c in found.inputs.lanes.candidates] == [
        ("first", (("interference", (("yes", 1.0),)),)),
        ("second", (("interference", (("yes", 1.0),)),)),
        ("second", (("interference", (("no", 1.0),)),)),
    ]
    assert [row.revision for row in found.identification.candidates] in (["first", "second"], ["second", "first"])
    assert sum(row.probability for row in found.identification.candidates) == pytest.approx(1.0)
    enumerated = brute_force(found.network)
    for item in found.weak_points:
        assert_allclose(
            [item.state.sound, item.state.degraded, item.state.faulty], enumerated[item.id], rtol=0, atol=1e-12
        )


# ---- which traits are roots ------------------------------------------------------------------------------


def opened(case: Case, pack: Pack) -> list[str]:
    return [trait.name for trait in with_open_traits(case, pack, identify(case, pack)).open_traits]


def without_induction(pack: Pack) -> list[str]:
    engine = Engine(None, None, None, Traits((("cylinders", 4), ("interference", "yes"))))
    return opened(replace(PLAIN, vehicle=replace(PLAIN.vehicle, engine=engine)), pack)


def test_what_only_decides_whether_one_weak_point_is_there_is_averaged_inside_it() -> None:
    assert without_induction(tiny.pack()) == []


def test_what_decides_how_a_weak_point_shows_is_a_root() -> None:
    chain, *others = tiny.pack().weak_points
    effect = Effect("misfire", When((("induction", ("turbocharged",)),)), (0.1,), (0.2,), TEST)
    assert without_induction(replace(tiny.pack(), weak_points=(replace(chain, effects=(effect,)), *others))) == [
        "induction"
    ]


def test_a_check_that_reads_a_trait_makes_it_a_root_where_it_matters_at_all() -> None:
    check = replace(look(), root="induction", trait_values=(("natural", 0.6), ("turbocharged", 0.4)))
    assert without_induction(replace(tiny.pack(), checks=(*PACK.checks, check))) == ["induction"]


def test_values_that_nothing_tells_apart_stay_together() -> None:
    words = tuple(
        replace(word, values=("yes", "no", "hardly"), base_rates=(0.7, 0.2, 0.1))
        if word.name == "interference"
        else word
        for word in PACK.traits
    )
    case = generic()
    pack = replace(PACK, traits=words)
    (trait,) = with_open_traits(case, pack, identify(case, pack)).open_traits
    assert trait.classes == ((("yes", 0.7),), (("no", 0.2),), (("hardly", 0.1),))  # seal: yes, no, neither
    chain, coil, seal, belt, turbo = pack.weak_points
    turbo_always = replace(turbo, effects=tiny.pack().weak_points[-1].effects)
    both = replace(seal, parts=(seal.part("seal_yes"), replace(seal.part("seal_no"), when=When())))
    pack = replace(pack, weak_points=(chain, coil, both, belt, turbo_always))
    (trait,) = with_open_traits(case, pack, identify(case, pack)).open_traits
    assert trait.classes == ((("yes", 0.7),), (("no", 0.2), ("hardly", 0.1)))
    assert [c.opened for c in with_open_traits(case, pack, identify(case, pack)).candidates][1] == (
        ("interference", (("no", pytest.approx(2 / 3)), ("hardly", pytest.approx(1 / 3)))),
    )


def test_what_is_said_to_be_unknown_is_averaged_and_told() -> None:
    case = generic(unknown=("interference",))
    found = assess(case, PACK)
    assert found.traits == ()
    assert [root.name for root in found.network.roots] == ["revision", "care", "tune"]
    assert "Said to be unknown although several things hang on it: interference." in " ".join(
        assumption.text for assumption in found.assumptions
    )
    assert "mixture over the values" not in " ".join(assumption.text for assumption in found.assumptions)


def test_an_open_trait_is_told_among_the_assumptions() -> None:
    told = " ".join(assumption.text for assumption in assess(generic(), PACK).assumptions)
    assert "every figure is the mixture over the values" in told
    assert "Said to be unknown" not in told


# ---- too many --------------------------------------------------------------------------------------------


def many(count: int) -> Pack:
    """The pack with so many more traits of two values, each of which decides how two weak points are paid for."""
    words = tuple(TraitWord(f"trait_{k}", ("a", "b"), (0.5, 0.5), 0, 0, "", TEST) for k in range(count))
    whens = [When(((word.name, ("a",)),)) for word in words]

    def priced(pack: Pack, index: int) -> Pack:
        point = pack.weak_points[index]
        rows = tuple(replace(point.in_service.otherwise, chance=0.01, when=when) for when in whens)
        table = replace(point.in_service, rows=(*point.in_service.rows, *rows))
        points = list(pack.weak_points)
        points[index] = replace(point, in_service=table)
        return replace(pack, weak_points=tuple(points))

    return priced(priced(replace(PACK, traits=(*PACK.traits, *words)), 0), 2)


def test_as_many_as_are_told_apart() -> None:
    """Three cares, two tunes: three open traits of two values make 48 combinations, four 96."""
    assert len(with_open_traits(generic(), many(2), identify(generic(), many(2))).candidates) * 6 == 48
    with pytest.raises(CaseError) as caught:
        with_open_traits(generic(), many(3), identify(generic(), many(3)))
    whole, *each = caught.value.faults
    assert (whole.place, len(each)) == ("/vehicle/engine/traits", 1)
    assert "96 combinations" in whole.message
    assert f"at most {LIMIT}" in whole.message
    assert '"unknown"' in whole.mend


def test_the_shortest_list_of_traits_is_asked_for_and_is_enough() -> None:
    pack = many(6)
    with pytest.raises(CaseError) as caught:
        with_open_traits(generic(), pack, identify(generic(), pack))
    asked = [fault.place.rsplit("/", 1)[1] for fault in caught.value.faults[1:]]
    assert len(asked) == 4  # seven open traits of two values, three may stay
    stated = {name: "yes" if name == "interference" else "a" for name in asked}
    for case in (generic(**stated), generic(unknown=tuple(asked))):
        assert len(with_open_traits(case, pack, identify(case, pack)).candidates) == 8
    fewer = generic(**dict(list(stated.items())[1:]))
    with pytest.raises(CaseError):
        with_open_traits(fewer, pack, identify(fewer, pack))


# ---- a check that reads a trait --------------------------------------------------------------------------


def test_a_trait_seen_moves_its_chances_by_bayes() -> None:
    (trait,) = assess(generic((tiny_cases.found("look_pistons", "seen_no"),)), LOOKING).traits
    expected = 0.2 * 0.75 / (0.2 * 0.75 + 0.8 * 0.1)
    assert {v.value: v.probability for v in trait.values}["no"] == pytest.approx(expected)
    assert (trait.says[0].check, trait.settled_by) == ("look_pistons", ())


def test_a_trait_seen_counts_although_it_is_said_to_be_unknown() -> None:
    case = generic((tiny_cases.found("look_pistons", "seen_no"),), unknown=("interference",))
    assert [trait.trait for trait in assess(case, LOOKING).traits] == ["interference"]


def seen_everywhere(found: Assessment) -> None:
    enumerated = brute_force(found.network)
    for item in found.weak_points:
        assert_allclose(
            [item.state.sound, item.state.degraded, item.state.faulty], enumerated[item.id], rtol=0, atol=1e-12
        )


def test_the_exported_network_has_what_was_seen_of_a_trait() -> None:
    seen_everywhere(assess(generic((tiny_cases.found("look_pistons", "seen_no"), FOUND[1])), LOOKING))


def test_a_trait_seen_tells_revisions_apart() -> None:
    """One revision is an interference engine, the other is not; the look is ranked as one that settles them."""
    family = LOOKING.families[0]
    first, second = family.revisions
    other = replace(second, traits=second.traits.merged(Traits((("interference", "no"),))))
    pack = replace(LOOKING, families=(replace(family, revisions=(first, other)),))
    vehicle = replace(PLAIN.vehicle, build_date=None, first_registered=None)
    case = replace(PLAIN, vehicle=vehicle, findings=())
    before = assess(case, pack)
    assert before.identification.settled_by == ("look_pistons",)
    assert "look_pistons" in [row.check for row in before.decision.next_checks]
    after = assess(replace(case, findings=(tiny_cases.found("look_pistons", "seen_no"),)), pack)
    prior = {row.revision: row.probability for row in before.identification.candidates}
    expected = 0.75 * prior["second"] / (0.75 * prior["second"] + 0.1 * prior["first"])
    assert {row.revision: row.probability for row in after.identification.candidates}["second"] == pytest.approx(
        expected
    )
    assert after.identification.says[0].check == "look_pistons"
    seen_everywhere(after)


def test_the_check_that_settles_a_trait_is_ranked_with_the_others() -> None:
    found = assess(generic(()), LOOKING)
    assert found.traits[0].settled_by == ("look_pistons",)
    ranked = {row.check: row.value for row in found.decision.next_checks}
    assert ranked["look_pistons"] > 0.0
    sure = replace(look(), table=((1.0, 0.0), (0.0, 1.0)))
    certain = assess(generic(()), replace(PACK, checks=(*PACK.checks, sure)))
    assert {row.check: row.value for row in certain.decision.next_checks}["look_pistons"] > ranked["look_pistons"]
    told = assess(generic((), interference="yes"), LOOKING)
    assert "look_pistons" not in [row.check for row in told.decision.next_checks]
