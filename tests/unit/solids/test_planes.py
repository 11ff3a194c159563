"""Plane faces worked from the drawing lie on the solid's faces of the same name."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from batchwright.geometry.frame import Frame, Plane
from batchwright.geometry.outline import Outline, outline, polygon_outline
from batchwright.geometry.segment import Arc, Line
from batchwright.model.shape import PlaneCut, Prism, RegionCut, Sawn, Shape, Station, Stick
from batchwright.solids.build import shape_solid
from batchwright.solids.planes import nearest_plane, plane_named, planes_of

WEDGE = polygon_outline([(0.0, 0.0), (200.0, 10.0), (190.0, 60.0), (5.0, 50.0)])
PLAIN = Shape(body=Prism(outline=WEDGE, low=-5.0, high=25.0))
SHAPES = {
    "prism": PLAIN,
    "cut": replace(PLAIN, cuts=(PlaneCut(plane=Plane((150.0, 0.0, 0.0), (0.8, 0.6, 0.0))),)),
    "region": replace(
        PLAIN,
        cuts=(
            RegionCut(
                frame=Frame((80.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)),
                outline=polygon_outline([(0.0, 10.0), (20.0, 12.0), (20.0, 40.0), (0.0, 40.0)]),
            ),
        ),
    ),
    "sawn": replace(
        PLAIN,
        sawn=(
            Sawn(
                on="edge",
                outline=polygon_outline([(-10.0, -9.0), (250.0, 2.0), (250.0, 20.0), (-10.0, 30.0)]),
            ),
        ),
    ),
    "sawn end": replace(
        PLAIN,
        sawn=(
            Sawn(on="end", outline=polygon_outline([(-5.0, -9.0), (80.0, 1.0), (70.0, 19.0), (-5.0, 30.0)])),
        ),
    ),
    "stick": Shape(
        body=Stick(
            stations=(
                Station(at=0.0, v=(-20.0, 18.0), w=(-15.0, 15.0)),
                Station(at=80.0, v=(-20.0, 18.0), w=(-15.0, 15.0)),
                Station(at=400.0, v=(-9.0, 18.0), w=(-8.0, 10.0)),
            )
        )
    ),
}


@pytest.mark.parametrize("name", list(SHAPES))
def test_planes_of_a_shape_carry_the_solids_faces(name: str) -> None:
    shape = SHAPES[name]
    solid = shape_solid(shape)
    planes = {found.name: found.plane for found in planes_of(shape)}
    present = np.unique(solid.faces)
    assert len(present) >= 6
    for number in present:
        plane = planes[solid.names[number]]
        mine = solid.faces == number
        heights = (solid.corners[mine].reshape(-1, 3) - np.array(plane.point)) @ np.array(plane.normal)
        assert np.abs(heights).max() < 1e-9
        areas = np.linalg.norm(solid.area_vectors[mine], axis=1)
        facing = solid.normals[mine][areas > 1e-6] @ np.array(plane.normal)
        assert facing.min() == pytest.approx(1.0, abs=1e-9)


def half_round() -> Outline:
    return outline([Line((-50.0, 0.0), (50.0, 0.0)), Arc((50.0, 0.0), (0.0, 50.0), (-50.0, 0.0))])


def test_curved_face_has_no_plane() -> None:
    shape = Shape(body=Prism(outline=half_round(), low=0.0, high=10.0))
    assert plane_named(shape, "side 2") is None
    assert plane_named(shape, "side 1") == Plane((-50.0, 0.0, 0.0), (0.0, -1.0, 0.0))
    round_stick = Stick(round=True, stations=SHAPES["stick"].body.stations)  # type: ignore[union-attr]
    assert [found.name for found in planes_of(Shape(body=round_stick))] == ["end low", "end high"]


def test_struck_point_snaps_to_the_drawn_plane() -> None:
    found = nearest_plane(PLAIN, (100.0, 20.0, 25.03), (0.0, 0.001, 1.0))
    assert found is not None
    assert found.name == "high"
    assert found.plane.point[2] == 25.0
    assert nearest_plane(PLAIN, (100.0, 20.0, 24.0), (0.0, 0.0, 1.0)) is None
    leaning = (math.sin(0.1), 0.0, math.cos(0.1))
    assert nearest_plane(PLAIN, (100.0, 20.0, 25.0), leaning) is None
