"""Outlines after cuts: against closed forms, and against the shadow of the solid by a geometry library."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely

from batchwright.geometry.frame import Frame, Plane
from batchwright.geometry.outline import area, bounds, polygon_outline, to_polygon
from batchwright.model.draft import DraftPart, PartId
from batchwright.model.piece import Part
from batchwright.model.shape import PlaneCut, Prism, Shape
from batchwright.solids.build import Quality, shape_solid
from joinery_blocks import INCH, complete, piece, stick
from piece_files import example_files, jointed


def alone(part: DraftPart) -> Part:
    return complete(piece(part, joints=())).parts[0]


def leaning_rail(lean: float) -> DraftPart:
    """A rail 20 in long and 1 in thick in a plane leaning back, drawn 6 in deep from its low edge, cut level at 4 in
    above that edge's front corner, measured upright."""
    frame = Frame(
        (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, math.sin(lean), math.cos(lean)), (0.0, math.cos(lean), -math.sin(lean))
    )
    level = PlaneCut(plane=frame.plane_to_local(Plane((0.0, 0.0, 4.0 * INCH), (0.0, 0.0, 1.0))))
    corners = [(-10.0, 0.0), (10.0, 0.0), (10.0, 6.0), (-10.0, 6.0)]
    outline = polygon_outline([(u * INCH, v * INCH) for u, v in corners])
    return DraftPart(
        id=PartId("rail"),
        name="rail",
        frame=frame,
        shape=Shape(body=Prism(outline=outline, low=0.0, high=INCH), cuts=(level,)),
        grain=(1.0, 0.0, 0.0),
        wood="white oak",
    )


@pytest.mark.parametrize("lean", [math.radians(4.0), math.radians(-6.0)])
def test_bug_a_rail_cut_level_in_a_leaning_plane_has_the_outline_of_its_wood(lean: float) -> None:
    """Plane trigonometry: 4 in upright is 4 / cos in the plane, and the bevel adds t tan on the lower face."""
    part = alone(leaning_rail(lean))
    deep = 4.0 / math.cos(lean) + max(0.0, math.tan(lean))
    assert part.outline is not None
    low_x, low_y, high_x, high_y = bounds(part.outline)
    assert (high_x - low_x, high_y - low_y) == pytest.approx((20 * INCH, deep * INCH), abs=1e-6)
    assert low_y == pytest.approx(0.0, abs=1e-6)
    assert part.width == pytest.approx(deep * INCH, abs=1e-6)


def test_bug_a_stick_cut_level_at_its_foot_has_that_end_in_both_outlines() -> None:
    """Leaning in the front view: the foot's line leans by t tan in that outline, and is square in the other."""
    lean = math.atan2(3.0, 18.0)
    leg = stick("leg", ((6.0, 1, -1.0), (3.0, 1, 17)), (1.5, 1.5))
    cut = PlaneCut(plane=leg.frame.plane_to_local(Plane((0.0, 0.0, 0.0), (0.0, 0.0, -1.0))))
    part = alone(replace(leg, shape=replace(leg.shape, cuts=(cut,))))
    long, slope = 17 / math.cos(lean) + 0.75 * math.tan(lean), 1.5 * math.tan(lean)
    areas = sorted(area(shape) / INCH**2 for shape in (part.outline, part.edge_outline) if shape is not None)
    assert areas == pytest.approx([(long - slope / 2) * 1.5, long * 1.5], rel=1e-9)


@pytest.mark.parametrize("name", [path.name for path in example_files()])
def test_bug_outlines_of_the_examples_are_the_shadows_of_their_solids(name: str) -> None:
    """The triangles of the shaped solid, joints not cut, laid in the plane and united by the library."""
    path = next(path for path in example_files() if path.name == name)
    made = jointed(path.read_bytes(), path.name).piece
    assert made is not None
    seen = 0
    for part in made.parts:
        shape = replace(part.draft.shape, edges=())
        solid = shape_solid(shape, part.draft.frame, Quality.FINE)
        points = part.bench.many_to_local(part.draft.frame.many_to_world(solid.vertices))
        for outline, axes in ((part.outline, (0, 1)), (part.edge_outline, (0, 2))):
            if outline is None:
                continue
            flat = points[:, axes][solid.triangles]
            triangles = [shapely.Polygon(each) for each in flat]
            shadow = shapely.union_all([each.buffer(1e-4) for each in triangles if each.area > 1e-6])
            told = shapely.Polygon(to_polygon(outline, 0.005))
            apart = shadow.symmetric_difference(told).area
            assert apart < 0.02 * told.length + 0.05, (part.id, axes, apart, shadow.bounds, told.bounds)
            seen += 1
    assert seen >= len(made.parts)
