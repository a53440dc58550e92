"""A publication as structured data for search engines: schema.org terms in JSON-LD. No rating, no score."""

from __future__ import annotations

from typing import Any

from riskapi.report.figures import Json


def structured(said: dict[str, Any], page: str) -> Json:
    """The car with its engine and, where the asking price is known, the offer; `said` is what the public is told."""
    facts = said["facts"]
    known: Json = {
        "@context": "https://schema.org",
        "@type": "Car",
        "name": facts["engine"],
        "url": page,
        "mileageFromOdometer": {"@type": "QuantitativeValue", "value": facts["odometer_km"], "unitCode": "KMT"},
        "vehicleEngine": {"@type": "EngineSpecification", "name": facts["engine"]},
        "subjectOf": {"@type": "WebPage", "url": page, "datePublished": said["published_at"]},
    }
    dates = {"productionDate": facts["built"], "dateVehicleFirstRegistered": facts["registered"]}
    known |= {name: day for name, day in dates.items() if day is not None}
    if facts["asking_price"] is not None:
        price, currency = facts["asking_price"]["amount"], facts["asking_price"]["currency"]
        known["offers"] = {"@type": "Offer", "price": price, "priceCurrency": currency, "url": page}
    return known
