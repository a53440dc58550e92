"""An inspector's software that was offline catches up: every case in the folder waiting/ goes in one batch.

The key is made from the names of the files, so the same batch sent again, after a lost connection or a crash, makes
nothing twice. Needs requests.
"""

import hashlib
import json
import os
from collections.abc import Iterator
from pathlib import Path

import requests

URL = os.environ["RISKAPI_URL"]
files = sorted(Path("waiting").glob("*.json"))
done = Path("done")
done.mkdir(exist_ok=True)
made: list[Path] = []
headers = {
    "Content-Type": "application/x-ndjson",
    "Idempotency-Key": hashlib.sha256("\n".join(path.name for path in files).encode()).hexdigest(),
}
if key := os.environ.get("RISKAPI_KEY"):
    headers["Authorization"] = f"Bearer {key}"


def lines() -> Iterator[bytes]:
    """One case per line, read when it is sent."""
    for path in files:
        yield json.dumps(json.loads(path.read_text())).encode() + b"\n"


with requests.post(f"{URL}/v1/batches", data=lines(), headers=headers, stream=True, timeout=600) as answer:
    answer.raise_for_status()
    for line in answer.iter_lines():
        told = json.loads(line)
        if "lines" in told:  # the last line: the batch was read to its end, nothing of it will be sent again
            print(f"{told['made']} made, {told['problems']} with problems")
            for path in made:
                path.unlink()
            continue
        path = files[told["line"] - 1]
        (done / path.name).write_text(json.dumps(told.get("assessment") or told["problem"]))
        made += [path] if "assessment" in told else []
