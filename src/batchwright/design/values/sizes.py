"""Sizes and numbers worked out: in any order, with limits, loops named, and what the job or a slider sets instead."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from batchwright.base.fault import Fault, Place, in_file_order
from batchwright.base.trace import By
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.names import spelled
from batchwright.design.text.near import listed
from batchwright.design.text.say import say
from batchwright.design.text.syntax import Expression, names_of
from batchwright.design.text.tree import Scalar, Span
from batchwright.design.values.declared import Declared, DeclaredSize
from batchwright.design.values.evaluate import evaluate
from batchwright.design.values.expression import parse, unknown_name
from batchwright.design.values.order import loop_mistake, order_of
from batchwright.design.values.values import About, Kind, Value, as_length, as_number, length, number
from batchwright.model.draft import SizeKind, SizeValue
from batchwright.model.job import Override

_SLACK = 1e-6
_KINDS = {Kind.LENGTH: SizeKind.LENGTH, Kind.ANGLE: SizeKind.ANGLE, Kind.NUMBER: SizeKind.NUMBER}


@dataclass(frozen=True, slots=True)
class SizeBook:
    """Every size and number of a piece with its value. It is also the scope in which sizes are worked out."""

    units: str
    values: tuple[SizeValue, ...]
    faults: tuple[Fault, ...]
    _worked: dict[str, Value]
    _declared: Declared

    @property
    def known(self) -> Collection[str]:
        """Names of sizes and numbers."""
        return self._declared.names

    def lookup(self, name: str, place: Place) -> Value:
        """The value of a size or number. Raises Mistake; without a fault where that name's own fault is told."""
        if name in self._worked:
            return self._worked[name]
        if name in self._declared.names:
            raise Mistake
        what = dict(self._declared.others).get(name)
        if what:
            raise _not_a_size(name, what, place)
        raise unknown_name(name, place, self._declared.names, "size or number")

    def name_at(self, name: str, axis: str, at: float, word: str, place: Place) -> Value:
        """Sizes are worked from sizes and numbers only."""
        raise self._refusal(name, place)

    def attribute(self, name: str, word: str, place: Place) -> Value:
        """Sizes are worked from sizes and numbers only."""
        raise self._refusal(name, place)

    def _refusal(self, name: str, place: Place) -> Mistake:
        return _not_a_size(name, dict(self._declared.others).get(name, "place"), place)


def evaluate_sizes(declared: Declared, units: str, overrides: Iterable[Override] = ()) -> SizeBook:
    """The values of all sizes and numbers. An override stands in place of what the piece says, its limits kept."""
    set_instead, faults = _overrides(declared, overrides)
    book = SizeBook(units, (), (), {}, declared)
    expressions = {size.name: set_instead.get(size.name, size.value) for size in declared.sizes}
    uses = {name: names_of(found) if found else () for name, found in expressions.items()}
    order, loops = order_of(uses)
    places = {size.name: size.place for size in declared.sizes}
    for loop in loops:
        faults += loop_mistake(loop, places, "size").faults
    in_loops = {name for loop in loops for name in loop}
    by_name = {size.name: size for size in declared.sizes}
    for name in order:
        found = expressions[name]
        if found is None or name in in_loops:
            continue
        try:
            book._worked[name] = _settled(evaluate(found, book), by_name[name], found, units)
        except Mistake as stop:
            faults += stop.faults
    values = [
        _with_limits(size, expressions[size.name], size.name in set_instead, book, faults) for size in declared.sizes
    ]
    kept = tuple(value for value in values if value is not None)
    return SizeBook(units, kept, in_file_order(faults), book._worked, declared)


def within_limits(declared: Declared, overrides: Iterable[Override], book: SizeBook) -> SizeBook:
    """The sizes with each that lies outside its limits put to the nearest: what is drawn then has no faults that only
    follow from the one size. The same book where all lie inside."""
    held = tuple(filter(None, (_held(size) for size in book.values)))
    return evaluate_sizes(declared, book.units, (*overrides, *held)) if held else book


def _held(size: SizeValue) -> Override | None:
    """A size outside its limits, put to the nearest of them; None where it is inside, or they are crossed."""
    low = size.low if size.low is not None else -math.inf
    high = size.high if size.high is not None else math.inf
    if low > high or low - _SLACK <= size.value <= high + _SLACK:
        return None
    limit = min(max(size.value, low), high)
    if size.kind is SizeKind.ANGLE:
        return Override(name=size.name, text=f"{math.degrees(limit):.12f} deg")
    return Override(name=size.name, text=f"{limit:.9f} mm" if size.kind is SizeKind.LENGTH else f"{limit:.9f}")


def _overrides(declared: Declared, overrides: Iterable[Override]) -> tuple[dict[str, Expression], list[Fault]]:
    found: dict[str, Expression] = {}
    faults: list[Fault] = []
    for override in overrides:
        name = spelled(override.name)
        scalar = Scalar(text=override.text, place=override.place, span=Span(0, len(override.text)))
        try:
            if name not in declared.names:
                raise unknown_name(name, override.place, declared.names, "size or number of the piece")
            found[name] = parse(scalar, declared.names)
        except Mistake as stop:
            faults += stop.faults
    return found, faults


def _settled(value: Value, size: DeclaredSize, found: Expression, units: str) -> Value:
    """A bare number becomes a length among sizes and a number among numbers; nothing else changes its kind."""
    about = About(size.name, found.place(), found.text)
    if size.what == "number":
        if value.kind in (Kind.LENGTH, Kind.ANGLE):
            raise mistake(
                "wrong-kind",
                about.place,
                f"{about.says} is {value.kind.value}, but a number is wanted.",
                f"put `{size.name}` under `sizes`, or take the unit out",
                "`numbers` holds counts and proportions",
            )
        return number(as_number(value, about))
    if value.kind is Kind.NUMBER:
        raise mistake(
            "wrong-kind",
            about.place,
            f"{about.says} is a plain number, but a length or an angle is wanted.",
            f"put `{size.name}` under `numbers`, or multiply it by a length",
            "`sizes` holds lengths and angles; a unit belongs to the number before it, so `width/2 in` is a number",
        )
    return length(as_length(value, units, about)) if value.kind is Kind.BARE else value


@dataclass(frozen=True, slots=True)
class _Settled:
    """A size whose value is known, on its way to a record with its limits."""

    size: DeclaredSize
    found: Expression
    value: Value
    book: SizeBook
    faults: list[Fault]

    def limit(self, found: Expression | None, word: str) -> float | None:
        """A limit or step in house units, of the value's own kind; None where it is not said or at fault."""
        if found is None:
            return None
        try:
            return self._limit(found, word)
        except Mistake as stop:
            self.faults.extend(stop.faults)
            return None

    def _limit(self, found: Expression, word: str) -> float:
        name = self.size.name
        about = About(f"{name}: {word}", found.place(), found.text)
        limit = evaluate(found, self.book)
        if self.value.kind is Kind.LENGTH and limit.kind is Kind.BARE:
            return as_length(limit, self.book.units, about)
        if self.value.kind is Kind.NUMBER:
            return as_number(limit, about)
        if limit.kind is self.value.kind:
            return limit.value
        raise mistake(
            "wrong-kind",
            about.place,
            f"`{word}: {found.text}` of `{name}` is {limit.kind.value}, but `{name}` is {self.value.kind.value}.",
            f"give it the unit of `{name}`",
        )


def _with_limits(
    size: DeclaredSize, found: Expression | None, overridden: bool, book: SizeBook, faults: list[Fault]
) -> SizeValue | None:
    value = book._worked.get(size.name)
    if value is None or found is None:
        return None
    settled = _Settled(size, found, value, book, faults)
    low, high, step = (
        settled.limit(each, word) for each, word in ((size.low, "from"), (size.high, "to"), (size.step, "step"))
    )
    faults += _check_limits(size, found, value, (low, high, step), book.units)
    return SizeValue(
        name=size.name,
        kind=_KINDS[value.kind],
        value=value.value,
        low=low,
        high=high,
        step=step,
        note=size.note,
        text=found.text,
        by=By.JOB if overridden else By.MAKER,
        free=not names_of(found),
        place=found.place(),
    )


def _check_limits(
    size: DeclaredSize,
    found: Expression,
    value: Value,
    limits: tuple[float | None, float | None, float | None],
    units: str,
) -> list[Fault]:
    low, high, step = limits

    def said(amount: float) -> str:
        return say(Value(value.kind, amount), units)

    def fault(code: str, where: Expression | None, what: str, mend: str) -> Fault:
        return Fault(code=code, place=where.place() if where else size.place, what=what, mend=mend)

    if step is not None and step <= 0.0:
        what = f"the step of `{size.name}` is {said(step)}."
        return [fault("step-not-positive", size.step, what, "write a step above zero")]
    if low is not None and high is not None and low > high + _SLACK:
        what = f"`{size.name}` is to lie from {said(low)} to {said(high)}: the least is more than the most."
        return [fault("limits-crossed", size.low, what, "change `from` and `to` round, or correct one of them")]
    if low is not None and value.value < low - _SLACK:
        what = f"`{size.name}` is {said(value.value)}, but {said(low)} is the least."
        return [fault("outside-limits", found, what, f"make it {said(low)} or more, or lower `from`")]
    if high is not None and value.value > high + _SLACK:
        what = f"`{size.name}` is {said(value.value)}, but {said(high)} is the most."
        return [fault("outside-limits", found, what, f"make it {said(high)} or less, or raise `to`")]
    return []


def _not_a_size(name: str, what: str, place: Place) -> Mistake:
    return mistake(
        "size-from-drawing",
        place,
        f"`{name}` is a {what}, and sizes are worked from sizes and numbers only.",
        f"use it in {listed(('places', 'parts'))} instead, or work both from one size",
        "sizes come first and the drawing follows from them",
    )
