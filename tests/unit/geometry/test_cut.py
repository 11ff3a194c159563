"""Outlines cut by a line: areas against closed forms, pieces counted, names kept."""

import math

import pytest

from batchwright.geometry.batten import batten, strip_outline
from batchwright.geometry.curve import Arc, Line
from batchwright.geometry.outline import area, bounds, crosses_itself, cut_outline, outline, polygon_outline

DISC = outline([Arc((10.0, 0.0), (0.0, 10.0), (-10.0, 0.0), "up"), Arc((-10.0, 0.0), (0.0, -10.0), (10.0, 0.0), "dn")])
COMB = polygon_outline(
    [(0, 0), (50, 0), (50, 30), (40, 30), (40, 10), (30, 10), (30, 30), (20, 30), (20, 10), (10, 10), (10, 30), (0, 30)]
)


@pytest.mark.parametrize("height", [-9.0, -3.0, 0.0, 5.0, 9.9])
def test_a_cut_disc_is_a_circular_segment(height: float) -> None:
    """Area above a chord at height h: r^2 acos(h / r) - h sqrt(r^2 - h^2)."""
    (piece,) = cut_outline(DISC, (0.0, height), (1.0, 0.0), "sawn")
    assert area(piece) == pytest.approx(100.0 * math.acos(height / 10.0) - height * math.sqrt(100.0 - height**2))
    sawn = [segment for segment in piece.segments if segment.name == "sawn"]
    assert len(sawn) == 1
    assert isinstance(sawn[0], Line)
    assert sawn[0].start[0] < sawn[0].end[0]


@pytest.mark.parametrize("angle", [0.0, 0.4, 1.9, 4.0])
def test_the_two_sides_of_a_cut_make_up_the_whole(angle: float) -> None:
    leg = strip_outline(batten([(0.0, 0.0), (180.0, 30.0), (390.0, 20.0), (600.0, 90.0)]), [40.0, 55.0, 50.0, 38.0])
    d = (math.cos(angle), math.sin(angle))
    left = cut_outline(leg, (300.0, 25.0), d)
    right = cut_outline(leg, (300.0, 25.0), (-d[0], -d[1]))
    assert sum(area(p) for p in left + right) == pytest.approx(area(leg), abs=1e-6)
    assert all(crosses_itself(p) == () for p in left + right)


def test_a_cut_across_a_comb_leaves_its_teeth_or_its_back() -> None:
    teeth = cut_outline(COMB, (0.0, 20.0), (1.0, 0.0))
    assert [area(tooth) for tooth in teeth] == pytest.approx([100.0, 100.0, 100.0])
    (back,) = cut_outline(COMB, (0.0, 20.0), (-1.0, 0.0))
    assert area(back) == pytest.approx(500.0 + 300.0)
    assert bounds(back) == pytest.approx((0.0, 0.0, 50.0, 20.0), abs=1e-12)


def test_a_cut_along_the_roots_of_a_comb() -> None:
    teeth = cut_outline(COMB, (0.0, 10.0), (1.0, 0.0))
    assert [area(tooth) for tooth in teeth] == pytest.approx([200.0, 200.0, 200.0])
    (back,) = cut_outline(COMB, (0.0, 10.0), (-1.0, 0.0))
    assert area(back) == pytest.approx(500.0)


def test_a_line_that_misses_leaves_all_or_nothing() -> None:
    assert cut_outline(DISC, (0.0, -11.0), (1.0, 0.0)) == (DISC,)
    assert cut_outline(DISC, (0.0, 11.0), (1.0, 0.0)) == ()
    assert cut_outline(DISC, (0.0, -10.0), (1.0, 0.0)) == (DISC,)
    assert cut_outline(COMB, (0.0, 0.0), (1.0, 0.0)) == (COMB,)
    assert cut_outline(COMB, (0.0, 0.0), (-1.0, 0.0)) == ()


def test_a_cut_through_two_corners() -> None:
    square = polygon_outline([(0, 0), (10, 0), (10, 10), (0, 10)])
    (half,) = cut_outline(square, (0.0, 0.0), (1.0, 1.0), "sawn")
    assert area(half) == pytest.approx(50.0)
    assert len(half.segments) == 3


def test_a_line_without_direction_is_refused() -> None:
    with pytest.raises(ValueError, match="length above zero"):
        cut_outline(DISC, (0.0, 0.0), (0.0, 0.0))
