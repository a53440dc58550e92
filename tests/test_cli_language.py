"""--language and --units on the command line."""

from __future__ import annotations

import re
import shutil
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.conftest import ROOT
from tests.test_cli import SAMPLE, repository_knowledge, run

__all__ = ["repository_knowledge"]
MEASURED = ROOT / "sample_requests" / "measured_compression.json"


def words_of(file: Path) -> str:
    reader = PdfReader(BytesIO(file.read_bytes()))
    assert reader.root_object["/Lang"] in ("en", "de")
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def test_report_calendar_and_json_at_once(tmp_path: Path) -> None:
    names = ("a.json", "a.pdf", "a.ics", "b.json")
    plain, pdf, calendar, german = (tmp_path / name for name in names)
    assert run("assess", str(MEASURED), "--json", str(plain)).exit_code == 0
    done = run(
        "assess", str(MEASURED), "--json", str(german), "--pdf", str(pdf), "--calendar", str(calendar),
        "--language", "de", "--units", "mi,psi,qt",
    )  # fmt: skip
    assert done.exit_code == 0, done.stderr
    assert german.read_bytes() == plain.read_bytes()
    told = words_of(pdf)
    assert "Motorbeurteilung" in told
    assert "67.978 mi" in told  # 109,400 km / 1.609344
    assert "109.400 km" not in told  # the pack's own texts keep its kilometres
    assert "NAME:Motor: Pr" in calendar.read_text("utf-8")


def test_measured_values_in_the_units_asked_for(tmp_path: Path) -> None:
    """NIST SP 811 (2008), B.8: 1 psi = 6.894757 kPa, so 12.4, 12.1, 8.3 and 12.2 bar are 179.8, 175.5, 120.4 and
    176.9 psi."""
    assert run("assess", str(MEASURED), "--pdf", "r.pdf", "--units", "psi").exit_code == 0
    assert "180, 175, 120, 177 psi" in words_of(tmp_path / "r.pdf")


def test_the_checklist_and_the_demo_in_german(tmp_path: Path) -> None:
    assert run("checklist", str(SAMPLE), "--language", "de").stdout.startswith("Prüfliste für einen Blick")
    done = run("demo", "--language", "de", "--pdf", str(tmp_path / "d.pdf"))
    assert done.stdout.splitlines()[0] == "Motorbeurteilung"
    assert "Der ganze Bericht: " in done.stdout


@pytest.mark.parametrize("options", [("--language", "fr"), ("--units", "miles"), ("--units", "km,mi")])
def test_what_is_no_language_or_unit_is_wrong_usage(options: tuple[str, ...]) -> None:
    done = run("assess", str(SAMPLE), *options)
    assert done.exit_code == 2
    assert options[0] in done.stderr


def test_a_language_that_lacks_texts_is_named_but_no_fault(tmp_path: Path) -> None:
    pack = tmp_path / "pack"
    shutil.copytree(ROOT / "knowledge", pack)
    assert run("knowledge", "check", str(pack)).stderr == ""
    (pack / "languages" / "de.po").write_text('msgid "Engine cold"\nmsgstr "Motor kalt"\n', "utf-8")
    done = run("knowledge", "check", str(pack))
    assert done.exit_code == 0
    assert len(done.stdout.splitlines()) == 1
    missing, total = (int(word) for word in done.stderr.split() if word.isdigit())
    assert done.stderr.startswith("languages/de.po: ")
    assert missing == total - 1 > 1000


# ---- texts on the terminal -------------------------------------------------------------------------------


def test_engines_what_if_and_sensitivity_in_german_and_in_miles() -> None:
    engines = run("engines", "lapwing", "lapwing_1b", "--odometer", "160934.4", "--age", "8", "--language", "de",
                  "--units", "mi").stdout  # fmt: skip
    assert "Stand 100.000 mi, Alter 8 Jahre" in engines
    assert "Kettenspanner" in engines
    told = run("what-if", str(SAMPLE), "--set", "ownership.years=5 years", "--language", "de", "--units", "mi").stdout
    assert re.search(r"^Besitzdauer +\d+ Jahre +5 Jahre$", told, re.MULTILINE)
    assert " mi" in told
    assert " km" not in told
    moves = run("sensitivity", str(SAMPLE), "--language", "de").stdout
    assert "\nBesitzdauer\n" in moves
    assert "weitere bewegen es weniger" in moves
    assert not re.search(r"\b(?:the|and|with|years?|more|lasts)\b", moves)


def test_json_of_sensitivity_is_english_whatever_is_spoken() -> None:
    plain = run("sensitivity", str(SAMPLE), "--json").stdout_bytes
    assert run("sensitivity", str(SAMPLE), "--json", "--language", "de", "--units", "mi").stdout_bytes == plain


def test_another_sample_in_the_demo_and_one_that_is_not_there(tmp_path: Path) -> None:
    done = run("demo", "port_injected", "--pdf", str(tmp_path / "d.pdf"))
    assert done.exit_code == 0, done.stderr
    assert (tmp_path / "d.pdf").stat().st_size > 0
    refused = run("demo", "nonesuch")
    assert refused.exit_code == 2
    assert "port_injected" in refused.stderr
