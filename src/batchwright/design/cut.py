"""The record of parts that are cut already: reading it, and writing it out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from batchwright.base.fault import Fault, Place, in_file_order
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.read import read_tree
from batchwright.design.text.tree import Mapping, Node, Scalar, form_of
from batchwright.design.text.tree import Sequence as Row
from batchwright.design.values.amounts import length_in, positive_length, scalar_at
from batchwright.design.values.reading import scalar_of
from batchwright.design.words.words import check_one_of, check_words
from batchwright.model.draft import PartId
from batchwright.model.milled import CutJoint, CutPart

ON = ("tenon", "mortise")
HEAD = """# Parts that are cut already, as they lie on the bench, in millimetres. `batchwright cut` writes this file.
# Take a part out (or `batchwright cut --undo`) when it is to be made again.
"""


def read_cut(text: str, file: str) -> tuple[tuple[CutPart, ...], tuple[Fault, ...]]:
    """The parts in a record, and everything wrong with it."""
    tree, read = read_tree(text, file)
    if tree is None:
        return (), read
    faults = [*read, *check_words(tree, "cut file", "the record of cut parts")]
    table = tree.get("cut")
    found: list[CutPart] = []
    if table is not None and not isinstance(table, Mapping):
        faults.append(_no_table(table, "cut"))
    for key, node in table.entries if isinstance(table, Mapping) else ():
        try:
            found.append(_part(key, node, faults))
        except Mistake as stop:
            faults.extend(stop.faults)
    return tuple(found), in_file_order(faults)


def _no_table(node: Node, name: str) -> Fault:
    return Fault(
        code="table-wanted",
        place=node.place,
        what=f"`{name}` is {form_of(node)}, but words with values are wanted.",
        mend="leave the writing of this file to `batchwright cut`",
    )


def _part(key: Scalar, node: Node, faults: list[Fault]) -> CutPart:
    if not isinstance(node, Mapping):
        raise Mistake(_no_table(node, key.text))
    faults.extend(check_words(node, "cut part", f"`{key.text}`"))
    length, width, thickness = (_length(node, word, key) for word in ("length", "width", "thickness"))
    return CutPart(
        part=PartId(key.text),
        length=length,
        width=width,
        thickness=thickness,
        sizes=_sizes(node),
        joints=tuple(_joint(item, faults) for item in _items(node)),
        place=key.place,
    )


def _length(table: Mapping, word: str, key: Scalar) -> float:
    node = table.get(word)
    if node is None:
        raise Mistake()  # the missing word is told already
    scalar = scalar_of(node, f"{key.text}: {word}")
    return positive_length(scalar_at(scalar.text, scalar.place_at(0)), "mm", word)


def _sizes(table: Mapping) -> tuple[tuple[str, str], ...]:
    node = table.get("sizes")
    entries = node.entries if isinstance(node, Mapping) else ()
    return tuple((key.text, value.text) for key, value in entries if isinstance(value, Scalar))


def _items(table: Mapping) -> Sequence[Node]:
    node = table.get("joints")
    return node.items if isinstance(node, Row) else ()


def _joint(node: Node, faults: list[Fault]) -> CutJoint:
    if not isinstance(node, Mapping):
        raise Mistake(_no_table(node, "joints"))
    faults.extend(check_words(node, "cut joint", "a joint of it"))
    values = {word: node.get(word) for word in ("joint", "on", "thickness", "width", "length", "at")}
    if any(value is None for value in values.values()):
        raise Mistake()  # told already
    name, on = (scalar_of(value, word) for word, value in values.items() if value and word in ("joint", "on"))
    wrong = check_one_of(on, ON, "on")
    if wrong:
        raise Mistake(wrong)
    sizes = [
        positive_length(scalar_of(value, word), "mm", word)
        for word, value in values.items()
        if value and word in ("thickness", "width", "length")
    ]
    return CutJoint(
        joint=name.text,
        on=on.text.strip(),
        thickness=sizes[0],
        width=sizes[1],
        length=sizes[2],
        at=_point(values["at"]),
        place=node.place,
    )


def _point(node: Node | None) -> tuple[float, float, float]:
    if isinstance(node, Row) and len(node.items) == 3:
        x, y, z = (length_in(scalar_of(item, "at"), "mm", "at") for item in node.items)
        return (x, y, z)
    raise mistake(
        "point-wanted",
        node.place if node else Place(""),
        f"`at` is {form_of(node) if node else 'nothing'}, but three lengths are wanted.",
        "leave the writing of this file to `batchwright cut`",
    )


def write_cut(parts: Iterable[CutPart]) -> str:
    """A record as text, parts in order of name; reading it again gives the same to a thousandth of a millimetre."""
    lines = [HEAD.rstrip("\n"), "cut:"]
    for part in sorted(parts, key=lambda each: each.part):
        lines.append(f"  {part.part}:")
        lines += [f"    {word}: {_mm(value)}" for word, value in _measures(part)]
        if part.sizes:
            lines.append("    sizes:")
            lines += [f"      {name}: {_quoted(text)}" for name, text in part.sizes]
        if part.joints:
            lines.append("    joints:")
            lines += [f"      - {_joint_text(joint)}" for joint in part.joints]
    if len(lines) == 2:
        lines[1] = "cut: {}"
    return "\n".join(lines) + "\n"


def _measures(part: CutPart) -> tuple[tuple[str, float], ...]:
    return (("length", part.length), ("width", part.width), ("thickness", part.thickness))


def _joint_text(joint: CutJoint) -> str:
    sizes = f"thickness: {_mm(joint.thickness)}, width: {_mm(joint.width)}, length: {_mm(joint.length)}"
    at = ", ".join(_mm(value) for value in joint.at)
    return f"{{joint: {_quoted(joint.joint)}, on: {joint.on}, {sizes}, at: [{at}]}}"


def _mm(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".") if abs(value) >= 0.0005 else "0"


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
