"""What an expression is made of: frozen records, each knowing which characters of the text it came from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from batchwright.base.fault import Place
from batchwright.design.text.tree import Scalar
from batchwright.design.values.values import Value

AXES = ("x", "y", "z")
UNITS = ("in", "ft", "mm", "cm", "m", "deg")
RESERVED = frozenset({"at", "place", *AXES, *UNITS})
"""Words that no name may contain."""

FUNCTIONS = ("min", "max", "abs", "round", "floor", "ceil", "sqrt", "sin", "cos", "tan", "atan")
ATTRIBUTES = ("x", "y", "z", "top", "bottom", "front", "back")
"""What may follow a name and a point: a coordinate, or the outermost of a part."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Literal:
    """A number, length, angle or slope as written."""

    value: Value
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Name:
    """A size, number, place or part by its name."""

    name: str
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Attribute:
    """`foot.x`, `rail.top`; `place.y` has the name `place`."""

    name: str
    word: str
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class At:
    """`back line at z 24`; `word` is what stands after a point behind it, or empty."""

    name: str
    axis: str
    by: Expr
    word: str
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Negative:
    """A minus before something."""

    of: Expr
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """A sum (+, -) or a product (*, /), worked from left to right."""

    first: Expr
    rest: tuple[tuple[str, Expr], ...]
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """A function and its arguments."""

    function: str
    arguments: tuple[Expr, ...]
    start: int
    end: int


Expr = Literal | Name | Attribute | At | Negative | Chain | Call


@dataclass(frozen=True, slots=True, kw_only=True)
class Expression:
    """A whole expression and the scalar it was read from. `skip` characters of the scalar stand before its text."""

    root: Expr
    scalar: Scalar
    skip: int = 0

    @property
    def text(self) -> str:
        """The expression as written."""
        return self.scalar.text[self.skip :].strip()

    def place(self, node: Expr | None = None) -> Place:
        """Where the whole, or one part of it, stands in the file."""
        return self.scalar.place_at((node or self.root).start)

    def words(self, node: Expr) -> str:
        """One part of it as written."""
        return self.scalar.text[node.start : node.end]


@dataclass(frozen=True, slots=True, kw_only=True)
class Coordinate:
    """A coordinate of a point: an expression, or in a true view `z 13`, where a plain axis has that value."""

    axis: str
    expression: Expression


def parts_of(node: Expr) -> Iterator[Expr]:
    """The node and everything inside it."""
    waiting: list[Expr] = [node]
    while waiting:
        current = waiting.pop()
        yield current
        match current:
            case At(by=inside) | Negative(of=inside):
                waiting.append(inside)
            case Chain(first=first, rest=rest):
                waiting.extend([*(operand for _, operand in reversed(rest)), first])
            case Call(arguments=arguments):
                waiting.extend(reversed(arguments))
            case _:
                pass


def names_of(expression: Expression | Coordinate) -> tuple[str, ...]:
    """Every name used, each once, in the order written; `place` is left out, it is a copy's own place."""
    whole = expression.expression if isinstance(expression, Coordinate) else expression
    used = (node.name for node in parts_of(whole.root) if isinstance(node, Name | Attribute | At))
    return tuple(dict.fromkeys(name for name in used if name != "place"))
