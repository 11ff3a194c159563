"""Eased edges: which edges of a solid are meant, and the tools that round or chamfer them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from batchwright.geometry.frame import Frame, Vec3
from batchwright.model.shape import Shape
from batchwright.solids.solid import Quality, Solid


@dataclass(frozen=True, slots=True, kw_only=True)
class Looks:
    """Directions of the piece in a part's drawing frame, as far as its eased edges need them."""

    up: Vec3
    back: Vec3
    out: Vec3

    @property
    def key(self) -> tuple[float, ...]:
        """The directions, rounded."""
        return tuple(round(value, 7) + 0.0 for value in (*self.up, *self.back, *self.out))


NO_LOOKS = Looks(up=(0.0, 0.0, 0.0), back=(0.0, 0.0, 0.0), out=(0.0, 0.0, 0.0))


def looks_of(shape: Shape, frame: Frame) -> Looks:
    """What `upper`, `back` and `outer` mean for a part in its own drawing frame; nothing if no edge asks for it."""
    if not shape.edges:
        return NO_LOOKS
    return Looks(
        up=frame.turn_back((0.0, 0.0, 1.0)), back=frame.turn_back((0.0, 1.0, 0.0)), out=(0.0, 0.0, 0.0)
    )


def ease_edges(solid: Solid, shape: Shape, looks: Looks, quality: Quality) -> Solid:
    """The solid with its edges eased, in the order given."""
    return replace(solid, notes=(*solid.notes, "edges not eased"))
