"""QR codes (ISO/IEC 18004) of addresses, by segno: as SVG for a page, as a picture for a PDF."""

from __future__ import annotations

import io
from collections.abc import Iterator
from itertools import groupby

import segno

from riskapi.report.look import INK
from riskapi.report.shapes import Box, Picture

QUIET = 4  # light modules around, as the standard asks
SEAM = 0.01  # by which rows overlap, so that no light shows between them [points]


def qr_svg(address: str, title: str) -> bytes:
    """The code as an SVG image that scales."""
    buffer = io.BytesIO()
    code = segno.make(address, error="m", micro=False)
    code.save(buffer, kind="svg", border=QUIET, dark="#1f2a37", light="#ffffff", title=title, omitsize=True, nl=False)
    return buffer.getvalue()


def qr_picture(address: str, size: float) -> Picture:
    """The code as a square of `size` [points], its quiet zone included; dark squares side by side are one."""
    rows = [bytes(row) for row in segno.make(address, error="m", micro=False).matrix]
    unit = size / (len(rows) + 2 * QUIET)
    boxes = [
        Box((x + QUIET) * unit, size - (y + 1 + QUIET) * unit - SEAM, width * unit, unit + 2 * SEAM, INK)
        for y, row in enumerate(rows)
        for x, width in _dark(row)
    ]
    return Picture(size, size, boxes, address)


def _dark(row: bytes) -> Iterator[tuple[int, int]]:
    """Where the dark squares of a row begin, and how many lie side by side."""
    place = 0
    for dark, side_by_side in groupby(row):
        width = len(list(side_by_side))
        if dark:
            yield place, width
        place += width
