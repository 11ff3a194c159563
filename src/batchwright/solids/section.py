"""A solid cut through by a plane: exact closed loops in the plane's own coordinates."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from batchwright.geometry.frame import Array, Frame, Vec3, vec3
from batchwright.solids import kernel
from batchwright.solids.bodies import across
from batchwright.solids.solid import Solid


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """Where a plane cuts a solid. loops: closed, (n, 2) in (x, y) of the frame; outer ones counter-clockwise, holes
    clockwise; area [mm^2]."""

    loops: tuple[Array, ...]
    area: float


def section(solid: Solid, frame: Frame) -> Cut:
    """The section of a solid in the plane z = 0 of a frame, seen against the frame's z."""
    inverse = np.column_stack([*np.array([frame.x, frame.y, frame.z]).T, -_local_origin(frame)])
    body = kernel.moved(solid.body, inverse)
    loops = kernel.slice_at_zero(body)
    return Cut(loops=tuple(loops), area=sum(signed_area(loop) for loop in loops))


def _local_origin(frame: Frame) -> Array:
    axes = np.array([frame.x, frame.y, frame.z])
    moved: Array = axes @ np.array(frame.origin)
    return moved


def signed_area(loop: Array) -> float:
    """Area of a closed loop (n, 2), positive counter-clockwise [mm^2]."""
    x, y = loop[:, 0], loop[:, 1]
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum() / 2.0)


def plane_frame(point: Vec3, normal: Vec3, right: Vec3 | None = None) -> Frame:
    """A right-handed frame in a plane: z is the normal; x lies as near to `right` as the plane allows."""
    z = np.array(normal) / np.linalg.norm(normal)
    if right is not None:
        x = np.array(right) - (np.array(right) @ z) * z
        if np.linalg.norm(x) > 1e-9:
            x /= np.linalg.norm(x)
            return Frame(point, vec3(x), vec3(np.cross(z, x)), vec3(z))
    x, y = across(vec3(z))
    return Frame(point, vec3(x), vec3(y), vec3(z))
