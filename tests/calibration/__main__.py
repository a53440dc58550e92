"""`python -m tests.calibration --cars 2000 --jobs 2`: simulate, assess, test, and write tests/calibration/results/."""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

from tests.calibration.cars import records
from tests.calibration.judge import rejected, tests_of
from tests.calibration.results import write

HERE = Path(__file__).parent / "results"


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.calibration", description=__doc__)
    parser.add_argument("--cars", type=int, default=2000)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--seed", type=int, default=2018)
    parser.add_argument("--out", type=Path, default=HERE)
    chosen = parser.parse_args()
    began, made = time.monotonic(), []
    for one in records(chosen.cars, chosen.seed, chosen.jobs):
        made.append(one)
        if len(made) % 100 == 0:
            print(f"{len(made)} cars, {time.monotonic() - began:.0f} s", file=sys.stderr, flush=True)
    tests = tests_of(made)
    write(chosen.out, made, tests, chosen.seed)
    wrong = rejected(tests)
    for test in wrong:
        print(f"rejected: {test.name}: expected {test.expected:.4g}, seen {test.seen:.4g}, p = {test.p:.2g}")
    print(f"{len(made)} cars, {len(tests)} tests, {len(wrong)} rejected, smallest p {min(t.p for t in tests):.2g}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
