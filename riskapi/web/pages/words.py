"""Sentences of the pages that are made from figures, and the knowledge pack in the reader's language."""

from __future__ import annotations

from riskapi.domain.knowledge import Pack
from riskapi.domain.units import convert
from riskapi.report import format as fmt
from riskapi.report.language import spoken
from riskapi.report.texts import say
from riskapi.report.translate import pack_in_words
from riskapi.report.words import FAIRLY_KNOWN, WELL_KNOWN
from riskapi.web.pages.texts import tell
from riskapi.web.state import state

SCRIPT_WORDS = (
    "nothing_said", "sure", "afresh", "sending", "waiting", "not_sent", "see_result", "photo_waiting", "photo_refused",
    "remove", "show_money", "hide_money", "kept_answers", "kept_waiting", "sent_already", "failed",
    "outcome_kept", "core_counted", "no_signal", "paper_removed", "paper_open", "paper_note",
)  # fmt: skip


def local_pack() -> Pack:
    """The pack that is in use, its texts in the language spoken now."""
    return pack_in_words(state().pack)


def script_words() -> dict[str, str]:
    """What the scripts of a page say; {facts} are filled in there."""
    return {key: tell.tables[spoken()][key] for key in SCRIPT_WORDS}


def distance_words(kilometres: float, unit: str) -> str:
    """A distance [km] in km or miles."""
    if unit == "mi":
        return f"{fmt.number(convert(kilometres, 'km', 'mi'))} {tell('miles')}"
    return fmt.distance(kilometres)


def score_sentence(score: float, band: tuple[float, float], budget: float, currency: str, years: float) -> str:
    """'Of 100 cars like this about 38 need more than 1,200 EUR for surprise repairs ...'."""
    count = fmt.of_hundred(score / 100.0)
    return say(
        "score",
        count=count,
        need=say("need_one" if fmt.one_of_hundred(score / 100.0) else "need_many"),
        budget=fmt.money_exact(budget, currency),
        years=fmt.years(years),
        band=band_words(band),
    )


def band_words(band: tuple[float, float]) -> str:
    """'25 to 52: a wide range'."""
    low, high = band
    width = high - low
    known = "well" if width <= WELL_KNOWN else "fairly" if width <= FAIRLY_KNOWN else "thinly"
    return say("band", range=fmt.span(low, high), known=say(f"known_{known}"))


def bar_words(score: float, band: tuple[float, float]) -> str:
    """What a screen reader says of the bar of the score."""
    low, high = (fmt.number(bound) for bound in band)
    return tell("bar_of_cars", count=fmt.of_hundred(score / 100.0), low=low, high=high)
