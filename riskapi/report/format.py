"""The only place where numbers become text: money, shares, counts, distances, dates, chances as odds.

English. A number a person reads is rounded so far that it promises no more than it knows; `money_exact` is for
amounts the reader gave or must be able to add up.
"""

from __future__ import annotations

import math
import unicodedata
from datetime import UTC, date, datetime

_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_STEPS = ((100.0, 5.0), (1_000.0, 10.0), (10_000.0, 50.0), (math.inf, 100.0))


def number(value: float, digits: int = 0) -> str:
    """A plain number with a comma between thousands; never '-0'. Raises ValueError when it is not finite."""
    if not math.isfinite(value):
        raise ValueError(f"not a finite number: {value}")
    return f"{round(value, digits) + 0.0:,.{digits}f}"


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
        return "under 1 %"
    return "over 99 %" if whole == "100" and share < 1.0 else f"{whole} %"


def of_hundred(share: float) -> str:
    """How many of a hundred: 'about 38', 'fewer than 1', 'more than 99', 'none', 'all'."""
    if share <= 0.0 or share >= 1.0:
        return "none" if share <= 0.0 else "all"
    whole = number(share * 100)
    return {"0": "fewer than 1", "100": "more than 99"}.get(whole, f"about {whole}")


def span(low: float, high: float, digits: int = 0) -> str:
    """'25 to 52', or '25' when both round to the same."""
    first, last = number(low, digits), number(high, digits)
    return first if first == last else f"{first} to {last}"


def odds(share: float) -> str:
    """A chance in words: '1 in 10', 'fewer than 1 in 1,000', 'more likely than not', 'almost certain'."""
    if share > 0.95:
        return "almost certain"
    if share > 0.5:
        return "more likely than not"
    if share < 0.001:
        return "fewer than 1 in 1,000"
    return f"1 in {number(round(1 / share))}"


def distance(kilometres: float) -> str:
    """'138,000 km'."""
    return f"{number(kilometres)} km"


def years(value: float) -> str:
    """'3 years', '1 year', '1.5 years'."""
    text = number(value, 1).removesuffix(".0")
    return f"{text} {'year' if text == '1' else 'years'}"


def minutes(value: float) -> str:
    """'5 minutes', '1 minute'."""
    text = number(value)
    return f"{text} {'minute' if text == '1' else 'minutes'}"


def times(value: float) -> str:
    """An expected number of times: '1', '0.6'."""
    return number(value, 1).removesuffix(".0")


def day(value: date) -> str:
    """'3 November 2026'."""
    return f"{value.day} {_MONTHS[value.month - 1]} {value.year}"


def instant(value: datetime) -> str:
    """RFC 3339 in UTC, to the second; a time without a zone is read as UTC."""
    aware = value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
    return aware.strftime("%Y-%m-%dT%H:%M:%SZ")


def instant_words(value: datetime) -> str:
    """'3 November 2026, 14:05 UTC'."""
    aware = value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
    return f"{day(aware.date())}, {aware:%H:%M} UTC"


def listing(words: tuple[str, ...]) -> str:
    """'a', 'a and b', 'a, b and c'."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def capital(text: str) -> str:
    """The text with its first letter as a capital; the rest untouched."""
    return text[:1].upper() + text[1:]


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
