"""Where fluids were seen: a schematic engine of our own from its long side, with a lead line to every place's name.

The drawing shows what both sides of an engine have at once and is true to no engine. Wetter places have larger dots,
dry ones a ring, places nobody looked at a broken ring; the words beside them say the same. Pulleys are to the left, the
gearbox to the right (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from riskapi.report.chart_moves import cut
from riskapi.report.charts import Point, text_width
from riskapi.report.edition_texts import tell
from riskapi.report.look import BOLD, HUE, MIST, NAME, PALE, QUIET, REGULAR, RULE, TINT, WHITE, register_fonts
from riskapi.report.sections import Spot, ZoneMap
from riskapi.report.shapes import Anchor, Box, Dot, Group, Line, Outline, Picture, Shape, Word
from riskapi.report.typeset import lines_of

Part = Box | Line | Dot | Outline | Word

SPOTS: dict[str, Point] = {
    "valve_cover": (92, 143),
    "head_joint": (52, 104),
    "front_cover": (17, 92),
    "crank_front": (6, 52),
    "filter_housing": (73, 76),
    "turbo": (132, 84),
    "sump": (92, 22),
    "gearbox_joint": (160, 58),
    "thermostat": (166, 119),
    "hoses": (198, 134),
    "coolant_pump": (42, 86),
    "block_low": (116, 52),
    "fuel_pump": (148, 152),
    "block_side": (140, 60),
    "exhaust_manifold": (96, 114),
}
_COVER_RIGHT = {"front_cover": (166.0, 84.0)}
_RADII = (3.0, 3.6, 4.8, 6.0, 6.6)
_LONG, _TALL = 236.0, 166.0
LINE, MOST_LINES = 9.4, 2  # from line to line of a name [points], and how many a name may have


def zone_picture(zones: ZoneMap, width: float) -> Picture:
    """The engine in the middle, half of the names on either side, below it what it does not show."""
    register_fonts()
    placed = [spot for spot in zones.spots if spot.place in SPOTS]
    room = (width - _LONG) / 2 - 10
    left, right = ([_label(spot, room) for spot in side] for side in _sides(placed))
    tall = max(_TALL + 24, *(sum(label.tall for label in side) for side in (left, right)))
    origin = ((width - _LONG) / 2 + 4, tall - _TALL - 4)
    shapes: list[Shape] = [Group(*origin, tuple(_engine(zones)))]
    shapes += _side(zones, left, origin, (0.0, tall), leftward=True)
    shapes += _side(zones, right, origin, (width, tall), leftward=False)
    shapes += [_dot(spot, _at(zones, spot, origin)) for spot in placed]
    shapes.append(Word(width / 2, origin[1] - 14, cut(zones.caption, _LONG + 30, 7.2), 7.2, anchor="middle", ink=QUIET))
    return Picture(width, tall, shapes)


def _at(zones: ZoneMap, spot: Spot, origin: Point) -> Point:
    known = {**SPOTS, **_COVER_RIGHT} if zones.cover_right else SPOTS
    x, y = known[spot.place or ""]
    return origin[0] + x, origin[1] + y


def _sides(spots: Sequence[Spot]) -> tuple[list[Spot], list[Spot]]:
    """Names to the left and to the right, from the top down, as many on one side as on the other."""
    by_x = sorted(spots, key=lambda spot: (SPOTS[spot.place or ""][0], spot.name))
    half = (len(by_x) + 1) // 2

    def down(side: Sequence[Spot]) -> list[Spot]:
        return sorted(side, key=lambda spot: (-SPOTS[spot.place or ""][1], spot.name))

    return down(by_x[:half]), down(by_x[half:])


def _dot(spot: Spot, at: Point) -> Shape:
    if spot.level is None:
        return Dot(*at, 3.2, WHITE, QUIET, 0.9, dashed=True)
    if spot.level == 0:
        return Dot(*at, 3.2, WHITE, HUE, 1.1)
    return Dot(*at, _RADII[min(spot.level, len(_RADII) - 1)], HUE, WHITE, 0.7)


# ---- names and their lead lines --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Label:
    """A name in lines, the last of them what was seen there."""

    spot: Spot
    lines: tuple[str, ...]

    @property
    def tall(self) -> float:
        return LINE * len(self.lines) + 3.0


def _label(spot: Spot, room: float) -> _Label:
    lines = ["".join(text for _, text in line) for line in lines_of(spot.name, NAME, room)]
    if len(lines) > MOST_LINES:
        lines = [*lines[: MOST_LINES - 1], cut(" ".join(lines[MOST_LINES - 1 :]), room, NAME.fontSize)]
    return _Label(spot, (*lines, cut(spot.words, room, NAME.fontSize, BOLD)))


def _side(zones: ZoneMap, labels: Sequence[_Label], origin: Point, corner: Point, *, leftward: bool) -> list[Shape]:
    edge, top = corner
    anchor: Anchor = "start" if leftward else "end"
    shapes: list[Shape] = []
    wanted = [_at(zones, label.spot, origin)[1] for label in labels]
    for label, y in zip(labels, _heights(labels, wanted, top), strict=True):
        seen = label.spot.level is not None and label.spot.level > 0
        font, ink = (BOLD, HUE) if seen else (REGULAR, QUIET)
        first = y + LINE * (len(label.lines) / 2 - 1) + 2
        for place, line in enumerate(label.lines[:-1]):
            shapes.append(Word(edge, first - LINE * place, line, NAME.fontSize, anchor=anchor))
        last = Word(edge, first - LINE * (len(label.lines) - 1), label.lines[-1], NAME.fontSize, font, anchor, ink)
        shapes.append(last)
        wide = 3 + max(text_width(line, NAME.fontSize, font) for line in label.lines)
        x, target = _at(zones, label.spot, origin)
        start = edge + wide if leftward else edge - wide
        shapes.append(Line(start, y, x, target, QUIET if seen else RULE, 0.8 if seen else 0.6))
    return shapes


def _heights(labels: Sequence[_Label], wanted: Sequence[float], top: float) -> list[float]:
    """Heights of the middles of the names from the top down: as near to their places as their distance allows."""
    heights: list[float] = []
    above = top
    for place, (label, y) in enumerate(zip(labels, wanted, strict=True)):
        below = sum(other.tall for other in labels[place + 1 :])
        middle = max(below + label.tall / 2, min(y, above - label.tall / 2))
        heights.append(middle)
        above = middle - label.tall / 2
    return heights


# ---- the engine ------------------------------------------------------------------------------------------------


def _engine(zones: ZoneMap) -> list[Part]:
    cover = Box(160, 40, 12, 96, MIST, QUIET) if zones.cover_right else Box(11, 40, 13, 100, MIST, QUIET)
    return [
        *(_gearbox_along() if zones.lie == "longitudinal" else _gearbox_across()),
        Outline(((30, 45), (155, 45), (151, 20), (112, 14), (72, 14), (36, 30)), MIST, QUIET),  # sump
        Box(24, 45, 136, 60, PALE, QUIET),  # block
        Box(24, 105, 136, 27, MIST, QUIET),  # head
        Box(28, 132, 118, 20, PALE, QUIET, corner=6),  # valve cover
        cover,
        Box(2, 38, 9, 29, TINT, QUIET),  # pulley
        *(Line(5.0 + 2.5 * k, 40, 5.0 + 2.5 * k, 65, QUIET, 0.4) for k in range(2)),
        *_manifold(),
        Box(62, 60, 22, 36, TINT, QUIET, corner=3),  # filter housing
        Box(62, 60, 22, 10, MIST, QUIET, corner=3),
        Dot(42, 86, 11, TINT, QUIET, 0.8),  # coolant pump
        Dot(42, 86, 4, MIST, QUIET, 0.6),
        Box(160, 111, 12, 15, TINT, QUIET, corner=2),  # thermostat housing
        Line(172, 121, 190, 133, QUIET, 3.0),
        Line(172, 121, 190, 133, MIST, 1.8),
        Box(190, 122, 16, 26, MIST, QUIET, corner=3),  # tank
        Box(141, 146, 15, 14, TINT, QUIET, corner=2),  # fuel pump
        *_way(zones),
    ]


def _manifold() -> list[Part]:
    """Four runners to a log, and the turbocharger at its end."""
    runners: list[Part] = [Line(x, 118, x + 5, 101, QUIET, 4.0) for x in (88, 102, 116, 130)]
    inner: list[Part] = [Line(x, 118, x + 5, 101, PALE, 2.6) for x in (88, 102, 116, 130)]
    return [
        *runners,
        *inner,
        Box(86, 96, 56, 7, PALE, QUIET, corner=3),
        Dot(132, 84, 12.5, PALE, QUIET, 0.8),
        Dot(132, 84, 6.5, TINT, QUIET, 0.6),
    ]


def _gearbox_along() -> list[Part]:
    """Long and tapered, towards the rear."""
    return [
        Outline(((160, 34), (160, 100), (182, 88), (232, 76), (232, 54), (182, 42)), PALE, QUIET),
        Line(182, 42, 182, 88, QUIET, 0.5),
    ]


def _gearbox_across() -> list[Part]:
    """Short, with the drive shaft of a wheel at its lower end."""
    return [
        Outline(((160, 34), (160, 100), (182, 92), (222, 88), (222, 36), (200, 22), (176, 26)), PALE, QUIET),
        Dot(200, 44, 11, TINT, QUIET, 0.7),
        Dot(200, 44, 4, PALE, QUIET, 0.6),
    ]


def _way(zones: ZoneMap) -> list[Part]:
    """Where the front of the car is."""
    words = tell(f"lie_arrow_{zones.lie}")
    if zones.lie == "longitudinal":
        return [
            Line(4, 2, 30, 2, QUIET, 1.0),
            Outline(((0, 2), (7, 5), (7, -1)), QUIET),
            Word(34, -0.6, words, 7.2, ink=QUIET),
        ]
    return [Dot(6, 2, 4.2, WHITE, QUIET, 1.0), Dot(6, 2, 1.4, QUIET), Word(14, -0.6, words, 7.2, ink=QUIET)]
