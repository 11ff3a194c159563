"""What a part's sheet tells to be marked and cut: closed forms of trigonometry, and the sizes the examples give."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import pdfplumber
import pytest

from batchwright.base.length import INCH
from batchwright.geometry.frame import Frame, cross
from batchwright.model.piece import Feature, FeatureKind, JointId, Part
from batchwright.model.shape import Section, Tool
from batchwright.sheets.render.pdf import render_sheet
from batchwright.sheets.scene.metrics import text_box
from batchwright.sheets.scene.plain import draw_out
from batchwright.sheets.scene.primitives import Curve, Group, Polygon, Running, Text
from batchwright.sheets.scene.sheet import Block, Column, FullSize, Orientation, Paragraph, Table
from batchwright.sheets.scene.strokes import Stroke
from batchwright.sheets.scene.tiling import lay_tiles, without_bars
from batchwright.sheets.views.bevels import between, bevels
from batchwright.sheets.views.landing import landings
from batchwright.sheets.views.mouths import Mouth, mouth_of
from batchwright.sheets.views.naming import numbered_from
from batchwright.sheets.views.outlines import WORDS
from batchwright.sheets.views.treatments import edge_notes, face_bevels, steps, tapered_faces
from example_packets import JOBS, MADE, blocks_in, contents, packet, scenes_in, sheet

NAMES = tuple(JOBS)


def part_named(example: str, name: str) -> Part:
    return next(part for part in contents(example).made.piece.parts if part.draft.name == name)


def mortise(tilt: float, turn: float, sunk: float, section: Section = Section.SQUARE) -> tuple[Feature, Part]:
    """A mortise 60 x 10, 30 deep, in the far edge of a part 100 wide: leaning `tilt` to the far end as it goes in,
    turned by `turn`, its mouth `sunk` under the edge."""
    z = (math.sin(tilt), -math.cos(tilt), 0.0)
    flat = (math.cos(tilt), math.sin(tilt), 0.0)
    x = (flat[0] * math.cos(turn), flat[1] * math.cos(turn), math.sin(turn))
    frame = Frame((300.0, 100.0 - sunk, 20.0), x, cross(z, x), z)
    long, wide = (60.0, 10.0) if section is Section.SQUARE else (6.0, 6.0)
    tool = Tool(frame=frame, width=long, thickness=wide, start=0.0, end=30.0, section=section)
    part = replace(part_named("hall-table", "shelf"), width=100.0, thickness=40.0, length=600.0)
    feature = Feature(
        kind=FeatureKind.MORTISE if section is Section.SQUARE else FeatureKind.PEG_HOLE,
        joint=JointId("a joint"),
        face="far edge",
        box=((270.0, 100.0, 15.0), (330.0, 100.0, 25.0)),
        frame=frame,
        depth=30.0,
        tool=tool,
    )
    return feature, part


def made_mouth(tilt: float, turn: float, sunk: float, section: Section = Section.SQUARE) -> Mouth:
    found = mouth_of(*mortise(tilt, turn, sunk, section))
    assert found is not None
    return found


@pytest.mark.parametrize("tilt", [0.0, 0.1, 0.28])
@pytest.mark.parametrize("sunk", [0.0, 8.0, 40.0])
def test_bug_depth_is_told_from_the_blank_as_well(tilt: float, sunk: float) -> None:
    """A mouth s under the blank's edge, leaning by t: s / cos t deeper, and its mark s tan t nearer the datum."""
    found = made_mouth(tilt, 0.0, sunk)
    assert found.below == 30.0
    assert found.depth == pytest.approx(30.0 + sunk / math.cos(tilt))
    assert found.blank.middle[0] == pytest.approx(300.0 - sunk * math.tan(tilt))
    assert found.blank.high[0] - found.blank.low[0] == pytest.approx(60.0 / math.cos(tilt))
    assert found.sunk == (sunk > 0.0)


@pytest.mark.parametrize("degrees", [-11.25, 6.0, 30.0])
def test_bug_a_turned_mortise_keeps_its_width(degrees: float) -> None:
    turn = math.radians(degrees)
    found = made_mouth(0.0, turn, 0.0)
    assert found.turned and found.along
    assert (found.length, found.width) == (60.0, 10.0)
    assert abs(found.turn) == pytest.approx(abs(turn))
    (x0, _, z0), (x1, _, z1) = found.told.ends
    assert (x0, x1) == pytest.approx((300.0 - 30.0 * math.cos(turn), 300.0 + 30.0 * math.cos(turn)))
    assert (z0, z1) == pytest.approx((20.0 - 30.0 * math.sin(turn), 20.0 + 30.0 * math.sin(turn)))


def test_bug_a_hole_is_told_by_its_centre() -> None:
    found = made_mouth(0.0, 0.0, 0.0, Section.ROUND)
    assert found.bored and not found.turned
    assert found.told.middle == pytest.approx((300.0, 100.0, 20.0)) and found.width == 6.0


def _tables(blocks: tuple[Block, ...]) -> list[Table]:
    return [block for block in blocks_in(blocks) if isinstance(block, Table)]


def _text(example: str, key: str) -> str:
    blocks = sheet(example, key).blocks
    said = [block.text for block in blocks_in(blocks) if isinstance(block, Paragraph)]
    return " ".join([*said, *(cell for table in _tables(blocks) for row in table.rows for cell in row)])


def test_bug_a_turned_mortise_never_reads_square() -> None:
    """The armchair's crest mortises lie at 11.3 degrees in the back leg: atan of 1 in 5, as its back is drawn."""
    part = part_named("terrace-armchair", "back leg")
    found = [mouth_of(feature, part) for feature in part.features]
    turned = [mouth for mouth in found if mouth is not None and mouth.turned]
    assert turned
    text = _text("terrace-armchair", f"part-{part.kind}")
    assert "both ends of the centre line" in text and "11.3° to the face edge" in text
    assert "In the blank: on the blank dressed to" in text


def test_bug_edges_stand_on_the_sheet_and_in_the_steps() -> None:
    held = contents("terrace-armchair")
    part = part_named("terrace-armchair", "front leg")
    (note,) = edge_notes(part, held.printing)
    assert note == "All long edges rounded 1/8 in radius, after the joints; not past the shoulders."
    done = steps(part, held.made, False, held.printing)
    assert done.index("joints cut") < done.index("edges: round 1/8") < done.index("checked")
    (lower,) = edge_notes(part_named("hall-table", "top"), contents("hall-table").printing)
    assert lower.startswith("Edges of the face opposite the face side chamfered 3/8")


def test_bug_tapers_name_their_faces_and_come_after_the_joints() -> None:
    """The hall table's legs go from 1 5/8 to 7/8 on the two inner faces; the stool's on all four, half on each."""
    for example, count, each in (("hall-table", 2, 0.75 * INCH), ("splayed-stool", 4, 0.25 * INCH)):
        part, held = part_named(example, "leg"), contents(example)
        found = tapered_faces(part)
        assert len(found) == count
        assert [by for _, by in found] == pytest.approx([each] * count, abs=0.3)
        done = steps(part, held.made, False, held.printing)
        assert done.index("joints cut") < done.index("tapered")
        assert "Cut the joints before tapering" in _text(example, f"part-{part.kind}")


@pytest.mark.parametrize(("name", "size"), [("long rail", "rake"), ("end rail", "splay")])
def test_bug_rails_cut_level_are_bevelled_by_their_lean(name: str, size: str) -> None:
    """A rail that leans by an angle, cut level, has its edge off square by that angle."""
    held = contents("splayed-stool")
    lean = {one.name: one.value for one in held.made.piece.draft.sizes}[size]
    found = [one for one in face_bevels(part_named("splayed-stool", name), held.made) if one.face == "face edge"]
    assert [one.lean for one in found] == pytest.approx([lean], abs=math.radians(0.05))


def test_bug_between_leaning_shoulders_is_told_on_both_arrises() -> None:
    """Both shoulders lean by a, so the far arris is 2 w tan a longer: w the width square to the face edge."""
    piece = contents("splayed-stool").made.piece
    part = part_named("splayed-stool", "long rail")
    leans = bevels(part, piece)
    inner = between(leans)
    assert inner is not None
    lean = max(abs(one.side_lean) for one in leans if one.shoulder)
    wide = abs(leans[0].points[1][1] - leans[0].points[0][1])
    assert inner[1] - inner[0] == pytest.approx(2.0 * wide * math.tan(lean), abs=0.05)


@pytest.mark.parametrize("example", NAMES)
def test_bug_no_joint_is_cut_in_a_bare_back(example: str) -> None:
    for kind in contents(example).made.piece.kinds:
        for table in _tables(sheet(example, f"part-{kind.id}").blocks):
            if _titles(table.columns)[:3] == ["", "What", "Cut in"]:
                assert all(row[2] != "back" for row in table.rows)


def _titles(columns: tuple[Column, ...]) -> list[str]:
    return [column.title for column in columns]


@pytest.mark.parametrize("example", NAMES)
def test_bug_no_running_dimension_prints_a_number_twice(example: str) -> None:
    for kind in contents(example).made.piece.kinds:
        for scene in scenes_in(sheet(example, f"part-{kind.id}")):
            for item in scene.items:
                if isinstance(item, Running):
                    labels = [station.label for station in item.stations]
                    assert len(labels) == len(set(labels)), (kind.id, labels)


def test_repeats_say_where_their_numbers_begin() -> None:
    """Slat 1 of the armchair's back stands at x below 0: at the sitter's right, by the conventions."""
    piece = contents("terrace-armchair").made.piece
    part = part_named("terrace-armchair", "back slat")
    assert numbered_from(part, piece, True) == "right" and numbered_from(part, piece, False) == "left"
    assert numbered_from(part_named("terrace-armchair", "crest rail"), piece, True) == ""


def test_seat_slats_are_told_on_the_rail_they_are_screwed_to() -> None:
    piece = contents("terrace-armchair").made.piece
    part = part_named("terrace-armchair", "side rail")
    found = landings(part, piece)
    assert len(found) == sum(fixing.into == part.id for fixing in piece.fixings if fixing.points)
    for one in found:
        out = part.bench.turn((0.0, -1.0 if one.face == "face edge" else 1.0, 0.0))
        assert one.face.endswith("edge") and out[2] > 0.7  # the edge that looks up
        assert 0.0 <= one.at[2] <= part.thickness
        assert 0.0 < one.at[0] < part.length


@pytest.mark.parametrize("example", NAMES)
def test_bug_patterns_lie_inside_their_blank(example: str) -> None:
    for one in packet(example).sheets:
        if not one.key.startswith("outline-"):
            continue
        (scene,) = scenes_in(one)
        blank = next(item for item in scene.items if isinstance(item, Polygon) and item.stroke is Stroke.BLANK)
        xs, ys = zip(*blank.rings[0], strict=True)
        (curve,) = [item for item in scene.items if isinstance(item, Curve) and item.stroke is Stroke.PATTERN]
        for segment in curve.path:
            assert min(xs) - 0.01 <= segment.start[0] <= max(xs) + 0.01, one.key
            assert min(ys) - 0.5 <= segment.start[1] <= max(ys) + 0.5, one.key


@pytest.mark.parametrize("example", NAMES)
def test_bug_words_of_a_pattern_lie_whole_on_a_tile(example: str) -> None:
    for one in packet(example).sheets:
        if not one.key.startswith("outline-"):
            continue
        (block,) = [block for block in one.blocks if isinstance(block, FullSize)]
        upright = one.orientation is Orientation.UPRIGHT
        page = (one.paper.width, one.paper.height) if upright else (one.paper.height, one.paper.width)
        windows = [tile.window for tile in lay_tiles(without_bars(block.scene), page).printed]
        for group in (item for item in block.scene.items if isinstance(item, Group) and item.name == WORDS):
            drawn = [item for item in draw_out(replace(block.scene, items=(group,))) if isinstance(item, Text)]
            xs = [corner[0] for item in drawn for corner in text_box(item, 1.0)]
            assert any(window[0] <= min(xs) and max(xs) <= window[2] for window in windows), one.key


@pytest.mark.parametrize(
    ("example", "key"),
    [("splayed-stool", "part-cross stretcher"), ("hall-table", "part-shelf"), ("terrace-armchair", "part-front rail")],
)
def test_a_plain_straight_part_is_one_page(example: str, key: str) -> None:
    assert len(pdfplumber.open(io.BytesIO(render_sheet(sheet(example, key), MADE).pdf)).pages) == 1


@pytest.mark.parametrize("name", NAMES)
def test_bug_no_point_enters_at_a_bare_back(name: str) -> None:
    """`back` is a side of the piece: beside a back leg or a back rail the bare word is read as that."""
    faces = {
        row[index]
        for one in packet(name).sheets
        for block in blocks_in(one.blocks)
        if isinstance(block, Table)
        for index, column in enumerate(block.columns)
        if column.title == "Enters at"
        for row in block.rows
    }
    assert faces
    assert "back" not in faces
