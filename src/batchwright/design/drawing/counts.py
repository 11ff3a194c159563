"""From the copies the maker drew to all parts of the piece: mirror images named, numbered and marked."""

from __future__ import annotations

from batchwright.base.fault import Fault, Place
from batchwright.design.drawing.adjusting import growing_sides
from batchwright.design.drawing.copies import MIDDLE_X, Side, copy_name, hand_of, middle_y, sides_of
from batchwright.design.drawing.heading import read_wood
from batchwright.design.drawing.lookup import Desk, DrawnCopy, DrawnPart
from batchwright.design.drawing.shaped import mirrored
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed, offer
from batchwright.design.text.tree import Mapping, Scalar
from batchwright.design.values.reading import scalar_of
from batchwright.model.draft import DraftPart, HandShaped, Marks, PartId

SAWN = ("rift", "quarter", "flat")
BLANKS = ("one board", "edge-glued", "laminated", "pieced")
LOOKS = ("front", "back", "left", "right", "top", "bottom", "inside", "outside")


def parts_of(drawn: DrawnPart, node: Mapping, wood: str, desk: Desk) -> list[DraftPart]:
    """Every copy of a part in its place, the drawn ones among them."""
    faults: list[Fault] = []
    said = _Said(node, faults)
    own_wood = read_wood(node.get("wood"), faults) if node.get("wood") is not None else wood
    marks = _marks(said)
    sawn, blank, note = said.word("sawn", SAWN), said.word("blank", BLANKS), said.text("note")
    key = desk.parts[drawn.name][0]
    grows = growing_sides(node, desk.refs, desk.hands.value)
    out = []
    for copy in drawn.copies:
        for side in sides_of(drawn.count):
            body = _mirrored(copy, side, drawn.side, desk)
            out.append(
                DraftPart(
                    id=PartId(copy_name(drawn.name, side, copy.number)),
                    name=drawn.name,
                    frame=body.frame,
                    shape=body.shape,
                    grain=copy.grain,
                    wood=own_wood,
                    hand=hand_of(side.hand),
                    depthwise=side.depth,
                    number=copy.number,
                    drawn=side == drawn.side,
                    count=drawn.count,
                    sawn=sawn,
                    blank=blank,
                    marks=marks,
                    line=copy.batten,
                    note=note,
                    shaped=_shaped(copy, side, drawn.side, desk),
                    from_file=_from_file(node),
                    place=key.place,
                    grows=grows,
                )  # fmt: skip
            )
    desk.faults += faults
    return out


def _mirrored(copy: DrawnCopy, side: Side, drawn: Side, desk: Desk):  # type: ignore[no-untyped-def]
    body = copy.body
    if side.hand != drawn.hand:
        body = body.mirrored(MIDDLE_X)
    if side.depth != drawn.depth:
        body = body.mirrored(middle_y(desk.middle or 0.0))
    return body


def _marks(said: _Said) -> Marks:
    return Marks(
        reference_end=said.word("reference end", LOOKS),
        face_side=said.word("face side", LOOKS),
        face_edge=said.word("face edge", LOOKS),
    )


def _from_file(node: Mapping) -> str:
    """The drawing file that a part's outline is read from, or nothing."""
    outline = node.get("outline")
    return _Said(outline, []).text("file") if isinstance(outline, Mapping) else ""


def _shaped(copy: DrawnCopy, side: Side, drawn: Side, desk: Desk) -> tuple[HandShaped, ...]:
    shaped = copy.shaped
    if side.hand != drawn.hand:
        shaped = mirrored(shaped, MIDDLE_X)
    if side.depth != drawn.depth:
        shaped = mirrored(shaped, middle_y(desk.middle or 0.0))
    return shaped


class _Said:
    """Plain words of a part; what is wrong with them is told and left out."""

    def __init__(self, node: Mapping, faults: list[Fault]) -> None:
        self.node = node
        self.faults = faults

    def text(self, word: str) -> str:
        """Free text."""
        node = self.node.get(word)
        return node.text.strip() if isinstance(node, Scalar) else ""

    def word(self, word: str, choices: tuple[str, ...]) -> str:
        """One of a few words, or empty."""
        node = self.node.get(word)
        if node is None:
            return ""
        try:
            scalar = scalar_of(node, word)
            if scalar.text.strip() in choices:
                return scalar.text.strip()
            raise _not_one_of(scalar.text, word, choices, scalar.place)
        except Mistake as wrong:
            self.faults += wrong.faults
            return ""


def _not_one_of(text: str, word: str, choices: tuple[str, ...], place: Place) -> Mistake:
    near = offer(text, choices)
    return mistake(
        "unknown-choice",
        place,
        f"`{word}: {text}` is not one of {listed(choices)}.",
        f"write {near}" if near else f"write one of {listed(choices)}",
    )
