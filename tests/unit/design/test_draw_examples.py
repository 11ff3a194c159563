"""The example pieces: how many parts their drawings call for, mirrored pairs alike, every size at both its limits."""

# ruff: noqa: E501 - piece files read best with a thing to a line
from __future__ import annotations

import math
from pathlib import Path

import pytest

from batchwright.design.draft import draft_piece, free_sizes
from batchwright.design.drawing.bodies import Body, extent_along
from batchwright.design.text.read import read_tree
from batchwright.design.text.tree import Mapping
from batchwright.geometry.frame import dot
from batchwright.model.draft import DraftPiece, SizeKind, SizeValue
from batchwright.model.shape import PlaneCut

EXAMPLES = Path(__file__).parents[3] / "examples"
FILES = {
    "splayed-stool": EXAMPLES / "splayed-stool" / "splayed-stool.piece.yaml",
    "hall-table": EXAMPLES / "hall-table" / "hall-table.piece.yaml",
    "terrace-armchair": EXAMPLES / "terrace-armchair" / "terrace-armchair.piece.yaml",
    "trestle-table": EXAMPLES / "trestle-table" / "trestle-table.piece.yaml",
    "garden-settee": EXAMPLES / "garden-settee" / "garden-settee.piece.yaml",
}
INCH = 25.4


def tree_of(name: str) -> Mapping:
    tree, faults = read_tree(FILES[name].read_text("utf-8"), FILES[name].name)
    assert tree is not None and not faults
    return tree


def piece_of(name: str, overrides: dict[str, str] | None = None) -> DraftPiece:
    piece, faults = draft_piece(tree_of(name), FILES[name].name, overrides)
    assert piece is not None and not faults, [str(fault) for fault in faults]
    return piece


@pytest.mark.parametrize(
    ("name", "parts", "names"),
    # counted by hand in the files: fours, pairs, fronts and backs, and the copies of the repeats
    [("splayed-stool", 4 + 2 + 2 + 2 + 1 + 1, 6), ("hall-table", 4 + 2 + 2 + 2 + 1 + 1, 6),
     ("terrace-armchair", 2 + 2 + 1 + 2 + 1 + 1 + 1 + 7 + 2 + 7 + 2 + 1, 12),
     ("trestle-table", 2 + 2 + 2 + 1 + 4 + 2 + 2 + 4, 8),
     ("garden-settee", 2 + 2 + 1 + 2 + 1 + 1 + 1 + 1 + 13 + 2 + 6, 11)],
)  # fmt: skip
def test_examples_draw_all_their_parts(name: str, parts: int, names: int) -> None:
    piece = piece_of(name)
    assert len(piece.parts) == parts
    assert len({part.name for part in piece.parts}) == names
    assert len({part.id for part in piece.parts}) == parts


def words(size: SizeValue, value: float) -> str:
    if size.kind is SizeKind.LENGTH:
        return f"{value:.9f} mm"
    return f"{math.degrees(value):.9f} deg" if size.kind is SizeKind.ANGLE else f"{value:g}"


@pytest.mark.parametrize("name", FILES)
def test_every_size_may_stand_at_both_its_limits(name: str) -> None:
    tree = tree_of(name)
    piece, _ = draft_piece(tree, name)
    assert piece is not None
    assert len(free_sizes(piece)) >= 4
    for size in free_sizes(piece):
        for value in (size.low, size.high):
            assert value is not None
            moved, faults = draft_piece(tree, name, {size.name: words(size, value)})
            assert moved is not None and not faults, (size.name, value, [str(fault) for fault in faults])
            assert {part.name for part in moved.parts} == {part.name for part in piece.parts}


@pytest.mark.parametrize("name", FILES)
def test_mirror_images_have_one_shape_and_the_other_hand(name: str) -> None:
    piece = piece_of(name)
    named = {part.id: part for part in piece.parts}
    pairs = [(part, named[part.id.replace("left", "right")]) for part in piece.parts if part.id.startswith("left")]  # type: ignore[index]
    assert pairs
    for left, right in pairs:
        assert left.shape == right.shape and left.grain == right.grain
        assert left.frame.mirrored != right.frame.mirrored
        assert extent_along(Body(frame=left.frame, shape=left.shape), (1.0, 0.0, 0.0))[1] == pytest.approx(
            -extent_along(Body(frame=right.frame, shape=right.shape), (1.0, 0.0, 0.0))[0]
        )


def test_stool_legs_reach_from_the_floor_to_the_underside() -> None:
    """Splay 6, rake 4 degrees, 16 1/4 in under the top: the axis is 16 1/4 sqrt(1 + tan^2 6 + tan^2 4) long."""
    piece = piece_of("splayed-stool")
    leg = next(part for part in piece.parts if part.id == "right front leg")
    planes = [leg.frame.plane_to_world(cut.plane) for cut in leg.shape.cuts if isinstance(cut, PlaneCut)]
    assert sorted(plane.point[2] for plane in planes) == pytest.approx([0.0, 16.25 * INCH])
    s, r = math.tan(math.radians(6)), math.tan(math.radians(4))
    assert math.dist(planes[0].point, planes[1].point) == pytest.approx(16.25 * INCH * math.sqrt(1 + s * s + r * r))
    assert dot(leg.frame.x, (0.0, 0.0, -1.0)) == pytest.approx(1 / math.sqrt(1 + s * s + r * r))


def test_armchair_slats_have_even_gaps() -> None:
    """Seven slats of 2 in between posts 23 - 3 1/2 = 19 1/2 in apart: gaps of (19 1/2 - 14)/8 in."""
    piece = piece_of("terrace-armchair")
    found = sorted(
        extent_along(Body(frame=part.frame, shape=part.shape), (1.0, 0.0, 0.0))
        for part in piece.parts
        if part.name == "back slat"
    )
    gaps = [(b[0] - a[1]) / INCH for a, b in zip(found, found[1:], strict=False)]
    assert gaps == pytest.approx([5.5 / 8] * 6)


def test_armchair_rail_between_the_legs_is_longer_than_it_looks_from_the_side() -> None:
    """Middles from (11 7/8, 1) to (10 5/8, 19) in plan: sqrt(18^2 + 1 1/4^2) in along the rail line."""
    piece = piece_of("terrace-armchair")
    rail = next(part for part in piece.parts if part.id == "left side rail")
    direction = rail.frame.x
    assert direction[0] / direction[1] == pytest.approx(-1.25 / 18)
    assert rail.frame.origin[0] == pytest.approx(11.875 * INCH)


def test_armchair_back_legs_stand_on_the_floor_and_reach_the_total_height() -> None:
    piece = piece_of("terrace-armchair")
    leg = next(part for part in piece.parts if part.id == "left back leg")
    low, high = extent_along(Body(frame=leg.frame, shape=leg.shape), (0.0, 0.0, 1.0))
    assert low == pytest.approx(0.0, abs=1e-9)
    # the batten ends at 37 in on a line that leans 14 degrees; its end, 1 1/2 in wide, is square to it
    assert high == pytest.approx((37 + 0.75 * math.sin(math.radians(14))) * INCH, abs=0.5)


def test_inches_and_millimetres_give_the_same_piece() -> None:
    inch = "piece: a\nunits: in\nwood: white oak\nhands: as seated\nparts: {leg: {stick: [[8, 2, 16], [9, 1, 0]], section: [2, 1]}}\n"
    milli = inch.replace("units: in", "units: mm").replace(
        "[[8, 2, 16], [9, 1, 0]], section: [2, 1]", "[[203.2, 50.8, 406.4], [228.6, 25.4, 0]], section: [50.8, 25.4]"
    )
    shapes = []
    for text in (inch, milli):
        tree, _ = read_tree(text, "a")
        assert tree is not None
        piece, faults = draft_piece(tree, "a")
        assert piece is not None and not faults
        shapes.append(piece.parts[0])
    assert shapes[0].frame.origin == pytest.approx(shapes[1].frame.origin)
    first, second = (part.shape.body.stations for part in shapes)  # type: ignore[union-attr]
    for a, b in zip(first, second, strict=True):
        assert (a.at, *a.v, *a.w) == pytest.approx((b.at, *b.v, *b.w))
