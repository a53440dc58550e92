"""What an integrator does, through a client that was made from the OpenAPI document: run by test_generated_client.py
with the address and a key, the made package on the path."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

from made_client import AuthenticatedClient
from made_client.api.assessments import create_assessment, get_assessment, get_report
from made_client.api.publications import create_publication
from made_client.api.seal import verify
from made_client.api.versions import create_findings, list_versions
from made_client.models import Case, Further, Publish
from made_client.types import File

url, key, case_file = sys.argv[1:]
client = AuthenticatedClient(base_url=url, token=key, timeout=120, raise_on_unexpected_status=True)
case = Case.from_dict(json.loads(Path(case_file).read_text()))

made = create_assessment.sync(client=client, body=case, idempotency_key="made-by-a-client")
assert 0 <= made.risk.score <= 100
again = create_assessment.sync(client=client, body=case, idempotency_key="made-by-a-client")
assert again.assessment_id == made.assessment_id

found = Further.from_dict({"findings": [{"check": "oil_level", "result": "low"}]})
version = create_findings.sync(made.assessment_id, client=client, body=found)
versions = list_versions.sync(version.assessment_id, client=client)
assert [each.version for each in versions.items] == [1, 2], versions

read = get_assessment.sync(version.assessment_id, client=client)
assert read.assessment_id == version.assessment_id
report = get_report.sync_detailed(read.assessment_id, client=client).content
assert report.startswith(b"%PDF-"), report[:500]

published = create_publication.sync(
    client=client, body=Publish.from_dict({"assessment_id": read.assessment_id, "looked_by": "inspector"})
)
verdict = verify.sync(client=client, body=File(payload=io.BytesIO(report)))
changed = verify.sync(client=client, body=File(payload=io.BytesIO(report[:500] + b"x" + report[501:])))
sys.stdout.write(
    json.dumps({"published": published.to_dict(), "verdict": verdict.to_dict(), "changed": changed.to_dict()})
)
