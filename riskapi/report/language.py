"""In which language and in which units a report speaks: a setting of the context, so that no sentence carries it along.

    with speaking("de"):
        say("title")            # 'Motorbeurteilung'
        fmt.money(1200, "EUR")  # '1.200 EUR'

A `Texts` is a table of texts per language, all with the same keys and the same facts. The German tables are in
riskapi/report/german/, one module beside each English one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass

LANGUAGES = ("en", "de")
DEFAULT = "en"


@dataclass(frozen=True, slots=True)
class Units:
    """What lengths, pressures and volumes are told in."""

    distance: str = "km"  # km | mi
    pressure: str = "bar"  # bar | psi
    volume: str = "L"  # L | qt (US quarts)

    @property
    def unusual(self) -> tuple[str, ...]:
        """Those that are not the metric ones, in the order of the fields: ('mi', 'psi')."""
        chosen = (self.distance, self.pressure, self.volume)
        return tuple(unit for unit, usual in zip(chosen, ("km", "bar", "L"), strict=True) if unit != usual)


METRIC = Units()


_CHOICES = {"km": "distance", "mi": "distance", "bar": "pressure", "psi": "pressure", "L": "volume", "qt": "volume"}


def units_of(text: str) -> Units:
    """'mi,psi' -> miles and psi, litres as usual. Raises ValueError for a unit that is no choice, or one made twice."""
    chosen: dict[str, str] = {}
    for unit in filter(None, (part.strip() for part in text.split(","))):
        if unit not in _CHOICES:
            raise ValueError(f"no such unit: {unit}; choose from {', '.join(_CHOICES)}")
        if _CHOICES[unit] in chosen:
            raise ValueError(f"two units of one kind: {chosen[_CHOICES[unit]]} and {unit}")
        chosen[_CHOICES[unit]] = unit
    return Units(**chosen)


@dataclass(frozen=True, slots=True)
class Speech:
    """A language with the units that go with it."""

    language: str = DEFAULT
    units: Units = METRIC


_SPEECH: ContextVar[Speech] = ContextVar("speech", default=Speech())  # noqa: B039 (frozen)


@contextmanager
def speaking(language: str, units: Units | None = None) -> Iterator[None]:
    """Within the block texts and numbers come in this language; units stay as they were unless given.

    Raises ValueError for a language that is none of LANGUAGES.
    """
    if language not in LANGUAGES:
        raise ValueError(f"no such language: {language}")
    token = _SPEECH.set(Speech(language, units or _SPEECH.get().units))
    try:
        yield
    finally:
        _SPEECH.reset(token)


def spoken() -> str:
    """The language spoken now."""
    return _SPEECH.get().language


def spoken_units() -> Units:
    """The units spoken now."""
    return _SPEECH.get().units


class Texts:
    """The texts of one part of a report in every language; calling it gives a text in the language spoken now."""

    def __init__(self, **tables: Mapping[str, str]) -> None:
        """`en=..., de=...`: key -> text with {facts}. Raises ValueError when a language is missing or not known."""
        if set(tables) != set(LANGUAGES):
            raise ValueError(f"texts in {', '.join(sorted(tables))}, needed in {', '.join(LANGUAGES)}")
        self.tables: Mapping[str, Mapping[str, str]] = tables

    def __call__(self, key: str, /, **facts: str) -> str:
        """The text `key` with its facts filled in. Raises KeyError for an unknown key or a missing fact."""
        return self.tables[spoken()][key].format(**facts)

    def __contains__(self, key: str) -> bool:
        return key in self.tables[DEFAULT]
