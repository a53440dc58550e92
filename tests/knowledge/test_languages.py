"""Every language that the shipped pack comes in says all of it, and says the same."""

from __future__ import annotations

import re
from collections import Counter

import pytest
from babel.messages.catalog import Catalog

from riskapi.domain.knowledge import Pack
from tests.knowledge.display_texts import display_texts, texts_not_listed
from tests.knowledge.language_file import KNOWLEDGE, brought_up_to_date, language_file, messages, read_language, written

LANGUAGES = sorted(path.stem for path in (KNOWLEDGE / "languages").glob("*.po"))
NUMBER = re.compile(r"\d+(?:[.,]\d+)*")
PLACEHOLDER = re.compile(r"\{[^}]*\}")
WARNS = re.compile(r"\b(?:Never|[Dd]o not|[Nn]o|[Nn]obody|[Nn]othing|[Nn]ot)\b")
FORBIDS = re.compile(
    r"(?i)\b(?:nie|niemals|niemand|nicht|nichts|kein|keine|keinen|fernhalten|abstand|nur|bevor|vorher|muss|weg)\b"
)


@pytest.fixture(params=LANGUAGES)
def catalog(request: pytest.FixtureRequest) -> Catalog:
    return read_language(request.param)


def test_the_pack_comes_in_german() -> None:
    assert "de" in LANGUAGES


def test_no_text_of_the_pack_is_forgotten_by_the_collector(shipped: Pack) -> None:
    names = {revision.name for family in shipped.families for revision in family.revisions}
    assert texts_not_listed(shipped).keys() == names  # proper names stay as they are


def test_every_text_of_the_pack_is_translated(shipped: Pack, catalog: Catalog) -> None:
    translated = {message.id for message in messages(catalog) if message.string.strip()}
    assert sorted(display_texts(shipped).keys() - translated) == []


def test_no_translation_is_left_of_a_text_that_is_gone(shipped: Pack, catalog: Catalog) -> None:
    assert sorted({message.id for message in messages(catalog)} - display_texts(shipped).keys()) == []
    assert not catalog.obsolete


def test_no_translation_is_a_guess(catalog: Catalog) -> None:
    assert [message.id for message in messages(catalog) if message.fuzzy] == []


def test_numbers_and_placeholders_are_the_same(catalog: Catalog) -> None:
    """Whatever separates thousands and decimals: '1,000' and '1.000' are one number here, so are '0.3' and '0,3'."""
    wrong = [
        message.id
        for message in messages(catalog)
        if _numbers(message.id) != _numbers(message.string)
        or Counter(PLACEHOLDER.findall(message.id)) != Counter(PLACEHOLDER.findall(message.string))
    ]
    assert wrong == []


def test_texts_end_alike(catalog: Catalog) -> None:
    """A sentence stays a sentence, a question a question, a label a label."""
    wrong = [m.id for m in messages(catalog) if _end(m.id) != _end(m.string) or m.string != m.string.strip()]
    assert wrong == []


def test_cautions_keep_their_force(shipped: Pack) -> None:
    """What the English forbids the German forbids too."""
    german = read_language("de")
    records = (*shipped.checks, *shipped.set_ups, *shipped.operations, *shipped.weak_points)
    forbidding = {text for record in records for text in record.cautions if WARNS.search(text)}
    assert len(forbidding) > 40
    assert [text for text in sorted(forbidding) if not FORBIDS.search(german.get(text).string)] == []


def test_no_result_of_a_check_reads_like_another(shipped: Pack, catalog: Catalog) -> None:
    for check in shipped.checks:
        told = [catalog.get(result.name).string for result in check.results]
        assert len(set(told)) == len(told), check.id


def test_the_file_is_as_the_tool_writes_it(shipped: Pack) -> None:
    """In the order of the pack, with the places of each text; `python -m tests.knowledge.language_file de` does it."""
    for language in LANGUAGES:
        text = language_file(language).read_text("utf-8")
        head, _, _ = text.partition("\n\n")
        assert text == written(head, brought_up_to_date(read_language(language), shipped)), language


def _numbers(text: str) -> Counter[str]:
    return Counter(re.sub(r"[.,]", "", number) for number in NUMBER.findall(text))


def _end(text: str) -> str:
    return text[-1] if text[-1] in ".!?:;" else ""
