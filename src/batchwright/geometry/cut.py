"""An outline cut by a straight line: what is left of the line stays, on exact curves."""

from __future__ import annotations

from batchwright.geometry.crossing import crossings_with_line
from batchwright.geometry.curve import between
from batchwright.geometry.frame import Vec2
from batchwright.geometry.moment import signed_area
from batchwright.geometry.root import parallel_parameters
from batchwright.geometry.segment import Line, Outline, Path, cross2, minus2, point_at, unit2

ON_LINE = 1e-7
"""A piece of the outline nowhere farther than this from the line lies in it [mm]."""


def cut_outline(shape: Outline, point: Vec2, direction: Vec2, name: str = "") -> tuple[Outline, ...]:
    """What lies to the left of the line through `point` along `direction`, largest first; may be nothing.

    The sawn edges are lines named `name`. An outline wholly to the left comes back as it is. To keep the right,
    give the direction the other way round.

    Raises
    ------
    ValueError
        If the direction has no length.
    """
    along = unit2(direction)
    pieces = [(piece, _side(piece, point, along)) for piece in _pieces(shape.segments, point, along)]
    if all(side >= 0.0 for _, side in pieces):
        return (shape,)
    kept = [piece for piece, side in pieces if side > 0.0]
    loops = _linked(kept, point, along, name)
    loops.sort(key=lambda path: -signed_area(path))
    return tuple(Outline(path) for path in loops if signed_area(path) > ON_LINE)


def _pieces(path: Path, point: Vec2, along: Vec2) -> list[Path]:
    """The outline parted at every place where it meets the line."""
    count = float(len(path))
    at: list[float] = []
    for parameter in sorted(_snapped(crossing[0]) % count for crossing in crossings_with_line(path, point, along)):
        if not at or parameter - at[-1] > 1e-10:
            at.append(parameter)
    if not at:
        return [path]
    out = [between(path, low, high) for low, high in zip(at, at[1:], strict=False)]
    first = between(path, 0.0, at[0]) if at[0] > 0.0 else ()
    return [*out, between(path, at[-1], count) + first]


def _snapped(parameter: float) -> float:
    """A parameter that is a joint to within rounding, as that joint."""
    return float(round(parameter)) if abs(parameter - round(parameter)) < 1e-10 else parameter


def _side(path: Path, point: Vec2, along: Vec2) -> float:
    """Height of the point of a piece that is farthest from the line, positive to its left; 0 if it lies in it."""
    places = [place for segment in path for place in (segment.end, point_at(segment, 0.5))]
    places += [point_at(segment, t) for segment in path for t in parallel_parameters(segment, along)]
    farthest = max((cross2(along, minus2(place, point)) for place in places), key=abs)
    return farthest if abs(farthest) > ON_LINE else 0.0


def _linked(kept: list[Path], point: Vec2, along: Vec2, name: str) -> list[Path]:
    """Loops of kept pieces: from where one ends, on along the line to where the next one starts."""

    def run(place: Vec2) -> float:
        off = minus2(place, point)
        return off[0] * along[0] + off[1] * along[1]

    waiting = sorted(kept, key=lambda piece: run(piece[0].start))
    loops: list[Path] = []
    while waiting:
        loop = waiting.pop(0)
        first = run(loop[0].start)
        while True:
            end = run(loop[-1].end)
            ahead = [p for p in waiting if run(p[0].start) >= end - ON_LINE]
            following = min(ahead, key=lambda piece: run(piece[0].start), default=None)
            if following is None or (first >= end - ON_LINE and first <= run(following[0].start)):
                break
            waiting.remove(following)
            loop = _bridged(loop, following[0].start, name) + following
        loops.append(_bridged(loop, loop[0].start, name))
    return loops


def _bridged(path: Path, to: Vec2, name: str) -> Path:
    end = path[-1].end
    gap = abs(end[0] - to[0]) + abs(end[1] - to[1])
    return (*path, Line(end, to, name)) if gap > 1e-9 else path
