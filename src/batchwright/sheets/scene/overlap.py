"""Conflicts on a drawing: texts that lie on one another, texts that lie on the outline of a part."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from batchwright.geometry.frame import Array, Vec2
from batchwright.sheets.scene.extent import chain_of
from batchwright.sheets.scene.metrics import text_box
from batchwright.sheets.scene.plain import draw_out
from batchwright.sheets.scene.primitives import Plain, Text
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.strokes import HEAVY

TOUCH = 0.05
"""Boxes that overlap by no more than this are only neighbours [mm on paper]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """A text and what it lies on: another text, or an `outline`; `at` in true millimetres."""

    text: str
    other: str
    at: Vec2


def overlaps(scene: Scene) -> tuple[Conflict, ...]:
    """All conflicts of a scene, in drawing order. A sound drawing has none."""
    plain = draw_out(scene)
    texts = [item for item in plain if isinstance(item, Text) and item.text.strip()]
    boxes = [np.array(text_box(text, scene.scale)) for text in texts]
    found: list[Conflict] = []
    for i, text in enumerate(texts):
        for j in range(i):
            if boxes_overlap(boxes[i], boxes[j], TOUCH / scene.scale):
                found.append(Conflict(text=text.text, other=texts[j].text, at=text.at))
    pieces = heavy_pieces(plain, scene.scale)
    for text, box in zip(texts, boxes, strict=True):
        hit = first_crossing(box, pieces, TOUCH / scene.scale)
        if hit is not None:
            found.append(Conflict(text=text.text, other="outline", at=hit))
    return tuple(found)


def heavy_pieces(plain: tuple[Plain, ...], scale: float) -> Array:
    """The straight pieces of all strokes that draw wood [true mm], shape (n, 2, 2)."""
    return straight_pieces(
        [
            chain
            for item in plain
            if not isinstance(item, Text) and item.stroke in HEAVY
            for chain in chain_of(item, 0.1 / scale)
        ]
    )


def straight_pieces(chains: list[tuple[Vec2, ...]]) -> Array:
    """The straight pieces of chains of points, shape (n, 2, 2)."""
    pairs = [pair for chain in chains for pair in zip(chain, chain[1:], strict=False)]
    return np.array(pairs, dtype=np.float64).reshape(-1, 2, 2)


def boxes_overlap(a: Array, b: Array, slack: float) -> bool:
    """Whether two turned boxes (4 corners each) overlap by more than `slack` on every axis of both."""
    for corners in (a, b):
        for axis in (corners[1] - corners[0], corners[3] - corners[0]):
            length = float(np.hypot(axis[0], axis[1]))
            if length < 1e-9:
                return False
            of_a, of_b = a @ axis / length, b @ axis / length
            if min(of_a.max(), of_b.max()) - max(of_a.min(), of_b.min()) <= slack:
                return False
    return True


def first_crossing(box: Array, pieces: Array, slack: float) -> Vec2 | None:
    """A point where a straight piece enters a turned box shrunk by `slack`, or None."""
    if not len(pieces):
        return None
    along, up = box[1] - box[0], box[3] - box[0]
    width, height = float(np.hypot(*along)), float(np.hypot(*up))
    if width <= 2.0 * slack or height <= 2.0 * slack:
        return None
    axes = np.array([along / width, up / height]).T
    local = (pieces - box[0]) @ axes
    low, high = np.zeros(len(local)), np.ones(len(local))
    inside = np.ones(len(local), dtype=bool)
    for axis, size in ((0, width), (1, height)):
        start, step = local[:, 0, axis], local[:, 1, axis] - local[:, 0, axis]
        still = np.abs(step) < 1e-12
        inside &= ~still | ((start > slack) & (start < size - slack))
        safe = np.where(still, 1.0, step)
        enters, leaves = (slack - start) / safe, (size - slack - start) / safe
        low = np.where(still, low, np.maximum(low, np.minimum(enters, leaves)))
        high = np.where(still, high, np.minimum(high, np.maximum(enters, leaves)))
    hits = np.flatnonzero(inside & (low < high))
    if not len(hits):
        return None
    piece, t = pieces[hits[0]], float(low[hits[0]])
    point = piece[0] + t * (piece[1] - piece[0])
    return (float(point[0]), float(point[1]))
