"""Drawings of the whole piece: front, side, plan with running dimensions; pictorial; drawn apart."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from batchwright.base.length import Unit
from batchwright.geometry.frame import Vec3
from batchwright.model.draft import PartId
from batchwright.sheets.scene.primitives import Item, Running, Station
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.settle import settle
from batchwright.sheets.scene.sheet import fitting_scale
from batchwright.sheets.views.linework import StrokeOf, hidden_joints, line_items, visible_only
from batchwright.sheets.views.made import Bounds, Made
from batchwright.sheets.views.printing import Printing
from batchwright.solids.assembly import Assembly, assembled, drawn_apart
from batchwright.solids.view import FRONT, PICTORIAL, PLAN, SIDE, Axes, View, view

PAGE = (140.0, 195.0)
"""Paper room of one view on an upright sheet, dimensions left out [mm]."""
CROWDED = 5.0
"""Marks nearer than this on paper are told by the outermost alone [mm]."""


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


def plain_view(made: Made, parts: Assembly, named: Named, printing: Printing) -> Scene:
    """One of front, side, plan, with hidden joints dashed and running dimensions from the datum of each axis."""
    seen = view(parts, named.axes)
    low_x, low_y, high_x, high_y = seen.bounds
    scale = fitting_scale((high_x - low_x, high_y - low_y), PAGE, printing.unit is Unit.INCHES)
    items: list[Item] = list(line_items(seen, hidden_joints))
    bounds = made.bounds
    across_datum = 0.0 if named.across == 0 else low_x
    up_datum = 0.0 if named.up == 2 else low_y
    across = _levels(made, bounds, named.across, across_datum, scale)
    up = _levels(made, bounds, named.up, up_datum, scale)
    items.append(_running((across_datum, low_y), 0, across, printing))
    items.append(_running((low_x, up_datum), 1, up, printing))
    about = f"{named.name} view of {made.piece.draft.name}"
    return settle(Scene(items=tuple(items), name=f"{named.name} view", scale=scale, about=about))


def _levels(made: Made, bounds: Bounds, axis: int, datum: float, scale: float) -> tuple[float, ...]:
    """Where parts begin and end along an axis, above the datum, thinned out where they crowd on paper."""
    high = max(box[1][axis] for box in bounds.values())
    found: list[float] = []
    for part_id in _worth_dimensioning(made):
        found += [bounds[part_id][0][axis] - datum, bounds[part_id][1][axis] - datum]
    total = high - datum
    kept: list[float] = [total]
    for value in sorted(set(round(one, 2) for one in found)):
        if value > 0.5 and all(abs(value - other) * scale >= CROWDED for other in kept):
            kept.append(value)
    return tuple(sorted(kept))


def _worth_dimensioning(made: Made) -> list[PartId]:
    """First and last of a repeat; every other part once for each kind."""
    chosen: list[PartId] = []
    for kind in made.piece.kinds:
        parts = [made.piece.part(part_id) for part_id in kind.parts]
        numbered = [part for part in parts if part.draft.number]
        if numbered:
            continue
        chosen.append(parts[0].id)
    return chosen


def _running(datum: tuple[float, float], axis: int, levels: tuple[float, ...], printing: Printing) -> Running:
    def at(value: float) -> tuple[float, float]:
        return (datum[0] + value, datum[1]) if axis == 0 else (datum[0], datum[1] + value)

    stations = tuple(Station(at=at(value), label=printing.length(value)) for value in levels)
    direction = (1.0, 0.0) if axis == 0 else (0.0, 1.0)
    return Running(datum=datum, direction=direction, stations=stations, offset=-10.0 if axis == 0 else 10.0)


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
    bounds = made.bounds
    middle = _middle([_centre(box) for box in bounds.values()])
    solids = made.all_solids()
    offsets = [_offset(_centre(bounds[PartId(name)]), middle, by) for name, _ in solids]
    seen = view(drawn_apart(solids, offsets), PICTORIAL, hidden=False)
    return fitted(seen, room, "the piece drawn apart")


def _offset(centre: Vec3, middle: Vec3, by: float) -> Vec3:
    return (by * (centre[0] - middle[0]), by * (centre[1] - middle[1]), by * (centre[2] - middle[2]))


def _centre(box: tuple[Vec3, Vec3]) -> Vec3:
    low, high = box
    return ((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0, (low[2] + high[2]) / 2.0)


def _middle(points: list[Vec3]) -> Vec3:
    count = len(points)
    pick: Callable[[int], float] = lambda axis: sum(point[axis] for point in points) / count  # noqa: E731
    return (pick(0), pick(1), pick(2))
