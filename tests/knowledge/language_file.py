"""The translations of the shipped pack, one PO file for each language, read and brought up to date.

`python -m tests.knowledge.language_file de` writes knowledge/languages/de.po again after the pack was edited: in the
order of the pack, with the places of each text, new texts with an empty translation, texts that are gone left out.
The head of the file, up to its first empty line, stays as it is: it holds the glossary.
"""

from __future__ import annotations

import sys
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po, write_po

from riskapi.catalogue.load import load_pack
from riskapi.domain.knowledge import Pack
from tests.knowledge.display_texts import display_texts

KNOWLEDGE = Path(__file__).resolve().parents[2] / "knowledge"
PLACES = 3  # named beside a text; a caution stands in dozens


def language_file(language: str) -> Path:
    return KNOWLEDGE / "languages" / f"{language}.po"


def read_language(language: str) -> Catalog:
    with language_file(language).open("rb") as file:
        return read_po(file, locale=language, abort_invalid=True)


def messages(catalog: Catalog) -> list[Message]:
    """All but the head of the file."""
    return [message for message in catalog if message.id]


def brought_up_to_date(old: Catalog, pack: Pack) -> Catalog:
    new = Catalog(locale=old.locale, charset="utf-8")
    for text, places in display_texts(pack).items():
        known = old.get(text)
        translation, notes = (known.string, known.user_comments) if known else ("", ())
        new.add(text, translation, auto_comments=[in_words(places)], user_comments=notes)
    return new


def in_words(places: tuple[str, ...]) -> str:
    more = f" and {len(places) - PLACES} more" if len(places) > PLACES else ""
    return ", ".join(places[:PLACES]) + more


def written(head: str, catalog: Catalog) -> str:
    """The file's text. The same catalog gives the same text: no date, no version of the tool."""
    for message in catalog:
        message.flags.discard("python-format")  # Babel takes '85 % of' for a placeholder
    body = BytesIO()
    write_po(body, catalog, width=118, omit_header=True)
    return f"{head}\n\n{body.getvalue().decode()}".rstrip() + "\n"


def main(language: str) -> None:
    file = language_file(language)
    head, _, _ = file.read_text("utf-8").partition("\n\n")
    catalog = brought_up_to_date(read_language(language), load_pack(KNOWLEDGE))
    file.write_text(written(head, catalog), "utf-8")


if __name__ == "__main__":
    main(*sys.argv[1:])
