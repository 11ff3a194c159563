"""Laws of whole pieces, on the examples: sound at every size, the same in any order and either unit; and the checks of
soundness see what is spoiled. The full sweep is `python3 run.py test bench sweep`."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from batchwright.design.draft import draft_piece
from batchwright.design.shop import packaged_shop
from batchwright.design.text.read import read_bytes
from batchwright.design.text.tree import Mapping as Table
from batchwright.design.text.tree import Node, Sequence
from batchwright.geometry.frame import plus
from batchwright.joinery.complete import complete_piece
from batchwright.model.draft import PartId
from batchwright.model.piece import Part, Piece
from batchwright.model.shape import Recipe, Tool
from piece_files import example_files, free_values, in_millimetres, jointed, one_at_a_time, together
from piece_soundness import breaches, untold

FILES = [pytest.param(path, id=path.parent.name) for path in example_files()]
STOOL = next(path for path in example_files() if "stool" in path.name)


@cache
def drawn(path: Path) -> Piece:
    """An example as it is drawn."""
    made = jointed(path.read_bytes(), path.name)
    assert made.piece is not None and not made.faults
    return made.piece


def fibres(path: Path, limits: tuple[int, ...], seeds: tuple[int, ...]) -> list[dict[str, str]]:
    """Some of the sets of sizes that the full sweep tries."""
    free = free_values(path.read_bytes(), path.name)
    alone = list(one_at_a_time(free))
    return [*(alone[i % len(alone)] for i in limits), *(together(free, seed) for seed in seeds)]


@pytest.mark.parametrize("path", FILES)
def test_an_example_is_sound_as_drawn(path: Path) -> None:
    assert [str(breach) for breach in untold(drawn(path))] == []


@pytest.mark.parametrize("path", FILES)
def test_sizes_moved_between_their_limits_give_a_sound_piece_or_a_clear_word(path: Path) -> None:
    joints = {joint.id for joint in drawn(path).joints}
    for sizes in fibres(path, limits=(1, 6), seeds=(3, 11)):
        made = jointed(path.read_bytes(), path.name, sizes)
        assert made.piece is not None or made.faults, sizes
        if made.piece is not None:
            assert [str(breach) for breach in untold(made.piece)] == [], sizes
            kept = {joint.id for joint in made.piece.joints}
            assert made.faults or "back slats" in sizes or joints <= kept, sizes


def numbers(made: Piece) -> list[tuple[object, ...]]:
    """All that a maker reads off a piece, without places in the text and numbers of statements."""
    joints = [(j.id, j.tenons, j.mortises, j.sizes, j.shoulder_angles, j.measures, j.meets) for j in made.joints]
    parts = [(p.id, p.kind, p.length, p.width, p.thickness, p.shoulder_length, p.features) for p in made.parts]
    return [*joints, *parts, *((f.id, f.contact, f.points) for f in made.fixings)]


def other_way_round(node: Node, words: tuple[str, ...]) -> Node:
    """A tree whose sections of these names stand in the other order."""
    assert isinstance(node, Table)
    entries = []
    for key, value in node.entries:
        if key.text in words and isinstance(value, Table):
            value = replace(value, entries=value.entries[::-1])
        if key.text in words and isinstance(value, Sequence):
            value = replace(value, items=value.items[::-1])
        entries.append((key, value))
    return replace(node, entries=tuple(entries))


@pytest.mark.parametrize("path", FILES)
def test_order_of_sizes_parts_and_statements_changes_nothing(path: Path) -> None:
    _, tree, _ = read_bytes(path.read_bytes(), path.name)
    assert tree is not None
    turned = other_way_round(tree, ("sizes", "numbers", "places", "parts", "joints"))
    assert turned != tree
    draft, faults = draft_piece(turned, path.name)  # type: ignore[arg-type]
    assert draft is not None and not faults
    assert numbers(complete_piece(draft, packaged_shop())) == numbers(drawn(path))


@pytest.mark.parametrize("path", FILES)
def test_a_file_in_millimetres_gives_the_same_piece(path: Path) -> None:
    text = in_millimetres(path.read_text(encoding="utf-8"))
    made = jointed(text.encode(), path.name)
    assert made.piece is not None and not made.faults
    one, two = drawn(path), made.piece
    assert [part.id for part in one.parts] == [part.id for part in two.parts]
    for part, other in zip(one.parts, two.parts):
        for word in ("length", "width", "thickness", "body_length"):
            assert getattr(part, word) == pytest.approx(getattr(other, word), abs=1e-3), (part.id, word)
        assert part.volume == pytest.approx(other.volume, rel=1e-5)
    for joint, same in zip(one.joints, two.joints, strict=True):
        assert joint.id == same.id
        assert [size.value for _, size in joint.sizes] == pytest.approx([s.value for _, s in same.sizes], abs=1e-3)
    assert {kind.id: kind.parts for kind in one.kinds} == {kind.id: kind.parts for kind in two.kinds}


@pytest.mark.parametrize("path", FILES)
def test_a_part_that_stands_free_under_the_piece_changes_no_other(path: Path) -> None:
    """Within the piece's own box, since what looks outwards is judged from the middle of that box."""
    text = path.read_text(encoding="utf-8")
    block = "parts:\n  free block: {box: {x: [-2, 2], y: [5, 6], z: [0, 3/4]}}\n"
    made = jointed(text.replace("parts:\n", block, 1).encode(), path.name)
    assert made.piece is not None and not made.faults
    rest = [row for row in numbers(made.piece) if row[0] != "free block"]
    assert rest == numbers(drawn(path))
    assert any(finding.code == "not-joined" and "free block" in finding.about for finding in made.piece.findings)


# --- the checks of soundness see what is spoiled


def spoiled(name: str, change: Callable[[Part], Part]) -> Piece:
    """The stool with one part changed, and nothing said of it."""
    made = drawn(STOOL)
    parts = tuple(change(part) if part.id == name else part for part in made.parts)
    assert parts != made.parts
    return replace(made, parts=parts, findings=(), faults=())


def first(tools: tuple[Tool, ...], **changes: float) -> tuple[Tool, ...]:
    return (replace(tools[0], **changes), *tools[1:])  # type: ignore[arg-type]


def recut(part: Part, recipe: Recipe) -> Part:
    return replace(part, recipe=recipe)


def thicker(part: Part) -> Part:
    tool = part.recipe.adds[0]
    return recut(part, replace(part.recipe, adds=first(part.recipe.adds, thickness=tool.thickness + 0.06)))


def longer(part: Part) -> Part:
    tool = part.recipe.adds[0]
    return recut(part, replace(part.recipe, adds=first(part.recipe.adds, end=tool.end + 0.5)))


def shifted(part: Part) -> Part:
    tool = part.recipe.cuts[-1]
    moved = replace(tool.frame, origin=plus(tool.frame.origin, tool.frame.y, 0.03))
    return recut(part, replace(part.recipe, cuts=(*part.recipe.cuts[:-1], replace(tool, frame=moved))))


def shallow(part: Part) -> Part:
    tool = part.recipe.cuts[-1]
    return recut(part, replace(part.recipe, cuts=(*part.recipe.cuts[:-1], replace(tool, end=tool.end - 0.5))))


def uncut(part: Part) -> Part:
    return recut(part, replace(part.recipe, cuts=()))


def untrue(part: Part) -> Part:
    return replace(part, volume=part.volume * 1.01, length=part.length + 1.0)


def sawn_through(part: Part) -> Part:
    tool = part.recipe.cuts[0]
    gap = replace(tool, width=300.0, thickness=4.0, start=-100.0, end=100.0)
    return recut(part, replace(part.recipe, cuts=(gap,)))


@pytest.mark.parametrize(
    ("name", "change", "law"),
    [
        ("left low stretcher", thicker, "a tenon is free at its cheeks by what is stated"),
        ("left low stretcher", thicker, "a tenon has the size stated across its cheeks"),
        ("left low stretcher", longer, "a mortise is deeper by what is stated"),
        ("left low stretcher", longer, "a tenon has the length stated"),
        ("left low stretcher", longer, "the length told is that of the solid"),
        ("left front leg", shifted, "a tenon is free at its cheeks by what is stated"),
        ("left front leg", shallow, "a mortise is deeper by what is stated"),
        ("left front leg", uncut, "no wood is claimed twice"),
        ("left front leg", uncut, "a tenon stands in its mortise"),
        ("left front leg", uncut, "left and right have one volume"),
        ("left low stretcher", sawn_through, "one part is one solid"),
        ("left front leg", untrue, "the volume told is that of the solid"),
        ("left front leg", untrue, "the length told is that of the solid"),
        ("left front leg", untrue, "left and right have one length"),
    ],
)
def test_a_spoiled_part_breaks_its_law(name: str, change: Callable[[Part], Part], law: str) -> None:
    assert law in {breach.law for breach in untold(spoiled(name, change))}


def test_a_breach_that_the_piece_tells_of_is_marked_as_told() -> None:
    made = drawn(STOOL)
    parts = tuple(uncut(part) if part.id == "left front leg" else part for part in made.parts)
    found = complete_piece(replace(made.draft, joints=()), packaged_shop())
    silent = [b for b in breaches(replace(made, parts=parts, findings=())) if b.law == "no wood is claimed twice"]
    told = [b for b in breaches(replace(made, parts=parts, faults=found.faults)) if b.law == "no wood is claimed twice"]
    assert silent and not any(breach.told for breach in silent)
    assert told and all(breach.told for breach in told)


def test_bug_a_tip_near_the_drawn_end_is_not_taken_for_it() -> None:
    """A rail of 20 in between shoulders, drawn into the legs to 0.1 mm short of where its tenons' tips come."""
    text = """
piece: Frame
units: in
wood: white oak
hands: from the front
parts:
  leg: {count: pair, box: {x: [10, 11 3/4], y: [0, 1 3/4], z: [0, 17]}}
  rail: {box: {x: [-(11 in - 0.1 mm), 11 in - 0.1 mm], y: [1/4, 1 1/4], z: [12, 15]}}
joints:
  - {tenon: rail, into: leg, length: 1, expect: 2}
"""
    made = jointed(text.encode(), "frame.piece.yaml")
    assert made.piece is not None and not made.faults
    assert made.piece.part(PartId("rail")).length == pytest.approx(22 * 25.4, abs=1e-6)
