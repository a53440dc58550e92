"""Loading: the records of the good pack, all faults at once, files that cannot be read, where a pack is found."""

from __future__ import annotations

import shutil
import zipfile
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.catalogue.folder import default_directory
from riskapi.catalogue.ledger import Ledger
from riskapi.catalogue.load import counts, load_pack, pack_files
from riskapi.catalogue.yamlfile import MAX_BYTES, parse
from riskapi.domain.knowledge import CareShare, Pack, SerialRange, ServiceInterval, SpecialTool, Traits, Weibull, When
from riskapi.errors import Fault, KnowledgeError

GOOD = Path(__file__).parent / "packs" / "good"


def faults_in(directory: Path) -> list[str]:
    with pytest.raises(KnowledgeError) as caught:
        load_pack(directory)
    return [str(fault) for fault in caught.value.faults]


# ---- what the records say ------------------------------------------------------------------------


def test_counts(good: Pack) -> None:
    assert counts(good) == "2 weak points, 7 checks, 5 operations, 1 engine families"


def test_quantities_are_in_the_units_of_the_records(good: Pack) -> None:
    assert good.defaults.annual_distance_km == pytest.approx(16093.44)  # written 10000 mi
    assert good.defaults.ownership_years == 3.0  # written 36 months
    assert good.defaults.tax == 0.2
    assert good.check("cover_look").minutes == 2.0  # written 120 s
    assert good.set_ups[0].minutes == 30.0  # written 0.5 h
    assert good.access_step("undertray").hours == pytest.approx(0.4)  # written 24 min
    assert good.access_step("undertray").transverse == 1.0  # not written


def test_weak_point(good: Pack) -> None:
    tensioner = good.weak_point("chain_tensioner")
    assert tensioner.system == "Timing drive"
    assert tensioner.applies == When((("cam_drive", ("chain",)),))
    wear = tensioner.part("standard").wear
    assert wear is not None
    assert (wear.distance, wear.age, wear.spread) == (Weibull(3.0, 250000.0), Weibull(3.0, 25.0), 1.5)
    assert [row.chance for row in tensioner.in_service.rows] == [0.6, 0.5, 0.4]
    assert tensioner.in_service.rows[0].when == When((("interference", ("yes",)),))
    assert tensioner.in_service.otherwise.operations == ("renew_chain",)
    assert tensioner.copies == 1
    assert good.weak_point("piston_land").copies == "cylinders"


def test_the_nearest_source_wins(good: Pack) -> None:
    effects = {effect.symptom: effect for effect in good.weak_point("chain_tensioner").effects}
    assert effects["rattle"].source == "a_book"
    assert effects["wet_cover"].source == "judgement"
    sources = {figure.path: figure.source for figure in good.figures}
    assert sources["checks.compression.measure.bounds[0]"] == "a_book"
    assert sources["checks.compression.minutes"] == "judgement"


def test_a_check_without_a_table_is_a_perfect_reader(good: Pack) -> None:
    assert good.check("cover_look").table == ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def test_checks_of_the_roots(good: Pack) -> None:
    assert len(good.check("cap_look").table) == 3
    assert good.check("cover_shape").features == (("lapwing_1a",), ("lapwing_1b",))
    assert good.check("cover_shape").table == ()


def test_measure_and_codes(good: Pack) -> None:
    measure = good.check("compression").measure
    assert measure is not None
    assert (measure.unit, measure.bounds, measure.low, measure.high) == ("bar", (0.75,), 0.0, 40.0)
    assert measure.descending
    assert [result.codes for result in good.check("misfire_codes").results] == [(), ("P0301", "P0302")]


def test_bounds_of_a_percentage_stay_in_percent(copy: Path) -> None:
    checks = (copy / "checks.yaml").read_text("utf-8")
    measure = "measure: {reduce: highest, unit: '%', bounds: [15 %], range: [0 %, 100 %]}"
    start = checks.index("measure:")
    (copy / "checks.yaml").write_text(checks.replace(checks[start : checks.index("\n", start)], measure), "utf-8")
    read = load_pack(copy).check("compression").measure
    assert read is not None
    assert (read.bounds, read.high) == ((15.0,), 100.0)


def test_family_traits_run_from_family_to_generation_to_revision(good: Pack) -> None:
    family = good.family("lapwing")
    early, late = family.revisions
    common = {"fuel": "petrol", "cylinders": 4, "cam_drive": "chain", "interference": "yes"}
    assert early.traits == Traits(tuple(sorted({**common, "displacement_l": 1.8}.items())))
    assert late.traits.get("displacement_l") == 1.9
    assert (early.since, early.until) == (date(2008, 3, 1), date(2010, 5, 31))
    assert (late.since, late.until) == (date(2010, 6, 15), None)


def test_serial_numbers_of_a_revision_keep_their_zeros(good: Pack) -> None:
    early, late = good.family("lapwing").revisions
    assert (early.serials, late.serials) == (SerialRange("000000", "004199"), None)


def test_a_part_of_the_family_is_reached_by_its_fit_only(good: Pack) -> None:
    parts = good.weak_point("chain_tensioner").parts
    assert [part.id for part in parts] == ["standard", "ratchet_early"]
    traits = good.family("lapwing").revisions[0].traits
    assert parts[1].when.holds(traits) is not True
    fit = good.family("lapwing").fit("chain_tensioner", "lapwing_1a")
    assert fit is not None
    assert fit.works == "ratchet_early"
    assert [supply.since for supply in fit.supplies] == [date(2008, 3, 1), date(2012, 9, 1)]


def test_a_check_that_reads_a_trait(good: Pack) -> None:
    check = good.check("drive_look")
    assert (check.root, check.symptom) == ("cam_drive", None)
    assert check.trait_values == (("chain", 0.6), ("belt", 0.4))
    assert check.table == ((1.0, 0.0), (0.0, 1.0))
    assert good.check("cap_look").trait_values == ()


def test_special_tools_are_named_by_id(good: Pack) -> None:
    assert good.operation("rebuild_head").special_tools == ("spring_compressor", "cam_locking_tools")
    assert good.operation("oil_service").special_tools == ()
    tool = good.special_tool("spring_compressor")
    assert tool == SpecialTool("spring_compressor", "spring compressor", "Frees the keepers of a valve", "judgement")


def test_a_pack_needs_no_special_tools(copy: Path) -> None:
    text = (copy / "operations.yaml").read_text("utf-8")
    kept = [line for line in text.splitlines() if "tools" not in line and not line.startswith("  spring_compressor")]
    (copy / "operations.yaml").write_text(
        "\n".join([*kept, "  rebuild_head: {name: Rebuild, kind: repair, hours: 9 h}"])
    )
    read = load_pack(copy)
    assert read.special_tools == ()
    assert {operation.special_tools for operation in read.operations} == {()}


def test_a_misspelt_tool_is_told_the_nearest(faults_of: Callable[..., list[Fault]]) -> None:
    (fault,) = faults_of(
        ("operations.yaml", "    special_tools: [cam_locking_tools]", "    special_tools: [cam_locking]")
    )
    assert fault.place == "operations.yaml:23:21"
    assert fault.mend == "Did you mean 'cam_locking_tools'?"


def test_careful_practice_beside_the_maker(good: Pack) -> None:
    oil, belt = good.family("lapwing").services
    assert (oil.distance_km, oil.age_years) == (15000.0, 1.0)
    assert oil.careful == ServiceInterval(10000.0, pytest.approx(10 / 12), "judgement")
    assert (oil.oil, belt.oil, belt.careful) == (True, False, None)
    written = {figure.path: (figure.value, figure.unit, figure.source) for figure in good.figures}
    assert written["services.oil_change.careful.distance"] == (10000.0, "km", "judgement")


def test_the_careful_interval_may_have_a_source_of_its_own(copy: Path) -> None:
    path = copy / "engines" / "lapwing.yaml"
    path.write_text(path.read_text("utf-8").replace("age: 10 months}", "age: 10 months, source: a_book}"), "utf-8")
    careful = load_pack(copy).family("lapwing").services[0].careful
    assert careful is not None
    assert careful.source == "a_book"


def test_a_careful_interval_is_held_against_what_the_maker_states(copy: Path) -> None:
    """The maker may count years or distance alone."""
    path = copy / "engines" / "lapwing.yaml"
    text = path.read_text("utf-8").replace(
        "operation: oil_service, distance: 120000 km}",
        "operation: oil_service, distance: 120000 km, careful: {distance: 90000 km, age: 6 years}}",
    )
    path.write_text(text, "utf-8")
    assert load_pack(copy).family("lapwing").services[1].careful == ServiceInterval(90000.0, 6.0, "judgement")


def test_care_and_hearsay(good: Pack) -> None:
    assert good.defaults.care == (CareShare(0.3, 0.0), CareShare(0.5, 0.2), CareShare(0.2, 0.7))
    assert dict(good.defaults.hearsay) == {"self": 1.0, "papers": 0.9, "seller": 0.5}


def test_every_figure_is_listed_as_written(good: Pack) -> None:
    written = {figure.path: (figure.value, figure.unit, figure.place) for figure in good.figures}
    assert written["defaults.annual_distance"] == (10000.0, "mi", "pack.yaml:10:20")
    assert written["weak_points.chain_tensioner.shows.rattle.faulty[1]"] == (
        60.0,
        "%",
        "weak_points/timing_drive.yaml:35:55",
    )
    assert all(figure.source in ("judgement", "a_book") for figure in good.figures)
    digits = sum(text.count(" %") + text.count(" km") for text in _texts())
    assert sum(figure.unit in ("%", "km") for figure in good.figures) == digits


def _texts() -> list[str]:
    return [path.read_text("utf-8") for path in GOOD.rglob("*.yaml")]


def test_a_pack_inside_an_archive(good: Pack, tmp_path: Path) -> None:
    archive = shutil.make_archive(str(tmp_path / "pack"), "zip", GOOD)
    with zipfile.ZipFile(archive) as opened:
        read = load_pack(zipfile.Path(opened))
    assert read.digest == good.digest
    assert counts(read) == counts(good)
    assert read.figures == good.figures


# ---- another family by copying a file ------------------------------------------------------------


def copied_family(copy: Path, *patches: tuple[str, str]) -> None:
    """Copies the family under another name, changing only its id, its revisions and its engine codes."""
    text = (copy / "engines" / "lapwing.yaml").read_text("utf-8").replace("lapwing", "siskin").replace("LWA", "SKA")
    for old, new in patches:
        assert text.count(old) == 1
        text = text.replace(old, new)
    (copy / "engines" / "siskin.yaml").write_text(text, "utf-8")


def test_a_family_is_added_by_copying_its_file(copy: Path) -> None:
    copied_family(copy)
    pack = load_pack(copy)
    assert [family.id for family in pack.families] == ["lapwing", "siskin"]
    assert pack.family("siskin").services == pack.family("lapwing").services
    assert [part.id for part in pack.weak_point("chain_tensioner").parts] == ["standard", "ratchet_early"]
    fit = pack.family("siskin").fit("chain_tensioner", "siskin_1a")
    assert fit is not None
    assert fit.works == "ratchet_early"


def test_a_shared_part_says_the_same_in_both_families(copy: Path) -> None:
    copied_family(copy, ("share: 60 %", "share: 50 %"))
    (fault,) = faults_in(copy)
    place, _, words = fault.partition(": ")
    assert place == "engines/siskin.yaml:17:7"
    assert "the part revision 'ratchet_early' of chain_tensioner is another one at engines/lapwing.yaml:17:7" in words
    assert "Give this one another id" in words


def test_a_copied_part_that_no_fit_uses_is_found_in_the_copy(copy: Path) -> None:
    copied_family(copy, ("works: ratchet_early", "works: standard"), ("{part: ratchet_early, since: 2008-03}, ", ""))
    (fault,) = faults_in(copy)
    assert fault.startswith("engines/siskin.yaml:17:7: ")
    assert "no fit uses the part revision 'ratchet_early'" in fault


def test_a_family_part_never_takes_the_id_of_a_catalogue_part(copy: Path) -> None:
    copied_family(copy, ("      ratchet_early:\n", "      standard:\n"))
    assert any("'standard' is already defined at weak_points/timing_drive.yaml" in fault for fault in faults_in(copy))


def test_copied_revisions_need_ids_of_their_own(copy: Path) -> None:
    copied_family(copy, ("      siskin_1a: {name", "      lapwing_1a: {name"))
    assert any("the revision 'lapwing_1a' is already defined at engines/lapwing.yaml" in f for f in faults_in(copy))


# ---- digest --------------------------------------------------------------------------------------


def test_the_digest_is_of_names_and_bytes(good: Pack, copy: Path) -> None:
    assert load_pack(copy).digest == good.digest
    assert len(good.digest) == 64
    (copy / ".hidden").write_text("not part of the pack")
    assert load_pack(copy).digest == good.digest
    (copy / "engines" / "lapwing.yaml").rename(copy / "engines" / "renamed.yaml")
    renamed = load_pack(copy).digest
    assert renamed != good.digest
    with (copy / "sources.yaml").open("a") as file:
        file.write("# a remark\n")
    assert load_pack(copy).digest not in (renamed, good.digest)


# ---- all faults at once --------------------------------------------------------------------------


def test_all_faults_are_told_at_once_in_the_order_of_their_places(faults_of: Callable[..., list[Fault]]) -> None:
    timing = "weak_points/timing_drive.yaml"
    faults = faults_of(
        (timing, "left_unrepaired: 2 %", "left_unrepaired: 200 %"),
        (timing, "faulty: [85 %, 60 %]", "faulty: [60 %, 85 %]"),
        (timing, "repair_delay: 0.05 years", "repair_delay: 0.05"),
        ("checks.yaml", "symptom: wet_cover", "symptom: wet_covr"),
        ("engines/lapwing.yaml", "maker: Tarnbeck\n", "maker: Tarnbeck\nmaker: Tarnbeck\n"),
        ("pack.yaml", "tax: 20 %", "taxes: 20 %"),
    )
    assert [fault.place for fault in faults] == [
        "checks.yaml:20:14",
        "engines/lapwing.yaml:4:1",
        "pack.yaml:4:3",
        "pack.yaml:8:3",
        "weak_points/timing_drive.yaml:13:19",
        "weak_points/timing_drive.yaml:14:22",
        "weak_points/timing_drive.yaml:35:55",
    ]
    assert faults[0].mend == "Did you mean 'wet_cover'?"


# ---- files ---------------------------------------------------------------------------------------


def test_a_broken_file_breeds_no_faults_about_its_own_records(copy: Path) -> None:
    (copy / "engines" / "lapwing.yaml").write_text("family: [\n")
    (copy / "checks.yaml").write_text((copy / "checks.yaml").read_text("utf-8").replace("features: {", "features: [{"))
    places = [fault.split(": ")[0] for fault in faults_in(copy)]
    assert places == ["checks.yaml:46:3", "engines/lapwing.yaml:2:1"]


@pytest.mark.parametrize("file", sorted(path.relative_to(GOOD).as_posix() for path in GOOD.rglob("*.yaml")))
@pytest.mark.parametrize("content", [b"", b"a:\n\tb: c\n", b"- a\n"], ids=["empty", "tab", "list"])
def test_a_file_that_cannot_be_read_is_the_only_fault(copy: Path, file: str, content: bytes) -> None:
    """Whoever left a tab in one file shall not search for it below a hundred ids that stand there."""
    (copy / file).write_bytes(content)
    (fault,) = faults_in(copy)
    assert fault.startswith(f"{file}:")


@pytest.mark.parametrize("file", sorted(path.name for path in GOOD.glob("*.yaml")))
def test_a_file_that_is_missing_is_the_only_fault(copy: Path, file: str) -> None:
    (copy / file).unlink()
    assert faults_in(copy) == [f"{file}:1:1: the file is missing. Add it to the knowledge folder."]


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("engines/lapwing.yaml", "cam_drive: chain}", "cam_drive: chian}"),
        ("weak_points/timing_drive.yaml", "applies: {cam_drive: chain}", "applies: {cam_drive: chian}"),
    ],
)
def test_a_misspelt_trait_is_not_told_again_for_every_fit(
    file: str, old: str, new: str, faults_of: Callable[..., list[Fault]]
) -> None:
    (fault,) = faults_of((file, old, new))
    assert "has no value 'chian'" in fault.message


@pytest.mark.parametrize(
    ("name", "content", "place", "words"),
    [
        ("sources.yaml", b"sources:\n  judg\xe9: {}\n", "sources.yaml:2:7", "not UTF-8"),
        ("sources.yaml", b"sources:\n  a: 'b\n", "sources.yaml:3:1", "not YAML"),
        ("sources.yaml", b"sources: a\x07b\n", "sources.yaml:1:11", "control character"),
        ("sources.yaml", b"sources:\n\ta: {kind: x}\n", "sources.yaml:2:1", "a tab stands here"),
        ("sources.yaml", b"sources:\n  a:\n    kind: x\n\t  b: c\n", "sources.yaml:4:1", "a tab stands here"),
        ("sources.yaml", b"# nothing\n", "sources.yaml:1:1", "the file is empty"),
        ("sources.yaml", b"- a\n", "sources.yaml:1:1", "a mapping is wanted here"),
        ("sources.yaml", b"[" * 5000, "sources.yaml", "not YAML"),
        ("sources.yaml", b"a: 1\n---\nb: 2\n", "sources.yaml:2:1", "not YAML"),
        ("sources.yaml", b"#" * (MAX_BYTES + 1), "sources.yaml:1:1", "more than the 2000000 allowed"),
        ("notes.yaml", b"a: b\n", "notes.yaml:1:1", "a pack has no such file"),
        ("engines/lapwing.yml", b"a: b\n", "engines/lapwing.yml:1:1", "a pack has no such file"),
    ],
)
def test_files_that_cannot_be_read(copy: Path, name: str, content: bytes, place: str, words: str) -> None:
    (copy / name).write_bytes(content)
    told = [fault for fault in faults_in(copy) if fault.startswith(place)]
    assert len(told) == 1
    assert words in told[0]


def test_a_missing_file(copy: Path) -> None:
    (copy / "symptoms.yaml").unlink()
    assert "symptoms.yaml:1:1: the file is missing. Add it to the knowledge folder." in faults_in(copy)


def test_no_folder_at_all(tmp_path: Path) -> None:
    assert faults_in(tmp_path / "nowhere")[0].startswith(f"{tmp_path / 'nowhere'}: this is not a folder.")


def test_an_empty_folder_misses_each_file_once(tmp_path: Path) -> None:
    assert len(faults_in(tmp_path)) == 5


@given(st.binary(max_size=300))
def test_no_bytes_make_the_parser_fall_over(data: bytes) -> None:
    ledger = Ledger()
    node = parse("any.yaml", data, ledger)
    assert node is not None or ledger.faults()


@given(st.text(alphabet="abc:[]{}-,\n '\"&*!<>#%0123 ", max_size=80))
def test_no_text_in_place_of_a_file_makes_loading_fall_over(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    folder = tmp_path_factory.mktemp("pack")
    for name in ("pack.yaml", "sources.yaml", "symptoms.yaml", "checks.yaml", "operations.yaml"):
        (folder / name).write_text(text, "utf-8")
    (folder / "engines").mkdir()
    (folder / "engines" / "any.yaml").write_text(text, "utf-8")
    assert faults_in(folder)


def test_a_language_is_part_of_the_pack_and_of_its_digest(copy: Path) -> None:
    """A digest stands for every byte that a report is printed from, so that it can be printed again."""
    before = load_pack(copy)
    name = before.weak_points[0].name
    _language(copy, f'msgid "{name}"\nmsgstr "Kette"\n')
    after = load_pack(copy)
    assert after.languages == {"de": {name: "Kette"}}
    assert after.digest != before.digest
    assert "languages/de.po" in pack_files(copy)


def test_what_is_not_translated_yet_is_left_out(copy: Path) -> None:
    first, second = (point.name for point in load_pack(copy).weak_points[:2])
    _language(copy, f'msgid "{first}"\nmsgstr ""\n\n#, fuzzy\nmsgid "{second}"\nmsgstr "geraten"\n')
    assert load_pack(copy).languages == {"de": {}}


def test_a_translation_of_no_text_of_the_pack_is_a_fault_with_its_line(copy: Path) -> None:
    _language(copy, '# head\n\nmsgid "nobody says this"\nmsgstr "niemand"\n')
    assert [fault.split(" ")[0] for fault in faults_in(copy)] == ["languages/de.po:3:1:"]


@pytest.mark.parametrize(("data", "line"), [(b'msgid "one\nmsgstr "zwei"\n', 1), (b'msgid "a"\nmsgstr "\xff"\n', 2)])
def test_a_broken_language_file_is_a_fault_with_its_line(copy: Path, data: bytes, line: int) -> None:
    _language(copy, "")
    (copy / "languages" / "de.po").write_bytes(data)
    assert any(fault.startswith(f"languages/de.po:{line}:1: ") for fault in faults_in(copy))


def test_only_language_files_stand_among_the_languages(copy: Path) -> None:
    _language(copy, "")
    (copy / "languages" / "deutsch.txt").write_text("x", "utf-8")
    assert any(fault.startswith("languages/deutsch.txt:1:1") for fault in faults_in(copy))


def _language(copy: Path, text: str) -> None:
    (copy / "languages").mkdir()
    (copy / "languages" / "de.po").write_text(text, "utf-8")


def test_a_file_named_languages_is_no_folder_of_them(copy: Path) -> None:
    (copy / "languages").write_bytes(b"")
    assert any(fault.startswith("languages:1:1") and "no such file" in fault for fault in faults_in(copy))


# ---- where the pack is found ---------------------------------------------------------------------


def test_the_setting_names_the_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RISKAPI_KNOWLEDGE", str(GOOD))
    assert default_directory() == GOOD
    assert load_pack().version == "2026.01"


def test_without_the_setting_the_shipped_pack_is_meant(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("RISKAPI_KNOWLEDGE", raising=False)
    assert default_directory().name in ("knowledge", "_knowledge")
