"""What a joint statement asks for, word by word; what it leaves out stays a hole for the rules to fill."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from batchwright.base.trace import MISSING
from batchwright.design.drawing.lookup import Pen
from batchwright.design.drawing.points import each, gathered
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed, offer
from batchwright.design.text.tree import Mapping, Node, Scalar
from batchwright.design.values.reading import count_of, length_of, scalar_of
from batchwright.model.draft import JointAsk, PegsAsk

CHOICES = {
    "angle in": ("tenon", "mortise"),
    "end": ("blind", "through", "wedged"),
    "shoulder": ("flat", "let in", "scribed"),
    "turned": ("with the grain", "across"),
    "haunch": ("top", "bottom", "none"),
    "ends": ("stopped", "through"),
}
SIDES = ("all", "top", "bottom", "front", "back", "inside", "outside")
_YES = {"yes": True, "no": False}


def read_ask(item: Mapping, kind: str, pen: Pen) -> JointAsk:
    """The sizes and choices of a statement or an exception. Raises Mistake with every mistake of it."""
    readers: dict[str, Callable[[Node], Any]] = {
        "thickness": _above_zero("thickness", pen),
        "width": _above_zero("width", pen),
        "length": _above_zero("length", pen),
        "proud": _above_zero("proud", pen),
        "diameter": _above_zero("diameter", pen),
        "clearance": _not_below_zero("clearance", pen),
        "gap": _not_below_zero("gap", pen),
        "loose": _not_below_zero("loose", pen),
        "side by side": _count("side by side", pen),
        "in line": _count("in line", pen),
        "wedges": _count("wedges", pen),
        "per crossing": _count("per crossing", pen),
        "count": _count("count", pen),
        "tusk": lambda node: _tusk(node, pen),
        "shoulders": lambda node: _shoulders(node, pen),
        "pegs": lambda node: _pegs(node, pen),
        "slips": lambda node: _slips(node, pen),
        "counterbore": _above_zero("counterbore", pen),
        "size": lambda node: scalar_of(node, "size").text.strip(),
        "on top": lambda node: scalar_of(node, "on top").text.strip(),
        **{word: _choice(word) for word in CHOICES},
    }
    said: dict[str, Any] = {}

    def reading(word: str, node: Node) -> Callable[[], None]:
        return lambda: said.__setitem__(word.replace(" ", "_"), readers[word](node))

    gathered(reading(key.text, node) for key, node in item.entries if key.text in readers and key.text != kind)
    slotted = item.get("slotted")
    return JointAsk(**said) if slotted is None else replace(JointAsk(**said), **_slotted(slotted, pen))


def _above_zero(word: str, pen: Pen) -> Callable[[Node], float]:
    def read(node: Node) -> float:
        value = length_of(node, pen, pen.desk.known, word)
        if value <= 0.0:
            raise mistake(
                "not-above-zero",
                node.place,
                f"`{word}` is {pen.say(value)}; it must be above zero.",
                f"give a length above zero, or leave `{word}` to the rules",
            )
        return value

    return read


def _not_below_zero(word: str, pen: Pen) -> Callable[[Node], float]:
    def read(node: Node) -> float:
        value = length_of(node, pen, pen.desk.known, word)
        if value < 0.0:
            raise mistake("not-above-zero", node.place, f"`{word}` is {pen.say(value)}.", "give zero or more")
        return value

    return read


def _count(word: str, pen: Pen) -> Callable[[Node], int]:
    return lambda node: count_of(node, pen, pen.desk.known, word)


def _choice(word: str) -> Callable[[Node], str]:
    def read(node: Node) -> str:
        scalar = scalar_of(node, word)
        text = scalar.text.strip()
        if text not in CHOICES[word]:
            near = offer(text, CHOICES[word])
            raise mistake(
                "unknown-choice",
                scalar.place,
                f"`{word}: {text}` is not one of {listed(CHOICES[word])}.",
                f"write {near}" if near else f"write one of {listed(CHOICES[word])}",
            )
        return text

    return read


def _slotted(node: Node, pen: Pen) -> dict[str, Any]:
    """`yes`, `no`, or how long the slots are."""
    scalar = scalar_of(node, "slotted")
    word = scalar.text.strip()
    if word in _YES:
        return {"slotted": True} if _YES[word] else {"slotted": False, "slot": 0.0}
    if word.replace(" ", "").isalpha() and word not in pen.desk.known:
        raise mistake(
            "unknown-choice",
            scalar.place,
            f"`slotted: {scalar.text}` is neither yes nor no, nor a length.",
            "write `yes`, `no`, or how long the slots are",
        )
    return {"slotted": True, "slot": _above_zero("slotted", pen)(node)}


def _table(node: Node, word: str, example: str) -> Mapping:
    if not isinstance(node, Mapping):
        raise mistake("table-wanted", node.place, f"`{word}` is said with words in {{ }}.", f"write `{example}`")
    return node


def _shoulders(node: Node, pen: Pen) -> tuple[tuple[str, float], ...]:
    if not isinstance(node, Mapping):
        return (("all", _not_below_zero("shoulders", pen)(node)),)
    sides = [(key, said) for key, said in node.entries if key.text in SIDES]
    return tuple(each(sides, lambda pair: (pair[0].text, _not_below_zero(pair[0].text, pen)(pair[1]))))


def _is_none(node: Node) -> bool:
    """`none`: what the statement says of it does not hold here."""
    return isinstance(node, Scalar) and node.text.strip() == "none"


def _pegs(node: Node, pen: Pen) -> PegsAsk:
    if _is_none(node):
        return PegsAsk(count=0)
    table = _table(node, "pegs", "pegs: {count: 2, diameter: 1/4 in, draw: 1/32 in}")
    count, diameter, draw = table.get("count"), table.get("diameter"), table.get("draw")
    return PegsAsk(
        count=MISSING if count is None else count_of(count, pen, pen.desk.known, "count"),
        diameter=MISSING if diameter is None else _above_zero("diameter", pen)(diameter),
        draw=MISSING if draw is None else _not_below_zero("draw", pen)(draw),
    )


def _tusk(node: Node, pen: Pen) -> float:
    if _is_none(node):
        return 0.0
    thickness = _table(node, "tusk", "tusk: {thickness: 5/8 in}").get("thickness")
    if thickness is None:
        raise Mistake
    return _above_zero("thickness", pen)(thickness)


def _slips(node: Node, pen: Pen) -> tuple[float, int]:
    table = _table(node, "slips", "slips: {thickness: 3/8 in, count: 6}")
    thickness, count = table.get("thickness"), table.get("count")
    if thickness is None or count is None:
        raise Mistake
    return _above_zero("thickness", pen)(thickness), count_of(count, pen, pen.desk.known, "count")
