"""The drawings of chances and of cost by year."""

from __future__ import annotations

import pytest

from riskapi.domain.assessment import YearCost
from riskapi.report.charts import chance_bar, chance_cell, shares_bar, year_chart
from riskapi.report.language import speaking
from riskapi.report.look import HUE
from riskapi.report.sections import Chance, Share, Shares, YearChart
from riskapi.report.shapes import Box, Dot, Outline, Picture, Word
from tests.report.pictures import areas, labels, outside


def filled(picture: Picture) -> list[Box]:
    return [shape for shape in picture.contents if isinstance(shape, Box) and shape.fill == HUE]


@pytest.mark.parametrize(("share", "length"), [(0.0, None), (0.382, 191.0), (1.0, 500.0), (1.3, 500.0)])
def test_a_bar_is_as_long_as_its_chance(share: float, length: float | None) -> None:
    bars = filled(chance_bar("Cars", Chance(share, "words", 0.2, 0.6), 500.0))
    assert [bar.width for bar in bars] == ([] if length is None else [pytest.approx(length)])


def test_a_bar_always_has_its_words_beside_it() -> None:
    assert "about 38" in labels(chance_bar("Cars", Chance(0.38, "about 38"), 500.0))
    assert labels(chance_cell(Chance(0.38, "38 %"), 90.0)) == ["38 %"]


def test_a_hundred_cars_are_cut_up_by_their_shares_and_every_part_has_words() -> None:
    parts = (Share(0.25, "no surprise: about 25"), Share(0.5, "up to 1,200 EUR: about 50"), Share(0.25, "above"))
    picture = shares_bar(Shares(parts), 400.0)
    bars = [shape for shape in picture.contents if isinstance(shape, Box) and shape.height == 11]
    assert [(bar.x, bar.width) for bar in bars] == [(0.0, 100.0), (100.0, 200.0), (300.0, 100.0)]
    assert labels(picture) == [part.words for part in parts]
    assert len({bar.fill for bar in bars}) == 3


def test_words_of_shares_go_on_to_the_next_row_rather_than_over_the_edge() -> None:
    parts = tuple(Share(1 / 3, "ein recht langer Text über einen Betrag von 1.234.567 EUR") for _ in range(3))
    picture = shares_bar(Shares(parts), 300.0)
    assert outside(picture) == []
    assert len({shape.y for shape in picture.contents if isinstance(shape, Word)}) == 3


def test_the_year_chart_labels_years_and_averages() -> None:
    points = (YearCost(0.0, 240.0, 0.0, 0.0, 900.0), YearCost(1.0, 610.0, 0.0, 0.0, 1910.0),
              YearCost(2.0, 985.0, 0.0, 180.0, 2950.0))  # fmt: skip
    chart = YearChart(points, "EUR", ())
    assert {"today", "after 1 year", "after 2 years", "240", "610", "980", "EUR", "0"} <= set(
        labels(year_chart(chart, 480.0))
    )
    with speaking("de"):
        assert {"heute", "EUR"} <= set(labels(year_chart(chart, 480.0)))


def test_the_fan_runs_from_the_tenth_to_the_ninetieth_of_a_hundred_cars() -> None:
    points = (YearCost(0.0, 200.0, 0.0, 100.0, 500.0), YearCost(1.0, 400.0, 100.0, 300.0, 1000.0))
    picture = year_chart(YearChart(points, "EUR", ()), 480.0, 160.0)
    fan = next(shape for shape in picture.contents if isinstance(shape, Outline))
    per_unit = (fan.corners[1][1] - fan.corners[3][1]) / 1000.0  # 90th after a year against the 10th today, which is 0
    heights = [(y - fan.corners[3][1]) / per_unit for _, y in fan.corners]
    assert heights == pytest.approx([500.0, 1000.0, 100.0, 0.0])
    dots = [shape for shape in picture.contents if isinstance(shape, Dot)][-2:]
    assert [(dot.y - fan.corners[3][1]) / per_unit for dot in dots] == pytest.approx([200.0, 400.0])


@pytest.mark.parametrize("amount", [0.0, 0.003, 7.0, 1e6, 1e10])
@pytest.mark.parametrize("count", [1, 3, 15, 40])
def test_the_year_chart_stays_inside_its_box_at_any_size(amount: float, count: int) -> None:
    points = tuple(YearCost(float(year), amount / 2, 0.0, amount / 3, amount) for year in range(count))
    picture = year_chart(YearChart(points, "EUR", ()), 480.0, 180.0)
    assert outside(picture) == []
    assert areas(picture)
