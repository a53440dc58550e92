"""`python -m tests.simulator.proof [CASE ..]` plays the cars of proof_cases.py until the mean is known to 0.16 %, holds
what was computed against them, and writes results/proof.json and results/proof.md. Cases that are named are played
anew, the others kept."""

from __future__ import annotations

import argparse
import json
import sys
import time
from pathlib import Path
from typing import Any

from scipy.stats import t as student

from tests.simulator.compare import QUANTILES, Comparison, compare
from tests.simulator.proof_cases import SEED, proof_cases
from tests.simulator.simulate import Effort

HERE = Path(__file__).parent / "results"
EFFORT = Effort(pasts=20_000, futures=6_000, cars=6_000)
LEAST, MOST, WANTED = 12, 96, 0.0016
Row = dict[str, Any]


def as_demanded(found: Comparison) -> list[str]:
    """What misses the limits: mean within 0.5 %, chance to exceed the budget within 3 standard errors, and P50, P80,
    P90 within 3 standard errors around one step of the lattice."""
    wrong = [] if abs(found.mean_off) <= 0.005 else [f"mean off by {found.mean_off:+.2%}"]
    wrong += [] if abs(found.score_off) <= 3.0 else [f"score off by {found.score_off:+.1f} standard errors"]
    return wrong + [f"{name} outside" for name in QUANTILES if found.quantile_off(name) > 3.0]


def proved(name: str) -> Comparison:
    """One car of the proof."""
    case, pack = proof_cases()[name]()
    return compare(case, pack, EFFORT, LEAST, MOST, SEED, wanted=WANTED)


def row_of(found: Comparison, seconds: float) -> Row:
    """All figures that are worth keeping."""
    cost, risk = found.answer.cost.unplanned, found.answer.risk
    single = {
        name: (value - found.played[name].value) / found.played[name].error
        for name, value in found.computed.items()
        if found.played[name].error > 0
    }
    worst = max(single, key=lambda name: abs(single[name]))
    return {
        "runs": found.runs,
        "processor_seconds": round(seconds),
        "roots": found.roots,
        "budget": risk.repair_budget,
        "mean": {
            "computed": cost.mean,
            **_played(found, "mean"),
            "off": found.mean_off,
            "error_share": found.mean_error,
        },
        "score": {"computed": risk.score, **_played(found, "score"), "off_errors": found.score_off},
        "quantiles": {
            name: {
                "computed": getattr(cost, name),
                "played_one_step_below": _played(found, f"{name} below"),
                "played_one_step_above": _played(found, f"{name} above"),
                "outside_errors": found.quantile_off(name),
            }
            for name in QUANTILES
        },
        "nothing": {"computed": cost.p_zero, **_played(found, "nothing")},
        "immediate": {"computed": found.answer.cost.immediate.mean, **_played(found, "immediate")},
        "figures": len(single),
        "beyond_3_errors": sum(abs(z) > 3.0 for z in single.values()),
        "beyond_3_errors_expected": len(single) * 2 * float(student.sf(3.0, found.runs - 1)),
        "worst": {"name": worst, "computed": found.computed[worst], **_played(found, worst), "errors": single[worst]},
        "misses": as_demanded(found),
    }


def _played(found: Comparison, name: str) -> Row:
    return {"played": found.played[name].value, "error": found.played[name].error}


HEAD = f"""# The cost distribution against cars played part by part

Per run {EFFORT.pasts:,} lives of every distinct part up to today, {EFFORT.futures:,} futures from sound and a quarter of that
from degraded and from faulty, and {EFFORT.cars:,} combinations of states with 4 cars each; seed {SEED}; at least {LEAST} runs, then
until the mean is known to {WANTED:.2%}. Errors are standard errors between runs; off is computed against played. Limits: mean
within 0.5 %, score within 3 errors, P50, P80 and P90 within 3 errors around one step of the lattice (told is by how many
errors the level lies outside what was played one step below and above). Figures are all that were compared: states, costs
and failures of every weak point, roots, years; in brackets how many would be beyond 3 errors by chance alone.

| car | root combinations | runs | mean | off | error | score | off [points] | off [errors] | P50, P80, P90 | figures \
| beyond 3 errors | misses |
|---|---|---|---|---|---|---|---|---|---|---|---|---|
"""  # noqa: E501


def table(rows: dict[str, Row], names: list[str]) -> str:
    """The results for people, and which of these cases have none."""
    missing = [name for name in names if name not in rows]
    left = f"\nNot played with this effort yet: {', '.join(missing)}.\n" if missing else ""
    return HEAD + "".join(map(_line, rows, rows.values())) + "\n" + _in_all(list(rows.values())) + left


def _line(name: str, row: Row) -> str:
    mean, score = row["mean"], row["score"]
    cells = (
        name, row["roots"], row["runs"],
        f"{mean['computed']:,.1f}", f"{mean['off']:+.2%}", f"{mean['error_share']:.2%}",
        f"{score['computed']:.2f}", f"{score['computed'] - score['played']:+.3f}", f"{score['off_errors']:+.1f}",
        ", ".join(f"{one['outside_errors']:.1f}" for one in row["quantiles"].values()),
        row["figures"], f"{row['beyond_3_errors']} ({row['beyond_3_errors_expected']:.1f})",
        "; ".join(row["misses"]) or "none",
    )  # fmt: skip
    return f"| {' | '.join(map(str, cells))} |\n"


def _in_all(rows: list[Row]) -> str:
    names = ("runs", "figures", "beyond_3_errors", "beyond_3_errors_expected")
    runs, figures, beyond, expected = (sum(row[name] for row in rows) for name in names)
    return (
        f"{len(rows)} cases, {runs * EFFORT.cars * 4 / 1e6:,.0f} million cars; "
        f"{sum(bool(row['misses']) for row in rows)} cases miss a limit. "
        f"{figures:,} figures, {beyond} beyond 3 errors, {expected:.0f} expected.\n"
    )


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.simulator.proof", description=__doc__)
    parser.add_argument("cases", nargs="*", metavar="CASE", help="names of cases; none for all")
    parser.add_argument("--out", type=Path, default=HERE)
    chosen = parser.parse_args()
    file, names = chosen.out / "proof.json", list(proof_cases())
    known: dict[str, Row] = json.loads(file.read_text(encoding="utf-8")) if chosen.cases and file.exists() else {}
    for name in chosen.cases or names:
        began = time.process_time()
        found = proved(name)
        known[name] = row_of(found, time.process_time() - began)
        print(name, found.line(), "; ".join(known[name]["misses"]), file=sys.stderr, flush=True)
        rows = {name: known[name] for name in names if name in known}
        chosen.out.mkdir(exist_ok=True)
        file.write_text(json.dumps(rows, indent=1) + "\n", encoding="utf-8")
        (chosen.out / "proof.md").write_text(table(rows, names), encoding="utf-8")
    return 1 if any(row["misses"] for row in known.values()) else 0


if __name__ == "__main__":
    sys.exit(main())
