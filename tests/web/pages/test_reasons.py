"""The result page gives the reasons that the report gives, in its words."""

from __future__ import annotations

import json
import re
from html import unescape
from io import BytesIO
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from pypdf import PdfReader

ROOT = Path(__file__).parents[3]
SAMPLES = ("noisy_early", "do_not_drive", "plain_and_clean", "clean_late", "traits_only")


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("name", SAMPLES)
def test_page_and_report_agree(client: FlaskClient, name: str, language: str) -> None:
    case = json.loads((ROOT / "sample_requests" / f"{name}.json").read_bytes())
    made = client.post("/v1/assessments", json=case).get_json()["assessment_id"]
    page = client.get(f"/assessments/{made}?lang={language}").text
    report = client.get(f"/v1/assessments/{made}/report.pdf?language={language}").data
    printed = _squeezed("".join(sheet.extract_text() for sheet in PdfReader(BytesIO(report)).pages[:2]))
    advice = re.search(r'class="headline[^>]*>(.*?)</p><p class="lead">(.*?)</p>', page)
    assert advice is not None
    told = re.search(r'<ol class="reasons-told">(.*?)</ol>', page, re.DOTALL)
    assert told is not None
    reasons = [_plain(each) for each in re.findall(r"<li>(.*?)</li>", told[1])]
    assert len(reasons) == 3
    for words in (_plain(advice[1]), _plain(advice[2])):
        assert _squeezed(words) in printed
    for reason in reasons:
        name_of, _, because = reason.partition(". ")
        assert _squeezed(because or name_of) in printed, reason


def _plain(piece: str) -> str:
    return unescape(re.sub(r"<[^>]*>", "", piece))


def _squeezed(text: str) -> str:
    return re.sub(r"[\s\u00ad\u00a0]+", "", text)
