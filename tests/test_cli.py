"""The command line, as scripts rely on it: what is written where, exit status, and messages instead of tracebacks."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

import riskapi.commands.assess
import riskapi.commands.knowledge
from riskapi.cli import main
from riskapi.report.audit import json_bytes
from riskapi.samples import sample
from tests.conftest import ROOT, SAMPLES
from tests.knots import ENOUGH, clashing_request, knotted, knotted_request

SAMPLE = ROOT / "sample_requests" / "before_the_visit.json"
AUDIT = {"network.bif", "network.bifxml", "evidence.json", "inputs.json", "result.json"}


@pytest.fixture(autouse=True)
def repository_knowledge(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Every command works on the repository's pack, in an empty folder."""
    monkeypatch.setenv("RISKAPI_KNOWLEDGE", str(ROOT / "knowledge"))
    monkeypatch.chdir(tmp_path)


def run(*arguments: str, data: bytes | None = None) -> Result:
    return CliRunner().invoke(main, list(arguments), input=data)


def changed(**vehicle: object) -> bytes:
    """The sample with other facts about the vehicle."""
    case = json.loads(SAMPLE.read_bytes())
    case["vehicle"] |= vehicle
    return json.dumps(case).encode()


def refused(result: Result, *words: str) -> None:
    """What every refusal has: status 1, these words on standard error, nothing on standard output, no traceback."""
    assert result.exit_code == 1, result.output
    assert result.stdout == ""
    assert "Traceback" not in result.stderr
    for word in words:
        assert word in result.stderr


# ---- assess ----------------------------------------------------------------------------------------------


def test_without_an_option_the_result_goes_to_standard_output() -> None:
    result = run("assess", str(SAMPLE))
    assert result.exit_code == 0, result.stderr
    answer = json.loads(result.stdout)
    assert 0 <= answer["risk"]["score"] <= 100
    assert re.fullmatch(r"[0-9a-f]{16}", answer["assessment_id"])
    assert answer["created_at"].startswith(json.loads(SAMPLE.read_bytes())["as_of"] + "T00:00:00")


def test_the_same_input_gives_the_same_bytes_whether_from_a_file_or_from_standard_input() -> None:
    first, second = run("assess", str(SAMPLE)), run("assess", "-", "--json", "-", data=SAMPLE.read_bytes())
    assert first.stdout_bytes == second.stdout_bytes


def test_other_input_gives_another_id() -> None:
    first, second = run("assess", "-", data=changed()), run("assess", "-", data=changed() + b"\n")
    assert json.loads(first.stdout)["assessment_id"] != json.loads(second.stdout)["assessment_id"]


def test_every_output_at_once(tmp_path: Path) -> None:
    options = ["--json", "result.json", "--pdf", "report.pdf", "--audit", "deep/audit", "--calendar", "watch.ics"]
    result = run("assess", str(SAMPLE), *options)
    assert (result.exit_code, result.stdout) == (0, ""), result.stderr
    assert {item.name for item in tmp_path.iterdir()} == {"result.json", "report.pdf", "watch.ics", "deep"}
    assert {item.name for item in (tmp_path / "deep" / "audit").iterdir()} == AUDIT
    assert (tmp_path / "report.pdf").read_bytes().startswith(b"%PDF-")
    assert (tmp_path / "watch.ics").read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")
    assert (tmp_path / "deep" / "audit" / "result.json").read_bytes() == (tmp_path / "result.json").read_bytes()


@pytest.mark.parametrize("second", ["--pdf", "--calendar"])
def test_two_outputs_cannot_share_a_file(second: str, tmp_path: Path) -> None:
    result = run("assess", str(SAMPLE), "--json", "out", second, "out")
    assert result.exit_code == 2
    assert f"{second} names a file that another option names too." in result.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_sample_is_assessed(path: Path) -> None:
    result = run("assess", str(path))
    assert result.exit_code == 0, result.stderr
    answer = json.loads(result.stdout)
    assert json_bytes(answer) == result.stdout_bytes
    for point in answer["weak_points"]:
        assert sum(point["state"].values()) == pytest.approx(1, abs=3e-6)


def test_all_faults_of_a_case_are_named_at_once_with_file_place_and_mend() -> None:
    odometer = {"value": -5, "unit": "km"}
    result = run("assess", "-", data=changed(odometer=odometer, build_date="2090-01-01"))
    refused(result, "/vehicle/odometer", "/vehicle/build_date", "standard input: ")
    assert len(result.stderr.splitlines()) >= 2


@pytest.mark.parametrize("data", [b"", b"{", b"[]", b"null", b'{"a": NaN}', b"\xff\xfe", b"[" * 100_000])
def test_what_is_no_case_is_refused(data: bytes) -> None:
    refused(run("assess", "-", data=data), "standard input: ")


def test_a_body_that_is_too_long_is_refused() -> None:
    refused(run("assess", "-", data=b'{"reference": "' + b"x" * 5_000_000 + b'"}'))


def test_nothing_is_written_when_the_case_is_at_fault(tmp_path: Path) -> None:
    (tmp_path / "bad.json").write_bytes(changed(odometer=7))
    refused(
        run("assess", "bad.json", "--json", "r.json", "--pdf", "r.pdf", "--audit", "a"), "bad.json: /vehicle/odometer"
    )
    assert [item.name for item in tmp_path.iterdir()] == ["bad.json"]


def test_nothing_is_written_when_one_output_cannot_be(tmp_path: Path) -> None:
    refused(run("assess", str(SAMPLE), "--json", "r.json", "--pdf", "missing/r.pdf"), "missing")
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_not_there_is_named() -> None:
    refused(run("assess", "nowhere.json"), "nowhere.json", "No such file")


@pytest.mark.parametrize(
    "arguments",
    [
        ["assess"],
        ["assess", "a.json", "--nonsense"],
        ["nonsense"],
        ["serve", "--port", "0"],
        ["engines", "a", "b", "c"],
    ],
)
def test_wrong_usage_has_its_own_status(arguments: list[str]) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert "Usage:" in result.stderr


def test_two_outputs_of_one_name_are_wrong_usage(tmp_path: Path) -> None:
    assert run("assess", str(SAMPLE), "--json", "same", "--pdf", "same").exit_code == 2
    assert list(tmp_path.iterdir()) == []


def test_a_fault_of_the_program_shows_no_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("float division by zero")

    monkeypatch.setattr(riskapi.commands.assess.service, "assess_from", broken)
    result = run("assess", str(SAMPLE))
    assert result.exit_code == 3
    assert "Traceback" not in result.stderr
    assert "ZeroDivisionError" in result.stderr


# ---- checklist -------------------------------------------------------------------------------------------


def test_the_checklist_goes_to_standard_output_as_text() -> None:
    result = run("checklist", str(SAMPLE))
    assert result.exit_code == 0, result.stderr
    for words in ("THE LIST, IN THE ORDER OF THE VISIT", "Please leave the engine cold", "WHAT NO LOOK CAN SEE"):
        assert words in result.stdout


def test_the_checklist_as_json_and_pdf(tmp_path: Path) -> None:
    written = run("checklist", str(SAMPLE), "--json", "list.json", "--pdf", "list.pdf")
    assert (written.exit_code, written.stdout) == (0, ""), written.stderr
    streamed = run("checklist", "-", "--json", "-", data=SAMPLE.read_bytes())
    assert streamed.stdout_bytes == (tmp_path / "list.json").read_bytes()
    assert (tmp_path / "list.pdf").read_bytes().startswith(b"%PDF-")
    assert json.loads(streamed.stdout)["checks"][0]["position"] == 1


def test_the_checklist_of_a_case_at_fault_says_where() -> None:
    refused(run("checklist", "-", data=changed(odometer=5)), "standard input", "/vehicle/odometer")


def test_the_checklist_cannot_be_both_files_in_one() -> None:
    assert run("checklist", str(SAMPLE), "--json", "a", "--pdf", "a").exit_code == 2


# ---- browsing and checking -------------------------------------------------------------------------------


def test_engines_families_revisions_and_one_revision() -> None:
    assert re.search(r"^lapwing +Tarnbeck Lapwing +\d+ +\d+$", run("engines").stdout, re.MULTILINE)
    family = run("engines", "lapwing").stdout
    revisions = re.findall(r"^  (\w+)  \d{4}-\d\d to ", family, re.MULTILINE)
    assert len(revisions) >= 6
    for revision in revisions:
        told = run("engines", "lapwing", revision)
        assert told.exit_code == 0
        assert "Weak points" in told.stdout


def test_a_revision_at_an_odometer_and_an_age_and_against_another() -> None:
    told = run("engines", "lapwing", "lapwing_1b", "--odometer", "120000", "--age", "8")
    assert told.exit_code == 0, told.stderr
    assert "At 120,000 km and 8 years" in told.stdout
    beside = run("engines", "lapwing", "lapwing_1a", "--against", "lapwing_2b", "--odometer", "120000", "--age", "8")
    assert beside.exit_code == 0, beside.stderr
    assert "What differs, lapwing_1a -> lapwing_2b" in beside.stdout
    assert "120,000 km, 8 years" in beside.stdout
    refused(run("engines", "lapwing", "lapwing_1a", "--against", "nonesuch"), "revision", "nonesuch")


@pytest.mark.parametrize(
    "arguments", [["--age", "8"], ["lapwing", "--odometer", "1"], ["lapwing", "lapwing_1a", "--age", "0"]]
)
def test_an_odometer_or_an_age_without_a_revision_is_wrong_usage(arguments: list[str]) -> None:
    assert run("engines", *arguments).exit_code == 2


def test_an_unknown_engine_is_named_with_the_way_to_find_the_known_ones() -> None:
    refused(run("engines", "nonesuch"), "engine family", "nonesuch", "riskapi engines")
    refused(run("engines", "lapwing", "nonesuch"), "revision", "nonesuch")


def test_a_knowledge_pack_in_order_is_one_line_of_counts() -> None:
    result = run("knowledge", "check")
    assert result.exit_code == 0, result.stderr
    assert re.fullmatch(r"\d+ weak points, \d+ checks, \d+ operations, \d+ engine families\n", result.stdout)
    assert run("knowledge", "check", str(ROOT / "knowledge")).stdout == result.stdout


def test_every_fault_of_a_knowledge_pack_has_file_line_and_column() -> None:
    result = run("knowledge", "check", str(ROOT / "tests" / "reference"))
    refused(result)
    assert len(result.stderr.splitlines()) >= 5
    assert all(re.match(r"[^:]+:\d+:\d+: ", line) for line in result.stderr.splitlines())


def test_a_knowledge_folder_that_is_not_there_is_named() -> None:
    refused(run("knowledge", "check", "nowhere"), "nowhere")


# ---- two packs -------------------------------------------------------------------------------------------


@pytest.fixture
def two_samples(monkeypatch: pytest.MonkeyPatch) -> None:
    """Only two sample cases, so that a comparison takes seconds."""
    few = [(name, sample(name)) for name in ("noisy_early.json", "port_injected.json")]
    monkeypatch.setattr(riskapi.commands.knowledge, "sample_cases", lambda: few)


@pytest.fixture
def altered(tmp_path: Path) -> Path:
    """A copy of the shipped pack."""
    return Path(shutil.copytree(ROOT / "knowledge", tmp_path / "altered"))


def rewrite(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")


@pytest.mark.usefixtures("two_samples")
def test_a_pack_against_itself_says_the_same() -> None:
    knowledge = str(ROOT / "knowledge")
    result = run("knowledge", "diff", knowledge, knowledge)
    assert result.exit_code == 0, result.stderr
    assert result.stdout.endswith("\nThe two packs say the same.\n")


@pytest.mark.usefixtures("two_samples")
def test_dearer_parts_are_told_and_make_a_car_riskier_unless_the_case_states_its_own_prices(altered: Path) -> None:
    rewrite(altered / "pack.yaml", "parts_index: 1 x", "parts_index: 1.5 x")
    result = run("knowledge", "diff", str(ROOT / "knowledge"), str(altered))
    assert result.exit_code == 0, result.stderr
    assert "  pack defaults: parts_index\n" in result.stdout
    assert "  defaults.parts_index: 1 x -> 1.5 x, +50 % (" in result.stdout
    line = r"(\w+).json: score ([\d.]+) -> ([\d.]+) \((.+)\), cost ([\d,]+) EUR -> ([\d,]+) EUR"
    stated, silent = re.findall(line, result.stdout)
    assert (stated[0], stated[3]) == ("noisy_early", "unmoved")
    assert (stated[1], stated[4]) == (stated[2], stated[5])
    assert (silent[0], silent[3]) == ("port_injected", "riskier")
    assert float(silent[1]) < float(silent[2])
    assert int(silent[4].replace(",", "")) < int(silent[5].replace(",", ""))


@pytest.mark.usefixtures("two_samples")
def test_a_figure_of_one_family_leaves_the_others_unmoved(altered: Path) -> None:
    rewrite(altered / "engines" / "lapwing.yaml", "scale: 140000 km", "scale: 60000 km")
    told = run("knowledge", "diff", str(ROOT / "knowledge"), str(altered)).stdout
    assert "Figures changed: 1" in told
    assert re.search(r"noisy_early.json: score .* cost ([\d,]+) EUR -> (?!\1 EUR)", told)
    assert re.search(r"port_injected.json: score ([\d.]+) -> \1 \(unmoved\), cost ([\d,]+) EUR -> \2 EUR", told)


def test_a_sample_that_one_pack_cannot_read_is_said_so(altered: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    case = json.loads(sample("noisy_early.json"))
    case["findings"].append({"check": "look_cover_ribs", "result": "three_ribs"})
    monkeypatch.setattr(riskapi.commands.knowledge, "sample_cases", lambda: [("ribs.json", json.dumps(case).encode())])
    rewrite(altered / "checks.yaml", "  look_cover_ribs:", "  look_at_ribs:")
    result = run("knowledge", "diff", str(ROOT / "knowledge"), str(altered))
    assert result.exit_code == 0, result.stderr
    assert "Records added: 1\n  check look_at_ribs\n" in result.stdout
    assert "Records removed: 1\n  check look_cover_ribs\n" in result.stdout
    assert re.search(r"ribs.json: the new pack cannot read it: /findings/\d+/check: ", result.stdout)


def test_a_pack_at_fault_is_not_compared(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    refused(run("knowledge", "diff", str(ROOT / "knowledge"), "empty"), "empty: pack.yaml:1:1")


# ---- demo and help ---------------------------------------------------------------------------------------


def test_the_demo_prints_a_summary_and_writes_the_report_here(tmp_path: Path) -> None:
    result = run("demo")
    assert result.exit_code == 0, result.stderr
    assert str(tmp_path / "riskapi_demo.pdf") in result.stdout
    assert (tmp_path / "riskapi_demo.pdf").read_bytes().startswith(b"%PDF-")
    assert "Of 100 cars like this" in result.stdout


def test_the_demo_writes_where_it_is_told(tmp_path: Path) -> None:
    assert run("demo", "--pdf", "mine.pdf").exit_code == 0
    assert [item.name for item in tmp_path.iterdir()] == ["mine.pdf"]


def test_the_demo_case_is_a_shipped_sample() -> None:
    assert sample("noisy_early.json") == (ROOT / "sample_requests" / "noisy_early.json").read_bytes()


def commands(command: click.Command, path: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    if not isinstance(command, click.Group):
        return [path]
    context = click.Context(command)
    below = {name: command.get_command(context, name) for name in command.list_commands(context)}
    return [path, *(found for name, sub in below.items() if sub for found in commands(sub, (*path, name)))]


@pytest.mark.parametrize("path", commands(main), ids=" ".join)
def test_every_command_has_help_with_an_example_and_stands_in_the_readme(path: tuple[str, ...]) -> None:
    done = run(*path, "--help")
    assert done.exit_code == 0
    assert re.search(rf"^ .*\b{' '.join(('riskapi', *path))}\b", done.stdout, re.MULTILINE)
    assert " ".join(("riskapi", *path)) in (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_case_in_the_readme_is_a_case() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    case = text.split("```json\n")[1].split("```")[0]
    result = run("assess", "-", data=case.encode())
    assert result.exit_code == 0, result.stderr


def test_it_runs_as_a_module() -> None:
    command = [sys.executable, "-m", "riskapi", "--version"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout == f"riskapi, version {riskapi.__version__}\n"


# ---- findings that cannot be answered ---------------------------------------------------------------------


def test_findings_that_cannot_be_together_are_refused_by_name_and_place() -> None:
    body, places = clashing_request(json.loads(SAMPLE.read_bytes()))
    refused(run("assess", "-", data=json.dumps(body).encode()), *places, "turbocharger shaft: wheel touches")


def test_findings_that_hang_together_too_closely_are_refused_by_name_and_place(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(riskapi.commands.assess, "load_pack", lambda: knotted()[1])
    result = run("assess", "-", data=json.dumps(knotted_request()).encode())
    refused(result, "entries", *(f"/findings/{k + 1}: smooth: r1 hangs together" for k in range(ENOUGH)))


def test_what_if_shows_both_columns() -> None:
    done = run("what-if", str(SAMPLE), "--set", "ownership.years=5 years", "--set", "market.tax=0 %")
    assert done.exit_code == 0, done.output
    assert done.stdout.splitlines()[1].split() == ["Ownership", "4", "years", "5", "years"]


def test_what_if_as_json() -> None:
    done = run("what-if", str(SAMPLE), "--set", "ownership.repair_budget=1 EUR", "--json")
    told = json.loads(done.stdout)
    assert told["what_if"]["score"] > told["as_it_stands"]["score"]


def test_what_if_names_every_fault() -> None:
    done = run("what-if", str(SAMPLE), "--set", "owner.age=50 years", "--set", "market.tax=many")
    refused(done, '"owner.age" cannot be set', "not a number with a unit")


def test_sensitivity_in_words_and_as_json() -> None:
    told = run("sensitivity", str(SAMPLE))
    assert told.exit_code == 0, told.output
    assert "Distance a year" in told.stdout
    bars = json.loads(run("sensitivity", str(SAMPLE), "--json").stdout)["bars"]
    assert bars[0]["width"] >= bars[-1]["width"] >= 0.0
