"""What wedges and tusks cut: kerfs in a tenon's end, the flare of its mortise, the hole of a tusk (world)."""

from __future__ import annotations

import math

from batchwright.geometry.frame import Frame, Plane, Vec3, plus
from batchwright.joinery.sizing.plan import Plan
from batchwright.model.piece import Mortise, Tenon, Tusk
from batchwright.model.shape import Tool

BEYOND = 1.0
"""How far tools run out of the wood [mm]."""


def kerf_tools(plan: Plan, tenon: Tenon, beyond: float = BEYOND) -> tuple[Tool, ...]:
    """The saw kerfs of one tenon, from its end inwards, run out of the wood by `beyond`."""
    return tuple(_kerf(plan, tenon, place, beyond) for place in tenon.kerf_places)


def _kerf(plan: Plan, tenon: Tenon, place: float, beyond: float) -> Tool:
    """x runs along the kerf, y across it, z from the tenon's end inwards."""
    frame = plan.frame
    x, y = tenon.centre
    at = (x, y + place, tenon.length) if tenon.wedged_across else (x + place, y, tenon.length)
    along, across = (frame.x, frame.y) if tenon.wedged_across else (frame.y, frame.x)
    long = tenon.width if tenon.wedged_across else tenon.thickness
    z = _back(frame.z)
    sign = 1.0 if tenon.wedged_across else -1.0
    across = (-sign * across[0], -sign * across[1], -sign * across[2])
    return Tool(
        frame=Frame(frame.to_world(at), along, across, z),
        width=long + 2.0 * beyond,
        thickness=tenon.kerf,
        start=-BEYOND,
        end=tenon.kerf_depth,
    )


def flare_tool(plan: Plan, mortise: Mortise) -> Tool:
    """What opens a wedged mortise at both ends towards the far side; a bar with two slopes."""
    frame = plan.frame
    slope = mortise.flare / (mortise.depth - mortise.flare_from)
    size = mortise.width if mortise.wedged_across else mortise.length
    more = 2.0 * (mortise.flare + slope * BEYOND) + 0.1
    planes = tuple(_slope(mortise, sign, size / 2.0, slope) for sign in (1.0, -1.0))
    return Tool(
        frame=Frame(frame.to_world((*mortise.centre, 0.0)), frame.x, frame.y, frame.z),
        width=mortise.length + (0.0 if mortise.wedged_across else more),
        thickness=mortise.width + (more if mortise.wedged_across else 0.0),
        start=mortise.flare_from,
        end=mortise.depth + BEYOND,
        planes=planes,
    )


def _slope(mortise: Mortise, sign: float, half: float, slope: float) -> Plane:
    long = math.hypot(1.0, slope)
    way, lean = sign / long, -slope / long
    if mortise.wedged_across:
        return Plane((0.0, sign * half, mortise.flare_from), (0.0, way, lean))
    return Plane((sign * half, 0.0, mortise.flare_from), (way, 0.0, lean))


def tusk_tool(tusk: Tusk, beyond: float = BEYOND) -> Tool:
    """The hole of a tusk: straight at its inner side, its outer side sloped as the tusk's outer edge is."""
    wide = tusk.width + tusk.through / 2.0 * tusk.taper
    deepest = wide + beyond * tusk.taper
    long = math.hypot(1.0, tusk.taper)
    origin = plus(tusk.frame.origin, tusk.frame.x, deepest / 2.0)
    outer = Plane((wide - deepest / 2.0, 0.0, 0.0), (1.0 / long, 0.0, tusk.taper / long))
    return Tool(
        frame=Frame(origin, tusk.frame.x, tusk.frame.y, tusk.frame.z),
        width=deepest,
        thickness=tusk.thickness,
        start=-BEYOND,
        end=tusk.through + BEYOND,
        planes=(outer,),
    )


def _back(way: Vec3) -> Vec3:
    return (-way[0], -way[1], -way[2])
