"""Boxes, outlines, strips, cuts and grain against areas, middles and directions worked by hand."""

# ruff: noqa: E501 - piece files read best with a thing to a line
from __future__ import annotations

import math

import pytest

from batchwright.design.drawing.bodies import Body, extent_along
from batchwright.geometry.curve import tangent_at
from batchwright.geometry.frame import Vec3, dot
from batchwright.geometry.outline import area, bounds
from batchwright.model.draft import DraftPart
from batchwright.model.shape import EdgeKind, PlaneCut, Prism, RegionCut
from drawing import drawn, part

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def prism(one: DraftPart) -> Prism:
    assert isinstance(one.shape.body, Prism)
    return one.shape.body


def span(one: DraftPart, axis: Vec3) -> tuple[float, float]:
    return extent_along(Body(frame=one.frame, shape=one.shape), axis)


def outline_of(items: str, more: str = "", view: str = "side") -> DraftPart:
    return part(drawn(f"parts:\n  p: {{drawn in: {view}, outline: {items}, thickness: 20{more}}}\n"), "p")


def test_box_fills_its_three_ranges_and_its_grain_is_the_longest_side() -> None:
    p = part(drawn("parts:\n  p: {box: {x: [-300, 300], y: [10, 32], z: [400, 480]}}\n"), "p")
    assert span(p, X) == pytest.approx((-300, 300))
    assert span(p, Y) == pytest.approx((10, 32))
    assert span(p, Z) == pytest.approx((400, 480))
    assert p.frame.turn(p.grain) == pytest.approx(X)


def test_box_end_that_names_a_part_stops_in_its_middle() -> None:
    piece = drawn(
        "parts:\n  leg: {count: pair, box: {x: [200, 240], y: [0, 40], z: [0, 400]}}\n"
        "  rail: {box: {x: [right leg, left leg], y: [8, 30], z: [300, 380]}}\n"
        "  post: {box: {x: [-10, 10], y: [8, 30], z: [rail, 500]}}\n"
    )
    assert span(part(piece, "rail"), X) == pytest.approx((-220, 220))
    assert span(part(piece, "post"), Z) == pytest.approx((340, 500))


def test_box_to_a_leaning_leg_goes_to_its_middle_line_at_that_height() -> None:
    """The leg goes from x = 200 at z = 400 to x = 240 at z = 0; the rail's middle is at z = 350: x = 205."""
    piece = drawn(
        "parts:\n  leg: {count: pair, stick: [[200, 20, 400], [240, 20, 0]], section: [30, 30], ends: level}\n"
        "  rail: {box: {x: [right leg, left leg], y: [8, 30], z: [310, 390]}}\n"
    )
    assert span(part(piece, "rail"), X) == pytest.approx((-205, 205))


def test_outermost_and_middle_of_parts_in_expressions() -> None:
    piece = drawn(
        "parts:\n  rail: {box: {x: [-300, 300], y: [10, 32], z: [400, 480]}}\n"
        "  top: {box: {x: [-300, 300], y: [rail.front - 5, rail.back + 7], z: [rail.top, rail.top + 20]}}\n"
        "  low: {box: {x: [rail.x - 10, rail.x + 10], y: [rail.y, 100], z: [0, rail.bottom]}}\n"
    )
    assert span(part(piece, "top"), Y) == pytest.approx((5, 39))
    assert span(part(piece, "top"), Z) == pytest.approx((480, 500))
    assert span(part(piece, "low"), Y) == pytest.approx((21, 100))
    assert span(part(piece, "low"), Z) == pytest.approx((0, 400))


def test_top_of_a_curved_part_is_exact() -> None:
    """An arc through (0, 0), (100, 40), (200, 0) has its top at 40, whatever chords would say."""
    p = drawn(
        "parts:\n  p: {drawn in: side, outline: [[0, 0], {arc: [[30, 24], [200, 0]]}], thickness: 20}\n"
        "  q: {box: {x: [0, 10], y: [0, 10], z: [0, p.top]}}\n"
    )
    # the circle through (0, 0), (30, 24), (200, 0): centre on y = 100
    rise = (30**2 + 24**2 - 200 * 30) / (2 * 24)
    radius = math.hypot(100, rise)
    assert span(part(p, "q"), Z)[1] == pytest.approx(rise + radius, abs=1e-9)


def test_rounded_and_chamfered_corners_take_off_what_they_should() -> None:
    """A corner of 90 degrees rounded by r loses r^2 (1 - pi/4); chamfered by c it loses c^2/2."""
    items = "[{at: [0, 0], round: 10}, [200, 0], {at: [200, 80], chamfer: 12}, [0, 80]]"
    p = outline_of(items)
    assert area(prism(p).outline) == pytest.approx(200 * 80 - 100 * (1 - math.pi / 4) - 72, abs=1e-6)


def test_arc_encloses_a_segment_of_its_circle() -> None:
    """Half a disc of radius 50 under a chord of 100."""
    p = outline_of("[[0, 0], [100, 0], {arc: [[50, 50], [0, 0]]}]")
    assert area(prism(p).outline) == pytest.approx(0.5 * math.pi * 50**2, abs=1e-6)


def test_mirrored_half_has_twice_the_area_and_crosses_the_line_square() -> None:
    half = "[[0, 0], [100, 0], [100, 40], {curve: [[60, 55], [0, 60]]}]"
    p = outline_of(half, ", mirror: 0", "front")
    whole = prism(p).outline
    box = bounds(whole)
    assert (box[0], box[2]) == pytest.approx((-100, 100))
    top = [segment for segment in whole.segments if segment.name == "edge 4"]
    crossing = [segment for segment in top if abs(segment.end[0]) < 1e-9 or abs(segment.start[0]) < 1e-9]
    assert len(crossing) == 2
    for segment in crossing:
        t = 0.0 if abs(segment.start[0]) < 1e-9 else 1.0
        assert tangent_at(segment, t)[1] == pytest.approx(0.0, abs=1e-12)
    left = sum(1 for segment in whole.segments if segment.end[0] < -1e-9)
    assert left >= 2
    assert span(p, Z)[1] == pytest.approx(60.0, abs=1e-9)


def test_smooth_ties_a_curve_to_the_straight_beside_it() -> None:
    p = outline_of("[[0, 0], [300, 0], [300, 60], [200, 60], {curve: [[100, 40], [0, 30]], smooth: start}]")
    first = next(segment for segment in prism(p).outline.segments if segment.name == "edge 5")
    assert tangent_at(first, 0.0) == pytest.approx((-1.0, 0.0), abs=1e-12)


def test_follow_runs_along_a_curve_and_beside_it() -> None:
    piece = drawn(
        "places: {dish: {view: side, curve: [[0, 100], [150, 80], [300, 95]]}}\n"
        "parts:\n  a: {drawn in: side, outline: [[20, 0], [280, 0], {follow: dish, from: 280, to: 20}], thickness: 20}\n"
        "  b: {drawn in: side, outline: [[20, 0], [280, 0], {follow: dish, from: 280, to: 20, by: 5}], thickness: 20}\n"
        "  c: {box: {x: [0, 10], y: [0, 10], z: [0, dish at y 150]}}\n"
    )
    a, b = prism(part(piece, "a")).outline, prism(part(piece, "b")).outline
    assert span(part(piece, "c"), Z)[1] == pytest.approx(80.0)
    edge = [s for s in a.segments if s.name == "edge 3"]
    other = [s for s in b.segments if s.name == "edge 3"]
    low = min(s.start[1] for s in edge)
    lift = min(s.start[1] for s in other)
    assert lift > low + 4.9


def test_straight_strip_is_a_rectangle_along_its_batten() -> None:
    p = part(
        drawn("parts:\n  p: {drawn in: side, strip: {through: [[0, 0], [300, 400]], wide: 30}, across: [5, 25]}\n"), "p"
    )
    assert area(prism(p).outline) == pytest.approx(500 * 30, abs=1e-6)
    assert p.grain == pytest.approx((0.6, 0.8, 0.0))
    assert [segment.end for segment in p.line][-1] == pytest.approx((300, 400))
    assert span(p, X) == pytest.approx((5, 25))


def test_strip_ends_are_tied_along_a_line() -> None:
    piece = drawn(
        "places: {lean: {view: side, through: [100, 0], angle: 10 deg}}\n"
        "parts:\n  p: {drawn in: side, strip: {through: [[lean, 0], [lean at z 150 - 12, 150], [lean, 300]], wide: 20, "
        "along: lean}, thickness: 20}\n"
    )
    line = part(piece, "p").line
    direction = (math.sin(math.radians(10)), math.cos(math.radians(10)))
    assert tangent_at(line[0], 0.0) == pytest.approx(direction, abs=1e-12)
    assert tangent_at(line[-1], 1.0) == pytest.approx(direction, abs=1e-12)


def test_level_cut_leaves_the_part_on_the_floor() -> None:
    piece = drawn(
        "parts:\n  p: {drawn in: side, strip: {through: [[30, -10], [0, 400]], wide: 40}, thickness: 20, "
        "cut: [{level: 0, keep: above}, {upright: 40, keep: front}]}\n  q: {box: {x: [0, 9], y: [0, 9], z: [p.bottom, p.top]}}\n"
    )
    cuts = [cut for cut in part(piece, "p").shape.cuts if isinstance(cut, PlaneCut)]
    p = part(piece, "p")
    level, upright = (p.frame.plane_to_world(cut.plane) for cut in cuts)
    assert level.normal == pytest.approx((0, 0, -1)) and level.point[2] == pytest.approx(0.0)
    assert upright.normal == pytest.approx((0, 1, 0)) and upright.point[1] == pytest.approx(40.0)
    assert span(part(piece, "q"), Z)[0] == pytest.approx(0.0, abs=1e-9)


def test_cut_along_a_line_and_along_a_curve() -> None:
    piece = drawn(
        "places:\n  slope: {view: side, line: [[0, 50], [100, 60]]}\n  dish: {view: side, curve: [[-10, 60], [50, 50], [110, 60]]}\n"
        "parts:\n  p: {box: {x: [0, 20], y: [0, 100], z: [0, 90]}, cut: [{line: slope, keep: below}, {line: dish, keep: below}]}\n"
    )
    p = part(piece, "p")
    straight, curved = p.shape.cuts
    assert isinstance(straight, PlaneCut) and isinstance(curved, RegionCut)
    plane = p.frame.plane_to_world(straight.plane)
    assert plane.normal[2] > 0.9 and plane.height((0.0, 0.0, 50.0)) == pytest.approx(0.0, abs=1e-9)
    region = curved.frame.within(p.frame)
    assert region.x == pytest.approx(Y) and region.y == pytest.approx(Z)
    low, high = bounds(curved.outline)[1], bounds(curved.outline)[3]
    assert low == pytest.approx(50.0, abs=1e-6) and high > 1000.0


@pytest.mark.parametrize(
    ("outline", "grain"),
    [
        # a rail with a dished top: its straight lower edge is as long as itself
        ("[[0, 0], [400, 0], [400, 60], {curve: [[200, 40], [0, 62]]}]", (1.0, 0.0, 0.0)),
        # both long edges curved: the long side of the smallest rectangle round it
        ("[[0, 0], {curve: [[200, 30], [400, 0]]}, [400, 60], {curve: [[200, 90], [0, 60]]}]", (1.0, 0.0, 0.0)),
        # a straight edge at 3 in 4, most of the part's length
        ("[[0, 0], [400, 300], [370, 340], [-30, 40]]", (0.8, 0.6, 0.0)),
    ],
)
def test_grain_of_an_outline(outline: str, grain: Vec3) -> None:
    assert outline_of(outline).grain == pytest.approx(grain, abs=1e-9)


def test_grain_as_the_maker_says_it() -> None:
    assert outline_of("[[0, 0], [400, 0], [400, 60], [0, 60]]", ", grain: z").grain == pytest.approx((0, 1, 0))
    assert outline_of("[[0, 0], [400, 0], [400, 60], [0, 60]]", ", grain: across").grain == (0.0, 0.0, 1.0)
    assert outline_of("[[0, 0], [400, 0], [400, 60], [0, 60]]", ", grain: [[0, 0], [3, 4]]").grain == pytest.approx(
        (0.6, 0.8, 0)
    )


def test_also_sawn_and_edges_come_through() -> None:
    p = outline_of(
        "[[0, 0], [400, 0], [400, 60], [0, 60]]",
        ", also sawn: {on: edge, strip: {through: [[0, 0], [200, 8], [400, 0]], wide: 12}}, "
        "edges: [{round: 3, on: long edges}, {chamfer: 2, on: top end}]",
    )
    assert [sawn.on for sawn in p.shape.sawn] == ["edge"]
    assert [(edge.kind, edge.size, edge.on) for edge in p.shape.edges] == [
        (EdgeKind.ROUND, 3.0, "long edges"),
        (EdgeKind.CHAMFER, 2.0, "top end"),
    ]


def test_four_copies_stand_in_four_corners_each_a_mirror_image() -> None:
    piece = drawn("middle: 200\nparts:\n  leg: {count: four, box: {x: [260, 300], y: [0, 36], z: [0, 400]}}\n")
    places = {each.id: (span(each, X), span(each, Y)) for each in piece.parts}
    assert places["left front leg"] == (pytest.approx((260, 300)), pytest.approx((0, 36)))
    assert places["right front leg"] == (pytest.approx((-300, -260)), pytest.approx((0, 36)))
    assert places["left back leg"] == (pytest.approx((260, 300)), pytest.approx((364, 400)))
    assert places["right back leg"] == (pytest.approx((-300, -260)), pytest.approx((364, 400)))
    hands = {each.id: each.frame.mirrored for each in piece.parts}
    assert hands["left front leg"] == hands["right back leg"] != hands["left back leg"] == hands["right front leg"]


def test_bare_name_means_the_drawn_copy_whichever_hand_that_is() -> None:
    for x in ("[260, 300]", "[-300, -260]"):
        piece = drawn(
            f"middle: 200\nparts:\n  leg: {{count: four, box: {{x: {x}, y: [0, 36], z: [0, 400]}}}}\n"
            "  rail: {count: pair, box: {x: [leg.x - 10, leg.x + 10], y: [leg, back leg], z: [300, 380]}}\n"
        )
        rails = [span(each, X) for each in piece.parts if each.name == "rail"]
        assert sorted(rails) == [pytest.approx((-290, -270)), pytest.approx((270, 290))]
        assert span(part(piece, "left rail"), Y) == pytest.approx((18, 382))


def test_part_as_a_point_is_its_middle_where_the_plane_cuts_it() -> None:
    """An upright post, y 400..440; the arm's plane rises 1 in 10 from (0, 600): at y = 420 it is at z = 642."""
    piece = drawn(
        "places: {arm line: {view: side, line: [[0, 600], [100, 610]]}}\n"
        "parts:\n  post: {box: {x: [200, 230], y: [400, 440], z: [0, 800]}}\n"
        "  arm: {drawn in: arm line, strip: {through: [[260, 0], post], wide: 60}, thickness: 20}\n"
    )
    arm = part(piece, "arm")
    tip = arm.frame.to_world((*arm.line[-1].end, 0.0))
    assert tip == pytest.approx((215.0, 420.0, 642.0), abs=1e-9)


def test_crossing_and_beside_in_expressions() -> None:
    """Beside a line rising 3 in 4, 10 off and up, at the same y the height is 10/0.8 more; it crosses upright y = 100."""
    piece = drawn(
        "places:\n  slope: {view: side, line: [[0, 50], [4, 53]]}\n  over: {beside: slope, by: 10}\n"
        "  post line: {view: side, line: [[100, 0], [100, 1]]}\n  meet: {crossing: [over, post line]}\n"
        "parts:\n  p: {box: {x: [0, 20], y: [0, meet.y], z: [0, meet.z]}}\n"
    )
    p = part(piece, "p")
    assert span(p, Y)[1] == pytest.approx(100.0)
    assert span(p, Z)[1] == pytest.approx(50 + 75 + 12.5)


def test_frames_are_square_and_grain_has_length_one() -> None:
    piece = drawn(
        "places: {lean: {view: side, through: [100, 0], angle: 10 deg}}\n"
        "parts:\n  p: {count: pair, drawn in: lean, outline: [[50, 0], [90, 0], [90, 300]], thickness: 20}\n"
    )
    for each in piece.parts:
        f = each.frame
        for a, b in ((f.x, f.y), (f.y, f.z), (f.z, f.x)):
            assert dot(a, b) == pytest.approx(0.0, abs=1e-12)
        assert dot(each.grain, each.grain) == pytest.approx(1.0)
