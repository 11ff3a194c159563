"""One sheet for each joint that differs: its sizes and who decided them, sections at full size where they fit."""

from __future__ import annotations

from collections import defaultdict

from batchwright.base.length import Unit
from batchwright.geometry.frame import Frame, Vec2, Vec3, plus
from batchwright.model.draft import Hand, PartId
from batchwright.model.piece import Joint
from batchwright.sheets.scene.primitives import (
    BODY,
    Dimension,
    Hatch,
    HatchKind,
    Item,
    Level,
    Side,
    Text,
)
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.settle import settle
from batchwright.sheets.scene.sheet import Block, Caution, Column, Drawing, Paragraph, Table, fitting_scale, scale_words
from batchwright.sheets.scene.strokes import Fill, Stroke
from batchwright.sheets.views.linework import line_items, loops_polygon, plain_stroke, ring
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.printing import Printing
from batchwright.solids.solid import Solid
from batchwright.solids.trim import behind
from batchwright.solids.view import section_view

REACH = 58.0
"""How far round a joint its section shows the wood [mm]."""
ROOM = (150.0, 105.0)
"""Paper room of one section, dimensions left out [mm]."""


def joints_apart(made: Made) -> tuple[tuple[Joint, ...], ...]:
    """Joints grouped where one sheet serves: same part names, same end, same sizes; mirror images count as one."""
    names = {part.id: part.draft.name for part in made.piece.parts}
    groups: dict[tuple[object, ...], list[Joint]] = defaultdict(list)
    for joint in made.piece.joints:
        sizes = tuple((name, round(sized.value, 2)) for name, sized in joint.sizes)
        measured = (round(joint.out_of_square, 3), round(joint.hollow, 1), joint.end_form)
        groups[(names[joint.part], names[joint.into], joint.kind, sizes, measured)].append(joint)
    return tuple(tuple(group) for group in groups.values())


def joint_title(group: tuple[Joint, ...], made: Made) -> str:
    """`side rail into back leg`."""
    joint = group[0]
    return f"{made.piece.part(joint.part).draft.name} into {made.piece.part(joint.into).draft.name}"


def joint_blocks(group: tuple[Joint, ...], made: Made, printing: Printing) -> tuple[Block, ...]:
    """The sections of the first of a group, its sizes with who decided, what was measured, and where the others are."""
    joint = _drawn_one(group, made)
    blocks: list[Block] = []
    for across in (False, True):
        scene = joint_scene(joint, made, across, printing)
        blocks.append(Drawing(scene=scene, caption=_section_words(scene, across), alt=scene.about))
    blocks.append(_size_table(joint, printing))
    if joint.measures:
        blocks.append(_measure_table(joint, printing))
    if joint.hollow > 0.0:
        blocks.append(Paragraph(text=f"The face under the shoulder is hollow by {printing.length_unit(joint.hollow)}."))
    blocks.append(Paragraph(text=_where_words(group, made)))
    if joint.pegs and joint.pegs[0].draw:
        blocks.append(Caution(text="Draw-bore: the hole in the tenon lies nearer the shoulder, never further from it."))
    return tuple(blocks)


def _drawn_one(group: tuple[Joint, ...], made: Made) -> Joint:
    """The joint that was drawn itself, not a mirror image of it."""
    return next((joint for joint in group if made.piece.part(joint.part).draft.drawn), group[0])


def joint_scene(joint: Joint, made: Made, across: bool, printing: Printing) -> Scene:
    """A section along the tenon: through its width, or (across) through its thickness."""
    plane = _plane(joint, across)
    names = _shown(joint, made)
    solids = [(name, _near(made.solids[PartId(name)], plane)) for name in names]
    cut = section_view([(name, solid) for name, solid in solids if solid is not None], plane, hidden=True)
    items: list[Item] = []
    for name, one in cut.cuts:
        kind = HatchKind.CUT_OTHER if name == joint.into else HatchKind.CUT
        items.append(Hatch(rings=tuple(ring(loop) for loop in one.loops), kind=kind))
        items.append(loops_polygon(one.loops, Fill.NONE, Stroke.CUT))
    items += line_items(cut.view, plain_stroke)
    items += _dimensions(joint, across, printing)
    low_x, low_y, high_x, high_y = cut.view.bounds
    scale = fitting_scale((high_x - low_x, high_y - low_y), ROOM, printing.unit is Unit.INCHES)
    way = "thickness" if across else "width"
    about = f"section of {joint.id} through the {way} of the tenon"
    return settle(Scene(items=tuple(items), name=f"section through the {way}", scale=scale, about=about))


def _section_words(scene: Scene, across: bool) -> str:
    return f"Section through the tenon's {'thickness' if across else 'width'}, {scale_words(scene.scale)}."


def _plane(joint: Joint, across: bool) -> Frame:
    """Right on paper: along the tenon; up: its width, or its thickness; through the middle of the first tenon."""
    tenon = joint.tenons[0]
    frame = joint.frame
    middle = plus(plus(frame.origin, frame.x, tenon.centre[0]), frame.y, tenon.centre[1])
    up = frame.y if across else frame.x
    towards = _cross(frame.z, up)
    return Frame(middle, frame.z, up, towards)


def _cross(a: Vec3, b: Vec3) -> Vec3:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def _shown(joint: Joint, made: Made) -> list[str]:
    """The two parts, and the parts whose tenons come near inside the mortised one."""
    near = {other.part for other in made.piece.joints if other.id in joint.meets}
    return [joint.part, joint.into, *sorted(near - {joint.part, joint.into})]


def _near(solid: Solid, plane: Frame) -> Solid | None:
    """What of a solid lies round the joint; None where nothing does."""
    try:
        for direction, reach in ((plane.x, REACH), (plane.y, REACH)):
            for sign in (1.0, -1.0):
                z: Vec3 = (direction[0] * sign, direction[1] * sign, direction[2] * sign)
                solid = behind(solid, Frame(plus(plane.origin, z, reach), plane.y, plane.z, z))
    except ValueError:
        return None
    return solid


def _dimensions(joint: Joint, across: bool, printing: Printing) -> list[Item]:
    """Length and width (or thickness) of the tenon, depth of the mortise; measured from the shoulder."""
    tenon, mortise = joint.tenons[0], joint.mortises[0]
    half = (tenon.thickness if across else tenon.width) / 2.0
    items: list[Item] = [
        Dimension(start=(0.0, -half), end=(tenon.length, -half), label=printing.length(tenon.length), offset=-26.0),
        Dimension(
            start=(0.0, half),
            end=(0.0, -half),
            label=printing.length(2.0 * half),
            offset=-(REACH * 0.62),
        ),
    ]
    if not mortise.through:
        items.append(
            Dimension(
                start=(0.0, -half), end=(mortise.depth, -half), label=printing.length(mortise.depth), offset=-38.0
            )
        )
    items += _names(joint, half)
    return items


def _names(joint: Joint, half: float) -> list[Item]:
    at: tuple[Vec2, Vec2] = ((-REACH, half + REACH * 0.55), (REACH, half + REACH * 0.55))
    return [
        Text(at=at[0], text=joint.part, size=BODY, side=Side.START, level=Level.BASE, loose=True),
        Text(at=at[1], text=joint.into, size=BODY, side=Side.END, level=Level.BASE, loose=True),
    ]


def _size_table(joint: Joint, printing: Printing) -> Table:
    rows = tuple(
        (name, _shown_size(name, sized.value, printing), str(sized.trace.by.value), sized.trace.rule, sized.trace.why)
        for name, sized in joint.sizes
    )
    columns = (
        Column(title="Size", share=1.3),
        Column(title="Is", share=0.9, number=True, key=True),
        Column(title="Decided by", share=1.1),
        Column(title="Rule", share=1.0),
        Column(title="Why", share=3.6),
    )
    return Table(columns=columns, rows=rows)


def _shown_size(name: str, value: float, printing: Printing) -> str:
    counted = ("number", "count", "side by side", "in line", "wedges")
    return f"{value:g}" if any(word in name for word in counted) else printing.heavy_light(value)


def _measure_table(joint: Joint, printing: Printing) -> Table:
    rows = tuple(
        (
            one.name,
            printing.length(one.value),
            "" if one.limit is None else printing.length(one.limit),
            one.source,
        )
        for one in joint.measures
    )
    columns = (
        Column(title="Measured on the finished parts", share=2.4),
        Column(title="Is", share=0.9, number=True, key=True),
        Column(title="Least", share=0.9, number=True),
        Column(title="Source", share=2.6),
    )
    return Table(columns=columns, rows=rows)


def _where_words(group: tuple[Joint, ...], made: Made) -> str:
    handed = len({made.piece.part(joint.part).hand for joint in group} - {Hand.NONE}) > 1
    mirrored = " Left and right are mirror images: mark them from their own face sides." if handed else ""
    return f"{len(group)} a piece: {'; '.join(str(joint.id) for joint in group)}.{mirrored}"
