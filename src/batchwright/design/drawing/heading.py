"""The top of a piece file: its name, units, wood, use, hands, middle and face marks."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.base.fault import Fault, Place
from batchwright.design.drawing.cuts import listed_items
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed, offer
from batchwright.design.text.tree import Mapping, Node, Scalar
from batchwright.design.values.reading import scalar_of
from batchwright.handbook.species import find_species, near_species
from batchwright.model.draft import Hands

UNITS = ("in", "mm")
USES = ("seat", "standing load", "table")
FACE_MARKS = ("outside", "inside")


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """What the top of the file says; its lengths are worked out later."""

    name: str
    units: str
    hands: Hands
    wood: str
    outdoors: bool
    use: tuple[tuple[str, int], ...]
    face_marks: str
    note: str


def read_heading(tree: Mapping, faults: list[Fault]) -> Heading:
    """The heading; what is missing or wrong is told, and the usual put in its place so that drawing can go on."""
    units = _word(tree, "units", UNITS, "in", faults)
    hands = _word(tree, "hands", tuple(hand.value for hand in Hands), Hands.AS_SEATED.value, faults)
    outdoors, use = _use(tree.get("use"), faults)
    return Heading(
        name=_text(tree, "piece"),
        units=units,
        hands=Hands(hands),
        wood=read_wood(tree.get("wood"), faults),
        outdoors=outdoors,
        use=use,
        face_marks=_word(tree, "face marks", FACE_MARKS, "outside", faults),
        note=_text(tree, "note"),
    )


def _text(tree: Mapping, word: str) -> str:
    node = tree.get(word)
    return node.text.strip() if isinstance(node, Scalar) else ""


def _word(tree: Mapping, word: str, choices: tuple[str, ...], usual: str, faults: list[Fault]) -> str:
    node = tree.get(word)
    if node is None:
        return usual
    try:
        scalar = scalar_of(node, word)
        if scalar.text.strip() in choices:
            return scalar.text.strip()
        near = offer(scalar.text, choices)
        raise mistake(
            "unknown-choice",
            scalar.place,
            f"`{word}: {scalar.text}` is not one of {listed(choices)}.",
            f"write {near}" if near else f"write one of {listed(choices)}",
        )
    except Mistake as wrong:
        faults += wrong.faults
        return usual


def read_wood(node: Node | None, faults: list[Fault]) -> str:
    """The key of a species of the handbook; empty where it is not known."""
    if node is None:
        return ""
    try:
        scalar = scalar_of(node, "wood")
    except Mistake as wrong:
        faults += wrong.faults
        return ""
    species = find_species(scalar.text)
    if species is not None:
        return species.key
    near = near_species(scalar.text)
    faults.append(
        Fault(
            code="unknown-wood",
            place=scalar.place,
            what=f"the handbook has no wood called `{scalar.text}`.",
            mend=f"write {' or '.join(f'`{name.lower()}`' for name in near)}"
            if near
            else "write a name that `batchwright handbook species` lists",
            why="weight, strength and movement come from the handbook",
        )
    )
    return ""


def _use(node: Node | None, faults: list[Fault]) -> tuple[bool, tuple[tuple[str, int], ...]]:
    outdoors = False
    out: list[tuple[str, int]] = []
    for item in listed_items(node):
        try:
            text = scalar_of(item, "use").text.strip()
            if text in ("indoors", "outdoors"):
                outdoors = text == "outdoors"
            else:
                out.append(_load(text, item.place))
        except Mistake as wrong:
            faults += wrong.faults
    return outdoors, tuple(out)


def _load(text: str, place: Place) -> tuple[str, int]:
    """`seat 2`, `standing load 1`, `table`."""
    word, _, number = text.rpartition(" ")
    if text == "table":
        return "table", 1
    if word in ("seat", "standing load") and number.isascii() and number.isdigit() and 1 <= int(number) <= 20:
        return word, int(number)
    raise mistake(
        "unknown-use",
        place,
        f"a piece is not used as `{text}`.",
        "write indoors or outdoors, then `seat 1`, `table` or `standing load 1`",
    )
