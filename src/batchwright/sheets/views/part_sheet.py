"""One sheet for a part kind: key sizes, the part seen on face side and face edge with every joint, where it sits."""

from __future__ import annotations

from batchwright.model.draft import Hand
from batchwright.model.piece import Feature, FeatureKind, Kind, Part
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.sheet import (
    Beside,
    Block,
    Caution,
    Column,
    Drawing,
    KeyNumber,
    KeyNumbers,
    Paragraph,
    Table,
    scale_words,
)
from batchwright.sheets.views.bench_view import Seen
from batchwright.sheets.views.bevels import Bevel, bevels
from batchwright.sheets.views.fixings import fixing_blocks
from batchwright.sheets.views.linework import line_items, lit
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.naming import Lettered, lettered
from batchwright.sheets.views.ordinates import ordinates, tapers
from batchwright.sheets.views.part_view import ENDS, Look, lies_across, look_at, part_scene
from batchwright.sheets.views.printing import Printing
from batchwright.solids.view import View

PICTURE = (68.0, 56.0)
PICTURE_ACROSS = (70.0, 34.0)
"""Paper room of the picture that shows where a part sits, on an upright sheet and on one that lies across [mm]."""
MOST_BOXES = 12
"""Up to this many copies get a box each for every step."""
MACHINE_CARE = "Guards, push blocks and hold-downs as each machine's manual says; it comes before this sheet."


def part_blocks(part: Part, kind: Kind, made: Made, printing: Printing, where: View) -> tuple[Block, ...]:
    """All that is needed to set the part out; `where` is the pictorial view of the whole piece."""
    items = lettered(part, made.piece)
    leans = bevels(part, made.piece)
    look = look_at(part, items, leans, _ordinate_places(part, printing))
    room = PICTURE_ACROSS if lies_across(part) else PICTURE
    picture = Drawing(scene=_where(kind, where, room), alt=f"where {kind.label or kind.id} sits in the piece")
    blocks: list[Block] = [
        Beside(left=(_key_numbers(part, printing), *_mark_words(part, kind, printing)), right=(picture,), share=0.6),
        _drawing(look, made, Seen.FACE_SIDE, printing),
        *([_boxes(part, kind, made, printing)] if lies_across(part) else []),
        _drawing(look, made, Seen.FACE_EDGE, printing),
    ]
    if items:
        blocks.append(_joint_table(items, printing))
    blocks += fixing_blocks(part, made.piece, printing)
    blocks += [*_bevel_blocks(leans, printing), *_taper_blocks(part, printing), *_ordinate_blocks(part, printing)]
    blocks += [Paragraph(text=note) for note in _notes(part, kind)]
    if not lies_across(part):
        blocks.append(_boxes(part, kind, made, printing))
    if items or part.curved:
        blocks.append(Caution(text=MACHINE_CARE))
    return tuple(blocks)


def _drawing(look: Look, made: Made, seen: Seen, printing: Printing) -> Drawing:
    scene = part_scene(look, made, seen, printing)
    return Drawing(scene=scene, caption=_caption(seen, look), alt=scene.about)


def _key_numbers(part: Part, printing: Printing) -> KeyNumbers:
    numbers = [KeyNumber(label="overall", value=printing.length(part.length), points=22.0)]
    if part.shoulder_length is not None:
        value = printing.length(part.shoulder_length)
        numbers.append(KeyNumber(label="between shoulders", value=value, points=22.0))
    numbers.append(KeyNumber(label="width", value=printing.length(part.width), points=22.0))
    numbers.append(KeyNumber(label="thickness", value=printing.length(part.thickness), points=22.0))
    return KeyNumbers(numbers=tuple(numbers))


def _mark_words(part: Part, kind: Kind, printing: Printing) -> tuple[Block, ...]:
    blocks: list[Block] = []
    if kind.hand is not Hand.NONE:
        blocks.append(Paragraph(text=f"{kind.hand.value.upper()} HAND, {printing.hand_line()}."))
    blocks.append(Paragraph(text=f"Make {printing.total_of(kind.id)}, {printing.wood(part.draft.wood)}."))
    if part.marks_note:
        marks = "; ".join(f"{name}: {where}" for name, where in part.marks_note)
        on = f"On the {part.id}: {marks}." if kind.count > 1 else f"{marks[0].upper()}{marks[1:]}."
        blocks.append(Paragraph(text=on))
    return tuple(blocks)


def _caption(seen: Seen, look: Look) -> str:
    end = "right" if look.part.bench.mirrored else "left"
    shortened = ", shortened at the zigzags" if look.cut.left_out else ""
    return f"{seen.value.capitalize()} up, reference end to the {end}; {scale_words(look.scale)}{shortened}."


def _where(kind: Kind, where: View, room: tuple[float, float]) -> Scene:
    low_x, low_y, high_x, high_y = where.bounds
    scale = min(room[0] / (high_x - low_x), room[1] / (high_y - low_y))
    return Scene(items=line_items(where, lit(frozenset(kind.parts))), name=f"where {kind.id} sits", scale=scale)


def _joint_table(items: tuple[Lettered, ...], printing: Printing) -> Table:
    columns = (
        Column(title="", share=0.2, key=True),
        Column(title="What, cut in which face", share=2.0),
        Column(title="From reference end", share=1.2, number=True),
        Column(title="From face edge, face side", share=1.2, number=True),
        Column(title="Deep", share=0.6, number=True),
        Column(title="Tilt", share=0.4, number=True),
    )
    rows = tuple(_joint_row(one, index and items[index - 1].letter, printing) for index, one in enumerate(items))
    return Table(columns=columns, rows=rows)


def _joint_row(one: Lettered, before: str | int, printing: Printing) -> tuple[str, ...]:
    feature = one.feature
    tilt = " / ".join(printing.angle(angle) for angle in feature.angles if abs(angle) > 1e-3)
    words = f"{one.words}, {feature.face}"
    along = _span(feature, 0, printing)
    if feature.face in ENDS:
        along = f"shoulder\n{along}"
    letter = "" if one.letter == before else one.letter
    return (letter, words, along, _across(feature, printing), printing.length(feature.depth), tilt or "square")


def _across(feature: Feature, printing: Printing) -> str:
    """Where it lies across the face it is cut in; of a tenon both ways."""
    from_edge = f"edge {_span(feature, 1, printing)}"
    from_side = f"side {_span(feature, 2, printing)}"
    if feature.face in ENDS:
        return f"{from_edge}\n{from_side}"
    return from_edge if feature.face in ("face side", "back") else from_side


def _span(feature: Feature, axis: int, printing: Printing) -> str:
    return printing.pair(feature.box[0][axis], feature.box[1][axis])


def _bevel_blocks(leans: tuple[Bevel, ...], printing: Printing) -> list[Block]:
    """The marks of shoulders and ends that are not square, on all four arrises, and the bevel on two faces."""
    chosen = [one for one in leans if not one.square]
    if not chosen:
        return []
    columns = (
        Column(title="Not square, from reference end", share=1.6),
        Column(title="face side, face edge", share=1.0, number=True),
        Column(title="face side, far edge", share=1.0, number=True),
        Column(title="back, face edge", share=1.0, number=True),
        Column(title="back, far edge", share=1.0, number=True),
        Column(title="Lean on face side", share=1.2, number=True),
        Column(title="Lean on face edge", share=1.2, number=True),
    )
    rows = tuple(
        (
            one.name,
            *(printing.length(max(0.0, mark)) for mark in one.marks),
            printing.bevel(one.side_lean),
            printing.bevel(one.edge_lean),
        )
        for one in chosen
    )
    words = (
        "Marks on the four arrises. Lean: off square; in brackets the bevel's opening. + : the far edge, or the back, "
        "lies further from the reference end."
    )
    return [Table(columns=columns, rows=rows), Paragraph(text=words, small=True)]


def _taper_blocks(part: Part, printing: Printing) -> list[Block]:
    if part.curved:
        return []
    found = tapers(part.outline, part.edge_outline, (part.width, part.thickness))
    if not found:
        return []
    columns = (
        Column(title="Taper: from reference end", share=2.0, number=True),
        Column(title="width", share=1.0, number=True, key=True),
        Column(title="thickness", share=1.0, number=True, key=True),
        Column(title="Checked", share=0.6, ticks=1),
    )
    rows = tuple(
        (
            printing.length(min(max(one.x, 0.0), part.length)),
            printing.length(one.width),
            printing.length(one.thickness),
            "",
        )
        for one in found
    )
    return [Table(columns=columns, rows=rows)]


def _ordinate_places(part: Part, printing: Printing) -> tuple[float, ...]:
    outline = part.outline if part.outline is not None else part.edge_outline
    if not part.curved or outline is None:
        return ()
    return tuple(one.x for one in ordinates(outline, printing.unit, part.length))


def _ordinate_blocks(part: Part, printing: Printing) -> list[Block]:
    if not part.curved:
        return []
    blocks: list[Block] = []
    for outline, face, straight in (
        (part.outline, "face side", "face edge"),
        (part.edge_outline, "face edge", "face side"),
    ):
        if outline is None or not _sawn_curved(part, outline is part.outline):
            continue
        rows = tuple(
            tuple(printing.length(value) for value in (one.x, one.near, one.far, one.far - one.near))
            for one in ordinates(outline, printing.unit, part.length)
        )
        columns = (
            Column(title=f"Outline on the {face}: from reference end", share=2.0, number=True),
            Column(title=f"from {straight} line to near line", share=1.4, number=True),
            Column(title="to far line", share=1.0, number=True),
            Column(title="between", share=1.0, number=True),
        )
        caption = "Ordinates from the straight line of the blank's reference edge, at the light lines of the drawing."
        blocks.append(Table(columns=columns, rows=rows, caption=caption))
    return blocks


def _sawn_curved(part: Part, on_face_side: bool) -> bool:
    """Whether this outline is more than a rectangle."""
    outline = part.outline if on_face_side else part.edge_outline
    return outline is not None and any(type(segment).__name__ != "Line" for segment in outline.segments)


def _notes(part: Part, kind: Kind) -> list[str]:
    notes = []
    if part.draft.note:
        notes.append(part.draft.note)
    if kind.mirror_of is not None:
        notes.append("Its other hand has a sheet of its own, mirrored: do not cut one from the other's sheet.")
    if any(feature.kind is FeatureKind.MORTISE for feature in part.features) and part.curved:
        notes.append("Cut the joints while the blank still has its straight reference edges, then shape.")
    return notes


def _boxes(part: Part, kind: Kind, made: Made, printing: Printing) -> Table:
    """A box for each copy at each step, or one for all where there are many."""
    total = printing.total_of(kind.id)
    boxes = total if total <= MOST_BOXES else 1
    title = f"Each of {total}" if boxes > 1 else f"All {total}"
    drilled = any(part.id == fixing.part and fixing.points for fixing in made.piece.fixings)
    steps = [
        "set out",
        *(["joints cut"] if part.features else []),
        *(["bored"] if drilled else []),
        *(["shaped"] if part.curved else []),
        "checked",
    ]
    columns = (Column(title="Step", share=1.0), Column(title=title, share=3.0, ticks=boxes))
    return Table(columns=columns, rows=tuple((step, "") for step in steps))
