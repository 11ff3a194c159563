"""Views against the rules of projection: extents, foreshortening, hidden lines worked by an independent rule.

Sources: ISO 5456-3, isometric axonometry (all three axes foreshortened alike, to the square root of two thirds) and
the closed forms of parallel projection (from memory).
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from batchwright.geometry.batten import batten, strip_outline
from batchwright.geometry.frame import Frame
from batchwright.geometry.outline import polygon_outline
from batchwright.model.shape import EdgeCut, EdgeKind, Prism, Shape, Station, Stick
from batchwright.solids.build import placed, shape_solid
from batchwright.solids.solid import Solid
from batchwright.solids.view import FRONT, PICTORIAL, PLAN, SIDE, Axes, looking_from, view


def cube(side: float) -> Solid:
    outline = polygon_outline([(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)])
    return shape_solid(Shape(body=Prism(outline=outline, low=0.0, high=side)))


def arm() -> Solid:
    plan = strip_outline(
        batten([(0.0, 0.0), (200.0, 20.0), (400.0, -10.0), (500.0, -20.0)]), [70.0, 82.0, 70.0, 45.0]
    )
    shape = Shape(
        body=Prism(outline=plan, low=-25.0, high=0.0),
        edges=(EdgeCut(kind=EdgeKind.ROUND, size=4.0, on="all"),),
    )
    c, s = math.cos(0.1), math.sin(0.1)
    return placed(shape_solid(shape), Frame((20.0, 30.0, 600.0), (c, 0.0, s), (0.0, 1.0, 0.0), (-s, 0.0, c)))


def leg() -> Solid:
    station = Station(at=0.0, v=(-20.0, 20.0), w=(-20.0, 20.0))
    shape = Shape(
        body=Stick(round=True, stations=(station, Station(at=620.0, v=(-12.0, 12.0), w=(-12.0, 12.0))))
    )
    c, s = math.cos(0.2), math.sin(0.2)
    return placed(shape_solid(shape), Frame((60.0, 0.0, 620.0), (s, 0.0, -c), (0.0, 1.0, 0.0), (c, 0.0, s)))


def test_isometric_cube_is_a_regular_hexagon() -> None:
    """Every edge, and every line from the middle to a corner, is the side times the square root of two thirds."""
    seen = view([("cube", cube(100.0))], looking_from((1.0, -1.0, 1.0)))
    edge = 100.0 * math.sqrt(2.0 / 3.0)
    low_x, low_y, high_x, high_y = seen.bounds
    assert high_y - low_y == pytest.approx(2.0 * edge)
    assert high_x - low_x == pytest.approx(math.sqrt(3.0) * edge)
    visible = sum(
        np.linalg.norm(np.diff(line.points, axis=0), axis=1).sum() for line in seen.lines if line.visible
    )
    hidden = sum(
        np.linalg.norm(np.diff(line.points, axis=0), axis=1).sum() for line in seen.lines if not line.visible
    )
    assert visible == pytest.approx(9.0 * edge)
    assert hidden == pytest.approx(3.0 * edge)


@pytest.mark.parametrize("axes", [FRONT, SIDE, PLAN, PICTORIAL, looking_from((-0.3, 0.5, 0.7))])
@pytest.mark.parametrize("make", [arm, leg])
def test_extents_of_every_view_are_the_solids(make: object, axes: Axes) -> None:
    solid = make()  # type: ignore[operator]
    low_x, low_y, high_x, high_y = view([("part", solid)], axes).bounds
    right, up = solid.extent(axes.right), solid.extent(axes.up)
    assert (low_x, high_x) == pytest.approx(right, abs=0.02)
    assert (low_y, high_y) == pytest.approx(up, abs=0.02)


def blocks(seed: int) -> list[tuple[np.ndarray, np.ndarray]]:
    """Boxes that do not touch one another, from a fixed shuffle of a grid."""
    rng = np.random.default_rng(seed)
    cells = rng.permutation(27)[:9]
    found = []
    for cell in cells.tolist():
        corner = np.array([cell % 3, cell // 3 % 3, cell // 9]) * 100.0 + rng.uniform(5.0, 40.0, 3)
        found.append((corner, corner + rng.uniform(10.0, 50.0, 3)))
    return found


def hidden_by_slabs(
    points: np.ndarray, way: np.ndarray, boxes: list[tuple[np.ndarray, np.ndarray]]
) -> np.ndarray:
    """Whether the line from each point towards the viewer passes through any box: the slab rule, box by box."""
    hidden = np.zeros(len(points), dtype=bool)
    for low, high in boxes:
        one, two = (low - points) / way, (high - points) / way
        enter, leave = np.minimum(one, two).max(axis=1), np.maximum(one, two).min(axis=1)
        hidden |= (leave > 1e-6) & (leave - np.maximum(enter, 0.0) > 1e-6)
    return hidden


@pytest.mark.parametrize("seed", range(6))
def test_visible_length_is_what_the_slab_rule_gives(seed: int) -> None:
    """Each edge of each box sampled every 0.05 mm and asked by an independent rule whether a box stands before it."""
    boxes = blocks(seed)
    rng = np.random.default_rng(seed + 100)
    way = rng.uniform(0.3, 1.0, 3) * np.sign(rng.uniform(-1.0, 1.0, 3))
    way /= np.linalg.norm(way)
    axes = looking_from(tuple(way.tolist()))
    parts = []
    expected = 0.0
    for number, (low, high) in enumerate(boxes):
        outline = polygon_outline(
            [(low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1])]
        )
        parts.append(
            (
                str(number),
                shape_solid(Shape(body=Prism(outline=outline, low=float(low[2]), high=float(high[2])))),
            )
        )
        for axis in range(3):
            for corner in range(4):
                start = low.copy()
                others = [k for k in range(3) if k != axis]
                for bit, k in enumerate(others):
                    if corner >> bit & 1:
                        start[k] = high[k]
                span = np.zeros(3)
                span[axis] = high[axis] - low[axis]
                count = int(span[axis] / 0.05)
                points = start + ((np.arange(count) + 0.5) / count)[:, None] * span
                seen = ~hidden_by_slabs(points, np.array(axes.towards), boxes)
                expected += float(np.linalg.norm(axes.on_paper(np.array([span]))[0])) * float(seen.mean())
    lines = view(parts, axes).lines
    visible = sum(
        np.linalg.norm(np.diff(line.points, axis=0), axis=1).sum() for line in lines if line.visible
    )
    assert visible == pytest.approx(expected, rel=2e-3)


def test_circle_seen_aslant_is_an_ellipse() -> None:
    """A disc leaning by 60 degrees from the view: as wide as it is, half as high."""
    station = Station(at=0.0, v=(-30.0, 30.0), w=(-30.0, 30.0))
    disc = shape_solid(Shape(body=Stick(round=True, stations=(station, replace(station, at=0.5)))))
    tilt = math.radians(60.0)
    seen = view([("disc", disc)], looking_from((math.cos(tilt), 0.0, math.sin(tilt))))
    low_x, low_y, high_x, high_y = seen.bounds
    assert high_x - low_x == pytest.approx(60.0, abs=0.2)
    assert high_y - low_y == pytest.approx(30.0 + 0.5 * math.sin(tilt), abs=0.2)
