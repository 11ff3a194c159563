"""Short forms: the length, angle, number or count that stands in a node of the tree."""

from __future__ import annotations

from collections.abc import Collection

from batchwright.design.text.mistake import mistake
from batchwright.design.text.tree import Node, Scalar, form_of
from batchwright.design.values.evaluate import Scope, evaluate
from batchwright.design.values.expression import parse
from batchwright.design.values.values import About, Value, as_angle, as_count, as_length, as_number


def scalar_of(node: Node, name: str) -> Scalar:
    """The node as a piece of text that says something. Raises Mistake."""
    if isinstance(node, Scalar) and not node.says_nothing:
        return node
    if isinstance(node, Scalar):
        raise mistake(
            "nothing-said", node.place, f"`{name}` says nothing.", f"write a value behind `{name}:`, or take it out"
        )
    raise mistake(
        "one-value-wanted",
        node.place,
        f"`{name}` is {form_of(node)}, but one value is wanted.",
        f"write one value: `{name}: ...`",
    )


def value_of(node: Node, scope: Scope, known: Collection[str], name: str) -> tuple[Value, About]:
    """The value in a node, and what it is about. Raises Mistake."""
    scalar = scalar_of(node, name)
    expression = parse(scalar, known)
    return evaluate(expression, scope), About(name, expression.place(), scalar.text.strip())


def length_of(node: Node, scope: Scope, known: Collection[str], name: str) -> float:
    """A length [mm]. Raises Mistake."""
    value, about = value_of(node, scope, known, name)
    return as_length(value, scope.units, about)


def angle_of(node: Node, scope: Scope, known: Collection[str], name: str) -> float:
    """An angle [rad]. Raises Mistake."""
    value, about = value_of(node, scope, known, name)
    return as_angle(value, about)


def number_of(node: Node, scope: Scope, known: Collection[str], name: str) -> float:
    """A plain number. Raises Mistake."""
    value, about = value_of(node, scope, known, name)
    return as_number(value, about)


def count_of(node: Node, scope: Scope, known: Collection[str], name: str, least: int = 1) -> int:
    """A whole number of things. Raises Mistake."""
    value, about = value_of(node, scope, known, name)
    return as_count(value, about, least)
