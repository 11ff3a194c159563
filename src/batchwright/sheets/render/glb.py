"""Bodies to GLB (binary glTF 2.0): metres, y up, a node for each body with its name, a material for each colour.

The format looks along +z at the front of a thing and has y up; ours has z up and the front at -y. No node mirrors: a
mirror image has a surface of its own, right side out, so that readers that ignore a negative determinant are right too.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from batchwright import __version__
from batchwright.geometry.frame import Frame
from batchwright.sheets.scene.body import Body, Colour, Skin

METRE = 1000.0
"""Millimetres."""
Y_UP = np.array([(1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)])
MAGIC, VERSION, JSON_CHUNK, BINARY_CHUNK = 0x46546C67, 2, 0x4E4F534A, 0x004E4942
FLOAT, UNSIGNED_SHORT, UNSIGNED_INT = 5126, 5123, 5125
VERTICES, INDICES = 34962, 34963
LAST_SHORT = 65534
"""The greatest index that goes into two bytes; 65535 is kept for another use by the format."""


def render_glb(bodies: Sequence[Body], title: str) -> bytes:
    """All bodies in one scene.

    Raises
    ------
    ValueError
        If there is no body.
    """
    if not bodies:
        raise ValueError("a GLB file needs at least one body")
    file = _File()
    for body in bodies:
        file.add(body)
    return file.written(title)


@dataclass(slots=True)
class _File:
    """What has been put into the file so far."""

    binary: bytearray = field(default_factory=bytearray)
    views: list[dict[str, int]] = field(default_factory=list)
    accessors: list[dict[str, Any]] = field(default_factory=list)
    meshes: list[dict[str, Any]] = field(default_factory=list)
    materials: list[dict[str, Any]] = field(default_factory=list)
    nodes: list[dict[str, Any]] = field(default_factory=list)
    known: dict[object, int] = field(default_factory=dict)

    def add(self, body: Body) -> None:
        node: dict[str, Any] = {"name": body.name, "mesh": self._mesh(body)}
        matrix = _matrix(body.frame)
        if matrix != _IDENTITY:
            node["matrix"] = matrix
        if body.told:
            node["extras"] = dict(body.told)
        self.nodes.append(node)

    def _mesh(self, body: Body) -> int:
        key = (id(body.skin), body.colour)
        if key not in self.known:
            primitive = {**self._surface(body.skin), "material": self._material(body.colour), "mode": 4}
            self.known[key] = len(self.meshes)
            self.meshes.append({"name": body.name, "primitives": [primitive]})
        return self.known[key]

    def _surface(self, skin: Skin) -> dict[str, Any]:
        """The accessors of a surface, once for each."""
        key = ("surface", id(skin))
        if key not in self.known:
            self.known[key] = len(self.accessors)
            points = (skin.points / METRE).astype("<f4")
            self._vectors(points, bounded=True)
            self._vectors(_unit(skin.normals), bounded=False)
            self._indices(skin.triangles.ravel())
        first = self.known[key]
        return {"attributes": {"POSITION": first, "NORMAL": first + 1}, "indices": first + 2}

    def _vectors(self, values: np.ndarray, bounded: bool) -> None:
        accessor: dict[str, Any] = {"componentType": FLOAT, "count": len(values), "type": "VEC3"}
        if bounded:
            accessor["min"] = [float(value) for value in values.min(axis=0)]
            accessor["max"] = [float(value) for value in values.max(axis=0)]
        self._put(values.astype("<f4").tobytes(), VERTICES, accessor)

    def _indices(self, values: np.ndarray) -> None:
        short = int(values.max()) <= LAST_SHORT
        kind = UNSIGNED_SHORT if short else UNSIGNED_INT
        accessor = {"componentType": kind, "count": len(values), "type": "SCALAR"}
        self._put(values.astype("<u2" if short else "<u4").tobytes(), INDICES, accessor)

    def _put(self, content: bytes, target: int, accessor: dict[str, Any]) -> None:
        view = {"buffer": 0, "byteOffset": len(self.binary), "byteLength": len(content), "target": target}
        self.binary += content + b"\0" * (-len(content) % 4)
        self.accessors.append({"bufferView": len(self.views), **accessor})
        self.views.append(view)

    def _material(self, colour: Colour) -> int:
        if colour not in self.known:
            self.known[colour] = len(self.materials)
            factor = [round(_linear(share), 5) for share in colour.rgb] + [1.0]
            surface = {"baseColorFactor": factor, "metallicFactor": 0.0, "roughnessFactor": colour.rough}
            self.materials.append({"name": colour.name, "pbrMetallicRoughness": surface})
        return self.known[colour]

    def written(self, title: str) -> bytes:
        told = {
            "asset": {"version": "2.0", "generator": f"Batchwright {__version__}"},
            "scene": 0,
            "scenes": [{"name": title, "nodes": list(range(len(self.nodes)))}],
            "nodes": self.nodes,
            "meshes": self.meshes,
            "materials": self.materials,
            "accessors": self.accessors,
            "bufferViews": self.views,
            "buffers": [{"byteLength": len(self.binary)}],
        }
        text = json.dumps(told, separators=(",", ":"), ensure_ascii=False).encode()
        text += b" " * (-len(text) % 4)
        chunks = _chunk(text, JSON_CHUNK) + _chunk(bytes(self.binary), BINARY_CHUNK)
        return struct.pack("<III", MAGIC, VERSION, 12 + len(chunks)) + chunks


def _chunk(content: bytes, kind: int) -> bytes:
    return struct.pack("<II", len(content), kind) + content


def _unit(normals: np.ndarray) -> np.ndarray:
    narrow: np.ndarray = (normals / np.linalg.norm(normals, axis=1)[:, None]).astype("<f4")
    return narrow


def _matrix(frame: Frame) -> list[float]:
    """The node's matrix, column by column: the frame seen with y up, in metres."""
    turn = Y_UP @ np.column_stack([frame.x, frame.y, frame.z])
    origin = Y_UP @ np.array(frame.origin) / METRE
    columns = np.vstack([turn.T, origin])
    padded = np.column_stack([columns, [0.0, 0.0, 0.0, 1.0]])
    return [round(float(value), 12) + 0.0 for value in padded.ravel()]


_IDENTITY = [float(i % 5 == 0) for i in range(16)]


def _linear(share: float) -> float:
    """A share of sRGB as light. Source: IEC 61966-2-1, its transfer function."""
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4
