"""The only place where numbers become text: money, shares, counts, distances, dates, chances as odds.

In the language and the units that are spoken (riskapi.report.language). Separators, dates, unit names with their
plurals, and how a list is joined come from the Unicode CLDR, through Babel. Two things are our own in every language:
money carries its ISO 4217 code after the number, since a symbol such as $ means several currencies, and spaces are
plain ones. A number a person reads is rounded so far that it promises no more than it knows; `money_exact` is for
amounts the reader gave or must be able to add up.
"""

from __future__ import annotations

import math
import re
import unicodedata
from datetime import UTC, date, datetime
from functools import cache

from babel import Locale
from babel.dates import format_date
from babel.lists import format_list
from babel.units import format_unit

from riskapi.report.language import spoken, spoken_units
from riskapi.report.number_texts import number_words

LOCALES = {"en": "en_GB", "de": "de"}  # language -> the CLDR locale whose customs it follows
_STEPS = ((100.0, 5.0), (1_000.0, 10.0), (10_000.0, 50.0), (math.inf, 100.0))
_KM_PER_MILE = 1.609344  # exact: international mile
_LITRES_PER_QUART = 0.946352946  # exact: US liquid quart
_BAR_PER_PSI = 0.0689475729  # pound-force per square inch
OIL_USE = "L/1000km"  # the unit of it in the pack


@cache
def _locale(language: str) -> Locale:
    return Locale.parse(LOCALES[language])


@cache
def _separators(language: str) -> dict[int, str]:
    """What stands for the comma and the point of Python's own format."""
    symbols = _locale(language).number_symbols["latn"]
    return {ord(","): symbols["group"], ord("."): symbols["decimal"]}


def number(value: float, digits: int = 0) -> str:
    """A plain number with a mark between thousands; never '-0'. Raises ValueError when it is not finite."""
    if not math.isfinite(value):
        raise ValueError(f"not a finite number: {value}")
    return written(round(value, digits) + 0.0, f",.{digits}f")


def written(value: float, spec: str) -> str:
    """A number by a Python format such as ',.1f' or 'g', with the separators of the language."""
    return with_separators(format(value, spec))


def with_separators(number: str) -> str:
    """A number written as Python does, with the separators of the language."""
    return number.translate(_separators(spoken()))


def _unit(value: float, unit: str, digits: int, length: str) -> str:
    form = "#,##0." + "#" * digits if digits else "#,##0"
    told = format_unit(round(value, digits), unit, length, format=form, locale=_locale(spoken()))  # type: ignore[arg-type]
    return told.replace("\u00a0", " ").replace("\u202f", " ")


def rough(amount: float) -> float:
    """An amount [money] rounded to what an estimate can promise: to 5, 10, 50 or 100 as it grows."""
    step = next(step for limit, step in _STEPS if abs(amount) < limit)
    return round(amount / step) * step + 0.0


def money(amount: float, currency: str) -> str:
    """An estimated amount: '1,250 EUR'."""
    return f"{number(rough(amount))} {currency}"


def money_exact(amount: float, currency: str) -> str:
    """An amount to the unit: '1,234 EUR'."""
    return f"{number(amount)} {currency}"


def money_signed(amount: float, currency: str) -> str:
    """A signed amount to the unit: '+120 EUR', '−80 EUR', '0 EUR'."""
    text = number(abs(amount))
    sign = "" if text == "0" else "+" if amount > 0 else "\u2212"
    return f"{sign}{text} {currency}"


def adding_up(amounts: tuple[float, ...], digits: int = 0) -> tuple[float, ...]:
    """Amounts rounded so that they add up to their rounded sum: those that rounding moves most are rounded the other
    way (largest remainders)."""
    unit = 10.0**-digits
    down = [math.floor(amount / unit) for amount in amounts]
    missing = round(math.fsum(amounts) / unit) - sum(down)
    order = sorted(range(len(amounts)), key=lambda i: (down[i] - amounts[i] / unit, i))
    up = set(order[: max(missing, 0)])
    return tuple(round((whole + (i in up)) * unit, digits) + 0.0 for i, whole in enumerate(down))


def percent(share: float) -> str:
    """A chance or share [0..1]: '38 %'; what is not nothing and not all is never written as 0 % or 100 %."""
    whole = number(share * 100)
    if whole == "0" and share > 0.0:
        return number_words("percent_under", number="1")
    if whole == "100" and share < 1.0:
        return number_words("percent_over", number="99")
    return number_words("percent", number=whole)


def percent_of(ratio: float) -> str:
    """A ratio [1] as a per cent: '120 %'."""
    return number_words("percent", number=number(100.0 * ratio))


def per_hundred(share: float) -> str:
    """A chance or share [0..1] for a column headed [%]: '38', '<1', '>99'."""
    whole = number(share * 100)
    if whole == "0" and share > 0.0:
        return "<1"
    return ">99" if whole == "100" and share < 1.0 else whole


def of_hundred(share: float) -> str:
    """How many of a hundred: 'about 38', 'fewer than 1', 'more than 99', 'none', 'all'."""
    if share <= 0.0 or share >= 1.0:
        return number_words("hundred_none" if share <= 0.0 else "hundred_all")
    whole = number(share * 100)
    if whole in {"0", "100"}:
        return number_words("hundred_fewer", number="1") if whole == "0" else number_words("hundred_more", number="99")
    return number_words("hundred_about", number=whole)


def one_of_hundred(share: float) -> bool:
    """Whether `of_hundred` says a single one, so that the verb is singular."""
    return share > 0.0 and number(share * 100) in {"0", "1"}


def span(low: float, high: float, digits: int = 0) -> str:
    """'25 to 52', or '25' when both round to the same."""
    first, last = number(low, digits), number(high, digits)
    return first if first == last else number_words("span", low=first, high=last)


def odds(share: float) -> str:
    """A chance in words: '1 in 10', 'fewer than 1 in 1,000', 'more likely than not', 'almost certain'."""
    if share > 0.95:
        return number_words("odds_certain")
    if share > 0.5:
        return number_words("odds_likely")
    if share < 0.001:
        return number_words("odds_fewer", number=number(1000))
    return number_words("odds", number=number(round(1 / share)))


def distance(kilometres: float, step: int = 1) -> str:
    """'138,000 km', or in miles where these are spoken; to the nearest `step` of them."""
    return _distance(round(_of_distance(kilometres) / step) * step)


def distance_down(kilometres: float) -> str:
    """A distance to watch for, down to a hundred: '139,400 km'."""
    return _distance(_of_distance(kilometres) // 100.0 * 100.0)


def _of_distance(kilometres: float) -> float:
    return kilometres / _KM_PER_MILE if spoken_units().distance == "mi" else kilometres


def _distance(value: float) -> str:
    return _unit(value, "length-mile" if spoken_units().distance == "mi" else "length-kilometer", 0, "short")


def measured(value: float, unit: str) -> tuple[str, str]:
    """Number and unit of a measured value [unit], in the units spoken: ('9.5', 'bar'), ('138', 'psi')."""
    units = spoken_units()
    if unit == "bar" and units.pressure == "psi":
        return written(value / _BAR_PER_PSI, ".3g"), "psi"
    if unit == "L" and units.volume == "qt":
        return written(value / _LITRES_PER_QUART, ".3g"), "qt"
    if unit == "km" and units.distance == "mi":
        return number(value / _KM_PER_MILE), "mi"
    if unit == OIL_USE:
        far, much = _KM_PER_MILE if units.distance == "mi" else 1.0, _LITRES_PER_QUART if units.volume == "qt" else 1.0
        return written(value * far / much, ".3g"), f"{units.volume}/{number(1000)} {units.distance}"
    return written(value, "g"), number_words("degrees") if unit == "deg" else unit


def quantity(value: float, unit: str) -> str:
    """'9.5 bar', '138 psi', '4.2 s'."""
    return " ".join(measured(value, unit)).strip()


def years(value: float) -> str:
    """'3 years', '1 year', '1.5 years'."""
    return _unit(value, "duration-year", 1, "long")


def minutes(value: float) -> str:
    """'5 minutes', '1 minute'."""
    return _unit(value, "duration-minute", 0, "long")


def months(value: float) -> str:
    """'6 months', '1 month', '2.5 months'."""
    return _unit(value, "duration-month", 1, "long")


def times(value: float) -> str:
    """An expected number of times: '1', '0.6'."""
    text = written(round(value, 1) + 0.0, ",.1f")
    return text[:-2] if text.endswith("0") else text


def day(value: date) -> str:
    """'3 November 2026'."""
    return format_date(value, "long", _locale(spoken()))


def instant(value: datetime) -> str:
    """RFC 3339 in UTC, to the second; a time without a zone is read as UTC."""
    aware = value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
    return aware.strftime("%Y-%m-%dT%H:%M:%SZ")


def instant_words(value: datetime) -> str:
    """'3 November 2026, 14:05 UTC'."""
    aware = value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
    return number_words("instant", day=day(aware.date()), time=f"{aware:%H:%M}")


def listing(words: tuple[str, ...]) -> str:
    """'a', 'a and b', 'a, b and c'."""
    return joined(words, "and")


def joined(words: tuple[str, ...], joint: str) -> str:
    """'a', 'a or b', 'a, b or c'; `joint`: and, or."""
    return format_list(words, "or" if joint == "or" else "standard", _locale(spoken()))


def capital(text: str) -> str:
    """The text with its first letter as a capital; the rest untouched."""
    return text[:1].upper() + text[1:]


def within(name: str) -> str:
    """A name within a sentence: in English without its capital, abbreviations aside; German nouns keep theirs."""
    if spoken() != "en" or name[1:2].isupper():
        return name
    return name[:1].lower() + name[1:]


def sentence(text: str) -> str:
    """The text as a sentence: first letter a capital, an end mark at the end."""
    trimmed = text.strip()
    return capital(trimmed) if not trimmed or trimmed[-1] in ".!?:" else capital(trimmed) + "."


def plain(text: str, limit: int = 600) -> str:
    """Free text made fit to print: control and invisible characters out, white space folded, cut at `limit`."""
    kept = "".join(" " if unicodedata.category(c) in {"Cc", "Zl", "Zp"} else c for c in text)
    visible = "".join(c for c in kept if unicodedata.category(c) not in {"Cf", "Cs", "Co", "Cn"})
    folded = " ".join(visible.split())
    return folded if len(folded) <= limit else folded[: limit - 1].rstrip() + "\u2026"


def lines(text: str) -> str:
    """Free text of several lines made fit to show: other control and invisible characters out, ends trimmed, at most
    one empty line in a row."""
    kept = [plain(line, len(line) + 1) for line in text.replace("\r\n", "\n").replace("\r", "\n").split("\n")]
    return re.sub(r"\n{3,}", "\n\n", "\n".join(kept)).strip()
