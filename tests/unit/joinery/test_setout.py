"""Joints as they are set out at the bench: centre lines, true sizes and turns, against plane trigonometry."""

from __future__ import annotations

import math

import pytest

from batchwright.geometry.frame import Frame, Vec3
from batchwright.geometry.outline import outline, polygon_outline
from batchwright.geometry.segment import Arc, Line
from batchwright.model.draft import DraftPart, Hand, JointAsk, JointKind, JointStatement, PartId
from batchwright.model.piece import Feature, FeatureKind, Piece
from batchwright.model.shape import Prism, Shape
from joinery_blocks import ACROSS_X, INCH, box, complete, mirrored, piece, tenon


def only(made: Piece, part: str, kind: FeatureKind) -> Feature:
    (found,) = [feature for feature in made.part(PartId(part)).features if feature.kind is kind]
    return found


def inches(point: Vec3) -> tuple[float, float, float]:
    return (point[0] / INCH, point[1] / INCH, point[2] / INCH)


def turned_rail(lean: float) -> DraftPart:
    """A rail 3 in deep and 1 in thick along x, ending 1/2 in inside a leg, turned about its own line by an angle; its
    line passes 1 in behind the front at a height of 10 in."""
    deep, back = (0.0, math.sin(lean), math.cos(lean)), (0.0, math.cos(lean), -math.sin(lean))
    corners = [(1.0, -1.5), (10.5, -1.5), (10.5, 1.5), (1.0, 1.5)]
    return DraftPart(
        id=PartId("rail"),
        name="rail",
        frame=Frame((0.0, 1.0 * INCH, 10.0 * INCH), (1.0, 0.0, 0.0), deep, back),
        shape=Shape(
            body=Prism(outline=polygon_outline([(u * INCH, v * INCH) for u, v in corners]), low=-12.7, high=12.7)
        ),
        grain=(1.0, 0.0, 0.0),
        wood="white oak",
    )


@pytest.mark.parametrize("degrees", [11.0, -11.0])
def test_bug_a_turned_mortise_is_set_out_by_its_centre_line(degrees: float) -> None:
    """The box round a mortise 1/2 by w turned by t is w sin t + 1/2 cos t wide: what is cut stays 1/2 in wide.

    The leg's bench: x up from the floor, y back from its front edge. A rail leaning back (up and back) turns the
    mortise's upper end away from the face edge.
    """
    lean = math.radians(degrees)
    leg = box("leg", (10, 12), (-1, 3), (0, 17), grain="z")
    made = complete(piece(leg, turned_rail(lean), joints=(tenon("rail", "leg", thickness=0.5 * INCH),)))
    assert not made.faults
    mortise, own = only(made, "leg", FeatureKind.MORTISE), only(made, "rail", FeatureKind.TENON)
    (joint,) = made.joints
    edge = dict(made.part(PartId("leg")).marks_note)["face edge"]
    sign = 1.0 if edge == "front" else -1.0
    assert math.degrees(mortise.turn) == pytest.approx(sign * degrees, abs=1e-9)
    assert (mortise.length, mortise.width) == pytest.approx((joint.mortises[0].length, 0.5 * INCH), abs=1e-9)
    x, y = mortise.centre[0] / INCH, mortise.centre[1] / INCH
    assert (x, y) == pytest.approx((10.0, 2.0), abs=1e-6)
    half = mortise.length / 2.0
    for end, way in zip(mortise.ends, (-1.0, 1.0)):
        assert end[0] == pytest.approx(10.0 * INCH + way * half * math.cos(lean), abs=1e-6)
        assert end[1] == pytest.approx(2.0 * INCH + way * sign * half * math.sin(lean), abs=1e-6)
    assert own.turn == pytest.approx(0.0, abs=1e-12), "in the rail's own end the tenon lies square"
    assert (own.length, own.width) == pytest.approx((joint.tenons[0].width, joint.tenons[0].thickness), abs=1e-9)
    low, high = mortise.box
    box_wide = mortise.length * abs(math.sin(lean)) + 0.5 * INCH * math.cos(lean)
    assert high[1] - low[1] == pytest.approx(box_wide, abs=1e-6)


def test_bug_set_out_of_a_mirror_image_has_the_same_numbers() -> None:
    leg = box("right leg", (10, 12), (-1, 3), (0, 17), grain="z", name="leg", hand=Hand.RIGHT)
    other = mirrored(leg, "left leg", ACROSS_X, Hand.LEFT)
    rail = turned_rail(math.radians(8.0))
    second = mirrored(rail, "left rail", ACROSS_X)
    made = complete(piece(leg, other, rail, second, joints=(tenon("rail, left rail", "right leg, left leg"),)))
    one, two = (only(made, name, FeatureKind.MORTISE) for name in ("right leg", "left leg"))
    assert (one.turn, one.length, one.width) == pytest.approx((two.turn, two.length, two.width), abs=1e-9)
    assert one.centre == pytest.approx(two.centre, abs=1e-6)
    for a, b in zip(one.ends, two.ends):
        assert a == pytest.approx(b, abs=1e-6)


def test_bug_the_mouth_on_a_curved_face_lies_on_the_curve() -> None:
    """The leg's inner face is an arc of 40 in radius, hollow towards the rail; the mortise's middle meets it there."""
    radius, middle = 40.0, (50.0, 8.5)
    left = middle[0] - math.sqrt(radius**2 - 8.5**2)
    path = (
        Line((left * INCH, 0.0), (13.0 * INCH, 0.0)),
        Line((13.0 * INCH, 0.0), (13.0 * INCH, 17.0 * INCH)),
        Line((13.0 * INCH, 17.0 * INCH), (left * INCH, 17.0 * INCH)),
        Arc((left * INCH, 17.0 * INCH), ((middle[0] - radius) * INCH, 8.5 * INCH), (left * INCH, 0.0)),
    )
    frame = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, 1.0, 0.0))
    leg = DraftPart(
        id=PartId("leg"),
        name="leg",
        frame=frame,
        shape=Shape(body=Prism(outline=outline(path), low=0.0, high=2.0 * INCH)),
        grain=(0.0, 1.0, 0.0),
        wood="white oak",
    )
    rail = box("rail", (-10, 11), (0.5, 1.5), (4, 7), grain="x")
    made = complete(piece(leg, rail, joints=(tenon("rail", "leg"),)))
    mortise = only(made, "leg", FeatureKind.MORTISE)
    x, _, z = inches(made.part(PartId("leg")).bench.to_world(mortise.centre))
    assert math.hypot(x - middle[0], z - middle[1]) == pytest.approx(radius, abs=0.01 / INCH)
    steep = (z - middle[1]) / (x - middle[0])
    assert mortise.length == pytest.approx(made.joints[0].mortises[0].length, rel=abs(steep) ** 2 + 2e-3)
    assert math.degrees(abs(mortise.turn)) == pytest.approx(0.0, abs=1e-6)


def held(kind: JointKind, of: str, into: str, **ask: object) -> JointStatement:
    return JointStatement(
        number=1,
        kind=kind,
        of=(PartId(of),),
        into=(PartId(into),),
        ask=JointAsk(**ask),  # type: ignore[arg-type]
        words=(of, into),
    )


def test_bug_a_loose_housing_is_cut_wider_across_the_shelfs_grain() -> None:
    """A shelf 7 1/2 in wide and 5/8 thick, 3/8 deep in a rail, loose by 1/16: 7 9/16 by 5/8, and as much wood less."""
    rail = box("rail", (10, 10.75), (-1, 11), (4, 5.25), grain="y")
    shelf = box("shelf", (-10, 10.375), (1.25, 8.75), (4.25, 4.875), grain="x")
    statement = held(JointKind.HOUSING, "shelf", "rail", loose=INCH / 16)
    made = complete(piece(rail, shelf, joints=(statement,)))
    assert not made.faults
    housing = only(made, "rail", FeatureKind.HOUSING)
    assert (housing.length, housing.width, housing.depth) == pytest.approx(
        (7.5625 * INCH, 0.625 * INCH, 0.375 * INCH), abs=1e-6
    )
    assert housing.turn == pytest.approx(0.0, abs=1e-9)
    assert (housing.ends[0][0], housing.ends[1][0]) == pytest.approx(
        ((1 + 1.25 - 1 / 32) * INCH, (1 + 8.75 + 1 / 32) * INCH), abs=1e-6
    )
    assert (housing.box[0][0], housing.box[1][0]) == pytest.approx((housing.ends[0][0], housing.ends[1][0]), abs=1e-6)
    taken = 7.5625 * 0.625 * 0.375
    assert made.part(PartId("rail")).volume == pytest.approx((12 * 1.25 * 0.75 - taken) * INCH**3, rel=1e-9)


def test_bug_a_halving_is_set_out_on_the_face_it_opens_to() -> None:
    """Rail 2 in wide over a cross-piece 2 in wide, both 1 in thick: notches 2 by 2 in, half an inch deep, above and
    below."""
    rail = box("rail", (-10, 10), (0, 2), (10, 11), grain="x")
    cross = box("cross", (-1, 1), (-8, 8), (10, 11), grain="y")
    made = complete(piece(rail, cross, joints=(held(JointKind.HALVING, "rail", "cross", on_top="rail"),)))
    over, under = only(made, "rail", FeatureKind.LAP), only(made, "cross", FeatureKind.LAP)
    assert (over.face, under.face) == ("back", "face side"), "face sides look up; the rail keeps its upper half"
    for notch in (over, under):
        assert notch.depth == pytest.approx(0.5 * INCH, abs=1e-6)
        assert (notch.length, notch.width) == pytest.approx((2 * INCH, 2 * INCH), abs=1e-6)
    assert (over.box[0][0], over.box[1][0]) == pytest.approx((9 * INCH, 11 * INCH), abs=1e-6)


def test_bug_a_haunchs_groove_is_cut_in_the_face_of_its_mortise() -> None:
    leg = box("leg", (10, 11.75), (0, 1.75), (0, 17), grain="z")
    rail = box("rail", (-10, 11), (0.25, 1.25), (14, 17), grain="x")
    made = complete(piece(leg, rail, joints=(tenon("rail", "leg", thickness=3 / 8 * INCH, haunch="top"),)))
    mortise, groove = only(made, "leg", FeatureKind.MORTISE), only(made, "leg", FeatureKind.HAUNCH)
    assert groove.face == mortise.face
    assert groove.width == pytest.approx(mortise.width, abs=1e-9)
    assert only(made, "rail", FeatureKind.HAUNCH).face == only(made, "rail", FeatureKind.TENON).face
