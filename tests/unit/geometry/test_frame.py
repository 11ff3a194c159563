"""Frames and planes in space: there and back, mirror images, nesting."""

import math

import numpy as np
import pytest

from batchwright.geometry.frame import (
    WORLD,
    Frame,
    Plane,
    angle_between,
    cross,
    dot,
    minus,
    norm,
    plus,
    unit,
    vec3,
)

C, S = math.cos(0.6), math.sin(0.6)
TILTED = Frame((10.0, -4.0, 7.0), (C, 0.0, S), (0.0, 1.0, 0.0), (-S, 0.0, C))
TURNED = Frame((1.0, 2.0, 3.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def test_vectors() -> None:
    assert cross((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)) == (0.0, 0.0, 1.0)
    assert dot((1.0, 2.0, 3.0), (4.0, -5.0, 6.0)) == 12.0
    assert plus((1.0, 1.0, 1.0), (1.0, 2.0, 3.0), 2.0) == (3.0, 5.0, 7.0)
    assert minus((1.0, 1.0, 1.0), (1.0, 2.0, 3.0)) == (0.0, -1.0, -2.0)
    assert norm((2.0, 3.0, 6.0)) == 7.0
    assert unit((0.0, 3.0, 4.0)) == (0.0, 0.6, 0.8)
    assert math.copysign(1.0, vec3([-0.0, 1.0, 2.0])[0]) == 1.0
    with pytest.raises(ValueError, match="length above zero"):
        unit((0.0, 0.0, 0.0))


@pytest.mark.parametrize("degrees", [0.0, 1e-5, 30.0, 90.0, 179.0, 180.0])
def test_angle_between_directions(degrees: float) -> None:
    a = math.radians(degrees)
    assert angle_between((2.0, 0.0, 0.0), (math.cos(a), math.sin(a), 0.0)) == pytest.approx(a, abs=1e-12)


@pytest.mark.parametrize("frame", [WORLD, TILTED, TURNED])
def test_points_and_directions_go_there_and_back(frame: Frame) -> None:
    p = (3.0, -8.0, 11.0)
    assert frame.to_local(frame.to_world(p)) == pytest.approx(p)
    assert frame.turn_back(frame.turn(p)) == pytest.approx(p)
    many = np.array([p, (0.0, 0.0, 0.0), (1.0, 2.0, 5.0)])
    assert frame.many_to_local(frame.many_to_world(many)) == pytest.approx(many)
    assert tuple(frame.many_to_world(many)[0]) == pytest.approx(frame.to_world(p))
    assert frame.matrix() @ np.array([*p, 1.0]) == pytest.approx(np.array(frame.to_world(p)))


def test_a_frame_within_another() -> None:
    p = (3.0, -8.0, 11.0)
    outer = TURNED.within(TILTED)
    assert outer.to_world(p) == pytest.approx(TILTED.to_world(TURNED.to_world(p)))
    back = outer.seen_from(TILTED)
    assert back.origin == pytest.approx(TURNED.origin)
    assert back.x == pytest.approx(TURNED.x)


def test_a_mirror_image_is_left_handed_and_gives_mirrored_points() -> None:
    middle = Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    image = TILTED.mirror_image(middle)
    x, y, z = TILTED.to_world((3.0, -8.0, 11.0))
    assert image.to_world((3.0, -8.0, 11.0)) == pytest.approx((-x, y, z))
    assert image.mirrored
    assert not TILTED.mirrored
    assert not image.mirror_image(middle).mirrored


def test_planes_keep_their_heights_in_every_frame() -> None:
    plane = Plane((1.0, 2.0, 3.0), unit((1.0, 1.0, 0.0)))
    p = (4.0, 4.0, 4.0)
    moved = TILTED.plane_to_world(plane)
    assert moved.height(TILTED.to_world(p)) == pytest.approx(plane.height(p))
    assert TILTED.plane_to_local(moved).normal == pytest.approx(plane.normal)
    assert plane.height((1.0, 2.0, 9.0)) == 0.0
