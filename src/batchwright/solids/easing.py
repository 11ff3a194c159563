"""Tools that ease an arris: a section swept along a chain of arrises, to be cut away."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from batchwright.geometry.frame import Array
from batchwright.model.shape import EdgeCut, EdgeKind
from batchwright.solids import kernel
from batchwright.solids.edges import Arrises, Chain
from batchwright.solids.kernel import Body, Ints

OUTSIDE = 0.6
"""How far an easing tool reaches out of the wood [mm]."""

LEAD = 0.05
"""How far the easing's line is carried on beyond the faces it meets, so that it comes out of the wood cleanly [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sweep:
    """Sections along a chain: points (n, 3) on the arris; into_a, into_b (n, 3): mitred directions into the faces that
    are one millimetre square to the edge; closed; tangents at the two ends (3,)."""

    points: Array
    into_a: Array
    into_b: Array
    angle: Array
    """Angle of the wood at each section [rad], shape (n,)."""
    along: tuple[Array, Array]
    closed: bool


def sweep_of(arrises: Arrises, chain: Chain, vertices: Array) -> Sweep:
    """The sections at the ends of a chain's arrises, mitred where two follow one another."""
    run = np.array(chain.arrises)
    ends = arrises.ends[run]
    points = vertices[ends[:, 0]] if chain.closed else vertices[np.append(ends[:, 0], ends[-1, 1])]
    return Sweep(
        points=points,
        into_a=_mitred(arrises.inner_a[run], arrises.normal_a[run], chain.closed),
        into_b=_mitred(arrises.inner_b[run], arrises.normal_b[run], chain.closed),
        angle=_at_ends(_wood_angle(arrises, run), chain.closed),
        along=(arrises.along[run[0]], arrises.along[run[-1]]),
        closed=chain.closed,
    )


def _wood_angle(arrises: Arrises, run: Ints) -> Array:
    cosine = np.einsum("ij,ij->i", arrises.normal_a[run], arrises.normal_b[run])
    angle: Array = math.pi - np.arccos(np.clip(cosine, -1.0, 1.0))
    return angle


def _at_ends(values: Array, closed: bool) -> Array:
    """Means of what stands before and after each section."""
    before, after = _both(values, closed)
    mean: Array = (before + after) / 2.0
    return mean


def _both(values: Array, closed: bool) -> tuple[Array, Array]:
    """What stands before and after each section; at an open end the only value twice."""
    if closed:
        return np.roll(values, 1, axis=0), values
    return np.concatenate([values[:1], values]), np.concatenate([values, values[-1:]])


def _mitred(inner: Array, normals: Array, closed: bool) -> Array:
    """For each section the vector into the face that is 1 mm square to both neighbouring arrises.

    Where a curved face's facets change at the section it runs along the line between them, so that it stays on both.
    """
    before, after = _both(inner, closed)
    mitre: Array = (before + after) / (1.0 + np.einsum("ij,ij->i", before, after))[:, None]
    n_before, n_after = _both(normals, closed)
    fold = np.cross(n_before, n_after)
    bend = np.linalg.norm(fold, axis=1)
    along = np.where((bend > 1e-6)[:, None], fold / np.where(bend > 0.0, bend, 1.0)[:, None], 0.0)
    square = (np.einsum("ij,ij->i", along, before) + np.einsum("ij,ij->i", along, after)) / 2.0
    on_fold = np.abs(square) > 0.5
    ruled: Array = along / np.where(on_fold, square, 1.0)[:, None]
    return np.where(on_fold[:, None], ruled, mitre)


def reach_of(cut: EdgeCut, angle: float) -> float:
    """How far from the arris the easing begins, on either face [mm]."""
    return cut.size / math.tan(angle / 2.0) if cut.kind is EdgeKind.ROUND else cut.size


def removed_area(cut: EdgeCut, angle: float) -> float:
    """Section of the wood an easing takes off [mm^2]."""
    if cut.kind is EdgeKind.ROUND:
        return cut.size**2 * (1.0 / math.tan(angle / 2.0) - (math.pi - angle) / 2.0)
    return 0.5 * cut.size**2 * math.sin(angle)


def _arc_steps(cut: EdgeCut, angle: float, tolerance: float) -> int:
    if cut.kind is EdgeKind.CHAMFER:
        return 1
    half_step = math.acos(max(0.0, 1.0 - tolerance / max(cut.size, 2.0 * tolerance)))
    return max(2, math.ceil((math.pi - angle) / (2.0 * half_step)))


def _shares(cut: EdgeCut, angle: float, steps: int) -> Array:
    """The easing's line as multiples (into a, into b), shape (steps + 1, 2), from face a to face b."""
    reach = reach_of(cut, angle)
    if cut.kind is EdgeKind.CHAMFER:
        return np.array([(reach, 0.0), (0.0, reach)])
    middle = cut.size / math.sin(angle)
    sweep = math.pi - angle
    turn = np.linspace(0.0, sweep, steps + 1)
    first = np.array([reach - middle, -middle])
    second = first[::-1]
    spokes = (np.outer(np.sin(sweep - turn), first) + np.outer(np.sin(turn), second)) / math.sin(sweep)
    spokes[1:-1] *= _fair_spoke(sweep, steps)
    line: Array = middle + spokes
    return line


def _fair_spoke(sweep: float, steps: int) -> float:
    """How much longer the inner spokes of an arc are drawn so that its chords leave the area the arc would leave."""
    if steps < 2:
        return 1.0
    chord, ends, whole = math.sin(sweep / steps), 2.0, sweep
    inner = steps - 2
    if inner == 0:
        return whole / (ends * chord)
    return (-ends + math.sqrt(ends**2 + 4.0 * inner * whole / chord)) / (2.0 * inner)


def _outer_shares(reach: float, angle: float) -> Array:
    """Three corners outside the wood: over the easing's end on b, over the arris, over its end on a; shape (3, 2)."""
    sine, cosine = math.sin(angle), math.cos(angle)
    out_a = np.array([cosine, -1.0]) * OUTSIDE / sine
    out_b = np.array([-1.0, cosine]) * OUTSIDE / sine
    return np.array([np.array([0.0, reach]) + out_b, out_a + out_b, np.array([reach, 0.0]) + out_a])


def tool_of(sweep: Sweep, cut: EdgeCut, tolerance: float, face: int) -> Body:
    """The closed body that a sweep cuts away; its eased face has the number `face`.

    Raises
    ------
    ValueError
        If the sweep does not close up into a solid.
    """
    middle_angle = float(np.median(sweep.angle))
    steps = _arc_steps(cut, middle_angle, tolerance)
    angles, which = np.unique(np.round(sweep.angle, 9), return_inverse=True)
    shares = np.array([_section_shares(cut, float(angle), steps) for angle in angles])[which]
    m = shares.shape[1]
    points = (
        sweep.points[:, None, :]
        + shares[:, :, 0, None] * sweep.into_a[:, None, :]
        + shares[:, :, 1, None] * sweep.into_b[:, None, :]
    )
    vertices = points.reshape(-1, 3)
    n = len(sweep.points)
    base = np.arange(n if sweep.closed else n - 1)[:, None] * m
    following = (base + m) % (n * m)
    i = np.arange(m)[None, :]
    j = (i + 1) % m
    quads = [(base + i, following + i, following + j), (base + i, following + j, base + j)]
    triangles = [np.stack(np.broadcast_arrays(*quad), axis=-1).reshape(-1, 3) for quad in quads]
    if not sweep.closed:
        cap = kernel.triangles_of_polygon([_plain(cut, middle_angle, steps)])
        triangles += [cap, cap[:, ::-1] + (n - 1) * m]
    joined = np.vstack(triangles)
    faces = np.full(len(joined), face, dtype=np.int64)
    return kernel.body_of(vertices, _outward(vertices, joined), faces)


def _section_shares(cut: EdgeCut, angle: float, steps: int) -> Array:
    line = _shares(cut, angle, steps)
    first, last = line[0] - line[1], line[-1] - line[-2]
    line[0] += LEAD * first / math.sqrt(first @ first)
    line[-1] += LEAD * last / math.sqrt(last @ last)
    return np.vstack([line, _outer_shares(reach_of(cut, angle), angle)])


def _plain(cut: EdgeCut, angle: float, steps: int) -> Array:
    """The section in plain rectangular coordinates, counter-clockwise, shape (m, 2)."""
    shares = _section_shares(cut, angle, steps)
    axes = np.array([(1.0, 0.0), (math.cos(angle), math.sin(angle))])
    flat: Array = shares @ axes
    return flat


def _outward(vertices: Array, triangles: Ints) -> Ints:
    """The triangles, turned if the volume they enclose is negative."""
    a, b, c = np.moveaxis(vertices[triangles] - vertices.mean(axis=0), 1, 0)
    inside_out = np.einsum("ij,ij->", a, np.cross(b, c)) < 0.0
    return triangles[:, ::-1] if inside_out else triangles


def lengthened(sweep: Sweep, first: float, last: float) -> Sweep:
    """An open sweep carried on straight beyond its ends by `first` and `last` [mm]."""
    points = sweep.points.copy()
    points[0] -= first * sweep.along[0]
    points[-1] += last * sweep.along[1]
    return Sweep(
        points=points,
        into_a=sweep.into_a,
        into_b=sweep.into_b,
        angle=sweep.angle,
        along=sweep.along,
        closed=False,
    )


def folds(sweep: Sweep, arrises: Arrises, chain: Chain, reach: float) -> Ints:
    """Arrises of a chain, by their place in it, over which the easing would run backwards: too tight a curve."""
    along = arrises.along[np.array(chain.arrises)]
    bad = np.zeros(len(along), dtype=bool)
    for inward in (sweep.into_a, sweep.into_b):
        inset = sweep.points + reach * inward
        step = np.roll(inset, -1, axis=0)[: len(along)] - inset[: len(along)]
        bad |= np.einsum("ij,ij->i", step, along) < 1e-6
    found: Ints = np.nonzero(bad)[0]
    return found
