"""A part drawn larger on one side, or moved: the numbers that say so are changed, or a plain size that stands there."""

from __future__ import annotations

from collections.abc import Callable

from batchwright.base.fault import Place
from batchwright.base.mend import Change
from batchwright.design.drawing.adjusting import Adjustable, adjustables, side_of
from batchwright.design.editing.paper import Paper, Splice, find
from batchwright.design.editing.references import names_of_part
from batchwright.design.editing.renaming import named_entry
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.names import spelled
from batchwright.design.text.say import say_bare
from batchwright.design.text.tree import Mapping, Scalar, Span
from batchwright.design.values.amounts import NoNames
from batchwright.design.values.declared import declare
from batchwright.design.values.evaluate import evaluate
from batchwright.design.values.expression import parse
from batchwright.design.values.sizes import evaluate_sizes
from batchwright.design.values.values import About, as_length


def grown(paper: Paper, change: Change) -> list[Splice]:
    """The splices that draw a part larger on a side by an amount, smaller by a negative one. Raises Mistake."""
    axis, end = _side(paper, change)
    found = [each for each in _numbers(paper, change) if each.axis == axis and each.end in (0, end)]
    if not found:
        raise _cannot(paper, change)
    by = _amount(paper, change)
    return _added(paper, found[0], by * (found[0].end or 1))


def moved(paper: Paper, change: Change) -> list[Splice]:
    """The splices that move a part towards a side by an amount. Raises Mistake."""
    axis, end = _side(paper, change)
    found = [each for each in _numbers(paper, change) if each.axis == axis and each.end]
    if len(found) != 2:
        raise _cannot(paper, change)
    by = _amount(paper, change) * end
    return [splice for each in found for splice in _added(paper, each, by)]


def _side(paper: Paper, change: Change) -> tuple[str, int]:
    hands = paper.sound_tree().get("hands")
    side = side_of(change.side, hands.text if isinstance(hands, Scalar) else "")
    if side is None:
        raise mistake(
            "not-a-change",
            Place(paper.file),
            f"`{change.side}` is no side of a part.",
            "name front, back, left, right, top or bottom",
        )
    return side


def _numbers(paper: Paper, change: Change) -> tuple[Adjustable, ...]:
    table, key = named_entry(paper, "part", change.of)
    names = {name for word in table.words() for name in names_of_part(paper, word)}
    return adjustables(find(table, (key.text,)), names)


def _cannot(paper: Paper, change: Change) -> Mistake:
    what = f"no number of `{change.of}` alone says where it ends at the {change.side}."
    return mistake("no-such-entry", Place(paper.file), what, "change its drawing in the text")


def _units(paper: Paper) -> str:
    units = paper.sound_tree().get("units")
    return units.text if isinstance(units, Scalar) and units.text in ("in", "mm") else "mm"


def _length(text: str, paper: Paper) -> float:
    """A length without names [mm]. Raises Mistake."""
    place = Place(paper.file)
    scalar = Scalar(text=text, place=place, span=Span(0, len(text)))
    units = _units(paper)
    return as_length(evaluate(parse(scalar), NoNames(units)), units, About("the amount", place, text))


def _amount(paper: Paper, change: Change) -> float:
    return _length(change.text or "", paper)


def _added(paper: Paper, number: Adjustable, by: float) -> list[Splice]:
    """The number with an amount added: a literal anew, a plain size raised where it is one, else `... + 3/8`."""
    node = find(paper.sound_tree(), number.way)
    assert isinstance(node, Scalar)
    size = _plain_size(paper, node.text.strip()) if number.end == 0 else None
    target = size if size is not None else node
    units = _units(paper)
    try:
        text = say_bare(_length(target.text, paper) + by, units)
    except Mistake:
        sign = "-" if by < 0 else "+"
        text = f"{target.text.strip()} {sign} {say_bare(abs(by), units)}"
    shown = f"{target.mark}{text}{target.mark}" if target.quoted else text
    return [Splice(target.span.start, target.span.end, shown)]


def _plain_size(paper: Paper, name: str) -> Scalar | None:
    """The value of a size of that name that is not worked from others."""
    tree = paper.sound_tree()
    values = {value.name: value for value in evaluate_sizes(declare(tree), _units(paper)).values}
    table = tree.get("sizes")
    if spelled(name) not in values or not values[spelled(name)].free or not isinstance(table, Mapping):
        return None
    node = find(table, (name,))
    found = node.get("is") if isinstance(node, Mapping) else node
    return found if isinstance(found, Scalar) else None


MAKERS: dict[str, Callable[[Paper, Change], list[Splice]]] = {"grow": grown, "move": moved}
