"""What the first page asks for, as a query that can be bookmarked, printed as a code, and read as a case.

The query holds no vehicle number and no name. Numbers come with the unit chosen on the page; the case keeps the number
with its unit, and reading the case converts it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from riskapi.domain.knowledge import Pack
from riskapi.web.pages.dates import day_of

Json = dict[str, Any]
TIERS = ("ten_minutes", "forty_five_minutes", "workshop")
TRAIT = "trait."
_REGISTERED = "registered"
UNITS = {"distance": ("km", "mi"), "pressure": ("bar", "psi"), "volume": ("L", "quart")}
FIELDS = {
    "/vehicle/engine/family": "family",
    "/vehicle/engine/revision": "revision",
    "/vehicle/engine/code": "code",
    "/vehicle/engine/traits": "trait.fuel",
    "/vehicle/engine": "family",
    "/vehicle/odometer": "odometer",
    "/vehicle/first_registered": "registered",
    "/vehicle/build_date": "registered",
    "/as_of": "date",
    "/ownership/years": "years",
    "/ownership/annual_distance": "yearly",
    "/ownership/repair_budget": "budget",
    "/market/currency": "currency",
    "/market/asking_price": "asking",
    "/market/sound_value": "sound",
    "/market/labour_rate": "rate",
    "/visit/place": "place",
    "/reference": "reference",
}

_KEYS = "|".join(sorted({place.rsplit("/", 1)[1] for place in FIELDS}))
_JSON = re.compile(rf'{{|"(?:{_KEYS})"')


@dataclass(frozen=True, slots=True)
class Asked:
    """The query of the first page, trimmed; what is empty is not there."""

    values: Mapping[str, str]

    def get(self, name: str, default: str = "") -> str:
        return self.values.get(name, default)

    def unit(self, kind: str) -> str:
        """The unit of a kind of quantity; the first one where none of ours is asked for."""
        chosen = self.get(kind)
        return chosen if chosen in UNITS[kind] else UNITS[kind][0]

    @property
    def tier(self) -> str:
        """How far the visit goes."""
        chosen = self.get("tier")
        return chosen if chosen in TIERS else TIERS[1]


def asked_from(query: Mapping[str, str]) -> Asked:
    """What was asked, without empty fields; the first registration as a date, where it is one."""
    values = {name: value.strip() for name, value in query.items() if value.strip()}
    registered = day_of(values.get(_REGISTERED, ""), datetime.now(UTC).date())
    return Asked(values | ({_REGISTERED: registered.isoformat()} if registered is not None else {}))


def case_of(asked: Asked, pack: Pack, today: date) -> Json:
    """The case in the words of the API. What is no number is left as it is: reading the case then names the fault."""
    vehicle: Json = {"engine": _engine(asked, pack)}
    _put(vehicle, "first_registered", asked.get("registered"))
    if asked.get("odometer"):
        vehicle["odometer"] = _quantity(asked.get("odometer"), asked.unit("distance"))
    _put(vehicle, "installation", asked.get("installation"))
    case: Json = {"as_of": asked.get("date") or today.isoformat(), "vehicle": vehicle}
    _put(case, "seller", asked.get("seller"))
    _put(case, "reference", asked.get("reference"))
    case["visit"] = _visit(asked)
    case["findings"] = []
    _put(case, "ownership", _ownership(asked, pack))
    _put(case, "market", _market(asked, pack))
    return case


def _engine(asked: Asked, pack: Pack) -> Json:
    traits = {word.name: asked.get(TRAIT + word.name) for word in pack.traits if asked.get(TRAIT + word.name)}
    if asked.get("how") == "traits" or not asked.get("family"):
        return {"traits": {name: number(value) for name, value in traits.items()}}
    engine: Json = {"family": asked.get("family")}
    _put(engine, "revision", asked.get("revision"))
    _put(engine, "code", asked.get("code"))
    return engine


def _visit(asked: Asked) -> Json:
    visit: Json = {"consents": ["ask", "written"] if asked.get("consent") == "written" else ["ask"]}
    _put(visit, "place", asked.get("place"))
    visit["equipment"] = asked.get("equipment", "none")
    return visit


def _ownership(asked: Asked, pack: Pack) -> Json:
    found: Json = {}
    if asked.get("years"):
        found["years"] = _quantity(asked.get("years"), "years")
    if asked.get("yearly"):
        found["annual_distance"] = _quantity(asked.get("yearly"), asked.unit("distance"))
    if asked.get("budget"):
        found["repair_budget"] = _quantity(asked.get("budget"), _currency(asked, pack))
    return found


def _market(asked: Asked, pack: Pack) -> Json:
    currency, found = _currency(asked, pack), {}
    if asked.get("asking"):
        found["asking_price"] = _quantity(asked.get("asking"), currency)
    if asked.get("sound"):
        found["sound_value"] = _quantity(asked.get("sound"), currency)
    if asked.get("rate"):
        found["labour_rate"] = _quantity(asked.get("rate"), f"{currency}/h")
    return {"currency": currency, **found} if found or asked.get("currency") else {}


def _currency(asked: Asked, pack: Pack) -> str:
    return asked.get("currency", pack.defaults.currency).upper()


def _quantity(text: str, unit: str) -> Any:
    return {"value": amount(text), "unit": unit}


def amount(text: str) -> Any:
    """Distances and amounts of money: '98.800', '98,800' and '98 800' are the same whole number everywhere."""
    plain = re.sub(r"[\s\u00a0\u202f'\u2019]", "", text)
    if re.fullmatch(r"\d{1,3}([.,]\d{3})+", plain):
        return int(re.sub("[.,]", "", plain))
    read = number(plain)
    return text if isinstance(read, str) else read


def number(text: str) -> Any:
    """'75 000', '75000' and '7,5' as numbers, whole ones as such; anything else as it is."""
    plain = text.replace("\u00a0", "").replace(" ", "")
    try:
        value = float(plain.replace(",", "."))
    except ValueError:
        return text
    return int(value) if value.is_integer() else value


def without_json(mend: str) -> str:
    """A mend as the first page tells it: nothing where it says how the JSON is written, which nobody writes here."""
    return "" if _JSON.search(mend) else mend


def _put(holder: Json, name: str, value: Any) -> None:
    if value:
        holder[name] = value


def field_of(pointer: str) -> str:
    """The field of the first page that a fault is about; empty when it is about none."""
    return next((name for place, name in FIELDS.items() if pointer == place or pointer.startswith(place + "/")), "")
