from __future__ import annotations

from riskapi.intake.words import SHOWN, choose, listed, nearest, shown


def test_near_words_are_offered() -> None:
    assert choose("quite", ["quiet", "long"]) == 'Did you mean "quiet"?'
    assert choose("Quiet", ["quiet", "long"]) == 'Did you mean "quiet"?'


def test_few_choices_are_listed_and_many_are_not() -> None:
    assert choose("zzz", ["b", "a"]) == 'Write "a" or "b".'
    many = [f"word{index:02}" for index in range(40)]
    assert choose("zzz", many).startswith("Write one of the 40 known words")


def test_a_long_word_is_neither_compared_nor_repeated() -> None:
    assert nearest("q" * 100_000, ["quiet"]) == []
    assert len(shown("q" * 100_000)) == SHOWN


def test_numbers_are_shown_as_people_write_them() -> None:
    assert [shown(value) for value in (900.0, 7.5, 5, 1e300, True)] == ["900", "7.5", "5", "1e+300", "true"]


def test_lists_in_words() -> None:
    assert format(listed(["a", "b", "c"])) == '"a", "b" or "c"'
    assert format(listed(["a"])) == '"a"'
    assert format(listed([])) == "none"


def test_nothing_to_choose_from() -> None:
    assert choose("zzz", []) == "There is nothing to choose from here; leave it out."
