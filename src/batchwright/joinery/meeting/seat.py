"""A joint's place before it is sized: its frame, A's section in it, and the part of that section a tenon may use."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from batchwright.base.trace import MISSING
from batchwright.geometry.frame import Array, Frame, Vec2, Vec3, cross, dot, plus, unit
from batchwright.joinery.meeting.contact import BEFORE, sight_grid, sighted_faces
from batchwright.joinery.meeting.sites import Site
from batchwright.joinery.words import Compass
from batchwright.solids.rays import cast, exits, many_spans

EDGE = 25.4 / 4
"""Where part of A passes beside B, the tenon keeps this far inside the common area [mm]."""
DENSE = (65, 33)
"""Sight lines where the edge of the common area is looked for."""
SIDES = ("+x", "-x", "+y", "-y")


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """The place of one joint. low, high: A's section in its (x, y); room_low, room_high: where tenons may lie."""

    site: Site
    frame: Frame
    angle_in: str
    out_of_square: float
    twist: float
    low: Vec2
    high: Vec2
    room_low: Vec2
    room_high: Vec2

    @property
    def width(self) -> float:
        """Of A's section along the joint's x [mm]."""
        return self.high[0] - self.low[0]

    @property
    def stock(self) -> float:
        """Thickness of A's section along the joint's y [mm]."""
        return self.high[1] - self.low[1]

    def side(self, name: str) -> Vec3:
        """The direction a side of the tenon looks to (world)."""
        axis = self.frame.x if name[1] == "x" else self.frame.y
        return axis if name[0] == "+" else (-axis[0], -axis[1], -axis[2])

    def edge(self, name: str) -> float:
        """How far A's section reaches on a side, from the joint's origin [mm]."""
        axis = 0 if name[1] == "x" else 1
        return self.high[axis] if name[0] == "+" else -self.low[axis]


def seat_of(site: Site) -> Seat:
    """The joint's frame and A's section in it."""
    angle_in = "tenon" if site.ask.angle_in is MISSING else str(site.ask.angle_in)
    frame = joint_frame(site, angle_in)
    corners = _on_joint(site, frame, site.section.loop)
    low, high = corners.min(axis=0), corners.max(axis=0)
    room = _common_room(site, frame)
    room_low, room_high = (low, high) if room is None else room
    return Seat(
        site=site,
        frame=frame,
        angle_in=angle_in,
        out_of_square=_angle(site.direction, site.contact.plane.normal),
        twist=_twist(frame.x, site.b.grain, frame.z),
        low=_pair(low),
        high=_pair(high),
        room_low=_pair(np.maximum(low, room_low)),
        room_high=_pair(np.minimum(high, room_high)),
    )


def joint_frame(site: Site, angle_in: str) -> Frame:
    """Origin: A's middle on the shoulder plane; z square to the face or in line with A; x along the tenon's width."""
    normal = site.contact.plane.normal
    origin = on_plane(site, site.section.frame.origin)
    z = normal if angle_in == "tenon" else site.direction
    wide, thin = _width_axes(site)
    along = cross(thin, z) if angle_in == "tenon" else plus(wide, z, -dot(wide, z))
    x = _looking_up(unit(along))
    return Frame(origin, x, cross(z, x), z)


def _width_axes(site: Site) -> tuple[Vec3, Vec3]:
    """A's section axis that the tenon's width follows, and the one across it."""
    section, grain = site.section, site.b.grain
    wide, thin = section.frame.x, section.frame.y
    turned = "" if site.ask.turned is MISSING else str(site.ask.turned)
    if section.round:
        along = plus(grain, site.direction, -dot(grain, site.direction))
        if math.sqrt(dot(along, along)) > 0.2:
            wide = unit(along)
            thin = cross(site.direction, wide)
    elif (section.square or turned) and abs(dot(thin, grain)) > abs(dot(wide, grain)):
        wide, thin = thin, wide
    return (thin, wide) if turned == "across" else (wide, thin)


def _looking_up(way: Vec3) -> Vec3:
    """The direction or its opposite: the one that looks up; level, to the back; else to the greater x."""
    if abs(way[2]) > 0.5:
        positive = way[2] > 0.0
    elif abs(way[1]) >= abs(way[0]):
        positive = way[1] > 0.0
    else:
        positive = way[0] > 0.0
    return way if positive else (-way[0], -way[1], -way[2])


def on_plane(site: Site, point: Vec3) -> Vec3:
    """A point sent along A's direction on to the shoulder plane."""
    plane = site.contact.plane
    return plus(point, site.direction, -plane.height(point) / dot(site.direction, plane.normal))


def _on_joint(site: Site, frame: Frame, points: Array) -> Array:
    """Points (n, 2) of A's section sent on to the shoulder plane, in the joint's (x, y), shape (n, 2)."""
    world = site.section.frame.many_to_world(np.column_stack([points, np.zeros(len(points))]))
    plane, way = site.contact.plane, np.array(site.direction)
    run = (np.array(plane.point) - world) @ np.array(plane.normal) / float(way @ np.array(plane.normal))
    local: Array = frame.many_to_local(world + run[:, None] * way)[:, :2]
    return local


def _common_room(site: Site, frame: Frame) -> tuple[Array, Array] | None:
    """Low and high corner of the largest part of the section that comes up to the face, drawn in by 1/4 in on the
    sides where it is narrower; None where the whole section does."""
    if site.contact.missed < 1e-6 and site.contact.share > 1.0 - 1e-6:
        return None
    grid, _ = sight_grid(site.section, *DENSE)
    reach = BEFORE + site.depth_drawn + 4.0 * (site.section.width + site.section.thickness)
    struck = sighted_faces(site.b.solid, site.section, DENSE, reach=reach)
    good = np.isin(struck, list(site.contact.faces)) if site.contact.share < 1.0 - 1e-6 else struck >= 0
    local = _on_joint(site, frame, grid)
    low, high = local.min(axis=0), local.max(axis=0)
    left, right = _inside_box(local, good)
    return left + EDGE * (left > low + 0.5), right - EDGE * (right < high - 0.5)


def _inside_box(points: Array, good: NDArray[np.bool_]) -> tuple[Array, Array]:
    """A large box that holds no bad point: sides are moved in, the one with the largest share of bad points first."""
    low, high = points.min(axis=0), points.max(axis=0)
    steps = [(high[axis] - low[axis]) / (min(DENSE) - 1) + 1e-9 for axis in (0, 1)]
    while True:
        inside = ((points >= low - 1e-9) & (points <= high + 1e-9)).all(axis=1)
        if good[inside].all() or (high - low < 0).any():
            return low, high
        choices = []
        for axis in (0, 1):
            for sign, edge in (
                (-1, points[:, axis] <= low[axis] + steps[axis]),
                (1, points[:, axis] >= high[axis] - steps[axis]),
            ):
                band = inside & edge
                choices.append((float((~good[band]).mean()) if band.any() else 1.0, axis, sign))
        _, axis, sign = max(choices)
        if sign < 0:
            low[axis] += steps[axis]
        else:
            high[axis] -= steps[axis]


def _angle(a: Vec3, b: Vec3) -> float:
    c = cross(a, b)
    return math.atan2(math.sqrt(dot(c, c)), dot(a, b))


def _twist(x: Vec3, grain: Vec3, z: Vec3) -> float:
    """Angle between the mortise's length and the grain, both seen along the tenon [rad], 0 to 90 degrees."""
    seen = plus(grain, z, -dot(grain, z))
    if math.sqrt(dot(seen, seen)) < 1e-6:
        return 0.0
    angle = _angle(x, unit(seen))
    return min(angle, math.pi - angle)


def _pair(values: Array) -> Vec2:
    return (float(values[0]), float(values[1]))


def wood_from(seat: Seat, point: Vec3, direction: Vec3) -> float:
    """Wood of B from a point inside it along a direction, to where the line first comes out [mm]; 0 outside B."""
    return float(exits(seat.site.b.solid, np.array([point]), direction)[0])


def depth_of(seat: Seat, low: Vec2, high: Vec2) -> tuple[float, ...]:
    """How deep B is along the tenon behind a box of the joint's (x, y): at its corners, sides and middle; lines that
    miss B are left out [mm]."""
    places = [
        (low[0] + u * (high[0] - low[0]), low[1] + v * (high[1] - low[1]), 0.0)
        for u in (0.0, 0.5, 1.0)
        for v in (0.0, 0.5, 1.0)
    ]
    depths = []
    for found in many_spans(seat.site.b.solid, seat.frame.many_to_world(np.array(places)), seat.frame.z):
        ahead = [span for span in found if span[1] > 1.0 and span[0] < max(3.0, 4.0 * seat.site.contact.hollow)]
        depths += [ahead[0][1]] if ahead else []
    return tuple(depths)


def outlet_of(seat: Seat, low: Vec2, high: Vec2) -> frozenset[int]:
    """Numbers of B's faces a through mortise comes out by, behind a box of the joint's (x, y)."""
    back = (-seat.frame.z[0], -seat.frame.z[1], -seat.frame.z[2])
    depths = depth_of(seat, low, high)
    if not depths:
        return frozenset()
    places = [(x, y, max(depths) + 0.5) for x in (low[0], high[0]) for y in (low[1], high[1])]
    strikes = cast(seat.site.b.solid, seat.frame.many_to_world(np.array(places)), back)
    return frozenset(int(face) for face in strikes.faces[strikes.hit])


def side_of_word(seat: Seat, word: str, compass: Compass) -> str | None:
    """Which side of the tenon a word of the piece means; None where no side looks that way."""
    way = compass.towards(word)
    if way is None:
        return _inside_or_outside(seat, word, compass)
    best = max(SIDES, key=lambda side: dot(seat.side(side), way))
    return best if dot(seat.side(best), way) > 0.5 else None


def _inside_or_outside(seat: Seat, word: str, compass: Compass) -> str | None:
    """Outside looks away from the middle of the piece; across the thickness where that is level, else the width."""
    names = ("+y", "-y") if abs(seat.frame.y[2]) < 0.7 else ("+x", "-x")
    origin, middle = seat.frame.origin, compass.middle
    out = (origin[0] - middle[0], origin[1] - middle[1], 0.0)
    outside = max(names, key=lambda side: dot(seat.side(side), out))
    inside = names[1] if outside == names[0] else names[0]
    return {"outside": outside, "inside": inside}.get(word)
