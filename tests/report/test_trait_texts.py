"""Traits and values in words."""

from __future__ import annotations

from riskapi.domain.knowledge import Pack
from riskapi.report.language import LANGUAGES, speaking
from riskapi.report.trait_texts import trait_heading, trait_value, trait_word


def test_every_trait_and_value_of_the_pack_has_words_in_every_language(shipped: Pack) -> None:
    names = {word.name for word in shipped.traits} | {value for word in shipped.traits for value in word.values}
    for language in LANGUAGES:
        with speaking(language):
            assert {name for name in names if "_" in trait_word(name)} == set()


def test_words_values_and_labels() -> None:
    assert (trait_word("cam_drive"), trait_heading("cam_drive")) == ("cam drive", "Cam drive")
    assert (trait_word("of_my_own"), trait_value("belt_in_oil")) == ("of my own", "belt in oil")
    assert (trait_value(1.4), trait_value(4), trait_value(None)) == ("1.4", "4", "")
    with speaking("de"):
        assert (trait_word("cam_drive"), trait_value("belt_in_oil")) == ("Steuertrieb", "Zahnriemen im Ölbad")
        assert trait_value(1.4) == "1,4"
