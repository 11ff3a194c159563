"""A joint cut open along its tenon: each part hatched its own way, clearances and walls measured on the cut itself."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from batchwright.geometry.frame import Array, Frame, Vec2, Vec3, cross, plus
from batchwright.geometry.outline import polygon_outline
from batchwright.model.draft import JointKind, PartId
from batchwright.model.piece import Joint, Tenon
from batchwright.model.shape import Prism, Recipe, Shape
from batchwright.sheets.scene.dimensioning import tiers
from batchwright.sheets.scene.metrics import text_width
from batchwright.sheets.scene.primitives import (
    BODY,
    Dimension,
    Hatch,
    HatchKind,
    Item,
    Level,
    Note,
    Side,
    Straight,
    Text,
    Weight,
)
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.settle import settle
from batchwright.sheets.scene.strokes import Stroke
from batchwright.sheets.views.joint_numbers import own_depth
from batchwright.sheets.views.linework import inside_box, line_items, loops_box, ring
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.naming import shortened
from batchwright.sheets.views.printing import Printing
from batchwright.sheets.views.scales import chosen_scale
from batchwright.solids.build import placed, recipe_solid
from batchwright.solids.solid import Solid
from batchwright.solids.trim import behind
from batchwright.solids.view import SectionView, View, ViewLine, section_view

ROOM = (120.0, 88.0)
ROOM_ACROSS = (120.0, 66.0)
"""Paper room of the section through the width and of the one through the thickness, dimensions left out [mm]."""
ROOM_LOOSE, ROOM_LOOSE_ACROSS = (120.0, 64.0), (120.0, 44.0)
"""The same of a loose tenon, whose sheet has a row of large numbers more [mm]."""
NAME_ROOM, NEIGHBOUR_ROOM = 120.0, 45.0
"""What the name of a part may take over a section, and beside it [mm on paper]."""
BESIDE = 17.0
"""How much wood is shown beside a tenon [mm]."""
EDGE = 0.02
"""A line nearer than this to where the wood was cut off is not drawn [mm]."""
LEAST = 0.5
"""Walls and gaps thinner than this are told by the table [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """What a section shows, in its own coordinates: x from the shoulder along the tenon, y across [mm]; its scale."""

    low: Vec2
    high: Vec2
    scale: float

    def on_rim(self, a: Vec2, b: Vec2) -> bool:
        """Whether a line lies where the wood was cut off for the drawing."""
        return any(
            abs(a[axis] - limit) < EDGE and abs(b[axis] - limit) < EDGE
            for axis in (0, 1)
            for limit in (self.low[axis], self.high[axis])
        )


def joint_scene(joint: Joint, made: Made, across: bool, printing: Printing) -> Scene:
    """A section along the tenon: through its width, or (across) through its thickness."""
    plane = _plane(joint, across)
    window = _window(joint, across)
    names = _shown(joint, made)
    wood = [*((name, made.solids[PartId(name)]) for name in names), *_slips(joint)]
    near = [(name, _near(solid, plane, window)) for name, solid in wood]
    cut = section_view([(name, solid) for name, solid in near if solid is not None], plane, hidden=True)
    scale = window.scale
    items: list[Item] = [item for owner, one in cut.cuts for item in _cut_items(owner, one.loops, joint, window)]
    items += line_items(_within(cut), lambda line: None if _on_rim(line, window) else _stroke(line))
    items += _dimensions(joint, (across, own_depth(joint, made)), cut, window, printing)
    items += _names(joint, made, window, _height(cut, window)[1])
    items += _neighbours(joint, made, cut)
    way = "thickness" if across else "width"
    about = f"section of {joint.id} through the {way} of the tenon"
    return settle(Scene(items=tuple(items), name=f"section through the {way}", scale=scale, about=about))


def _plane(joint: Joint, across: bool) -> Frame:
    """Right on paper: along the tenon; up: its width, or its thickness; through the middle of the first tenon."""
    tenon, frame = joint.tenons[0], joint.frame
    middle = plus(plus(frame.origin, frame.x, tenon.centre[0]), frame.y, tenon.centre[1])
    up = frame.y if across else frame.x
    return Frame(middle, frame.z, up, cross(frame.z, up))


def _slips(joint: Joint) -> list[tuple[str, Solid]]:
    """Loose tenons and dowels where they sit: half in either part. Cut along its middle a dowel is a box too."""
    if joint.kind is JointKind.TENON:
        return []
    made = []
    for tenon in joint.tenons:
        (x, y), a, b = tenon.centre, tenon.width / 2.0, tenon.thickness / 2.0
        corners = [(x - a, y - b), (x + a, y - b), (x + a, y + b), (x - a, y + b)]
        body = Prism(outline=polygon_outline(corners), low=-tenon.length, high=tenon.length)
        made.append((joint.kind.value, placed(recipe_solid(Recipe(shape=Shape(body=body))), joint.frame)))
    return made


def _window(joint: Joint, across: bool) -> Window:
    tenon, mortise = joint.tenons[0], joint.mortises[0]
    half = (max(tenon.thickness, mortise.width) if across else max(tenon.width, mortise.length)) / 2.0
    more = max((_off(joint, other, across) for other in joint.tenons), default=0.0)
    reach = half + max(BESIDE, 28.0 - half) + more
    haunch = 0.0 if across else tenon.haunch_width
    left = min(50.0, max(30.0, tenon.length + 8.0))
    right = max(mortise.depth, tenon.length) + 26.0
    low, high = (-left, -reach + min(haunch, 0.0)), (right, reach + max(haunch, 0.0))
    rooms = (ROOM, ROOM_ACROSS) if joint.kind is JointKind.TENON else (ROOM_LOOSE, ROOM_LOOSE_ACROSS)
    scale = chosen_scale((high[0] - low[0], high[1] - low[1]), rooms[across])
    return Window(low=low, high=high, scale=scale)


def _off(joint: Joint, other: Tenon, across: bool) -> float:
    """How far another tenon of the same joint lies from the first one, its own half counted."""
    axis = 1 if across else 0
    return abs(other.centre[axis] - joint.tenons[0].centre[axis])


def _shown(joint: Joint, made: Made) -> list[str]:
    """The two parts, and the parts whose tenons come near inside the mortised one."""
    near = {other.part for other in made.piece.joints if other.id in joint.meets}
    return [joint.part, joint.into, *sorted(near - {joint.part, joint.into})]


def _near(solid: Solid, plane: Frame, window: Window) -> Solid | None:
    """What of a solid lies in the window; None where nothing does."""
    limits = ((plane.x, window.low[0], window.high[0]), (plane.y, window.low[1], window.high[1]))
    try:
        for direction, low, high in limits:
            for reach, sign in ((high, 1.0), (low, -1.0)):
                z: Vec3 = (direction[0] * sign, direction[1] * sign, direction[2] * sign)
                solid = behind(solid, Frame(plus(plane.origin, direction, reach), plane.y, plane.z, z))
    except ValueError:
        return None
    return solid


def _stroke(line: ViewLine) -> Stroke | None:
    """What stands behind the cut; of what is hidden only joints, light."""
    if line.visible:
        return Stroke.VISIBLE
    return Stroke.FAINT if line.kind in ("tenon", "mortise", "housing") else None


def _within(cut: SectionView) -> View:
    """What is seen behind, as far as it lies within the reach of its own part's cut: the rest would hang loose."""
    boxes = {owner: loops_box(one.loops) for owner, one in cut.cuts if one.loops}
    lines = tuple(
        replace(line, points=chain)
        for line in cut.view.lines
        if line.owner in boxes
        for chain in inside_box(line.points, boxes[line.owner])
    )
    return replace(cut.view, lines=lines)


def _on_rim(line: ViewLine, window: Window) -> bool:
    points = [(float(x), float(y)) for x, y in line.points]
    return all(window.on_rim(a, b) for a, b in zip(points, points[1:], strict=False))


def _cut_items(owner: str, loops: tuple[Array, ...], joint: Joint, window: Window) -> list[Item]:
    kind = {joint.part: HatchKind.CUT, joint.into: HatchKind.CUT_OTHER}.get(PartId(owner), HatchKind.END_GRAIN)
    items: list[Item] = [Hatch(rings=tuple(ring(loop) for loop in loops), kind=kind)]
    for loop in loops:
        points = ring(loop)
        for a, b in zip(points, (*points[1:], points[0]), strict=True):
            stroke = Stroke.FAINT if window.on_rim(a, b) else Stroke.CUT
            items.append(Straight(start=a, end=b, stroke=stroke))
    return items


def _dimensions(
    joint: Joint, way: tuple[bool, float], cut: SectionView, window: Window, printing: Printing
) -> list[Item]:
    """Below: tenon, mortise, wall beyond it. Left: the tenon and its shoulders. Right: the mortise and its walls.
    `way` is whether the thickness is cut, and how deep the mortise of a loose tenon goes into its own part."""
    tenon, mortise = joint.tenons[0], joint.mortises[0]
    (across, own), loose = way, joint.kind is not JointKind.TENON
    loops = {owner: one.loops for owner, one in cut.cuts}
    base = _height(cut, window)[0]
    below = [((-tenon.length if loose else 0.0, tenon.length), printing.length(tenon.length * (2.0 if loose else 1.0)))]
    if loose:
        below.append(((-own, 0.0), printing.length(own)))
    if not mortise.through:
        below.append(((0.0, mortise.depth), printing.length(mortise.depth)))
        wall = _beyond(_spans(loops.get(joint.into, ()), 1, 0.0), mortise.depth)
        if wall is not None and wall[1] < window.high[0] - EDGE:
            below.append((wall, printing.length(wall[1] - wall[0])))
    rows = tuple(
        Dimension(start=(low, base), end=(high, base), label=label, offset=-9.0, direction=(1.0, 0.0))
        for (low, high), label in below
    )
    items: list[Item] = [*tiers(rows, window.scale, 8.0)]
    wood = [_spans(loops.get(part, ()), 0, at) for part, at in
            ((joint.part, -3.0), (joint.into, min(5.0, mortise.depth / 3)))]  # fmt: skip
    cut_out = _in_row([(one.centre, one.width, one.length) for one in joint.mortises], across)
    left_on = _in_row([(one.centre, one.thickness, one.width) for one in joint.tenons], across)
    left = [*cut_out, *_walls(cut_out, wood[0], window)] if loose else _left(left_on, wood[0], window)
    items += _uprights(left, window.low[0], 9.0, window.scale, printing)
    right = [*cut_out, *_walls(cut_out, wood[1], window)]
    items += _uprights(right, window.high[0], -9.0, window.scale, printing)
    gap = mortise.depth - tenon.length
    if not mortise.through and gap > 0.2 and not across:
        text = f"{printing.fine(gap)} clear"
        items.append(Note(tip=(tenon.length + gap / 2.0, 0.0), text=text, dx=12.0, dy=14.0))
    return items


def _in_row(boxes: list[tuple[Vec2, float, float]], across: bool) -> list[Vec2]:
    """From where to where tenons or mortises of (middle, thickness, width) reach, seen from the middle of the first:
    those that the section cuts, from the lowest up."""
    (first, *_), axis = boxes[0], 1 if across else 0
    found = set()
    for middle, thick, wide in boxes:
        if abs(middle[1 - axis] - first[1 - axis]) < (wide if across else thick) / 2.0:
            half = (thick if across else wide) / 2.0
            at = round(middle[axis] - first[axis], 3)
            found.add((at - half, at + half))
    return sorted(found)


def _height(cut: SectionView, window: Window) -> Vec2:
    """From where to where the cut wood reaches up the paper."""
    boxes = [loops_box(one.loops) for _, one in cut.cuts if one.loops]
    if not boxes:
        return (window.low[1], window.high[1])
    return (min(low[1] for low, _ in boxes), max(high[1] for _, high in boxes))


def _left(tenons: list[Vec2], wood: list[Vec2], window: Window) -> list[Vec2]:
    """The tenons, the gaps between them, and the shoulders that end within the drawing."""
    chain = [*tenons, *((a[1], b[0]) for a, b in zip(tenons, tenons[1:], strict=False))]
    whole = next((one for one in wood if one[0] < 0.0 < one[1]), None)
    if whole is not None:
        low, high = whole
        chain += [(low, tenons[0][0])] if low > window.low[1] + EDGE else []
        chain += [(tenons[-1][1], high)] if high < window.high[1] - EDGE else []
    return chain


def _walls(mortises: list[Vec2], wood: list[Vec2], window: Window) -> list[Vec2]:
    """Wood beside and between mortises, whole within the drawing."""
    return [
        (low, high)
        for low, high in wood
        if low > window.low[1] + EDGE
        and high < window.high[1] - EDGE
        and all(high <= first + 1.0 or low >= last - 1.0 for first, last in mortises)
    ]


def _uprights(chain: list[Vec2], x: float, offset: float, scale: float, printing: Printing) -> tuple[Dimension, ...]:
    """One above the other; what has no room for its number between its arrows keeps off its neighbour's line."""
    rows = tuple(
        Dimension(start=(x, low), end=(x, high), label=printing.length(high - low), offset=offset, direction=(0.0, 1.0))
        for low, high in sorted(chain)
        if high - low > LEAST
    )
    return tiers(rows, scale, abs(offset))


def _spans(loops: tuple[Array, ...], axis: int, value: float) -> list[Vec2]:
    """Where the line on which coordinate `axis` is `value` runs in the wood of a cut: from, to."""
    found: list[float] = []
    for loop in loops:
        a, b = loop, np.roll(loop, -1, axis=0)
        over = (a[:, axis] <= value) != (b[:, axis] <= value)
        share = (value - a[over, axis]) / (b[over, axis] - a[over, axis])
        found += [float(one) for one in a[over, 1 - axis] + share * (b[over, 1 - axis] - a[over, 1 - axis])]
    found.sort()
    return list(zip(found[::2], found[1::2], strict=False))


def _beyond(spans: list[Vec2], depth: float) -> Vec2 | None:
    return next((one for one in spans if abs(one[0] - depth) < 1.0 and one[1] - one[0] > LEAST), None)


def _names(joint: Joint, made: Made, window: Window, high: float) -> list[Item]:
    """Over the drawing: the tenoned part to the left, the mortised one to the right, one higher if they would meet."""
    called = [made.piece.part(part_id).draft.name for part_id in (joint.part, joint.into)]
    names = [shortened(name, NAME_ROOM, Weight.BOLD) for name in called]
    wide = sum(text_width(name, BODY, Weight.BOLD) for name in names) + 6.0
    lift = BODY * 1.5 if wide > (window.high[0] - window.low[0]) * window.scale else 0.0
    top = high + 3.0 / window.scale
    return [
        Text(at=(window.low[0], top), text=names[0], side=Side.START, level=Level.BASE, weight=Weight.BOLD),
        Text(
            at=(window.high[0], top + lift / window.scale),
            text=names[1],
            side=Side.END,
            level=Level.BASE,
            weight=Weight.BOLD,
        ),
    ]


def _neighbours(joint: Joint, made: Made, cut: SectionView) -> list[Item]:
    """The parts whose tenons are cut through as well, by name."""
    items: list[Item] = []
    for owner, one in cut.cuts:
        if owner in (joint.part, joint.into) or not one.loops:
            continue
        middle = max(one.loops, key=len).mean(axis=0)
        called = owner if owner == joint.kind.value else made.piece.part(PartId(owner)).draft.name
        name = shortened(called, NEIGHBOUR_ROOM)
        aside = 7.0 if owner == joint.kind.value else 14.0
        items.append(Note(tip=(float(middle[0]), float(middle[1])), text=name, dx=aside, dy=20.0, dot=True))
    return items
