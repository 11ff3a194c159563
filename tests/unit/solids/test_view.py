"""Views: which lines, whose, visible or hidden, where they cross, drawn apart and in section."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from batchwright.geometry.frame import Frame, Vec3
from batchwright.geometry.outline import polygon_outline
from batchwright.model.shape import EdgeCut, EdgeKind, Prism, Recipe, Section, Shape, Station, Stick, Tool
from batchwright.solids.assembly import assembled, drawn_apart
from batchwright.solids.build import placed, recipe_solid, shape_solid
from batchwright.solids.section import plane_frame
from batchwright.solids.solid import Solid
from batchwright.solids.view import FRONT, PICTORIAL, PLAN, SIDE, View, looking_from, section_view, view


def block(low: Vec3, high: Vec3) -> Solid:
    """A box of the world, drawn in plan."""
    outline = polygon_outline([(low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1])])
    return shape_solid(Shape(body=Prism(outline=outline, low=low[2], high=high[2])))


def length(seen: View, **wanted: object) -> float:
    """Length of all lines whose fields are as wanted."""
    return sum(
        float(np.linalg.norm(np.diff(line.points, axis=0), axis=1).sum())
        for line in seen.lines
        if all(getattr(line, name) == value for name, value in wanted.items())
    )


BOX = block((0.0, 0.0, 0.0), (100.0, 60.0, 40.0))


@pytest.mark.parametrize(
    ("axes", "size"), [(FRONT, (100.0, 40.0)), (SIDE, (60.0, 40.0)), (PLAN, (100.0, 60.0))]
)
def test_plain_view_of_a_box_is_a_rectangle_drawn_once(axes: object, size: tuple[float, float]) -> None:
    seen = view([("box", BOX)], axes)  # type: ignore[arg-type]
    assert seen.bounds == pytest.approx((0.0, 0.0, *size))
    assert length(seen, visible=True) == pytest.approx(2.0 * sum(size))
    assert length(seen, visible=False) == pytest.approx(0.0)


def test_pictorial_of_a_box_shows_nine_edges_and_hides_three() -> None:
    seen = view([("box", BOX)], PICTORIAL)
    across = PICTORIAL.on_paper(np.diag([100.0, 60.0, 40.0]))
    edges = float(np.linalg.norm(across, axis=1).sum())
    assert length(seen, visible=True) == pytest.approx(3.0 * edges)
    assert length(seen, visible=False) == pytest.approx(edges)


def test_view_from_above_lies_with_the_back_up() -> None:
    assert looking_from((0.0, 0.0, 1.0)).right == (1.0, 0.0, 0.0)
    assert looking_from((0.0, 0.0, 1.0)).up == pytest.approx((0.0, 1.0, 0.0))
    assert looking_from((0.0, -1.0, 0.0)) == FRONT
    assert looking_from((1.0, 0.0, 0.0)) == SIDE


def test_line_passes_behind_at_the_exact_place() -> None:
    """A rail behind a leaning post: it goes under at the post's own edges, to a thousandth of a millimetre."""
    rail = block((-200.0, 50.0, 100.0), (200.0, 70.0, 130.0))
    lean = math.radians(17.0)
    c, s = math.cos(lean), math.sin(lean)
    post = placed(
        block((-20.0, -10.0, -300.0), (20.0, 10.0, 300.0)),
        Frame((0.0, 0.0, 0.0), (c, 0.0, -s), (0.0, 1.0, 0.0), (s, 0.0, c)),
    )
    seen = view([("rail", rail), ("post", post)], FRONT)
    ends = sorted(
        float(point[0])
        for line in seen.lines
        if line.owner == "rail" and line.visible
        for point in (line.points[0], line.points[-1])
        if abs(point[1] - 130.0) < 1e-6 and abs(point[0]) < 150.0
    )
    exact = [130.0 * math.tan(lean) + side * 20.0 / c for side in (-1.0, 1.0)]
    assert ends == pytest.approx(exact, abs=1e-3)
    hidden = [line for line in seen.lines if line.owner == "rail" and not line.visible]
    assert sum(float(np.ptp(line.points[:, 0])) for line in hidden) == pytest.approx(2 * 40.0 / c, abs=0.01)


def test_line_on_the_same_place_belongs_to_the_nearer_part() -> None:
    near, far = block((0.0, 0.0, 0.0), (50.0, 10.0, 20.0)), block((0.0, 30.0, 0.0), (80.0, 40.0, 20.0))
    seen = view([("far", far), ("near", near)], FRONT)
    assert length(seen, owner="near", visible=True) == pytest.approx(140.0)
    assert length(seen, owner="far", visible=True) == pytest.approx(30.0 + 30.0 + 20.0)
    assert length(seen, visible=False) == pytest.approx(0.0)


def test_round_stick_shows_its_outline_and_no_facets() -> None:
    station = Station(at=0.0, v=(-12.0, 12.0), w=(-12.0, 12.0))
    stick = shape_solid(Shape(body=Stick(round=True, stations=(station, replace(station, at=300.0)))))
    seen = view([("stick", stick)], FRONT)
    assert length(seen, visible=True) == pytest.approx(2.0 * (300.0 + 24.0))
    sides = [line for line in seen.lines if not line.arris]
    assert sum(float(np.ptp(line.points[:, 0])) for line in sides) == pytest.approx(600.0)
    end_on = view([("stick", stick)], SIDE)
    assert length(end_on, visible=True) == pytest.approx(2.0 * math.pi * 12.0, rel=0.01)
    assert len([line for line in end_on.lines if line.visible]) == 1


def test_round_edge_leaves_no_line_but_a_chamfer_does() -> None:
    def eased(kind: EdgeKind) -> View:
        outline = polygon_outline([(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0)])
        shape = Shape(
            body=Prism(outline=outline, low=0.0, high=40.0),
            edges=(EdgeCut(kind=kind, size=5.0, on="long edges"),),
        )
        return view([("bar", shape_solid(shape))], FRONT)

    assert length(eased(EdgeKind.ROUND), visible=True, arris=True) < 2.0 * (100.0 + 40.0) + 1e-6
    assert length(eased(EdgeKind.CHAMFER), visible=True) == pytest.approx(2.0 * (100.0 + 40.0) + 2.0 * 100.0)


def test_mortise_is_a_hidden_slot_of_its_own_kind() -> None:
    leg = Shape(
        body=Prism(
            outline=polygon_outline([(0.0, 0.0), (40.0, 0.0), (40.0, 44.0), (0.0, 44.0)]), low=0.0, high=600.0
        )
    )
    tool = Tool(
        frame=Frame((18.0, 0.0, 500.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
        width=60.0,
        thickness=10.0,
        start=-5.0,
        end=25.0,
        section=Section.ROUND_ENDED,
    )
    solid = recipe_solid(Recipe(shape=leg, cuts=(tool,)))
    front = view([("leg", solid)], FRONT)
    slot = 2.0 * 50.0 + math.pi * 10.0
    assert length(front, kind="mortise", visible=True) == pytest.approx(slot, rel=0.01)
    side = view([("leg", solid)], SIDE)
    assert length(side, kind="mortise", visible=False) == pytest.approx(2 * 25.0 + 60.0)
    assert length(view([("leg", solid)], SIDE, hidden=False), visible=False) == 0.0


def test_line_that_runs_into_wood_is_hidden_from_there() -> None:
    """Drawn into one another, before there is a joint: the rail's lines end at the leg's face."""
    leg, rail = block((0.0, 0.0, 0.0), (40.0, 40.0, 300.0)), block((20.0, 10.0, 100.0), (200.0, 30.0, 150.0))
    seen = view([("leg", leg), ("rail", rail)], FRONT)
    assert length(seen, owner="rail", visible=True) == pytest.approx(2 * 160.0 + 50.0)


def test_parts_drawn_apart_stand_where_the_offsets_put_them() -> None:
    one, other = block((0.0, 0.0, 0.0), (10.0, 10.0, 10.0)), block((10.0, 0.0, 0.0), (20.0, 10.0, 10.0))
    moved = drawn_apart([("one", one), ("other", other)], [(0.0, 0.0, 0.0), (30.0, 0.0, 5.0)])
    seen = view(assembled(moved), FRONT)
    assert seen.bounds == pytest.approx((0.0, 0.0, 50.0, 15.0))
    assert length(seen, visible=True) == pytest.approx(80.0)
    with pytest.raises(ValueError, match="argument"):
        drawn_apart([("one", one)], [])


def test_section_shows_the_cut_and_what_lies_behind() -> None:
    leg, rail = block((0.0, 0.0, 0.0), (40.0, 40.0, 300.0)), block((40.0, 10.0, 100.0), (200.0, 30.0, 150.0))
    away = block((500.0, -90.0, 0.0), (510.0, -80.0, 10.0))
    frame = plane_frame((0.0, 20.0, 0.0), (0.0, -1.0, 0.0), (1.0, 0.0, 0.0))
    seen = section_view([("leg", leg), ("rail", rail), ("away", away)], frame)
    areas = {name: cut.area for name, cut in seen.cuts}
    assert areas == pytest.approx({"leg": 40.0 * 300.0, "rail": 160.0 * 50.0})
    assert {line.owner for line in seen.view.lines} == {"leg", "rail"}
    assert seen.view.bounds == pytest.approx((0.0, 0.0, 200.0, 300.0))
    assert all(line.visible for line in seen.view.lines)


def test_section_with_nothing_behind_it_is_empty() -> None:
    seen = section_view([("box", BOX)], plane_frame((0.0, 99.0, 0.0), (0.0, 1.0, 0.0)))
    assert seen.cuts == ()
    assert seen.view.lines
    beyond = section_view([("box", BOX)], plane_frame((0.0, -99.0, 0.0), (0.0, 1.0, 0.0)))
    assert beyond.view.lines == ()
    assert beyond.view.bounds == (0.0, 0.0, 0.0, 0.0)


def test_view_of_nothing_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="at least one part"):
        view([], FRONT)


def test_same_parts_give_the_same_lines() -> None:
    parts = [("box", BOX), ("other", block((20.0, -80.0, 10.0), (60.0, -20.0, 90.0)))]
    one, other = view(parts, PICTORIAL), view(parts, PICTORIAL)
    assert len(one.lines) == len(other.lines)
    for a, b in zip(one.lines, other.lines):
        assert (a.owner, a.kind, a.visible) == (b.owner, b.kind, b.visible)
        assert np.array_equal(a.points, b.points)


def test_bug_face_seen_all_but_edge_on_stays_hidden() -> None:
    """A tenon turned by less than a thousandth of a degree showed its edge through the leg in front of it."""
    turn = 4.4e-7
    frame = Frame((0.0, 0.0, 0.0), (1.0, turn, 0.0), (-turn, 1.0, 0.0))
    far = placed(block((-50.0, -10.0, -10.0), (-10.0, 10.0, 10.0)), frame)
    near = block((20.0, -60.0, -60.0), (40.0, 60.0, 60.0))
    seen = view([("far", far), ("near", near)], SIDE)
    assert length(seen, owner="far", visible=True) == 0.0
    assert length(seen, owner="far", visible=False) == pytest.approx(80.0)
