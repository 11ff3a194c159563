"""What a joint is set by: the large numbers of its sheet, for tenons, loose tenons and dowels, one or several."""

from __future__ import annotations

from collections.abc import Sequence

from batchwright.geometry.frame import Vec2
from batchwright.model.draft import JointKind, PartId
from batchwright.model.piece import FeatureKind, Joint
from batchwright.sheets.scene.sheet import KeyNumber, KeyNumbers
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.printing import Printing

POINTS = 18.0
HAIR = 0.1
"""Tenons whose middles lie nearer than this along an axis stand in one row there [mm]."""
CALLED = {JointKind.TENON: "Joint", JointKind.LOOSE_TENON: "Loose tenon", JointKind.DOWEL: "Dowels"}
"""What the sheet of a joint is headed with."""


def called(joint: Joint) -> str:
    """`Joint`, `Loose tenon` or `Dowels`."""
    return CALLED.get(joint.kind, CALLED[JointKind.TENON])


def machine_numbers(joint: Joint, made: Made, printing: Printing) -> list[KeyNumbers]:
    """What is set on the machines: the mortise and the tenon; of a loose tenon both mortises and the whole slip."""
    if joint.kind is JointKind.DOWEL:
        return [_dowel_numbers(joint, made, printing)]
    many = tenon_words(joint, printing)
    where = "" if joint.kind is JointKind.TENON else f" in the {_name(joint.into, made)}"
    into = _mortise(joint, where, many, printing)
    tenon = joint.tenons[0]
    if joint.kind is JointKind.TENON:
        left = _times(printing, tenon.thickness, tenon.width, tenon.length)
        label = "each tenon" if many else "tenon"
        return [_row(into, KeyNumber(label=f"{label}: thick × wide × long", value=left, note=many, points=POINTS))]
    mortise = joint.mortises[0]
    cut = _times(printing, mortise.width, mortise.length, own_depth(joint, made))
    slip = _times(printing, tenon.thickness, tenon.width, whole_length(joint))
    own = f"mortise in the {_name(joint.part, made)}: wide × long × deep"
    half = f"a separate slip, {printing.length(tenon.length)} of it in each part"
    return [
        _row(KeyNumber(label="loose tenon, whole: thick × wide × long", value=slip, note=half, points=POINTS)),
        _row(into, KeyNumber(label=own, value=cut, note=many, points=POINTS)),
    ]


def whole_length(joint: Joint) -> float:
    """Of a loose tenon or a dowel: it is as long in the one part as in the other [mm]."""
    return 2.0 * joint.tenons[0].length


def own_depth(joint: Joint, made: Made) -> float:
    """How deep the mortise for a loose tenon, or the hole for a dowel, goes into the part that bears it [mm]."""
    kinds = (FeatureKind.MORTISE, FeatureKind.HOLE)
    features = made.piece.part(joint.part).features
    own = [one.depth for one in features if one.joint == joint.id and one.kind in kinds]
    return max(own, default=joint.mortises[0].depth)


def array_words(boxes: Sequence[tuple[Vec2, Vec2]], printing: Printing) -> str:
    """`2 side by side, 3/8 in apart`: the clear wood between boxes of (middle, sizes) in the joint's (x,
    y); empty where there is one."""
    words = []
    for axis, way in ((1, "side by side"), (0, "in line")):
        steps = sorted({round(middle[axis] / HAIR) * HAIR for middle, _ in boxes})
        if len(steps) > 1:
            gap = min(b - a for a, b in zip(steps, steps[1:], strict=False)) - boxes[0][1][axis]
            words.append(f"{len(steps)} {way}, {printing.length_unit(gap)} apart")
    return "; ".join(words)


def tenon_words(joint: Joint, printing: Printing) -> str:
    """How several tenons of a joint stand, and how far apart."""
    return array_words([(one.centre, (one.width, one.thickness)) for one in joint.tenons], printing)


def _dowel_numbers(joint: Joint, made: Made, printing: Printing) -> KeyNumbers:
    mortise, tenon = joint.mortises[0], joint.tenons[0]
    deep, own = mortise.depth, own_depth(joint, made)
    many = f"{len(joint.tenons)} dowels" if len(joint.tenons) > 1 else ""
    same = printing.length(deep) == printing.length(own)
    where = "in each part" if same else f"in the {_name(joint.into, made)}"
    note = "; ".join(
        word for word in (many, "" if same else f"{printing.length(own)} deep in the {_name(joint.part, made)}") if word
    )
    bored, whole = _times(printing, mortise.width, deep), _times(printing, tenon.thickness, whole_length(joint))
    return _row(
        KeyNumber(label=f"hole {where}: diameter × deep", value=bored, note=note, points=POINTS),
        KeyNumber(label="dowel: diameter × long", value=whole, points=POINTS),
    )


def _mortise(joint: Joint, where: str, many: str, printing: Printing) -> KeyNumber:
    mortise = joint.mortises[0]
    deep = "through" if mortise.through else printing.length(mortise.depth)
    cut = f"{_times(printing, mortise.width, mortise.length)} × {deep}"
    label = f"{'each mortise' if many else 'mortise'}{where}: wide × long × deep"
    apart = array_words([(one.centre, (one.length, one.width)) for one in joint.mortises], printing)
    return KeyNumber(label=label, value=cut, note=apart, points=POINTS)


def _row(*numbers: KeyNumber) -> KeyNumbers:
    return KeyNumbers(numbers=numbers)


def _times(printing: Printing, *sizes: float) -> str:
    return " × ".join(printing.length(size) for size in sizes)


def _name(part: PartId, made: Made) -> str:
    return made.piece.part(part).draft.name
