"""Figures of a run for people and programs: results.json, results.md and a diagram, reliability.svg."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np
from scipy import stats

from tests.calibration.cars import Record
from tests.calibration.diagram import Panel, Point, drawn
from tests.calibration.judge import LEVEL, Test, chance, holm

EDGES = (0.0, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9, 1.0)


@dataclass(frozen=True)
class Bin:
    """Cases whose stated chance lies in one range: how many, mean stated chance, share seen and its 95 % interval."""

    cases: int
    stated: float
    seen: float
    low: float
    high: float


def write(folder: Path, cars: Sequence[Record], tests: Sequence[Test], seed: int) -> None:
    """The three files."""
    folder.mkdir(parents=True, exist_ok=True)
    scores, states, cost = score_bins(cars), state_bins(cars), [c.ranks["surprise cost"] for c in cars]
    adjusted = holm(tests)
    found = {
        "cars": len(cars),
        "seed": seed,
        "level": LEVEL,
        "rejected": [t.name for t, p in zip(tests, adjusted, strict=True) if p < LEVEL],
        "score": [_rounded(b) for b in scores],
        "not_sound": [_rounded(b) for b in states],
        "cost_ranks": np.histogram(cost, 20, (0, 1))[0].tolist(),
        "tests": [_rounded(t) | {"holm": float(f"{p:.3g}")} for t, p in zip(tests, adjusted, strict=True)],
    }
    (folder / "results.json").write_text(json.dumps(found, indent=1) + "\n")
    (folder / "results.md").write_text(_page(cars, tests, scores, states, seed))
    (folder / "reliability.svg").write_text(
        drawn(
            (
                Panel("Score", "stated chance of exceeding the budget", "share of cars that did", points(scores)),
                Panel("Weak points", "stated chance of not being sound", "share that were not", points(states)),
                Panel("Surprise cost", "rank of the true cost", "cars", (), tuple(found["cost_ranks"])),
            )
        )
    )


def _rounded(record: Bin | Test) -> dict[str, object]:
    return {k: float(f"{v:.6g}") if isinstance(v, float) else v for k, v in asdict(record).items()}


def points(bins: Sequence[Bin]) -> tuple[Point, ...]:
    return tuple(Point(b.stated, b.seen, b.low, b.high) for b in bins)


def score_bins(cars: Sequence[Record]) -> list[Bin]:
    """The cars in tenths by their score."""
    ordered = sorted(cars, key=lambda c: c.score)
    parts = np.array_split(np.arange(len(ordered)), 10)
    return [_bin([(ordered[i].score, ordered[i].exceeds) for i in part]) for part in parts if len(part)]


def state_bins(cars: Sequence[Record]) -> list[Bin]:
    """All weak points of all cars, by their chance of not being sound."""
    pairs = [(chance(s, 1), s.truth > 0) for c in cars for s in c.states]
    place = np.clip(np.searchsorted(EDGES, [p for p, _ in pairs], side="right") - 1, 0, len(EDGES) - 2)
    mine = [[pairs[i] for i in np.flatnonzero(place == k)] for k in range(len(EDGES) - 1)]
    return [_bin(one) for one in mine if one]


def _bin(pairs: Sequence[tuple[float, bool]]) -> Bin:
    seen = int(sum(x for _, x in pairs))
    interval = stats.binomtest(seen, len(pairs)).proportion_ci(0.95, "wilson")
    return Bin(
        len(pairs),
        float(np.mean([p for p, _ in pairs])),
        seen / len(pairs),
        float(interval.low),
        float(interval.high),
    )


# ---- for people ----------------------------------------------------------------------------------------------


def _page(
    cars: Sequence[Record], tests: Sequence[Test], scores: Sequence[Bin], states: Sequence[Bin], seed: int
) -> str:
    adjusted = holm(tests)
    wrong = sum(p < LEVEL for p in adjusted)
    findings, papers = (np.mean([getattr(c, name) for c in cars]) for name in ("findings", "papers"))
    intro = (
        f"{len(cars)} simulated cars (seed {seed}), {findings:.0f} findings and {papers:.0f} lines of history each on "
        f"average. {len(tests)} tests at one family-wise level of {LEVEL:.0%} (Holm): {wrong} reject the model."
    )
    lines = [
        "# Calibration",
        "",
        intro,
        "",
        "![Reliability](reliability.svg)",
        "",
        "## Cars by score",
        "",
        *_table("chance of exceeding the budget", "share that did", scores),
        "",
        "## Weak points by chance of not being sound",
        "",
        *_table("chance of not being sound", "share that were not", states),
        "",
        "The intervals hold for independent cases; weak points of one car are not quite that.",
        "",
        "## Tests",
        "",
        "The twenty smallest p-values. Ranks are tested for uniformity and show their mean.",
        "",
        "| test | cars | expected | seen | p | Holm |",
        "|---|---|---|---|---|---|",
        *(
            f"| {t.name} | {t.cars} | {t.expected:.4g} | {t.seen:.4g} | {t.p:.2g} | {p:.2g} |"
            for t, p in sorted(zip(tests, adjusted, strict=True), key=lambda pair: pair[0].p)[:20]
        ),
    ]
    return "\n".join(lines) + "\n"


def _table(stated: str, seen: str, bins: Sequence[Bin]) -> list[str]:
    return [
        f"| cases | {stated} | {seen} | 95 % interval |",
        "|---|---|---|---|",
        *(f"| {b.cases} | {b.stated:.2%} | {b.seen:.2%} | {b.low:.2%} to {b.high:.2%} |" for b in bins),
    ]
