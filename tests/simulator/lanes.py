"""Random histories of one part, as the product's lane and as the simulator's life, built side by side."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.random import Generator

from riskapi.domain.knowledge import PartRevision, PlannedInterval
from riskapi.domain.lifetime import doubt_nodes
from riskapi.domain.renewal import Lane, PastLook, ToldRenewal
from riskapi.domain.timeline import Reading, Span, build_timeline, effective_clocks
from tests.simulator.build import mode, part, weak_point
from tests.simulator.clocks import Line, Stretch, hurried
from tests.simulator.parts import Life, Look, Told

FEATURES = ("planned", "supply", "told", "look", "never", "left", "used", "stress", "flaw", "spread")


def random_pair(rng: Generator, features: tuple[str, ...], years: float = 3.0) -> tuple[Lane, Life]:
    """A lane and the life that plays the same car; only the named features differ from the plainest case."""
    now, rate, annual = rng.uniform(5, 16), rng.uniform(8_000, 25_000), rng.uniform(5_000, 25_000)
    parts = tuple(_part(rng, features, f"part_{k}") for k in range(2))
    reading = Reading(0.45 * now, 0.45 * now * rate * rng.uniform(0.5, 1.5), "a reading")
    timeline = build_timeline([reading], now, max(now * rate, reading.x + 1000), annual, years)
    spans = [Span(0.2 * now, now, 1.6, 1.25), Span(0.6 * now, 99.0, 1.3, 1.0)] if "stress" in features else []
    clocks = effective_clocks(timeline, spans)
    start = 0.3 * now if "used" in features else 0.0
    supplies = ((0.0, 0), (0.55 * now, 1)) if "supply" in features else ((0.0, 0),)
    lane = Lane(
        timeline=timeline,
        clocks=clocks,
        parts=parts,
        start=start,
        start_part=0,
        run_y=60_000.0 if "used" in features else 0.0,
        run_z=3.0 if "used" in features else 0.0,
        supplies=supplies,
        told=ToldRenewal(0.7 * now, 0.35, 1) if "told" in features else None,
        looks=(PastLook(0.8 * now, (0.9, 0.4, 0.05)),) if "look" in features else (),
        never_renewed="never" in features,
        delay=rng.uniform(0.02, 0.6),
        left=0.2 if "left" in features else 0.0,
        pf_y=rng.uniform(300, 15_000),
        pf_z=rng.uniform(0.03, 1.5),
        kept=0.7,
        kinks=tuple(t for t in (*timeline.kinks(), *(s.start for s in spans)) if start < t < now),
    )
    return lane, life_of(lane, spans)


def life_of(lane: Lane, spans: list[Span]) -> Life:
    """The same history in the simulator's own terms, with clocks integrated by itself."""
    road = Line(tuple(map(float, lane.timeline.t)), tuple(map(float, lane.timeline.x)))
    end = float(lane.timeline.t[-1])
    years = Line((0.0, end), (0.0, end))
    point = weak_point(
        lane.parts, pf_km=lane.pf_y, pf_years=lane.pf_z, repair_delay_years=lane.delay, left_unrepaired=lane.left
    )
    return Life(
        weak_point=point,
        supplies=tuple((since, lane.parts[index]) for since, index in lane.supplies),
        odometer=road,
        distance=hurried(road, [Stretch(s.start, s.end, s.distance_factor) for s in spans], end),
        age=hurried(years, [Stretch(s.start, s.end, s.age_factor) for s in spans], end),
        today=lane.timeline.now,
        care=1,
        first=lane.parts[lane.start_part],
        started=lane.start,
        run_km=lane.run_y,
        run_age=lane.run_z,
        told=Told(lane.told.t, lane.told.chance, lane.parts[lane.told.part]) if lane.told else None,
        looks=tuple(Look(look.t, look.likelihood) for look in lane.looks),
        never_renewed=lane.never_renewed,
    )


def _part(rng: Generator, features: tuple[str, ...], name: str) -> PartRevision:
    spread = 1.6 if "spread" in features else 1.0
    wear = mode((rng.uniform(1.5, 4), rng.uniform(1e5, 3e5)), (rng.uniform(1.5, 4), rng.uniform(9, 25)), spread)
    flaw = mode((rng.uniform(1.2, 3), rng.uniform(6e4, 1.5e5)), None, spread) if "flaw" in features else None
    made = part(wear, flaw, rng.uniform(0.1, 0.6) if flaw else 0.0, id=name)
    if "planned" not in features:
        return made
    return replace(made, planned=PlannedInterval(90_000.0, 7.0, (0.7, 0.7, 0.7), "renew"))


def nodes_for(features: tuple[str, ...], count: int = 8) -> np.ndarray:
    """The product's doubt nodes, or none."""
    return doubt_nodes(count if "spread" in features else 1)
