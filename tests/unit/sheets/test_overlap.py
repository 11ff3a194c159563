"""Texts on texts and texts on wood, held against shapely; and the settling that mends them."""

from __future__ import annotations

import math

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from batchwright.geometry.segment import Cubic, Line
from batchwright.sheets.scene.metrics import text_box
from batchwright.sheets.scene.overlap import boxes_overlap, first_crossing, overlaps
from batchwright.sheets.scene.primitives import (
    Angle,
    Curve,
    Dimension,
    Group,
    Item,
    Note,
    Radius,
    Running,
    Station,
    Straight,
    Text,
)
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.settle import settle
from batchwright.sheets.scene.strokes import Stroke

coordinate = st.floats(-40.0, 40.0)
texts = st.builds(
    Text,
    at=st.tuples(coordinate, coordinate),
    text=st.sampled_from(["1", "16 15/16", "rail", "6"]),
    angle=st.floats(-math.pi, math.pi),
)


@given(texts, texts)
@settings(max_examples=150, deadline=None)
def test_boxes_overlap_as_shapely_says(a: Text, b: Text) -> None:
    one, two = text_box(a, 1.0), text_box(b, 1.0)
    area = shapely.Polygon(one).intersection(shapely.Polygon(two)).area
    told = boxes_overlap(np.array(one), np.array(two), 0.0)
    if area > 1e-6:
        assert told
    elif shapely.Polygon(one).distance(shapely.Polygon(two)) > 1e-6:
        assert not told


@given(texts, st.tuples(coordinate, coordinate), st.tuples(coordinate, coordinate))
@settings(max_examples=150, deadline=None)
def test_a_line_through_a_text_is_found_as_shapely_says(
    text: Text, start: tuple[float, float], end: tuple[float, float]
) -> None:
    box = text_box(text, 1.0)
    inside = shapely.Polygon(box).buffer(-1e-6)  # a line along the very edge only touches
    length = shapely.LineString([start, end]).intersection(inside).length if start != end else 0.0
    hit = first_crossing(np.array(box), np.array([[start, end]]), 0.0)
    if length > 1e-6:
        assert hit is not None
        assert shapely.Point(hit).distance(shapely.Polygon(box)) < 1e-6
    elif start != end and shapely.LineString([start, end]).distance(shapely.Polygon(box)) > 1e-6:
        assert hit is None


def test_a_text_inside_wood_is_fine_and_one_across_its_edge_is_not() -> None:
    edge = (Line((0, 0), (80, 0)), Line((80, 0), (80, 40)), Line((80, 40), (0, 40)), Line((0, 40), (0, 0)))
    wood = Curve(path=edge, stroke=Stroke.OUTLINE, closed=True)
    inside, across = Text(at=(10, 15), text="seat rail"), Text(at=(70, 15), text="seat rail")
    assert overlaps(Scene(items=(wood, inside), name="a")) == ()
    told = overlaps(Scene(items=(wood, across), name="b"))
    assert [(c.text, c.other) for c in told] == [("seat rail", "outline")]


def test_thin_lines_under_a_text_are_no_conflict_but_another_text_is() -> None:
    thin = Straight(start=(-50, 1), end=(50, 1), stroke=Stroke.DIMENSION)
    items = (thin, Text(at=(0, 0), text="412"), Text(at=(4, 1), text="9"))
    assert [(c.text, c.other) for c in overlaps(Scene(items=items, name="a"))] == [("9", "412")]


def crowded(scale: float) -> Scene:
    """A curved leg with more to say than there is room for."""
    path = (
        Line((0, 0), (60, 0)),
        Cubic((60, 0), (70, 150), (40, 300), (60, 430)),
        Line((60, 430), (5, 430)),
        Cubic((5, 430), (-15, 300), (10, 150), (0, 0)),
    )
    stations = tuple(Station(at=(60, v), label=f"{v / 25.4:.0f} 15/16") for v in (90.0, 96.0, 110.0, 118.0, 430.0))
    items: tuple[Item, ...] = (
        Curve(path=path, stroke=Stroke.OUTLINE, closed=True),
        Dimension(start=(0, 0), end=(5, 430), direction=(0, 1), label="16 15/16", offset=8),
        Running(datum=(60, 0), direction=(0, 1), stations=stations, offset=-12),
        Group(
            name="notes",
            items=(
                Note(tip=(30, 215), text="face side", dx=-12, dy=2),
                Note(tip=(30, 200), text="face edge", dx=-12, dy=2),
                Radius(at=(52, 300), direction=(1.0, 0.2), label="R 12"),
                Angle(corner=(0, 0), first=(1, 0), second=(0.1, 1.0), label="84 1/2°", radius=4),
            ),
        ),
        Dimension(start=(20, 0), end=(26, 0), label="1/4", offset=-6),
        Dimension(start=(26, 0), end=(34, 0), label="5/16", offset=-6),
    )
    return Scene(items=items, name="leg", scale=scale)


def test_settling_leaves_no_conflict_where_there_were_some() -> None:
    for scale in (1.0, 0.5, 0.25, 0.2):
        scene = crowded(scale)
        assert overlaps(scene), scale
        assert overlaps(settle(scene)) == (), scale


def test_settling_keeps_every_item_its_group_and_its_label() -> None:
    before = crowded(0.5)
    after = settle(before)
    assert [type(item) for item in after.items] == [type(item) for item in before.items]
    assert isinstance(after.items[3], Group) and after.items[3].name == "notes"
    assert after == settle(before)
    assert settle(after) == after


def test_a_sound_drawing_is_left_alone() -> None:
    scene = Scene(items=(Dimension(start=(0, 0), end=(100, 0), label="100"),), name="a")
    assert settle(scene) == scene


def test_a_loose_text_moves_off_the_wood_and_a_fixed_one_stays() -> None:
    edge = Curve(path=(Line((0, 0), (80, 0)),), stroke=Stroke.OUTLINE)
    fixed, loose = Text(at=(0, -1), text="front leg"), Text(at=(40, -1), text="side rail", loose=True)
    settled = settle(Scene(items=(edge, fixed, loose), name="a"))
    assert settled.items[1] == fixed
    moved = settled.items[2]
    assert isinstance(moved, Text) and moved != loose and moved.text == "side rail"
    assert [conflict.text for conflict in overlaps(settled)] == ["front leg"]
    assert math.dist(moved.at, loose.at) < 15.0
