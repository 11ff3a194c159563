"""How far a scene reaches, and the straight pieces it is made of when only closeness matters."""

from __future__ import annotations

from batchwright.geometry.curve import bounds, flatten
from batchwright.geometry.frame import Vec2
from batchwright.sheets.scene.metrics import text_box
from batchwright.sheets.scene.plain import draw_out
from batchwright.sheets.scene.primitives import Curve, Plain, Polygon, Straight, Text
from batchwright.sheets.scene.scene import Scene

Box = tuple[float, float, float, float]
"""Left, bottom, right, top [mm]."""


def box_of(plain: Plain, scale: float) -> Box:
    """The upright box around one plain item, stroke widths left out [true mm]."""
    match plain:
        case Straight(start=(u0, v0), end=(u1, v1)):
            return (min(u0, u1), min(v0, v1), max(u0, u1), max(v0, v1))
        case Curve(path=path):
            return bounds(path)
        case Polygon(rings=rings):
            return _around([point for ring in rings for point in ring])
        case Text():
            return _around(list(text_box(plain, scale)))


def _around(points: list[Vec2]) -> Box:
    us, vs = [u for u, _ in points], [v for _, v in points]
    return (min(us), min(vs), max(us), max(vs))


def joined_box(boxes: list[Box]) -> Box:
    """The upright box around boxes; nothing at all is a point at the origin."""
    if not boxes:
        return (0.0, 0.0, 0.0, 0.0)
    return (min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes))


def scene_bounds(scene: Scene) -> Box:
    """The upright box around everything a scene prints, texts and dimensions included [true mm]."""
    return drawn_bounds(draw_out(scene), scene.scale)


def drawn_bounds(drawn: tuple[Plain, ...], scale: float) -> Box:
    """The same for a scene that is drawn out already [true mm]."""
    return joined_box([box_of(plain, scale) for plain in drawn])


def paper_size(scene: Scene, margin: float = 0.0) -> tuple[float, float]:
    """Width and height that a scene takes on paper, with a margin on each side [mm]."""
    left, bottom, right, top = scene_bounds(scene)
    return ((right - left) * scene.scale + 2.0 * margin, (top - bottom) * scene.scale + 2.0 * margin)


def chain_of(plain: Plain, tolerance: float) -> tuple[tuple[Vec2, ...], ...]:
    """The chains of points that draw an item's lines; none for a text or a polygon without an edge."""
    match plain:
        case Straight(start=start, end=end):
            return ((start, end),)
        case Curve(path=path, closed=closed):
            points = tuple((float(u), float(v)) for u, v in flatten(path, tolerance))
            return ((*points, points[0]) if closed else points,)
        case Polygon(rings=rings, stroke=stroke):
            return tuple((*ring, ring[0]) for ring in rings) if stroke is not None else ()
        case Text():
            return ()
