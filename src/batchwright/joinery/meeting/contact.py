"""The face a part comes up to: sight lines from its section strike the other part; a plane, a curve, or two faces."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.frame import Array, Plane, Vec2, Vec3, dot, vec3
from batchwright.joinery.meeting.standing import Section, Standing
from batchwright.solids.kernel import Ints
from batchwright.solids.planes import plane_named
from batchwright.solids.rays import Strikes, cast_grid, faces_of_grid
from batchwright.solids.solid import Solid

ACROSS, THROUGH = 9, 7
"""Sight lines in the width and in the thickness of a section: 63."""
INSET = 0.25
"""How far inside the section's edge the outermost sight lines stand [mm]."""
BEFORE = 1.0
"""How far before the other part the section is taken [mm]."""
STEEP = math.radians(15.0)
"""A face nearer than this to the part's own direction is run along, not met [rad]."""
MOSTLY = 2.0 / 3.0
"""Where a flat runs into a curve without an arris, the flat is the face if it takes this share of the strikes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """What the sight lines found. `plane` is where the shoulder lies; its normal looks into the struck part.

    points (n, 2) of the sight lines in the section's (x, y); depth (n,): how far behind the plane each strikes, along
    the plane's normal, nan where it missed or struck another face [mm].
    """

    plane: Plane
    face: str
    faces: frozenset[int]
    """Numbers of the struck faces that run into one another with that one."""
    flat: bool
    hollow: float
    """Deepest strike of the face behind the plane [mm]."""
    share: float
    """Share of the strikes that fell on this face."""
    missed: float
    """Share of the section that passes beside the struck part."""
    proud: float
    """How far another face stands before the plane [mm]."""
    deepest: float
    """Deepest strike of any face behind the plane: where a shoulder let in lies [mm]."""
    points: Array
    depth: Array


def sight_grid(section: Section, across: int = ACROSS, through: int = THROUGH) -> tuple[Array, Array]:
    """Sight lines over a section: points (n, 2) in its (x, y), and the share of the section each stands for (n,)."""
    columns, rows = _columns_and_rows(section, across, through)
    grid = np.column_stack([np.repeat(columns, through), np.tile(rows, across)])
    weight = _weights(across, through)
    inside = _inside(section, grid)
    if inside is not None:
        grid, weight = grid[inside], weight[inside]
    return grid, weight / weight.sum()


Lines = tuple[int, int]
"""How many sight lines stand in the width of a section, and in its thickness."""


def sighted(
    solid: Solid, section: Section, lines: Lines = (ACROSS, THROUGH), moved: Vec2 = (0.0, 0.0), *, reach: float
) -> Strikes:
    """What the sight lines of a section strike, in the order of its grid; from a section moved in its own (x, y)."""
    columns, rows = _columns_and_rows(section, *lines)
    strikes = cast_grid(solid, section.frame, (columns + moved[0], rows + moved[1]), within=reach)
    grid = np.column_stack([np.repeat(columns, lines[1]), np.tile(rows, lines[0])])
    inside = _inside(section, grid)
    return strikes if inside is None else strikes.some(inside)


def sighted_faces(
    solid: Solid, section: Section, lines: Lines, moved: Vec2 = (0.0, 0.0), *, reach: float
) -> Ints:
    """The numbers of the faces they strike, -1 for those that miss, (n,)."""
    columns, rows = _columns_and_rows(section, *lines)
    faces = faces_of_grid(solid, section.frame, (columns + moved[0], rows + moved[1]), within=reach)
    if _fills_its_box(section):
        return faces
    return faces[within_loop(section.loop, np.column_stack([np.repeat(columns, lines[1]), np.tile(rows, lines[0])]))]


def _columns_and_rows(section: Section, across: int, through: int) -> tuple[Array, Array]:
    half = [section.width / 2.0, section.thickness / 2.0]
    columns, rows = (np.linspace(-1.0, 1.0, n) * (h - min(INSET, h / 4.0)) for h, n in zip(half, (across, through)))
    return columns, rows


@lru_cache(maxsize=8)
def _weights(across: int, through: int) -> Array:
    """What each sight line of a whole grid stands for before it is shared out: half at the edges."""
    wx, wy = (np.r_[0.5, np.ones(n - 2), 0.5] for n in (across, through))
    return np.outer(wx, wy).ravel()


def _inside(section: Section, grid: Array) -> NDArray[np.bool_] | None:
    """Which points of a grid (n, 2) lie in a section; None where all do."""
    return None if _fills_its_box(section) else within_loop(section.loop, grid)


def _fills_its_box(section: Section) -> bool:
    """Whether a section is a rectangle."""
    half = np.array([section.width, section.thickness]) / 2.0
    return len(section.loop) == 4 and bool((np.abs(np.abs(section.loop) - half) < 1e-9).all())


def within_loop(loop: Array, points: Array) -> NDArray[np.bool_]:
    """Which points (n, 2) lie inside a closed loop (m, 2): crossings of a ray, even or odd."""
    a, b = loop, np.roll(loop, -1, axis=0)
    px, py = points[:, None, 0], points[:, None, 1]
    straddles = (a[:, 1] > py) != (b[:, 1] > py)
    with np.errstate(divide="ignore", invalid="ignore"):
        x = a[:, 0] + (py - a[:, 1]) * (b[:, 0] - a[:, 0]) / (b[:, 1] - a[:, 1])
    odd: NDArray[np.bool_] = (straddles & (px < x)).sum(axis=1) % 2 == 1
    return odd


def contact_of(b: Standing, section: Section, reach: float) -> Contact | None:
    """Where a section, sent along its direction, first meets a part; None if no sight line strikes within `reach`."""
    grid, weight = sight_grid(section)
    strikes = sighted(b.solid, section, reach=reach)
    hit = strikes.hit
    if not hit.any():
        return None
    groups = _smooth_groups(b.solid, strikes.faces[hit])
    group_of = np.full(len(hit), -1)
    for number, group in groups.items():
        group_of[hit & (strikes.faces == number)] = group
    main = _heaviest(group_of, weight, strikes)
    mine = group_of == main
    face, flat = _face_of(b.solid, strikes.faces[mine], weight[mine])
    plane = _plane(b, (face, flat), strikes.points[mine], section.frame.z)
    heights = (strikes.points - np.array(plane.point)) @ np.array(plane.normal)
    first = float(heights[mine].min())
    plane = Plane(vec3(np.array(plane.point) + first * np.array(plane.normal)), plane.normal)
    heights = heights - first
    other = hit & ~mine
    return Contact(
        plane=plane,
        face=b.solid.book[face].name,
        faces=frozenset(number for number, group in groups.items() if group == main),
        flat=flat,
        hollow=float(heights[mine].max()),
        share=float(weight[mine].sum() / weight[hit].sum()),
        missed=float(weight[~hit].sum()),
        proud=max(0.0, -float(heights[other].min())) if other.any() else 0.0,
        deepest=float(heights[hit].max()),
        points=grid,
        depth=np.where(mine, heights, np.nan),
    )


def _smooth_groups(solid: Solid, faces: Ints) -> dict[int, int]:
    """Struck faces that run into one another without an arris, by the least number of each group."""
    found = sorted({int(face) for face in faces})
    group = {face: face for face in found}
    for low, high in sorted(solid.joins):
        if low in group and high in group:
            old, new = max(group[low], group[high]), min(group[low], group[high])
            group = {face: new if g == old else g for face, g in group.items()}
    return group


def _heaviest(group_of: Ints, weight: Array, strikes: Strikes) -> int:
    """The group with the largest share of the section; of equals, the nearest."""
    ids = sorted({int(g) for g in group_of if g >= 0})
    return max(
        ids,
        key=lambda g: (
            round(float(weight[group_of == g].sum()), 9),
            -round(float(strikes.distance[group_of == g].mean()), 6),
        ),
    )


def _face_of(solid: Solid, faces: Ints, weight: Array) -> tuple[int, bool]:
    """The face that stands for a smooth group: a flat with most of its strikes, else its heaviest, as a curve."""
    ids = sorted({int(face) for face in faces})
    best = max(ids, key=lambda face: round(float(weight[faces == face].sum()), 9))
    share = float(weight[faces == best].sum() / weight.sum())
    return best, solid.book[best].flat and share >= MOSTLY


def _plane(b: Standing, face: tuple[int, bool], points: Array, direction: Vec3) -> Plane:
    """The struck plane, exactly as drawn; for a curve, the plane through its strikes by least squares."""
    number, flat = face
    if flat:
        drawn = plane_named(b.part.shape, b.solid.book[number].name)
        if drawn is not None:
            world = b.part.frame.plane_to_world(drawn)
            if abs(float(np.median((points - np.array(world.point)) @ np.array(world.normal)))) < 0.02:
                return _looking(world, direction)
    middle = points.mean(axis=0)
    if len(points) < 3:
        return Plane(vec3(middle), direction)
    _, _, axes = np.linalg.svd(points - middle)
    return _looking(Plane(vec3(middle), vec3(axes[2] / np.linalg.norm(axes[2]))), direction)


def _looking(plane: Plane, direction: Vec3) -> Plane:
    """The plane with its normal on the side of a direction."""
    if dot(plane.normal, direction) >= 0.0:
        return plane
    return Plane(plane.point, (-plane.normal[0], -plane.normal[1], -plane.normal[2]))


def runs_along(contact: Contact, direction: Vec3) -> bool:
    """Whether the part runs along the face rather than up to it."""
    return abs(dot(contact.plane.normal, direction)) < math.sin(STEEP)
