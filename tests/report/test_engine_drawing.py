"""The engine drawing: every place of the pack is on it, dots say how wet it was, names do not meet."""

from __future__ import annotations

import pytest

from riskapi.domain.knowledge import PLACES, Pack
from riskapi.report.engine_drawing import SPOTS, zone_picture
from riskapi.report.look import HUE, WHITE
from riskapi.report.sections import Spot, ZoneMap
from riskapi.report.shapes import Dot, Word
from tests.report.pictures import areas, labels, outside, overlapping

LONG = "Kühlmittel an der Verbindung der Schläuche mit dem Ausgleichsbehälter vorn"


def zones(lie: str = "transverse", name: str = "", **changes: object) -> ZoneMap:
    spots = tuple(
        Spot(name or f"Oil at {place}", place, "oil", (None, 0, 1, 2, 3)[k % 5], 4, ("not looked at", "dry")[k % 2])
        for k, place in enumerate(PLACES)
    )
    return ZoneMap(spots, lie, "Schematic", **changes)  # type: ignore[arg-type]


def test_every_place_has_a_spot_on_the_engine_and_every_zone_of_the_pack_a_place(shipped: Pack) -> None:
    assert set(SPOTS) == set(PLACES)
    wet = [symptom for symptom in shipped.symptoms if symptom.zone]
    assert len({symptom.place for symptom in wet}) == len(wet) == len(PLACES)


@pytest.mark.parametrize("lie", ["transverse", "longitudinal"])
@pytest.mark.parametrize("right", [False, True])
@pytest.mark.parametrize("name", ["", LONG])
def test_names_meet_neither_each_other_nor_the_edge(lie: str, right: bool, name: str) -> None:
    picture = zone_picture(zones(lie, name, cover_right=right), 499.0)
    assert outside(picture) == []
    assert overlapping(picture) == []


def test_wetter_places_have_larger_dots_and_words_beside_them() -> None:
    levels = (None, 0, 1, 2, 3)
    spots = tuple(
        Spot(f"Zone {k}", place, "oil", level, 4, f"seen {k}")
        for k, (place, level) in enumerate(zip(PLACES, levels, strict=False))
    )
    picture = zone_picture(ZoneMap(spots, "transverse", "Schematic"), 499.0)
    dots = [shape for shape in picture.contents if isinstance(shape, Dot)]
    assert [dot.fill for dot in dots] == [WHITE, WHITE, HUE, HUE, HUE]
    assert [dot.dashed for dot in dots] == [True, False, False, False, False]
    assert dots[2].radius < dots[3].radius < dots[4].radius
    assert {f"seen {k}" for k in range(5)} <= set(labels(picture))


def test_the_two_lies_are_drawn_differently_and_say_where_the_front_is() -> None:
    across, along = (zone_picture(zones(lie), 499.0) for lie in ("transverse", "longitudinal"))
    words = [{shape.text for shape, _ in areas(p) if isinstance(shape, Word)} for p in (across, along)]
    assert "front of the car: towards you (engine lies across)" in words[0]
    assert "front of the car (engine lies along it)" in words[1]
