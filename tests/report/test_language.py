"""Texts in every language: complete, with the same facts; nothing English in a German document."""

from __future__ import annotations

import ast
import importlib
import pkgutil
import re
import string
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

import riskapi
import riskapi.domain
import riskapi.report
import riskapi.web.pages
from riskapi.domain.case import Case
from riskapi.domain.display import ANSWER_TEXTS, NOT_ENTERED, PACK_TEXTS, missing_texts, reworded, translated
from riskapi.domain.knowledge import Pack
from riskapi.report import model_texts
from riskapi.report.calendar_file import calendar_file
from riskapi.report.checklist_content import checklist_report
from riskapi.report.clipboard import call_sheet, clipboard_report
from riskapi.report.content import build_report
from riskapi.report.edition import Edition
from riskapi.report.language import LANGUAGES, METRIC, Texts, Units, speaking, spoken, spoken_units, units_of
from riskapi.report.pdf import draw
from riskapi.report.plain import plain_text
from riskapi.report.result import result_to_json
from riskapi.report.texts import TEXTS, say
from riskapi.report.trait_texts import is_trait_word
from tests.german import ENGLISH, english_in, without_quotes
from tests.report import builders
from tests.report.test_content import strings
from tests.report.test_samples import SAMPLES, assessed, listed

CREATED = datetime(2026, 11, 3, 14, 5, tzinfo=UTC)
FORMAT = string.Formatter()
CLIENT = Edition("inspector")


def tables() -> Iterator[tuple[str, Texts]]:
    """Every `Texts` that reports and pages speak with, found by itself, so that a new one is tested too."""
    for room in (riskapi.report, riskapi.web.pages):
        for module in pkgutil.walk_packages(room.__path__, f"{room.__name__}."):
            for name, value in vars(importlib.import_module(module.name)).items():
                if isinstance(value, Texts):
                    yield f"{module.name}.{name}", value


ALL = {id(texts): (name, texts) for name, texts in sorted(tables(), key=lambda item: "texts." not in item[0])[::-1]}


@pytest.mark.parametrize("texts", [texts for _, texts in ALL.values()], ids=[name for name, _ in ALL.values()])
def test_every_language_has_the_same_keys_and_the_same_facts(texts: Texts) -> None:
    english = texts.tables["en"]
    for language in LANGUAGES:
        table = texts.tables[language]
        assert table.keys() == english.keys()
        assert {key: facts_in(text) for key, text in table.items()} == {k: facts_in(t) for k, t in english.items()}


def test_there_are_tables_to_compare() -> None:
    assert len(ALL) >= 3
    assert sum(len(texts.tables["de"]) for _, texts in ALL.values()) > 400


def facts_in(text: str) -> set[str]:
    return {name for _, name, _, _ in FORMAT.parse(text) if name}


def test_german_is_not_english() -> None:
    """Only words that are spelled alike, or that hold nothing but facts and marks, are the same in both."""
    alike = {key for key, text in TEXTS.items() if text == say.tables["de"][key] and re.search(r"[a-z]{3}", bare(text))}
    assert alike == set()


def bare(text: str) -> str:
    return re.sub(r"\{[^}]*\}", "", text)


# ---- sentences of the program ------------------------------------------------------------------------------------


def patterns() -> set[str]:
    """Every pattern that the program makes a sentence of, read from its source: what `told` is called with, and the
    module constants that hold patterns."""
    found = {"{one} {other}"}  # how the module itself puts sentences in a row
    for file in Path(next(iter(riskapi.__path__))).rglob("*.py"):
        tree = ast.parse(file.read_text("utf-8"))
        if file.stem != "sentence" and takes_told(tree):
            found |= patterns_of(tree)
    return found


def takes_told(tree: ast.Module) -> bool:
    """Whether `told` is here the one that makes sentences."""
    taken = [
        node for node in tree.body if isinstance(node, ast.ImportFrom) and node.module == "riskapi.domain.sentence"
    ]
    return any(alias.name == "told" and alias.asname is None for node in taken for alias in node.names)


def patterns_of(tree: ast.Module) -> set[str]:
    constants = dict(constant for node in tree.body if isinstance(node, ast.Assign) for constant in strings_of(node))
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "told" and node.args:
            first = node.args[0]
            for part in [first.body, first.orelse] if isinstance(first, ast.IfExp) else [first]:
                found |= {part.value} if isinstance(part, ast.Constant) else constant_patterns(part, constants)
    return found


def strings_of(node: ast.Assign) -> Iterator[tuple[str, str]]:
    pairs = (
        zip(node.targets[0].elts, node.value.elts, strict=True)
        if isinstance(node.targets[0], ast.Tuple) and isinstance(node.value, ast.Tuple)
        else [(node.targets[0], node.value)]
    )
    for target, value in pairs:
        if isinstance(target, ast.Name) and isinstance(value, ast.Constant) and isinstance(value.value, str):
            yield target.id, value.value


def constant_patterns(part: ast.expr, constants: dict[str, str]) -> set[str]:
    """A constant by its name; a variable may be any constant of its module that has facts."""
    assert isinstance(part, ast.Name), ast.dump(part)
    return {constants[part.id]} if part.id in constants else {text for text in constants.values() if "{" in text}


@pytest.mark.parametrize("language", [language for language in LANGUAGES if language != "en"])
def test_every_sentence_of_the_program_has_its_pattern_in_every_language(language: str) -> None:
    """A new sentence without a translation fails here, and so does one that says other facts or stays English."""
    table, wanted = model_texts.TABLES[language], patterns()
    assert len(wanted) > 480
    assert table.keys() == wanted
    assert len(table) == sum(map(len, model_texts.PARTS[language]))
    assert {k for k, text in table.items() if facts_in(text) != facts_in(k)} == set()
    assert [k for k, text in table.items() if text == k and re.search("[a-z]{2}", without_quotes(bare(k)))] == []
    assert [left for text in table.values() for left in english_in(bare(text))] == []


# ---- packs and answers -------------------------------------------------------------------------------------------


def test_the_shipped_pack_is_complete_in_every_language(shipped: Pack) -> None:
    assert [missing_texts(shipped, language) for language in LANGUAGES if language != "en"] == [()]


def test_every_trait_of_the_shipped_pack_has_words(shipped: Pack) -> None:
    words = {trait.name for trait in shipped.traits} | {value for trait in shipped.traits for value in trait.values}
    assert {word for word in words if not is_trait_word(word)} == set()


def test_fields_that_are_told_exist() -> None:
    """A field that was renamed would silently stay English."""
    classes = {}
    for module in pkgutil.iter_modules(riskapi.domain.__path__, "riskapi.domain."):
        classes |= {k: v for k, v in vars(importlib.import_module(module.name)).items() if isinstance(v, type)}
    for full in PACK_TEXTS | ANSWER_TEXTS | NOT_ENTERED:
        kind, name = full.split(".")
        assert name in classes[kind].__dataclass_fields__, full


STAY = {
    "Assessment.reference", "Assessment.knowledge_version", "Checklist.reference", "Checklist.knowledge_version",
    "Checklist.place", "Identified.name", "Threshold.unit",
}  # fmt: skip


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_text_of_an_answer_is_forgotten(path: Path) -> None:
    """What has a space in it is no id: it is among the texts that are said anew, or it is the user's or a name."""
    found = {*texts_in(assessed(path)[0]), *texts_in(listed(path))}
    assert {field: text for field, text in found if " " in text and field not in ANSWER_TEXTS | STAY} == {}


def texts_in(record: object) -> Iterator[tuple[str, str]]:
    """(field, text) of a record and of all records in it, but for what is not entered."""
    for field in fields(record):  # type: ignore[arg-type]
        full = f"{type(record).__name__}.{field.name}"
        values = [getattr(record, field.name)] if full not in NOT_ENTERED else []
        while values:
            value = values.pop()
            if isinstance(value, tuple):
                values += value
            elif isinstance(value, str):
                yield full, value
            elif is_dataclass(value):
                yield from texts_in(value)


def test_a_translated_pack_differs_in_words_only() -> None:
    pack = with_language(builders.pack(), {"Chain tensioner": "Kettenspanner"})
    german = translated(pack, "de")
    assert "Kettenspanner" in {point.name for point in german.weak_points}
    back = reworded(german, PACK_TEXTS, lambda text: {"Kettenspanner": "Chain tensioner"}.get(text, text))
    assert {name: value for name, value in vars(back).items() if name in Pack.__dataclass_fields__} == {
        name: value for name, value in vars(pack).items() if name in Pack.__dataclass_fields__
    }
    assert translated(pack, "de") is german
    assert translated(builders.pack(), "en") is not german


def test_what_a_language_lacks_stays_english_and_is_counted() -> None:
    pack = with_language(builders.pack(), {"Chain tensioner": "Kettenspanner"})
    assert "Chain tensioner" not in missing_texts(pack, "de")
    assert "Chain tensioner" in missing_texts(builders.pack(), "de")
    untouched = [point.name for point in translated(pack, "de").weak_points if point.name != "Kettenspanner"]
    assert untouched == [point.name for point in pack.weak_points if point.name != "Chain tensioner"]


def with_language(pack: Pack, table: dict[str, str]) -> Pack:
    return replace(pack, languages={"de": table})


# ---- documents ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_nothing_in_a_german_document_is_english(path: Path) -> None:
    assessment, case, shipped = assessed(path)
    report = build_report(assessment, case, shipped, assessment_id="0" * 16, created_at=CREATED, language="de")
    visit = checklist_report(listed(path), case, shipped, language="de")
    calendar = calendar_file(assessment, shipped, "0" * 16, language="de").decode().replace("\r\n ", "")
    client = build_report(
        assessment, case, shipped, assessment_id="0" * 16, created_at=CREATED, language="de", edition=CLIENT
    )
    sheets = [make(listed(path), case, shipped, language="de") for make in (clipboard_report, call_sheet)]
    printed = [printed_words(draw(each)) for each in (client, *sheets)]
    text = "\n".join((flat(plain_text(report)), flat(plain_text(visit)), calendar, *printed))
    for said in own_words(case, shipped):
        text = text.replace(said, "")
    left = [text[max(0, m.start() - 40) : m.end() + 40] for m in ENGLISH.finditer(text)]
    assert left == []
    told = text.casefold()
    english = {word for word, german in shipped.languages["de"].items() if " " in word and word != german}
    assert {word for word in english if flat(word).casefold() in told} == set()
    assert report.language == visit.language == "de"


def test_an_english_report_writes_days_and_no_iso_dates() -> None:
    """The model's own sentences carry their dates as facts; a person reads '15 October 2021'."""
    path = next(path for path in SAMPLES if path.stem == "measured_compression")
    assessment, case, shipped = assessed(path)
    report = build_report(assessment, case, shipped, assessment_id="0" * 16, created_at=CREATED)
    told = flat(" ".join(strings(report)))
    assert "The readings of 15 October 2021 (98,700 km) and 2 November 2022 (81,200 km) disagree" in told
    assert re.findall(r"\d{4}-\d\d-\d\d", told) == []


def printed_words(data: bytes) -> str:
    """All that is printed, on one line."""
    return flat(" ".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages))


def flat(text: str) -> str:
    return " ".join(text.split())


def own_words(case: Case, pack: Pack) -> list[str]:
    """What the user typed, cited titles, and the name of the program: these stay as they are."""
    typed = [case.reference or "", case.visit.place or ""]
    typed += [entry.note for entry in case.history] + [str(entry.item) for entry in case.history if entry.item]
    typed += [finding.note for finding in case.findings]
    typed += [pack.languages["de"][source.citation] for source in pack.sources]
    cut = [typed[0][:59].rstrip() + "\u2026"] if len(typed[0]) > 60 else []
    words = [flat(word) for word in (*typed, *cut, "riskapi//looks and services") if word.strip()]
    return sorted({*words, *(w[:1].upper() + w[1:] for w in words)}, key=len, reverse=True)


def test_the_json_is_the_same_whatever_is_spoken() -> None:
    assessment = builders.assessment()
    plain = result_to_json(assessment, "x", CREATED)
    with speaking("de", Units("mi", "psi", "qt")):
        assert result_to_json(assessment, "x", CREATED) == plain


def test_a_report_in_german_holds_the_same_sections_and_rows() -> None:
    args = builders.assessment(), builders.case(), builders.pack()
    english = build_report(*args, assessment_id="x", created_at=CREATED)
    german = build_report(*args, assessment_id="x", created_at=CREATED, language="de")
    assert [s.id for s in german.sections] == [s.id for s in english.sections]
    assert [[type(b) for b in s.blocks] for s in german.sections] == [
        [type(b) for b in s.blocks] for s in english.sections
    ]


# ---- the setting -------------------------------------------------------------------------------------------------


def test_a_language_holds_within_its_block_only() -> None:
    assert spoken() == "en"
    with speaking("de", Units("mi")):
        assert (spoken(), spoken_units().distance) == ("de", "mi")
        with speaking("en"):
            assert (spoken(), spoken_units().distance) == ("en", "mi")
        assert spoken() == "de"
    assert (spoken(), spoken_units()) == ("en", METRIC)


def test_an_unknown_language_is_refused() -> None:
    with pytest.raises(ValueError, match="no such language: fr"), speaking("fr"):
        pass
    with pytest.raises(ValueError, match="needed in en, de"):
        Texts(en={})


def test_units_by_name() -> None:
    assert units_of("mi, psi,qt") == Units("mi", "psi", "qt")
    assert units_of("psi") == Units("km", "psi", "L")
    for wrong in ("miles", "km,mi"):
        with pytest.raises(ValueError, match="unit"):
            units_of(wrong)
