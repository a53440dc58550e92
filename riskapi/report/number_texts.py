"""Words that go with numbers, in English; the German ones are in riskapi/report/german/number_texts.py."""

from __future__ import annotations

from riskapi.report.german.number_texts import NUMBER_TEXTS as GERMAN
from riskapi.report.language import Texts

NUMBER_TEXTS = {
    "percent": "{number} %",
    "percent_under": "under {number} %",
    "percent_over": "over {number} %",
    "hundred_about": "about {number}",
    "hundred_fewer": "fewer than {number}",
    "hundred_more": "more than {number}",
    "hundred_none": "none",
    "hundred_all": "all",
    "span": "{low} to {high}",
    "odds_certain": "almost certain",
    "odds_likely": "more likely than not",
    "odds_fewer": "fewer than 1 in {number}",
    "odds": "1 in {number}",
    "degrees": "degrees",
    "instant": "{day}, {time} UTC",
}

number_words = Texts(en=NUMBER_TEXTS, de=GERMAN)
