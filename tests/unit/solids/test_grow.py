"""A shape grown by a clearance: every face moves outwards by it, what was cut away shrinks by it."""

from __future__ import annotations

import pytest

from batchwright.geometry.frame import Frame, Plane
from batchwright.geometry.outline import polygon_outline
from batchwright.model.shape import (
    BodyCut,
    EdgeCut,
    EdgeKind,
    PlaneCut,
    Prism,
    Recipe,
    RegionCut,
    Sawn,
    Shape,
    Station,
    Stick,
)
from batchwright.solids.build import recipe_solid, shape_solid
from batchwright.solids.grow import grown

BOARD = polygon_outline([(0.0, 0.0), (100.0, 0.0), (100.0, 40.0), (0.0, 40.0)])


def test_stick_grows_on_all_six_faces() -> None:
    stations = (
        Station(at=0.0, v=(-10.0, 10.0), w=(-8.0, 8.0)),
        Station(at=200.0, v=(-10.0, 10.0), w=(-8.0, 8.0)),
    )
    assert shape_solid(grown(Shape(body=Stick(stations=stations)), 0.5)).volume == pytest.approx(
        201.0 * 21.0 * 17.0
    )


def test_cuts_move_with_the_wood_and_easings_are_left_out() -> None:
    notch = RegionCut(
        frame=Frame(), outline=polygon_outline([(40.0, 20.0), (60.0, 20.0), (60.0, 60.0), (40.0, 60.0)])
    )
    end = PlaneCut(plane=Plane((90.0, 0.0, 0.0), (1.0, 0.0, 0.0)))
    ease = EdgeCut(kind=EdgeKind.CHAMFER, size=3.0, on="all")
    shape = Shape(body=Prism(outline=BOARD, low=0.0, high=30.0), cuts=(end, notch), edges=(ease,))
    solid = shape_solid(grown(shape, 1.0))
    assert solid.volume == pytest.approx((92.0 * 42.0 - 18.0 * 20.0) * 32.0)


def test_second_outline_grows_too() -> None:
    sawn = Sawn(on="edge", outline=polygon_outline([(-5.0, 5.0), (105.0, 5.0), (105.0, 25.0), (-5.0, 25.0)]))
    shape = Shape(body=Prism(outline=BOARD, low=0.0, high=30.0), sawn=(sawn,))
    assert shape_solid(grown(shape, 1.0)).volume == pytest.approx(102.0 * 42.0 * 22.0)


def test_clearance_that_swallows_an_outline_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="0 pieces"):
        grown(Shape(body=Prism(outline=BOARD, low=0.0, high=30.0)), -25.0)


def test_round_post_let_through_a_shelf_has_its_clearance() -> None:
    stations = (
        Station(at=0.0, v=(-10.0, 10.0), w=(-10.0, 10.0)),
        Station(at=200.0, v=(-10.0, 10.0), w=(-10.0, 10.0)),
    )
    post = Shape(body=Stick(stations=stations, round=True))
    upright = Frame((50.0, 20.0, -80.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    shelf = Recipe(
        shape=Shape(body=Prism(outline=BOARD, low=0.0, high=20.0)),
        bodies=(BodyCut(shape=post, frame=upright, grow=1.0),),
    )
    assert recipe_solid(shelf).volume == pytest.approx(100.0 * 40.0 * 20.0 - 3.14159 * 121.0 * 20.0, rel=3e-3)
