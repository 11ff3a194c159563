"""The sheets of the three examples: whole, readable, each joint and part told, one sheet alone as in the packet."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pdfplumber
import pytest

from batchwright.base.length import Unit, print_length
from batchwright.model.draft import Hand
from batchwright.model.piece import Feature, FeatureKind, Kind
from batchwright.sheets.render.pdf import render_packet, render_sheet
from batchwright.sheets.scene.overlap import overlaps
from batchwright.sheets.scene.plain import draw_out
from batchwright.sheets.scene.primitives import Curve, Text
from batchwright.sheets.scene.sheet import (
    Block,
    Caution,
    FullSize,
    KeyNumber,
    KeyNumbers,
    Orientation,
    Packet,
    Paragraph,
    Table,
)
from batchwright.sheets.scene.strokes import Stroke
from batchwright.sheets.views.packet import Contents, make_packet, roll_packet
from batchwright.sheets.views.rods import DIRECTIONS, rod_scene
from example_packets import JOBS, MADE, blocks_in, contents, packet, scenes_in, sheet

NAMES = tuple(JOBS)
POINT = 25.4 / 72.0


@pytest.mark.parametrize(("name", "unit"), [*((name, "in") for name in NAMES), ("terrace-armchair", "mm")])
def test_no_text_lies_on_another_or_on_the_wood(name: str, unit: str) -> None:
    found = [
        (one.key, scene.name, conflict.text, conflict.other)
        for one in packet(name, unit).sheets
        for scene in scenes_in(one)
        for conflict in overlaps(scene)
    ]
    assert found == []


@pytest.mark.parametrize("name", NAMES)
def test_no_text_of_a_rod_lies_on_another_or_on_a_lane(name: str) -> None:
    made, printing = contents(name).made, contents(name).printing
    for direction in DIRECTIONS:
        assert overlaps(rod_scene(made.piece, made.bare_bounds, direction, printing)) == ()


@pytest.mark.parametrize("name", NAMES)
def test_every_kind_has_a_sheet_with_its_sizes(name: str) -> None:
    held = contents(name)
    for kind in held.made.piece.kinds:
        part = held.made.piece.part(kind.parts[0])
        one = sheet(name, f"part-{kind.id}")
        values = {number.value for number in _numbers(one.blocks)}
        unit = held.printing.unit
        sizes = (part.length, part.width, part.thickness)
        assert {print_length(size, unit, mark=True) for size in sizes} <= values
        assert one.title.startswith(f"{held.printing.number_of(kind.id)}  ")


def _numbers(blocks: tuple[Block, ...]) -> list[KeyNumber]:
    return [number for block in blocks_in(blocks) if isinstance(block, KeyNumbers) for number in block.numbers]


@pytest.mark.parametrize("name", NAMES)
def test_every_joint_is_told_on_one_joint_sheet(name: str) -> None:
    piece = contents(name).made.piece
    words = {one.key: " ".join(_words(one.blocks)) for one in packet(name).sheets if one.key.startswith("joint-")}
    for joint in piece.joints:
        assert sum(joint.id in text for text in words.values()) == 1, joint.id


def _words(blocks: tuple[Block, ...]) -> list[str]:
    out: list[str] = []
    for block in blocks_in(blocks):
        if isinstance(block, Paragraph | Caution):
            out.append(block.text)
        elif isinstance(block, Table):
            out += [cell for row in block.rows for cell in row]
    return out


@pytest.mark.parametrize("name", NAMES)
def test_no_sheet_shows_an_id_twice_in_one_row(name: str) -> None:
    ids = [str(joint.id) for joint in contents(name).made.piece.joints]
    for one in packet(name).sheets:
        for block in blocks_in(one.blocks):
            if isinstance(block, Table):
                for row in block.rows:
                    text = " | ".join(row)
                    assert all(text.count(joint) < 2 for joint in ids)


@pytest.mark.parametrize("name", NAMES)
def test_sheets_with_machine_work_carry_a_caution(name: str) -> None:
    held = contents(name)
    worked = {f"part-{kind.id}" for kind in held.made.piece.kinds if _is_worked(held, kind)}
    for one in packet(name).sheets:
        if one.key in worked or one.key.startswith(("joint-", "machine-", "board-")):
            assert any(isinstance(block, Caution) for block in blocks_in(one.blocks)), one.key
        if one.key.startswith("outline-"):
            (block,) = [block for block in one.blocks if isinstance(block, FullSize)]
            texts = " ".join(item.text for item in draw_out(block.scene) if isinstance(item, Text))
            assert "as the machine's manual says" in texts


def _is_worked(held: Contents, kind: Kind) -> bool:
    part = held.made.piece.part(kind.parts[0])
    return bool(part.features) or part.curved


def test_the_full_size_outlines_of_a_pair_are_mirror_images() -> None:
    """The armchair's arms: the pattern of one is that of the other, turned about the upright axis."""
    shapes = []
    for hand in ("left", "right"):
        (scene,) = scenes_in(sheet("terrace-armchair", f"outline-arm, {hand}, face side"))
        (curve,) = [item for item in scene.items if isinstance(item, Curve) and item.stroke is Stroke.PATTERN]
        shapes.append([(segment.start, segment.end) for segment in curve.path])
        texts = " ".join(item.text for item in draw_out(scene) if isinstance(item, Text))
        assert f"{hand.upper()} HAND" in texts
    points = [sorted({(round(x, 3), round(y, 3)) for pair in shape for x, y in pair}) for shape in shapes]
    mirrored = sorted((round(-x + 0.0, 3), y) for x, y in points[1])
    assert len(points[0]) == len(mirrored)
    for (x, y), (u, v) in zip(points[0], mirrored, strict=True):
        assert (x, y) == pytest.approx((u, v), abs=0.02)


def test_parts_sawn_twice_have_both_outlines() -> None:
    keys = {one.key for one in packet("terrace-armchair").sheets}
    assert {"outline-crest rail, face side", "outline-crest rail, face edge"} <= keys


def test_each_machine_has_a_sheet_of_its_own() -> None:
    held = contents("terrace-armchair")
    machines = [one for one in packet("terrace-armchair").sheets if one.key.startswith("machine-")]
    assert len(machines) == len(held.cutting.machines)
    for one in machines:
        told = [row for block in blocks_in(one.blocks) if isinstance(block, Table) for row in block.rows]
        assert len(told) == len(held.cutting.rows)


def _fingerprint(page: pdfplumber.page.Page) -> list[tuple[object, ...]]:
    """Every letter and line of a page with its place, to a hundredth of a point."""
    out: list[tuple[object, ...]] = []
    for char in page.chars:
        out.append((char["text"], round(char["x0"], 2), round(char["top"], 2), round(char["size"], 2)))
    for kind in ("lines", "rects", "curves"):
        for item in getattr(page, kind):
            out.append((kind, *(round(item[key], 2) for key in ("x0", "x1", "top", "bottom"))))
    return sorted(out, key=str)


def test_one_sheet_alone_is_its_page_in_the_packet() -> None:
    whole = packet("splayed-stool")
    kept = ("cover", "view-side", "cutting-list", "part-end rail", "rods")
    few = replace(whole, sheets=tuple(one for one in whole.sheets if one.key in kept))
    pages = list(pdfplumber.open(io.BytesIO(render_packet(few, MADE).pdf)).pages)
    at = 0
    for one in few.sheets:
        for alone in pdfplumber.open(io.BytesIO(render_sheet(one, MADE).pdf)).pages:
            assert _fingerprint(alone) == _fingerprint(pages[at]), one.key
            at += 1
    assert at == len(pages)


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_printed_off_the_page(name: str) -> None:
    """Every letter of a sheet of each kind lies on its page."""
    whole = packet(name)
    kept = (
        "cover",
        "view",
        "cutting",
        "buying",
        "findings",
        "fixings",
        "rods",
        "joint-c",
        "part-b",
        "part-l",
        "part-c",
    )
    flat = replace(whole, sheets=tuple(one for one in whole.sheets if one.key.startswith(kept)))
    for page in pdfplumber.open(io.BytesIO(render_packet(flat, MADE).pdf)).pages:
        for char in page.chars:
            assert char["x0"] >= 0.0 and char["x1"] <= page.width + 0.01, char["text"]
            assert char["top"] >= 0.0 and char["bottom"] <= page.height + 0.01, char["text"]


def _renamed(held: Contents, name: str) -> Contents:
    """The same piece with a name of the maker's own for every part, kind and the piece."""
    piece = held.made.piece
    parts = tuple(replace(part, draft=replace(part.draft, name=f"{name} {part.draft.name}")) for part in piece.parts)
    kinds = tuple(replace(kind, name=f"{name} {kind.name}", label=f"{name} {kind.label}") for kind in piece.kinds)
    draft = replace(piece.draft, name=name)
    made = replace(held.made, piece=replace(piece, draft=draft, parts=parts, kinds=kinds))
    rows = tuple(replace(row, label=f"{name} {row.label}") for row in held.cutting.rows)
    return replace(held, made=made, cutting=replace(held.cutting, rows=rows))


@pytest.mark.parametrize("name", ["Hökör Стул", "the very long name of a part that nobody would say aloud in a shop"])
def test_names_of_any_letters_and_length_stay_on_the_page(name: str) -> None:
    renamed = make_packet(_renamed(contents("splayed-stool"), name))
    for one in renamed.sheets:
        for scene in scenes_in(one):
            assert overlaps(scene) == (), (one.key, scene.name)
    kept = ("cover", "cutting", "machine-pl", "part-l", "joint-l", "fixings", "rods")
    flat = replace(renamed, sheets=tuple(one for one in renamed.sheets if one.key.startswith(kept)))
    for page in pdfplumber.open(io.BytesIO(render_packet(flat, MADE).pdf)).pages:
        assert all(char["x0"] >= 0.0 and char["x1"] <= page.width + 0.01 for char in page.chars)


def test_metric_sheets_have_no_fractions() -> None:
    pages = pdfplumber.open(io.BytesIO(render_packet(_flat("hall-table", "mm"), MADE).pdf)).pages
    text = "\n".join(page.extract_text() for page in pages)
    assert "millimetres" in text
    assert not re.search(r"\d \d+/(16|32|64)\b", text)


def _flat(name: str, unit: str) -> Packet:
    whole = packet(name, unit)
    return replace(whole, sheets=tuple(one for one in whole.sheets if one.key.startswith(("cover", "view", "part-l"))))


@pytest.mark.parametrize("name", NAMES)
def test_long_curved_parts_lie_across(name: str) -> None:
    piece = contents(name).made.piece
    for kind in piece.kinds:
        part = piece.part(kind.parts[0])
        one = sheet(name, f"part-{kind.id}")
        assert (one.orientation is Orientation.ACROSS) == (part.curved and part.length > 3 * 146.0)


def test_the_roll_holds_every_outline_and_rod() -> None:
    rolls = roll_packet(contents("hall-table"))
    assert rolls is not None
    keys = [one.key for one in rolls.sheets]
    assert sum("rod" in key for key in keys) == 3
    assert any("long rail" in key for key in keys)


def test_handed_parts_say_their_hand() -> None:
    piece = contents("terrace-armchair").made.piece
    for kind in piece.kinds:
        words = " ".join(_words(sheet("terrace-armchair", f"part-{kind.id}").blocks))
        assert (f"{kind.hand.value.upper()} HAND" in words) == (kind.hand is not Hand.NONE)


def test_every_mortise_of_a_part_stands_in_its_table() -> None:
    held = contents("terrace-armchair")
    part = held.made.piece.part(next(kind for kind in held.made.piece.kinds if kind.name == "back leg").parts[0])
    words = " ".join(_words(sheet("terrace-armchair", f"part-{part.kind}").blocks))
    for feature in part.features:
        if feature.kind is FeatureKind.MORTISE:
            assert print_length(feature.depth, Unit.INCHES) in words
            assert feature.tool is not None
            assert print_length(feature.tool.frame.origin[0] - _half(feature), Unit.INCHES) in words


def _half(feature: Feature) -> float:
    """How far the end of a mortise's centre line lies before its middle, along the part [mm]."""
    tool = feature.tool
    assert tool is not None
    return max(abs(tool.frame.x[0]) * tool.width, abs(tool.frame.y[0]) * tool.thickness) / 2.0
