"""languages/LANGUAGE.po: the texts of the pack in another language, in the format of GNU gettext.

`msgid` is the English text exactly as the pack says it, wherever it stands; an empty `msgstr` is not translated yet.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from io import BytesIO
from types import MappingProxyType

from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import PoFileError, read_po

from riskapi.catalogue.ledger import Ledger, Spot
from riskapi.domain.display import display_texts
from riskapi.domain.knowledge import Pack

FOLDER = "languages"
_NAME = re.compile(rf"{FOLDER}/([a-z]{{2,3}})\.po")

Languages = Mapping[str, Mapping[str, str]]  # language -> English text -> text


def is_language_file(name: str) -> bool:
    """Whether a file of the pack is one of a language, such as 'languages/de.po'."""
    return _NAME.fullmatch(name) is not None


def read_languages(contents: Mapping[str, bytes], pack: Pack, ledger: Ledger) -> Languages:
    """All language files of a pack; what is wrong with them is noted with file and line."""
    found = {}
    texts = display_texts(pack) if any(map(is_language_file, contents)) else {}
    for name, data in contents.items():
        match = _NAME.fullmatch(name)
        if match is not None:
            found[match[1]] = MappingProxyType(_table(name, data, texts, ledger))
    return MappingProxyType(found)


def _table(name: str, data: bytes, texts: Iterable[str], ledger: Ledger) -> dict[str, str]:
    catalogue = _catalogue(name, data, ledger)
    if catalogue is None:
        return {}
    known, table = set(texts), {}
    for message in catalogue:
        if message.id == "":
            continue
        spot = Spot(name, message.lineno or 1, 1)
        if not isinstance(message.id, str) or message.id not in known:
            mend = "Write msgid as the pack writes it, or take the entry out."
            ledger.fault(spot, f"no text of the pack reads {_short(message)}.", mend)
        elif message.string and not message.fuzzy:
            table[message.id] = str(message.string)
    return table


def _catalogue(name: str, data: bytes, ledger: Ledger) -> Catalog | None:
    try:
        data.decode("utf-8")
        return read_po(BytesIO(data), charset="utf-8", abort_invalid=True)
    except PoFileError as error:
        ledger.fault(Spot(name, error.lineno, 1), f"{error}.", "See the manual of GNU gettext, PO files.")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        ledger.fault(Spot(name, line, 1), "this is not UTF-8.", "Save the file as UTF-8.")
    return None


def _short(message: Message) -> str:
    text = message.id if isinstance(message.id, str) else message.id[0]
    return f"'{text if len(text) <= 60 else text[:59] + chr(8230)}'"
