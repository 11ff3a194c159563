"""Joint sheets: numbers that cannot be read into one another, nothing loose behind the cut, failures told plainly."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
import shapely

from batchwright.base.length import INCH, Unit
from batchwright.model.draft import Hands
from batchwright.model.piece import Joint, Measure
from batchwright.sheets.scene.metrics import text_box
from batchwright.sheets.scene.overlap import overlaps
from batchwright.sheets.scene.plain import draw_out
from batchwright.sheets.scene.primitives import Curve, Hatch, Text
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.sheet import Caution, Paragraph, Table
from batchwright.sheets.scene.strokes import Stroke
from batchwright.sheets.views.joint_section import joint_scene
from batchwright.sheets.views.joint_sheet import joint_blocks, joint_titles, joints_apart
from batchwright.sheets.views.linework import inside_box
from batchwright.sheets.views.printing import Printing
from example_packets import JOBS, contents

NAMES = tuple(JOBS)
APART = 2.0
"""Numbers in one line keep this far apart [mm on paper]; a figure is about 2.7 mm wide at 12 pt."""


def _scenes(name: str) -> list[Scene]:
    held = contents(name)
    joints = [group[0] for group in joints_apart(held.made)]
    return [joint_scene(joint, held.made, across, held.printing) for joint in joints for across in (False, True)]


def _boxes(scene: Scene) -> list[tuple[str, float, np.ndarray]]:
    """Text, its turn, and its box seen upright, on paper [mm]: low and high corner, shape (2, 2)."""
    out = []
    for item in draw_out(scene):
        if isinstance(item, Text):
            turn = np.array([[np.cos(item.angle), np.sin(item.angle)], [-np.sin(item.angle), np.cos(item.angle)]])
            corners = np.array(text_box(item, scene.scale)) @ turn.T * scene.scale
            out.append((item.text, item.angle, np.array([corners.min(axis=0), corners.max(axis=0)])))
    return out


@pytest.mark.parametrize("name", NAMES)
def test_bug_stacked_numbers_never_read_as_one(name: str) -> None:
    """1/4 over 2 21/32 stood as `1/42 21/32`."""
    for scene in _scenes(name):
        assert overlaps(scene) == ()
        for (first, turn, a), (second, other, b) in combinations(_boxes(scene), 2):
            if turn == other and min(a[1][1], b[1][1]) - max(a[0][1], b[0][1]) > 1.0:
                gap = max(a[0][0], b[0][0]) - min(a[1][0], b[1][0])
                assert gap >= APART, (scene.about, first, second)


@pytest.mark.parametrize("name", NAMES)
def test_bug_nothing_hangs_loose_behind_a_section(name: str) -> None:
    for scene in _scenes(name):
        rings = [point for item in scene.items if isinstance(item, Hatch) for ring in item.rings for point in ring]
        wood = shapely.MultiPoint(rings).envelope.buffer(0.01)
        for item in scene.items:
            if isinstance(item, Curve) and item.stroke in (Stroke.VISIBLE, Stroke.FAINT):
                for segment in item.path:
                    assert wood.covers(shapely.LineString([segment.start, segment.end])), scene.about


def test_a_chain_is_clipped_to_a_box_as_another_program_does_it() -> None:
    """Held against shapely's intersection."""
    rng = np.random.default_rng(5)
    box = ((-1.0, -2.0), (3.0, 1.5))
    for _ in range(50):
        points = rng.uniform(-5.0, 5.0, (6, 2))
        length = sum(float(np.hypot(*np.diff(one, axis=0).T).sum()) for one in inside_box(points, box))
        expected = shapely.LineString(points).intersection(shapely.box(*box[0], *box[1])).length
        assert length == pytest.approx(expected, abs=1e-9)


def _words(joint: Joint) -> tuple[str, list[tuple[str, ...]]]:
    held = contents("hall-table")
    blocks = joint_blocks((joint,), held.made, held.printing)
    table = next(block for block in blocks if isinstance(block, Table) and "Measured" in block.columns[0].title)
    return " ".join(block.text for block in blocks if isinstance(block, Caution | Paragraph)), list(table.rows)


def test_bug_a_failing_wall_is_told_true_and_with_a_sign() -> None:
    """A wall of 15/64 in where 1/4 in is asked was printed as 1/4."""
    joint = contents("hall-table").made.piece.joints[0]
    thin = Measure(name="wall, left", value=15.0 / 64.0 * INCH, limit=0.25 * INCH, source="JR15: common practice")
    fine = Measure(name="wall, right", value=0.5 * INCH, limit=0.25 * INCH, source="JR15: common practice")
    words, rows = _words(replace(joint, measures=(thin, fine)))
    assert rows == [("wall, left", "15/64", "1/4", "FAILS", "JR15"), ("wall, right", "1/2", "1/4", "holds", "JR15")]
    assert "FAILS: wall, left is 15/64, the rule asks 1/4" in words
    words, _ = _words(replace(joint, measures=(fine,)))
    assert "FAILS" not in words


@pytest.mark.parametrize("unit", list(Unit))
def test_no_rounding_hides_which_of_two_is_less(unit: Unit) -> None:
    printing = Printing(unit=unit, hands=Hands.AS_SEATED, numbers={}, totals={})
    for short in (2.0, 0.5, 0.1, 0.02, 0.01):
        value, limit = printing.beside(0.25 * INCH - short, 0.25 * INCH)
        assert value.rstrip("+-") != limit
    assert printing.beside(0.25 * INCH - 0.1, 0.25 * INCH)[1] in ("1/4", "0.250", "0.2500", "6.35")


def test_joints_that_print_alike_share_a_sheet() -> None:
    """Sizes 0.1 mm apart are one setting, wherever they lie; 1 mm apart are two."""
    held = contents("hall-table")
    first = joints_apart(held.made)[0]
    assert len(first) > 1
    for more, sheets in ((0.1, 1), (-0.1, 1), (1.0, 2)):
        tenon = replace(first[0].tenons[0], length=first[0].tenons[0].length + more)
        changed = replace(first[0], tenons=(tenon, *first[0].tenons[1:]))
        piece = replace(held.made.piece, joints=(changed, *first[1:]))
        groups = joints_apart(replace(held.made, piece=piece))
        assert len(groups) == sheets
        titles = joint_titles(groups, held.made)
        assert len(set(titles)) == sheets
        if sheets == 2:
            assert titles[0] == f"{changed.part} into {changed.into}"
