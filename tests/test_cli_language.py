"""--language and --units on the command line."""

from __future__ import annotations

import json
import re
import shutil
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from riskapi.domain.knowledge import Pack
from riskapi.intake import read_case
from tests.conftest import ROOT
from tests.german import english_in
from tests.knots import clashing_request
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


# ---- faults ----------------------------------------------------------------------------------------------


@pytest.fixture
def faulty(tmp_path: Path) -> Path:
    case = json.loads(SAMPLE.read_bytes())
    case["vehicle"]["odometer"] = 5
    case["findings"] = [{"check": "look_sump", "result": "wett"}, {"check": "look_sump", "result": "wet"}]
    case["sellr"] = "private"
    (tmp_path / "case.json").write_text(json.dumps(case))
    return tmp_path / "case.json"


@pytest.mark.parametrize(
    "command",
    [("assess",), ("checklist",), ("what-if", "--set", "ownership.years=5 years"), ("sensitivity",)],
    ids=lambda command: command[0],
)
def test_faults_of_a_case_in_german(command: tuple[str, ...], faulty: Path) -> None:
    plain, german = (run(*command, str(faulty), "--language", language) for language in ("en", "de"))
    assert (plain.exit_code, german.exit_code) == (1, 1)
    before, after = plain.stderr.splitlines(), german.stderr.splitlines()
    assert len(before) == len(after) == 4
    for one, other in zip(before, after, strict=True):
        assert one.split(": ")[:2] == other.split(": ")[:2]  # file and place
        assert one != other
        assert english_in(other.replace(str(faulty), "")) == []
    assert 'Meinten Sie "wet"?' in german.stderr


def test_case_from_standard_input_and_no_json_in_german() -> None:
    done = run("assess", "-", "--language", "de", data=b"{")
    assert done.exit_code == 1
    assert done.stderr.startswith("Standardeingabe: Das ist kein JSON: ")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("engines", "nonesuch"), "riskapi: unbekannte Kennung 'nonesuch' (Motorfamilie). 'riskapi engines' und"),
        (("engines", "lapwing", "nonesuch"), "riskapi: unbekannte Kennung 'nonesuch' (Baustand)."),
        (("assess", "no_such.json"), "no_such.json: Datei oder Ordner gibt es nicht. Prüfen Sie den Namen"),
        (("assess", str(SAMPLE), "--json", "none/r.json"), "none/r.json: Datei oder"),
        (
            ("what-if", str(SAMPLE), "--set", "ownership.yeers=5"),
            '"ownership.yeers" lässt sich nicht setzen. Meinten',
        ),
        (("what-if", str(SAMPLE), "--set", "ownership.years=5 km"), '"km" ist keines der Wörter, die hier'),
        (("reprint", "0" * 32, "--pdf", "r.pdf"), "(Beurteilung)."),
        (("rescore", "0" * 32), "(Beurteilung)."),
    ],
)
def test_what_else_is_at_fault_in_german(arguments: tuple[str, ...], words: str) -> None:
    done = run(*arguments, "--language", "de")
    assert done.exit_code in (1, 2)
    assert words in done.stderr
    assert english_in(done.stderr) == []


def test_findings_that_cannot_be_together_are_named_in_german() -> None:
    body, _ = clashing_request(json.loads(SAMPLE.read_bytes()))
    done = run("assess", "-", "--language", "de", data=json.dumps(body).encode())
    assert done.exit_code == 1
    assert "Spiel der Turboladerwelle fühlen: " in done.stderr
    assert english_in(done.stderr) == []


def test_pictures_that_are_not_there_are_named_in_german(tmp_path: Path) -> None:
    case = json.loads(MEASURED.read_bytes())
    case["findings"][0]["photos"] = ["leak"]
    asked = json.dumps(case).encode()
    done = run("assess", "-", "--pdf", "r.pdf", "--photos", str(tmp_path), "--language", "de", data=asked)
    assert done.exit_code == 1
    assert "Es gibt kein Bild leak. Legen Sie es dort als leak.jpg" in done.stderr


def test_a_fault_of_the_program_is_told_in_german(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise RuntimeError("x")

    monkeypatch.setattr("riskapi.service.assess_from", fail)
    done = run("assess", str(SAMPLE), "--language", "de")
    assert done.exit_code == 3
    assert done.stderr.startswith("riskapi: ein Fehler des Programms selbst (RuntimeError: x). Bitte melden")


def test_a_pdf_that_cannot_be_sealed_is_told_in_german(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "file"))
    done = run("assess", str(SAMPLE), "--pdf", str(tmp_path / "r.pdf"), "--language", "de")
    assert done.exit_code == 0
    assert done.stderr.startswith("riskapi: Das PDF ist nicht versiegelt: ")


@pytest.mark.parametrize(
    "arguments",
    [
        ("engines",),
        ("engines", "whinchat"),
        ("engines", "whinchat", "whinchat_2a"),
        ("engines", "lapwing", "lapwing_1a", "--against", "lapwing_2b"),
        ("checklist", str(SAMPLE)),
        ("what-if", str(SAMPLE), "--set", "market.tax=0 %", "--set", "ownership.annual_distance=9000 km"),
        ("sensitivity", str(SAMPLE)),
    ],
    ids=" ".join,
)
def test_nothing_at_the_terminal_is_english(arguments: tuple[str, ...], shipped: Pack) -> None:
    done = run(*arguments, "--language", "de")
    assert done.exit_code == 0, done.stderr
    told = " ".join(done.stdout.split())
    case = read_case(SAMPLE.read_bytes(), shipped)
    for own in (case.reference or "", case.visit.place or "", *(entry.note for entry in case.history)):
        told = told.replace(own, "") if own else told
    assert english_in(told) == []
