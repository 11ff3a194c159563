"""GLB and STL as other programs read them: every example opened again with an independent library (trimesh)."""

from __future__ import annotations

import io
import json
import struct
from functools import cache
from typing import Any

import numpy as np
import pytest
import trimesh

from batchwright.model.piece import Part
from batchwright.sheets.render.glb import render_glb
from batchwright.sheets.render.stl import render_stl
from batchwright.sheets.scene.body import Body, Colour, Skin
from batchwright.sheets.views.made import make
from batchwright.sheets.views.standing import Skins, at_the_bench, standing, standing_apart
from batchwright.solids.build import recipe_solid
from batchwright.solids.solid import Quality
from example_packets import JOBS, planned

EXAMPLES = sorted(JOBS)
SINGLE = 1e-5
"""Share of a volume that single precision may cost."""


@cache
def skins(name: str) -> Skins:
    return Skins(Quality.LIVE)


@cache
def piece_glb(name: str) -> bytes:
    return render_glb(standing(planned(name).piece, skins(name)), name)


def parsed(content: bytes) -> tuple[dict[str, Any], bytes]:
    """Header and chunks as glTF 2.0, section 4.4, has them."""
    magic, version, length = struct.unpack_from("<4sII", content)
    assert (magic, version, length) == (b"glTF", 2, len(content))
    size, kind = struct.unpack_from("<I4s", content, 12)
    assert kind == b"JSON" and size % 4 == 0
    told = json.loads(content[20 : 20 + size])
    rest = 20 + size
    size, kind = struct.unpack_from("<I4s", content, rest)
    assert kind == b"BIN\0" and size % 4 == 0 and rest + 8 + size == len(content)
    return told, content[rest + 8 :]


def opened(content: bytes, kind: str) -> Any:
    return trimesh.load(io.BytesIO(content), file_type=kind)


def exact(part: Part) -> float:
    return recipe_solid(part.recipe, Quality.LIVE).volume


@pytest.mark.parametrize("name", EXAMPLES)
def test_glb_holds_every_part_by_name_right_side_out_in_metres(name: str) -> None:
    scene = opened(piece_glb(name), "glb")
    piece = planned(name).piece
    assert set(scene.graph.nodes_geometry) == {part.id for part in piece.parts}
    for part in piece.parts:
        matrix, geometry = scene.graph[part.id]
        mesh = scene.geometry[geometry].copy()
        mesh.apply_transform(matrix)
        assert np.linalg.det(matrix[:3, :3]) == pytest.approx(1.0, abs=1e-6)
        assert mesh.volume * 1e9 == pytest.approx(exact(part), rel=SINGLE)


@pytest.mark.parametrize("name", EXAMPLES)
def test_glb_stands_with_y_up_and_its_front_towards_z(name: str) -> None:
    """glTF 2.0, 3.4: +y is up, the front of an asset faces +z. Ours: z up, the front at -y."""
    bounds = make(planned(name).piece).bounds.values()
    low = np.min([box[0] for box in bounds], axis=0) / 1000.0
    high = np.max([box[1] for box in bounds], axis=0) / 1000.0
    found = opened(piece_glb(name), "glb").bounds
    assert found[0] == pytest.approx([low[0], low[2], -high[1]], abs=1e-5)
    assert found[1] == pytest.approx([high[0], high[2], -low[1]], abs=1e-5)


@pytest.mark.parametrize("name", EXAMPLES)
def test_glb_says_nothing_that_is_not_used_and_its_normals_look_out(name: str) -> None:
    told, binary = parsed(piece_glb(name))
    used = {node["mesh"] for node in told["nodes"]}
    assert used == set(range(len(told["meshes"])))
    primitives = [one for mesh in told["meshes"] for one in mesh["primitives"]]
    numbers = {n for one in primitives for n in (*one["attributes"].values(), one["indices"])}
    assert numbers == set(range(len(told["accessors"])))
    assert {one["material"] for one in primitives} == set(range(len(told["materials"])))
    assert [each["bufferView"] for each in told["accessors"]] == list(range(len(told["bufferViews"])))
    assert told["buffers"] == [{"byteLength": len(binary)}]
    for one in primitives:
        points, normals = (_array(told, binary, one["attributes"][word]) for word in ("POSITION", "NORMAL"))
        triangles = _array(told, binary, one["indices"]).reshape(-1, 3)
        assert np.linalg.norm(normals, axis=1) == pytest.approx(1.0, abs=1e-5)
        a, b, c = (points[triangles[:, i]] for i in range(3))
        across = np.cross(b - a, c - a)
        big = np.linalg.norm(across, axis=1) > 1e-7
        for corner in range(3):
            assert (np.einsum("ij,ij->i", across, normals[triangles[:, corner]])[big] > 0.0).all()


def _array(told: dict[str, Any], binary: bytes, number: int) -> Any:
    accessor = told["accessors"][number]
    view = told["bufferViews"][accessor["bufferView"]]
    kind = {5126: "<f4", 5123: "<u2", 5125: "<u4"}[accessor["componentType"]]
    wide = {"VEC3": 3, "SCALAR": 1}[accessor["type"]]
    array = np.frombuffer(binary, kind, accessor["count"] * wide, view["byteOffset"])
    assert view["byteLength"] == array.nbytes
    return array.reshape(-1, wide).astype(float) if wide == 3 else array.astype(int)


def test_a_pair_is_mirrored_and_told_apart() -> None:
    scene = opened(piece_glb("terrace-armchair"), "glb")
    told, _ = parsed(piece_glb("terrace-armchair"))
    hands = {node["name"]: node["extras"]["hand"] for node in told["nodes"]}
    pairs = [name for name in hands if name.startswith("left ") and f"right {name[5:]}" in hands]
    assert len(pairs) >= 5
    for left in pairs:
        right = f"right {left[5:]}"
        assert {hands[left], hands[right]} == {"left", "right"}
        boxes = [scene.geometry[scene.graph[one][1]].copy() for one in (left, right)]
        for mesh, one in zip(boxes, (left, right), strict=True):
            mesh.apply_transform(scene.graph[one][0])
        assert boxes[0].centroid == pytest.approx(boxes[1].centroid * [-1.0, 1.0, 1.0], abs=1e-5)


def test_parts_that_are_the_same_share_one_mesh() -> None:
    told, _ = parsed(piece_glb("garden-settee"))
    assert len(told["meshes"]) < len(told["nodes"])


def test_drawn_apart_moves_parts_and_nothing_else() -> None:
    name = "hall-table"
    plan = planned(name)
    apart = opened(render_glb(standing_apart(make(plan.piece), skins(name)), name), "glb")
    together = opened(piece_glb(name), "glb")
    moved = [apart.graph[part.id][0] - together.graph[part.id][0] for part in plan.piece.parts]
    assert np.abs([each[:3, :3] for each in moved]).max() < 1e-9
    assert min(np.linalg.norm(each[:3, 3]) for each in moved) > 0.01
    assert (apart.extents > together.extents * 1.2).all()


@pytest.mark.parametrize("name", EXAMPLES)
def test_stl_of_each_part_is_watertight_outward_and_as_large_as_its_solid(name: str) -> None:
    for kind in planned(name).piece.kinds:
        part = planned(name).piece.part(kind.parts[0])
        content = render_stl([at_the_bench(part, skins(name))], part.id)
        assert not content.startswith(b"solid")
        assert len(content) == 84 + 50 * struct.unpack_from("<I", content, 80)[0]
        mesh = opened(content, "stl")
        assert mesh.is_watertight and mesh.is_winding_consistent, part.id
        assert mesh.volume == pytest.approx(exact(part), rel=SINGLE)
        assert np.einsum("ij,ij->i", mesh.face_normals, np.asarray(mesh.face_normals)) == pytest.approx(1.0)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_part_alone_lies_in_its_bench_coordinates(name: str) -> None:
    """From the reference end 0 to its length (a mirror image runs to the other side), face edge and face side at 0."""
    for part in planned(name).piece.parts:
        low, high = opened(render_stl([at_the_bench(part, skins(name))], part.id), "stl").bounds
        ends = (-part.length, 0.0) if part.bench.mirrored else (0.0, part.length)
        assert (low[0], high[0]) == pytest.approx(ends, abs=0.15)
        assert low[1:] == pytest.approx([0.0, 0.0], abs=0.15)
        assert high[1:] == pytest.approx([part.width, part.thickness], abs=0.15)


def cube(frame_mirrored: bool = False) -> Body:
    points = np.array([(x, y, z) for x in (0.0, 1.0) for y in (0.0, 1.0) for z in (0.0, 1.0)])
    hull = trimesh.convex.convex_hull(points)
    skin = Skin(points=hull.vertices, normals=hull.vertex_normals, triangles=hull.faces)
    return Body(name="cube", skin=skin.mirrored() if frame_mirrored else skin, colour=Colour("oak", (0.5, 0.04, 1.0)))


@pytest.mark.parametrize("mirrored", [False, True])
def test_a_mirrored_skin_is_right_side_out(mirrored: bool) -> None:
    assert opened(render_stl([cube(mirrored)], "cube"), "stl").volume == pytest.approx(1.0)


def test_colours_are_told_as_light() -> None:
    """IEC 61966-2-1: half of sRGB is 0.21404 of the light; 0.04 lies on the straight piece; 1 is 1."""
    told, _ = parsed(render_glb([cube()], "cube"))
    assert told["materials"][0]["pbrMetallicRoughness"]["baseColorFactor"] == pytest.approx(
        [0.21404, 0.04 / 12.92, 1.0, 1.0], abs=1e-5
    )


def test_without_a_body_there_is_no_file() -> None:
    with pytest.raises(ValueError, match="at least one body"):
        render_glb([], "nothing")
    with pytest.raises(ValueError, match="at least one body"):
        render_stl([], "nothing")
