"""How a part lies on paper: seen square on one of its four long faces, the other hand visibly mirrored.

Looking at the face side of a part whose bench frame is right-handed, x runs to the right and y downwards (face edge on
top); of its mirror image x runs to the left. Looking at the face edge, z runs upwards (face side at the bottom). The
opposite faces are seen by rolling the part over, its reference end staying where it was.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from batchwright.geometry.curve import Path, map_path
from batchwright.geometry.frame import Vec2, Vec3
from batchwright.model.piece import Part


class Seen(Enum):
    """The face that looks at the reader, as faces are named in a part's features."""

    FACE_SIDE = "face side"
    FACE_EDGE = "face edge"
    OPPOSITE = "back"
    FAR_EDGE = "far edge"

    @property
    def on_side(self) -> bool:
        """Whether the part's width lies across the paper's height."""
        return self in (Seen.FACE_SIDE, Seen.OPPOSITE)

    @property
    def behind(self) -> Seen:
        """The face turned away."""
        pairs = ((Seen.FACE_SIDE, Seen.OPPOSITE), (Seen.FACE_EDGE, Seen.FAR_EDGE))
        return next(b if self is a else a for a, b in pairs if self in (a, b))


@dataclass(frozen=True, slots=True)
class BenchView:
    """A map from bench coordinates to paper: x by `run`, the second coordinate (y or z) by `rise`."""

    seen: Seen
    run: float
    rise: float

    @property
    def second(self) -> int:
        """Index of the bench coordinate that runs across the paper's height: 1 (y) or 2 (z)."""
        return 1 if self.seen.on_side else 2

    def point(self, bench: Vec3) -> Vec2:
        """A bench point on paper [mm, true size]."""
        return (self.run * bench[0], self.rise * bench[self.second])

    def pair(self, x: float, across: float) -> Vec2:
        """A pair (bench x, bench y or z) on paper."""
        return (self.run * x, self.rise * across)

    def path(self, path: Path) -> Path:
        """A path given in (bench x, bench y or z) on paper; still exact."""
        return map_path(path, np.diag([self.run, self.rise]), (0.0, 0.0))


def bench_view(part: Part, seen: Seen) -> BenchView:
    """How this part, of this hand, lies on paper."""
    run = -1.0 if part.bench.mirrored else 1.0
    return BenchView(seen=seen, run=run, rise=-1.0 if seen in (Seen.FACE_SIDE, Seen.FAR_EDGE) else 1.0)
