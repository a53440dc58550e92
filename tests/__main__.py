"""The one test command: `python -m tests`. Runs every check, then the tests; fails if any of them failed.

What is written after it goes to pytest: `python -m tests tests/report -k bif`; `-n 0` runs all tests in one process.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
TOOLS = Path(sys.executable).parent
# One process per processor, four at most; a file stays with one of them, since its tests share what is slow to make.
SPREAD = ("-n", "logical", "--maxprocesses", "4", "--dist", "loadfile")
ONE_THREAD = {"OMP_NUM_THREADS": "1"}  # in each: else those of the linear algebra wait for each other
STEPS = (
    ("style", [sys.executable, "-m", "ruff", "check", "."]),
    ("format", [sys.executable, "-m", "ruff", "format", "--check", "."]),
    ("types", [sys.executable, "-m", "mypy"]),
    ("rooms", [str(TOOLS / "lint-imports")]),
    ("tests", [sys.executable, "-m", "pytest", *SPREAD, *sys.argv[1:]]),
)


def main() -> int:
    failed = [name for name, command in STEPS if not passes(name, command)]
    if failed:
        print(f"not in order: {', '.join(failed)}", file=sys.stderr)
    return 1 if failed else 0


def passes(name: str, command: list[str]) -> bool:
    print(f"== {name}", flush=True)
    return subprocess.run(command, cwd=ROOT, check=False, env={**ONE_THREAD, **os.environ}).returncode == 0


sys.exit(main())
