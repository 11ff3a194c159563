"""Views of solids with hidden lines: front, side, plan, pictorial, any direction, drawn apart, in section."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from batchwright.geometry.frame import Array, Frame, Vec3, cross, unit
from batchwright.solids.assembly import KINDS, Assembly, assembled
from batchwright.solids.hidden import Runs, Segments, runs_of, segments_of
from batchwright.solids.lines import Piece, polylines, without_doubles
from batchwright.solids.section import Cut, section
from batchwright.solids.solid import Solid
from batchwright.solids.trim import behind


@dataclass(frozen=True, slots=True, kw_only=True)
class Axes:
    """How a view lies on paper: world directions of length 1 to the right, up, and towards the viewer."""

    right: Vec3
    up: Vec3
    towards: Vec3

    def matrix(self) -> Array:
        """Rows right, up, towards, shape (3, 3)."""
        return np.array([self.right, self.up, self.towards])

    def on_paper(self, points: Array) -> Array:
        """World points (n, 3) on paper, shape (n, 2)."""
        flat: Array = np.atleast_2d(points) @ self.matrix()[:2].T
        return flat


FRONT = Axes(right=(1.0, 0.0, 0.0), up=(0.0, 0.0, 1.0), towards=(0.0, -1.0, 0.0))
SIDE = Axes(right=(0.0, 1.0, 0.0), up=(0.0, 0.0, 1.0), towards=(1.0, 0.0, 0.0))
PLAN = Axes(right=(1.0, 0.0, 0.0), up=(0.0, 1.0, 0.0), towards=(0.0, 0.0, 1.0))


def looking_from(towards: Vec3, up: Vec3 = (0.0, 0.0, 1.0)) -> Axes:
    """The view seen from a direction, with `up` upright on paper (or straight back, for a view from above)."""
    z = unit(towards)
    right = cross(up, z)
    if math.sqrt(sum(value * value for value in right)) < 1e-9:
        right = (1.0, 0.0, 0.0)
    x = unit(right)
    return Axes(right=x, up=cross(z, x), towards=z)


PICTORIAL = looking_from((0.48, -0.76, 0.44))
"""From the front, the +x side and above; parallel lines stay parallel, lengths are foreshortened unevenly."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ViewLine:
    """One line of a view: points on paper (n, 2) [mm], closed if the first is the last.

    owner: the part's name; kind: shape, eased, shoulder, housing, mortise, tenon or section; arris: False where a
    curved surface turns away.
    """

    points: Array
    owner: str
    kind: str
    visible: bool
    arris: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """A view on paper at full size [mm]: lines, and where it was seen from."""

    axes: Axes
    lines: tuple[ViewLine, ...]

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least right, least up, greatest right, greatest up of its lines [mm]."""
        if not self.lines:
            return (0.0, 0.0, 0.0, 0.0)
        points = np.vstack([line.points for line in self.lines])
        low, high = points.min(axis=0), points.max(axis=0)
        return (float(low[0]), float(low[1]), float(high[0]), float(high[1]))


def view(parts: Assembly | Sequence[tuple[str, Solid]], axes: Axes, hidden: bool = True) -> View:
    """Lines of parts seen along an axis. For several views of the same parts, `assembled(parts)` once and pass it."""
    assembly = parts if isinstance(parts, Assembly) else assembled(parts)
    matrix = axes.matrix()
    segments = segments_of(assembly, matrix)
    runs = runs_of(assembly, segments, matrix)
    pieces = without_doubles(_pieces(segments, runs, hidden))
    lines = tuple(
        ViewLine(
            points=points,
            owner=assembly.owners[group[0]],
            kind=KINDS[group[1]],
            visible=group[2],
            arris=group[3],
        )
        for group, points in polylines(pieces)
    )
    return View(axes=axes, lines=lines)


def _pieces(segments: Segments, runs: Runs, hidden: bool) -> list[Piece]:
    keep = np.nonzero(runs.visible | hidden)[0]
    number = runs.segment[keep]
    depth = (runs.start[keep, 2] + runs.end[keep, 2]) / 2.0
    return [
        Piece(start=(a[0], a[1]), end=(b[0], b[1]), depth=z, group=(owner, kind, visible, arris))
        for a, b, z, owner, kind, visible, arris in zip(
            runs.start[keep].tolist(),
            runs.end[keep].tolist(),
            depth.tolist(),
            segments.owner[number].tolist(),
            segments.kind[number].tolist(),
            runs.visible[keep].tolist(),
            segments.arris[number].tolist(),
        )
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionView:
    """What lies behind a plane, seen square to it, and the cut faces: loops on paper of each part that is cut."""

    view: View
    cuts: tuple[tuple[str, Cut], ...]


def section_view(parts: Sequence[tuple[str, Solid]], frame: Frame, hidden: bool = False) -> SectionView:
    """Parts cut by the plane z = 0 of `frame`, seen against its z; paper coordinates are the frame's x and y."""
    kept, cuts = [], []
    for name, solid in parts:
        low, high = solid.extent(frame.z)
        level = float(np.dot(frame.origin, frame.z))
        if low >= level:
            continue
        if high > level:
            cut = section(solid, frame)
            if cut.loops:
                cuts.append((name, cut))
            solid = behind(solid, frame)
        kept.append((name, solid))
    axes = Axes(right=frame.x, up=frame.y, towards=frame.z)
    if not kept:
        return SectionView(view=View(axes=axes, lines=()), cuts=())
    seen = view(kept, axes, hidden)
    shift = axes.on_paper(np.array([frame.origin]))[0]
    lines = tuple(
        ViewLine(
            points=line.points - shift,
            owner=line.owner,
            kind=line.kind,
            visible=line.visible,
            arris=line.arris,
        )
        for line in seen.lines
    )
    return SectionView(view=View(axes=axes, lines=lines), cuts=tuple(cuts))
