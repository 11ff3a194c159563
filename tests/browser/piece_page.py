"""A page with nothing on it but the piece in 3-D, served from the package's own files under the page's own policy."""

from __future__ import annotations

import json
import struct
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import lru_cache
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import numpy as np

import batchwright.web
from batchwright.model.piece import Piece
from batchwright.solids.build import recipe_solid
from batchwright.solids.display import display_mesh
from piece_files import EXAMPLES, jointed

STATIC = Path(batchwright.web.__file__).parent / "static"
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; "
    "font-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
KINDS = {
    ".js": "text/javascript",
    ".css": "text/css",
    ".woff2": "font/woff2",
    ".html": "text/html; charset=utf-8",
    ".bin": "application/octet-stream",
}

PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>The piece</title>
<link rel="stylesheet" href="/static/style/base.css"><link rel="stylesheet" href="/static/style/view3d.css">
<link rel="stylesheet" href="/page.css"></head>
<body><main><h1 class="unseen">A page</h1>
<h2 class="unseen">The piece</h2><div id="place"></div></main>
<script type="module" src="/page.js"></script>
</body></html>"""

STYLE = "body { margin: 0 } #place { block-size: 100vh }"

SCRIPT = """
import { decodeAnswer } from "/static/api.js";
import { Store } from "/static/store.js";
import { mount } from "/static/view3d/mount.js";

const place = document.getElementById("place");
const store = new Store();
const load = async (name) => {
  const { json, meshes } = decodeAnswer(await (await fetch(`/${name}.bin`)).arrayBuffer());
  return { answer: json.answer, meshes };
};
const show = async (name) => {
  const { answer, meshes } = await load(name);
  store.set({ answer, meshes: new Map([...store.get().meshes, ...meshes]) });
};
const mounted = mount(place, store);
Object.assign(window, { store, mounted, show, load });
const wanted = new URLSearchParams(location.search).get("piece");
if (wanted) await show(wanted);
document.body.dataset.ready = mounted ? "shown" : "none";
"""


def answer_of(piece: Piece) -> tuple[dict[str, object], dict[str, object]]:
    """What the picture reads of a piece, and its meshes by key."""
    meshes = {part.id: display_mesh(recipe_solid(part.recipe)) for part in piece.parts}
    corners = np.vstack(
        [part.recipe.frame.many_to_world(meshes[part.id].positions.astype(np.float64)) for part in piece.parts]
    )
    parts = [
        {
            "id": part.id,
            "name": part.draft.name,
            "mesh": meshes[part.id].key,
            "matrix": [*_column(part.recipe.frame.x, 0.0), *_column(part.recipe.frame.y, 0.0),
                       *_column(part.recipe.frame.z, 0.0), *_column(part.recipe.frame.origin, 1.0)],
            "shown": f"{part.thickness:.0f} x {part.width:.0f} x {part.length:.0f} mm",
            "wood": part.draft.wood,
            "grain": list(part.draft.grain),
        }
        for part in piece.parts
    ]  # fmt: skip
    joints = [
        {"id": j.id, "part": j.part, "into": j.into, "kind": j.kind.value, "form": j.end_form,
         "point": list(j.frame.origin), "closing": list(j.closing.direction), "travel": j.closing.travel,
         "sizes": [{"name": name, "shown": f"{sized.value:.1f}"} for name, sized in j.sizes]}
        for j in piece.joints
    ]  # fmt: skip
    fixings = [{"id": f.id, "part": f.part, "into": f.into, "kind": f.kind.value, "sizes": []} for f in piece.fixings]
    answer = {
        "revision": 1,
        "grey": False,
        "tried": False,
        "piece": {"name": piece.draft.name, "units": piece.draft.units, "wood": piece.draft.wood},
        "parts": parts,
        "joints": joints,
        "fixings": fixings,
        "box": [corners.min(axis=0).tolist(), corners.max(axis=0).tolist()],
    }
    return answer, {mesh.key: mesh for mesh in meshes.values()}


def _column(values: tuple[float, ...], last: float) -> list[float]:
    return [*values, last]


def packed(answer: Mapping[str, object], meshes: Mapping[str, object]) -> bytes:
    """An answer as the page takes it: length, JSON, then the numbers."""
    told, buffers, at = {}, [], 0
    for key, mesh in meshes.items():
        entry: dict[str, object] = {"tenons": mesh.tenons, "soft": mesh.soft}
        for name in ("positions", "normals", "indices", "edges"):
            array = getattr(mesh, name)
            entry[name] = [at, array.size]
            buffers.append(array.tobytes())
            at += array.nbytes
        told[key] = entry
    text = json.dumps({"ok": True, "answer": {**answer, "meshes": told}}).encode()
    text += b" " * (-len(text) % 4)
    return b"".join([struct.pack("<I", len(text)), text, *buffers])


@lru_cache(maxsize=16)
def example_answer(name: str, sizes: tuple[tuple[str, str], ...] = ()) -> bytes:
    """An example at some sizes, packed."""
    path = next(EXAMPLES.glob(f"{name}/*.piece.yaml"))
    piece = jointed(path.read_bytes(), path.name, dict(sizes)).piece
    assert piece is not None
    return packed(*answer_of(piece))


@dataclass
class Served:
    """The page being served: its address, and what more it holds (name of a file -> bytes)."""

    url: str
    files: dict[str, bytes] = field(default_factory=dict)


@contextmanager
def served() -> Iterator[Served]:
    """The page on a free port of this machine."""
    files: dict[str, bytes] = {"": PAGE.encode(), "page.js": SCRIPT.encode(), "page.css": STYLE.encode()}

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            name = self.path.split("?")[0].lstrip("/")
            content = files.get(name)
            if content is None and name.startswith("static/") and ".." not in name:
                found = STATIC / name.removeprefix("static/")
                content = found.read_bytes() if found.is_file() else None
            if content is None and name.endswith(".bin") and (EXAMPLES / name.removesuffix(".bin")).is_dir():
                content = example_answer(name.removesuffix(".bin"))
            self.send_response(404 if content is None else 200)
            self.send_header("Content-Type", KINDS.get(Path(name).suffix, "text/html; charset=utf-8"))
            self.send_header("Content-Security-Policy", POLICY)
            self.send_header("Content-Length", str(len(content or b"")))
            self.end_headers()
            self.wfile.write(content or b"")

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield Served(f"http://127.0.0.1:{server.server_address[1]}/", files)
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
