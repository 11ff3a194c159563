"""Sight lines against what can be worked by hand, and sections, walls and cuts in two."""

from __future__ import annotations

import math

import numpy as np
import pytest

from batchwright.geometry.frame import Frame, Plane
from batchwright.geometry.outline import polygon_outline
from batchwright.model.shape import Prism, Recipe, Section, Shape, Station, Stick, Tool
from batchwright.solids.build import Quality, recipe_solid, shape_solid
from batchwright.solids.rays import cast, contains, spans, thickness
from batchwright.solids.section import plane_frame, section, signed_area
from batchwright.solids.trim import split, trimmed
from batchwright.solids.walls import bar_solid, centre_depth, walls

LEG = Shape(
    body=Prism(
        outline=polygon_outline([(0.0, 0.0), (40.0, 0.0), (40.0, 44.0), (0.0, 44.0)]), low=0.0, high=600.0
    )
)
SLOT = Tool(
    frame=Frame((18.0, 0.0, 500.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
    width=60.0,
    thickness=10.0,
    start=-5.0,
    end=25.0,
    section=Section.ROUND_ENDED,
)


def cylinder() -> Shape:
    station = Station(at=0.0, v=(-15.0, 15.0), w=(-15.0, 15.0))
    return Shape(body=Stick(round=True, stations=(station, Station(at=200.0, v=station.v, w=station.w))))


def test_lines_strike_a_cylinder_where_the_circle_is() -> None:
    solid = shape_solid(cylinder(), quality=Quality.FINE)
    w = np.linspace(-14.0, 14.0, 63)
    origins = np.column_stack([np.full(63, 77.7), np.full(63, -100.0), w])
    found = cast(solid, origins, (0.0, 1.0, 0.0))
    assert found.share == 1.0
    exact = -np.sqrt(15.0**2 - w**2)
    assert np.abs(found.points[:, 1] - exact).max() < 0.01 / math.cos(math.asin(14.0 / 15.0))
    assert {solid.names[number] for number in found.faces} == {"round"}
    leaning = np.column_stack([np.zeros(63), exact, w]) / 15.0
    assert np.degrees(np.arccos(np.einsum("ij,ij->i", found.normals, leaning))).max() < 3.0


def test_lines_that_miss_say_so() -> None:
    solid = shape_solid(LEG)
    found = cast(solid, np.array([(20.0, -50.0, 300.0), (50.0, -50.0, 300.0)]), (0.0, 1.0, 0.0))
    assert found.hit.tolist() == [True, False]
    assert found.distance.tolist() == [50.0, math.inf]
    assert solid.names[found.faces[0]] == "side 1"
    assert found.faces[1] == -1
    assert np.isnan(found.points[1]).all()
    assert found.share == 0.5


def test_lines_of_their_own_directions() -> None:
    solid = shape_solid(LEG)
    origins = np.array([(-30.0, 20.0, 300.0), (20.0, 100.0, 300.0)])
    found = cast(solid, origins, np.array([(2.0, 0.0, 0.0), (0.0, -1.0, 0.0)]))
    assert found.distance == pytest.approx([30.0, 56.0])
    assert found.normals[0] == pytest.approx((-1.0, 0.0, 0.0))


def test_lines_of_several_joints_come_back_in_their_own_order() -> None:
    solid = shape_solid(LEG)
    origins = np.array([(20.0, -10.0, z) for z in (10.0, 20.0, 30.0)] + [(-7.0, 20.0, z) for z in (40.0, 50.0)])
    ways = np.array([(0.0, 1.0, 0.0)] * 3 + [(1.0, 0.0, 0.0)] * 2)
    shuffled = [3, 0, 4, 2, 1]
    found = cast(solid, origins[shuffled], ways[shuffled])
    assert found.distance == pytest.approx([7.0, 10.0, 7.0, 10.0, 10.0])
    assert found.points[:, 2] == pytest.approx([40.0, 10.0, 50.0, 30.0, 20.0])


def test_line_behind_its_origin_does_not_strike() -> None:
    solid = shape_solid(LEG)
    assert not cast(solid, np.array([(20.0, 60.0, 300.0)]), (0.0, 1.0, 0.0)).hit.any()
    inside = cast(solid, np.array([(20.0, 20.0, 300.0)]), (0.0, 1.0, 0.0))
    assert not inside.hit.any()


def test_spans_go_through_a_mortise() -> None:
    solid = recipe_solid(Recipe(shape=LEG, cuts=(SLOT,)))
    found = spans(solid, (-100.0, 10.0, 500.0), (1.0, 0.0, 0.0))
    assert [value for span in found for value in span] == pytest.approx([100.0, 113.0, 123.0, 140.0])
    assert thickness(solid, (5.0, 10.0, 500.0), (1.0, 0.0, 0.0)) == pytest.approx(8.0)
    assert thickness(solid, (18.0, 10.0, 500.0), (1.0, 0.0, 0.0)) == 0.0
    assert contains(solid, (5.0, 10.0, 500.0))
    assert not contains(solid, (18.0, 10.0, 500.0))
    assert not contains(solid, (18.0, 10.0, 700.0))


def test_section_of_a_mortised_leg_is_a_square_with_a_bite() -> None:
    solid = recipe_solid(Recipe(shape=LEG, cuts=(SLOT,)))
    through = section(solid, plane_frame((0.0, 0.0, 500.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)))
    assert through.area == pytest.approx(40.0 * 44.0 - 10.0 * 25.0)
    assert len(through.loops) == 1
    assert through.loops[0][:, 0].min() == pytest.approx(0.0)
    assert through.loops[0][:, 0].max() == pytest.approx(40.0)
    along = section(solid, plane_frame((18.0, 10.0, 500.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))
    slot = 50.0 * 10.0 + math.pi * 25.0
    assert along.area == pytest.approx(40.0 * 600.0 - slot, abs=3.0)
    assert sorted(signed_area(loop) > 0.0 for loop in along.loops) == [False, True]


def test_section_beside_the_solid_is_empty() -> None:
    found = section(shape_solid(LEG), plane_frame((0.0, 0.0, 900.0), (0.0, 0.0, 1.0)))
    assert found.loops == ()
    assert found.area == 0.0


def test_plane_frame_is_right_handed_in_its_plane() -> None:
    frame = plane_frame((1.0, 2.0, 3.0), (0.0, 0.6, 0.8), (0.0, 0.0, 1.0))
    assert not frame.mirrored
    assert frame.z == pytest.approx((0.0, 0.6, 0.8))
    assert frame.x[2] > 0.0
    assert plane_frame((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, 0.0, 1.0)).z == (0.0, 0.0, 1.0)


def test_walls_round_a_mortise_are_what_is_left() -> None:
    found = walls(shape_solid(LEG), SLOT)
    assert found.cheek_low == pytest.approx(13.0)
    assert found.cheek_high == pytest.approx(17.0)
    assert found.edge_low == pytest.approx(470.0)
    assert found.edge_high == pytest.approx(70.0)
    assert found.tip == pytest.approx(19.0)
    assert found.mouth == pytest.approx(0.0)
    assert found.least == pytest.approx(13.0)


def test_bar_that_breaks_out_has_no_wall() -> None:
    deep = Tool(frame=SLOT.frame, width=60.0, thickness=10.0, start=-5.0, end=50.0, section=Section.SQUARE)
    assert walls(shape_solid(LEG), deep).tip == 0.0
    aside = Tool(
        frame=Frame((38.0, 0.0, 500.0), SLOT.frame.x, SLOT.frame.y, SLOT.frame.z),
        width=60.0,
        thickness=10.0,
        start=0.0,
        end=20.0,
    )
    assert walls(shape_solid(LEG), aside).cheek_high == 0.0


def test_bar_beside_the_wood_has_no_walls_to_measure() -> None:
    away = Tool(frame=Frame((200.0, 0.0, 0.0)), width=10.0, thickness=10.0, start=0.0, end=20.0)
    found = walls(shape_solid(LEG), away)
    assert found.mouth is None
    assert math.isinf(found.least)


def test_mitred_tip_is_measured_from_its_slope() -> None:
    slope = 1.0 / math.sqrt(2.0)
    tool = Tool(
        frame=SLOT.frame,
        width=20.0,
        thickness=10.0,
        start=-5.0,
        end=30.0,
        planes=(Plane((0.0, 0.0, 25.0), (0.0, slope, slope)),),
    )
    assert walls(shape_solid(LEG), tool).tip == pytest.approx(44.0 - 30.0)


def test_bar_stands_alone() -> None:
    bar = bar_solid(SLOT, quality=Quality.FINE)
    assert bar.volume == pytest.approx(30.0 * (500.0 + math.pi * 25.0), rel=1e-3)
    assert centre_depth(shape_solid(LEG), (18.0, -5.0, 500.0), (0.0, 1.0, 0.0)) == pytest.approx(44.0)
    assert centre_depth(shape_solid(LEG), (18.0, 10.0, 500.0), (0.0, 1.0, 0.0)) == pytest.approx(34.0)
    assert centre_depth(shape_solid(LEG), (80.0, -5.0, 500.0), (0.0, 1.0, 0.0)) == 0.0


def test_cut_in_two_loses_nothing() -> None:
    solid = recipe_solid(Recipe(shape=LEG, cuts=(SLOT,)))
    below, above = split(solid, Plane((0.0, 0.0, 500.0), (0.0, 0.6, 0.8)))
    assert below is not None
    assert above is not None
    assert below.volume + above.volume == pytest.approx(solid.volume)
    assert below.area_of_faces("section") == pytest.approx(above.area_of_faces("section"))
    assert split(solid, Plane((0.0, 0.0, 700.0), (0.0, 0.0, 1.0))) == (solid, None)
    assert split(solid, Plane((0.0, 0.0, -10.0), (0.0, 0.0, 1.0))) == (None, solid)
    with pytest.raises(ValueError, match="leaves nothing"):
        trimmed(solid, Plane((0.0, 0.0, -10.0), (0.0, 0.0, 1.0)))
