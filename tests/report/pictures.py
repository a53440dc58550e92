"""What a picture covers, for tests: words, boxes and dots as areas, and what of them lies outside."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from riskapi.report.charts import text_width
from riskapi.report.shapes import Box, Dot, Group, Line, Outline, Picture, Shape, Word

Area = tuple[float, float, float, float]  # left, bottom, right, top


def labels(picture: Picture) -> list[str]:
    return [shape.text for shape in picture.contents if isinstance(shape, Word)]


def word_area(word: Word) -> Area:
    """From the baseline to the height of capitals."""
    wide = text_width(word.text, word.size, word.font)
    left = {"start": word.x, "middle": word.x - wide / 2, "end": word.x - wide}[word.anchor]
    return left, word.y, left + wide, word.y + 0.73 * word.size


def areas(picture: Picture) -> list[tuple[Shape, Area]]:
    return list(_areas(picture.contents))


def _areas(shapes: Iterable[Shape], dx: float = 0.0, dy: float = 0.0) -> Iterator[tuple[Shape, Area]]:
    for shape in shapes:
        if isinstance(shape, Group):
            yield from _areas(shape.shapes, dx + shape.x, dy + shape.y)
        else:
            left, bottom, right, top = _area(shape)
            yield shape, (left + dx, bottom + dy, right + dx, top + dy)


def _area(shape: Shape) -> Area:
    match shape:
        case Box():
            return shape.x, shape.y, shape.x + shape.width, shape.y + shape.height
        case Line():
            xs, ys = (shape.x1, shape.x2), (shape.y1, shape.y2)
        case Dot():
            xs, ys = (shape.x - shape.radius, shape.x + shape.radius), (shape.y - shape.radius, shape.y + shape.radius)
        case Outline():
            xs, ys = zip(*shape.corners, strict=True)
        case Word():
            return word_area(shape)
    return min(xs), min(ys), max(xs), max(ys)


def outside(picture: Picture, slack: float = 1.0) -> list[Shape]:
    """Shapes that do not lie within the picture; a line is as thick as `slack` allows."""
    return [
        shape
        for shape, (left, bottom, right, top) in areas(picture)
        if left < -slack or bottom < -slack or right > picture.width + slack or top > picture.height + slack
    ]


def overlapping(picture: Picture) -> list[tuple[str, str]]:
    """Pairs of words that cover each other."""
    words = [(shape.text, area) for shape, area in areas(picture) if isinstance(shape, Word)]
    return [(a, b) for i, (a, x) in enumerate(words) for b, y in words[i + 1 :] if _meet(x, y)]


def _meet(a: Area, b: Area) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
