"""Reading a number as the trade writes it: fractions, decimals, units, feet and inches, slopes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.stream import Stream
from batchwright.design.text.syntax import UNITS, Literal
from batchwright.design.values.tokens import Sort, Token
from batchwright.design.values.values import MM_OF, Value, angle, bare, length


@dataclass(frozen=True, slots=True)
class _Numeral:
    value: float
    end: int


def read_number(stream: Stream, after: str) -> Literal:
    """The number at the head of the stream with its unit, foot marks or slope. `after` is `*` or `/` where the number
    stands behind one: there a fraction is read as a division. Raises Mistake."""
    start = stream.peek().start
    first = _numeral(stream, after)
    following = stream.peek()
    if following.is_mark("'"):
        return _feet(stream, first, start)
    if following.is_mark('"'):
        end = stream.take().end
        return Literal(value=length(first.value * MM_OF["in"]), start=start, end=end)
    if following.sort is Sort.WORD and following.text in UNITS:
        if following.text == "in" and stream.peek(1).sort is Sort.NUMBER:
            return _slope(stream, first, start)
        return Literal(value=_with_unit(first.value, stream.take()), start=start, end=following.end)
    return Literal(value=bare(first.value), start=start, end=first.end)


def _with_unit(amount: float, unit: Token) -> Value:
    return angle(math.radians(amount)) if unit.text == "deg" else length(amount * MM_OF[unit.text])


def _numeral(stream: Stream, after: str = "") -> _Numeral:
    """`12`, `4.5`, `7/8` or `17 1/4`."""
    head = stream.take()
    if not head.whole:
        return _Numeral(float(head.text), head.end)
    _refuse_dash(stream, head)
    if _fraction_ahead(stream, 0):
        if after:
            raise _needs_brackets(stream, head, after)
        return _mixed(stream, head)
    if not after and stream.peek().is_mark("/") and stream.peek(1).whole and _touches(stream, head):
        stream.take()
        below = stream.take()
        return _Numeral(_quotient(stream, head, below), below.end)
    return _Numeral(float(head.text), head.end)


def _touches(stream: Stream, head: Token) -> bool:
    return head.end == stream.peek().start and stream.glued(0)


def _fraction_ahead(stream: Stream, ahead: int) -> bool:
    """Whether `1/4`, written close, stands at the head of the stream or a few tokens on."""
    return (
        stream.peek(ahead).whole
        and stream.peek(ahead + 1).is_mark("/")
        and stream.peek(ahead + 2).whole
        and stream.glued(ahead)
        and stream.glued(ahead + 1)
    )


def _mixed(stream: Stream, head: Token) -> _Numeral:
    above = stream.take()
    stream.take()
    below = stream.take()
    share = _quotient(stream, above, below)
    if share >= 1.0:
        raise mistake(
            "fraction-not-proper",
            stream.place(above),
            f"`{stream.between(head.start, below.end)}` has a fraction of one or more behind its whole number.",
            f"write `{above.text}/{below.text}` alone, or a fraction below one",
        )
    return _Numeral(float(head.text) + share, below.end)


def _quotient(stream: Stream, above: Token, below: Token) -> float:
    if float(below.text) == 0.0:
        raise mistake(
            "division-by-zero",
            stream.place(above),
            f"`{above.text}/{below.text}` divides by zero.",
            "write another number below the line",
        )
    return float(above.text) / float(below.text)


def _refuse_dash(stream: Stream, head: Token) -> None:
    """`17-1/4` is how many write 17 1/4, but reads as 17 less 1/4: told, never guessed."""
    dash = stream.peek()
    if not (dash.is_mark("-") and head.end == dash.start and stream.glued(0) and _fraction_ahead(stream, 1)):
        return
    above, below = stream.peek(1).text, stream.peek(3).text
    if int(above) >= int(below):
        return
    share = f"{above}/{below}"
    raise mistake(
        "fraction-with-dash",
        stream.place(head),
        f"`{head.text}-{share}` can be meant as {head.text} {share} or as {head.text} less {share}.",
        f"write `{head.text} {share}` for the mixed fraction, `{head.text} - {share}` for the difference",
        "a dash between a number and a fraction is a minus in this language",
    )


def _needs_brackets(stream: Stream, head: Token, after: str) -> Mistake:
    above, below = stream.peek().text, stream.peek(2).text
    mixed = f"{head.text} {above}/{below}"
    return mistake(
        "fraction-needs-brackets",
        stream.place(head),
        f"`{mixed}` stands behind `{after}` without brackets.",
        f"write `{after}({mixed})`",
        "a mixed fraction binds tightest only where nothing is multiplied or divided before it",
    )


def _feet(stream: Stream, first: _Numeral, start: int) -> Literal:
    end = stream.take().end
    millimetres = first.value * MM_OF["ft"]
    if stream.peek().sort is Sort.NUMBER:
        head = stream.peek()
        inches = _numeral(stream)
        if not stream.peek().is_mark('"'):
            raise mistake(
                "inch-mark-missing",
                stream.place(head),
                f"`{stream.between(start, inches.end)}` has inches without an inch mark.",
                f'write `{stream.between(start, inches.end)}"`',
            )
        if inches.value >= 12.0:
            raise mistake(
                "inches-past-a-foot",
                stream.place(head),
                f"{inches.value:g} inches behind feet are a foot or more.",
                "write fewer than 12 inches behind the feet, or inches alone",
            )
        end = stream.take().end
        millimetres += inches.value * MM_OF["in"]
    return Literal(value=length(millimetres), start=start, end=end)


def _slope(stream: Stream, rise: _Numeral, start: int) -> Literal:
    """`1 in 8`: the angle that rises one in eight."""
    stream.take()
    head = stream.peek()
    run = _numeral(stream)
    following = stream.peek()
    if following.sort is Sort.MARK and following.text in ("'", '"'):
        unit = following.text
    else:
        unit = following.text if following.sort is Sort.WORD and following.text in UNITS else ""
    if unit:
        raise mistake(
            "slope-with-unit",
            stream.place(head),
            f"`{stream.between(start, following.end)}` is a slope with a unit behind it.",
            "write a slope without units (`1 in 8`), or `+` between two lengths (`1 in + 8 in`)",
        )
    if run.value == 0.0:
        raise mistake(
            "division-by-zero",
            stream.place(head),
            "a slope runs over no length.",
            "write a length above zero behind `in`",
        )
    return Literal(value=angle(math.atan(rise.value / run.value)), start=start, end=run.end)
