"""Sight lines in a grid strike what each strikes by itself."""

from __future__ import annotations

import math

import numpy as np
import pytest

from batchwright.geometry.frame import Frame, unit
from batchwright.geometry.outline import polygon_outline
from batchwright.model.shape import Prism, Shape, Station, Stick
from batchwright.solids.build import Quality, placed, shape_solid
from batchwright.solids.rays import cast, cast_grid
from batchwright.solids.solid import Solid

LEAN = Frame(
    (30.0, -5.0, 2.0), (math.cos(0.3), math.sin(0.3), 0.0), (-math.sin(0.3), math.cos(0.3), 0.0), (0.0, 0.0, 1.0)
)
ROUND = Shape(
    body=Stick(
        stations=(Station(at=0.0, v=(0.0, 40.0), w=(0.0, 30.0)), Station(at=90.0, v=(5.0, 35.0), w=(0.0, 30.0))),
        round=True,
    )
)
BOX = Shape(
    body=Prism(outline=polygon_outline([(0.0, 0.0), (120.0, 0.0), (120.0, 50.0), (0.0, 50.0)]), low=0.0, high=20.0)
)


def looking_down(z: float) -> Frame:
    return Frame((0.0, 0.0, z), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0))


@pytest.mark.parametrize("shape", [ROUND, BOX], ids=["round stick", "box"])
@pytest.mark.parametrize("within", [math.inf, 95.0])
def test_a_grid_strikes_as_its_lines_do_one_by_one(shape: Shape, within: float) -> None:
    solid = placed(shape_solid(shape, quality=Quality.FINE), LEAN)
    frame = looking_down(100.0)
    columns, rows = np.linspace(-10.0, 150.0, 61), np.linspace(-90.0, 40.0, 47)
    together = cast_grid(solid, frame, (columns, rows), within=within)
    starts = frame.many_to_world(np.array([(x, y, 0.0) for x in columns for y in rows]))
    alone = [cast(solid, start[None], frame.z, within=within) for start in starts]
    assert 200 < together.hit.sum() < len(starts)
    assert np.array_equal(together.hit, [bool(strike.hit[0]) for strike in alone])
    assert np.allclose(together.distance, [strike.distance[0] for strike in alone], atol=1e-9)
    assert np.array_equal(together.faces, [strike.faces[0] for strike in alone])


def test_a_box_is_struck_where_it_stands_and_nowhere_else() -> None:
    """By the arithmetic of a box: its top is at 20, from 0 to 120 and 0 to 50."""
    solid: Solid = shape_solid(BOX)
    columns, rows = np.linspace(-5.05, 125.05, 53), np.linspace(-60.0, 10.05, 41)
    found = cast_grid(solid, looking_down(33.0), (columns, rows))
    x, y = np.repeat(columns, 41), -np.tile(rows, 53)
    wood = (x > 0.0) & (x < 120.0) & (y > 0.0) & (y < 50.0)
    assert np.array_equal(found.hit, wood)
    assert np.allclose(found.distance[wood], 13.0, atol=1e-12)


def test_lines_through_edges_and_corners_are_not_lost() -> None:
    """A grid that stands on the box's own edges: the wood is closed, so its border is struck too."""
    found = cast_grid(shape_solid(BOX), looking_down(30.0), (np.linspace(0.0, 120.0, 25), np.linspace(-50.0, 0.0, 11)))
    assert found.hit.all() and np.allclose(found.distance, 10.0)


def test_a_slope_is_struck_at_its_own_height() -> None:
    """The section of a wedge is a straight line: height = u / 10."""
    wedge = Shape(body=Prism(outline=polygon_outline([(0.0, 0.0), (100.0, 0.0), (100.0, 10.0)]), low=0.0, high=40.0))
    frame = Frame((0.0, 50.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), unit((0.0, -1.0, 0.0)))
    columns = np.linspace(1.0, 99.0, 50)
    found = cast_grid(shape_solid(wedge), frame, (columns, np.linspace(1.0, 39.0, 20)))
    assert np.allclose(found.distance.reshape(50, 20), (50.0 - columns / 10.0)[:, None], atol=1e-9)
