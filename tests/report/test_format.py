"""Numbers as text."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.report import format as fmt


@pytest.mark.parametrize(
    ("amount", "text"),
    [
        (0.0, "0 EUR"),
        (-0.2, "0 EUR"),
        (42.0, "40 EUR"),
        (905.0, "900 EUR"),
        (1352.4, "1,350 EUR"),
        (12_345.0, "12,300 EUR"),
        (-1352.4, "-1,350 EUR"),
    ],
)
def test_an_estimate_is_rounded_to_what_it_can_promise(amount: float, text: str) -> None:
    assert fmt.money(amount, "EUR") == text


def test_a_stated_amount_keeps_its_unit() -> None:
    assert fmt.money_exact(6989.4, "EUR") == "6,989 EUR"


@pytest.mark.parametrize(("amount", "text"), [(60.0, "+60 €"), (-1010.2, "−1,010 €"), (0.3, "0 €"), (-0.3, "0 €")])
def test_a_signed_amount_shows_its_sign_unless_it_is_nothing(amount: float, text: str) -> None:
    assert fmt.money_signed(amount, "€") == text


@pytest.mark.parametrize(
    ("share", "percent", "count"),
    [
        (0.0, "0 %", "none"),
        (0.004, "under 1 %", "fewer than 1"),
        (0.005, "under 1 %", "fewer than 1"),
        (0.012, "1 %", "about 1"),
        (0.382, "38 %", "about 38"),
        (0.9951, "over 99 %", "more than 99"),
        (1.0, "100 %", "all"),
    ],
)
def test_chances_never_round_to_never_or_always(share: float, percent: str, count: str) -> None:
    assert fmt.percent(share) == percent
    assert fmt.of_hundred(share) == count


@given(st.floats(0.0, 1.0, exclude_min=True, exclude_max=True))
def test_an_open_chance_is_never_written_as_certain(share: float) -> None:
    assert fmt.percent(share) not in {"0 %", "100 %"}
    assert fmt.of_hundred(share) not in {"none", "all", "about 0", "about 100"}


@pytest.mark.parametrize(
    ("share", "text"),
    [
        (0.1, "1 in 10"),
        (0.004, "1 in 250"),
        (0.0004, "fewer than 1 in 1,000"),
        (0.6, "more likely than not"),
        (0.97, "almost certain"),
    ],
)
def test_odds_in_words(share: float, text: str) -> None:
    assert fmt.odds(share) == text


def test_distances_terms_and_times() -> None:
    assert fmt.distance(138_000.4) == "138,000 km"
    assert (fmt.years(1.0), fmt.years(3.0), fmt.years(1.5)) == ("1 year", "3 years", "1.5 years")
    assert (fmt.minutes(1.0), fmt.minutes(20.0)) == ("1 minute", "20 minutes")
    assert (fmt.times(3.0), fmt.times(0.6)) == ("3", "0.6")


def test_dates_and_instants_do_not_depend_on_the_place() -> None:
    assert fmt.day(date(2026, 11, 3)) == "3 November 2026"
    local = datetime(2026, 11, 3, 16, 5, 9, 123456, tzinfo=timezone(timedelta(hours=2)))
    assert fmt.instant(local) == "2026-11-03T14:05:09Z"
    assert fmt.instant(local.astimezone(UTC).replace(tzinfo=None)) == "2026-11-03T14:05:09Z"
    assert fmt.instant_words(local) == "3 November 2026, 14:05 UTC"


def test_spans_listings_and_sentences() -> None:
    assert fmt.span(25.3, 51.8) == "25 to 52"
    assert fmt.span(25.1, 25.3) == "25"
    assert fmt.listing(()) == ""
    assert fmt.listing(("a", "b", "c")) == "a, b and c"
    assert fmt.sentence(" the engine was warm ") == "The engine was warm."
    assert fmt.sentence("Why?") == "Why?"


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="not a finite number"):
        fmt.number(value)


def test_free_text_loses_what_cannot_be_seen_and_is_cut() -> None:
    assert fmt.plain("a\x00b\u202ec\n\n d\u200b") == "a bc d"
    assert fmt.plain("x" * 50, 10) == "x" * 9 + "…"


@given(st.text())
def test_free_text_is_always_short_and_visible(text: str) -> None:
    kept = fmt.plain(text, 40)
    assert len(kept) <= 40
    assert "\n" not in kept
    assert kept == kept.strip()


@given(st.lists(st.floats(-1e5, 1e5), max_size=30), st.sampled_from([0, 2]))
def test_amounts_that_add_up(amounts: list[float], digits: int) -> None:
    found = fmt.adding_up(tuple(amounts), digits)
    assert sum(found) == pytest.approx(sum(amounts), abs=0.501 * 10.0**-digits)
    assert all(abs(a - b) < 1.001 * 10.0**-digits for a, b in zip(found, amounts, strict=True))


def test_what_rounding_moves_most_takes_the_difference() -> None:
    assert fmt.adding_up((0.4, 0.4, 0.4)) == (1.0, 0.0, 0.0)
    assert fmt.adding_up((100.5, -50.4, -50.4)) == (100.0, -50.0, -50.0)
    assert fmt.adding_up(()) == ()
