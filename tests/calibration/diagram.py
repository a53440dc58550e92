"""A reliability diagram as SVG: what was stated against what was seen, and a histogram of ranks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

SIDE, GAP, LEFT, TOP = 240, 84, 64, 44
INK, PALE, MARK = "#26323c", "#c9d1d6", "#2f6f8f"


@dataclass(frozen=True)
class Point:
    """Mean stated chance, share seen, and the interval of the share."""

    stated: float
    seen: float
    low: float
    high: float


@dataclass(frozen=True)
class Panel:
    """Points over the diagonal, or a histogram with as many equal bins as counts."""

    title: str
    across: str
    up: str
    points: tuple[Point, ...]
    counts: tuple[int, ...] = ()


def drawn(panels: Sequence[Panel]) -> str:
    """The panels side by side."""
    width, height = LEFT + len(panels) * (SIDE + GAP) - GAP + 20, TOP + SIDE + 56
    body = "\n".join(_panel(panel, LEFT + k * (SIDE + GAP)) for k, panel in enumerate(panels))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" '
        f'font-family="sans-serif" font-size="11" fill="{INK}">\n'
        f'<rect width="{width}" height="{height}" fill="#ffffff"/>\n{body}\n</svg>\n'
    )


def _panel(panel: Panel, left: int) -> str:
    inside = _histogram(panel.counts) if panel.counts else _points(panel.points)
    return "\n".join(
        [
            f'<g transform="translate({left},{TOP})">',
            f'<text x="0" y="-16" font-size="14" font-weight="bold">{panel.title}</text>',
            f'<rect width="{SIDE}" height="{SIDE}" fill="none" stroke="{INK}"/>',
            *(_text(k / 4 * SIDE, SIDE + 15, f"{k / 4:.0%}", "middle") for k in range(5)),
            _text(SIDE / 2, SIDE + 36, panel.across, "middle"),
            f'<text transform="translate(-44,{SIDE / 2}) rotate(-90)" text-anchor="middle">{panel.up}</text>',
            *inside,
            "</g>",
        ]
    )


def _text(x: float, y: float, words: str, anchor: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{words}</text>'


def _line(x: tuple[float, float], y: tuple[float, float], colour: str, width: float = 1.0) -> str:
    return (
        f'<line x1="{x[0]:.1f}" y1="{y[0]:.1f}" x2="{x[1]:.1f}" y2="{y[1]:.1f}" '
        f'stroke="{colour}" stroke-width="{width}"/>'
    )


def _points(points: Sequence[Point]) -> list[str]:
    made = [_text(-6, SIDE - k / 4 * SIDE + 4, f"{k / 4:.0%}", "end") for k in range(5)]
    made.append(_line((0, SIDE), (SIDE, 0), PALE, 1.5))
    for p in points:
        x = p.stated * SIDE
        made.append(_line((x, x), (SIDE * (1 - p.low), SIDE * (1 - p.high)), MARK, 1.5))
        made.append(f'<circle cx="{x:.1f}" cy="{SIDE * (1 - p.seen):.1f}" r="3.2" fill="{MARK}"/>')
    return made


def _histogram(counts: Sequence[int]) -> list[str]:
    """Bars over the band in which a count lies with chance 95 % when ranks are uniform."""
    total, bins = sum(counts), len(counts)
    low, high = stats.binom.interval(0.95, total, 1 / bins)
    top = 1.15 * max(float(np.max(counts)), float(high))
    wide = SIDE / bins
    upper, deep = SIDE * (1 - high / top), SIDE * (high - low) / top
    made = [f'<rect y="{upper:.1f}" width="{SIDE}" height="{deep:.1f}" fill="{PALE}"/>']
    for k, count in enumerate(counts):
        tall = SIDE * count / top
        made.append(
            f'<rect x="{k * wide + 1:.1f}" y="{SIDE - tall:.1f}" width="{wide - 2:.1f}" height="{tall:.1f}" '
            f'fill="{MARK}" fill-opacity="0.75"/>'
        )
    made += [_text(-6, SIDE * (1 - y / top) + 4, f"{y:.0f}", "end") for y in (0.0, total / bins)]
    made.append(_line((0, SIDE), (SIDE * (1 - total / bins / top),) * 2, INK))
    return made
