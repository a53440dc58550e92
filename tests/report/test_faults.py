"""Faults in the language spoken, and the guard that every fault a user can meet is made of sentences."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

import riskapi
from riskapi.domain.sentence import Listed, Sentence, Written, WrittenNumber, at_fault, in_a_row, told
from riskapi.errors import Fault
from riskapi.intake.base import RequestSchema
from riskapi.intake.fields import _Told
from riskapi.report.faults import KINDS, faults_in_words, kind_word
from riskapi.report.language import speaking
from riskapi.report.translate import text_in_words
from tests.german import check_told_in_german
from tests.report import builders

PROGRAM = Path(next(iter(riskapi.__path__)))
OPERATORS = {
    "catalogue/ledger.py", "catalogue/load.py", "report/tables.py",  # a pack, to its author
    "commands/seal.py", "storage/accounts.py", "storage/backup.py", "storage/database.py", "storage/identities.py",
    "storage/retention.py", "web/serve.py", "web/settings.py",  # commands and settings, to the operator
}  # fmt: skip
"""Modules whose faults are English only: users of pages, of the API and of commands with --language never meet them."""
MAKER = "domain/sentence.py"


def german(text: str) -> str:
    with speaking("de"):
        return text_in_words(text, builders.pack())


def test_a_fault_comes_in_german_with_its_place_as_it_was() -> None:
    fault = at_fault("/as_of", told("{value} is not in the calendar.", value=Written('"x"')), told("Remove it."))
    with speaking("de"):
        said = faults_in_words([fault], None)
    assert said == (Fault("/as_of", '"x" steht in keinem Kalender.', "Entfernen Sie es."),)
    assert faults_in_words([fault], None) == (fault,)


def test_facts_come_in_the_language_and_what_was_written_stays() -> None:
    day = date(2024, 5, 1)
    assert german(told("{day}", day=day)) == "1. Mai 2024"
    message = told("{trait} {value} is outside {span}.", trait="fuel", value=WrittenNumber("7.5"),
                   span=told("{low:g} to {high:g}", low=0.5, high=6.0))  # fmt: skip
    assert message == "fuel 7.5 is outside 0.5 to 6."
    assert german(message) == "Kraftstoff: Erlaubt ist 0,5 bis 6, nicht 7,5."
    assert (
        german(told("Write {words}.", words=Listed((Written("fuel"), Written("none")))))
        == "Schreiben Sie fuel oder none."
    )
    assert german(told("Write {words}.", words=Listed((Written("a"),)))) == "Schreiben Sie a."
    both = Listed(tuple(map(Written, "abc")), "and")
    assert german(told("Write an object with the keys {keys}.", keys=both)).endswith("a, b und c.")
    assert german(told("The list has {count:d} items; at most {limit:d} are read.", count=7, limit=5)).startswith(
        "Die Liste hat 7"
    )
    assert "15.000.000" in german(told("The picture has more than {limit:,d} pixels.", limit=15_000_000))


def test_names_of_the_pack_come_in_its_own_words() -> None:
    pack = replace(builders.pack(), languages={"de": {"Chain tensioner": "Kettenspanner"}})
    message = told("This engine has no weak point {weak_point} ({name}).",
                   weak_point=Written("chain_tensioner"), name="Chain tensioner")  # fmt: skip
    with speaking("de"):
        assert text_in_words(message, pack) == "Dieser Motor hat keine Schwachstelle chain_tensioner (Kettenspanner)."
        assert text_in_words(message, None).endswith("(Chain tensioner).")


def test_sentences_in_a_row_are_told_one_by_one() -> None:
    both = in_a_row(told("Remove it."), told("Count again."), told("Leave it out."))
    assert both == "Remove it. Count again. Leave it out."
    assert german(both) == "Entfernen Sie es. Zählen Sie noch einmal. Lassen Sie es weg."


def test_kinds_have_words_and_an_unknown_one_stays() -> None:
    assert german(kind_word("revision")) == "Baustand"
    assert kind_word("moon") == "moon"


# ---- the guard ---------------------------------------------------------------------------------------------------


def modules() -> Iterator[tuple[str, ast.Module]]:
    for file in sorted(PROGRAM.rglob("*.py")):
        yield str(file.relative_to(PROGRAM)), ast.parse(file.read_text("utf-8"))


def called(tree: ast.Module, name: str) -> list[ast.Call]:
    return [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == name
    ]


def test_faults_that_users_can_meet_are_made_of_sentences() -> None:
    """`at_fault` takes nothing but sentences (mypy sees to that), and nobody goes around it."""
    around = {name for name, tree in modules() if called(tree, "Fault")}
    assert around == OPERATORS | {MAKER}


def test_kinds_of_things_that_errors_name_have_words() -> None:
    errors = ("NotFound", "Overtaken", "NothingNewer", "Outdated", "TooMany", "_lookup")
    firsts = [call.args[0] for _, tree in modules() for name in errors for call in called(tree, name) if call.args]
    named = {first.value for first in firsts if isinstance(first, ast.Constant)}
    assert len(named) > 15
    assert named <= KINDS.keys()


def test_every_field_of_a_request_speaks_with_sentences() -> None:
    """marshmallow's own fields have messages of their own, which nobody translates."""
    for module in ("kept", "outcome", "paper", "prices", "publication", "what_if", "follow_up"):
        __import__(f"riskapi.intake.{module}")
    for module in ("recalls", "webhook_schemas"):
        __import__(f"riskapi.web.{module}")
    schemas = list(subclasses(RequestSchema))
    assert len(schemas) > 25
    foreign = [
        f"{schema.__name__}.{name}"
        for schema in schemas
        for name, field in schema().fields.items()
        if not isinstance(field, _Told)
    ]
    assert foreign == []


def subclasses(kind: type[RequestSchema]) -> Iterator[type[RequestSchema]]:
    for below in kind.__subclasses__():
        yield below
        yield from subclasses(below)


@pytest.mark.parametrize(
    "fault",
    [
        Fault("", "This is no {what}.", "Remove it."),
        at_fault("", told("{message}", message="It is made of more than one."), told("Remove it.")),
    ],
)
def test_the_check_of_the_tests_itself_finds_english(fault: Fault) -> None:
    with pytest.raises(AssertionError):
        check_told_in_german(fault)


def test_every_shape_of_a_field_is_a_sentence() -> None:
    shapes = {type(field.shape) for schema in subclasses(RequestSchema) for field in schema().fields.values()}  # type: ignore[attr-defined]
    assert shapes == {Sentence}
