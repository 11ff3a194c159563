"""The views a drawing is made in, and how a wall that stands square to one view shows in another."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from batchwright.base.fault import Place
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.geometry.curve import Path, crossings_with_line, map_path
from batchwright.geometry.frame import Frame, Vec2, Vec3, cross, dot, minus, norm, plus, unit

AXES: dict[str, Vec3] = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}
_SQUARE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """A plane to draw on. The frame's x and y are the two coordinates on paper, its z the third coordinate."""

    name: str
    like: str
    """The plain view it is read like: front, side or plan."""
    frame: Frame
    true: bool = False
    as_they_stand: bool = False
    """Lines and curves used here keep their own two coordinates (an outline sawn on another side of the blank)."""

    def point(self, at: Vec2) -> Vec3:
        """A point of the view's plane in the piece."""
        return self.frame.to_world((at[0], at[1], 0.0))

    def seen(self, point: Vec3) -> Vec2:
        """Where a point of the piece is seen, looking square to the view."""
        u, v, _ = self.frame.to_local(point)
        return (u, v)

    def axis_names(self) -> tuple[str, str, str]:
        """The piece's axes that this view's three coordinates are or most nearly are."""
        return AXES_OF[self.like]


AXES_OF = {"front": ("x", "z", "y"), "side": ("y", "z", "x"), "plan": ("x", "y", "z")}


def _plain(name: str) -> View:
    u, v, w = (AXES[axis] for axis in AXES_OF[name])
    return View(name=name, like=name, frame=Frame((0.0, 0.0, 0.0), u, v, w))


PLAIN = {name: _plain(name) for name in AXES_OF}
"""front (x, z, behind y), side (y, z, outwards x), plan (x, y, up z)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """A line or curve of a view: a wall standing square to it. A straight one goes on without end."""

    name: str
    view: View
    point: Vec2 = (0.0, 0.0)
    direction: Vec2 | None = None
    path: Path = ()

    @property
    def straight(self) -> bool:
        """Whether it is a straight line."""
        return self.direction is not None

    def longer(self) -> int:
        """Which of its own two coordinates it runs along for longer: 0 or 1."""
        if self.direction is not None:
            run = self.direction
        else:
            start, end = self.path[0].start, self.path[-1].end
            run = (end[0] - start[0], end[1] - start[1])
        return 0 if abs(run[0]) >= abs(run[1]) else 1


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight line without end, in the coordinates of a view."""

    point: Vec2
    direction: Vec2


@dataclass(frozen=True, slots=True)
class Curved:
    """A curve that ends where it ends, in the coordinates of a view."""

    path: Path


def true_view(wall: Wall, place: Place) -> View:
    """The view square on to a plane that is seen edge-on as a straight line of a plain view. Raises Mistake."""
    if wall.direction is None:
        raise mistake(
            "true-view-of-a-curve",
            place,
            f"`{wall.name}` is a curve: a true view needs a straight line.",
            f"draw in a straight line, or in {wall.view.name}",
            "the plane of a true view is seen edge-on as a straight line",
        )
    first, second, third = (AXES[axis] for axis in AXES_OF[wall.view.like])
    d = wall.direction
    upright = abs(d[1]) >= abs(d[0])
    if (d[1] if upright else d[0]) <= 0.0:
        raise mistake(
            "true-view-drawn-backwards",
            place,
            f"`{wall.name}` is drawn {_backwards(wall.view.like, upright)}: its true view would be upside down.",
            "give its two points the other way round",
            "the line of a true view is drawn upwards, to the right, or from front to back",
        )
    along = plus((d[0] * first[0], d[0] * first[1], d[0] * first[2]), second, d[1])
    side = (d[1], -d[0]) if upright else (-d[1], d[0])
    square = plus((side[0] * first[0], side[0] * first[1], side[0] * first[2]), second, side[1])
    origin = plus(plus((0.0, 0.0, 0.0), first, wall.point[0]), second, wall.point[1])
    like, along_is_first = _READ_LIKE[(wall.view.like, upright)]
    u, v = (along, third) if along_is_first else (third, along)
    return View(name=wall.name, like=like, frame=Frame(origin, u, v, square), true=True)


_READ_LIKE = {
    ("side", True): ("front", False),
    ("side", False): ("plan", False),
    ("plan", True): ("side", True),
    ("plan", False): ("front", True),
    ("front", True): ("side", False),
    ("front", False): ("plan", True),
}
"""(plain view, line mostly along its second coordinate) -> (read like, the line is the first coordinate)."""


def _backwards(like: str, upright: bool) -> str:
    if upright:
        return "from back to front" if like == "plan" else "downwards"
    return "from back to front" if like == "side" else "to the left"


def plane_view(name: str, points: tuple[Vec3, Vec3, Vec3], place: Place) -> View:
    """The view square on to the plane of three points: first coordinate from P towards Q, second towards R's side.

    Raises Mistake where the three lie on one line.
    """
    p, q, r = points
    pq, pr = minus(q, p), minus(r, p)
    square = cross(pq, pr)
    if norm(square) <= 1e-6 * max(norm(pq) * norm(pr), 1e-9):
        raise mistake(
            "plane-points-on-a-line",
            place,
            "The three points of `plane` lie on one line.",
            "give three points that are not on one line",
            "one line lies in more than one plane",
        )
    u, w = unit(pq), unit(square)
    v = cross(w, u)
    like, third = max(((view, AXES[AXES_OF[view][2]]) for view in AXES_OF), key=lambda pair: abs(dot(w, pair[1])))
    if dot(w, third) < 0.0:
        w = (-w[0], -w[1], -w[2])
    return View(name=name, like=like, frame=Frame(p, u, v, w), true=True)


def sawn_view(view: View, on: str) -> View:
    """The part's own blank seen from another side: `edge` = (first, third) coordinate, `end` = (second, third)."""
    f = view.frame
    frame = Frame(f.origin, f.x, f.z, f.y) if on == "edge" else Frame(f.origin, f.y, f.z, f.x)
    return View(name=f"{on} of {view.name}", like=view.like, frame=frame, true=True, as_they_stand=True)


def between_views(view: View, other: View) -> tuple[tuple[tuple[float, float], tuple[float, float]], Vec2]:
    """Matrix and offset that take a point of `view`'s plane to where `other` sees it."""
    f, o = view.frame, other.frame
    matrix = ((dot(o.x, f.x), dot(o.x, f.y)), (dot(o.y, f.x), dot(o.y, f.y)))
    offset = other.seen(f.origin)
    return matrix, offset


def trace(wall: Wall, view: View, place: Place) -> Straight | Curved:
    """The line or curve in which a view's plane meets a wall, exact. Raises Mistake where it is not one line."""
    if view is wall.view or view.as_they_stand:
        return Straight(wall.point, wall.direction) if wall.direction else Curved(wall.path)
    m, c = between_views(view, wall.view)
    det = m[0][0] * m[1][1] - m[0][1] * m[1][0]
    if abs(det) < _SQUARE:
        return _straight_across(wall, view, place)
    inverse = ((m[1][1] / det, -m[0][1] / det), (-m[1][0] / det, m[0][0] / det))

    def back(p: Vec2) -> Vec2:
        return (inverse[0][0] * p[0] + inverse[0][1] * p[1], inverse[1][0] * p[0] + inverse[1][1] * p[1])

    if wall.direction is not None:
        d = back(wall.direction)
        size = math.hypot(*d)
        return Straight(back((wall.point[0] - c[0], wall.point[1] - c[1])), (d[0] / size, d[1] / size))
    shift = back(c)
    return Curved(map_path(wall.path, np.array(inverse), (-shift[0], -shift[1])))


def _straight_across(wall: Wall, view: View, place: Place) -> Straight:
    """The wall's view is square to this one, which it sees as a line: they meet in a line straight across this view."""
    if wall.direction is None:
        raise mistake(
            "curve-used-straight-across",
            place,
            f"`{wall.name}` is a curve of the {wall.view.name} view, used square to it in `{view.name}`.",
            f"use a straight line here, or a number such as `{wall.name} at "
            f"{wall.view.axis_names()[wall.longer()]} ...`",
            "a curve may meet the plane of this view more than once",
        )
    m, c = between_views(view, wall.view)
    d, p = wall.direction, wall.point
    a = d[0] * m[1][0] - d[1] * m[0][0]
    b = d[0] * m[1][1] - d[1] * m[0][1]
    size = math.hypot(a, b)
    if size < _SQUARE:
        raise mistake(
            "line-never-met",
            place,
            f"`{wall.name}` runs alongside the plane of `{view.name}` and never meets it.",
            "use another line, or a number",
        )
    a, b, e = a / size, b / size, (d[0] * (p[1] - c[1]) - d[1] * (p[0] - c[0])) / size
    return Straight((a * e, b * e), (abs(b), abs(a)) if a * b <= 0.0 else (b, -a))


def other_coordinate(wall: Wall, axis: str, at: float, place: Place) -> float:
    """`back line at z 24`: the wall's other coordinate where one of its own two has a value [mm]. Raises Mistake."""
    names = wall.view.axis_names()[:2]
    if axis not in names:
        raise mistake(
            "axis-not-in-view",
            place,
            f"`{wall.name}` belongs to the {wall.view.name} view, which has no {axis}.",
            f"write `{wall.name} at {names[0]} ...` or `{wall.name} at {names[1]} ...`",
        )
    index = names.index(axis)
    if wall.direction is not None:
        d = wall.direction
        if abs(d[index]) < _SQUARE:
            raise mistake(
                "line-never-there",
                place,
                f"`{wall.name}` runs square to {axis}: it has one value of {axis} only.",
                f"write `{wall.name} at {names[1 - index]} ...`, or a number",
            )
        return wall.point[1 - index] + d[1 - index] * (at - wall.point[index]) / d[index]
    return on_curve(wall, wall.path, index, at, place)[1 - index]


def on_curve(wall: Wall, path: Path, index: int, at: float, place: Place) -> Vec2:
    """The one point of a curve where coordinate `index` has a value. Raises Mistake when there is none or several."""
    origin, direction = ((at, 0.0), (0.0, 1.0)) if index == 0 else ((0.0, at), (1.0, 0.0))
    found = crossings_with_line(path, origin, direction)
    if len(found) == 1:
        return found[0][2]
    raise curve_mistake(wall.name, len(found), place)


def curve_mistake(name: str, count: int, place: Place) -> Mistake:
    """The fault of a point that a curve does not give just once."""
    if count:
        return mistake(
            "curve-met-twice",
            place,
            f"`{name}` is met {count} times here, so it does not give one point.",
            "use the curve's other coordinate, or give the point in numbers",
        )
    return mistake(
        "off-the-curve",
        place,
        f"`{name}` does not reach this far.",
        f"carry `{name}` on by another point, or stay between its ends",
        "a curve ends where it ends",
    )


def renamed(wall: Wall, name: str) -> Wall:
    """The same wall under another name."""
    return replace(wall, name=name)
