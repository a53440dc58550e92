"""An inspection from Python. Needs requests; case.json is one of sample_requests/."""

import json
import os
import uuid
from pathlib import Path
from typing import Any

import requests

URL = os.environ["RISKAPI_URL"]
session = requests.Session()
if key := os.environ.get("RISKAPI_KEY"):
    session.headers["Authorization"] = f"Bearer {key}"


def send(path: str, body: dict[str, Any]) -> Any:
    """Send a write; the key makes it safe to try again when the connection is lost."""
    headers = {"Idempotency-Key": str(uuid.uuid4())}
    for attempt in range(3):
        try:
            answer = session.post(URL + path, json=body, headers=headers, timeout=60)
            break
        except requests.ConnectionError:
            if attempt == 2:
                raise
    if answer.status_code == 422:  # every fault at once, each with its place and how to mend it
        raise SystemExit("\n".join(f"{f['pointer']}: {f['message']} {f['mend']}" for f in answer.json()["faults"]))
    answer.raise_for_status()
    return answer.json()


case = json.loads(Path("case.json").read_text())
made = send("/v1/assessments", case)
risk, checks = made["risk"], made["decision"]["next_checks"]
budget = f"{risk['repair_budget']:.0f} {made['cost']['currency']}"
print(f"Of 100 cars like this about {risk['score']:.0f} need more than {budget} for surprise engine repairs")
print("Worth looking at next:", checks[0]["check"] if checks else "nothing")

report = session.get(f"{URL}/v1/assessments/{made['assessment_id']}/report.pdf", timeout=60)
Path("report.pdf").write_bytes(report.content)
