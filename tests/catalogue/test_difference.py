"""Two packs compared: nothing where nothing changed, and exactly what was patched where something was."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskapi.catalogue.difference import Difference, RecordName, compare, in_words
from riskapi.catalogue.load import pack_as_written
from tests.catalogue.conftest import GOOD

TIMING = "weak_points/timing_drive.yaml"


def difference(copy: Path, *patches: tuple[str, str, str]) -> Difference:
    for file, old, new in patches:
        text = (copy / file).read_text("utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
        (copy / file).write_text(text.replace(old, new), "utf-8")
    return compare(pack_as_written(GOOD), pack_as_written(copy))


def test_a_copy_differs_in_nothing(copy: Path) -> None:
    told = difference(copy)
    assert told.empty
    assert list(in_words(told)) == ["The two packs say the same."]


def test_figures_do_not_change_by_moving(copy: Path) -> None:
    path = copy / TIMING
    path.rename(path.with_name("cam_drive.yaml"))
    assert difference(copy).empty


def test_a_figure_is_told_with_both_values_unit_and_source(copy: Path) -> None:
    told = difference(copy, (TIMING, "left_unrepaired: 2 %", "left_unrepaired: 3 %"))
    (change,) = told.figures
    assert (change.before.value, change.after.value) == (2.0, 3.0)
    assert [(record.name, record.fields) for record in told.records] == [
        (RecordName("weak point", "chain_tensioner"), ("left_unrepaired",))
    ]
    line = "  weak_points.chain_tensioner.left_unrepaired: 2 % -> 3 %, +50 % (judgement)"
    assert list(in_words(told)) == [
        "Records changed: 1",
        "  weak point chain_tensioner: left_unrepaired",
        "Figures changed: 1",
        line,
    ]


def test_the_same_amount_in_another_unit_is_no_change_of_the_record(copy: Path) -> None:
    told = difference(copy, ("checks.yaml", "minutes: 120 s", "minutes: 2 min"))
    assert [(c.before.unit, c.after.unit) for c in told.figures] == [("s", "min")]
    assert told.records == ()
    assert "120 s -> 2 min (judgement)" in list(in_words(told))[-1]


def test_another_source_is_told(copy: Path) -> None:
    text = (copy / TIMING).read_text("utf-8")
    assert text.count("source: a_book") >= 1
    (copy / TIMING).write_text(text.replace("source: a_book", "source: judgement"), "utf-8")
    told = compare(pack_as_written(GOOD), pack_as_written(copy))
    assert told.figures
    assert all((c.before.source, c.after.source) == ("a_book", "judgement") for c in told.figures)
    assert any("(a_book) ->" in line for line in in_words(told))


def test_what_carries_no_figure_is_told_by_its_fields(copy: Path) -> None:
    told = difference(
        copy,
        ("engines/lapwing.yaml", "name: Lapwing 1 early, since: 2008-03", "name: Lapwing 1 early, since: 2008-04"),
        ("engines/lapwing.yaml", "{part: standard, since: 2012-09}", "{part: standard, since: 2013-09}"),
        ("pack.yaml", "note: ", "note: Other words. "),
    )
    assert told.figures == ()
    assert {(change.name.kind, change.name.id, change.fields) for change in told.records} == {
        ("pack", "note", ("text",)),
        ("revision", "lapwing_1a", ("since",)),
        ("fit of lapwing_1a", "chain_tensioner", ("supplies",)),
    }


def test_words_dates_and_lists_are_told_in_full(copy: Path) -> None:
    told = difference(
        copy,
        ("engines/lapwing.yaml", "name: Lapwing 1 early, since: 2008-03", "name: Lapwing 1 first, since: 2008-04"),
        ("operations.yaml", "access: [front_cover, undertray]", "access: [undertray]"),
        ("operations.yaml", "    special_tools: [cam_locking_tools]", "    special_tools: [spring_compressor]"),
        ("operations.yaml", "hours: 24 min, under: null", "hours: 30 min, under: null"),
        ("pack.yaml", "note: ", "note: Other words. "),
    )
    lines = [line.strip() for line in in_words(told)]
    assert "revision lapwing_1a: name Lapwing 1 early -> Lapwing 1 first; since 2008-03-01 -> 2008-04-01" in lines
    assert (
        "operation renew_chain: access - front_cover; special_tools + spring_compressor, - cam_locking_tools" in lines
    )
    assert "access step undertray: hours" in lines  # the figure is told below
    assert "pack note: text" in lines


def test_records_and_figures_come_and_go(copy: Path) -> None:
    sump = "  extra: {name: Extra, kind: repair, hours: 3 h}\n"
    operations = (copy / "operations.yaml").read_text("utf-8")
    (copy / "operations.yaml").write_text(operations.rstrip("\n") + "\n" + sump, "utf-8")
    old, new = pack_as_written(GOOD), pack_as_written(copy)
    there, back = compare(old, new), compare(new, old)
    assert there.records_added == back.records_removed == (RecordName("operation", "extra"),)
    assert there.figures_added == back.figures_removed == ("operations.extra.hours",)
    assert (there.records_removed, there.figures_removed, there.records) == ((), (), ())
    assert list(in_words(there)) == [
        "Records added: 1",
        "  operation extra",
        "Figures added: 1",
        "  operations.extra.hours",
    ]


def test_special_tools_and_careful_intervals_are_told(copy: Path) -> None:
    told = difference(
        copy,
        ("operations.yaml", "    special_tools: [cam_locking_tools]\n", ""),
        ("operations.yaml", "for: Holds the cams in time", "for: Holds the cams"),
        ("engines/lapwing.yaml", "careful: {distance: 10000 km", "careful: {distance: 8000 km"),
    )
    assert {(change.name.kind, change.name.id, change.fields) for change in told.records} == {
        ("operation", "renew_chain", ("special_tools",)),
        ("special tool", "cam_locking_tools", ("purpose",)),
        ("service of lapwing", "oil_change", ("careful",)),
    }
    lines = list(in_words(told))
    assert (
        "  engines/lapwing.yaml services.oil_change.careful.distance: 10000 km -> 8000 km, -20 % (judgement)" in lines
    )


def test_two_families_keep_their_figures_apart(copy: Path) -> None:
    text = (copy / "engines" / "lapwing.yaml").read_text("utf-8").replace("lapwing", "siskin")
    (copy / "engines" / "siskin.yaml").write_text(text, "utf-8")
    before = pack_as_written(copy)
    (copy / "engines" / "siskin.yaml").write_text(text.replace("15000 km", "20000 km"), "utf-8")
    told = compare(before, pack_as_written(copy))
    assert [change.path for change in told.figures] == ["engines/siskin.yaml services.oil_change.distance"]
    assert [record.name for record in told.records] == [RecordName("service of siskin", "oil_change")]


@pytest.mark.parametrize("file", ["checks.yaml", "symptoms.yaml", "operations.yaml", "sources.yaml"])
def test_a_remark_changes_the_digest_but_nothing_else(copy: Path, file: str) -> None:
    with (copy / file).open("a", encoding="utf-8") as opened:
        opened.write("# a remark\n")
    old, new = pack_as_written(GOOD), pack_as_written(copy)
    assert old.digest != new.digest
    assert compare(old, new).empty
