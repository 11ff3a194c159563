"""Offsets, overlaps and distances of polygons. The polygon library enters here and nowhere else."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

import numpy as np
import shapely

from batchwright.geometry.flat import flatten
from batchwright.geometry.frame import Array
from batchwright.geometry.segment import Outline

Join = Literal["round", "mitre", "bevel"]

OFFSET_ERROR = 0.005
"""How far an offset may stray from the true one [mm]."""


def offset_outline(
    shape: Outline, distance: float, join: Join = "round", mitre_limit: float = 5.0
) -> tuple[Array, ...]:
    """The outline grown (distance > 0) or shrunk (< 0), as polygons, counter-clockwise, within 0.005 mm.

    What grows round a corner is an arc (`round`), goes on to a point up to `mitre_limit` distances off
    (`mitre`), or is cut straight (`bevel`). A shrunk outline may fall into several polygons, or vanish: no
    polygon. Holes that a grown outline closes round are not given. Largest first; each of shape (n, 2) [mm].

    Raises
    ------
    ValueError
        If the outline crosses itself.
    """
    return offset_polygon(flatten(shape.segments, 0.5 * OFFSET_ERROR)[:-1], distance, join, mitre_limit)


def offset_polygon(
    polygon: Array, distance: float, join: Join = "round", mitre_limit: float = 5.0
) -> tuple[Array, ...]:
    """A polygon (n, 2) grown or shrunk as `offset_outline` does it."""
    grown = shapely.buffer(
        _polygon(polygon),
        distance,
        quad_segs=_quarter_steps(abs(distance)),
        join_style=join,
        mitre_limit=mitre_limit,
    )
    return _rings(grown)


def _quarter_steps(radius: float) -> int:
    """Chords in a quarter circle of which none strays by more than half the error."""
    if radius <= OFFSET_ERROR:
        return 2
    step = 4.0 * np.arcsin(np.sqrt(0.25 * OFFSET_ERROR / radius))
    return max(4, int(np.ceil(0.5 * np.pi / step)))


def _polygon(points: Array) -> shapely.Polygon:
    polygon = shapely.Polygon(points)
    if not polygon.is_valid:
        raise ValueError(f"the polygon is not sound: {shapely.is_valid_reason(polygon)}")
    return polygon


def _rings(geometry: shapely.Geometry) -> tuple[Array, ...]:
    """Outer rings of all polygons in a geometry, counter-clockwise, largest first, first point not repeated."""
    parts = [part for part in shapely.get_parts(geometry) if part.geom_type == "Polygon" and part.area > 0.0]
    parts.sort(key=lambda part: (-round(part.area, 6), part.bounds))
    rings = [shapely.get_coordinates(shapely.get_exterior_ring(shapely.orient_polygons(p))) for p in parts]
    return tuple(np.asarray(ring[:-1], dtype=np.float64) for ring in rings)


def polygon_overlap_area(a: Array, b: Array) -> float:
    """Area that two polygons (n, 2) share [mm^2]."""
    return float(shapely.area(shapely.intersection(_polygon(a), _polygon(b))))


def polygon_intersection(a: Array, b: Array) -> tuple[Array, ...]:
    """What two polygons share, as polygons, largest first."""
    return _rings(shapely.intersection(_polygon(a), _polygon(b)))


def polygon_difference(a: Array, b: Array) -> tuple[Array, ...]:
    """What of `a` lies outside `b`, as polygons (outer rings), largest first."""
    return _rings(shapely.difference(_polygon(a), _polygon(b)))


def polygon_union(polygons: Iterable[Array]) -> tuple[Array, ...]:
    """What any of the polygons covers, as polygons (outer rings), largest first."""
    return _rings(shapely.union_all([_polygon(p) for p in polygons]))


def polygon_distance(a: Array, b: Array) -> float:
    """Least distance between two polygons, 0 when they touch or overlap [mm]."""
    return float(shapely.distance(_polygon(a), _polygon(b)))


def polygon_contains(a: Array, b: Array, slack: float = 1e-6) -> bool:
    """Whether `b` lies in `a`, strays of up to `slack` forgiven [mm]."""
    outside = shapely.difference(_polygon(b), shapely.buffer(_polygon(a), slack, join_style="mitre"))
    return bool(shapely.is_empty(outside))
