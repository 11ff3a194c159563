"""A mirror image is asked with sight lines what its other hand is asked, and answers where it stands itself."""

from __future__ import annotations

import numpy as np
import pytest

from batchwright.geometry.frame import Frame, Plane, unit
from batchwright.geometry.outline import polygon_outline
from batchwright.model.shape import Prism, Shape
from batchwright.solids import rays
from batchwright.solids.asked import asked_of, grid_of, own_frame
from batchwright.solids.build import placed, shape_solid
from batchwright.solids.solid import Solid

MIDDLE = Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))
TURNED = unit((0.6, 0.64, 0.48))
STANDS = Frame((120.0, 30.0, 200.0), (0.8, -0.6, 0.0), (0.6, 0.8, 0.0), (0.0, 0.0, 1.0))
COLUMNS, ROWS = np.linspace(-9.0, 14.0, 15), np.linspace(-8.0, 8.0, 11)


def _hands() -> tuple[Solid, Solid]:
    """A part without any symmetry of its own, and its mirror image in x = 0."""
    outline = polygon_outline([(0, 0), (70, 4), (50, 41), (6, 33)])
    own = shape_solid(Shape(body=Prism(outline=outline, low=0.0, high=22.0)))
    return placed(own, STANDS), placed(own, STANDS.mirror_image(MIDDLE))


def _mirrored(points: np.ndarray) -> np.ndarray:
    return points * np.array([-1.0, 1.0, 1.0])


def test_lines_and_their_mirror_images_are_one_question() -> None:
    left, right = _hands()
    points = np.random.default_rng(3).uniform((90, 20, 190), (180, 80, 230), (40, 3))
    way = np.array(TURNED)
    assert asked_of(left, points, way) == asked_of(right, _mirrored(points), _mirrored(way))
    assert asked_of(left, points, way) != asked_of(left, points + 0.001, way)


def test_the_other_hand_is_struck_in_its_mirror_image() -> None:
    left, right = _hands()
    for frame in (Frame((150.0, 40.0, 180.0)), Frame((150.0, 40.0, 260.0), z=(0.0, 0.0, -1.0), x=(-1.0, 0.0, 0.0))):
        one = rays.cast_grid(left, frame, (COLUMNS, ROWS))
        seen = frame.mirror_image(MIDDLE)
        two = rays.cast_grid(right, Frame(seen.origin, seen.x, tuple(-v for v in seen.y), seen.z), (COLUMNS, ROWS))
        order = np.arange(len(one.hit)).reshape(len(COLUMNS), -1)[:, ::-1].ravel()
        assert 40 < one.hit.sum() < len(one.hit)
        assert (one.hit == two.hit[order]).all() and (one.faces == two.faces[order]).all()
        assert two.points[order] == pytest.approx(_mirrored(one.points), abs=1e-9, nan_ok=True)
        assert two.normals[order] == pytest.approx(_mirrored(one.normals), abs=1e-9, nan_ok=True)


def test_a_grid_is_struck_as_its_lines_are_one_by_one() -> None:
    for solid in _hands():
        low, high = solid.bounds
        turned = Frame(tuple((low + high) / 2.0 - 60.0 * np.array(TURNED)), *_square(TURNED), TURNED)
        grid = rays.cast_grid(solid, turned, (COLUMNS, ROWS))
        flat = np.array([(x, y, 0.0) for x in COLUMNS for y in ROWS])
        lines = rays.cast(solid, turned.many_to_world(flat), TURNED)
        assert grid.hit.any() and (grid.hit == lines.hit).all() and (grid.faces == lines.faces).all()
        assert (rays.faces_of_grid(solid, turned, (COLUMNS, ROWS)) == lines.faces).all()
        assert grid.points == pytest.approx(lines.points, abs=1e-8, nan_ok=True)


def test_frames_end_for_end_are_one_question_too() -> None:
    left, _ = _hands()
    frame = Frame((150.0, 40.0, 180.0))
    back = Frame((150.0, 40.0, 180.0), (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
    even = np.linspace(-9.0, 9.0, 12)
    assert grid_of(left, frame, (even, even)) == grid_of(left, back, (even, even))
    assert grid_of(left, frame, (COLUMNS, even)) != grid_of(left, back, (COLUMNS, even))


def test_a_frame_seen_from_a_mirror_image_is_made_right_handed() -> None:
    left, right = _hands()
    frame = Frame((150.0, 40.0, 210.0))
    seen = frame.mirror_image(MIDDLE)
    plain = Frame(seen.origin, seen.x, tuple(-v for v in seen.y), seen.z)
    assert own_frame(left, frame)[:2] == own_frame(right, plain)[:2]
    assert not own_frame(right, plain)[1].mirrored


def _square(way: tuple[float, float, float]) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    x = unit((way[1], -way[0], 0.0))
    y = np.cross(way, x)
    return x, (float(y[0]), float(y[1]), float(y[2]))
