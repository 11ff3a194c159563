"""One sheet for each joint that differs: sections at full size where they fit, its sizes and who decided them."""

from __future__ import annotations

from collections.abc import Mapping

from batchwright.base.trace import Trace
from batchwright.model.draft import Hand, JointKind, PartId
from batchwright.model.piece import Joint, Measure
from batchwright.sheets.scene.sheet import (
    Block,
    Caution,
    Column,
    Drawing,
    Paragraph,
    Table,
    scale_words,
)
from batchwright.sheets.views.driven import driven_blocks
from batchwright.sheets.views.joint_numbers import machine_numbers
from batchwright.sheets.views.joint_section import joint_scene
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.printing import Printing

COUNTED = ("number", "count", "side by side", "in line", "wedges", "per crossing")
FINE = ("clearance", "draw", "gap")
"""Sizes that are numbers of things, and sizes told finer than the sheet's rounding."""
ALIKE = 0.4
"""Sizes that differ by less are one size on paper [mm]; about 1/64 in."""
HAIR = 1e-3
"""A wall that is less by no more than this holds [mm]."""
CARE = "Cut a trial joint in an offcut at each new setting. Guards and hold-downs as the machine's manual says."


def joints_apart(made: Made) -> tuple[tuple[Joint, ...], ...]:
    """Joints grouped where one sheet serves: same part names and same sizes on paper; mirror images count as one."""
    names = {part.id: part.draft.name for part in made.piece.parts}
    groups: list[list[Joint]] = []
    for joint in made.piece.joints:
        kin = next((group for group in groups if _one_sheet(group[0], joint, names)), None)
        if kin is None:
            groups.append([joint])
        else:
            kin.append(joint)
    return tuple(tuple(group) for group in groups)


def _one_sheet(first: Joint, second: Joint, names: Mapping[PartId, str]) -> bool:
    """Whether two joints are cut with the same settings: no size differs by what shows on paper."""

    def form(joint: Joint) -> tuple[object, ...]:
        counts = (len(joint.tenons), len(joint.pegs))
        return (names[joint.part], names[joint.into], joint.kind, joint.end_form, joint.angle_in, counts)

    def cut(joint: Joint) -> tuple[float, ...]:
        tenon, mortise = joint.tenons[0], joint.mortises[0]
        return (tenon.thickness, tenon.width, tenon.length, mortise.width, mortise.length, mortise.depth)

    near = (abs(a - b) < ALIKE for a, b in zip(cut(first), cut(second), strict=True))
    return form(first) == form(second) and all(near)


def joint_titles(groups: tuple[tuple[Joint, ...], ...], made: Made) -> tuple[str, ...]:
    """`side rail into back leg` for each sheet; where two would be called alike, the copies: `back slat 4 into ...`."""
    plain = [_title(group, made) for group in groups]
    titles = [
        title if plain.count(title) == 1 else f"{group[0].part} into {group[0].into}"
        for title, group in zip(plain, groups, strict=True)
    ]
    return tuple(
        f"{title} ({titles[: place + 1].count(title)})" if title in titles[:place] else title
        for place, title in enumerate(titles)
    )


def _title(group: tuple[Joint, ...], made: Made) -> str:
    joint = group[0]
    return f"{made.piece.part(joint.part).draft.name} into {made.piece.part(joint.into).draft.name}"


def joint_blocks(group: tuple[Joint, ...], made: Made, printing: Printing) -> tuple[Block, ...]:
    """The sections of the first of a group, its sizes with who decided, what was measured, and where the others are."""
    joint = _drawn_one(group, made)
    blocks: list[Block] = _failing(group, printing)
    for across in (False, True):
        scene = joint_scene(joint, made, across, printing)
        way = "thickness" if across else "width"
        what = "loose tenon" if joint.kind is JointKind.LOOSE_TENON else "tenon"
        caption = f"Through the {what}'s {way}, {scale_words(scene.scale)}: {joint.part} into {joint.into}."
        blocks.append(Drawing(scene=scene, caption=caption, alt=scene.about))
    blocks += [*machine_numbers(joint, made, printing), *(Paragraph(text=words) for words in _words(joint, printing))]
    blocks += driven_blocks(joint, made, printing)
    angles = _angle_blocks(group, printing)
    blocks += [*(angles or [Paragraph(text=_where_words(group, made))]), Caution(text=CARE)]
    blocks.append(_size_table(joint, printing))
    if joint.measures:
        blocks += _measure_blocks(joint, printing)
    if joint.pegs and joint.pegs[0].draw:
        blocks.append(Caution(text="Draw-bore: the hole in the tenon lies nearer the shoulder, never further from it."))
    return tuple(blocks)


def _drawn_one(group: tuple[Joint, ...], made: Made) -> Joint:
    """The joint that was drawn itself, not a mirror image of it."""
    return next((joint for joint in group if made.piece.part(joint.part).draft.drawn), group[0])


def _angle_blocks(group: tuple[Joint, ...], printing: Printing) -> list[Block]:
    """The shoulder of each, where they do not all lean alike."""
    rows = [
        (str(joint.id), *(printing.bevel(lean) for lean in joint.shoulder_angles), printing.angle(joint.out_of_square))
        for joint in group
    ]
    if len({row[1:] for row in rows}) < 2:
        return []
    columns = (
        Column(title="Shoulder of", share=3.0),
        Column(title="on the face side", share=1.2, number=True),
        Column(title="on the face edge", share=1.2, number=True),
        Column(title="out of square", share=0.8, number=True),
    )
    return [Table(columns=columns, rows=tuple(rows))]


def _words(joint: Joint, printing: Printing) -> list[str]:
    words = []
    if joint.out_of_square > 1e-3:
        lean = printing.angle(joint.out_of_square)
        on_side, on_edge = (printing.bevel(angle) for angle in joint.shoulder_angles)
        words.append(
            f"Out of square by {lean}; the angle is in the {joint.angle_in}. Shoulder on the face side: {on_side}; on "
            f"the face edge: {on_edge}."
        )
    if printing.length(joint.hollow) != printing.length(0.0):
        words.append(f"The face under the shoulder is hollow by {printing.length_unit(joint.hollow)}.")
    if joint.pegs:
        peg = joint.pegs[0]
        draw = f", drawn {printing.length_unit(peg.draw)} nearer the shoulder" if peg.draw else ""
        words.append(
            f"{len(joint.pegs)} peg{'s' if len(joint.pegs) > 1 else ''} of {printing.length_unit(peg.diameter)}{draw}."
        )
    return words


def _size_table(joint: Joint, printing: Printing) -> Table:
    rows = tuple(
        (
            name,
            shown_size(name, sized.value, printing),
            str(sized.trace.by.value),
            _because(sized.trace),
        )
        for name, sized in joint.sizes
    )
    columns = (
        Column(title="Size", share=1.3),
        Column(title="Is", share=0.9, number=True),
        Column(title="Decided by", share=1.1),
        Column(title="Why", share=4.0),
    )
    return Table(columns=columns, rows=rows)


def _because(trace: Trace) -> str:
    """The reason, with the number of the rule where one decided."""
    return f"{trace.why} ({trace.rule})" if trace.rule.startswith("JR") and trace.why else trace.why or trace.rule


def shown_size(name: str, value: float, printing: Printing) -> str:
    """A size of a joint as it is told: a count, a small gap finely, any other length with its heavy or light sign."""
    if any(word in name for word in COUNTED):
        return f"{value:g}"
    if "taper" in name:
        return printing.slope(value)
    return printing.fine(value) if any(word in name for word in FINE) else printing.heavy_light(value)


def _fails(measure: Measure) -> bool:
    return measure.limit is not None and measure.value < measure.limit - HAIR


def _failing(group: tuple[Joint, ...], printing: Printing) -> list[Block]:
    """A plain sign at the head of the sheet for what is less than the rule asks, of any joint of the group."""
    told: dict[str, None] = {}
    for joint in group:
        for one in joint.measures:
            if one.limit is not None and _fails(one):
                value, limit = printing.beside(one.value, one.limit)
                told.setdefault(f"{one.name} is {value}, the rule asks {limit} ({joint.id})")
    return [Caution(text=f"FAILS: {'; '.join(told)}. Mend the drawing before wood is cut.")] if told else []


def _measure_blocks(joint: Joint, printing: Printing) -> list[Block]:
    """Walls and distances with the least allowed; one that is less is told true, with a sign. Sources below."""
    rows = []
    for one in joint.measures:
        value, limit = printing.length(one.value), "" if one.limit is None else printing.length(one.limit)
        if one.limit is not None and _fails(one):
            value, limit = printing.beside(one.value, one.limit)
        sign = "" if one.limit is None else "FAILS" if _fails(one) else "holds"
        rows.append((one.name, value, limit, sign, one.source.split(":")[0]))
    columns = (
        Column(title="Measured on the finished parts", share=2.4),
        Column(title="Is", share=0.9, number=True),
        Column(title="Least", share=0.9, number=True),
        Column(title="", share=0.7),
        Column(title="Rule", share=1.2),
    )
    sources = ". ".join(dict.fromkeys(one.source for one in joint.measures if ":" in one.source))
    told = [Paragraph(text=f"{sources}.", small=True)] if sources else []
    return [Table(columns=columns, rows=tuple(rows)), *told]


def _where_words(group: tuple[Joint, ...], made: Made) -> str:
    handed = len({made.piece.part(joint.part).hand for joint in group} - {Hand.NONE}) > 1
    mirrored = " Left and right are mirror images: mark them from their own face sides." if handed else ""
    return f"{len(group)} a piece: {'; '.join(str(joint.id) for joint in group)}.{mirrored}"
