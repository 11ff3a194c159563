"""Joint sheets of loose tenons, twins, through and driven tenons: all that is to be cut and made stands on them."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from batchwright.model.draft import JointKind
from batchwright.model.piece import Joint
from batchwright.sheets.scene.overlap import overlaps
from batchwright.sheets.scene.plain import draw_out
from batchwright.sheets.scene.primitives import Dimension, Straight, Text
from batchwright.sheets.scene.sheet import KeyNumbers, Paragraph
from batchwright.sheets.views.driven import driven_blocks
from batchwright.sheets.views.joint_numbers import called, machine_numbers, own_depth
from batchwright.sheets.views.joint_section import joint_scene
from batchwright.sheets.views.joint_sheet import joint_blocks
from example_packets import blocks_in, contents, packet, scenes_in, sheet


def _joint(example: str, part: str, into: str) -> Joint:
    return next(one for one in contents(example).made.piece.joints if part in one.id and one.into.endswith(into))


def _numbers(example: str, joint: Joint) -> dict[str, tuple[str, str]]:
    held = contents(example)
    rows = machine_numbers(joint, held.made, held.printing)
    return {one.label: (one.value, one.note) for row in rows for one in row.numbers}


def _labels(example: str, joint: Joint, across: bool) -> list[str]:
    held = contents(example)
    scene = joint_scene(joint, held.made, across, held.printing)
    assert overlaps(scene) == ()
    return [item.text for item in draw_out(scene) if isinstance(item, Text)]


def test_bug_a_loose_tenon_is_told_whole_with_both_its_mortises() -> None:
    """Half its length stood as `tenon`, and nothing told that the brace is mortised too. A slip reaches as far into
    the one part as into the other: it is twice as long as what stands in one of them."""
    joint = _joint("trestle-table", "brace", "post")
    assert joint.kind is JointKind.LOOSE_TENON and called(joint) == "Loose tenon"
    told = _numbers("trestle-table", joint)
    assert [label.split(":")[0] for label in told] == [
        "loose tenon, whole", "mortise in the post", "mortise in the brace",
    ]  # fmt: skip
    held = contents("trestle-table")
    tenon = joint.tenons[0]
    sizes = (tenon.thickness, tenon.width, 2.0 * tenon.length)
    assert told["loose tenon, whole: thick × wide × long"][0] == " × ".join(held.printing.length(s) for s in sizes)
    own = next(one for one in held.made.piece.part(joint.part).features if one.joint == joint.id)
    assert own_depth(joint, held.made) == own.depth > tenon.length
    titles = {one.key: one.title for one in packet("trestle-table").sheets}
    assert titles["joint-brace into post"] == "Loose tenon: brace into post"
    assert held.printing.length(2.0 * tenon.length) in _labels("trestle-table", joint, across=False)
    assert "loose tenon" in _labels("trestle-table", joint, across=True)


def test_bug_twin_tenons_say_how_many_and_how_far_apart() -> None:
    """Two tenons 8 mm thick whose middles lie 17.5 mm apart have 9.5 mm of air between them."""
    joint = _joint("garden-settee", "centre rail", "front rail")
    first, second = joint.tenons
    gap = abs(first.centre[1] - second.centre[1]) - first.thickness
    told = _numbers("garden-settee", joint)
    printed = contents("garden-settee").printing.length(gap)
    assert f"2 side by side, {printed} mm apart" == told["each tenon: thick × wide × long"][1]
    assert told["each mortise: wide × long × deep"][1].startswith("2 side by side, ")
    labels = _labels("garden-settee", joint, across=True)
    assert labels.count("8") >= 4, "both tenons and both mortises"
    assert printed in labels
    whole = contents("garden-settee").printing.length(gap + first.thickness)
    assert whole not in labels, "never gap and tenon in one number"


def test_one_tenon_is_told_as_one() -> None:
    told = _numbers("garden-settee", _joint("garden-settee", "arm", "back leg"))
    assert [note for _, note in told.values()] == ["", ""]


def test_dowels_are_told_by_diameter_and_whole_length() -> None:
    joint = replace(_joint("garden-settee", "centre rail", "front rail"), kind=JointKind.DOWEL)
    told = _numbers("garden-settee", joint)
    tenon, length = joint.tenons[0], contents("garden-settee").printing.length
    assert told["dowel: diameter × long"][0] == f"{length(tenon.thickness)} × {length(2.0 * tenon.length)}"
    assert any("2 dowels" in note for _, note in told.values())


def test_bug_a_flare_says_from_which_side_it_is_cut() -> None:
    """Wedges are driven where the tenon comes out, so the mortise opens there: common practice."""
    held = contents("trestle-table")
    joint = _joint("trestle-table", "post", "foot")
    blocks = driven_blocks(joint, held.made, held.printing)
    words = " ".join(block.text for block in blocks_in(tuple(blocks)) if isinstance(block, Paragraph))
    assert "Through the foot: in at its face edge, out at its far edge." in words
    assert "Cut its flare from the far edge" in words
    assert "2 wedges, thick × wide × long" in words


@pytest.mark.parametrize(("into", "name"), [("foot", "wedge"), ("left post", "tusk")])
def test_what_is_driven_is_drawn_with_its_sizes(into: str, name: str) -> None:
    held = contents("trestle-table")
    joint = _joint("trestle-table", "stretcher" if name == "tusk" else "post", into)
    group = sheet("trestle-table", f"joint-{'stretcher into post' if name == 'tusk' else 'post into foot'}")
    scene = next(one for one in scenes_in(group) if one.name == name)
    assert overlaps(scene) == ()
    labels = {item.label for item in scene.items if isinstance(item, Dimension)}
    assert {held.printing.length(joint.size(f"{name} {size}")) for size in ("length",)} <= labels
    edges = [item for item in scene.items if isinstance(item, Straight)]
    tall = max(point[1] for item in edges for point in (item.start, item.end))
    if joint.tusk is not None:  # it loses its taper's share of its length from end to end
        thin = min(
            item.start[1]
            for item in edges
            if math.isclose(item.start[0], joint.size("tusk length")) and item.start[1] > 0
        )
        assert tall - thin == pytest.approx(joint.tusk.taper * joint.size("tusk length"))
        assert (tall + thin) / 2.0 == pytest.approx(joint.tusk.width)
    else:
        assert tall == pytest.approx(joint.size("wedge thickness"))


def test_every_through_mortise_says_both_faces() -> None:
    for example in ("trestle-table", "garden-settee", "terrace-armchair"):
        held = contents(example)
        for joint in held.made.piece.joints:
            if joint.mortises[0].through:
                blocks = joint_blocks((joint,), held.made, held.printing)
                words = " ".join(block.text for block in blocks_in(blocks) if isinstance(block, Paragraph))
                assert re.search(r"Through the .+: in at its .+, out at its .+\.", words)
                values = [n.value for block in blocks if isinstance(block, KeyNumbers) for n in block.numbers]
                assert any("through" in value for value in values)
