"""Bodies to binary STL: triangles with outward normals, millimetres. The format itself keeps neither unit nor name."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from batchwright.sheets.scene.body import Body

HEADER = 80
_TRIANGLE = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def render_stl(bodies: Sequence[Body], title: str) -> bytes:
    """All bodies where they stand, each a closed shell of its own.

    Raises
    ------
    ValueError
        If there is no body.
    """
    if not bodies:
        raise ValueError("an STL file needs at least one body")
    records = np.concatenate([_triangles(body) for body in bodies])
    head = f"Batchwright, millimetres: {title}".encode("ascii", "replace")[:HEADER].ljust(HEADER)
    return head + len(records).to_bytes(4, "little") + records.tobytes()


def _triangles(body: Body) -> np.ndarray:
    skin = body.skin
    corners = body.frame.many_to_world(skin.points.astype(np.float64)).astype("<f4")[skin.triangles]
    wide = corners.astype(np.float64)
    normals = np.cross(wide[:, 1] - wide[:, 0], wide[:, 2] - wide[:, 0])
    length = np.linalg.norm(normals, axis=1)
    records = np.zeros(len(corners), dtype=_TRIANGLE)
    records["normal"] = normals / np.where(length > 0.0, length, 1.0)[:, None]
    records["corners"] = corners
    return records
