"""The one test command: `python -m tests`. Runs every check, then the tests; fails if any of them failed.

What is written after it goes to pytest: `python -m tests tests/report -k bif`.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
TOOLS = Path(sys.executable).parent
STEPS = (
    ("style", [sys.executable, "-m", "ruff", "check", "."]),
    ("format", [sys.executable, "-m", "ruff", "format", "--check", "."]),
    ("types", [sys.executable, "-m", "mypy"]),
    ("rooms", [str(TOOLS / "lint-imports")]),
    ("tests", [sys.executable, "-m", "pytest", *sys.argv[1:]]),
)


def main() -> int:
    failed = [name for name, command in STEPS if not passes(name, command)]
    if failed:
        print(f"not in order: {', '.join(failed)}", file=sys.stderr)
    return 1 if failed else 0


def passes(name: str, command: list[str]) -> bool:
    print(f"== {name}", flush=True)
    return subprocess.run(command, cwd=ROOT, check=False).returncode == 0


sys.exit(main())
