"""The tables of a part's sheet: its joints, its marks on four arrises, tapers, ordinates, what lands on it."""

from __future__ import annotations

import math

from batchwright.model.piece import Feature, FeatureKind, Fixing, JointId, Part
from batchwright.sheets.scene.sheet import Beside, Block, Column, Paragraph, Table
from batchwright.sheets.views.bevels import Bevel, between
from batchwright.sheets.views.driven import flare_words
from batchwright.sheets.views.fixings import place_words
from batchwright.sheets.views.landing import landing_letters, landings
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.mouths import FACE_AXIS, SAME, Mouth, Place, goes_through, mouth_of
from batchwright.sheets.views.naming import Lettered, face_words
from batchwright.sheets.views.ordinates import ordinates, tapers
from batchwright.sheets.views.part_view import ENDS, lies_across
from batchwright.sheets.views.printing import Printing
from batchwright.sheets.views.treatments import wedged
from batchwright.sheets.views.ways import OPPOSITE, through_joint

TWINNED = (FeatureKind.TENON, FeatureKind.MORTISE)
"""What stands in a joint more than once, each told with its letter."""
LEAN = math.radians(0.1)
"""A joint that leans less than this is square [rad]."""


def joint_blocks_of(part: Part, items: tuple[Lettered, ...], made: Made, printing: Printing) -> list[Block]:
    """Every joint of a part: which face, where from the reference end and across, how deep, which way it leans."""
    if not items:
        return []
    rows: list[tuple[str, ...]] = []
    bores = _counterbores(made)
    for index, one in enumerate(items):
        mouth = mouth_of(one.feature, part)
        again = index > 0 and items[index - 1].letter == one.letter
        letter = "" if again and one.feature.kind not in TWINNED else one.letter
        cells = _plain_row(one, made, printing) if mouth is None else _mouth_row(one, mouth, part, printing)
        rows.append((letter, *cells))
        out = through_joint(one.feature, part, made.piece) is not None
        if mouth is not None and out:
            rows[-1] = (*rows[-1][:5], "through", rows[-1][6])
        if mouth is not None and not mouth.bored and (mouth.sunk or (out and not goes_through(mouth, part))):
            rows.append(("", *_blank_row(mouth, printing, out)))
        if mouth is not None and (bore := bores.get(one.feature.joint)):
            rows.append(("", *_counterbore_row(rows[-1], bore, printing)))
    leaning = any(row[-1] not in ("square", "") for row in rows)
    columns = (
        Column(title="", share=0.2, key=True),
        Column(title="What", share=2.2),
        Column(title="Cut in", share=1.0),
        Column(title="From ref. end", share=1.0, number=True),
        Column(title="From face edge, side", share=1.0, number=True),
        Column(title="Deep", share=0.4, number=True),
        *((Column(title="Leans going in", share=1.0),) if leaning else ()),
    )
    mouths = [(one.letter, mouth) for one in items if (mouth := mouth_of(one.feature, part)) is not None]
    notes = [
        *_turned_notes(mouths, printing),
        *_table_notes([mouth for _, mouth in mouths], part, printing),
        *_through_notes(items, part, made, printing),
    ]
    narrow = not lies_across(part)
    shown = tuple(_narrowed(row, narrow) if leaning else _narrowed(row, narrow)[:-1] for row in rows)
    return [Table(columns=columns, rows=shown), *(Paragraph(text=note) for note in notes)]


def _narrowed(row: tuple[str, ...], narrow: bool) -> tuple[str, ...]:
    """From and to along the part on two lines where the sheet is upright and the cell has one line else."""
    along = row[3]
    return (*row[:3], along.replace(" to ", "\nto "), *row[4:]) if narrow and "\n" not in along else row


Row = tuple[str, str, str, str, str, str]


def _plain_row(one: Lettered, made: Made, printing: Printing) -> Row:
    """A tenon, or something else that is not one tool's cut into a long face."""
    feature, (low, high) = one.feature, one.feature.box
    count, deep = wedged(feature, made)
    sawn = f"; {count} wedge{'s' if count > 1 else ''}, kerf{'s' if count > 1 else ''} {printing.length(deep)} deep"
    words = f"{one.words}{sawn}" if count else one.words
    along = printing.pair(low[0], high[0])
    leans = any(abs(angle) > LEAN for angle in feature.angles)
    if feature.face in ENDS:
        along = "shoulder,\nbelow" if leans else f"shoulder\n{along}"
    across = {axis: printing.pair(low[axis], high[axis]) for axis in (1, 2)}
    both = f"edge {across[1]}\nside {across[2]}"
    if feature.face not in ENDS:
        both = f"edge {across[1]}" if FACE_AXIS.get(feature.face) == 2 else f"side {across[2]}"
    way = "square" if not leans else "square to its shoulder" if feature.face in ENDS else _leaning(feature, printing)
    return (words, _in(feature), along, both, printing.length(feature.depth), way)


def _mouth_row(one: Lettered, mouth: Mouth, part: Part, printing: Printing) -> Row:
    feature = one.feature
    words = printing.screws(one.words)
    if mouth.bored:
        words = f"{words}; {printing.length(mouth.width)} dia., centre"
    elif mouth.centred:
        words = f"{words}; {printing.length(mouth.width)} wide, {printing.length(mouth.length)} long, centre"
    elif mouth.turned:
        words = f"{words}, turned"
    axis = 3 - FACE_AXIS[feature.face]
    name = "edge" if axis == 1 else "side"
    place = mouth.told
    return (
        words,
        _in(feature),
        _lines(mouth, place, 0, "", printing),
        _lines(mouth, place, axis, f"{name} ", printing),
        _deep(mouth, part, printing),
        _leaning(feature, printing),
    )


def _counterbores(made: Made) -> dict[JointId, tuple[float, float]]:
    """Diameter and depth of the counterbore of each fixing that has one [mm]."""
    found = {}
    for fixing in made.piece.fixings:
        sizes = {name: sized.value for name, sized in fixing.sizes}
        if "counterbore" in sizes:
            found[fixing.id] = (sizes["counterbore diameter"], sizes["counterbore"])
    return found


def _counterbore_row(hole: tuple[str, ...], bore: tuple[float, float], printing: Printing) -> Row:
    """Where the hole is, and before it: the wide bit has no centre to follow in a hole."""
    wide, deep = bore
    words = f"its counterbore, bored first; {printing.length(wide)} dia., centre"
    return (words, hole[2], hole[3], hole[4], printing.length(deep), hole[6])


def _blank_row(mouth: Mouth, printing: Printing, out: bool) -> Row:
    """The same mortise as it is marked and cut on the blank before that is shaped; one that comes out of the finished
    part may go deeper there."""
    axis = 3 - FACE_AXIS[mouth.feature.face]
    name = "edge" if axis == 1 else "side"
    along, across = (_lines(mouth, mouth.blank, one, before, printing) for one, before in ((0, ""), (axis, f"{name} ")))
    deep = f"{printing.length(mouth.depth)}{' or more' if out else ''}"
    return ("the same, in the blank", "", along, across, deep, "")


def _in(feature: Feature) -> str:
    """The face it is cut in, short for a table's cell."""
    return "opposite face side" if feature.face == "back" else feature.face


def _lines(mouth: Mouth, place: Place, axis: int, before: str, printing: Printing) -> str:
    """From and to along one axis; of a turned one a line for each end, of a hole its centre."""
    if mouth.centred:
        return f"{before}{printing.length(place.middle[axis])}"
    if mouth.turned:
        return "\n".join(f"{before}{printing.length(end[axis])}" for end in place.ends)
    return f"{before}{printing.pair(place.low[axis], place.high[axis])}"


def _deep(mouth: Mouth, part: Part, printing: Printing) -> str:
    if goes_through(mouth, part) and mouth.feature.kind is not FeatureKind.HAUNCH:
        return "through"
    return printing.length(mouth.below if mouth.sunk else mouth.depth)


def _turned(mouth: Mouth, printing: Printing) -> str:
    """`11.3° to the face edge`."""
    edge = "face edge" if FACE_AXIS[mouth.feature.face] == 2 else "face side"
    to = f"the {edge}" if mouth.along else "square across"
    return f"{printing.angle(abs(mouth.turn))} to {to}"


def _leaning(feature: Feature, printing: Printing) -> str:
    """Which way it leans as it goes in, in words: a sign would have to be looked up."""
    z, axis = feature.frame.z, FACE_AXIS.get(feature.face)
    if axis is None or abs(z[axis]) < 0.2:
        return "square"
    names = {0: ("reference end", "far end"), 1: ("face edge", "far edge"), 2: ("face side", "opposite face")}
    words = []
    for other in (0, 3 - axis):
        lean = math.atan2(z[other], abs(z[axis]))
        if abs(lean) > LEAN:
            words.append(f"{printing.angle(abs(lean))} to {names[other][1 if lean > 0.0 else 0]}")
    return "\n".join(words) or "square"


def _through_notes(items: tuple[Lettered, ...], part: Part, made: Made, printing: Printing) -> list[str]:
    """Where a tenon comes out of this part, what is cut when, and from which side the flare for wedges."""
    notes: dict[str, None] = {}
    for one in items:
        joint = through_joint(one.feature, part, made.piece)
        mouth = mouth_of(one.feature, part)
        if joint is None or mouth is None:
            continue
        face = one.feature.face
        words = f"{one.letter} comes out at the {face_words(OPPOSITE[face])}."
        if not goes_through(mouth, part):
            words += " In the blank cut it right through, or deeper than it will be; shaping opens it."
        if any(mortise.flare for mortise in joint.mortises):
            after = ", after shaping" if part.curved else ""
            words += f" {flare_words(joint, face, printing)[:-1]}{after}."
        notes.setdefault(words)
    return list(notes)


def _turned_notes(mouths: list[tuple[str, Mouth]], printing: Printing) -> list[str]:
    """Size and angle of every turned mortise: its gauge lines do not run along the part."""
    turned = [
        (letter, mouth) for letter, mouth in mouths if mouth.turned and mouth.feature.kind is not FeatureKind.HAUNCH
    ]
    each = (
        f"{letter} {printing.block(mouth.width, mouth.length)}, {_turned(mouth, printing)}" for letter, mouth in turned
    )
    words = "; ".join(each)
    return [f"Turned, told by both ends of the centre line: {words}."] if words else []


def _table_notes(mouths: list[Mouth], part: Part, printing: Printing) -> list[str]:
    cut = [mouth for mouth in mouths if mouth.sunk and not mouth.bored]
    if not cut:
        return []
    block = printing.block(part.thickness, part.width).replace("\u00a0", " ")
    notes = [
        f"In the blank: on the blank dressed to {block}, before it is shaped: set fences and depth stops by these. The "
        "row above it tells the finished part. Where the blank depth is more than your cutter reaches, shape that face "
        "first and cut to the line."
    ]
    if any(mouth.below <= mouth.depth - mouth.below for mouth in cut):
        notes.append("Cut into the blank only as deep as it is to be in the finished part, some of these would vanish.")
    return notes


def bevel_blocks(leans: tuple[Bevel, ...], printing: Printing) -> list[Block]:
    """The marks of shoulders and ends that are not square, on all four arrises, and the bevel on two faces."""
    chosen = [one for one in leans if not one.square]
    if not chosen:
        return []
    columns = (
        Column(title="Not square, from reference end", share=1.6),
        Column(title="face side, face edge", share=1.0, number=True),
        Column(title="face side, far edge", share=1.0, number=True),
        Column(title="opposite, face edge", share=1.0, number=True),
        Column(title="opposite, far edge", share=1.0, number=True),
        Column(title="Lean on face side", share=1.2, number=True),
        Column(title="Lean on face edge", share=1.2, number=True),
    )
    rows = [
        (
            one.name,
            *(printing.heavy_light(max(0.0, mark)) for mark in one.marks),
            printing.bevel(one.side_lean),
            printing.bevel(one.edge_lean),
        )
        for one in chosen
    ]
    inner = between(leans)
    if inner is not None:
        rows.append(("between shoulders", *(printing.heavy_light(value) for value in inner), "", ""))
    words = (
        "Marks on the four arrises. Lean: off square; in brackets the bevel's opening. + : the far edge, or the face "
        "opposite the face side, lies further from the reference end."
    )
    return [Table(columns=columns, rows=tuple(rows)), Paragraph(text=words, small=True)]


def taper_blocks(part: Part, printing: Printing) -> list[Block]:
    """Width and thickness where a tapered part's taper begins and ends."""
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


def ordinate_places(part: Part, printing: Printing) -> tuple[float, ...]:
    """Where ordinates are ruled across a curved part [bench mm]."""
    outline = part.outline if part.outline is not None else part.edge_outline
    if not part.curved or outline is None:
        return ()
    return tuple(one.x for one in ordinates(outline, printing.unit, part.length))


def ordinate_blocks(part: Part, printing: Printing) -> list[Block]:
    """The curved outlines as measures from the straight edges; rows that have no wood are left out."""
    if not part.curved:
        return []
    blocks: list[Block] = []
    for outline, face, straight in (
        (part.outline, "face side", "face edge"),
        (part.edge_outline, "face edge", "face side"),
    ):
        if outline is None or all(type(segment).__name__ == "Line" for segment in outline.segments):
            continue
        found = [one for one in ordinates(outline, printing.unit, part.length) if one.far - one.near > SAME]
        rows = tuple(tuple(printing.length(value) for value in (one.x, one.near, one.far)) for one in found)
        columns = (
            Column(title="From reference end", share=1.0, number=True),
            Column(title="to near line", share=1.0, number=True),
            Column(title="to far line", share=1.0, number=True),
        )
        half = (len(rows) + 1) // 2
        told = f"Outline on the {face}, from the blank's {straight}"
        left = Table(columns=columns, rows=rows[:half], caption=told)
        right = Table(columns=columns, rows=rows[half:], caption="the same, further on")
        blocks.append(Beside(left=(left,), right=(right,)))
    return blocks


def landing_blocks(part: Part, made: Made, printing: Printing) -> list[Block]:
    """Where the fixings of other parts come into this one: centres of lead holes."""
    found = landings(part, made.piece)
    if not found:
        return []
    columns = (
        Column(title="", share=0.2, key=True),
        Column(title="Fixed to it, lead hole", share=2.4),
        Column(title="Enters at", share=1.0),
        Column(title="From reference end", share=1.0, number=True, key=True),
        Column(title="Across", share=1.4, number=True),
    )
    letters = landing_letters(found)
    rows = tuple(
        (letters[one.fixing.id], _fixed(one.fixing, printing), *place_words(one.at, one.face, printing))
        for one in found
    )
    return [Table(columns=columns, rows=rows)]


def _fixed(fixing: Fixing, printing: Printing) -> str:
    size = f" {printing.screws(fixing.size)}" if fixing.size else ""
    sizes = {name: sized.value for name, sized in fixing.sizes}
    lead = ""
    if "lead hole" in sizes:
        wide, deep = printing.length(sizes["lead hole"]), printing.length(sizes["lead hole depth"])
        lead = f", {wide} × {deep} deep"
    return f"{fixing.part}, {fixing.kind.value}{size}{lead}"
