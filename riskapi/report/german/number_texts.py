"""Words that go with numbers, in German."""

from __future__ import annotations

from collections.abc import Mapping

NUMBER_TEXTS: Mapping[str, str] = {
    "percent": "{number} %",
    "percent_under": "unter {number} %",
    "percent_over": "über {number} %",
    "hundred_about": "etwa {number}",
    "hundred_fewer": "weniger als {number}",
    "hundred_more": "mehr als {number}",
    "hundred_none": "0",
    "hundred_all": "100",
    "span": "{low} bis {high}",
    "odds_certain": "so gut wie sicher",
    "odds_likely": "eher ja als nein",
    "odds_fewer": "weniger als 1 von {number}",
    "odds": "1 von {number}",
    "degrees": "Grad",
    "instant": "{day}, {time} UTC",
}
