"""QR codes (ISO/IEC 18004) of addresses, by segno: as SVG for a page, as a drawing for a PDF."""

from __future__ import annotations

import io

import segno
from reportlab.graphics.shapes import Drawing, Rect

from riskapi.report.look import INK

QUIET = 4  # light modules around, as the standard asks


def qr_svg(address: str, title: str) -> bytes:
    """The code as an SVG image that scales."""
    buffer = io.BytesIO()
    code = segno.make(address, error="m", micro=False)
    code.save(buffer, kind="svg", border=QUIET, dark="#1f2a37", light="#ffffff", title=title, omitsize=True, nl=False)
    return buffer.getvalue()


def qr_drawing(address: str, size: float) -> Drawing:
    """The code as a square of `size` [points], its quiet zone included."""
    rows = [bytes(row) for row in segno.make(address, error="m", micro=False).matrix]
    unit = size / (len(rows) + 2 * QUIET)
    drawing = Drawing(size, size)
    for y, row in enumerate(rows):
        for x, dark in enumerate(row):
            if dark:
                block = Rect((x + QUIET) * unit, size - (y + 1 + QUIET) * unit, unit, unit)
                block.fillColor, block.strokeColor, block.strokeWidth = INK, INK, 0.02
                drawing.add(block)
    return drawing
