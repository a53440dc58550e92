"""Small records for tests: a part, a weak point, a life, with everything left out that does not matter there."""

from __future__ import annotations

from typing import Any

from riskapi.domain.knowledge import LifeMode, OutcomeRow, OutcomeTable, PartRevision, WeakPoint, Weibull, When
from tests.simulator.clocks import Line
from tests.simulator.parts import Life

ALWAYS = When()
NOTHING = OutcomeTable((), OutcomeRow(1.0, ALWAYS, (), ""))


def mode(
    km: tuple[float, float] | None = None, years: tuple[float, float] | None = None, spread: float = 1.0
) -> LifeMode:
    """Each clock as (shape, scale)."""
    return LifeMode(Weibull(*km) if km else None, Weibull(*years) if years else None, spread)


def part(wear: LifeMode | None = None, flaw: LifeMode | None = None, share: float = 0.0, **more: Any) -> PartRevision:
    fields: dict[str, Any] = {
        "id": "part",
        "name": "part",
        "when": ALWAYS,
        "no_wear_because": "",
        "planned": None,
        "source": "test",
    }
    return PartRevision(**{**fields, "flaw_share": share, "flaw": flaw, "wear": wear, **more})


def weak_point(parts: tuple[PartRevision, ...] = (), **more: Any) -> WeakPoint:
    fields: dict[str, Any] = {
        "id": "point",
        "name": "point",
        "system": "",
        "applies": ALWAYS,
        "mechanism": "",
        "degraded_means": "",
        "failed_means": "",
        "warning": "long",
        "hazard": "none",
        "copies": 1,
        "repair_delay_years": 0.0,
        "left_unrepaired": 0.0,
        "pf_km": 0.0,
        "pf_years": 0.0,
        "parts": parts,
        "in_service": NOTHING,
        "found_faulty": NOTHING,
        "effects": (),
        "stresses": (),
        "raises": (),
        "cautions": (),
        "source": "test",
    }
    return WeakPoint(**{**fields, **more})


def life(point: WeakPoint, today: float, rate: float = 15_000.0, **more: Any) -> Life:
    """A life at a steady `rate` [km/year] with the first part of the weak point always on sale."""
    road, years = Line((0.0, today), (0.0, rate * today)), Line((0.0, today), (0.0, today))
    first = point.parts[0]
    fields: dict[str, Any] = {
        "weak_point": point,
        "supplies": ((0.0, first),),
        "odometer": road,
        "distance": road,
        "age": years,
        "today": today,
        "care": 1,
        "first": first,
    }
    return Life(**{**fields, **more})
