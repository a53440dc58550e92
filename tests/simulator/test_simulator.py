"""The simulator itself against published tables and exact values, before it is trusted with anything else."""

from __future__ import annotations

import csv
import os
from dataclasses import replace
from itertools import product
from pathlib import Path

import numpy as np
import pytest

from riskapi.domain.knowledge import DEGRADED, FAULTY, SOUND, PlannedInterval, Traits
from riskapi.service import assess
from tests.calibration.cars import packs
from tests.simulator import tiny_cases
from tests.simulator.build import life, mode, part, weak_point
from tests.simulator.clocks import Line, Stretch, hurried
from tests.simulator.findings import root_chance
from tests.simulator.knots import untied
from tests.simulator.look import Parent, Sign, played, read_chance, steered
from tests.simulator.money import pert
from tests.simulator.parts import Told
from tests.simulator.play import IN_SERVICE, PLANNED, play_future, play_past, states_today
from tests.simulator.proof_cases import random_car
from tests.simulator.scene import car_of
from tests.simulator.scenery import Candidate
from tests.simulator.tied import Tied

DATA = Path(__file__).parents[1] / "reference" / "data"
CARS = 1_000_000 if os.environ.get("RISKAPI_LONG") else 60_000


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(newline="") as file:
        return list(csv.DictReader(file))


def renewals(shape: float, scale: float, years: float) -> tuple[float, float]:
    """Mean number of renewals of a part on the age clock, with its standard error."""
    car = life(weak_point((part(mode(years=(shape, scale))),)), years)
    count = play_past(car, np.zeros(CARS), np.random.default_rng(3)).renewals
    return float(count.mean()), float(count.std() / np.sqrt(CARS))


@pytest.mark.parametrize("row", rows("weibull_renewal.csv")[::3], ids=lambda r: f"{r['beta']}-{r['t']}")
def test_renewals_match_the_weibull_renewal_function(row: dict[str, str]) -> None:
    mean, error = renewals(float(row["beta"]), 1.0, float(row["t"]))
    assert abs(mean - float(row["M_of_t(eta=1)"])) < 4 * error


@pytest.mark.parametrize("row", rows("tijms_table_8_1_1.csv")[::3], ids=lambda r: f"{r['cv2']}-{r['t']}")
def test_renewals_match_tijms_table_8_1_1(row: dict[str, str]) -> None:
    mean, error = renewals(float(row["beta"]), float(row["eta(mean=1)"]), float(row["t"]))
    assert abs(mean - float(row["M_published"])) < 4 * error + 6e-4  # printed to three or four digits


def test_states_of_a_first_part_match_the_survival_function() -> None:
    # nothing is repaired before today, so every car still has its first part
    point = weak_point(
        (
            part(
                mode((3.0, 200_000.0)),
            ),
        ),
        pf_km=20_000.0,
        repair_delay_years=99.0,
    )
    car = life(point, 10.0)
    state = states_today(car, play_past(car, np.zeros(CARS), np.random.default_rng(1)))
    alive, sound = np.exp(-(0.75**3)), np.exp(-(0.85**3))
    for which, chance in ((SOUND, sound), (DEGRADED, alive - sound), (FAULTY, 1 - alive)):
        assert abs((state == which).mean() - chance) < 4 * np.sqrt(chance * (1 - chance) / CARS)


def test_flaw_share_and_two_clocks() -> None:
    car = life(weak_point((part(mode(years=(2.0, 20.0)), mode((1.5, 90_000.0), (3.0, 9.0)), 0.4),)), 8.0)
    broken = play_past(car, np.zeros(CARS), np.random.default_rng(2)).renewals > 0
    flawed = np.exp(-((120_000 / 90_000) ** 1.5) - (8 / 9) ** 3)
    expected = 1 - (0.6 + 0.4 * flawed) * np.exp(-(0.4**2))
    assert abs(broken.mean() - expected) < 4 * np.sqrt(expected * (1 - expected) / CARS)


def belt_by_quadrature(shape: float, scale: float, due: float, years: float, steps: int = 4000) -> tuple[float, float]:
    """Mean failures and planned renewals, from u(t) = int_0^min(t, due) f(x)(1 + u(t - x)) dx + S(due) u(t - due)."""
    grid = np.linspace(0, years, steps + 1)
    alive = np.exp(-((grid / scale) ** shape))
    at_due = round(due / years * steps)
    failed, planned = np.zeros(steps + 1), np.zeros(steps + 1)
    for k in range(1, steps + 1):
        n = min(k, at_due)
        mass = alive[:n] - alive[1 : n + 1]
        back = k - np.arange(n)
        failed[k] = mass @ (1 + (failed[back] + failed[back - 1]) / 2)
        planned[k] = mass @ ((planned[back] + planned[back - 1]) / 2)
        if k >= at_due:
            failed[k] += alive[at_due] * failed[k - at_due]
            planned[k] += alive[at_due] * (1 + planned[k - at_due])
    return float(failed[-1]), float(planned[-1])


def test_kept_belt_interval_matches_the_renewal_equation() -> None:
    plan = PlannedInterval(None, 6.0, (1.0, 1.0, 1.0), "belt")
    car = life(weak_point((part(mode(years=(4.0, 10.0)), planned=plan),)), 1e-6)
    doubt, rng = np.zeros(CARS), np.random.default_rng(4)
    events = play_future(car, play_past(car, doubt, rng), 15.0, doubt, rng)
    for kind, expected in zip((IN_SERVICE, PLANNED), belt_by_quadrature(4.0, 10.0, 6.0, 15.0), strict=True):
        count = np.bincount(events.car[events.kind == kind], minlength=CARS)
        assert abs(count.mean() - expected) < 4 * count.std() / np.sqrt(CARS) + 1e-3


def test_told_renewal_happens_with_its_chance_and_restarts_the_clock() -> None:
    fresh = part(mode(years=(8.0, 40.0)), id="fresh")
    point = weak_point((part(mode(years=(5.0, 60.0))), fresh))
    car = life(point, 10.0, told=Told(7.0, 0.35, fresh))
    past = play_past(car, np.zeros(CARS), np.random.default_rng(5))
    assert (past.part.since == 7.0).mean() == pytest.approx(0.35, abs=0.01)


def test_hurried_clock_is_the_integral_of_the_factors() -> None:
    road = Line((0.0, 4.0, 10.0), (0.0, 80_000.0, 140_000.0))
    clock = hurried(road, [Stretch(0.0, 6.0, 2.0), Stretch(5.0, np.inf, 1.5)], 12.0)
    for time in (1.0, 4.5, 5.5, 9.0, 12.0):
        fine = np.linspace(0, time, 200_001)
        middle = (fine[1:] + fine[:-1]) / 2
        slow = np.where(middle < 6, 2.0, 1.0) * np.where(middle >= 5, 1.5, 1.0)
        assert clock(time) == pytest.approx(float((slow * np.diff(road(fine))).sum()), rel=1e-5)
        assert clock.when(clock(time)) == pytest.approx(time)


def test_pert_has_the_stated_mean_and_variance() -> None:
    draws = pert(5.0, 8.0, 14.0, 400_000, np.random.default_rng(6))
    assert draws.mean() == pytest.approx(8.5, abs=0.01)
    assert draws.var() == pytest.approx(2.75, abs=0.03)  # (mu - a)(b - mu) / 7
    assert draws.min() >= 5
    assert draws.max() <= 14


def small_signs() -> list[Sign]:
    """Two weak points, a higher zone, and a lower one that it wets."""
    quiet = (1.0, 1.0, 1.0)
    upper = Sign("upper", (0.9, 0.97, 1.0), (Parent("a", (quiet, (0.5, 0.8, 1.0), (0.1, 0.4, 1.0))),))
    arc = Parent("upper", (quiet, (0.6, 1.0, 1.0), (0.2, 0.5, 1.0)))
    lower = Sign(
        "lower", (0.95, 0.99, 1.0), (Parent("b", (quiet, (0.7, 0.9, 1.0), (0.3, 0.6, 1.0))), arc), ((0.1, 0.2, 0.7),)
    )
    return [lower, upper]


def test_steered_and_played_looks_agree() -> None:
    signs, rng = small_signs(), np.random.default_rng(7)
    for a, b in product(range(3), repeat=2):
        states = {"a": np.full(20_000, a), "b": np.full(20_000, b)}
        one, two = read_chance(signs, played(signs, states, rng)), steered(signs, states, rng)
        assert abs(one.mean() - two.mean()) < 4 * np.hypot(one.std(), two.std()) / np.sqrt(20_000)


def test_what_was_surely_not_there_unties_exactly() -> None:
    """With the upper zone read as dry, and with nothing read of it, against all levels and states written out."""
    dry = (1.0, 0.0, 0.0)
    for seen in ((), (dry,)):
        lower, upper = small_signs()
        signs, chance = [lower, replace(upper, read=seen)], {n: np.array([0.9, 0.07, 0.03]) for n in ("a", "b", "c")}
        found = untied(signs, list(chance))
        chances = {name: chance[name] * found.factors[name] for name in chance}
        knots = {("a",), ("b",), ("c",)} if seen else {("a", "b"), ("c",)}
        assert {knot.weak_points for knot in found.knots} == knots
        rng, evidence, states = np.random.default_rng(8), found.chance, {}
        for knot in found.knots:
            drawn = Tied(knot, chances, {}, rng).drawn(CARS, rng)
            evidence *= drawn.evidence
            states |= drawn.chances
        exact = {pair: weight_of(signs, *pair) * chance["a"][pair[0]] * chance["b"][pair[1]] for pair in PAIRS}
        assert evidence == pytest.approx(sum(exact.values()), rel=0.01)
        for state in range(3):
            wanted = sum(value for (a, _), value in exact.items() if a == state) / sum(exact.values())
            assert abs(states["a"][state] - wanted) < 0.01
        assert states["c"] == pytest.approx(chance["c"])


def test_a_sign_that_nothing_is_behind_weighs_by_its_background() -> None:
    [knot] = [k for k in untied([Sign("alone", (0.9, 1.0), (), ((0.8, 0.3),))], ["a"]).knots if k.signs]
    drawn = Tied(knot, {}, {}, np.random.default_rng(9)).drawn(50, np.random.default_rng(10))
    assert drawn.evidence == pytest.approx(0.9 * 0.8 + 0.1 * 0.3)
    assert not drawn.states


PAIRS = tuple(product(range(3), repeat=2))


def weight_of(signs: list[Sign], a: int, b: int) -> float:
    """P(everything read | states), over all levels of the upper zone."""
    lower, upper = signs
    total, before = 0.0, 0.0
    for level in range(3):
        reached = upper.background[level] * upper.parents[0].chance[a][level]
        below = np.array(lower.background) * lower.parents[0].chance[b] * np.array(lower.parents[1].chance[level])
        shown = np.prod([1.0, *(column[level] for column in upper.read)])
        total += float((reached - before) * shown * (np.diff(below, prepend=0.0) @ np.array(lower.read[0])))
        before = reached
    return total


def test_a_trait_on_which_several_things_hang_is_the_same_for_the_whole_car() -> None:
    """What the roots of the simulator are is what the model says they are, where it has room for all."""
    case, pack = random_car(8), packs().folded
    roots, answer = car_of(case, pack).roots, assess(case, pack)
    assert sum(one.prior for one in roots) == pytest.approx(1.0)
    values = {f"{trait.trait} {value.value}": value.usual for trait in answer.traits for value in trait.values}
    assert {name.split()[0] for name in values} == {"oil_cooler", "cam_bearings"}
    for name, usual in values.items():
        assert sum(one.prior for one in roots if name in one.name) == pytest.approx(usual)


def test_what_was_read_of_a_trait_weighs_its_values() -> None:
    case, pack = tiny_cases.plain_case(), packs().folded
    looked = replace(case, findings=(tiny_cases.found("look_timing_cover", "cast"),))
    table = dict(zip(("pressed_steel", "cast", "polymer"), pack.check("look_timing_cover").table, strict=True))
    for value, row in table.items():
        engine = Candidate(None, 1.0, Traits((("timing_cover", value),)))
        assert root_chance(looked, pack, engine, 0) == row[1]


def test_every_clean_look_in_the_past_weighs() -> None:
    """Of car 10 two on different days, of symptoms that no zone is."""
    case, pack = random_car(10), packs().folded
    looks = [entry for entry in case.history if entry.work == "checked"]
    assert len(looks) == 2
    times = {
        look.when
        for slot in car_of(case, pack).roots[0].slots
        for _, life in slot.variants
        if life
        for look in life.looks
    }
    assert len(times) == 2
