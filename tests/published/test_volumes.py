"""Volumes and surfaces of solids against what has long been proved of them.

Sources (closed forms, from memory): Archimedes, Quadrature of the Parabola, proposition 24, and On the Sphere and
Cylinder; Euclid, Elements, book XII (pyramid and frustum); Pappus's centroid theorem; Steiner's formula for the volume
of a parallel body of a convex one; the prismoidal formula.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from batchwright.geometry.outline import Outline, outline, polygon_outline
from batchwright.geometry.segment import Arc, Cubic, Line
from batchwright.model.shape import EdgeCut, EdgeKind, Prism, Shape, Station, Stick
from batchwright.solids.build import Quality, shape_solid
from batchwright.solids.solid import Solid


def fine(shape: Shape) -> Solid:
    return shape_solid(shape, quality=Quality.FINE)


def prism(shape: Outline, thickness: float) -> Shape:
    return Shape(body=Prism(outline=shape, low=0.0, high=thickness))


def rectangle(length: float, width: float) -> Outline:
    return polygon_outline([(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)])


def test_box_has_the_volume_and_surface_of_a_box() -> None:
    solid = fine(prism(rectangle(613.0, 47.5), 22.2))
    assert solid.volume == pytest.approx(613.0 * 47.5 * 22.2, rel=1e-12)
    assert solid.area == pytest.approx(2.0 * (613.0 * 47.5 + 613.0 * 22.2 + 47.5 * 22.2), rel=1e-12)
    assert solid.centroid == pytest.approx((306.5, 23.75, 11.1))


def test_parabola_prism_is_two_thirds_of_its_box() -> None:
    """Archimedes: a segment of a parabola is four thirds of its triangle, so two thirds of the box round it."""
    half, rise = 150.0, 60.0
    bow = Cubic((half, 0.0), (half / 3.0, 4.0 * rise / 3.0), (-half / 3.0, 4.0 * rise / 3.0), (-half, 0.0))
    solid = fine(prism(outline([Line((-half, 0.0), (half, 0.0)), bow]), 20.0))
    assert solid.volume == pytest.approx(2.0 / 3.0 * 2.0 * half * rise * 20.0, rel=2e-4)


@pytest.mark.parametrize("quality", [Quality.LIVE, Quality.FINE])
def test_cylinder_is_within_its_stated_tolerance(quality: Quality) -> None:
    """Chords at most the tolerance inside the circle: the section lies between the two circles' areas."""
    station = Station(at=0.0, v=(-14.0, 14.0), w=(-14.0, 14.0))
    stick = Shape(body=Stick(round=True, stations=(station, replace(station, at=400.0))))
    volume = shape_solid(stick, quality=quality).volume
    outer, inner = math.pi * 14.0**2 * 400.0, math.pi * (14.0 - quality.tolerance) ** 2 * 400.0
    assert inner <= volume <= outer


def test_tapered_leg_is_a_frustum() -> None:
    """Euclid XII: h/3 (A + B + sqrt(AB)) for similar ends."""
    stations = (
        Station(at=0.0, v=(-21.0, 21.0), w=(-15.0, 15.0)),
        Station(at=700.0, v=(-14.0, 14.0), w=(-10.0, 10.0)),
    )
    a, b = 42.0 * 30.0, 28.0 * 20.0
    solid = fine(Shape(body=Stick(stations=stations)))
    assert solid.volume == pytest.approx(700.0 / 3.0 * (a + b + math.sqrt(a * b)), rel=1e-12)


def test_leg_tapered_on_its_inner_faces_only_is_a_prismoid() -> None:
    """Prismoidal formula, h/6 (A + 4 M + B): exact for plane-faced solids between two parallel ends."""
    stations = (
        Station(at=0.0, v=(-21.0, 21.0), w=(-21.0, 21.0)),
        Station(at=650.0, v=(-21.0, 9.0), w=(-5.0, 21.0)),
    )
    middle = (42.0 + 30.0) / 2.0 * (42.0 + 26.0) / 2.0
    solid = fine(Shape(body=Stick(stations=stations)))
    assert solid.volume == pytest.approx(650.0 / 6.0 * (42.0 * 42.0 + 4.0 * middle + 30.0 * 26.0), rel=1e-12)


def test_round_tapered_leg_is_a_cone_frustum() -> None:
    stations = (
        Station(at=0.0, v=(-20.0, 20.0), w=(-20.0, 20.0)),
        Station(at=500.0, v=(-12.0, 12.0), w=(-12.0, 12.0)),
    )
    solid = fine(Shape(body=Stick(round=True, stations=stations)))
    exact = math.pi * 500.0 / 3.0 * (400.0 + 240.0 + 144.0)
    assert solid.volume == pytest.approx(exact, rel=2e-3)
    assert solid.volume < exact


@pytest.mark.parametrize(("quality", "share"), [(Quality.LIVE, 1e-3), (Quality.FINE, 5e-5)])
def test_box_rounded_all_over_obeys_steiner(quality: Quality, share: float) -> None:
    """Steiner: the box of the centres, grown by r: V + S r + pi r^2 (a + b + c) + 4/3 pi r^3."""
    r, sides = 3.0, (120.0, 40.0, 30.0)
    a, b, c = (side - 2.0 * r for side in sides)
    exact = (
        a * b * c
        + 2.0 * (a * b + b * c + a * c) * r
        + math.pi * r**2 * (a + b + c)
        + 4.0 / 3.0 * math.pi * r**3
    )
    shape = replace(
        prism(rectangle(sides[0], sides[1]), sides[2]),
        edges=(EdgeCut(kind=EdgeKind.ROUND, size=r, on="all"),),
    )
    solid = shape_solid(shape, quality=quality)
    off, wanted = math.prod(sides) - solid.volume, math.prod(sides) - exact
    assert off == pytest.approx(wanted, rel=share)


def test_half_round_rail_balances_where_pappus_says() -> None:
    """The middle of a half disc lies 4 r / (3 pi) from its flat."""
    half = outline([Line((-50.0, 0.0), (50.0, 0.0)), Arc((50.0, 0.0), (0.0, 50.0), (-50.0, 0.0))])
    solid = fine(prism(half, 30.0))
    assert solid.centroid == pytest.approx((0.0, 4.0 * 50.0 / (3.0 * math.pi), 15.0), abs=0.01)
    assert solid.area_of_faces("side 2") == pytest.approx(math.pi * 50.0 * 30.0, rel=1e-3)
