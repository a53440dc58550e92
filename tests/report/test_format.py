"""Numbers as text."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.report import format as fmt
from riskapi.report.language import Units, speaking


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


# ---- other languages and units -----------------------------------------------------------------------------------


def test_german_follows_the_cldr() -> None:
    """Unicode CLDR 47, common/main/de.xml: decimal ',' and group '.'; date format long 'd. MMMM y'; list pattern 'end'
    '{0} und {1}'; unit patterns long duration-year one '{0} Jahr', other '{0} Jahre'; percent pattern '#,##0 %'."""
    with speaking("de"):
        assert fmt.number(1234567.891, 2) == "1.234.567,89"
        assert fmt.day(date(2026, 3, 14)) == "14. M\u00e4rz 2026"
        assert fmt.listing(("eins", "zwei", "drei")) == "eins, zwei und drei"
        assert [fmt.years(value) for value in (1.0, 1.5, 3.0)] == ["1 Jahr", "1,5 Jahre", "3 Jahre"]
        assert [fmt.minutes(value) for value in (1.0, 5.0)] == ["1 Minute", "5 Minuten"]
        assert fmt.distance(138000.0) == "138.000 km"
        assert fmt.percent(0.38) == "38 %"
        assert fmt.instant_words(datetime(2026, 11, 3, 14, 5, tzinfo=UTC)) == "3. November 2026, 14:05 UTC"


def test_english_follows_the_cldr() -> None:
    """Unicode CLDR 47, common/main/en.xml and en_GB.xml: decimal '.', group ','; date format long 'd MMMM y'; list
    pattern 'end' '{0} and {1}', without a comma before it in en_GB; duration-month '{0} month' and '{0} months'."""
    assert fmt.number(1234567.891, 2) == "1,234,567.89"
    assert fmt.day(date(2026, 3, 14)) == "14 March 2026"
    assert fmt.listing(("one", "two", "three")) == "one, two and three"
    assert [fmt.months(value) for value in (1, 6)] == ["1 month", "6 months"]


def test_counts_and_money_in_german() -> None:
    with speaking("de"):
        assert fmt.money(1352.4, "EUR") == "1.350 EUR"
        assert fmt.money_signed(-1010.2, "CHF") == "\u22121.010 CHF"
        assert [fmt.of_hundred(share) for share in (0.0, 0.001, 0.384, 0.999, 1.0)] == [
            "0", "weniger als 1", "etwa 38", "mehr als 99", "100",
        ]  # fmt: skip
        assert [fmt.percent(share) for share in (0.001, 0.999)] == ["unter 1 %", "\u00fcber 99 %"]
        assert fmt.times(0.6) == "0,6"
        assert fmt.span(25.0, 52.0) == "25 bis 52"


def test_a_name_within_a_sentence_keeps_its_capital_in_german() -> None:
    assert [fmt.within(name) for name in ("Renew the chain", "VIN read")] == ["renew the chain", "VIN read"]
    with speaking("de"):
        assert fmt.within("Kette erneuern") == "Kette erneuern"


@pytest.mark.parametrize("language", ["en", "de"])
def test_other_units(language: str) -> None:
    """NIST Special Publication 811 (2008), appendix B.8: mile 1.609 344 km, psi 6.894 757 kPa, US liquid quart
    0.946 352 9 L. 160,934.4 km are 100,000 miles; 12 bar are 174.05 psi; 4.5 L are 4.755 qt."""
    with speaking(language, Units("mi", "psi", "qt")):
        assert fmt.distance(160934.4) == ("100,000 mi" if language == "en" else "100.000 mi")
        assert fmt.quantity(12.0, "bar") == "174 psi"
        assert fmt.quantity(4.5, "L") == ("4.76 qt" if language == "en" else "4,76 qt")
        assert fmt.quantity(4.2, "s") == ("4.2 s" if language == "en" else "4,2 s")
        assert fmt.quantity(0.5, "L/1000km") == ("0.85 qt/1,000 mi" if language == "en" else "0,85 qt/1.000 mi")
    with speaking(language):
        assert fmt.quantity(12.5, "bar") == ("12.5 bar" if language == "en" else "12,5 bar")
        assert fmt.quantity(0.5, "L/1000km") == ("0.5 L/1,000 km" if language == "en" else "0,5 L/1.000 km")
        assert fmt.quantity(3.0, "deg") == ("3 degrees" if language == "en" else "3 Grad")


def test_a_distance_that_is_an_estimate_is_round_in_the_unit_that_is_told() -> None:
    assert (fmt.distance(18_013.0, step=50), fmt.distance_down(139_460.0)) == ("18,000 km", "139,400 km")
    with speaking("en", Units("mi")):
        assert (fmt.distance(18_000.0, step=50), fmt.distance_down(7_500.0)) == ("11,200 mi", "4,600 mi")


def test_a_ratio_as_a_per_cent() -> None:
    assert (fmt.percent_of(0.8), fmt.percent_of(1.26)) == ("80 %", "126 %")


@given(st.floats(-1e9, 1e9), st.integers(0, 3))
def test_a_number_reads_the_same_in_every_language(value: float, digits: int) -> None:
    english = fmt.number(value, digits)
    with speaking("de"):
        german = fmt.number(value, digits)
    assert german.translate({ord("."): ",", ord(","): "."}) == english
