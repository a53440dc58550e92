"""The drawings."""

from __future__ import annotations

import pytest
from reportlab.graphics.shapes import Drawing, Rect, String

from riskapi.domain.assessment import YearCost
from riskapi.report.charts import chance_bar, chance_cell, year_chart
from riskapi.report.look import HUE
from riskapi.report.sections import Chance, YearChart


def filled(drawing: Drawing) -> list[Rect]:
    return [shape for shape in drawing.contents if isinstance(shape, Rect) and shape.fillColor == HUE]


def labels(drawing: Drawing) -> list[str]:
    return [shape.text for shape in drawing.contents if isinstance(shape, String)]


@pytest.mark.parametrize(("share", "length"), [(0.0, None), (0.382, 191.0), (1.0, 500.0), (1.3, 500.0)])
def test_a_bar_is_as_long_as_its_chance(share: float, length: float | None) -> None:
    bars = filled(chance_bar("Cars", Chance(share, "words", 0.2, 0.6), 500.0))
    assert [bar.width for bar in bars] == ([] if length is None else [pytest.approx(length)])


def test_a_bar_always_has_its_words_beside_it() -> None:
    assert "about 38" in labels(chance_bar("Cars", Chance(0.38, "about 38"), 500.0))
    assert labels(chance_cell(Chance(0.38, "38 %"), 90.0)) == ["38 %"]


def test_the_year_chart_labels_years_and_averages() -> None:
    points = (YearCost(1.0, 610.0, 0.0, 0.0, 1910.0), YearCost(2.0, 985.0, 0.0, 180.0, 2950.0))
    drawing = year_chart(YearChart(points, "EUR", ()), 480.0)
    assert {"after 1 year", "after 2 years", "610", "980", "EUR", "0"} <= set(labels(drawing))


@pytest.mark.parametrize("amount", [0.0, 0.003, 7.0, 1e6])
def test_the_year_chart_stays_inside_its_box_at_any_size(amount: float) -> None:
    points = tuple(YearCost(float(year), amount / 2, 0.0, amount / 3, amount) for year in range(1, 16))
    drawing = year_chart(YearChart(points, "EUR", ()), 480.0, 180.0)
    blocks = [shape for shape in drawing.contents if isinstance(shape, Rect)]
    assert len(blocks) == 16  # a column a year and the one in the legend
    assert all(0.0 <= block.x <= block.x + block.width <= 480.0 for block in blocks)
    assert all(0.0 <= block.y <= block.y + block.height <= 180.0 for block in blocks)
