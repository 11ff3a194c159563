"""Drawings of the whole piece: front, side, plan with running dimensions; pictorial; drawn apart."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.geometry.frame import Vec2, Vec3
from batchwright.model.draft import PartId
from batchwright.sheets.scene.dimensioning import running_along
from batchwright.sheets.scene.primitives import Dimension, Item, Running, Straight, Weight
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.settle import settle
from batchwright.sheets.scene.sheet import scale_words
from batchwright.sheets.scene.strokes import Stroke
from batchwright.sheets.views.linework import StrokeOf, light_joints, line_items, visible_only
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.printing import Printing
from batchwright.sheets.views.scales import chosen_scale
from batchwright.solids.assembly import Assembly, assembled, drawn_apart
from batchwright.solids.view import FRONT, PICTORIAL, PLAN, SIDE, Axes, View, view

UPRIGHT = (138.0, 178.0)
ACROSS = (195.0, 112.0)
"""Paper room of one view on a sheet that stands or lies across, dimensions left out [mm]."""
CROWDED = 2.2
"""Marks nearer than this on paper are told by the first alone [mm]."""
NOTHING = 0.5
"""A mark nearer the datum than this is the datum [mm]."""
LABEL = 4.9
"""What one label takes of a running line [mm]."""


@dataclass(frozen=True, slots=True)
class Named:
    """One plain view: its name, how it lies, and the world axes across and up with a word for each datum."""

    name: str
    axes: Axes
    across: int
    up: int


VIEWS = (
    Named("front", FRONT, 0, 2),
    Named("side", SIDE, 1, 2),
    Named("plan", PLAN, 0, 1),
)


def whole(made: Made) -> Assembly:
    """All parts seen together: found once, used by every view."""
    return assembled(made.all_solids())


def lies_across(parts: Assembly, named: Named) -> bool:
    """Whether a view is drawn larger on a sheet that lies across."""
    size = _size(parts, named.axes)
    return chosen_scale(size, ACROSS) > chosen_scale(size, UPRIGHT)


def _size(parts: Assembly, axes: Axes) -> Vec2:
    at = axes.on_paper(parts.vertices)
    low, high = at.min(axis=0), at.max(axis=0)
    return (float(high[0] - low[0]), float(high[1] - low[1]))


def plain_view(made: Made, parts: Assembly, named: Named, printing: Printing) -> Scene:
    """One of front, side, plan, hidden joints light; running dimensions from the datum of each axis on two sides, and
    the overall sizes on the other two."""
    seen = view(parts, named.axes)
    low, high = _corners(seen.bounds)
    size = (high[0] - low[0], high[1] - low[1])
    scale = chosen_scale(size, ACROSS if lies_across(parts, named) else UPRIGHT)
    items: list[Item] = list(line_items(seen, light_joints))
    across = _levels(made, named.across, (low[0], high[0]), scale)
    up = _levels(made, named.up, (low[1], high[1]), scale)
    items.append(_running((0.0, low[1]), 0, across, printing, scale))
    items.append(_running((low[0], 0.0), 1, up, printing, scale))
    over = printing.length(size[0])
    items.append(Dimension(start=(low[0], high[1]), end=high, label=over, offset=9.0, weight=Weight.BOLD))
    if named.up != 2:
        tall = printing.length(size[1])
        items.append(Dimension(start=(high[0], low[1]), end=high, label=tall, offset=-9.0, weight=Weight.BOLD))
    if named.across == 0:
        items.append(Straight(start=(0.0, low[1]), end=(0.0, high[1]), stroke=Stroke.CENTRE))
    about = f"{named.name} view of {made.piece.draft.name}"
    return settle(Scene(items=tuple(items), name=f"{named.name} view", scale=scale, about=about))


def _corners(box: tuple[float, float, float, float]) -> tuple[Vec2, Vec2]:
    return ((box[0], box[1]), (box[2], box[3]))


def view_words(scene: Scene, named: Named) -> str:
    """What the numbers along the two sides count from."""
    front = "the drawing's 0 front to back (− before it)"
    across = {0: "the middle line", 1: front}[named.across]
    up = {2: "the floor", 1: front}[named.up]
    return f"{scale_words(scene.scale).capitalize()}. Running dimensions: across from {across}, up from {up}."


def _levels(made: Made, axis: int, ends: Vec2, scale: float) -> tuple[float, ...]:
    """Where parts begin and end along an axis, thinned out where they crowd on paper; of the width only one half."""
    low, high = ends
    found = {round(corner[axis], 2) for box in _worth_dimensioning(made) for corner in box}
    first = 0.0 if axis == 0 else min(low, 0.0)
    most = int((high - first) * scale / LABEL)
    for crowded in (CROWDED, 4.0, LABEL, 8.0, 12.0, 20.0):
        kept = [high, *([first] if first < -NOTHING else [])]
        for value in sorted(found):
            clear = all(abs(value - other) * scale >= crowded for other in kept)
            if first < value and abs(value) > NOTHING and clear:
                kept.append(value)
        if len(kept) <= most:
            break
    return tuple(sorted(kept))


def _worth_dimensioning(made: Made) -> list[tuple[Vec3, Vec3]]:
    """The boxes of parts, tenons left out: of a repeat none, of every other kind the copies on the datum's far side."""
    chosen: list[tuple[Vec3, Vec3]] = []
    for kind in made.piece.kinds:
        parts = [made.piece.part(part_id) for part_id in kind.parts]
        if any(part.draft.number for part in parts):
            continue
        chosen += [made.bare(part) for part in parts]
    return chosen


def _running(datum: Vec2, axis: int, levels: tuple[float, ...], printing: Printing, scale: float) -> Running:
    def at(value: float) -> Vec2:
        return (datum[0] + value, datum[1]) if axis == 0 else (datum[0], datum[1] + value)

    points = tuple((at(value), printing.signed(value)) for value in levels)
    direction = (1.0, 0.0) if axis == 0 else (0.0, 1.0)
    return running_along(points, datum, direction, scale, -9.0 if axis == 0 else 9.0)


def pictorial(parts: Assembly, room: tuple[float, float], stroke_of: StrokeOf = visible_only) -> Scene:
    """The piece from the front, the +x side and above, as large as the room on paper allows."""
    seen = view(parts, PICTORIAL, hidden=stroke_of is not visible_only)
    return fitted(seen, room, "the piece", stroke_of)


def fitted(seen: View, room: tuple[float, float], name: str, stroke_of: StrokeOf = visible_only) -> Scene:
    """A view as large as the room on paper allows, at no particular scale."""
    low_x, low_y, high_x, high_y = seen.bounds
    scale = min(room[0] / max(high_x - low_x, 1.0), room[1] / max(high_y - low_y, 1.0))
    return Scene(items=line_items(seen, stroke_of), name=name, scale=scale, about=f"{name}, pictorial view")


def apart(made: Made, room: tuple[float, float], by: float = 0.55) -> Scene:
    """The piece drawn apart: every part moved out from the middle, `by` times its distance from it."""
    seen = view(drawn_apart(made.all_solids(), apart_offsets(made, by)), PICTORIAL, hidden=False)
    return fitted(seen, room, "the piece drawn apart")


def apart_offsets(made: Made, by: float = 0.55) -> list[Vec3]:
    """How far each part, in the piece's order, is moved where the piece is drawn apart [mm]."""
    bounds = made.bounds
    middle = _middle([_centre(box) for box in bounds.values()])
    return [_offset(_centre(bounds[PartId(name)]), middle, by) for name, _ in made.all_solids()]


def _offset(centre: Vec3, middle: Vec3, by: float) -> Vec3:
    return (by * (centre[0] - middle[0]), by * (centre[1] - middle[1]), by * (centre[2] - middle[2]))


def _centre(box: tuple[Vec3, Vec3]) -> Vec3:
    low, high = box
    return ((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0, (low[2] + high[2]) / 2.0)


def _middle(points: list[Vec3]) -> Vec3:
    count = len(points)
    x, y, z = (sum(point[axis] for point in points) / count for axis in range(3))
    return (x, y, z)
