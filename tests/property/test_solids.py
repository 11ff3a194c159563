"""Laws of solids: nothing is lost in a cut, order does not matter, a mirror image is a mirror image."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from batchwright.geometry.frame import Frame, Plane, vec3
from batchwright.geometry.outline import polygon_outline
from batchwright.model.shape import EdgeCut, EdgeKind, Prism, Recipe, Section, Shape, Tool
from batchwright.solids.build import placed, recipe_solid, shape_solid
from batchwright.solids.meet import overlap, pieces, volume_outside
from batchwright.solids.rays import cast, spans
from batchwright.solids.section import plane_frame, section
from batchwright.solids.solid import Solid
from batchwright.solids.trim import split
from batchwright.solids.view import looking_from, view

sizes = st.floats(5.0, 400.0)
angles = st.floats(-math.pi, math.pi)
places = st.floats(-300.0, 300.0)


@st.composite
def frames(draw: st.DrawFn) -> Frame:
    """Any frame, mirrored or not."""
    a, b, c = draw(angles), draw(angles), draw(angles)
    turn = _about(2, a) @ _about(1, b) @ _about(0, c)
    if draw(st.booleans()):
        turn[:, 0] = -turn[:, 0]
    origin = (draw(places), draw(places), draw(places))
    return Frame(origin, vec3(turn[:, 0]), vec3(turn[:, 1]), vec3(turn[:, 2]))


def _about(axis: int, angle: float) -> np.ndarray:
    c, s = math.cos(angle), math.sin(angle)
    turn = np.eye(3)
    i, j = [(1, 2), (2, 0), (0, 1)][axis]
    turn[i, i] = turn[j, j] = c
    turn[i, j], turn[j, i] = -s, s
    return turn


def box(length: float, width: float, thickness: float) -> Shape:
    outline = polygon_outline([(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)])
    return Shape(body=Prism(outline=outline, low=0.0, high=thickness))


@st.composite
def solids(draw: st.DrawFn) -> Solid:
    frame = draw(frames())
    return placed(shape_solid(box(draw(sizes), draw(sizes), draw(sizes))), frame)


@given(sizes, sizes, sizes, frames())
def test_moving_and_mirroring_changes_no_volume(a: float, b: float, c: float, frame: Frame) -> None:
    solid = shape_solid(box(a, b, c))
    moved = placed(solid, frame)
    assert moved.volume == pytest.approx(a * b * c, rel=1e-9)
    assert moved.area == pytest.approx(solid.area, rel=1e-9)
    assert moved.centroid == pytest.approx(frame.to_world((a / 2, b / 2, c / 2)), abs=1e-6)
    image = placed(solid, frame.mirror_image(Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))))
    low, high = moved.bounds
    assert image.bounds[0] == pytest.approx((-high[0], low[1], low[2]), abs=1e-6)
    assert image.bounds[1] == pytest.approx((-low[0], high[1], high[2]), abs=1e-6)


@given(st.lists(st.tuples(places, sizes), min_size=6, max_size=6))
def test_overlap_of_level_boxes_is_the_product_of_their_common_stretches(
    spans_given: list[tuple[float, float]],
) -> None:
    one, other = spans_given[:3], spans_given[3:]
    solid_of = [
        placed(shape_solid(box(x[1], y[1], z[1])), Frame((x[0], y[0], z[0]))) for x, y, z in (one, other)
    ]
    common = [min(a + m, b + n) - max(a, b) for (a, m), (b, n) in zip(one, other)]
    exact = math.prod(common) if min(common) > 0.0 else 0.0
    found = overlap(*solid_of)
    assert found.volume == pytest.approx(exact, rel=1e-6, abs=2e-3)
    if exact > 1.0:
        assert found.depth == pytest.approx(min(common), rel=1e-6)
    assert overlap(solid_of[1], solid_of[0]).volume == pytest.approx(found.volume, rel=1e-6, abs=2e-3)


@given(solids(), solids())
def test_what_is_common_and_what_is_outside_make_the_whole(one: Solid, other: Solid) -> None:
    assert overlap(one, other).volume + volume_outside(one, other) == pytest.approx(
        one.volume, rel=1e-6, abs=0.01
    )


@given(solids(), st.floats(-0.4, 0.4), angles, angles)
def test_a_plane_parts_a_solid_without_loss(solid: Solid, share: float, a: float, b: float) -> None:
    normal = (math.cos(a) * math.cos(b), math.sin(a) * math.cos(b), math.sin(b))
    low, high = solid.extent(normal)
    middle = solid.centroid + share * (high - low) * np.array(normal)
    plane = Plane(vec3(middle), normal)
    below, above = split(solid, plane)
    volumes = [part.volume for part in (below, above) if part is not None]
    assert sum(volumes) == pytest.approx(solid.volume, rel=1e-7)
    if below is not None and above is not None:
        cut = section(solid, plane_frame(plane.point, plane.normal))
        assert cut.area == pytest.approx(below.area_of_faces("section"), rel=1e-5, abs=1e-3)


@given(st.floats(20.0, 400.0), st.floats(20.0, 400.0), st.floats(20.0, 400.0), frames(), angles, angles)
def test_a_line_strikes_a_box_where_the_slab_rule_says(
    a: float, b: float, c: float, frame: Frame, turn: float, rise: float
) -> None:
    solid = placed(shape_solid(box(a, b, c)), frame)
    way = (math.cos(turn) * math.cos(rise), math.sin(turn) * math.cos(rise), math.sin(rise))
    origin = solid.centroid + np.array([3.1, -2.3, 1.7]) - 2000.0 * np.array(way)
    local, along = np.array(frame.to_local(vec3(origin))), np.array(frame.turn_back(way))
    with np.errstate(divide="ignore", over="ignore"):
        first, second = (0.0 - local) / along, (np.array([a, b, c]) - local) / along
    enter, leave = np.minimum(first, second).max(), np.maximum(first, second).min()
    found = cast(solid, origin[None], way)
    assert found.hit.all()
    assert found.distance[0] == pytest.approx(enter, abs=1e-5)
    ((into, out),) = spans(solid, vec3(origin), way)
    assert (into, out) == pytest.approx((enter, leave), abs=1e-5)


@settings(max_examples=30)
@given(
    st.floats(40.0, 200.0), st.floats(20.0, 60.0), st.floats(0.5, 9.0), frames(), st.sampled_from(EdgeKind)
)
def test_easing_takes_off_no_more_than_it_should_in_any_place(
    length: float, width: float, size: float, frame: Frame, kind: EdgeKind
) -> None:
    shape = replace(box(length, width, 20.0), edges=(EdgeCut(kind=kind, size=size, on="long edges"),))
    solid = shape_solid(shape, frame)
    area = size**2 * (0.5 if kind is EdgeKind.CHAMFER else 1.0 - math.pi / 4.0)
    assert solid.notes == ()
    assert pieces(solid) == 1
    long = max(length, width)
    assert length * width * 20.0 - solid.volume == pytest.approx(4.0 * area * long, rel=1e-3)


@settings(max_examples=30)
@given(st.floats(8.0, 30.0), st.floats(4.0, 14.0), st.floats(5.0, 30.0), frames(), st.sampled_from(Section))
def test_what_the_mortise_loses_the_tenon_has(
    width: float, thickness: float, depth: float, frame: Frame, form: Section
) -> None:
    """The same bar, cut from one part and left on another: one loses what the other gains, and they do not clash."""
    leg = box(40.0, 40.0, 300.0)
    bar = Tool(
        frame=Frame((20.0, 0.0, 200.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
        width=width,
        thickness=thickness,
        start=-4.0,
        end=depth,
        section=form,
    )
    rail = Shape(
        body=Prism(
            outline=polygon_outline([(0.0, -90.0), (40.0, -90.0), (40.0, 0.0), (0.0, 0.0)]),
            low=170.0,
            high=230.0,
        )
    )
    mortised, tenoned = (
        recipe_solid(Recipe(shape=leg, cuts=(bar,))),
        recipe_solid(Recipe(shape=rail, adds=(bar,))),
    )
    lost = shape_solid(leg).volume - mortised.volume
    gained = tenoned.volume - shape_solid(rail).volume
    assert lost == pytest.approx(gained, rel=1e-6)
    assert overlap(placed(mortised, frame), placed(tenoned, frame)).depth < 0.001


def test_bug_a_frame_turned_by_rounding_alone_makes_no_overlap() -> None:
    """0.45 mm3 of wood in both, 0.09 mm deep, where the frame's axes held 1e-18 for 0."""
    c, s, tiny = 0.9997365760093756, 0.022951657653640416, 1e-18
    frame = Frame((1.0, 0.0, 0.0), (s, c, 0.0), (c, -s, tiny), (-c * tiny, s * tiny, 1.0))
    check = test_what_the_mortise_loses_the_tenon_has.hypothesis.inner_test  # type: ignore[attr-defined]
    check(8.0, 4.0, 5.0, frame, Section.ROUND_ENDED)


@settings(max_examples=20)
@given(solids(), angles, st.floats(-1.4, 1.4))
def test_views_reach_as_far_as_the_solid(solid: Solid, turn: float, rise: float) -> None:
    axes = looking_from((math.cos(turn) * math.cos(rise), math.sin(turn) * math.cos(rise), math.sin(rise)))
    seen = view([("box", solid)], axes)
    low_x, low_y, high_x, high_y = seen.bounds
    assert (low_x, high_x) == pytest.approx(solid.extent(axes.right), abs=0.35)
    assert (low_y, high_y) == pytest.approx(solid.extent(axes.up), abs=0.35)
