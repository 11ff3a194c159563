"""The first sheet: what is made, how many, of what, for whom and when; how numbers and copies are read."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from batchwright.base.finding import Finding, Grade
from batchwright.model.draft import Hands
from batchwright.model.piece import Part
from batchwright.sheets.scene.sheet import Beside, Block, Caution, Drawing, KeyNumber, KeyNumbers, Paragraph
from batchwright.sheets.views.drawings import fitted
from batchwright.sheets.views.lists import size_blocks
from batchwright.sheets.views.made import Bounds, Made
from batchwright.sheets.views.printing import Printing
from batchwright.solids.view import View

SAFETY = (
    "Keep to the manual of each machine, to the law of the place and to sound workshop practice; they come before this "
    "packet. Seats carry people: the strength of a new design is proved by trial before it is sold. Rags with drying "
    "oil can catch fire of themselves: lay them flat outdoors or keep them in a closed metal can with water."
)
COVER = (98.0, 92.0)
COVER_SMALL = (98.0, 74.0)
"""Paper room of the picture on the cover, on A4 too, and where many sizes stand below it [mm]."""
FEW_SIZES = 8
UNDERLINED = "A number of sixes, nines and the like that reads upside down too is underlined: the line is its foot."
Said = Sequence[tuple[str, str]]
"""What the job says besides: a word and its value."""


def cover_blocks(
    made: Made, printing: Printing, findings: tuple[Finding, ...], job: tuple[int, Said], where: View
) -> tuple[Block, ...]:
    """The cover; `job` is how many copies, and what the job says of glue, finish, place and date."""
    piece, (copies, said) = made.piece, job
    wood = printing.wood(piece.draft.wood)
    place = "outdoors" if piece.draft.outdoors else "indoors"
    words = f"{piece.draft.name}, in {wood}, for use {place}; {printing.hand_line()}."
    many = len(piece.draft.sizes) > FEW_SIZES
    picture = Drawing(
        scene=fitted(where, COVER_SMALL if many else COVER, "the piece"), alt=f"picture of {piece.draft.name}"
    )
    left: tuple[Block, ...] = (
        Paragraph(text=words),
        *(KeyNumbers(numbers=row) for row in _counts(made, findings, copies)),
    )
    told = "; ".join(f"{word}: {value}" for word, value in said if value)
    return (
        Beside(left=left, right=(picture,), share=0.42),
        *([Paragraph(text=f"{told[:1].upper()}{told[1:]}.")] if told else []),
        Caution(text=SAFETY),
        *size_blocks(piece.draft.sizes, printing),
        Paragraph(text=" ".join((UNDERLINED, *numbering(made.piece.parts, made.bounds, printing.hands))), small=True),
    )


def _counts(made: Made, findings: tuple[Finding, ...], copies: int) -> tuple[tuple[KeyNumber, ...], ...]:
    """Numbers of things, two and two; joints and fixings apart."""
    piece = made.piece
    fails = sum(finding.grade is Grade.FAILS for finding in findings)
    near = sum(finding.grade is Grade.NEAR for finding in findings)
    numbers = (
        KeyNumber(label="copies", value=str(copies), points=22.0),
        KeyNumber(label="parts in each", value=str(len(piece.parts)), points=22.0),
        KeyNumber(label="joints in each", value=str(len(piece.joints)), points=22.0),
        KeyNumber(
            label="fixings in each", value=str(sum(max(1, len(one.points)) for one in piece.fixings)), points=22.0
        ),
        KeyNumber(label="checks that fail", value=str(fails), points=22.0),
        KeyNumber(label="near a limit", value=str(near), points=22.0),
    )
    return tuple(numbers[at : at + 2] for at in range(0, len(numbers), 2))


def numbering(parts: tuple[Part, ...], bounds: Bounds, hands: Hands) -> tuple[str, ...]:
    """`Back slats are numbered 1 to 7 from the right as seated.` for each repeat, from where its copies stand."""
    repeats: dict[str, list[Part]] = defaultdict(list)
    for part in parts:
        if part.draft.number:
            repeats[part.draft.name].append(part)
    return tuple(
        words
        for name, copies in repeats.items()
        if len(copies) > 1
        for words in (_numbered(name, copies, bounds, hands),)
    )


def _numbered(name: str, copies: list[Part], bounds: Bounds, hands: Hands) -> str:
    first, last = (min, max)
    low, high = (pick(copies, key=lambda part: part.draft.number) for pick in (first, last))
    way = [sum(bounds[high.id][k][axis] - bounds[low.id][k][axis] for k in (0, 1)) for axis in range(3)]
    axis = max(range(3), key=lambda index: abs(way[index]))
    seated = hands is Hands.AS_SEATED
    across = ("right", "left") if seated else ("left", "right")
    ends = (across, ("front", "back"), ("bottom", "top"))[axis]
    start = ends[0] if way[axis] > 0.0 else ends[1]
    side = f"the {start} {'as seated' if seated else 'as seen from the front'}" if axis == 0 else f"the {start}"
    return f"{name[:1].upper()}{name[1:]}: numbered {low.draft.number} to {high.draft.number} from {side}."
