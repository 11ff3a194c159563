"""Where solids meet: pairs, overlaps and their depth, faces that touch, distances."""

from __future__ import annotations

import math

import pytest

from batchwright.geometry.frame import Frame, Plane
from batchwright.geometry.outline import polygon_outline
from batchwright.model.shape import Prism, Recipe, Section, Shape, Station, Stick, Tool
from batchwright.solids.build import placed, recipe_solid, shape_solid
from batchwright.solids.meet import (
    boxes_overlap,
    contact_area,
    contacts,
    least_distance,
    overlap,
    part_beyond,
    volume_outside,
)
from batchwright.solids.solid import Solid


def box(length: float, width: float, thickness: float, frame: Frame | None = None) -> Solid:
    outline = polygon_outline([(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)])
    solid = shape_solid(Shape(body=Prism(outline=outline, low=0.0, high=thickness)))
    return placed(solid, frame) if frame else solid


def turned(angle: float, origin: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> Frame:
    c, s = math.cos(angle), math.sin(angle)
    return Frame(origin, (c, s, 0.0), (-s, c, 0.0))


def test_overlap_of_two_boxes_is_their_common_box() -> None:
    found = overlap(box(10.0, 10.0, 10.0), box(10.0, 10.0, 10.0, Frame((9.5, 1.0, 2.0))))
    assert found.volume == pytest.approx(0.5 * 9.0 * 8.0)
    assert found.depth == pytest.approx(0.5)
    assert found.area == pytest.approx(72.0)
    assert found.at == pytest.approx((9.75, 5.5, 6.0))
    assert abs(found.direction[0]) == pytest.approx(1.0)


def test_depth_is_that_of_the_deepest_spot() -> None:
    """A comb of two teeth, 0.2 and 1.5 mm into the bar, is as deep as its deeper tooth."""
    comb = polygon_outline(
        [
            (0.0, 5.0),
            (0.0, -0.2),
            (10.0, -0.2),
            (10.0, 3.0),
            (40.0, 3.0),
            (40.0, -1.5),
            (50.0, -1.5),
            (50.0, 5.0),
        ]
    )
    teeth = shape_solid(Shape(body=Prism(outline=comb, low=0.0, high=10.0)))
    found = overlap(teeth, box(60.0, 10.0, 10.0, Frame((-5.0, -10.0, 0.0))))
    assert found.volume == pytest.approx(10.0 * 10.0 * 1.7)
    assert found.depth == pytest.approx(1.5)


@pytest.mark.parametrize("angle", [0.0, 0.3, 1.0])
def test_touching_boxes_do_not_overlap_and_share_their_face(angle: float) -> None:
    one = box(10.0, 20.0, 30.0, turned(angle))
    other = box(10.0, 20.0, 30.0, Frame((10.0, 5.0, 5.0)).within(turned(angle)))
    assert overlap(one, other).volume == 0.0
    (contact,) = contacts(one, other)
    assert contact.area == pytest.approx(15.0 * 25.0)
    assert contact.normal == pytest.approx((math.cos(angle), math.sin(angle), 0.0))
    assert contact.faces == ("side 2", "side 4")


def test_gap_beyond_the_tolerance_is_no_contact() -> None:
    one = box(10.0, 20.0, 30.0)
    assert contact_area(one, box(10.0, 20.0, 30.0, Frame((10.04, 0.0, 0.0)))) == pytest.approx(600.0)
    assert contact_area(one, box(10.0, 20.0, 30.0, Frame((10.2, 0.0, 0.0)))) == 0.0
    assert contacts(one, box(10.0, 20.0, 30.0, Frame((50.0, 0.0, 0.0)))) == ()


def test_tenon_in_its_mortise_touches_and_does_not_overlap() -> None:
    """The same bar added to a rail and cut from a leg, at an angle: nothing is claimed twice."""
    frame = turned(0.2, (7.0, 3.0, 11.0))
    leg = Shape(
        body=Prism(
            outline=polygon_outline([(0.0, 0.0), (45.0, 0.0), (45.0, 45.0), (0.0, 45.0)]), low=0.0, high=500.0
        )
    )
    rail = Shape(
        body=Prism(
            outline=polygon_outline([(45.0, 10.0), (400.0, 10.0), (400.0, 35.0), (45.0, 35.0)]),
            low=200.0,
            high=280.0,
        )
    )
    bar = Tool(
        frame=Frame((45.0, 22.5, 240.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0), (-1.0, 0.0, 0.0)),
        width=60.0,
        thickness=10.0,
        start=-3.0,
        end=25.0,
        section=Section.ROUND_ENDED,
    )
    mortised = placed(recipe_solid(Recipe(shape=leg, cuts=(bar,))), frame)
    tenoned = placed(recipe_solid(Recipe(shape=rail, adds=(bar,))), frame)
    assert overlap(mortised, tenoned).volume == 0.0
    faces = {contact.faces for contact in contacts(tenoned, mortised)}
    assert ("side 4", "side 2") in faces
    assert ("tenon 1 tip", "mortise 1 tip") in faces
    assert ("tenon 1 cheek low", "mortise 1 cheek low") in faces


def test_pairs_are_told_once_in_order() -> None:
    solids = [box(10.0, 10.0, 10.0, Frame((x, 0.0, 0.0))) for x in (0.0, 9.0, 100.0, 10.3)]
    assert boxes_overlap(solids) == ((0, 1), (1, 3))
    assert boxes_overlap(solids, margin=0.5) == ((0, 1), (0, 3), (1, 3))
    assert boxes_overlap(solids[:1]) == ()


def test_wood_outside_another_and_beyond_a_plane() -> None:
    one = box(10.0, 10.0, 10.0)
    assert volume_outside(one, box(10.0, 10.0, 10.0, Frame((4.0, 0.0, 0.0)))) == pytest.approx(400.0)
    assert volume_outside(one, one) == 0.0
    volume, found = part_beyond(one, Plane((7.0, 0.0, 0.0), (1.0, 0.0, 0.0)))
    assert volume == pytest.approx(300.0)
    assert found is not None
    assert found[0] == pytest.approx((7.0, 0.0, 0.0))
    assert part_beyond(one, Plane((20.0, 0.0, 0.0), (1.0, 0.0, 0.0))) == (0.0, None)


def test_least_distance_between_a_ball_end_and_a_board() -> None:
    station = Station(at=0.0, v=(-5.0, 5.0), w=(-5.0, 5.0))
    dowel = shape_solid(
        Shape(body=Stick(round=True, stations=(station, Station(at=50.0, v=(-5.0, 5.0), w=(-5.0, 5.0)))))
    )
    board = box(100.0, 100.0, 20.0, Frame((0.0, -50.0, -32.0)))
    assert least_distance(dowel, board) == pytest.approx(7.0, abs=1e-6)
    assert least_distance(dowel, board, within=3.0) == pytest.approx(3.0)
