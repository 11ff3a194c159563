"""Small drawn pieces for joinery's tests: boxes and sticks in inches, written where the reader can see them."""

from __future__ import annotations

from dataclasses import replace

from batchwright.geometry.frame import Frame, Plane, Vec3, cross, minus, norm, plus, unit
from batchwright.geometry.outline import polygon_outline
from batchwright.model.draft import (
    DraftPart,
    DraftPiece,
    Hand,
    Hands,
    JointAsk,
    JointKind,
    JointStatement,
    Meeting,
    PartId,
)
from batchwright.model.piece import Piece
from batchwright.model.shape import Prism, Shape, Station, Stick
from batchwright.model.shop import Shop

INCH = 25.4
Range = tuple[float, float]


def box(full: str, /, *ranges: Range, grain: str, **more: object) -> DraftPart:
    """A box in inches: ranges of x, y, z; grain along an axis of the piece."""
    (x0, x1), (y0, y1), (z0, z1) = ((a * INCH, b * INCH) for a, b in ranges)
    outline = polygon_outline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    way = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}[grain]
    return DraftPart(
        id=PartId(full),
        name=str(more.pop("name", full)),
        frame=Frame(),
        shape=Shape(body=Prism(outline=outline, low=z0, high=z1)),
        grain=way,
        wood="white oak",
        **more,  # type: ignore[arg-type]
    )


def stick(full: str, /, ends: tuple[Vec3, Vec3], section: tuple[float, float], **more: object) -> DraftPart:
    """A stick in inches from its first end; the first number of its section lies across x, square to the stick."""
    first, last = (tuple(value * INCH for value in end) for end in ends)
    u = unit(minus(last, first))  # type: ignore[arg-type]
    v = unit(plus((1.0, 0.0, 0.0), u, -u[0]))
    a, b = (value * INCH / 2.0 for value in section)
    length = norm(minus(last, first))  # type: ignore[arg-type]
    stations = tuple(Station(at=at, v=(-a, a), w=(-b, b)) for at in (0.0, length))
    return DraftPart(
        id=PartId(full),
        name=str(more.pop("name", full)),
        frame=Frame(first, u, v, cross(u, v)),  # type: ignore[arg-type]
        shape=Shape(body=Stick(stations=stations), cuts=more.pop("cuts", ())),  # type: ignore[arg-type]
        grain=(1.0, 0.0, 0.0),
        wood="white oak",
        **more,  # type: ignore[arg-type]
    )


def mirrored(part: DraftPart, name: str, plane: Plane, hand: Hand = Hand.NONE) -> DraftPart:
    """The mirror image of a drawn part, under another full name."""
    return replace(part, id=PartId(name), frame=part.frame.mirror_image(plane), drawn=False, hand=hand)


ACROSS_X = Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))


def tenon(of: str, into: str, **ask: object) -> JointStatement:
    """A tenon statement; names with commas between."""
    return JointStatement(
        number=1,
        kind=JointKind.TENON,
        of=tuple(PartId(name.strip()) for name in of.split(",")),
        into=tuple(PartId(name.strip()) for name in into.split(",")),
        ask=JointAsk(**ask),  # type: ignore[arg-type]
        words=(of, into),
    )


def piece(*parts: DraftPart, joints: tuple[JointStatement, ...], meetings: tuple[Meeting, ...] = ()) -> DraftPiece:
    """A drawn piece of white oak in inches, left and right from the front."""
    return DraftPiece(
        name="test piece",
        file="test.piece.yaml",
        units="in",
        hands=Hands.FROM_THE_FRONT,
        wood="white oak",
        parts=parts,
        joints=tuple(replace(joint, number=i) for i, joint in enumerate(joints, start=1)),
        meetings=meetings,
        middle=6.0 * INCH,
    )


def complete(draft: DraftPiece, shop: Shop | None = None) -> Piece:
    """The jointed piece, with the packaged shop unless another is given."""
    from batchwright.joinery.complete import complete_piece

    return complete_piece(draft, shop or Shop())


def frame_corner() -> DraftPiece:
    """A rail 1 in thick and 3 in wide, drawn into the middle of a leg 1 3/4 in square, set back 1/4 in."""
    leg = box("leg", (10, 11.75), (0, 1.75), (0, 17), grain="z")
    rail = box("rail", (-10, 11), (0.25, 1.25), (12, 15), grain="x")
    return piece(leg, rail, joints=(tenon("rail", "leg", thickness=3 / 8 * INCH),))
