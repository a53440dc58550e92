"""The cars of the cost proof: every sample request, random cars, and cars whose failures may cost a fortune."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from riskapi.domain.case import Case
from riskapi.domain.knowledge import OutcomeTable, Pack
from riskapi.intake import read_case
from tests.calibration.cars import packs, simulated
from tests.simulator import tiny, tiny_cases

SAMPLES = sorted((Path(__file__).parents[2] / "sample_requests").glob("*.json"))
RANDOM, SEED = 11, 20
RUIN = 0.03  # of failures
FORTUNE = ("noisy_early", "swollen_belt")  # sample requests that are played with heavy tails too


def heavy_tails(pack: Pack) -> Pack:
    """Of 100 failures 3 ruin the engine, at a price up to four times the likely one, and no other engine helps."""
    ruin = replace(pack.operations[0], id="ruin", name="ruin", kind="repair", parts=tiny.price(3_000, 9_000, 38_000))
    ruin = replace(ruin, hours=25.0, access=(), follow_on=())
    kept = tuple(o for o in pack.operations if o.kind != "another_engine")
    points = [
        replace(point, in_service=_ruinous(point.in_service), found_faulty=_ruinous(point.found_faulty))
        for point in pack.weak_points
    ]
    return replace(pack, operations=(*kept, ruin), weak_points=tuple(points))


def _ruinous(table: OutcomeTable) -> OutcomeTable:
    """The table with ruin first; the other rows shrink to make room."""
    ruin = tiny.outcome((RUIN, "ruin"), otherwise="ruin").rows[0]
    return replace(table, rows=(ruin, *(replace(row, chance=row.chance * (1.0 - RUIN)) for row in table.rows)))


def worth_nothing_stated(case: Case) -> Case:
    """Without a value at which the car would be given up."""
    return replace(case, market=replace(case.market, asking_price=None, sound_value=None))


def proof_cases() -> dict[str, Callable[[], tuple[Case, Pack]]]:
    """By name, how to make each case and its pack."""
    found: dict[str, Callable[[], tuple[Case, Pack]]] = {}
    for path in SAMPLES:
        found[path.stem] = lambda p=path: (sample(p), packs().folded)  # type: ignore[misc]
    for index in range(RANDOM):
        found[f"random {index}"] = lambda k=index: (random_car(k), packs().folded)  # type: ignore[misc]
    for path in SAMPLES:
        if path.stem in FORTUNE:
            found[f"{path.stem}, heavy tails"] = lambda p=path: (  # type: ignore[misc]
                worth_nothing_stated(sample(p)), heavy_tails(packs().folded),
            )  # fmt: skip
    found["small pack, heavy tails"] = lambda: (worth_nothing_stated(tiny_cases.full_case()), heavy_tails(tiny.pack()))
    return found


def sample(path: Path) -> Case:
    return read_case(path.read_bytes(), packs().folded)


def random_car(index: int) -> Case:
    made = simulated(index, SEED, packs())
    assert made is not None
    return made[0]
