"""An answer as bytes: the length of its JSON, the JSON, then the meshes' numbers as they lie in memory."""

from __future__ import annotations

import json
import struct
from collections.abc import Iterable

import numpy as np

from batchwright.solids.display import DisplayMesh

WORD = 4
"""Everything begins at a multiple of four bytes, so that a page can look at the numbers where they are."""

Plain = dict[str, object]


def pack(answer: Plain, meshes: Iterable[DisplayMesh], around: Plain | None = None) -> bytes:
    """The answer with its meshes; `around` is told beside it. Little-endian 32-bit floats and whole numbers."""
    buffers: list[bytes] = []
    at = 0
    told: Plain = {}
    for mesh in meshes:
        entry: Plain = {"tenons": mesh.tenons, "soft": mesh.soft}
        arrays = {
            "positions": np.ascontiguousarray(mesh.positions, dtype="<f4"),
            "normals": np.ascontiguousarray(mesh.normals, dtype="<f4"),
            "indices": np.ascontiguousarray(mesh.indices, dtype="<u4"),
            "edges": np.ascontiguousarray(mesh.edges, dtype="<f4"),
        }
        for name, array in arrays.items():
            entry[name] = [at, array.size]
            buffers.append(array.tobytes())
            at += array.nbytes
        told[mesh.key] = entry
    shape: Plain = {"ok": True, **(around or {}), "answer": {**answer, "meshes": told}}
    text = as_json(shape)
    text += b" " * (-len(text) % WORD)
    return b"".join([struct.pack("<I", len(text)), text, *buffers])


def as_json(shape: Plain) -> bytes:
    """Plain values as UTF-8 JSON; a number that is none is our bug and raises ValueError."""
    return json.dumps(shape, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode("utf-8", "replace")
