"""One sheet for a part kind: key sizes, the part seen on the faces that joints are cut in, where it sits, the steps."""

from __future__ import annotations

from batchwright.model.draft import Hand, Hands
from batchwright.model.piece import FeatureKind, Kind, Part
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
from batchwright.sheets.views.bench_view import Seen, bench_view
from batchwright.sheets.views.bevels import Bevel, between, bevels
from batchwright.sheets.views.fixings import fixing_blocks
from batchwright.sheets.views.handwork import handwork_notes
from batchwright.sheets.views.linework import line_items, lit
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.mouths import SAME
from batchwright.sheets.views.naming import face_words, lettered, numbered_from
from batchwright.sheets.views.part_tables import (
    bevel_blocks,
    joint_blocks_of,
    landing_blocks,
    ordinate_blocks,
    ordinate_places,
    taper_blocks,
)
from batchwright.sheets.views.part_view import Look, faces_seen, lies_across, look_at, part_scene
from batchwright.sheets.views.printing import Printing
from batchwright.sheets.views.treatments import bevel_notes, body_notes, edge_notes, steps, taper_note
from batchwright.solids.view import View

PICTURE = (33.0, 22.0)
PICTURE_ACROSS = (50.0, 22.0)
"""Paper room of the picture that shows where a part sits, on an upright sheet and on one that lies across [mm]."""
MOST_BOXES = 12
"""Up to this many copies get a box each for every step."""
BOX = 6.2
"""What a box takes of a column, its clear edges left out [mm]."""
WIDE, WIDE_ACROSS = 180.0, 250.0
MACHINE_CARE = "Guards and hold-downs: the machine's manual comes first."


def part_blocks(part: Part, kind: Kind, made: Made, printing: Printing, where: View) -> tuple[Block, ...]:
    """All that is needed to set the part out; `where` is the pictorial view of the whole piece."""
    items = lettered(part, made.piece)
    leans = bevels(part, made.piece)
    look = look_at(part, items, leans, ordinate_places(part, printing))
    room = PICTURE_ACROSS if lies_across(part) else PICTURE
    picture = Drawing(scene=_where(kind, where, room), alt=f"where {kind.label or kind.id} sits in the piece")
    words = " ".join((_mark_words(part, kind, made, printing), *_notes(part, kind, made, printing)))
    care: list[Block] = [Caution(text=MACHINE_CARE)] if items or part.curved or part.recipe.shape.edges else []
    numbers = _key_numbers(part, leans, printing)
    across = lies_across(part)
    beside: tuple[Block, ...] = (*([numbers] if across else []), Paragraph(text=words), *care)
    blocks: list[Block] = [
        *([] if across else [numbers]),
        Beside(left=beside, right=(picture,), share=0.8),
        *(_drawing(look, made, seen, printing) for seen in faces_seen(part, items, leans)),
        *joint_blocks_of(part, items, made, printing),
        *([] if _all_told(part, made) else fixing_blocks(part, made.piece, printing)),
        *landing_blocks(part, made, printing),
        *bevel_blocks(leans, printing),
        *taper_blocks(part, printing),
        *ordinate_blocks(part, printing),
    ]
    leaning = any(not one.square and not one.shoulder for one in leans)
    blocks.append(_boxes(part, kind, steps(part, made, leaning, printing), printing))
    return tuple(blocks)


def _all_told(part: Part, made: Made) -> bool:
    """Whether every fixing of a part is a hole that its table of joints tells already."""
    holes = {feature.joint for feature in part.features if feature.kind in (FeatureKind.HOLE, FeatureKind.SLOT)}
    return all(fixing.id in holes for fixing in made.piece.fixings if fixing.part == part.id and fixing.points)


def _drawing(look: Look, made: Made, seen: Seen, printing: Printing) -> Drawing:
    scene = part_scene(look, made, seen, printing)
    return Drawing(scene=scene, caption=_caption(seen, look), alt=scene.about)


def _key_numbers(part: Part, leans: tuple[Bevel, ...], printing: Printing) -> KeyNumbers:
    """Sizes as they are set; between leaning shoulders along the arrises, where it can be measured."""
    told: list[tuple[str, float]] = []
    on_edges, on_sides = part.tenons_over
    for name, size, over in (("thickness", part.thickness, on_sides), ("width", part.width, on_edges)):
        last = sum(over) > SAME
        told += [(f"{name} of the blank", size), (f"{name}, sawn last", size - sum(over))] if last else [(name, size)]
    told.append(("length, overall", part.length))
    inner = between(leans)
    if inner is not None and printing.length(inner[0]) != printing.length(inner[1]):
        told += [("shoulders, face edge", inner[0]), ("shoulders, far edge", inner[1])]
    elif inner is not None:
        told.append(("between shoulders", inner[0]))
    elif part.shoulder_length is not None:
        told.append(("between shoulders", part.shoulder_length))
    return KeyNumbers(
        numbers=tuple(KeyNumber(label=name, value=printing.heavy_light(size), points=18.0) for name, size in told)
    )


def _mark_words(part: Part, kind: Kind, made: Made, printing: Printing) -> str:
    words: list[str] = []
    if kind.hand is not Hand.NONE:
        words.append(f"{kind.hand.value.upper()} HAND, {printing.hand_line()}.")
    words.append(f"Make {printing.total_of(kind.id)}, {printing.wood(part.draft.wood)}.")
    if part.marks_note:
        marks = "; ".join(f"{name}: {where}" for name, where in part.marks_note)
        words.append(f"On the {part.id}: {marks}." if kind.count > 1 else f"{marks[0].upper()}{marks[1:]}.")
    order = numbered_from(part, made.piece, printing.hands is Hands.AS_SEATED)
    if order:
        seated = " as seated" if printing.hands is Hands.AS_SEATED and order in ("left", "right") else ""
        words.append(f"Numbered from the {order}{seated}.")
    return " ".join(words)


def _caption(seen: Seen, look: Look) -> str:
    end = "right" if look.part.bench.mirrored else "left"
    rise = bench_view(look.part, seen).rise
    near = "face edge" if seen.on_side else "face side"
    shortened = ", shortened at zigzags" if look.cut.left_out else ""
    face = face_words(seen.value)
    lies = f"{near} {'above' if rise < 0.0 else 'below'}"
    return f"{face[0].upper()}{face[1:]} up, {lies}, reference end {end}; {scale_words(look.scale)}{shortened}."


def _where(kind: Kind, where: View, room: tuple[float, float]) -> Scene:
    low_x, low_y, high_x, high_y = where.bounds
    scale = min(room[0] / (high_x - low_x), room[1] / (high_y - low_y))
    return Scene(items=line_items(where, lit(frozenset(kind.parts))), name=f"where {kind.id} sits", scale=scale)


def _notes(part: Part, kind: Kind, made: Made, printing: Printing) -> list[str]:
    notes = []
    if part.draft.note:
        notes.append(part.draft.note)
    if kind.mirror_of is not None:
        notes.append("Its other hand has a sheet of its own, mirrored: do not cut one from the other's sheet.")
    if any(feature.kind is FeatureKind.MORTISE for feature in part.features) and part.curved:
        notes.append("Cut the joints while the blank still has its straight reference edges, then shape.")
    taper = taper_note(part, printing)
    return [
        *notes,
        *body_notes(part, printing),
        *([taper] if taper else []),
        *bevel_notes(part, made, printing),
        *edge_notes(part, printing),
        *handwork_notes(part, printing),
    ]


def _boxes(part: Part, kind: Kind, done: tuple[str, ...], printing: Printing) -> Table:
    """A column for each step and a box for each copy, in as few rows as hold them; one for all where there are many."""
    total = printing.total_of(kind.id)
    wide = WIDE_ACROSS if lies_across(part) else WIDE
    room = max(1, int((wide / len(done) - 4.0) / BOX))
    if total > MOST_BOXES:
        columns = tuple(Column(title=step, share=1.0, ticks=1) for step in done)
        return Table(columns=columns, rows=(tuple(f"all {total}" for _ in done),))
    count = next((rows for rows in range(1, total + 1) if total % rows == 0 and total // rows <= room), total)
    columns = tuple(Column(title=step, share=1.0, ticks=total // count) for step in done)
    return Table(columns=columns, rows=tuple(tuple("" for _ in done) for _ in range(count)))
