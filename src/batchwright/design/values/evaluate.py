"""Working an expression out: four kinds of value, and what may be added to, multiplied by or divided by what."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Protocol

from batchwright.base.fault import Place
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.syntax import At, Attribute, Call, Chain, Expr, Expression, Literal, Name, Negative
from batchwright.design.values.values import (
    MM_OF,
    About,
    Kind,
    Value,
    angle,
    as_angle,
    as_length,
    length,
    number,
    within,
)


class Scope(Protocol):
    """What the names of a piece stand for. Each method raises Mistake where it has no answer."""

    @property
    def units(self) -> str:
        """`in` or `mm`: what a bare number means beside a length."""

    def lookup(self, name: str, place: Place) -> Value:
        """The value of a name."""

    def name_at(self, name: str, axis: str, at: float, word: str, place: Place) -> Value:
        """`name at z 24` (at in mm), or `name at z 24.x` with the word behind the point."""

    def attribute(self, name: str, word: str, place: Place) -> Value:
        """`rail.top`, `place.x`."""


def evaluate(expression: Expression, scope: Scope) -> Value:
    """The value of an expression. Raises Mistake."""
    value = _Worker(expression, scope).value(expression.root)
    return within(value, About(expression.text, expression.place()))


class _Worker:
    def __init__(self, expression: Expression, scope: Scope) -> None:
        self.expression = expression
        self.scope = scope

    def value(self, node: Expr) -> Value:
        match node:
            case Literal(value=literal):
                return literal
            case Name(name=name):
                return self.scope.lookup(name, self.expression.place(node))
            case Attribute(name=name, word=word):
                return self.scope.attribute(name, word, self.expression.place(node))
            case At():
                return self._at(node)
            case Negative(of=inside):
                value = self.value(inside)
                return Value(value.kind, -value.value)
            case Chain():
                return self._chain(node)
            case Call():
                return self._call(node)

    def about(self, node: Expr) -> About:
        return About(self.expression.words(node), self.expression.place(node))

    def _at(self, node: At) -> Value:
        where = as_length(self.value(node.by), self.scope.units, self.about(node.by))
        return self.scope.name_at(node.name, node.axis, where, node.word, self.expression.place(node))

    def _chain(self, node: Chain) -> Value:
        total = self.value(node.first)
        for mark, operand in node.rest:
            total = self._joined(node, total, mark, operand)
        return total

    def _joined(self, node: Chain, left: Value, mark: str, operand: Expr) -> Value:
        right = self.value(operand)
        if mark in "+-":
            both = self._alike(left, right)
            if both is None:
                raise self._cannot_add(node, left, mark, right, operand)
            result = both[0].value + both[1].value if mark == "+" else both[0].value - both[1].value
            return within(Value(both[0].kind, result), self.about(node))
        if mark == "*":
            return within(self._product(node, left, right), self.about(node))
        if right.value == 0.0:
            raise mistake(
                "division-by-zero",
                self.expression.place(operand),
                f"`{self.expression.words(node)}` divides by `{self.expression.words(operand)}`, which is zero.",
                "divide by something that is never zero",
            )
        return within(self._quotient(node, left, operand, right), self.about(node))

    def _alike(self, left: Value, right: Value) -> tuple[Value, Value] | None:
        """Both brought to one kind: a bare number takes the file's units beside a length, none beside a number."""
        if left.kind is right.kind:
            return left, right
        kinds = {left.kind, right.kind}
        if kinds == {Kind.BARE, Kind.LENGTH}:
            return self._measured(left), self._measured(right)
        if kinds == {Kind.BARE, Kind.NUMBER}:
            return number(left.value), number(right.value)
        return None

    def _measured(self, value: Value) -> Value:
        return length(value.value * MM_OF[self.scope.units]) if value.kind is Kind.BARE else value

    def _cannot_add(self, node: Chain, left: Value, mark: str, right: Value, operand: Expr) -> Mistake:
        if Kind.BARE in (left.kind, right.kind):
            mend = "give the bare number its unit, for example `deg`"
        elif {left.kind, right.kind} == {Kind.LENGTH, Kind.NUMBER}:
            mend = "multiply the number by a length first, or take a name from `sizes` instead of one from `numbers`"
        else:
            mend = "bring both to the same kind"
        doing = "added to" if mark == "+" else "taken from"
        return mistake(
            "kinds-do-not-add",
            self.expression.place(operand),
            f"`{self.expression.words(node)}`: {right.kind.value} cannot be {doing} {left.kind.value}.",
            mend,
            "a bare number beside a length is in the file's units; beside an angle it has none",
        )

    def _product(self, node: Chain, left: Value, right: Value) -> Value:
        measured = [value for value in (left, right) if value.kind in (Kind.LENGTH, Kind.ANGLE)]
        if len(measured) == 2:
            raise mistake(
                "kinds-do-not-multiply",
                self.expression.place(node),
                f"`{self.expression.words(node)}` multiplies {left.kind.value} by {right.kind.value}.",
                "multiply by a plain number; divide two lengths to get their proportion",
                "no size of a piece is an area",
            )
        kind = measured[0].kind if measured else _scaled_kind(left, right)
        return Value(kind, left.value * right.value)

    def _quotient(self, node: Chain, left: Value, operand: Expr, right: Value) -> Value:
        if right.kind in (Kind.LENGTH, Kind.ANGLE):
            if left.kind is right.kind:
                return number(left.value / right.value)
            raise mistake(
                "kinds-do-not-divide",
                self.expression.place(operand),
                f"`{self.expression.words(node)}` divides {left.kind.value} by {right.kind.value}, "
                f"`{self.expression.words(operand)}`.",
                "divide by a plain number, or divide a length by a length to get their proportion",
                "a unit belongs to the number before it, so `width/2 in` is width divided by 2 in",
            )
        kind = left.kind if left.kind in (Kind.LENGTH, Kind.ANGLE) else _scaled_kind(left, right)
        return Value(kind, left.value / right.value)

    def _call(self, node: Call) -> Value:
        values = [self.value(argument) for argument in node.arguments]
        match node.function:
            case "min" | "max":
                return self._extreme(node, values)
            case "abs":
                return Value(values[0].kind, abs(values[0].value))
            case "round" | "floor" | "ceil":
                return self._rounded(node, values)
            case "sqrt":
                return self._root(node, values[0])
            case "atan":
                return angle(math.atan(self._plain(node, values[0]).value))
            case _:
                return self._turned(node, values[0])

    def _extreme(self, node: Call, values: list[Value]) -> Value:
        best = values[0]
        for argument, value in zip(node.arguments[1:], values[1:]):
            both = self._alike(best, value)
            if both is None:
                raise mistake(
                    "kinds-do-not-compare",
                    self.expression.place(argument),
                    f"`{self.expression.words(node)}` compares {best.kind.value} with {value.kind.value}.",
                    "give all arguments the same kind, with their units",
                )
            chosen = max if node.function == "max" else min
            best = Value(both[0].kind, chosen(both[0].value, both[1].value))
        return best

    def _rounded(self, node: Call, values: list[Value]) -> Value:
        """To a whole number, or to whole steps of the second argument."""
        whole = _WHOLE[node.function]
        if len(values) == 1:
            plain = self._plain(node, values[0])
            return Value(plain.kind, whole(plain.value))
        both = self._alike(values[0], values[1])
        if both is None or both[1].value == 0.0:
            raise mistake(
                "step-does-not-fit",
                self.expression.place(node.arguments[1]),
                f"`{self.expression.words(node)}` cannot count {values[0].kind.value} in steps of "
                f"`{self.expression.words(node.arguments[1])}`.",
                "give the step the same kind as what is rounded, above zero",
            )
        return Value(both[0].kind, whole(both[0].value / both[1].value) * both[1].value)

    def _root(self, node: Call, value: Value) -> Value:
        plain = self._plain(node, value)
        if plain.value < 0.0:
            raise mistake(
                "root-of-negative",
                self.expression.place(node.arguments[0]),
                f"`{self.expression.words(node)}` takes the root of {plain.value:g}.",
                "take the root of something that is never negative",
            )
        return Value(plain.kind, math.sqrt(plain.value))

    def _turned(self, node: Call, value: Value) -> Value:
        turn = as_angle(value, self.about(node.arguments[0]))
        function = {"sin": math.sin, "cos": math.cos, "tan": math.tan}[node.function]
        return within(number(function(turn)), self.about(node))

    def _plain(self, node: Call, value: Value) -> Value:
        if value.kind in (Kind.LENGTH, Kind.ANGLE):
            mend = "divide it by a length first"
            if node.function in ("round", "floor", "ceil"):
                mend = f"say the step behind a semicolon, for example `{node.function}(width; 1/8 in)`"
            raise mistake(
                "wrong-kind",
                self.expression.place(node.arguments[0]),
                f"`{self.expression.words(node)}` is given {value.kind.value}, but a plain number is wanted.",
                mend,
            )
        return value


def _scaled_kind(left: Value, right: Value) -> Kind:
    """The kind of a product or quotient of bare and plain numbers: bare only if both are."""
    return Kind.BARE if left.kind is right.kind is Kind.BARE else Kind.NUMBER


def _nearest_whole(value: float) -> float:
    """Halves away from zero, as at the bench; Python's own rounding goes to even numbers."""
    return math.copysign(math.floor(abs(value) + 0.5), value)


def _floor(value: float) -> float:
    return float(math.floor(value))


def _ceil(value: float) -> float:
    return float(math.ceil(value))


_WHOLE: dict[str, Callable[[float], float]] = {"round": _nearest_whole, "floor": _floor, "ceil": _ceil}
