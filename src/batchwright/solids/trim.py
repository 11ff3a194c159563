"""A solid cut in two by a plane."""

from __future__ import annotations

from batchwright.geometry.frame import Frame, Plane
from batchwright.solids import kernel
from batchwright.solids.bodies import half_space
from batchwright.solids.solid import FaceBook, Solid, solid_from


def trimmed(solid: Solid, plane: Plane, name: str = "section") -> Solid:
    """What lies on the side the plane's normal looks away from; the new face gets the name.

    Raises
    ------
    ValueError
        If nothing is left.
    """
    book = FaceBook()
    book.faces, book.joins, book.notes = list(solid.book), set(solid.joins), list(solid.notes)
    tool = half_space(plane, solid.bounds, book.add(name, True))
    return solid_from(kernel.subtracted(solid.body, [tool]), book, "the plane leaves nothing of the part")


def split(solid: Solid, plane: Plane, name: str = "section") -> tuple[Solid | None, Solid | None]:
    """What lies behind the plane and what lies on the side its normal looks to; None where there is nothing."""
    low, high = solid.extent(plane.normal)
    level = sum(a * b for a, b in zip(plane.point, plane.normal))
    if high <= level:
        return solid, None
    if low >= level:
        return None, solid
    other = Plane(plane.point, (-plane.normal[0], -plane.normal[1], -plane.normal[2]))
    return trimmed(solid, plane, name), trimmed(solid, other, name)


def behind(solid: Solid, frame: Frame) -> Solid:
    """What of a solid lies below the plane z = 0 of a frame; the new face is called `section`."""
    return trimmed(solid, Plane(frame.origin, frame.z))
