"""Bevels of edges, the choice of the face edge among them, and lengths between shoulders along the arrises."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from batchwright.geometry.frame import Frame, Plane
from batchwright.geometry.outline import polygon_outline
from batchwright.model.draft import DraftPart, PartId
from batchwright.model.piece import Part
from batchwright.model.shape import EdgeCut, EdgeKind, PlaneCut, Prism, Shape
from joinery_blocks import ACROSS_X, INCH, box, complete, mirrored, piece, stick, tenon
from piece_files import example_files, jointed

LEAN = math.radians(4.0)


def leaning_rail(*levels: tuple[float, float]) -> Part:
    """A rail 6 in deep, 1 in thick, in a plane leaning back by 4 degrees; cut level at (height in inches, 1 or -1: what
    lies above or below goes)."""
    up, back = (0.0, math.sin(LEAN), math.cos(LEAN)), (0.0, math.cos(LEAN), -math.sin(LEAN))
    frame = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), up, back)
    corners = [(-10.0, 0.0), (10.0, 0.0), (10.0, 6.0), (-10.0, 6.0)]
    rail = DraftPart(
        id=PartId("rail"),
        name="rail",
        frame=frame,
        shape=Shape(
            body=Prism(outline=polygon_outline([(u * INCH, v * INCH) for u, v in corners]), low=0.0, high=INCH),
            cuts=tuple(
                PlaneCut(plane=frame.plane_to_local(Plane((0.0, 0.0, z * INCH), (0.0, 0.0, way)))) for z, way in levels
            ),
        ),
        grain=(1.0, 0.0, 0.0),
        wood="white oak",
    )
    return complete(piece(rail, joints=())).parts[0]


def test_bug_a_square_edge_is_marked_before_a_bevelled_one() -> None:
    """Level rails are marked on their top edge, but where that is cut level in a leaning plane the lower one is square.
    (All gauging runs from the face edge: common practice, no source.)"""
    part = leaning_rail((4.0, 1.0))
    marks = dict(part.marks_note)
    assert (marks["face side"], marks["face edge"]) == ("front", "bottom")
    assert part.edge_bevels[0] == 0.0
    assert math.degrees(part.edge_bevels[1]) == pytest.approx(-4.0, abs=1e-9)


def test_bug_bevels_of_both_edges_are_told_where_neither_is_square() -> None:
    """Cut level above and below, leaning back: at the front face the upper corner is 94 degrees, the lower one 86."""
    part = leaning_rail((4.0, 1.0), (1.0, -1.0))
    assert dict(part.marks_note)["face edge"] == "top"
    assert [math.degrees(bevel) for bevel in part.edge_bevels] == pytest.approx([-4.0, 4.0], abs=1e-9)


def test_the_stools_long_rail_has_its_level_edge_bevelled_by_the_rake() -> None:
    path = next(path for path in example_files() if "stool" in path.name)
    made = jointed(path.read_bytes(), path.name).piece
    assert made is not None
    sizes = {size.name: size.value for size in made.draft.sizes}
    for name, lean in (("front long rail", "rake"), ("right end rail", "splay")):
        bevels = made.part(PartId(name)).edge_bevels
        assert bevels[0] == pytest.approx(-sizes[lean], abs=1e-9)
        assert bevels[1] == 0.0


def test_tapered_and_plain_parts_have_square_edges() -> None:
    leg = stick("leg", ((6.0, 1, -1.0), (3.0, 1, 17)), (1.5, 1.5))
    assert complete(piece(leg, joints=())).parts[0].edge_bevels == (0.0, 0.0)


@pytest.mark.parametrize("eased", [False, True])
def test_bug_between_shoulders_is_told_along_both_arrises(eased: bool) -> None:
    """Legs leaning 3 in 18: their inner faces stand 2 (6 - 3 (z + 1)/18 - 0.75/cos) apart at the height z. The rail's
    top arris is at 15 in, its lower one at 12 in; easing the edges does not move the lines."""
    lean = math.atan2(3.0, 18.0)
    leg = stick("right leg", ((6.0, 1, -1.0), (3.0, 1, 17)), (1.5, 1.5), name="leg")
    other = mirrored(leg, "left leg", ACROSS_X)
    rail = box("rail", (-5, 5), (0.5, 1.5), (12, 15), grain="x")
    if eased:
        edges = (EdgeCut(kind=EdgeKind.ROUND, size=INCH / 8, on="long edges"),)
        rail = replace(rail, shape=replace(rail.shape, edges=edges))
    made = complete(piece(leg, other, rail, joints=(tenon("rail", "right leg, left leg"),)))
    lines = {line.name: line for line in made.part(PartId("rail")).shoulder_lines}
    for name, z in (("face edge, face side", 15.0), ("far edge, face side", 12.0), ("middle", 13.5)):
        apart = 2.0 * (6.0 - 3.0 * (z + 1.0) / 18.0 - 0.75 / math.cos(lean))
        assert lines[name].length == pytest.approx(apart * INCH, abs=2e-3), name
    assert lines["face edge, back"].length == pytest.approx(lines["face edge, face side"].length, abs=2e-3)
    part = made.part(PartId("rail"))
    for name, z in (("face edge, face side", 15.0), ("far edge, face side", 12.0)):
        assert part.bench.to_world(lines[name].start)[2] == pytest.approx(z * INCH, abs=1e-4)
    assert part.shoulder_length == pytest.approx(lines["middle"].length, abs=1e-6)


def test_a_part_without_shoulders_has_no_such_lines() -> None:
    assert complete(piece(box("rail", (-5, 5), (0, 1), (12, 15), grain="x"), joints=())).parts[0].shoulder_lines == ()


def test_bug_a_tenon_over_its_parts_own_edge_is_told() -> None:
    """Legs leaning 3 in 18, tenons square to them: each tip is higher than the rail by the corners of its bar, by the
    joint's frame alone; in line with the rail they stay below its edge."""
    leg = stick("right leg", ((6.0, 1, -1.0), (3.0, 1, 17)), (1.5, 1.5), name="leg")
    other = mirrored(leg, "left leg", ACROSS_X)
    rail = box("rail", (-5, 5), (0.5, 1.5), (12, 15), grain="x")
    made = complete(piece(leg, other, rail, joints=(tenon("rail", "right leg, left leg"),)))
    part, (joint, _) = made.part(PartId("rail")), made.joints
    bar = joint.tenons[0]
    tips = [
        joint.frame.to_world((bar.centre[0] + way * bar.width / 2.0, bar.centre[1], bar.length))[2] for way in (1, -1)
    ]
    over = max(tips) - 15 * INCH
    assert over > 1.0
    (edge, far), thick = part.tenons_over
    assert (edge, far) == pytest.approx((over, 0.0), abs=1e-3)
    assert thick == (0.0, 0.0)
    assert part.width == pytest.approx(3 * INCH + over, abs=1e-3), "the blank holds the tenon"
    assert any(finding.code == "tenon-over-edge" and "face edge" in finding.what for finding in made.findings)
    straight = complete(piece(leg, other, rail, joints=(tenon("rail", "right leg, left leg", angle_in="mortise"),)))
    assert straight.part(PartId("rail")).tenons_over == ((0.0, 0.0), (0.0, 0.0))
    assert straight.part(PartId("rail")).width == pytest.approx(3 * INCH, abs=1e-6)
